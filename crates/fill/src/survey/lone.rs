//! Whether the one layout that a pocket set leaves drops in.
//!
//! The tables forget which pins meet inside a region, so a layout that was found
//! alone is laid out again, with all its pins.

use super::board::Board;
use super::prepared::Prepared;

/// Whether the layout of `parts` (as in [`super::board::Choice::part`]) has a
/// folding that drops in and needs of the edge only what is in `taken`.
pub(super) fn drops_in(set: &Prepared, board: &Board, parts: &[u64], taken: u64) -> bool {
    if set.levels == 1 {
        return true;
    }
    let options: Vec<Vec<u64>> = parts
        .iter()
        .map(|part| {
            let all = board.foldings(set, (part >> 4) as u16 - 1, (part & 15) as u8);
            all.filter(|(_, edge)| edge & !taken == 0).map(|(inner, _)| inner).collect()
        })
        .collect();
    pick(set.levels, &options, &mut Vec::new(), 0)
}

fn pick(levels: usize, options: &[Vec<u64>], picked: &mut Vec<u64>, taken: u64) -> bool {
    let Some(next) = options.get(picked.len()) else { return in_order(picked, levels) };
    for &pins in next.iter().filter(|pins| **pins & taken == 0) {
        picked.push(pins);
        let drops = pick(levels, options, picked, taken | pins);
        picked.pop();
        if drops {
            return true;
        }
    }
    false
}

/// Whether pieces with these inner pins can be lowered one after another.
fn in_order(pins: &[u64], levels: usize) -> bool {
    let mut waiting: Vec<u64> = pins.to_vec();
    while !waiting.is_empty() {
        let free = |low: &&u64| !waiting.iter().any(|other| other != *low && below(*other, **low, levels));
        let Some(next) = waiting.iter().find(free).copied() else { return false };
        waiting.retain(|p| *p != next);
    }
    true
}

/// Whether one of the first pins stands below one of the second on the same vertex.
fn below(low: u64, high: u64, levels: usize) -> bool {
    (0..64 / levels).any(|vertex| {
        let at = |pins: u64| pins >> (vertex * levels) & ((1 << levels) - 1);
        let (low, high) = (at(low), at(high));
        low != 0 && high != 0 && low.trailing_zeros() < 63 - high.leading_zeros()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_that_wait_for_each_other_are_in_no_order() {
        // Vertex 0 in bits 0 and 1, vertex 1 in bits 2 and 3.
        assert!(in_order(&[0b0001, 0b0010], 2));
        assert!(in_order(&[0b0101, 0b1010], 2));
        assert!(!in_order(&[0b1001, 0b0110], 2));
        assert!(in_order(&[0, 0, 0], 2));
    }

    #[test]
    fn a_pin_between_two_of_one_piece_waits_for_itself() {
        assert!(!in_order(&[0b101, 0b010], 3));
    }
}
