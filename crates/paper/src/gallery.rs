//! Things side by side, at one scale but where they say otherwise, each with its name: the picture of a
//! whole set.

use crate::colour::SOFT_INK;
use crate::error::PaperError;
use crate::lettering::{self, Weight};
use crate::plate::counted;
use crate::sheet::{Picture, Sheet, Words};

/// A drawing made elsewhere.
#[derive(Clone, Debug)]
pub struct Exhibit<'a> {
    /// Its name, set below it.
    pub title: &'a str,
    /// A few more words below that, or nothing.
    pub note: &'a str,
    /// What stands inside its SVG.
    pub markup: &'a str,
    /// Left, top, width and height of it in millimetres.
    pub view: [f64; 4],
    /// How large it is drawn beside the others, 1 as they are.
    pub scale: f64,
}

impl Exhibit<'_> {
    /// Width and height on paper.
    fn size(&self) -> (f64, f64) {
        (self.view[2] * self.scale, self.view[3] * self.scale)
    }
}

/// Shares of the picture's width: rim, air between two things, letters.
const RIM: f64 = 0.03;
const AIR: f64 = 0.03;
const WORDS: f64 = 0.018;

/// Things in rows, in their order, on paper that is about `shape` times as wide
/// as high.
///
/// # Errors
/// Nothing to show, or a thing without a size.
pub fn gallery(title: &str, exhibits: &[Exhibit<'_>], shape: f64) -> Result<Picture, PaperError> {
    if exhibits.is_empty() {
        return Err(PaperError::Nothing);
    }
    let sound = |e: &Exhibit<'_>| {
        e.view.iter().all(|v| v.is_finite() && v.abs() < 1e5)
            && e.view[2] > 0.0
            && e.view[3] > 0.0
            && (0.01..=100.0).contains(&e.scale)
    };
    if !exhibits.iter().all(sound) || !shape.is_finite() {
        return Err(PaperError::NotFinite);
    }
    // The width that comes nearest to the shape, of those at which rows break elsewhere.
    let widest = exhibits.iter().map(|e| e.size().0).fold(0.0, f64::max);
    let tries = (0..60).map(|k| widest * (1.1 + 0.1 * f64::from(k)));
    let best = tries.min_by(|a, b| {
        let off = |w: f64| (w / Rows::of(exhibits, w, title).height / shape).ln().abs();
        off(*a).total_cmp(&off(*b))
    });
    let width = best.expect("there are widths to try");
    let rows = Rows::of(exhibits, width, title);
    let names: Vec<&str> = exhibits.iter().map(|e| e.title).collect();
    let told = format!("{}: {}.", counted(exhibits.len(), "thing"), names.join(", "));
    let mut sheet = Sheet::new(width, rows.height, if title.is_empty() { "A set" } else { title }, &told);
    let size = WORDS * width;
    if !title.is_empty() {
        let shown = lettering::fit(Weight::Bold, 1.8 * size, title, width * (1.0 - 2.0 * RIM));
        let at = (width / 2.0, RIM * width + 1.6 * size);
        sheet.words("title", at, Words::new(Weight::Bold, 1.8 * size, &shown).middle());
    }
    for (row, top) in &rows.rows {
        let wide: f64 = row.iter().map(|e| e.size().0).sum();
        let high = row.iter().map(|e| e.size().1).fold(0.0, f64::max);
        // What is left over goes between the things and to both sides.
        let air = (width - wide) / (row.len() + 1) as f64;
        let mut x = air;
        for exhibit in row {
            let (w, h) = exhibit.size();
            sheet.open("exhibit");
            sheet.inset(exhibit.markup, exhibit.view, (x, top + high - h), (w, h));
            let middle = x + w / 2.0;
            let room = w + air;
            let name = lettering::fit(Weight::Bold, size, exhibit.title, room);
            let at = (middle, top + high + 1.4 * size);
            sheet.words("", at, Words::new(Weight::Bold, size, &name).middle());
            let note = lettering::fit(Weight::Regular, 0.85 * size, exhibit.note, room);
            let words = Words::new(Weight::Regular, 0.85 * size, &note).middle().in_colour(SOFT_INK);
            sheet.words("note", (middle, top + high + 2.6 * size), words);
            sheet.close();
            x += w + air;
        }
    }
    Ok(sheet.finish())
}

/// Where rows break at some width.
struct Rows<'a, 'b> {
    rows: Vec<(Vec<&'a Exhibit<'b>>, f64)>,
    height: f64,
}

impl<'a, 'b> Rows<'a, 'b> {
    fn of(exhibits: &'a [Exhibit<'b>], width: f64, title: &str) -> Self {
        let (rim, air, size) = (RIM * width, AIR * width, WORDS * width);
        let noted = exhibits.iter().any(|e| !e.note.is_empty());
        let words = if noted { 3.2 * size } else { 2.0 * size };
        let mut rows: Vec<(Vec<&Exhibit<'_>>, f64)> = Vec::new();
        let mut x = f64::MAX;
        for exhibit in exhibits {
            if x + exhibit.size().0 > width - rim {
                rows.push((Vec::new(), 0.0));
                x = rim;
            }
            rows.last_mut().expect("a row was begun").0.push(exhibit);
            x += exhibit.size().0 + air;
        }
        let mut y = rim + if title.is_empty() { 0.0 } else { 3.0 * size };
        for (row, top) in &mut rows {
            *top = y;
            y += row.iter().map(|e| e.size().1).fold(0.0, f64::max) + words + air;
        }
        Rows { rows, height: y - air + rim }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_come_near_the_shape_asked_for() {
        let view = [0.0, 0.0, 60.0, 40.0];
        let exhibit = Exhibit { title: "cleat", note: "", markup: "<rect/>", view, scale: 1.0 };
        let all = vec![exhibit; 9];
        for shape in [0.5, 1.0, 2.0] {
            let (w, h) = gallery("Quayside", &all, shape).unwrap().size_mm();
            assert!((w / h / shape).ln().abs() < 0.5, "{shape}: {w} by {h}");
        }
        assert_eq!(gallery("", &[], 1.0), Err(PaperError::Nothing));
    }
}
