//! `plays.csv`: testers' tries, one row each.
//!
//! The first line names the columns, in any order: `tester,outline,minutes,finished`
//! must be there, `try,started,source` may be. A cell at the end of a row may be
//! left out if it may be empty. An absent file is one without tries.

use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;

use crate::fault::{Fault, LISTED};
use crate::limits;
use crate::names::{folded, natural, nearest};
use crate::play_cell::{minutes, moment, number, tester_is_good, yes};
use crate::play_column::{Column, header};
use crate::play_rows::{self, Cell, Row};
use crate::project::outline_names;
use crate::report::{Mistake, Report};
use crate::source::Source;

/// The file, below the project folder.
pub const PLAYS_FILE: &str = "plays.csv";

/// One try.
#[derive(Clone, Debug, PartialEq)]
pub struct Play {
    /// A short name or number of the maker's choosing.
    pub tester: String,
    /// The outline, by the name of its file.
    pub outline: String,
    /// Minutes at the board.
    pub minutes: f64,
    /// Whether it was filled; if not, it was given up.
    pub finished: bool,
    /// The tester's first try at the outline is 1, and so on.
    pub number: u32,
    /// When it was begun, as written: RFC 3339.
    pub started: Option<String>,
    /// Where it comes from.
    pub source: Option<String>,
    /// Its line in the file, from 1.
    pub line: usize,
}

/// All tries of a project.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plays {
    /// In the order of the file.
    pub plays: Vec<Play>,
}

/// A file as read, for those who add to it.
pub(crate) struct PlaysFile {
    pub(crate) source: Source,
    pub(crate) separator: char,
    /// The columns as they stand.
    pub(crate) columns: Vec<Column>,
    /// The bytes of the first line, without its end.
    pub(crate) header: Range<usize>,
    pub(crate) plays: Vec<Play>,
}

impl Plays {
    /// Reads the plays of the project in a folder.
    ///
    /// # Errors
    /// Every mistake of the file.
    pub fn read(dir: &Path) -> Result<Plays, Report> {
        match PlaysFile::of(dir)? {
            Some(file) => Ok(Plays { plays: file.plays }),
            None => Ok(Plays::default()),
        }
    }

    /// The testers, in the order of their names, numbers in them as numbers.
    pub fn testers(&self) -> Vec<String> {
        let mut names: Vec<&str> = self.plays.iter().map(|p| p.tester.as_str()).collect();
        names.sort_by_key(|name| (natural(name), *name));
        names.dedup();
        names.into_iter().map(str::to_owned).collect()
    }
}

impl PlaysFile {
    /// The project's own file, if there is one.
    pub(crate) fn of(dir: &Path) -> Result<Option<PlaysFile>, Report> {
        match Source::read(&dir.join(PLAYS_FILE), PLAYS_FILE) {
            Ok(source) => PlaysFile::read(source, &outline_names(dir, &mut Vec::new())).map(Some),
            Err(mistake) if mistake.fault == Fault::NoFile => Ok(None),
            Err(mistake) => Err(Report::of(vec![*mistake]).expect("there is a mistake")),
        }
    }

    /// Reads any file of plays; `outlines` are the names there are, sorted.
    pub(crate) fn read(source: Source, outlines: &[String]) -> Result<PlaysFile, Report> {
        let table = play_rows::read(&source.text);
        let mut reader = Reader { source: &source, outlines, mistakes: Vec::new(), seen: Seen::default() };
        let mut plays = Vec::new();
        let (mut columns, mut header) = (Vec::new(), 0..0);
        match table.rows.split_first() {
            None => reader.no_columns(0..source.text.len(), &Column::ALL[..4]),
            Some((first, rows)) => {
                header = first.span.clone();
                let found = reader.columns(first);
                let sound = reader.mistakes.is_empty();
                columns = found.iter().flatten().copied().collect();
                if rows.len() > limits::PLAYS {
                    let fault = Fault::TooManyPlays { found: rows.len(), limit: limits::PLAYS };
                    reader.fault(rows[limits::PLAYS].span.clone(), fault);
                } else if sound || columns.len() >= 4 {
                    for row in rows {
                        plays.extend(reader.play(row, &found));
                    }
                }
            }
        }
        match Report::of(reader.mistakes) {
            Some(report) => Err(report),
            None => Ok(PlaysFile { separator: table.separator, columns, header, plays, source }),
        }
    }
}

/// What must not come twice, with the lines it stands on.
#[derive(Default)]
struct Seen {
    tries: BTreeMap<(String, String, u32), usize>,
    unnumbered: BTreeMap<(String, String, u64, bool), usize>,
    starts: BTreeMap<(String, i64), usize>,
    testers: BTreeMap<String, (String, usize)>,
    last: BTreeMap<(String, String), u32>,
}

struct Reader<'a> {
    source: &'a Source,
    outlines: &'a [String],
    mistakes: Vec<Mistake>,
    seen: Seen,
}

