//! How the model of a person behaves when the outline changes in known ways.

mod harbour;

use fill::sample::small_instance;
use fill::{Ask as FillAsk, fill};
use grade::{Ask, Figure, Grade, Known, Ungraded, effort, grade};
use lattice::{Cell, Motion, Outline, Piece, Set, Turn, VertexKind, drawing};

fn graded(set: &Set, outline: &Outline, ask: &Ask<'_>) -> Grade {
    let classes = set.classes();
    grade(set, &classes, &harbour::swings(set, &classes), outline, ask).unwrap()
}

fn few(seed: u64) -> Ask<'static> {
    Ask { runs: 600, most: 1500, seed, ..Ask::default() }
}

#[test]
fn one_piece_that_can_lie_in_one_way_takes_one_try() {
    let set = harbour::set();
    let one = Set { pieces: vec![set.pieces[2].clone()], ..set };
    let bar = drawing::parse("+ o o o +\n # # # #\n+ o o o +", 0).unwrap();
    let grade = graded(&one, &bar, &few(1));
    assert_eq!(grade.effort, 0.0);
    assert_eq!(grade.tries.quantile(0.999), Figure { tries: 1.0, known: Known::Counted });
    assert_eq!((grade.wrong_start, grade.tries.gave_up()), (None, 0));
}

/// Strips of three for bars of three: each look lays one. More cells than a word has bits.
#[test]
fn boards_wider_than_a_word_are_tried_alike() {
    let bar = Piece::rigid((0..3).map(|x| Cell::new(x, 0)).collect()).unwrap();
    for strips in [20, 30, 60] {
        let set = Set { pieces: vec![bar.clone(); strips as usize], levels: 1, turn_over: false };
        let cells = (0..strips).flat_map(|y| (0..3).map(move |x| Cell::new(x, 2 * y)));
        let grade = graded(&set, &Outline::new(cells, [], 0).unwrap(), &few(1));
        assert_eq!(grade.effort, effort(f64::from(strips)));
        assert_eq!((grade.evidence.forced, grade.evidence.fewest), (strips as usize, 1));
        assert_eq!(grade.tries.solved().iter().min(), grade.tries.solved().iter().max());
    }
}

#[test]
fn what_cannot_be_filled_has_no_grade() {
    let set = harbour::set();
    let outline = harbour::crane().with_pockets([]).unwrap();
    let classes = set.classes();
    let swings = harbour::swings(&set, &classes);
    assert_eq!(grade(&set, &classes, &swings, &outline, &few(1)), Err(Ungraded::NoFilling));
    let long = Outline::new((0..1100).map(|x| Cell::new(x, 0)), [], 0).unwrap();
    let found = grade(&set, &classes, &swings, &long, &few(1));
    assert_eq!(found, Err(Ungraded::TooLarge { found: 1100, limit: 1024 }));
}

/// The largest distance between two distributions of tries.
fn distance(a: &Grade, b: &Grade) -> f64 {
    let share = |g: &Grade, tries: u32| {
        g.tries.solved().partition_point(|&t| t <= tries) as f64 / g.tries.runs() as f64
    };
    let at = a.tries.solved().iter().chain(b.tries.solved());
    at.map(|&t| (share(a, t) - share(b, t)).abs()).fold(0.0, f64::max)
}

/// Two samples of n from one distribution are nearer than 1.95 √(2/n) 999 times in
/// a thousand (Kolmogorov and Smirnov's bound, from memory). The seeds are fixed,
/// so the test does not waver.
#[test]
fn turning_or_shifting_the_outline_changes_nothing_but_chance() {
    let set = harbour::set();
    let near = 1.95 * (2.0f64 / 600.0).sqrt();
    for outline in [harbour::crane(), harbour::crab()] {
        let still = graded(&set, &outline, &few(1));
        for turn in [1, 2, 3] {
            let motion = Motion::about_origin(false, Turn::new(turn)).shifted(7, -4);
            let turned = graded(&set, &outline.moved(motion), &few(1));
            let d = distance(&still, &turned);
            assert!(d < near, "turn {turn}: {d} is not below {near}");
            assert_eq!(
                (&turned.evidence.near_fillings, turned.evidence.first_moves, turned.evidence.fewest),
                (&still.evidence.near_fillings, still.evidence.first_moves, still.evidence.fewest)
            );
        }
        // The yardstick can tell outlines apart.
        let other = graded(&set, &harbour::herring(), &few(1));
        assert!(distance(&still, &other) > near);
    }
}

