//! A race from its opening to its end, act by act.

mod made;

use std::fs;

use made::{RACE, at, enter, entry, judge, mark, minute, opened, photo, secrets, terms};
use race::{
    FILE, Moment, NewEntry, PROOFS, Phase, RaceError, Standings, Store, Tie, Which, opening_text, sha256,
    standings_csv, standings_page,
};

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn standings(store: &mut Store) -> Standings {
    store.check(RACE, Which::Waiting, &minute(5000), judge).unwrap();
    store.standings(RACE).unwrap()
}

/// Places of a goal as "1 Ines", shared ones with "=".
fn places(standings: &Standings, goal: &str) -> Vec<String> {
    let goal = standings.goals.iter().find(|g| g.goal == goal).unwrap();
    let told = |p: &race::PlaceRow| format!("{}{} {}", p.place, if p.shared { "=" } else { "" }, p.name);
    goal.places.iter().map(told).collect()
}

#[test]
fn what_is_sealed_at_the_opening_is_revealed_at_the_end() {
    let dir = folder();
    let mut store = Store::create(dir.path()).unwrap();
    let sealed_now = store.open_race(terms(RACE, Tie::Receipt), &secrets(1)).unwrap();
    assert!(matches!(store.reveal(RACE, &minute(1)), Err(RaceError::NotClosed { .. })));
    assert!(matches!(store.close(RACE, None, &minute(1)), Err(RaceError::StillRuns { .. })));
    let closed = store.close(RACE, None, &at("2026-11-26T17:00:00.000001Z")).unwrap();
    assert_eq!((closed.waiting, closed.head.0), (0, 2));
    let sealed = store.reveal(RACE, &minute(9000)).unwrap();
    assert_eq!(sha256(sealed.as_bytes()), sealed_now.commitment);
    let public: Vec<&str> = sealed
        .lines()
        .filter(|l| !l.starts_with("salt ") && !l.starts_with("  answer ") && !l.starts_with("  answers "))
        .collect();
    assert_eq!(public.join("\n") + "\n", sealed_now.rules);
    assert_eq!(store.reveal(RACE, &minute(9001)).unwrap(), sealed);
    let state = store.race(None).unwrap();
    assert_eq!(state.set_lines(), ["levels 2"]);
    assert_eq!((state.outline_lines("tug"), state.outline_lines("tu")), (vec!["spare 0"], vec![]));
    assert!(matches!(state.phase, Phase::Revealed { .. }));
    assert_eq!(store.verify(RACE).unwrap().lines.len(), 3);
    assert!(matches!(
        store.open_race(terms(RACE, Tie::Shared), &secrets(2)),
        Err(RaceError::RaceExists { .. })
    ));
}

#[test]
fn fresh_secrets_differ() {
    let (one, two) = (race::Secrets::fresh().unwrap(), race::Secrets::fresh().unwrap());
    assert!(one.salt != two.salt && one.mark_key != two.mark_key && one.salt != one.mark_key);
}

#[test]
fn closing_early_needs_a_reason_that_the_log_keeps() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let ines = mark(&mut store, "Ines");
    store.close(RACE, Some("the printer burnt"), &minute(9)).unwrap();
    assert!(store.verify(RACE).unwrap().lines[2].line.contains("the printer burnt"));
    for refused in [
        store.enter(&entry(&ines, "crab", "good"), &minute(10)).map(|_| ()),
        store.register(RACE, "Tamsin", None, &minute(10)).map(|_| ()),
        store.withdraw(RACE, &ines, None, &minute(10)).map(|_| ()),
        store.close(RACE, None, &minute(10)).map(|_| ()),
    ] {
        assert!(matches!(refused, Err(RaceError::IsClosed { .. })));
    }
}

