//! Layouts as a person writes them, read and judged by `ruling`.

use lattice::Outline;
use ruling::{Fault, Layout, Sheet, mark};
use serde::Serialize;

use crate::bench::Bench;
use crate::record::{PlaceRecord, Refusal, cell, cell_record, refuse, vertex_record};

/// A layout read and judged.
#[derive(Debug, Default, Serialize)]
pub(crate) struct WrittenRecord {
    /// Slips of the hand, as sentences; with any, there is nothing else.
    misread: Vec<String>,
    /// `[x, y, piece]` of each covered cell, from the top row down.
    covered: Vec<[i32; 3]>,
    /// The layout as rows of letters and as its short code.
    rows: Option<String>,
    short: Option<String>,
    accepted: bool,
    faults: Vec<FaultRecord>,
    /// The code of all layouts that are essentially this one, if it is accepted.
    code: Option<String>,
}

/// One thing that is wrong with a layout.
#[derive(Debug, Serialize)]
struct FaultRecord {
    kind: &'static str,
    pieces: Vec<usize>,
    cells: Vec<PlaceRecord>,
    at: Vec<PlaceRecord>,
    /// The fault as a sentence.
    says: String,
}

/// What a text says.
pub(crate) fn written(bench: &Bench, outline: &Outline, text: &str) -> Result<WrittenRecord, Refusal> {
    let sheet = Sheet::new(bench.rules()?, outline);
    Ok(match sheet.read(text) {
        Ok(layout) => told(&sheet, &layout),
        Err(slips) => WrittenRecord {
            misread: slips.iter().map(ToString::to_string).collect(),
            ..WrittenRecord::default()
        },
    })
}

/// What was painted: `[x, y, piece]` of each covered cell.
pub(crate) fn painted(
    bench: &Bench,
    outline: &Outline,
    covered: &[[i32; 3]],
) -> Result<WrittenRecord, Refusal> {
    let sheet = Sheet::new(bench.rules()?, outline);
    let mut owners = vec![None; sheet.reading().len()];
    for &[x, y, piece] in covered {
        let Some(piece) = usize::try_from(piece).ok().filter(|&p| p < bench.set.pieces.len()) else {
            return refuse(format!("there is no piece {piece}; the set has {}", bench.set.pieces.len()));
        };
        let Some(number) = sheet.number(cell([x, y])?) else {
            return refuse(format!("cell ({x}, {y}) is not one of the outline"));
        };
        if owners[number].replace(piece).is_some() {
            return refuse(format!("cell ({x}, {y}) is covered twice"));
        }
    }
    let layout = sheet.layout(owners).ok_or_else(|| Refusal("this is no layout".to_owned()))?;
    Ok(told(&sheet, &layout))
}

fn told(sheet: &Sheet, layout: &Layout) -> WrittenRecord {
    let covered = sheet.reading().iter().zip(layout.owners());
    let covered = covered.filter_map(|(c, owner)| owner.map(|p| [c.x, c.y, p as i32])).collect();
    let verdict = sheet.judge(layout);
    let (accepted, code, faults) = match verdict {
        Ok(accepted) => (true, Some(accepted.code), Vec::new()),
        Err(faults) => (false, None, faults.iter().map(|f| fault(sheet, f)).collect()),
    };
    let (rows, short) = (Some(sheet.rows(layout)), sheet.short(layout));
    WrittenRecord { misread: Vec::new(), covered, rows, short, accepted, faults, code }
}

fn fault(sheet: &Sheet, fault: &Fault) -> FaultRecord {
    let cells = match fault {
        Fault::Torn { cells, .. } => cells.iter().map(|&c| cell_record(c)).collect(),
        _ => Vec::new(),
    };
    FaultRecord {
        kind: fault.kind(),
        pieces: fault.pieces().to_vec(),
        cells,
        at: fault.at().iter().map(|&v| vertex_record(v)).collect(),
        says: fault.says(sheet),
    }
}

/// An entry mark as it is printed, or the slips in copying it.
#[derive(Debug, Serialize)]
pub(crate) struct MarkRecord {
    mark: Option<String>,
    misread: Vec<String>,
}

pub(crate) fn mark_read(text: &str) -> MarkRecord {
    match mark::read(text) {
        Ok(number) => MarkRecord { mark: Some(mark::write(number)), misread: Vec::new() },
        Err(slips) => MarkRecord { mark: None, misread: slips.iter().map(ToString::to_string).collect() },
    }
}
