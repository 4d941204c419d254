//! What is known of a drawing, as the page's own core tells it.

use lattice::{Cell, DropIn, Pin, Placed, Vertex};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::bench::Bench;
use crate::live::{Advice, Advised, Drawing, LiveAsk};
use crate::record::{
    PinRecord, PlaceRecord, Refusal, cell, cell_record, pin_record, place, refuse, vertex_record,
};
use crate::search::{Budget, Spending, number};

/// Cells and pockets that a drawing may have.
const MOST: usize = 10_000;

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LiveQuestion {
    cells: Vec<PlaceRecord>,
    pockets: Vec<PlaceRecord>,
    #[serde(default)]
    spare: usize,
    /// Also look for the most pockets.
    #[serde(default)]
    thorough: bool,
    #[serde(default)]
    budget: Budget,
}

#[derive(Debug, Serialize)]
pub(crate) struct LiveRecord {
    cells: usize,
    blocks: usize,
    missing: i64,
    parts: usize,
    notes: Vec<String>,
    filling: Option<FillingRecord>,
    advice: Option<AdviceRecord>,
}

#[derive(Debug, Serialize)]
struct FillingRecord {
    different: Value,
    layouts: Value,
    foldings: Value,
    drop_in_layouts: Value,
    complete: bool,
    unique: Option<bool>,
    /// The first layout: pieces by their positions in the set.
    layout: Option<LayoutRecord>,
}

#[derive(Debug, Serialize)]
struct LayoutRecord {
    pieces: Vec<PieceIn>,
    /// Positions in the set, in drop-in order.
    drop_in: Option<Vec<usize>>,
    interlocked: Option<Vec<usize>>,
    empty: Vec<PlaceRecord>,
}

#[derive(Debug, Serialize)]
struct PieceIn {
    piece: usize,
    cells: Vec<PlaceRecord>,
    pins: Vec<PinRecord>,
}

#[derive(Debug, Serialize)]
struct AdviceRecord {
    layouts_open: u64,
    different_open: u64,
    complete: bool,
    smallest: Option<AdvisedRecord>,
    largest: Option<AdvisedRecord>,
    sought_largest: bool,
}

#[derive(Debug, Serialize)]
struct AdvisedRecord {
    pockets: Vec<PlaceRecord>,
    blind: Vec<PlaceRecord>,
    proven: bool,
    same_size: u64,
}

pub(crate) fn live(
    bench: &Bench,
    question: &LiveQuestion,
    clock: crate::ask::Clock,
) -> Result<LiveRecord, Refusal> {
    if question.cells.len().max(question.pockets.len()) > MOST || question.spare > MOST {
        return refuse(format!("a drawing has at most {MOST} cells, pockets and cells to stay empty"));
    }
    let cells: Vec<Cell> = question.cells.iter().map(|&at| cell(at)).collect::<Result<_, _>>()?;
    let pockets: Vec<Vertex> = question.pockets.iter().map(|&at| place(at)).collect::<Result<_, _>>()?;
    let set = bench.live()?;
    let spending = Spending::start(question.budget, clock);
    let stop = || spending.is_over();
    let drawn = Drawing { cells: &cells, pockets: &pockets, spare: question.spare };
    let ask = LiveAsk { thorough: question.thorough, threads: 1, stop: &stop };
    let live = set.look(&drawn, &ask).map_err(|why| Refusal(why.join("; ")))?;
    let filling = live.filling.map(|found| FillingRecord {
        different: number(found.counts.different.to_string()),
        layouts: number(found.counts.layouts.to_string()),
        foldings: number(found.counts.foldings.to_string()),
        drop_in_layouts: found.counts.drop_in_layouts.map_or(Value::Null, |n| number(n.to_string())),
        complete: found.certainty == fill::Certainty::Complete,
        unique: live.unique,
        layout: found.answers.first().map(|first| layout(bench, &cells, first)),
    });
    Ok(LiveRecord {
        cells: cells.len(),
        blocks: bench.set.blocks(),
        missing: live.missing,
        parts: live.parts,
        notes: live.notes,
        filling,
        advice: live.advice.as_ref().map(advice),
    })
}

fn layout(bench: &Bench, all: &[Cell], answer: &fill::Answer) -> LayoutRecord {
    let mut covered: Vec<Cell> = Vec::new();
    let mut one = |placed: &Placed| {
        let piece = &bench.set.pieces[placed.piece];
        let (mut cells, mut pins): (Vec<Cell>, Vec<Pin>) =
            (placed.pose.cells(piece), placed.pose.pins(piece, bench.set.levels));
        cells.sort_unstable();
        pins.sort_unstable();
        covered.extend(&cells);
        PieceIn {
            piece: placed.piece,
            cells: cells.into_iter().map(cell_record).collect(),
            pins: pins.into_iter().map(pin_record).collect(),
        }
    };
    let pieces: Vec<PieceIn> = answer.folding.placed.iter().map(&mut one).collect();
    let named = |positions: &[usize]| positions.iter().map(|&p| pieces[p].piece).collect();
    let (drop_in, interlocked) = match &answer.drop_in {
        DropIn::Order(order) => (Some(named(order)), None),
        DropIn::Interlocked(ring) => (None, Some(named(ring))),
    };
    let empty = all.iter().filter(|c| !covered.contains(c)).map(|&c| cell_record(c)).collect();
    LayoutRecord { pieces, drop_in, interlocked, empty }
}

fn advice(advice: &Advice) -> AdviceRecord {
    let spots = |list: &[Vertex]| list.iter().map(|&v| vertex_record(v)).collect();
    let one = |set: &Advised| AdvisedRecord {
        pockets: spots(&set.pockets),
        blind: spots(&set.blind),
        proven: set.proven,
        same_size: set.same_size,
    };
    AdviceRecord {
        layouts_open: advice.layouts_open,
        different_open: advice.different_open,
        complete: advice.complete,
        smallest: advice.smallest.as_ref().map(one),
        largest: advice.largest.as_ref().map(one),
        sought_largest: advice.sought_largest,
    }
}
