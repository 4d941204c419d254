//! The archive of a pack: a zip whose bytes follow from the files alone.
//!
//! All files stand in one folder, sorted by name, each whole after the one
//! before it, with fixed dates and rights; what is packed already is stored as
//! it is. Files are packed side by side on all threads.

use std::io::{Cursor, Write as _};

use rayon::prelude::*;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipArchive, ZipWriter};

/// A file of a pack: a relative name with `/` between folders, and its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileInPack {
    /// Relative name.
    pub name: String,
    /// Contents.
    pub bytes: Vec<u8>,
}

impl FileInPack {
    /// A file.
    pub fn new(name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        FileInPack { name: name.into(), bytes: bytes.into() }
    }
}

/// Endings of files that are packed already, or that packing makes no smaller.
const PACKED: [&str; 4] = [".3mf", ".pdf", ".png", ".jpg"];

/// The archive of some files in a folder called `folder`.
pub fn archive(folder: &str, files: &[FileInPack]) -> Vec<u8> {
    let mut sorted: Vec<&FileInPack> = files.iter().collect();
    sorted.sort_by(|a, b| a.name.cmp(&b.name));
    let alone: Vec<Vec<u8>> = sorted.par_iter().map(|file| one(folder, file)).collect();
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for bytes in alone {
        let mut packed = ZipArchive::new(Cursor::new(bytes)).expect("an archive just written is sound");
        let file = packed.by_index_raw(0).expect("it has one file");
        zip.raw_copy_file(file).expect("writing to memory does not fail");
    }
    zip.finish().expect("writing to memory does not fail").into_inner()
}

/// An archive of one file.
fn one(folder: &str, file: &FileInPack) -> Vec<u8> {
    let stored = PACKED.iter().any(|ending| file.name.ends_with(ending));
    let method = if stored { CompressionMethod::Stored } else { CompressionMethod::Deflated };
    let options = SimpleFileOptions::default()
        .compression_method(method)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file(format!("{folder}/{}", file.name), options).expect("a name of a pack fits an archive");
    zip.write_all(&file.bytes).expect("writing to memory does not fail");
    zip.finish().expect("writing to memory does not fail").into_inner()
}
