//! `scout`: outlines worth publishing, found and proven.
//!
//! One way of finding is one file here ([`nothing`], [`near`], [`like`]); each gives
//! [`Found`]. Ranking, thinning, page, JSON, contact sheet and kept outlines are
//! the same for all of them.

mod arrive;
mod finds;
mod keep;
mod library;
mod like;
mod merge;
mod near;
mod nothing;
mod page;
mod rank;
mod record;
mod sheet;
mod shelf;
mod want;

use std::path::PathBuf;
use std::time::Duration;

use ::scout::finds::{Order, Wish};
use ::scout::outlines::Apart;
use clap::{ArgGroup, Args, ValueEnum};

use self::finds::{Found, Hunt};
use self::want::{Boxed, Hang, Inside, Shard};
use super::Shown;
use crate::answer::{Answer, Failure, Status};
use crate::cli::Call;
use crate::screen::Screen;
use crate::work;

/// Find outlines worth publishing, each proven
///
/// Every find can be filled, and comes with the fewest pockets that leave it
/// exactly one layout: none of its layouts was left out of account. Finds are ranked,
/// and thinned so that no two look nearly the same or have nearly the same
/// answer. A catalogue keeps every outline that was looked at, good or not.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
#[command(group = ArgGroup::new("way").args(["within", "near", "like"]))]
pub(crate) struct Scout {
    /// From nothing: every outline of the set's area in a box of these sides
    #[arg(long = "box", value_name = "WxH", help_heading = WAYS)]
    within: Option<Boxed>,
    /// Outlines that differ from this one by a few moved cells
    #[arg(long, value_name = "OUTLINE", help_heading = WAYS)]
    near: Option<String>,
    /// With --near: move at most so many cells, 1 to 3
    #[arg(long, value_name = "K", default_value_t = 1, allow_negative_numbers = true, value_parser = clap::value_parser!(u8).range(1..=3), help_heading = WAYS)]
    moves: u8,
    #[command(flatten)]
    like: like::LikeArgs,
    /// With --box: only these symmetries [default: all]
    #[arg(long, value_name = "KIND,…", value_delimiter = ',', help_heading = WAYS)]
    symmetry: Vec<String>,
    /// With --box and --like: how the cells hang together
    #[arg(long, value_name = "BY", default_value = "sides", help_heading = WAYS)]
    joined: Hang,
    /// With --box: whether there may be holes
    #[arg(long, value_name = "WHICH", default_value = "none", help_heading = WAYS)]
    holes: Inside,
    /// With --box: draw about so many outlines, none twice, instead of all
    #[arg(long, value_name = "K", value_parser = clap::value_parser!(u64).range(1..), requires = "within", help_heading = WAYS)]
    sample: Option<u64>,
    /// With --sample: another seed draws others
    #[arg(long, value_name = "S", default_value_t = 1, help_heading = WAYS)]
    seed: u64,

    /// What makes a find better
    #[arg(long, value_name = "WISH", default_value = "unique", help_heading = FINDS)]
    wish: WishFor,
    /// Score looks by likeness to the nearest of the pictures in this folder, too
    #[arg(long, value_name = "DIR", conflicts_with = "like", help_heading = FINDS)]
    pictures: Option<PathBuf>,
    /// Which finds come first [default: as the wish has it]
    #[arg(long, value_name = "BY", help_heading = FINDS)]
    sort: Option<By>,
    /// Only finds with at most so many pockets
    #[arg(long, value_name = "N", help_heading = FINDS)]
    most_pockets: Option<usize>,
    /// Only finds with at least so many layouts when there is a pocket everywhere
    #[arg(long, value_name = "N", help_heading = FINDS)]
    least_layouts: Option<u64>,
    /// Finds that are nearly the same as a better one, too (with --like always)
    #[arg(long, help_heading = FINDS)]
    alike: bool,
    /// Finds on the page, a number or "all"
    #[arg(long, value_name = "N", default_value = "12", help_heading = FINDS)]
    show: Shown,
    /// Write the first so many finds to the folder outlines, over no file
    #[arg(long, value_name = "N", help_heading = FINDS)]
    keep: Option<usize>,
    /// Write these finds instead, by their numbers on the page
    #[arg(long, value_name = "N,…", value_delimiter = ',', conflicts_with = "keep", help_heading = FINDS)]
    pick: Vec<usize>,
    /// Call what is kept so, with a number
    #[arg(long, value_name = "NAME", default_value = "find", help_heading = FINDS)]
    name: String,
    /// Draw the finds on one contact sheet: a .svg, .png or .pdf
    #[arg(long, value_name = "FILE", help_heading = FINDS)]
    sheet: Option<PathBuf>,

    /// With --box: keep every outline looked at in this folder, and go on from
    /// what is there; alone: the finds of what is there
    #[arg(long, value_name = "DIR", help_heading = CATALOGUES)]
    catalogue: Option<PathBuf>,
    /// Do only this share of the catalogue, as in 3/8
    #[arg(long, value_name = "I/N", requires = "within", requires = "catalogue", help_heading = CATALOGUES)]
    shard: Option<Shard>,
    /// Join the shards in these folders (and in the catalogue's own) to one file
    #[arg(long, value_name = "DIR", num_args = 0.., conflicts_with = "way", requires = "catalogue", help_heading = CATALOGUES)]
    merge: Option<Vec<PathBuf>>,

