//! The contact sheet of finds.

use ::scout::finds::Find;
use paper::{Tile, TileContent};

use super::Scout;
use super::finds::Hunt;
use crate::answer::{Failure, counted};
use crate::pictures::{self, Kind};

/// Plates side by side.
const COLUMNS: usize = 5;

/// The kind of picture that was asked for, if one was.
pub(super) fn kind(args: &Scout) -> Result<Option<Kind>, Failure> {
    let Some(path) = &args.sheet else { return Ok(None) };
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or_default().to_lowercase();
    match Kind::ALL.into_iter().find(|kind| kind.ending() == ending) {
        Some(kind) => Ok(Some(kind)),
        None => Err(Failure::plain(
            format_args!("no kind of picture is known by the name {}", path.display()),
            "end its name in .svg, .png or .pdf",
        )),
    }
}

/// Writes the sheet if it was asked for; the files written.
pub(super) fn write(hunt: &Hunt<'_>, finds: &[Find]) -> Result<Vec<String>, Failure> {
    let (Some(path), Some(kind)) = (&hunt.args.sheet, kind(hunt.args)?) else { return Ok(vec![]) };
    if finds.is_empty() {
        return Ok(vec![]);
    }
    let outlines: Vec<lattice::Outline> = finds.iter().map(Find::outline).collect();
    let words: Vec<(String, String)> = finds.iter().enumerate().map(|(i, f)| words(i + 1, f)).collect();
    let tiles: Vec<Tile<'_>> = outlines
        .iter()
        .zip(&words)
        .map(|(outline, (title, note))| Tile { title, note, content: TileContent::Outline(outline) })
        .collect();
    let title = format!("{}: {}", hunt.project.title, counted(finds.len(), "find"));
    let picture = paper::contact_sheet(&title, &tiles, COLUMNS)?;
    pictures::write(path, &picture, kind)?;
    Ok(vec![path.display().to_string()])
}

fn words(rank: usize, find: &Find) -> (String, String) {
    let layouts = counted(find.look.different as usize, "layout");
    let note = match find.pockets() {
        Some(pockets) => format!("{} leave 1 of {layouts}", counted(pockets.len(), "pocket")),
        None => layouts,
    };
    (format!("{rank}: {:.2}", find.score), note)
}
