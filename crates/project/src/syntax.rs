//! Mistakes in the TOML itself, and how far the rest of the file can be trusted
//! in spite of them.
//!
//! The parser goes on after a mistake. Where what follows is read as written
//! (a key given twice, a word without quotes) the rest of the file is checked
//! too. Where it may have swallowed what follows (a bracket left open) only
//! what stands above the mistake is.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, Error};

use crate::fault::Fault;
use crate::limits;
use crate::report::Mistake;
use crate::source::Source;

/// Beginnings of the parser's messages for mistakes that hide nothing else. A
/// message not in this list is taken for one that does.
const CONTAINED: [&str; 6] = [
    "duplicate key",
    "string values must be quoted",
    "invalid basic string",
    "invalid literal string",
    "missing escaped value",
    "unexpected key or value",
];

/// A parsed file and what is wrong with its TOML.
pub(crate) struct Parsed<'s> {
    pub(crate) root: Spanned<DeTable<'s>>,
    pub(crate) mistakes: Vec<Mistake>,
    /// Lines, from 1, that have a mistake of syntax.
    lines: BTreeSet<usize>,
    /// The line, from 1, from which on the file cannot be trusted.
    lost: Option<usize>,
}

impl<'s> Parsed<'s> {
    pub(crate) fn new(source: &'s Source) -> Self {
        let (root, errors) = DeTable::parse_recoverable(&source.text);
        let mut parsed = Parsed { root, mistakes: Vec::new(), lines: BTreeSet::new(), lost: None };
        for error in &errors {
            let span = place(error, &source.text);
            let line = source.line_of(span.start.min(source.text.len())) + 1;
            let contained = CONTAINED.iter().any(|c| error.message().starts_with(c));
            parsed.lines.insert(line);
            if !contained {
                parsed.lost = Some(parsed.lost.map_or(line, |lost| lost.min(line)));
            }
            if parsed.mistakes.len() < limits::GATHERED {
                parsed.mistakes.push(source.mistake(span.clone(), fault(error, source.text.get(span))));
            }
        }
        parsed
    }

    /// Whether the file is sound TOML.
    pub(crate) fn is_sound(&self) -> bool {
        self.mistakes.is_empty()
    }

    /// Takes those of the mistakes found by reading on that do not merely
    /// follow from the mistakes of syntax.
    pub(crate) fn admit(&mut self, found: Vec<Mistake>) {
        let sound = self.is_sound();
        let admitted = found.into_iter().filter(|mistake| {
            let Some(place) = &mistake.place else { return sound };
            let follows = matches!(mistake.fault, Fault::Missing { .. } | Fault::Piece { .. });
            sound
                || !(follows
                    || self.lines.contains(&place.line)
                    || self.lost.is_some_and(|lost| place.line >= lost))
        });
        let admitted: Vec<Mistake> = admitted.collect();
        self.mistakes.extend(admitted);
    }
}

/// Where a mistake is shown. A long string that never ends is noticed only at
/// the end of the file, but what has to be mended is where it opens.
fn place(error: &Error, text: &str) -> Range<usize> {
    let span = error.span().unwrap_or(0..0);
    let quotes = match error.message() {
        m if m.starts_with("invalid multi-line basic string") => "\"\"\"",
        m if m.starts_with("invalid multi-line literal string") => "'''",
        _ => return span,
    };
    let before = text.get(..span.start).unwrap_or(text);
    before.rfind(quotes).map_or(span, |at| at..at + quotes.len())
}

fn fault(error: &Error, found: Option<&str>) -> Fault {
    let message = error.message();
    if message.starts_with("duplicate key") {
        return Fault::KeyTwice { key: found.unwrap_or_default().chars().take(80).collect() };
    }
    match message.split_once(", expected ") {
        Some((what, expected)) => Fault::Syntax { found: what.into(), expected: Some(expected.into()) },
        None => Fault::Syntax { found: message.into(), expected: None },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Vec<(usize, usize)>, Option<usize>) {
        let source = Source::new("x.toml", text.into());
        let parsed = Parsed::new(&source);
        let place = |m: &Mistake| m.place.as_ref().map(|p| (p.line, p.column)).unwrap();
        (parsed.mistakes.iter().map(place).collect(), parsed.lost)
    }

    #[test]
    fn a_contained_mistake_loses_nothing() {
        assert_eq!(read("a = x\nb = 1\nb = 2\n"), (vec![(1, 5), (3, 1)], None));
        assert_eq!(read("a = \"x\nb = 1\n"), (vec![(1, 7)], None));
        assert_eq!(read("a = 1, b = 2\nc = 1\n"), (vec![(1, 6)], None));
    }

    #[test]
    fn an_open_bracket_loses_what_follows() {
        assert_eq!(read("a = 1\nb = [1\n"), (vec![(2, 7)], Some(2)));
        assert_eq!(read("a = 1\nb = \"\"\"\nx\n"), (vec![(2, 5)], Some(2)));
    }
}
