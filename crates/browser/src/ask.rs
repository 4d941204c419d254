//! The questions, and the one desk that answers them.

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use crate::bench::Bench;
use crate::judge::{judge, lay};
use crate::moves::moves;
use crate::record::{
    OutlineRecord, PlacedRecord, PoseRecord, Refusal, SetRecord, cell_record, pin_record, placed,
    pose_record, refuse, vertex_record,
};
use crate::seal::seal;
#[cfg(feature = "search")]
use crate::search::{CountAsk, PocketsAsk, count, pockets};
#[cfg(feature = "search")]
use crate::told::{LiveQuestion, live};
#[cfg(feature = "written")]
use crate::written::{mark_read, painted, written};

/// Milliseconds from any start.
pub type Clock<'a> = &'a (dyn Fn() -> f64 + Sync);

/// A question: an object with one name, what is asked, and its particulars.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Question {
    /// Lays out a set; all further questions are about it.
    Open { set: SetRecord },
    /// Reads an outline: cells, pockets, where hinges may stand.
    Outline { outline: OutlineRecord },
    /// All folds of a piece.
    Folds { piece: usize },
    /// What can be done to a piece in a pose.
    Moves { piece: usize, pose: PoseRecord },
    /// Where blocks and hinges of a pose are.
    Places { piece: usize, pose: PoseRecord },
    /// What keeps one piece from lying where it is.
    Lay { outline: OutlineRecord, lying: Vec<PlacedRecord>, piece: PlacedRecord },
    /// A whole folding judged.
    Judge { outline: OutlineRecord, placed: Vec<PlacedRecord> },
    /// A layout as a person writes it, rows or short code: read and judged.
    #[cfg(feature = "written")]
    Written { outline: OutlineRecord, text: String },
    /// A layout by the piece of each covered cell: written and judged.
    #[cfg(feature = "written")]
    Painted { outline: OutlineRecord, covered: Vec<[i32; 3]> },
    /// An entry mark: whether it is well copied.
    #[cfg(feature = "written")]
    Mark { text: String },
    /// A code hashed with salt.
    Seal { salt: String, code: String },
    /// Fillings counted.
    #[cfg(feature = "search")]
    Count { outline: OutlineRecord, ask: CountAsk },
    /// Pockets that leave one layout.
    #[cfg(feature = "search")]
    Pockets { outline: OutlineRecord, ask: PocketsAsk },
    /// What is known of a drawing while the hand still draws.
    #[cfg(feature = "search")]
    Live(LiveQuestion),
}

/// Answers questions about one set at a time.
#[derive(Default)]
pub struct Desk {
    bench: Option<Bench>,
}

impl Desk {
    /// The answer to a question, both as JSON in UTF-8; what can't be answered
    /// is `{"error": "…"}`.
    pub fn ask(&mut self, question: &[u8], clock: Clock) -> Vec<u8> {
        let answer = serde_json::from_slice(question)
            .map_err(|e| Refusal(format!("the question was not understood: {e}")))
            .and_then(|question| self.answer(question, clock))
            .unwrap_or_else(|Refusal(why)| json!({ "error": why }));
        answer.to_string().into_bytes()
    }

    fn bench(&self) -> Result<&Bench, Refusal> {
        self.bench.as_ref().ok_or_else(|| Refusal("no set is open".to_owned()))
    }

    fn answer(&mut self, question: Question, clock: Clock) -> Result<Value, Refusal> {
        let _ = clock; // Only searches read it.
        match question {
            Question::Open { set } => {
                self.bench = Some(Bench::open(&set)?);
                Ok(json!({ "pieces": set.pieces.len() }))
            }
            Question::Outline { outline } => Ok(outline_json(&outline)?),
            Question::Folds { piece } => folds(self.bench()?, piece),
            Question::Moves { piece, pose } => told(&moves(self.bench()?, piece, &pose)?),
            Question::Places { piece, pose } => places(self.bench()?, piece, &pose),
            Question::Lay { outline, lying, piece } => {
                let (bench, outline) = (self.bench()?, outline.outline()?);
                let lying = placed(&bench.set, &lying)?;
                let [piece] = &placed(&bench.set, &[piece])?[..] else {
                    return refuse("one piece is laid at a time");
                };
                told(&lay(bench, &outline, &lying, piece)?)
            }
            Question::Judge { outline, placed: records } => {
                let (bench, outline) = (self.bench()?, outline.outline()?);
                told(&judge(bench, &outline, placed(&bench.set, &records)?)?)
            }
            #[cfg(feature = "written")]
            Question::Written { outline, text } => told(&written(self.bench()?, &outline.outline()?, &text)?),
            #[cfg(feature = "written")]
            Question::Painted { outline, covered } => {
                told(&painted(self.bench()?, &outline.outline()?, &covered)?)
            }
            #[cfg(feature = "written")]
            Question::Mark { text } => told(&mark_read(&text)),
            Question::Seal { salt, code } => Ok(json!({ "seal": seal(&salt, &code) })),
            #[cfg(feature = "search")]
            Question::Count { outline, ask } => {
                told(&count(self.bench()?, &outline.outline()?, &ask, clock)?)
            }
            #[cfg(feature = "search")]
            Question::Pockets { outline, ask } => {
                told(&pockets(self.bench()?, &outline.outline()?, &ask, clock)?)
            }
            #[cfg(feature = "search")]
            Question::Live(question) => told(&live(self.bench()?, &question, clock)?),
        }
    }
}

fn told(record: &impl Serialize) -> Result<Value, Refusal> {
    serde_json::to_value(record).map_err(|e| Refusal(format!("the answer could not be told: {e}")))
}

fn outline_json(record: &OutlineRecord) -> Result<Value, Refusal> {
    use lattice::VertexKind::{Edge, Inside};
    let outline = record.outline()?;
    let vertices = |kind| outline.vertices(kind).into_iter().map(vertex_record).collect::<Vec<_>>();
    let (low, width, height) = outline.bounds();
    Ok(json!({
        "cells": outline.cells().iter().map(|&c| cell_record(c)).collect::<Vec<_>>(),
        "pockets": outline.pockets().iter().map(|&v| vertex_record(v)).collect::<Vec<_>>(),
        "spare": outline.spare(),
        "inside": vertices(Inside),
        "edge": vertices(Edge),
        "bounds": [low.x, low.y, width, height],
        "parts": outline.parts().len(),
        "rotations": outline.rotations().len(),
    }))
}

fn folds(bench: &Bench, piece: usize) -> Result<Value, Refusal> {
    let reach = bench.reach(piece)?;
    let one = |(at, fold): (usize, &lattice::Fold)| {
        json!({
            "cells": fold.cells.iter().map(|&c| cell_record(c)).collect::<Vec<_>>(),
            "pins": fold.pins.iter().map(|&p| pin_record(p)).collect::<Vec<_>>(),
            "pose": pose_record(&fold.pose),
            "distance": reach.distance(at),
        })
    };
    let folds: Vec<Value> = reach.folds().folds().iter().enumerate().map(one).collect();
    Ok(json!({ "folds": folds, "shapes": reach.folds().shapes().count(), "reached": reach.reached() }))
}

fn places(bench: &Bench, number: usize, record: &PoseRecord) -> Result<Value, Refusal> {
    let piece = bench.piece(number)?;
    let pose = crate::record::pose(piece, record)?;
    let cells: Vec<_> = pose.cells(piece).into_iter().map(cell_record).collect();
    let pins: Vec<_> = pose.pins(piece, bench.set.levels).into_iter().map(pin_record).collect();
    Ok(json!({ "cells": cells, "pins": pins }))
}