#[test]
fn the_same_entry_given_twice_is_told_not_doubled() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let ines = mark(&mut store, "Ines");
    let first = enter(&mut store, &ines, "crab", "good ab\ncd", 5);
    let again = enter(&mut store, &ines, "1", " go od  ab\r\n\r\n cd ", 6);
    assert!(!first.repeated && again.repeated);
    assert_eq!((first.entry, &first.received, &first.seal), (again.entry, &again.received, &again.seal));
    let lines = store.verify(RACE).unwrap().lines.len();
    assert_eq!(lines, 3);
    // Taken back, it may be put in anew.
    assert!(store.withdraw(RACE, &ines, Some(first.entry), &minute(7)).unwrap());
    assert!(!store.withdraw(RACE, &ines, Some(first.entry), &minute(7)).unwrap());
    assert_eq!(enter(&mut store, &ines, "crab", "good ab\ncd", 8).entry, 2);
}

#[test]
fn first_is_who_has_all_of_the_pack_earliest_by_the_instant() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let marks = ["Ines", "Tamsin", "Okko"].map(|name| mark(&mut store, name));
    let mut stated = |who: usize, outline: &str, received: &str| {
        let received = Some(at(received));
        let new = NewEntry { received, ..entry(&marks[who], outline, "good") };
        assert!(store.enter(&new, &minute(1000)).unwrap().stated);
    };
    // As texts, 18:30 is after 18:00; as instants it is before.
    stated(0, "crab", "2026-11-25T18:10:00Z");
    stated(0, "crane", "2026-11-25T18:00:00Z");
    stated(1, "crab", "2026-11-25T18:30:00+01:00");
    stated(1, "crane", "2026-11-25T18:30:00+01:00");
    stated(2, "crab", "2026-11-25T19:00:00Z");
    stated(2, "tug", "2026-11-25T19:10:00Z");
    let found = standings(&mut store);
    assert_eq!(places(&found, "all"), ["1 Tamsin", "2 Ines"]);
    assert_eq!(places(&found, "larger"), Vec::<String>::new());
    assert_eq!(places(&found, "most"), ["1 Tamsin", "2 Ines", "3 Okko"]);
}

#[test]
fn ties_are_decided_by_the_rule_that_was_sealed() {
    for (tie, all, most) in [
        (Tie::Receipt, ["1 Ines", "2 Tamsin"], ["1 Ines", "2 Tamsin", "3 Okko", "4 Juno"]),
        (Tie::Shared, ["1= Ines", "1= Tamsin"], ["1= Ines", "1= Tamsin", "3= Okko", "3= Juno"]),
    ] {
        let dir = folder();
        let mut store = opened(dir.path(), tie);
        let marks = ["Ines", "Tamsin", "Okko", "Juno"].map(|name| mark(&mut store, name));
        for (who, outline, moment) in [
            (0, "crab", "2026-11-25T18:00:00Z"),
            (0, "crane", "2026-11-25T18:30:00Z"),
            (1, "crab", "2026-11-25T18:10:00Z"),
            (1, "crane", "2026-11-25T19:30:00+01:00"),
            (2, "tug", "2026-11-25T18:20:00Z"),
            (3, "tug", "2026-11-25T18:50:00Z"),
        ] {
            let new = NewEntry { received: Some(at(moment)), ..entry(&marks[who], outline, "good") };
            store.enter(&new, &minute(1000)).unwrap();
        }
        let found = standings(&mut store);
        assert_eq!(places(&found, "all"), all);
        assert_eq!(places(&found, "most"), most);
    }
}

