//! `plays next`: which outline a tester should play, to tell most.

use clap::Args;
use minutes::{Next, NextAsk, next};
use project::Project;
use serde_json::{Value, json};

use super::page::columns;
use crate::answer::{Answer, Failure};
use crate::cli::Call;
use crate::commands::{open, unknown};
use crate::screen::Screen;
use crate::timing::{self, Timed, digits, spell};

/// Which outline a tester should play next, to tell most
///
/// Ranks the outlines that the tester has not sat at by how much a try is
/// expected to narrow what is not known of all outlines' minutes: of that
/// outline, and through the tester and the effort of the others.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct NextArgs {
    /// The tester; somebody new if left out, and the best for each tester beside
    #[arg(long, value_name = "NAME")]
    tester: Option<String>,
    /// Minutes after which a try is given up
    #[arg(long, value_name = "TIME", default_value = "60", value_parser = time)]
    minutes: f64,
    /// Another seed draws anew; answers differ in the last digits
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
}

const EXAMPLES: &str = "\
Examples:
  pinfold plays next                    for somebody new, and the best for each tester
  pinfold plays next --tester t3        for t3, the most telling first
  pinfold plays next --tester t3 --minutes 30";

fn time(text: &str) -> Result<f64, String> {
    project::minutes(text).ok_or_else(|| "give minutes, such as 45 or 1:30:00".to_owned())
}

pub(super) fn run(args: &NextArgs, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let timed = Timed::of(&project, timing::all(&project), args.seed)?;
    let tester = match &args.tester {
        None => None,
        Some(name) => match timed.testers.iter().position(|t| t == name) {
            Some(t) => Some(t),
            None => return Err(unknown("tester", name, timed.testers.iter().map(String::as_str))),
        },
    };
    let of = |tester| next(&timed.fit, &NextAsk { tester, budget: args.minutes });
    let ranked = of(tester);
    let who = args.tester.as_deref().unwrap_or("somebody new");
    let screen = Screen::of_output(false);
    let budget = spell(args.minutes);
    let rows: Vec<Value> = ranked.iter().map(|n| row(&project, n)).collect();
    let mut json = json!({ "tester": args.tester, "minutes": args.minutes, "next": rows });
    if ranked.is_empty() {
        let text = format!("{who} has sat at every outline.");
        return Ok(Answer::no(json, text));
    }
    let mut text =
        screen.wrap(&format!("For {who}, giving up after {budget}; the most telling first."), "  ");
    for sentence in timed.basis() {
        text += &screen.wrap(&sentence, "  ");
    }
    text.push('\n');
    text += &table(&project, &ranked);
    if tester.is_none() && !timed.testers.is_empty() {
        let best: Vec<(&String, Option<Next>)> =
            timed.testers.iter().enumerate().map(|(t, name)| (name, of(Some(t)).first().copied())).collect();
        text += "\nFor each tester:\n";
        for (name, best) in &best {
            text += &match best {
                Some(n) => {
                    format!("  {name}: {} ({:.1} %)\n", project.outlines[n.outline].name, 100.0 * n.share)
                }
                None => format!("  {name}: has sat at every outline\n"),
            };
        }
        let told = best
            .iter()
            .map(|(name, best)| json!({ "tester": name, "next": best.as_ref().map(|n| row(&project, n)) }));
        json["testers"] = told.collect();
    }
    text.push('\n');
    text += &screen.wrap(
        "narrows: by how much of all outlines' variance (of the logarithm of minutes) the try is expected \
         to lower it.",
        "",
    );
    Ok(Answer::done(json, text))
}

fn table(project: &Project, ranked: &[Next]) -> String {
    let mut rows = vec![["outline", "narrows", "finished by then", "minutes spent"].map(str::to_owned)];
    for n in ranked {
        rows.push([
            project.outlines[n.outline].name.clone(),
            format!("{:.1} %", 100.0 * n.share),
            format!("{:.0} %", 100.0 * n.finish),
            spell(n.minutes),
        ]);
    }
    columns(&rows)
}

fn row(project: &Project, n: &Next) -> Value {
    json!({
        "outline": project.outlines[n.outline].name,
        "gain": digits(n.gain),
        "share": digits(n.share),
        "finish": digits(n.finish),
        "minutes": digits(n.minutes),
    })
}
