//! How many outlines a second a survey looks at, whole pocket analysis.
//!
//! `cargo bench -p fill --bench survey`. Sets of four and five pieces of four
//! blocks on two levels, four sets each; outlines that are mirror images of
//! themselves, and ragged ones. The peer, in the same run, is the pocket design
//! of single outlines, which lists every layout. One core, then all of them.

use std::time::{Duration, Instant};

use fill::{PocketAsk, Survey, SurveyAsk, pockets, sample};
use lattice::{Cell, Class, Outline, Set};
use rayon::prelude::*;

const EACH: usize = 1_000;
const LISTED: usize = 12;

fn main() {
    println!(
        "{:<34} {:>10} {:>12} {:>12} {:>8} {:>9}  bar",
        "cells, outlines", "layouts", "a second", "by listing", "ratio", "all cores"
    );
    for (cells, pieces, bar) in [(16, 4, "40 000"), (20, 5, "3 000"), (24, 6, ""), (28, 7, "")] {
        let each = if cells > 20 { EACH / 20 } else { EACH };
        for (name, draw) in [("mirror images", mirrored as Draw), ("ragged", ragged as Draw)] {
            measure(cells, pieces, each, name, draw, bar);
        }
    }
}

type Draw = fn(&mut sample::Dice, usize) -> Vec<Cell>;

fn measure(cells: usize, pieces: usize, each: usize, name: &str, draw: Draw, bar: &str) {
    let (mut tabled, mut listed, mut all) = (Duration::ZERO, Duration::ZERO, Duration::ZERO);
    let (mut layouts, mut seen, mut compared) = (0, 0, 0);
    for seed in 0..4 {
        let mut dice = sample::Dice::new(100 + seed);
        let pieces = (0..pieces).map(|_| sample::hinged_piece(&mut dice, 4, 2, 0)).collect();
        let set = Set { pieces, levels: 2, turn_over: false };
        let classes = set.classes();
        let outlines: Vec<Vec<Cell>> =
            std::iter::repeat_with(|| draw(&mut dice, cells)).filter(|o| !turns(o)).take(each).collect();
        let mut survey = Survey::new(&set, &classes);
        let start = Instant::now();
        layouts += outlines.iter().map(|o| survey.look(o, &SurveyAsk::default()).layouts).sum::<u64>();
        tabled += start.elapsed();
        seen += outlines.len();
        let start = Instant::now();
        outlines.par_chunks(25).for_each(|some| {
            let mut survey = Survey::new(&set, &classes);
            some.iter().for_each(|o| {
                survey.look(o, &SurveyAsk::default());
            });
        });
        all += start.elapsed();
        if cells <= 20 {
            compared += LISTED;
            listed += outlines.iter().take(LISTED).map(|o| by_listing(&set, &classes, o)).sum::<Duration>();
        }
    }
    let rate = |count: usize, time: Duration| count as f64 / time.as_secs_f64();
    let listing = if compared > 0 { rate(compared, listed) } else { f64::NAN };
    println!(
        "{:<34} {:>10} {:>12.0} {:>12.1} {:>8.0} {:>7.2} ×  {bar}",
        format!("{cells}, {name}"),
        layouts / seen as u64,
        rate(seen, tabled),
        listing,
        rate(seen, tabled) / listing,
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

fn ragged(dice: &mut sample::Dice, cells: usize) -> Vec<Cell> {
    sample::blob(dice, cells, 1)
}

/// A blob of half the cells beside its mirror image.
fn mirrored(dice: &mut sample::Dice, cells: usize) -> Vec<Cell> {
    loop {
        let half = sample::blob(dice, cells / 2, 2);
        let left = half.iter().map(|c| c.x).min().unwrap_or(0);
        let mut both: Vec<Cell> =
            half.iter().flat_map(|c| [Cell::new(c.x - left, c.y), Cell::new(left - 1 - c.x, c.y)]).collect();
        both.sort_unstable();
        both.dedup();
        if both.len() == cells {
            return both;
        }
    }
}
