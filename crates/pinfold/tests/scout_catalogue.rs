//! Catalogues of outlines that last: shards from separate processes, runs that
//! are killed, folders that are of something else.
#![cfg(unix)]

mod called;

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use called::{files, json, page, started, wrong};
use serde_json::Value;

/// A want of some thousand outlines in several hundred parts.
const WANT: [&str; 6] = ["--box", "5x4", "--joined", "corners", "--holes", "any"];

fn call<'a>(project: &'a str, folder: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [&["scout"], &WANT[..], &["--catalogue", folder, "--show", "1", "--json", "--project", project], more]
        .concat()
}

fn spawn(args: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_pinfold"))
        .args(args)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// The bytes of one run that nothing happened to.
fn one_run(top: &Path, project: &str) -> Vec<u8> {
    let folder = top.join("one").display().to_string();
    let answer = json(&call(project, &folder, &[]), 0);
    assert_eq!(answer["looked_at"], answer["outlines_in_all"]);
    assert_eq!(files(&top.join("one")), ["catalogue.json", "outlines.parquet"]);
    fs::read(top.join("one/outlines.parquet")).unwrap()
}

#[test]
fn eight_shards_of_separate_processes_give_the_bytes_of_one_run() {
    let (top, project) = started();
    let top = top.path();
    let one = one_run(top, &project);
    // Half of them in a folder of their own, as from another machine.
    let folders = ["left", "right"].map(|f| top.join(f).display().to_string());
    let shards: Vec<String> = (1..=8).map(|n| format!("{n}/8")).collect();
    let running: Vec<Child> = shards
        .iter()
        .enumerate()
        .map(|(n, shard)| spawn(&call(&project, &folders[n % 2], &["--shard", shard, "--threads", "1"])))
        .collect();
    for mut child in running {
        assert!(child.wait().unwrap().success());
    }
    let whole = top.join("whole").display().to_string();
    let merge = |from: &[&str]| {
        let call: Vec<&str> =
            [&["scout", "--catalogue", &whole, "--project", &project, "--merge"], from].concat();
        Command::new(env!("CARGO_BIN_EXE_pinfold")).args(call).output().unwrap()
    };
    let half = merge(&[&folders[0]]);
    assert_eq!(half.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&half.stderr).contains("parts are missing"));
    assert!(!Path::new(&whole).join("outlines.parquet").exists());
    assert_eq!(merge(&[&folders[0], &folders[1]]).status.code(), Some(0));
    assert!(fs::read(format!("{whole}/outlines.parquet")).unwrap() == one, "the bytes differ");
    // What is whole shows the same finds.
    let finds = |folder: &str| {
        let call = ["scout", "--catalogue", folder, "--json", "--project", &project];
        json(&call, 0)["finds"].clone()
    };
    assert_eq!(finds(&whole), finds(&top.join("one").display().to_string()));
}

#[test]
fn a_run_that_is_killed_again_and_again_loses_nothing_and_writes_nothing_twice() {
    let (top, project) = started();
    let top = top.path();
    let one = one_run(top, &project);
    let folder = top.join("killed");
    let name = folder.display().to_string();
    let parts = || {
        fs::read_dir(&folder).map_or(0, |all| {
            all.filter(|e| e.as_ref().unwrap().file_name().to_string_lossy().starts_with("places-")).count()
        })
    };
    // Moments by a small generator of our own, so that every run of this test has the same.
    let (mut random, mut kills, mut goal) = (12_345u32, 0, 0);
    while kills < 6 {
        random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        goal += 1 + random as usize % 12;
        let mut child = spawn(&call(&project, &name, &[]));
        while child.try_wait().unwrap().is_none() && parts() < goal {
            std::thread::yield_now();
        }
        std::thread::sleep(Duration::from_micros(u64::from(random >> 16) % 2000));
        let _ = child.kill();
        child.wait().unwrap();
        if folder.join("outlines.parquet").exists() {
            break;
        }
        kills += 1;
    }
    assert!(kills >= 3, "killed only {kills} times before it was done");
    let answer = json(&call(&project, &name, &[]), 0);
    assert_eq!(answer["looked_at"], answer["outlines_in_all"]);
    assert!(fs::read(folder.join("outlines.parquet")).unwrap() == one, "the bytes differ");
    assert_eq!(files(&folder), ["catalogue.json", "outlines.parquet"]);
}

#[test]
fn a_run_told_to_stop_says_how_far_it_came_and_goes_on() {
    let (top, project) = started();
    let folder = top.path().join("slow").display().to_string();
    let stopped = Command::new(env!("CARGO_BIN_EXE_pinfold"))
        .args(call(&project, &folder, &["--time", "0.02", "--threads", "1"]))
        .output()
        .unwrap();
    let answer: Value = serde_json::from_slice(&stopped.stdout).unwrap();
    assert_eq!((&answer["complete"], &answer["stopped"]), (&false.into(), &"time".into()));
    let (done, all) = (answer["parts_done"].as_u64().unwrap(), answer["parts"].as_u64().unwrap());
    assert!(done < all, "{done} of {all}");
    let there = page(&["scout", "--catalogue", &folder, "--project", &project], if done > 0 { 0 } else { 1 });
    assert!(there.contains(&format!("Not whole: {done} of {all} parts are there.")), "{there}");
    let whole = json(&call(&project, &folder, &[]), 0);
    assert_eq!(whole["parts_done"], whole["parts"]);
    assert_eq!(whole["complete"], true);
}

#[test]
fn a_folder_of_something_else_is_refused_and_left_alone() {
    let (top, project) = started();
    let one = one_run(top.path(), &project);
    let folder = top.path().join("one").display().to_string();
    let told = wrong(&["scout", "--box", "4x3", "--catalogue", &folder, "--project", &project]);
    assert!(told.contains("its want box is \"5x4\", not \"4x3\""), "{told}");
    // A set with another piece.
    let set = Path::new(&project).join("pinfold.toml");
    let text = fs::read_to_string(&set).unwrap();
    let other = text.replacen("level = 0", "level = 1", 1);
    assert_ne!(text, other);
    fs::write(&set, other).unwrap();
    let told = wrong(
        &call(&project, &folder, &[])[..].iter().copied().filter(|a| *a != "--json").collect::<Vec<_>>(),
    );
    assert!(told.contains("its set has other pieces or folds"), "{told}");
    fs::write(&set, text).unwrap();
    assert!(fs::read(top.path().join("one/outlines.parquet")).unwrap() == one);
    // A part that was damaged is told by its name.
    let damaged = top.path().join("damaged").display().to_string();
    json(&call(&project, &damaged, &["--shard", "1/2"]), 0);
    let part = files(Path::new(&damaged)).into_iter().find(|f| f.starts_with("places-")).unwrap();
    let path = Path::new(&damaged).join(&part);
    let bytes = fs::read(&path).unwrap();
    fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
    let told = wrong(&["scout", "--catalogue", &damaged, "--project", &project]);
    assert!(told.contains(&part) && told.contains("makes it anew"), "{told}");
}
