//! The crate `browser` compiled to WebAssembly, with whichever compiler there is:
//!
//! 1. the toolchain in use, if it has the target or rustup can add it;
//! 2. else Debian's `rustc-web` with its sources in `rust-web-src`: the standard
//!    library is built along. That leans on unstable options of cargo and on the
//!    linker of the toolchain in use, so what is missing is told clearly.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail, ensure};

use crate::debian;
use crate::run::{cargo, program, say, shown, target};

const TARGET: &str = "wasm32-unknown-unknown";

/// The modules: file, and what of the crate goes in.
const MODULES: [(&str, &[&str]); 3] = [
    ("core.wasm", &["--no-default-features", "--features", "search"]),
    ("rules.wasm", &["--no-default-features"]),
    ("entry.wasm", &["--no-default-features", "--features", "written"]),
];

/// Where Debian puts its compiler.
const DEBIAN: &str = "/usr/bin/rustc";

/// Builds all modules into `web/dist/core`.
pub(super) fn build(root: &Path) -> Result<()> {
    let compiler = Compiler::find(root)?;
    let into = root.join("web/dist/core");
    fs::create_dir_all(&into)?;
    for (name, features) in MODULES {
        let mut run = compiler.cargo(root);
        run.args(["--profile", "browser", "--locked", "--target", TARGET, "-p", "browser"]).args(features);
        ensure!(shown(run)?.ok, "{name} did not build");
        let made = target(root).join(TARGET).join("browser/browser.wasm");
        let bytes = fs::read(&made).with_context(|| format!("{} is not there", made.display()))?;
        // A file that stays the same keeps its time, so that nothing is built anew for it.
        let file = into.join(name);
        if fs::read(&file).ok().as_ref() != Some(&bytes) {
            fs::write(&file, &bytes)?;
        }
        say(&format!("{name}: {} kB", bytes.len() / 1000));
    }
    Ok(())
}

enum Compiler {
    /// The toolchain in use knows the target.
    Own,
    /// Debian's compiler, and the linker of the toolchain in use.
    Debian { linker: PathBuf },
}

impl Compiler {
    fn find(root: &Path) -> Result<Self> {
        let sysroot = sysroot(root)?;
        let known = sysroot.join("lib/rustlib").join(TARGET).join("lib");
        if known.is_dir() {
            return Ok(Compiler::Own);
        }
        say(&format!("the toolchain does not have the target {TARGET}: asking rustup for it"));
        let added = shown(program("rustup", ["target", "add", TARGET], root));
        if added.is_ok_and(|ran| ran.ok) && known.is_dir() {
            return Ok(Compiler::Own);
        }
        say("rustup can't add it: trying Debian's compiler for the web");
        Self::debian(root, &sysroot).context(format!(
            "the core for pages was not built: either `rustup target add {TARGET}` must work, \
             or Debian's packages rustc-web and rust-web-src must be there"
        ))
    }

    fn debian(root: &Path, sysroot: &Path) -> Result<Self> {
        debian::install(root, &["rustc-web", "rust-web-src"])?;
        ensure!(Path::new(DEBIAN).is_file(), "{DEBIAN} is not there");
        let said = program(DEBIAN, ["--version"], root).output().context("Debian's rustc does not run")?;
        let version = String::from_utf8_lossy(&said.stdout).trim().to_owned();
        let (found, least) = (minor(&version), minor(&format!("rustc {}", least(root)?)));
        if found < least {
            bail!("Debian's compiler is {version}; 1.{} or later is needed", least.unwrap_or_default());
        }
        let host = host(root)?;
        let linker = sysroot.join("lib/rustlib").join(host).join("bin/rust-lld");
        ensure!(linker.is_file(), "the toolchain has no linker for it: {} is not there", linker.display());
        say(&format!("building with {version} and its standard library from source"));
        Ok(Compiler::Debian { linker })
    }

    fn cargo(&self, root: &Path) -> Command {
        match self {
            Compiler::Own => cargo(["build"], root),
            Compiler::Debian { linker } => {
                let mut run = cargo(["build", "-Z", "build-std=std,panic_abort"], root);
                run.env("RUSTC", DEBIAN)
                    .env("RUSTC_BOOTSTRAP", "1")
                    .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
                run
            }
        }
    }
}

fn sysroot(root: &Path) -> Result<PathBuf> {
    let said = program("rustc", ["--print", "sysroot"], root).output().context("rustc does not run")?;
    ensure!(said.status.success(), "rustc does not say where it is");
    Ok(PathBuf::from(String::from_utf8(said.stdout).context("its path is not text")?.trim()))
}

fn host(root: &Path) -> Result<String> {
    let said = program("rustc", ["-vV"], root).output().context("rustc does not run")?;
    let text = String::from_utf8_lossy(&said.stdout).into_owned();
    let line = text.lines().find_map(|l| l.strip_prefix("host: "));
    Ok(line.context("rustc does not say its host")?.to_owned())
}

/// The compiler that the workspace asks for, as in "1.95".
fn least(root: &Path) -> Result<String> {
    let text = fs::read_to_string(root.join("Cargo.toml"))?;
    let line = text.lines().find_map(|l| l.strip_prefix("rust-version = "));
    Ok(line.context("Cargo.toml says no rust-version")?.trim_matches('"').to_owned())
}

/// The second number of a version, as in "rustc 1.95.0 (…)".
fn minor(version: &str) -> Option<u32> {
    version.strip_prefix("rustc 1.")?.split(['.', ' ']).next()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_are_compared_by_their_second_number() {
        assert_eq!(minor("rustc 1.96.0 (ac68faa20 2026-05-25) (built from a source tarball)"), Some(96));
        assert_eq!(minor("rustc 1.95"), Some(95));
        assert!(minor("rustc 1.100.0") > minor("rustc 1.95"));
        assert_eq!(minor("gcc 14"), None);
    }
}
