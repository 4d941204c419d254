//! `race page`: the page on which entrants write their layouts.

use ::play::{EntryPage, PlayError};
use clap::Args;
use project::OutlineRecord;
use serde_json::json;

use super::super::open;
use super::terms::must_be_as_sealed;
use super::{Which, folder, race_of, write};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::rules;
use crate::work::waiting;

/// The page on which entrants paint a layout and get its code
///
/// One file that needs no server and asks for nothing: publish it with the opening.
/// It has the rules in it and no answer. An entrant sends its slip: the mark, the
/// outline, the code.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct EntryPageArgs {
    #[command(flatten)]
    which: Which,
}

const EXAMPLES: &str = "\
Examples:
  pinfold race page                     into out/race/NAME/entry.html
  pinfold race page --race spring-tide --json";

pub(super) fn run(args: &EntryPageArgs, call: &Call) -> Result<Answer, Failure> {
    let (_, race) = race_of(&args.which, call)?;
    let project = open(call)?;
    must_be_as_sealed(&project, &race)?;
    rules::can_list(&project, &project.pieces)?;
    let plan = rules::plan(&project)?;
    let outlines: Vec<&OutlineRecord> =
        race.outlines.iter().filter_map(|o| project.outline(&o.name)).collect();
    let page = EntryPage {
        project: &project,
        plan: &plan,
        outlines: &outlines,
        race: Some(&race.name),
        until: Some(race.until.text()),
    };
    let html = waiting("entry page", || page.html()).map_err(|e: PlayError| {
        Failure::plain(e, "run `cargo xtask web` in the source of Pinfold, then build it again")
    })?;
    let file = write(&folder(call, &race.name), "entry.html", html.as_bytes())?;
    let text =
        format!("Written: {file}, for {}. It has no answer in it.", counted(outlines.len(), "outline"));
    Ok(Answer::done(json!({ "race": race.name, "file": file, "bytes": html.len() }), text))
}
