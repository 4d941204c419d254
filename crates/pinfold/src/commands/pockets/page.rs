//! The answer of `pockets` for a person.

use std::collections::BTreeMap;

use fill::PocketSet;
use lattice::{Outline, Vertex};
use paper::terminal;

use super::{Case, Early, Stopped, Which};
use crate::answer::{Failure, counted};
use crate::layouts::{OnScreen, plural};
use crate::rules;
use crate::screen::{Key, Screen};

impl Case<'_> {
    pub(super) fn page(&self, screen: &Screen) -> Result<String, Failure> {
        let found = self.found;
        let mut text = screen.wrap(&self.heading(), "  ");
        let mut key = Key::default();
        for (which, set, outline) in found.ends() {
            if which == Which::Largest && found.one_set() {
                text += "\nThe largest set is the same.\n";
                continue;
            }
            text.push('\n');
            text += &screen.wrap(&self.claim(which, set), "  ");
            text.push('\n');
            text += &self.drawings(set, outline, screen, &mut key)?;
            for sentence in self.facts(set, outline) {
                text += &screen.wrap(&format!("  {sentence}"), "    ");
            }
        }
        if !key.entries.is_empty() {
            text.push('\n');
            text += &screen.key(&self.table(&self.record.outline).letters());
            text += &screen.key(&key.entries);
        }
        text.push('\n');
        for sentence in self.sentences() {
            text += &screen.wrap(&sentence, "");
        }
        text += &screen.wrap(rules::folds_used(self.project), "");
        Ok(text)
    }

    fn heading(&self) -> String {
        let outline = &self.record.outline;
        let pockets = &self.found.pockets;
        let least = if self.found.stopped.is_some() { "at least " } else { "" };
        format!(
            "{}: {}. With a pocket at each of its {} edge vertices: {least}{} ({}).",
            self.record.title,
            counted(outline.cells().len(), "cell"),
            outline.open().pockets().len(),
            counted(pockets.different_open as usize, "essentially different layout"),
            counted(pockets.layouts_open as usize, "layout"),
        )
    }

    fn claim(&self, which: Which, set: &PocketSet) -> String {
        let pockets = counted(set.pockets.len(), "pocket");
        let (name, fewer) = match which {
            Which::Smallest => ("Smallest", "fewer"),
            Which::Largest => ("Largest", "more"),
        };
        let proof = match (set.proven, set.same_size) {
            (true, 1) => format!("no {fewer} do, and no other {}", set.pockets.len()),
            (true, n) => format!("no {fewer} do, but {} of this size", counted(n as usize - 1, "other set")),
            (false, _) if set.bound == 0 => "whether fewer do is not known".to_owned(),
            (false, _) if which == Which::Smallest => {
                format!("whether fewer do is not known, but not fewer than {}", set.bound)
            }
            (false, _) => format!("whether more do is not known, but not more than {}", set.bound),
        };
        format!("{name}: {pockets} leave layout {} alone ({proof})", set.layout + 1)
    }

    /// The plate, and the layout left; their key goes to `key`.
    fn drawings(
        &self,
        set: &PocketSet,
        outline: &Outline,
        screen: &Screen,
        key: &mut Key,
    ) -> Result<String, Failure> {
        let plate = terminal::outline(outline, screen.look)?;
        let caption = format!("layout {}", set.layout + 1);
        let drawings = [
            key.take("pockets".into(), &plate, outline.bounds().2 as usize),
            self.table(outline).drawing(&set.answer.folding, caption, screen.look, key)?,
        ];
        Ok(screen.beside(&drawings) + "\n")
    }

    fn facts(&self, set: &PocketSet, outline: &Outline) -> Vec<String> {
        let foldings = plural(&set.answer.foldings, "folding");
        let way = self.table(outline).way_in(&set.answer.folding, &set.answer.drop_in);
        let mut facts = vec![format!("{foldings}; {way}")];
        if !set.blind.is_empty() {
            facts.push(format!("blind, used by no folding of it: {}", places(&set.blind)));
        }
        let mut lets_in: BTreeMap<u64, Vec<Vertex>> = BTreeMap::new();
        for further in &set.further {
            lets_in.entry(further.different).or_default().push(further.at);
        }
        if let Some(harmless) = lets_in.remove(&0) {
            facts.push(format!("lets no other layout in, if added: {}", places(&harmless)));
        }
        if !lets_in.is_empty() {
            let told: Vec<String> = lets_in.iter().map(|(n, at)| format!("{n} at {}", places(at))).collect();
            let least = if self.found.stopped.is_some() { " (at least)" } else { "" };
            facts.push(format!("lets other layouts in, if added{least}: {}", told.join("; ")));
        }
        facts
    }

    fn sentences(&self) -> Vec<String> {
        let found = self.found;
        let seconds = format!("{:.1} s", found.seconds);
        let mut all = Vec::new();
        if found.ends().next().is_none() {
            let what = match self.args.layout {
                Some(n) => format!("leaves layout {n} alone"),
                None => "leaves exactly one layout".to_owned(),
            };
            let drops = if self.project.rules.interlocked { "" } else { ", one that drops in" };
            all.push(match found.stopped {
                None => format!("No set of pockets {what}{drops}."),
                Some(_) => format!("No set of pockets was found that {what}{drops}; there may be one."),
            });
        }
        all.push(match found.stopped {
            None => format!("Complete: all layouts were looked at, in {seconds}."),
            Some(Stopped::Limit) => {
                let limit = counted(self.args.limit as usize, "layout");
                format!(
                    "Not complete: stopped at the limit of {limit}, after {seconds}; --limit N raises it."
                )
            }
            Some(Stopped::Early(early)) => {
                let why = match early {
                    Early::Time => "the time was over",
                    Early::Interrupted => "interrupted",
                };
                format!("Not complete: {why}, after {seconds}.")
            }
        });
        if found.ends().next().is_some() {
            if found.stopped.is_some() {
                let proof = "Each set shown was searched by itself and does leave one layout; \
                             better ones may exist.";
                all.push(proof.to_owned());
            }
            all.push("Places are (x,y); the lower left corner of the drawing is (0,0).".to_owned());
        }
        match (&found.written, self.args.write) {
            (Some(path), Some(which)) => {
                all.push(format!("Written: the {} set, into {}.", which.word(), path.display()));
            }
            (None, Some(_)) => all.push("Nothing was written into the outline's file.".to_owned()),
            _ => {}
        }
        all.extend(found.files.iter().map(|file| format!("Written: {}.", file.display())));
        all
    }
}

/// Vertices as "(1,0), (2,3)", each without a space that a line could break at.
fn places(at: &[Vertex]) -> String {
    let told: Vec<String> = at.iter().map(|v| format!("({},{})", v.x, v.y)).collect();
    told.join(", ")
}
