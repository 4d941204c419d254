//! The grade: a few steps of effort, each with a word short enough for a plate.

/// How hard an outline is, in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Fewer than 64 tries for half of people.
    Mild,
    /// 64 to 255.
    Fair,
    /// 256 to 1023.
    Firm,
    /// 1024 to 4095.
    Hard,
    /// 4096 and more.
    Grim,
}

impl Step {
    /// All steps, the easiest first.
    pub const ALL: [Step; 5] = [Step::Mild, Step::Fair, Step::Firm, Step::Hard, Step::Grim];

    /// The effort a step begins at: each is four times the tries of the one before.
    pub fn from_effort(self) -> f64 {
        [0.0, 6.0, 8.0, 10.0, 12.0][self as usize]
    }

    /// The step that an effort falls in.
    pub fn of(effort: f64) -> Self {
        Step::ALL.into_iter().rfind(|s| effort >= s.from_effort()).unwrap_or(Step::Mild)
    }

    /// Its word, as printed on a plate.
    pub fn word(self) -> &'static str {
        ["mild", "fair", "firm", "hard", "grim"][self as usize]
    }
}

/// Effort: how many times a number of tries doubles one try.
pub fn effort(tries: f64) -> f64 {
    tries.max(1.0).log2()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_begin_where_they_say() {
        let words = [1.0, 63.0, 64.0, 255.0, 256.0, 1024.0, 4095.0, 4096.0, 1e9].map(|t| Step::of(effort(t)));
        use Step::{Fair, Firm, Grim, Hard, Mild};
        assert_eq!(words, [Mild, Mild, Fair, Fair, Firm, Hard, Hard, Grim, Grim]);
        assert!(Step::ALL.iter().all(|s| s.word().len() <= 4), "plates have room for four letters");
    }
}
