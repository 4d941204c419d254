//! How like an outline is to the nearest of a maker's own pictures.

use lattice::Cell;

use super::Ink;

/// Pixels to a pitch.
const FINE: i32 = 4;
/// Pixels in a row and column of a frame; what reaches beyond counts as not shared.
const FRAME: i32 = 128;

/// Pictures brought to the area of one number of cells.
#[derive(Clone, Debug)]
pub struct Library {
    cells: usize,
    /// Each picture in the eight turns and mirrors, about its centre.
    pictures: Vec<Vec<Mask>>,
}

/// Pixels about a centre in the middle of the frame.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Mask {
    rows: Vec<u128>,
    /// Pixels, those beyond the frame too.
    area: u32,
}

impl Library {
    /// Pictures to which outlines of `cells` cells will be compared.
    pub fn new<'a>(pictures: impl IntoIterator<Item = &'a Ink>, cells: usize) -> Self {
        let pictures = pictures.into_iter().map(|ink| {
            let mut all: Vec<Mask> = (0..8).map(|k| of_ink(ink, cells, k)).collect();
            all.dedup();
            all
        });
        Library { cells, pictures: pictures.collect() }
    }

    /// Pictures in it.
    pub fn len(&self) -> usize {
        self.pictures.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.pictures.is_empty()
    }

    /// How like the cells are to the picture they are most like, from 0 to 1,
    /// and which one that is: the overlap (shared area over joint area) of the
    /// two, both of one area, their centres at most a quarter of a pitch apart
    /// along each side, the picture in the best of its quarter turns and mirrors. Other
    /// angles are not tried. None if there is no picture, or the cells are not
    /// as many as the library was made for.
    pub fn nearest(&self, cells: &[Cell]) -> Option<(usize, f64)> {
        if cells.len() != self.cells {
            return None;
        }
        let outline = of_cells(cells);
        let likeness = |masks: &Vec<Mask>| masks.iter().map(|m| overlap(&outline, m)).fold(0.0, f64::max);
        let all = self.pictures.iter().map(likeness).enumerate();
        all.reduce(|best, next| if next.1 > best.1 { next } else { best })
    }

    /// The likeness alone; 0 where there is nothing to compare.
    pub fn likeness(&self, cells: &[Cell]) -> f64 {
        self.nearest(cells).map_or(0.0, |n| n.1)
    }
}

impl Mask {
    fn of(pixels: impl Iterator<Item = (i32, i32)>) -> Mask {
        let mut mask = Mask { rows: vec![0; FRAME as usize], area: 0 };
        for (x, y) in pixels {
            mask.area += 1;
            let (x, y) = (x + FRAME / 2, y + FRAME / 2);
            if (0..FRAME).contains(&x) && (0..FRAME).contains(&y) {
                mask.rows[y as usize] |= 1 << x;
            }
        }
        mask
    }
}

/// The cells about their centre.
fn of_cells(cells: &[Cell]) -> Mask {
    let n = cells.len().max(1) as f64;
    let centre = |of: fn(&Cell) -> i32| cells.iter().map(|c| f64::from(of(c)) + 0.5).sum::<f64>() / n;
    let (cx, cy) = (centre(|c| c.x), centre(|c| c.y));
    let low = |at: i32, centre: f64| ((f64::from(at) - centre) * f64::from(FINE)).round() as i32;
    Mask::of(cells.iter().flat_map(|c| {
        let (x, y) = (low(c.x, cx), low(c.y, cy));
        (0..FINE * FINE).map(move |k| (x + k % FINE, y + k / FINE))
    }))
}

/// The ink about its centre at the area of `cells` cells, turned and mirrored
/// the `k`th way of eight.
fn of_ink(ink: &Ink, cells: usize, k: u8) -> Mask {
    let moments = ink.moments();
    let [cx, cy] = moments.centroid;
    // Pixels of the picture to one of the frame.
    let step = (moments.area / cells.max(1) as f64).sqrt() / f64::from(FINE);
    let half = FRAME / 2;
    let mut mask =
        Mask::of((-half..half).flat_map(|y| (-half..half).map(move |x| (x, y))).filter(|&(x, y)| {
            let (u, v) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
            let u = if k & 4 == 0 { u } else { -u };
            let (u, v) = match k & 3 {
                0 => (u, v),
                1 => (-v, u),
                2 => (-u, -v),
                _ => (v, -u),
            };
            // Rows of the picture run down.
            let (px, py) = (cx + u * step, cy - v * step);
            px >= 0.0 && py >= 0.0 && ink.has(px as usize, py as usize)
        }));
    mask.area = (cells as i32 * FINE * FINE) as u32;
    mask
}

/// The greatest overlap over small shifts.
fn overlap(outline: &Mask, picture: &Mask) -> f64 {
    let shared = |dx: i32, dy: usize| -> u32 {
        // dy counts from one row below to one above.
        let rows = outline.rows.iter().skip(1).take(FRAME as usize - 2).zip(&picture.rows[dy..]);
        rows.map(|(a, b)| (a & if dx < 0 { b >> 1 } else { b << dx }).count_ones()).sum()
    };
    let best = (0..3).flat_map(|dy| (-1..=1).map(move |dx| (dx, dy))).map(|(dx, dy)| shared(dx, dy)).max();
    let best = best.unwrap_or(0);
    f64::from(best) / f64::from((outline.area + picture.area).saturating_sub(best).max(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::like::specimen::drawn;

    const TUG: [&str; 5] = ["..#...", ".###..", ".##...", "######", ".#####"];
    const LAMP: [&str; 6] = ["..#..", ".###.", "..##.", "..#..", "#####", "#####"];

    fn cells(rows: &[&str]) -> Vec<Cell> {
        let rows = rows.iter().rev().enumerate();
        rows.flat_map(|(y, r)| {
            r.bytes().enumerate().filter(|m| m.1 == b'#').map(move |(x, _)| Cell::new(x as i32, y as i32))
        })
        .collect()
    }

    #[test]
    fn an_outline_is_most_like_its_own_picture_in_any_turn_and_mirror() {
        let library = Library::new([&drawn(&TUG, 9), &drawn(&LAMP, 30)], 17);
        for (k, rows) in [&TUG[..], &LAMP[..]].into_iter().enumerate() {
            for turned in [|c: &Cell| *c, |c: &Cell| Cell::new(-c.y, c.x), |c: &Cell| Cell::new(-c.x, c.y)] {
                let cells: Vec<Cell> = cells(rows).iter().map(turned).collect();
                let (nearest, likeness) = library.nearest(&cells).unwrap();
                assert_eq!(nearest, k);
                assert!(likeness > 0.9, "{likeness}");
            }
        }
    }

    #[test]
    fn what_is_unlike_is_less_like() {
        let library = Library::new([&drawn(&TUG, 9)], 17);
        let bar: Vec<Cell> = (0..17).map(|x| Cell::new(x, 0)).collect();
        let long = library.likeness(&bar);
        assert!(long > 0.0 && long < 0.35, "{long}");
        assert_eq!(library.nearest(&bar[1..]), None);
        assert_eq!(Library::new([], 17).nearest(&bar), None);
        assert!(Library::new([], 17).is_empty() && library.len() == 1);
    }
}
