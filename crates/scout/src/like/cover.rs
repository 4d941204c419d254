//! The picture laid on the lattice: how far each cell is covered, for every
//! position, turn and scale that is tried.

use super::field::Field;

/// Positions tried along one side of a cell.
pub(crate) const STEPS: usize = 8;
/// Turns are tried at each multiple of so many degrees between −45 and 45: a
/// quarter turn of the lattice changes nothing.
const DEGREES: i32 = 5;
/// Scales that are tried, in hundredths of the pitch that fits the area.
const SCALES: [u32; 7] = [100, 95, 105, 90, 110, 85, 116];

/// How the lattice lies on the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Lie {
    /// The picture is turned by so many degrees anticlockwise.
    pub(crate) degrees: i32,
    /// The pitch, in hundredths of the one that fits the area.
    pub(crate) scale: u32,
    /// Where the centre of the ink lies in its cell, in steps from the lower left.
    pub(crate) at: [usize; 2],
}

/// All turns and scales, the plainest first.
pub(crate) fn turns(upright: bool) -> Vec<(i32, u32)> {
    let mut degrees: Vec<i32> =
        if upright { vec![0] } else { (-44 / DEGREES..=45 / DEGREES).map(|k| k * DEGREES).collect() };
    degrees.sort_by_key(|d| (d.abs(), *d));
    degrees.into_iter().flat_map(|d| SCALES.map(|s| (d, s))).collect()
}

/// Sums over sub-cells of one turn and scale. Sub-cell (0, 0) is up and to the
/// right of the ink's centre; y runs up.
pub(crate) struct Grain {
    degrees: i32,
    scale: u32,
    /// Sub-cells from the centre to each border: a whole number of cells.
    half: usize,
    /// Sums from the lower left corner: weighted ink, weighted ground, plain ink.
    sums: Vec<[f64; 3]>,
    /// All ink there is, in cells.
    ink: f64,
    /// The side of a cell in pixels.
    pitch: f64,
}

/// How far the cells of a region are covered.
pub(crate) struct Cover {
    pub(crate) lie: Lie,
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// For each cell, rows from below: the share of it that counts as ink, thin features made up for.
    pub(crate) gain: Vec<f64>,
    /// For each cell the share that is ink, nothing made up for.
    pub(crate) plain: Vec<f64>,
    /// All ink, in cells: counted, and plain.
    pub(crate) total: f64,
    pub(crate) ink: f64,
    /// The place of the ink's centre, in cells from the lower left.
    pub(crate) middle: [f64; 2],
    /// Twice that, where it is a whole number.
    pub(crate) centre: [Option<i32>; 2],
}

impl Grain {
    pub(crate) fn of(field: &Field, degrees: i32, scale: u32) -> Grain {
        let pitch = field.pitch * f64::from(scale) / 100.0;
        let sub = pitch / STEPS as f64;
        let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
        let far = (field.width as f64).hypot(field.height as f64) / pitch + 1.0;
        let half = (far.ceil() as usize + 2) * STEPS;
        let side = 2 * half;
        let mut sums = vec![[0.0; 3]; (side + 1) * (side + 1)];
        let (mut ink, mut outermost) = (0.0, 0usize);
        // Which sub-cells a pixel about `p` lies in, and how much of it in each: no pixel
        // is wider than a sub-cell, and one that lies aslant is taken for one that does not.
        let shares = |p: f64| {
            let low = (p - 0.5) / sub + half as f64;
            let first = low.floor();
            let beyond = ((low + 1.0 / sub - first - 1.0) * sub).clamp(0.0, 1.0);
            (first as usize, [1.0 - beyond, beyond])
        };
        for y in 0..field.height {
            // Down in the picture is up in its rows; turned anticlockwise as seen.
            let v = field.centre[1] - (y as f64 + 0.5);
            for x in 0..field.width {
                let u = x as f64 + 0.5 - field.centre[0];
                let ((i, across), (j, along)) = (shares(u * cos - v * sin), shares(u * sin + v * cos));
                let pixel = y * field.width + x;
                let weight = field.weight(pixel, pitch);
                let inked = field.ink[pixel];
                for (b, up) in along.into_iter().enumerate() {
                    for (a, right) in across.into_iter().enumerate() {
                        let bin = &mut sums[(j + b + 1) * (side + 1) + i + a + 1];
                        bin[usize::from(!inked)] += weight * up * right;
                        bin[2] += if inked { up * right } else { 0.0 };
                    }
                }
                if inked {
                    ink += 1.0;
                    let off = |n: usize| if n >= half { n + 1 - half } else { half - n };
                    outermost = outermost.max(off(i)).max(off(j));
                }
            }
        }
        // Only cells that ink can touch are of use.
        let used = (outermost / STEPS + 3) * STEPS;
        let sums = if used < half { cropped(&sums, half, used) } else { sums };
        let half = used.min(half);
        let mut grain = Grain { degrees, scale, half, sums, ink: ink / (pitch * pitch), pitch };
        grain.add_up();
        grain
    }

