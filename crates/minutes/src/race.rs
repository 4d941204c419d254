//! A race foretold: when the first finishes a pack, when the tenth, and how many
//! in a week.
//!
//! An entrant works through the pack's outlines; their time is the sum, every
//! part multiplied by their own pace. So ln time is the pace plus ln of a sum
//! that no entrant's pace touches: the sum is simulated, the pace is averaged
//! over exactly (which gives smooth tails where simulated entrants would leave
//! holes), and the order among N entrants is the closed form of order statistics.
//! For one outline the sum is a log-normal too and nothing is simulated. All of
//! it is done for several hundred draws of the fit, so intervals hold the fit's
//! doubt, entrants' skill and luck together.

use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

use crate::fit::{Basis, Fit};
use crate::order::{finishers, kth_of};
use crate::{Estimate, normal, quantile};

/// The race.
#[derive(Clone, Debug, PartialEq)]
pub struct RaceAsk {
    /// The pack: positions of its outlines.
    pub outlines: Vec<usize>,
    /// How many start.
    pub entrants: u64,
    /// Minutes at the board within which finishers are counted.
    pub within: f64,
    /// What entrants' minutes are multiplied by against testers' (1: alike).
    pub slower: f64,
    /// Equal seeds give equal answers.
    pub seed: u64,
}

/// Why there is no forecast.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RaceError {
    /// The pack is empty or names outlines that are not there.
    #[error("the pack has no outlines, or one that is not there")]
    Pack,
    /// Nobody starts.
    #[error("nobody starts")]
    Nobody,
    /// A number of minutes or a factor is not above 0.
    #[error("minutes and factors must be numbers above 0")]
    NotAbove0,
}

/// The probability that somebody has finished, over minutes at the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    /// Minutes at the board since the start.
    pub minutes: f64,
    /// The probability, all doubt counted.
    pub chance: f64,
    /// Where it lies with nine parts in ten, if the fit's doubt were settled.
    pub low: f64,
    /// Likewise.
    pub high: f64,
}

/// A race foretold. Minutes are minutes at the board.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// What it rests on.
    pub basis: Basis,
    /// Minutes of one entrant for the whole pack.
    pub one: Estimate,
    /// Minutes until the first has finished.
    pub first: Estimate,
    /// Minutes until the tenth has; `None` with fewer entrants.
    pub tenth: Option<Estimate>,
    /// How many finish within the minutes asked: low, median, high.
    pub finishers: [u64; 3],
    /// Expected share of entrants that finish within the minutes asked, and
    /// where that share lies.
    pub share: Estimate,
    /// The first's curve.
    pub first_curve: Vec<Curve>,
    /// The tenth's curve, empty with fewer entrants.
    pub tenth_curve: Vec<Curve>,
    /// Whether it follows from closed forms alone.
    pub closed: bool,
}

/// Draws of the fit that are used, and sums simulated for each.
const DRAWS: usize = 400;
const SUMS: usize = 500;
/// Points of a curve.
const POINTS: usize = 81;

/// ln minutes of one entrant, for one draw of the fit: the normal score of the
/// share that has finished, at evenly spaced ln minutes. It is nearly a straight
/// line, so what lies between points is drawn straight.
struct Single {
    start: f64,
    step: f64,
    scores: Vec<f64>,
}

impl Single {
    fn score(&self, ln: f64) -> f64 {
        let last = self.scores.len() - 2;
        let at = (ln - self.start) / self.step;
        let below = (at.floor().max(0.0) as usize).min(last);
        self.scores[below] + (at - below as f64) * (self.scores[below + 1] - self.scores[below])
    }

    fn share(&self, ln: f64) -> f64 {
        normal::below(self.score(ln))
    }

    fn of_log_normal(mean: f64, sd: f64) -> Self {
        Single { start: mean, step: sd, scores: vec![0.0, 1.0] }
    }

    /// Of ln sums, smoothed by a pace of a standard deviation.
    fn of_sums(sums: &[f64], pace: f64) -> Self {
        let count = sums.len() as f64;
        let mean = sums.iter().sum::<f64>() / count;
        let variance = sums.iter().map(|s| (s - mean).powi(2)).sum::<f64>() / count;
        let sd = (variance + pace * pace).sqrt().max(1e-6);
        let pace = pace.max(0.05 * sd);
        let (start, step) = (mean - 7.0 * sd, 0.25 * sd);
        let score = |i: usize| {
            let ln = start + step * i as f64;
            let side = if ln < mean { 1.0 } else { -1.0 };
            let sum: f64 = sums.iter().map(|s| normal::below(side * (ln - s) / pace)).sum();
            side * normal::quantile((sum / count).max(1e-300))
        };
        Single { start, step, scores: (0..=52).map(score).collect() }
    }
}

