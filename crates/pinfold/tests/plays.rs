//! `pinfold plays` and `pinfold forecast`, as a maker calls them.

mod called;

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::Duration;

use called::{json, page, pinfold, started, text, wrong};
use serde_json::Value;

/// Tries of three testers at the outlines of a project that has just begun.
const ROWS: &str = "\
tester,outline,minutes,finished,try,started,source
t1,beacon,9,yes,1,2026-03-02T18:00:00Z,hand
t2,beacon,14.5,yes,1,,hand
t3,beacon,21,yes,,,hand
t1,crane,33,yes,,,hand
t2,crane,60,no,,,hand
t2,crane,12:30,yes,,,hand
";

fn played() -> (tempfile::TempDir, String) {
    let (folder, project) = started();
    fs::write(Path::new(&project).join("plays.csv"), ROWS).unwrap();
    (folder, project)
}

#[test]
fn tries_are_added_and_told_in_the_list() {
    let (_folder, project) = started();
    let at = |args: &[&str]| {
        [args, &["--project", &project]].concat().iter().map(|s| s.to_string()).collect::<Vec<_>>()
    };
    let call = |args: &[&str]| page(&at(args).iter().map(String::as_str).collect::<Vec<_>>(), 0);
    let before = call(&["plays"]);
    assert!(
        before.contains("0 tries by 0 testers") && before.contains("Uncalibrated: nobody has played"),
        "{before}"
    );
    let add =
        ["plays", "add", "--tester", "t1", "--outline", "beacon", "--minutes", "1:02:30", "--unfinished"];
    assert_eq!(call(&add), "Added: t1 at beacon, try 1, given up after 62 min.\n");
    assert!(call(&["plays"]).contains("Nothing has been finished yet"));
    let add = ["plays", "add", "--tester", "t2", "--outline", "beacon", "--minutes", "12,5"];
    assert_eq!(call(&add), "Added: t2 at beacon, try 1, finished in 12 min.\n");
    let list = call(&["plays"]);
    let heading = "2 tries by 2 testers at 1 of 2 outlines; 1 finished, 1 given up.";
    assert!(list.split_whitespace().collect::<Vec<_>>().join(" ").contains(heading), "{list}");
    assert!(!list.contains("Uncalibrated") && !list.contains("Nothing has"), "{list}");
    assert_eq!(call(&["plays", "check"]), "2 tries by 2 testers. No mistakes.\n");
    assert!(call(&["check"]).contains("2 tries. No mistakes."));
}

#[test]
fn the_list_as_json_has_intervals_in_order() {
    let (_folder, project) = played();
    let told = json(&["plays", "--json", "--project", &project], 0);
    assert_eq!((&told["tries"], &told["sittings"], &told["finished"]), (&6.into(), &5.into(), &5.into()));
    assert_eq!((&told["basis"], &told["calibrated"]), (&"plays".into(), &true.into()));
    assert_eq!(told["mixing"]["settled"], true);
    let outlines = told["outlines"].as_array().unwrap();
    assert_eq!(
        outlines.iter().map(|o| o["outline"].as_str().unwrap()).collect::<Vec<_>>(),
        ["beacon", "crane"]
    );
    let number = |v: &Value| v.as_f64().unwrap();
    for o in outlines {
        for key in ["minutes", "new_tester"] {
            let e = &o[key];
            assert!(number(&e["low"]) < number(&e["median"]) && number(&e["median"]) < number(&e["high"]));
        }
        assert!(number(&o["new_tester"]["low"]) < number(&o["minutes"]["low"]));
    }
    // Two finishes of one tester's two tries add up to one sitting of 72.5 minutes.
    assert!(number(&outlines[1]["alone"]) > 40.0, "{}", outlines[1]);
    assert_eq!(told["testers"].as_array().unwrap().len(), 3);
    let again = json(&["plays", "--json", "--project", &project], 0);
    assert_eq!(told, again);
}

