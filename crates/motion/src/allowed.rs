//! The folds of a piece that a set's rule lets a filling use, and how sure
//! that is.

use std::fmt;

use lattice::{FoldSet, Piece};
use reach::{Plan, Reach};

use crate::planned::{Answer, Effort, Planned};

/// Which folds a filling may use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Only folds that single clear swings lead to.
    Swings,
    /// Also folds that a motion found within this effort leads to.
    Planned(Effort),
    /// Every fold, reached or not.
    Any,
}

/// The folds that a rule allows, with what stands behind the choice. Shown, it
/// is one sentence that says which rule it was and what was left out.
#[derive(Clone, Debug)]
pub struct Allowed {
    /// The folds allowed.
    pub folds: FoldSet,
    /// The rule that allowed them.
    pub rule: Rule,
    /// All folds of the piece.
    pub all: usize,
    /// Folds allowed because of a motion of several hinges.
    pub planned: usize,
    /// Folds left out because no way was found; there may be one.
    pub not_found: usize,
    /// Folds left out because no motion can lead there.
    pub never: usize,
    /// How often the planner looked at the bodies.
    pub looks: u64,
}

impl Allowed {
    /// The folds of `piece` that `rule` allows in a set of `levels` levels,
    /// with bodies as wide as `plan` says; with `turn_over`, both ways up.
    pub fn of(piece: &Piece, levels: u8, turn_over: bool, plan: &Plan, rule: Rule) -> Self {
        let whole = |folds: FoldSet| {
            let all = folds.len();
            Allowed { folds, rule, all, planned: 0, not_found: 0, never: 0, looks: 0 }
        };
        match rule {
            Rule::Any => whole(FoldSet::of(piece, levels, turn_over)),
            Rule::Swings => {
                let reach = Reach::of(piece, levels, turn_over, plan);
                let allowed = whole(reach.folds().clone()).only(|f| reach.distance(f).is_some());
                let left = allowed.all - allowed.folds.len();
                Allowed { not_found: left, ..allowed }
            }
            Rule::Planned(effort) => {
                let found = Planned::of(piece, levels, turn_over, plan, effort);
                let reached = |f| matches!(found.answer(f), Answer::Swings | Answer::Planned);
                Allowed {
                    planned: found.count(Answer::Planned),
                    not_found: found.count(Answer::NotFound),
                    never: found.count(Answer::Never),
                    looks: found.looks(),
                    ..whole(found.folds().clone()).only(reached)
                }
            }
        }
    }

    fn only(self, keep: impl Fn(usize) -> bool) -> Self {
        let kept = self.folds.folds().iter().enumerate().filter(|(f, _)| keep(*f)).map(|(_, f)| f.clone());
        Allowed { folds: FoldSet::from_folds(kept.collect()), ..self }
    }
}

impl fmt::Display for Allowed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (allowed, all) = (self.folds.len(), self.all);
        match self.rule {
            Rule::Any => write!(f, "all {all} folds, reached or not"),
            Rule::Swings => write!(f, "{allowed} of {all} folds: those that single swings reach"),
            Rule::Planned(Effort { seed, .. }) => {
                write!(
                    f,
                    "{allowed} of {all} folds: those that swings reach, and {} by motions of several hinges",
                    self.planned
                )?;
                if self.never > 0 {
                    write!(f, "; {} can't be reached by any motion", self.never)?;
                }
                if self.not_found > 0 {
                    let (n, looks) = (self.not_found, self.looks);
                    write!(f, "; for {n} no way was found within {looks} looks (seed {seed})")?;
                }
                Ok(())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimens::{FAN, LOCK, ROTATING_SQUARES, gangway, piece};

    #[test]
    fn each_rule_allows_what_the_one_before_allows() {
        let rules = [Rule::Swings, Rule::Planned(Effort { looks: 5_000, seed: 3 }), Rule::Any];
        for piece in [
            gangway(4),
            piece(ROTATING_SQUARES.0, ROTATING_SQUARES.1),
            piece(FAN.0, FAN.1),
            piece(LOCK.0, LOCK.1),
        ] {
            let [swings, planned, any] = rules.map(|r| Allowed::of(&piece, 2, false, &Plan::default(), r));
            let within =
                |a: &Allowed, b: &Allowed| a.folds.folds().iter().all(|f| b.folds.position(f).is_some());
            assert!(within(&swings, &planned) && within(&planned, &any));
            assert!(any.folds.alike(&FoldSet::of(&piece, 2, false)));
            assert_eq!(planned.folds.len(), swings.folds.len() + planned.planned);
            assert_eq!(planned.folds.len() + planned.never + planned.not_found, any.folds.len());
        }
    }

    #[test]
    fn every_answer_says_which() {
        let ring = piece(ROTATING_SQUARES.0, ROTATING_SQUARES.1);
        let told = |piece: &Piece, rule| Allowed::of(piece, 2, false, &Plan::default(), rule).to_string();
        let effort = Effort { looks: 1_000, seed: 9 };
        assert_eq!(told(&ring, Rule::Any), "all 6 folds, reached or not");
        assert_eq!(told(&ring, Rule::Swings), "2 of 6 folds: those that single swings reach");
        assert_eq!(
            told(&ring, Rule::Planned(effort)),
            "6 of 6 folds: those that swings reach, and 4 by motions of several hinges"
        );
        assert_eq!(
            told(&piece(LOCK.0, LOCK.1), Rule::Planned(effort)),
            "4 of 72 folds: those that swings reach, and 0 by motions of several hinges; \
             for 68 no way was found within 1000 looks (seed 9)"
        );
        assert_eq!(
            told(&piece(FAN.0, FAN.1), Rule::Planned(effort)),
            "108 of 216 folds: those that swings reach, and 0 by motions of several hinges; \
             108 can't be reached by any motion"
        );
    }
}
