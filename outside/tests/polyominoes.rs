//! Published fillings by rigid polyominoes that may be turned over.

use fill::{Ask, Certainty, Filling, fill};
use lattice::{Cell, FoldSet, Outline, Piece, Set};
use num_bigint::BigUint;
use outside::grow::{self, SIDES};
use outside::named::{PENTOMINOES, TETROMINOES, cells, rectangle, rigid};

fn search(set: &Set, outline: &Outline) -> Filling {
    let ask =
        Ask { limit: None, answers: 1, turns: false, threads: 2, stop: &|| false, progress: &|_, _| () };
    let filling = fill(set, &set.classes(), outline, &ask);
    assert_eq!(filling.certainty, Certainty::Complete);
    filling
}

fn rigid_set<'d>(drawings: impl IntoIterator<Item = &'d str>, turn_over: bool) -> Set {
    Set { pieces: drawings.into_iter().map(rigid).collect(), levels: 1, turn_over }
}

fn pentominoes() -> Set {
    rigid_set(PENTOMINOES.iter().map(|p| p.1), true)
}

fn eight_by_eight_less_centre() -> Outline {
    let mut ring = rectangle(8, 8).cells().to_vec();
    ring.retain(|c| !(3..=4).contains(&c.x) || !(3..=4).contains(&c.y));
    Outline::new(ring, [], 0).unwrap()
}

/// A region; tilings as published, mirror images and turns taken together; the
/// order of its symmetry group; placements of the twelve.
struct Region {
    outline: Outline,
    published: u32,
    symmetries: u32,
    placements: usize,
}

/// Tilings: C. B. and J. Haselgrove (1960), "A computer program for pentominoes",
/// Eureka 23, 16-18 (6 × 10: 2339), with 1010, 368 and 2 as quoted beside it in
/// encyclopaedias; D. S. Scott (1958), "Programming a combinatorial puzzle",
/// Princeton Univ. Tech. Rep. 1 (the board of 8 × 8 less its centre: 65, from
/// memory). Placements: no published source; reckoned by another program of ours.
fn regions() -> [Region; 5] {
    [
        Region { outline: rectangle(20, 3), published: 2, symmetries: 4, placements: 1236 },
        Region { outline: rectangle(15, 4), published: 368, symmetries: 4, placements: 1696 },
        Region { outline: rectangle(12, 5), published: 1010, symmetries: 4, placements: 1936 },
        Region { outline: rectangle(10, 6), published: 2339, symmetries: 4, placements: 2056 },
        Region { outline: eight_by_eight_less_centre(), published: 65, symmetries: 8, placements: 1568 },
    ]
}

/// No tiling of these regions is symmetric (reckoned by another program of ours),
/// so each published one stands for as many as there are symmetries; and half of
/// those are turns, the only ones that the model takes together.
#[test]
fn twelve_pentominoes_fill_the_classic_regions_as_often_as_published() {
    for region in regions() {
        let counts = search(&pentominoes(), &region.outline).counts;
        let (_, width, height) = region.outline.bounds();
        let layouts = BigUint::from(region.published * region.symmetries);
        assert_eq!(counts.layouts, layouts, "{width} × {height}");
        assert_eq!(counts.different, BigUint::from(region.published * 2), "{width} × {height}");
        assert_eq!(counts.foldings, layouts, "a rigid layout has one folding, {width} × {height}");
        assert_eq!(counts.drop_in_layouts, Some(layouts), "nothing interlocks, {width} × {height}");
    }
}

/// The same without listing them.
#[test]
fn counting_without_listing_gives_the_published_numbers_too() {
    for region in regions() {
        let set = pentominoes();
        let counts = fill::count(&set, &set.classes(), &region.outline, &|| false).unwrap();
        assert_eq!(counts.layouts, BigUint::from(region.published * region.symmetries));
        assert_eq!(counts.different, BigUint::from(region.published * 2));
    }
}

#[test]
fn the_twelve_have_as_many_placements_as_another_program_finds() {
    for region in regions() {
        let (_, width, height) = region.outline.bounds();
        let placements = |folds: FoldSet| -> usize {
            let shifts = (0..width).flat_map(|x| (0..height).map(move |y| (x, y)));
            let fits = |(x, y): (i32, i32)| {
                let inside = |f: &&lattice::Fold| f.cells.iter().all(|c| region.outline.has(c.shifted(x, y)));
                folds.folds().iter().filter(inside).count()
            };
            shifts.map(fits).sum()
        };
        let set = pentominoes();
        let total: usize = (0..set.pieces.len()).map(|p| placements(set.folds(p))).sum();
        assert_eq!(total, region.placements, "{width} × {height}");
    }
}

/// Fixed pentominoes, 63 in all: OEIS A001168(5). A wrong drawing would not give it.
#[test]
fn the_drawings_are_the_twelve() {
    let mut fixed = std::collections::BTreeSet::new();
    for (_, drawing) in PENTOMINOES {
        fixed.extend(FoldSet::of(&rigid(drawing), 1, true).folds().iter().map(|f| f.cells.clone()));
    }
    assert_eq!(fixed, grow::all(5, SIDES));
}

