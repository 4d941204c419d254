//! `race`, as its maker calls it.

mod called;

use std::fs;
use std::path::Path;

use called::{files, json, page, pinfold, started, text, wrong};
use serde_json::Value;

const UNTIL: &str = "9999-12-24T18:00:00+01:00";

fn open(project: &str, more: &[&str]) -> Value {
    let mut args = vec![
        "race",
        "open",
        "spring-tide",
        "--pack",
        "first-steps",
        "--until",
        UNTIL,
        "--no-forecast",
        "--no-pdf",
    ];
    args.extend(more);
    args.extend(["--json", "--project", project]);
    json(&args, 0)
}

fn ask(project: &str, args: &[&str], code: i32) -> Value {
    let mut all = vec!["race"];
    all.extend(args);
    all.extend(["--json", "--project", project]);
    json(&all, code)
}

/// A right layout of the starter's beacon, as rows of letters, by what `fill` shows.
fn layout(project: &str, outline: &str) -> String {
    let answer = json(&["fill", outline, "--answers", "1", "--json", "--project", project], 0);
    let rules =
        fs::read_to_string(Path::new(project).join("out/race/spring-tide/spring-tide-rules.txt")).unwrap();
    let letter = |name: &str| {
        let mut pieces = rules.lines().filter_map(|l| l.strip_prefix("  piece "));
        let piece = pieces.find(|p| p[2..].trim_end_matches(" rigid") == name).unwrap();
        piece.chars().next().unwrap()
    };
    let mut cells: Vec<(i64, i64, char)> = Vec::new();
    for piece in answer["answers"][0]["pieces"].as_array().unwrap() {
        for cell in piece["cells"].as_array().unwrap() {
            cells.push((
                -cell[1].as_i64().unwrap(),
                cell[0].as_i64().unwrap(),
                letter(piece["piece"].as_str().unwrap()),
            ));
        }
    }
    for cell in answer["answers"][0]["empty"].as_array().unwrap() {
        cells.push((-cell[1].as_i64().unwrap(), cell[0].as_i64().unwrap(), '-'));
    }
    cells.sort_unstable();
    let mut rows = String::new();
    for (i, cell) in cells.iter().enumerate() {
        if i > 0 && cells[i - 1].0 != cell.0 {
            rows.push('/');
        }
        rows.push(cell.2);
    }
    rows
}

