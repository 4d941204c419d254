//! How long people will need, from the effort: the one place that says so.
//!
//! The seam for a fit to testers' times. Until there is one, minutes are a wide
//! prior of our own (no source): ten seconds a try, and ten times as many or as
//! few not out of the question.

use serde_json::{Value, json};

/// Tries a minute, at a guess.
const TRIES_A_MINUTE: f64 = 6.0;
/// How much longer or shorter it may take, 9 times in 10.
const EITHER_WAY: f64 = 10.0;

/// Minutes that half of people need.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Minutes {
    pub(crate) calibrated: bool,
    pub(crate) median: f64,
    /// A 90 % interval for the median.
    pub(crate) interval: [f64; 2],
}

/// Minutes for an effort (log to base 2 of tries).
pub(crate) fn minutes(effort: f64) -> Minutes {
    let median = effort.exp2() / TRIES_A_MINUTE;
    Minutes { calibrated: false, median, interval: [median / EITHER_WAY, median * EITHER_WAY] }
}

impl Minutes {
    pub(crate) fn json(&self) -> Value {
        let basis = "uncalibrated: ten seconds a try, ten times either way";
        json!({
            "calibrated": self.calibrated,
            "median": figures(self.median),
            "interval": self.interval.map(figures),
            "level": 0.9,
            "basis": if self.calibrated { "plays.csv" } else { basis },
        })
    }

    pub(crate) fn sentence(&self) -> String {
        let [low, high] = self.interval.map(in_words);
        let how = if self.calibrated { "" } else { "Uncalibrated, for nobody has tested it yet: " };
        format!("{how}half of people may need {}, between {low} and {high}.", in_words(self.median))
    }
}

/// Three significant figures.
fn figures(value: f64) -> f64 {
    format!("{value:.2e}").parse().expect("a number written is a number read")
}

fn in_words(minutes: f64) -> String {
    match minutes {
        m if m < 1.0 => format!("{:.0} seconds", (m * 60.0).max(1.0)),
        m if m < 100.0 => format!("{m:.0} minutes"),
        m if m < 48.0 * 60.0 => format!("{:.0} hours", m / 60.0),
        m => format!("{:.0} days", m / 1440.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_prior_is_wide_and_says_what_it_is() {
        let m = minutes(10.0);
        assert!(!m.calibrated && (m.interval[1] / m.interval[0] - 100.0).abs() < 1e-9);
        assert_eq!(m.json()["median"], json!(171.0));
        assert_eq!(
            m.sentence(),
            "Uncalibrated, for nobody has tested it yet: half of people may need 3 hours, between 17 minutes \
             and 28 hours."
        );
    }
}