impl Reader<'_> {
    fn fault(&mut self, span: Range<usize>, fault: Fault) {
        if self.mistakes.len() < limits::GATHERED {
            self.mistakes.push(self.source.mistake(span, fault));
        }
    }

    fn no_columns(&mut self, span: Range<usize>, missing: &[Column]) {
        for column in missing {
            self.fault(span.clone(), Fault::NoColumn { column: column.name(), header: header() });
        }
    }

    /// The columns that the first line names; `None` for what is none.
    fn columns(&mut self, first: &Row) -> Vec<Option<Column>> {
        let mut found: Vec<Option<Column>> = Vec::new();
        for cell in &first.cells {
            let name = cell.text.to_lowercase();
            let column = Column::ALL.into_iter().find(|c| c.name() == name);
            match column {
                Some(column) if found.contains(&Some(column)) => {
                    self.fault(cell.span.clone(), Fault::ColumnTwice { column: column.name() });
                }
                Some(_) => {}
                None => {
                    let known = Column::ALL.map(Column::name);
                    let fault = Fault::Column {
                        found: cell.text.chars().take(limits::NAME).collect(),
                        nearest: nearest(&cell.text, known).map(str::to_owned),
                        known: known.map(str::to_owned).to_vec(),
                    };
                    self.fault(cell.span.clone(), fault);
                }
            }
            found.push(column);
        }
        let missing: Vec<Column> =
            Column::ALL.into_iter().filter(|c| c.must_be() && !found.contains(&Some(*c))).collect();
        self.no_columns(first.span.clone(), &missing);
        found
    }

    fn play(&mut self, row: &Row, columns: &[Option<Column>]) -> Option<Play> {
        if let Some(span) = &row.bad_quote {
            self.fault(span.clone(), Fault::Quote);
            return None;
        }
        if row.cells.len() > columns.len() {
            // Empty cells at the end are nothing.
            if let Some(extra) = row.cells[columns.len()..].iter().find(|c| !c.text.is_empty()) {
                let fault = Fault::Cells { found: row.cells.len(), columns: columns.len() };
                self.fault(extra.span.clone(), fault);
                return None;
            }
        }
        let end = Cell { text: String::new(), span: row.span.end..row.span.end };
        let cell = |column: Column| {
            let at = columns.iter().position(|c| *c == Some(column))?;
            let cell = row.cells.get(at).unwrap_or(&end);
            (!cell.text.is_empty() || column.must_be()).then_some(cell)
        };
        let before = self.mistakes.len();
        let tester =
            self.value(cell(Column::Tester), Column::Tester, |t| tester_is_good(t).then(|| t.to_owned()));
        let outline = self.outline(cell(Column::Outline));
        let minutes = self.value(cell(Column::Minutes), Column::Minutes, minutes);
        let finished = self.value(cell(Column::Finished), Column::Finished, yes);
        let number = self.value(cell(Column::Try), Column::Try, number);
        let started = self.value(cell(Column::Started), Column::Started, |t| {
            moment(t).map(|moment| (t.to_owned(), moment))
        });
        let source =
            self.value(cell(Column::Source), Column::Source, |t| tester_is_good(t).then(|| t.to_owned()));
        if self.mistakes.len() > before {
            return None;
        }
        let mut play = Play {
            tester: tester?,
            outline: outline?,
            minutes: minutes?,
            finished: finished?,
            number: number.unwrap_or(0),
            started: started.as_ref().map(|s| s.0.clone()),
            source,
            line: self.source.line_of(row.span.start) + 1,
        };
        let at = |column| cell(column).map_or(row.span.clone(), |cell| cell.span.clone());
        let spans = [at(Column::Tester), at(Column::Try), at(Column::Started), row.span.clone()];
        self.once(&mut play, started.map(|s| s.1), spans);
        Some(play)
    }

    fn value<T>(
        &mut self,
        cell: Option<&Cell>,
        column: Column,
        read: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let cell = cell?;
        let found = read(&cell.text);
        if found.is_none() {
            let (expected, example) = column.expected();
            let column = column.name();
            let fault = if cell.text.is_empty() {
                Fault::NoCell { column, example }
            } else {
                let found = cell.text.chars().take(limits::NAME).collect();
                Fault::Cell { column, found, expected, example }
            };
            self.fault(cell.span.clone(), fault);
        }
        found
    }

    fn outline(&mut self, cell: Option<&Cell>) -> Option<String> {
        let cell = cell?;
        let name = &cell.text;
        if name.is_empty() || self.outlines.binary_search(name).is_ok() {
            return self.value(Some(cell), Column::Outline, |t| (!t.is_empty()).then(|| t.to_owned()));
        }
        let fault = Fault::NoOutline {
            found: name.chars().take(limits::NAME).collect(),
            nearest: nearest(name, self.outlines.iter().map(String::as_str)).map(str::to_owned),
            known: self.outlines.iter().take(LISTED + 1).cloned().collect(),
        };
        self.fault(cell.span.clone(), fault);
        None
    }

    /// Numbers the try if it has no number, and tells what is there twice. The
    /// spans: tester, try, started, row.
    fn once(
        &mut self,
        play: &mut Play,
        started: Option<i64>,
        [tester, number, start, row]: [Range<usize>; 4],
    ) {
        let line = play.line;
        let (own, outline) = (play.tester.clone(), play.outline.clone());
        let first = self.seen.testers.entry(folded(&own)).or_insert((own.clone(), line)).clone();
        if first.0 != own {
            let (other, line) = first;
            self.fault(tester, Fault::TesterCase { found: own.clone(), other, line });
        }
        if let Some(moment) = started
            && let Some(line) = self.seen.starts.insert((own.clone(), moment), line)
        {
            self.fault(start, Fault::StartTwice { tester: own.clone(), line });
        }
        let pair = (own.clone(), outline.clone());
        if play.number == 0 {
            let same = (own.clone(), outline.clone(), play.minutes.to_bits(), play.finished);
            if started.is_none()
                && let Some(line) = self.seen.unnumbered.insert(same, line)
            {
                self.fault(row, Fault::PlayTwice { line });
            }
            play.number = self.seen.last.get(&pair).map_or(1, |last| last + 1);
        }
        let last = self.seen.last.entry(pair).or_insert(0);
        *last = (*last).max(play.number);
        let key = (own.clone(), outline.clone(), play.number);
        if let Some(line) = self.seen.tries.insert(key, line) {
            self.fault(number, Fault::TryTwice { tester: own, outline, number: play.number, line });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<Play>, Vec<(usize, usize, String)>> {
        let outlines = ["crane".to_owned(), "tug".to_owned()];
        let told = |r: Report| {
            let mistakes = r.mistakes().iter();
            mistakes.map(|m| m.place.as_ref().map(|p| (p.line, p.column, m.message())).unwrap()).collect()
        };
        PlaysFile::read(Source::new(PLAYS_FILE, text.to_owned()), &outlines).map(|f| f.plays).map_err(told)
    }

    #[test]
    fn four_columns_in_any_order_are_enough() {
        let plays = read("Outline;minutes;tester;finished\r\ntug;12:30;t1;yes\r\ntug;5,5;t2;NO\r\n").unwrap();
        assert_eq!((plays[0].minutes, plays[0].finished, plays[0].line), (12.5, true, 2));
        assert_eq!((plays[1].minutes, plays[1].finished, plays[1].number), (5.5, false, 1));
        let full = format!(
            "{}\nt1,tug,9,no,,,\nt1,tug,8,yes\nt1,crane,3,yes,4,2026-03-14T19:30:00+01:00,page",
            header()
        );
        let plays = read(&full).unwrap();
        assert_eq!(plays.iter().map(|p| p.number).collect::<Vec<_>>(), [1, 2, 4]);
        assert_eq!(plays[2].source.as_deref(), Some("page"));
        assert_eq!(read("tester,outline,minutes,finished\n").unwrap(), []);
    }

    #[test]
    fn every_wrong_row_is_told_with_its_place() {
        let found = read(
            "tester,outline,minutes,finished,try,started\n\
             t 1,tug,9,yes\n\
             t1,tog,0,perhaps,0,today\n\
             t1,tug\n\
             t1,tug,5,yes,,,,more\n\
             t1,tug,\"5,yes\n",
        )
        .unwrap_err();
        let places: Vec<(usize, usize)> = found.iter().map(|f| (f.0, f.1)).collect();
        assert_eq!(
            places,
            [(2, 1), (3, 4), (3, 8), (3, 10), (3, 18), (3, 20), (4, 7), (4, 7), (5, 17), (6, 8)],
            "{found:?}"
        );
        assert_eq!(found[1].2, "there is no outline \"tog\"");
    }

    #[test]
    fn what_is_there_twice_is_told() {
        let found = read(
            "tester,outline,minutes,finished,try,started\n\
             t1,tug,9,no\n\
             t1,tug,9,no\n\
             T1,tug,9,no\n\
             t2,tug,9,no,2,2026-03-14T19:30:00Z\n\
             t2,tug,8,yes,2,\n\
             t2,crane,8,yes,,2026-03-14T20:30:00+01:00\n",
        )
        .unwrap_err();
        let told: Vec<(usize, usize)> = found.iter().map(|f| (f.0, f.1)).collect();
        assert_eq!(told, [(3, 1), (4, 1), (6, 14), (7, 17)], "{found:?}");
    }

    #[test]
    fn a_first_line_that_names_no_columns_is_told_once_and_for_all() {
        assert_eq!(read("").unwrap_err().len(), 4);
        let found = read("tester,outlines,minutes,minutes\nt1,tug,1,yes\n").unwrap_err();
        assert_eq!(found.len(), 4, "{found:?}");
        assert_eq!(read("t1,tug,12,yes\n").unwrap_err().len(), 8);
    }

    #[test]
    fn testers_come_in_the_order_of_their_numbers() {
        let play = |tester: &str| Play {
            tester: tester.to_owned(),
            outline: String::new(),
            minutes: 1.0,
            finished: true,
            number: 1,
            started: None,
            source: None,
            line: 1,
        };
        let plays = Plays { plays: ["t10", "t9", "b", "t1", "t9"].map(play).to_vec() };
        assert_eq!(plays.testers(), ["b", "t1", "t9", "t10"]);
    }
}
