//! The project as the pages see it: plain records, apart from the lattice's types.

use lattice::{Cell, Hinge, Level, Outline, OutlineError, Vertex};
use project::{Colour, OutlineRecord, PackRecord, PieceDraft, Project};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::problem::Problem;

/// Coordinates that a page may send.
const FAR: i32 = 10_000;
/// Cells and vertices that a page may send at once.
const MOST: usize = 10_000;

/// A cell or a vertex, `[x, y]`.
pub(crate) type Spot = [i32; 2];

/// An outline: the opening and its pockets.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Opening {
    /// The cells to be filled.
    #[schema(max_items = 10000)]
    pub(crate) cells: Vec<[i32; 2]>,
    /// The vertices on its edge that have a pocket.
    #[schema(max_items = 10000)]
    pub(crate) pockets: Vec<[i32; 2]>,
    /// How many cells stay empty.
    #[serde(default)]
    #[schema(maximum = 10000)]
    pub(crate) spare: usize,
}

impl Opening {
    pub(crate) fn of(outline: &Outline) -> Self {
        Opening {
            cells: outline.cells().iter().map(|c| [c.x, c.y]).collect(),
            pockets: outline.pockets().iter().map(|v| [v.x, v.y]).collect(),
            spare: outline.spare(),
        }
    }

    /// The outline; every pocket off its edge is told.
    pub(crate) fn outline(&self) -> Result<Outline, Problem> {
        near(self.cells.iter().chain(&self.pockets))?;
        let cells = self.cells.iter().map(|&[x, y]| Cell::new(x, y));
        let pockets = self.pockets.iter().map(|&[x, y]| Vertex::new(x, y));
        Outline::new(cells, pockets, self.spare).map_err(|faults| {
            let told: Vec<String> = faults.iter().map(OutlineError::to_string).collect();
            Problem::unfit(told.join("; "))
        })
    }
}

/// Refuses what is too much, or too far from the origin, to be reckoned with.
pub(crate) fn near<'a>(spots: impl Iterator<Item = &'a Spot>) -> Result<(), Problem> {
    let mut count = 0;
    for [x, y] in spots {
        count += 1;
        if count > 2 * MOST || x.abs() > FAR || y.abs() > FAR {
            let detail = format!("at most {MOST} cells and pockets, between -{FAR} and {FAR}, can be drawn");
            return Err(Problem::unfit(detail));
        }
    }
    Ok(())
}

/// An outline's file.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub(crate) struct OutlineView {
    /// Its file's name without the ending.
    pub(crate) name: String,
    /// What it is called in print.
    pub(crate) title: String,
    /// Its printed number.
    pub(crate) number: Option<u32>,
    /// Its printed grade.
    pub(crate) grade: Option<String>,
    /// A remark for the maker.
    pub(crate) note: Option<String>,
    /// Cells, pockets, spare; the lower left vertex of the drawing is (0, 0).
    pub(crate) opening: Opening,
    /// The digest of the file, as its entity tag has it.
    pub(crate) digest: String,
}

impl OutlineView {
    pub(crate) fn of(record: &OutlineRecord, digest: String) -> Self {
        OutlineView {
            name: record.name.clone(),
            title: record.title.clone(),
            number: record.number,
            grade: record.grade.clone(),
            note: record.note.clone(),
            opening: Opening::of(&record.outline),
            digest,
        }
    }
}

/// A hinge of a piece at home.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct HingeView {
    /// The vertex where its pin stands.
    pub(crate) pin: [i32; 2],
    /// The two blocks it ties, by their positions.
    pub(crate) joins: [usize; 2],
    /// Its level, 0 the lowest.
    pub(crate) level: u8,
}

/// A piece as drawn.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PieceView {
    /// Its name, fit for a file name.
    #[schema(max_length = 60)]
    pub(crate) name: String,
    /// Its colour, `#` and six hexadecimal digits.
    #[schema(pattern = "^#[0-9A-Fa-f]{6}$")]
    pub(crate) colour: String,
    /// How often the set has it.
    #[schema(minimum = 1, maximum = 100)]
    pub(crate) copies: usize,
    /// Whether all its blocks are one solid body.
    pub(crate) rigid: bool,
    /// The cells of its blocks at home.
    #[schema(max_items = 256)]
    pub(crate) blocks: Vec<[i32; 2]>,
    /// Its hinges at home.
    #[schema(max_items = 256)]
    pub(crate) hinges: Vec<HingeView>,
}

