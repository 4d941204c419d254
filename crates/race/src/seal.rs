//! Rules and answers sealed: one text, to the byte, whose SHA-256 is published at
//! the opening and which is published itself at the end.
//!
//! The text holds a random salt of 256 bits, so that nobody can guess an answer and
//! see from the hash that the guess is right. The hash is that of the whole text, so
//! any program that reckons SHA-256 of a file checks it. The rules are the lines of
//! the text without the salt and the answers.

use crate::digest::{hex, sha256};
use crate::error::RaceError;
use crate::moment::Moment;
use crate::names;

/// The first line of a sealed text.
pub const SEAL: &str = "pinfold race seal 1";

/// How ties are decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tie {
    /// Whose entry came in first, in the order of receipt.
    Receipt,
    /// Not at all: they share the place.
    Shared,
}

impl Tie {
    /// Every rule.
    pub const ALL: [Tie; 2] = [Tie::Receipt, Tie::Shared];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Tie::Receipt => "receipt",
            Tie::Shared => "shared",
        }
    }

    /// The rule of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|tie| tie.word() == word)
    }

    /// The rule as a sentence for entrants.
    pub fn sentence(self) -> &'static str {
        match self {
            Tie::Receipt => {
                "Of entrants who are level, the one whose deciding entry stands earlier in the log is before \
                 the others."
            }
            Tie::Shared => "Entrants who are level share the place and its prize.",
        }
    }
}

/// What can be won.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GoalKind {
    /// Being first with every outline of the pack.
    All,
    /// Being first with every outline of the larger pack.
    Larger,
    /// Most outlines by the deadline.
    Most,
}

impl GoalKind {
    /// Every goal, in the order of standings.
    pub const ALL: [GoalKind; 3] = [GoalKind::All, GoalKind::Larger, GoalKind::Most];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            GoalKind::All => "all",
            GoalKind::Larger => "larger",
            GoalKind::Most => "most",
        }
    }

    /// The goal of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|goal| goal.word() == word)
    }
}

/// A goal with its prize.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Goal {
    /// What is to be done.
    pub kind: GoalKind,
    /// What it wins, in the maker's words.
    pub prize: Option<String>,
}

/// The answers to an outline, as far as they were found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answers {
    /// The codes of essentially different layouts, each once, sorted.
    pub codes: Vec<String>,
    /// Whether these are all.
    pub complete: bool,
}

/// An outline of a race.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealedOutline {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Its printed number.
    pub number: Option<u32>,
    /// Whether the pack has it; else only the larger pack.
    pub in_pack: bool,
    /// What judges a layout of it: lines of its drawing and the like.
    pub lines: Vec<String>,
    /// Its answers.
    pub answers: Answers,
}

/// Everything that is sealed, but the salt.
#[derive(Clone, Debug)]
pub struct Terms {
    /// The race's name, fit for a file name.
    pub race: String,
    /// The pack's name.
    pub pack: String,
    /// The larger pack's name.
    pub larger: Option<String>,
    /// When it opens.
    pub opened: Moment,
    /// Entries received later do not count.
    pub until: Moment,
    /// How ties are decided.
    pub tie: Tie,
    /// Whether an entry needs a proof.
    pub proof: bool,
    /// The goals, in the order of [`GoalKind`].
    pub goals: Vec<Goal>,
    /// What judges layouts besides the outline: lines of the set's pieces and rules.
    pub set: Vec<String>,
    /// The outlines, in the order of the larger pack, or else of the pack.
    pub outlines: Vec<SealedOutline>,
}

/// What must be random in a race, and stay secret until its end.
#[derive(Clone)]
pub struct Secrets {
    /// The salt of the sealed text.
    pub salt: [u8; 32],
    /// The key of entry marks; it is never published.
    pub mark_key: [u8; 32],
}

impl Secrets {
    /// Fresh ones, from the system's source of randomness.
    ///
    /// # Errors
    /// That the system has none.
    pub fn fresh() -> Result<Self, RaceError> {
        let mut secrets = Secrets { salt: [0; 32], mark_key: [0; 32] };
        random(&mut secrets.salt)?;
        random(&mut secrets.mark_key)?;
        Ok(secrets)
    }
}

pub(crate) fn random(bytes: &mut [u8]) -> Result<(), RaceError> {
    getrandom::fill(bytes).map_err(|e| RaceError::NoRandomness { why: e.to_string() })
}

/// What opening a race gave.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The SHA-256 of the sealed text: to be published now.
    pub commitment: String,
    /// The sealed text without salt and answers: to be published now.
    pub rules: String,
}

impl Terms {
    /// The sealed text.
    pub(crate) fn sealed(&self, salt: &[u8; 32]) -> String {
        let mut lines = vec![SEAL.to_owned(), format!("salt {}", hex(salt))];
        let or_none = |text: &Option<String>| text.clone().unwrap_or_else(|| "-".to_owned());
        lines.push(format!("race {}", self.race));
        lines.push(format!("pack {}", self.pack));
        lines.push(format!("larger {}", or_none(&self.larger)));
        lines.push(format!("opened {}", self.opened));
        lines.push(format!("until {}", self.until));
        lines.push(format!("tie {}", self.tie.word()));
        lines.push(format!("proof {}", if self.proof { "needed" } else { "not needed" }));
        for goal in &self.goals {
            lines.push(format!("goal {} {}", goal.kind.word(), or_none(&goal.prize)));
        }
        lines.push("set".to_owned());
        lines.extend(self.set.iter().map(|line| format!("  {line}")));
        for outline in &self.outlines {
            lines.push(format!("outline {}", outline.name));
            lines.push(format!("  title {}", outline.title));
            let number = outline.number.map_or_else(|| "-".to_owned(), |n| n.to_string());
            lines.push(format!("  number {number}"));
            lines.push(format!("  pack {}", if outline.in_pack { "yes" } else { "no" }));
            lines.extend(outline.lines.iter().map(|line| format!("  {line}")));
            let Answers { codes, complete } = &outline.answers;
            let known = if *complete { "all" } else { "not all" };
            lines.push(format!("  answers {} {known}", codes.len()));
            lines.extend(codes.iter().map(|code| format!("  answer {code}")));
        }
        lines.push("end".to_owned());
        let one_line = |line: String| line.replace(char::is_control, " ") + "\n";
        lines.into_iter().map(one_line).collect()
    }

