//! The end of the demo: a race opened over the first pack, an entrant, one entry
//! with the right answer, checked. In a copy of the demo project that is made
//! anew every time, so that a race in the project itself is left alone.

use std::path::Path;

use anyhow::{Context, Result, bail};
use serde_json::Value;

use crate::quayside;
use crate::report::Outcome;
use crate::run::{program, say};

/// The pack raced over, one of its outlines, and who enters. Made up.
const PACK: &str = "first-tide";
const OUTLINE: &str = "crab";
const ENTRANT: &str = "Ines";

/// Where the race is, below the demo project.
pub(crate) const FOLDER: &str = "out/race-demo";

/// Opens the race and has one entry checked; it must be accepted.
pub(crate) fn run(root: &Path, pinfold: &Path, project: &Path, proof: &Path) -> Result<Outcome> {
    let copy = project.join(FOLDER);
    quayside::copied(project, &copy)?;
    let call = |words: &[&str]| -> Result<Value> {
        let mut args: Vec<String> = words.iter().map(|w| (*w).to_owned()).collect();
        args.extend(["--json".into(), "--project".into(), copy.display().to_string()]);
        say(&format!("pinfold {}", words.join(" ")));
        let ran = program(pinfold, &args, root).output()?;
        if !ran.status.success() {
            let (out, err) = (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
            bail!("pinfold {} failed: {out}{err}", words.join(" "));
        }
        Ok(serde_json::from_slice(&ran.stdout)?)
    };
    call(&["race", "open", PACK, "--pack", PACK, "--until", "2099-12-31T18:00:00Z"])?;
    let registered = call(&["race", "register", ENTRANT])?;
    let mark = registered["mark"].as_str().context("an entrant gets a mark")?;
    let rows = rows(&call(&["fill", OUTLINE])?)?;
    let proof = proof.display().to_string();
    call(&["race", "enter", mark, OUTLINE, &rows, "--proof", &proof, "--name", ENTRANT])?;
    let checked = call(&["race", "check"])?;
    let accepted = checked["accepted"] == 1;
    say(&format!(
        "the entry of {ENTRANT}, mark {mark}: {}",
        if accepted { "accepted" } else { "not accepted" }
    ));
    Ok(Outcome::one(accepted, ""))
}

/// The layout of an answer as an entrant writes it: rows of piece letters, the
/// top row first.
fn rows(filling: &Value) -> Result<String> {
    let pieces = filling["answers"][0]["pieces"].as_array().context("the outline has an answer")?;
    let mut cells: Vec<(i64, i64, char)> = Vec::new();
    for piece in pieces {
        let name = piece["piece"].as_str().unwrap_or("?").to_uppercase();
        for cell in piece["cells"].as_array().into_iter().flatten() {
            let at = |i: usize| cell[i].as_i64().context("a cell is two numbers");
            cells.push((-at(1)?, at(0)?, name.chars().next().unwrap_or('?')));
        }
    }
    cells.sort_unstable();
    let rows: Vec<String> =
        cells.chunk_by(|a, b| a.0 == b.0).map(|row| row.iter().map(|c| c.2).collect()).collect();
    Ok(rows.join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn an_answer_is_written_row_by_row_from_the_top() {
        let pieces = json!([
            { "piece": "cleat", "cells": [[0, 1], [1, 1], [1, 0]] },
            { "piece": "fender", "cells": [[2, 1], [0, 0]] },
        ]);
        assert_eq!(rows(&json!({ "answers": [{ "pieces": pieces }] })).unwrap(), "CCF/FC");
    }
}