#[test]
fn blind_pockets_do_not_make_it_easier() {
    let set = harbour::set();
    let herring = harbour::herring();
    let as_it_is = graded(&set, &herring, &few(1));
    let blind = &as_it_is.evidence.blind;
    let telling = herring.pockets().iter().copied().filter(|p| !blind.contains(p));
    let without = graded(&set, &herring.with_pockets(telling).unwrap(), &few(1));
    assert_eq!((blind.len(), without.evidence.blind.len()), (18, 0));
    assert_eq!(without.evidence.layouts, as_it_is.evidence.layouts);
    let (more, less) = (as_it_is.interval, without.interval);
    assert!(more[0] > less[1], "{more:?} with blind pockets, {less:?} without");
    // On average over small instances: pockets that let no filling in, added.
    let (mut before, mut after, mut count) = (0.0, 0.0, 0);
    for seed in 0..250 {
        let (set, outline) = small_instance(seed);
        let classes = set.classes();
        let swings: Vec<Vec<Option<u32>>> = classes.iter().map(|c| vec![Some(1); c.folds.len()]).collect();
        let foldings = |o: &Outline| fill(&set, &classes, o, &FillAsk::default()).counts.foldings;
        let all = foldings(&outline);
        let mut wider = outline.clone();
        for at in outline.vertices(VertexKind::Edge) {
            let more = wider.with_pockets(wider.pockets().iter().copied().chain([at])).unwrap();
            if foldings(&more) == all {
                wider = more;
            }
        }
        let ask = Ask { runs: 300, most: 500, ..Ask::default() };
        if let (true, Ok(a), Ok(b)) = (
            wider != outline,
            grade(&set, &classes, &swings, &outline, &ask),
            grade(&set, &classes, &swings, &wider, &ask),
        ) {
            before += a.effort;
            after += b.effort;
            count += 1;
        }
    }
    assert!(count > 30 && after > before, "{count}: {before} before, {after} after");
}

/// Bars in a rectangle say nothing about where to begin; parts that only one bar
/// can fill say all.
#[test]
fn forced_moves_make_it_easier() {
    let bar = |n: i32| Piece::rigid((0..n).map(|x| Cell::new(x, 0)).collect()).unwrap();
    let set = Set { pieces: vec![bar(2), bar(3), bar(4), bar(3)], levels: 1, turn_over: false };
    let rectangle =
        |x: i32, w: i32, h: i32| (x..x + w).flat_map(move |x| (0..h).map(move |y| Cell::new(x, y)));
    let open = Outline::new(rectangle(0, 4, 3), [], 0).unwrap();
    let parts = rectangle(0, 1, 2).chain(rectangle(2, 1, 4)).chain(rectangle(4, 3, 2));
    let parts = Outline::new(parts, [], 0).unwrap();
    let (open, forced) = (graded(&set, &open, &few(1)), graded(&set, &parts, &few(1)));
    assert_eq!((open.evidence.forced, forced.evidence.forced), (0, 4));
    assert!(forced.interval[1] < open.interval[0], "{:?} {:?}", forced.interval, open.interval);
    // In an answer, one piece's place is set apart from the rest, with pockets where the
    // hinges of the answer now stand at the wall.
    let set = harbour::set();
    let classes = set.classes();
    let mut forced = 0;
    for outline in [harbour::crane(), harbour::crab(), harbour::herring()] {
        let whole = graded(&set, &outline, &few(1));
        let answer = &whole.answers[0];
        for apart in 0..5 {
            let mut moved = answer.clone();
            let pose = &mut moved.placed[apart].pose;
            *pose = pose.moved(Motion::STILL.shifted(20, 0));
            let cells = moved.placed.iter().flat_map(|p| p.pose.cells(&set.pieces[p.piece]));
            let bare = Outline::new(cells, [], 0).unwrap();
            let kept = outline.pockets().iter().copied().filter(|&v| bare.kind(v) == VertexKind::Edge);
            let parts = bare.with_pockets(kept.chain(moved.footprint(&set, &bare))).unwrap();
            let easier = grade(&set, &classes, &harbour::swings(&set, &classes), &parts, &few(1)).unwrap();
            assert!(easier.effort < whole.effort, "{apart}: {} {}", easier.effort, whole.effort);
            forced += usize::from(easier.evidence.forced > whole.evidence.forced);
        }
    }
    assert!(forced > 9, "{forced}");
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let set = harbour::set();
    let with = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| graded(&set, &harbour::crane(), &few(3)))
    };
    let one = with(1);
    assert_eq!(one, with(2));
    assert_eq!(one, with(5));
    assert_ne!(one.tries, graded(&set, &harbour::crane(), &few(4)).tries);
    assert!((one.effort - effort(188.0)).abs() < 0.3, "{}", one.effort);
}
