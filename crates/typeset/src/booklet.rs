//! The booklet: title page, pieces, rules, cautions, and each outline with its
//! number, its grade and room for notes. It gives no answer away.

use lattice::{Outline, Pose};
use paper::{bare_outline, bare_pose};
use typst::foundations::Dict;

use crate::error::TypesetError;
use crate::imprint::{Grade, Imprint, Reach, Rules, Table};
use crate::lessons::lessons;
use crate::picture::{picture, pitch_for};
use crate::typesetter::{Document, Typesetter};
use crate::value::{Field, dict, list};
use crate::words::Words;

/// Room for the plate of an outline, in millimetres, and the largest block.
const ROOM: (f64, f64) = (96.0, 88.0);
const MOST: f64 = 11.0;
/// A plate is that much wider than its cells, in pitches.
const RIM: f64 = 1.2;

/// One outline of a pack, as solvers see it.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem<'a> {
    /// Its number in print.
    pub number: usize,
    /// Its title.
    pub title: String,
    /// The outline.
    pub outline: &'a Outline,
    /// How hard it is, if it has been graded.
    pub grade: Option<Grade>,
}

/// A booklet.
#[derive(Clone, Debug)]
pub struct Booklet<'a> {
    /// Who made it and what it is.
    pub imprint: Imprint,
    /// The pieces.
    pub table: Table<'a>,
    /// What counts.
    pub rules: Rules,
    /// The outlines, in order.
    pub problems: Vec<Problem<'a>>,
    /// The maker's own words on the title page, a paragraph each.
    pub welcome: Vec<String>,
    /// Cautions of the maker's own, after the usual ones.
    pub cautions: Vec<String>,
}

impl Typesetter {
    /// Sets a booklet.
    ///
    /// # Errors
    /// No outlines, a picture that can't be drawn, a character that no font has.
    pub fn booklet(&self, booklet: &Booklet<'_>) -> Result<Document, TypesetError> {
        if booklet.problems.is_empty() {
            return Err(TypesetError::Nothing { what: "a booklet needs at least one outline" });
        }
        let words = &self.words;
        let levels = booklet.table.set.levels;
        let spare = booklet.problems.iter().any(|p| p.outline.spare() > 0);
        let reach = match booklet.rules.reach {
            Reach::Swings => "rule-reach-swings",
            Reach::Planned => "rule-reach-planned",
            Reach::Any => "rule-reach-any",
        };
        let more = [
            Some(if booklet.table.set.turn_over { "rule-turning" } else { "rule-no-turning" }),
            Some(if levels > 1 { "rule-levels" } else { "rule-levels-one" }),
            Some(if booklet.rules.interlocked { "rule-interlocked" } else { "rule-drop-in" }),
            Some(reach),
            spare.then_some("rule-spare"),
        ];
        let fields = dict([
            ("pieces", pieces(&booklet.table, words)?),
            ("lessons", lessons(words)?.into()),
            ("rules", list(more.into_iter().flatten().map(|key| words.say(key, &[]).into()))),
            ("problems", problems(&booklet.problems, words)?),
            ("welcome", list(booklet.welcome.iter().map(|t| t.as_str().into()))),
            ("cautions", list(booklet.cautions.iter().map(|t| t.as_str().into()))),
        ]);
        self.set("booklet.typ", &words.say("booklet-kind", &[]), &booklet.imprint, fields)
    }
}

/// The pieces at home, at one scale.
pub(crate) fn pieces(table: &Table<'_>, words: &Words) -> Result<Field, TypesetError> {
    let mut shown: Vec<Dict> = Vec::new();
    let extent = |p: &lattice::Piece| {
        let span = |of: fn(&lattice::Cell) -> i32| {
            let all = p.blocks().iter().map(of);
            f64::from(all.clone().max().unwrap_or(0) - all.min().unwrap_or(0) + 1) + 0.6
        };
        (span(|c| c.x), span(|c| c.y))
    };
    let pitch = pitch_for(table.set.pieces.iter().map(extent), (50.0, 42.0), 9.0);
    for (i, (piece, style)) in table.set.pieces.iter().zip(&table.style.pieces).enumerate() {
        let blocks = piece.blocks().len().to_string();
        let letter = style.letter.to_string();
        let alt = words.say("alt-piece", &[("letter", &letter), ("name", &style.name), ("blocks", &blocks)]);
        let drawn = bare_pose(table.set, i, &Pose::home(piece), style, pitch)?;
        shown.push(dict([
            ("name", style.name.as_str().into()),
            ("letter", letter.into()),
            ("blocks", piece.blocks().len().into()),
            ("picture", picture(drawn, &alt).into()),
        ]));
    }
    Ok(list(shown.into_iter().map(Into::into)))
}

/// The outlines, at one scale.
fn problems(problems: &[Problem<'_>], words: &Words) -> Result<Field, TypesetError> {
    let extents = problems.iter().map(|p| extent(p.outline));
    let pitch = pitch_for(extents, ROOM, MOST);
    let shown = problems.iter().map(|p| problem(p, pitch, words)).collect::<Result<Vec<Dict>, _>>()?;
    Ok(list(shown.into_iter().map(Into::into)))
}

/// Width and height of a plate in pitches.
pub(crate) fn extent(outline: &Outline) -> (f64, f64) {
    let (_, columns, rows) = outline.bounds();
    (f64::from(columns) + RIM, f64::from(rows) + RIM)
}

/// One outline.
pub(crate) fn problem(problem: &Problem<'_>, pitch: f64, words: &Words) -> Result<Dict, TypesetError> {
    let outline = problem.outline;
    let (cells, pockets) = (outline.cells().len(), outline.pockets().len());
    let blanks =
        [("title", problem.title.as_str()), ("cells", &cells.to_string()), ("pockets", &pockets.to_string())];
    Ok(dict([
        ("number", problem.number.into()),
        ("title", problem.title.as_str().into()),
        ("cells", cells.into()),
        ("spare", outline.spare().into()),
        ("grade", problem.grade.as_ref().map(Grade::value).into()),
        ("picture", picture(bare_outline(outline, pitch)?, &words.say("alt-outline", &blanks)).into()),
    ]))
}
