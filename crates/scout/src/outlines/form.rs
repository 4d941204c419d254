//! Cells in a small box as rows of bits, their images under the eight motions,
//! and the normal form of an outline.

use lattice::Cell;

/// The longest side of a box that outlines are looked for in.
pub const MOST_SIDE: usize = 16;

/// Cells in a box that they fill from side to side. Ordered by rows from the
/// lowest, a row read as a binary number with its leftmost cell the lowest digit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) struct Rows {
    pub rows: [u16; MOST_SIDE],
    pub width: u8,
    pub height: u8,
}

/// The outline in its normal form: lower left at (0, 0), at least as wide as
/// high, and among the turns that leave it so (the mirror images too, if
/// `mirrors_as_one`) the one whose rows, from the lowest, read as binary numbers
/// with the leftmost cell as the lowest digit, come first. Cells are sorted.
/// None for no cells, and for cells that no box of [`MOST_SIDE`] holds.
pub fn normal(cells: &[Cell], mirrors_as_one: bool) -> Option<Vec<Cell>> {
    Rows::of(cells).map(|rows| rows.normal(mirrors_as_one).cells())
}

impl Rows {
    pub fn of(cells: &[Cell]) -> Option<Rows> {
        let x0 = cells.iter().map(|c| c.x).min()?;
        let y0 = cells.iter().map(|c| c.y).min()?;
        let mut found = Rows { rows: [0; MOST_SIDE], width: 0, height: 0 };
        for cell in cells {
            let (x, y) = (cell.x.abs_diff(x0) as usize, cell.y.abs_diff(y0) as usize);
            if x >= MOST_SIDE || y >= MOST_SIDE {
                return None;
            }
            found.rows[y] |= 1 << x;
            found.width = found.width.max(x as u8 + 1);
            found.height = found.height.max(y as u8 + 1);
        }
        Some(found)
    }

    /// The cells, sorted.
    pub fn cells(&self) -> Vec<Cell> {
        let column = |x: usize| (0..self.height as usize).filter(move |&y| self.rows[y] >> x & 1 == 1);
        (0..self.width as usize).flat_map(|x| column(x).map(move |y| Cell::new(x as i32, y as i32))).collect()
    }

    /// The image under one of the eight motions: with 4 in its number, x and y
    /// change places; then with 1 left and right do, with 2 bottom and top.
    /// So 3 is the half turn, 5 and 6 the quarter turns, the rest mirrors.
    pub fn image(&self, motion: u8) -> Rows {
        let mut image = if motion & 4 == 0 { *self } else { self.transposed() };
        if motion & 1 != 0 {
            for row in &mut image.rows {
                *row = row.reverse_bits() >> (16 - image.width);
            }
        }
        if motion & 2 != 0 {
            image.rows[..image.height as usize].reverse();
        }
        image
    }

    fn transposed(&self) -> Rows {
        let mut rows = [0; MOST_SIDE];
        for (y, row) in self.rows.iter().enumerate().take(self.height as usize) {
            let mut left = *row;
            while left != 0 {
                rows[left.trailing_zeros() as usize] |= 1 << y;
                left &= left - 1;
            }
        }
        Rows { rows, width: self.height, height: self.width }
    }

    /// The motions that change nothing, a bit each.
    pub fn motions(&self) -> u8 {
        (0..8).filter(|&m| self.image(m) == *self).fold(0, |bits, m| bits | 1 << m)
    }

    pub fn normal(&self, mirrors_as_one: bool) -> Rows {
        (0..8)
            .filter(|m| mirrors_as_one || TURNS >> m & 1 == 1)
            .map(|m| self.image(m))
            .filter(|image| image.width >= image.height)
            .min()
            .expect("one of two turns is at least as wide as high")
    }
}

/// The motions that are turns, a bit each.
pub(crate) const TURNS: u8 = 0b110_1001;
