//! When a race is won: the chance that the first, or the tenth, has finished.

use crate::colour::{FAINT, Rgb, SOFT_INK};
use crate::error::PaperError;
use crate::lettering::{self, Weight};
use crate::line::Line;
use crate::plate::{MARGIN, TITLE_ROOM};
use crate::sheet::{Paint, Picture, Sheet, Words};

use super::axis::Axis;
use super::key::{Key, Mark};
use super::{FIT, SECOND, SECOND_TINT, SMALL, TINT, ending, sound, title};

/// A point of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Minutes at the board.
    pub minutes: f64,
    /// The chance by then, and its band, 0 to 1.
    pub chance: f64,
    /// The band's lower edge.
    pub low: f64,
    /// The band's upper edge.
    pub high: f64,
}

/// A curve with its name.
#[derive(Clone, Copy, Debug)]
pub struct RaceCurve<'a> {
    /// What it is of, as in "the first".
    pub name: &'a str,
    /// Its points, minutes rising.
    pub points: &'a [CurvePoint],
}

const WIDTH: f64 = 170.0;
const HIGH: f64 = 80.0;
const LEFT: f64 = 14.0;

/// One or two curves of chance over minutes at the board.
///
/// # Errors
/// No curve, or one of fewer than two points; a time that is not a number above
/// 0. Curves past the second are left out.
pub fn race(heading: &str, curves: &[RaceCurve<'_>], notes: &[String]) -> Result<Picture, PaperError> {
    let curves = &curves[..curves.len().min(2)];
    if curves.is_empty() || curves.iter().any(|c| c.points.len() < 2) {
        return Err(PaperError::Nothing);
    }
    let times = || curves.iter().flat_map(|c| c.points.iter().map(|p| p.minutes));
    sound(times())?;
    let looks: [(Rgb, Rgb, bool); 2] = [(FIT, TINT, false), (SECOND, SECOND_TINT, true)];
    let names: Vec<String> = curves.iter().map(|c| format!("{} has finished", c.name)).collect();
    let entries: Vec<(Mark, &str)> = names
        .iter()
        .zip(looks)
        .map(|(name, (colour, tint, dashed))| (Mark::Curve { colour, tint, dashed }, name.as_str()))
        .collect();
    let key = Key::new(&entries, notes, WIDTH - 2.0 * MARGIN);
    let top = MARGIN + TITLE_ROOM + key.height() + 6.0;
    let foot = top + HIGH;
    let (left, right) = (MARGIN + LEFT, WIDTH - MARGIN - 3.0);
    let told = format!("The chance that {}, over minutes at the board.", names.join(", and that "));
    let mut sheet = Sheet::new(WIDTH, foot + 12.0 + MARGIN, heading, &told);
    title(&mut sheet, heading, WIDTH);
    key.draw(&mut sheet, (MARGIN, MARGIN + TITLE_ROOM));
    let axis = Axis::of(times(), left, right);
    let up = |chance: f64| foot - HIGH * chance.clamp(0.0, 1.0);
    for (curve, (_, tint, _)) in curves.iter().zip(looks) {
        let mut band = Line::default();
        band.to((axis.at(curve.points[0].minutes), up(curve.points[0].high)));
        for p in &curve.points[1..] {
            band.line((axis.at(p.minutes), up(p.high)));
        }
        for p in curve.points.iter().rev() {
            band.line((axis.at(p.minutes), up(p.low)));
        }
        band.close();
        sheet.path("band", &band, Paint::fill(tint));
    }
    // Where bands lie over each other, their edges still tell them apart.
    for (curve, (colour, _, dashed)) in curves.iter().zip(looks) {
        for edge in [|p: &CurvePoint| p.low, |p: &CurvePoint| p.high] {
            let mut line = Line::default();
            line.to((axis.at(curve.points[0].minutes), up(edge(&curve.points[0]))));
            for p in &curve.points[1..] {
                line.line((axis.at(p.minutes), up(edge(p))));
            }
            let paint = Paint::stroke(colour, 0.2);
            sheet.path("edge", &line, if dashed { paint.dashed(1.0, 0.8) } else { paint });
        }
    }
    axis.across(&mut sheet, top, foot);
    for tenths in [0u8, 1, 5, 9, 10] {
        let y = up(f64::from(tenths) / 10.0);
        let mut line = Line::default();
        line.segment((left, y), (right, y));
        sheet.path("", &line, Paint::stroke(FAINT, 0.2));
        let words = format!("{} %", u32::from(tenths) * 10);
        let at = (left - 1.5, y + lettering::capital(SMALL) / 2.0);
        ending(&mut sheet, at, Words::new(Weight::Regular, SMALL, &words).in_colour(SOFT_INK));
    }
    for (curve, (colour, _, dashed)) in curves.iter().zip(looks) {
        let mut line = Line::default();
        line.to((axis.at(curve.points[0].minutes), up(curve.points[0].chance)));
        for p in &curve.points[1..] {
            line.line((axis.at(p.minutes), up(p.chance)));
        }
        let paint = Paint::stroke(colour, 0.7);
        sheet.path("curve", &line, if dashed { paint.dashed(2.0, 1.4) } else { paint });
    }
    let under = Words::new(Weight::Regular, SMALL, "time at the board since the start").middle();
    sheet.words("", ((left + right) / 2.0, foot + 9.5), under);
    Ok(sheet.finish())
}
