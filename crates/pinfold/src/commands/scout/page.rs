//! The answer of `scout` for a person.

use ::scout::finds::Find;
use paper::terminal;

use super::finds::{Found, Hunt};
use super::rank::Ranked;
use crate::answer::{Failure, counted};
use crate::rules;
use crate::screen::{Drawing, Key, Screen};
use crate::work::Early;

/// Everything that is told of one call.
pub(super) struct Told<'a> {
    pub(super) hunt: &'a Hunt<'a>,
    pub(super) found: &'a Found,
    /// The finds on the page.
    pub(super) ranked: &'a Ranked,
    /// Files that were written.
    pub(super) files: &'a [String],
    /// Names of the outlines that were kept.
    pub(super) kept: &'a [String],
}

impl Told<'_> {
    pub(super) fn page(&self, screen: &Screen) -> Result<String, Failure> {
        let mut text = String::new();
        if !self.found.finds.is_empty() || !self.found.done {
            text += &screen.wrap(&format!("{}.", self.heading()), "  ");
        }
        let shown = &self.ranked.shown;
        if !shown.is_empty() {
            text.push('\n');
            let mut key = Key::default();
            let drawings: Result<Vec<Drawing>, Failure> =
                shown.iter().enumerate().map(|(i, find)| drawing(i + 1, find, screen, &mut key)).collect();
            text += &screen.beside(&drawings?);
            text.push('\n');
            text += &screen.key(&key.entries);
            text.push('\n');
        }
        let mut notes: Vec<String> = self.found.notes.clone();
        let alike = self.ranked.among - shown.len();
        if alike > 0 {
            let passed = counted(alike, "find");
            notes.push(format!("Passed over {passed} nearly the same as a better one; --alike shows them."));
        }
        let more = self.found.good.saturating_sub(self.ranked.among as u64);
        if more > 0 {
            notes.push(format!(
                "{} that are not as good; --show N shows more.",
                counted(more as usize, "find")
            ));
        }
        for note in notes.iter().filter(|note| !note.is_empty()) {
            text += &screen.wrap(note, "");
        }
        let after = format!("after {:.1} s", self.hunt.work.seconds());
        if let Some(early) = self.hunt.work.ended() {
            let why = if early == Early::Time { "stopped by --time" } else { "interrupted" };
            text += &screen.wrap(&format!("Not complete: {why}, {after}. There may be more."), "");
        }
        for file in self.files {
            text += &format!("Wrote {file}\n");
        }
        for name in self.kept {
            text += &format!("Kept outlines/{name}.toml\n");
        }
        text += &screen.wrap(rules::folds_used(&self.hunt.project), "");
        Ok(text)
    }

    fn heading(&self) -> String {
        let looked = counted(self.found.looked as usize, "outline");
        match self.found.good {
            0 if self.found.looked == 0 => "No outline was looked at".to_owned(),
            0 => format!("{looked} looked at, and no find"),
            good => format!("{looked} looked at, {}", counted(good as usize, "find")),
        }
    }
}

fn drawing(rank: usize, find: &Find, screen: &Screen, key: &mut Key) -> Result<Drawing, Failure> {
    let outline = find.outline();
    let drawn = terminal::outline(&outline, screen.look)?;
    let mut drawing = key.take(format!("{rank}: {:.2}", find.score), &drawn, outline.bounds().2 as usize);
    let look = &find.look;
    let layouts = counted(look.different as usize, "layout");
    match &look.smallest {
        Some(alone) => {
            drawing.lines.push(format!("{} leave", counted(alone.pockets.len(), "pocket")));
            drawing.lines.push(format!("1 of {layouts}"));
        }
        None => drawing.lines.push(layouts),
    }
    drawing.lines.extend(find.notes.iter().cloned());
    Ok(drawing)
}
