//! The efforts of a project's outlines, kept so that each is reckoned once.
//!
//! `out/efforts.json` has one entry an outline: the effort that people of the
//! default habits need, under a fingerprint of everything it depends on. A
//! fingerprint that is another one, a file that is damaged or gone: the effort is
//! reckoned anew, nothing else happens. The file is written whole or not at all,
//! and a folder that cannot be written costs time only.

use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::LN_2;
use std::fs;
use std::path::PathBuf;

use grade::{Grade, Step, Ungraded};
use project::{OutlineRecord, Project, write_whole};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use crate::answer::Failure;
use crate::grading::{People, SoFar};

/// Efforts as far as they are known, on the scale of grades: log to base 2.
pub(crate) struct Efforts<'p> {
    project: &'p Project,
    people: People,
    /// The fingerprint of each outline of the project.
    prints: Vec<String>,
    /// By name; `None` where the outline has no grade.
    known: BTreeMap<String, Option<f64>>,
    /// Whether there is something to write.
    news: bool,
}

impl<'p> Efforts<'p> {
    /// What is known from before. Of people that a call made up, nothing is.
    pub(crate) fn kept(project: &'p Project, people: &People) -> Self {
        let prints = fingerprints(project, people);
        let mut efforts =
            Efforts { project, people: people.clone(), prints, known: BTreeMap::new(), news: false };
        if efforts.are_kept() {
            efforts.read();
        }
        efforts
    }

    fn are_kept(&self) -> bool {
        self.people.who() == People::default().who()
    }

    fn path(&self) -> PathBuf {
        self.project.root.join("out").join("efforts.json")
    }

    fn print(&self, name: &str) -> Option<&str> {
        let at = self.project.outlines.iter().position(|o| o.name == name)?;
        Some(&self.prints[at])
    }

    /// Takes the entries that still hold; whatever else there is, is passed over.
    fn read(&mut self) {
        let Ok(bytes) = fs::read(self.path()) else { return };
        let Ok(file) = serde_json::from_slice::<Value>(&bytes) else { return };
        for entry in file["efforts"].as_array().into_iter().flatten() {
            let (Some(name), Some(print)) = (entry["outline"].as_str(), entry["fingerprint"].as_str()) else {
                continue;
            };
            let effort = match &entry["effort"] {
                Value::Null => None,
                number => match number.as_f64() {
                    Some(effort) if (0.0..=1024.0).contains(&effort) => Some(effort),
                    _ => continue,
                },
            };
            if self.print(name) == Some(print) {
                self.known.insert(name.to_owned(), effort);
            }
        }
    }

    /// Takes grades that these people gave.
    pub(crate) fn take(&mut self, graded: &[(&OutlineRecord, Result<Grade, Ungraded>)]) {
        for (record, grade) in graded {
            let effort = grade.as_ref().ok().map(|g| g.effort);
            let before = self.known.insert(record.name.clone(), effort);
            self.news |= before != Some(effort);
        }
    }

    /// Reckons those of the outlines named that are not known, and keeps all. Where
    /// the set's folds cannot be listed, they stay unknown.
    ///
    /// # Errors
    /// An interrupt; what was reckoned until then is kept.
    pub(crate) fn reckon(&mut self, names: &BTreeSet<&str>) -> Result<(), Failure> {
        let new = |o: &&OutlineRecord| names.contains(&*o.name) && !self.known.contains_key(&o.name);
        let missing: Vec<&OutlineRecord> = self.project.outlines.iter().filter(new).collect();
        let mut early = None;
        let asked = missing.len();
        if asked > 0
            && let Ok(found) = self.people.grade_so_far(self.project, missing, "efforts")
        {
            let SoFar { outlines, early: ended, .. } = found;
            self.take(&outlines);
            early = ended.map(|_| outlines.len());
        }
        self.keep();
        match early {
            None => Ok(()),
            Some(done) => Err(Failure::plain(
                format_args!("interrupted: the efforts of {done} of {asked} outlines are reckoned"),
                "run the command again; what was reckoned is kept",
            )),
        }
    }

