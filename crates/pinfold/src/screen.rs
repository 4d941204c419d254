//! What a terminal can show: colours or none, plain ASCII or boxes, how wide;
//! drawings side by side and sentences broken at its width.

use std::io::{self, IsTerminal};

use anstream::ColorChoice;
use console::{Term, measure_text_width};
use paper::terminal::Look;
use textwrap::Options;

/// Columns where nobody can say how wide the screen is.
const WIDTH: usize = 80;
/// Air left of drawings, and between them.
const INDENT: usize = 2;
const GAP: usize = 3;

/// Stands in sentences for a space at which no line is broken.
pub(crate) const HARD_SPACE: &str = "\u{a0}";

/// The screen that an answer is made for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Screen {
    /// How drawings look on it.
    pub(crate) look: Look,
    /// Its columns.
    pub(crate) width: usize,
}

impl Screen {
    /// Standard output. Colours only where it is a terminal whose user has not
    /// said no to them; anything else gets the same bytes everywhere.
    pub(crate) fn of_output(ascii: bool) -> Self {
        let out = io::stdout();
        let colour = out.is_terminal() && anstream::AutoStream::choice(&out) != ColorChoice::Never;
        let width = Term::stdout().size_checked().map_or(WIDTH, |(_, columns)| usize::from(columns));
        Screen { look: Look { colour, ascii }, width: width.clamp(40, 200) }
    }

    /// Sentences, broken at the width; further lines are set in by `indent`.
    pub(crate) fn wrap(&self, text: &str, indent: &str) -> String {
        let options = Options::new(self.width).subsequent_indent(indent).break_words(false);
        textwrap::wrap(text, options).join("\n").replace(HARD_SPACE, " ") + "\n"
    }

    /// Short entries of a key on as few lines as they fit, never broken inside.
    pub(crate) fn key(&self, entries: &[String]) -> String {
        let mut lines: Vec<String> = Vec::new();
        for entry in entries {
            match lines.last_mut() {
                Some(line)
                    if INDENT + measure_text_width(line) + GAP + measure_text_width(entry) <= self.width =>
                {
                    *line += &format!("{:GAP$}{entry}", "");
                }
                _ => lines.push(entry.clone()),
            }
        }
        lines.iter().map(|line| format!("{:INDENT$}{line}\n", "")).collect()
    }

    /// Drawings side by side as far as they fit, row after row.
    pub(crate) fn beside(&self, drawings: &[Drawing]) -> String {
        let mut text = String::new();
        let mut left = drawings;
        while !left.is_empty() {
            let mut columns = INDENT + left[0].width();
            let mut count = 1;
            while let Some(next) = left.get(count) {
                columns += GAP + next.width();
                if columns > self.width {
                    break;
                }
                count += 1;
            }
            let (row, rest) = left.split_at(count);
            if !text.is_empty() {
                text.push('\n');
            }
            let high = row.iter().map(|d| d.lines.len()).max().unwrap_or(0);
            for line in 0..high {
                let mut all = " ".repeat(INDENT);
                for drawing in row {
                    let part = drawing.lines.get(line).map_or("", String::as_str);
                    all += part;
                    all += &" ".repeat(drawing.width() - measure_text_width(part) + GAP);
                }
                text += all.trim_end_matches(' ');
                text.push('\n');
            }
            left = rest;
        }
        text
    }
}

/// A drawing of several lines, its caption among them.
#[derive(Clone, Debug)]
pub(crate) struct Drawing {
    pub(crate) lines: Vec<String>,
}

impl Drawing {
    fn width(&self) -> usize {
        self.lines.iter().map(|line| measure_text_width(line)).max().unwrap_or(0)
    }
}

/// The key of the marks that several drawings use, each entry once.
#[derive(Clone, Debug, Default)]
pub(crate) struct Key {
    pub(crate) entries: Vec<String>,
}

impl Key {
    /// Takes a drawing of `rows` rows of cells apart: its picture, captioned,
    /// while its key is kept here.
    pub(crate) fn take(&mut self, caption: String, drawn: &str, rows: usize) -> Drawing {
        let mut lines = vec![caption];
        for (number, line) in drawn.lines().enumerate() {
            if number <= 2 * rows {
                lines.push(line.to_owned());
            } else if !line.starts_with("drop in:") && !line.starts_with("interlocked:") {
                for entry in line.split("   ").map(str::to_owned) {
                    if !self.entries.contains(&entry) {
                        self.entries.push(entry);
                    }
                }
            }
        }
        Drawing { lines }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn screen(width: usize) -> Screen {
        Screen { look: Look::default(), width }
    }

    fn drawing(lines: &[&str]) -> Drawing {
        Drawing { lines: lines.iter().map(|&l| l.to_owned()).collect() }
    }

    #[test]
    fn drawings_stand_side_by_side_as_far_as_they_fit() {
        let three =
            [drawing(&["1", "┏━┓", "┗━┛"]), drawing(&["2", "\u{1b}[1m##\u{1b}[0m"]), drawing(&["3 far"])];
        assert_eq!(screen(40).beside(&three), "  1     2    3 far\n  ┏━┓   \u{1b}[1m##\u{1b}[0m\n  ┗━┛\n");
        assert_eq!(screen(11).beside(&three[..2]), "  1     2\n  ┏━┓   \u{1b}[1m##\u{1b}[0m\n  ┗━┛\n");
        assert_eq!(screen(9).beside(&three[..2]), "  1\n  ┏━┓\n  ┗━┛\n\n  2\n  \u{1b}[1m##\u{1b}[0m\n");
    }

    #[test]
    fn sentences_break_at_spaces_but_not_inside_names() {
        let text = format!("drop in dinghy{HARD_SPACE}1, dinghy{HARD_SPACE}2");
        assert_eq!(screen(18).wrap(&text, "  "), "drop in dinghy 1,\n  dinghy 2\n");
    }

    #[test]
    fn a_key_is_told_once_and_broken_between_entries() {
        let mut key = Key::default();
        let drawn = "+-+\n| |\n+-+\n0 hinge on level 0   o empty pocket\ndrop in: A, B\n";
        assert_eq!(key.take("1".into(), drawn, 1).lines, ["1", "+-+", "| |", "+-+"]);
        key.take("2".into(), drawn, 1);
        assert_eq!(key.entries, ["0 hinge on level 0", "o empty pocket"]);
        assert_eq!(screen(80).key(&key.entries), "  0 hinge on level 0   o empty pocket\n");
        assert_eq!(screen(30).key(&key.entries), "  0 hinge on level 0\n  o empty pocket\n");
    }
}
