//! The evidence against slow counts from the definitions, on small instances.

mod harbour;

use std::collections::{BTreeMap, BTreeSet};

use fill::sample::small_instance;
use fill::{Ask as FillAsk, fill};
use grade::{Ask, grade};
use lattice::{Cell, Class, Outline, Pin, Set, Vertex};

/// One piece laid: its class, cells, pins.
type Laid = (usize, Vec<Cell>, Vec<Pin>);

fn ways(classes: &[Class], outline: &Outline) -> Vec<Laid> {
    let (low, w, h) = outline.bounds();
    let mut all = Vec::new();
    for (k, class) in classes.iter().enumerate() {
        for fold in class.folds.folds() {
            for (dx, dy) in (low.x..low.x + w).flat_map(|x| (low.y..low.y + h).map(move |y| (x, y))) {
                let cells: Vec<Cell> = fold.cells.iter().map(|c| c.shifted(dx, dy)).collect();
                let pins: Vec<Pin> =
                    fold.pins.iter().map(|p| Pin { at: p.at.shifted(dx, dy), level: p.level }).collect();
                if cells.iter().all(|&c| outline.has(c)) && pins.iter().all(|p| outline.allows_hinge(p.at)) {
                    all.push((k, cells, pins));
                }
            }
        }
    }
    all
}

fn together(cells: &[Cell]) -> bool {
    let mut left = cells.to_vec();
    let mut next: Vec<Cell> = left.pop().into_iter().collect();
    while let Some(c) = next.pop() {
        let (near, far): (Vec<Cell>, Vec<Cell>) =
            left.into_iter().partition(|d| (d.x - c.x).abs() <= 1 && (d.y - c.y).abs() <= 1);
        next.extend(near);
        left = far;
    }
    left.is_empty()
}

type Places = BTreeSet<(usize, Vec<Cell>)>;

struct Naive<'a> {
    ways: &'a [Laid],
    outline: &'a Outline,
    /// Pieces still to lay; the last one is not.
    left: Vec<usize>,
    last: usize,
    /// Positions seen, and whether the last piece goes in with some folding of it.
    seen: BTreeMap<Places, bool>,
}

impl Naive<'_> {
    fn go(&mut self, from: usize, laid: &mut Vec<usize>) {
        let clash =
            |a: &Laid, b: &Laid| a.1.iter().any(|c| b.1.contains(c)) || a.2.iter().any(|p| b.2.contains(p));
        if self.left.iter().all(|&n| n == 0) {
            let covered: BTreeSet<Cell> = laid.iter().flat_map(|&i| self.ways[i].1.clone()).collect();
            let hole: Vec<Cell> =
                self.outline.cells().iter().copied().filter(|c| !covered.contains(c)).collect();
            if together(&hole) {
                let goes = self
                    .ways
                    .iter()
                    .any(|w| w.0 == self.last && laid.iter().all(|&i| !clash(w, &self.ways[i])));
                let places = laid.iter().map(|&i| (self.ways[i].0, self.ways[i].1.clone())).collect();
                *self.seen.entry(places).or_default() |= goes;
            }
            return;
        }
        for i in from..self.ways.len() {
            let way = &self.ways[i];
            if self.left[way.0] == 0 || laid.iter().any(|&j| clash(way, &self.ways[j])) {
                continue;
            }
            self.left[way.0] -= 1;
            laid.push(i);
            self.go(i + 1, laid);
            laid.pop();
            self.left[self.ways[i].0] += 1;
        }
    }
}

fn naive(classes: &[Class], outline: &Outline) -> usize {
    let ways = ways(classes, outline);
    let mut failing = 0;
    for last in 0..classes.len() {
        let mut left: Vec<usize> = classes.iter().map(|c| c.pieces.len()).collect();
        left[last] -= 1;
        let mut naive = Naive { ways: &ways, outline, left, last, seen: BTreeMap::new() };
        naive.go(0, &mut Vec::new());
        failing += naive.seen.values().filter(|&&goes| !goes).count();
    }
    failing
}

fn instances() -> impl Iterator<Item = (Set, Vec<Class>, Outline, grade::Grade)> {
    (0..400).filter_map(|seed| {
        let (set, outline) = small_instance(seed);
        let classes = set.classes();
        let swings: Vec<Vec<Option<u32>>> = classes.iter().map(|c| vec![Some(1); c.folds.len()]).collect();
        let ask = Ask { runs: 40, most: 300, interlocked: true, ..Ask::default() };
        let grade = grade(&set, &classes, &swings, &outline, &ask).ok()?;
        Some((set, classes, outline, grade))
    })
}

