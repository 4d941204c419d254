//! The difficulty of a pack, outline after outline: a line from dot to dot over
//! bands of grades, with the interval of each and how like it is to the next.
//!
//! Rows go down the page, one an outline, so that any number of long titles can
//! be read; the scale goes to the right. Nothing is told by colour alone.

use crate::colour::{BAND, FAINT, INK, SOFT_INK, WHITE};
use crate::error::PaperError;
use crate::fold_sheet::SHEET;
use crate::lettering::{self, Weight};
use crate::line::Line;
use crate::plate::{MARGIN, TITLE, TITLE_ROOM};
use crate::sheet::{Paint, Picture, Sheet, Words};

/// One outline of a pack.
#[derive(Clone, Copy, Debug)]
pub struct RampRow<'a> {
    /// Its title.
    pub title: &'a str,
    /// Where it stands on the scale.
    pub value: f64,
    /// The interval for that.
    pub interval: [f64; 2],
    /// Whether the maker has fixed its place.
    pub fixed: bool,
    /// How like it is to the next one, 0 to 1; of the last it is not shown.
    pub to_next: f64,
}

/// What the scale of a ramp says.
#[derive(Clone, Copy, Debug)]
pub struct RampScale<'a> {
    /// What is measured, in a few words.
    pub axis: &'a str,
    /// Bands, each from a value on, ascending.
    pub bands: &'a [(f64, &'a str)],
    /// Values that are marked, with their words.
    pub ticks: &'a [(f64, &'a str)],
}

const ROW: f64 = 6.4;
const WORDS: f64 = 3.0;
const SMALL: f64 = 2.5;
/// Room for titles on the left and for likeness on the right.
const LEFT: f64 = 58.0;
const RIGHT: f64 = 26.0;
/// Longest bar of likeness.
const BAR: f64 = 12.0;

