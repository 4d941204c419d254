//! Rows and cells of a text with separators, each with its place.
//!
//! The format is that of RFC 4180, read a little wider, since spreadsheets write
//! it as they like: cells are parted by commas, semicolons or tabs, whichever the
//! first line has; a line ends with or without a carriage return; cells may be
//! quoted; a byte order mark and empty lines are passed over. A quoted cell ends
//! on its line. (Reading libraries for the format give no columns of cells.)

use std::ops::Range;

/// A cell: its text without quotation marks and blanks around it, and its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Cell {
    pub text: String,
    pub span: Range<usize>,
}

/// A line that is not empty.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub cells: Vec<Cell>,
    /// Its bytes, without the end of the line.
    pub span: Range<usize>,
    /// Where a quotation mark is out of place.
    pub bad_quote: Option<Range<usize>>,
}

/// Everything in a text.
#[derive(Clone, Debug)]
pub(crate) struct Rows {
    pub separator: char,
    pub rows: Vec<Row>,
}

pub(crate) fn read(text: &str) -> Rows {
    let mark = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let first = text[mark..].lines().find(|l| !l.trim().is_empty()).unwrap_or_default();
    let separator = [',', ';', '\t'].into_iter().max_by_key(|&s| (first.matches(s).count(), s == ','));
    let separator = separator.unwrap_or(',');
    let mut rows = Vec::new();
    let mut start = mark;
    for line in text[mark..].split_inclusive('\n') {
        let whole = line.trim_end_matches(['\n', '\r']);
        if whole.chars().any(|c| c != separator && !c.is_whitespace()) {
            rows.push(row(whole, start, separator));
        }
        start += line.len();
    }
    Rows { separator, rows }
}

fn row(line: &str, start: usize, separator: char) -> Row {
    let mut row = Row { cells: Vec::new(), span: start..start + line.len(), bad_quote: None };
    let mut at = 0;
    loop {
        let blank = |c: char| c.is_whitespace() && c != separator;
        let rest = &line[at..];
        let lead = rest.len() - rest.trim_start_matches(blank).len();
        let open = at + lead;
        let (text, end) = match line[open..].strip_prefix('"') {
            Some(inside) => {
                let (text, length, closed) = quoted(inside);
                let end = open + 1 + length;
                let after = line[end..].trim_start_matches(blank);
                if !closed || !(after.is_empty() || after.starts_with(separator)) {
                    row.bad_quote.get_or_insert(start + open..start + line.len());
                }
                (text, end)
            }
            None => {
                let end = line[open..].find(separator).map_or(line.len(), |i| open + i);
                (line[open..end].trim_end().to_owned(), end)
            }
        };
        let shown = line[open..end].trim_end().len();
        row.cells.push(Cell { text, span: start + open..start + open + shown });
        match line[end..].find(separator) {
            Some(next) => at = end + next + separator.len_utf8(),
            None => return row,
        }
    }
}

/// The text up to the closing quotation mark, how many bytes that is with the
/// mark, and whether there is one. Two marks stand for one.
fn quoted(inside: &str) -> (String, usize, bool) {
    let mut text = String::new();
    let mut marks = inside.char_indices().peekable();
    while let Some((i, c)) = marks.next() {
        if c != '"' {
            text.push(c);
        } else if marks.peek().is_some_and(|next| next.1 == '"') {
            marks.next();
            text.push('"');
        } else {
            return (text.trim().to_owned(), i + 1, true);
        }
    }
    (text.trim().to_owned(), inside.len(), false)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<Vec<String>> {
        read(text).rows.into_iter().map(|r| r.cells.into_iter().map(|c| c.text).collect()).collect()
    }

    #[test]
    fn separators_quotes_and_ends_of_lines_are_as_spreadsheets_write_them() {
        assert_eq!(cells("a,b\n1,2\n"), [["a", "b"], ["1", "2"]]);
        assert_eq!(cells("\u{feff}a;b\r\n\r\n1,5;\"2;\"\"x\"\r\n"), [["a", "b"], ["1,5", "2;\"x"]]);
        assert_eq!(cells("a\tb\n 1 \t\"2\" "), [["a", "b"], ["1", "2"]]);
        assert_eq!(cells("a,b\n,,\n1,\n"), [["a", "b"], ["1", ""]]);
        assert_eq!(cells(""), Vec::<Vec<String>>::new());
    }

    #[test]
    fn every_cell_has_its_place_and_bad_quotes_are_seen() {
        let text = "a,b\n  xy , \"z\"\nq,\"open\n\"w\"e,1\n";
        let rows = read(text).rows;
        let shown = |row: usize, cell: usize| &text[rows[row].cells[cell].span.clone()];
        assert_eq!((shown(1, 0), shown(1, 1)), ("xy", "\"z\""));
        assert_eq!(
            rows.iter().map(|r| r.bad_quote.is_some()).collect::<Vec<_>>(),
            [false, false, true, true]
        );
        assert_eq!(&text[rows[2].bad_quote.clone().unwrap()], "\"open");
    }
}
