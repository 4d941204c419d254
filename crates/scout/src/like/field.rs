//! The picture made ready to be laid on the lattice: one scale for all sizes of
//! picture, and a weight for each pixel so that thin features are not lost.
//!
//! A mast a third of a cell wide covers a third of each cell it crosses, and
//! would lose every one of them to the cells half covered by a hull. So a pixel
//! in a feature thinner than a cell weighs as much as if the feature were a
//! cell wide, up to [`MOST_WEIGHT`] times: of ink and of ground alike, so that
//! narrow gaps are kept as well as narrow limbs. A feature's width at a pixel is
//! the widest disc in it that holds the pixel (T. Hildebrand, P. Rüegsegger, "A
//! new method for the model-independent assessment of thickness in
//! three-dimensional images", 1997).

use super::Ink;

/// A pixel in a thin feature weighs at most so many times its area.
pub(crate) const MOST_WEIGHT: f64 = 3.0;
/// Ground kept round the ink, in cells.
const MARGIN: f64 = 2.5;
/// No cell is wider, against one of equal area: by this much at most thin
/// features make the ink count for more (the square root of the most weight).
const WIDEST: f64 = 1.7321;

/// The picture at its working scale.
pub(crate) struct Field {
    /// Pixels in a row; the top row first.
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Whether a pixel is ink.
    pub(crate) ink: Vec<bool>,
    /// The width in pixels of the feature that a pixel belongs to; anything wide enough is infinite.
    thick: Vec<f32>,
    /// The centre of the ink: x, y.
    pub(crate) centre: [f64; 2],
    /// The pitch at which the ink, thin features made up for, fills the cells.
    pub(crate) pitch: f64,
    /// Pixels of the picture itself to one pixel here.
    pub(crate) of_picture: f64,
    /// Where the upper left corner of this lies in the picture, in its pixels.
    corner: [f64; 2],
}

impl Field {
    /// The ink at a scale that suits an outline of `cells` cells.
    pub(crate) fn of(ink: &Ink, cells: usize) -> Field {
        let fine = if cells <= 40 { 16.0 } else { 10.0 };
        let [left, top, right, bottom] = ink.bounds();
        let longest = (right - left).max(bottom - top) as f64;
        // An outline spans no more cells than it has: a longer picture is laid on wider ones.
        let equal = (ink.area() as f64 / cells as f64).sqrt().max(longest / cells as f64);
        let of_picture = equal / fine;
        let margin = (MARGIN * WIDEST * fine).ceil();
        let side = |low: usize, high: usize| {
            ((high - low) as f64 / of_picture).ceil() as usize + 2 * margin as usize
        };
        let (width, height) = (side(left, right), side(top, bottom));
        let sums = Sums::of(ink);
        let span = |low: usize, i: usize| {
            let from = low as f64 + (i as f64 - margin) * of_picture;
            (from, from + of_picture)
        };
        let mut marks = vec![false; width * height];
        for y in 0..height {
            for x in 0..width {
                marks[y * width + x] = sums.mean(span(left, x), span(top, y)) >= 0.5;
            }
        }
        if !marks.contains(&true) {
            // Strokes finer than a pixel here: keep whatever they touch.
            for y in 0..height {
                for x in 0..width {
                    marks[y * width + x] = sums.mean(span(left, x), span(top, y)) > 0.0;
                }
            }
        }
        let thick = thickness(&marks, width, height, (WIDEST * fine / 2.0).ceil() as usize);
        let inked = || (0..marks.len()).filter(|&i| marks[i]);
        let area = inked().count() as f64;
        let sum = inked().fold([0.0, 0.0], |[x, y], i| [x + (i % width) as f64, y + (i / width) as f64]);
        let centre = sum.map(|s| s / area + 0.5);
        let corner = [left, top].map(|low| low as f64 - margin * of_picture);
        let mut field = Field { width, height, ink: marks, thick, centre, pitch: fine, of_picture, corner };
        // The pitch whose cells hold the weighted ink: a few steps of a fixed point.
        for _ in 0..12 {
            let held: f64 = inked_weights(&field).sum::<f64>() / cells as f64;
            field.pitch = held.sqrt().max(longest / of_picture / cells as f64);
        }
        field
    }

    /// The centre of the ink in pixels of the picture: x, y.
    pub(crate) fn centre_in_picture(&self) -> [f64; 2] {
        [0, 1].map(|k| self.corner[k] + self.centre[k] * self.of_picture)
    }

    /// What a pixel weighs on cells of `pitch` pixels.
    pub(crate) fn weight(&self, pixel: usize, pitch: f64) -> f64 {
        (pitch / f64::from(self.thick[pixel])).clamp(1.0, MOST_WEIGHT)
    }
}

fn inked_weights(field: &Field) -> impl Iterator<Item = f64> {
    (0..field.ink.len()).filter(|&i| field.ink[i]).map(|i| field.weight(i, field.pitch))
}

