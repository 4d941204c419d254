//! Sets proposed: what the ranking promises.

use std::collections::BTreeSet;

use lattice::Cell;
use reach::{Bed, Plan, Reach};
use scout::compose::{Climb, ComposeError, Proposal, Weights, compose};
use scout::{Catalogue, Entry, Wanted};

fn catalogue(blocks: usize) -> Catalogue {
    let bed = Bed { size: [220.0, 220.0], pitch: 15.0 };
    Catalogue::of(&Wanted { blocks, levels: 2, loops: 0, plan: Plan::default(), bed }).unwrap()
}

const CLIMB: Climb = Climb { seed: 3, starts: 6, proposals: 4, pool: 200 };
const NONE: Weights = Weights { outlines: 0.0, plain: 0.0, own: 0.0, distinct: 0.0, printable: 0.0 };

fn proposed(blocks: &[usize], weights: Weights) -> Vec<Proposal> {
    let (three, four) = (catalogue(3), catalogue(4));
    let good = |e: &Entry| e.home.is_good();
    compose(blocks, &[(3, &three), (4, &four)], &Plan::default(), weights, CLIMB, &good).unwrap()
}

/// The shapes that a piece reaches.
fn shapes(e: &Entry) -> BTreeSet<Vec<Cell>> {
    let reach = Reach::of(&e.piece, 2, false, &Plan::default());
    let folds = reach.folds().folds().iter().enumerate();
    folds.filter(|(f, _)| reach.distance(*f).is_some()).map(|(_, f)| f.cells.clone()).collect()
}

fn value(p: &Proposal, term: &str) -> f64 {
    p.terms.iter().find(|t| t.name == term).unwrap().value
}

#[test]
fn every_score_is_the_weighted_mean_of_its_terms_and_the_best_comes_first() {
    let all = proposed(&[3, 4, 4, 4], Weights::default());
    assert!(!all.is_empty());
    for p in &all {
        let weights: f64 = p.terms.iter().map(|t| t.weight).sum();
        let sum: f64 = p.terms.iter().map(|t| t.weight * t.value).sum();
        assert!((p.score - sum / weights).abs() < 1e-12);
        for t in &p.terms {
            assert_eq!(t.pieces.len(), 4);
            assert!(t.pieces.iter().all(|v| (0.0..=1.0).contains(v)), "{t:?}");
        }
        let mut numbers: Vec<_> = p.members.iter().map(|m| (m.blocks, m.number)).collect();
        assert_eq!(numbers.iter().map(|n| n.0).collect::<Vec<_>>(), [3, 4, 4, 4]);
        numbers.dedup();
        assert_eq!(numbers.len(), 4, "no piece comes twice");
    }
    assert!(all.windows(2).all(|w| w[0].score >= w[1].score));
}

#[test]
fn what_is_wanted_alone_is_had_to_the_full() {
    let printable = proposed(&[4, 4, 4], Weights { printable: 1.0, ..NONE });
    assert_eq!(value(&printable[0], "printable"), 1.0);
    let distinct = proposed(&[4, 4, 4], Weights { distinct: 1.0, ..NONE });
    let rich = proposed(&[4, 4, 4], Weights { outlines: 1.0, ..NONE });
    assert!(value(&distinct[0], "distinct") > value(&rich[0], "distinct"));
    assert!(value(&rich[0], "outlines") > value(&distinct[0], "outlines"));
    // The climb for one term that takes each piece alone finds the very best.
    let told_apart: BTreeSet<BTreeSet<Vec<Cell>>> = catalogue(4).entries.iter().map(shapes).collect();
    let mut counts: Vec<usize> = told_apart.iter().map(BTreeSet::len).collect();
    counts.sort();
    let best: Vec<usize> = counts.iter().rev().take(3).copied().collect();
    let mut had: Vec<usize> = rich[0].members.iter().map(|m| m.shapes).collect();
    had.sort();
    had.reverse();
    assert_eq!(had, best);
}

#[test]
fn evidence_names_the_piece_that_can_stand_in() {
    let all = proposed(&[4, 4, 4], Weights::default());
    let own = all[0].terms.iter().find(|t| t.name == "own").unwrap();
    for (m, v) in all[0].members.iter().zip(&own.pieces) {
        let (_, common) = m.stand_in.unwrap();
        assert!((1.0 - common as f64 / m.shapes as f64 - v).abs() < 1e-12);
    }
}

#[test]
fn equal_seeds_propose_the_same() {
    assert_eq!(proposed(&[4, 4], Weights::default()), proposed(&[4, 4], Weights::default()));
}

#[test]
fn all_that_is_wrong_is_told_at_once() {
    let three = catalogue(3);
    let weights = Weights { own: -1.0, plain: f64::NAN, ..NONE };
    let many = [3; 10];
    let blocks: Vec<usize> = many.into_iter().chain([7]).collect();
    let errors = compose(&blocks, &[(3, &three)], &Plan::default(), weights, CLIMB, &|_| true).unwrap_err();
    assert!(matches!(
        errors[..],
        [
            ComposeError::Weight { term: "plain", .. },
            ComposeError::Weight { term: "own", .. },
            ComposeError::TooFew { blocks: 3, there: 5, asked: 10 },
            ComposeError::NoCatalogue { blocks: 7 },
        ]
    ));
    let none = compose(&[], &[], &Plan::default(), NONE, CLIMB, &|_| true).unwrap_err();
    assert_eq!(none, [ComposeError::NoWeight, ComposeError::NoPieces]);
}
