//! What no motion can change: the order of three or more blocks round one pin.
//!
//! Two hinges of a block at one of its corners stay on one vertical line
//! whatever the piece does. The blocks they tie have that line at a corner
//! each, for good, and each fills a wedge round it on every level. To change
//! their order two of them would have to pass through each other. So poses
//! that differ in such an order are joined by no motion at all: that is a
//! proof, unlike a search that ends without finding one.

use lattice::{Corner, Piece, Pose};

/// The blocks round each pin that holds three or more, in the order they
/// stand, anticlockwise, the lowest number first.
pub(crate) fn orders(piece: &Piece, pose: &Pose) -> Vec<Vec<usize>> {
    let cells = pose.cells(piece);
    let mut orders = Vec::new();
    for stack in stacks(piece) {
        let hinge = &piece.hinges()[stack[0]];
        let pin = pose.motions()[hinge.joins[0]].vertex(hinge.pin);
        let tied = |b: &usize| stack.iter().any(|&h| piece.hinges()[h].joins.contains(b));
        let blocks: Vec<usize> = (0..cells.len()).filter(tied).collect();
        let round = Corner::ALL.map(|q| pin.quadrant(q));
        let mut order: Vec<usize> =
            round.iter().filter_map(|c| blocks.iter().copied().find(|&b| cells[b] == *c)).collect();
        let first = order.iter().enumerate().min_by_key(|o| o.1).map_or(0, |o| o.0);
        order.rotate_left(first);
        orders.push(order);
    }
    orders
}

/// The hinges that share a corner of a block, and so a vertical line for good:
/// groups of two or more.
fn stacks(piece: &Piece) -> Vec<Vec<usize>> {
    let hinges = piece.hinges();
    let mut group: Vec<usize> = (0..hinges.len()).collect();
    loop {
        let mut changed = false;
        for i in 0..hinges.len() {
            for j in 0..i {
                let common = hinges[i].joins.iter().any(|b| hinges[j].joins.contains(b));
                if common && hinges[i].pin == hinges[j].pin && group[i] != group[j] {
                    let (low, high) = (group[i].min(group[j]), group[i].max(group[j]));
                    group.iter_mut().filter(|g| **g == high).for_each(|g| *g = low);
                    changed = true;
                }
            }
        }
        if !changed {
            break;
        }
    }
    (0..hinges.len())
        .map(|g| (0..hinges.len()).filter(|&h| group[h] == g).collect::<Vec<_>>())
        .filter(|stack| stack.len() > 1)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimens::{FAN, LOCK, gangway, piece};

    #[test]
    fn only_hinges_with_a_block_in_common_stay_on_one_line() {
        assert_eq!(stacks(&piece(FAN.0, FAN.1)), [[0, 1]]);
        // Two pins at one vertex that share no block part when one of them moves.
        assert!(stacks(&piece(LOCK.0, LOCK.1)).is_empty());
        assert!(stacks(&gangway(6)).is_empty());
    }

    #[test]
    fn the_order_of_a_fan_is_one_of_two() {
        let fan = piece(FAN.0, FAN.1);
        let mut all: Vec<_> = reach::poses(&fan).iter().map(|p| orders(&fan, p)).collect();
        all.sort();
        all.dedup();
        assert_eq!(all, [[[0, 1, 2]], [[0, 2, 1]]]);
    }
}