/// Sums of ink over rectangles from a corner.
struct Sums {
    width: usize,
    height: usize,
    sums: Vec<u32>,
}

impl Sums {
    fn of(ink: &Ink) -> Sums {
        let (width, height) = (ink.width(), ink.height());
        let mut sums = vec![0; (width + 1) * (height + 1)];
        for y in 0..height {
            let mut row = 0;
            for x in 0..width {
                row += u32::from(ink.has(x, y));
                sums[(y + 1) * (width + 1) + x + 1] = sums[y * (width + 1) + x + 1] + row;
            }
        }
        Sums { width, height, sums }
    }

    /// The share of ink in a rectangle; outside the picture there is none. One
    /// narrower than a pixel is that pixel.
    fn mean(&self, (x0, x1): (f64, f64), (y0, y1): (f64, f64)) -> f64 {
        let whole = |low: f64, high: f64, most: usize| {
            let (a, b) = (low.round(), high.round());
            let (a, b) = if a < b {
                (a, b)
            } else {
                (((low + high) / 2.0).floor(), ((low + high) / 2.0).floor() + 1.0)
            };
            let inside = |v: f64| v.clamp(0.0, most as f64) as usize;
            (inside(a), inside(b), b - a)
        };
        let (xa, xb, w) = whole(x0, x1, self.width);
        let (ya, yb, h) = whole(y0, y1, self.height);
        let at = |x: usize, y: usize| i64::from(self.sums[y * (self.width + 1) + x]);
        (at(xb, yb) - at(xa, yb) - at(xb, ya) + at(xa, ya)) as f64 / (w * h)
    }
}

/// For each pixel the diameter of the widest disc of its own colour that holds
/// it, infinite from a radius of `most` on.
fn thickness(marks: &[bool], width: usize, height: usize, most: usize) -> Vec<f32> {
    let reach = most as i64;
    let mut disc: Vec<(i64, i64, i64)> = (-reach..=reach)
        .flat_map(|dy| (-reach..=reach).map(move |dx| (dx * dx + dy * dy, dx, dy)))
        .filter(|d| d.0 <= reach * reach)
        .collect();
    disc.sort_unstable();
    let (w, h) = (width as i64, height as i64);
    let near = |i: usize, dx: i64, dy: i64| {
        let (x, y) = (i as i64 % w + dx, i as i64 / w + dy);
        ((0..w).contains(&x) && (0..h).contains(&y)).then_some((y * w + x) as usize)
    };
    let mut thick = vec![0f32; marks.len()];
    for i in 0..marks.len() {
        // Beyond the border there is ground.
        let other = |&&(_, dx, dy): &&(i64, i64, i64)| near(i, dx, dy).is_some_and(|j| marks[j]) != marks[i];
        let first_other = disc.iter().find(other).map(|d| d.0);
        // A disc about a pixel's centre reaches half-way into the first pixel of the other colour.
        let diameter = first_other.map_or(f32::INFINITY, |d| 2.0 * (d as f32).sqrt() - 1.0);
        let squared = first_other.unwrap_or(reach * reach + 1);
        for &(d, dx, dy) in &disc {
            if d >= squared {
                break;
            }
            if let Some(j) = near(i, dx, dy) {
                thick[j] = thick[j].max(diameter);
            }
        }
    }
    thick
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thin_bar_is_as_thick_as_it_is_and_a_block_is_wide() {
        // A bar 3 wide under a block 20 wide, in a ground of 60 × 60.
        let marks: Vec<bool> = (0..3600)
            .map(|i| (i % 60, i / 60))
            .map(|(x, y)| {
                ((20..40).contains(&x) && (5..25).contains(&y))
                    || ((29..32).contains(&x) && (25..55).contains(&y))
            })
            .collect();
        let thick = thickness(&marks, 60, 60, 8);
        assert_eq!(thick[45 * 60 + 30], 3.0);
        assert_eq!(thick[45 * 60 + 29], 3.0);
        assert_eq!(thick[15 * 60 + 30], f32::INFINITY);
    }

    #[test]
    fn the_size_of_the_picture_does_not_matter() {
        let square = |n: usize| {
            let marks = (0..n * n)
                .map(|i| (i % n, i / n))
                .map(|(x, y)| x >= n / 4 && x < n / 2 && y >= n / 4 && y < n / 2);
            Ink::new(n, n, marks.collect()).unwrap()
        };
        let pitch = |n| {
            let field = Field::of(&square(n), 16);
            field.pitch * field.of_picture / n as f64
        };
        // A square of a quarter of the side in 16 cells: a sixteenth of the side each.
        for n in [8, 64, 1000] {
            assert!((pitch(n) - 1.0 / 16.0).abs() < 0.002, "{n}: {}", pitch(n));
        }
    }
}
