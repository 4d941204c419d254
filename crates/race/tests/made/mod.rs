//! A race over two outlines of Quayside, for tests.
#![allow(dead_code)]

use std::path::Path;

use race::{
    Answers, Goal, GoalKind, Moment, NewEntry, Proof, Receipt, Ruling, SealedOutline, Secrets, Store, Terms,
    Tie,
};

pub const RACE: &str = "spring-tide";

pub fn at(text: &str) -> Moment {
    Moment::parse(text).unwrap_or_else(|e| panic!("{e}"))
}

/// A minute of the race's first day.
pub fn minute(minute: i64) -> Moment {
    Moment::from_micros(at("2026-11-25T17:00:00Z").micros() + minute * 60_000_000)
}

pub fn terms(race: &str, tie: Tie) -> Terms {
    let outline = |name: &str, number, in_pack| SealedOutline {
        name: name.to_owned(),
        title: format!("The {name}"),
        number: Some(number),
        in_pack,
        lines: vec!["spare 0".to_owned()],
        answers: Answers { codes: vec!["1122".to_owned()], complete: true },
    };
    let goal = |kind: GoalKind| Goal { kind, prize: Some(format!("a {} print", kind.word())) };
    Terms {
        race: race.to_owned(),
        pack: "first-tide".to_owned(),
        larger: Some("members".to_owned()),
        opened: minute(0),
        until: at("2026-11-26T18:00:00+01:00"),
        tie,
        proof: false,
        goals: GoalKind::ALL.map(goal).to_vec(),
        set: vec!["levels 2".to_owned()],
        outlines: vec![outline("crab", 1, true), outline("crane", 2, true), outline("tug", 3, false)],
    }
}

pub fn secrets(byte: u8) -> Secrets {
    Secrets { salt: [byte; 32], mark_key: [byte ^ 0xff; 32] }
}

pub fn opened(folder: &Path, tie: Tie) -> Store {
    let mut store = Store::create(folder).unwrap();
    store.open_race(terms(RACE, tie), &secrets(1)).unwrap();
    store
}

pub fn mark(store: &mut Store, name: &str) -> String {
    store.register(RACE, name, None, &minute(1)).unwrap().mark.to_string()
}

pub fn entry(mark: &str, outline: &str, layout: &str) -> NewEntry {
    NewEntry {
        mark: mark.to_owned(),
        outline: outline.to_owned(),
        layout: layout.to_owned(),
        ..NewEntry::default()
    }
}

pub fn enter(store: &mut Store, mark: &str, outline: &str, layout: &str, minute_of_day: i64) -> Receipt {
    store.enter(&entry(mark, outline, layout), &minute(minute_of_day)).unwrap()
}

pub fn photo(text: &str) -> Proof {
    Proof::of(format!("\u{89}PNG\r\n\u{1A}\n{text}").into_bytes()).unwrap()
}

/// Accepts every layout that begins with "good".
pub fn judge(_outline: &str, layout: &str) -> Ruling {
    match layout.starts_with("good") {
        true => Ruling { code: Some("1122".to_owned()), reasons: Vec::new() },
        false => Ruling { code: None, reasons: vec!["Cell 1 is empty.".to_owned()] },
    }
}
