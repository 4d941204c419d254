//! Pictures without a word, cut close: what a page sets its own words round.
//!
//! The caller chooses the millimetres to a block, so that every picture of a
//! book can stand at one scale. Letters that mark pieces stay: they are marks.

use lattice::{Folding, Outline, Pose, Set};

use crate::block::{self, Marks};
use crate::error::{PaperError, check_layout, check_outline};
use crate::fold_sheet::{checked, draw};
use crate::layout::Scene;
use crate::line::{Frame, bounds};
use crate::plate::{self, Use, WALL_WIDTH, counted};
use crate::sheet::{Picture, Sheet};
use crate::style::{PieceStyle, Style};

/// Half the wall's line and a hair, in pitches.
const RIM: f64 = WALL_WIDTH + 0.06;
/// Room for knuckles round a piece, in pitches.
const ROUND_PIECE: f64 = 0.26;

/// Width and height in millimetres of the plate of an outline at a pitch, as
/// [`bare_outline`] and [`bare_layout`] draw it.
pub fn bare_size(outline: &Outline, pitch: f64) -> (f64, f64) {
    let (_, columns, rows) = outline.bounds();
    ((f64::from(columns) + 2.0 * RIM) * pitch, (f64::from(rows) + 2.0 * RIM) * pitch)
}

fn plate_frame(outline: &Outline, pitch: f64) -> Frame {
    let (low, _, rows) = outline.bounds();
    Frame { left: RIM * pitch, top: RIM * pitch, pitch, x0: low.x, y1: low.y + rows }
}

/// The plate of an outline, `pitch` millimetres to a block.
///
/// # Errors
/// Cells that spread too far.
pub fn bare_outline(outline: &Outline, pitch: f64) -> Result<Picture, PaperError> {
    check_outline(outline)?;
    let size = bare_size(outline, pitch);
    let facts = format!("Plate of an outline with {}.", counted(outline.cells().len(), "cell"));
    let mut sheet = Sheet::new(size.0, size.1, "Outline", &facts);
    let frame = plate_frame(outline, pitch);
    plate::draw(&mut sheet, &frame, outline, |_| Use::Open);
    plate::pockets(&mut sheet, &frame, outline, |_| Use::Open);
    Ok(sheet.finish())
}

/// A folding on its plate, `pitch` millimetres to a block; with `order` each
/// piece carries its place in the drop-in order.
///
/// # Errors
/// As for [`crate::layout`].
pub fn bare_layout(
    set: &Set,
    outline: &Outline,
    folding: &Folding,
    style: &Style,
    pitch: f64,
    order: bool,
) -> Result<Picture, PaperError> {
    check_layout(set, outline, folding, &style.pieces)?;
    let size = bare_size(outline, pitch);
    let scene = Scene::new(set, outline, folding);
    let mut sheet = Sheet::new(size.0, size.1, "Layout", &scene.description(folding, style, order, &[]));
    scene.draw(&mut sheet, &plate_frame(outline, pitch), style, order);
    Ok(sheet.finish())
}

/// A piece in a pose, with its pattern and letter, `pitch` millimetres to a block.
///
/// # Errors
/// A piece that is not in the set, a pose that is torn or not one of that piece.
pub fn bare_pose(
    set: &Set,
    piece: usize,
    pose: &Pose,
    style: &PieceStyle,
    pitch: f64,
) -> Result<Picture, PaperError> {
    let posed = checked(set, piece, pose, 0, style)?;
    let (x0, y0, x1, y1) = bounds(&posed.cells);
    let rim = ROUND_PIECE * pitch;
    let (width, height) = (f64::from(x1 - x0) * pitch + 2.0 * rim, f64::from(y1 - y0) * pitch + 2.0 * rim);
    let words = format!("{}: {}.", style.name, counted(posed.cells.len(), "block"));
    let mut sheet = Sheet::new(width, height, &style.name, &words);
    let frame = Frame { left: rim, top: rim, pitch, x0, y1 };
    let marks = Marks { hatched: true, lettered: true, ruled: true };
    draw(&mut sheet, &frame, &posed, style, set.levels, marks, (1.0, false));
    Ok(sheet.finish())
}

/// One block of a piece as keys show it, `side` millimetres: colour, pattern, letter.
pub fn bare_swatch(style: &PieceStyle, side: f64) -> Picture {
    let rim = 0.05 * side;
    let mut sheet = Sheet::new(side + 2.0 * rim, side + 2.0 * rim, &style.name, style.pattern.name());
    block::swatch(&mut sheet, (rim, rim), side, style);
    sheet.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use lattice::{Piece, drawing};

    #[test]
    fn pictures_have_no_words_and_the_size_asked_for() {
        let plate = drawing::parse("+ o +\n # #\n+ + +", 0).unwrap();
        let picture = bare_outline(&plate, 5.0).unwrap();
        assert_eq!(picture.size_mm(), bare_size(&plate, 5.0));
        assert!(!picture.svg().contains("<use") && picture.svg().contains("pocket"));
        let piece = Piece::rigid(plate.cells().to_vec()).unwrap();
        let set = Set { pieces: vec![piece], levels: 1, turn_over: false };
        let style = Style::new([("slab", [0, 0x72, 0xB2])]);
        let home = Pose::home(&set.pieces[0]);
        let alone = bare_pose(&set, 0, &home, &style.pieces[0], 10.0).unwrap();
        assert!((alone.size_mm().0 - 25.2).abs() < 1e-9, "{:?}", alone.size_mm());
        let placed = vec![lattice::Placed { piece: 0, pose: home }];
        let laid = bare_layout(&set, &plate, &Folding { placed }, &style, 5.0, true).unwrap();
        assert_eq!(laid.size_mm(), picture.size_mm());
        assert!(bare_swatch(&style.pieces[0], 4.0).svg().contains("swatch"));
    }
}