    /// Also find the most pockets and the layouts that drop in of every outline, not of
    /// the finds on the page alone; about a hundred times slower
    #[arg(long, help_heading = EFFORT)]
    thorough: bool,
    /// Where layouts must be listed, list at most so many
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
    /// With --json: tell each find on a line of its own as it is proven, and how far the
    /// work is; the answer is the last line
    #[arg(long, requires = "json")]
    as_found: bool,
}

const WAYS: &str = "Ways to find";
const FINDS: &str = "What becomes of the finds";
const CATALOGUES: &str = "Catalogues that last";
const EFFORT: &str = "Effort";

const EXAMPLES: &str = "\
Examples:
  pinfold scout --like anchor.svg       nearest to a silhouette: PNG, JPEG or SVG
  pinfold scout --like gull.png --upright --keep 1 --name gull
  pinfold scout --box 4x3               every outline in a box of 4 by 3
  pinfold scout --box 6x6 --symmetry mirror,full --sort layouts
  pinfold scout --box 7x7 --sample 5000 --seed 2 --time 60
  pinfold scout --box 6x6 --symmetry mirror --pictures pictures
  pinfold scout --near tug              one cell moved, and one layout is left
  pinfold scout --near tug --moves 2 --wish fewer-pockets
  pinfold scout --box 4x3 --sheet out/finds.pdf --keep 3 --name quay
  pinfold scout --box 4x4 --catalogue out/all       stop it, and go on later
  pinfold scout --box 4x4 --catalogue out/c --shard 3/8
  pinfold scout --catalogue out/all --merge out/a out/b out/c
  pinfold scout --catalogue out/all --sort blind    the finds of a catalogue
  pinfold scout --near tug --json --as-found        for programs: finds as they come

Exit status: 0 done, with finds; 1 there are none; 2 the input or the call is wrong.";

/// What makes an outline better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum WishFor {
    /// Some pockets leave it one layout
    Unique,
    /// That, with more layouts to be misled by
    Harder,
    /// That, with fewer pockets
    FewerPockets,
}

impl WishFor {
    fn wish(self) -> Wish {
        match self {
            WishFor::Unique => Wish::Unique,
            WishFor::Harder => Wish::Harder,
            WishFor::FewerPockets => Wish::FewerPockets,
        }
    }
}

/// Which finds come first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum By {
    /// The best looks
    Score,
    /// The most layouts when there is a pocket everywhere
    Layouts,
    /// The fewest pockets
    Pockets,
    /// The most pockets that still leave one layout
    Blind,
    /// As they stand in the catalogue
    Place,
}

impl Scout {
    /// Whether every outline is asked for what takes long.
    fn thorough(&self) -> bool {
        self.thorough || self.sort == Some(By::Blind)
    }

    fn order(&self) -> Order {
        match self.sort {
            None => self.wish.wish().order(),
            Some(By::Score) => Order::Score,
            Some(By::Layouts) => Order::Layouts,
            Some(By::Pockets) => Order::Pockets,
            Some(By::Blind) => Order::Blind,
            Some(By::Place) => Order::Place,
        }
    }
}

pub(crate) fn run(args: &Scout, call: &Call) -> Result<Answer, Failure> {
    sheet::kind(args)?;
    keep::check(args)?;
    let mut hunt = Hunt::start(args, call)?;
    let found: Found = match args {
        Scout { merge: Some(from), catalogue: Some(into), .. } => merge::run(&hunt, from, into)?,
        Scout { near: Some(name), .. } => near::run(&hunt, name)?,
        Scout { within: Some(within), .. } => nothing::run(&hunt, *within)?,
        Scout { like, .. } if like.is_asked() => like::run(&hunt, like)?,
        Scout { catalogue: Some(folder), .. } => nothing::kept(&hunt, folder)?,
        _ => {
            let mend = "give a --box, a picture to be --like, an outline to be --near, or a --catalogue; \
                        `pinfold scout --help` has examples";
            return Err(Failure::plain("no way to find is chosen", mend));
        }
    };
    // Those near one outline all look like it: they must differ by their answers.
    let look = if args.near.is_some() { 0.0 } else { Apart::default().look };
    let ranked = rank::rank(&hunt, &found.finds, &Apart { look, ..Apart::default() })?;
    let files = sheet::write(&hunt, &ranked.shown)?;
    let kept = keep::write(args, &mut hunt.project, &ranked.shown)?;
    let told = page::Told { hunt: &hunt, found: &found, ranked: &ranked, files: &files, kept: &kept };
    let status = if found.finds.is_empty() && !found.done { Status::No } else { Status::Done };
    let screen = Screen::of_output(args.ascii);
    let answer = Answer::made(status, call.json, || told.json(), || told.page(&screen))?;
    Ok(if args.as_found { answer.on_one_line() } else { answer })
}
