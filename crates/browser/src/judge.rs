//! Placements and foldings judged by the lattice, with every fault told.

use lattice::{DropIn, Folding, FoldingFault, Outline, Placed, Vertex, layout_code};
use serde::Serialize;

use crate::bench::{Bench, is_sound};
use crate::record::{PlaceRecord, ReachRecord, Refusal, cell_record, vertex_record};

/// One fault.
#[derive(Debug, Default, Serialize)]
pub(crate) struct FaultRecord {
    /// `count`, `torn`, `turned over`, `outside`, `overlap`, `pins meet`, `no pocket`, `empty`,
    /// `not reached`.
    pub kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cell: Option<PlaceRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<PlaceRecord>,
    /// The fault as a sentence.
    pub says: String,
}

fn fault(fault: &FoldingFault) -> FaultRecord {
    let mut record = FaultRecord { says: fault.to_string(), ..FaultRecord::default() };
    record.kind = match *fault {
        FoldingFault::Count { piece, .. } => {
            record.piece = Some(piece);
            "count"
        }
        FoldingFault::Torn { piece, .. } => {
            record.piece = Some(piece);
            "torn"
        }
        FoldingFault::TurnedOver { piece } => {
            record.piece = Some(piece);
            "turned over"
        }
        FoldingFault::Outside { piece, cell } => {
            record.piece = Some(piece);
            record.cell = Some(cell_record(cell));
            "outside"
        }
        FoldingFault::Overlap { cell } => {
            record.cell = Some(cell_record(cell));
            "overlap"
        }
        FoldingFault::PinsMeet { at } => {
            record.at = Some(vertex_record(at));
            "pins meet"
        }
        FoldingFault::NoPocket { piece, at } => {
            record.piece = Some(piece);
            record.at = Some(vertex_record(at));
            "no pocket"
        }
        FoldingFault::Empty { .. } => "empty",
    };
    record
}

/// What keeps a piece from lying where it is, beside those that lie there.
#[derive(Debug, Serialize)]
pub(crate) struct LayRecord {
    pub faults: Vec<FaultRecord>,
    /// Pieces that lie already and have a hinge over one of this piece's: they
    /// must come out before it can be put in or taken out.
    pub under: Vec<usize>,
}

pub(crate) fn lay(
    bench: &Bench,
    outline: &Outline,
    lying: &[Placed],
    piece: &Placed,
) -> Result<LayRecord, Refusal> {
    let mut placed: Vec<Placed> = lying.iter().filter(|p| p.piece != piece.piece).cloned().collect();
    let under = over(bench, &placed, piece);
    placed.push(piece.clone());
    let faults = Folding { placed }.faults(&bench.set, outline);
    // More pieces are still to come.
    let to_come =
        |f: &&FoldingFault| matches!(f, FoldingFault::Count { times: 0, .. } | FoldingFault::Empty { .. });
    let faults: Vec<FaultRecord> = faults.iter().filter(|f| !to_come(f)).map(fault).collect();
    Ok(LayRecord { faults, under })
}

/// The pieces with a hinge over one of `piece`'s, ascending. Where the set
/// counts interlocked layouts, nobody waits.
fn over(bench: &Bench, lying: &[Placed], piece: &Placed) -> Vec<usize> {
    if bench.interlocked {
        return Vec::new();
    }
    let pins = |p: &Placed| p.pose.pins(&bench.set.pieces[p.piece], bench.set.levels);
    let own = pins(piece);
    let is_over = |p: &&Placed| {
        let theirs = pins(p);
        theirs.iter().any(|t| own.iter().any(|o| o.at == t.at && t.level > o.level))
    };
    let mut found: Vec<usize> = lying.iter().filter(is_over).map(|p| p.piece).collect();
    found.sort_unstable();
    found
}

/// A whole folding judged.
#[derive(Debug, Serialize)]
pub(crate) struct JudgeRecord {
    /// Whether it fills the outline and, unless the set does not ask, drops in.
    pub fills: bool,
    pub faults: Vec<FaultRecord>,
    /// The order in which the pieces drop in, by position in the question; or
    /// none, and the ring of those that wait for each other.
    pub drop_in: Option<Vec<usize>>,
    pub interlocked: Option<Vec<usize>>,
    /// The edge vertices it needs pockets at.
    pub footprint: Vec<PlaceRecord>,
    /// The layout's code, if there is no fault.
    pub code: Option<String>,
}

pub(crate) fn judge(bench: &Bench, outline: &Outline, placed: Vec<Placed>) -> Result<JudgeRecord, Refusal> {
    let folding = Folding { placed };
    let mut faults: Vec<FaultRecord> = folding.faults(&bench.set, outline).iter().map(fault).collect();
    for placed in folding.placed.iter().filter(|_| bench.reach != ReachRecord::Any) {
        // What is torn or folded onto itself has been told.
        let sound = is_sound(&bench.set.pieces[placed.piece], &placed.pose);
        if sound && !bench.may_use(placed.piece, &placed.pose)? {
            faults.push(FaultRecord {
                kind: "not reached",
                piece: Some(placed.piece),
                says: format!("piece {} has a fold that the rule on folds leaves out", placed.piece),
                ..FaultRecord::default()
            });
        }
    }
    let (drop_in, interlocked) = match folding.drop_in(&bench.set) {
        DropIn::Order(order) => (Some(order), None),
        DropIn::Interlocked(ring) => (None, Some(ring)),
    };
    let code = match faults.is_empty() {
        true => Some(layout_code(&bench.set, bench.classes()?, outline, &folding)),
        false => None,
    };
    let footprint: Vec<Vertex> = folding.footprint(&bench.set, outline);
    Ok(JudgeRecord {
        fills: faults.is_empty() && (bench.interlocked || drop_in.is_some()),
        faults,
        drop_in,
        interlocked,
        footprint: footprint.into_iter().map(vertex_record).collect(),
        code,
    })
}
