//! A logarithmic scale of minutes, with the marks people count in.

use crate::colour::{FAINT, SOFT_INK};
use crate::lettering::{self, Weight};
use crate::line::Line;
use crate::sheet::{Paint, Sheet, Words};

use super::{SMALL, ending};

/// Where minutes stand between two places on paper.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

impl Axis {
    /// A scale that holds all times with a little air, from place to place.
    pub fn of(times: impl IntoIterator<Item = f64>, from: f64, to: f64) -> Self {
        let (low, high) = times
            .into_iter()
            .map(f64::ln)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(t), high.max(t)));
        let air = (0.03 * (high - low)).max(0.15);
        Axis { low: low - air, high: high + air, from, to }
    }

    pub fn at(&self, minutes: f64) -> f64 {
        self.from + (minutes.ln() - self.low) / (self.high - self.low) * (self.to - self.from)
    }

    /// The marks within the scale, thinned until their words have room.
    fn marks(&self) -> Vec<(f64, String)> {
        let mut all: Vec<(f64, String)> = Vec::new();
        for seconds in [1, 2, 5, 10, 20, 30] {
            all.push((f64::from(seconds) / 60.0, format!("{seconds} s")));
        }
        for minutes in [1, 2, 5, 10, 20, 30] {
            all.push((f64::from(minutes), format!("{minutes} min")));
        }
        for power in 0..6 {
            for hours in [1, 2, 5].map(|n| n * 10u32.pow(power)) {
                all.push((60.0 * f64::from(hours), format!("{hours} h")));
            }
        }
        all.retain(|m| (self.low..=self.high).contains(&m.0.ln()));
        let room = |marks: &[(f64, String)]| {
            marks.windows(2).all(|m| {
                let width = |s: &str| lettering::width(Weight::Regular, SMALL, s) / 2.0;
                let needed = if self.to > self.from { width(&m[0].1) + width(&m[1].1) + 2.0 } else { 4.5 };
                (self.at(m[1].0) - self.at(m[0].0)).abs() >= needed
            })
        };
        // Halve or third them: 1, 2, 5, 10 becomes 1, 5 or 1, 10.
        for step in 1.. {
            let kept: Vec<_> = all.iter().step_by(step).cloned().collect();
            if room(&kept) {
                return kept;
            }
        }
        unreachable!("a single mark has room")
    }

    /// Lines up the page and their words beneath.
    pub fn across(&self, sheet: &mut Sheet, top: f64, foot: f64) {
        for (minutes, words) in self.marks() {
            let x = self.at(minutes);
            let mut line = Line::default();
            line.segment((x, top), (x, foot));
            sheet.path("", &line, Paint::stroke(FAINT, 0.2));
            let words = Words::new(Weight::Regular, SMALL, &words).middle().in_colour(SOFT_INK);
            sheet.words("", (x, foot + 4.0), words);
        }
    }

    /// Lines across the page and their words on the left.
    pub fn upward(&self, sheet: &mut Sheet, left: f64, right: f64) {
        for (minutes, words) in self.marks() {
            let y = self.at(minutes);
            let mut line = Line::default();
            line.segment((left, y), (right, y));
            sheet.path("", &line, Paint::stroke(FAINT, 0.2));
            let at = (left - 1.5, y + lettering::capital(SMALL) / 2.0);
            ending(sheet, at, Words::new(Weight::Regular, SMALL, &words).in_colour(SOFT_INK));
        }
    }
}
