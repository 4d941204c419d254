//! Kasteleyn's count of dominoes, in whole numbers only.
//!
//! Source: P. W. Kasteleyn (1961), Physica 27, 1209-1225; H. N. V. Temperley and
//! M. E. Fisher (1961), Phil. Mag. 6, 1061-1063 (formula from memory; its values
//! for squares against OEIS A004003 in `tests/dominoes.rs`):
//!
//! T(m, n) = product over j ≤ ⌈m/2⌉, k ≤ ⌈n/2⌉ of
//!           4 cos²(πj/(m+1)) + 4 cos²(πk/(n+1)).
//!
//! The numbers a = 4 cos²(πj/(m+1)), j ≤ ⌊m/2⌋, are the roots of a polynomial
//! P_m with whole coefficients: the Chebyshev polynomial S_m(y) = U_m(y/2) is
//! P_m(y²), times y if m is odd. So the product over j is ±P_m(−b), and over the
//! roots b of P_n it is ±det P_m(−C) with C the companion matrix of P_n. For odd
//! m and even n the factors with cos = 0 multiply to ±P_n(0) = ±1.

use num_bigint::BigInt;

type Matrix = Vec<Vec<BigInt>>;

/// Domino tilings of an m × n board. At least one side must be even and above 0.
pub fn dominoes(m: usize, n: usize) -> BigInt {
    let (m, n) = if n.is_multiple_of(2) { (m, n) } else { (n, m) };
    assert!(n.is_multiple_of(2) && n > 0, "with both sides odd there is no tiling, and no formula is needed");
    let companion = companion(&half_chebyshev(n));
    // Horner's rule at minus the companion matrix.
    let size = companion.len();
    let mut value = vec![vec![BigInt::ZERO; size]; size];
    for coefficient in half_chebyshev(m).iter().rev() {
        value = (0..size)
            .map(|i| {
                (0..size)
                    .map(|j| {
                        let product: BigInt = (0..size).map(|k| &value[i][k] * &companion[k][j]).sum();
                        if i == j { coefficient - product } else { -product }
                    })
                    .collect()
            })
            .collect();
    }
    let (_, magnitude) = determinant(value).into_parts();
    magnitude.into()
}

/// The coefficients of P_m, lowest first, from S_{i+1}(y) = y S_i(y) − S_{i−1}(y).
fn half_chebyshev(m: usize) -> Vec<BigInt> {
    let (mut before, mut now) = (vec![BigInt::from(0)], vec![BigInt::from(1)]);
    for _ in 0..m {
        let mut next = vec![BigInt::ZERO];
        next.extend(now.iter().cloned());
        for (a, b) in next.iter_mut().zip(&before) {
            *a -= b;
        }
        before = std::mem::replace(&mut now, next);
    }
    now.into_iter().skip(m % 2).step_by(2).collect()
}

/// The matrix whose eigenvalues are the roots of a monic polynomial.
fn companion(polynomial: &[BigInt]) -> Matrix {
    let size = polynomial.len() - 1;
    let entry = |i: usize, j: usize| match j {
        _ if j + 1 == size => -&polynomial[i],
        _ if i == j + 1 => BigInt::from(1),
        _ => BigInt::ZERO,
    };
    (0..size).map(|i| (0..size).map(|j| entry(i, j)).collect()).collect()
}

/// By E. H. Bareiss's elimination without fractions (Math. Comp. 22, 1968, from memory).
fn determinant(mut a: Matrix) -> BigInt {
    let size = a.len();
    let (mut sign, mut last) = (1, BigInt::from(1));
    for k in 0..size {
        let Some(pivot) = (k..size).find(|&i| a[i][k] != BigInt::ZERO) else {
            return BigInt::ZERO;
        };
        if pivot != k {
            a.swap(pivot, k);
            sign = -sign;
        }
        for i in k + 1..size {
            for j in k + 1..size {
                a[i][j] = (&a[i][j] * &a[k][k] - &a[i][k] * &a[k][j]) / &last;
            }
        }
        last = a[k][k].clone();
    }
    last * sign
}
