//! The fonts that pages are set in, and whether they have every character.
//!
//! Libertinus Serif and DejaVu Sans are built in: Latin, Greek, Cyrillic,
//! Hebrew; Arabic, Armenian, Georgian and many signs. Further fonts come as bytes.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use typst::foundations::{Bytes, Value};
use typst::text::{Font, FontBook, FontStyle};
use typst::utils::LazyHash;

use crate::error::TypesetError;

/// The family of the pages.
const SERIF: &str = "Libertinus Serif";
/// The family for digits that are compared one by one.
const MONO: &str = "DejaVu Sans Mono";
/// The family for what the serif lacks.
const SANS: &str = "DejaVu Sans";

static BUILT_IN: LazyLock<Vec<Font>> = LazyLock::new(|| {
    // Of the assets not those for mathematics: nobody here sets formulas.
    let wanted = |data: &&'static [u8]| {
        Font::new(Bytes::new(*data), 0).is_some_and(|f| [SERIF, MONO].contains(&f.info().family.as_str()))
    };
    typst_assets::fonts()
        .filter(wanted)
        .chain([dejavu::sans::regular(), dejavu::sans::bold(), dejavu::sans::oblique()])
        .filter_map(|data| Font::new(Bytes::new(data), 0))
        .collect()
});

/// Fonts and what is in them.
#[derive(Clone, Debug)]
pub(crate) struct Fonts {
    pub fonts: Vec<Font>,
    pub book: LazyHash<FontBook>,
    /// Families in the order they are tried.
    pub families: Vec<String>,
}

impl Fonts {
    pub fn built_in() -> Self {
        Fonts {
            fonts: BUILT_IN.clone(),
            book: LazyHash::new(FontBook::from_fonts(BUILT_IN.iter())),
            families: vec![SERIF.to_owned(), SANS.to_owned()],
        }
    }

    /// The same with every font of a file, tried after the serif.
    pub fn with(mut self, data: Vec<u8>, number: usize) -> Result<Self, TypesetError> {
        let found: Vec<Font> = Font::iter(Bytes::new(data)).collect();
        if found.is_empty() {
            return Err(TypesetError::BadFont { number });
        }
        for font in found {
            let family = font.info().family.to_string();
            if !self.families.contains(&family) {
                self.families.insert(self.families.len() - 1, family);
            }
            self.fonts.push(font);
        }
        self.book = LazyHash::new(FontBook::from_fonts(&self.fonts));
        Ok(self)
    }

    fn has(&self, character: char) -> bool {
        // An upright one must have it: slanted ones are tried for style alone.
        let upright = |f: &&Font| f.info().variant.style == FontStyle::Normal;
        self.fonts.iter().filter(upright).any(|f| f.info().coverage.contains(character.into()))
    }

    /// Whether every text in a value can be printed.
    ///
    /// # Errors
    /// Every character that no font has; the first that cannot be printed at all.
    pub fn check(&self, value: &Value) -> Result<(), TypesetError> {
        let mut missing: BTreeMap<char, String> = BTreeMap::new();
        self.look(value, &mut missing)?;
        if missing.is_empty() {
            return Ok(());
        }
        Err(TypesetError::NoGlyph { missing: missing.into_iter().collect() })
    }

    fn look(&self, value: &Value, missing: &mut BTreeMap<char, String>) -> Result<(), TypesetError> {
        match value {
            Value::Str(text) => {
                for character in text.chars().filter(|&c| !leaves_no_mark(c)) {
                    if character.is_control() || is_private(character) {
                        return Err(TypesetError::Unprintable { character, text: text.to_string() });
                    }
                    if !self.has(character) {
                        missing.entry(character).or_insert_with(|| text.to_string());
                    }
                }
                Ok(())
            }
            Value::Array(items) => items.iter().try_for_each(|item| self.look(item, missing)),
            Value::Dict(fields) => fields.iter().try_for_each(|(_, field)| self.look(field, missing)),
            _ => Ok(()),
        }
    }
}

/// White space, and what only says how its neighbours are set: joiners, marks
/// of direction, selectors of a variant.
fn leaves_no_mark(c: char) -> bool {
    matches!(c, '\n' | '\t' | ' ' | '\u{A0}' | '\u{AD}' | '\u{34F}' | '\u{61C}')
        || matches!(c, '\u{2000}'..='\u{200F}' | '\u{2028}'..='\u{202F}' | '\u{205F}'..='\u{206F}')
        || matches!(c, '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}' | '\u{E0100}'..='\u{E01EF}')
}

fn is_private(c: char) -> bool {
    matches!(c, '\u{E000}'..='\u{F8FF}' | '\u{F0000}'..='\u{FFFFD}' | '\u{100000}'..='\u{10FFFD}')
}
