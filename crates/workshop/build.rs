//! Puts the built pages into the crate: every file below `web/dist/workshop` and
//! the play page, if they are there. Without them the crate builds all the same,
//! and the server says how to build them.

use std::env;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

fn main() {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR").expect("cargo sets it")).join("../..");
    let pages = root.join("web/dist/workshop");
    println!("cargo::rerun-if-changed={}", pages.display());
    println!("cargo::rerun-if-env-changed=PINFOLD_PLAIN");
    let mut files = Vec::new();
    // Asked for without pages, so that this way of building is tested, too.
    if env::var_os("PINFOLD_PLAIN").is_none() {
        gather(&pages, &mut files);
    }
    files.sort();
    let mut table = String::from("&[\n");
    for file in &files {
        let name =
            file.strip_prefix(&pages).expect("it was found below").to_string_lossy().replace('\\', "/");
        let whole = file.canonicalize().expect("it was found");
        writeln!(table, "    ({name:?}, include_bytes!({:?})),", whole.display().to_string())
            .expect("a string takes everything");
        println!("cargo::rerun-if-changed={}", file.display());
    }
    table += "]\n";
    let out = PathBuf::from(env::var("OUT_DIR").expect("cargo sets it")).join("pages.rs");
    fs::write(out, table).expect("the build folder can be written");
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            gather(&path, files);
        } else {
            files.push(path);
        }
    }
}
