//! What no ornament passes.
//!
//! Loops are never fewer than one, or than the seams on a mirror line. The most
//! holes without islands are those of `clean`; with islands the exact search
//! gives them, of the whole sheet or, where that is too wide, of two halves: a
//! hole that touches the cut has a vertex on it.

use super::ask::{Aim, Ask};
use super::clean::{Part, most};
use super::plan::{Line, Step, Symmetry, mirror_line, part_steps, places, seams_on_line};
use super::solve::{Cut, Goal, Ward, run, wards};
use super::track::Track;
use crate::geometry::{End, Sheet};

/// The widest sheet that is bounded as a whole.
pub(crate) const WHOLE: usize = 8;
/// The most states of a bound.
const STATES: usize = 400_000;

/// The bound of an aim, as `told` tells it; `None` if stopped.
pub(crate) fn bound(sheet: &Sheet, ask: &Ask, steps: &[Step], stop: &dyn Fn() -> bool) -> Option<usize> {
    let line = mirror_line(sheet).filter(|_| ask.symmetry == Symmetry::Mirror);
    if ask.aim == Aim::Loops {
        return Some(line.map_or(1, |l| seams_on_line(sheet, l, End::Closed)));
    }
    let holes = holes(sheet, ask, steps, line, stop)?;
    match (ask.aim, line) {
        (Aim::Holes, _) => Some(holes),
        // One part more than holes, as turned; or, mirrored, as many more as its parts less
        // its holes, which are at most the seams on the line.
        (_, None) => Some(2 * holes + 1),
        (_, Some(line)) => Some(2 * holes + seams_on_line(sheet, line, End::Turned)),
    }
}

fn holes(
    sheet: &Sheet,
    ask: &Ask,
    steps: &[Step],
    line: Option<Line>,
    stop: &dyn Fn() -> bool,
) -> Option<usize> {
    let inner = (sheet.columns() - 1) * (sheet.rows() - 1);
    let goal = Goal::of(&Ask { aim: Aim::Holes, ..*ask });
    let whole = line.is_none() && sheet.columns().min(sheet.rows()) <= WHOLE;
    if whole && !ask.islands {
        let turned = Track::new(steps, places(sheet, End::Turned), false);
        let wards = wards(sheet, steps, ask.symmetry, &goal, &turned);
        let part = Part { steps, counted_elsewhere: Vec::new(), wards, spans: goal.one_loop };
        let found = most(sheet, &part, STATES, stop);
        return if stop() { None } else { Some(found.map_or(inner, |h| h as usize)) };
    }
    if whole {
        let cut = Cut { ground: false, width: STATES, open: false };
        let run = run(sheet, steps, &goal, ask, &cut, stop)?;
        let found = run.value().filter(|_| run.complete);
        return Some(found.map_or(inner, |h| h as usize));
    }
    let (m, n) = (sheet.columns(), sheet.rows());
    let columns = line.map_or(m <= n, |l| l == Line::Columns);
    let (halves, on_cut) = if columns {
        ([(0..m / 2, 0..n), (m / 2..m, 0..n)], n - 1)
    } else {
        ([(0..m, 0..n / 2), (0..m, n / 2..n)], m - 1)
    };
    let mut sum = if ask.islands { on_cut } else { 0 };
    for (number, (i, j)) in halves.into_iter().enumerate() {
        let steps = part_steps(sheet, i, j);
        let found = if ask.islands {
            let cut = Cut { ground: false, width: STATES, open: true };
            let run = run(sheet, &steps, &goal, ask, &cut, stop)?;
            run.layers.last()?.iter().map(|e| e.1).max().filter(|_| run.complete)
        } else {
            let cut = if columns { m / 2 } else { n / 2 };
            let on_cut = (1..n.max(m)).map(|k| if columns { k * (m + 1) + cut } else { cut * (m + 1) + k });
            let counted_elsewhere = if number == 0 { Vec::new() } else { on_cut.collect() };
            let wards = vec![Ward::Open; steps.len()];
            most(sheet, &Part { steps: &steps, counted_elsewhere, wards, spans: false }, STATES, stop)
        };
        if stop() {
            return None;
        }
        sum += found.map_or(inner, |h| h as usize);
    }
    Some(sum.min(inner))
}
