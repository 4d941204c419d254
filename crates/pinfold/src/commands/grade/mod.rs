//! `grade`: how hard outlines are, and why.

mod page;
mod record;

pub(crate) use page::effort;

use std::path::PathBuf;

use clap::Args;
use minutes::FitAsk;
use paper::{LayoutOptions, OutlineOptions, Picture, Tile, TileContent};
use project::{OutlineChange, OutlineRecord, Plays, Project};

use super::{open, outline_called};
use crate::answer::{Answer, Failure, Status};
use crate::cli::Call;
use crate::efforts::Efforts;
use crate::grading::{Graded, People, not_written};
use crate::layouts;
use crate::pictures::{self, Kind};
use crate::screen::Screen;
use crate::timing::Timed;

/// Tell how hard outlines are, and why
///
/// Modelled people try each outline, with a bounded memory, an eye for corners
/// and pockets, and a liking for folds that are few swings from home. Effort is
/// how often the tries that half of them need double one try; the grade is a
/// word for it: mild, fair from effort 6 (64 tries), firm from 8, hard from 10,
/// grim from 12. Beside it stands the evidence, and the start that leads most
/// of them astray.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct GradeArgs {
    /// Outlines, by the names of their files without .toml [default: all]
    outlines: Vec<String>,
    #[command(flatten)]
    people: People,
    /// Put the grades into the outlines' files, as printed on plates; comments stay
    #[arg(long)]
    write: bool,
    /// Write a picture of each most tempting wrong start
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
  pinfold grade                         every outline of the project
  pinfold grade tug                     one of them
  pinfold grade tug --svg out/tug-wrong.svg
  pinfold grade --write                 put the grades into the files
  pinfold grade tug --runs 20000        more people, a narrower interval
  pinfold grade tug crab --seed 7 --json

Exit status: 0 every outline has a grade; 1 one has none, as when it can't be
filled; 2 the input or the call is wrong.";

/// One call of the command, answered.
struct Case<'a> {
    args: &'a GradeArgs,
    project: &'a Project,
    graded: Graded<'a>,
    timed: Timed,
    style: paper::Style,
    files: Vec<PathBuf>,
    written: Vec<PathBuf>,
}

pub(crate) fn run(args: &GradeArgs, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let records = called(&project, &args.outlines)?;
    // Wrong rows are told before long work.
    let plays = Plays::read(&project.root)?;
    let graded = args.people.grade(&project, records)?;
    let mut efforts = Efforts::kept(&project, &args.people);
    efforts.take(&graded.outlines);
    let timed = Timed::with(&project, plays, efforts, None, FitAsk::default().seed)?;
    let style = layouts::style(&project);
    let mut case =
        Case { args, project: &project, graded, timed, style, files: Vec::new(), written: Vec::new() };
    if args.svg.is_some() || args.png.is_some() {
        let picture = case.picture()?;
        for (path, kind) in [(&args.svg, Kind::Svg), (&args.png, Kind::Png)] {
            if let Some(path) = path {
                pictures::write(path, &picture, kind)?;
                case.files.push(path.clone());
            }
        }
    }
    if args.write {
        case.written = case.write()?;
    }
    let all = case.graded.outlines.iter().all(|o| o.1.is_ok());
    let status = if all { Status::Done } else { Status::No };
    let screen = Screen::of_output(args.ascii);
    Answer::made(status, call.json, || case.json(), || case.page(&screen))
}

/// The outlines that a call names, or all; each once.
fn called<'p>(project: &'p Project, names: &[String]) -> Result<Vec<&'p OutlineRecord>, Failure> {
    if project.outlines.is_empty() {
        let mend = "add a file outlines/NAME.toml";
        return Err(Failure::plain("the project has no outlines yet", mend));
    }
    if names.is_empty() {
        return Ok(project.outlines.iter().collect());
    }
    let mut records: Vec<&OutlineRecord> = Vec::new();
    for name in names {
        let record = outline_called(project, name)?;
        if !records.iter().any(|r| r.name == record.name) {
            records.push(record);
        }
    }
    Ok(records)
}

impl Case<'_> {
    /// Where an outline stands in the project, and so in the fit.
    fn position(&self, record: &OutlineRecord) -> usize {
        let found = self.project.outlines.iter().position(|o| o.name == record.name);
        found.expect("records are the project's")
    }

    /// Puts the grades that are new into the files.
    fn write(&self) -> Result<Vec<PathBuf>, Failure> {
        let mut project = self.project.clone();
        let mut written = Vec::new();
        for (record, grade) in &self.graded.outlines {
            let Ok(grade) = grade else { continue };
            let word = grade.step.word();
            if record.grade.as_deref() == Some(word) {
                continue;
            }
            let change = OutlineChange { grade: Some(word.to_owned()), ..OutlineChange::default() };
            project.change_outline(&record.name, &change).map_err(not_written)?;
            written.push(project.outline_path(&record.name));
        }
        Ok(written)
    }

    /// The most tempting wrong starts, on one sheet if there are several.
    fn picture(&self) -> Result<Picture, Failure> {
        let set = &self.project.set;
        let starts: Vec<_> = self
            .graded
            .outlines
            .iter()
            .map(|(record, grade)| {
                let start = grade.as_ref().ok().and_then(|g| g.wrong_start.as_ref());
                let note = match (grade, start) {
                    (Ok(g), Some(start)) => {
                        format!("{}: laid by {:.0} % of people", g.step.word(), 100.0 * start.people)
                    }
                    (Ok(g), None) => format!("{}: no wrong start", g.step.word()),
                    (Err(_), _) => "no grade".to_owned(),
                };
                (record, start, note)
            })
            .collect();
        if let [(record, start, _)] = &starts[..] {
            let title = format!("{}: a wrong start", record.title);
            return Ok(match start {
                Some(start) => {
                    let options = LayoutOptions { title: &title, order: false, ..LayoutOptions::default() };
                    paper::layout(set, &record.outline, &start.folding, &self.style, &options)?
                }
                None => {
                    paper::outline(&record.outline, &OutlineOptions { title: &record.title, blind: &[] })?
                }
            });
        }
        let tiles: Vec<Tile<'_>> = starts
            .iter()
            .map(|(record, start, note)| Tile {
                title: &record.title,
                note,
                content: match start {
                    Some(start) => TileContent::Layout {
                        set,
                        outline: &record.outline,
                        folding: &start.folding,
                        style: &self.style,
                    },
                    None => TileContent::Outline(&record.outline),
                },
            })
            .collect();
        let title = format!("{}: the most tempting wrong starts", self.project.title);
        Ok(paper::contact_sheet(&title, &tiles, 4)?)
    }
}
