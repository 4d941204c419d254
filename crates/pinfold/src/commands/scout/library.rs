//! Pictures of the maker: read as silhouettes, one by one or a folder of them.

use std::fs;
use std::path::{Path, PathBuf};

use ::scout::like::{Ink, Library};
use lattice::Cell;

use crate::answer::Failure;

/// The silhouettes of some pictures; every file that is wrong is told at once.
pub(super) fn inks(files: &[PathBuf]) -> Result<Vec<Ink>, Failure> {
    let read = |file: &Path| -> Result<Ink, String> {
        let bytes = fs::read(file).map_err(|e| format!("{} cannot be read: {e}", file.display()))?;
        silhouette::read(&bytes).map_err(|e| format!("{}: {e}", file.display()))
    };
    let (mut inks, mut wrong) = (Vec::new(), Vec::new());
    for file in files {
        match read(file) {
            Ok(ink) => inks.push(ink),
            Err(sentence) => wrong.push(sentence),
        }
    }
    if wrong.is_empty() {
        return Ok(inks);
    }
    let mend = "name a PNG, JPEG or SVG file of a dark shape on light ground, a light one on dark, \
                or one on clear ground; letters in an SVG must be paths";
    Err(Failure::plain(wrong.join("; "), mend))
}

/// Pictures that outlines are compared with when their looks are scored.
pub(super) struct Pictures {
    library: Library,
    /// SHA-256 of all the ink, in hexadecimal: names and kinds of file do not matter.
    pub(super) fingerprint: String,
}

impl Pictures {
    /// The pictures in a folder, by the endings of their names, for outlines of `cells` cells.
    pub(super) fn of(folder: &Path, cells: usize) -> Result<Pictures, Failure> {
        let cannot = |e: std::io::Error| {
            Failure::plain(
                format_args!("the pictures in {} cannot be listed: {e}", folder.display()),
                "name a folder of pictures",
            )
        };
        let listed = fs::read_dir(folder).and_then(Iterator::collect::<Result<Vec<_>, _>>).map_err(cannot)?;
        let is_picture = |path: &PathBuf| {
            let ending = path.extension().and_then(|e| e.to_str()).unwrap_or_default().to_lowercase();
            ["png", "jpg", "jpeg", "svg"].contains(&&ending[..])
        };
        let mut files: Vec<PathBuf> = listed.into_iter().map(|e| e.path()).filter(is_picture).collect();
        files.sort();
        if files.is_empty() {
            return Err(Failure::plain(
                format_args!("{} has no pictures", folder.display()),
                "put files ending in .png, .jpg, .jpeg or .svg there",
            ));
        }
        let inks = inks(&files)?;
        let mut digests: Vec<String> = inks.iter().map(digest).collect();
        digests.sort_unstable();
        let library = Library::new(&inks, cells);
        Ok(Pictures { library, fingerprint: solid::sha256(digests.concat().as_bytes()) })
    }

    /// How like an outline is to the picture it is most like, 0 to 1.
    pub(super) fn likeness(&self, cells: &[Cell]) -> f64 {
        self.library.likeness(cells)
    }
}

fn digest(ink: &Ink) -> String {
    let mut bytes = format!("{} {}\n", ink.width(), ink.height()).into_bytes();
    bytes.extend((0..ink.height()).flat_map(|y| (0..ink.width()).map(move |x| u8::from(ink.has(x, y)))));
    solid::sha256(&bytes)
}
