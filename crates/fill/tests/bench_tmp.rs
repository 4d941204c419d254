use fill::*;
use lattice::*;
#[test]
fn forty() {
    let mut d = sample::Dice::new(7);
    for _ in 0..2 {
        let set = Set {
            pieces: (0..8).map(|_| sample::hinged_piece(&mut d, 5, 2, 0)).collect(),
            levels: 2,
            turn_over: false,
        };
        let o =
            Outline::new((0..5).flat_map(|x| (0..8).map(move |y| Cell::new(x, y))), [], 0).unwrap().open();
        let t = std::time::Instant::now();
        let c = count(&set, &set.classes(), &o, &|| false);
        println!("{c:?} {:?}", t.elapsed());
    }
}
#[test]
fn twenty() {
    let mut d = sample::Dice::new(7);
    for _ in 0..4 {
        let set = Set {
            pieces: (0..4).map(|_| sample::hinged_piece(&mut d, 5, 2, 0)).collect(),
            levels: 2,
            turn_over: false,
        };
        let o =
            Outline::new((0..5).flat_map(|x| (0..4).map(move |y| Cell::new(x, y))), [], 0).unwrap().open();
        let t = std::time::Instant::now();
        let c = count(&set, &set.classes(), &o, &|| false);
        println!("{c:?} {:?}", t.elapsed());
        let t = std::time::Instant::now();
        let c = fill(&set, &set.classes(), &o, &Ask::default());
        println!("{c:?} {:?}", t.elapsed());
    }
}
#[test]
fn dominoes() {
    for n in [8, 12, 16] {
        let set = Set {
            pieces: vec![Piece::rigid(vec![Cell::new(0, 0), Cell::new(1, 0)]).unwrap(); n * n / 2],
            levels: 1,
            turn_over: false,
        };
        let o = Outline::new((0..n).flat_map(|x| (0..n).map(move |y| Cell::new(x as i32, y as i32))), [], 0)
            .unwrap()
            .open();
        let t = std::time::Instant::now();
        let c = count(&set, &set.classes(), &o, &|| false);
        println!("{c:?} {:?}", t.elapsed());
    }
}
#[test]
fn pocketing() {
    let mut d = sample::Dice::new(7);
    for i in 0..8 {
        let set = Set {
            pieces: (0..4).map(|_| sample::hinged_piece(&mut d, 5, 2, 0)).collect(),
            levels: 2,
            turn_over: false,
        };
        let cells = if i % 2 == 0 {
            (0..5).flat_map(|x| (0..4).map(move |y| Cell::new(x, y))).collect::<Vec<_>>()
        } else {
            sample::blob(&mut d, 20, 4)
        };
        let o = Outline::new(cells, [], 0).unwrap().open();
        let t = std::time::Instant::now();
        let c = pockets(&set, &set.classes(), &o, &PocketAsk::default());
        println!(
            "{} {} {:?} {:?} edge {} {:?}",
            c.layouts_open,
            c.different_open,
            c.smallest.as_ref().map(|s| (s.pockets.len(), s.same_size, s.blind.len(), s.proven)),
            c.largest.as_ref().map(|s| (s.pockets.len(), s.same_size, s.blind.len(), s.proven)),
            o.pockets().len(),
            t.elapsed()
        );
    }
}
