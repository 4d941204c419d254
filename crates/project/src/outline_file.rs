//! `outlines/NAME.toml`: one outline.

use std::ops::Range;

use lattice::{Outline, drawing};

use crate::drawing_text::DrawingText;
use crate::fault::Fault;
use crate::limits;
use crate::reader::{Item, Page, Table};
use crate::report::Mistake;
use crate::source::Source;
use crate::syntax::Parsed;

/// The keys of an outline file, in their usual order.
pub(crate) const DRAWING: &str = "drawing = \"\"\" … \"\"\", rows of + and # in turn";

/// An outline as its file has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutlineRecord {
    /// Its file's name without the ending.
    pub name: String,
    /// What it is called in print.
    pub title: String,
    /// Its printed number, if it has one.
    pub number: Option<u32>,
    /// Its printed grade, if one is settled.
    pub grade: Option<String>,
    /// A remark for the maker, printed nowhere.
    pub note: Option<String>,
    /// Cells, pockets and spare cells; the drawing's lower left vertex is (0, 0).
    pub outline: Outline,
}

/// An outline as read, with the places that the checks across files, and the
/// changes to the file, need. What is missing has been told.
pub(crate) struct OutlineFile {
    pub(crate) title: Option<(String, Range<usize>)>,
    pub(crate) number: Option<(u32, Range<usize>)>,
    pub(crate) grade: Option<(String, Range<usize>)>,
    pub(crate) note: Option<String>,
    pub(crate) spare: Option<Range<usize>>,
    pub(crate) drawing: Option<Drawn>,
}

/// A drawing that could be read.
pub(crate) struct Drawn {
    pub(crate) outline: Outline,
    pub(crate) key: Range<usize>,
    pub(crate) value: Range<usize>,
    /// Text of the drawing as read.
    pub(crate) text: String,
}

impl OutlineFile {
    /// Reads the file; its mistakes, those of its TOML included, come with it.
    pub(crate) fn read(source: &Source) -> (OutlineFile, Vec<Mistake>) {
        let mut parsed = Parsed::new(source);
        let mut page = Page::new(source);
        let mut root = Table::new("the outline", 0..0, parsed.root.get_ref());
        let title = root.required(&mut page, "title", "title = \"Tug\"").and_then(|item| {
            let title = item.title(&mut page, "title = \"Tug\"")?;
            Some((title, item.span()))
        });
        let number = root.optional("number").and_then(|item| {
            let number = item.integer(&mut page, limits::NUMBER)?;
            Some((number as u32, item.span()))
        });
        let grade = root.optional("grade").and_then(|item| {
            let grade = item.title(&mut page, "grade = \"B\"")?;
            let short = grade.chars().count() <= limits::GRADE;
            if !short {
                page.fault(item.span(), Fault::Title { key: item.key.clone(), limit: limits::GRADE });
            }
            short.then(|| (grade, item.span()))
        });
        let note = root.optional("note");
        let note =
            note.and_then(|item| item.text(&mut page, "note = \"looks best in blue\"")).map(str::to_owned);
        let spare_item = root.optional("spare");
        let most = (limits::OUTLINE_SIDE * limits::OUTLINE_SIDE) as i64;
        let spare = match &spare_item {
            Some(item) => item.integer(&mut page, 0..=most).map(|n| n as usize),
            None => Some(0),
        };
        let item = root.required(&mut page, "drawing", DRAWING);
        let drawing = item.and_then(|item| read_drawing(&item, &mut page, spare.unwrap_or(0)));
        root.close(&mut page);
        if let (Some(spare), Some(drawn), Some(item)) = (spare, &drawing, &spare_item) {
            let cells = drawn.outline.cells().len();
            if spare >= cells {
                page.fault(item.span(), Fault::SpareAll { spare, cells });
            }
        }
        let spare_span = spare_item.map(|item| item.span());
        let drawing = drawing.filter(|_| spare.is_some() && parsed.is_sound());
        let found = page.mistakes;
        parsed.admit(found);
        (OutlineFile { title, number, grade, note, spare: spare_span, drawing }, parsed.mistakes)
    }

    /// The record, if nothing is missing.
    pub(crate) fn record(&self, name: &str) -> Option<OutlineRecord> {
        Some(OutlineRecord {
            name: name.to_owned(),
            title: self.title.as_ref()?.0.clone(),
            number: self.number.as_ref().map(|n| n.0),
            grade: self.grade.as_ref().map(|g| g.0.clone()),
            note: self.note.clone(),
            outline: self.drawing.as_ref()?.outline.clone(),
        })
    }

    /// The mistake that the outline cannot be filled by so many blocks, if so.
    pub(crate) fn area(&self, blocks: usize) -> Option<(Range<usize>, Fault)> {
        let drawn = self.drawing.as_ref()?;
        let (cells, spare) = (drawn.outline.cells().len(), drawn.outline.spare());
        if cells == blocks + spare || spare >= cells {
            return None;
        }
        // Where 'spare' is given and changing it alone would do, it is pointed at.
        let span = self.spare.clone().filter(|_| cells >= blocks).unwrap_or(drawn.key.clone());
        Some((span, Fault::Area { cells, blocks, spare }))
    }
}

fn read_drawing(item: &Item, page: &mut Page, spare: usize) -> Option<Drawn> {
    let text = item.text(page, DRAWING)?;
    let value = item.span();
    let raw = page.source.text.get(value.clone()).unwrap_or_default();
    let there = DrawingText::new(raw, value.start, text);
    if let Some((columns, rows)) = there.too_large() {
        let limit = limits::OUTLINE_SIDE;
        page.fault(item.key_span.clone(), Fault::DrawingTooLarge { columns, rows, limit });
        return None;
    }
    match drawing::parse(text, spare) {
        Ok(outline) => Some(Drawn { outline, key: item.key_span.clone(), value, text: text.to_owned() }),
        Err(errors) => {
            for error in errors {
                let empty = error.fault == drawing::DrawingFault::Empty;
                let span = there.place(&error).filter(|_| !empty);
                let placed = span.is_some();
                page.fault(span.unwrap_or(item.key_span.clone()), Fault::Drawing { error, placed });
            }
            None
        }
    }
}
