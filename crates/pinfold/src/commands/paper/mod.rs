//! `paper`: the pages of a pack, or of all outlines, as PDF.

use std::fs;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use desk::parts::{self, Parts, Wants};
use desk::ways::Ways;
use fill::Filling;
use project::{OutlineRecord, PackRecord, Project, write_whole};
use publish::Answered;
use publish::pages::{self, Pages, Printed};
use serde_json::{Value, json};
use typeset::{Date, Document, PaperSize, TypesetError, Typesetter};

use super::{open, unknown};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::efforts::steps;
use crate::rules;
use crate::work::{self, Work};

/// Booklet, cards, answers, maker's sheet and plates' plan as PDF
///
/// Text is real text in embedded fonts, pages are tagged, and nothing is told by
/// colour alone. Grades are those of the outlines' files, else reckoned. Only
/// the answers give answers away. The plan has a bar of 100 mm: measure it, and
/// print at 100 %.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct PaperArgs {
    /// Which pages
    #[arg(value_enum, default_value = "all")]
    page: PageKind,
    /// The pack, by its name; every outline of the project if left out
    pack: Option<String>,
    /// The paper's size
    #[arg(long, value_enum, default_value = "a4")]
    paper: Size,
    /// The date to print, as 2026-11-25; none if left out
    #[arg(long, value_name = "DATE", value_parser = date)]
    date: Option<Date>,
    /// A further font, for characters that the built-in ones lack; can be given again
    #[arg(long, value_name = "FILE")]
    font: Vec<PathBuf>,
    /// The folder to write into [default: out/paper in the project's folder]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold paper                         all pages of all outlines, into out/paper
  pinfold paper booklet first-harbour   the booklet of a pack
  pinfold paper cards --paper letter    nine outlines a sheet, on US Letter
  pinfold paper plan first-harbour --date 2026-11-25 --json

Print cards on both sides, turned over the long edge, and everything at 100 %.
Exit status: 0 the pages are written; 2 the input or the call is wrong.";

/// A kind of pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum PageKind {
    /// Rules with pictures, cautions, the outlines with room for notes
    Booklet,
    /// Nine outlines a sheet with cut marks, fronts and backs
    Cards,
    /// Every layout with its drop-in order and the swings to it
    Answers,
    /// Parts, times, filament, beds, a list to tick off
    MakersSheet,
    /// The plates at true scale
    Plan,
    /// All of them
    All,
}

impl PageKind {
    fn word(self) -> &'static str {
        match self {
            PageKind::Booklet => "booklet",
            PageKind::Cards => "cards",
            PageKind::Answers => "answers",
            PageKind::MakersSheet => "makers-sheet",
            PageKind::Plan => "plan",
            PageKind::All => "all",
        }
    }
}

/// The paper, as a call names it.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Size {
    /// 210 by 297 mm
    A4,
    /// 8.5 by 11 inches
    Letter,
}

fn date(text: &str) -> Result<Date, String> {
    let bad = || "give a date as 2026-11-25".to_owned();
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts[..] else { return Err(bad()) };
    let digits = |t: &str, n: usize| t.len() == n && t.bytes().all(|b| b.is_ascii_digit());
    if !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
        return Err(bad());
    }
    let number = |t: &str| t.parse::<u16>().map_err(|_| bad());
    let (year, month, day) = (number(year)?, number(month)?, number(day)?);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    if day == 0 || day > days {
        return Err(format!("{text} is no date; {}", bad()));
    }
    Ok(Date { year: year.into(), month: month as u8, day: day as u8 })
}

