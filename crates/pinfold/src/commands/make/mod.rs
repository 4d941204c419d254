//! `make`: printable parts, checked, as files.

mod page;
mod proof;

use std::path::PathBuf;

use clap::Args;
use desk::parts::{self, Parts, Wants};
use project::Project;
use solid::{Made, Request};

use super::open;
use crate::answer::{Answer, Failure, Status};
use crate::cli::Call;
use crate::screen::Screen;
use crate::work;
use proof::Proved;

/// Make parts as files to print, each one measured first
///
/// Builds pieces, board, plates, test coupon and backing, and measures every
/// one of them: closed, bodies, walls, gaps through the whole range of every
/// hinge, play, overhangs, bed. A part that fails a check is not written; the
/// place is drawn instead. Print the coupon before anything else.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Make {
    /// Pieces and outlines by name, board, coupon, backing [default: all of them]
    #[arg(value_name = "PART")]
    parts: Vec<String>,
    /// The folder to write into [default: out in the project's folder]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write STL beside 3MF
    #[arg(long)]
    stl: bool,
    /// Draw each part as SVG and PNG, with sections through its hinges
    #[arg(long)]
    pictures: bool,
    /// Set every layout of the outlines into their plates and measure that nothing touches
    #[arg(long)]
    proof: bool,
    /// With --proof: at most so many layouts of an outline
    #[arg(long, value_name = "N", requires = "proof", default_value = "200", value_parser = clap::value_parser!(u32).range(1..))]
    layouts: u32,
}

const EXAMPLES: &str = "\
Examples:
  pinfold make                          everything, into the project's folder out
  pinfold make coupon                   the strip to print first: it tells the clearance
  pinfold make cleat tug --stl          one piece and one plate, as STL too
  pinfold make --pictures --out parts   with pictures, into another folder
  pinfold make --proof                  blocks against plates, for every layout

Exit status: 0 all parts passed; 1 a part failed a check and was not written;
2 the input or the call is wrong, and nothing was written.";

/// What came of a call.
struct Case<'a> {
    args: &'a Make,
    project: &'a Project,
    parts: &'a Parts,
    request: &'a Request,
    made: &'a Made,
    proved: Option<&'a [Proved]>,
    out: &'a std::path::Path,
}

pub(crate) fn run(args: &Make, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let parts = Parts::called(&project, &args.parts)?;
    let wants = Wants { stl: args.stl, pictures: args.pictures };
    // Whatever is wrong is told before any long search.
    let plain = parts::request(&project, &parts, wants, &[]);
    refuse(&project, &plain.faults())?;
    let found = if args.proof { Some(proof::layouts(&project, &parts, args.layouts)?) } else { None };
    let foldings: Vec<_> = found.iter().flatten().map(|f| f.foldings.clone()).collect();
    let request = parts::request(&project, &parts, wants, &foldings);
    let made = work::waiting("making parts", || solid::make(&request));
    let made = made.map_err(|errors| parts::refused(&project, &errors))?;
    let proved = match found {
        Some(found) => {
            let without = work::waiting("taking pockets away", || solid::without_pockets(&request));
            let without = without.map_err(|errors| parts::refused(&project, &errors))?;
            Some(proof::gather(found, &project, &parts, &made, &without))
        }
        None => None,
    };
    let out = args.out.clone().unwrap_or_else(|| project.root.join("out"));
    desk::disk::write(&out, &made, parts.all)?;
    let case = Case {
        args,
        project: &project,
        parts: &parts,
        request: &request,
        made: &made,
        proved: proved.as_deref(),
        out: &out,
    };
    let screen = Screen::of_output(false);
    let status = if case.asked().passed() { Status::Done } else { Status::No };
    Answer::made(status, call.json, || Ok(case.asked().json()), || Ok(case.page(&screen)))
}

fn refuse(project: &Project, errors: &[solid::MakeError]) -> Result<(), Failure> {
    if errors.is_empty() { Ok(()) } else { Err(parts::refused(project, errors)) }
}

impl Case<'_> {
    fn asked(&self) -> desk::made::Asked<'_> {
        desk::made::Asked {
            project: self.project,
            request: self.request,
            made: self.made,
            proved: self.proved,
            out: self.out,
        }
    }
}
