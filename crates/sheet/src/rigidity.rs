//! How freely a sheet's linkage moves: the nullity of its rigidity matrix.
//!
//! A block has three small motions (two shifts, one turn), a hinge takes two
//! away. Coordinates at the angles asked for are rational (the ends, and the
//! angle with sine 3/5), so the matrix is one of integers, and its rank is
//! reckoned exactly modulo the prime 2^61 − 1. A rank modulo a prime is never
//! more than the true one, and a greater nullity than the truth would need the
//! prime to divide a minor: between the ends the known motion bounds it from
//! below by 4, so 4 found is 4 proven. `outside/sheets.py` has sympy say the same.

use crate::geometry::Sheet;

const PRIME: u64 = (1 << 61) - 1;

/// Where on the motion, as sine and cosine times five.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// θ = 0.
    Closed,
    /// θ = arcsin 3/5, about 36.9°.
    Between,
    /// θ = 90°.
    Turned,
}

impl Where {
    /// All three, in the order of the motion.
    pub const ALL: [Where; 3] = [Where::Closed, Where::Between, Where::Turned];

    fn five_sin_cos(self) -> [i64; 2] {
        match self {
            Where::Closed => [0, 5],
            Where::Between => [3, 4],
            Where::Turned => [5, 0],
        }
    }
}

/// Small motions that every hinge allows, the plane's own three included.
#[must_use]
pub fn nullity(sheet: &Sheet, at: Where) -> usize {
    let [sin, cos] = at.five_sin_cos();
    let mut rows: Vec<Vec<u64>> = Vec::new();
    for tie in sheet.ties() {
        // Corner minus centre for each block, in tenths of a side.
        let arms = [0, 1].map(|k| {
            let ([x, y], s) = (tie.corners[k].map(i64::from), i64::from(sheet.sigma(tie.blocks[k])) * sin);
            [cos * x - s * y, s * x + cos * y]
        });
        for axis in 0..2 {
            let mut row = vec![0; 3 * sheet.blocks()];
            for (k, sign) in [(0, 1i64), (1, -1)] {
                let turn = if axis == 0 { -arms[k][1] } else { arms[k][0] };
                row[3 * tie.blocks[k] + axis] = residue(sign);
                row[3 * tie.blocks[k] + 2] = residue(sign * turn);
            }
            rows.push(row);
        }
    }
    3 * sheet.blocks() - rank(rows)
}

fn residue(x: i64) -> u64 {
    x.rem_euclid(PRIME as i64) as u64
}

fn times(a: u64, b: u64) -> u64 {
    (u128::from(a) * u128::from(b) % u128::from(PRIME)) as u64
}

fn inverse(a: u64) -> u64 {
    let (mut result, mut base, mut power) = (1, a, PRIME - 2);
    while power > 0 {
        if power & 1 == 1 {
            result = times(result, base);
        }
        base = times(base, base);
        power >>= 1;
    }
    result
}

/// By elimination modulo the prime.
fn rank(mut rows: Vec<Vec<u64>>) -> usize {
    let columns = rows.first().map_or(0, Vec::len);
    let mut rank = 0;
    for column in 0..columns {
        let Some(pivot) = (rank..rows.len()).find(|&r| rows[r][column] != 0) else { continue };
        rows.swap(rank, pivot);
        let scale = inverse(rows[rank][column]);
        let pivot: Vec<u64> = rows[rank][column..].iter().map(|&x| times(x, scale)).collect();
        for row in &mut rows[rank + 1..] {
            let lead = row[column];
            if lead != 0 {
                for (x, p) in row[column..].iter_mut().zip(&pivot) {
                    *x = (*x + PRIME - times(lead, *p)) % PRIME;
                }
            }
        }
        rank += 1;
    }
    rank
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Hand;

    #[test]
    fn one_freedom_between_and_more_at_the_ends() {
        for (m, n) in [(2, 2), (2, 5), (3, 4), (6, 6)] {
            for hand in [Hand::Left, Hand::Right] {
                let sheet = Sheet::new(m, n, hand).unwrap();
                let found = Where::ALL.map(|w| nullity(&sheet, w));
                assert_eq!(found, [m + n + 1, 4, m + n + 1], "{m} × {n}");
            }
        }
    }
}
