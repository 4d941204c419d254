//! Ink: which squares of a picture's grid belong to its silhouette, and the
//! moments of that area.

/// The silhouette of a picture: marks on a grid of pixels, the top row first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ink {
    width: usize,
    height: usize,
    marks: Vec<bool>,
}

/// Marks that are no silhouette.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum InkError {
    /// Width times height is not the number of marks.
    #[error("a picture of {width} × {height} pixels has not {marks} of them")]
    Size {
        /// Pixels in a row.
        width: usize,
        /// Rows.
        height: usize,
        /// Marks given.
        marks: usize,
    },
    /// No pixel is ink.
    #[error("there is no ink: nothing in the picture stands out from its ground")]
    None,
    /// Every pixel is ink.
    #[error("it is ink all over: the silhouette has no ground to stand out from")]
    All,
}

/// Moments of a silhouette, each marked pixel a point at its centre. Pixel
/// (0, 0) is the upper left one and covers [0, 1] × [0, 1]; y runs down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moments {
    /// Pixels of ink.
    pub area: f64,
    /// The centre of the ink: x, y.
    pub centroid: [f64; 2],
    /// Second moments about the centre: Σdx², Σdxdy, Σdy².
    pub second: [f64; 3],
    /// The seven invariants under shifts, turns and scale of M.-K. Hu, "Visual
    /// pattern recognition by moment invariants", 1962. The seventh changes its
    /// sign in a mirror.
    pub hu: [f64; 7],
}

impl Ink {
    /// A silhouette from the marks of its rows, the top row first.
    ///
    /// # Errors
    /// A wrong number of marks; no ink; nothing but ink.
    pub fn new(width: usize, height: usize, marks: Vec<bool>) -> Result<Self, InkError> {
        if width.checked_mul(height) != Some(marks.len()) {
            return Err(InkError::Size { width, height, marks: marks.len() });
        }
        match marks.iter().filter(|&&m| m).count() {
            0 => Err(InkError::None),
            n if n == marks.len() => Err(InkError::All),
            _ => Ok(Ink { width, height, marks }),
        }
    }

    /// Pixels in a row.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Rows.
    pub fn height(&self) -> usize {
        self.height
    }

    /// Whether a pixel is ink; `y` counts down from the top row.
    pub fn has(&self, x: usize, y: usize) -> bool {
        x < self.width && y < self.height && self.marks[y * self.width + x]
    }

    /// The pixels of ink, row by row.
    pub(crate) fn pixels(&self) -> impl Iterator<Item = (usize, usize)> {
        let marked = self.marks.iter().enumerate().filter(|(_, m)| **m);
        marked.map(|(i, _)| (i % self.width, i / self.width))
    }

    /// Pixels of ink.
    pub fn area(&self) -> usize {
        self.pixels().count()
    }

    /// Left, top, right and bottom of the ink; right and bottom are past the last pixel.
    pub(crate) fn bounds(&self) -> [usize; 4] {
        self.pixels().fold([usize::MAX, usize::MAX, 0, 0], |[l, t, r, b], (x, y)| {
            [l.min(x), t.min(y), r.max(x + 1), b.max(y + 1)]
        })
    }

    /// Area, centre, second moments, invariants.
    pub fn moments(&self) -> Moments {
        let area = self.area() as f64;
        let (sx, sy) = self.pixels().fold((0.0, 0.0), |(sx, sy), (x, y)| (sx + x as f64, sy + y as f64));
        let (cx, cy) = (sx / area, sy / area);
        // Central moments of order p, q.
        let mut mu = [[0.0; 4]; 4];
        for (x, y) in self.pixels() {
            let (dx, dy) = (x as f64 - cx, y as f64 - cy);
            for (p, row) in mu.iter_mut().enumerate() {
                for (q, sum) in row.iter_mut().enumerate().take(4 - p) {
                    *sum += dx.powi(p as i32) * dy.powi(q as i32);
                }
            }
        }
        let eta = |p: usize, q: usize| mu[p][q] / area.powf(1.0 + (p + q) as f64 / 2.0);
        Moments {
            area,
            centroid: [cx + 0.5, cy + 0.5],
            second: [mu[2][0], mu[1][1], mu[0][2]],
            hu: invariants([eta(2, 0), eta(1, 1), eta(0, 2)], [eta(3, 0), eta(2, 1), eta(1, 2), eta(0, 3)]),
        }
    }
}

/// Hu's seven, from the normalised central moments of second and third order.
fn invariants([n20, n11, n02]: [f64; 3], [n30, n21, n12, n03]: [f64; 4]) -> [f64; 7] {
    let (a, b) = (n30 + n12, n21 + n03);
    let (c, d) = (n30 - 3.0 * n12, 3.0 * n21 - n03);
    let (e, f) = (a * a - 3.0 * b * b, 3.0 * a * a - b * b);
    let difference = n20 - n02;
    [
        n20 + n02,
        difference * difference + 4.0 * n11 * n11,
        c * c + d * d,
        a * a + b * b,
        c * a * e + d * b * f,
        difference * (a * a - b * b) + 4.0 * n11 * a * b,
        d * a * e - c * b * f,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ink(rows: &[&str]) -> Ink {
        let marks = rows.iter().flat_map(|r| r.bytes().map(|b| b == b'#')).collect();
        Ink::new(rows[0].len(), rows.len(), marks).unwrap()
    }

    #[test]
    fn ink_needs_a_ground() {
        assert_eq!(Ink::new(2, 1, vec![false; 2]), Err(InkError::None));
        assert_eq!(Ink::new(2, 1, vec![true; 2]), Err(InkError::All));
        assert_eq!(Ink::new(3, 1, vec![true; 2]), Err(InkError::Size { width: 3, height: 1, marks: 2 }));
        assert_eq!(Ink::new(0, 0, vec![]), Err(InkError::None));
    }

    #[test]
    fn moments_of_a_bar() {
        let m = ink(&["......", ".####.", "......"]).moments();
        assert_eq!((m.area, m.centroid, m.second), (4.0, [3.0, 1.5], [5.0, 0.0, 0.0]));
        // Σdx² / area² = 5 / 16.
        assert!((m.hu[0] - 0.3125).abs() < 1e-12 && (m.hu[1] - 0.3125f64.powi(2)).abs() < 1e-12);
    }

    #[test]
    fn the_invariants_hold_under_turns_and_tell_a_mirror() {
        let tug = ink(&["..#...", ".###..", ".##...", "######", ".#####"]);
        let quarter = |i: &Ink| {
            let marks = (0..i.width)
                .flat_map(|y| (0..i.height).map(move |x| (x, y)))
                .map(|(x, y)| i.has(i.width - 1 - y, x))
                .collect();
            Ink::new(i.height, i.width, marks).unwrap()
        };
        let mirrored = |i: &Ink| {
            let marks = i.marks.chunks(i.width).flat_map(|r| r.iter().rev().copied()).collect();
            Ink::new(i.width, i.height, marks).unwrap()
        };
        let (a, b, c) = (tug.moments(), quarter(&tug).moments(), mirrored(&tug).moments());
        for k in 0..7 {
            assert!((a.hu[k] - b.hu[k]).abs() < 1e-12, "{k}");
            let sign = if k == 6 { -1.0 } else { 1.0 };
            assert!((a.hu[k] - sign * c.hu[k]).abs() < 1e-12, "{k}");
        }
        assert!(a.hu[6].abs() > 1e-9);
    }
}
