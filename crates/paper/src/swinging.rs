//! A piece that swings through its folds: as SVG that moves by itself, and as
//! frames of an animated PNG.
//!
//! Both are the same groups: a group for each hinge, turned about its pin, with
//! all that hangs on it inside. In the SVG a style sheet turns them, one
//! animation a hinge, and stops where the reader asked for less motion (media
//! query `prefers-reduced-motion`, W3C Media Queries Level 5). Blocks come
//! first, knuckles above all blocks, marks above all knuckles.

use lattice::{Piece, Pose, Set};

use crate::block::{self, KNUCKLE, Posed};
use crate::colour::{INK, ink_on};
use crate::error::{PaperError, check_letter, check_piece};
use crate::line::{Frame, Point};
use crate::linkage::{Linkage, Swing};
use crate::plate::{MARGIN, PITCH};
use crate::sheet::{Paint, Picture, Sheet};
use crate::style::PieceStyle;

/// Seconds of one swing, of the rest after it, and of the rest at home.
const SWING: f64 = 0.6;
const REST: f64 = 0.25;
const HOME: f64 = 1.0;
/// Frames of one swing in an animated PNG.
const FRAMES: u32 = 8;

/// A piece with the swings it goes through.
pub struct Swinging<'a> {
    linkage: Linkage<'a>,
    posed: Posed,
    style: &'a PieceStyle,
    levels: u8,
    title: &'a str,
    swings: Vec<Swing>,
    /// Quarter turns of every hinge, at home and after each swing.
    angles: Vec<Vec<i32>>,
    frame: Frame,
    size: Point,
}

/// One frame of an animated picture.
#[derive(Clone, Debug)]
pub struct MovingFrame {
    /// What it shows.
    pub picture: Picture,
    /// How long it stands, in thousandths of a second.
    pub milliseconds: u16,
}

impl<'a> Swinging<'a> {
    /// A piece of a set hung on its block `anchor`, which stands still, and
    /// swings from home on. Nothing is asked of where they end, but only swings
    /// that lead home make a picture that goes round without a jump.
    ///
    /// # Errors
    /// A piece that the set does not have or that has no hinges, a letter that
    /// can't be drawn, a swing that is none: of a hinge in a loop, or into a pose
    /// that tears a hinge or puts two blocks in one cell.
    pub fn new(
        set: &'a Set,
        piece: usize,
        anchor: usize,
        swings: Vec<Swing>,
        style: &'a PieceStyle,
        title: &'a str,
    ) -> Result<Self, PaperError> {
        check_letter(style)?;
        let found: &Piece = check_piece(set, piece)?;
        let linkage = Linkage::new(found, anchor)?;
        let angles = linkage.angles(piece, &swings)?;
        let posed = Posed::new(found, &Pose::home(found), set.levels);
        let frame = Frame { left: 0.0, top: 0.0, pitch: PITCH, x0: 0, y1: 0 };
        let mut all = Swinging {
            linkage,
            posed,
            style,
            levels: set.levels,
            title,
            swings,
            angles,
            frame,
            size: (0.0, 0.0),
        };
        all.fit();
        Ok(all)
    }

    /// Whether the swings end at home.
    pub fn ends_at_home(&self) -> bool {
        self.angles.last() == self.angles.first()
    }

    /// The piece at home, without any motion.
    pub fn at_home(&self) -> Picture {
        self.still(&vec![0.0; self.angles[0].len()])
    }

    /// The picture that moves by itself for ever.
    pub fn svg(&self) -> String {
        let mut sheet = self.sheet();
        sheet.style(&self.keyframes());
        self.draw(&mut sheet, &|hinge| (self.class(hinge), None));
        sheet.finish().into_svg()
    }

    /// The frames; the last one is the first again if the swings end at home.
    pub fn frames(&self) -> Vec<MovingFrame> {
        let thousandths = |seconds: f64| (seconds * 1000.0).round() as u16;
        let mut frames = vec![MovingFrame { picture: self.at_home(), milliseconds: thousandths(HOME) }];
        for (n, swing) in self.swings.iter().enumerate() {
            for k in 1..=FRAMES {
                let share = eased(f64::from(k) / f64::from(FRAMES));
                let rest = if k == FRAMES { REST } else { 0.0 };
                frames.push(MovingFrame {
                    picture: self.still(&self.between(n, *swing, share)),
                    milliseconds: thousandths(SWING / f64::from(FRAMES) + rest),
                });
            }
        }
        frames
    }

    /// Degrees anticlockwise of every hinge when `share` of a swing is done.
    fn between(&self, number: usize, swing: Swing, share: f64) -> Vec<f64> {
        let mut degrees: Vec<f64> = self.angles[number].iter().map(|&q| 90.0 * f64::from(q)).collect();
        degrees[swing.hinge] += if swing.anticlockwise { 90.0 * share } else { -90.0 * share };
        degrees
    }

    fn still(&self, degrees: &[f64]) -> Picture {
        let mut sheet = self.sheet();
        self.draw(&mut sheet, &|hinge| (String::new(), Some(degrees[hinge])));
        sheet.finish()
    }

