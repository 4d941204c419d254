//! The grade in sentences that a maker can argue with.

use lattice::Vertex;
use num_bigint::BigUint;

use crate::evidence::{Count, Farthest};
use crate::grade::Grade;
use crate::tries::{Figure, Known};

/// The grade of an outline with so many `pockets`, in sentences; `name` tells what
/// a piece of the set is called.
pub fn sentences(grade: &Grade, pockets: usize, name: &dyn Fn(usize) -> String) -> Vec<String> {
    let tries = &grade.tries;
    let [low, half, high] = tries.median();
    let people = tries.runs();
    let mut all = vec![match half.known {
        Known::AtLeast => format!("Half of {people} modelled people need {} tries.", figure(half)),
        _ => format!(
            "Half of {people} modelled people are done within {} tries (90 % interval {} to {}), a quarter \
             within {}, nine in ten within {}.",
            figure(half),
            rounded(low.tries),
            rounded(high.tries),
            figure(tries.quantile(0.25)),
            figure(tries.quantile(0.9)),
        ),
    }];
    if tries.gave_up() > 0 {
        all.push(format!("{} gave up after {} tries.", of_all(tries.gave_up(), tries.runs()), tries.most()));
    }
    let e = &grade.evidence;
    all.push(format!(
        "Layouts: {} with its pockets, {} with a pocket everywhere.",
        count(&e.layouts),
        count(&e.layouts_open)
    ));
    if e.interlocked.number > BigUint::ZERO {
        all.push(format!("Interlocked: {} of them (turns counted).", count(&e.interlocked)));
    }
    all.push(format!(
        "Near-fillings: {}. In each, one hole of the right size is left and the last piece does not go in.",
        count(&e.near_fillings)
    ));
    if pockets > 0 {
        let certain = if e.layouts.exact { "" } else { ", as far as layouts were listed" };
        all.push(match e.blind.len() {
            0 => format!("No pocket is blind{certain}."),
            n => format!("Blind pockets: {n} of {pockets}, at {}{certain}.", places(&e.blind)),
        });
    }
    all.push(match (e.forced, e.fewest) {
        (0, 0 | 1) => "No first move is forced, for cells may stay empty.".to_owned(),
        (0, n) => format!("No first move is forced: each cell can be covered in {n} ways at least."),
        (1, _) => "One first move is forced: some cell can be covered in no other way.".to_owned(),
        (n, _) => format!("{n} moves are forced from the first: some cells can be covered in no other way."),
    });
    all.extend(e.farthest.map(|f| farthest(f, name)));
    if let Some(wrong) = &grade.wrong_start {
        let pieces: Vec<String> = wrong.folding.placed.iter().map(|p| name(p.piece)).collect();
        let by = match 100.0 * wrong.people {
            share if share < 1.0 => "fewer than 1 %".to_owned(),
            share => format!("{share:.0} %"),
        };
        let laid = match pieces.split_last() {
            Some((last, [])) => format!("{last} is"),
            Some((last, most)) => format!("{} and {last} are", most.join(", ")),
            None => unreachable!("a start has a piece"),
        };
        all.push(format!(
            "Most tempting wrong start: {laid} laid as drawn by {by} of them, and cannot be completed."
        ));
    }
    all
}

fn farthest(f: Farthest, name: &dyn Fn(usize) -> String) -> String {
    let piece = name(f.piece);
    match f.swings {
        Some(0) => "Every piece lies as it is at home.".to_owned(),
        Some(1) => format!("Farthest fold: {piece}, 1 swing from home."),
        Some(n) => format!("Farthest fold: {piece}, {n} swings from home."),
        None => format!("Farthest fold: {piece}, where no single swings lead."),
    }
}

/// Three figures are all that the number of people bears.
fn rounded(tries: f64) -> String {
    let step = 10f64.powi((tries.max(1.0).log10().floor() as i32 - 2).max(0));
    format!("{:.0}", (tries / step).round() * step)
}

fn figure(figure: Figure) -> String {
    let tries = rounded(figure.tries);
    match figure.known {
        Known::Counted => tries,
        Known::Estimated => format!("about {tries}"),
        Known::AtLeast => format!("more than {tries}"),
    }
}

fn of_all(some: usize, all: usize) -> String {
    format!("{some} of {all}")
}

fn count(count: &Count) -> String {
    if count.exact { count.number.to_string() } else { format!("at least {}", count.number) }
}

fn places(at: &[Vertex]) -> String {
    let told: Vec<String> = at.iter().map(|v| format!("({},{})", v.x, v.y)).collect();
    told.join(" ")
}
