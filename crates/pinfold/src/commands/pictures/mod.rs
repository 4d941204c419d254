//! `pictures`: for shops and posts.

mod size;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use lattice::Folding;
use paper::Picture;
use project::{Colour, OutlineRecord, PieceRecord, Project};
use publish::Answered;
use publish::pictures::{self as drawn, Shown};
use rayon::prelude::*;
use serde_json::json;

use super::{making::Making, open, unknown};
use crate::answer::{Answer, Failure, Status, counted};
use crate::cli::Call;
use crate::rules;
use crate::work::waiting;
use size::Size;

/// Pictures for shops and posts: set, pieces, plates, a sheet, pieces that swing
///
/// Each as SVG and as PNG, the PNG in any sizes, fitted in the middle of a
/// ground. The moving ones are an animated PNG and an SVG that moves by itself
/// and stands still for who asked for less motion; they end where they began.
/// No picture gives an answer away unless you ask for it.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Pictures {
    /// Which pictures [default: all of them]
    what: Option<What>,
    /// Pieces, or outlines for plates and sheet, by name [default: all]
    #[arg(value_name = "NAME")]
    names: Vec<String>,
    /// A size of the PNG in pixels; give it several times for several sizes
    #[arg(long, value_name = "WxH")]
    size: Vec<Size>,
    /// The colour round a picture of another shape
    #[arg(long, value_name = "#RRGGBB", default_value = "#FFFFFF", value_parser = ground)]
    ground: Colour,
    /// The most swings of a moving picture
    #[arg(long, value_name = "N", default_value = "16", value_parser = clap::value_parser!(u32).range(2..=60))]
    swings: u32,
    /// Draw a layout on each plate and on the sheet: this gives answers away
    #[arg(long)]
    with_answers: bool,
    /// The folder to write into [default: out/pictures in the project's folder]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold pictures                                  all of them, into out/pictures
  pinfold pictures set --size 1200x630 --size 1080x1080 --ground #F4F1EA
  pinfold pictures swings cleat                     one piece through its folds
  pinfold pictures plates tug crane                 two outlines
  pinfold pictures sheet --with-answers             the maker's own, with answers

Exit status: 0 the pictures are written; 1 an outline has no answer to be drawn;
2 the input or the call is wrong.";

/// A kind of picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum What {
    /// Board, a plate and all the pieces
    Set,
    /// Each piece as it looks
    Pieces,
    /// Each outline as its plate
    Plates,
    /// All outlines on one sheet
    Sheet,
    /// Each piece swinging through its folds
    Swings,
}

fn ground(text: &str) -> Result<Colour, String> {
    Colour::parse(text).ok_or_else(|| "write '#' and six hexadecimal digits, as in #F4F1EA".to_owned())
}

/// Pixels across where no size is asked for, and both ways of a moving picture.
const ACROSS: u32 = 1600;
const MOVING: Size = Size { width: 480, height: 480 };

/// A file to be written: its name below the folder, and its bytes.
type File = (String, Vec<u8>);

struct Case<'a> {
    args: &'a Pictures,
    project: &'a Project,
    outlines: Vec<&'a OutlineRecord>,
    pieces: Vec<&'a PieceRecord>,
    answers: BTreeMap<&'a str, Folding>,
}

pub(crate) fn run(args: &Pictures, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let mut case = Case::of(args, &project)?;
    let unanswered = if args.with_answers { case.answer()? } else { Vec::new() };
    if !unanswered.is_empty() {
        let text = format!("No picture was drawn: {} cannot be filled.", unanswered.join(", "));
        return Ok(Answer::no(json!({ "unfilled": unanswered }), text));
    }
    let files = waiting("pictures", || case.draw())?;
    let making = Making::of_project(&project)?;
    let mut written = Vec::new();
    for (name, bytes) in &files {
        let path = match &args.out {
            Some(out) => crate::pictures::put(&out.join(name), bytes)?,
            None => making.write(&Path::new("pictures").join(name).display().to_string(), bytes)?,
        };
        written.push(json!({ "file": path, "bytes": bytes.len() }));
    }
    let text: Vec<String> = written.iter().map(|w| w["file"].as_str().unwrap_or("").to_owned()).collect();
    let text = format!("Written: {}.\n  {}", counted(files.len(), "picture"), text.join("\n  "));
    let json = json!({ "pictures": written, "with_answers": args.with_answers });
    Answer::made(Status::Done, call.json, || Ok(json), || Ok(text))
}

