//! Outlines counted by symmetry, hole and box, against published counts.
//!
//! All values are from The On-Line Encyclopedia of Integer Sequences, read in its
//! data repository in 2026; the papers beside a number are those it names.

use scout::outlines::{Holes, Joined, Outlines, Symmetry, Wanted};

/// Counts by class in the order of `Symmetry::ALL`, and for all box sizes together.
fn counts(wanted: &Wanted) -> [u128; 8] {
    let outlines = Outlines::of(wanted).unwrap();
    let of = |s: Symmetry| outlines.counts().iter().filter(|c| c.symmetry == s).map(|c| c.outlines).sum();
    Symmetry::ALL.map(of)
}

fn free(cells: usize, joined: Joined, holes: Holes) -> [u128; 8] {
    counts(&Wanted { joined, holes, mirrors_as_one: true, ..Wanted::new(cells, 16, 16) })
}

/// Turns, mirrors and shifts of one outline taken as one, as two where a mirror
/// makes another, as all that differ but for shifts.
fn free_one_sided_fixed(free: [u128; 8]) -> [u128; 3] {
    let sum = |weight: fn(Symmetry) -> u32| {
        Symmetry::ALL.into_iter().zip(free).map(|(s, n)| u128::from(weight(s)) * n).sum()
    };
    [sum(|_| 1), sum(|s| if s.mirrored() { 1 } else { 2 }), sum(|s| 8 / s.motions())]
}

/// D. H. Redelmeier (1981), "Counting polyominoes: yet another attack", Discrete
/// Math. 36, 191-203, table 3; in the encyclopedia, for 1 to 16 cells, A006749,
/// A006746, A006748, A006747, A056877, A056878, A144553, A142886.
const BY_SYMMETRY: [[u128; 16]; 8] = [
    [0, 0, 0, 1, 5, 20, 84, 316, 1196, 4461, 16750, 62878, 237_394, 899_265, 3_422_111, 13_069_026],
    [0, 0, 0, 1, 2, 6, 9, 23, 38, 90, 147, 341, 564, 1294, 2148, 4896],
    [0, 0, 1, 0, 2, 2, 7, 5, 26, 22, 91, 79, 326, 301, 1186, 1117],
    [0, 0, 0, 1, 1, 5, 4, 18, 19, 73, 73, 278, 283, 1076, 1090, 4125],
    [0, 1, 1, 1, 1, 2, 3, 4, 4, 8, 10, 15, 17, 30, 35, 60],
    [0, 0, 0, 0, 0, 0, 1, 1, 0, 1, 2, 3, 3, 5, 6, 14],
    [0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 3, 2, 0, 0, 12],
    [1, 0, 0, 1, 1, 0, 0, 1, 2, 0, 0, 3, 2, 0, 0, 5],
];

/// A000105 (free), A000988 (one-sided), A001168 (fixed: I. Jensen (2001),
/// J. Stat. Phys. 103, 865-881, table II), for 1 to 16 cells.
const BY_SIDES: [[u128; 16]; 3] = [
    [1, 1, 2, 5, 12, 35, 108, 369, 1285, 4655, 17_073, 63_600, 238_591, 901_971, 3_426_576, 13_079_255],
    [1, 1, 2, 7, 18, 60, 196, 704, 2500, 9189, 33_896, 126_759, 476_270, 1_802_312, 6_849_777, 26_152_418],
    [
        1,
        2,
        6,
        19,
        63,
        216,
        760,
        2725,
        9910,
        36_446,
        135_268,
        505_861,
        1_903_890,
        7_204_874,
        27_394_666,
        104_592_937,
    ],
];

