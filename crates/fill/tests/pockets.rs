//! Pocket design against trying every pocket set with the search.

use fill::{Ask, PocketAsk, fill, pockets, sample};
use lattice::{Outline, Set, Vertex, VertexKind};
use num_bigint::BigUint;

/// Sizes of the smallest and largest pocket sets that leave one essentially different
/// layout that drops in, and how many there are of each size.
fn by_trying(set: &Set, outline: &Outline) -> Option<((usize, u64), (usize, u64))> {
    let edge = outline.vertices(VertexKind::Edge);
    let classes = set.classes();
    let mut sizes = vec![0u64; edge.len() + 1];
    for subset in 0..1u32 << edge.len() {
        let chosen: Vec<Vertex> = (0..edge.len()).filter(|i| subset >> i & 1 == 1).map(|i| edge[i]).collect();
        let outline = outline.with_pockets(chosen).unwrap();
        let counts = fill(set, &classes, &outline, &Ask { limit: Some(2), ..Ask::default() }).counts;
        if counts.different == BigUint::from(1u8) && counts.drop_in_layouts > Some(BigUint::ZERO) {
            sizes[subset.count_ones() as usize] += 1;
        }
    }
    let smallest = sizes.iter().position(|n| *n > 0)?;
    let largest = sizes.iter().rposition(|n| *n > 0)?;
    Some(((smallest, sizes[smallest]), (largest, sizes[largest])))
}

#[test]
fn smallest_and_largest_are_what_trying_all_gives() {
    let (mut some, mut none) = (0, 0);
    for seed in 0..1_500 {
        let (set, outline) = sample::small_instance(seed);
        if outline.vertices(VertexKind::Edge).len() > 10 {
            continue;
        }
        let found = pockets(&set, &set.classes(), &outline, &PocketAsk::default());
        assert!(found.complete);
        let expected = by_trying(&set, &outline);
        let ends = found.smallest.as_ref().zip(found.largest.as_ref());
        let sizes = ends.map(|(s, l)| (s.pockets.len(), l.pockets.len()));
        assert_eq!(sizes, expected.map(|(s, l)| (s.0, l.0)), "seed {seed}");
        if let (Some((smallest, largest)), Some(expected)) = (ends, expected) {
            some += 1;
            assert!(smallest.proven && largest.proven);
            assert_eq!(smallest.same_size, expected.0.1, "sets as small, seed {seed}");
            assert_eq!(largest.same_size, expected.1.1, "sets as large, seed {seed}");
        } else {
            none += 1;
        }
    }
    assert!(some > 60 && none > 15, "{some} with an answer, {none} without");
}
