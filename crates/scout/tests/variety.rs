//! Distances between layouts and between looks, and thinning.

use lattice::{Cell, Motion, Turn};
use proptest::prelude::*;
use scout::outlines::{Apart, Find, Layout, Outlines, Wanted, layouts_apart, looks_apart, thin};

fn cells(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Cell>> {
    prop::collection::btree_set((-3i32..4, -3i32..4), count)
        .prop_map(|cells| cells.into_iter().map(|(x, y)| Cell::new(x, y)).collect())
}

/// Any cells cut up into pieces of some kinds: distances do not ask for more.
fn pieces() -> impl Strategy<Value = Vec<(usize, Vec<Cell>)>> {
    (cells(4..12), prop::collection::vec(0usize..4, 12)).prop_map(|(cells, cuts)| {
        let mut pieces: Vec<(usize, Vec<Cell>)> = (0..4).map(|k| (k % 2, vec![])).collect();
        for (cell, cut) in cells.into_iter().zip(cuts) {
            pieces[cut].1.push(cell);
        }
        pieces.retain(|p| !p.1.is_empty());
        pieces
    })
}

fn motion(mirrors: bool) -> impl Strategy<Value = Motion> {
    (any::<bool>(), 0u8..4, -9i32..9, -9i32..9).prop_map(move |(mirrored, turn, dx, dy)| {
        Motion::about_origin(mirrored && mirrors, Turn::new(turn)).shifted(dx, dy)
    })
}

fn moved(cells: &[Cell], motion: Motion) -> Vec<Cell> {
    cells.iter().map(|&c| motion.cell(c)).collect()
}

fn all_moved(pieces: &[(usize, Vec<Cell>)], motion: Motion) -> Layout {
    Layout::new(pieces.iter().map(|(kind, cells)| (*kind, moved(cells, motion))))
}

/// Every turn, mirror image and shift tried one after another.
fn looks_apart_by_definition(a: &[Cell], b: &[Cell]) -> f64 {
    let mut most = 0;
    for mirrored in [false, true] {
        for turn in Turn::ALL {
            for (dx, dy) in (-14..=14).flat_map(|dx| (-14..=14).map(move |dy| (dx, dy))) {
                let b = moved(b, Motion::about_origin(mirrored, turn).shifted(dx, dy));
                most = most.max(a.iter().filter(|c| b.contains(c)).count());
            }
        }
    }
    1.0 - most as f64 / a.len().max(b.len()) as f64
}

fn layouts_apart_by_definition(a: &[(usize, Vec<Cell>)], b: &[(usize, Vec<Cell>)]) -> f64 {
    let mut most = 0;
    let sorted = |mut cells: Vec<Cell>| {
        cells.sort_unstable();
        cells
    };
    for turn in Turn::ALL {
        for (dx, dy) in (-14..=14).flat_map(|dx| (-14..=14).map(move |dy| (dx, dy))) {
            let motion = Motion::about_origin(false, turn).shifted(dx, dy);
            let b: Vec<_> = b.iter().map(|(k, cells)| (*k, sorted(moved(cells, motion)))).collect();
            let agree = a.iter().map(|(k, cells)| (*k, sorted(cells.clone()))).filter(|p| b.contains(p));
            most = most.max(agree.map(|p| p.1.len()).sum());
        }
    }
    let total = |pieces: &[(usize, Vec<Cell>)]| pieces.iter().map(|p| p.1.len()).sum::<usize>();
    1.0 - most as f64 / total(a).max(total(b)) as f64
}

/// Longer by no more than rounding.
fn no_longer(way: f64, round: f64) -> bool {
    way <= round + 1e-12
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn looks_are_compared_as_defined(a in cells(1..12), b in cells(1..12)) {
        prop_assert_eq!(looks_apart(&a, &b), looks_apart_by_definition(&a, &b));
    }

    #[test]
    fn layouts_are_compared_as_defined(a in pieces(), b in pieces()) {
        let (x, y) = (Layout::new(a.clone()), Layout::new(b.clone()));
        prop_assert_eq!(layouts_apart(&x, &y), layouts_apart_by_definition(&a, &b));
    }
}

proptest! {
    #[test]
    fn looks_are_a_metric(a in cells(1..12), b in cells(1..12), c in cells(1..12), m in motion(true)) {
        let apart = looks_apart(&a, &b);
        prop_assert!((0.0..=1.0).contains(&apart));
        prop_assert_eq!(apart, looks_apart(&b, &a));
        prop_assert_eq!(apart, looks_apart(&moved(&a, m), &b));
        prop_assert_eq!(looks_apart(&a, &moved(&a, m)), 0.0);
        prop_assert!(no_longer(looks_apart(&a, &c), apart + looks_apart(&b, &c)));
    }

    #[test]
    fn layouts_are_a_metric(a in pieces(), b in pieces(), c in pieces(), m in motion(false)) {
        let [x, y, z] = [&a, &b, &c].map(|p| Layout::new(p.clone()));
        let apart = layouts_apart(&x, &y);
        prop_assert!((0.0..=1.0).contains(&apart));
        prop_assert_eq!(apart, layouts_apart(&y, &x));
        prop_assert_eq!(apart, layouts_apart(&all_moved(&a, m), &y));
        prop_assert_eq!(layouts_apart(&x, &all_moved(&a, m)), 0.0);
        prop_assert!(no_longer(layouts_apart(&x, &z), apart + layouts_apart(&y, &z)));
    }
}

#[test]
fn a_mirror_image_looks_the_same_but_is_another_layout() {
    let hook: Vec<Cell> = [(0, 0), (1, 0), (2, 0), (2, 1)].map(|(x, y)| Cell::new(x, y)).to_vec();
    let mirrored = moved(&hook, Motion::about_origin(true, Turn::NONE));
    assert_eq!(looks_apart(&hook, &mirrored), 0.0);
    assert_eq!(layouts_apart(&Layout::new([(0, hook)]), &Layout::new([(0, mirrored)])), 1.0);
}

#[test]
fn cells_flung_far_are_compared_too() {
    let far = [Cell::new(i32::MIN, 0), Cell::new(i32::MAX, 5)];
    let near = [Cell::new(0, 0), Cell::new(1, 5)];
    assert_eq!(looks_apart(&far, &far), 0.0);
    assert_eq!(looks_apart(&far, &near), 0.5);
}

/// Outlines of one size cut into bars along their columns: finds enough for thinning.
fn finds(count: usize) -> Vec<Find> {
    let outlines = Outlines::of(&Wanted::new(14, 7, 6)).unwrap();
    let bars =
        |cells: &[Cell]| Layout::new(cells.chunk_by(|a, b| a.x == b.x).map(|bar| (bar.len(), bar.to_vec())));
    let drawn = outlines.sample(5, 0..outlines.positions()).take(count);
    drawn.map(|f| Find { layout: Some(bars(&f.cells)), cells: f.cells }).collect()
}

fn near(a: &Find, b: &Find, apart: &Apart) -> bool {
    looks_apart(&a.cells, &b.cells) < apart.look
        || layouts_apart(a.layout.as_ref().unwrap(), b.layout.as_ref().unwrap()) < apart.layout
}

#[test]
fn what_is_kept_is_apart_and_what_is_not_is_near_to_one_better() {
    let finds = finds(600);
    let apart = Apart { look: 0.25, layout: 0.5 };
    let kept = thin(&finds, &apart);
    assert!(kept.is_sorted() && kept.len() > 20 && kept.len() < 500, "{} kept", kept.len());
    for (i, find) in finds.iter().enumerate() {
        let mut before = kept.iter().take_while(|&&k| k < i);
        assert_eq!(before.any(|&k| near(&finds[k], find, &apart)), !kept.contains(&i), "find {i}");
    }
}

#[test]
fn threads_change_nothing_and_no_bound_keeps_all() {
    let finds = finds(700);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| thin(&finds, &Apart::default()))
    };
    assert_eq!(on(1), on(3));
    assert_eq!(thin(&finds, &Apart { look: 0.0, layout: 0.0 }).len(), finds.len());
    let twice: Vec<Find> =
        finds.iter().flat_map(|f| [f.clone(), Find { layout: None, ..f.clone() }]).collect();
    assert!(thin(&twice, &Apart { look: 1e-9, layout: 0.0 }).iter().all(|k| k % 2 == 0));
    assert_eq!(thin(&[], &Apart::default()), [0; 0]);
}
