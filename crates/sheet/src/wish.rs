//! Two pictures wished for a sheet, closed and turned, and what can be told of
//! them before any work is done.
//!
//! Which panel shows where is fixed, and a panel's mean tone is the same at both
//! ends. So the error of any pair of wishes is at least the mean, over blocks, of
//! how far their two means are apart: the *floor*. The wish turned, carried back
//! into the panels, is a second wish for the same pixels: how the two agree is
//! their correlation φ, and where they differ is conflict.

use crate::geometry::{End, Sheet};

/// Tones of a picture over a whole sheet, 0 black to 1 white, a square of
/// `per_block` pixels a block; row by row, the top row first.
#[derive(Clone, Debug, PartialEq)]
pub struct Tones {
    columns: usize,
    rows: usize,
    per_block: usize,
    tones: Vec<f32>,
}

/// What is told of a pair of wishes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// Mean error in tone that no panels can be without.
    pub floor: f64,
    /// Correlation of the two wishes in the panels, −1 to 1; 0 where one is all of a tone.
    pub phi: f64,
    /// Share of pixels that one wish has dark and the other light.
    pub conflict: f64,
}

impl Tones {
    /// Tones by column and row of pixels, from the upper left.
    ///
    /// # Panics
    /// If `per_block` is 0.
    #[must_use]
    pub fn of(sheet: &Sheet, per_block: usize, tone: impl Fn(usize, usize) -> f32) -> Self {
        assert!(per_block > 0, "a block has pixels");
        let (columns, rows) = (sheet.columns(), sheet.rows());
        let (width, height) = (columns * per_block, rows * per_block);
        let tones = (0..height).flat_map(|y| (0..width).map(move |x| (x, y))).map(|(x, y)| tone(x, y));
        Tones { columns, rows, per_block, tones: tones.collect() }
    }

    /// The tone of a pixel.
    #[must_use]
    pub fn at(&self, x: usize, y: usize) -> f32 {
        self.tones[y * self.columns * self.per_block + x]
    }

    /// What the same panels show at the other end: each crop turned where it is, by
    /// a quarter, anticlockwise where σ = +1 from closed to turned.
    ///
    /// # Panics
    /// If the tones are of a sheet of another size.
    #[must_use]
    pub fn moved(&self, sheet: &Sheet, from: End, to: End) -> Tones {
        assert_eq!((self.columns, self.rows), (sheet.columns(), sheet.rows()), "tones of this sheet");
        let p = self.per_block;
        Tones::of(sheet, p, |x, y| {
            let block = sheet.at(x / p, self.rows - 1 - y / p);
            let (u, v, last) = (x % p, y % p, p - 1);
            // A pixel shows what was a quarter clockwise of it before a turn anticlockwise.
            let quarters = (sheet.quarters(block, to) - sheet.quarters(block, from)).rem_euclid(4);
            let [u, v] = [[u, v], [last - v, u], [last - u, last - v], [v, last - u]][quarters as usize];
            self.at(x - x % p + u, y - y % p + v)
        })
    }

    /// Mean tone of every block, in the sheet's order.
    #[must_use]
    pub fn means(&self, sheet: &Sheet) -> Vec<f64> {
        let p = self.per_block;
        let mean = |block: usize| {
            let [i, j] = sheet.place(block);
            let (x0, y0) = (i * p, (self.rows - 1 - j) * p);
            let sum: f64 = (0..p * p).map(|k| f64::from(self.at(x0 + k % p, y0 + k / p))).sum();
            sum / (p * p) as f64
        };
        (0..sheet.blocks()).map(mean).collect()
    }
}

/// What can be told of two wishes, as they lie closed and turned.
///
/// # Panics
/// If the wishes are not of this sheet, or have other numbers of pixels.
#[must_use]
pub fn told(sheet: &Sheet, closed: &Tones, turned: &Tones) -> Told {
    assert_eq!(closed.per_block, turned.per_block, "wishes of equally many pixels");
    let apart = closed.means(sheet).into_iter().zip(turned.means(sheet)).map(|(a, b)| (a - b).abs());
    let floor = apart.sum::<f64>() / sheet.blocks() as f64;
    let back = turned.moved(sheet, End::Turned, End::Closed);
    let pairs = closed.tones.iter().zip(&back.tones);
    let differ = pairs.filter(|(a, b)| (**a < 0.5) != (**b < 0.5)).count();
    Told {
        floor,
        phi: correlation(&closed.tones, &back.tones),
        conflict: differ as f64 / closed.tones.len() as f64,
    }
}

/// Pearson's correlation; 0 where one of the two does not vary.
fn correlation(a: &[f32], b: &[f32]) -> f64 {
    let n = a.len() as f64;
    let mean = |x: &[f32]| x.iter().map(|&v| f64::from(v)).sum::<f64>() / n;
    let (ma, mb) = (mean(a), mean(b));
    let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
    for (&x, &y) in a.iter().zip(b) {
        let (x, y) = (f64::from(x) - ma, f64::from(y) - mb);
        ab += x * y;
        aa += x * x;
        bb += y * y;
    }
    let scale = (aa * bb).sqrt();
    if scale > 1e-12 * n { ab / scale } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Hand;

    #[test]
    fn four_quarters_and_both_ways_come_back() {
        let sheet = Sheet::new(3, 2, Hand::Left).unwrap();
        let picture = Tones::of(&sheet, 4, |x, y| ((x * 7 + y * 13) % 11) as f32 / 10.0);
        let there = picture.moved(&sheet, End::Closed, End::Turned);
        assert_ne!(there, picture);
        assert_eq!(there.moved(&sheet, End::Turned, End::Closed), picture);
        // A panel's mean is the same at both ends.
        for (a, b) in picture.means(&sheet).into_iter().zip(there.means(&sheet)) {
            assert!((a - b).abs() < 1e-6);
        }
        // The upper left panel of a left hand 3 × 2: (0, 1) has σ = +1, so its right
        // column is its top row turned.
        assert_eq!(there.at(0, 0), picture.at(3, 0));
    }

    #[test]
    fn pictures_that_one_set_of_panels_shows_are_told_without_error() {
        let sheet = Sheet::new(4, 4, Hand::Right).unwrap();
        let a = Tones::of(&sheet, 6, |x, y| f32::from(u8::from((x * x + 3 * y) % 7 < 3)));
        let b = a.moved(&sheet, End::Closed, End::Turned);
        let good = told(&sheet, &a, &b);
        assert!(good.floor < 1e-6 && (good.phi - 1.0).abs() < 1e-9 && good.conflict == 0.0);
        let dark = Tones::of(&sheet, 6, |_, _| 0.0);
        let light = Tones::of(&sheet, 6, |_, _| 1.0);
        assert_eq!(told(&sheet, &dark, &light), Told { floor: 1.0, phi: 0.0, conflict: 1.0 });
    }
}