impl<'a> Case<'a> {
    fn of(args: &'a Pictures, project: &'a Project) -> Result<Self, Failure> {
        let mut case = Case {
            args,
            project,
            outlines: project.outlines.iter().collect(),
            pieces: project.pieces.iter().collect(),
            answers: BTreeMap::new(),
        };
        case.outlines.sort_by_key(|o| (o.number.unwrap_or(u32::MAX), &o.name));
        if args.names.is_empty() {
            return Ok(case);
        }
        match args.what {
            Some(What::Pieces | What::Swings) => {
                let known = || project.pieces.iter().map(|p| p.name.as_str());
                let one = |name: &String| {
                    let found = project.pieces.iter().find(|p| p.name == *name);
                    found.ok_or_else(|| unknown("piece", name, known()))
                };
                case.pieces = args.names.iter().map(one).collect::<Result<_, _>>()?;
            }
            _ => {
                let one = |name: &String| super::outline_called(project, name);
                case.outlines = args.names.iter().map(one).collect::<Result<_, _>>()?;
            }
        }
        Ok(case)
    }

    /// Finds an answer to every outline; the outlines that have none.
    fn answer(&mut self) -> Result<Vec<String>, Failure> {
        let classes = rules::classes(self.project)?;
        let outlines: Vec<(u32, &OutlineRecord)> =
            self.outlines.iter().map(|o| (o.number.unwrap_or(0), *o)).collect();
        let all = waiting("answers", || Answered::of(self.project, &classes, &outlines, &|| false));
        let mut none = Vec::new();
        for one in all {
            match one.filling.answers.into_iter().next() {
                Some(answer) => {
                    self.answers.insert(&one.record.name, answer.folding);
                }
                None => none.push(one.record.name.clone()),
            }
        }
        Ok(none)
    }

    fn shown(&self) -> Vec<Shown<'_>> {
        let one = |record: &&'a OutlineRecord| Shown {
            number: record.number,
            record,
            answer: self.answers.get(record.name.as_str()),
        };
        self.outlines.iter().map(one).collect()
    }

    fn draw(&self) -> Result<Vec<File>, Failure> {
        let asked = |what| self.args.what.is_none_or(|w| w == what);
        let told = if self.args.with_answers { "-answers" } else { "" };
        let mut files = Vec::new();
        let shape = self.args.size.first().map_or(16.0 / 9.0, Size::shape);
        if asked(What::Set) {
            let plate = self.outlines.first().ok_or_else(|| {
                Failure::plain("the project has no outlines yet", "draw one: a file in the folder outlines")
            })?;
            files.extend(self.still("set", &drawn::set(self.project, plate, shape)?)?);
        }
        if asked(What::Pieces) {
            let all = drawn::pieces(self.project, &self.pieces, shape)?;
            let each: Result<Vec<_>, Failure> =
                all.par_iter().map(|(name, picture)| self.still(&format!("piece-{name}"), picture)).collect();
            files.extend(each?.into_iter().flatten());
        }
        if asked(What::Plates) {
            let each: Result<Vec<_>, Failure> = self
                .shown()
                .par_iter()
                .map(|&shown| {
                    let name = format!("plate-{}{told}", shown.record.name);
                    self.still(&name, &drawn::plate(self.project, shown)?)
                })
                .collect();
            files.extend(each?.into_iter().flatten());
        }
        if asked(What::Sheet) {
            let shape = self.args.size.first().map(Size::shape);
            let sheet = drawn::sheet(self.project, &self.project.title, &self.shown(), shape)?;
            files.extend(self.still(&format!("outlines{told}"), &sheet)?);
        }
        if asked(What::Swings) {
            let each: Result<Vec<_>, Failure> = self.pieces.par_iter().map(|p| self.moving(p)).collect();
            files.extend(each?.into_iter().flatten());
        }
        Ok(files)
    }

    /// A picture as SVG and as PNG of every size asked for.
    fn still(&self, name: &str, picture: &Picture) -> Result<Vec<File>, Failure> {
        let mut files = vec![(format!("{name}.svg"), picture.svg().as_bytes().to_vec())];
        if self.args.size.is_empty() {
            files.push((format!("{name}.png"), picture.png(ACROSS)?));
        }
        for size in &self.args.size {
            files.push((format!("{name}-{size}.png"), picture.png_within(size.pixels(), self.rgb())?));
        }
        Ok(files)
    }

    fn moving(&self, piece: &PieceRecord) -> Result<Vec<File>, Failure> {
        let most = self.args.swings as usize;
        let Some((svg, frames)) = drawn::swinging(self.project, piece, most)? else { return Ok(Vec::new()) };
        let name = format!("swings-{}", piece.name);
        let mut files = vec![(format!("{name}.svg"), svg.into_bytes())];
        let sizes = if self.args.size.is_empty() { vec![MOVING] } else { self.args.size.clone() };
        for size in sizes {
            let ending = if self.args.size.is_empty() { String::new() } else { format!("-{size}") };
            let png = paper::animated_png(&frames, size.pixels(), self.rgb())?;
            files.push((format!("{name}{ending}.png"), png));
        }
        Ok(files)
    }

    fn rgb(&self) -> [u8; 3] {
        let Colour(r, g, b) = self.args.ground;
        [r, g, b]
    }
}
