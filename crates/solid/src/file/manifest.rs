//! The manifest: SHA-256 (FIPS 180-4) of every file, in the lines that the
//! usual checksum programs read back: digest, two spaces, name.

use sha2::{Digest, Sha256};

use super::NamedFile;

/// The digest as small hexadecimal figures.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

/// The manifest of some files, in the order of their names.
pub(crate) fn write(files: &[NamedFile]) -> NamedFile {
    let mut lines: Vec<String> =
        files.iter().map(|f| format!("{}  {}\n", sha256(&f.bytes), f.name)).collect();
    lines.sort_by(|a, b| a[66..].cmp(&b[66..]));
    NamedFile { name: "manifest.sha256".into(), bytes: lines.concat().into_bytes() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digests_are_the_standard_s() {
        // FIPS 180-4's examples, from memory, recomputed by an independent program.
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(sha256(b""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }

    #[test]
    fn files_stand_in_order_of_name() {
        let file = |name: &str| NamedFile { name: name.into(), bytes: name.as_bytes().to_vec() };
        let made = String::from_utf8(write(&[file("b"), file("a/c")]).bytes).unwrap();
        assert!(made.lines().map(|l| &l[66..]).eq(["a/c", "b"]));
    }
}
