//! `race page`: the page on which entrants write their layouts down.

use std::fs;
use std::path::PathBuf;

use ::play::{EntryPage, PlayError};
use clap::Args;
use project::{OutlineRecord, write_whole};
use serde_json::json;

use super::super::{open, outline_called};
use super::terms::{must_be_as_sealed, pack};
use super::{Which, folder, race_of};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::rules;
use crate::work::waiting;

/// One page for entrants: a layout painted in, its code out
///
/// The file needs no server and sends nothing: give it out with the opening. An
/// entrant paints which piece covers which cell; the page says what is not right
/// and gives the code of a valid layout, whichever it is. It has the rules in it
/// and no answer.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct EntryPageArgs {
    #[command(flatten)]
    which: Which,
    /// The outlines of this pack, for no race: to try the page before one is open
    #[arg(long, value_name = "PACK", conflicts_with = "race")]
    pack: Option<String>,
    /// Where the page goes; with the race's other files, or in out/entry.html, if left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold race page                        for the race that is open, into out/race/NAME/entry.html
  pinfold race page --race spring-tide     for this one of several
  pinfold race page --pack first-tide      to try it, without a race

Exit status: 0 the page is written; 2 the input or the call is wrong.";

pub(super) fn run(args: &EntryPageArgs, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let (names, race, until, usual) = match &args.pack {
        Some(name) => {
            (pack(&project, name)?.outlines.clone(), None, None, call.project.join("out/entry.html"))
        }
        None => {
            let (_, race) = race_of(&args.which, call)?;
            must_be_as_sealed(&project, &race)?;
            let names = race.outlines.iter().map(|o| o.name.clone()).collect();
            let file = folder(call, &race.name).join("entry.html");
            (names, Some(race.name), Some(race.until.text().to_owned()), file)
        }
    };
    let outlines: Vec<&OutlineRecord> =
        names.iter().map(|name| outline_called(&project, name)).collect::<Result<_, _>>()?;
    rules::can_list(&project, &project.pieces)?;
    let plan = rules::plan(&project)?;
    let page = EntryPage {
        project: &project,
        plan: &plan,
        outlines: &outlines,
        race: race.as_deref(),
        until: until.as_deref(),
    };
    let html = waiting("entry page", || page.html()).map_err(refused)?;
    let file = args.out.clone().unwrap_or(usual);
    let within = file.parent().filter(|p| !p.as_os_str().is_empty());
    let made = within.map_or(Ok(()), fs::create_dir_all);
    made.and_then(|()| write_whole(&file, html.as_bytes(), true)).map_err(|e| {
        Failure::plain(
            format_args!("{} was not written: {e}", file.display()),
            "name a file that can be written",
        )
    })?;
    let text = format!(
        "Written: {}, with {} to enter: {}.\n\
         It needs no server and sends nothing. It has the rules in it, and no answer.\n\
         Entrants send you the code that it gives, and a photo that shows their entry mark.",
        file.display(),
        counted(names.len(), "outline"),
        names.join(", ")
    );
    let json = json!({
        "file": file.display().to_string(), "bytes": html.len(), "race": race, "until": until, "outlines": names,
    });
    Ok(Answer::done(json, text))
}

fn refused(error: PlayError) -> Failure {
    let mend = match error {
        PlayError::NotBuilt | PlayError::OtherPage { .. } => {
            "run `cargo xtask web` in the source of Pinfold, then build it again"
        }
        PlayError::NoOutlines => "name a pack that has outlines",
        PlayError::TooManyPieces { .. } => "race over a set with fewer pieces",
        PlayError::BadPath { .. } => "leave the path out",
    };
    Failure::plain(error, mend)
}
