//! `pockets`: pocket sets that leave an outline one layout.

mod page;

use std::path::PathBuf;
use std::time::Duration;

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use desk::filling::Stopped;
use desk::pockets::{Asked, Found, Which};
use fill::PocketAsk;
use lattice::Outline;
use paper::{Picture, Tile, TileContent};
use project::{OutlineChange, OutlineRecord, Project};

use super::{open, outline_called};
use crate::answer::{Answer, Failure, Status, counted};
use crate::cli::Call;
use crate::grading::not_written;
use crate::layouts::{self, Table};
use crate::pictures::{self, Kind};
use crate::rules;
use crate::screen::Screen;
use crate::work::{self, Early, Work};

/// Design the pockets of an outline: leave it one layout
///
/// With a pocket at every vertex of the edge an outline has many layouts. This
/// finds the fewest pockets that leave exactly one essentially different layout,
/// and the most: blind pockets guide nobody. The outline's own pockets do not
/// matter, and are kept unless --write says otherwise.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct PocketsArgs {
    /// The outline, by the name of its file without .toml
    outline: String,
    /// Leave this layout: its number in the answer of `fill OUTLINE --open`
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = clap::value_parser!(u32).range(1..))]
    layout: Option<u32>,
    /// Put the chosen pockets into the outline's file; its comments stay
    #[arg(long, value_name = "WHICH", num_args = 0..=1, default_missing_value = "smallest", value_parser = which())]
    write: Option<Which>,
    /// List at most so many layouts with a pocket everywhere
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value = "200000", value_parser = clap::value_parser!(u64).range(1..))]
    limit: u64,
    /// Stop listing after so many seconds
    #[arg(long, value_name = "SECONDS", allow_negative_numbers = true, value_parser = work::seconds)]
    time: Option<Duration>,
    /// Threads to use; the answer is the same with any number [default: one for each core]
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
    /// Write a picture of the pocket sets and the layouts they leave
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
  pinfold pockets tug                   the smallest and the largest set
  pinfold pockets tug --write           put the smallest into outlines/tug.toml
  pinfold pockets tug --write largest   as many blind pockets as can be
  pinfold pockets tug --layout 12       leave the 12th layout of `fill tug --open`
  pinfold pockets tug --svg out/tug-pockets.svg --json

Exit status: 0 a set was found; 1 there is none, or none was found before the
search stopped; 2 the input or the call is wrong.";

pub(crate) fn run(args: &PocketsArgs, call: &Call) -> Result<Answer, Failure> {
    let mut project = open(call)?;
    let record = outline_called(&project, &args.outline)?.clone();
    let mut found = search(args, &project, &record)?;
    let pockets = &found.pockets;
    if let Some(asked) = args.layout
        && found.stopped.is_none()
        && u64::from(asked) > pockets.different_open
    {
        let all = counted(pockets.different_open as usize, "essentially different layout");
        return Err(Failure::plain(
            format_args!("there is no layout {asked}: with a pocket everywhere, '{}' has {all}", record.name),
            format_args!("`pinfold fill {} --open --answers all` lists them", record.name),
        ));
    }
    let style = layouts::style(&project);
    if let Some(picture) = sheet(&found, &project, &record, &style)? {
        for (path, kind) in [(&args.svg, Kind::Svg), (&args.png, Kind::Png)] {
            if let Some(path) = path {
                pictures::write(path, &picture, kind)?;
                found.files.push(path.clone());
            }
        }
    }
    let chosen = found.ends().find(|end| Some(end.0) == args.write).map(|end| end.2.clone());
    if let Some(outline) = chosen {
        let change = OutlineChange { outline: Some(outline), ..OutlineChange::default() };
        project.change_outline(&record.name, &change).map_err(not_written)?;
        found.written = Some(project.outline_path(&record.name));
    }
    let screen = Screen::of_output(args.ascii);
    let case = Case { args, project: &project, record: &record, style: &style, found: &found };
    let status = if found.ends().next().is_some() { Status::Done } else { Status::No };
    let layout = args.layout;
    let asked = Asked { project: &project, record: &record, style: &style, layout, found: &found };
    Answer::made(status, call.json, || asked.json(), || case.page(&screen))
}

/// Reads the word for an end.
fn which() -> impl TypedValueParser<Value = Which> {
    let word = |which: Which| {
        let help = match which {
            Which::Smallest => "The fewest pockets",
            Which::Largest => "The most pockets",
        };
        clap::builder::PossibleValue::new(which.word()).help(help)
    };
    let named = |text: String| Which::BOTH.into_iter().find(|w| w.word() == text).expect("a word of an end");
    PossibleValuesParser::new(Which::BOTH.map(word)).map(named)
}

/// One call of the command, answered.
struct Case<'a> {
    args: &'a PocketsArgs,
    project: &'a Project,
    record: &'a OutlineRecord,
    style: &'a paper::Style,
    found: &'a Found,
}

impl<'a> Case<'a> {
    fn table(&self, outline: &'a Outline) -> Table<'a> {
        Table { project: self.project, outline, style: self.style }
    }
}

fn search(args: &PocketsArgs, project: &Project, record: &OutlineRecord) -> Result<Found, Failure> {
    let classes = rules::classes(project)?;
    let work = Work::start(&format!("pockets of {}", record.name), args.time);
    let ask = PocketAsk {
        layout: args.layout.map(|n| n as usize - 1),
        interlocked: project.rules.interlocked,
        most_layouts: args.limit,
        threads: work::threads(args.threads),
        stop: &|| work.must_stop(),
        progress: &|done, all| work.progress(done, all),
    };
    let pockets = fill::pockets(&project.set, &classes, &record.outline, &ask);
    Ok(Found::new(pockets, &record.outline, work.ended(), work.seconds()))
}

/// The ends on one sheet: the plate of each, and the layout it leaves.
fn sheet(
    found: &Found,
    project: &Project,
    record: &OutlineRecord,
    style: &paper::Style,
) -> Result<Option<Picture>, Failure> {
    let mut words = Vec::new();
    for (which, set, _) in found.ends() {
        words.push((
            format!("{}: {}", which.word(), counted(set.pockets.len(), "pocket")),
            format!("leaves layout {}", set.layout + 1),
        ));
    }
    let mut tiles = Vec::new();
    for ((title, note), (_, set, outline)) in words.iter().zip(found.ends()) {
        tiles.push(Tile { title, note: "", content: TileContent::Outline(outline) });
        let folding = &set.answer.folding;
        let content = TileContent::Layout { set: &project.set, outline, folding, style };
        tiles.push(Tile { title: note, note: "", content });
    }
    if tiles.is_empty() {
        return Ok(None);
    }
    Ok(Some(paper::contact_sheet(&format!("{}: pockets", record.title), &tiles, 2)?))
}
