//! A way by swings: poses of a piece side by side, arrows between them.
//!
//! What stands still between two poses stands still on paper too, whatever
//! frame the poses were given in. The blocks that move next are hatched, and
//! the arrow says which way they turn.

use lattice::{Cell, Motion, Pin, Pose, Set, Turn, Vertex};

use crate::block::{self, Marks, Posed};
use crate::colour::{INK, SOFT_INK, ink_on, mix};
use crate::error::{PaperError, spread};
use crate::fold_sheet::{SHEET, checked};
use crate::legend::{self, Entry, Legend, Symbol};
use crate::lettering::{self, Weight};
use crate::line::{Frame, Line, Point, bounds};
use crate::pattern::Pattern;
use crate::plate::{LEAST_WIDTH, MARGIN, TITLE, TITLE_ROOM, counted};
use crate::sheet::{Paint, Picture, Sheet, Words};
use crate::style::PieceStyle;

const PITCH: f64 = 7.0;
const ARROW: f64 = 17.0;
const CAPTION: f64 = 5.0;
const WORDS: f64 = 2.8;
/// Width of a strip that a page shrinks to its own room, in millimetres.
const BARE_ROOM: f64 = 260.0;

/// Poses of one piece side by side, with arrows between them.
///
/// # Errors
/// No poses, a piece that is not in the set, a pose that is torn or not one of
/// that piece.
pub fn poses(
    set: &Set,
    piece: usize,
    poses: &[Pose],
    style: &PieceStyle,
    title: &str,
) -> Result<Picture, PaperError> {
    strip(set, piece, poses, style, Some(title))
}

/// The same without title and key, cut close: for a page that explains the
/// marks once and has its own words. Poses are numbered by the swings made.
///
/// # Errors
/// As for [`poses`].
pub fn bare_poses(
    set: &Set,
    piece: usize,
    poses: &[Pose],
    style: &PieceStyle,
) -> Result<Picture, PaperError> {
    strip(set, piece, poses, style, None)
}

