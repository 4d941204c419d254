//! A piece as paths for who draws it himself: a page whose pieces move.
//!
//! The same blocks, patterns and letters as in every picture here, so that a
//! piece on a page looks like the piece in the booklet. Each path is drawn
//! about the centre of a block, [`UNIT`] to a pitch, y down.

use lattice::{Piece, Pose};

use crate::block::{self, KNUCKLE, Posed};
use crate::colour::{Rgb, ink_on, mix};
use crate::line::{Frame, Line};
use crate::style::PieceStyle;

/// Units to a pitch.
pub const UNIT: f64 = 100.0;

/// Radius of a knuckle, in [`UNIT`]s of a hundredth pitch.
pub const KNUCKLE_RADIUS: f64 = KNUCKLE * UNIT;

/// One piece as paths.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceArt {
    /// The plan of each block as it lies at home: it turns with the block.
    pub blocks: Vec<String>,
    /// The hatching of a block, which stays upright; may be empty.
    pub hatching: String,
    /// Width of the hatching's lines.
    pub weight: f64,
    /// Colour of the hatching.
    pub hatching_ink: Rgb,
    /// The letter, which stays upright.
    pub letter: String,
    /// Colour of letter and marks on the piece's colour: at least 4.5:1.
    pub ink: Rgb,
    /// Radius of the plain patch behind the letter.
    pub patch: f64,
}

/// The paths of a piece drawn in a style.
pub fn piece_art(piece: &Piece, style: &PieceStyle) -> PieceArt {
    let posed = Posed::new(piece, &Pose::home(piece), u8::MAX);
    let plan = |&cell: &lattice::Cell| {
        let half = UNIT / 2.0;
        let frame = Frame { left: -half, top: -half, pitch: UNIT, x0: cell.x, y1: cell.y + 1 };
        block::plan(&frame, &posed, cell).data().to_owned()
    };
    let ink = ink_on(style.colour);
    let (mut hatching, mut letter) = (Line::default(), Line::default());
    style.pattern.hatch(&mut hatching, (-UNIT / 2.0, -UNIT / 2.0), UNIT);
    block::letter(&mut letter, (0.0, 0.0), 0.42 * UNIT, style.letter);
    PieceArt {
        blocks: piece.blocks().iter().map(plan).collect(),
        hatching: hatching.data().to_owned(),
        weight: style.pattern.weight() * UNIT,
        hatching_ink: mix(style.colour, ink, 62),
        letter: letter.data().to_owned(),
        ink,
        patch: 0.25 * UNIT,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::style::Style;
    use lattice::{Cell, Hinge, Level, Vertex};

    #[test]
    fn a_block_is_full_only_where_it_carries_a_hinge() {
        let hinge = Hinge { pin: Vertex::new(6, 6), joins: [0, 1], level: Level(0) };
        let piece = Piece::hinged(vec![Cell::new(5, 5), Cell::new(6, 5)], vec![hinge]).unwrap();
        let style = Style::new([("cleat", [0, 0x72, 0xB2]), ("fender", [0xE6, 0x9F, 0])]);
        let art = piece_art(&piece, &style.pieces[0]);
        // Three corners relieved by an arc, the fourth square.
        assert!(art.blocks.iter().all(|d| d.matches('A').count() == 3), "{:?}", art.blocks);
        assert!(art.blocks[0].contains("47.00 -47.00") && art.blocks[1].contains("-47.00 -47.00"));
        // The first pattern is plain.
        assert_eq!((art.hatching.as_str(), art.ink), ("", [255, 255, 255]));
        assert!(!piece_art(&piece, &style.pieces[1]).hatching.is_empty());
    }
}