    /// Writes what is known of the project's outlines, if it is new and to be kept.
    pub(crate) fn keep(&mut self) {
        if !self.news || !self.are_kept() {
            return;
        }
        let entries: Vec<Value> = self
            .known
            .iter()
            .filter_map(|(name, effort)| {
                let print = self.print(name)?;
                Some(json!({ "outline": name, "fingerprint": print, "effort": effort }))
            })
            .collect();
        let about = "efforts as reckoned; may be deleted at any time";
        let file = format!("{:#}\n", json!({ "about": about, "efforts": entries }));
        let path = self.path();
        let folder = path.parent().expect("a file stands in a folder");
        // Where this cannot be written, the next call reckons again.
        self.news =
            fs::create_dir_all(folder).and_then(|()| write_whole(&path, file.as_bytes(), true)).is_err();
    }

    /// ln of tries for each outline of the project; `None` where nobody knows.
    pub(crate) fn ln_tries(&self) -> Vec<Option<f64>> {
        let effort = |o: &OutlineRecord| self.known.get(&o.name).copied().flatten();
        self.project.outlines.iter().map(|o| effort(o).map(|e| e * LN_2)).collect()
    }
}

/// The grades of outlines whose files have none, in their order: reckoned once and kept.
pub(crate) fn steps<'o>(
    project: &Project,
    outlines: impl Iterator<Item = &'o OutlineRecord> + Clone,
) -> Result<Vec<Option<Step>>, Failure> {
    let mut efforts = Efforts::kept(project, &People::default());
    efforts.reckon(&outlines.clone().filter(|o| o.grade.is_none()).map(|o| o.name.as_str()).collect())?;
    Ok(outlines.map(|o| efforts.known.get(&o.name).copied().flatten().map(Step::of)).collect())
}