/// S. W. Golomb, Polyominoes (1965; 2nd ed. Princeton 1994), from memory: the five
/// free tetrominoes fill no rectangle of 20 cells, nor the seven one-sided ones one
/// of 28, for the T covers three cells of one colour and one of the other, and
/// every other piece two and two.
#[test]
fn tetrominoes_fill_no_rectangle() {
    let free = rigid_set(TETROMINOES, true);
    for (width, height) in [(20, 1), (10, 2), (5, 4)] {
        assert_eq!(search(&free, &rectangle(width, height)).counts.layouts, BigUint::ZERO);
    }
    // The L and the S have mirror images of their own.
    let one_sided = rigid_set(TETROMINOES.into_iter().chain(["### ..#", ".## ##."]), false);
    assert_eq!(one_sided.classes().len(), 7);
    for (width, height) in [(28, 1), (14, 2), (7, 4)] {
        assert_eq!(search(&one_sided, &rectangle(width, height)).counts.layouts, BigUint::ZERO);
    }
    // The search does find what is there: with a second T the colours come out even.
    let two_more = rigid_set(TETROMINOES.into_iter().chain(["### .#."]), true);
    assert_ne!(search(&two_more, &rectangle(6, 4)).counts.layouts, BigUint::ZERO);
}

/// The same source: the 35 free hexominoes fill no rectangle of 210 cells, for eleven of
/// them cover four cells of one colour and two of the other. No search would end.
#[test]
fn hexominoes_fill_no_rectangle() {
    let free = canonical_hexominoes();
    assert_eq!(free.len(), 35);
    let pieces = free.into_iter().map(|cells| Piece::rigid(cells).expect("it hangs together")).collect();
    let set = Set { pieces, levels: 1, turn_over: true };
    for (width, height) in [(14, 15), (10, 21), (6, 35)] {
        let filling = search(&set, &rectangle(width, height));
        assert_eq!((filling.counts.layouts, filling.certainty), (BigUint::ZERO, Certainty::Complete));
    }
}

/// One of each class of fixed hexominoes that turning and turning over make alike.
fn canonical_hexominoes() -> Vec<Vec<Cell>> {
    let mut left = grow::all(6, SIDES);
    let mut free = Vec::new();
    while let Some(shape) = left.pop_first() {
        for fold in FoldSet::of(&Piece::rigid(shape.clone()).expect("it hangs together"), 1, true).folds() {
            left.remove(&fold.cells);
        }
        free.push(shape);
    }
    free
}

/// Every way to choose `left` of the drawings from `from` on, with repeats.
fn choices(kinds: usize, from: usize, left: usize) -> Vec<Vec<usize>> {
    if left == 0 {
        return vec![Vec::new()];
    }
    let first = |k: usize| choices(kinds, k, left - 1).into_iter().map(move |rest| [vec![k], rest].concat());
    (from..kinds).flat_map(first).collect()
}

/// Fillings of a rectangle by any choice of free polyominoes of one size.
fn by_any(kinds: &[Vec<Cell>], count: usize, outline: &Outline) -> BigUint {
    let chosen = choices(kinds.len(), 0, count).into_iter();
    let sets = chosen.map(|choice| {
        let pieces = choice.iter().map(|&k| lattice::Piece::rigid(kinds[k].clone()).unwrap());
        Set { pieces: pieces.collect(), levels: 1, turn_over: true }
    });
    sets.map(|set| search(&set, outline).counts.layouts).sum()
}

/// Ways to cut an n × n square into n-ominoes: OEIS A172477 (1, 2, 10, 117, 4006),
/// and a 4 × n strip into tetrominoes: OEIS A174248 (1, 4, 23, 117, 454, 2003).
#[test]
fn squares_and_strips_are_cut_into_pieces_of_one_size_as_often_as_published() {
    let domino = vec![cells("##")];
    let trominoes = vec![cells("###"), cells("## #.")];
    let tetrominoes: Vec<Vec<Cell>> = TETROMINOES.into_iter().map(cells).collect();
    let pentominoes: Vec<Vec<Cell>> = PENTOMINOES.iter().map(|p| cells(p.1)).collect();
    let square = |n: i32, kinds: &[Vec<Cell>]| by_any(kinds, n as usize, &rectangle(n, n));
    let squares =
        [square(2, &domino), square(3, &trominoes), square(4, &tetrominoes), square(5, &pentominoes)];
    assert_eq!(squares, [2u32, 10, 117, 4006].map(BigUint::from));
    let strips = [1, 2, 3, 5, 6].map(|n| by_any(&tetrominoes, n as usize, &rectangle(n, 4)));
    assert_eq!(strips, [1u32, 4, 23, 454, 2003].map(BigUint::from));
}
