//! `race withdraw`, `export` and `erase`: what people may ask for.

use ::race::Moment;
use clap::Args;
use serde_json::json;

use super::{Which, race_of, refused};
use crate::answer::{Answer, Failure};
use crate::cli::Call;

/// Withdraw an entrant from a race, or take back one entry
///
/// What is withdrawn stays in the log and is shown as withdrawn. Possible until the
/// race is closed.
#[derive(Debug, Args)]
#[command(after_help = WITHDRAW)]
pub(crate) struct Withdraw {
    /// The entrant: mark, number or name
    entrant: String,
    /// Only this entry
    #[arg(long, value_name = "N")]
    entry: Option<i64>,
    #[command(flatten)]
    which: Which,
}

const WITHDRAW: &str = "\
Examples:
  pinfold race withdraw Ines            from the race
  pinfold race withdraw Ines --entry 12     takes back one entry

Exit status: 0 done, or done before; 2 the input or the call is wrong.";

/// Everything that is kept of an entrant, for them to have
#[derive(Debug, Args)]
#[command(after_help = EXPORT)]
pub(crate) struct Export {
    /// The entrant: mark, number or name
    entrant: String,
    #[command(flatten)]
    which: Which,
}

const EXPORT: &str = "\
Examples:
  pinfold race export Ines > ines.json
  pinfold race export 7K3Q-9XW2-MDK4

Prints JSON. Photos are named as they stand in race/proofs: send them along.";

/// Erase all that is known of an entrant: name, contact, mark, photos
///
/// What they solved stays under their number. The log stays whole: of the person it
/// has a hash only, whose salt goes, too. A photo that another entrant's entry also
/// has stays. This cannot be undone. Copies of race.sqlite, and files that were
/// published, are for you to see to.
#[derive(Debug, Args)]
#[command(after_help = ERASE)]
pub(crate) struct Erase {
    /// The entrant: mark, number or name
    entrant: String,
    #[command(flatten)]
    which: Which,
}

const ERASE: &str = "\
Examples:
  pinfold race erase Ines
  pinfold race erase 7K3Q-9XW2-MDK4 --race spring-tide

Exit status: 0 done, or done before; 2 the input or the call is wrong.";

pub(super) fn withdraw(args: &Withdraw, call: &Call) -> Result<Answer, Failure> {
    let (mut store, race) = race_of(&args.which, call)?;
    let done = store.withdraw(&race.name, &args.entrant, args.entry, &Moment::now()).map_err(refused)?;
    let what = match args.entry {
        Some(entry) => format!("Entry {entry} is taken back"),
        None => "The entrant is withdrawn".to_owned(),
    };
    let text = if done { format!("{what}.") } else { format!("{what} already; nothing was changed.") };
    Ok(Answer::done(json!({ "race": race.name, "entry": args.entry, "changed": done }), text))
}

pub(super) fn export(args: &Export, call: &Call) -> Result<Answer, Failure> {
    let (store, race) = race_of(&args.which, call)?;
    let given = store.export(&race.name, &args.entrant).map_err(refused)?;
    let text = format!("{given:#}");
    Ok(Answer::done(given, text))
}

pub(super) fn erase(args: &Erase, call: &Call) -> Result<Answer, Failure> {
    let (mut store, race) = race_of(&args.which, call)?;
    let erased = store.erase(&race.name, &args.entrant, &Moment::now()).map_err(refused)?;
    let Some(erased) = erased else {
        let json = json!({ "race": race.name, "changed": false });
        return Ok(Answer::done(json, "Erased already; nothing was changed."));
    };
    let shared = match erased.shared.len() {
        0 => String::new(),
        n => format!(" {n} stay, for another entrant's entries have the same."),
    };
    let text = format!(
        "Erased: name, contact and mark of entrant {}, and {} files of theirs.{shared}\n\
         The log is whole. Write the standings anew, and take down old ones.",
        erased.entrant,
        erased.proofs.len()
    );
    let json = json!({
        "race": race.name, "entrant": erased.entrant, "changed": true, "proofs": erased.proofs,
        "shared": erased.shared,
    });
    Ok(Answer::done(json, text))
}
