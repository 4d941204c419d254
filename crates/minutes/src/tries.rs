//! Tries as they were noted, and what a tester's tries at one outline tell.

use std::collections::BTreeMap;

/// One try: a tester's time at the board with one outline. Testers and outlines
/// are positions in lists of the caller's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Try {
    /// Who.
    pub tester: usize,
    /// At what.
    pub outline: usize,
    /// Minutes at the board.
    pub minutes: f64,
    /// Whether the outline was filled; if not, it was given up.
    pub finished: bool,
}

/// All that a fit is made of.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plays {
    /// For each outline its effort, the natural logarithm of a model person's
    /// tries; `None` where nobody has reckoned it.
    pub efforts: Vec<Option<f64>>,
    /// How many testers there are.
    pub testers: usize,
    /// The tries; those of one tester at one outline in the order they were made.
    pub tries: Vec<Try>,
}

/// What a tester's tries at an outline tell: the minutes until it was filled for
/// the first time, or that all of them were not enough.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sitting {
    /// Who.
    pub tester: usize,
    /// At what.
    pub outline: usize,
    /// Minutes at the board, those of earlier tries added.
    pub minutes: f64,
    /// Whether it ended with the outline filled.
    pub finished: bool,
    /// How many tries it is made of.
    pub tries: usize,
    /// Tries after the first finish, which know the answer and tell nothing.
    pub after: usize,
}

/// The tries of each tester at each outline put together, by outline and tester.
/// Minutes of tries that were given up count towards the finish that follows.
pub fn sittings(tries: &[Try]) -> Vec<Sitting> {
    let mut found: BTreeMap<(usize, usize), Sitting> = BTreeMap::new();
    for &Try { tester, outline, minutes, finished } in tries {
        let none = Sitting { tester, outline, minutes: 0.0, finished: false, tries: 0, after: 0 };
        let sitting = found.entry((outline, tester)).or_insert(none);
        if sitting.finished {
            sitting.after += 1;
        } else {
            sitting.minutes += minutes;
            sitting.finished = finished;
            sitting.tries += 1;
        }
    }
    found.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tries_add_up_to_the_first_finish() {
        let at = |outline, minutes, finished| Try { tester: 3, outline, minutes, finished };
        let told = sittings(&[at(1, 30.0, false), at(0, 5.0, false), at(1, 12.0, true), at(1, 2.0, true)]);
        assert_eq!(told.len(), 2);
        assert_eq!((told[0].minutes, told[0].finished, told[0].tries, told[0].after), (5.0, false, 1, 0));
        assert_eq!((told[1].minutes, told[1].finished, told[1].tries, told[1].after), (42.0, true, 2, 1));
    }
}
