//! What a file may say but nobody can make: told at the place in the file that
//! says it, like any other mistake.
//!
//! Whether sizes go together is not for this crate to know. Who knows it names
//! the keys at fault; the file is read again for where they stand.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use crate::fault::Fault;
use crate::project::{OUTLINES, Project, SET_FILE, file_name};
use crate::report::{Mistake, Report};
use crate::source::Source;

/// Something in a project that is well written and yet cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The outline whose file says it; `None`: the set's file.
    pub outline: Option<String>,
    /// Sections and keys at fault, the likeliest first; the section is empty for
    /// a key outside of any. The first one that is in the file is shown.
    pub keys: Vec<(&'static str, &'static str)>,
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// What would be right.
    pub mend: String,
}

impl Project {
    /// The report of refusals, each at its place. Where none of its keys is in
    /// the file (all are at their defaults) that is the section's heading, or
    /// the file as a whole. `None` of none.
    pub fn refused(&self, refusals: Vec<Refusal>) -> Option<Report> {
        let mistakes = refusals.into_iter().map(|refusal| self.mistake(refusal));
        Report::of(mistakes.collect())
    }

    fn mistake(&self, refusal: Refusal) -> Mistake {
        let (path, file) = match &refusal.outline {
            Some(name) => (self.root.join(OUTLINES).join(format!("{name}.toml")), file_name(name)),
            None => (self.root.join(SET_FILE), SET_FILE.to_owned()),
        };
        let fault = Fault::Refused { message: refusal.message, mend: refusal.mend };
        let Ok(source) = Source::read(&path, &file) else { return Mistake { file, place: None, fault } };
        let of_key = refusal.keys.iter().find_map(|(section, key)| span(&source.text, section, key));
        let of_section = || refusal.keys.iter().find_map(|(section, _)| heading(&source.text, section));
        match of_key.or_else(of_section) {
            Some(span) => source.mistake(span, fault),
            None => Mistake { file, place: None, fault },
        }
    }
}

/// Where the value of a key stands.
fn span(text: &str, section: &str, key: &str) -> Option<Range<usize>> {
    let (root, _) = DeTable::parse_recoverable(text);
    let root = root.get_ref();
    if section.is_empty() {
        return Some(root.get(key)?.span());
    }
    match root.get(section)?.get_ref() {
        DeValue::Table(table) => Some(table.get(key)?.span()),
        _ => None,
    }
}

/// Where the name of a section stands.
fn heading(text: &str, section: &str) -> Option<Range<usize>> {
    let (root, _) = DeTable::parse_recoverable(text);
    Some(root.get_ref().get_key_value(section)?.0.span())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_found_in_their_section_only() {
        let text = "pitch = 1\n[sizes]\npitch = 12.5\n[printer]\n";
        assert_eq!(&text[span(text, "sizes", "pitch").unwrap()], "12.5");
        assert_eq!(&text[span(text, "", "pitch").unwrap()], "1");
        assert_eq!(span(text, "printer", "pitch"), None);
        assert_eq!(&text[heading(text, "printer").unwrap()], "printer");
        assert_eq!(heading(text, "board"), None);
    }
}
