//! `folds`: what each piece can become, and what of that single swings reach.

mod page;
mod record;
mod sheets;

use std::path::PathBuf;

use clap::Args;
use lattice::{Fold, Motion, Piece, Turn};
use motion::{Effort, Planned};
use project::{PieceRecord, Project};
use reach::Reach;
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

/// One kind of piece with what it can become.
struct Kind<'a> {
    record: &'a PieceRecord,
    piece: &'a Piece,
    reach: Reach,
    /// By fold, the number of its shape, counted from 0.
    shape_of: Vec<usize>,
    /// What the planner found, if it was asked and swings miss anything.
    planned: Option<Planned>,
}

impl<'a> Kind<'a> {
    fn of(project: &'a Project, record: &'a PieceRecord, plan: &reach::Plan, effort: Option<Effort>) -> Self {
        let what = format!("folds of {}", record.name);
        let reach = work::waiting(&what, || rules::reach_of(project, record, plan));
        let shapes = reach.folds().shapes().enumerate();
        let shape_of = shapes.flat_map(|(s, folds)| std::iter::repeat_n(s, folds.len())).collect();
        let piece = &project.set.pieces[record.set.start];
        let planned = effort.filter(|_| !reach.missed().is_empty()).map(|effort| {
            let (levels, turn_over) = (project.set.levels, project.set.turn_over);
            let what = format!("motions of {}", record.name);
            work::waiting(&what, || Planned::of(piece, levels, turn_over, plan, effort))
        });
        Kind { record, piece, reach, shape_of, planned }
    }

    fn folds(&self) -> &[Fold] {
        self.reach.folds().folds()
    }

    fn shapes(&self) -> usize {
        self.shape_of.last().map_or(0, |last| last + 1)
    }

    /// Shapes that at least one reached fold has.
    fn shapes_reached(&self) -> usize {
        let reached = self.shape_of.iter().enumerate().filter(|(f, _)| self.reach.distance(*f).is_some());
        let mut shapes: Vec<usize> = reached.map(|(_, &s)| s).collect();
        shapes.dedup();
        shapes.len()
    }

    /// The first of the farthest reached folds.
    fn farthest(&self) -> usize {
        let far = Some(self.reach.farthest());
        (0..self.folds().len()).find(|&f| self.reach.distance(f) == far).expect("home is reached")
    }

    /// The folds, one for all those that are turns of it, nearest to home first,
    /// those out of reach last.
    fn unlike(&self, levels: u8) -> Vec<usize> {
        let folds = self.reach.folds();
        let first_of_turns = |&f: &usize| {
            Turn::ALL.iter().all(|&turn| {
                let pose = folds.folds()[f].pose.moved(Motion::about_origin(false, turn));
                folds.position(&Fold::of(self.piece, &pose, levels)).is_none_or(|image| image >= f)
            })
        };
        let mut unlike: Vec<usize> = (0..folds.len()).filter(first_of_turns).collect();
        unlike.sort_by_key(|&f| (self.reach.distance(f).unwrap_or(u32::MAX), f));
        unlike
    }
}

/// A distance in words.
fn far(distance: Option<u32>) -> String {
    match distance {
        None => "not reached".to_owned(),
        Some(0) => "home".to_owned(),
        Some(1) => "1 swing".to_owned(),
        Some(n) => format!("{n} swings"),
    }
}

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
    let kinds: Vec<Kind> =
        wanted.into_iter().map(|record| Kind::of(&project, record, &plan, effort)).collect();
    let style = layouts::style(&project);
    let files = sheets::write(args, &project, &style, &kinds)?;
    let json = || {
        let pieces: Vec<Value> = kinds.iter().map(|kind| kind.json(args)).collect();
        let files: Vec<String> = files.iter().map(|f| f.display().to_string()).collect();
        Ok(json!({ "pieces": pieces, "files": files }))
    };
    let screen = Screen::of_output(args.ascii);
    let page = || page::page(args, &project, &style, &kinds, &files, &screen);
    Answer::made(Status::Done, call.json, json, page)
}