/// The picture of a pack's difficulty, in its order.
///
/// # Errors
/// No rows; a value that is not a finite number.
pub fn ramp(title: &str, rows: &[RampRow<'_>], scale: &RampScale<'_>) -> Result<Picture, PaperError> {
    if rows.is_empty() {
        return Err(PaperError::Nothing);
    }
    let values = rows.iter().flat_map(|r| [r.value, r.interval[0], r.interval[1]]);
    let marks = scale.bands.iter().map(|b| b.0).chain(scale.ticks.iter().map(|t| t.0));
    if values.clone().chain(rows.iter().map(|r| r.to_next)).chain(marks).any(|v| !v.is_finite()) {
        return Err(PaperError::NotFinite);
    }
    let least = values.clone().fold(f64::INFINITY, f64::min).floor() - 0.5;
    let most = (values.fold(f64::NEG_INFINITY, f64::max).ceil() + 0.5).max(least + 2.0);
    let (x0, x1) = (MARGIN + LEFT, SHEET - MARGIN - RIGHT);
    let x = |value: f64| x0 + (value - least) / (most - least) * (x1 - x0);
    let top = MARGIN + TITLE_ROOM + 9.0;
    let bottom = top + ROW * rows.len() as f64 + 2.0;
    let y = |row: usize| top + ROW * (row as f64 + 0.5) + 1.0;
    let description: Vec<String> =
        rows.iter().enumerate().map(|(i, r)| format!("{}. {}: {:.1}", i + 1, r.title, r.value)).collect();
    let mut sheet =
        Sheet::new(SHEET, bottom + 14.0, title, &format!("{}. {}.", scale.axis, description.join("; ")));
    let shown = lettering::fit(Weight::Bold, TITLE, title, SHEET - 2.0 * MARGIN);
    sheet.words("title", (MARGIN, MARGIN + 4.2), Words::new(Weight::Bold, TITLE, &shown));
    bands(&mut sheet, scale, (x0, x1, top, bottom), (least, most), &x);
    for &(value, words) in scale.ticks.iter().filter(|t| t.0 >= least && t.0 <= most) {
        let mut line = Line::default();
        line.segment((x(value), top), (x(value), bottom + 1.2));
        sheet.path("tick", &line, Paint::stroke(FAINT, 0.15));
        sheet.words("tick", (x(value), bottom + 4.6), Words::new(Weight::Regular, SMALL, words).middle());
    }
    let axis = Words::new(Weight::Regular, SMALL, scale.axis).middle().in_colour(SOFT_INK);
    sheet.words("axis", ((x0 + x1) / 2.0, bottom + 9.0), axis);
    let like = Words::new(Weight::Regular, SMALL, "like the next").in_colour(SOFT_INK);
    sheet.words("axis", (x1 + 5.0, top - 2.0), like);
    let mut line = Line::default();
    line.to((x(rows[0].value), y(0)));
    rows.iter().enumerate().skip(1).for_each(|(i, r)| {
        line.line((x(r.value), y(i)));
    });
    sheet.path("ramp", &line, Paint::stroke(SOFT_INK, 0.5));
    for (i, row) in rows.iter().enumerate() {
        let number = format!("{}", i + 1);
        sheet.words("number", (MARGIN, y(i) + 1.1), Words::new(Weight::Bold, WORDS, &number));
        let room = LEFT - 12.0 - if row.fixed { 11.0 } else { 0.0 };
        let words = lettering::fit(Weight::Regular, WORDS, row.title, room);
        sheet.words("name", (MARGIN + 8.0, y(i) + 1.1), Words::new(Weight::Regular, WORDS, &words));
        if row.fixed {
            let at = (x0 - 13.0, y(i) + 1.1);
            sheet.words("fixed", at, Words::new(Weight::Regular, SMALL, "fixed").in_colour(SOFT_INK));
        }
        let [low, high] = row.interval.map(x);
        let mut whisker = Line::default();
        whisker.segment((low, y(i)), (high, y(i)));
        for end in [low, high] {
            whisker.segment((end, y(i) - 0.9), (end, y(i) + 0.9));
        }
        sheet.path("interval", &whisker, Paint::stroke(INK, 0.3));
        sheet.circle("outline", (x(row.value), y(i)), 1.0, Paint::fill(WHITE).outlined(INK, 0.5));
        if i + 1 < rows.len() {
            let (left, middle) = (x1 + 5.0, y(i) + ROW / 2.0);
            let like = row.to_next.clamp(0.0, 1.0);
            sheet.rect("rail", (left, middle - 0.7), (BAR, 1.4), 0.0, Paint::stroke(FAINT, 0.15));
            if like > 0.0 {
                sheet.rect("like", (left, middle - 0.7), (BAR * like, 1.4), 0.0, Paint::fill(SOFT_INK));
            }
            let words = format!("{like:.2}");
            let at = (left + BAR + 1.5, middle + 0.9);
            sheet.words("like", at, Words::new(Weight::Regular, SMALL, &words));
        }
    }
    Ok(sheet.finish())
}

/// The bands behind the rows, every other one grey, each with its word above.
fn bands(
    sheet: &mut Sheet,
    scale: &RampScale<'_>,
    (x0, x1, top, bottom): (f64, f64, f64, f64),
    (least, most): (f64, f64),
    x: &dyn Fn(f64) -> f64,
) {
    for (i, &(from, word)) in scale.bands.iter().enumerate() {
        let to = scale.bands.get(i + 1).map_or(most, |b| b.0).min(most);
        let from = from.max(least);
        if from >= to {
            continue;
        }
        let (left, right) = (x(from).max(x0), x(to).min(x1));
        if i % 2 == 0 {
            sheet.rect("band", (left, top - 5.5), (right - left, bottom - top + 5.5), 0.0, Paint::fill(BAND));
        }
        if lettering::width(Weight::Bold, WORDS, word) < right - left {
            let at = ((left + right) / 2.0, top - 2.0);
            sheet.words("band", at, Words::new(Weight::Bold, WORDS, word).middle());
        }
    }
    sheet.rect("frame", (x0, top), (x1 - x0, bottom - top), 0.0, Paint::stroke(FAINT, 0.2));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(title: &str, value: f64) -> RampRow<'_> {
        RampRow { title, value, interval: [value - 0.2, value + 0.3], fixed: title == "Tug", to_next: 0.25 }
    }

    const SCALE: RampScale<'_> =
        RampScale { axis: "tries", bands: &[(0.0, "mild"), (6.0, "fair")], ticks: &[(6.0, "64")] };

    #[test]
    fn every_outline_is_a_dot_and_all_but_the_last_have_a_likeness() {
        let rows = [row("Tug", 3.0), row("<Herring> & crab", 6.5), row("Eider", 9.0)];
        let svg = ramp("Harbour", &rows, &SCALE).unwrap().into_svg();
        let count = |class: &str| svg.matches(&format!("class=\"{class}\"")).count();
        assert_eq!((count("outline"), count("rail"), count("fixed"), count("ramp")), (3, 2, 1, 1));
        assert!(svg.contains("2. &lt;Herring&gt; &amp; crab: 6.5"));
        assert!(ramp("one", &rows[..1], &SCALE).unwrap().png(400).is_ok());
    }

    #[test]
    fn what_cannot_be_drawn_is_refused() {
        assert_eq!(ramp("none", &[], &SCALE), Err(PaperError::Nothing));
        assert_eq!(ramp("odd", &[row("Tug", f64::NAN)], &SCALE), Err(PaperError::NotFinite));
    }
}
