//! The main job on the demo project, as its maker would run it: check, what
//! each piece can become, for each outline its fillings and its pockets, how hard
//! they are and in what order to publish them, how long people need, a race
//! foretold, the parts to print, proved: every layout set into its plate; the first
//! pack, zipped and verified; its race opened and one entry checked.

use std::ffi::OsStr;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::demo_race;
use crate::report::{Outcome, Report};
use crate::run::{cargo, program, shown, target};

const PROJECT: &str = "quayside";
/// The folder of the first pack, and its zip without the ending.
const FIRST_PACK: &str = "first-tide-1.0";

/// Builds the program for release and runs it on the demo project.
pub(crate) fn run(root: &Path) -> Result<bool> {
    let project = root.join(PROJECT);
    if !project.join("pinfold.toml").is_file() {
        bail!("the demo project is not there yet: {PROJECT}/pinfold.toml");
    }
    let demo = Demo { root, pinfold: build(root)?, out: project.join("out") };
    fs::create_dir_all(&demo.out).with_context(|| format!("{} cannot be made", demo.out.display()))?;
    let before = pictures(&demo.out)?.len();
    let mut report = Report::of("");
    report.step("check", || demo.job(&["check"], None));
    report.step("folds", || demo.job(&["folds"], Some("folds")));
    let outlines = outlines(&project)?;
    if outlines.is_empty() {
        println!("\nthe demo project has no outlines yet: {PROJECT}/outlines");
    }
    for outline in outlines {
        report.step(&format!("fill {outline}"), || {
            demo.job(&["fill", &outline], Some(&format!("fill-{outline}.png")))
        });
        report.step(&format!("pockets {outline}"), || {
            demo.job(&["pockets", &outline], Some(&format!("pockets-{outline}.png")))
        });
    }
    report.step("grade", || demo.job(&["grade"], Some("wrong-starts.png")));
    report.step("packs", || demo.job(&["packs"], Some("packs.png")));
    report.step("plays", || demo.job(&["plays"], Some("plays.png")));
    report.step("plays next", || demo.job(&["plays", "next"], None));
    let race = ["forecast", "members", "--entrants", "60"];
    report.step("forecast", || demo.job(&race, Some("race.png")));
    report.step("make", || demo.job(&["make", "--stl", "--pictures", "--proof"], None));
    let zip = format!("{PROJECT}/out/packs/{FIRST_PACK}.zip");
    report.step("pictures", || demo.job(&["pictures", "--size", "1200x630"], None));
    report.step("pack", || demo.job(&["pack", "first-tide"], None));
    report.step("pack verified", || demo.job(&["pack", "--verify", &zip], None));
    report.step("race", || {
        let photo = project.join(format!("out/packs/{FIRST_PACK}/pictures/set.png"));
        demo_race::run(root, &demo.pinfold, &project, &photo)
    });
    println!("\n{}", report.summary());
    println!("\nwrong starts: {PROJECT}/out/wrong-starts.png; the packs in order: {PROJECT}/out/packs.png;");
    println!("how long each outline takes: {PROJECT}/out/plays.png; a race: {PROJECT}/out/race.png");
    println!("parts to print, laid out: {PROJECT}/out/beds; each by itself: {PROJECT}/out/pieces,");
    println!("{PROJECT}/out/plates, {PROJECT}/out/board.3mf; print {PROJECT}/out/coupon.3mf first");
    println!("for shops and posts: {PROJECT}/out/pictures; pieces that swing: swings-*.png and .svg there");
    println!("the first pack: {zip}, unpacked beside it; its answers, for later: {PROJECT}/out/answers");
    println!("its race, one entry checked: {PROJECT}/{}/out/race", demo_race::FOLDER);
    let made = pictures(&demo.out)?;
    println!("\n{} pictures in {PROJECT}/out ({before} were there before):", made.len());
    let (alone, in_folders): (Vec<&String>, Vec<&String>) = made.iter().partition(|p| !p.contains('/'));
    for picture in alone {
        println!("  {PROJECT}/out/{picture}");
    }
    println!("  and {} in the folders named above", in_folders.len());
    Ok(report.all_well())
}

/// The program for release: from the variable PINFOLD, or built.
fn build(root: &Path) -> Result<PathBuf> {
    if let Some(program) = std::env::var_os("PINFOLD") {
        return Ok(program.into());
    }
    if !shown(cargo(["build", "--release", "--locked", "--package", "pinfold"], root))?.ok {
        bail!("pinfold did not build");
    }
    Ok(target(root).join("release").join(format!("pinfold{}", std::env::consts::EXE_SUFFIX)))
}

struct Demo<'a> {
    root: &'a Path,
    pinfold: PathBuf,
    out: PathBuf,
}

impl Demo<'_> {
    /// Runs a command, with a picture, or a folder of them, if it makes any.
    fn job(&self, words: &[&str], picture: Option<&str>) -> Result<Outcome> {
        let help = program(&self.pinfold, [words[0], "--help"], self.root).output();
        let help = help.with_context(|| format!("{} cannot be run", self.pinfold.display()))?;
        if !help.status.success() {
            bail!("this pinfold has no command {}", words[0]);
        }
        let mut args: Vec<&OsStr> = words.iter().map(OsStr::new).collect();
        args.extend(["--project", PROJECT].map(OsStr::new));
        let can_draw = String::from_utf8_lossy(&help.stdout).contains("--png");
        let file = picture.filter(|_| can_draw).map(|name| self.out.join(name));
        if let Some(file) = &file {
            args.extend([OsStr::new("--png"), file.as_os_str()]);
        }
        println!("pinfold {} --project {PROJECT}", words.join(" "));
        let ok = shown(program(&self.pinfold, args, self.root))?.ok;
        Ok(match (picture, &file) {
            (Some(_), None) => Outcome::one(ok, "no picture: the command draws none"),
            (_, Some(file)) if !file.exists() => Outcome::one(false, "its picture is missing"),
            _ => Outcome::one(ok, ""),
        })
    }
}

/// The outlines of a project by name, in order.
fn outlines(project: &Path) -> Result<Vec<String>> {
    let folder = project.join("outlines");
    let entries = match fs::read_dir(&folder) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries.with_context(|| format!("{} cannot be read", folder.display()))?,
    };
    let files =
        entries.filter_map(|e| Some(e.ok()?.path())).filter(|p| p.extension().is_some_and(|e| e == "toml"));
    let mut names: Vec<String> =
        files.filter_map(|p| Some(p.file_stem()?.to_string_lossy().into_owned())).collect();
    names.sort();
    Ok(names)
}

/// The pictures in a folder and the folders in it, in order of name.
fn pictures(folder: &Path) -> Result<Vec<String>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).with_context(|| format!("{} cannot be read", folder.display()))? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.file_type()?.is_dir() {
            found.extend(pictures(&entry.path())?.into_iter().map(|inner| format!("{name}/{inner}")));
        } else if [".png", ".svg"].iter().any(|end| name.ends_with(end)) {
            found.push(name);
        }
    }
    found.sort();
    Ok(found)
}
