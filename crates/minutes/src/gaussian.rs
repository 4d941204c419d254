//! The fit as one normal distribution over outlines and testers, for questions
//! that want exact answers: what a try would tell, and what was to be expected
//! of an outline before anybody had played it.
//!
//! Spreads stand at their posterior medians. The top of the posterior is found by
//! Newton's steps (given-up tries make it no quadratic, but concave), and what
//! is lost around it gives the covariance: Laplace's approximation, exact where
//! nothing was given up.

use nalgebra::{Cholesky, DMatrix, DVector, LU};

use crate::Estimate;
use crate::field::LEAST_SPREAD;
use crate::fit::Fit;
use crate::normal;
use crate::tries::Sitting;

/// Outlines, then testers, then level and slope.
#[derive(Clone, Debug)]
pub(crate) struct Gaussian {
    pub mean: DVector<f64>,
    pub cover: DMatrix<f64>,
    pub outlines: usize,
    /// Standard deviations of outlines, testers, noise.
    pub spreads: [f64; 3],
}

/// What one sitting says about the sum of its outline and tester, at a value:
/// the pull towards it and its weight.
fn pull(sitting: &Sitting, middle: f64, noise: f64) -> (f64, f64) {
    let z = (sitting.minutes.ln() - middle) / noise;
    if sitting.finished {
        (z / noise, 1.0 / (noise * noise))
    } else {
        (normal::hazard(z) / noise, (1.0 - normal::variance_above(z)) / (noise * noise))
    }
}

impl Gaussian {
    pub fn of(fit: &Fit) -> Gaussian {
        let spreads = [0, 1, 2].map(|i| Estimate::of(&mut fit.spreads[i].clone()).median);
        let slope = Estimate::of(&mut fit.line[1].clone()).median;
        let prior = &fit.ask.prior;
        let (outlines, testers) = (fit.outlines.len(), fit.testers.len());
        let line = outlines + testers;
        let size = line + 2;
        let weight = |sd: f64| 1.0 / (sd.max(LEAST_SPREAD) * sd.max(LEAST_SPREAD));
        let mut precision = DMatrix::zeros(size, size);
        let mut right = DVector::zeros(size);
        for (o, effort) in fit.efforts.iter().enumerate() {
            // An effort that nobody has reckoned adds its own doubt.
            let (x, own) = match effort {
                Some(e) => (e - prior.effort, spreads[0]),
                None => (fit.usual.0, spreads[0].hypot(slope * fit.usual.1)),
            };
            let row = [(o, 1.0), (line, -1.0), (line + 1, -x)];
            for (i, a) in row {
                for (j, b) in row {
                    precision[(i, j)] += a * b * weight(own);
                }
            }
        }
        for t in 0..testers {
            precision[(outlines + t, outlines + t)] += weight(spreads[1]);
        }
        for (k, (mean, sd)) in [prior.level, prior.slope].into_iter().enumerate() {
            precision[(line + k, line + k)] += weight(sd);
            right[line + k] = mean * weight(sd);
        }
        let (mean, precision) = climb(fit, &precision, &right, outlines, spreads[2]);
        let cover = factored(precision).inverse();
        Gaussian { mean, cover, outlines, spreads }
    }

    /// Covariance of an outline (its position) with the sum of an outline and a
    /// tester (none: one nobody has seen).
    pub fn with_sum(&self, of: usize, outline: usize, tester: Option<usize>) -> f64 {
        self.cover[(of, outline)] + tester.map_or(0.0, |t| self.cover[(of, self.outlines + t)])
    }

    /// Mean and variance of a new try of a tester at an outline.
    pub fn of_try(&self, outline: usize, tester: Option<usize>) -> (f64, f64) {
        let noise = self.spreads[2] * self.spreads[2];
        match tester {
            Some(t) => {
                let t = self.outlines + t;
                let sum =
                    self.cover[(outline, outline)] + self.cover[(t, t)] + 2.0 * self.cover[(outline, t)];
                (self.mean[outline] + self.mean[t], sum + noise)
            }
            None => {
                let sum = self.cover[(outline, outline)] + self.spreads[1] * self.spreads[1];
                (self.mean[outline], sum + noise)
            }
        }
    }
}

