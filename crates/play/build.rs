//! Puts the pages built from `web/play` and `web/entry` into the program, if they
//! have been built. A checkout in which nobody ran `cargo xtask web` still
//! builds; the commands that write a page say what to run.

use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    put("play", "page.html");
    put("entry", "entry.html");
}

fn put(page: &str, name: &str) {
    let own = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").expect("cargo sets it"));
    let built = own.join("../../web/dist").join(page).join("index.html");
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets it")).join(name);
    // Watching the nearest folder that is there tells when the page comes or goes.
    let watched = built.ancestors().find(|path| path.exists()).unwrap_or(Path::new("."));
    println!("cargo::rerun-if-changed={}", watched.display());
    println!("cargo::rerun-if-env-changed=PINFOLD_PLAIN");
    // Asked for without pages, so that this way of building is tested, too.
    let plain = env::var_os("PINFOLD_PLAIN").is_some();
    let page = if plain { Vec::new() } else { fs::read(&built).unwrap_or_default() };
    fs::write(out, page).expect("cargo's own folder can be written");
}
