//! `plays add`: a try, or a file of them.

use std::path::PathBuf;

use clap::{ArgGroup, Args};
use project::{NewPlay, NotAdded, Play, Plays};
use serde_json::{Value, json};

use crate::answer::{Answer, Failure};
use crate::cli::Call;
use crate::commands::{open, outline_called};
use crate::timing::spell;

/// Add a try to plays.csv, or the tries of another file
///
/// A try that is told as added is on the disk. One that is there already, or that
/// comes after a finish, is refused unless --try numbers it. Of a file either all
/// rows are added that are not there yet, or none.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES, group = ArgGroup::new("what").required(true).args(["tester", "from"]))]
pub(super) struct Add {
    /// Who: a short name or number that only you can match to a person
    #[arg(long, value_name = "NAME", requires_all = ["outline", "minutes"])]
    tester: Option<String>,
    /// The outline, by the name of its file without .toml
    #[arg(long, value_name = "OUTLINE", conflicts_with = "from")]
    outline: Option<String>,
    /// Minutes at the board: 12.5, 12:30, or 1:02:30 with hours
    #[arg(long, value_name = "TIME", value_parser = time, conflicts_with = "from")]
    minutes: Option<f64>,
    /// It was given up
    #[arg(long, conflicts_with = "from")]
    unfinished: bool,
    /// Its number among this tester's tries at this outline
    #[arg(long = "try", value_name = "N", conflicts_with = "from", value_parser = clap::value_parser!(u32).range(1..=9999))]
    number: Option<u32>,
    /// When it was begun, as in 2026-03-14T19:30:00Z
    #[arg(long, value_name = "WHEN", value_parser = moment, conflicts_with = "from")]
    started: Option<String>,
    /// Where it comes from
    #[arg(long, value_name = "WORD", default_value = "hand")]
    source: String,
    /// Add the rows of this file, which has the columns of plays.csv
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold plays add --tester t3 --outline tug --minutes 12:30
  pinfold plays add --tester t3 --outline crane --minutes 60 --unfinished
  pinfold plays add --from tries.csv";

fn time(text: &str) -> Result<f64, String> {
    project::minutes(text)
        .ok_or_else(|| "give minutes from 0.01 to 100000, such as 12.5, 12:30 or 1:02:30".to_owned())
}

fn moment(text: &str) -> Result<String, String> {
    let bad = || "give a moment with its offset, as in 2026-03-14T19:30:00Z".to_owned();
    project::moment(text).map(|_| text.trim().to_owned()).ok_or_else(bad)
}

pub(super) fn run(args: &Add, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let added = match (&args.from, &args.tester, &args.outline, args.minutes) {
        (Some(from), ..) => Plays::add_from(&project.root, from),
        (None, Some(tester), Some(outline), Some(minutes)) => {
            outline_called(&project, outline)?;
            for (what, word) in [("tester", tester), ("source", &args.source)] {
                if !project::tester_is_good(word) {
                    return Err(Failure::plain(
                        format_args!("the {what} {word:?} is no short name"),
                        "use letters, digits, '-' and '_', 60 at most, as in t3",
                    ));
                }
            }
            let play = NewPlay {
                tester: tester.clone(),
                outline: outline.clone(),
                minutes,
                finished: !args.unfinished,
                number: args.number,
                started: args.started.clone(),
                source: Some(args.source.clone()),
            };
            Plays::add(&project.root, play)
        }
        // The call's own rules leave no other way.
        _ => return Err(Failure::plain("the call names no try", "see `pinfold plays add --help`")),
    };
    let added = added.map_err(not_added)?;
    let told: Vec<String> = added.added.iter().map(sentence).collect();
    let mut text = match &told[..] {
        [] => "Nothing new.".to_owned(),
        [one] => format!("Added: {one}."),
        many => format!("Added {} tries:\n  {}", many.len(), many.join("\n  ")),
    };
    if added.already > 0 {
        let were = if added.already == 1 { "1 try was" } else { &format!("{} tries were", added.already) };
        text += &format!("\n{were} there already.");
    }
    let rows: Vec<Value> = added.added.iter().map(row).collect();
    Ok(Answer::done(json!({ "added": rows, "already": added.already }), text))
}

fn sentence(play: &Play) -> String {
    let done = if play.finished { "finished in" } else { "given up after" };
    let Play { tester, outline, number, .. } = play;
    format!("{tester} at {outline}, try {number}, {done} {}", spell(play.minutes))
}

fn row(play: &Play) -> Value {
    json!({
        "tester": play.tester, "outline": play.outline, "minutes": play.minutes,
        "finished": play.finished, "try": play.number, "started": play.started,
        "source": play.source, "line": play.line,
    })
}

fn not_added(error: NotAdded) -> Failure {
    let mend = match error {
        NotAdded::Mistakes(report) | NotAdded::WouldBeWrong(report) => return Failure::Mistakes(report),
        NotAdded::There { .. } => "if it is another one, number it with --try N",
        NotAdded::Finished { .. } => "who knows the answer tells nothing; to note it all the same: --try N",
        NotAdded::Busy => "let it end, then run the command again",
        NotAdded::Io(_) => "see to it that the project's folder can be written",
    };
    Failure::plain(error, mend)
}
