//! What becomes of a long search that is interrupted, or whose reader goes away.
#![cfg(target_os = "linux")]

mod called;

use std::fs;
use std::process::{Child, Command, Output, Stdio};
use std::time::Duration;

use called::{project, text, unchanged};
use serde_json::Value;

fn spawn(args: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_pinfold"))
        .args(args)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Whether the program catches the interrupt by now: bit 1 (signal 2) of the
/// mask `SigCgt`, as proc(5) has it.
fn catches_interrupts(child: &Child) -> bool {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigCgt:")).unwrap();
    u64::from_str_radix(mask.trim(), 16).unwrap() & 0b10 != 0
}

fn interrupt(child: Child, signal: &str) -> Output {
    while !catches_interrupts(&child) {
        std::thread::sleep(Duration::from_millis(5));
    }
    std::thread::sleep(Duration::from_millis(400));
    let sent = Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    child.wait_with_output().unwrap()
}

#[test]
fn an_interrupted_search_tells_what_it_has_and_leaves_whole_files() {
    let (folder, project) = project("pier", unchanged);
    let out = folder.path().join("out");
    let svg = out.join("pier.svg").display().to_string();
    for signal in ["-INT", "-TERM"] {
        let args = ["fill", "pier", "--open", "--json", "--svg", &svg, "--project", &project];
        let run = interrupt(spawn(&args), signal);
        assert_eq!(text(&run.stderr), "");
        let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
        assert_eq!((&answer["complete"], &answer["stopped"]), (&false.into(), &"interrupted".into()));
        let found = answer["drop_in_layouts"].as_u64().unwrap() > 0;
        assert_eq!(run.status.code(), Some(if found { 0 } else { 1 }));
        let named = answer["files"].as_array().unwrap();
        assert_eq!(named.len(), answer["answers"].as_array().unwrap().len());
        for file in named {
            let svg = fs::read_to_string(file.as_str().unwrap()).unwrap();
            assert!(svg.trim_end().ends_with("</svg>"));
        }
        assert!(!called::files(folder.path()).iter().any(|f| f.contains(".part")));
    }
    let run = interrupt(spawn(&["fill", "pier", "--open", "--project", &project]), "-INT");
    let told = text(&run.stdout);
    assert!(told.contains("Not complete: interrupted, after "), "{told}");
    assert!(told.contains("There may be more."), "{told}");
}

#[test]
fn an_interrupted_design_of_pockets_writes_nothing_that_is_not_proven() {
    let (_folder, project) = project("pier", unchanged);
    let file = format!("{project}/outlines/pier.toml");
    let before = fs::read(&file).unwrap();
    let args = ["pockets", "pier", "--limit", "100000000", "--write", "--json", "--project", &project];
    let run = interrupt(spawn(&args), "-INT");
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!((&answer["complete"], &answer["stopped"]), (&false.into(), &"interrupted".into()));
    assert_eq!(answer["smallest"], Value::Null);
    assert_eq!(run.status.code(), Some(1));
    assert_eq!(fs::read(&file).unwrap(), before);
}

#[test]
fn interrupted_scouting_leaves_whole_parts_and_goes_on() {
    let (folder, project) = called::started();
    let all = folder.path().join("all");
    let name = all.display().to_string();
    let args = ["scout", "--box", "8x8", "--joined", "corners", "--holes", "any", "--thorough"];
    let args = [&args[..], &["--catalogue", &name, "--json", "--project", &project]].concat();
    let mut before = 0;
    for signal in ["-INT", "-TERM"] {
        let run = interrupt(spawn(&args), signal);
        assert_eq!(text(&run.stderr), "");
        let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
        assert_eq!((&answer["complete"], &answer["stopped"]), (&false.into(), &"interrupted".into()));
        let done = answer["parts_done"].as_u64().unwrap();
        assert!(done >= before && done < answer["parts"].as_u64().unwrap());
        before = done;
        // Every part that is there is whole, and nothing else is.
        let there = called::files(&all);
        assert_eq!(there.len() as u64, done + 1, "{there:?}");
        let read = called::json(
            &["scout", "--catalogue", &name, "--json", "--project", &project],
            i32::from(done == 0),
        );
        assert_eq!(read["looked_at"], answer["looked_at"]);
    }
}

#[test]
fn a_reader_that_goes_away_is_no_panic() {
    let (_folder, project) = project("basin", unchanged);
    for args in [
        &["fill", "tug", "--open", "--answers", "2000"][..],
        &["folds", "--draw", "all"],
        &["pockets", "tug"],
    ] {
        let mut child = spawn(&[args, &["--project", &project]].concat());
        drop(child.stdout.take());
        let run = child.wait_with_output().unwrap();
        assert_eq!(text(&run.stderr), "", "{args:?}");
        assert_eq!(run.status.code(), Some(0), "{args:?}");
    }
}