pub(crate) fn run(args: &PaperArgs, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let pack = args.pack.as_ref().map(|name| pack_called(&project, name)).transpose()?;
    let case = Case { args, project: &project, outlines: outlines(&project, pack) };
    if case.outlines.is_empty() {
        return Err(Failure::plain("the project has no outlines", "draw one: a file in the folder outlines"));
    }
    let typesetter = case.typesetter()?;
    let kinds: Vec<PageKind> = match args.page {
        PageKind::All => PageKind::value_variants().iter().copied().filter(|k| *k != PageKind::All).collect(),
        kind => vec![kind],
    };
    // The maker's sheet and the plan print no grade.
    let graded = kinds.iter().any(|k| !matches!(k, PageKind::MakersSheet | PageKind::Plan));
    let records = case.outlines.iter().map(|o| o.1);
    let steps = if graded { steps(&project, records)? } else { vec![None; case.outlines.len()] };
    let printed =
        case.outlines.iter().zip(steps).map(|(&(number, record), step)| Printed { number, record, step });
    let of_pack = pack.map_or(("", "", ""), |p| {
        (p.printed(), p.audience.as_deref().unwrap_or_default(), p.version.as_str())
    });
    let mut pages = Pages::new(&project, of_pack, args.date, printed.collect());
    if let Some(licence) = pack.and_then(|p| p.licence.as_deref()) {
        pages = pages.licensed(licence);
    }
    let folder = args.out.clone().unwrap_or_else(|| project.root.join("out").join("paper"));
    let of = pack.map_or(String::new(), |p| format!("{}-", p.name));
    let mut written = Vec::new();
    for kind in kinds {
        let document = case.document(kind, &pages, &typesetter)?;
        let path = folder.join(format!("{of}{}-{}.pdf", kind.word(), args.paper().word()));
        written.push((kind, path, document));
    }
    // Only when all are made: what is wrong with one leaves none behind.
    for (_, path, document) in &written {
        write(path, &document.pdf)?;
    }
    Ok(Answer::done(json(args.paper(), case.outlines.len(), &written), page(&written)))
}

/// One call of the command, read.
struct Case<'a> {
    args: &'a PaperArgs,
    project: &'a Project,
    /// With their numbers, in the order of print.
    outlines: Vec<(usize, &'a OutlineRecord)>,
}

impl PaperArgs {
    fn paper(&self) -> PaperSize {
        match self.paper {
            Size::A4 => PaperSize::A4,
            Size::Letter => PaperSize::Letter,
        }
    }
}

impl Case<'_> {
    fn typesetter(&self) -> Result<Typesetter, Failure> {
        let mut typesetter = Typesetter::new(self.args.paper());
        for path in &self.args.font {
            let unread = |e| Failure::plain(format_args!("{}: {e}", path.display()), "name a font's file");
            let data = fs::read(path).map_err(unread)?;
            typesetter = typesetter.with_font(data).map_err(|_| {
                let said = format!("{} is no font that can be read", path.display());
                Failure::plain(said, "pass a TrueType or OpenType font")
            })?;
        }
        Ok(typesetter)
    }

    /// One document; `kind` is not all of them.
    fn document(
        &self,
        kind: PageKind,
        pages: &Pages<'_>,
        typesetter: &Typesetter,
    ) -> Result<Document, Failure> {
        let set = |make: &dyn Fn() -> Result<Document, TypesetError>| {
            work::waiting(kind.word(), make).map_err(|e| pages::refused(&e))
        };
        match kind {
            PageKind::All | PageKind::Booklet => set(&|| pages.booklet(typesetter)),
            PageKind::Cards => set(&|| pages.cards(typesetter)),
            PageKind::Plan => set(&|| pages.plan(typesetter)),
            PageKind::Answers => {
                let answered = self.answered()?;
                let ways = work::waiting("swings of the pieces", || Ways::of(self.project))?;
                let fillings: Vec<&Filling> = answered.iter().map(|a| &a.filling).collect();
                set(&|| pages.answers(typesetter, &fillings, &ways))
            }
            PageKind::MakersSheet => {
                let named = |o: &OutlineRecord| self.outlines.iter().any(|p| p.1.name == o.name);
                let parts = Parts {
                    pieces: vec![true; self.project.set.pieces.len()],
                    outlines: self.project.outlines.iter().map(named).collect(),
                    board: true,
                    coupon: true,
                    backing: false,
                    all: false,
                };
                let request =
                    parts::request(self.project, &parts, Wants { stl: false, pictures: false }, &[]);
                let made = work::waiting("making parts", || solid::make(&request));
                let made = made.map_err(|errors| parts::refused(self.project, &errors))?;
                set(&|| pages.makers_sheet(typesetter, &made))
            }
        }
    }

    fn answered(&self) -> Result<Vec<Answered<'_>>, Failure> {
        let classes = rules::classes(self.project)?;
        let work = Work::start("answers", None);
        let numbered = |&(number, record): &(usize, _)| {
            (u32::try_from(number).expect("numbers of outlines are small"), record)
        };
        let outlines: Vec<(u32, &OutlineRecord)> = self.outlines.iter().map(numbered).collect();
        let answered = Answered::of(self.project, &classes, &outlines, &|| work.must_stop());
        if work.ended().is_some() {
            return Err(Failure::plain("interrupted: no answers were written", "run the command again"));
        }
        Ok(answered)
    }
}

