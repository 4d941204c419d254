//! The answer of `grade` for a person.

use grade::{Grade, Known, Step};
use project::OutlineRecord;

use super::Case;
use crate::answer::{Failure, counted};
use crate::layouts::{OnScreen, Table};
use crate::rules;
use crate::screen::{Key, Screen};

impl Case<'_> {
    pub(super) fn page(&self, screen: &Screen) -> Result<String, Failure> {
        let mut text = String::new();
        let outlines = &self.graded.outlines;
        if outlines.len() > 1 {
            text += &self.ladder();
            text.push('\n');
        }
        for (record, grade) in outlines {
            match grade {
                Ok(grade) => text += &self.told(record, grade, screen)?,
                Err(why) => {
                    text += &screen.wrap(&format!("{}: no grade, for {why}.", record.title), "  ");
                }
            }
            text.push('\n');
        }
        let steps: Vec<String> = Step::ALL
            .iter()
            .map(|s| match s.from_effort().exp2() {
                from if from > 1.0 => format!("{} from {from:.0} tries", s.word()),
                _ => s.word().to_owned(),
            })
            .collect();
        text += &screen.wrap(
            &format!(
                "A try is one look at one spot: a piece is laid there, or nothing is found to go. Effort is \
                 the log to base 2 of the tries that half of people need. Grades: {}.",
                steps.join(", ")
            ),
            "",
        );
        text += &screen.wrap(rules::folds_used(self.project), "");
        text += &format!("{} graded, in {:.1} s.\n", counted(outlines.len(), "outline"), self.graded.seconds);
        for path in &self.files {
            text += &format!("Written: {}.\n", path.display());
        }
        for path in &self.written {
            text += &format!("Written: the grade, into {}.\n", path.display());
        }
        if self.args.write && self.written.is_empty() {
            text += "Nothing was written: the files have these grades already.\n";
        }
        Ok(text)
    }

    /// All of them, the easiest first.
    fn ladder(&self) -> String {
        let graded = self.graded.outlines.iter();
        let mut rows: Vec<(&OutlineRecord, &Grade)> =
            graded.filter_map(|(record, grade)| Some((*record, grade.as_ref().ok()?))).collect();
        rows.sort_by(|a, b| a.1.effort.total_cmp(&b.1.effort));
        let wide = rows.iter().map(|r| r.0.title.chars().count()).max().unwrap_or(0);
        let mut text = String::new();
        for (record, grade) in rows {
            text += &format!("  {:wide$}  {}  {}\n", record.title, grade.step.word(), effort(grade));
        }
        text
    }

    fn told(&self, record: &OutlineRecord, grade: &Grade, screen: &Screen) -> Result<String, Failure> {
        let heading = format!("{}: {}, {}", record.title, grade.step.word(), effort(grade));
        let mut text = screen.wrap(&heading, "  ");
        if let Some(start) = &grade.wrong_start {
            let table = Table { project: self.project, outline: &record.outline, style: &self.style };
            let mut key = Key::default();
            let caption = "the most tempting wrong start".to_owned();
            let drawing = table.drawing(&start.folding, caption, screen.look, &mut key)?;
            text.push('\n');
            text += &screen.beside(&[drawing]);
            let letters = table.letters();
            let laid: Vec<String> = start.folding.placed.iter().map(|p| letters[p.piece].clone()).collect();
            text += &screen.key(&laid);
            text += &screen.key(&key.entries);
            text.push('\n');
        }
        let name = |piece| self.project.piece_name(piece);
        for sentence in grade::sentences(grade, record.outline.pockets().len(), &name) {
            text += &screen.wrap(&format!("  {sentence}"), "    ");
        }
        text += &screen.wrap(&format!("  {}", self.timed.minutes_told(self.position(record))), "    ");
        if let Some(border) = near_border(grade) {
            text += &screen.wrap(&format!("  {border}"), "    ");
        }
        if let Some(printed) = record.grade.as_ref().filter(|g| *g != grade.step.word()) {
            text += &screen.wrap(&format!("  Its file says \"{printed}\"."), "    ");
        }
        Ok(text)
    }
}

/// "effort 9.3 (9.2 to 9.4)".
pub(crate) fn effort(grade: &Grade) -> String {
    let [low, high] = grade.interval;
    match grade.known {
        Known::Counted => format!("effort {:.1} ({low:.1} to {high:.1})", grade.effort),
        Known::Estimated => format!("effort about {:.1} ({low:.1} to {high:.1})", grade.effort),
        Known::AtLeast => format!("effort more than {:.1}", grade.effort),
    }
}

/// That the interval reaches into another step.
fn near_border(grade: &Grade) -> Option<String> {
    let other = grade.interval.map(Step::of).into_iter().find(|s| *s != grade.step)?;
    Some(format!("It stands on the border to {}: more people (--runs) would tell.", other.word()))
}
