//! Texts of the maker's own that what is published is made from: files in the
//! folder `templates`. This crate reads them and points at places in them; what
//! they mean is for who asked.

use std::ops::Range;

use crate::fault::Fault;
use crate::project::Project;
use crate::report::Report;
use crate::source::Source;

/// The folder of such texts, below the project folder.
const TEMPLATES: &str = "templates";

/// A text of the maker's own.
#[derive(Clone, Debug)]
pub struct OwnText {
    source: Source,
}

impl OwnText {
    /// The text, as it is in the file.
    pub fn text(&self) -> &str {
        &self.source.text
    }

    /// The report of what is wrong in it: the bytes at fault, one sentence
    /// without a full stop, and what would be right. `None` of nothing.
    pub fn report(&self, wrong: Vec<(Range<usize>, String, String)>) -> Option<Report> {
        let mistake = |(span, message, mend)| self.source.mistake(span, Fault::Refused { message, mend });
        Report::of(wrong.into_iter().map(mistake).collect())
    }
}

impl Project {
    /// The text `templates/NAME`; `None` if there is no such file.
    ///
    /// # Errors
    /// A file that cannot be read, is too large, or is not UTF-8.
    pub fn own_text(&self, name: &str) -> Result<Option<OwnText>, Report> {
        let file = format!("{TEMPLATES}/{name}");
        match Source::read(&self.root.join(TEMPLATES).join(name), &file) {
            Ok(source) => Ok(Some(OwnText { source })),
            Err(mistake) if mistake.fault == Fault::NoFile => Ok(None),
            Err(mistake) => Err(Report::of(vec![*mistake]).expect("it has a mistake")),
        }
    }
}
