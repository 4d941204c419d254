//! The normal distribution where it is far out: logarithms of tails, hazards,
//! and draws from beyond a bound.

use std::f64::consts::{PI, SQRT_2};

use libm::erfc;
use rand::Rng;
use rand_distr::{Distribution, Exp1, StandardNormal};
use statrs::function::erf::erfc_inv;

/// From here on tails are taken from their asymptotic series (relative error
/// below 1e-9); nearer, from the complementary error function.
const FAR: f64 = 25.0;

/// The density at z, as a logarithm.
pub(crate) fn ln_density(z: f64) -> f64 {
    -0.5 * z * z - 0.5 * (2.0 * PI).ln()
}

/// The share below z.
pub(crate) fn below(z: f64) -> f64 {
    0.5 * erfc(-z / SQRT_2)
}

/// The z that has a share below it.
pub(crate) fn quantile(share: f64) -> f64 {
    let z = -SQRT_2 * erfc_inv(2.0 * share);
    // One of Newton's steps, for the digits that the inverse lacks.
    let off = (below(z) - share) / ln_density(z).exp();
    if off.is_finite() { z - off } else { z }
}

/// The share above z, as a logarithm.
pub(crate) fn ln_above(z: f64) -> f64 {
    if z < FAR {
        (0.5 * erfc(z / SQRT_2)).ln()
    } else {
        let w = 1.0 / (z * z);
        ln_density(z) - z.ln() + (-w + 2.5 * w * w).ln_1p()
    }
}

/// Density over the share above: the mean of what lies above z.
pub(crate) fn hazard(z: f64) -> f64 {
    (ln_density(z) - ln_above(z)).exp()
}

/// The variance of what lies above z, between 0 and 1.
pub(crate) fn variance_above(z: f64) -> f64 {
    if z > FAR {
        let w = 1.0 / (z * z);
        return w * (1.0 - 6.0 * w + 50.0 * w * w);
    }
    let h = hazard(z);
    (1.0 - h * (h - z)).clamp(0.0, 1.0)
}

/// A draw from above z: C. P. Robert (1995), "Simulation of truncated normal
/// variables", Statistics and Computing 5 (from memory).
pub(crate) fn draw_above(z: f64, rng: &mut impl Rng) -> f64 {
    if z < 0.45 {
        loop {
            let draw: f64 = StandardNormal.sample(rng);
            if draw > z {
                return draw;
            }
        }
    }
    let rate = 0.5 * (z + (z * z + 4.0).sqrt());
    loop {
        let step: f64 = Exp1.sample(rng);
        let draw = z + step / rate;
        let bound: f64 = Exp1.sample(rng);
        if 2.0 * bound > (draw - rate) * (draw - rate) {
            return draw;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tails_join_and_agree_with_tables() {
        // Upper tails: Abramowitz & Stegun (1964), table 26.1 and 26.2 (from memory).
        assert!((below(1.959_963_984_540_054) - 0.975).abs() < 1e-14);
        assert!((quantile(0.95) - 1.644_853_626_951_472_7).abs() < 1e-12);
        assert!((ln_above(5.0) - 2.866_515_718_791_939e-7f64.ln()).abs() < 1e-12);
        for f in [ln_above, hazard, variance_above] {
            let (near, far) = (f(FAR - 1e-9), f(FAR + 1e-9));
            assert!((near - far).abs() < 1e-5 * near.abs(), "{near} {far}");
            assert!(f(-40.0).is_finite() && f(1e5).is_finite());
        }
    }

    #[test]
    fn draws_from_above_have_the_mean_and_variance_of_the_tail() {
        use rand::SeedableRng;
        let mut rng = rand_pcg::Pcg64Mcg::seed_from_u64(7);
        for z in [-3.0, 0.2, 0.8, 3.0, 12.0] {
            let draws: Vec<f64> = (0..100_000).map(|_| draw_above(z, &mut rng)).collect();
            let mean = draws.iter().sum::<f64>() / 1e5;
            let variance = draws.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / 1e5;
            assert!(draws.iter().all(|&d| d > z));
            assert!((mean - hazard(z)).abs() < 5.0 * (variance / 1e5).sqrt(), "{z}: {mean}");
            assert!((variance / variance_above(z) - 1.0).abs() < 0.03, "{z}: {variance}");
        }
    }
}