#[test]
fn late_repeated_rejected_and_withdrawn_entries_are_shown_and_do_not_count() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let [ines, tamsin] = ["Ines", "Tamsin"].map(|name| mark(&mut store, name));
    enter(&mut store, &ines, "crab", "bad", 2);
    enter(&mut store, &ines, "crab", "good one", 3);
    enter(&mut store, &ines, "crab", "good another", 4);
    let back = enter(&mut store, &ines, "crane", "good", 5).entry;
    store.withdraw(RACE, &ines, Some(back), &minute(6)).unwrap();
    let until = at("2026-11-26T18:00:00+01:00");
    let on_time = store.enter(&entry(&tamsin, "crab", "good"), &until).unwrap();
    let late = store.enter(&entry(&ines, "tug", "good"), &Moment::from_micros(until.micros() + 1)).unwrap();
    assert!(!on_time.late && late.late);
    assert_eq!(store.standings(RACE).unwrap().waiting, 5);
    let found = standings(&mut store);
    let row = &found.entrants[0];
    assert_eq!((row.name.as_str(), row.solved, row.accepted, row.rejected), ("Ines", 1, 3, 1));
    assert_eq!((row.late, row.repeated, row.taken_back, row.waiting), (1, 1, 1, 0));
    assert_eq!(places(&found, "most"), ["1 Ines", "2 Tamsin"]);
    store.withdraw(RACE, "Ines", None, &minute(4000)).unwrap();
    let found = store.standings(RACE).unwrap();
    assert_eq!(places(&found, "most"), ["1 Tamsin"]);
    assert!(found.entrants.iter().any(|e| e.name == "Ines" && e.withdrawn.is_some()));
    let refused = store.enter(&entry(&ines, "crane", "good"), &minute(20));
    assert!(matches!(refused, Err(RaceError::Withdrawn { .. })));
    assert_eq!(store.verify(RACE).unwrap().faults, []);
}

#[test]
fn a_photo_is_good_for_one_entrant() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let [ines, tamsin] = ["Ines", "Tamsin"].map(|name| mark(&mut store, name));
    let with = |mark: &str, outline: &str| NewEntry {
        proofs: vec![photo("crab on the table"), photo("crab on the table")],
        ..entry(mark, outline, "good")
    };
    assert_eq!(store.enter(&with(&ines, "crab"), &minute(2)).unwrap().again, []);
    let again = store.enter(&with(&ines, "crane"), &minute(3)).unwrap().again;
    assert_eq!((again.len(), again[0].entry, again[0].anothers), (1, 1, false));
    let again = store.enter(&with(&tamsin, "crab"), &minute(4)).unwrap().again;
    assert_eq!((again.len(), again[0].entry, again[0].anothers), (1, 1, true));
    let found = standings(&mut store);
    assert_eq!(places(&found, "all"), ["1 Ines"]);
    assert_eq!(places(&found, "most"), ["1 Ines"]);
    assert_eq!(fs::read_dir(dir.path().join(PROOFS)).unwrap().count(), 1);
}

#[test]
fn the_maker_may_reject_by_eye_and_check_again() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let ines = mark(&mut store, "Ines");
    enter(&mut store, &ines, "crab", "good", 2);
    assert_eq!(standings(&mut store).entrants[0].accepted, 1);
    let checked = store.reject(RACE, 1, "no mark in the photo", &minute(3)).unwrap();
    assert_eq!(checked.ruling.reasons, ["no mark in the photo"]);
    assert_eq!(standings(&mut store).entrants[0].rejected, 1);
    store.check(RACE, Which::One(1), &minute(4), judge).unwrap();
    assert_eq!(store.standings(RACE).unwrap().entrants[0].accepted, 1);
    assert!(matches!(store.check(RACE, Which::One(2), &minute(4), judge), Err(RaceError::NoEntry { .. })));
    assert_eq!(store.verify(RACE).unwrap().faults, []);
}

