//! Two programs on one file at once: nothing is lost, nothing doubled, nobody fails.

mod made;

use std::path::PathBuf;
use std::process::{Command, Stdio};

use made::{RACE, entry, judge, minute};
use race::{RaceError, Store, Tie, Which};

const ENTRIES: usize = 90;
const FOLDER: &str = "PINFOLD_RACE_TWO";

/// One of the two: everybody's entries, its own and the same as the other's.
#[test]
#[ignore = "the child of the test below"]
fn child() {
    let Ok(call) = std::env::var(FOLDER) else { return };
    let (who, folder) = call.split_once(' ').unwrap();
    // Both make the file, open the race, and register the same name: one of them does.
    let mut store = Store::create(&PathBuf::from(folder)).unwrap();
    match store.open_race(made::terms(RACE, Tie::Receipt), &made::secrets(1)) {
        Ok(_) | Err(RaceError::RaceExists { .. }) => {}
        Err(e) => panic!("{e}"),
    }
    let mark = match store.register(RACE, "Ines", None, &minute(1)) {
        Ok(registered) => registered.mark.to_string(),
        Err(RaceError::NameTaken { mark, .. }) => mark,
        Err(e) => panic!("{e}"),
    };
    for i in 0..ENTRIES {
        store.enter(&entry(&mark, "crab", &format!("good {i}")), &minute(2)).unwrap();
        store
            .enter(&entry(&mark, ["tug", "crane"][usize::from(who == "1")], &format!("good {i}")), &minute(2))
            .unwrap();
        if i % 10 == 0 {
            store.check(RACE, Which::Waiting, &minute(3), judge).unwrap();
            store.standings(RACE).unwrap();
        }
    }
}

#[test]
fn two_programs_enter_at_once() {
    let dir = tempfile::tempdir().unwrap();
    let children: Vec<_> = (0..2)
        .map(|who| {
            Command::new(std::env::current_exe().unwrap())
                .args(["--exact", "child", "--ignored", "--test-threads=1"])
                .env(FOLDER, format!("{who} {}", dir.path().display()))
                .stdout(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    let mut store = Store::open(dir.path()).unwrap();
    assert_eq!(store.integrity().unwrap(), "ok");
    assert_eq!(store.verify(RACE).unwrap().faults, []);
    store.check(RACE, Which::Waiting, &minute(3), judge).unwrap();
    let found = store.standings(RACE).unwrap();
    assert_eq!((found.entries, found.entrants.len()), (3 * ENTRIES, 1));
    // Each entry was ruled on once, whoever came first.
    assert_eq!(found.entrants[0].accepted, 3 * ENTRIES);
    let rulings = store.verify(RACE).unwrap().lines.iter().filter(|l| l.line.contains("\"ruled\"")).count();
    assert_eq!(rulings, 3 * ENTRIES);
}
