//! The archive as a container: what stands in it, told before it is unpacked.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read};

use zip::{CompressionMethod, ZipArchive};

use super::fault::{Fault, NoPack};
use super::{MOST_BYTES, MOST_FILES};

/// Bytes of the record at the end of an archive without a remark (APPNOTE.TXT
/// 6.3.10 of the ZIP format, section 4.3.16).
const END_RECORD: u64 = 22;
/// The file type in Unix rights, and that of a plain file (POSIX `sys/stat.h`).
const TYPE: u32 = 0o170_000;
const PLAIN: u32 = 0o100_000;

/// What stands in an archive under one name.
struct Entry {
    at: usize,
    size: u64,
    readable: bool,
}

/// An archive.
pub(super) struct Container<'b> {
    zip: ZipArchive<Cursor<&'b [u8]>>,
    entries: BTreeMap<String, Entry>,
}

impl<'b> Container<'b> {
    /// Looks at everything but the contents.
    pub fn open(bytes: &'b [u8], faults: &mut BTreeSet<Fault>) -> Result<Self, NoPack> {
        let no_archive = |e: zip::result::ZipError| NoPack::NoArchive { why: e.to_string() };
        let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(no_archive)?;
        let mut entries = BTreeMap::new();
        let (mut total, mut spans) = (0u64, Vec::new());
        let mut folded: BTreeMap<String, String> = BTreeMap::new();
        if zip.len() > MOST_FILES {
            faults.insert(Fault::ManyFiles { found: zip.len() });
        }
        for at in 0..zip.len().min(MOST_FILES) {
            let file = zip.by_index_raw(at).map_err(no_archive)?;
            let raw = String::from_utf8_lossy(file.name_raw()).into_owned();
            let name: String = raw.chars().take(400).collect();
            total = total.saturating_add(file.size());
            spans.push((file.header_start(), file.data_start().unwrap_or(0), file.compressed_size()));
            let good = plain_name(&raw);
            if !good {
                faults.insert(Fault::Path { name: name.clone() });
            }
            let kind = file.unix_mode().map_or(0, |mode| mode & TYPE);
            let plain = file.is_file() && !file.is_symlink() && (kind == 0 || kind == PLAIN);
            let known = matches!(file.compression(), CompressionMethod::Stored | CompressionMethod::Deflated);
            if good && !(plain && known) {
                faults.insert(Fault::NotPlain { name: name.clone() });
            }
            if !file.comment_raw().is_empty() || file.extra_data().is_some_and(|extra| !extra.is_empty()) {
                faults.insert(Fault::Remark);
            }
            if file.encrypted() {
                faults.insert(Fault::Locked { name: name.clone() });
            }
            if let Some(other) = folded.insert(raw.to_lowercase(), name.clone()) {
                faults.insert(Fault::Capitals { one: other, other: name });
            }
            let readable = plain && known && !file.encrypted();
            entries.insert(raw, Entry { at, size: file.size(), readable });
        }
        if total > MOST_BYTES {
            faults.insert(Fault::TooLarge { found: total });
        }
        if zip.has_duplicate_names() {
            faults.insert(Fault::Twice { count: zip.len() });
        }
        if !zip.comment().is_empty() {
            faults.insert(Fault::Remark);
        }
        gaps(&zip, bytes, spans, faults);
        Ok(Container { zip, entries })
    }

    /// How many files there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// The folder of the manifest, if there is one.
    pub fn folder(&self) -> Option<String> {
        let of = |name: &String| name.strip_suffix("/MANIFEST.json").map(str::to_owned);
        self.entries.keys().filter_map(of).find(|folder| !folder.contains('/'))
    }

    /// Every name with its size.
    pub fn names(&self) -> impl Iterator<Item = (&str, u64)> {
        self.entries.iter().map(|(name, entry)| (name.as_str(), entry.size))
    }

    /// A file unpacked, never beyond `most` bytes; none if there is none.
    pub fn read(&mut self, name: &str, most: u64) -> Option<Result<Vec<u8>, String>> {
        let entry = self.entries.get(name)?;
        if !entry.readable {
            return Some(Err("it is not a plain file".into()));
        }
        if entry.size > most {
            return Some(Err(format!("it has {} bytes", entry.size)));
        }
        let mut bytes = Vec::new();
        let read = self.zip.by_index(entry.at).map_err(|e| e.to_string()).and_then(|file| {
            let read = file.take(most + 1).read_to_end(&mut bytes).map_err(|e| e.to_string())?;
            if read as u64 > most { Err(format!("it goes on after {most} bytes")) } else { Ok(()) }
        });
        Some(read.map(|()| bytes))
    }
}

/// Whether a name is a relative path of plain parts on every system.
pub(super) fn plain_name(name: &str) -> bool {
    let fits = |c: char| c.is_ascii_alphanumeric() || "._-".contains(c);
    let part = |p: &str| !p.is_empty() && !p.starts_with('.') && !p.ends_with('.') && p.chars().all(fits);
    name.len() <= 240 && name.split('/').count() >= 2 && name.split('/').all(part)
}

/// Tells bytes that belong to no file, and files that share some.
fn gaps(
    zip: &ZipArchive<Cursor<&[u8]>>,
    bytes: &[u8],
    mut spans: Vec<(u64, u64, u64)>,
    faults: &mut BTreeSet<Fault>,
) {
    spans.sort_unstable();
    let (mut at, mut hidden) = (0u64, 0u64);
    for (header, data, packed) in spans {
        match header.checked_sub(at) {
            Some(gap) => hidden += gap,
            None => {
                faults.insert(Fault::Overlap);
            }
        }
        at = data.saturating_add(packed).max(at);
    }
    let directory = zip.central_directory_start();
    match directory.checked_sub(at) {
        Some(gap) => hidden += gap,
        None => {
            faults.insert(Fault::Overlap);
        }
    }
    // The end record has the directory's size; with nothing hidden it follows at once.
    let tail = bytes.len().checked_sub(END_RECORD as usize).map(|at| &bytes[at..]);
    let size = tail.filter(|t| t.starts_with(b"PK\x05\x06"));
    let size = size.map(|t| u64::from(u32::from_le_bytes([t[12], t[13], t[14], t[15]])));
    let end = directory.saturating_add(size.unwrap_or(0)).saturating_add(END_RECORD);
    hidden += (bytes.len() as u64).saturating_sub(end);
    if hidden > 0 {
        faults.insert(Fault::Hidden { bytes: hidden });
    }
}