#[test]
fn near_fillings_are_those_of_a_slow_count() {
    let (mut seen, mut some) = (0, 0);
    for (_, classes, outline, grade) in instances() {
        let found = &grade.evidence.near_fillings;
        if outline.spare() > 0 {
            assert!(!found.exact);
            continue;
        }
        let slow = naive(&classes, &outline);
        assert_eq!((&found.number, found.exact), (&slow.into(), true), "{classes:?} {outline:?}");
        seen += 1;
        some += usize::from(slow > 0);
    }
    assert!(seen > 60 && some > 25, "{seen} {some}");
}

/// A pocket is blind if without it there are as many foldings.
#[test]
fn blind_pockets_are_those_whose_loss_costs_nothing() {
    let (mut blind, mut used) = (0, 0);
    for (set, classes, outline, grade) in instances() {
        assert!(grade.evidence.layouts.exact);
        let foldings = |o: &Outline| fill(&set, &classes, o, &FillAsk::default()).counts.foldings;
        for &at in outline.pockets() {
            let others: Vec<Vertex> = outline.pockets().iter().copied().filter(|&p| p != at).collect();
            let same = foldings(&outline.with_pockets(others).unwrap()) == foldings(&outline);
            assert_eq!(grade.evidence.blind.contains(&at), same, "{at:?} of {outline:?}");
            *(if same { &mut blind } else { &mut used }) += 1;
        }
    }
    assert!(blind > 50 && used > 50, "{blind} {used}");
}

/// The wrong start stands on the board and is part of no filling.
#[test]
fn the_wrong_start_is_wrong() {
    let mut seen = 0;
    for (set, classes, outline, grade) in instances() {
        let Some(wrong) = &grade.wrong_start else { continue };
        let ask = FillAsk { answers: usize::MAX, turns: true, ..FillAsk::default() };
        let filling = fill(&set, &classes, &outline, &ask);
        let class = |piece| classes.iter().position(|c| c.pieces.contains(&piece)).unwrap();
        let places = |folding: &lattice::Folding| -> Places {
            let cells = |p: &lattice::Placed| {
                let mut cells = p.pose.cells(&set.pieces[p.piece]);
                cells.sort_unstable();
                (class(p.piece), cells)
            };
            folding.placed.iter().map(cells).collect()
        };
        let start = places(&wrong.folding);
        assert!(filling.answers.iter().all(|a| !start.is_subset(&places(&a.folding))), "{outline:?}");
        let faults = wrong.folding.faults(&set, &outline);
        let only_missing = |f: &lattice::FoldingFault| {
            use lattice::FoldingFault::{Count, Empty};
            matches!(f, Count { times: 0, .. } | Empty { .. })
        };
        assert!(faults.iter().all(only_missing), "{faults:?}");
        seen += 1;
    }
    assert!(seen > 40, "{seen}");
}

/// The farthest fold of the crane's answer, against the shortest ways of its pieces.
#[test]
fn the_farthest_fold_is_that_of_the_answer() {
    let set = harbour::set();
    let classes = set.classes();
    let swings = harbour::swings(&set, &classes);
    let ask = Ask { runs: 40, most: 300, ..Ask::default() };
    let grade = grade(&set, &classes, &swings, &harbour::crane(), &ask).unwrap();
    assert_eq!(grade.answers.len(), 1);
    let all = fill(&set, &classes, &harbour::crane(), &FillAsk { answers: 1, ..FillAsk::default() });
    let folding = &all.answers[0].folding;
    // Over all foldings of this layout the nearest way counts, so this one bounds it.
    let distance = |p: &lattice::Placed| {
        let fold = lattice::Fold::of(&set.pieces[p.piece], &p.pose, set.levels);
        let class = classes.iter().position(|c| c.pieces.contains(&p.piece)).unwrap();
        swings[class][classes[class].folds.position(&fold).unwrap()].unwrap()
    };
    let bound = folding.placed.iter().map(distance).max().unwrap();
    let farthest = grade.evidence.farthest.unwrap();
    assert_eq!((set.pieces.len(), farthest.piece), (5, 2));
    assert!(farthest.swings.unwrap() <= bound && farthest.swings == Some(5), "{farthest:?} {bound}");
}