#[test]
fn a_person_is_given_out_whole_and_erased_whole_and_the_log_stays() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let registered = store.register(RACE, "Zephyrine Quill", Some("zq@harbour.example"), &minute(1)).unwrap();
    let ines = mark(&mut store, "Ines");
    let new = NewEntry {
        proofs: vec![photo("hers alone"), photo("both have it")],
        ..entry(&registered.mark.to_string(), "crab", "good")
    };
    store.enter(&new, &minute(2)).unwrap();
    let hers = NewEntry { proofs: vec![photo("both have it")], ..entry(&ines, "crab", "good") };
    store.enter(&hers, &minute(3)).unwrap();
    standings(&mut store);
    let given = store.export(RACE, "zephyrine  quill").unwrap();
    assert_eq!(given["person"]["contact"], "zq@harbour.example");
    assert_eq!(given["entries"][0]["layout"], "good");
    assert_eq!(given["entries"][0]["rulings"][0]["accepted"], true);

    let before = store.verify(RACE).unwrap();
    let erased = store.erase(RACE, &registered.mark.to_string(), &minute(6000)).unwrap().unwrap();
    assert_eq!((erased.proofs.len(), erased.shared.len()), (1, 1));
    assert!(store.erase(RACE, "1", &minute(6001)).unwrap().is_none());
    let after = store.verify(RACE).unwrap();
    assert_eq!(after.faults, []);
    assert_eq!(after.lines[..before.lines.len()], before.lines[..]);
    assert!(store.export(RACE, "1").unwrap()["person"].is_null());
    assert!(matches!(store.export(RACE, "Zephyrine Quill"), Err(RaceError::NoEntrant { .. })));
    let found = store.standings(RACE).unwrap();
    assert_eq!(places(&found, "most"), ["1 erased 1"]);
    let refused = store.enter(&entry(&registered.mark.to_string(), "crane", "good"), &minute(20));
    assert!(matches!(refused, Err(RaceError::UnknownMark { .. })));
    drop(store);
    // Not in the file's free pages either, nor beside it.
    for file in fs::read_dir(dir.path()).unwrap().map(|e| e.unwrap().path()).filter(|p| p.is_file()) {
        let bytes = fs::read(&file).unwrap();
        for secret in ["Zephyrine", "zephyrine", "zq@harbour", &registered.mark.to_string()] {
            let found = bytes.windows(secret.len()).any(|w| w == secret.as_bytes());
            assert!(!found, "{secret} is still in {}", file.display());
        }
    }
    assert!(dir.path().join(FILE).is_file());
}

#[test]
fn a_log_that_was_touched_shows_it() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let ines = mark(&mut store, "Ines");
    enter(&mut store, &ines, "crab", "good", 2);
    enter(&mut store, &ines, "crane", "good", 3);
    standings(&mut store);
    mark(&mut store, "Tamsin");
    store.erase(RACE, "Tamsin", &minute(5001)).unwrap();
    store.close(RACE, Some("a test"), &minute(5002)).unwrap();
    store.reveal(RACE, &minute(5003)).unwrap();
    assert_eq!(store.verify(RACE).unwrap().faults, []);
    drop(store);
    let path = dir.path().join(FILE);
    let sealed = fs::read(&path).unwrap();
    // By anybody's program: the file itself refuses.
    for act in [
        "UPDATE log SET line = replace(line, 'crab', 'tug')",
        "DELETE FROM log WHERE seq = 3",
        "INSERT OR REPLACE INTO log SELECT race, seq, replace(line, 'crab', 'tug'), hash FROM log WHERE seq = 3",
        "INSERT INTO log VALUES (1, 99, '{}', '')",
        "UPDATE entry SET layout = 'x'",
        "UPDATE entry SET received_us = 0",
        "DELETE FROM entry",
        "UPDATE ruling SET accepted = 0",
        "DELETE FROM ruling",
        "UPDATE race SET sealed = 'x'",
        "UPDATE race SET until_us = 0",
    ] {
        let db = rusqlite::Connection::open(&path).unwrap();
        assert!(db.execute(act, []).is_err(), "{act}");
    }
    // By whoever takes the triggers away: the chain and the tables tell.
    for act in [
        "UPDATE log SET line = replace(line, 'crab', 'tug') WHERE seq = 3",
        "DELETE FROM log WHERE seq = 4",
        "DELETE FROM log WHERE seq = (SELECT max(seq) FROM log)",
        "UPDATE entry SET layout = 'good x' WHERE number = 1",
        "UPDATE entry SET received = '2026-11-25T17:01:00Z' WHERE number = 2",
        "UPDATE entry SET entrant = 1, outline = 'tug' WHERE number = 2",
        "UPDATE entry SET received_us = received_us - 1 WHERE number = 2",
        "UPDATE outline SET in_pack = 1 - in_pack WHERE name = 'tug'",
        "UPDATE goal SET prize = 'nothing' WHERE kind = 'most'",
        "UPDATE race SET rules = replace(rules, 'spare', 'share')",
        "UPDATE ruling SET accepted = 0 WHERE number = 1",
        "INSERT INTO ruling VALUES (1, 99, 1, 0, NULL, '[]', '2026-11-25T17:01:00Z')",
        "UPDATE person SET name = 'Someone'",
        "DELETE FROM person",
        "UPDATE race SET revealed = NULL",
        "UPDATE race SET sealed = replace(sealed, '1122', '2211')",
        "UPDATE entry SET withdrawn = '2026-11-25T17:01:00Z' WHERE number = 1",
    ] {
        fs::write(&path, &sealed).unwrap();
        let db = rusqlite::Connection::open(&path).unwrap();
        let names: Vec<String> = db
            .prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'")
            .unwrap()
            .query_map([], |row| row.get(0))
            .unwrap()
            .map(Result::unwrap)
            .collect();
        names.iter().for_each(|name| db.execute_batch(&format!("DROP TRIGGER {name}")).unwrap());
        db.execute(act, []).unwrap();
        drop(db);
        let faults = Store::open(dir.path()).unwrap().verify(RACE).unwrap().faults;
        assert!(!faults.is_empty(), "nobody sees: {act}");
    }
}

