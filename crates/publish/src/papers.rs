//! The pages of a pack: what goes into it, on both sizes of paper, and the
//! answers, which stay with the maker.

use desk::Failure;
use desk::ways::Ways;
use fill::Filling;
use rayon::prelude::*;
use solid::Made;
use typeset::{Document, PaperSize, TypesetError, Typesetter};

use crate::archive::FileInPack;
use crate::compose::Order;
use crate::pages::{Pages, Printed, refused};

/// Both sizes of paper: nobody should have to scale a plan.
const SIZES: [PaperSize; 2] = [PaperSize::A4, PaperSize::Letter];

/// A document of a pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Booklet,
    Cards,
    MakersSheet,
    Plan,
    Answers,
}

impl Kind {
    const ALL: [Kind; 5] = [Kind::Booklet, Kind::Cards, Kind::MakersSheet, Kind::Plan, Kind::Answers];

    fn word(self) -> &'static str {
        match self {
            Kind::Booklet => "booklet",
            Kind::Cards => "cards",
            Kind::MakersSheet => "makers-sheet",
            Kind::Plan => "plan",
            Kind::Answers => "answers",
        }
    }
}

/// The pages of a pack, and apart from them the answers.
pub(crate) struct Papers {
    pub open: Vec<FileInPack>,
    pub answers: Vec<FileInPack>,
}

/// Sets the pages of a pack; `folder`: how the pack's folder is called.
///
/// # Errors
/// A font that is none, a character that no font has.
pub(crate) fn papers(order: &Order<'_>, made: &Made, folder: &str) -> Result<Papers, Failure> {
    let (project, pack) = (order.project, order.pack);
    let printed = order.answered.iter().zip(order.steps).map(|(a, step)| Printed {
        number: a.number as usize,
        record: a.record,
        step: *step,
    });
    let about = (pack.printed(), pack.audience.as_deref().unwrap_or(""), pack.version.as_str());
    let mut pages = Pages::new(project, about, None, printed.collect());
    if let Some(licence) = &pack.licence {
        pages = pages.licensed(licence);
    }
    let fillings: Vec<&Filling> = order.answered.iter().map(|a| &a.filling).collect();
    let ways = Ways::of(project)?;
    let made = in_pack(made);
    let set = |(paper, kind): &(PaperSize, Kind)| -> Result<(PaperSize, Kind, Document), TypesetError> {
        let mut typesetter = Typesetter::new(*paper);
        for font in order.fonts {
            typesetter = typesetter.with_font(font.clone())?;
        }
        let document = match kind {
            Kind::Booklet => pages.booklet(&typesetter),
            Kind::Cards => pages.cards(&typesetter),
            Kind::MakersSheet => pages.makers_sheet(&typesetter, &made),
            Kind::Plan => pages.plan(&typesetter),
            Kind::Answers => pages.answers(&typesetter, &fillings, &ways),
        };
        Ok((*paper, *kind, document?))
    };
    let all: Vec<(PaperSize, Kind)> = SIZES.into_iter().flat_map(|s| Kind::ALL.map(|k| (s, k))).collect();
    let documents: Result<Vec<_>, TypesetError> = all.par_iter().map(set).collect();
    let mut papers = Papers { open: Vec::new(), answers: Vec::new() };
    for (paper, kind, document) in documents.map_err(|e| refused(&e))? {
        let name = format!("{}-{}.pdf", kind.word(), paper.word());
        match kind {
            Kind::Answers => papers.answers.push(FileInPack::new(format!("{folder}-{name}"), document.pdf)),
            _ => papers.open.push(FileInPack::new(format!("paper/{name}"), document.pdf)),
        }
    }
    Ok(papers)
}

/// The records of what was made, with its files called as in the pack.
fn in_pack(made: &Made) -> Made {
    let mut parts = made.parts.clone();
    for file in parts.iter_mut().filter_map(|p| p.file.as_mut()) {
        *file = format!("print/{file}");
    }
    let mut beds = made.beds.clone();
    for bed in &mut beds {
        bed.file = format!("print/{}", bed.file);
    }
    Made { files: Vec::new(), parts, beds, proofs: Vec::new() }
}