#[test]
fn a_race_from_opening_to_reveal() {
    let (_folder, project) = started();
    let opened = open(&project, &["--without-proof", "--goal", "all=a poster", "--goal", "most"]);
    assert_eq!(opened["complete"], true);
    assert_eq!(opened["goals"][0]["prize"], "a poster");
    let mark = ask(&project, &["register", "Ines", "--contact", "ines@harbour.example"], 0)["mark"].clone();
    let mark = mark.as_str().unwrap();
    assert_eq!(ask(&project, &["register", "INES"], 1)["mark"], mark);
    for outline in ["beacon", "crane"] {
        let rows = layout(&project, outline);
        let entered = ask(&project, &["enter", mark, outline, &rows, "--name", "ines"], 0);
        assert_eq!((&entered["repeated"], &entered["late"]), (&Value::from(false), &Value::from(false)));
        assert_eq!(ask(&project, &["enter", mark, outline, &rows], 0)["repeated"], true);
        let mut letters: Vec<char> = rows.chars().collect();
        let last = letters.iter().rposition(|c| *c != letters[0] && *c != '/').unwrap();
        letters.swap(0, last);
        ask(&project, &["enter", mark, outline, &letters.iter().collect::<String>()], 0);
    }
    let checked = ask(&project, &["check"], 0);
    assert_eq!((&checked["accepted"], &checked["rejected"]), (&Value::from(2), &Value::from(2)));
    for entry in checked["entries"].as_array().unwrap().iter().filter(|e| e["accepted"] == false) {
        assert!(entry["reasons"][0].as_str().unwrap().ends_with('.'), "{entry}");
    }
    assert_eq!(ask(&project, &["check", "2"], 1)["rejected"], 1);
    let standings = ask(&project, &["standings", "--no-pdf"], 0);
    assert_eq!(standings["goals"][0]["places"][0]["name"], "Ines");
    let told = page(&["race", "standings", "--no-pdf", "--project", &project], 0);
    assert!(told.contains("  1. Ines   2 solved, at "), "{told}");
    assert!(
        told.contains("Not counted: 2 rejected, 0 late, 0 repeated, 0 taken back; 0 withdrew."),
        "{told}"
    );

    assert!(wrong(&["race", "reveal", "--project", &project]).contains("is not closed yet"));
    assert!(wrong(&["race", "close", "--project", &project]).contains("runs until 9999"));
    ask(&project, &["close", "--early", "a test"], 0);
    let revealed = ask(&project, &["reveal"], 0);
    assert_eq!(revealed["commitment"], opened["commitment"]);
    let sealed = fs::read(revealed["files"][1].as_str().unwrap()).unwrap();
    assert_eq!(race::sha256(&sealed), opened["commitment"].as_str().unwrap());
    assert_eq!(ask(&project, &["log", "--verify"], 0)["whole"], true);
    let given = ask(&project, &["export", "Ines"], 0);
    assert_eq!(given["person"]["contact"], "ines@harbour.example");
    assert_eq!(ask(&project, &["erase", "Ines"], 0)["changed"], true);
    assert_eq!(ask(&project, &["log", "--verify"], 0)["whole"], true);
    let log = ask(&project, &["log"], 0);
    let lines = fs::read_to_string(log["file"].as_str().unwrap()).unwrap();
    assert_eq!(lines.lines().count() as u64, log["lines"].as_u64().unwrap());
    assert!(!lines.contains("Ines"));
    let written = files(&Path::new(&project).join("out/race/spring-tide"));
    let wanted = [
        "log.jsonl",
        "opening.md",
        "spring-tide-rules.txt",
        "spring-tide-sealed.txt",
        "standings.csv",
        "standings.html",
        "standings.json",
    ];
    assert_eq!(written, wanted);
}

#[test]
fn entries_are_judged_by_what_was_sealed() {
    let (_folder, project) = started();
    open(&project, &[]);
    let beacon = Path::new(&project).join("outlines/beacon.toml");
    let old = fs::read_to_string(&beacon).unwrap();
    let (head, drawing) = old.split_once("drawing").unwrap();
    fs::write(&beacon, format!("{head}drawing{}", drawing.replacen(" o", " +", 1))).unwrap();
    let told = wrong(&["race", "check", "--project", &project]);
    assert!(told.contains("outlines/beacon.toml"), "{told}");
    fs::write(&beacon, &old).unwrap();
    // A title judges nothing.
    fs::write(&beacon, old.replace("title = \"", "title = \"New ")).unwrap();
    assert_eq!(ask(&project, &["check"], 0)["checked"], 0);
}

#[test]
fn many_entries_come_from_a_file_and_none_from_beside_it() {
    let (folder, project) = started();
    open(&project, &[]);
    let mark = ask(&project, &["register", "Tamsin"], 0)["mark"].as_str().unwrap().to_owned();
    fs::write(folder.path().join("secret.png"), "not to be read").unwrap();
    let inbox = folder.path().join("inbox");
    fs::create_dir(&inbox).unwrap();
    fs::write(inbox.join("photo.png"), "a photo").unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("../secret.png", inbox.join("link.png")).unwrap();
    let outside = folder.path().join("secret.png").display().to_string();
    let proofs =
        ["photo.png", "../secret.png", &outside, "link.png", "photo.png/../../secret.png", "none.png", ""];
    let mut rows = "mark,outline,layout,proof\n".to_owned();
    for proof in proofs {
        rows += &format!("{mark},beacon,\"AB\nCD\",{proof}\n");
    }
    rows += &format!("{mark},beacon,AB,photo.png,more,cells\n");
    let file = inbox.join("entries.csv");
    fs::write(&file, rows).unwrap();
    let answer = ask(&project, &["enter", "--from", &file.display().to_string()], 1);
    assert_eq!(answer["entries"].as_array().unwrap().len(), 1);
    let told: Vec<&str> =
        answer["refused"].as_array().unwrap().iter().map(|r| r["message"].as_str().unwrap()).collect();
    assert_eq!(told.len(), 7, "{told:#?}");
    assert_eq!(told.iter().filter(|t| t.contains("leads out of the folder")).count(), 4, "{told:#?}");
    assert_eq!(answer["refused"][0]["line"], 4);
    fs::write(&file, "\u{feff}mark,outline,layout\r\n7,beacon,AB\r\n7,beacon,AB\r\n").unwrap();
    let answer = ask(&project, &["enter", "--from", &file.display().to_string()], 1);
    assert_eq!(
        (&answer["refused"][0]["line"], &answer["refused"][1]["line"]),
        (&Value::from(2), &Value::from(3))
    );
    assert_eq!(files(&Path::new(&project).join("race")).len(), 1);
    for bad in ["mark,outline\n", "mark,outline,layout,colour\n", "mark,mark,outline,layout\n", ""] {
        fs::write(&file, bad).unwrap();
        wrong(&["race", "enter", "--from", &file.display().to_string(), "--project", &project]);
    }
}

