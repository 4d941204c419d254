//! The backing: the board's outline and lattice as lines to cut and engrave in
//! a sheet of cork or felt, so that the board neither slides nor scratches.
//!
//! The cut runs outside the finished edge by half the kerf, so that what is
//! left measures true.

use crate::area::Point;
use crate::board::base_plan;
use crate::file::flat::{Line, Use};
use crate::sizes::Sizes;

/// The lines for a board of `width` × `height` cells, in the board's frame.
pub(crate) fn lines(width: i32, height: i32, sizes: &Sizes) -> Vec<Line> {
    let mut lines = Vec::new();
    // A millimetre within the board's rim, so that no edge shows.
    let edge = base_plan(width, height, sizes).grown(-1.0 + sizes.kerf / 2.0, sizes.chord_error);
    for contour in edge.contours() {
        lines.push(Line { used: Use::Cut, points: contour, closed: true });
    }
    let p = sizes.pitch;
    let (w, h) = (f64::from(width) * p, f64::from(height) * p);
    let line = |a: Point, b: Point| Line { used: Use::Engrave, points: vec![a, b], closed: false };
    lines.extend((0..=width).map(|x| line([f64::from(x) * p, 0.0], [f64::from(x) * p, h])));
    lines.extend((0..=height).map(|y| line([0.0, f64::from(y) * p], [w, f64::from(y) * p])));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::board::rim;

    #[test]
    fn the_cut_is_half_a_kerf_outside_the_finished_edge() {
        let sizes = Sizes { kerf: 0.3, ..Sizes::default() };
        let lines = lines(6, 4, &sizes);
        assert_eq!(lines.iter().filter(|l| l.used == Use::Engrave).count(), 7 + 5);
        let cut: Vec<_> = lines.iter().filter(|l| l.used == Use::Cut).collect();
        assert_eq!(cut.len(), 1);
        let xs = cut[0].points.iter().map(|p| p[0]);
        let width = xs.clone().fold(f64::MIN, f64::max) - xs.fold(f64::MAX, f64::min);
        assert!((width - (6.0 * 15.0 + 2.0 * (rim(&sizes) - 1.0)) - 0.3).abs() < 1e-6);
    }
}
