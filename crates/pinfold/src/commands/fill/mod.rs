//! `fill`: every filling of an outline.

mod page;

use std::path::PathBuf;
use std::time::Duration;

use clap::Args;
use desk::filling::{Asked, Found, Stopped, Verdict};
use desk::ways::Ways;
use fill::{Ask, Certainty, Counts, Uncounted};
use lattice::{Class, Outline};
use num_bigint::BigUint;
use project::{OutlineRecord, Project};

use super::{Shown, open, outline_called};
use crate::answer::{Answer, Failure, Status};
use crate::cli::Call;
use crate::layouts::{self, Table};
use crate::pictures::{self, Kind};
use crate::rules;
use crate::screen::Screen;
use crate::work::{self, Work};

/// Find and count every filling of an outline
///
/// A layout says which piece covers which cells; a folding is a layout with its
/// hinges. Layouts that a turn of the outline maps onto each other are one
/// essentially different layout. A layout drops in if the pieces of one of its
/// foldings can be lowered into the plate one after the other.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Fill {
    /// The outline, by the name of its file without .toml
    outline: String,
    /// As if with a pocket at every vertex of the edge
    #[arg(long)]
    open: bool,
    /// Stop after so many essentially different layouts
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = clap::value_parser!(u64).range(1..))]
    limit: Option<u64>,
    /// Stop after so many seconds
    #[arg(long, value_name = "SECONDS", allow_negative_numbers = true, value_parser = work::seconds)]
    time: Option<Duration>,
    /// How many layouts to show, or "all" [default: 3, with --json 10]
    #[arg(long, value_name = "N")]
    answers: Option<Shown>,
    /// Show layouts that are turns of each other, too
    #[arg(long)]
    turns: bool,
    /// Name the swings that take each piece from home to its fold
    #[arg(long)]
    swings: bool,
    /// Count exactly without listing: for outlines with very many fillings
    #[arg(long, conflicts_with_all = ["limit", "answers", "turns", "swings", "svg", "png"])]
    count: bool,
    /// Threads to use; the answer is the same with any number [default: one for each core]
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
    /// Write a picture of each layout shown: FILE, then FILE with -2, -3, … before its ending
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// The same as PNG
    #[arg(long, value_name = "FILE")]
    png: Option<PathBuf>,
    /// Draw with plain ASCII only
    #[arg(long)]
    ascii: bool,
}

const EXAMPLES: &str = "\
Examples:
  pinfold fill tug                      its layouts, the first three drawn
  pinfold fill tug --open --limit 2     is there more than one with pockets all round?
  pinfold fill tug --svg out/tug.svg    pictures of the layouts shown
  pinfold fill tug --swings             and how the hand folds each piece for it
  pinfold fill quay --count             exact numbers where there are millions
  pinfold fill tug --json --answers all --time 60

Ctrl-C ends the search; the answer tells what was found until then.
Exit status: 0 a filling was found that the set allows; 1 there is none, or none
was found before the search stopped; 2 the input or the call is wrong.";

/// One call of the command, read.
struct Case<'a> {
    args: &'a Fill,
    project: &'a Project,
    record: &'a OutlineRecord,
    /// The pieces with the folds that the set's rule allows.
    classes: Vec<Class>,
    /// With the pockets that the search had.
    outline: Outline,
}

pub(crate) fn run(args: &Fill, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let record = outline_called(&project, &args.outline)?;
    let classes = rules::classes(&project)?;
    let outline = if args.open { record.outline.open() } else { record.outline.clone() };
    let case = Case { args, project: &project, record, classes, outline };
    let found = if args.count { case.count()? } else { case.search(call.json) };
    let style = layouts::style(&project);
    let table = Table { project: &project, outline: &case.outline, style: &style };
    let files = case.write_pictures(&table, &found)?;
    let status = match case.verdict(&found) {
        Verdict::Yes | Verdict::Perhaps => Status::Done,
        Verdict::Interlocked | Verdict::None => Status::No,
    };
    let screen = Screen::of_output(args.ascii);
    let ways =
        if args.swings { Some(work::waiting("swings of the pieces", || Ways::of(&project))?) } else { None };
    work::waiting("drawing the answers", || {
        let asked = Asked { project: &project, record, outline: &case.outline, open: args.open };
        let json = || asked.json(&table, &found, ways.as_ref(), &files);
        Answer::made(status, call.json, json, || case.page(&table, &found, ways.as_ref(), &files, &screen))
    })
}

impl Case<'_> {
    fn work(&self) -> Work {
        Work::start(&format!("filling {}", self.record.name), self.args.time)
    }

    fn search(&self, json: bool) -> Found {
        let shown = self.args.answers.map_or(if json { 10 } else { 3 }, |shown| shown.0);
        let work = self.work();
        let ask = Ask {
            limit: self.args.limit,
            answers: shown,
            turns: self.args.turns,
            threads: work::threads(self.args.threads),
            stop: &|| work.must_stop(),
            progress: &|done, all| work.progress(done, all),
        };
        let filling = fill::fill(&self.project.set, &self.classes, &self.outline, &ask);
        let stopped = match filling.certainty {
            Certainty::Complete => None,
            Certainty::Limit => Some(Stopped::Limit),
            Certainty::Stopped => work.ended().map(Stopped::Early),
        };
        Found { counts: filling.counts, stopped, answers: filling.answers, seconds: work.seconds() }
    }

    fn count(&self) -> Result<Found, Failure> {
        let work = self.work();
        let stop = || work.must_stop();
        let counted = fill::count(&self.project.set, &self.classes, &self.outline, &stop);
        let (counts, stopped) = match counted {
            Ok(counts) => (counts, None),
            Err(Uncounted::Stopped) => {
                let none = || BigUint::ZERO;
                let counts =
                    Counts { different: none(), layouts: none(), foldings: none(), drop_in_layouts: None };
                (counts, work.ended().map(Stopped::Early))
            }
            Err(Uncounted::TooManyPieces) => {
                return Err(Failure::plain(
                    "the set has more pieces of different kinds than can be counted without listing",
                    "leave out --count, and bound the search with --limit or --time",
                ));
            }
        };
        Ok(Found { counts, stopped, answers: Vec::new(), seconds: work.seconds() })
    }

    fn verdict(&self, found: &Found) -> Verdict {
        Verdict::of(self.project, &found.counts)
    }

    fn write_pictures(&self, table: &Table, found: &Found) -> Result<Vec<PathBuf>, Failure> {
        let mut files = Vec::new();
        for (path, kind) in [(&self.args.svg, Kind::Svg), (&self.args.png, Kind::Png)] {
            let Some(path) = path else { continue };
            for (number, answer) in found.answers.iter().enumerate() {
                let title = match found.answers.len() {
                    1 => self.record.title.clone(),
                    _ => format!("{}, {}", self.record.title, number + 1),
                };
                let file = pictures::numbered(path, number);
                pictures::write(&file, &table.picture(&answer.folding, &title)?, kind)?;
                files.push(file);
            }
        }
        Ok(files)
    }
}
