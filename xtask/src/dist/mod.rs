//! `cargo xtask dist`: what a maker without Rust gets. One program with its pages,
//! completions, manual pages, the licences of everything in it and a bill of
//! materials; as a package for Debian and its kin and as an archive, with digests.
//!
//! Equal sources give equal bytes: every time in them is that of the last commit.

mod bill;
mod crates;
mod notices;
mod package;
mod rehearsal;
mod tree;

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail, ensure};

use crate::report::Outcome;
use crate::run::{cargo, program, say, shown, target};
use crate::web;

/// The profile that is small and quick, and slow to build.
const PROFILE: &str = "dist";
/// How large the program may be, in bytes.
const LARGEST: u64 = 45_000_000;

/// What is being put together.
struct Dist<'a> {
    root: &'a Path,
    /// The program as it was built.
    program: PathBuf,
    /// Where everything goes.
    into: PathBuf,
    version: String,
    /// The machine it runs on, as in "x86_64-linux".
    machine: String,
    /// The moment of the last commit, in seconds since 1970.
    moment: u64,
}

/// Builds the program in its own profile and puts everything together.
pub(crate) fn run(root: &Path) -> Result<bool> {
    web::build(root)?;
    let args = ["build", "--workspace", "--locked", "--bin", "pinfold", "--profile", PROFILE];
    ensure!(shown(cargo(args, root))?.ok, "pinfold did not build");
    let program = target(root).join(PROFILE).join("pinfold");
    let size = fs::metadata(&program).with_context(|| format!("{} is not there", program.display()))?.len();
    say(&format!("the program has {:.1} MB", size as f64 / 1e6));
    let dist = Dist::of(root, program, target(root).join("made"))?;
    dist.make()?;
    ensure!(size <= LARGEST, "the program has {size} bytes; at most {LARGEST} are wanted");
    Ok(true)
}

/// The bill of materials alone, into a file.
pub(crate) fn bill(root: &Path, file: &Path) -> Result<bool> {
    let bill = bill::bill(env!("CARGO_PKG_VERSION"), &crates::shipped(root)?);
    fs::write(file, serde_json::to_vec_pretty(&bill)?)
        .with_context(|| format!("{} cannot be written", file.display()))?;
    Ok(true)
}

/// Puts the program of the tests together in the same way, and installs and uses
/// it in a bare system.
pub(crate) fn rehearsed(root: &Path) -> Result<Outcome> {
    let program = crate::run::built(root, "pinfold");
    let dist = Dist::of(root, program, target(root).join("xtask/made"))?;
    dist.make()?;
    rehearsal::run(&dist)
}

impl<'a> Dist<'a> {
    fn of(root: &'a Path, program: PathBuf, into: PathBuf) -> Result<Self> {
        if !cfg!(target_os = "linux") {
            bail!("packages are made on Linux alone; `cargo install --path crates/pinfold` works elsewhere");
        }
        let version = said(root, &program, &["--version"])?;
        let version = version.split_whitespace().last().context("it says its version")?.to_owned();
        let machine = format!("{}-linux", std::env::consts::ARCH);
        // A tree without its history has no moment; then it is that of the oldest archives.
        let commit = program_said(root, "git", &["log", "-1", "--format=%ct"]);
        let moment = commit.ok().and_then(|text| text.trim().parse().ok()).unwrap_or(315_532_800);
        Ok(Dist { root, program, into, version, machine, moment })
    }

    /// The name of what is made, without an ending.
    fn name(&self) -> String {
        format!("pinfold-{}-{}", self.version, self.machine)
    }

    fn make(&self) -> Result<()> {
        if self.into.exists() {
            fs::remove_dir_all(&self.into)?;
        }
        fs::create_dir_all(&self.into)?;
        let crates = crates::shipped(self.root)?;
        let bill = bill::bill(&self.version, &crates);
        let bill_file = self.into.join(format!("{}.cdx.json", self.name()));
        fs::write(&bill_file, serde_json::to_vec_pretty(&bill)?)?;
        tree::lay(self, &notices::notices(self.root, &crates)?)?;
        package::archive(self)?;
        package::debian(self)?;
        package::digests(self)?;
        say(&format!("made in {}:", self.into.display()));
        let mut files: Vec<PathBuf> =
            fs::read_dir(&self.into)?.filter_map(|e| Some(e.ok()?.path())).filter(|p| p.is_file()).collect();
        files.sort();
        for file in files {
            let size = fs::metadata(&file)?.len() as f64 / 1e6;
            say(&format!("  {} ({size:.1} MB)", file.file_name().unwrap_or_default().to_string_lossy()));
        }
        Ok(())
    }

    /// What the program says when it is called so.
    fn asked(&self, args: &[&str]) -> Result<String> {
        said(self.root, &self.program, args)
    }
}

fn said(root: &Path, name: &Path, args: &[&str]) -> Result<String> {
    program_said(root, &name.display().to_string(), args)
}

/// Standard output of a program that must end well.
fn program_said(root: &Path, name: &str, args: &[&str]) -> Result<String> {
    let ran = program(name, args, root).output().with_context(|| format!("{name} cannot be run"))?;
    ensure!(
        ran.status.success(),
        "{name} {} failed: {}",
        args.join(" "),
        String::from_utf8_lossy(&ran.stderr)
    );
    String::from_utf8(ran.stdout).with_context(|| format!("{name} did not answer in text"))
}
