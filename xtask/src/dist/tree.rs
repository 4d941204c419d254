//! The files as they are installed below a prefix, the same for archive and package.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use serde_json::Value;

use super::Dist;
use crate::quayside;

/// Shells, and where each looks for completions.
const COMPLETIONS: [(&str, &str); 3] = [
    ("bash", "share/bash-completion/completions/pinfold"),
    ("zsh", "share/zsh/site-functions/_pinfold"),
    ("fish", "share/fish/vendor_completions.d/pinfold.fish"),
];

/// For menus of desktops, by the freedesktop.org Desktop Entry Specification 1.5.
const ENTRY: &str = "[Desktop Entry]
Type=Application
Name=Pinfold
GenericName=Workshop for folding puzzles
Comment=Design, print and publish puzzles of hinged blocks
Exec=pinfold workshop --start
Icon=pinfold
Terminal=false
Categories=Graphics;Engineering;
Keywords=puzzle;hinge;3D printing;
";

impl Dist<'_> {
    /// The folder that holds the files as they are below a prefix.
    pub(super) fn tree(&self) -> PathBuf {
        self.into.join(self.name())
    }
}

/// Lays all files.
pub(super) fn lay(dist: &Dist<'_>, notices: &str) -> Result<()> {
    let tree = dist.tree();
    let put = |name: &str, bytes: &[u8]| -> Result<()> {
        let file = tree.join(name);
        fs::create_dir_all(file.parent().context("a file is in a folder")?)?;
        fs::write(&file, bytes).with_context(|| format!("{} cannot be written", file.display()))
    };
    fs::create_dir_all(tree.join("bin"))?;
    fs::copy(&dist.program, tree.join("bin/pinfold"))?;
    for (shell, name) in COMPLETIONS {
        put(name, dist.asked(&["completions", shell])?.as_bytes())?;
    }
    let pages: Value = serde_json::from_str(&dist.asked(&["manual", "--json"])?)?;
    for page in pages["pages"].as_array().context("manual tells of pages")? {
        let (file, text) = (page["file"].as_str(), page["text"].as_str());
        let name = format!("share/man/man1/{}", file.context("a page has a file")?);
        put(&name, text.context("a page has a text")?.as_bytes())?;
    }
    put("share/applications/pinfold.desktop", ENTRY.as_bytes())?;
    put("share/icons/hicolor/scalable/apps/pinfold.svg", include_bytes!("pinfold.svg"))?;
    for name in ["README.md", "CHANGELOG.md", "LICENSE-MIT", "LICENSE-APACHE"] {
        put(&format!("share/doc/pinfold/{name}"), &fs::read(dist.root.join(name))?)?;
    }
    put("share/doc/pinfold/NOTICES.txt", notices.as_bytes())?;
    let example = tree.join("share/doc/pinfold/examples").join(quayside::PROJECT);
    quayside::copied(&dist.root.join(quayside::PROJECT), &example)?;
    modes(&tree)
}

/// Readable by all, writable by the owner; programs and folders can be entered.
#[cfg(unix)]
fn modes(folder: &Path) -> Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(folder, fs::Permissions::from_mode(0o755))?;
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            modes(&path)?;
        } else {
            let is_program = path.parent().is_some_and(|p| p.ends_with("bin"));
            fs::set_permissions(&path, fs::Permissions::from_mode(if is_program { 0o755 } else { 0o644 }))?;
        }
    }
    Ok(())
}

#[cfg(not(unix))]
fn modes(_: &Path) -> Result<()> {
    Ok(())
}
