//! `race standings`: who is where.

use ::race::{Moment, Standings, standings_csv, standings_page};
use clap::Args;
use serde_json::{Value, json};

use super::super::open;
use super::paper::{Paper, Pdf};
use super::{Which, folder, race_of, refused, write};
use crate::answer::{Answer, Failure};
use crate::cli::Call;

/// Who is where: on the screen, and as page, PDF, CSV and JSON
///
/// Entries count that are accepted, in time, not taken back, and the first for
/// their outline. The files in out/race/NAME may be published as they are: they have
/// names and places, and nothing else of anybody.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct StandingsArgs {
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    paper: Paper,
}

const EXAMPLES: &str = "\
Examples:
  pinfold race standings
  pinfold race standings --race spring-tide --json";

pub(super) fn run(args: &StandingsArgs, call: &Call) -> Result<Answer, Failure> {
    let (mut store, race) = race_of(&args.which, call)?;
    let project = open(call)?;
    let now = Moment::now();
    let standings = store.standings(&race.name).map_err(refused)?;
    let record = serde_json::to_value(&standings).expect("a record is JSON");
    let folder = folder(call, &race.name);
    let page = standings_page(&standings, &project.title, &now);
    let as_json = format!("{record:#}\n");
    let mut files = vec![
        write(&folder, "standings.html", page.as_bytes())?,
        write(&folder, "standings.csv", standings_csv(&standings).as_bytes())?,
        write(&folder, "standings.json", as_json.as_bytes())?,
    ];
    let mut note = String::new();
    match args.paper.standings(&project, &race, &standings, &now) {
        Pdf::Set(pdf) => files.push(write(&folder, "standings.pdf", &pdf)?),
        Pdf::NotAsked => {}
        Pdf::Unset(why) => note = format!("\n{why}"),
    }
    let text = told(&standings, &files) + &note;
    let Value::Object(mut record) = record else { unreachable!("standings are an object") };
    record.insert("files".into(), json!(files));
    Ok(Answer::done(record.into(), text))
}

fn told(s: &Standings, files: &[String]) -> String {
    let mut text = format!("The race {}, {}, until {}. Entries: {}", s.race, s.phase, s.until, s.entries);
    text += &match s.waiting {
        0 => ".\n".to_owned(),
        n => format!("; to be checked, by pinfold race check: {n}.\n"),
    };
    for goal in &s.goals {
        text += &format!("\n{}\n", goal.told);
        if goal.places.is_empty() {
            text += "  nobody yet\n";
        }
        for row in goal.places.iter().take(10) {
            let shared = if row.shared { " (shared)" } else { "" };
            text +=
                &format!("  {:>3}. {}{shared}   {} solved, at {}\n", row.place, row.name, row.solved, row.at);
        }
        if goal.places.len() > 10 {
            text += &format!("  and {} more\n", goal.places.len() - 10);
        }
    }
    let sum = |count: fn(&::race::EntrantRow) -> usize| -> usize { s.entrants.iter().map(count).sum() };
    text += &format!(
        "\nNot counted: {} rejected, {} late, {} repeated, {} taken back; {} withdrew.\n",
        sum(|e| e.rejected),
        sum(|e| e.late),
        sum(|e| e.repeated),
        sum(|e| e.taken_back),
        s.entrants.iter().filter(|e| e.withdrawn.is_some()).count(),
    );
    text + &format!("Written: {}.", files.join(", "))
}
