//! Where the blocks and hinges of a sheet are, at every angle of its motion.
//!
//! Column i counts to the right, row j upward, both from 0; `σ = h·(−1)^(i+j)`
//! with the hand h. Lengths are in block sides s = 1 and angles in radians; the
//! frame's middle is the origin and never turns. Block (i, j) is turned by σθ
//! and its centre is at `a·(i − (m−1)/2, j − (n−1)/2)`, `a = cos θ + sin θ`
//! (J. N. Grima & K. E. Evans, "Auxetic behavior from rotating squares",
//! J. Mater. Sci. Lett. 19 (2000), 1563–1565; there each square turns by half
//! of the angle between two). θ = 0 is closed, θ = 90° is turned.

use std::f64::consts::FRAC_PI_2;

/// A point or a way, in block sides.
pub type Point = [f64; 2];

/// The two ways round that a sheet can be tied. One closed is the other turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Hand {
    /// h = −1: the block at the lower left turns clockwise as the sheet opens.
    Left,
    /// h = +1: it turns anticlockwise.
    Right,
}

impl Hand {
    /// h of the formulas.
    #[must_use]
    pub fn sign(self) -> i32 {
        match self {
            Hand::Left => -1,
            Hand::Right => 1,
        }
    }

    /// The other one.
    #[must_use]
    pub fn other(self) -> Hand {
        match self {
            Hand::Left => Hand::Right,
            Hand::Right => Hand::Left,
        }
    }
}

/// The two ends of the motion.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum End {
    /// θ = 0.
    Closed,
    /// θ = 90°, every block turned by a quarter.
    Turned,
}

impl End {
    /// Both, closed first.
    pub const BOTH: [End; 2] = [End::Closed, End::Turned];

    /// The angle of this end.
    #[must_use]
    pub fn theta(self) -> f64 {
        match self {
            End::Closed => 0.0,
            End::Turned => FRAC_PI_2,
        }
    }
}

/// A side of a block in its own frame, as it lies when closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// Right.
    East,
    /// Top.
    North,
    /// Left.
    West,
    /// Bottom.
    South,
}

impl Side {
    /// Anticlockwise from the right.
    pub const ALL: [Side; 4] = [Side::East, Side::North, Side::West, Side::South];

    /// The side that is `quarters` further anticlockwise.
    #[must_use]
    pub fn turned(self, quarters: i32) -> Side {
        Side::ALL[(self as i32 + quarters).rem_euclid(4) as usize]
    }

    /// One step that way.
    #[must_use]
    pub fn step(self) -> [i32; 2] {
        [[1, 0], [0, 1], [-1, 0], [0, -1]][self as usize]
    }
}

/// One hinge: two neighbours and the corner of each that it ties.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tie {
    /// The two blocks, as positions in the sheet: the left or lower one first.
    pub blocks: [usize; 2],
    /// Its corner in each block's own frame, from the block's centre, in half sides.
    pub corners: [[i32; 2]; 2],
    /// The level that parts it from every other hinge at both ends.
    pub level: u8,
}

/// An m × n sheet of one hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Sheet {
    columns: usize,
    rows: usize,
    hand: Hand,
}

/// A size that no sheet has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a sheet of {columns} × {rows} blocks is not made: 2 to {MOST} columns and 2 to {MOST} rows are")]
pub struct SizeError {
    /// Asked for.
    pub columns: usize,
    /// Asked for.
    pub rows: usize,
}

/// The most columns or rows of a sheet.
pub const MOST: usize = 12;

impl Sheet {
    /// A sheet of 2 to 12 columns and rows.
    ///
    /// # Errors
    /// Any other size.
    pub fn new(columns: usize, rows: usize, hand: Hand) -> Result<Self, SizeError> {
        let fits = |n| (2..=MOST).contains(&n);
        if fits(columns) && fits(rows) {
            Ok(Sheet { columns, rows, hand })
        } else {
            Err(SizeError { columns, rows })
        }
    }

    /// Blocks in a row.
    #[must_use]
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// Blocks in a column.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// How many blocks there are.
    #[must_use]
    pub fn blocks(&self) -> usize {
        self.columns * self.rows
    }

    /// Which way round it is tied.
    #[must_use]
    pub fn hand(&self) -> Hand {
        self.hand
    }

    /// The position of a block: row by row from the lowest, from the left.
    #[must_use]
    pub fn at(&self, column: usize, row: usize) -> usize {
        row * self.columns + column
    }

    /// Column and row of a position.
    #[must_use]
    pub fn place(&self, block: usize) -> [usize; 2] {
        [block % self.columns, block / self.columns]
    }

