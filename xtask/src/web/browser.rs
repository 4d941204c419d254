//! The browser that pages are used in: the one named by CHROMIUM, else Debian's.

use std::env;
use std::path::{Path, PathBuf};

use anyhow::{Result, ensure};

use crate::debian;

const CHROMIUM: &str = "/usr/bin/chromium";

/// Its program, installed if it must be.
pub(super) fn find() -> Result<PathBuf> {
    if let Some(named) = env::var_os("CHROMIUM") {
        let named = PathBuf::from(named);
        ensure!(named.is_file(), "CHROMIUM names {}, which is no file", named.display());
        return Ok(named);
    }
    if !Path::new(CHROMIUM).is_file() {
        // Letters in pictures need a font of some kind.
        debian::install(Path::new("/"), &["chromium", "fonts-dejavu-core"])?;
    }
    ensure!(Path::new(CHROMIUM).is_file(), "{CHROMIUM} is not there; CHROMIUM may name another");
    Ok(PathBuf::from(CHROMIUM))
}
