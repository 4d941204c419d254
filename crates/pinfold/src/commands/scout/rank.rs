//! The finds for the page: the best, none nearly the same as a better one, each
//! proven once more by a search with just its pockets.

use ::scout::finds::{Find, LookAsk};
use ::scout::outlines::{self, Apart, Layout};
use fill::{Ask, Certainty};
use lattice::Cell;
use num_bigint::BigUint;

use super::finds::Hunt;
use crate::answer::Failure;

/// What is shown of the finds.
pub(super) struct Ranked {
    /// The finds on the page, best first.
    pub(super) shown: Vec<Find>,
    /// Better finds among which these were chosen: those passed over are too
    /// near to one that is shown.
    pub(super) among: usize,
}

/// Chooses from finds that stand in order, none nearer to a better one than
/// `apart` allows, and finds out of those chosen what takes longer.
pub(super) fn rank(hunt: &Hunt<'_>, finds: &[Find], apart: &Apart) -> Result<Ranked, Failure> {
    let mut ranked = choose(hunt, finds, apart)?;
    let ask = LookAsk { thorough: true, ..hunt.ask() };
    let brief: Vec<usize> = (0..ranked.shown.len()).filter(|&at| ranked.shown[at].is_brief()).collect();
    let cells: Vec<Vec<Cell>> = brief.iter().map(|&at| ranked.shown[at].cells.clone()).collect();
    for (at, look) in brief.into_iter().zip(hunt.looks(&cells, &ask, |_, _| ())) {
        ranked.shown[at].look = look;
    }
    Ok(ranked)
}

fn choose(hunt: &Hunt<'_>, finds: &[Find], apart: &Apart) -> Result<Ranked, Failure> {
    let args = hunt.args;
    let picked = args.pick.iter().copied().max().unwrap_or(0);
    let wanted = args.show.0.max(args.keep.unwrap_or(0)).max(picked).min(finds.len());
    // Outlines like one picture are like each other: that is what was asked for.
    if args.alike || args.like.is_asked() {
        for find in &finds[..wanted] {
            layout_left(hunt, find)?;
        }
        return Ok(Ranked { shown: finds[..wanted].to_vec(), among: wanted });
    }
    let mut comparable: Vec<outlines::Find> = Vec::new();
    let mut among = (4 * wanted).min(finds.len());
    loop {
        for find in &finds[comparable.len()..among] {
            comparable
                .push(outlines::Find { cells: find.cells.clone(), layout: Some(layout_left(hunt, find)?) });
        }
        let kept = outlines::thin(&comparable, apart);
        if kept.len() >= wanted || among == finds.len() {
            let chosen = &kept[..kept.len().min(wanted)];
            // Those behind the last that is shown had no chance to be passed over.
            let last = if kept.len() > wanted { chosen.last().map_or(0, |&at| at + 1) } else { among };
            return Ok(Ranked { shown: chosen.iter().map(|&at| finds[at].clone()).collect(), among: last });
        }
        among = (2 * among).min(finds.len());
    }
}

/// The layout that a find's pockets leave, found anew by a search that knows
/// nothing of the survey, and judged.
fn layout_left(hunt: &Hunt<'_>, find: &Find) -> Result<Layout, Failure> {
    let outline = find.outline();
    let ask = Ask { limit: Some(2), answers: 1, ..Ask::default() };
    let set = &hunt.project.set;
    let filling = fill::fill(set, &hunt.classes, &outline, &ask);
    let one = filling.counts.different == BigUint::from(1u8) && filling.certainty == Certainty::Complete;
    match filling.answers.first() {
        Some(answer) if one && answer.folding.faults(set, &outline).is_empty() => {
            Ok(Layout::of(set, &hunt.classes, &answer.folding))
        }
        _ => Err(Failure::plain(
            format_args!("a find at place {} did not pass its proof, so none is shown", find.place),
            "report this, with the call that led to it",
        )),
    }
}
