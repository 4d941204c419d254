//! How many tries people need: the distribution over many of them, with those
//! who gave up counted as such.
//!
//! Everyone gives up after the same number of tries, so up to there the share
//! who have solved it is simply counted (what the Kaplan–Meier estimate comes
//! to). Beyond, the chance a try is taken to stay what it was over the last
//! three quarters, and every such figure is marked as estimated.

use crate::walk::Fared;

/// Solvers in the last three quarters that an estimate beyond needs.
const ENOUGH: usize = 10;

/// A number of tries, and how it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// Tries.
    pub tries: f64,
    /// How it is known.
    pub known: Known,
}

/// How a figure is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Known {
    /// Counted.
    Counted,
    /// Beyond the tries after which people gave up, at a constant chance a try.
    Estimated,
    /// A lower bound: too few solved it for an estimate.
    AtLeast,
}

/// How many tries people needed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tries {
    /// Tries of those who solved it, ascending.
    solved: Vec<u32>,
    /// How many gave up.
    gave_up: usize,
    /// After how many tries.
    most: u32,
}

impl Tries {
    pub(crate) fn of(all: &[Fared], most: u32) -> Self {
        let mut solved: Vec<u32> = all.iter().filter(|f| f.solved).map(|f| f.tries).collect();
        solved.sort_unstable();
        Tries { gave_up: all.len() - solved.len(), solved, most }
    }

    /// How many people.
    pub fn runs(&self) -> usize {
        self.solved.len() + self.gave_up
    }

    /// The tries of those who solved it, ascending.
    pub fn solved(&self) -> &[u32] {
        &self.solved
    }

    /// How many gave up.
    pub fn gave_up(&self) -> usize {
        self.gave_up
    }

    /// After how many tries they gave up.
    pub fn most(&self) -> u32 {
        self.most
    }

    /// The tries by which a share of people, above 0 and below 1, have solved it.
    pub fn quantile(&self, share: f64) -> Figure {
        let rank = (share * self.runs() as f64).ceil().max(1.0);
        self.at_rank(rank, 0.0)
    }

    /// The half of people, between the bounds of a 90 % interval for it: those ranks
    /// between which the true median lies (binomial, normal approximation), and
    /// beyond what was seen the chance a try that goes with them (Poisson, normal
    /// approximation of its logarithm). A lower bound is no more than that.
    pub fn median(&self) -> [Figure; 3] {
        let n = self.runs() as f64;
        let wide = 1.645;
        let ranks = wide * n.sqrt() / 2.0;
        let late = self.late().len();
        let chance = if late >= ENOUGH { wide / (late as f64).sqrt() } else { 0.0 };
        let at = |rank: f64, tilt| self.at_rank(rank.clamp(1.0, n), tilt);
        [
            at((n / 2.0 - ranks).floor(), chance),
            at((n / 2.0).ceil(), 0.0),
            at((n / 2.0 + ranks).ceil(), -chance),
        ]
    }

    /// The tries of the person of a rank; beyond what was seen, with e to the power of
    /// `tilt` times the chance a try.
    fn at_rank(&self, rank: f64, tilt: f64) -> Figure {
        if let Some(&tries) = self.solved.get(rank as usize - 1) {
            return Figure { tries: f64::from(tries), known: Known::Counted };
        }
        let (chance, known) = self.late_chance();
        let n = self.runs() as f64;
        // The last rank of all has nobody after it; half a person is taken to be left.
        let left = (n - rank).max(0.5);
        let further = (self.gave_up as f64 / left).ln() / (chance * tilt.exp());
        Figure { tries: f64::from(self.most) + further.max(0.0), known }
    }

    /// Where the last three quarters begin.
    fn from(&self) -> u32 {
        self.most / 4
    }

    /// The tries of those who solved it in the last three quarters.
    fn late(&self) -> &[u32] {
        &self.solved[self.solved.partition_point(|&t| t <= self.from())..]
    }

