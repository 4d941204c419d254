//! Order statistics: when the k-th of N finishes, how many finish in time.
//!
//! With a share F of entrants finished by some time, each by itself, the number
//! of finishers is binomial, and the k-th has finished with the probability that
//! there are at least k: a regularised incomplete beta function (common practice;
//! H. A. David & H. N. Nagaraja, Order Statistics, 3rd ed. 2003, from memory).

use statrs::function::beta::ln_beta;

/// The probability that at least `k` of `n` have finished when each has with
/// probability `share`.
pub fn kth_of(share: f64, k: u64, n: u64) -> f64 {
    if k == 0 {
        return 1.0;
    }
    if k > n || share <= 0.0 {
        return 0.0;
    }
    if share >= 1.0 {
        return 1.0;
    }
    if k == 1 {
        // 1 - (1 - F)^n, without loss where F is small.
        return -(n as f64 * (-share).ln_1p()).exp_m1();
    }
    incomplete_beta(k as f64, (n - k + 1) as f64, share)
}

/// The regularised incomplete beta function by its continued fraction (Abramowitz
/// & Stegun, 1964, 26.5.8, evaluated from the front as by Lentz, 1976; from
/// memory). It takes some √(a + b) terms near the middle; libraries that stop at a
/// fixed number lose digits there (statrs 0.19: the third, of a million).
fn incomplete_beta(a: f64, b: f64, x: f64) -> f64 {
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - incomplete_beta(b, a, 1.0 - x);
    }
    let nonzero = |v: f64| if v.abs() < f64::MIN_POSITIVE { f64::MIN_POSITIVE } else { v };
    let most = 200 + (10.0 * (a + b).sqrt()) as u64;
    let (mut up, mut down) = (1.0, 1.0 / nonzero(1.0 - (a + b) * x / (a + 1.0)));
    let mut value = down;
    for m in (1..=most).map(|m| m as f64) {
        let mut last = 1.0;
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        for term in [even, odd] {
            down = 1.0 / nonzero(1.0 + term * down);
            up = nonzero(1.0 + term / up);
            last = up * down;
            value *= last;
        }
        if (last - 1.0).abs() < 1e-15 {
            break;
        }
    }
    let front = a * x.ln() + b * (-x).ln_1p() - ln_beta(a, b);
    (front.exp() * value / a).clamp(0.0, 1.0)
}

/// How many of `n` finish when each does with a probability that is itself
/// unsure, one of `shares` alike: the smallest number that at most so many are
/// with probability `level`.
pub fn finishers(shares: &[f64], n: u64, level: f64) -> u64 {
    let at_most = |k: u64| {
        let sum: f64 = shares.iter().map(|&share| 1.0 - kth_of(share, k + 1, n)).sum();
        sum / shares.len() as f64
    };
    let (mut low, mut high) = (0, n);
    while low < high {
        let middle = low + (high - low) / 2;
        if at_most(middle) >= level {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_cases_are_counted_out() {
        // Binomial of 3 at 1/4, by hand.
        assert!((kth_of(0.25, 1, 3) - 37.0 / 64.0).abs() < 1e-14);
        assert!((kth_of(0.25, 2, 3) - 10.0 / 64.0).abs() < 1e-14);
        assert!((kth_of(0.25, 3, 3) - 1.0 / 64.0).abs() < 1e-14);
        assert_eq!((kth_of(0.25, 4, 3), kth_of(0.25, 0, 3)), (0.0, 1.0));
        assert_eq!((kth_of(0.0, 1, 3), kth_of(1.0, 3, 3)), (0.0, 1.0));
        // P(0) = 27/64, P(at most 1) = 54/64.
        assert_eq!(finishers(&[0.25], 3, 0.42), 0);
        assert_eq!(finishers(&[0.25], 3, 0.5), 1);
        assert_eq!(finishers(&[0.0, 1.0], 3, 0.5), 0);
        assert_eq!(finishers(&[0.0, 1.0], 3, 0.6), 3);
    }
}