fn pack_called<'p>(project: &'p Project, name: &str) -> Result<&'p PackRecord, Failure> {
    let known = project.packs.iter().map(|p| p.name.as_str());
    project.packs.iter().find(|p| p.name == name).ok_or_else(|| unknown("pack", name, known))
}

/// The outlines of a pack in its order, else all by their numbers, each numbered
/// as its plate is.
fn outlines<'p>(project: &'p Project, pack: Option<&PackRecord>) -> Vec<(usize, &'p OutlineRecord)> {
    let number = |n: usize, o: &OutlineRecord| o.number.map_or(n + 1, |number| number as usize);
    let all: Vec<(usize, &OutlineRecord)> =
        project.outlines.iter().enumerate().map(|(n, o)| (number(n, o), o)).collect();
    match pack {
        None => {
            let mut all = all;
            all.sort_by_key(|o| o.0);
            all
        }
        Some(pack) => {
            let named = |name: &String| all.iter().find(|o| o.1.name == *name).copied();
            pack.outlines.iter().filter_map(named).collect()
        }
    }
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    let written = folder.map_or(Ok(()), fs::create_dir_all).and_then(|()| write_whole(path, bytes, true));
    written.map_err(|e| {
        Failure::plain(
            format_args!("{} was not written: {e}", path.display()),
            "name a folder that can be written",
        )
    })
}

type Written = (PageKind, PathBuf, Document);

fn json(paper: PaperSize, outlines: usize, written: &[Written]) -> Value {
    let documents = written.iter().map(|(kind, path, document)| {
        json!({
            "page": kind.word(),
            "file": path.display().to_string(),
            "pages": document.pages,
            "bytes": document.pdf.len(),
            "pdf_ua": document.universal,
        })
    });
    json!({ "paper": paper.word(), "outlines": outlines, "documents": documents.collect::<Vec<_>>() })
}

fn page(written: &[Written]) -> String {
    let mut text = String::new();
    for (_, path, document) in written {
        let plain = if document.universal { "" } else { ", tagged, but not held to PDF/UA-1" };
        text += &format!("Written: {} ({}{plain})\n", path.display(), counted(document.pages, "page"));
    }
    text + "Print at 100 %, not fitted to the page; cards on both sides, turned over the long edge.\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_days_of_the_calendar() {
        assert_eq!(date("2024-02-29"), Ok(Date { year: 2024, month: 2, day: 29 }));
        assert_eq!(date("2000-02-29"), Ok(Date { year: 2000, month: 2, day: 29 }));
        for bad in [
            "",
            "2026",
            "2026-2-3",
            "26-02-03",
            "2026-13-01",
            "2026-00-01",
            "2026-04-31",
            "2023-02-29",
            "1900-02-29",
            "2026-11-25x",
            "+026-11-25",
            "2026-11-00",
        ] {
            assert!(date(bad).is_err(), "{bad}");
        }
    }
}
