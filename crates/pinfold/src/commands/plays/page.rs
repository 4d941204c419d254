//! The list of `plays` for a person.

use minutes::{Basis, Estimate};

use super::list::{Alone, Told};
use crate::answer::counted;
use crate::screen::Screen;
use crate::timing::{spell, spelt};

impl Told<'_> {
    pub(super) fn page(&self, screen: &Screen) -> String {
        let mut text = screen.wrap(&self.heading(), "  ");
        for sentence in self.timed.basis() {
            text += &screen.wrap(&sentence, "  ");
        }
        text.push('\n');
        text += &self.outlines();
        if !self.timed.testers.is_empty() {
            text.push('\n');
            text += &self.testers();
        }
        text.push('\n');
        for sentence in self.sentences() {
            text += &screen.wrap(&sentence, "");
        }
        text
    }

    fn heading(&self) -> String {
        let plays = &self.timed.plays.plays;
        let finished = plays.iter().filter(|p| p.finished).count();
        let tries = if plays.len() == 1 { "1 try".to_owned() } else { format!("{} tries", plays.len()) };
        let played = self.lines.iter().filter(|l| l.sittings > 0).count();
        format!(
            "{}: {tries} by {} at {played} of {}; {finished} finished, {} given up.",
            self.project.title,
            counted(self.timed.testers.len(), "tester"),
            counted(self.lines.len(), "outline"),
            plays.len() - finished,
        )
    }

    fn outlines(&self) -> String {
        let mut rows = vec![
            ["outline", "sat", "done", "by itself", "a middling tester", "a new tester"].map(str::to_owned),
        ];
        for line in &self.lines {
            let alone = match line.alone {
                Alone::Nothing => "-".to_owned(),
                Alone::LongerThan(m) => format!("> {}", spell(m)),
                Alone::Median(m) => spell(m),
            };
            let fresh = line.minutes.fresh;
            rows.push([
                self.project.outlines[line.outline].name.clone(),
                line.sittings.to_string(),
                line.finished.to_string(),
                alone,
                spelt(line.minutes.typical),
                format!("{} to {}", spell(fresh.low), spell(fresh.high)),
            ]);
        }
        columns(&rows)
    }

    fn testers(&self) -> String {
        let fit = &self.timed.fit;
        let mut rows = vec![["tester", "sat", "done", "minutes times"].map(str::to_owned)];
        for (t, name) in self.timed.testers.iter().enumerate() {
            let own = || fit.sittings().iter().filter(|s| s.tester == t);
            rows.push([
                name.clone(),
                own().count().to_string(),
                own().filter(|s| s.finished).count().to_string(),
                factor(fit.pace(t)),
            ]);
        }
        columns(&rows)
    }

    fn sentences(&self) -> Vec<String> {
        let fit = &self.timed.fit;
        let mut all = Vec::new();
        if fit.basis() == Basis::Plays {
            let spreads = fit.spreads();
            let of = |e: Estimate| factor(e.map(f64::exp));
            all.push(format!(
                "Two testers in three lie within a factor of {} of the middling one; one tester's tries \
                 at like outlines within {}; outlines of one effort within {}.",
                of(spreads.testers),
                of(spreads.noise),
                of(spreads.outlines),
            ));
            if self.timed.efforts.iter().any(Option::is_some) {
                let twice = fit.slope().map(|s| 2f64.powf(s));
                all.push(format!(
                    "Twice the tries of the model person go with {} times the minutes.",
                    factor(twice)
                ));
            }
            all.push(format!(
                "{} of {} came as foretold without their outline's own tries; 90 % are expected.",
                self.held(),
                counted(self.foretold.len(), "sitting"),
            ));
        }
        let after: usize = fit.sittings().iter().map(|s| s.after).sum();
        if after > 0 {
            let came = if after == 1 { "1 try came".to_owned() } else { format!("{after} tries came") };
            all.push(format!(
                "{came} after a finish and {} not counted.",
                if after == 1 { "is" } else { "are" }
            ));
        }
        all.push(
            "sat, done: testers who sat at it and who finished, a tester's tries added up. by itself: its \
             own median, nothing learnt from others. Intervals hold nine parts in ten."
                .to_owned(),
        );
        all.extend(self.files.iter().map(|file| format!("Written: {file}.")));
        all
    }
}

/// "1.3 (0.9 to 1.8)".
fn factor(estimate: Estimate) -> String {
    let Estimate { low, median, high } = estimate;
    format!("{median:.2} ({low:.2} to {high:.2})")
}

/// Rows in columns, the first on the left, the others as they come.
pub(super) fn columns<const N: usize>(rows: &[[String; N]]) -> String {
    let wide: Vec<usize> =
        (0..N).map(|i| rows.iter().map(|r| r[i].chars().count()).max().unwrap_or(0)).collect();
    let mut text = String::new();
    for row in rows {
        let cells: Vec<String> = row.iter().zip(&wide).map(|(cell, w)| format!("{cell:w$}")).collect();
        text += &format!("  {}\n", cells.join("   ").trim_end());
    }
    text
}
