//! `--near`: outlines that differ from one by a few moved cells.

use ::scout::finds::{ALWAYS_ALL, NearAsk, Nearby, hangs_together, near};
use fill::{Look, Survey};
use lattice::Cell;
use serde_json::json;

use super::finds::{Found, Hunt};
use crate::answer::{Failure, counted};
use crate::commands::outline_called;

/// Outlines with three moved cells that are looked at, at most.
const MOST_FAR: usize = 1_000_000;

pub(super) fn run(hunt: &Hunt<'_>, name: &str) -> Result<Found, Failure> {
    let record = outline_called(&hunt.project, name)?;
    if record.outline.spare() > 0 {
        return Err(Failure::plain(
            format_args!("'{name}' has cells that stay empty, so there is more than its cells to move"),
            "name an outline without 'spare'",
        ));
    }
    let start = record.outline.cells();
    let corners = !hangs_together(start, false);
    if corners && !hangs_together(start, true) {
        return Err(Failure::plain(
            format_args!("'{name}' is in parts that do not even touch at a corner"),
            "name an outline whose cells hang together",
        ));
    }
    let moves = usize::from(hunt.args.moves);
    let ask = NearAsk { moves, corners, mirrored: hunt.project.set.turn_over, most_far: MOST_FAR };
    let (nearby, all) = near(start, &ask, &|| hunt.work.must_stop());
    let wish = hunt.args.wish.wish();
    let mut found = Found::default();
    let old = hunt.ask().look(&mut Survey::new(&hunt.project.set, &hunt.classes), start);
    let outlines: Vec<Vec<Cell>> = nearby.iter().map(|n| n.cells.clone()).collect();
    hunt.looks(&outlines, &hunt.ask(), |place, look| {
        if wish.better(look, &old) {
            let one = &nearby[place];
            let mut find = hunt.find(place as u64, one.cells.clone(), look.clone());
            find.notes.push(moved(one));
            found.offer(hunt, find);
        } else {
            found.looked += 1;
        }
    });
    found.settle(hunt.args);
    found.notes.push(compared(&record.title, &old));
    if hunt.work.ended().is_none() && all {
        let upto = counted(moves, "moved cell");
        found.notes.push(format!("These are all outlines with up to {upto}, each once."));
    } else if hunt.work.ended().is_none() {
        found.notes.push(format!(
            "All outlines with up to {} were looked at, and {MOST_FAR} of those with three; there are more.",
            counted(ALWAYS_ALL, "moved cell")
        ));
    }
    found.facts.insert(
        "near".into(),
        json!({
            "outline": record.name, "moves": moves, "all": all && hunt.work.ended().is_none(),
            "different": old.different, "layouts": old.layouts, "complete": old.complete,
            "smallest_size": old.smallest.as_ref().map(|a| a.pockets.len()),
        }),
    );
    Ok(found)
}

fn moved(one: &Nearby) -> String {
    let places =
        |cells: &[Cell]| cells.iter().map(|c| format!("({}, {})", c.x, c.y)).collect::<Vec<_>>().join(" ");
    format!("moved {} to {}", places(&one.taken), places(&one.added))
}

/// What the start itself is like, for comparing.
fn compared(title: &str, old: &Look) -> String {
    let layouts = counted(old.different as usize, "layout");
    match (&old.smallest, old.complete) {
        (_, false) => format!("{title} itself has more layouts than are listed: at least {layouts}."),
        (None, _) => format!("{title} itself has {layouts}, and no pockets leave it one."),
        (Some(alone), _) => {
            let pockets = counted(alone.pockets.len(), "pocket");
            format!("{title} itself has {layouts}, and {pockets} leave it one.")
        }
    }
}