    /// σ of a block: +1 turns anticlockwise as the sheet opens, −1 clockwise.
    #[must_use]
    pub fn sigma(&self, block: usize) -> i32 {
        let [i, j] = self.place(block);
        if (i + j).is_multiple_of(2) { self.hand.sign() } else { -self.hand.sign() }
    }

    /// The block beyond a side that faces this way.
    #[must_use]
    pub fn beyond(&self, block: usize, facing: Side) -> Option<usize> {
        let ([i, j], [dx, dy]) = (self.place(block), facing.step());
        let i = i.checked_add_signed(dx as isize).filter(|&i| i < self.columns)?;
        let j = j.checked_add_signed(dy as isize).filter(|&j| j < self.rows)?;
        Some(self.at(i, j))
    }

    /// Which way a side of a block's own frame faces at an end.
    #[must_use]
    pub fn facing(&self, block: usize, side: Side, end: End) -> Side {
        side.turned(self.quarters(block, end))
    }

    /// By how many quarters, anticlockwise, a block is turned at an end.
    #[must_use]
    pub fn quarters(&self, block: usize, end: End) -> i32 {
        match end {
            End::Closed => 0,
            End::Turned => self.sigma(block),
        }
    }

    /// Whether a side bounds a void. The others lie on the rim at one end or both,
    /// where nothing could join them to anything.
    #[must_use]
    pub fn bounds_void(&self, block: usize, side: Side) -> bool {
        End::BOTH.iter().all(|&end| self.beyond(block, self.facing(block, side, end)).is_some())
    }

    /// Every hinge: block by block, its hinge to the right and then the one upward.
    #[must_use]
    pub fn ties(&self) -> Vec<Tie> {
        let mut ties = Vec::new();
        for block in 0..self.blocks() {
            let ([i, j], sigma) = (self.place(block), self.sigma(block));
            let level = ((i + j) % 2) as u8;
            if let Some(right) = self.beyond(block, Side::East) {
                // At the bottom end of the side if σ = +1, else at the top.
                ties.push(Tie { blocks: [block, right], corners: [[1, -sigma], [-1, -sigma]], level });
            }
            if let Some(up) = self.beyond(block, Side::North) {
                // At the right end if σ = +1, else at the left.
                ties.push(Tie { blocks: [block, up], corners: [[sigma, 1], [sigma, -1]], level });
            }
        }
        ties
    }

    /// Spacing of the centres at θ.
    #[must_use]
    pub fn spacing(theta: f64) -> f64 {
        theta.cos() + theta.sin()
    }

    /// Width and height of the frame at θ.
    #[must_use]
    pub fn extent(&self, theta: f64) -> Point {
        let a = Self::spacing(theta);
        [self.columns as f64 * a, self.rows as f64 * a]
    }

    /// Centre of a block at θ.
    #[must_use]
    pub fn centre(&self, block: usize, theta: f64) -> Point {
        let ([i, j], a) = (self.place(block), Self::spacing(theta));
        let off = |k: usize, n: usize| a * (k as f64 - (n - 1) as f64 / 2.0);
        [off(i, self.columns), off(j, self.rows)]
    }

    /// By how much a block is turned at θ, anticlockwise.
    #[must_use]
    pub fn turn(&self, block: usize, theta: f64) -> f64 {
        f64::from(self.sigma(block)) * theta
    }

    /// Where a point of a block's own frame is at θ.
    #[must_use]
    pub fn carried(&self, block: usize, own: Point, theta: f64) -> Point {
        let (centre, (sin, cos)) = (self.centre(block, theta), self.turn(block, theta).sin_cos());
        [centre[0] + cos * own[0] - sin * own[1], centre[1] + sin * own[0] + cos * own[1]]
    }

    /// Where a hinge is at θ, as its first and its second block have it. They agree.
    #[must_use]
    pub fn tie_points(&self, tie: &Tie, theta: f64) -> [Point; 2] {
        [0, 1].map(|k| self.carried(tie.blocks[k], tie.corners[k].map(|c| f64::from(c) / 2.0), theta))
    }

    /// The rhombic voids at θ: one for every inner vertex, corners in turn.
    #[must_use]
    pub fn voids(&self, theta: f64) -> Vec<[Point; 4]> {
        let mut voids = Vec::new();
        for j in 0..self.rows - 1 {
            for i in 0..self.columns - 1 {
                // The four blocks round a void are tied in a ring, and its corners are their hinges.
                let ring = [self.at(i, j), self.at(i + 1, j), self.at(i + 1, j + 1), self.at(i, j + 1)];
                let ties = self.ties();
                voids.push([0, 1, 2, 3].map(|k| {
                    let mut pair = [ring[k], ring[(k + 1) % 4]];
                    pair.sort_unstable();
                    let tie = ties.iter().find(|t| t.blocks == pair).expect("neighbours are tied");
                    self.tie_points(tie, theta)[0]
                }));
            }
        }
        voids
    }

