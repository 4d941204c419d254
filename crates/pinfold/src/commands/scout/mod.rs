//! `scout`: outlines worth publishing, found and proven.
//!
//! One way of finding is one file here ([`near`], …); each gives [`Found`].
//! Ranking, thinning, page, JSON, contact sheet and kept outlines are the same
//! for all of them.

mod finds;
mod keep;
mod like;
mod near;
mod page;
mod record;
mod sheet;

use std::path::PathBuf;
use std::time::Duration;

use clap::{Args, ValueEnum};

use self::finds::{Found, Hunt};
use super::Shown;
use crate::answer::{Answer, Failure, Status};
use crate::cli::Call;
use crate::screen::Screen;
use crate::work;

/// Find outlines worth publishing, each proven
///
/// Every outline that is shown can be filled, and comes with the fewest pockets
/// that leave it exactly one layout: all layouts were listed to be sure. Finds
/// are ranked, and thinned so that no two are nearly the same.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Scout {
    /// Outlines that differ from this one by a few moved cells
    #[arg(long, value_name = "OUTLINE", help_heading = WAYS)]
    near: Option<String>,
    /// With --near: move at most so many cells, 1 to 3
    #[arg(long, value_name = "K", default_value_t = 1, allow_negative_numbers = true, value_parser = clap::value_parser!(u8).range(1..=3), help_heading = WAYS)]
    moves: u8,
    #[command(flatten)]
    like: like::LikeArgs,
    /// What makes a find better
    #[arg(long, value_name = "WISH", default_value = "unique", help_heading = FINDS)]
    wish: Wish,
    /// Finds on the page, a number or "all"
    #[arg(long, value_name = "N", default_value = "12", help_heading = FINDS)]
    show: Shown,
    /// Write the first so many finds to the folder outlines
    #[arg(long, value_name = "N", help_heading = FINDS)]
    keep: Option<usize>,
    /// With --keep or --pick: name the files so, and number them
    #[arg(long, value_name = "NAME", default_value = "find", help_heading = FINDS)]
    name: String,
    /// Write these finds, by their numbers on the page, to the folder outlines
    #[arg(long, value_name = "N,…", value_delimiter = ',', conflicts_with = "keep", help_heading = FINDS)]
    pick: Vec<usize>,
    /// Draw the finds on one contact sheet: a .svg, .png or .pdf
    #[arg(long, value_name = "FILE", help_heading = FINDS)]
    sheet: Option<PathBuf>,
    /// List at most so many layouts of an outline; one with more is passed over
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value = "200000", value_parser = clap::value_parser!(u64).range(1..), help_heading = EFFORT)]
    limit: u64,
    /// Stop after so many seconds
    #[arg(long, value_name = "SECONDS", allow_negative_numbers = true, value_parser = work::seconds, help_heading = EFFORT)]
    time: Option<Duration>,
    /// Threads to use; the answer is the same with any number [default: one for each core]
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = clap::value_parser!(u16).range(1..=1024), help_heading = EFFORT)]
    threads: Option<u16>,
    /// Draw with plain ASCII only
    #[arg(long)]
    ascii: bool,
}

const WAYS: &str = "Ways to find";
const FINDS: &str = "What becomes of the finds";
const EFFORT: &str = "Effort";

const EXAMPLES: &str = "\
Examples:
  pinfold scout --like anchor.svg       nearest to a silhouette: PNG, JPEG or SVG
  pinfold scout --like gull.png --upright --keep 1 --name gull
  pinfold scout --near tug              one cell moved, and one layout is left
  pinfold scout --near tug --moves 2 --wish fewer-pockets
  pinfold scout --near tug --sheet out/near-tug.svg --keep 3

Exit status: 0 done, with finds; 1 there are none; 2 the input or the call is wrong.";

/// What makes an outline better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Wish {
    /// Some pockets leave it one layout
    Unique,
    /// That, with more layouts to be misled by
    Harder,
    /// That, with fewer pockets
    FewerPockets,
}

pub(crate) fn run(args: &Scout, call: &Call) -> Result<Answer, Failure> {
    let mut hunt = Hunt::start(args, call)?;
    let found: Found = match &args.near {
        Some(name) => near::run(&hunt, name)?,
        None if !args.like.like.is_empty() => like::run(&hunt, &args.like)?,
        None => {
            let mend =
                "name an outline with --near, or a picture with --like; `pinfold scout --help` has examples";
            return Err(Failure::plain("no way to find is chosen", mend));
        }
    };
    let shown = &found.finds[..found.finds.len().min(args.show.0)];
    let files = sheet::write(&hunt, shown)?;
    let kept = keep::write(args, &mut hunt.project, &found.finds)?;
    let told = page::Told { hunt: &hunt, found: &found, shown, files: &files, kept: &kept };
    let status = if found.finds.is_empty() { Status::No } else { Status::Done };
    let screen = Screen::of_output(args.ascii);
    Answer::made(status, call.json, || told.json(), || told.page(&screen))
}
