//! `folds`: what each piece can become, and what of that single swings reach.

mod page;
mod sheets;

use std::path::PathBuf;

use clap::Args;
pub(crate) use desk::folds::{Kind, far};
use motion::Effort;
use project::{PieceRecord, Project};
use serde_json::{Value, json};

use super::{Shown, open, unknown};
use crate::answer::{Answer, Failure, Status};
use crate::cli::Call;
use crate::layouts;
use crate::rules;
use crate::screen::Screen;
use crate::work;

/// Count and draw what each piece can become
///
/// A fold is a pose of the piece on the lattice with its hinges; a shape is its
/// cells alone. Turned poses count by themselves, shifted ones do not. A fold is
/// reached if clear swings, each of one hinge by a quarter turn, lead to it from
/// home, with bodies as wide as [sizes] makes them.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Folds {
    /// One piece, by name; all of them if left out
    piece: Option<String>,
    /// With --json: list every fold, its cells, pins, distance and shape
    #[arg(long)]
    each: bool,
    /// Draw so many folds of each piece, the nearest first, turned ones once; or "all"
    #[arg(long, value_name = "N", num_args = 0..=1, default_missing_value = "12")]
    draw: Option<Shown>,
    /// Show the way from home to the farthest fold
    #[arg(long)]
    way: bool,
    /// Look for ways with several hinges at once to the folds that single swings miss
    #[arg(long)]
    plan: bool,
    /// How often the planner may look at the bodies of one piece
    #[arg(long, value_name = "N", requires = "plan", default_value_t = Effort::default().looks)]
    looks: u64,
    /// Another seed looks elsewhere
    #[arg(long, value_name = "N", requires = "plan", default_value_t = Effort::default().seed)]
    seed: u64,
    /// Write a sheet of each piece's folds (and its way) as SVG into a folder
    #[arg(long, value_name = "DIR")]
    svg: Option<PathBuf>,
    /// The same as PNG
    #[arg(long, value_name = "DIR")]
    png: Option<PathBuf>,
    /// Draw with plain ASCII only
    #[arg(long)]
    ascii: bool,
}

const EXAMPLES: &str = "\
Examples:
  pinfold folds                         every piece of the set, in numbers
  pinfold folds cleat --draw            the twelve folds nearest to home
  pinfold folds cleat --way             how to get to the farthest one
  pinfold folds --plan                  what several hinges at once can reach
  pinfold folds --svg out/folds --way   a sheet and a way for each piece
  pinfold folds --json --each --project quayside";

pub(crate) fn run(args: &Folds, call: &Call) -> Result<Answer, Failure> {
    if args.each && !call.json {
        return Err(Failure::plain(
            "--each lists the folds for another program",
            "add --json, or use --draw",
        ));
    }
    let project = open(call)?;
    let wanted: Vec<&PieceRecord> = match &args.piece {
        None => project.pieces.iter().collect(),
        Some(name) => {
            let found = project.pieces.iter().find(|p| p.name == *name);
            let names = project.pieces.iter().map(|p| p.name.as_str());
            vec![found.ok_or_else(|| unknown("piece", name, names))?]
        }
    };
    rules::can_list(&project, wanted.iter().copied())?;
    let plan = rules::plan(&project)?;
    let effort = args.plan.then_some(Effort { looks: args.looks, seed: args.seed });
    let kinds: Vec<Kind> = wanted.into_iter().map(|record| kind(&project, record, &plan, effort)).collect();
    let style = layouts::style(&project);
    let files = sheets::write(args, &project, &style, &kinds)?;
    let wants = desk::folds::Wants { way: args.way, each: args.each };
    let json = || {
        let pieces: Vec<Value> = kinds.iter().map(|kind| kind.json(wants)).collect();
        let files: Vec<String> = files.iter().map(|f| f.display().to_string()).collect();
        Ok(json!({ "pieces": pieces, "files": files }))
    };
    let screen = Screen::of_output(args.ascii);
    let page = || page::page(args, &project, &style, &kinds, &files, &screen);
    Answer::made(Status::Done, call.json, json, page)
}

/// What a piece can become, with a sign of life where that takes long.
fn kind<'p>(
    project: &'p Project,
    record: &'p PieceRecord,
    plan: &reach::Plan,
    effort: Option<Effort>,
) -> Kind<'p> {
    let what = if effort.is_some() { "motions" } else { "folds" };
    work::waiting(&format!("{what} of {}", record.name), || Kind::of(project, record, plan, effort))
}
