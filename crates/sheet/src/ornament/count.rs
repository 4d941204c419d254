//! What an ornament shows at an end, counted from its drawing alone.
//!
//! This is the judge of the search: it knows the panels and the seams, and not
//! how the joinings were found. Only sides that bound a void have bands, so the
//! figure keeps off the rim and every line is a loop.

use super::joining::Joining;
use crate::geometry::{End, Sheet, Side};

/// Counts of one end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counts {
    /// Closed lines.
    pub loops: usize,
    /// Parts of the figure.
    pub parts: usize,
    /// Parts of the ground that do not reach the rim.
    pub holes: usize,
    /// Parts of the figure that lie in a hole of another.
    pub islands: usize,
}

/// Classes of things that have been joined.
struct Joined(Vec<usize>);

impl Joined {
    fn new(n: usize) -> Self {
        Joined((0..n).collect())
    }

    fn root(&mut self, mut x: usize) -> usize {
        while self.0[x] != x {
            self.0[x] = self.0[self.0[x]];
            x = self.0[x];
        }
        x
    }

    /// False if they were one already.
    fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a] = b;
        a != b
    }

    fn classes(&mut self, of: impl Fn(usize) -> bool) -> usize {
        (0..self.0.len()).filter(|&x| of(x) && self.root(x) == x).count()
    }
}

/// Counts an ornament at an end. `panels[b]` is block b's, as it lies closed.
#[must_use]
pub fn counts(sheet: &Sheet, panels: &[Joining], end: End) -> Counts {
    let blocks = sheet.blocks();
    // Bands: four a panel. Lines: eight ports, 2·side and 2·side + 1 anticlockwise.
    let mut bands = Joined::new(4 * blocks);
    let mut lines = Joined::new(8 * blocks);
    // Ground: the lattice's vertices, of which the rim is one.
    let across = sheet.columns() + 1;
    let rim = across * (sheet.rows() + 1);
    let mut ground = Joined::new(rim + 1);
    let vertex = |block: usize, corner: usize| {
        let [i, j] = sheet.place(block);
        let [x, y] = [[i + 1, j + 1], [i, j + 1], [i, j], [i + 1, j]][corner];
        let outer = x == 0 || y == 0 || x == sheet.columns() || y == sheet.rows();
        if outer { rim } else { y * across + x }
    };
    // Side k, as it lies at this end.
    let banded =
        |block: usize, k: usize| sheet.bounds_void(block, Side::ALL[k].turned(-sheet.quarters(block, end)));
    let mut rings = Vec::new();
    for (block, &own) in panels.iter().enumerate() {
        let quarters = sheet.quarters(block, end);
        let shown = own.turned(quarters);
        for group in shown.groups() {
            let sides: Vec<usize> = (0..4).filter(|k| group >> k & 1 == 1).collect();
            for (k, &side) in sides.iter().enumerate() {
                let next = sides[(k + 1) % sides.len()];
                bands.join(4 * block + side, 4 * block + next);
                lines.join(8 * block + 2 * side + 1, 8 * block + 2 * next);
            }
        }
        for group in shown.ground() {
            let corners: Vec<usize> = (0..4).filter(|k| group >> k & 1 == 1).collect();
            for pair in corners.windows(2) {
                let [a, b] = [vertex(block, pair[0]), vertex(block, pair[1])];
                if !ground.join(a, b) {
                    rings.push(a);
                }
            }
        }
        for side in Side::ALL {
            let k = side as usize;
            let Some(next) = sheet.beyond(block, side).filter(|_| banded(block, k)) else { continue };
            let other = (k + 2) % 4;
            bands.join(4 * block + k, 4 * next + other);
            lines.join(8 * block + 2 * k, 8 * next + 2 * other + 1);
        }
    }
    let outside = ground.root(rim);
    let inner = |v: usize| {
        let (x, y) = (v % across, v / across);
        v != outside && v != rim && x > 0 && y > 0 && x < sheet.columns() && y < sheet.rows()
    };
    let holes = ground.classes(inner);
    let islands = rings.into_iter().filter(|&v| ground.root(v) != outside).count();
    let loops = lines.classes(|port| banded(port / 8, port % 8 / 2));
    let parts = bands.classes(|band| banded(band / 4, band % 4));
    Counts { loops, parts, holes, islands }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Hand;

    #[test]
    fn figure_ground_and_lines_are_counted_alike() {
        let mut random = fastrand::Rng::with_seed(18);
        let mut islands = 0;
        for _ in 0..500 {
            let hand = if random.bool() { Hand::Left } else { Hand::Right };
            let sheet = Sheet::new(random.usize(2..7), random.usize(2..7), hand).unwrap();
            let panels: Vec<Joining> = (0..sheet.blocks())
                .map(|b| {
                    let fit: Vec<_> = Joining::all().filter(|j| j.fits(&sheet, b)).collect();
                    random.choice(fit).unwrap()
                })
                .collect();
            let [a, b] = End::BOTH.map(|e| counts(&sheet, &panels, e));
            for c in [a, b] {
                assert_eq!(c.loops, c.parts + c.holes);
                islands += c.islands;
            }
            // Euler's number is the same at both ends.
            assert_eq!(a.parts as i64 - a.holes as i64, b.parts as i64 - b.holes as i64);
        }
        assert!(islands > 0);
    }

    #[test]
    fn nothing_joined_is_a_dot_on_every_seam() {
        let sheet = Sheet::new(3, 4, Hand::Left).unwrap();
        let dots = vec![Joining::of_code('a').unwrap(); 12];
        for end in End::BOTH {
            let all = counts(&sheet, &dots, end);
            assert_eq!(all, Counts { loops: 12, parts: 12, holes: 0, islands: 0 });
        }
    }
}
