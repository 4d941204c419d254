//! Mistakes, their places, and the page that shows them.

use std::fmt;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use crate::fault::Fault;
use crate::limits;
use crate::project::SET_FILE;

/// Where in a file something stands. Lines and columns count from 1, columns
/// and widths in characters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The line.
    pub line: usize,
    /// The first character at fault.
    pub column: usize,
    /// How many characters are at fault, at least 1, on that line.
    pub width: usize,
    /// The line as written, without its end; `None` if it is too long to show.
    pub text: Option<String>,
}

/// One mistake in a project.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// The file, below the project folder, with `/` between the parts.
    pub file: String,
    /// Where in the file; `None` if the file as a whole is meant.
    pub place: Option<Place>,
    /// What is wrong.
    pub fault: Fault,
}

impl Mistake {
    /// What is wrong and what was found, in one sentence.
    pub fn message(&self) -> String {
        self.fault.to_string()
    }

    /// What would be right.
    pub fn mend(&self) -> String {
        self.fault.mend()
    }

    /// The set's own file first, then the outlines by name.
    fn key(&self) -> (bool, &str, usize, usize) {
        let (line, column) = self.place.as_ref().map_or((0, 0), |p| (p.line, p.column));
        (self.file != SET_FILE, &self.file, line, column)
    }

    fn render(&self, renderer: &Renderer) -> String {
        let (message, mend) = (self.message(), self.mend());
        let title = Group::with_title(Level::ERROR.primary_title(message.as_str()));
        let help = Level::HELP.with_name("mend").message(mend.as_str());
        let page = match &self.place {
            Some(Place { line, column, width, text: Some(text) }) => {
                let byte = |chars: usize| text.char_indices().nth(chars).map_or(text.len(), |(i, _)| i);
                let span = byte(column - 1)..byte(column - 1 + width);
                let shown = Snippet::source(text.as_str())
                    .line_start(*line)
                    .path(self.file.as_str())
                    .annotation(AnnotationKind::Primary.span(span));
                renderer.render(&[title.element(shown).element(help)])
            }
            Some(Place { line, column, .. }) => {
                let origin = Origin::path(self.file.as_str()).line(*line).char_column(*column);
                renderer.render(&[title.element(origin).element(help)])
            }
            None => renderer.render(&[title.element(Origin::path(self.file.as_str())).element(help)]),
        };
        page.trim_end().to_owned()
    }
}

/// Every mistake of a project, by file and place; never empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Report {
    mistakes: Vec<Mistake>,
}

impl Report {
    /// The report of some mistakes, in order and each once; `None` of none.
    pub(crate) fn of(mut mistakes: Vec<Mistake>) -> Option<Report> {
        mistakes.sort_by(|a, b| a.key().cmp(&b.key()));
        mistakes.dedup();
        let mut kept = Vec::new();
        for file in mistakes.chunk_by(|a, b| a.file == b.file) {
            kept.extend(file.iter().take(limits::MISTAKES).cloned());
            if let Some(more) = file.len().checked_sub(limits::MISTAKES).filter(|&n| n > 0) {
                kept.push(Mistake { file: file[0].file.clone(), place: None, fault: Fault::More { more } });
            }
        }
        (!kept.is_empty()).then_some(Report { mistakes: kept })
    }

    /// This report and another one as one.
    pub fn and(mut self, other: Report) -> Report {
        self.mistakes.extend(other.mistakes);
        self.mistakes.sort_by(|a, b| a.key().cmp(&b.key()));
        self
    }

    /// The mistakes, by file and then by place.
    pub fn mistakes(&self) -> &[Mistake] {
        &self.mistakes
    }

    /// The page for a person: each mistake with its line of source, a row of
    /// carets under the place, and the mend; with colours for a terminal if asked.
    pub fn page(&self, colours: bool) -> String {
        let renderer = if colours { Renderer::styled() } else { Renderer::plain() };
        let pages: Vec<String> = self.mistakes.iter().map(|m| m.render(&renderer)).collect();
        pages.join("\n\n")
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.page(false))
    }
}

impl std::error::Error for Report {}