#[test]
fn outlines_of_every_symmetry_are_as_many_as_published() {
    for cells in 1..=16 {
        let found = free(cells, Joined::Sides, Holes::Allowed);
        assert_eq!(found, BY_SYMMETRY.map(|row| row[cells - 1]), "{cells} cells");
        assert_eq!(free_one_sided_fixed(found), BY_SIDES.map(|row| row[cells - 1]), "{cells} cells");
    }
    for cells in 1..=12 {
        let one_sided = Wanted { holes: Holes::Allowed, ..Wanted::new(cells, 16, 16) };
        assert_eq!(counts(&one_sided).iter().sum::<u128>(), BY_SIDES[1][cells - 1], "{cells} cells");
    }
}

/// A000104: what is left of the plane hangs together by sides (free; T. Oliveira e
/// Silva, J. Mason), with A006724 (fixed; I. G. Enting and A. J. Guttmann (1990),
/// J. Stat. Phys. 58, 475-484). A342537: by sides or corners (free; J. Mason).
#[test]
fn outlines_without_holes_are_as_many_as_published_by_both_rules() {
    const NONE: [u128; 16] =
        [1, 1, 2, 5, 12, 35, 107, 363, 1248, 4460, 16_094, 58_937, 217_117, 805_475, 3_001_127, 11_230_003];
    const NONE_FIXED: [u128; 16] = [
        1, 2, 6, 19, 63, 216, 756, 2684, 9638, 34_930, 127_560, 468_837, 1_732_702, 6_434_322, 23_993_874,
        89_805_691,
    ];
    const HUNG_BY_CORNERS: [u128; 14] =
        [1, 1, 2, 5, 12, 35, 108, 368, 1283, 4639, 17_003, 63_222, 236_819, 893_515];
    for cells in 1..=16 {
        let [all, _, fixed] = free_one_sided_fixed(free(cells, Joined::Sides, Holes::None));
        assert_eq!((all, fixed), (NONE[cells - 1], NONE_FIXED[cells - 1]), "{cells} cells");
    }
    for cells in 1..=14 {
        let [all, ..] = free_one_sided_fixed(free(cells, Joined::Sides, Holes::HungByCorners));
        assert_eq!(all, HUNG_BY_CORNERS[cells - 1], "{cells} cells");
    }
}

/// A030222 (free), A030233 (one-sided; both M. Cook, D. W. Wilson, J. Myers),
/// A006770 (fixed; S. Mertens (1990), J. Stat. Phys. 58, 1095-1108, table 1).
#[test]
fn outlines_joined_by_corners_are_as_many_as_published() {
    const PUBLISHED: [[u128; 11]; 3] = [
        [1, 2, 5, 22, 94, 524, 3031, 18_770, 118_133, 758_381, 4_915_652],
        [1, 2, 6, 34, 166, 991, 5931, 37_196, 235_456, 1_514_618, 9_826_177],
        [1, 4, 20, 110, 638, 3832, 23_592, 147_941, 940_982, 6_053_180, 39_299_408],
    ];
    for cells in 1..=11 {
        let found = free_one_sided_fixed(free(cells, Joined::SidesOrCorners, Holes::Allowed));
        assert_eq!(found, PUBLISHED.map(|row| row[cells - 1]), "{cells} cells");
    }
}

/// A268371 (free; J. Mason, J.-L. Manguin (2020)): those that fill a box from side
/// to side, of any number of cells.
#[test]
fn outlines_that_fill_a_box_are_as_many_as_published() {
    const PUBLISHED: [&[u128]; 6] = [
        &[1],
        &[1, 2],
        &[1, 6, 24],
        &[1, 12, 181, 1051],
        &[1, 30, 941, 21_992, 238_048],
        &[1, 65, 4662, 228_013, 9_735_647, 195_284_973],
    ];
    let mut found = [[0; 6]; 6];
    for cells in 1..=36 {
        let wanted = Wanted { holes: Holes::Allowed, mirrors_as_one: true, ..Wanted::new(cells, 6, 6) };
        for count in Outlines::of(&wanted).unwrap().counts() {
            found[count.width - 1][count.height - 1] += count.outlines;
        }
    }
    for (found, published) in found.iter().zip(PUBLISHED) {
        assert_eq!(&found[..published.len()], published);
    }
}
