//! What can be wrong with an archive.

use super::{MOST_BYTES, MOST_FILES};

/// Why an archive is no pack at all.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPack {
    /// Not a zip archive, or one that cannot be read.
    #[error("this is no archive that can be read: {why}")]
    NoArchive {
        /// What the reader said.
        why: String,
    },
    /// No manifest where a pack has it.
    #[error("this archive has no MANIFEST.json in its one folder, as every pack has")]
    NoManifest,
    /// A manifest that cannot be read.
    #[error("MANIFEST.json cannot be read: {why}")]
    Manifest {
        /// What is wrong.
        why: String,
    },
    /// A manifest of another form.
    #[error("MANIFEST.json is of the form {found:?}, which this program does not know")]
    Form {
        /// What it calls itself.
        found: String,
    },
}

/// What is wrong with a pack. Names are those in the pack's folder.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
#[allow(missing_docs, reason = "each field is named in the sentence above its variant")]
pub enum Fault {
    #[error("bytes stand before the first file, after the last one or between two: {bytes} of them")]
    Hidden { bytes: u64 },
    #[error("the archive or a file in it carries a remark or an extra field, which packs do not")]
    Remark,
    #[error("two files of the archive share bytes")]
    Overlap,
    #[error("two files have one name, of {count} in all")]
    Twice { count: usize },
    #[error("'{one}' and '{other}' are one name where capitals do not count")]
    Capitals { one: String, other: String },
    #[error("{name:?} would be written outside the pack's folder, or is no plain name")]
    Path { name: String },
    #[error("'{name}' is not a plain file")]
    NotPlain { name: String },
    #[error("'{name}' is locked with a password")]
    Locked { name: String },
    #[error("the pack stands in the folder '{found}', but by its manifest in '{wanted}'")]
    Folder { found: String, wanted: String },
    #[error("there are {found} files; a pack has at most {MOST_FILES}")]
    ManyFiles { found: usize },
    #[error("it would unpack to {found} bytes; a pack has at most {MOST_BYTES}")]
    TooLarge { found: u64 },
    #[error("the manifest has '{name}' twice")]
    ListedTwice { name: String },
    #[error("'{name}' is missing")]
    Missing { name: String },
    #[error("'{name}' is not in the manifest")]
    Extra { name: String },
    #[error("'{name}' has {found} bytes; by the manifest it has {wanted}")]
    Size { name: String, found: u64, wanted: u64 },
    #[error("'{name}' is not what the manifest has: its SHA-256 is {found}")]
    Digest { name: String, found: String },
    #[error("'{name}' cannot be unpacked: {why}")]
    Unreadable { name: String, why: String },
    #[error("SHA256SUMS does not have the lines that go with the manifest")]
    Sums,
    #[error("VERSION does not have the version of the manifest, {wanted}")]
    Version { wanted: String },
    #[error("SEAL.txt does not have the seal of the manifest")]
    Seal,
    #[error("the manifest has the number {number} twice")]
    Number { number: u32 },
    #[error("'{name}' has answers in it: {how}")]
    Answers { name: String, how: &'static str },
}
