//! A linkage in a pose, and the reading of poses that ignores how it was drawn.

use lattice::{Cell, Corner, Hinge, Level, Piece, Vertex};

use crate::linkage::{Joint, Linkage, Walks};

/// A piece that shows a linkage, hinge by hinge in the order of its joints;
/// none if the linkage has no pose (a loop can ask for the impossible).
pub(crate) fn piece(linkage: &Linkage) -> Option<Piece> {
    let joints = linkage.joints((0, 0));
    let mut stands = vec![None; linkage.blocks()];
    stands[0] = Some(Stand { cell: Cell::new(0, 0), turn: 0 });
    let mut pins = Vec::new();
    if !stand(&joints, &mut stands, &mut pins) {
        return None;
    }
    let blocks = stands.iter().map(|s| s.expect("all stand").cell).collect();
    let hinges = joints.iter().zip(pins).map(|(j, pin)| Hinge {
        pin,
        joins: [j.from.0, j.to.0],
        level: Level(j.level),
    });
    Some(Piece::hinged(blocks, hinges.collect()).expect("a pose found is a sound drawing"))
}

/// Where a block is and by how many quarters its corners are turned.
#[derive(Clone, Copy)]
struct Stand {
    cell: Cell,
    turn: u8,
}

impl Stand {
    fn vertex(self, corner: u8) -> Vertex {
        self.cell.corner(Corner::new(corner + self.turn))
    }
}

fn stand(joints: &[Joint], stands: &mut [Option<Stand>], pins: &mut Vec<Vertex>) -> bool {
    let Some(joint) = joints.get(pins.len()) else { return true };
    let from = stands[joint.from.0].expect("a walk comes from where it was");
    let pin = from.vertex(joint.from.1);
    let taken = pins.iter().zip(joints).any(|(&at, j)| at == pin && j.level == joint.level);
    if taken {
        return false;
    }
    pins.push(pin);
    if let Some(to) = stands[joint.to.0] {
        if to.vertex(joint.to.1) == pin && stand(joints, stands, pins) {
            return true;
        }
    } else {
        for open in [2, 1, 3] {
            let quadrant = joint.from.1 + from.turn + 2 + open;
            let cell = pin.quadrant(Corner::new(quadrant));
            if stands.iter().flatten().any(|s| s.cell == cell) {
                continue;
            }
            let turn = (quadrant + 2 + 4 - joint.to.1 % 4) % 4;
            stands[joint.to.0] = Some(Stand { cell, turn });
            if stand(joints, stands, pins) {
                return true;
            }
            stands[joint.to.0] = None;
        }
    }
    pins.pop();
    false
}

/// How to read the openings of a piece's hinges along a walk of its linkage:
/// which hinge comes when, and whether it is met from its other block.
pub(crate) struct Reading(Vec<(usize, bool)>);

impl Reading {
    /// The readings along all walks that give the code of `seen`: the linkage
    /// of `piece`, in a mirror if `mirrored`, its level l being level `to[l]`.
    pub(crate) fn all(
        piece: &Piece,
        seen: &Linkage,
        walks: &Walks,
        mirrored: bool,
        to: &[u8],
    ) -> Vec<Reading> {
        walks
            .starts
            .iter()
            .map(|&start| {
                let steps = seen.joints(start);
                let read = |j: &Joint| {
                    let meets = |h: &Hinge| {
                        let own = piece.blocks()[j.from.0].corner_at(h.pin).map(Corner::index);
                        let corner = own.map(|k| if mirrored { (5 - k) % 4 } else { k });
                        let level = to[usize::from(h.level.0)] == j.level;
                        let ties = h.joins.contains(&j.from.0) && h.joins.contains(&j.to.0);
                        ties && level && corner == Some(j.from.1 % 4)
                    };
                    let hinge = piece.hinges().iter().position(meets).expect("every joint is a hinge");
                    (hinge, (piece.hinges()[hinge].joins[0] != j.from.0) != mirrored)
                };
                Reading(steps.iter().map(read).collect())
            })
            .collect()
    }

    /// The openings as this walk meets them.
    pub(crate) fn of(&self, openings: &[u8]) -> Vec<u8> {
        self.0.iter().map(|&(h, back)| if back { 4 - openings[h] } else { openings[h] }).collect()
    }
}