impl PieceView {
    pub(crate) fn of(draft: &PieceDraft) -> Self {
        let hinge = |h: &Hinge| HingeView { pin: [h.pin.x, h.pin.y], joins: h.joins, level: h.level.0 };
        PieceView {
            name: draft.name.clone(),
            colour: draft.colour.to_string(),
            copies: draft.copies,
            rigid: draft.rigid,
            blocks: draft.blocks.iter().map(|b| [b.x, b.y]).collect(),
            hinges: draft.hinges.iter().map(hinge).collect(),
        }
    }

    pub(crate) fn draft(&self) -> Result<PieceDraft, Problem> {
        near(self.blocks.iter().chain(self.hinges.iter().map(|h| &h.pin)))?;
        let colour = Colour::parse(&self.colour)
            .ok_or_else(|| Problem::unfit(format!("{:?} is not a colour", self.colour)))?;
        let hinge = |h: &HingeView| Hinge {
            pin: Vertex::new(h.pin[0], h.pin[1]),
            joins: h.joins,
            level: Level(h.level),
        };
        Ok(PieceDraft {
            name: self.name.clone(),
            colour,
            copies: self.copies,
            rigid: self.rigid,
            blocks: self.blocks.iter().map(|&[x, y]| Cell::new(x, y)).collect(),
            hinges: self.hinges.iter().map(hinge).collect(),
        })
    }
}

/// The pieces of the set, with the digest of the set's file.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub(crate) struct PiecesView {
    /// In the file's order.
    pub(crate) pieces: Vec<PieceView>,
    /// The digest of `pinfold.toml`, as its entity tag has it.
    pub(crate) digest: String,
}

/// The project in brief.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub(crate) struct ProjectView {
    /// The set's title.
    pub(crate) title: String,
    /// Levels in a block's height.
    pub(crate) levels: u8,
    /// Whether pieces may lie on their face.
    pub(crate) turn_over: bool,
    /// Whether layouts that cannot be dropped in count.
    pub(crate) interlocked: bool,
    /// Which folds count: `any`, `swings` or `planned`.
    pub(crate) reach: String,
    /// Which folds count, as a sentence.
    pub(crate) folds_used: String,
    /// Blocks of all pieces, copies counted.
    pub(crate) blocks: usize,
    /// The pieces as placed, copies one by one: name, letter, colour.
    pub(crate) placed: Vec<PlacedView>,
    /// The pieces as drawn.
    pub(crate) pieces: Vec<PieceView>,
    /// The outlines by name.
    pub(crate) outlines: Vec<OutlineView>,
    /// The packs in the file's order.
    pub(crate) packs: Vec<PackView>,
    /// The digest of `pinfold.toml`: what a change of packs or pieces must have seen.
    pub(crate) digest: String,
}

/// A piece of the set as layouts name it.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub(crate) struct PlacedView {
    /// Its name, with a number where it comes in copies.
    pub(crate) name: String,
    /// Its letter in pictures.
    pub(crate) letter: String,
    /// Its colour.
    pub(crate) colour: String,
}

/// A pack.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub(crate) struct PackView {
    /// Its name.
    pub(crate) name: String,
    /// Its outlines in order.
    pub(crate) outlines: Vec<String>,
}

impl PackView {
    pub(crate) fn of(pack: &PackRecord) -> Self {
        PackView { name: pack.name.clone(), outlines: pack.outlines.clone() }
    }
}

impl ProjectView {
    /// Of a project whose `pinfold.toml` has the digest `set`, and its outlines `digest`.
    pub(crate) fn of(project: &Project, set: String, digest: impl Fn(&str) -> String) -> Self {
        let style = desk::layouts::style(project);
        let placed = style.pieces.iter().enumerate().map(|(p, of)| PlacedView {
            name: of.name.clone(),
            letter: of.letter.to_string(),
            colour: project.piece(p).map(|r| r.colour.to_string()).unwrap_or_default(),
        });
        ProjectView {
            title: project.title.clone(),
            levels: project.set.levels,
            turn_over: project.set.turn_over,
            interlocked: project.rules.interlocked,
            reach: project.rules.reach.word().to_owned(),
            folds_used: desk::rules::folds_used(project).to_owned(),
            blocks: project.set.blocks(),
            placed: placed.collect(),
            pieces: project.drafts().iter().map(PieceView::of).collect(),
            outlines: project.outlines.iter().map(|o| OutlineView::of(o, digest(&o.name))).collect(),
            packs: project.packs.iter().map(PackView::of).collect(),
            digest: set,
        }
    }
}
