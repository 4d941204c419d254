//! The text of one file, and where in it a span of bytes stands.

use std::fs::{self, File};
use std::io::{ErrorKind, Read};
use std::ops::Range;
use std::path::Path;

use crate::fault::Fault;
use crate::limits;
use crate::report::{Mistake, Place};

/// A file's text with the starts of its lines.
#[derive(Clone, Debug)]
pub(crate) struct Source {
    /// The file as named in reports: below the project folder, with `/`.
    pub(crate) file: String,
    pub(crate) text: String,
    starts: Vec<usize>,
}

impl Source {
    pub(crate) fn new(file: &str, text: String) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        Source { file: file.to_owned(), text, starts }
    }

    /// The file at `path`, called `file` in reports; a fault of the whole file
    /// if it cannot be had, is no plain file, is too large, or is not UTF-8.
    pub(crate) fn read(path: &Path, file: &str) -> Result<Self, Box<Mistake>> {
        let whole = |fault| Box::new(Mistake { file: file.to_owned(), place: None, fault });
        let unreadable = |e: std::io::Error| match e.kind() {
            ErrorKind::NotFound => whole(Fault::NoFile),
            _ => whole(Fault::Unreadable { why: e.to_string() }),
        };
        // A pipe or a device would keep us waiting for ever.
        if !fs::metadata(path).map_err(unreadable)?.is_file() {
            return Err(whole(Fault::NotAFile));
        }
        let mut bytes = Vec::new();
        let limit = limits::FILE_BYTES;
        File::open(path).and_then(|f| f.take(limit + 1).read_to_end(&mut bytes)).map_err(unreadable)?;
        if bytes.len() as u64 > limit {
            return Err(whole(Fault::FileTooLarge { limit }));
        }
        match String::from_utf8(bytes) {
            Ok(text) => Ok(Source::new(file, text)),
            Err(e) => {
                let at = e.utf8_error().valid_up_to();
                let byte = e.as_bytes()[at];
                let source = Source::new(file, String::from_utf8_lossy(e.as_bytes()).into_owned());
                Err(Box::new(source.mistake(at..at + 1, Fault::NotUtf8 { byte })))
            }
        }
    }

    /// The line, from 0, that a byte is on.
    pub(crate) fn line_of(&self, at: usize) -> usize {
        self.starts.partition_point(|&s| s <= at) - 1
    }

    /// The bytes of a line, from 0, without its end.
    fn line_range(&self, line: usize) -> Range<usize> {
        let start = self.starts[line];
        let end = self.starts.get(line + 1).map_or(self.text.len(), |&next| next - 1);
        let end = if self.text[start..end].ends_with('\r') { end - 1 } else { end };
        start..end
    }

    /// The start of the line that a byte is on.
    pub(crate) fn line_start(&self, at: usize) -> usize {
        self.starts[self.line_of(at)]
    }

    /// Where a span stands; what runs over the end of its first line is cut off.
    pub(crate) fn place(&self, span: Range<usize>) -> Place {
        let floor = |i: usize| self.text.floor_char_boundary(i.min(self.text.len()));
        let start = floor(span.start);
        let line = self.line_of(start);
        let range = self.line_range(line);
        let start = start.min(range.end);
        let end = floor(span.end).clamp(start, range.end);
        let text = &self.text[range.clone()];
        // A mark that opens the file for some editors is no column.
        let text = if line == 0 { text.trim_start_matches('\u{feff}') } else { text };
        let start = start.max(range.end - text.len());
        let before = self.text[range.end - text.len()..start].chars().count();
        let shown = text.chars().take(limits::SHOWN_LINE + 1).count() <= limits::SHOWN_LINE;
        Place {
            line: line + 1,
            column: before + 1,
            width: self.text[start..end.max(start)].chars().count().max(1),
            text: shown.then(|| text.to_owned()),
        }
    }

    pub(crate) fn mistake(&self, span: Range<usize>, fault: Fault) -> Mistake {
        Mistake { file: self.file.clone(), place: Some(self.place(span)), fault }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str, span: Range<usize>) -> (usize, usize, usize) {
        let place = Source::new("x", text.to_owned()).place(span);
        (place.line, place.column, place.width)
    }

    #[test]
    fn lines_and_columns_count_characters_from_one() {
        assert_eq!(at("a = 1\nb = 2\n", 6..7), (2, 1, 1));
        assert_eq!(at("é = 12\r\nb", 5..7), (1, 5, 2));
        assert_eq!(at("\u{feff}a = 1", 3..4), (1, 1, 1));
    }

    #[test]
    fn a_span_is_cut_at_the_end_of_its_line_and_of_the_text() {
        assert_eq!(at("a = [\r\n1]", 4..9), (1, 5, 1));
        assert_eq!(at("ab", 2..2), (1, 3, 1));
        assert_eq!(at("ab\n", 90..99), (2, 1, 1));
        assert_eq!(at("", 0..0), (1, 1, 1));
    }
}
