//! Domino tilings: counted without listing, against Kasteleyn's formula.

use lattice::{Piece, Set};
use num_bigint::BigInt;
use outside::kasteleyn;
use outside::named::{cells, rectangle};

fn counted(m: usize, n: usize) -> BigInt {
    let domino = Piece::rigid(cells("##")).unwrap();
    let set = Set { pieces: vec![domino; m * n / 2], levels: 1, turn_over: false };
    fill::count(&set, &set.classes(), &rectangle(m as i32, n as i32), &|| false).unwrap().layouts.into()
}

/// Squares of side 2, 4, 6, …: OEIS A004003. The formula itself is judged here.
#[test]
fn the_formula_gives_the_published_squares() {
    let published: [u64; 6] = [2, 36, 6728, 12_988_816, 258_584_046_368, 53_060_477_521_960_000];
    for (n, expected) in (2..).step_by(2).zip(published) {
        assert_eq!(kasteleyn::dominoes(n, n), BigInt::from(expected), "{n} × {n}");
    }
}

/// A strip two wide: the Fibonacci numbers (common knowledge, no source).
#[test]
fn the_formula_gives_the_fibonacci_numbers() {
    let (mut before, mut now) = (BigInt::from(1), BigInt::from(1));
    for n in 1..40 {
        assert_eq!(kasteleyn::dominoes(n, 2), now, "2 × {n}");
        (before, now) = (now.clone(), now + before);
    }
}

/// Every board up to 12 × 12, and the largest of those beyond.
#[test]
fn the_count_agrees_with_the_formula_up_to_sixteen() {
    let small = (1..=12).flat_map(|m| (m..=12).map(move |n| (m, n)));
    let large = [(13, 14), (7, 16), (15, 16), (16, 16)];
    for (m, n) in small.filter(|(m, n)| m * n % 2 == 0).chain(large) {
        assert_eq!(counted(m, n), kasteleyn::dominoes(m, n), "{m} × {n}");
    }
}

/// With both sides odd a cell is left over; with the pieces for one cell less
/// there is no filling either.
#[test]
fn odd_boards_have_none() {
    assert_eq!(counted(3, 5), BigInt::ZERO);
    assert_eq!(counted(7, 7), BigInt::ZERO);
}
