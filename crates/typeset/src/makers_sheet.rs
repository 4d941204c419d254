//! The maker's sheet: what to print, how long it takes, what it uses, when to
//! change the filament, how the beds are filled, and a list to tick off.

use typst::foundations::Dict;

use crate::error::TypesetError;
use crate::imprint::Imprint;
use crate::typesetter::{Document, Typesetter};
use crate::value::{Field, dict, list, short};
use crate::words::Words;

/// What a part is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PartKind {
    /// A piece of the set.
    #[default]
    Piece,
    /// The board.
    Board,
    /// A plate.
    Plate,
    /// The test coupon.
    Coupon,
}

impl PartKind {
    fn key(self) -> &'static str {
        match self {
            PartKind::Piece => "kind-piece",
            PartKind::Board => "kind-board",
            PartKind::Plate => "kind-plate",
            PartKind::Coupon => "kind-coupon",
        }
    }
}

/// What the parts are made for. Lengths in millimetres.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Settings {
    /// The filament's material.
    pub material: String,
    /// Its diameter.
    pub filament: f64,
    /// The nozzle's diameter.
    pub nozzle: f64,
    /// The layers' height.
    pub layer: f64,
    /// The first layer's height.
    pub first_layer: f64,
    /// Width and depth of the bed.
    pub bed: [f64; 2],
    /// The distance of two lattice lines.
    pub pitch: f64,
    /// The blocks' height.
    pub height: f64,
    /// The air between two blocks.
    pub gap: f64,
    /// The air in a hinge.
    pub clearance: f64,
}

impl Settings {
    /// Each with its words, as a row.
    fn value(&self, words: &Words) -> Field {
        let mm = |value: f64| format!("{value} mm");
        let rows = [
            ("set-material", self.material.clone()),
            ("set-filament", mm(self.filament)),
            ("set-nozzle", mm(self.nozzle)),
            ("set-layer", mm(self.layer)),
            ("set-first-layer", mm(self.first_layer)),
            ("set-bed", format!("{} × {} mm", self.bed[0], self.bed[1])),
            ("set-pitch", mm(self.pitch)),
            ("set-height", mm(self.height)),
            ("set-gap", mm(self.gap)),
            ("set-clearance", mm(self.clearance)),
        ];
        list(rows.into_iter().map(|(key, value)| list([words.say(key, &[]).into(), value.into()])))
    }
}

/// A part to be printed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MakePart {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: PartKind,
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
    /// What the parts are made for.
    pub settings: Option<Settings>,
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
            ("parts", list(sheet.parts.iter().map(|p| part(p, words).into()))),
            ("beds", list(sheet.beds.iter().map(|b| bed(b).into()))),
            ("minutes", time(total(|p| p.minutes)).into()),
            ("grams", short(total(|p| p.grams)).into()),
            ("copies", sheet.parts.iter().map(|p| p.copies).sum::<usize>().into()),
            ("changing", sheet.parts.iter().any(|p| !p.changes.is_empty()).into()),
            ("small", sheet.parts.iter().any(|p| p.small).into()),
            ("settings", sheet.settings.as_ref().map_or_else(|| list([]), |s| s.value(words))),
            ("checklist", list(sheet.checklist.iter().map(text))),
            ("cautions", list(sheet.cautions.iter().map(text))),
        ]);
        self.set("makers-sheet.typ", &words.say("makers-kind", &[]), &sheet.imprint, fields)
    }
}

fn part(part: &MakePart, words: &Words) -> Dict {
    let changes = part.changes.iter().map(|h| format!("{h:.2}").into());
    dict([
        ("name", part.name.as_str().into()),
        ("kind", words.say(part.kind.key(), &[]).into()),
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
