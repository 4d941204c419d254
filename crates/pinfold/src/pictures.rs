//! Pictures as files: SVG, PNG and PDF, whole or not at all.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use paper::Picture;
use project::write_whole;

use crate::answer::Failure;

/// Pixels to a millimetre: about 200 to the inch.
const PIXELS_PER_MM: f64 = 8.0;

/// The kinds of picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Svg,
    Png,
    Pdf,
}

impl Kind {
    /// Every kind.
    pub(crate) const ALL: [Kind; 3] = [Kind::Svg, Kind::Png, Kind::Pdf];

    /// How a file's name ends.
    pub(crate) fn ending(self) -> &'static str {
        match self {
            Kind::Svg => "svg",
            Kind::Png => "png",
            Kind::Pdf => "pdf",
        }
    }

    fn bytes(self, picture: &Picture) -> Result<Vec<u8>, Failure> {
        match self {
            Kind::Svg => Ok(picture.svg().as_bytes().to_vec()),
            Kind::Png => Ok(picture.png((picture.size_mm().0 * PIXELS_PER_MM).ceil() as u32)?),
            Kind::Pdf => typeset::page(picture)
                .map_err(|error| Failure::plain(error, "ask for another kind of picture: .svg or .png")),
        }
    }
}

/// Writes a picture, making its folder if need be, over an older one.
pub(crate) fn write(path: &Path, picture: &Picture, kind: Kind) -> Result<(), Failure> {
    put(path, &kind.bytes(picture)?).map(|_| ())
}

/// Writes the bytes of a picture, making its folder if need be, over an older one;
/// its path as shown.
pub(crate) fn put(path: &Path, bytes: &[u8]) -> Result<String, Failure> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    let written = folder.map_or(Ok(()), fs::create_dir_all).and_then(|()| write_whole(path, bytes, true));
    written.map(|()| path.display().to_string()).map_err(|e: io::Error| {
        Failure::plain(
            format_args!("{} was not written: {e}", path.display()),
            "name a file that can be written",
        )
    })
}

/// The file for one of several pictures, counted from 0: the path itself, then
/// with -2, -3, … before the ending.
pub(crate) fn numbered(path: &Path, number: usize) -> PathBuf {
    if number == 0 {
        return path.to_owned();
    }
    let mut name = path.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{}", number + 1));
    if let Some(ending) = path.extension() {
        name.push(".");
        name.push(ending);
    }
    path.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_stands_before_the_ending() {
        assert_eq!(numbered(Path::new("out/tug.svg"), 0), Path::new("out/tug.svg"));
        assert_eq!(numbered(Path::new("out/tug.svg"), 1), Path::new("out/tug-2.svg"));
        assert_eq!(numbered(Path::new("tug.v1.svg"), 2), Path::new("tug.v1-3.svg"));
        assert_eq!(numbered(Path::new("tug"), 1), Path::new("tug-2"));
    }
}
