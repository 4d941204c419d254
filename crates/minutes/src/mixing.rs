//! Whether chains have settled: split R-hat and effective sample size.
//!
//! Formulas: A. Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section
//! 11.4 and 11.5 (from memory): chains halved, variance between against within;
//! autocorrelations summed in pairs until a pair is negative.

/// How well the chains of a fit have mixed, over everything that was drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mixing {
    /// The worst split R-hat: 1 where all chains tell the same.
    pub r_hat: f64,
    /// The least number of independent draws that the draws are worth.
    pub effective: f64,
    /// Draws kept.
    pub draws: usize,
}

impl Mixing {
    /// Whether the draws tell what they are asked: R-hat below 1.02 and 400
    /// effective draws (both common practice; 1.01 is asked of longer runs).
    pub fn is_settled(&self) -> bool {
        self.r_hat < 1.02 && self.effective >= 400.0
    }

    pub(crate) fn and(self, other: Mixing) -> Mixing {
        Mixing {
            r_hat: self.r_hat.max(other.r_hat),
            effective: self.effective.min(other.effective),
            draws: self.draws.max(other.draws),
        }
    }

    /// Of one quantity, drawn by several chains of equal length, at least 8 draws
    /// each.
    pub(crate) fn of(chains: &[Vec<f64>]) -> Mixing {
        let draws = chains.iter().map(Vec::len).sum();
        let halves: Vec<&[f64]> = chains
            .iter()
            .flat_map(|c| {
                let half = c.len() / 2;
                [&c[..half], &c[c.len() - half..]]
            })
            .collect();
        let (m, n) = (halves.len() as f64, halves[0].len() as f64);
        let mean = |h: &[f64]| h.iter().sum::<f64>() / n;
        let means: Vec<f64> = halves.iter().map(|h| mean(h)).collect();
        let squares = |h: &[f64], mean: f64| h.iter().map(|x| (x - mean).powi(2)).sum::<f64>();
        let within =
            halves.iter().zip(&means).map(|(h, &mean)| squares(h, mean)).sum::<f64>() / (m * (n - 1.0));
        let grand = means.iter().sum::<f64>() / m;
        let between = n * means.iter().map(|x| (x - grand).powi(2)).sum::<f64>() / (m - 1.0);
        if within <= 1e-300 {
            // Nothing moves: fine if it is the same everywhere.
            let r_hat = if between <= 1e-300 { 1.0 } else { f64::MAX };
            return Mixing { r_hat, effective: draws as f64, draws };
        }
        let pooled = within * (n - 1.0) / n + between / n;
        let correlation = |lag: usize| {
            let sum: f64 = halves
                .iter()
                .map(|h| h.iter().zip(&h[lag..]).map(|(a, b)| (a - b).powi(2)).sum::<f64>())
                .sum();
            1.0 - sum / (m * (n - lag as f64)) / (2.0 * pooled)
        };
        let mut sum = 1.0;
        let mut lag = 1;
        while lag + 1 < halves[0].len() {
            let pair = correlation(lag) + correlation(lag + 1);
            if pair < 0.0 {
                break;
            }
            sum += 2.0 * pair;
            lag += 2;
        }
        let effective = (m * n / sum).min(draws as f64);
        Mixing { r_hat: (pooled / within).sqrt(), effective, draws }
    }
}

#[cfg(test)]
mod tests {
    use rand::SeedableRng;
    use rand_distr::{Distribution, StandardNormal};
    use rand_pcg::Pcg64Mcg;

    use super::*;

    /// Chains in which each draw keeps `memory` of the one before.
    fn chains(memory: f64, shift: f64) -> Vec<Vec<f64>> {
        let mut rng = Pcg64Mcg::seed_from_u64(3);
        let mut chain = |at: usize| {
            let mut x = 0.0;
            let mut step = || {
                let z: f64 = StandardNormal.sample(&mut rng);
                x = memory * x + (1.0 - memory * memory).sqrt() * z;
                x + shift * at as f64
            };
            (0..2000).map(|_| step()).collect()
        };
        (0..4).map(&mut chain).collect()
    }

    #[test]
    fn memory_costs_draws_and_strangers_are_seen() {
        let free = Mixing::of(&chains(0.0, 0.0));
        assert!(free.r_hat < 1.005 && free.effective > 6000.0, "{free:?}");
        // An autoregression of memory r is worth (1 - r) / (1 + r) of its draws.
        let slow = Mixing::of(&chains(0.8, 0.0));
        assert!((slow.effective / (8000.0 / 9.0) - 1.0).abs() < 0.25, "{slow:?}");
        assert!(Mixing::of(&chains(0.0, 1.0)).r_hat > 1.2);
        let still = Mixing::of(&vec![vec![1.0; 100]; 4]);
        assert_eq!((still.r_hat, still.effective), (1.0, 400.0));
    }
}