    fn sheet(&self) -> Sheet {
        let name = if self.title.is_empty() { self.style.name.as_str() } else { self.title };
        let told = format!("{} swings through its folds: {} swings.", self.style.name, self.swings.len());
        Sheet::new(self.size.0, self.size.1, name, &told)
    }

    /// The class of a hinge's group, one of its own in a page with several pictures.
    fn class(&self, hinge: usize) -> String {
        format!("swing-{}{hinge}", self.style.letter)
    }

    fn draw(&self, sheet: &mut Sheet, turn: &dyn Fn(usize) -> (String, Option<f64>)) {
        let (pitch, colour) = (PITCH, self.style.colour);
        let hinges = self.linkage.piece.hinges();
        let line = Paint::fill(colour).outlined(INK, 0.05 * pitch);
        self.tree(sheet, self.linkage.anchor, None, turn, &|sheet, block, _| {
            let cell = self.posed.cells[block];
            sheet.path("block", &block::plan(&self.frame, &self.posed, cell), line);
        });
        self.tree(sheet, self.linkage.anchor, None, turn, &|sheet, _, hinge| {
            let Some(hinge) = hinge else { return };
            let disc = Paint::fill(colour).outlined(INK, 0.035 * pitch);
            sheet.circle("knuckle", self.frame.vertex(hinges[hinge].pin), KNUCKLE * pitch, disc);
        });
        self.tree(sheet, self.linkage.anchor, None, turn, &|sheet, _, hinge| {
            let Some(hinge) = hinge else { return };
            let (at, level) = (self.frame.vertex(hinges[hinge].pin), hinges[hinge].level);
            let class = format!("hinge level-{}", level.0);
            block::mark(sheet, &class, at, pitch, level, self.levels, ink_on(colour));
        });
    }

    /// Draws something of a block and of all that hangs on it, in nested groups.
    fn tree(
        &self,
        sheet: &mut Sheet,
        block: usize,
        hinge: Option<usize>,
        turn: &dyn Fn(usize) -> (String, Option<f64>),
        leaf: &dyn Fn(&mut Sheet, usize, Option<usize>),
    ) {
        leaf(sheet, block, hinge);
        for &(next, hinge) in &self.linkage.hung[block] {
            let (class, degrees) = turn(hinge);
            let pin = self.frame.vertex(self.linkage.piece.hinges()[hinge].pin);
            // On paper y points down, so what turns left turns by less.
            sheet.open_turned(&class, degrees.map(|d| (-d, pin)));
            self.tree(sheet, next, Some(hinge), turn, leaf);
            sheet.close();
        }
    }

    /// The style sheet: when each hinge stands at which angle.
    fn keyframes(&self) -> String {
        let whole = HOME + (SWING + REST) * self.swings.len() as f64;
        let mut text = String::new();
        let mut classes = Vec::new();
        for (hinge, h) in self.linkage.piece.hinges().iter().enumerate() {
            if !self.swings.iter().any(|s| s.hinge == hinge) {
                continue;
            }
            let (class, (x, y)) = (self.class(hinge), self.frame.vertex(h.pin));
            text += &format!(
                ".{class}{{transform-box:view-box;transform-origin:{x:.2}px {y:.2}px;\
                 animation:{class} {whole:.2}s ease-in-out infinite}}\n@keyframes {class}{{"
            );
            let mut stop = |seconds: f64, quarters: i32| {
                let turned = -90 * quarters;
                text += &format!("{:.3}%{{transform:rotate({turned}deg)}}", 100.0 * seconds / whole);
            };
            stop(0.0, 0);
            for (n, swing) in self.swings.iter().enumerate().filter(|(_, s)| s.hinge == hinge) {
                let begins = HOME + (SWING + REST) * n as f64;
                stop(begins, self.angles[n][hinge]);
                stop(begins + SWING, self.angles[n + 1][swing.hinge]);
            }
            stop(whole, self.angles.last().expect("home at least")[hinge]);
            text += "}\n";
            classes.push(format!(".{class}"));
        }
        if !classes.is_empty() {
            let all = classes.join(",");
            text += &format!("@media (prefers-reduced-motion:reduce){{{all}{{animation:none}}}}\n");
        }
        text
    }

    /// Lays the paper round everything that is ever covered.
    fn fit(&mut self) {
        let (mut low, mut high) = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
        let mut take = |degrees: &[f64]| {
            for (x, y) in self.corners(degrees) {
                low = (low.0.min(x), low.1.min(y));
                high = (high.0.max(x), high.1.max(y));
            }
        };
        take(&vec![0.0; self.angles[0].len()]);
        for (n, swing) in self.swings.iter().enumerate() {
            for k in 1..=16 {
                take(&self.between(n, *swing, f64::from(k) / 16.0));
            }
        }
        // Knuckles reach beyond the corners.
        let rim = (KNUCKLE + 0.05) * PITCH + MARGIN;
        self.frame.left = rim - low.0;
        self.frame.top = rim - low.1;
        self.size = (high.0 - low.0 + 2.0 * rim, high.1 - low.1 + 2.0 * rim);
    }

