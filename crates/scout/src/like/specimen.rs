//! Pictures for tests, drawn as text.

use super::Ink;

/// Rows of `#` and anything else, the top row first, each mark so many pixels
/// wide, with a border of one mark.
pub(crate) fn drawn(rows: &[&str], pixels: usize) -> Ink {
    let (w, h) = (rows[0].len() + 2, rows.len() + 2);
    let mark = |x: usize, y: usize| {
        y > 0 && x > 0 && rows.get(y - 1).is_some_and(|r| r.as_bytes().get(x - 1) == Some(&b'#'))
    };
    let marks =
        (0..w * h * pixels * pixels).map(|i| mark(i % (w * pixels) / pixels, i / (w * pixels) / pixels));
    Ink::new(w * pixels, h * pixels, marks.collect()).unwrap()
}
