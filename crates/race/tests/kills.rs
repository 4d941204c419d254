//! Programs that put in entries are killed a thousand times at random moments, two
//! at once on one file: whatever was answered is there, once.

mod made;

use std::collections::BTreeSet;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::Duration;

use made::{RACE, entry, minute, opened, photo};
use race::{FILE, NewEntry, PROOFS, Store, Tie, sha256};

/// Kills in all, by two parents.
const KILLS: u64 = 1000;
/// Entrants of each parent's children.
const ENTRANTS: usize = 60;
/// A child is killed at most so long after its first sign of life.
const LIFE: u64 = 24_000;
const FOLDER: &str = "PINFOLD_RACE_KILLS";

fn new_entry(marks: &[String], lane: usize, i: usize) -> NewEntry {
    let mark = &marks[lane * ENTRANTS + i / 150 % ENTRANTS];
    let proofs = if i.is_multiple_of(9) { vec![photo(&format!("{lane} {i}"))] } else { Vec::new() };
    NewEntry { proofs, ..entry(mark, ["crab", "tug"][i % 2], &format!("good {lane} {i}")) }
}

fn marks(folder: &Path) -> Vec<String> {
    std::fs::read_to_string(folder.join("marks")).unwrap().lines().map(str::to_owned).collect()
}

/// The program that is killed: it puts in entries from a number on, and answers each.
#[test]
#[ignore = "the child of the test below"]
fn child() {
    let Ok(call) = std::env::var(FOLDER) else { return };
    let mut parts = call.splitn(3, ' ');
    let mut number = || parts.next().unwrap().parse::<usize>().unwrap();
    let (lane, first) = (number(), number());
    let folder = PathBuf::from(parts.next().unwrap());
    let marks = marks(&folder);
    let mut out = std::io::stdout().lock();
    let mut say = |text: String| out.write_all(text.as_bytes()).and_then(|()| out.flush()).unwrap();
    say("\nlives\n".to_owned());
    let mut store = Store::open(&folder).unwrap();
    for i in first.. {
        let receipt = store.enter(&new_entry(&marks, lane, i), &minute(2)).unwrap();
        say(format!("ack {i} {} {}\n", receipt.entry, receipt.repeated));
    }
}

struct Lane {
    /// Entries that were answered, with the numbers they got.
    answered: Vec<i64>,
    /// Entries that were on the disk when their answer was killed.
    told_later: usize,
    killed: u64,
}

/// Kills children, one after another; each starts at the first entry without an answer.
fn lane(folder: &Path, lane: usize) -> Lane {
    let mut random = fastrand::Rng::with_seed(20261125 + lane as u64);
    let mut found = Lane { answered: Vec::new(), told_later: 0, killed: 0 };
    while found.killed < KILLS / 2 {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "child", "--ignored", "--nocapture", "--test-threads=1"])
            .env(FOLDER, format!("{lane} {} {}", found.answered.len(), folder.display()))
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit())
            .spawn()
            .unwrap();
        let mut out = child.stdout.take().unwrap();
        let mut said = Vec::new();
        let mut byte = [0];
        while !said.ends_with(b"\nlives\n") && out.read(&mut byte).unwrap() == 1 {
            said.push(byte[0]);
        }
        thread::sleep(Duration::from_micros(random.u64(0..LIFE)));
        child.kill().unwrap();
        let status = child.wait().unwrap();
        assert!(!status.success() && status.code().is_none(), "the child ended by itself: {status}");
        found.killed += 1;
        let mut said = String::new();
        out.read_to_string(&mut said).unwrap();
        // What has no line end was not said.
        let whole = said.rfind('\n').map_or("", |end| &said[..end]);
        for line in whole.lines() {
            let words: Vec<&str> = line.split(' ').collect();
            let ["ack", i, number, repeated] = words[..] else { panic!("the child said {line}") };
            assert_eq!(i.parse(), Ok(found.answered.len()));
            found.answered.push(number.parse().unwrap());
            found.told_later += usize::from(repeated == "true");
        }
    }
    found
}

#[test]
fn what_was_answered_survives_a_thousand_kills_once() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    let mut store = opened(folder, Tie::Receipt);
    let marks: Vec<String> = (0..2 * ENTRANTS)
        .map(|n| store.register(RACE, &format!("Entrant {n}"), None, &minute(1)).unwrap().mark.to_string())
        .collect();
    std::fs::write(folder.join("marks"), marks.join("\n")).unwrap();
    drop(store);
    let lanes: Vec<Lane> = thread::scope(|scope| {
        let lanes: Vec<_> = (0..2).map(|n| scope.spawn(move || lane(folder, n))).collect();
        lanes.into_iter().map(|lane| lane.join().unwrap()).collect()
    });
    let killed: u64 = lanes.iter().map(|l| l.killed).sum();
    let answered: usize = lanes.iter().map(|l| l.answered.len()).sum();
    let told_later: usize = lanes.iter().map(|l| l.told_later).sum();
    println!(
        "{killed} kills, {answered} entries answered, {told_later} of them were there without an answer"
    );
    assert_eq!(killed, KILLS);
    // Else the kills have not struck where it matters.
    assert!(answered > 200 && told_later > 0);

    let mut store = Store::open(folder).unwrap();
    assert_eq!(store.integrity().unwrap(), "ok");
    let verified = store.verify(RACE).unwrap();
    assert_eq!(verified.faults, []);
    let db = rusqlite::Connection::open(folder.join(FILE)).unwrap();
    let entries: Vec<(i64, String)> = db
        .prepare("SELECT number, layout FROM entry ORDER BY number")
        .unwrap()
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    let different: BTreeSet<&str> = entries.iter().map(|e| e.1.as_str()).collect();
    assert_eq!(different.len(), entries.len(), "an entry is there twice");
    for (lane, found) in lanes.iter().enumerate() {
        for (i, number) in found.answered.iter().enumerate() {
            assert_eq!(
                entries[*number as usize - 1],
                (*number, format!("good {lane} {i}")),
                "an answer is lost"
            );
        }
    }
    // Besides what was answered there is at most the one that each last child died on.
    assert!(entries.len() >= answered && entries.len() <= answered + 2);
    let mut ask = db.prepare("SELECT file, sha256 FROM proof").unwrap();
    let proofs = ask.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    for proof in proofs {
        let (file, hash): (String, String) = proof.unwrap();
        assert_eq!(sha256(&std::fs::read(folder.join(PROOFS).join(file)).unwrap()), hash);
    }
}
