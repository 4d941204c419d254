//! Puts the page built from `web/play` into the program, if it has been built.
//! A checkout in which nobody ran `cargo xtask web` still builds; its `play`
//! says what to run.

use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    let own = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").expect("cargo sets it"));
    let built = own.join("../../web/dist/play/index.html");
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets it")).join("page.html");
    println!("cargo::rerun-if-changed=build.rs");
    // Watching the nearest folder that is there tells when the page comes or goes.
    let watched = built.ancestors().find(|path| path.exists()).unwrap_or(Path::new("."));
    println!("cargo::rerun-if-changed={}", watched.display());
    let page = fs::read(&built).unwrap_or_default();
    fs::write(out, page).expect("cargo's own folder can be written");
}
