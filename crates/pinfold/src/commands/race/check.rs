//! `race check`: entries checked.

use ::race::{Checked, Moment, Which as Entries};
use clap::Args;
use serde_json::{Value, json};

use super::super::open;
use super::judging::{Judge, rules};
use super::{Which, race_of, refused};
use crate::answer::{Answer, Failure};
use crate::cli::Call;
use crate::screen::Screen;

/// Check entries: every valid layout is accepted, every other told what is wrong
///
/// Without a number: all that wait. Reasons say which piece, cell or hinge is wrong,
/// and give nothing away of what would be right: they can be sent to the entrant.
/// An entry whose photo another entrant put in before is rejected. What only eyes
/// can see, such as a photo without a mark, you reject with a reason.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Check {
    /// One entry, checked again if it was
    entry: Option<i64>,
    /// Every entry again
    #[arg(long, conflicts_with = "entry")]
    all: bool,
    /// Reject the entry by your own eyes
    #[arg(long, value_name = "REASON", requires = "entry")]
    reject: Option<String>,
    #[command(flatten)]
    which: Which,
}

const EXAMPLES: &str = "\
Examples:
  pinfold race check                    all that wait
  pinfold race check 12                 one, once more
  pinfold race check 12 --reject no-mark-in-the-photo

Exit status: 0 done; 1 the one entry asked for is rejected; 2 the input or the call
is wrong.";

pub(super) fn run(args: &Check, call: &Call) -> Result<Answer, Failure> {
    let (mut store, race) = race_of(&args.which, call)?;
    let now = Moment::now();
    let checked = match (&args.reject, args.entry) {
        (Some(reason), Some(entry)) => vec![store.reject(&race.name, entry, reason, &now).map_err(refused)?],
        (_, entry) => {
            let project = open(call)?;
            let rules = rules(&project, &race)?;
            let judge = Judge::new(&project, &race, &rules);
            let which = match entry {
                Some(entry) => Entries::One(entry),
                None if args.all => Entries::All,
                None => Entries::Waiting,
            };
            let rule = |outline: &str, layout: &str| judge.rule(outline, layout);
            store.check(&race.name, which, &now, rule).map_err(refused)?
        }
    };
    let accepted = checked.iter().filter(|c| c.ruling.code.is_some()).count();
    let entries: Vec<Value> = checked.iter().map(record).collect();
    let json = json!({
        "race": race.name, "checked": checked.len(), "accepted": accepted,
        "rejected": checked.len() - accepted, "entries": entries,
    });
    let text = page(&checked, accepted);
    let rejected = args.entry.is_some() && accepted == 0;
    Ok(if rejected { Answer::no(json, text) } else { Answer::done(json, text) })
}

fn record(it: &Checked) -> Value {
    json!({
        "entry": it.entry, "entrant": it.entrant, "outline": it.outline,
        "accepted": it.ruling.code.is_some(), "code": it.ruling.code, "reasons": it.ruling.reasons,
    })
}

fn page(checked: &[Checked], accepted: usize) -> String {
    let screen = Screen::of_output(false);
    let mut text = String::new();
    for it in checked {
        let (entry, outline, entrant) = (it.entry, &it.outline, it.entrant);
        let verdict = if it.ruling.code.is_some() { "accepted" } else { "rejected" };
        text += &format!("entry {entry}, {outline} by entrant {entrant}: {verdict}\n");
        for reason in &it.ruling.reasons {
            text += &screen.wrap(&format!("  {reason}"), "  ");
        }
    }
    match checked.len() {
        0 => text + "No entry waits.",
        n => text + &format!("Checked: {n}; accepted: {accepted}; rejected: {}.", n - accepted),
    }
}
