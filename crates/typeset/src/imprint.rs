//! What all documents of an edition share: who and what it is, the paper, the
//! pieces, the rules.

use lattice::Set;
use paper::Style;
use typst::foundations::Dict;

use crate::value::dict;

/// The paper that pages are set for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum PaperSize {
    /// ISO 216 A4, 210 by 297 mm.
    #[default]
    A4,
    /// US Letter, 8.5 by 11 inches.
    Letter,
}

impl PaperSize {
    /// Both.
    pub const ALL: [PaperSize; 2] = [PaperSize::A4, PaperSize::Letter];

    /// Its word in calls and file names.
    pub fn word(self) -> &'static str {
        match self {
            PaperSize::A4 => "a4",
            PaperSize::Letter => "letter",
        }
    }

    /// Width and height in millimetres, upright.
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            PaperSize::A4 => (210.0, 297.0),
            PaperSize::Letter => (215.9, 279.4),
        }
    }

    pub(crate) fn name(self) -> &'static str {
        match self {
            PaperSize::A4 => "a4",
            PaperSize::Letter => "us-letter",
        }
    }
}

/// A day, as printed on an imprint. The caller chooses it; nothing here asks a clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Date {
    /// The year.
    pub year: i32,
    /// The month, 1 to 12.
    pub month: u8,
    /// The day of the month, from 1.
    pub day: u8,
}

/// Who made it and what it is. Empty texts are left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Imprint {
    /// The set's title.
    pub set: String,
    /// The pack's title; empty for all outlines of a set.
    pub pack: String,
    /// Who the pack is for.
    pub audience: String,
    /// The designer or publisher.
    pub maker: String,
    /// The version.
    pub version: String,
    /// The licence.
    pub licence: String,
    /// The date of this edition.
    pub date: Option<Date>,
}

impl Imprint {
    pub(crate) fn value(&self) -> Dict {
        dict([
            ("set", self.set.as_str().into()),
            ("pack", self.pack.as_str().into()),
            ("audience", self.audience.as_str().into()),
            ("maker", self.maker.as_str().into()),
            ("version", self.version.as_str().into()),
            ("licence", self.licence.as_str().into()),
            ("date", self.date.map_or(String::new(), |d| d.text()).into()),
        ])
    }
}

impl Date {
    /// As RFC 3339 has it: the same in every language.
    pub(crate) fn text(self) -> String {
        format!("{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// The pieces and how they are drawn.
#[derive(Clone, Copy, Debug)]
pub struct Table<'a> {
    /// The set.
    pub set: &'a Set,
    /// One for each piece of the set.
    pub style: &'a Style,
}

/// Which folds a filling may use.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Reach {
    /// Only folds that single swings lead to.
    #[default]
    Swings,
    /// Also those that several hinges at once lead to.
    Planned,
    /// Every fold.
    Any,
}

/// The rules that a booklet explains, beside those of the set itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Rules {
    /// Whether layouts that cannot be dropped in count.
    pub interlocked: bool,
    /// Which folds count.
    pub reach: Reach,
}

/// How hard an outline is, as printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Grade {
    /// The step, from 1.
    pub step: u8,
    /// How many steps there are.
    pub steps: u8,
    /// The step's word.
    pub word: String,
    /// Minutes that half of people need less than, and the interval for it,
    /// where they are known.
    pub minutes: Option<[f64; 3]>,
}

impl Grade {
    pub(crate) fn value(&self) -> Dict {
        let minutes = self.minutes.map(|m| m.map(crate::value::short));
        dict([
            ("step", i64::from(self.step.min(self.steps)).into()),
            ("steps", i64::from(self.steps).into()),
            ("word", self.word.as_str().into()),
            ("minutes", crate::value::list(minutes.into_iter().flatten().map(Into::into))),
        ])
    }
}