fn factored(precision: DMatrix<f64>) -> Cholesky<f64, nalgebra::Dyn> {
    Cholesky::new_with_substitute(precision, 1e-9).expect("a substitute is given")
}

/// The top, and the precision there. `precision` and `right` are without plays.
fn climb(
    fit: &Fit,
    precision: &DMatrix<f64>,
    right: &DVector<f64>,
    outlines: usize,
    noise: f64,
) -> (DVector<f64>, DMatrix<f64>) {
    let mut at = factored(precision.clone()).solve(right);
    let height = |at: &DVector<f64>| {
        let prior = at.dot(right) - 0.5 * at.dot(&(precision * at));
        let of = |s: &Sitting| {
            let z = (s.minutes.ln() - at[s.outline] - at[outlines + s.tester]) / noise;
            if s.finished { normal::ln_density(z) } else { normal::ln_above(z) }
        };
        prior + fit.sittings.iter().map(of).sum::<f64>()
    };
    let mut high = height(&at);
    let mut last = false;
    loop {
        let mut around = precision.clone();
        let mut slope = right - precision * &at;
        for s in &fit.sittings {
            let (o, t) = (s.outline, outlines + s.tester);
            let (force, weight) = pull(s, at[o] + at[t], noise);
            for i in [o, t] {
                slope[i] += force;
                around[(i, o)] += weight;
                around[(i, t)] += weight;
            }
        }
        if last {
            return (at, around);
        }
        let mut step = factored(around).solve(&slope);
        loop {
            let there = &at + &step;
            let found = height(&there);
            if found >= high || step.amax() < 1e-10 {
                last = step.amax() < 1e-9;
                (at, high) = (there, found);
                break;
            }
            step *= 0.5;
        }
    }
}

/// What was to be expected of a sitting by all that is known of other outlines,
/// its tester's sittings among them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foretold {
    /// The sitting.
    pub sitting: Sitting,
    /// Its minutes, foretold without any sitting at its outline.
    pub minutes: Estimate,
}

/// Foretells every sitting without those at its outline. Spreads are taken as
/// fitted, so the intervals are a little narrow where plays are few.
pub fn foretell(fit: &Fit) -> Vec<Foretold> {
    if fit.sittings.is_empty() {
        return Vec::new();
    }
    let g = Gaussian::of(fit);
    let noise = g.spreads[2];
    let mut all = Vec::new();
    for same in fit.sittings.chunk_by(|a, b| a.outline == b.outline) {
        // Take the outline's own sittings out of the normal distribution again:
        // mean - C (1 - W C)^-1 pulls and C (1 - W C)^-1, C the covariance of
        // the sums of outline and tester, W their weights.
        let o = same[0].outline;
        let t = |i: usize| g.outlines + same[i].tester;
        let count = same.len();
        let cover = DMatrix::from_fn(count, count, |i, j| {
            g.cover[(o, o)] + g.cover[(o, t(i))] + g.cover[(o, t(j))] + g.cover[(t(i), t(j))]
        });
        let middle = |i: usize| g.mean[o] + g.mean[t(i)];
        let pulls: Vec<(f64, f64)> = (0..count).map(|i| pull(&same[i], middle(i), noise)).collect();
        let left =
            DMatrix::from_fn(count, count, |i, j| f64::from(u8::from(i == j)) - pulls[i].1 * cover[(i, j)]);
        let Some(without) = LU::new(left).try_inverse() else { continue };
        let without = &cover * without;
        let shift = &without * DVector::from_iterator(count, pulls.iter().map(|p| p.0));
        for (i, sitting) in same.iter().enumerate() {
            let mean = middle(i) - shift[i];
            let sd = (without[(i, i)].max(0.0) + noise * noise).sqrt();
            let reach = normal::quantile(0.95) * sd;
            let ln = Estimate { low: mean - reach, median: mean, high: mean + reach };
            all.push(Foretold { sitting: *sitting, minutes: ln.map(f64::exp) });
        }
    }
    all
}
