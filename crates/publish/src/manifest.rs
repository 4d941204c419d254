//! What a pack says it holds: `MANIFEST.json`, and the same digests as lines that
//! the usual checksum programs read back, `SHA256SUMS`.

use serde::{Deserialize, Serialize};
use solid::sha256;

use crate::archive::FileInPack;

/// The manifest's name in a pack.
pub(crate) const MANIFEST: &str = "MANIFEST.json";
/// The name of the digests' lines.
pub(crate) const SUMS: &str = "SHA256SUMS";
/// What a manifest of this form calls itself.
pub(crate) const FORM: &str = "pinfold pack 1";

/// What a pack says of itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Manifest {
    /// Which form this is.
    pub form: String,
    /// The set's title.
    pub set: String,
    /// The pack's name.
    pub pack: String,
    /// Its title.
    pub title: String,
    /// Its version.
    pub version: String,
    /// Its licence by SPDX identifier, or an empty text.
    pub licence: String,
    /// The pack that holds all its outlines, too, if there is one.
    pub within: Option<String>,
    /// Its outlines, in the pack's order.
    pub outlines: Vec<NumberedOutline>,
    /// The commitment to its answers: SHA-256 of the sealed text.
    pub seal: String,
    /// Every other file of the pack but the digests' lines, by name.
    pub files: Vec<ManifestFile>,
}

/// One outline of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NumberedOutline {
    /// Its number, the same over all packs.
    pub number: u32,
    /// Its name.
    pub name: String,
    /// What it is called in print.
    pub title: String,
}

/// One file of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ManifestFile {
    /// Its name in the pack.
    pub path: String,
    /// Its size.
    pub bytes: u64,
    /// SHA-256 in small hexadecimal figures.
    pub sha256: String,
}

impl Manifest {
    /// The folder that the files of the pack stand in.
    pub fn folder(&self) -> String {
        format!("{}-{}", self.pack, self.version)
    }

    /// Puts files on the manifest, and gives back all with the manifest and the
    /// digests' lines.
    pub(crate) fn close(mut self, mut files: Vec<FileInPack>) -> (Manifest, Vec<FileInPack>) {
        files.sort_by(|a, b| a.name.cmp(&b.name));
        self.files = files
            .iter()
            .map(|f| ManifestFile {
                path: f.name.clone(),
                bytes: f.bytes.len() as u64,
                sha256: sha256(&f.bytes),
            })
            .collect();
        let json = serde_json::to_string_pretty(&self).expect("a manifest is plain data") + "\n";
        let sums = self.sums(&json);
        files.push(FileInPack::new(MANIFEST, json));
        files.push(FileInPack::new(SUMS, sums));
        files.sort_by(|a, b| a.name.cmp(&b.name));
        (self, files)
    }

    /// The digests' lines that go with it: all its files and, first, itself.
    pub(crate) fn sums(&self, json: &str) -> String {
        let mut text = format!("{}  {MANIFEST}\n", sha256(json.as_bytes()));
        for file in &self.files {
            text += &format!("{}  {}\n", file.sha256, file.path);
        }
        text
    }
}