#[test]
fn wrong_calls_are_told_and_change_nothing() {
    let (_folder, project) = started();
    assert!(wrong(&["race", "check", "--project", &project]).contains("there is no race here yet"));
    let attempt = |args: &[&str]| {
        let mut all = vec!["race", "open"];
        all.extend(args);
        all.extend(["--no-forecast", "--no-pdf", "--project", &project]);
        wrong(&all)
    };
    for (args, told) in [
        (["../up", "--pack", "first-steps", "--until", UNTIL].as_slice(), "fit for a file name"),
        (&["x", "--pack", "first-step", "--until", UNTIL], "there is no pack"),
        (&["x", "--pack", "first-steps", "--until", "1990-12-31T23:59:60Z"], "over already"),
        (&["x", "--pack", "first-steps", "--until", "tomorrow"], "date, time and zone"),
        (&["x", "--pack", "first-steps", "--until", "2999-01-01T00:00:00"], "date, time and zone"),
        (&["x", "--pack", "first-steps", "--until", UNTIL, "--larger", "first-steps"], "no larger pack"),
        (&["x", "--pack", "first-steps", "--until", UNTIL, "--goal", "fastest"], "all, larger or most"),
        (&["x", "--pack", "first-steps", "--until", UNTIL, "--goal", "larger"], "needs a larger pack"),
        (&["x", "--pack", "first-steps", "--until", UNTIL, "--tie", "coin"], "receipt or shared"),
    ] {
        let found = attempt(args);
        assert!(found.contains(told), "{args:?}: {found}");
    }
    // Nothing is left of all that but, at most, a store with no race in it.
    assert!(wrong(&["race", "standings", "--project", &project]).contains("there is no race here yet"));
    open(&project, &[]);
    assert!(attempt(&["spring-tide", "--pack", "first-steps", "--until", UNTIL]).contains("already"));
    let run = pinfold(&["race", "enter", "7K3Q-9XW2-MDK4", "beacon", "AB", "--project", &project]).code(2);
    assert!(text(&run.get_output().stderr).contains("mark"));
}

#[test]
fn opening_and_standings_are_set_as_pdf_for_both_papers() {
    let (_folder, project) = started();
    let args = ["race", "open", "spring-tide", "--pack", "first-steps", "--until", UNTIL, "--no-forecast"];
    let mut all = args.to_vec();
    all.extend(["--json", "--project", &project]);
    let opened = json(&all, 0);
    let pdf = fs::read(opened["files"][2].as_str().unwrap()).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    ask(&project, &["register", "Jörg <b> $x$ #1"], 0);
    let standings = ask(&project, &["standings", "--paper", "letter"], 0);
    let pdf = fs::read(standings["files"][3].as_str().unwrap()).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    // A name that no font here can print is told, and everything else is written.
    let mark = ask(&project, &["register", "\u{13080}\u{13081} of the Nile"], 0)["mark"].clone();
    assert!(mark.is_string());
    assert!(ask(&project, &["standings"], 0)["files"].as_array().unwrap().len() >= 3);
}