    /// The vertices where two hinges meet at an end, and those with one alone.
    #[must_use]
    pub fn meetings(&self, end: End) -> Meetings {
        let mut at = rustc_hash::FxHashMap::<[i32; 2], usize>::default();
        for tie in self.ties() {
            let point = self.tie_points(&tie, end.theta())[0];
            // Vertices lie on halves from the middle.
            *at.entry(point.map(|x| (2.0 * x).round() as i32)).or_default() += 1;
        }
        let count = |n| at.values().filter(|&&k| k == n).count();
        Meetings { coincident: count(2), alone: count(1), most: at.values().copied().max().unwrap_or(0) }
    }
}

/// How hinges share vertices at an end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Meetings {
    /// Vertices where two meet.
    pub coincident: usize,
    /// Vertices with one.
    pub alone: usize,
    /// The most at any vertex.
    pub most: usize,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheets() -> impl Iterator<Item = Sheet> {
        (2..=6).flat_map(|m| {
            (2..=6).flat_map(move |n| [Hand::Left, Hand::Right].map(|h| Sheet::new(m, n, h).unwrap()))
        })
    }

    #[test]
    fn both_blocks_of_a_hinge_agree_where_it_is_all_the_way() {
        for sheet in sheets() {
            for step in 0..=18 {
                let theta = f64::from(step) * 5f64.to_radians();
                for tie in sheet.ties() {
                    let [a, b] = sheet.tie_points(&tie, theta);
                    assert!((a[0] - b[0]).hypot(a[1] - b[1]) < 1e-14);
                }
            }
        }
    }

    #[test]
    fn hinges_meet_on_inner_vertices_and_levels_part_them() {
        let sheet = Sheet::new(6, 6, Hand::Right).unwrap();
        assert_eq!(sheet.ties().len(), 60);
        for sheet in sheets() {
            let inner = (sheet.columns() - 1) * (sheet.rows() - 1);
            for end in End::BOTH {
                let met = sheet.meetings(end);
                assert_eq!((met.coincident, met.most), (inner, 2));
                assert_eq!(2 * met.coincident + met.alone, sheet.ties().len());
                let mut seen = std::collections::BTreeSet::new();
                for tie in sheet.ties() {
                    let p = sheet.tie_points(&tie, end.theta())[0].map(|x| (2.0 * x).round() as i32);
                    assert!(seen.insert((p, tie.level)), "two hinges on one vertex and level");
                }
            }
        }
    }

    #[test]
    fn turned_is_closed_of_the_other_hand() {
        for sheet in sheets() {
            let other = Sheet::new(sheet.columns(), sheet.rows(), sheet.hand().other()).unwrap();
            let sorted = |s: &Sheet, end: End| {
                let mut at: Vec<_> = s
                    .ties()
                    .iter()
                    .map(|t| (t.blocks, s.tie_points(t, end.theta())[0].map(|x| (2.0 * x).round() as i32)))
                    .collect();
                at.sort_unstable();
                at
            };
            assert_eq!(sorted(&sheet, End::Turned), sorted(&other, End::Closed));
        }
    }

    #[test]
    fn voids_are_rhombi_of_side_one() {
        let sheet = Sheet::new(4, 3, Hand::Left).unwrap();
        for theta in [0.3f64, FRAC_PI_2 / 2.0, 1.2] {
            let voids = sheet.voids(theta);
            assert_eq!(voids.len(), 6);
            for void in voids {
                let away = |a: Point, b: Point| (a[0] - b[0]).hypot(a[1] - b[1]);
                for k in 0..4 {
                    assert!((away(void[k], void[(k + 1) % 4]) - 1.0).abs() < 1e-12);
                }
                let mut across = [away(void[0], void[2]), away(void[1], void[3])];
                let mut told = [2.0 * theta.sin(), 2.0 * theta.cos()];
                across.sort_by(f64::total_cmp);
                told.sort_by(f64::total_cmp);
                assert!((across[0] - told[0]).abs() < 1e-12 && (across[1] - told[1]).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn four_sides_bound_each_void() {
        for sheet in sheets() {
            let sides = (0..sheet.blocks())
                .map(|b| Side::ALL.iter().filter(|&&s| sheet.bounds_void(b, s)).count())
                .sum::<usize>();
            assert_eq!(sides, 4 * (sheet.columns() - 1) * (sheet.rows() - 1));
        }
    }

    #[test]
    fn sizes_out_of_range_are_refused() {
        for (m, n) in [(1, 1), (1, 5), (13, 13), (2, 13), (0, 4)] {
            assert!(Sheet::new(m, n, Hand::Left).is_err());
        }
    }
}
