//! The search against a naive one of ten lines, on ten thousand small random
//! instances of every kind.

use std::collections::{BTreeMap, BTreeSet};

use fill::{Ask, Certainty, Filling, fill, sample};
use lattice::fold::{Fold, FoldSet, Pin};
use lattice::{Cell, DropIn, Outline, Set, drop_in};

/// A layout: for each class of pieces that fold alike, the cells of each piece.
type Layout = BTreeSet<(usize, Vec<Cell>)>;

struct Naive<'a> {
    folds: Vec<FoldSet>,
    class: Vec<usize>,
    outline: &'a Outline,
    /// Per layout: distinct foldings (per class and cells, the pins), and whether one drops in.
    found: BTreeMap<Layout, (BTreeSet<Vec<(usize, Vec<Cell>, Vec<Pin>)>>, bool)>,
}

impl Naive<'_> {
    /// Every piece in every fold at every shift, checked at once.
    fn place(&mut self, placed: &mut Vec<(Vec<Cell>, Vec<Pin>)>) {
        let piece = placed.len();
        if piece == self.folds.len() {
            return self.take(placed);
        }
        let (low, width, height) = self.outline.bounds();
        for fold in self.folds[piece].clone().folds() {
            for (dx, dy) in (0..width).flat_map(|x| (0..height).map(move |y| (low.x + x, low.y + y))) {
                let (cells, pins) = shifted(fold, dx, dy);
                let clear = |c: &Cell| self.outline.has(*c) && placed.iter().all(|p| !p.0.contains(c));
                let stands =
                    |p: &Pin| self.outline.allows_hinge(p.at) && placed.iter().all(|q| !q.1.contains(p));
                if cells.iter().all(clear) && pins.iter().all(stands) {
                    placed.push((cells, pins));
                    self.place(placed);
                    placed.pop();
                }
            }
        }
    }

    fn take(&mut self, placed: &[(Vec<Cell>, Vec<Pin>)]) {
        let numbered = || placed.iter().enumerate();
        let layout = numbered().map(|(i, p)| (self.class[i], p.0.clone())).collect();
        let mut folding: Vec<_> =
            numbered().map(|(i, p)| (self.class[i], p.0.clone(), p.1.clone())).collect();
        folding.sort();
        let pins: Vec<Vec<Pin>> = placed.iter().map(|p| p.1.clone()).collect();
        let drops = matches!(drop_in::drop_in(&pins), DropIn::Order(_));
        let entry = self.found.entry(layout).or_default();
        entry.0.insert(folding);
        entry.1 |= drops;
    }
}

fn shifted(fold: &Fold, dx: i32, dy: i32) -> (Vec<Cell>, Vec<Pin>) {
    let cells = fold.cells.iter().map(|c| c.shifted(dx, dy)).collect();
    let pins = fold.pins.iter().map(|p| Pin { at: p.at.shifted(dx, dy), level: p.level }).collect();
    (cells, pins)
}

fn naive<'a>(set: &Set, outline: &'a Outline) -> Naive<'a> {
    let folds: Vec<FoldSet> = (0..set.pieces.len()).map(|p| set.folds(p)).collect();
    let class = folds.iter().map(|f| folds.iter().position(|g| g.alike(f)).unwrap()).collect();
    let mut naive = Naive { folds, class, outline, found: BTreeMap::new() };
    naive.place(&mut Vec::new());
    naive
}

/// Essentially different layouts, by carrying each through every rotation.
fn different(naive: &Naive) -> usize {
    let rotations = naive.outline.rotations();
    let essential = |layout: &Layout| {
        let carried = |m: &lattice::Motion| -> Layout {
            let turned = |cells: &Vec<Cell>| {
                let mut cells: Vec<Cell> = cells.iter().map(|&c| m.cell(c)).collect();
                cells.sort_unstable();
                cells
            };
            layout.iter().map(|(class, cells)| (*class, turned(cells))).collect()
        };
        rotations.iter().map(carried).min().unwrap()
    };
    let normal = |layout: &Layout| -> Layout {
        layout
            .iter()
            .map(|(class, cells)| {
                let mut cells = cells.clone();
                cells.sort_unstable();
                (*class, cells)
            })
            .collect()
    };
    naive.found.keys().map(|l| essential(&normal(l))).collect::<BTreeSet<_>>().len()
}

fn search(set: &Set, outline: &Outline, threads: usize, turns: bool) -> Filling {
    fill(set, &set.classes(), outline, &Ask { answers: usize::MAX, turns, threads, ..Ask::default() })
}

fn check(seed: u64) -> (bool, bool) {
    let (set, outline) = sample::small_instance(seed);
    let naive = naive(&set, &outline);
    let found = search(&set, &outline, 1, true);
    assert_eq!(found.certainty, Certainty::Complete);
    let shown: BTreeSet<Layout> = found
        .answers
        .iter()
        .map(|answer| {
            let placed = answer.folding.placed.iter();
            placed
                .map(|p| {
                    let mut cells = p.pose.cells(&set.pieces[p.piece]);
                    cells.sort_unstable();
                    (naive.class[p.piece], cells)
                })
                .collect()
        })
        .collect();
    let expected: BTreeSet<Layout> = naive.found.keys().cloned().collect();
    assert_eq!(shown, expected, "layouts of seed {seed}");
    let count = |n: usize| num_bigint::BigUint::from(n);
    assert_eq!(found.counts.layouts, count(naive.found.len()), "layouts of seed {seed}");
    let foldings = naive.found.values().map(|f| f.0.len()).sum();
    assert_eq!(found.counts.foldings, count(foldings), "foldings of seed {seed}");
    let drop_in = naive.found.values().filter(|f| f.1).count();
    assert_eq!(found.counts.drop_in_layouts, Some(count(drop_in)), "drop-in layouts of seed {seed}");
    assert_eq!(found.counts.different, count(different(&naive)), "different layouts of seed {seed}");
    let essentially = search(&set, &outline, 2, false);
    assert_eq!(essentially.counts, found.counts, "two threads, seed {seed}");
    assert_eq!(count(essentially.answers.len()), found.counts.different, "answers of seed {seed}");
    (!naive.found.is_empty(), drop_in < naive.found.len())
}

/// A quarter of the sample; the four run side by side.
fn check_quarter(quarter: u64) {
    let (mut filled, mut interlocked) = (0, 0);
    for seed in (0..10_000).filter(|seed| seed % 4 == quarter) {
        let (some, locked) = check(seed);
        filled += usize::from(some);
        interlocked += usize::from(locked);
    }
    // The sample must be worth its name: many that can be filled, some interlocked.
    assert!(filled > 750 && interlocked > 0, "{filled} filled, {interlocked} with interlocked layouts");
}

#[test]
fn small_instances_agree_with_a_naive_search_first_quarter() {
    check_quarter(0);
}

#[test]
fn small_instances_agree_with_a_naive_search_second_quarter() {
    check_quarter(1);
}

#[test]
fn small_instances_agree_with_a_naive_search_third_quarter() {
    check_quarter(2);
}

#[test]
fn small_instances_agree_with_a_naive_search_fourth_quarter() {
    check_quarter(3);
}
