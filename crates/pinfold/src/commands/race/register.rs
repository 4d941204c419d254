//! `race register`: an entrant, and their entry mark.

use ::race::{Moment, RaceError};
use clap::Args;
use serde_json::json;

use super::{Which, race_of, refused};
use crate::answer::{Answer, Failure};
use crate::cli::Call;

/// Register an entrant, who gets an entry mark
///
/// The mark is made from name and race under a key that only race.sqlite has: nobody
/// can make one up, or use it for another name or race. The entrant writes it on a
/// slip beside each finished outline, so that the photo is good for nobody else.
/// Ask for no more than you need: a name to show, and a way to reach them if they win.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Register {
    /// The name that standings show
    name: String,
    /// How to reach them; shown nowhere
    #[arg(long, value_name = "TEXT")]
    contact: Option<String>,
    #[command(flatten)]
    which: Which,
}

const EXAMPLES: &str = "\
Examples:
  pinfold race register Ines
  pinfold race register Tamsin --contact tamsin@harbour.example --race spring-tide

Exit status: 0 registered; 1 the name is taken; 2 the input or the call is wrong.";

pub(super) fn run(args: &Register, call: &Call) -> Result<Answer, Failure> {
    let (mut store, race) = race_of(&args.which, call)?;
    match store.register(&race.name, &args.name, args.contact.as_deref(), &Moment::now()) {
        Ok(it) => {
            let text = format!(
                "{} is entrant {} of the race {}. Entry mark:\n\n  {}\n\n\
                 It is to be written by hand beside each finished outline in the photo, and given with each \
                 entry.",
                it.name, it.entrant, it.race, it.mark
            );
            let json = json!({
                "race": it.race, "entrant": it.entrant, "name": it.name, "mark": it.mark.to_string(),
                "registered": true,
            });
            Ok(Answer::done(json, text))
        }
        Err(e @ RaceError::NameTaken { .. }) => {
            let (text, RaceError::NameTaken { name, mark }) = (format!("{e}.\n{}.", e.mend()), &e) else {
                unreachable!("it was matched")
            };
            Ok(Answer::no(
                json!({ "race": race.name, "name": name, "mark": mark, "registered": false }),
                text,
            ))
        }
        Err(e) => Err(refused(e)),
    }
}
