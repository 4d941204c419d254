//! A proof that nothing fits, by colouring cells like a chessboard.
//!
//! A piece in its place covers so many more dark cells than light ones. If no
//! choice of one place for each piece adds up to what the outline has, there is
//! no filling (S. W. Golomb, "Polyominoes", 1965; the argument is classic). A
//! swing changes a block's colour, so hinged pieces have many such numbers and
//! are rarely refused; rigid ones often are.

use std::collections::BTreeSet;

use crate::bits::Bits;
use crate::instance::Instance;

/// Whether colours rule out every filling.
pub(crate) fn forbids<B: Bits>(instance: &Instance<B>) -> bool {
    let dark = B::of(
        instance.width,
        (0..instance.cells.len()).filter(|&i| (instance.cells[i].x + instance.cells[i].y).rem_euclid(2) == 0),
    );
    let excess = |cells: &B| 2 * cells.clone().and(&dark).count() as i64 - cells.count() as i64;
    let mut of_class = vec![BTreeSet::new(); instance.kinds.len()];
    for place in &instance.places {
        of_class[place.class].insert(excess(&place.cells));
    }
    let mut sums = BTreeSet::from([0]);
    for (class, kind) in instance.kinds.iter().enumerate() {
        for _ in 0..kind.count {
            sums = sums.iter().flat_map(|sum| of_class[class].iter().map(move |e| sum + e)).collect();
        }
    }
    !sums.contains(&excess(&B::of(instance.width, 0..instance.cells.len())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bits::Words;
    use crate::instance::Numbering;
    use crate::{Ask, fill};
    use lattice::{Cell, Outline, Piece, Set};
    use num_bigint::BigUint;

    fn rigid(cells: &[(i32, i32)]) -> Piece {
        Piece::rigid(cells.iter().map(|&(x, y)| Cell::new(x, y)).collect()).unwrap()
    }

    #[test]
    fn the_five_tetrominoes_fill_no_rectangle() {
        let pieces = vec![
            rigid(&[(0, 0), (1, 0), (2, 0), (3, 0)]),
            rigid(&[(0, 0), (1, 0), (0, 1), (1, 1)]),
            rigid(&[(0, 0), (1, 0), (2, 0), (1, 1)]),
            rigid(&[(0, 0), (1, 0), (2, 0), (2, 1)]),
            rigid(&[(0, 0), (1, 0), (1, 1), (2, 1)]),
        ];
        let set = Set { pieces, levels: 1, turn_over: true };
        let classes = set.classes();
        let board =
            |w, h| Outline::new((0..w).flat_map(|x| (0..h).map(move |y| Cell::new(x, y))), [], 0).unwrap();
        for (w, h) in [(4, 5), (2, 10)] {
            let outline = board(w, h);
            let instance = Instance::<Words<1>>::new(&set, &classes, &outline, Numbering::of(&outline));
            assert!(forbids(&instance));
            assert_eq!(fill(&set, &classes, &outline, &Ask::default()).counts.layouts, BigUint::ZERO);
        }
        // The T twice balances itself.
        let two = Set { pieces: vec![set.pieces[2].clone(), set.pieces[2].clone()], ..set };
        let outline = board(2, 4);
        assert!(!forbids(&Instance::<Words<1>>::new(
            &two,
            &two.classes(),
            &outline,
            Numbering::of(&outline)
        )));
    }
}
