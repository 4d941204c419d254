//! The main job on the demo project, as its maker would run it: a first answer
//! as soon as anything is built, then check, what each piece can become, for each
//! outline its fillings and its pockets, how hard they are and in what order to
//! publish them, how long people need, a race foretold, the parts to print, proved:
//! every layout set into its plate; the first pack, zipped and verified; its race
//! opened and one entry checked; the workshop opened and its first page asked for.

use std::ffi::OsStr;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail, ensure};

use crate::crew::{self, Task};
use crate::quayside::PROJECT;
use crate::report::{Outcome, Report};
use crate::run::{program, say, shown};
use crate::times::Times;
use crate::{building, demo_race, demo_workshop};

/// The folder of the first pack, and its zip without the ending.
const FIRST_PACK: &str = "first-tide-1.0";
/// The outline that is looked at first.
const FIRST_OUTLINE: &str = "tug";

/// How much is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    /// All of it.
    Whole,
    /// Every kind of file that a run leaves behind, of few outlines: before the
    /// tests, which must not mind them.
    Short,
}

/// Builds the program and runs it on the demo project.
pub(crate) fn run(root: &Path, form: Form) -> Result<bool> {
    let project = root.join(PROJECT);
    if !project.join("pinfold.toml").is_file() {
        bail!("the demo project is not there: {PROJECT}/pinfold.toml");
    }
    let mut times = Times::read(root);
    let pinfold = match std::env::var_os("PINFOLD") {
        Some(named) => PathBuf::from(named),
        None => {
            let look = building::first_look(root, &mut times)?;
            say(&format!("\n==== a first look at {FIRST_OUTLINE} ===="));
            ensure!(shown(program(look, [PROJECT, FIRST_OUTLINE], root))?.ok, "the first look failed");
            say("");
            building::program(root, &mut times)?
        }
    };
    let demo = Demo { root, pinfold, out: project.join("out") };
    fs::create_dir_all(&demo.out).with_context(|| format!("{} cannot be made", demo.out.display()))?;
    let before = pictures(&demo.out)?.len();
    let mut report = Report::of("");
    crew::in_turn(&mut report, &mut times, demo.steps(&project, form)?);
    say(&format!("\n{}", report.summary()));
    demo.tell(form, before)?;
    Ok(report.all_well())
}

struct Demo<'a> {
    root: &'a Path,
    pinfold: PathBuf,
    out: PathBuf,
}

impl Demo<'_> {
    fn steps<'t>(&'t self, project: &'t Path, form: Form) -> Result<Vec<Task<'t>>> {
        let mut steps: Vec<Task<'t>> = Vec::new();
        let mut step = |words: &str, picture: Option<&'static str>| {
            let words = words.to_owned();
            steps.push(Task::new(words.clone(), move || {
                self.job(&words.split(' ').collect::<Vec<_>>(), picture.map(str::to_owned))
            }));
        };
        step("check", None);
        step("folds", Some("folds"));
        if form == Form::Short {
            step(&format!("fill {FIRST_OUTLINE}"), None);
            step(&format!("make cleat {FIRST_OUTLINE}"), None);
        } else {
            let outlines = outlines(project)?;
            ensure!(!outlines.is_empty(), "the demo project has no outlines: {PROJECT}/outlines");
            for outline in outlines {
                for command in ["fill", "pockets"] {
                    let (words, picture) =
                        ([command, &outline].join(" "), format!("{command}-{outline}.png"));
                    steps.push(Task::new(words.clone(), move || {
                        self.job(&words.split(' ').collect::<Vec<_>>(), Some(picture))
                    }));
                }
            }
            let mut step = |words: &'static str, picture: Option<&'static str>| {
                steps.push(Task::new(words, move || {
                    self.job(&words.split(' ').collect::<Vec<_>>(), picture.map(str::to_owned))
                }));
            };
            step("grade", Some("wrong-starts.png"));
            step("packs", Some("packs.png"));
            step("plays", Some("plays.png"));
            step("plays next", None);
            step("forecast members --entrants 60", Some("race.png"));
            step("make --stl --pictures --proof", None);
            step("pictures --size 1200x630", None);
        }
        steps.push(Task::new("pack", || self.job(&["pack", "first-tide"], None)));
        steps.push(Task::new("pack verified", || self.job(&["pack", "--verify", &self.zip()], None)));
        steps.push(Task::new("race", || {
            let photo = project.join(format!("out/packs/{FIRST_PACK}/pictures/set.png"));
            demo_race::run(self.root, &self.pinfold, project, &photo)
        }));
        steps.push(Task::new("workshop", || demo_workshop::run(self.root, &self.pinfold, project)));
        Ok(steps)
    }

    /// The first pack's zip, from the root.
    fn zip(&self) -> String {
        format!("{PROJECT}/out/packs/{FIRST_PACK}.zip")
    }

    /// Where everything is, and what to do next.
    fn tell(&self, form: Form, before: usize) -> Result<()> {
        let mut lines = Vec::new();
        if form == Form::Whole {
            lines.extend([
                format!("wrong starts: {PROJECT}/out/wrong-starts.png; the packs in order: {PROJECT}/out/packs.png;"),
                format!("how long each outline takes: {PROJECT}/out/plays.png; a race: {PROJECT}/out/race.png"),
                format!("parts to print, laid out: {PROJECT}/out/beds; each by itself: {PROJECT}/out/pieces,"),
                format!("{PROJECT}/out/plates, {PROJECT}/out/board.3mf; print {PROJECT}/out/coupon.3mf first"),
                format!("for shops and posts: {PROJECT}/out/pictures; pieces that swing: swings-*.png and .svg there"),
            ]);
        }
        lines.extend([
            format!(
                "the first pack: {}, unpacked beside it; its answers, for later: {PROJECT}/out/answers",
                self.zip()
            ),
            format!("its race, one entry checked: {PROJECT}/{}/out/race", demo_race::FOLDER),
        ]);
        let made = pictures(&self.out)?;
        let (alone, in_folders): (Vec<&String>, Vec<&String>) = made.iter().partition(|p| !p.contains('/'));
        lines.push(format!("\n{} pictures in {PROJECT}/out ({before} were there before):", made.len()));
        lines.extend(alone.iter().map(|picture| format!("  {PROJECT}/out/{picture}")));
        lines.push(format!("  and {} in the folders named above", in_folders.len()));
        let program = self.pinfold.strip_prefix(self.root).unwrap_or(&self.pinfold).display();
        lines.push(format!("\nall of it on pages, in your browser: {program} workshop --project {PROJECT}"));
        say(&lines.join("\n"));
        Ok(())
    }

    /// Runs a command, with a picture, or a folder of them, if it makes any.
    fn job(&self, words: &[&str], picture: Option<String>) -> Result<Outcome> {
        let help = program(&self.pinfold, [words[0], "--help"], self.root).output();
        let help = help.with_context(|| format!("{} cannot be run", self.pinfold.display()))?;
        if !help.status.success() {
            bail!("this pinfold has no command {}", words[0]);
        }
        let mut args: Vec<&OsStr> = words.iter().map(OsStr::new).collect();
        args.extend(["--project", PROJECT].map(OsStr::new));
        let can_draw = String::from_utf8_lossy(&help.stdout).contains("--png");
        let file = picture.as_ref().filter(|_| can_draw).map(|name| self.out.join(name));
        if let Some(file) = &file {
            args.extend([OsStr::new("--png"), file.as_os_str()]);
        }
        say(&format!("pinfold {} --project {PROJECT}", words.join(" ")));
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
