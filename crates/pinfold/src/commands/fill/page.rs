//! The answer of `fill` for a person: drawings, how the pieces go in, and what
//! the numbers mean.

use std::path::PathBuf;

use desk::ways::Ways;
use num_bigint::BigUint;

use super::{Case, Found, Stopped, Verdict};
use crate::answer::{Failure, counted};
use crate::layouts::{OnScreen, Table, plural};
use crate::rules;
use crate::screen::{Key, Screen};
use crate::work::Early;

/// What makes layouts essentially different.
const TURNS: &str = "turns of the outline are one";

impl Case<'_> {
    pub(super) fn page(
        &self,
        table: &Table,
        found: &Found,
        ways: Option<&Ways>,
        files: &[PathBuf],
        screen: &Screen,
    ) -> Result<String, Failure> {
        let mut text = screen.wrap(&self.heading(), "  ");
        text.push('\n');
        if !found.answers.is_empty() {
            text += &self.drawings(table, found, ways, screen)?;
        }
        if found.counts.layouts > BigUint::ZERO {
            text += &self.numbers(found);
            text.push('\n');
        }
        for sentence in self.sentences(found) {
            text += &screen.wrap(&sentence, "");
        }
        if let Some(first) = files.first() {
            let more = if files.len() > 1 { format!(" and {} more", files.len() - 1) } else { String::new() };
            text += &format!("Written: {}{more}.\n", first.display());
        }
        Ok(text)
    }

    fn heading(&self) -> String {
        let outline = &self.outline;
        let mut facts = vec![counted(outline.cells().len(), "cell")];
        if outline.spare() > 0 {
            facts.push(format!("{} of them to stay empty", outline.spare()));
        }
        facts.push(if self.args.open {
            format!("as if with a pocket all round ({})", counted(outline.pockets().len(), "pocket"))
        } else {
            counted(outline.pockets().len(), "pocket")
        });
        format!("{}: {}", self.record.title, facts.join(", "))
    }

    fn drawings(
        &self,
        table: &Table,
        found: &Found,
        ways: Option<&Ways>,
        screen: &Screen,
    ) -> Result<String, Failure> {
        let mut key = Key::default();
        let mut drawings = Vec::new();
        for (number, answer) in found.answers.iter().enumerate() {
            let caption = (number + 1).to_string();
            drawings.push(table.drawing(&answer.folding, caption, screen.look, &mut key)?);
        }
        let mut text = screen.beside(&drawings);
        text.push('\n');
        text += &screen.key(&table.letters());
        text += &screen.key(&key.entries);
        text.push('\n');
        let wide = found.answers.len().to_string().len();
        for (number, answer) in found.answers.iter().enumerate() {
            let foldings = plural(&answer.foldings, "folding");
            let way = table.way_in(&answer.folding, &answer.drop_in);
            let line = format!("  {:wide$}  {foldings}; {way}", number + 1);
            let indent = " ".repeat(wide + 4);
            text += &screen.wrap(&line, &indent);
            for way in ways.iter().flat_map(|ways| ways.sentences(&answer.folding)) {
                text += &screen.wrap(&format!("{indent}{way}"), &format!("{indent}  "));
            }
        }
        text.push('\n');
        Ok(text)
    }

    /// The numbers, one a line, right-aligned before what they count.
    fn numbers(&self, found: &Found) -> String {
        let counts = &found.counts;
        let mut lines = vec![
            (&counts.different, ["essentially different layout", "essentially different layouts"], TURNS),
            (&counts.layouts, ["layout", "layouts"], "which piece covers which cells"),
            (&counts.foldings, ["folding", "foldings"], "a layout with its hinges"),
        ];
        if let Some(n) = &counts.drop_in_layouts {
            let words = ["layout that drops in", "layouts that drop in"];
            lines.push((n, words, "piece by piece, from above"));
        }
        let wide = lines.iter().map(|l| l.0.to_string().len()).max().unwrap_or(1);
        let least = if found.stopped.is_some() { "at least " } else { "" };
        let line = |(n, [one, many], meaning): &(&BigUint, [&str; 2], &str)| {
            let what = if **n == BigUint::from(1u8) { one } else { many };
            format!("  {least}{:>wide$}  {what} ({meaning})\n", n.to_string())
        };
        lines.iter().map(line).collect()
    }

    fn sentences(&self, found: &Found) -> Vec<String> {
        let seconds = format!("{:.1} s", found.seconds);
        let mut all = vec![match found.stopped {
            None => {
                let done = if self.args.count { "counted" } else { "searched" };
                format!("Complete: everything was {done}, in {seconds}, so the numbers are exact.")
            }
            Some(Stopped::Limit) => {
                format!("Not complete: stopped at the limit, after {seconds}. There may be more.")
            }
            Some(Stopped::Early(why)) => {
                let why = match why {
                    Early::Time => "the time was over",
                    Early::Interrupted => "interrupted",
                };
                let more = if self.args.count { "There is no count." } else { "There may be more." };
                format!("Not complete: {why}, after {seconds}. {more}")
            }
        }];
        let complete = found.stopped.is_none();
        all.extend(match self.verdict(found) {
            Verdict::None if complete && self.args.open => {
                Some("There is no filling, wherever the pockets are.".to_owned())
            }
            Verdict::None if complete => {
                let open = format!("pinfold fill {} --open", self.record.name);
                Some(format!("There is no filling. `{open}` tells whether pockets can help."))
            }
            Verdict::Interlocked => {
                let every = if complete { "Every layout" } else { "Every layout found" };
                let rule = "The set counts none as a solution (interlocked = false).";
                Some(format!("{every} is interlocked: no order of laying the pieces in works. {rule}"))
            }
            Verdict::Perhaps => {
                Some("Counting without listing does not tell which layouts drop in.".to_owned())
            }
            Verdict::Yes | Verdict::None => None,
        });
        if BigUint::from(found.answers.len()) < found.counts.different && !found.answers.is_empty() {
            all.push(format!("Shown: {} of them; --answers N shows more.", found.answers.len()));
        }
        all.push(rules::folds_used(self.project).into());
        all
    }
}
