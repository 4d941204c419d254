//! How many outlines a second a survey looks at: whole pocket analysis of real
//! catalogues, in their order.
//!
//! `cargo bench -p scout --bench survey`. Four sets each, of pieces of four blocks
//! on two levels. The peer, in the same run, is the pocket design of single
//! outlines, which lists every layout. One core, then all of them.

use std::time::{Duration, Instant};

use fill::{PocketAsk, Survey, SurveyAsk, pockets, sample};
use lattice::{Cell, Class, Outline, Set};
use rayon::prelude::*;
use scout::outlines::{Outlines, Symmetry, Wanted};

/// Outlines of each set, and how many of them the peer looks at.
const EACH: usize = 2_000;
const LISTED: usize = 10;
const SETS: u64 = 4;

fn main() {
    println!(
        "{:<30} {:>9} {:>8} {:>10} {:>11} {:>7} {:>9}  bar",
        "cells, outlines", "layouts", "pockets", "a second", "by listing", "ratio", "all cores"
    );
    let mirrored = [Symmetry::Mirror, Symmetry::Diagonal];
    for (cells, bar) in [(16, "40 000"), (20, "3 000"), (24, "")] {
        let side = if cells == 24 { 7 } else { 6 };
        let all = Wanted::new(cells, side, side);
        measure(&format!("{cells}, all in {side} × {side}"), cells, bar, |seed| catalogue(&all, seed));
        let wanted = Wanted { symmetries: mirrored.to_vec(), ..Wanted::new(cells, 8, 8) };
        measure(&format!("{cells}, mirrored in 8 × 8"), cells, bar, |seed| catalogue(&wanted, seed));
    }
    for (cells, bar) in [(16, "40 000"), (20, "3 000")] {
        measure(&format!("{cells}, grown at random"), cells, bar, |seed| {
            let mut dice = sample::Dice::new(seed);
            (0..EACH).map(|_| sample::blob(&mut dice, cells, 1)).collect()
        });
    }
}

/// A run of neighbours from somewhere in a catalogue.
fn catalogue(wanted: &Wanted, seed: u64) -> Vec<Vec<Cell>> {
    let outlines = Outlines::of(wanted).expect("within bounds");
    let end = outlines.positions();
    let from = end / u128::from(SETS + 1) * u128::from(seed % SETS + 1);
    outlines.walk(from..end).take(EACH).map(|found| found.cells).collect()
}

fn measure(name: &str, cells: usize, bar: &str, draw: impl Fn(u64) -> Vec<Vec<Cell>>) {
    let (mut tabled, mut listed, mut all) = (Duration::ZERO, Duration::ZERO, Duration::ZERO);
    let (mut layouts, mut with, mut seen, mut compared) = (0, 0, 0, 0);
    for seed in 100..100 + SETS {
        let mut dice = sample::Dice::new(seed);
        let pieces = (0..cells / 4).map(|_| sample::hinged_piece(&mut dice, 4, 2, 0)).collect();
        let set = Set { pieces, levels: 2, turn_over: false };
        let classes = set.classes();
        let mut outlines = draw(seed);
        outlines.retain(|cells| !turns(cells));
        let mut survey = Survey::new(&set, &classes);
        let start = Instant::now();
        for cells in &outlines {
            let look = survey.look(cells, &SurveyAsk::default());
            layouts += look.layouts;
            with += usize::from(look.smallest.is_some());
        }
        tabled += start.elapsed();
        seen += outlines.len();
        let fresh = || Survey::new(&set, &classes);
        let start = Instant::now();
        outlines.par_chunks(25).with_min_len(8).for_each_init(fresh, |survey, some| {
            some.iter().for_each(|cells| {
                std::hint::black_box(survey.look(cells, &SurveyAsk::default()));
            });
        });
        all += start.elapsed();
        let step = outlines.len().div_ceil(LISTED).max(1);
        let some: Vec<&Vec<Cell>> = outlines.iter().step_by(step).collect();
        compared += some.len();
        listed += some.iter().map(|cells| by_listing(&set, &classes, cells)).sum::<Duration>();
    }
    let rate = |count: usize, time: Duration| count as f64 / time.as_secs_f64();
    println!(
        "{name:<30} {:>9} {:>6.0} % {:>10.0} {:>11.1} {:>7.0} {:>7.2} ×  {bar}",
        layouts / seen.max(1) as u64,
        100.0 * with as f64 / seen as f64,
        rate(seen, tabled),
        rate(compared, listed),
        rate(seen, tabled) / rate(compared, listed),
        tabled.as_secs_f64() / all.as_secs_f64(),
    );
}

fn by_listing(set: &Set, classes: &[Class], cells: &[Cell]) -> Duration {
    let outline = Outline::new(cells.iter().copied(), [], 0).expect("an outline has cells");
    let start = Instant::now();
    std::hint::black_box(pockets(set, classes, &outline, &PocketAsk::default()));
    start.elapsed()
}

/// Outlines that a turn maps onto themselves are looked at by listing: not measured here.
fn turns(cells: &[Cell]) -> bool {
    Outline::new(cells.iter().copied(), [], 0).is_ok_and(|o| o.rotations().len() > 1)
}
