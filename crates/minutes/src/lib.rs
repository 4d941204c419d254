//! How long people need: play tests, forecasts, and which outline to test next.
//!
//! The model: `ln minutes = outline + slope × effort + tester + noise`, every
//! part normal. Tries that were given up are right-censored: longer than so
//! many minutes, nobody knows how much. Outlines and testers are random effects
//! (each is pulled towards its kind by as much as the data allow), and the fit
//! is Bayesian, by Gibbs sampling from a seed. `docs/minutes.md` says why.
//!
//! What this crate promises: it knows effort, minutes and positions in lists, no
//! names, files, clocks or pictures. Equal input and seed give equal draws.
//! Whatever the tries (none, all given up, one tester, all alike), every answer
//! is finite, and its interval says how little is known. Minutes are minutes at
//! the board; logarithms are natural; intervals hold nine parts in ten.

mod censored;
mod chain;
mod field;
mod fit;
mod gaussian;
mod made_up;
mod mixing;
mod next;
mod normal;
mod order;
mod prior;
mod race;
mod tries;

pub use censored::{Censored, CensoredError, censored};
pub use fit::{Basis, Fit, FitAsk, FitError, Minutes, Spreads, fit};
pub use gaussian::{Foretold, foretell};
pub use made_up::{MadeUp, Truth, made_up};
pub use mixing::Mixing;
pub use next::{Next, NextAsk, next};
pub use order::{finishers, kth_of};
pub use prior::Prior;
pub use race::{Curve, Forecast, RaceAsk, RaceError, forecast};
pub use tries::{Plays, Sitting, Try, sittings};

/// A middle and an interval that holds nine parts in ten, a twentieth on either
/// side of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The twentieth.
    pub low: f64,
    /// The median.
    pub median: f64,
    /// The nineteen-twentieths.
    pub high: f64,
}

impl Estimate {
    /// Of draws, which are sorted here; they must not be empty.
    pub(crate) fn of(draws: &mut [f64]) -> Estimate {
        draws.sort_by(f64::total_cmp);
        let at = |share: f64| quantile(draws, share);
        Estimate { low: at(0.05), median: at(0.5), high: at(0.95) }
    }

    /// The same through a rising function.
    pub fn map(self, f: impl Fn(f64) -> f64) -> Estimate {
        Estimate { low: f(self.low), median: f(self.median), high: f(self.high) }
    }

    /// Whether a value lies within the interval.
    pub fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// A quantile of sorted values, straight lines between them.
pub(crate) fn quantile(sorted: &[f64], share: f64) -> f64 {
    let at = share * (sorted.len() - 1) as f64;
    let (below, part) = (at.floor() as usize, at.fract());
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + part * (sorted[above] - sorted[below])
}
