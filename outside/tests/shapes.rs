//! Numbers of shapes, through the lattice's folds and motions.

use std::collections::BTreeSet;

use lattice::{Fold, FoldSet, Motion, Piece, Turn};
use outside::grow::{self, SIDES, SIDES_AND_CORNERS, Shape, settled};
use outside::hinge_tree;

/// Fixed sets of n cells that hang together by sides or corners.
/// OEIS A006770; S. Mertens (1990), J. Stat. Phys. 58, 1095-1108, Table 1.
const JOINED_BY_SIDES_OR_CORNERS: [usize; 6] = [1, 4, 20, 110, 638, 3832];

/// Over all hinge trees of n blocks, the shapes of their folds are all sets of n
/// cells that hang together by sides or corners: none is missing, none is more.
/// Why it must be so: the blocks at a hinge share a corner, so a fold hangs
/// together; and any such set has a spanning tree of shared corners to pin.
#[test]
fn shapes_of_all_hinge_trees_are_all_sets_joined_by_sides_or_corners() {
    for (n, expected) in (1..).zip(JOINED_BY_SIDES_OR_CORNERS) {
        let levels = u8::try_from(n).unwrap();
        let mut shapes: BTreeSet<Shape> = BTreeSet::new();
        for piece in hinge_tree::all(n).iter().filter_map(hinge_tree::HingeTree::piece) {
            let folds = FoldSet::of(&piece, levels, false);
            shapes.extend(folds.shapes().map(|folds| folds[0].cells.clone()));
        }
        let grown = grow::all(n, SIDES_AND_CORNERS);
        assert_eq!(grown.len(), expected, "grown shapes of {n} cells");
        assert!(shapes == grown, "{} shapes of hinge trees of {n} blocks", shapes.len());
    }
}

/// One hinge: two dominoes with the pin at either end of the shared side, and
/// two diagonal pairs. Derived by hand.
#[test]
fn the_only_tree_of_two_blocks_has_six_folds() {
    let trees = hinge_tree::all(2);
    assert_eq!(trees.len(), 1);
    assert_eq!(FoldSet::of(&trees[0].piece().unwrap(), 1, false).len(), 6);
}

/// Polyominoes of n = 1, 2, … cells: OEIS A000105 (free), A000988 (one-sided),
/// A001168 (fixed). D. H. Redelmeier (1981), Discrete Math. 36, 191-203.
const FREE: [usize; 10] = [1, 1, 2, 5, 12, 35, 108, 369, 1285, 4655];
const ONE_SIDED: [usize; 10] = [1, 1, 2, 7, 18, 60, 196, 704, 2500, 9189];
const FIXED: [usize; 10] = [1, 2, 6, 19, 63, 216, 760, 2725, 9910, 36446];
/// Free polyominoes without any symmetry: OEIS A006749.
const WITHOUT_SYMMETRY: [usize; 10] = [0, 0, 0, 1, 5, 20, 84, 316, 1196, 4461];

/// Grown from canonical forms, the canonical form being the first fold of the
/// rigid piece; a free polyomino stands for its folds, a fold for each fixed one.
fn canonical(shapes: impl IntoIterator<Item = Shape>, turn_over: bool) -> Vec<FoldSet> {
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for shape in shapes {
        let folds = FoldSet::of(&Piece::rigid(shape).unwrap(), 1, turn_over);
        if seen.insert(folds.folds()[0].cells.clone()) {
            found.push(folds);
        }
    }
    found
}

#[test]
fn rigid_pieces_are_the_free_and_one_sided_polyominoes_and_their_folds_the_fixed_ones() {
    for (turn_over, published) in [(true, FREE), (false, ONE_SIDED)] {
        let mut kinds = canonical([grow::all(1, SIDES).pop_first().unwrap()], turn_over);
        for n in 0..10 {
            let cells = n + 1;
            assert_eq!(kinds.len(), published[n], "kinds of {cells} cells, turn_over {turn_over}");
            let fixed: usize = kinds.iter().map(FoldSet::len).sum();
            assert_eq!(fixed, FIXED[n], "folds of all kinds of {cells} cells, turn_over {turn_over}");
            if turn_over {
                let whole = kinds.iter().filter(|folds| folds.len() == 8).count();
                assert_eq!(whole, WITHOUT_SYMMETRY[n], "kinds of {cells} cells without symmetry");
            }
            let firsts: Vec<&Shape> = kinds.iter().map(|folds| &folds.folds()[0].cells).collect();
            kinds = canonical(grow::grown(firsts, SIDES), turn_over);
        }
    }
}

/// The same numbers from the other side: all fixed shapes, put into classes by
/// the least image under the lattice's motions.
#[test]
fn motions_put_the_fixed_polyominoes_into_the_published_classes() {
    for n in 1..=9 {
        let fixed = grow::all(n, SIDES);
        assert_eq!(fixed.len(), FIXED[n - 1]);
        let least = |shape: &Shape, mirrors: &[bool]| {
            let motions = mirrors.iter().flat_map(|&m| Turn::ALL.map(|t| Motion::about_origin(m, t)));
            motions.map(|m| settled(shape.iter().map(|&c| m.cell(c)).collect())).min().unwrap()
        };
        let classes =
            |mirrors: &[bool]| fixed.iter().map(|s| least(s, mirrors)).collect::<BTreeSet<_>>().len();
        assert_eq!(classes(&[false]), ONE_SIDED[n - 1], "one-sided, {n} cells");
        assert_eq!(classes(&[false, true]), FREE[n - 1], "free, {n} cells");
    }
}

/// A fold's cells are settled as this crate settles shapes: the comparison above
/// would be empty if they were not.
#[test]
fn folds_are_settled_as_shapes_are() {
    let piece = hinge_tree::all(4)[0].piece().unwrap();
    let home: Vec<Fold> = FoldSet::of(&piece, 3, false).folds().to_vec();
    assert!(home.iter().all(|fold| settled(fold.cells.clone()) == fold.cells));
}
