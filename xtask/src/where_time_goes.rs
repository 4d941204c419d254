//! Where the time of building goes, so that nothing creeps in unseen: cargo's own
//! report of each build, kept from build to build, the slowest units first.
//!
//! cargo writes its report as a page; the units stand in it as JSON. Seconds are
//! by the clock, with as many units beside as there are cores.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use serde_json::Value;

use crate::run::{say, target};

/// Rows to show.
const ROWS: usize = 20;
/// What stands before the units in cargo's page.
const MARK: &str = "const UNIT_DATA = ";

/// Seconds by unit.
type Units = BTreeMap<String, f64>;

fn file(root: &Path) -> PathBuf {
    target(root).join("xtask/units.json")
}

fn kept(root: &Path) -> Units {
    fs::read(file(root)).ok().and_then(|text| serde_json::from_slice(&text).ok()).unwrap_or_default()
}

/// Keeps what the build just done took. A report that can't be read is told, no more.
pub(crate) fn keep(root: &Path) {
    let page = target(root).join("cargo-timings/cargo-timing.html");
    let Ok(page) = fs::read_to_string(page) else { return };
    let Some(found) = units(&page) else {
        return say("where the time went can't be told: cargo's report has another form");
    };
    let mut all = kept(root);
    all.extend(found);
    let text = serde_json::to_vec_pretty(&all).expect("numbers by names are JSON");
    let folder = target(root).join("xtask");
    let _ = fs::create_dir_all(folder).and_then(|()| fs::write(file(root), text));
}

fn units(page: &str) -> Option<Units> {
    let rest = &page[page.find(MARK)? + MARK.len()..];
    let units: Vec<Value> =
        serde_json::Deserializer::from_str(rest).into_iter::<Vec<Value>>().next()?.ok()?;
    let unit = |unit: &Value| {
        let word = |key: &str| Some(unit[key].as_str()?.trim().to_owned());
        let name = [word("name")?, word("version")?, word("target")?].join(" ").trim().to_owned();
        Some((name, unit["duration"].as_f64()?))
    };
    units.iter().map(unit).collect()
}

/// The slowest units as lines, and what all took.
fn table(units: &Units) -> Vec<String> {
    let mut sorted: Vec<(&String, &f64)> = units.iter().collect();
    sorted.sort_by(|a, b| b.1.total_cmp(a.1));
    let all: f64 = units.values().sum();
    let mut lines =
        vec![format!("where the time of building went: {} units, {all:.0} s in all", units.len())];
    lines.extend(sorted.iter().take(ROWS).map(|(name, seconds)| format!("{seconds:7.1} s  {name}")));
    lines
}

/// Shows what the builds kept have taken.
pub(crate) fn tell(root: &Path) -> Result<bool> {
    let units = kept(root);
    let any = (!units.is_empty()).then_some(()).context(
        "nothing has been built yet by `cargo xtask demo` or `cargo xtask test`; for a whole build, \
         remove the build folder before",
    );
    any.map(|()| {
        say(&table(&units).join("\n"));
        true
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_read_from_cargos_page_and_the_slowest_come_first() {
        let page = r#"<script>
            const UNIT_DATA = [
              {"i":0,"name":"fill","version":"0.1.0","mode":"todo","target":"","duration":40.5},
              {"i":1,"name":"race","version":"0.1.0","mode":"todo","target":" store \"bench\"","duration":3.0}
            ];
            const CONCURRENCY_DATA = [];"#;
        let units = units(page).unwrap();
        let lines = table(&units);
        assert_eq!(lines[0], "where the time of building went: 2 units, 44 s in all");
        assert_eq!(lines[1], "   40.5 s  fill 0.1.0");
        assert_eq!(lines[2], "    3.0 s  race 0.1.0 store \"bench\"");
    }

    #[test]
    fn a_page_of_another_form_is_no_report() {
        assert_eq!(units("<html></html>"), None);
        assert_eq!(units("const UNIT_DATA = [{\"name\": 3}];"), None);
    }
}
