//! `race close` and `reveal`: the end of a race.

use ::race::Moment;
use clap::Args;
use serde_json::json;

use super::{Which, folder, race_of, refused, write};
use crate::answer::{Answer, Failure};
use crate::cli::Call;

/// Close a race: nothing more can be put in
///
/// After the deadline; before it only with a reason, which is published in the log.
/// Entries that wait can still be checked.
#[derive(Debug, Args)]
#[command(after_help = CLOSE)]
pub(crate) struct Close {
    /// Close before the deadline, and why
    #[arg(long, value_name = "REASON")]
    early: Option<String>,
    #[command(flatten)]
    which: Which,
}

const CLOSE: &str = "\
Examples:
  pinfold race close
  pinfold race close --race spring-tide --early everybody-has-finished

Exit status: 0 closed; 2 it still runs, or was closed before.";

/// Reveal what was sealed, for everybody to check
///
/// Writes the sealed text, with salt and answers, of a race that is closed. Its
/// SHA-256 is the number on the opening.
#[derive(Debug, Args)]
#[command(after_help = REVEAL)]
pub(crate) struct Reveal {
    #[command(flatten)]
    which: Which,
}

const REVEAL: &str = "\
Examples:
  pinfold race reveal
  pinfold race reveal --race spring-tide --json

Exit status: 0 revealed; 2 the race is not closed, or the input or the call is wrong.";

pub(super) fn close(args: &Close, call: &Call) -> Result<Answer, Failure> {
    let (mut store, race) = race_of(&args.which, call)?;
    let closed = store.close(&race.name, args.early.as_deref(), &Moment::now()).map_err(refused)?;
    let waiting = match closed.waiting {
        0 => String::new(),
        n => format!("Entries to be checked, by pinfold race check: {n}.\n"),
    };
    let text = format!(
        "The race {} is closed.\n{waiting}The log has {} lines, the last with SHA-256\n\n  {}\n\n\
         Publish the standings, then the answers: pinfold race standings, pinfold race reveal",
        race.name, closed.head.0, closed.head.1
    );
    let json = json!({
        "race": race.name, "waiting": closed.waiting, "lines": closed.head.0, "head": closed.head.1,
    });
    Ok(Answer::done(json, text))
}

pub(super) fn reveal(args: &Reveal, call: &Call) -> Result<Answer, Failure> {
    let (mut store, race) = race_of(&args.which, call)?;
    let sealed = store.reveal(&race.name, &Moment::now()).map_err(refused)?;
    let folder = folder(call, &race.name);
    let rules = write(&folder, &format!("{}-rules.txt", race.name), race.rules.as_bytes())?;
    let file = write(&folder, &format!("{}-sealed.txt", race.name), sealed.as_bytes())?;
    let steps: Vec<String> = race.recipe().iter().skip(2).map(|step| format!("  {step}\n")).collect();
    let text = format!(
        "Written: {file}. Publish it; this number was on the opening:\n\n  {}\n\nAnybody checks:\n{}",
        race.commitment,
        steps.concat()
    );
    let json = json!({ "race": race.name, "commitment": race.commitment, "files": [rules, file] });
    Ok(Answer::done(json, text))
}
