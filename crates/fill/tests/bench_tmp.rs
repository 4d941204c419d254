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
