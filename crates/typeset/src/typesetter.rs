//! From a template and values to a PDF.
//!
//! The typesetter sees a world of a few templates that are part of this
//! program, the fonts it is given, and values. It is asked for PDF/UA-1, which
//! it checks itself: tags, language, title, words on pictures, a meaning for
//! every glyph. Some scripts have glyphs without one; such a document is set
//! again without that promise, tagged all the same, and says so.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Dict, Duration, Smart, Value};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

use crate::error::TypesetError;
use crate::fonts::Fonts;
use crate::imprint::{Imprint, PaperSize};
use crate::value::{Field, dict, list};
use crate::words::Words;

/// A finished document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Document {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// Its pages.
    pub pages: usize,
    /// Whether it was held to PDF/UA-1. If not, it is tagged all the same, but
    /// some glyph has no meaning of its own, as in Arabic script.
    pub universal: bool,
}

/// Sets documents for a paper, in the words of a language, with some fonts.
#[derive(Clone, Debug)]
pub struct Typesetter {
    pub(crate) paper: PaperSize,
    pub(crate) words: Words,
    fonts: Fonts,
    further: usize,
}

impl Typesetter {
    /// For a paper, in English, with the built-in fonts.
    pub fn new(paper: PaperSize) -> Self {
        Typesetter { paper, words: Words::english(), fonts: Fonts::built_in(), further: 0 }
    }

    /// The same in other words.
    #[must_use]
    pub fn with_words(self, words: Words) -> Self {
        Typesetter { words, ..self }
    }

    /// The same with a further font file (TrueType, OpenType, or a collection).
    ///
    /// # Errors
    /// Bytes that are no font.
    pub fn with_font(self, data: Vec<u8>) -> Result<Self, TypesetError> {
        let further = self.further + 1;
        Ok(Typesetter { fonts: self.fonts.with(data, further)?, further, ..self })
    }

    /// The paper.
    pub fn paper(&self) -> PaperSize {
        self.paper
    }

    /// Sets a template with the fields of a document.
    pub(crate) fn set(
        &self,
        template: &str,
        kind: &str,
        imprint: &Imprint,
        fields: Dict,
    ) -> Result<Document, TypesetError> {
        let date = imprint.date.map(|d| {
            Datetime::from_ymd(d.year, d.month, d.day).ok_or(TypesetError::BadDate {
                year: d.year,
                month: d.month,
                day: d.day,
            })
        });
        let date = date.transpose()?;
        let data = dict([
            ("kind", kind.into()),
            ("paper", self.paper.name().into()),
            ("language", self.words.language().into()),
            ("families", list(self.fonts.families.iter().map(|f| f.as_str().into()))),
            ("imprint", imprint.value().into()),
            ("day", Field(date.map_or(Value::None, Value::Datetime))),
            ("words", self.words.value().into()),
            ("own", fields.into()),
        ]);
        self.fonts.check(&Value::Dict(data.clone()))?;
        let inputs = dict([("data", data.into())]);
        let world = Pages {
            library: LazyHash::new(Library::builder().with_inputs(inputs).build()),
            fonts: &self.fonts,
            main: file(template),
        };
        let set = typst::compile::<PagedDocument>(&world);
        let document = set.output.map_err(|e| refused(&e))?;
        if let Some(warning) = set.warnings.first() {
            return Err(refused(std::slice::from_ref(warning)));
        }
        let pages = document.pages().len();
        let printed = match print(&document, true) {
            Ok(pdf) => Ok(Document { pdf, pages, universal: true }),
            // What UA-1 refuses and no template of ours can mend.
            Err(e) if e.iter().all(|d| ["code point", "codepoint"].iter().any(|w| d.message.contains(w))) => {
                print(&document, false).map(|pdf| Document { pdf, pages, universal: false })
            }
            Err(e) => Err(e),
        };
        // What was laid out is not asked for again: the workshop runs for days.
        typst::comemo::evict(0);
        printed.map_err(|e| refused(&e))
    }
}

fn print(document: &PagedDocument, universal: bool) -> Result<Vec<u8>, Vec<SourceDiagnostic>> {
    let standards = if universal { &[PdfStandard::Ua_1][..] } else { &[] };
    let options = PdfOptions {
        creator: Smart::Custom(Some("Pinfold".to_owned())),
        standards: PdfStandards::new(standards).expect("one standard does not contradict itself"),
        ..PdfOptions::default()
    };
    typst_pdf::pdf(document, &options).map_err(|e| e.into_iter().collect())
}

fn refused(diagnostics: &[SourceDiagnostic]) -> TypesetError {
    let told = diagnostics.iter().map(|d| {
        let hints: Vec<String> = d.hints.iter().map(|h| format!(" ({})", h.v)).collect();
        format!("{}{}", d.message, hints.concat())
    });
    TypesetError::Template { reason: told.collect::<Vec<_>>().join("; ") }
}

/// Every template, by its name.
pub(crate) const TEMPLATES: [(&str, &str); 8] = [
    ("shared.typ", include_str!("pages/shared.typ")),
    ("booklet.typ", include_str!("pages/booklet.typ")),
    ("cards.typ", include_str!("pages/cards.typ")),
    ("answers.typ", include_str!("pages/answers.typ")),
    ("makers-sheet.typ", include_str!("pages/makers-sheet.typ")),
    ("plan.typ", include_str!("pages/plan.typ")),
    ("opening.typ", include_str!("pages/opening.typ")),
    ("standings.typ", include_str!("pages/standings.typ")),
];

/// The files that say sentences themselves, for the test that none is idle.
#[cfg(test)]
pub(crate) const SPEAKERS: [&str; 7] = [
    include_str!("booklet.rs"),
    include_str!("cards.rs"),
    include_str!("answers.rs"),
    include_str!("makers_sheet.rs"),
    include_str!("plan.rs"),
    include_str!("race.rs"),
    include_str!("lessons.rs"),
];

static SOURCES: LazyLock<BTreeMap<&str, Source>> = LazyLock::new(|| {
    TEMPLATES.iter().map(|&(name, text)| (name, Source::new(file(name), text.to_owned()))).collect()
});

fn file(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("our names are plain");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

/// What the typesetter sees.
struct Pages<'a> {
    library: LazyHash<Library>,
    fonts: &'a Fonts,
    main: FileId,
}

impl World for Pages<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.fonts.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let found = SOURCES.values().find(|s| s.id() == id).cloned();
        found.ok_or(FileError::AccessDenied)
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.fonts.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