/// Without a title, without key and margin too.
fn strip(
    set: &Set,
    piece: usize,
    poses: &[Pose],
    style: &PieceStyle,
    title: Option<&str>,
) -> Result<Picture, PaperError> {
    let (bare, title) = (title.is_none(), title.unwrap_or_default());
    let margin = if bare { 0.0 } else { MARGIN };
    if poses.is_empty() {
        return Err(PaperError::Nothing);
    }
    for (i, pose) in poses.iter().enumerate() {
        checked(set, piece, pose, i, style)?;
    }
    let steps: Vec<Step> = poses.windows(2).map(|w| Step::between(&w[0], &w[1])).collect();
    // Carry every pose to where what stood still has not moved since the first.
    let mut carry = Motion::STILL;
    let mut posed = vec![Posed::new(&set.pieces[piece], &poses[0], set.levels)];
    for (step, pose) in steps.iter().zip(&poses[1..]) {
        carry = step.back.then(carry);
        posed.push(Posed::new(&set.pieces[piece], &pose.moved(carry), set.levels));
    }
    let (x0, y0, x1, y1) = bounds(posed.iter().flat_map(|p| &p.cells));
    spread((x1 - x0).into(), (y1 - y0).into())?;
    let size = (f64::from(x1 - x0) * PITCH, f64::from(y1 - y0) * PITCH);
    let tile = (size.0 + ARROW, size.1 + CAPTION + 4.0);
    // On one line the last pose has no arrow after it; on several, lines may end with one.
    let room = if bare { BARE_ROOM } else { SHEET - 2.0 * (margin + 2.0) };
    let one_line = posed.len() as f64 * tile.0 - ARROW <= room;
    let columns = if one_line { posed.len() } else { ((room / tile.0) as usize).clamp(1, posed.len()) };
    let rows = posed.len().div_ceil(columns);
    let last = if one_line { ARROW } else { 0.0 };
    let width =
        (columns as f64 * tile.0 - last + 2.0 * (margin + 2.0)).max(if bare { 0.0 } else { LEAST_WIDTH });
    let mut entries: Vec<Entry> = legend::levels(posed.iter().flat_map(|p| &p.pins), set.levels).collect();
    if bare {
        entries.clear();
    } else if steps.iter().any(|s| s.moves.contains(&true)) {
        entries.push(Entry::new(Symbol::Moving, "moves next"));
        entries.push(Entry::new(Symbol::Turning, "round this pin"));
    }
    let legend = Legend::new(entries, &[], width - 2.0 * MARGIN);
    let top = margin + 1.0 + if title.is_empty() { 0.0 } else { TITLE_ROOM };
    let legend_top = top + rows as f64 * tile.1 + 1.0;
    let words = format!("{} of {}, from left to right.", counted(posed.len(), "pose"), style.name);
    let shown_title = if title.is_empty() { &style.name } else { title };
    let mut sheet = Sheet::new(width, legend_top + legend.height() + margin, shown_title, &words);
    let shown = lettering::fit(Weight::Bold, TITLE, title, width - 2.0 * MARGIN);
    sheet.words("title", (MARGIN, MARGIN + 4.2), Words::new(Weight::Bold, TITLE, &shown));
    for (i, p) in posed.iter().enumerate() {
        let left = margin + 2.0 + (i % columns) as f64 * tile.0;
        let top = top + (i / columns) as f64 * tile.1;
        let frame = Frame { left, top, pitch: PITCH, x0, y1 };
        let still = vec![false; p.cells.len()];
        let moves = steps.get(i).map_or(&still, |s| &s.moves);
        let cells: Vec<Cell> =
            (0..p.cells.len()).filter(|&b| moves[set.pieces[piece].body_of(b)]).map(|b| p.cells[b]).collect();
        // The pins with one of their blocks moving and the other standing still.
        let turning: Vec<Vertex> = p
            .pins
            .iter()
            .zip(&p.joined)
            .filter(|(_, ends)| cells.contains(&ends[0]) != cells.contains(&ends[1]))
            .map(|(pin, _)| pin.at)
            .collect();
        sheet.open("pose");
        pose(&mut sheet, &frame, p, style, (&cells, &turning), set.levels);
        let caption = (left + size.0 / 2.0, top + size.1 + 4.2);
        let words = Words::new(Weight::Regular, WORDS, "").middle().in_colour(SOFT_INK);
        sheet.words(
            "",
            caption,
            Words { text: &if i == 0 && !bare { "start".to_owned() } else { i.to_string() }, ..words },
        );
        sheet.close();
        if let Some(step) = steps.get(i) {
            let at = (left + size.0 + ARROW / 2.0, top + size.1 / 2.0);
            arrow(&mut sheet, at, step.turn);
        }
    }
    legend.draw(&mut sheet, (MARGIN, legend_top));
    Ok(sheet.finish())
}

fn pose(
    sheet: &mut Sheet,
    frame: &Frame,
    p: &Posed,
    style: &PieceStyle,
    (moving, turning): (&[Cell], &[Vertex]),
    levels: u8,
) {
    block::blocks(sheet, frame, p, style, Marks::default());
    let mut hatching = Line::default();
    for &cell in moving {
        Pattern::Rising.hatch(&mut hatching, frame.corner(cell), PITCH);
    }
    let colour = mix(style.colour, ink_on(style.colour), 62);
    sheet.path("moving", &hatching, Paint::stroke(colour, Pattern::Rising.weight() * PITCH));
    block::silhouette(sheet, frame, p, false);
    let pins: Vec<(Pin, _)> = p.pins.iter().map(|&pin| (pin, style.colour)).collect();
    block::hinges(sheet, frame, &pins, levels, 1.15);
    for &at in turning {
        block::turning(sheet, frame.vertex(at), PITCH);
    }
}

/// What happens between two poses.
struct Step {
    /// Carries the later pose back to where what stood still stands still.
    back: Motion,
    /// The bodies that move.
    moves: Vec<bool>,
    /// Their turn, when they all turn alike.
    turn: Option<Turn>,
}