    /// What is wrong with the terms, besides what the caller's types rule out.
    pub(crate) fn check(&mut self) -> Result<(), RaceError> {
        let mut faults = Vec::new();
        if !project::stem_is_good(&self.race) {
            faults.push("the race's name must be fit for a file name: letters, digits, - and _".to_owned());
        }
        if self.until <= self.opened {
            faults.push(format!("the deadline {} is over already", self.until));
        }
        if self.goals.is_empty() {
            faults.push("there is no goal".to_owned());
        }
        for goal in &mut self.goals {
            match goal.prize.as_deref().map(|prize| names::sentence("prize", prize)) {
                Some(Ok(prize)) => goal.prize = Some(prize),
                Some(Err(e)) => faults.push(e.to_string()),
                None => {}
            }
            if goal.kind == GoalKind::Larger && self.larger.is_none() {
                faults.push("the goal 'larger' needs a larger pack".to_owned());
            }
        }
        self.goals.sort_by_key(|goal| goal.kind);
        for pair in self.goals.windows(2).filter(|pair| pair[0].kind == pair[1].kind) {
            faults.push(format!("the goal '{}' is given twice", pair[0].kind.word()));
        }
        if !self.outlines.iter().any(|o| o.in_pack) {
            faults.push(format!("the pack '{}' has no outline", self.pack));
        }
        for outline in self.outlines.iter().filter(|o| o.answers.codes.is_empty()) {
            faults.push(format!("the outline '{}' has no answer", outline.name));
        }
        if faults.is_empty() { Ok(()) } else { Err(RaceError::Terms { faults }) }
    }
}

/// The public part of a sealed text: without salt and answers.
pub(crate) fn rules_of(sealed: &str) -> String {
    let secret =
        |line: &str| ["salt ", "  answers ", "  answer "].iter().any(|start| line.starts_with(start));
    sealed.lines().filter(|line| !secret(line)).map(|line| format!("{line}\n")).collect()
}

/// The commitment to a sealed text.
pub(crate) fn commitment(sealed: &str) -> String {
    sha256(sealed.as_bytes())
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A race of two outlines, the second only in the larger pack.
    pub(crate) fn terms() -> Terms {
        let outline = |name: &str, number, in_pack| SealedOutline {
            name: name.to_owned(),
            title: format!("The {name}"),
            number: Some(number),
            in_pack,
            lines: vec!["spare 0".to_owned(), "row + +".to_owned()],
            answers: Answers { codes: vec!["1122".to_owned()], complete: true },
        };
        let goal = |kind| Goal { kind, prize: None };
        Terms {
            race: "spring-tide".to_owned(),
            pack: "first-tide".to_owned(),
            larger: Some("members".to_owned()),
            opened: Moment::parse("2026-11-25T17:00:00Z").unwrap(),
            until: Moment::parse("2026-12-01T00:00:00+01:00").unwrap(),
            tie: Tie::Receipt,
            proof: false,
            goals: GoalKind::ALL.map(goal).to_vec(),
            set: vec!["levels 2".to_owned()],
            outlines: vec![outline("crab", 1, true), outline("tug", 2, false)],
        }
    }

    #[test]
    fn the_sealed_text_is_this_to_the_byte() {
        let text = terms().sealed(&[0xab; 32]);
        let salt = "ab".repeat(32);
        let wanted = format!(
            "pinfold race seal 1\nsalt {salt}\nrace spring-tide\npack first-tide\nlarger members\n\
             opened 2026-11-25T17:00:00Z\nuntil 2026-12-01T00:00:00+01:00\ntie receipt\nproof not needed\n\
             goal all -\ngoal larger -\ngoal most -\nset\n  levels 2\noutline crab\n  title The crab\n\
             \x20 number 1\n  pack yes\n  spare 0\n  row + +\n  answers 1 all\n  answer 1122\noutline tug\n\
             \x20 title The tug\n  number 2\n  pack no\n  spare 0\n  row + +\n  answers 1 all\n  answer 1122\n\
             end\n"
        );
        assert_eq!(text, wanted);
        let rules = rules_of(&text);
        assert!(!rules.contains("1122") && !rules.contains(&salt) && rules.contains("row + +"));
    }

    #[test]
    fn no_text_can_begin_a_line_of_its_own() {
        let mut sly = terms();
        sly.outlines[0].title = "Crab\n  answer 2211".to_owned();
        assert_eq!(sly.sealed(&[0; 32]).lines().count(), terms().sealed(&[0; 32]).lines().count());
    }

    #[test]
    fn every_fault_of_the_terms_is_told_at_once() {
        let mut bad = terms();
        bad.race = "../up".to_owned();
        bad.until = bad.opened.clone();
        bad.goals.push(Goal { kind: GoalKind::All, prize: Some("a\u{202e}b".to_owned()) });
        bad.larger = None;
        bad.outlines[0].in_pack = false;
        bad.outlines[1].answers.codes.clear();
        let Err(RaceError::Terms { faults }) = bad.check() else { panic!("no fault") };
        assert_eq!(faults.len(), 7, "{faults:#?}");
    }
}
