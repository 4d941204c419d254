//! The plates' plan at true scale, with a ruler that shows whether the printer
//! kept it. A plate larger than the paper goes over several sheets, with marks
//! to join them by.

use std::fmt::Write;

use typst::foundations::{Bytes, Dict, Value};

use crate::error::TypesetError;
use crate::imprint::{Imprint, PaperSize};
use crate::typesetter::{Document, Typesetter};
use crate::value::{Field, dict, list};
use crate::words::Words;

/// White round a drawing: left and right, above, below, in millimetres. Below
/// stands the ruler.
const RIM: [f64; 4] = [14.0, 14.0, 26.0, 34.0];
/// Two sheets of one plate show the same strip of so many millimetres.
pub(crate) const OVERLAP: f64 = 10.0;
/// No plate is so large.
const LARGEST: f64 = 10_000.0;

/// A closed line: points in millimetres, x to the right, y up.
pub type Contour = Vec<[f64; 2]>;

/// A plate seen from above.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlatePlan {
    /// Its number in print.
    pub number: usize,
    /// Its title.
    pub title: String,
    /// The wall: outer lines and holes, filled even-odd.
    pub wall: Vec<Contour>,
    /// The distance of two lattice lines, in millimetres.
    pub pitch: f64,
}

/// The plan of some plates.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// Who made it and what it is.
    pub imprint: Imprint,
    /// The plates, in order.
    pub plates: Vec<PlatePlan>,
}

impl Typesetter {
    /// Sets the plates' plan.
    ///
    /// # Errors
    /// No plates, measures that are no lengths, a character that no font has.
    pub fn plan(&self, plan: &Plan) -> Result<Document, TypesetError> {
        if plan.plates.is_empty() {
            return Err(TypesetError::Nothing { what: "a plan needs at least one plate" });
        }
        let words = &self.words;
        let plates = plan.plates.iter().map(|p| Ok(plate(p, self.paper, words)?.into()));
        let fields = dict([
            ("plates", list(plates.collect::<Result<Vec<Field>, TypesetError>>()?)),
            ("rim", list(RIM.map(Into::into))),
            ("overlap", OVERLAP.into()),
        ]);
        self.set("plan.typ", &words.say("plan-kind", &[]), &plan.imprint, fields)
    }
}

/// The room for a drawing on one sheet.
fn room(paper: PaperSize) -> (f64, f64) {
    let (width, height) = paper.size_mm();
    (width - RIM[0] - RIM[1], height - RIM[2] - RIM[3])
}

/// Where the windows of a length begin: as few as cover it.
fn windows(length: f64, room: f64) -> Vec<f64> {
    if length <= room {
        return vec![0.0];
    }
    let count = ((length - OVERLAP) / (room - OVERLAP)).ceil() as usize;
    (0..count).map(|i| i as f64 * (room - OVERLAP)).collect()
}

fn plate(plate: &PlatePlan, paper: PaperSize, words: &Words) -> Result<Dict, TypesetError> {
    let points = || plate.wall.iter().flatten();
    let bad = |what: &str, value: f64| TypesetError::BadLength {
        what: words.say(what, &[("title", &plate.title)]),
        value,
    };
    let is_length = |value: f64| value > 0.0 && value < LARGEST;
    if let Some(at) = points().flatten().copied().find(|v| !v.is_finite() || v.abs() >= LARGEST) {
        return Err(bad("plan-place", at));
    }
    let reach = |side: usize| {
        let of = points().map(|p| p[side]);
        (of.clone().fold(f64::INFINITY, f64::min), of.fold(f64::NEG_INFINITY, f64::max))
    };
    let ((left, right), (low, high)) = (reach(0), reach(1));
    let (width, height) = (right - left, high - low);
    for (what, value) in [("plan-width", width), ("plan-height", height), ("plan-pitch", plate.pitch)] {
        if !is_length(value) {
            return Err(bad(what, value));
        }
    }
    // A hair of room for the line itself.
    let hair = 0.25;
    let (w, h) = (width + 2.0 * hair, height + 2.0 * hair);
    let mut path = String::new();
    for contour in &plate.wall {
        for (i, p) in contour.iter().enumerate() {
            let (x, y) = (p[0] - left + hair, high - p[1] + hair);
            let _ = write!(path, "{}{x:.4} {y:.4}", if i == 0 { 'M' } else { 'L' });
        }
        path.push('Z');
    }
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.4}mm\" height=\"{h:.4}mm\" \
         viewBox=\"0 0 {w:.4} {h:.4}\"><path d=\"{path}\" fill=\"#d9dfe2\" fill-rule=\"evenodd\" \
         stroke=\"#000000\" stroke-width=\"0.2\" stroke-linejoin=\"round\"/></svg>"
    );
    let (columns, rows) = (windows(w, room(paper).0), windows(h, room(paper).1));
    let size = [width, height].map(|v| format!("{v:.1}"));
    let blanks = [("title", plate.title.as_str()), ("width", &size[0]), ("height", &size[1])];
    Ok(dict([
        ("number", plate.number.into()),
        ("title", plate.title.as_str().into()),
        (
            "facts",
            words.say("plan-facts", &[blanks[1], blanks[2], ("pitch", &format!("{}", plate.pitch))]).into(),
        ),
        ("svg", Field(Value::Bytes(Bytes::from_string(svg)))),
        ("alt", words.say("alt-plan", &blanks).into()),
        ("width", w.into()),
        ("height", h.into()),
        ("columns", list(columns.into_iter().map(Into::into))),
        ("rows", list(rows.into_iter().map(Into::into))),
    ]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn windows_cover_a_length_and_overlap() {
        assert_eq!(windows(100.0, 182.0), [0.0]);
        assert_eq!(windows(182.0, 182.0), [0.0]);
        assert_eq!(windows(183.0, 182.0), [0.0, 172.0]);
        assert_eq!(windows(354.0, 182.0), [0.0, 172.0]);
        assert_eq!(windows(355.0, 182.0), [0.0, 172.0, 344.0]);
    }
}
