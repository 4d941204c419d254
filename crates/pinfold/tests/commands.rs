//! The commands as a person or a script calls them.

mod called;

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use called::{json, pinfold, started, text};
use serde_json::Value;

#[test]
fn a_new_project_passes_its_check() {
    let (_folder, project) = started();
    let run = pinfold(&["check", "--project", &project]).success();
    assert_eq!(
        text(&run.get_output().stdout),
        "Harbour starter: 3 pieces of 2 kinds, 8 blocks, 2 outlines, 1 pack. No mistakes.\n"
    );
    assert_eq!(text(&run.get_output().stderr), "");
    let answer = json(&["--json", "check", "--project", &project], 0);
    assert_eq!(answer["errors"], Value::Array(vec![]));
    assert_eq!(answer["blocks"], 8);
    let here =
        assert_cmd::Command::new(env!("CARGO_BIN_EXE_pinfold")).arg("check").current_dir(&project).assert();
    here.success();
}

#[test]
fn new_refuses_a_folder_with_anything_in_it_and_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("plan.txt"), "x").unwrap();
    let path = folder.path().display().to_string();
    let run = pinfold(&["new", &path]).code(2);
    assert!(text(&run.get_output().stderr).contains("is not empty"));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    let file = folder.path().join("plan.txt").display().to_string();
    let answer = json(&["new", &file, "--json"], 2);
    assert!(answer["errors"][0]["message"].as_str().unwrap().contains("is not a folder"));
    let again = tempfile::tempdir().unwrap();
    let answer = json(&["new", &again.path().display().to_string(), "--json"], 0);
    assert_eq!(answer["files"].as_array().unwrap().len(), 4);
}

#[test]
fn check_tells_all_mistakes_with_their_places() {
    let (_folder, project) = started();
    let set = Path::new(&project).join("pinfold.toml");
    let damaged =
        fs::read_to_string(&set).unwrap().replace("#0072B2", "blue").replace("\"crane\"]", "\"crain\"]");
    fs::write(&set, &damaged).unwrap();
    let run = pinfold(&["check", "--project", &project]).code(2);
    assert_eq!(text(&run.get_output().stdout), "");
    let page = text(&run.get_output().stderr);
    assert!(page.contains("--> pinfold.toml:13:10"), "{page}");
    assert!(page.contains("= mend: write \"crane\""), "{page}");
    assert!(page.ends_with("2 mistakes in 1 file.\n"), "{page}");
    assert!(!page.contains('\u{1b}'), "colours where nobody sees them");
    let answer = json(&["check", "--project", &project, "--json"], 2);
    let errors = answer["errors"].as_array().unwrap();
    assert_eq!(errors.len(), 2);
    assert_eq!((&errors[0]["line"], &errors[0]["column"]), (&13.into(), &10.into()));
    let keys: Vec<&String> = errors[0].as_object().unwrap().keys().collect();
    assert_eq!(keys, ["file", "line", "column", "width", "message", "mend"]);
    // Every command that needs the project says the same.
    assert_eq!(json(&["folds", "--project", &project, "--json"], 2), answer);
    assert_eq!(fs::read_to_string(&set).unwrap(), damaged);
}

#[test]
fn no_project_is_told_as_such() {
    let folder = tempfile::tempdir().unwrap();
    let answer = json(&["check", "--json", "--project", &folder.path().display().to_string()], 2);
    assert_eq!(answer["errors"][0]["file"], "pinfold.toml");
    assert_eq!(answer["errors"][0]["line"], Value::Null);
    let answer = json(&["check", "--json", "--project", "nowhere-at-all"], 2);
    assert_eq!(answer["errors"][0]["message"], "there is no folder here");
}

#[test]
fn a_call_that_is_wrong_ends_with_2_and_help_with_0() {
    let run = pinfold(&["chekc"]).code(2);
    assert!(text(&run.get_output().stderr).contains("check"));
    let answer = json(&["chekc", "--json"], 2);
    assert!(answer["errors"][0]["message"].as_str().unwrap().contains("chekc"));
    assert!(answer["errors"][0]["mend"].as_str().unwrap().contains("check"));
    pinfold(&[]).code(2);
    for command in ["new", "check", "folds", "fill", "pockets", "make", "completions"] {
        let run = pinfold(&[command, "--help"]).success();
        assert!(text(&run.get_output().stdout).contains("Examples:"));
    }
    pinfold(&["--help"]).success();
    pinfold(&["--version"]).success();
}

#[test]
fn completions_name_the_commands() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let run = pinfold(&["completions", shell]).success();
        assert!(text(&run.get_output().stdout).contains("folds"), "{shell}");
    }
    assert_eq!(json(&["completions", "bash", "--json"], 0)["shell"], "bash");
}

#[test]
fn a_reader_that_goes_away_is_no_panic() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_pinfold"))
        .args(["completions", "bash"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let run = child.wait_with_output().unwrap();
    assert_eq!(text(&run.stderr), "");
    assert_eq!(run.status.code(), Some(0));
}
