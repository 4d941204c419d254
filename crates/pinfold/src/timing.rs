//! Testers' tries and what they tell of the project's outlines: the seam between
//! the files, the efforts and the fit, for every command that speaks of minutes.

use std::collections::BTreeSet;

use minutes::{Basis, Estimate, Fit, FitAsk, Minutes, Plays, Try, fit};
use project::Project;
use serde_json::{Value, json};

use crate::answer::{Failure, counted};
use crate::efforts::Efforts;
use crate::grading::People;
use crate::work::waiting;

/// A project's tries, fitted. Outlines stand as in the project, testers as in
/// `testers`.
pub(crate) struct Timed {
    pub(crate) plays: project::Plays,
    pub(crate) testers: Vec<String>,
    /// ln of a model person's tries at each outline; `None` where nobody knows.
    pub(crate) efforts: Vec<Option<f64>>,
    pub(crate) fit: Fit,
}

impl Timed {
    /// Reads the tries of a project and fits them to its outlines, for a call that
    /// speaks of those named. Efforts not known yet are reckoned: of these, and of
    /// those that were played, for the fit rests on them.
    pub(crate) fn of<'p>(
        project: &'p Project,
        named: impl IntoIterator<Item = &'p str>,
        seed: u64,
    ) -> Result<Self, Failure> {
        let plays = project::Plays::read(&project.root)?;
        Self::with(project, plays, Efforts::kept(project, &People::default()), named, seed)
    }

    /// The same with tries that were read, and efforts as far as they are known.
    pub(crate) fn with<'p>(
        project: &'p Project,
        plays: project::Plays,
        mut efforts: Efforts<'p>,
        named: impl IntoIterator<Item = &'p str>,
        seed: u64,
    ) -> Result<Self, Failure> {
        let mut names: BTreeSet<&str> = named.into_iter().collect();
        names.extend(plays.plays.iter().map(|p| p.outline.as_str()));
        efforts.reckon(&names)?;
        let efforts = efforts.ln_tries();
        let testers = plays.testers();
        let mut rows: Vec<&project::Play> = plays.plays.iter().collect();
        rows.sort_by_key(|p| p.number);
        let tries = rows.into_iter().filter_map(|p| {
            // The names were checked when the rows were read.
            let outline = project.outlines.iter().position(|o| o.name == p.outline)?;
            let tester = testers.iter().position(|t| *t == p.tester)?;
            Some(Try { tester, outline, minutes: p.minutes, finished: p.finished })
        });
        let given = Plays { efforts: efforts.clone(), testers: testers.len(), tries: tries.collect() };
        let ask = FitAsk { seed, ..FitAsk::default() };
        let fit = waiting("fitting", || fit(&given, &ask))
            .map_err(|e| Failure::plain(format_args!("the tries were not fitted: {e}"), "see plays.csv"))?;
        Ok(Timed { plays, testers, efforts, fit })
    }

    /// The minutes of an outline, as JSON.
    pub(crate) fn minutes_json(&self, outline: usize) -> Value {
        let Minutes { basis, typical, fresh } = self.fit.minutes(outline);
        let ends = |e: Estimate| [digits(e.low), digits(e.high)];
        json!({
            "calibrated": basis == Basis::Plays,
            "basis": basis_word(basis),
            "median": digits(typical.median),
            "interval": ends(typical),
            "new_tester": ends(fresh),
            "level": 0.9,
            "sittings": self.sittings(outline),
        })
    }

    /// The minutes of an outline, in sentences.
    pub(crate) fn minutes_told(&self, outline: usize) -> String {
        let Minutes { basis, typical, fresh } = self.fit.minutes(outline);
        let (middling, low, high) = (spelt(typical), spell(fresh.low), spell(fresh.high));
        let needs = if basis == Basis::Plays { "needs" } else { "may need" };
        let told = format!("a middling tester {needs} {middling}, a new one {low} to {high}");
        match (basis, self.sittings(outline)) {
            (Basis::Belief, _) => {
                format!("Uncalibrated, only the order counts: believed, wide on purpose, {told}.")
            }
            (Basis::GivenUp, _) => {
                format!("Uncalibrated, for nothing has been finished yet: at a guess, {told}.")
            }
            (Basis::Plays, 0) => format!("By its effort alone, for nobody has played it: {told}."),
            (Basis::Plays, n) => format!("By {}: {told}.", counted(n, "sitting")),
        }
    }

    fn sittings(&self, outline: usize) -> usize {
        self.fit.sittings().iter().filter(|s| s.outline == outline).count()
    }

    /// What the fit rests on, and how far to trust it, in sentences.
    pub(crate) fn basis(&self) -> Vec<String> {
        let no_effort = self.efforts.iter().all(Option::is_none);
        let mut told = match self.fit.basis() {
            Basis::Belief => {
                let order = if no_effort {
                    "Efforts are not known either, so outlines have no order."
                } else {
                    "What counts is the order."
                };
                vec![format!(
                    "Uncalibrated: nobody has played. Minutes are what is believed beforehand, wide on \
                     purpose. {order}"
                )]
            }
            Basis::GivenUp => vec![
                "Nothing has been finished yet: the tries bound minutes from below alone, the rest is \
                 belief."
                    .to_owned(),
            ],
            Basis::Plays => Vec::new(),
        };
        if let Some(mixing) = self.fit.mixing()
            && !mixing.is_settled()
        {
            told.push(format!(
                "The fit has not settled (R-hat {:.3}, {:.0} effective draws): intervals may be off.",
                mixing.r_hat, mixing.effective
            ));
        }
        told
    }
}

/// All outlines of a project, by name.
pub(crate) fn all(project: &Project) -> impl Iterator<Item = &str> {
    project.outlines.iter().map(|o| o.name.as_str())
}

/// The word for a basis in JSON.
pub(crate) fn basis_word(basis: Basis) -> &'static str {
    match basis {
        Basis::Belief => "uncalibrated",
        Basis::GivenUp => "given up",
        Basis::Plays => "plays",
    }
}

/// An estimate as JSON, to six digits.
pub(crate) fn estimate_json(estimate: Estimate) -> Value {
    let Estimate { low, median, high } = estimate.map(digits);
    json!({ "low": low, "median": median, "high": high })
}

/// A number to six digits: more are noise.
pub(crate) fn digits(number: f64) -> f64 {
    format!("{number:.5e}").parse().unwrap_or(number)
}

/// Minutes as people say them.
pub(crate) fn spell(minutes: f64) -> String {
    match minutes {
        m if m < 0.995 => format!("{:.0} s", m * 60.0),
        m if m < 9.95 => format!("{m:.1} min"),
        m if m < 119.5 => format!("{m:.0} min"),
        m if m < 99.95 * 60.0 => format!("{:.1} h", m / 60.0),
        m => format!("{:.0} h", m / 60.0),
    }
}

/// "12 min (8.0 min to 19 min)".
pub(crate) fn spelt(estimate: Estimate) -> String {
    format!("{} ({} to {})", spell(estimate.median), spell(estimate.low), spell(estimate.high))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_told_in_the_unit_that_fits() {
        let told = [0.5, 3.25, 9.96, 59.7, 119.6, 3000.0, 60000.0].map(spell);
        assert_eq!(told, ["30 s", "3.2 min", "10 min", "60 min", "2.0 h", "50.0 h", "1000 h"]);
    }
}
