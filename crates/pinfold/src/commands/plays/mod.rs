//! `plays`: testers' tries, and what they tell.

mod add;
mod list;
mod next;
mod page;

use std::path::PathBuf;

use clap::{Args, Subcommand};
use serde_json::json;

use super::open;
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;

/// Testers' tries: list, add, check them, and see what they tell
///
/// Without a further word: how long each outline takes and how quick each tester
/// is, with intervals that hold nine parts in ten. Tries stand in plays.csv, one
/// row each: tester, outline, minutes, finished (yes or no), and if you like the
/// number of the try, when it started, and where the row comes from. Name testers
/// by short names or numbers that only you can match to people.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES, args_conflicts_with_subcommands = true)]
pub(crate) struct PlaysArgs {
    #[command(subcommand)]
    task: Option<Task>,
    #[command(flatten)]
    list: list::List,
}

#[derive(Debug, Subcommand)]
enum Task {
    Add(add::Add),
    Check(CheckPlays),
    Next(next::NextArgs),
}

/// Read every row of plays.csv and tell every wrong one with its line
#[derive(Debug, Args)]
struct CheckPlays {}

const EXAMPLES: &str = "\
Examples:
  pinfold plays                         outlines and testers, as far as tries tell
  pinfold plays --svg out/plays.svg     the ladder; out/plays-2.svg: foretold and seen
  pinfold plays add --tester t3 --outline tug --minutes 12:30
  pinfold plays add --tester t3 --outline crane --minutes 60 --unfinished
  pinfold plays add --from tries.csv    every row of another file that is not there yet
  pinfold plays check                   every wrong row, with its line
  pinfold plays next --tester t3        what t3 should play next, to tell most

Exit status: 0 done; 1 there is nothing to play next; 2 the input or the call is
wrong, and nothing was added.";

pub(crate) fn run(args: &PlaysArgs, call: &Call) -> Result<Answer, Failure> {
    match &args.task {
        None => list::run(&args.list, call),
        Some(Task::Add(add)) => add::run(add, call),
        Some(Task::Check(_)) => check(call),
        Some(Task::Next(next)) => next::run(next, call),
    }
}

fn check(call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let plays = project::Plays::read(&project.root)?;
    let testers = plays.testers().len();
    let count = plays.plays.len();
    let tries = if count == 1 { "1 try".to_owned() } else { format!("{count} tries") };
    let text = format!("{tries} by {}. No mistakes.", counted(testers, "tester"));
    Ok(Answer::done(json!({ "errors": [], "tries": count, "testers": testers }), text))
}

/// Where pictures go.
#[derive(Clone, Debug, Args)]
struct Files {
    /// Write the pictures: the ladder of outlines, and with -2 before the ending
    /// what was foretold of tries against what was seen
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// The same as PNG
    #[arg(long, value_name = "FILE")]
    png: Option<PathBuf>,
}