impl Step {
    fn between(from: &Pose, to: &Pose) -> Step {
        let pairs: Vec<(Motion, Motion)> =
            from.motions().iter().copied().zip(to.motions().iter().copied()).collect();
        // The change of each body, told as the motion that undoes it; most stand still.
        let undo: Vec<Motion> = pairs.iter().map(|&(a, b)| change(b, a)).collect();
        let alike = |m: &Motion| undo.iter().filter(|u| *u == m).count();
        let most = undo.iter().map(alike).max().unwrap_or(0);
        let back = undo.iter().copied().find(|m| alike(m) == most).unwrap_or(Motion::STILL);
        let moves: Vec<bool> = undo.iter().map(|u| *u != back).collect();
        let turns: Vec<Turn> = pairs
            .iter()
            .zip(&moves)
            .filter(|(_, moves)| **moves)
            .map(|(&(a, b), _)| change(a, b.then(back)).turn)
            .collect();
        let turn = turns.first().copied().filter(|t| turns.iter().all(|u| u == t));
        Step { back, moves, turn }
    }
}

/// The motion that carries a body from one motion to another.
fn change(from: Motion, to: Motion) -> Motion {
    let mirrored = from.mirrored != to.mirrored;
    // from.then(m) has the turn ±from + m; see `Motion::then`.
    let before = if mirrored { from.turn.undone() } else { from.turn };
    let m = Motion::about_origin(mirrored, before.undone().then(to.turn));
    let at = from.then(m);
    m.shifted(to.dx - at.dx, to.dy - at.dy)
}

/// An arrow to the right, and above it the sense of the turn.
fn arrow(sheet: &mut Sheet, (x, y): Point, turn: Option<Turn>) {
    sheet.open("arrow");
    let paint = Paint::stroke(INK, 0.5);
    let mut line = Line::default();
    line.segment((x - 3.4, y), (x + 3.0, y));
    sheet.path("", &line, paint);
    head(sheet, (x + 3.9, y), (1.0, 0.0));
    let centre = (x, y - 3.2);
    let r = 2.5;
    if let Some(quarters @ (1 | 3)) = turn.map(Turn::quarters) {
        let side = if quarters == 1 { -1.0 } else { 1.0 };
        let mut arc = Line::default();
        // From the side away, over the top, to the side it turns to: a half circle.
        arc.to((centre.0 - side * r, centre.1)).arc(r, false, quarters == 3, (centre.0 + side * r, centre.1));
        sheet.path("turn", &arc, Paint::stroke(INK, 0.4));
        head(sheet, (centre.0 + side * r, centre.1 + 1.1), (0.0, 1.0));
    } else if turn.map(Turn::quarters) == Some(2) {
        let words = Words::new(Weight::Regular, 2.4, "180°").middle();
        sheet.words("", (centre.0, centre.1 + 2.0), words);
    }
    sheet.close();
}

/// A filled arrow head with its point at `tip`.
fn head(sheet: &mut Sheet, tip: Point, (dx, dy): (f64, f64)) {
    let (length, half) = (1.5, 0.8);
    let base = (tip.0 - dx * length, tip.1 - dy * length);
    let mut line = Line::default();
    line.to(tip)
        .line((base.0 - dy * half, base.1 + dx * half))
        .line((base.0 + dy * half, base.1 - dx * half))
        .close();
    sheet.path("", &line, Paint::fill(INK));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_change_between_motions_carries_one_to_the_other() {
        for mirrored in [false, true] {
            for a in Turn::ALL {
                for b in Turn::ALL {
                    let from = Motion::about_origin(mirrored, a).shifted(3, -2);
                    for to in [Motion::about_origin(false, b), Motion::about_origin(true, b).shifted(1, 7)] {
                        assert_eq!(from.then(change(from, to)), to);
                    }
                }
            }
        }
    }

    #[test]
    fn a_swing_is_seen_in_any_frame() {
        let from = Pose::from_motions(vec![Motion::STILL; 3]);
        let swung = Motion::about(Vertex::new(2, 0), Turn::new(1));
        let to = Pose::from_motions(vec![Motion::STILL, Motion::STILL, swung]);
        for frame in [Motion::STILL, Motion::about_origin(false, Turn::new(3)).shifted(4, 4)] {
            let step = Step::between(&from, &to.moved(frame));
            assert_eq!(step.moves, [false, false, true]);
            assert_eq!(step.turn, Some(Turn::new(1)));
            assert_eq!(to.moved(frame).moved(step.back), to);
        }
    }
}