    fn add_up(&mut self) {
        let row = 2 * self.half + 1;
        for j in 1..row {
            for i in 1..row {
                for k in 0..3 {
                    self.sums[j * row + i][k] += self.sums[(j - 1) * row + i][k]
                        + self.sums[j * row + i - 1][k]
                        - self.sums[(j - 1) * row + i - 1][k];
                }
            }
        }
    }

    /// The cover of the cells if the ink's centre lies `at` so many steps from
    /// the lower left corner of its cell.
    pub(crate) fn cover(&self, at: [usize; 2]) -> Cover {
        let row = 2 * self.half + 1;
        let cells = 2 * self.half / STEPS - 1;
        // Where the first whole cell starts.
        let start = at.map(|a| (STEPS - a) % STEPS);
        let mut gain = Vec::with_capacity(cells * cells);
        let mut plain = Vec::with_capacity(cells * cells);
        for cy in 0..cells {
            for cx in 0..cells {
                let (x, y) = (start[0] + cx * STEPS, start[1] + cy * STEPS);
                let corner = |i: usize, j: usize| self.sums[j * row + i];
                let (a, b, c, d) =
                    (corner(x + STEPS, y + STEPS), corner(x, y + STEPS), corner(x + STEPS, y), corner(x, y));
                let sum = |k: usize| a[k] - b[k] - c[k] + d[k];
                let (ink, ground) = (sum(0), sum(1));
                let share =
                    |part: f64, whole: f64| if whole > 0.0 { (part / whole).clamp(0.0, 1.0) } else { 0.0 };
                // Sums of many weights leave crumbs behind.
                gain.push(if sum(2) < 0.5 { 0.0 } else { share(ink, ink + ground) });
                plain.push(if sum(2) < 0.5 { 0.0 } else { share(sum(2), self.pitch * self.pitch) });
            }
        }
        let steps = start.map(|s| self.half - s);
        let whole = |s: usize| (2 * s).is_multiple_of(STEPS).then_some((2 * s / STEPS) as i32);
        Cover {
            lie: Lie { degrees: self.degrees, scale: self.scale, at },
            width: cells,
            height: cells,
            total: gain.iter().sum(),
            ink: self.ink,
            gain,
            plain,
            middle: steps.map(|s| s as f64 / STEPS as f64),
            centre: steps.map(whole),
        }
    }
}

/// The middle of a table of sub-cells, before it is added up.
fn cropped(sums: &[[f64; 3]], half: usize, used: usize) -> Vec<[f64; 3]> {
    let (row, short) = (2 * half + 1, 2 * used + 1);
    let mut kept = vec![[0.0; 3]; short * short];
    for j in 0..2 * used {
        for i in 0..2 * used {
            kept[(j + 1) * short + i + 1] = sums[(j + half - used + 1) * row + i + half - used + 1];
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::like::Ink;

    #[test]
    fn a_square_of_cells_is_covered_whole_at_one_position_and_by_parts_at_others() {
        let marks = (0..10_000)
            .map(|i| (i % 100, i / 100))
            .map(|(x, y)| (30..70).contains(&x) && (30..70).contains(&y));
        let field = Field::of(&Ink::new(100, 100, marks.collect()).unwrap(), 4);
        let grain = Grain::of(&field, 0, 100);
        let whole = grain.cover([0, 0]);
        let full = whole.gain.iter().filter(|&&g| g > 0.9).count();
        let some = whole.gain.iter().filter(|&&g| g > 0.01).count();
        assert_eq!((full, some), (4, 4));
        // Less than four, since its corners count as thin.
        assert!((3.8..4.01).contains(&whole.ink), "{}", whole.ink);
        let off = grain.cover([4, 4]);
        assert_eq!(off.gain.iter().filter(|&&g| g > 0.01).count(), 9);
        assert!((off.plain.iter().sum::<f64>() - off.ink).abs() < 0.25);
        // Where the ink's centre is the centre of a mirror, it says so.
        assert!(whole.centre.iter().all(Option::is_some) && off.centre.iter().all(Option::is_some));
        assert_eq!(grain.cover([1, 0]).centre[0], None);
    }
}
