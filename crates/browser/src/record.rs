//! The records that cross the boundary, and what they mean on the lattice.
//!
//! They are their own, not the lattice's types, and stable: a page may be older
//! than the program beside it. Cells, vertices and pins are lists of numbers,
//! a motion is `[mirrored, quarter turns, dx, dy]`.

use lattice::{Cell, Hinge, Level, Motion, Outline, Piece, Pin, Placed, Pose, Set, Turn, Vertex, drawing};
use reach::Sizes;
use serde::{Deserialize, Serialize};

/// Farther out nothing is accepted, so that sums of places stay small.
const FARTHEST: i32 = 1_000_000;
/// More blocks or cells are not asked for by any page.
const MOST: usize = 100_000;

/// Why a question has no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub(crate) struct Refusal(pub String);

pub(crate) fn refuse<T>(why: impl Into<String>) -> Result<T, Refusal> {
    Err(Refusal(why.into()))
}

/// `[x, y]`.
pub(crate) type PlaceRecord = [i32; 2];
/// `[x, y, level]`.
pub(crate) type PinRecord = [i32; 3];
/// `[mirrored, quarter turns anticlockwise, dx, dy]`, one a body.
pub(crate) type PoseRecord = Vec<[i32; 4]>;

#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub(crate) enum ReachRecord {
    Swings,
    Planned,
    Any,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SetRecord {
    pub levels: u8,
    #[serde(default)]
    pub turn_over: bool,
    #[serde(default)]
    pub interlocked: bool,
    pub reach: ReachRecord,
    pub sizes: SizesRecord,
    pub pieces: Vec<PieceRecord>,
    /// The letters that stand for the pieces in writing; without them A, B, C, ….
    #[serde(default)]
    #[cfg_attr(not(feature = "written"), allow(dead_code))]
    pub letters: Option<String>,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SizesRecord {
    pub pitch: f64,
    pub gap: f64,
    pub knuckle: f64,
    pub clearance: f64,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PieceRecord {
    pub blocks: Vec<PlaceRecord>,
    #[serde(default)]
    pub hinges: Vec<HingeRecord>,
    #[serde(default)]
    pub rigid: bool,
    /// Under the rule `planned`: poses that motions of several hinges lead to.
    #[serde(default)]
    pub poses: Vec<PoseRecord>,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct HingeRecord {
    pub pin: PlaceRecord,
    pub joins: [usize; 2],
    pub level: u8,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct OutlineRecord {
    /// Cells and pockets, or a drawing of both.
    #[serde(default)]
    pub cells: Vec<PlaceRecord>,
    #[serde(default)]
    pub pockets: Vec<PlaceRecord>,
    #[serde(default)]
    pub drawing: Option<String>,
    #[serde(default)]
    pub spare: usize,
}

#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PlacedRecord {
    pub piece: usize,
    pub pose: PoseRecord,
}

pub(crate) fn place(at: PlaceRecord) -> Result<Vertex, Refusal> {
    if at.iter().any(|n| n.unsigned_abs() > FARTHEST as u32) {
        return refuse(format!(
            "({}, {}) is too far out; stay within {FARTHEST} of the origin",
            at[0], at[1]
        ));
    }
    Ok(Vertex::new(at[0], at[1]))
}

pub(crate) fn cell(at: PlaceRecord) -> Result<Cell, Refusal> {
    place(at).map(|v| Cell::new(v.x, v.y))
}

impl SetRecord {
    pub fn sizes(&self) -> Sizes {
        let SizesRecord { pitch, gap, knuckle, clearance } = self.sizes;
        Sizes { pitch, gap, knuckle, clearance }
    }

    /// The set, every fault of every piece told at once.
    pub fn set(&self) -> Result<Set, Refusal> {
        let mut faults = Vec::new();
        if self.levels == 0 {
            faults.push("a set has at least 1 level".to_owned());
        }
        let mut pieces = Vec::new();
        for (number, record) in self.pieces.iter().enumerate() {
            match record.piece(self.levels) {
                Ok(piece) => pieces.push(piece),
                Err(why) => faults.extend(why.into_iter().map(|w| format!("piece {number}: {w}"))),
            }
        }
        if !faults.is_empty() {
            return refuse(faults.join("; "));
        }
        Ok(Set { pieces, levels: self.levels, turn_over: self.turn_over })
    }
}

impl PieceRecord {
    fn piece(&self, levels: u8) -> Result<Piece, Vec<String>> {
        if self.blocks.len() > MOST || self.hinges.len() > MOST {
            return Err(vec![format!("it has more than {MOST} blocks or hinges")]);
        }
        let far = |e: Refusal| vec![e.0];
        let blocks = self.blocks.iter().map(|&at| cell(at)).collect::<Result<_, _>>().map_err(far)?;
        let hinge = |h: &HingeRecord| Ok(Hinge { pin: place(h.pin)?, joins: h.joins, level: Level(h.level) });
        let hinges: Vec<Hinge> = self.hinges.iter().map(hinge).collect::<Result<_, _>>().map_err(far)?;
        let high = hinges.iter().filter(|h| h.level.0 >= levels);
        let mut faults: Vec<String> =
            high.map(|h| format!("level {} of a hinge, but the set has {levels}", h.level.0)).collect();
        let piece = if self.rigid && hinges.is_empty() {
            Piece::rigid(blocks)
        } else if self.rigid {
            Err(Piece::faults(&blocks, &hinges, true))
        } else {
            Piece::hinged(blocks, hinges)
        };
        match piece {
            Ok(piece) if faults.is_empty() => Ok(piece),
            Ok(_) => Err(faults),
            Err(more) => {
                faults.extend(more.iter().map(ToString::to_string));
                Err(faults)
            }
        }
    }
}

impl OutlineRecord {
    pub fn outline(&self) -> Result<Outline, Refusal> {
        if let Some(text) = &self.drawing {
            if text.len() > MOST {
                return refuse(format!("the drawing is longer than {MOST} bytes"));
            }
            return drawing::parse(text, self.spare).map_err(|all| Refusal(joined(&all)));
        }
        if self.cells.len() > MOST || self.pockets.len() > MOST {
            return refuse(format!("the outline has more than {MOST} cells or pockets"));
        }
        let cells: Vec<Cell> = self.cells.iter().map(|&at| cell(at)).collect::<Result<_, _>>()?;
        let pockets: Vec<Vertex> = self.pockets.iter().map(|&at| place(at)).collect::<Result<_, _>>()?;
        Outline::new(cells, pockets, self.spare).map_err(|all| Refusal(joined(&all)))
    }
}

fn joined(faults: &[impl ToString]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}

/// A pose with a motion for each body; whether its hinges hold is for others to ask.
pub(crate) fn pose(piece: &Piece, record: &PoseRecord) -> Result<Pose, Refusal> {
    if record.len() != piece.bodies() {
        return refuse(format!("a pose has {} motions instead of {}", record.len(), piece.bodies()));
    }
    let motion = |&[mirrored, turn, dx, dy]: &[i32; 4]| {
        let (0..=1, 0..=3) = (mirrored, turn) else {
            return refuse("a motion is [0 or 1, 0 to 3, dx, dy]");
        };
        let shift = place([dx, dy])?;
        Ok(Motion { mirrored: mirrored == 1, turn: Turn::new(turn as u8), dx: shift.x, dy: shift.y })
    };
    Ok(Pose::from_motions(record.iter().map(motion).collect::<Result<_, _>>()?))
}

pub(crate) fn pose_record(pose: &Pose) -> PoseRecord {
    let motion = |m: &Motion| [i32::from(m.mirrored), i32::from(m.turn.quarters()), m.dx, m.dy];
    pose.motions().iter().map(motion).collect()
}

pub(crate) fn placed(set: &Set, records: &[PlacedRecord]) -> Result<Vec<Placed>, Refusal> {
    let one = |record: &PlacedRecord| {
        let Some(piece) = set.pieces.get(record.piece) else {
            return refuse(format!("there is no piece {}; the set has {}", record.piece, set.pieces.len()));
        };
        Ok(Placed { piece: record.piece, pose: pose(piece, &record.pose)? })
    };
    records.iter().map(one).collect()
}

pub(crate) fn cell_record(c: Cell) -> PlaceRecord {
    [c.x, c.y]
}

pub(crate) fn vertex_record(v: Vertex) -> PlaceRecord {
    [v.x, v.y]
}

pub(crate) fn pin_record(pin: Pin) -> PinRecord {
    [pin.at.x, pin.at.y, i32::from(pin.level.0)]
}
