//! Choices of pieces still left, numbered within each area they fill.
//!
//! With every piece's blocks counted, the empty cells say how many blocks are
//! left; the choices of pieces with just so many blocks get the numbers 0, 1, 2, …
//! Using a piece leads from one area's numbers to another's, by a fixed table.

use rustc_hash::FxHashMap;

use crate::instance::Kind;

/// More choices than this are not kept apart.
const MOST: usize = 1 << 16;

/// Number before, number after.
type Moves = Vec<(u32, u32)>;

/// All choices of pieces left.
pub(crate) struct Choices {
    /// How many choices fill each area.
    per_area: Vec<usize>,
    /// By area before, class and pieces used.
    moves: FxHashMap<(usize, usize, usize), Moves>,
}

impl Choices {
    /// All choices from these classes, of which up to `most_used` pieces are used at
    /// once; none if there are too many.
    pub fn of(kinds: &[Kind], most_used: usize) -> Option<Self> {
        let mut unit = vec![1usize];
        for kind in kinds {
            let next = unit[unit.len() - 1].checked_mul(kind.count + 1).filter(|n| *n <= MOST)?;
            unit.push(next);
        }
        let codes = unit.pop()?;
        let left = |code: usize, k: usize| code / unit[k] % (kinds[k].count + 1);
        let area = |code: usize| (0..kinds.len()).map(|k| left(code, k) * kinds[k].size).sum::<usize>();
        let mut per_area = vec![0; area(codes - 1) + 1];
        let mut number = Vec::with_capacity(codes);
        for code in 0..codes {
            number.push(per_area[area(code)] as u32);
            per_area[area(code)] += 1;
        }
        let mut moves: FxHashMap<(usize, usize, usize), Moves> = FxHashMap::default();
        for code in 0..codes {
            for k in 0..kinds.len() {
                for uses in 1..=left(code, k).min(most_used) {
                    let after = code - uses * unit[k];
                    moves.entry((area(code), k, uses)).or_default().push((number[code], number[after]));
                }
            }
        }
        Some(Choices { per_area, moves })
    }

    /// How many choices have this many blocks.
    pub fn with_area(&self, area: usize) -> usize {
        self.per_area.get(area).copied().unwrap_or(0)
    }

    /// Where using some pieces of a class leads from the choices of an area.
    pub fn moves(&self, area: usize, class: usize, uses: usize) -> &[(u32, u32)] {
        self.moves.get(&(area, class, uses)).map_or(&[], Vec::as_slice)
    }
}