#[test]
fn every_wrong_row_is_told_with_its_line_and_nothing_is_added() {
    let (_folder, project) = played();
    let file = Path::new(&project).join("plays.csv");
    let bad = ROWS.replace("9,yes", "nine,yes").replace("t3,beacon", "t3,becon") + "T1,crane,5,perhaps\n";
    fs::write(&file, &bad).unwrap();
    for call in [&["plays"][..], &["plays", "check"], &["check"]] {
        let told = wrong(&[call, &["--project", &project]].concat());
        for place in ["plays.csv:2:11", "plays.csv:4:4", "plays.csv:8:12", "3 mistakes in 1 file"] {
            assert!(told.contains(place), "{place} in {told}");
        }
    }
    let add =
        ["plays", "add", "--tester", "t4", "--outline", "beacon", "--minutes", "5", "--project", &project];
    wrong(&add);
    assert_eq!(fs::read_to_string(&file).unwrap(), bad);
    // Mistakes of all files at once.
    let toml = Path::new(&project).join("pinfold.toml");
    fs::write(&toml, fs::read_to_string(&toml).unwrap().replace("[set]", "[set]\nlevels = 99")).unwrap();
    let told = json(&["check", "--json", "--project", &project], 2);
    let files: Vec<&str> =
        told["errors"].as_array().unwrap().iter().map(|e| e["file"].as_str().unwrap()).collect();
    assert!(files.contains(&"pinfold.toml") && files.contains(&"plays.csv"), "{files:?}");
}

#[test]
fn slips_in_the_call_are_told() {
    let (_folder, project) = played();
    let no = |args: &[&str]| wrong(&[&["plays", "add"], args, &["--project", &project]].concat());
    let at = |outline, minutes| ["--tester", "t1", "--outline", outline, "--minutes", minutes];
    assert!(no(&at("becon", "5")).contains("write 'beacon'"));
    assert!(no(&at("beacon", "9")).contains("is there already, on line 2"));
    assert!(no(&at("beacon", "5")).contains("has finished 'beacon' already, on line 2"));
    assert!(no(&at("beacon", "0")).contains("such as 12.5, 12:30 or 1:02:30"));
    assert!(no(&["--tester", "a b", "--outline", "crane", "--minutes", "5"]).contains("no short name"));
    assert!(no(&["--tester", "T1", "--outline", "crane", "--minutes", "5"]).contains("capitals alone"));
    assert!(no(&["--tester", "t1", "--outline", "crane"]).contains("--minutes"));
    assert!(no(&[]).contains("--tester"));
    assert!(no(&["--from", "none.csv"]).contains("there is no such file"));
    assert_eq!(fs::read_to_string(Path::new(&project).join("plays.csv")).unwrap(), ROWS);
}

#[test]
fn another_file_is_taken_over_once() {
    let (folder, project) = played();
    let from = folder.path().join("page.csv").display().to_string();
    fs::write(
        &from,
        "outline;tester;minutes;finished;started\nbeacon;t7;8,5;yes;2026-03-09T18:00:00+01:00\n",
    )
    .unwrap();
    let call = ["plays", "add", "--from", &from, "--project", &project];
    assert_eq!(page(&call, 0), "Added: t7 at beacon, try 1, finished in 8.5 min.\n");
    assert_eq!(page(&call, 0), "Nothing new.\n1 try was there already.\n");
}

#[test]
fn what_to_play_next_is_ranked() {
    let (_folder, project) = played();
    let told = json(&["plays", "next", "--json", "--project", &project], 0);
    let shares: Vec<f64> =
        told["next"].as_array().unwrap().iter().map(|n| n["share"].as_f64().unwrap()).collect();
    assert!(shares.len() == 2 && shares[0] >= shares[1] && shares[1] > 0.0, "{told}");
    assert_eq!(told["testers"].as_array().unwrap().len(), 3);
    let told = page(&["plays", "next", "--tester", "t3", "--minutes", "30", "--project", &project], 0);
    assert!(
        told.contains("For t3, giving up after 30 min") && told.contains("crane") && !told.contains("beacon")
    );
    let told = json(&["plays", "next", "--tester", "t1", "--json", "--project", &project], 1);
    assert_eq!(told["next"], Value::Array(vec![]));
    assert!(wrong(&["plays", "next", "--tester", "t33", "--project", &project]).contains("write 't3'"));
}

