//! Files as bytes: 3MF, STL, SVG, DXF, and the manifest. Nothing here touches
//! the disk; equal input gives equal bytes.

pub(crate) mod flat;
pub(crate) mod manifest;
pub(crate) mod stl;
pub(crate) mod threemf;

/// A file that was made: a relative name with `/` between folders, and its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedFile {
    /// Relative name.
    pub name: String,
    /// Contents.
    pub bytes: Vec<u8>,
}

/// A name fit for a file on any system: small letters, digits and hyphens.
/// Letters beyond ASCII are kept out; an empty result becomes `part`.
pub(crate) fn slug(name: &str) -> String {
    let mut slug = String::new();
    for c in name.chars() {
        if c.is_ascii_alphanumeric() {
            slug.push(c.to_ascii_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "part".into() } else { slug.into() }
}