    /// The chance a try over the last three quarters, or a bound above it.
    fn late_chance(&self) -> (f64, Known) {
        let (from, late) = (self.from(), self.late());
        let looks: f64 = late.iter().map(|&t| f64::from(t - from)).sum::<f64>()
            + self.gave_up as f64 * f64::from(self.most - from);
        if late.len() >= ENOUGH {
            (late.len() as f64 / looks, Known::Estimated)
        } else {
            // A chance that would have shown more solvers than these 19 times in 20
            // (normal approximation on the square root of a Poisson count).
            let most = ((late.len() as f64 + 0.375).sqrt() + 0.8225).powi(2);
            (most / looks, Known::AtLeast)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(solved: &[u32], gave_up: usize, most: u32) -> Tries {
        let done = solved.iter().map(|&tries| Fared { tries, solved: true });
        let all: Vec<Fared> =
            done.chain((0..gave_up).map(|_| Fared { tries: most, solved: false })).collect();
        Tries::of(&all, most)
    }

    #[test]
    fn what_was_seen_is_counted() {
        let tries = of(&[5, 1, 9, 3], 0, 100);
        let counted = |tries| Figure { tries, known: Known::Counted };
        assert_eq!([0.25, 0.5, 0.51, 0.99].map(|q| tries.quantile(q)), [1.0, 3.0, 5.0, 9.0].map(counted));
        assert_eq!(tries.median()[1], counted(3.0));
    }

    /// Half-lives of a constant chance of 1 in 1000, given up at 1000: quantiles
    /// beyond are -1000 ln(1 - q).
    #[test]
    fn beyond_giving_up_a_constant_chance_is_found_again() {
        let n = 20_000;
        let mut solved = Vec::new();
        let mut gave_up = 0;
        for i in 0..n {
            let tries = (-1000.0 * (1.0 - (f64::from(i) + 0.5) / f64::from(n)).ln()).ceil() as u32;
            if tries <= 1000 { solved.push(tries) } else { gave_up += 1 }
        }
        let tries = of(&solved, gave_up, 1000);
        for q in [0.7, 0.8, 0.9] {
            let figure = tries.quantile(q);
            assert_eq!(figure.known, Known::Estimated);
            let true_one = -1000.0 * (1.0f64 - q).ln();
            assert!((figure.tries / true_one - 1.0).abs() < 0.01, "{q}: {figure:?} against {true_one}");
        }
    }

    #[test]
    fn where_too_few_solved_it_there_is_only_a_bound() {
        let figure = of(&[900, 950], 1998, 1000).quantile(0.5);
        assert_eq!(figure.known, Known::AtLeast);
        assert!(figure.tries > 100_000.0 && figure.tries < 700_000.0, "{figure:?}");
        let none = of(&[], 100, 1000).quantile(0.5);
        assert!(none.known == Known::AtLeast && none.tries > 1000.0);
    }

    /// With a constant chance a try, the true median lies in the interval nine times
    /// in ten, whether it was seen or lies far beyond.
    #[test]
    fn the_interval_holds_the_truth_as_often_as_it_says() {
        let mut dice = fastrand::Rng::with_seed(1);
        for chance in [0.01, 0.0004] {
            let truth = (0.5f64).ln() / (1.0f64 - chance).ln();
            let held = (0..500).filter(|_| {
                let fared = |_| {
                    let tries = ((1.0 - dice.f64()).ln() / (1.0f64 - chance).ln()).ceil().max(1.0);
                    Fared { tries: tries.min(300.0) as u32, solved: tries <= 300.0 }
                };
                let all: Vec<Fared> = (0..400).map(fared).collect();
                let [low, _, high] = Tries::of(&all, 300).median();
                (low.tries - 1.0..=high.tries + 1.0).contains(&truth)
            });
            let held = held.count();
            assert!((430..=490).contains(&held), "{held} of 500 at a chance of {chance}");
        }
    }
}