#[test]
fn a_race_is_foretold_with_pictures() {
    let (folder, project) = played();
    let svg = folder.path().join("race.svg").display().to_string();
    let race = ["forecast", "--outlines", "beacon,crane", "--entrants", "50", "--project", &project];
    let told = json(&[&race[..], &["--json", "--svg", &svg]].concat(), 0);
    let number = |v: &Value| v.as_f64().unwrap();
    assert!(number(&told["first"]["median"]) < number(&told["tenth"]["median"]));
    assert!(number(&told["tenth"]["median"]) < number(&told["one"]["high"]));
    let counts = &told["finishers"];
    assert!(counts["low"].as_u64() <= counts["median"].as_u64() && counts["high"].as_u64() <= Some(50));
    assert_eq!(told["closed_form"], false);
    assert!(fs::read_to_string(&svg).unwrap().starts_with("<svg"));
    let told = page(&race, 0);
    assert!(told.contains("the first finishes after") && told.contains("in 7 days"), "{told}");
    assert!(wrong(&["forecast", "--entrants", "5", "--project", &project]).contains("--outlines"));
    assert!(
        wrong(&["forecast", "spring", "--entrants", "5", "--project", &project]).contains("no pack 'spring'")
    );
    // Packs within packs: all outlines count, or those left that nobody has solved.
    let toml = Path::new(&project).join("pinfold.toml");
    let packs = "\n[[pack]]\nname = \"all\"\noutlines = [\"beacon\", \"crane\"]\n\n[[pack]]\nname = \"free\"\n\
                 within = \"all\"\noutlines = [\"beacon\"]\n";
    fs::write(&toml, fs::read_to_string(&toml).unwrap() + packs).unwrap();
    let race = |more: &[&'static str]| {
        [&["forecast", "all", "--entrants", "20", "--project", &project], more].concat().join(" ")
    };
    let told = |call: String| json(&call.split(' ').chain(["--json"]).collect::<Vec<_>>(), 0);
    let whole = told(race(&[]));
    assert_eq!(whole["packs_within"], serde_json::json!(["free"]));
    assert_eq!(whole["outlines"], serde_json::json!(["beacon", "crane"]));
    let rest = told(race(&["--solved", "free"]));
    assert_eq!(rest["outlines"], serde_json::json!(["crane"]));
    assert!(number(&rest["first"]["median"]) < number(&whole["first"]["median"]));
    let none = race(&["--solved", "all"]);
    assert!(wrong(&none.split(' ').collect::<Vec<_>>()).contains("nothing is left"));
    let twice = ["forecast", "--outlines", "crane,crane", "--entrants", "5", "--project", &project];
    assert!(wrong(&twice).contains("named twice"));
    let pictures = folder.path().join("plays.svg").display().to_string();
    page(&["plays", "--svg", &pictures, "--project", &project], 0);
    assert!(folder.path().join("plays.svg").is_file() && folder.path().join("plays-2.svg").is_file());
}

/// Killed at any moment, a call leaves whole rows; one that said it added did.
#[test]
fn a_killed_call_loses_nothing_that_was_accepted() {
    let (_folder, project) = started();
    let mut accepted = 0;
    for i in 0..24 {
        let tester = format!("t{i}");
        let mut call = Command::new(env!("CARGO_BIN_EXE_pinfold"))
            .args(["plays", "add", "--tester", &tester, "--outline", "beacon", "--minutes", "5"])
            .args(["--project", &project])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // The first ones run to their end; the others are killed earlier and later.
        if i >= 3 {
            thread::sleep(Duration::from_millis(i - 3));
            let _ = call.kill();
        }
        accepted += usize::from(call.wait().unwrap().success());
        let checked = pinfold(&["plays", "check", "--project", &project]).success();
        let told = text(&checked.get_output().stdout);
        let rows: usize = told.split(' ').next().unwrap().parse().unwrap();
        assert!(rows >= accepted && rows <= i as usize + 1, "{told}");
    }
    assert!(accepted >= 3);
}
