//! `catalogue`, `compose` and `home` as a person or a script calls them.

use std::fs;

use serde_json::Value;

fn pinfold(args: &[&str]) -> assert_cmd::assert::Assert {
    assert_cmd::Command::new(env!("CARGO_BIN_EXE_pinfold")).args(args).assert()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Standard output as JSON; nothing may stand beside it.
fn json(args: &[&str], code: i32) -> Value {
    let run = pinfold(&[args, &["--json"]].concat()).code(code);
    assert_eq!(text(&run.get_output().stderr), "");
    serde_json::from_slice(&run.get_output().stdout).unwrap()
}

/// A project of one piece of four blocks, drawn as `lines` have it.
fn project(lines: &str, more: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let set = format!(
        "[set]\ntitle = \"Quayside\"\nlevels = 2\n\n[[piece]]\nname = \"cleat\"\ncolour = \"#0072B2\"\n{lines}\n{more}"
    );
    fs::write(folder.path().join("pinfold.toml"), set).unwrap();
    let path = folder.path().display().to_string();
    (folder, path)
}

const CLEAT: &str = "blocks = [[0, 0], [1, 0], [2, 0], [2, 1]]\nhinges = [\n\
    { pin = [1, 1], joins = [0, 1], level = 0 },\n{ pin = [2, 0], joins = [1, 2], level = 1 },\n\
    { pin = [3, 1], joins = [2, 3] }]";

#[test]
fn a_catalogue_needs_no_project_and_writes_only_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path().display().to_string();
    let answer = json(&["catalogue", "--blocks", "4", "--levels", "2", "--list", "--project", &here], 0);
    assert_eq!((answer["pieces"].as_u64(), answer["linkages"].as_u64()), (Some(90), Some(68)));
    assert_eq!(answer["entries"].as_array().unwrap().len(), 90);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    let args =
        ["catalogue", "--blocks", "4", "--levels", "2", "--write", "--sheets", "1", "--project", &here];
    let answer = json(&args, 0);
    let files: Vec<&str> = answer["files"].as_array().unwrap().iter().map(|f| f.as_str().unwrap()).collect();
    assert_eq!(files.len(), 3);
    let bytes = |i: usize| fs::read(files[i]).unwrap();
    assert_eq!(text(&bytes(0)).lines().count(), 91);
    assert!(bytes(1).starts_with(b"PAR1") && bytes(1).ends_with(b"PAR1"));
    assert!(text(&bytes(2)).starts_with("<svg"));
    let before: Vec<Vec<u8>> = (0..3).map(bytes).collect();
    json(&args, 0);
    assert_eq!(before, (0..3).map(bytes).collect::<Vec<_>>(), "equal calls write equal bytes");
}

#[test]
fn what_is_pasted_from_a_catalogue_is_a_sound_piece_and_a_good_home_is_good() {
    let answer = json(&["catalogue", "--blocks", "4", "--levels", "2", "--list"], 0);
    let good = answer["entries"].as_array().unwrap().iter().find(|e| e["home_good"] == true).unwrap();
    let (_folder, path) = project(good["drawing"].as_str().unwrap(), "");
    pinfold(&["check", "--project", &path]).success();
    let home = json(&["home", "--project", &path], 0);
    assert_eq!(home["pieces"][0]["home"], home["pieces"][0]["best"]);
    assert_eq!(home["pieces"][0]["home"]["good"], true);
}

#[test]
fn a_better_home_is_proposed_as_lines_to_paste() {
    let (_folder, path) = project(CLEAT, "");
    let home = json(&["home", "cleat", "--project", &path], 0);
    let cleat = &home["pieces"][0];
    assert_eq!((cleat["home"]["over_nothing"].as_u64(), cleat["poses"].as_u64()), (Some(1), Some(27)));
    assert_ne!(cleat["home"], cleat["best"]);
    let (_again, path) = project(cleat["drawing"].as_str().unwrap(), "");
    let again = json(&["home", "--project", &path], 0);
    assert_eq!(again["pieces"][0]["home"], cleat["best"]);
    let unknown = pinfold(&["home", "cleet", "--project", &path]).code(2);
    assert!(text(&unknown.get_output().stderr).contains("write 'cleat'"));
}

#[test]
fn a_piece_that_is_too_large_for_the_bed_is_a_plain_no() {
    let (_folder, path) = project(CLEAT, "[printer]\nbed = [20, 20]");
    let home = json(&["home", "--project", &path], 1);
    assert_eq!(home["pieces"][0]["best"]["too_large"], true);
}

#[test]
fn the_weights_of_the_project_rank_the_proposals() {
    let ranked = |more: &str| {
        let (_folder, path) = project(CLEAT, more);
        json(&["compose", "--pieces", "3", "--blocks", "4", "--project", &path], 0)
    };
    let terms =
        |answer: &Value, term: usize| answer["proposals"][0]["terms"][term]["value"].as_f64().unwrap();
    let zero = "[compose]\noutlines = 0\nplain = 0\nown = 0\ndistinct = 0\nprintable = 0\n";
    let rich = ranked(&zero.replace("outlines = 0", "outlines = 1"));
    let own = ranked(&zero.replace("own = 0", "own = 3"));
    assert!(terms(&rich, 0) > terms(&own, 0));
    assert!(terms(&own, 2) > terms(&rich, 2));
    assert_eq!(own["proposals"][0]["terms"][2]["weight"], 3.0);
    let (_folder, path) = project(CLEAT, zero);
    let nothing = pinfold(&["compose", "--blocks", "4,4", "--project", &path]).code(2);
    assert!(text(&nothing.get_output().stderr).contains("all weights are 0"));
    let (_folder, path) = project(CLEAT, "[compose]\nown = -1\nrich = 2");
    let wrong = pinfold(&["check", "--project", &path]).code(2);
    let told = text(&wrong.get_output().stderr);
    assert!(told.contains("own") && told.contains("rich"), "{told}");
}

#[test]
fn why_tells_what_each_term_adds() {
    let run =
        pinfold(&["compose", "--pieces", "3", "--blocks", "4", "--levels", "2", "--why", "1"]).success();
    let told = text(&run.get_output().stdout);
    for part in ["Weights: outlines 1", "adds", "shapes by", "looks most like", "blocks = [["] {
        assert!(told.contains(part), "{told}");
    }
    pinfold(&["compose", "--pieces", "3", "--blocks", "4", "--why", "99"]).code(2);
}

#[test]
fn wrong_calls_are_told_before_any_work() {
    let wrong = |args: &[&str], words: &str| {
        let run = pinfold(args).code(2);
        let told = text(&run.get_output().stderr);
        assert!(told.contains(words), "{told}");
    };
    wrong(
        &["catalogue", "--blocks", "9", "--levels", "4"],
        "1 to 8 blocks, not 9; a catalogue has pieces on 1 to 3",
    );
    wrong(&["compose", "--pieces", "3", "--blocks", "4,4"], "--blocks has 2 numbers");
    wrong(&["compose", "--pieces", "0", "--blocks", "4"], "0 pieces are asked for");
}
