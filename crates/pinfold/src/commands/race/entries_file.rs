//! Entries in a CSV file: each row an entry, or a sentence on what is wrong with it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Component, Path, PathBuf};

use ::race::{Moment, NewEntry, Proof, RaceError};

use crate::answer::Failure;

/// Most bytes of the file.
const MOST_BYTES: u64 = 50_000_000;
/// The columns that must be there, and those that may.
const NEEDED: [&str; 3] = ["mark", "outline", "layout"];
const OTHERS: [&str; 3] = ["proof", "received", "name"];

/// A row of the file.
pub(super) struct Row {
    /// The line it begins on.
    pub(super) line: u64,
    pub(super) entry: Result<Listed, String>,
}

/// An entry whose proofs are still to be read: not all fit into memory at once.
pub(super) struct Listed {
    new: NewEntry,
    proofs: Vec<PathBuf>,
}

impl Listed {
    /// The entry with its proofs.
    pub(super) fn read(&self) -> Result<NewEntry, RaceError> {
        let proofs = self.proofs.iter().map(|p| Proof::read(p)).collect::<Result<_, _>>()?;
        Ok(NewEntry { proofs, ..self.new.clone() })
    }
}

/// Reads the rows of a file.
pub(super) fn read(file: &Path, race: Option<&str>) -> Result<Vec<Row>, Failure> {
    let bad = |why: String| {
        Failure::plain(
            format_args!("{} is not taken: {why}", file.display()),
            "write a CSV file in UTF-8 whose first line is mark,outline,layout,proof,received,name",
        )
    };
    let size = fs::metadata(file).map_err(|e| bad(e.to_string()))?;
    if !size.is_file() || size.len() > MOST_BYTES {
        return Err(bad(format!("it is no file of at most {} MB", MOST_BYTES / 1_000_000)));
    }
    let text = String::from_utf8(fs::read(file).map_err(|e| bad(e.to_string()))?)
        .map_err(|e| bad(format!("byte {} is no UTF-8", e.utf8_error().valid_up_to() + 1)))?;
    // The reader counts a line end of two characters to the next row.
    let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
    let mut rows = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
    let head = rows.headers().map_err(|e| bad(e.to_string()))?.clone();
    let mut columns: BTreeMap<&str, usize> = BTreeMap::new();
    for (at, name) in head.iter().enumerate() {
        let name = name.trim();
        if !NEEDED.contains(&name) && !OTHERS.contains(&name) {
            return Err(bad(format!("it has a column '{}'", name.escape_debug())));
        }
        if columns.insert(name, at).is_some() {
            return Err(bad(format!("it has the column '{name}' twice")));
        }
    }
    if let Some(missing) = NEEDED.iter().find(|name| !columns.contains_key(**name)) {
        return Err(bad(format!("it has no column '{missing}'")));
    }
    let folder = file.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut found = Vec::new();
    for record in rows.records() {
        let record = record.map_err(|e| bad(e.to_string()))?;
        let line = record.position().map_or(0, csv::Position::line);
        let cell = |name: &str| columns.get(name).and_then(|&at| record.get(at)).unwrap_or_default().trim();
        let given = |name: &str| Some(cell(name).to_owned()).filter(|text| !text.is_empty());
        let entry = if record.len() > head.len() {
            Err("the row has more cells than the first line".to_owned())
        } else {
            let received = given("received").map(|text| Moment::parse(&text)).transpose();
            let proofs = cell("proof").split(';').map(str::trim).filter(|name| !name.is_empty());
            let proofs: Result<Vec<PathBuf>, String> = proofs.map(|name| beside(folder, name)).collect();
            received.map_err(|e| e.to_string()).and_then(|received| {
                let new = NewEntry {
                    mark: cell("mark").to_owned(),
                    race: race.map(str::to_owned),
                    name: given("name"),
                    outline: cell("outline").to_owned(),
                    layout: cell("layout").to_owned(),
                    proofs: Vec::new(),
                    received,
                };
                Ok(Listed { new, proofs: proofs? })
            })
        };
        found.push(Row { line, entry });
    }
    Ok(found)
}

/// A file in the CSV's folder or below: names in it come from entrants, and must not
/// lead anywhere else.
fn beside(folder: &Path, name: &str) -> Result<PathBuf, String> {
    let told: String = name.chars().take(60).collect();
    let told = told.escape_debug();
    let parts = Path::new(name).components();
    if parts.clone().any(|part| !matches!(part, Component::Normal(_))) || name.contains('\\') {
        return Err(format!("the proof '{told}' leads out of the folder of the CSV file"));
    }
    let path = folder.join(name);
    let inside = fs::canonicalize(folder).and_then(|folder| Ok(fs::canonicalize(&path)?.starts_with(folder)));
    match inside {
        Ok(true) => {}
        Ok(false) => return Err(format!("the proof '{told}' leads out of the folder of the CSV file")),
        Err(e) => return Err(format!("the proof '{told}' cannot be read: {e}")),
    }
    // Read once to tell what is wrong with it in its row, and again when it is put in.
    Proof::read(&path).map(|_| path).map_err(|e| e.to_string())
}
