//! `play`: the page on which testers try outlines.

use std::fs;
use std::path::PathBuf;

use ::play::{Page, PlayError, Sending};
use clap::Args;
use project::{OutlineRecord, write_whole};
use serde_json::json;

use super::{open, outline_called};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::rules;
use crate::work::waiting;

/// One page for testers, with outlines to try on a phone or a computer
///
/// The file needs no server and asks for nothing: give it to testers as it is.
/// It has the rules in it and no answer. Testers send back the file of plays
/// that the page saves for them; its rows go into plays.csv.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct PlayPage {
    /// Outlines by name, in the order offered; all of them if left out
    #[arg(value_name = "OUTLINE")]
    outlines: Vec<String>,
    /// Where the page goes; out/play.html of the project if left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold play                          every outline, into out/play.html
  pinfold play tug crane                two of them, in this order
  pinfold play tug --out tug.html       into a file of another name

Exit status: 0 the page is written; 2 the input or the call is wrong.";

pub(crate) fn run(args: &PlayPage, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let mut outlines: Vec<&OutlineRecord> = Vec::new();
    for name in &args.outlines {
        let outline = outline_called(&project, name)?;
        if outlines.iter().any(|o| o.name == outline.name) {
            return Err(Failure::plain(format_args!("'{name}' is named twice"), "name each outline once"));
        }
        outlines.push(outline);
    }
    if outlines.is_empty() {
        outlines = project.outlines.iter().collect();
    }
    rules::can_list(&project, &project.pieces)?;
    let plan = rules::plan(&project)?;
    let page = Page { project: &project, plan: &plan, outlines: &outlines, sending: Sending::Nowhere };
    let html = waiting("play page", || page.html()).map_err(refused)?;
    let file = args.out.clone().unwrap_or_else(|| call.project.join("out/play.html"));
    let folder = file.parent().filter(|p| !p.as_os_str().is_empty());
    let made = folder.map_or(Ok(()), fs::create_dir_all);
    made.and_then(|()| write_whole(&file, html.as_bytes(), true)).map_err(|e| {
        Failure::plain(
            format_args!("{} was not written: {e}", file.display()),
            "name a file that can be written",
        )
    })?;
    let names: Vec<&str> = outlines.iter().map(|o| o.name.as_str()).collect();
    let text = format!(
        "Written: {}, with {} to try: {}.\n\
         It needs no server. It has the rules in it, and no answer.\n\
         Testers save their plays from it as a file; its rows go into plays.csv.",
        file.display(),
        counted(names.len(), "outline"),
        names.join(", ")
    );
    let json = json!({ "file": file.display().to_string(), "bytes": html.len(), "outlines": names });
    Ok(Answer::done(json, text))
}

fn refused(error: PlayError) -> Failure {
    let mend = match error {
        PlayError::NotBuilt | PlayError::OtherPage { .. } => {
            "run `cargo xtask web` in the source of Pinfold, then build it again"
        }
        PlayError::TooManyPieces { .. } => "pieces are told apart by a letter: take fewer",
        PlayError::NoOutlines => "draw one: a file in the folder outlines",
        PlayError::BadPath { .. } => "leave the path out",
    };
    Failure::plain(error, mend)
}
