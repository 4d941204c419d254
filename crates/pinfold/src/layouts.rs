//! Layouts on a screen.

pub(crate) use desk::layouts::{Table, plural, style};
use lattice::{DropIn, Folding};
use paper::terminal::{self, Look};

use crate::answer::Failure;
use crate::screen::{Drawing, HARD_SPACE, Key};

/// What a screen needs of a layout.
pub(crate) trait OnScreen {
    /// The layout for a screen; its key is kept in `key`.
    fn drawing(
        &self,
        folding: &Folding,
        caption: String,
        look: Look,
        key: &mut Key,
    ) -> Result<Drawing, Failure>;

    /// How the pieces go in, or why they do not, by their names, which no line
    /// should break.
    fn way_in(&self, folding: &Folding, drop_in: &DropIn) -> String;
}

impl OnScreen for Table<'_> {
    fn drawing(
        &self,
        folding: &Folding,
        caption: String,
        look: Look,
        key: &mut Key,
    ) -> Result<Drawing, Failure> {
        let drawn = terminal::layout(&self.project.set, self.outline, folding, self.style, look)?;
        Ok(key.take(caption, &drawn, self.outline.bounds().2 as usize))
    }

    fn way_in(&self, folding: &Folding, drop_in: &DropIn) -> String {
        let whole = |names: Vec<String>| names.into_iter().map(|name| name.replace(' ', HARD_SPACE));
        match drop_in {
            DropIn::Order(order) => {
                let names: Vec<String> = whole(self.names(folding, order)).collect();
                format!("drop in {}", names.join(", "))
            }
            DropIn::Interlocked(ring) => {
                let mut names: Vec<String> = whole(self.names(folding, ring)).collect();
                names.push(names[0].clone());
                format!("interlocked: {}", names.join(" before "))
            }
        }
    }
}