/// Foretells a race.
///
/// # Errors
/// See [`RaceError`].
pub fn forecast(fit: &Fit, ask: &RaceAsk) -> Result<Forecast, RaceError> {
    if ask.outlines.is_empty() || ask.outlines.iter().any(|&o| o >= fit.outlines.len()) {
        return Err(RaceError::Pack);
    }
    if ask.entrants == 0 {
        return Err(RaceError::Nobody);
    }
    if ![ask.within, ask.slower].iter().all(|x| x.is_finite() && *x > 0.0) {
        return Err(RaceError::NotAbove0);
    }
    let singles = singles(fit, ask);
    let race = Race { singles: &singles, entrants: ask.entrants };
    let mut shares: Vec<f64> = singles.iter().map(|s| s.share(ask.within.ln())).collect();
    let counts = [0.05, 0.5, 0.95].map(|level| finishers(&shares, ask.entrants, level));
    let has_tenth = ask.entrants >= 10;
    let alone = Race { singles: &singles, entrants: 1 };
    Ok(Forecast {
        basis: fit.basis(),
        one: alone.kth(1),
        first: race.kth(1),
        tenth: has_tenth.then(|| race.kth(10)),
        finishers: counts,
        share: Estimate::of(&mut shares),
        first_curve: race.curve(1),
        tenth_curve: if has_tenth { race.curve(10) } else { Vec::new() },
        closed: ask.outlines.len() == 1,
    })
}

fn singles(fit: &Fit, ask: &RaceAsk) -> Vec<Single> {
    let mut rng = Pcg64Mcg::seed_from_u64(ask.seed);
    let draws = fit.len();
    let used = DRAWS.min(draws);
    let slower = ask.slower.ln();
    let of = |i: usize| {
        let at = i * draws / used;
        let [pace, noise] = [fit.spreads[1][at], fit.spreads[2][at]];
        let ln = |o: usize| fit.outlines[o][at] + slower;
        if let [only] = ask.outlines[..] {
            return Single::of_log_normal(ln(only), pace.hypot(noise));
        }
        let middles: Vec<f64> = ask.outlines.iter().map(|&o| ln(o)).collect();
        let mut sum = |_| {
            let part = |m: &f64| {
                let z: f64 = StandardNormal.sample(&mut rng);
                (m + noise * z).exp()
            };
            middles.iter().map(part).sum::<f64>().ln()
        };
        let sums: Vec<f64> = (0..SUMS).map(&mut sum).collect();
        Single::of_sums(&sums, pace)
    };
    (0..used).map(of).collect()
}

struct Race<'a> {
    singles: &'a [Single],
    entrants: u64,
}

impl Race<'_> {
    /// The probability that the k-th has finished by ln minutes.
    fn chance(&self, k: u64, ln: f64) -> f64 {
        let all = self.singles.iter().map(|s| kth_of(s.share(ln), k, self.entrants));
        all.sum::<f64>() / self.singles.len() as f64
    }

    /// ln minutes by which the k-th has finished with a probability.
    fn ln_minutes(&self, k: u64, chance: f64) -> f64 {
        let (mut low, mut high) = (-30.0, 60.0);
        while high - low > 1e-9 {
            let middle = 0.5 * (low + high);
            if self.chance(k, middle) < chance {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    fn kth(&self, k: u64) -> Estimate {
        let [low, median, high] = [0.05, 0.5, 0.95].map(|chance| self.ln_minutes(k, chance));
        Estimate { low, median, high }.map(f64::exp)
    }

    fn curve(&self, k: u64) -> Vec<Curve> {
        let (start, end) = (self.ln_minutes(k, 0.002), self.ln_minutes(k, 0.998));
        let at = |i: usize| {
            let ln = start + (end - start) * i as f64 / (POINTS - 1) as f64;
            let mut chances: Vec<f64> =
                self.singles.iter().map(|s| kth_of(s.share(ln), k, self.entrants)).collect();
            let chance = chances.iter().sum::<f64>() / chances.len() as f64;
            chances.sort_by(f64::total_cmp);
            let (low, high) = (quantile(&chances, 0.05), quantile(&chances, 0.95));
            Curve { minutes: ln.exp(), chance, low, high }
        };
        (0..POINTS).map(at).collect()
    }
}
