//! The maker's sheet: what to print, how long it takes, what it uses, when to
//! change the filament, how the beds are filled, and a list to tick off.

use typst::foundations::Dict;

use crate::error::TypesetError;
use crate::imprint::Imprint;
use crate::typesetter::{Document, Typesetter};
use crate::value::{Field, dict, list, short};

/// A part to be printed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MakePart {
    /// Its name.
    pub name: String,
    /// What it is, in a word.
    pub kind: String,
    /// Its file, or empty.
    pub file: String,
    /// How many are printed.
    pub copies: usize,
    /// Its colour as `#RRGGBB` or in words.
    pub colour: String,
    /// Minutes for one.
    pub minutes: f64,
    /// Grams for one.
    pub grams: f64,
    /// Heights in millimetres at which the filament is changed by hand.
    pub changes: Vec<f64>,
    /// Whether it fits the small-parts cylinder.
    pub small: bool,
}

/// One bed: parts printed together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MakeBed {
    /// Its file.
    pub file: String,
    /// The parts on it, by name.
    pub parts: Vec<String>,
    /// Minutes for all.
    pub minutes: f64,
    /// Grams for all.
    pub grams: f64,
}

/// The maker's sheet.
#[derive(Clone, Debug, Default)]
pub struct MakersSheet {
    /// Who made it and what it is.
    pub imprint: Imprint,
    /// The parts.
    pub parts: Vec<MakePart>,
    /// The beds, in the order they are printed.
    pub beds: Vec<MakeBed>,
    /// What the printer is set to, each as its name and its value.
    pub settings: Vec<(String, String)>,
    /// Further lines to tick off, after the usual ones.
    pub checklist: Vec<String>,
    /// Cautions of the maker's own, after the usual ones.
    pub cautions: Vec<String>,
}

impl Typesetter {
    /// Sets the maker's sheet.
    ///
    /// # Errors
    /// No parts, a character that no font has.
    pub fn makers_sheet(&self, sheet: &MakersSheet) -> Result<Document, TypesetError> {
        if sheet.parts.is_empty() {
            return Err(TypesetError::Nothing { what: "a maker's sheet needs at least one part" });
        }
        let words = &self.words;
        let total =
            |of: fn(&MakePart) -> f64| sheet.parts.iter().map(|p| of(p) * p.copies as f64).sum::<f64>();
        let text = |t: &String| Field::from(t.as_str());
        let fields = dict([
            ("parts", list(sheet.parts.iter().map(|p| part(p).into()))),
            ("beds", list(sheet.beds.iter().map(|b| bed(b).into()))),
            ("minutes", time(total(|p| p.minutes)).into()),
            ("grams", short(total(|p| p.grams)).into()),
            ("copies", sheet.parts.iter().map(|p| p.copies).sum::<usize>().into()),
            ("changing", sheet.parts.iter().any(|p| !p.changes.is_empty()).into()),
            ("small", sheet.parts.iter().any(|p| p.small).into()),
            ("settings", list(sheet.settings.iter().map(|(k, v)| list([k, v].map(text))))),
            ("checklist", list(sheet.checklist.iter().map(text))),
            ("cautions", list(sheet.cautions.iter().map(text))),
        ]);
        self.set("makers-sheet.typ", &words.say("makers-kind", &[]), &sheet.imprint, fields)
    }
}

fn part(part: &MakePart) -> Dict {
    let changes = part.changes.iter().map(|h| format!("{h:.2}").into());
    dict([
        ("name", part.name.as_str().into()),
        ("kind", part.kind.as_str().into()),
        ("file", part.file.as_str().into()),
        ("copies", part.copies.into()),
        ("colour", part.colour.as_str().into()),
        ("swatch", is_hex(&part.colour).into()),
        ("time", time(part.minutes).into()),
        ("grams", short(part.grams).into()),
        ("changes", list(changes)),
    ])
}

fn bed(bed: &MakeBed) -> Dict {
    dict([
        ("file", bed.file.as_str().into()),
        ("parts", bed.parts.join(", ").into()),
        ("time", time(bed.minutes).into()),
        ("grams", short(bed.grams).into()),
    ])
}

/// Hours and minutes, as on a clock: 2:05.
fn time(minutes: f64) -> String {
    if !minutes.is_finite() || minutes < 0.0 {
        return "–".to_owned();
    }
    let whole = minutes.ceil() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

fn is_hex(colour: &str) -> bool {
    colour.len() == 7 && colour.starts_with('#') && colour[1..].bytes().all(|b| b.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_rounded_up_to_minutes() {
        assert_eq!([0.0, 59.2, 60.0, 125.0].map(time), ["0:00", "1:00", "1:00", "2:05"]);
        assert_eq!(time(f64::NAN), "–");
        assert!(is_hex("#00aAfF") && !is_hex("#00aafg") && !is_hex("red") && !is_hex("#é1234"));
    }
}
