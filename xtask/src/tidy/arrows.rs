//! Arrows between crates run one way. The table in `docs/architecture.md` is
//! the law: a row a crate, its name first, then the crates it may use.

use std::fs;

use anyhow::{Context, Result};

use super::Workspace;

const TABLE: &str = "docs/architecture.md";

/// A row of the table.
#[derive(Debug, PartialEq, Eq)]
struct Row {
    name: String,
    may_use: Vec<String>,
    /// The crate is planned, not there.
    to_come: bool,
}

/// Reads the rows: `| `name` | `crate`, `crate` | … |`, or `all above`.
fn table(text: &str) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for line in text.lines().filter(|l| l.starts_with("| `")) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let [name, may_use, rest @ ..] = &cells[..] else {
            continue;
        };
        let named =
            |cell: &str| -> Vec<String> { cell.split('`').skip(1).step_by(2).map(str::to_owned).collect() };
        let may_use = match *may_use {
            "all above" => rows.iter().map(|r| r.name.clone()).collect(),
            cell => named(cell),
        };
        let to_come = rest.iter().any(|cell| cell.starts_with("to come"));
        rows.extend(named(name).into_iter().next().map(|name| Row { name, may_use, to_come }));
    }
    rows
}

/// Each crate uses only what its row allows; rows and crates match.
pub(super) fn run(workspace: &Workspace) -> Result<Vec<String>> {
    let text =
        fs::read_to_string(workspace.root.join(TABLE)).with_context(|| format!("{TABLE} cannot be read"))?;
    let crates: Vec<(&str, &[String])> =
        workspace.members.iter().map(|m| (m.name.as_str(), &m.uses[..])).collect();
    Ok(compare(&table(&text), &crates))
}

fn compare(rows: &[Row], crates: &[(&str, &[String])]) -> Vec<String> {
    let mut faults = Vec::new();
    for (name, uses) in crates {
        let Some(row) = rows.iter().find(|r| r.name == *name) else {
            faults.push(format!("{TABLE}: the crate {name} has no row in the table; add one"));
            continue;
        };
        if row.to_come {
            faults.push(format!("{TABLE}: the crate {name} is there; its row says `to come`"));
        }
        let own = uses.iter().filter(|u| crates.iter().any(|c| c.0 == **u));
        for used in own.filter(|u| !row.may_use.contains(u)) {
            faults.push(format!(
                "{name} uses {used}, which its row in {TABLE} does not allow: it may use {}",
                if row.may_use.is_empty() { "no crate of ours".into() } else { row.may_use.join(", ") }
            ));
        }
    }
    let gone = rows.iter().filter(|r| !r.to_come && crates.iter().all(|c| c.0 != r.name));
    faults.extend(gone.map(|r| format!("{TABLE}: there is no crate {}; take its row out", r.name)));
    faults
}

/// A crate stands after all crates it uses, its tests included.
pub(super) fn order(workspace: &Workspace) -> Result<Vec<String>> {
    let members = &workspace.members;
    let mut faults = Vec::new();
    for (i, member) in members.iter().enumerate() {
        for later in &members[i..] {
            if member.uses.iter().chain(&member.tests_use).any(|u| *u == later.name) {
                faults.push(format!(
                    "Cargo.toml: {} uses {}, so it must stand after it",
                    member.name, later.name
                ));
            }
        }
    }
    Ok(faults)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "\
| crate | may use | keeps |
| --- | --- | --- |
| `base` | — | integers |
| `middle` | `base` | no files |
| `far` | `base`, `middle` | to come |
| `top` | all above | thin |";

    fn faults(crates: &[(&str, &[&str])]) -> Vec<String> {
        let owned: Vec<(&str, Vec<String>)> =
            crates.iter().map(|(n, u)| (*n, u.iter().map(|u| (*u).to_owned()).collect())).collect();
        let crates: Vec<(&str, &[String])> = owned.iter().map(|(n, u)| (*n, &u[..])).collect();
        compare(&table(TEXT), &crates)
    }

    #[test]
    fn arrows_that_the_table_allows_pass() {
        assert_eq!(
            faults(&[("base", &["serde"]), ("middle", &["base"]), ("top", &["base", "middle"])]),
            [""; 0]
        );
    }

    #[test]
    fn an_arrow_that_runs_up_is_found() {
        let found = faults(&[("base", &["middle"]), ("middle", &["base"]), ("top", &[])]);
        assert_eq!(found.len(), 1);
        assert!(found[0].contains("base uses middle"), "{found:?}");
    }

    #[test]
    fn rows_and_crates_must_match() {
        let found = faults(&[("base", &[]), ("top", &[]), ("far", &[]), ("new", &[])]);
        assert_eq!(found.len(), 3, "{found:?}");
        assert!(found[0].contains("far is there") && found[1].contains("new has no row"), "{found:?}");
        assert!(found[2].contains("no crate middle"), "{found:?}");
    }
}
