//! Plays made up from a truth that is known: for tests, benches, judges, and to
//! see what so many testers would tell.

use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

use crate::tries::{Plays, Try};

/// The truth that plays are made up from. Logarithms are natural.
#[derive(Clone, Debug, PartialEq)]
pub struct Truth {
    /// Outlines; their efforts are spread evenly over `efforts`.
    pub outlines: usize,
    /// Lowest and highest effort.
    pub efforts: (f64, f64),
    /// Testers.
    pub testers: usize,
    /// The probability that a tester sits at an outline.
    pub share: f64,
    /// ln minutes at effort 0, and what each unit of effort adds.
    pub line: (f64, f64),
    /// Standard deviations of outlines, testers, noise.
    pub spreads: [f64; 3],
    /// Minutes after which testers give up: each draws theirs evenly from this
    /// range, on the logarithm.
    pub budget: (f64, f64),
}

/// What was made up.
#[derive(Clone, Debug, PartialEq)]
pub struct MadeUp {
    /// What a fit may see.
    pub plays: Plays,
    /// The true ln minutes of each outline for a tester of no bias.
    pub outlines: Vec<f64>,
    /// What each tester truly adds.
    pub testers: Vec<f64>,
}

/// Makes plays up; equal seeds give equal ones.
pub fn made_up(truth: &Truth, seed: u64) -> MadeUp {
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    let mut normal = move || -> f64 { StandardNormal.sample(&mut rng) };
    let last = truth.outlines.saturating_sub(1).max(1) as f64;
    let (low, high) = truth.efforts;
    let efforts: Vec<f64> = (0..truth.outlines).map(|o| low + (high - low) * o as f64 / last).collect();
    let [of_outlines, of_testers, of_noise] = truth.spreads;
    let outlines: Vec<f64> =
        efforts.iter().map(|e| truth.line.0 + truth.line.1 * e + of_outlines * normal()).collect();
    let testers: Vec<f64> = (0..truth.testers).map(|_| of_testers * normal()).collect();
    let mut even = Pcg64Mcg::seed_from_u64(seed ^ 0x5EED);
    let mut tries = Vec::new();
    for (tester, skill) in testers.iter().enumerate() {
        let (short, long) = (truth.budget.0.ln(), truth.budget.1.ln());
        let budget = (short + (long - short) * even.random::<f64>()).exp();
        for (outline, middle) in outlines.iter().enumerate() {
            let needed = (middle + skill + of_noise * normal()).exp();
            if even.random::<f64>() < truth.share {
                tries.push(Try { tester, outline, minutes: needed.min(budget), finished: needed <= budget });
            }
        }
    }
    let efforts = efforts.into_iter().map(Some).collect();
    MadeUp { plays: Plays { efforts, testers: truth.testers, tries }, outlines, testers }
}
