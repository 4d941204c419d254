//! `pack`: outlines published together, in a folder and a zip; and whether such
//! a zip is sound.

mod page;
mod put;
mod verify;

use std::fs;
use std::path::PathBuf;

use clap::Args;
use project::{OutlineChange, PackRecord, Project, SaltError};
use publish::{Answered, Composed, Order, Refused};

use super::{open, unknown};
use crate::answer::{Answer, Failure, Status};
use crate::cli::Call;
use crate::efforts::steps;
use crate::grading::not_written;
use crate::rules;
use crate::screen::Screen;
use crate::work::{Early, Work, waiting};

/// Make a pack to publish: a folder and a zip, verified; or verify one
///
/// A pack has the parts laid out and by themselves as 3MF and STL, the pages to
/// print, pictures, a README from your template, the licence and a manifest with
/// the SHA-256 of every file. The answers are left out: they are sealed, and only
/// their commitment is in the pack. The salt of the seal is kept in the folder
/// sealed; keep that to yourself. The same project gives the same bytes again.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Pack {
    /// The pack, by its name in pinfold.toml
    #[arg(value_name = "NAME", required_unless_present = "verify")]
    name: Option<String>,
    /// The folder to write into [default: out/packs in the project's folder]
    #[arg(long, value_name = "DIR", conflicts_with = "verify")]
    out: Option<PathBuf>,
    /// Give outlines of packs that have no number the next ones, in their files
    #[arg(long, conflicts_with = "verify")]
    number: bool,
    /// A further font, for characters that the built-in ones lack; can be given again
    #[arg(long, value_name = "FILE", conflicts_with = "verify")]
    font: Vec<PathBuf>,
    /// Check a zip: manifest, digests, nothing more, nothing less, no answers
    #[arg(long, value_name = "ZIP", conflicts_with = "name")]
    verify: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold pack first-tide                           into out/packs
  pinfold pack members --number                     numbers first, where there are none
  pinfold pack first-tide --out shop --json         into another folder, told as JSON
  pinfold pack --verify out/packs/first-tide-1.0.zip

Exit status: 0 the pack is made, or sound; 1 a part failed a check, an outline
can't be filled, or the zip has faults; 2 the input or the call is wrong, or the
file is no pack.";

/// A pack that was made.
struct Case<'a> {
    project: &'a Project,
    pack: &'a PackRecord,
    composed: &'a Composed,
    folder: PathBuf,
    zip: PathBuf,
    /// Files that stay with the maker.
    answers: Vec<PathBuf>,
    /// Outlines that were given a number, with it.
    numbered: Vec<(String, u32)>,
    seconds: f64,
}

pub(crate) fn run(args: &Pack, call: &Call) -> Result<Answer, Failure> {
    let Some(name) = &args.name else {
        let zip = args.verify.as_ref().expect("the call has one or the other");
        return verify::run(zip, call);
    };
    let mut project = open(call)?;
    let numbered = if args.number { number(&mut project)? } else { Vec::new() };
    let known = project.packs.iter().map(|p| p.name.as_str());
    let pack = project.packs.iter().find(|p| p.name == *name);
    let pack = pack.ok_or_else(|| unknown("pack", name, known))?;
    let work = Work::start("answers", None);
    let readme = project.own_text("README.md")?;
    let licence = project.own_text("LICENCE.txt")?;
    readme.as_ref().map_or(Ok(()), publish::check_readme)?;
    let outlines = publish::outlines(&project, pack)?;
    let classes = rules::classes(&project)?;
    let answered = Answered::of(&project, &classes, &outlines, &|| work.must_stop());
    if work.ended() == Some(Early::Interrupted) {
        return Err(Failure::plain("interrupted: nothing was written", "run the command again"));
    }
    let none = answered.iter().filter(|a| a.filling.answers.is_empty());
    let none: Vec<String> = none.map(|a| a.record.name.clone()).collect();
    if !none.is_empty() {
        return Ok(page::unfilled(pack, &none));
    }
    let steps = steps(&project, outlines.iter().map(|o| o.1))?;
    let fonts = fonts(&args.font)?;
    let order = Order {
        project: &project,
        pack,
        classes: &classes,
        answered: &answered,
        steps: &steps,
        fonts: &fonts,
        salt: project.salt(&pack.name, fresh_salt).map_err(|e| no_salt(&e))?,
        readme: readme.as_ref(),
        licence: licence.as_ref(),
    };
    let composed = match waiting("pack", || publish::compose(&order)) {
        Ok(composed) => composed,
        Err(Refused::Input(failure)) => return Err(failure),
        Err(Refused::Unfilled(names)) => return Ok(page::unfilled(pack, &names)),
        Err(Refused::Parts(sentences)) => return Ok(page::failed(pack, &sentences)),
    };
    let out = args.out.clone().unwrap_or_else(|| project.root.join("out/packs"));
    let (folder, zip) = put::pack(&out, &composed)?;
    let answers = put::answers(&project.root.join("out/answers"), &composed)?;
    let seconds = work.seconds();
    drop(work);
    let case = Case { project: &project, pack, composed: &composed, folder, zip, answers, numbered, seconds };
    let screen = Screen::of_output(false);
    Answer::made(Status::Done, call.json, || Ok(case.json()), || Ok(case.page(&screen)))
}

/// Gives every outline of a pack that has no number the next one.
fn number(project: &mut Project) -> Result<Vec<(String, u32)>, Failure> {
    let next = publish::unnumbered(project);
    for (name, number) in &next {
        let change = OutlineChange { number: Some(*number), ..OutlineChange::default() };
        project.change_outline(name, &change).map_err(not_written)?;
    }
    Ok(next)
}

fn fonts(files: &[PathBuf]) -> Result<Vec<Vec<u8>>, Failure> {
    let read = |path: &PathBuf| {
        fs::read(path)
            .map_err(|e| Failure::plain(format_args!("{}: {e}", path.display()), "name a font's file"))
    };
    files.iter().map(read).collect()
}

/// Chance from the system: a salt must not be guessed.
fn fresh_salt() -> [u8; 32] {
    let mut salt = [0; 32];
    getrandom::fill(&mut salt).expect("the system has chance to give");
    salt
}

fn no_salt(error: &SaltError) -> Failure {
    let mend = match error {
        SaltError::NoSalt { .. } => {
            "put back the one that the pack was published with; only if it was never published, take the file away"
        }
        SaltError::Disk { .. } => "see to it that the project's folder can be read and written",
    };
    Failure::plain(error, mend)
}
