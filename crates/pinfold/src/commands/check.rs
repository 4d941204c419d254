//! `check`: every file read and every rule checked.

use clap::Args;
use project::Plays;
use serde_json::json;

use super::open;
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;

/// Read every file and check every rule
///
/// Tells every mistake at once, each with its file, line and column, what was
/// found and what would be right. Nothing is changed.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Check {}

const EXAMPLES: &str = "\
Examples:
  pinfold check                         the project in this folder
  pinfold check --project quayside      another one
  pinfold check --json                  {\"errors\": [...]}, empty if all is well

Exit status: 0 no mistake; 2 there are some.";

pub(crate) fn run(call: &Call) -> Result<Answer, Failure> {
    let (project, plays) = match (open(call), Plays::read(&call.project)) {
        (Ok(project), Ok(plays)) => (project, plays),
        (Err(Failure::Mistakes(one)), Err(two)) => return Err(one.and(two).into()),
        (Err(failure), _) => return Err(failure),
        (_, Err(report)) => return Err(report.into()),
    };
    let (kinds, pieces) = (project.pieces.len(), project.set.pieces.len());
    let blocks = project.set.blocks();
    let (outlines, packs) = (project.outlines.len(), project.packs.len());
    let json = json!({
        "errors": [],
        "title": project.title,
        "kinds": kinds,
        "pieces": pieces,
        "blocks": blocks,
        "outlines": outlines,
        "packs": packs,
        "tries": plays.plays.len(),
    });
    let tries = match plays.plays.len() {
        0 => String::new(),
        1 => ", 1 try".to_owned(),
        n => format!(", {n} tries"),
    };
    let text = format!(
        "{}: {} of {}, {}, {}, {}{tries}. No mistakes.",
        project.title,
        counted(pieces, "piece"),
        counted(kinds, "kind"),
        counted(blocks, "block"),
        counted(outlines, "outline"),
        counted(packs, "pack"),
    );
    Ok(Answer::done(json, text))
}