/// For each outline a fingerprint of all that its effort depends on: the model,
/// who tries, the pieces, the rules, the sizes that reach depends on, cells,
/// pockets, cells that stay empty. What shows as text is all there is of each.
fn fingerprints(project: &Project, people: &People) -> Vec<String> {
    let sizes = &project.sizes;
    let of_all = format!(
        "{:?} {:?} {:?} {:?} {:?} {:?} {:?}",
        grade::MODEL,
        grade::Person::default(),
        people.who(),
        project.set,
        project.rules,
        desk::rules::planner(),
        [sizes.pitch, sizes.gap, sizes.knuckle, sizes.clearance],
    );
    let print = |o: &OutlineRecord| {
        let digest = Sha256::digest(format!("{of_all} {:?}", o.outline));
        digest.iter().map(|byte| format!("{byte:02x}")).collect()
    };
    project.outlines.iter().map(print).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    const SET: &str = "[set]\ntitle = \"Two\"\nlevels = 2\n\n[[piece]]\nname = \"tug\"\ncolour = \"#0072B2\"\n\
                       blocks = [[0, 0], [1, 0]]\nhinges = [{ pin = [1, 0], joins = [0, 1], level = 0 }]\n";
    const BAR: &str = "title = \"Bar\"\ndrawing = \"\"\"\n+ + o\n # #\n+ o +\n\"\"\"\n";
    const ROW: &str = "title = \"Row\"\ndrawing = \"\"\"\n+ o +\n # #\n+ o +\n\"\"\"\n";

    fn project() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("outlines")).unwrap();
        for (name, text) in [("pinfold.toml", SET), ("outlines/bar.toml", BAR), ("outlines/row.toml", ROW)] {
            fs::write(folder.path().join(name), text).unwrap();
        }
        folder
    }

    /// Reckons what is missing: how many that were, and what all are.
    fn reckoned(folder: &Path) -> (usize, Vec<Option<f64>>) {
        let project = Project::read(folder).unwrap();
        let mut efforts = Efforts::kept(&project, &People::default());
        let known = efforts.known.len();
        let names = project.outlines.iter().map(|o| o.name.as_str()).collect();
        efforts.reckon(&names).unwrap();
        (project.outlines.len() - known, efforts.ln_tries())
    }

    #[test]
    fn efforts_are_reckoned_once_and_told_in_ln() {
        let folder = project();
        let (missing, efforts) = reckoned(folder.path());
        assert_eq!(missing, 2);
        let file = folder.path().join("out/efforts.json");
        let bytes = fs::read(&file).unwrap();
        assert_eq!(reckoned(folder.path()), (0, efforts.clone()));
        let told: Value = serde_json::from_slice(&bytes).unwrap();
        for (entry, effort) in told["efforts"].as_array().unwrap().iter().zip(&efforts) {
            assert_eq!(entry["effort"].as_f64().map(|e| e * LN_2), *effort);
        }
        fs::remove_dir_all(folder.path().join("out")).unwrap();
        assert_eq!(reckoned(folder.path()), (2, efforts));
        assert_eq!(fs::read(&file).unwrap(), bytes, "equal input, equal bytes");
    }

    #[test]
    fn what_an_effort_depends_on_makes_it_new_and_what_it_does_not_leaves_it() {
        let folder = project();
        reckoned(folder.path());
        let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
        write("outlines/bar.toml", &BAR.replace("\"Bar\"", "\"Beam\""));
        write("pinfold.toml", &SET.replace("Two", "Twins"));
        assert_eq!(reckoned(folder.path()).0, 0, "titles");
        write("outlines/bar.toml", &BAR.replace("+ + o", "+ o o"));
        assert_eq!(reckoned(folder.path()).0, 1, "a pocket");
        for (what, text) in [
            ("levels", SET.replace("levels = 2", "levels = 3")),
            ("turning over", SET.replace("levels = 2", "levels = 2\nturn_over = true")),
            ("reach", SET.replace("levels = 2", "levels = 2\nreach = \"swings\"")),
            ("pins", SET.replace("level = 0", "level = 1")),
            ("sizes", format!("{SET}\n[sizes]\nknuckle = 2.9\n")),
        ] {
            write("pinfold.toml", &text);
            assert_eq!(reckoned(folder.path()).0, 2, "{what}");
        }
        write("pinfold.toml", &format!("{SET}\n[sizes]\nknuckle = 2.9\nbase = 2.0\n"));
        reckoned(folder.path());
        write("pinfold.toml", &format!("{SET}\n[sizes]\nknuckle = 2.9\nbase = 3.0\n"));
        assert_eq!(reckoned(folder.path()).0, 0, "the board's thickness");
    }

    #[test]
    fn a_damaged_file_does_no_harm_and_is_replaced() {
        let folder = project();
        let efforts = reckoned(folder.path()).1;
        let file = folder.path().join("out/efforts.json");
        let sound = fs::read_to_string(&file).unwrap();
        let half = &sound[..sound.len() / 2];
        let odd = sound.replace("\"effort\": ", "\"effort\": -1");
        let other = sound.replace("\"fingerprint\": \"", "\"fingerprint\": \"0");
        for damaged in ["", "[]", "{\"efforts\": [1, {}, null]}", "\u{0}", half, &odd, &other] {
            fs::write(&file, damaged).unwrap();
            assert_eq!(reckoned(folder.path()), (2, efforts.clone()), "{damaged}");
            assert_eq!(fs::read_to_string(&file).unwrap(), sound);
        }
        // A folder in its place: nothing is kept, nothing fails.
        fs::remove_file(&file).unwrap();
        fs::create_dir(&file).unwrap();
        assert_eq!(reckoned(folder.path()), (2, efforts));
    }

    #[test]
    fn other_people_are_not_kept() {
        let folder = project();
        let project = Project::read(folder.path()).unwrap();
        let few = People::default().of_seed(7);
        Efforts::kept(&project, &few).reckon(&BTreeSet::from(["bar"])).unwrap();
        assert!(!folder.path().join("out").exists());
    }
}