    /// The corners of all blocks on paper, with hinges at some angles.
    fn corners(&self, degrees: &[f64]) -> Vec<Point> {
        let mut all = Vec::new();
        let mut next = vec![(self.linkage.anchor, Vec::new())];
        while let Some((block, turns)) = next.pop() {
            let (x, y) = self.frame.corner(self.posed.cells[block]);
            for corner in [(x, y), (x + PITCH, y), (x, y + PITCH), (x + PITCH, y + PITCH)] {
                all.push(turns.iter().rev().fold(corner, |p, &(pin, d)| turned(p, pin, d)));
            }
            for &(hung, hinge) in &self.linkage.hung[block] {
                let pin = self.frame.vertex(self.linkage.piece.hinges()[hinge].pin);
                let mut turns = turns.clone();
                turns.push((pin, -degrees[hinge]));
                next.push((hung, turns));
            }
        }
        all
    }
}

/// A point turned about a pin, on paper.
fn turned(p: Point, pin: Point, degrees: f64) -> Point {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let (x, y) = (p.0 - pin.0, p.1 - pin.1);
    (pin.0 + cos * x - sin * y, pin.1 + sin * x + cos * y)
}

/// Slow at both ends: 3t² − 2t³.
fn eased(t: f64) -> f64 {
    t * t * (3.0 - 2.0 * t)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::style::Style;
    use lattice::{Cell, Hinge, Level, Vertex};

    /// Three blocks in a row, hinged above and below.
    fn set() -> Set {
        let hinge = |x, y, a: usize| Hinge { pin: Vertex::new(x, y), joins: [a, a + 1], level: Level(0) };
        let blocks = (0..3).map(|x| Cell::new(x, 0)).collect();
        let piece = Piece::hinged(blocks, vec![hinge(1, 1, 0), hinge(2, 0, 1)]).unwrap();
        Set { pieces: vec![piece], levels: 1, turn_over: false }
    }

    fn style() -> Style {
        Style::new([("cleat", [0, 0x72, 0xB2])])
    }

    fn swing(hinge: usize, anticlockwise: bool) -> Swing {
        Swing { hinge, anticlockwise }
    }

    #[test]
    fn the_last_frame_is_the_first_again_and_hinges_stand_still_on_their_pins() {
        let (set, style) = (set(), style());
        // The upper pin opens the piece upwards: the right block turns anticlockwise.
        let there = vec![swing(0, true), swing(0, false)];
        let moving = Swinging::new(&set, 0, 0, there, &style.pieces[0], "").unwrap();
        assert!(moving.ends_at_home());
        let frames = moving.frames();
        assert_eq!(frames.len(), 1 + 2 * FRAMES as usize);
        assert_eq!(frames[0].picture, frames[16].picture);
        assert_ne!(frames[0].picture, frames[8].picture);
        // Half-way the far corner of the middle block has turned by 45° about the pin (1, 1).
        let (pin, far) = (moving.frame.vertex(Vertex::new(1, 1)), moving.frame.vertex(Vertex::new(2, 1)));
        let half = moving.between(0, swing(0, true), 0.5);
        let want = turned(far, pin, -45.0);
        let near = |p: &Point| (p.0 - want.0).hypot(p.1 - want.1) < 1e-9;
        assert!(moving.corners(&half).iter().any(near));
    }

    #[test]
    fn a_swing_into_a_block_or_of_no_hinge_is_refused() {
        let (set, style) = (set(), style());
        let refused = |swings: Vec<Swing>| Swinging::new(&set, 0, 0, swings, &style.pieces[0], "").err();
        assert!(matches!(refused(vec![swing(2, true)]), Some(PaperError::NoSwing { swing: 0, hinge: 2 })));
        assert!(matches!(refused(vec![swing(0, false)]), Some(PaperError::Overlap { pose: 1, .. })));
    }

    #[test]
    fn the_style_sheet_turns_each_hinge_about_its_pin_and_heeds_less_motion() {
        let (set, style) = (set(), style());
        let there = vec![swing(0, true), swing(1, false), swing(0, false), swing(1, true)];
        let moving = Swinging::new(&set, 0, 0, there, &style.pieces[0], "Cleat").unwrap();
        let svg = moving.svg();
        assert!(svg.contains("@media (prefers-reduced-motion:reduce){.swing-C0,.swing-C1{animation:none}}"));
        let (x, y) = moving.frame.vertex(Vertex::new(1, 1));
        assert!(svg.contains(&format!("transform-origin:{x:.2}px {y:.2}px;animation:swing-C0")), "{svg}");
        // On paper anticlockwise is less than 0.
        assert!(svg.contains("{transform:rotate(-90deg)}"));
        resvg::usvg::Tree::from_str(&svg, &resvg::usvg::Options::default()).unwrap();
    }
}
