//! Proofs: photos and files, kept under their SHA-256. What the file was called is
//! not kept, so no name can lead anywhere.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use crate::digest::sha256;
use crate::error::RaceError;

/// The folder of proofs, below the project's.
pub const PROOFS: &str = "race/proofs";
/// Most bytes of one proof: 25 MB.
pub const MOST_BYTES: u64 = 25_000_000;
/// Most proofs of one entry.
pub(crate) const MOST_FILES: usize = 8;

/// What files that are photos begin with, and how their names end.
const KINDS: [(&[u8], &str); 5] = [
    (b"\xFF\xD8\xFF", "jpg"),
    (b"\x89PNG\r\n\x1A\n", "png"),
    (b"GIF8", "gif"),
    (b"%PDF-", "pdf"),
    (b"RIFF", "webp"),
];

/// A proof, read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proof {
    pub(crate) sha256: String,
    pub(crate) bytes: Vec<u8>,
}

impl Proof {
    /// Reads a file.
    ///
    /// # Errors
    /// It cannot be read, is no file, is empty or larger than [`MOST_BYTES`].
    pub fn read(path: &Path) -> Result<Self, RaceError> {
        let bad = |why: String| RaceError::BadProof { path: path.to_owned(), why };
        // Asked first: opening a pipe would wait for whoever writes into it.
        let kind = std::fs::metadata(path).map_err(|e| bad(e.to_string()))?;
        if !kind.is_file() {
            return Err(bad("it is no file".to_owned()));
        }
        let mut bytes = Vec::new();
        let file = File::open(path).map_err(|e| bad(e.to_string()))?;
        file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|e| bad(e.to_string()))?;
        Self::of(bytes).map_err(bad)
    }

    /// A proof of these bytes.
    ///
    /// # Errors
    /// Why they are none, as a clause.
    pub fn of(bytes: Vec<u8>) -> Result<Self, String> {
        if bytes.is_empty() {
            return Err("it is empty".to_owned());
        }
        if bytes.len() as u64 > MOST_BYTES {
            return Err(format!("it is larger than {} MB", MOST_BYTES / 1_000_000));
        }
        Ok(Proof { sha256: sha256(&bytes), bytes })
    }

    /// What it is kept as, in the folder [`PROOFS`].
    pub fn file(&self) -> String {
        let kind = KINDS.iter().find(|(start, _)| self.bytes.starts_with(start));
        format!("{}.{}", self.sha256, kind.map_or("bin", |(_, ending)| ending))
    }

    /// Puts it away, durably. One that is there is left alone.
    pub(crate) fn keep(&self, folder: &Path) -> Result<(), RaceError> {
        let proofs = folder.join(PROOFS);
        let path = proofs.join(self.file());
        let failed = |path: PathBuf| |source| RaceError::File { path, source };
        let there = std::fs::metadata(&path).is_ok_and(|m| m.is_file() && m.len() == self.bytes.len() as u64);
        if there {
            return Ok(());
        }
        std::fs::create_dir_all(&proofs).map_err(failed(proofs))?;
        project::write_whole(&path, &self.bytes, true).map_err(failed(path))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_proof_is_kept_under_its_hash_whatever_it_was_called() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("..%2f..%2fetc; DROP TABLE entry.exe");
        std::fs::write(&path, b"\x89PNG\r\n\x1A\nrest").unwrap();
        let proof = Proof::read(&path).unwrap();
        proof.keep(folder.path()).unwrap();
        proof.keep(folder.path()).unwrap();
        let names: Vec<_> =
            std::fs::read_dir(folder.path().join(PROOFS)).unwrap().map(|e| e.unwrap()).collect();
        assert_eq!(names.len(), 1);
        assert_eq!(names[0].file_name().to_str().unwrap(), proof.file());
        assert!(proof.file().ends_with(".png") && proof.file().len() == 68);
    }

    #[test]
    fn what_is_no_file_or_too_large_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let large = folder.path().join("large");
        File::create(&large).unwrap().set_len(MOST_BYTES + 1).unwrap();
        let empty = folder.path().join("empty");
        std::fs::write(&empty, b"").unwrap();
        for bad in [large.as_path(), &empty, folder.path(), Path::new("/dev/zero"), Path::new("nowhere")] {
            assert!(matches!(Proof::read(bad), Err(RaceError::BadProof { .. })), "{}", bad.display());
        }
    }
}