#[test]
fn a_file_that_is_something_else_is_told_and_left_alone() {
    let dir = folder();
    assert!(matches!(Store::open(dir.path()), Err(RaceError::NoStore { .. })));
    let path = dir.path().join(FILE);
    fs::write(&path, "my notes, ".repeat(500)).unwrap();
    assert!(matches!(Store::create(dir.path()), Err(RaceError::OtherStore { .. })));
    assert!(fs::read_to_string(&path).unwrap().starts_with("my notes"));
    fs::remove_file(&path).unwrap();
    rusqlite::Connection::open(&path).unwrap().execute_batch("CREATE TABLE t (a)").unwrap();
    assert!(matches!(Store::open(dir.path()), Err(RaceError::OtherStore { .. })));
    fs::remove_file(&path).unwrap();
    drop(opened(dir.path(), Tie::Receipt));
    rusqlite::Connection::open(&path).unwrap().pragma_update(None, "user_version", 2).unwrap();
    assert!(matches!(Store::open(dir.path()), Err(RaceError::OtherStore { .. })));
}

#[cfg(unix)]
#[test]
fn the_file_is_for_its_owner_alone() {
    use std::os::unix::fs::PermissionsExt;
    let dir = folder();
    drop(opened(dir.path(), Tie::Receipt));
    assert_eq!(fs::metadata(dir.path().join(FILE)).unwrap().permissions().mode() & 0o077, 0);
}

#[test]
fn pages_show_texts_as_texts() {
    let dir = folder();
    let mut store = opened(dir.path(), Tie::Receipt);
    let sly = mark(&mut store, "=cmd|'/c calc'!A1");
    let tag = mark(&mut store, "<script>alert(1)</script>, \"x\"");
    enter(&mut store, &sly, "crab", "good", 2);
    enter(&mut store, &tag, "crab", "good", 3);
    let found = standings(&mut store);
    let csv = standings_csv(&found);
    assert!(csv.contains(",'=cmd|'/c calc'!A1,"), "{csv}");
    assert!(csv.contains(",\"<script>alert(1)</script>, \"\"x\"\"\","), "{csv}");
    let page = standings_page(&found, "Quayside & <b>", &minute(4));
    assert!(!page.contains("<script") && !page.contains("<b>") && page.contains("&lt;script&gt;"));
    assert!(page.contains("The race is on"));
    let opening = opening_text(&store.race(None).unwrap(), "Quay*side*", &["Soon.".to_owned()]);
    assert!(
        opening.contains("Quay\\*side\\*") && opening.contains(race::CAUTION) && opening.contains("- Soon.")
    );
    assert!(opening.contains(&found.commitment) && !opening.contains("1122"));
}
