//! The search beside its peers, on the same problems in the same run.
//!
//! `cargo bench -p fill` prints one line a problem: our median, the peer's time,
//! how many times faster that is, and the bar that was set. One core each. The
//! peer is the dancing-links crate `dlx-rs` (D. E. Knuth's Algorithm X), which
//! lists foldings one by one because it has no other way to keep pins apart.
//! CP-SAT, from PyPI, is a peer of its own: `outside/peers/cpsat.py`.

use std::time::{Duration, Instant};

use dlx_rs::Solver;
use fill::{Ask, PocketAsk, count, fill, pockets, sample};
use lattice::{Cell, Outline, Piece, Pin, Set, VertexKind};

fn main() {
    println!("{:<44} {:>12} {:>12} {:>9}  bar", "problem", "ours", "peer", "ratio");
    pentominoes();
    four_pieces();
    forty_cells_one_layout();
    pocket_design();
    if std::env::args().any(|a| a == "--long") {
        forty_cells_open();
    } else {
        println!("(forty cells open: `cargo bench -p fill -- --long`)");
    }
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn timed<T>(run: impl FnOnce() -> T) -> (Duration, T) {
    let start = Instant::now();
    let result = std::hint::black_box(run());
    (start.elapsed(), result)
}

fn line(problem: &str, ours: Duration, peer: Option<Duration>, bar: &str) {
    let ms = |t: Duration| format!("{:.3} ms", t.as_secs_f64() * 1e3);
    let ratio = peer.map_or("".into(), |p| format!("{:.0} ×", p.as_secs_f64() / ours.as_secs_f64()));
    println!("{problem:<44} {:>12} {:>12} {ratio:>9}  {bar}", ms(ours), peer.map_or("".into(), ms));
}

fn rectangle(width: i32, height: i32) -> Outline {
    let cells = (0..width).flat_map(|x| (0..height).map(move |y| Cell::new(x, y)));
    Outline::new(cells, [], 0).expect("a rectangle has cells")
}

/// An exact cover problem for the peer: items are pieces, cells, then pins, which may stay free.
fn dancing_links(set: &Set, outline: &Outline) -> Solver<usize> {
    let cell = |c: Cell| outline.cells().binary_search(&c).ok();
    let inside = outline.vertices(VertexKind::Inside);
    let levels = usize::from(set.levels);
    let first_cell = set.pieces.len() + 1;
    let first_pin = first_cell + outline.cells().len();
    let mut solver = Solver::new_optional(first_pin - 1, inside.len() * levels);
    let (low, width, height) = outline.bounds();
    let mut name = 0;
    for piece in 0..set.pieces.len() {
        for fold in set.folds(piece).folds() {
            for (dx, dy) in (0..width).flat_map(|x| (0..height).map(move |y| (low.x + x, low.y + y))) {
                let cells: Option<Vec<usize>> = fold.cells.iter().map(|c| cell(c.shifted(dx, dy))).collect();
                let stands = fold.pins.iter().all(|p| outline.allows_hinge(p.at.shifted(dx, dy)));
                let (Some(cells), true) = (cells, stands) else { continue };
                let pins = fold.pins.iter().filter_map(|p| {
                    let vertex = inside.binary_search(&p.at.shifted(dx, dy)).ok()?;
                    Some(first_pin + vertex * levels + usize::from(p.level.0))
                });
                let items: Vec<usize> = std::iter::once(piece + 1)
                    .chain(cells.iter().map(|c| first_cell + c))
                    .chain(pins)
                    .collect();
                solver.add_option(name, &items);
                name += 1;
            }
        }
    }
    solver
}

fn pentominoes() {
    let drawings: [&[(i32, i32)]; 12] = [
        &[(1, 0), (2, 0), (0, 1), (1, 1), (1, 2)],
        &[(0, 0), (0, 1), (0, 2), (0, 3), (0, 4)],
        &[(0, 0), (0, 1), (0, 2), (0, 3), (1, 3)],
        &[(0, 0), (0, 1), (1, 1), (1, 2), (1, 3)],
        &[(0, 0), (1, 0), (0, 1), (1, 1), (0, 2)],
        &[(0, 0), (1, 0), (2, 0), (1, 1), (1, 2)],
        &[(0, 0), (2, 0), (0, 1), (1, 1), (2, 1)],
        &[(0, 0), (0, 1), (0, 2), (1, 2), (2, 2)],
        &[(0, 0), (0, 1), (1, 1), (1, 2), (2, 2)],
        &[(1, 0), (0, 1), (1, 1), (2, 1), (1, 2)],
        &[(1, 0), (0, 1), (1, 1), (1, 2), (1, 3)],
        &[(0, 0), (1, 0), (1, 1), (1, 2), (2, 2)],
    ];
    let rigid = |cells: &&[(i32, i32)]| {
        Piece::rigid(cells.iter().map(|&(x, y)| Cell::new(x, y)).collect())
            .expect("a pentomino hangs together")
    };
    let set = Set { pieces: drawings.iter().map(rigid).collect(), levels: 1, turn_over: true };
    let outline = rectangle(6, 10);
    let classes = set.classes();
    let ours = (0..9).map(|_| {
        let (time, filling) = timed(|| fill(&set, &classes, &outline, &Ask::default()));
        assert_eq!(filling.counts.layouts, 9356u32.into());
        time
    });
    let ours = median(ours.collect());
    let (peer, found) = timed(|| dancing_links(&set, &outline).count());
    assert_eq!(found, 9356);
    line("twelve pentominoes, 6 × 10, all fillings", ours, Some(peer), "50 ms, 10 × the peer");
}

fn four_pieces() {
    for seed in [11, 12, 13] {
        let mut dice = sample::Dice::new(seed);
        let pieces = (0..4).map(|_| sample::hinged_piece(&mut dice, 5, 2, 0)).collect();
        let set = Set { pieces, levels: 2, turn_over: false };
        let outline = rectangle(4, 5).open();
        let classes = set.classes();
        let mut counts = None;
        let times = (0..31).map(|_| {
            let (time, filling) = timed(|| fill(&set, &classes, &outline, &Ask::default()));
            counts = Some(filling.counts);
            time
        });
        let ours = median(times.collect());
        let counts = counts.expect("it ran");
        let (peer, listed) = timed(|| dancing_links(&set, &outline).count());
        assert_eq!(counts.foldings, listed.into());
        let name = format!("4 × 5 open: {} layouts, {} foldings", counts.layouts, counts.foldings);
        line(&name, ours, Some(peer), "5 ms");
        let (time, counted) = timed(|| count(&set, &classes, &outline, &|| false).expect("few pieces"));
        assert_eq!(counted.foldings, counts.foldings);
        line("  the same, counted without listing", time, None, "5 ms");
    }
}

/// Folds of the pieces laid side by side, each touching the others in few places: an
/// outline and the pockets of that folding. Few other layouts fit such an outline.
fn laid_out(dice: &mut sample::Dice, set: &Set) -> Outline {
    let mut cells: Vec<Cell> = Vec::new();
    let mut pins: Vec<Pin> = Vec::new();
    for piece in 0..set.pieces.len() {
        let folds = set.folds(piece);
        loop {
            let fold = &folds.folds()[dice.below(folds.len())];
            let reach = 12;
            let (dx, dy) =
                (dice.below(2 * reach) as i32 - reach as i32, dice.below(2 * reach) as i32 - reach as i32);
            let laid: Vec<Cell> = fold.cells.iter().map(|c| c.shifted(dx, dy)).collect();
            let pinned: Vec<Pin> = fold.pins.iter().map(|p| Pin { at: p.at.shifted(dx, dy), ..*p }).collect();
            let touching = laid.iter().flat_map(|c| c.sides()).filter(|c| cells.contains(c)).count();
            let apart = laid.iter().all(|c| !cells.contains(c)) && pinned.iter().all(|p| !pins.contains(p));
            if apart && (cells.is_empty() || (1..=2).contains(&touching)) {
                cells.extend(laid);
                pins.extend(pinned);
                break;
            }
        }
    }
    let outline = Outline::new(cells, [], 0).expect("there are cells");
    let edge = pins.iter().map(|p| p.at).filter(|&v| outline.kind(v) == VertexKind::Edge);
    outline.with_pockets(edge.collect::<Vec<_>>()).expect("they are on the edge")
}

/// Outlines of forty cells with the pockets of one folding: half of them compact, where
/// the first layouts give the folding that needs fewest, half laid out piece by piece. A
/// yes is an exhaustive search.
fn forty_cells_one_layout() {
    let mut times = [Vec::new(), Vec::new()];
    for seed in 0..400 {
        let mut dice = sample::Dice::new(1_000 + seed);
        let pieces = (0..8).map(|_| sample::hinged_piece(&mut dice, 5, 2, 0)).collect();
        let set = Set { pieces, levels: 2, turn_over: false };
        let classes = set.classes();
        let outline = if seed % 2 == 0 {
            laid_out(&mut dice, &set)
        } else {
            let cells = match seed % 4 {
                1 => rectangle(5, 8).cells().to_vec(),
                _ => sample::blob(&mut dice, 40, 2),
            };
            let open = Outline::new(cells, [], 0).expect("there are cells").open();
            let ask = Ask { limit: Some(60), answers: 60, ..Ask::default() };
            let some = fill(&set, &classes, &open, &ask);
            let footprints = some.answers.iter().map(|a| a.folding.footprint(&set, &open));
            let Some(pocketed) = footprints.min_by_key(Vec::len) else { continue };
            open.with_pockets(pocketed).expect("they are on the edge")
        };
        let (time, filling) =
            timed(|| fill(&set, &classes, &outline, &Ask { limit: Some(2), ..Ask::default() }));
        times[usize::from(filling.counts.different == 1u32.into())].push(time);
        if times.iter().map(Vec::len).sum::<usize>() == 200 {
            break;
        }
    }
    let [several, alone] = times;
    let report = |name: &str, mut times: Vec<Duration>, bar: &str| {
        times.sort();
        if let Some(&slowest) = times.last() {
            let name = format!("{name}: {} asked", times.len());
            line(&name, times[times.len() * 95 / 100], None, bar);
            line("  the slowest of them", slowest, None, "");
        }
    };
    let all = several.iter().chain(&alone).copied().collect();
    report("40 cells, one layout?", all, "100 ms at the 95th percentile (shown)");
    report("  those with one, searched to the end", alone, "");
}

fn pocket_design() {
    let mut times = Vec::new();
    for seed in 0..40 {
        let mut dice = sample::Dice::new(seed);
        let pieces = (0..4).map(|_| sample::hinged_piece(&mut dice, 5, 2, 0)).collect();
        let set = Set { pieces, levels: 2, turn_over: false };
        let outline = Outline::new(sample::blob(&mut dice, 20, 4), [], 0).expect("there are cells");
        let classes = set.classes();
        times.push(timed(|| pockets(&set, &classes, &outline, &PocketAsk::default())).0);
    }
    line("20 cells, pockets designed, median of 40", median(times), None, "");
}

fn forty_cells_open() {
    for seed in [7, 8] {
        let mut dice = sample::Dice::new(seed);
        let pieces = (0..8).map(|_| sample::hinged_piece(&mut dice, 5, 2, 0)).collect();
        let set = Set { pieces, levels: 2, turn_over: false };
        let classes = set.classes();
        let outline = rectangle(5, 8).open();
        let (time, counts) = timed(|| count(&set, &classes, &outline, &|| false).expect("few pieces"));
        line(
            &format!("5 × 8 open: {} layouts, {} foldings", counts.layouts, counts.foldings),
            time,
            None,
            "10 s, 2 GiB",
        );
    }
}
