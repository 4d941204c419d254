//! Which outline a tester should play next: the one that tells most.
//!
//! A try adds to what is known of its outline, and through the tester and the
//! line of effort to what is known of the others. In the normal distribution of
//! the fit that is a formula: with `y` the try's ln minutes, the variance of an
//! outline falls by `cov² / var(y)`. If the tester gives up at a bound, only
//! "longer" is known, and the part of `y` that stays open stays open in the
//! outline: the expected fall is `cov² / var(y) × (1 − P(longer) × v)`, where
//! `v` is the share of the variance that a normal keeps beyond the bound.

use crate::fit::Fit;
use crate::gaussian::Gaussian;
use crate::normal;

/// Who plays, and for how long at most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextAsk {
    /// The tester; `None`: somebody new.
    pub tester: Option<usize>,
    /// Minutes after which they give up, above 0.
    pub budget: f64,
}

/// One outline the tester has not sat at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Next {
    /// Which.
    pub outline: usize,
    /// By how much a try is expected to lower the summed variance of the
    /// outlines' ln minutes.
    pub gain: f64,
    /// The same as a share of that sum.
    pub share: f64,
    /// The probability that the tester fills it within the budget.
    pub finish: f64,
    /// The minutes they are expected to spend, the budget at most.
    pub minutes: f64,
}

/// The outlines that a tester has not sat at, the most telling first.
pub fn next(fit: &Fit, ask: &NextAsk) -> Vec<Next> {
    let g = Gaussian::of(fit);
    let all = g.outlines;
    let total: f64 = (0..all).map(|o| g.cover[(o, o)]).sum();
    let bound = ask.budget.max(f64::MIN_POSITIVE).ln();
    let seen = |outline: usize| {
        ask.tester.is_some_and(|t| fit.sittings.iter().any(|s| s.tester == t && s.outline == outline))
    };
    let mut found: Vec<Next> = (0..all)
        .filter(|&o| !seen(o))
        .map(|outline| {
            let (mean, variance) = g.of_try(outline, ask.tester);
            let sd = variance.sqrt();
            let z = (bound - mean) / sd;
            let longer = normal::ln_above(z).exp();
            let told = 1.0 - longer * normal::variance_above(z);
            let squares: f64 = (0..all).map(|k| g.with_sum(k, outline, ask.tester).powi(2)).sum();
            let gain = squares / variance * told;
            // The mean of the smaller of a log-normal and a bound.
            let within = (mean + 0.5 * variance + normal::ln_above(sd - z)).exp();
            let minutes = within.min(ask.budget) + ask.budget * longer;
            let share = if total > 0.0 { gain / total } else { 0.0 };
            Next { outline, gain, share, finish: 1.0 - longer, minutes: minutes.min(ask.budget) }
        })
        .collect();
    found.sort_by(|a, b| b.gain.total_cmp(&a.gain).then(a.outline.cmp(&b.outline)));
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{FitAsk, Plays, Try, fit};

    fn plays() -> Plays {
        let mut tries = Vec::new();
        for (tester, outline, minutes) in
            [(0, 0, 12.0), (0, 1, 30.0), (1, 0, 9.0), (1, 2, 55.0), (2, 1, 41.0), (2, 2, 80.0)]
        {
            tries.push(Try { tester, outline, minutes, finished: true });
        }
        Plays { efforts: vec![Some(4.0), Some(5.0), Some(5.5), Some(6.0)], testers: 4, tries }
    }

    /// With nothing given up and no bound the formula is exact: the posterior
    /// with the try in it has just so much less variance, whatever its minutes.
    #[test]
    fn the_gain_is_what_another_try_brings() {
        let plays = plays();
        let before = fit(&plays, &FitAsk::default()).unwrap();
        let sum = |g: &Gaussian| (0..4).map(|o| g.cover[(o, o)]).sum::<f64>();
        for tester in [0, 3] {
            let told = next(&before, &NextAsk { tester: Some(tester), budget: 1e12 });
            assert_eq!(told.len(), if tester == 0 { 2 } else { 4 });
            for n in told {
                let mut after = before.clone();
                let mut sitting = before.sittings[0];
                (sitting.outline, sitting.tester, sitting.minutes) = (n.outline, tester, 33.0);
                after.sittings.push(sitting);
                let gain = sum(&Gaussian::of(&before)) - sum(&Gaussian::of(&after));
                assert!((gain - n.gain).abs() < 1e-9, "{gain} {n:?}");
            }
        }
    }

    #[test]
    fn a_bound_tells_less_and_costs_less() {
        let fitted = fit(&plays(), &FitAsk::default()).unwrap();
        let told = |budget| next(&fitted, &NextAsk { tester: None, budget });
        let (free, bound) = (told(1e12), told(20.0));
        for n in &bound {
            let without = free.iter().find(|m| m.outline == n.outline).unwrap();
            assert!(n.gain < without.gain && n.minutes <= 20.0 && n.minutes < without.minutes);
            assert!(n.finish < 1.0 && (without.finish - 1.0).abs() < 1e-9);
        }
        // By simulation: the expected variance of y with the bound known.
        let g = Gaussian::of(&fitted);
        let (mean, variance) = g.of_try(3, None);
        let mut rng = <rand_pcg::Pcg64Mcg as rand::SeedableRng>::seed_from_u64(5);
        let draws: Vec<f64> = (0..200_000)
            .map(|_| {
                let z: f64 = rand_distr::Distribution::sample(&rand_distr::StandardNormal, &mut rng);
                mean + variance.sqrt() * z
            })
            .collect();
        let over: Vec<f64> = draws.iter().copied().filter(|y| *y > 20f64.ln()).collect();
        let middle = over.iter().sum::<f64>() / over.len() as f64;
        let open = over.iter().map(|y| (y - middle).powi(2)).sum::<f64>() / draws.len() as f64;
        let n = bound.iter().find(|n| n.outline == 3).unwrap();
        let whole = free.iter().find(|n| n.outline == 3).unwrap();
        assert!((n.gain / whole.gain - (1.0 - open / variance)).abs() < 0.01);
        let spent = draws.iter().map(|y| y.exp().min(20.0)).sum::<f64>() / draws.len() as f64;
        assert!((n.minutes - spent).abs() < 0.1, "{} {spent}", n.minutes);
    }

    #[test]
    fn testers_without_news_are_offered_nothing() {
        let mut plays = plays();
        plays.tries =
            (0..4).map(|outline| Try { tester: 0, outline, minutes: 5.0, finished: false }).collect();
        let fitted = fit(&plays, &FitAsk::default()).unwrap();
        assert!(next(&fitted, &NextAsk { tester: Some(0), budget: 60.0 }).is_empty());
        let told = next(&fitted, &NextAsk { tester: Some(1), budget: 60.0 });
        assert!(told.len() == 4 && told.iter().all(|n| n.gain.is_finite() && n.minutes.is_finite()));
    }
}
