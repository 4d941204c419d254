//! How long steps take here: remembered from run to run, so that a run can say
//! how long it still takes, and the slow ones begin first.
//!
//! What a machine has not done yet is taken from a table, measured on two cores.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::run::target;

/// Seconds for what is slow, on two cores; everything else takes a second or two.
const TYPICAL: [(&str, f64); 16] = [
    ("building the first look", 110.0),
    ("building the pages", 110.0),
    ("building the program", 150.0),
    ("building the tests", 150.0),
    ("pages in a browser", 170.0),
    ("judge courses", 40.0),
    ("judge fillings", 60.0),
    ("judge interface", 40.0),
    ("judge minutes", 45.0),
    ("judge packs", 60.0),
    ("judge paper", 30.0),
    ("judge scout", 30.0),
    ("judge shards", 30.0),
    ("judge solids", 60.0),
    ("judge swings", 50.0),
    ("tests pinfold", 20.0),
];
const OTHERWISE: f64 = 2.0;

/// Seconds by the name of the step.
pub(crate) struct Times {
    file: PathBuf,
    seconds: BTreeMap<String, f64>,
}

impl Times {
    /// Those of earlier runs; none if there were none.
    pub(crate) fn read(root: &Path) -> Self {
        let file = target(root).join("xtask/times.json");
        let seconds = fs::read(&file).ok().and_then(|text| serde_json::from_slice(&text).ok());
        Times { file, seconds: seconds.unwrap_or_default() }
    }

    /// How long a step is likely to take.
    pub(crate) fn expected(&self, step: &str) -> f64 {
        let typical = || TYPICAL.iter().find(|(name, _)| step.starts_with(name)).map(|t| t.1);
        self.seconds.get(step).copied().or_else(typical).unwrap_or(OTHERWISE)
    }

    /// Keeps what a step took. What can't be kept is only an estimate less.
    pub(crate) fn keep(&mut self, step: &str, seconds: f64) {
        self.seconds.insert(step.to_owned(), seconds);
        let text = serde_json::to_vec_pretty(&self.seconds).expect("numbers by names are JSON");
        let folder = self.file.parent().expect("it is a file in a folder");
        let _ = fs::create_dir_all(folder).and_then(|()| fs::write(&self.file, text));
    }
}

/// A length of time for a person: "40 s", "3 min".
pub(crate) fn told(seconds: f64) -> String {
    if seconds < 90.0 { format!("{seconds:.0} s") } else { format!("{:.0} min", seconds / 60.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_measured_here_goes_before_the_table() {
        let folder = tempfile::tempdir().unwrap();
        let mut times = Times { file: folder.path().join("xtask/times.json"), seconds: BTreeMap::new() };
        assert!((times.expected("judge solids") - 60.0).abs() < 1e-9);
        assert!((times.expected("judge tides") - OTHERWISE).abs() < 1e-9);
        times.keep("judge solids", 12.5);
        assert!((times.expected("judge solids") - 12.5).abs() < 1e-9);
        let kept: BTreeMap<String, f64> = serde_json::from_slice(&fs::read(&times.file).unwrap()).unwrap();
        assert_eq!(kept.len(), 1);
    }

    #[test]
    fn a_time_is_told_in_seconds_or_minutes() {
        assert_eq!([told(4.4), told(89.0), told(150.0)], ["4 s", "89 s", "2 min"]);
    }
}
