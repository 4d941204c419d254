//! Answers: for each outline every layout that is shown, in colours and
//! patterns, with hinges and drop-in order, how many there are, and how each
//! piece gets from home into its fold, swing by swing.

use lattice::{DropIn, Folding, Outline, Pose};
use paper::{bare_layout, bare_poses, bare_swatch};
use typst::foundations::Dict;

use crate::booklet::extent;
use crate::error::TypesetError;
use crate::imprint::{Grade, Imprint, Table};
use crate::picture::{picture, pitch_for};
use crate::typesetter::{Document, Typesetter};
use crate::value::{Field, dict, list};
use crate::words::Words;

const ROOM: (f64, f64) = (92.0, 84.0);
const MOST: f64 = 11.0;

/// The answers of one outline.
#[derive(Clone, Debug)]
pub struct Answered<'a> {
    /// Its number in print.
    pub number: usize,
    /// Its title.
    pub title: String,
    /// The outline.
    pub outline: &'a Outline,
    /// How hard it is, if it has been graded.
    pub grade: Option<Grade>,
    /// Essentially different valid layouts, in digits.
    pub different: String,
    /// Valid layouts in all, in digits.
    pub layouts: String,
    /// Layouts that cannot be dropped in and so do not count, in digits; empty
    /// where there are none, or where they count.
    pub interlocked: String,
    /// Whether the counts are complete; if not, there may be more.
    pub complete: bool,
    /// The layouts that are shown, each by one of its foldings.
    pub shown: Vec<Shown<'a>>,
}

/// One layout that is shown.
#[derive(Clone, Debug)]
pub struct Shown<'a> {
    /// One of its foldings.
    pub folding: &'a Folding,
    /// How pieces get into their folds; pieces that lie as printed may be left out.
    pub ways: Vec<Way>,
}

/// A piece's way from home into its fold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// The piece, by its position in the set.
    pub piece: usize,
    /// Home, then the pose after each swing.
    pub poses: Vec<Pose>,
}

/// The answers of a pack.
#[derive(Clone, Debug)]
pub struct Answers<'a> {
    /// Who made it and what it is.
    pub imprint: Imprint,
    /// The pieces.
    pub table: Table<'a>,
    /// One for each outline, in order.
    pub outlines: Vec<Answered<'a>>,
}

impl Typesetter {
    /// Sets the answers.
    ///
    /// # Errors
    /// No outlines, a folding that breaks the rules, a character that no font has.
    pub fn answers(&self, answers: &Answers<'_>) -> Result<Document, TypesetError> {
        if answers.outlines.is_empty() {
            return Err(TypesetError::Nothing { what: "answers need at least one outline" });
        }
        let words = &self.words;
        let pitch = pitch_for(answers.outlines.iter().map(|s| extent(s.outline)), ROOM, MOST);
        let shown = answers.outlines.iter().map(|s| Ok(answered(&answers.table, s, pitch, words)?.into()));
        let key = answers.table.style.pieces.iter().map(|style| {
            let letter = style.letter.to_string();
            let alt = words.say("alt-swatch", &[("letter", &letter), ("pattern", style.pattern.name())]);
            dict([
                ("name", style.name.as_str().into()),
                ("letter", letter.into()),
                ("swatch", picture(bare_swatch(style, 7.0), &alt).into()),
            ])
            .into()
        });
        let fields = dict([
            ("outlines", list(shown.collect::<Result<Vec<Field>, TypesetError>>()?)),
            ("key", list(key)),
            ("levels", i64::from(answers.table.set.levels).into()),
        ]);
        self.set("answers.typ", &words.say("answers-kind", &[]), &answers.imprint, fields)
    }
}

fn answered(table: &Table<'_>, of: &Answered<'_>, pitch: f64, words: &Words) -> Result<Dict, TypesetError> {
    let layouts = of.shown.iter().enumerate().map(|(i, shown)| {
        let number = (i + 1).to_string();
        Ok(layout(table, of, shown, &number, pitch, words)?.into())
    });
    Ok(dict([
        ("number", of.number.into()),
        ("title", of.title.as_str().into()),
        ("grade", of.grade.as_ref().map(Grade::value).into()),
        ("count", count(of, words).into()),
        ("layouts", list(layouts.collect::<Result<Vec<Field>, TypesetError>>()?)),
    ]))
}

/// How many layouts there are, with its certainty, and how many are shown.
fn count(of: &Answered<'_>, words: &Words) -> String {
    let one = of.layouts == "1";
    let key = match (of.complete, one) {
        (true, true) => "count-one",
        (true, false) if of.layouts == of.different => "count-many",
        (true, false) => "count-turned",
        (false, _) => "count-at-least",
    };
    let mut text = words.say(key, &[("layouts", &of.layouts), ("different", &of.different)]);
    if !of.interlocked.is_empty() {
        text += " ";
        text += &words.say("count-interlocked", &[("interlocked", &of.interlocked)]);
    }
    let shown = of.shown.len().to_string();
    if !of.shown.is_empty() && shown != of.different {
        text += " ";
        text += &words.say("count-shown", &[("shown", &shown)]);
    }
    text
}

fn layout(
    table: &Table<'_>,
    of: &Answered<'_>,
    shown: &Shown<'_>,
    number: &str,
    pitch: f64,
    words: &Words,
) -> Result<Dict, TypesetError> {
    let name = |piece: usize| {
        let style = &table.style.pieces[piece];
        format!("{} {}", style.letter, style.name)
    };
    let drawn = bare_layout(table.set, of.outline, shown.folding, table.style, pitch, true)?;
    let named = |places: &[usize]| -> Vec<String> {
        places.iter().map(|&at| name(shown.folding.placed[at].piece)).collect()
    };
    let order = match shown.folding.drop_in(table.set) {
        DropIn::Order(order) => words.say("drop-in", &[("order", &named(&order).join(", "))]),
        DropIn::Interlocked(ring) => words.say("interlocked", &[("ring", &named(&ring).join(", "))]),
    };
    let alt = words.say("alt-layout", &[("title", &of.title), ("number", number), ("order", &order)]);
    let ways = shown.ways.iter().map(|way| {
        let style = &table
            .style
            .pieces
            .get(way.piece)
            .ok_or(paper::PaperError::NoSuchPiece { piece: way.piece, pieces: table.style.pieces.len() })?;
        let strip = bare_poses(table.set, way.piece, &way.poses, style)?;
        let swings = (way.poses.len() - 1).to_string();
        let blanks = [("piece", name(way.piece)), ("swings", swings.clone())];
        let blanks = blanks.each_ref().map(|(k, v)| (*k, v.as_str()));
        let told = words.say(if swings == "1" { "way-one" } else { "way-many" }, &blanks);
        let alt = words.say("alt-way", &[("told", &told)]);
        Ok(dict([("told", told.into()), ("strip", picture(strip, &alt).into())]).into())
    });
    Ok(dict([
        ("picture", picture(drawn, &alt).into()),
        ("order", order.into()),
        ("ways", list(ways.collect::<Result<Vec<Field>, TypesetError>>()?)),
    ]))
}
