//! Tries added to a project: never lost, never half, never twice.

use std::fs;
use std::path::Path;
use std::thread;

use project::{NewPlay, NotAdded, PLAYS_FILE, Plays};
use tempfile::TempDir;

fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("outlines")).unwrap();
    for name in ["crane", "tug"] {
        // Plays ask for the names of outlines, not for what is in them.
        fs::write(folder.path().join(format!("outlines/{name}.toml")), "").unwrap();
    }
    folder
}

fn play(tester: &str, outline: &str, minutes: f64, finished: bool) -> NewPlay {
    NewPlay {
        tester: tester.to_owned(),
        outline: outline.to_owned(),
        minutes,
        finished,
        number: None,
        started: None,
        source: Some("hand".to_owned()),
    }
}

fn text(dir: &Path) -> String {
    fs::read_to_string(dir.join(PLAYS_FILE)).unwrap()
}

#[test]
fn a_file_begins_with_its_columns_and_grows_by_rows() {
    let folder = folder();
    let dir = folder.path();
    assert_eq!(Plays::read(dir).unwrap(), Plays::default());
    Plays::add(dir, play("t1", "tug", 30.0, false)).unwrap();
    let added = Plays::add(dir, play("t1", "tug", 12.3333, true)).unwrap().added;
    assert_eq!((added[0].number, added[0].line, added.len()), (2, 3, 1));
    let expected = "tester,outline,minutes,finished,try,started,source\n\
                    t1,tug,30,no,,,hand\nt1,tug,12.333,yes,,,hand\n";
    assert_eq!(text(dir), expected);
    assert_eq!(Plays::read(dir).unwrap().plays[1..], added);
}

#[test]
fn a_file_made_by_hand_keeps_its_bytes_and_its_ways() {
    let folder = folder();
    let dir = folder.path();
    let before = "\u{feff}Outline;Tester;Finished;Minutes\r\n\"tug\";t1;no;12,5\r\n\r\ncrane;t2;yes;1:02:30";
    fs::write(dir.join(PLAYS_FILE), before).unwrap();
    Plays::add(dir, play("t2", "tug", 7.5, true)).unwrap();
    let expected = before.replace("Minutes", "Minutes;try;started;source") + "\r\ntug;t2;yes;7.5;;;hand\r\n";
    assert_eq!(text(dir), expected);
    assert_eq!(Plays::read(dir).unwrap().plays.len(), 3);
}

#[test]
fn what_looks_like_a_slip_is_told_and_not_written() {
    let folder = folder();
    let dir = folder.path();
    Plays::add(dir, play("t1", "tug", 30.0, false)).unwrap();
    Plays::add(dir, play("t1", "crane", 9.0, true)).unwrap();
    let before = text(dir);
    let no = |play| Plays::add(dir, play).unwrap_err();
    assert!(matches!(no(play("t1", "tug", 30.0, false)), NotAdded::There { line: 2, .. }));
    assert!(matches!(no(play("t1", "crane", 8.0, true)), NotAdded::Finished { line: 3, .. }));
    assert!(matches!(no(play("t1", "tog", 8.0, true)), NotAdded::WouldBeWrong(_)));
    assert!(matches!(no(play("T1", "tug", 8.0, true)), NotAdded::WouldBeWrong(_)));
    assert!(matches!(no(play("t,1", "tug", 8.0, true)), NotAdded::WouldBeWrong(_)));
    assert!(matches!(no(play("t1", "tug", f64::NAN, true)), NotAdded::WouldBeWrong(_)));
    assert_eq!(text(dir), before);
    // A number of its own says that it is meant.
    Plays::add(dir, NewPlay { number: Some(2), ..play("t1", "tug", 30.0, false) }).unwrap();
    Plays::add(dir, NewPlay { number: Some(2), ..play("t1", "crane", 3.0, true) }).unwrap();
    let twice = NewPlay { number: Some(2), ..play("t1", "crane", 4.0, true) };
    let NotAdded::WouldBeWrong(report) = no(twice) else { panic!("a number is there twice") };
    assert!(report.mistakes()[0].message().contains("line 5 already"), "{report}");
}

#[test]
fn nothing_is_added_to_a_file_with_mistakes() {
    let folder = folder();
    let dir = folder.path();
    let bad = "tester,outline,minutes,finished\nt1,tug,soon,yes\n";
    fs::write(dir.join(PLAYS_FILE), bad).unwrap();
    let error = Plays::add(dir, play("t2", "tug", 5.0, true)).unwrap_err();
    assert!(matches!(error, NotAdded::Mistakes(_)), "{error}");
    assert_eq!(text(dir), bad);
}

#[test]
fn another_file_is_taken_over_once() {
    let folder = folder();
    let dir = folder.path();
    Plays::add(dir, play("t1", "tug", 30.0, false)).unwrap();
    let from = dir.join("from-page.csv");
    let page = "tester,outline,minutes,finished,started,source\n\
                t1,tug,30,no,,hand\n\
                t2,tug,12:30,yes,2026-03-14T19:30:00Z,page\n\
                t2,crane,40,no,2026-03-14T20:00:00Z,page\n";
    fs::write(&from, page).unwrap();
    let added = Plays::add_from(dir, &from).unwrap();
    assert_eq!((added.added.len(), added.already), (2, 1));
    let after = text(dir);
    let again = Plays::add_from(dir, &from).unwrap();
    assert_eq!((again.added.len(), again.already, text(dir)), (0, 3, after.clone()));
    // The same moment written in another way is the same try.
    fs::write(&from, page.replace("2026-03-14T19:30:00Z", "2026-03-14T20:30:00+01:00")).unwrap();
    assert_eq!(Plays::add_from(dir, &from).unwrap().already, 3);
    // One wrong row, and none is taken.
    fs::write(&from, page.replace("t2,crane,40", "t3,crane,forty") + "t4,tug,5,yes,,\n").unwrap();
    let Err(NotAdded::Mistakes(report)) = Plays::add_from(dir, &from) else { panic!("a row is wrong") };
    assert!(report.mistakes()[0].file.ends_with("from-page.csv"));
    assert_eq!(text(dir), after);
    assert!(matches!(Plays::add_from(dir, &dir.join("none.csv")), Err(NotAdded::Mistakes(_))));
}

#[test]
fn many_writers_lose_nothing() {
    let folder = folder();
    let dir = folder.path();
    thread::scope(|scope| {
        for writer in 0..4 {
            scope.spawn(move || {
                for i in 0..15 {
                    Plays::add(dir, play(&format!("w{writer}-{i}"), "tug", 5.0, true)).unwrap();
                }
            });
        }
    });
    let plays = Plays::read(dir).unwrap();
    assert_eq!((plays.plays.len(), plays.testers().len()), (60, 60));
}
