//! The small drawings that explain the rules: one hinge in its three positions,
//! a plate with pockets, the same plate filled. They are the same in every
//! booklet, drawn in greys so that nobody takes them for pieces of the set.

use lattice::{
    Cell, Folding, Hinge, Level, Motion, Outline, Piece, Placed, Pose, Set, Turn, Vertex, drawing,
};
use paper::{PieceStyle, Style, bare_layout, bare_outline, bare_pose};
use typst::foundations::Dict;

use crate::error::TypesetError;
use crate::picture::picture;
use crate::value::{dict, list};
use crate::words::Words;

const PITCH: f64 = 10.0;
/// A plate that two pieces of three blocks fill, with two pockets that are used and one that is not.
const PLATE: &str = "\
+ o o +
 # # #
+ + + o
 # # #
+ + + +";

fn chain(hinges: &[(i32, i32)]) -> Piece {
    let cells = (0..=hinges.len() as i32).map(|x| Cell::new(x, 0)).collect();
    let hinge = |(i, &(x, y)): (usize, &(i32, i32))| Hinge {
        pin: Vertex::new(x, y),
        joins: [i, i + 1],
        level: Level(0),
    };
    Piece::hinged(cells, hinges.iter().enumerate().map(hinge).collect()).expect("a chain is a piece")
}

fn style(names: [&str; 2]) -> Style {
    let style = Style::new(names.into_iter().zip([[0xDD, 0xDD, 0xDD], [0x8A, 0x8A, 0x8A]]));
    let plain = |p: PieceStyle| PieceStyle { pattern: paper::Pattern::Plain, ..p };
    Style { pieces: style.pieces.into_iter().map(plain).collect() }
}

/// The plate, the set that fills it, and how.
fn filled() -> (Outline, Set, Folding) {
    let plate = drawing::parse(PLATE, 0).expect("the plate is drawn well");
    // The lower one's hinges stand on inside crossings, the upper one's in pockets.
    let (below, above) = (chain(&[(1, 1), (2, 1)]), chain(&[(1, 1), (2, 1)]));
    let lifted = Motion::STILL.shifted(0, 1);
    let set = Set { pieces: vec![below, above], levels: 1, turn_over: false };
    let at =
        |piece: usize, motion: Motion| Placed { piece, pose: Pose::home(&set.pieces[piece]).moved(motion) };
    let placed = vec![at(0, Motion::STILL), at(1, lifted)];
    (plate, set, Folding { placed })
}

/// The pictures of the rules.
pub(crate) fn lessons(words: &Words) -> Result<Dict, TypesetError> {
    let pair = chain(&[(1, 1)]);
    let set = Set { pieces: vec![pair], levels: 1, turn_over: false };
    let look = style(["a", "b"]);
    let alts = ["alt-side-by-side", "alt-corner", "alt-other-side"];
    let states = alts.iter().enumerate().map(|(quarters, alt)| {
        // The second block swings anticlockwise round the pin, over the first one.
        let swung = Motion::about(Vertex::new(1, 1), Turn::new(quarters as u8));
        let pose = Pose::from_motions(vec![Motion::STILL, swung]);
        Ok(picture(bare_pose(&set, 0, &pose, &look.pieces[0], PITCH)?, &words.say(alt, &[])))
    });
    let states = states.collect::<Result<Vec<Dict>, TypesetError>>()?;
    let (plate, set, folding) = filled();
    let empty = bare_outline(&plate, PITCH)?;
    let laid = bare_layout(&set, &plate, &folding, &look, PITCH, false)?;
    Ok(dict([
        ("states", list(states.into_iter().map(Into::into))),
        ("plate", picture(empty, &words.say("alt-plate", &[])).into()),
        ("laid", picture(laid, &words.say("alt-laid", &[])).into()),
    ]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_filled_plate_is_a_filling_with_hinges_in_two_of_three_pockets() {
        let (plate, set, folding) = filled();
        assert_eq!(folding.faults(&set, &plate), []);
        let used = folding.footprint(&set, &plate);
        assert_eq!((used.len(), plate.pockets().len()), (2, 3));
    }
}
