//! Two hundred wrong and hostile entries: each is refused in one clear sentence, and
//! leaves the file as it was.

mod made;

use std::path::Path;

use made::{RACE, at, entry, mark, minute, opened, photo, secrets, terms};
use race::{Mark, NewEntry, Proof, RaceError, Tie};
use ruling::symbols::check_symbol;

/// What an entry is wrong in.
struct Case {
    told: String,
    new: NewEntry,
    /// A word that the sentence must have.
    says: &'static str,
}

/// A text with its check symbol, if that is one that marks may have.
fn completed(front: &str) -> Option<String> {
    let mark = format!("{front}{}", check_symbol(front)?);
    Mark::parse(&mark).ok().map(|mark| mark.to_string())
}

fn cases(good: &str, others: &str, withdrawn: &str) -> Vec<Case> {
    let mut cases = Vec::new();
    let mut add = |told: &str, says: &'static str, new: NewEntry| {
        cases.push(Case { told: told.to_owned(), new, says });
    };
    let base = || entry(good, "crab", "good");

    // Marks: misspelt in every place, cut, drawn out, forged, another race's.
    for place in 0..12 {
        for add_to in [1, 7] {
            let bare: String = good.replace('-', "");
            let alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
            let old = alphabet.find(&bare[place..=place]).unwrap();
            let new = &alphabet[(old + add_to) % 32..][..1];
            let slip = format!("{}{new}{}", &bare[..place], &bare[place + 1..]);
            add(&format!("mark with a slip at {place}"), "check symbol", NewEntry { mark: slip, ..base() });
        }
    }
    for cut in 0..12 {
        let bare: String = good.replace('-', "");
        add("mark cut short", "instead of 12", NewEntry { mark: bare[..cut].to_owned(), ..base() });
    }
    for long in ["0", "00", "-7K3Q", &"A".repeat(100), &"9".repeat(1_000_000)] {
        add("mark too long", "instead of 12", NewEntry { mark: format!("{good}{long}"), ..base() });
    }
    for odd in [
        "' OR 1=1 --",
        "'; DROP TABLE entry; --",
        "7K3Q\u{0}9XW2MDE4",
        "７Ｋ３Ｑ９ＸＷ２ＭＤＥ４",
        "7K3Q-9XW2-MDÉ4",
        "\u{202e}7K3Q9XW2MDE4",
        "../../race.sqlite",
        "%00%00%00%00",
        "UUUU-UUUU-UUUU",
        "7K3Q9XW2MDE?",
        "\0\0\0\0\0\0\0\0\0\0\0\0",
        "🦞🦞🦞🦞🦞🦞🦞🦞🦞🦞🦞🦞",
        "AND 1=1 OR 1",
        "<b>7K3Q</b>9",
        "{}{}{}{}{}{}",
        "\u{1F99E}\u{1F99E}",
        "7K3Q/9XW2/MDE4",
        "NULL?",
    ] {
        add("mark of odd symbols", "is no letter or digit", NewEntry { mark: odd.to_owned(), ..base() });
    }
    let mut random = fastrand::Rng::with_seed(8);
    let mut forged = 0;
    while forged < 50 {
        let alphabet = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
        let front: String = (0..11).map(|_| char::from(*random.choice(alphabet).unwrap())).collect();
        if let Some(mark) = completed(&front) {
            forged += 1;
            add("forged mark", "nobody", NewEntry { mark, ..base() });
        }
    }
    for race in [RACE, "spring-tide ", "SPRING-TIDE", "neap-tide'--", "../neap-tide"] {
        let new = NewEntry { mark: others.to_owned(), race: Some(race.to_owned()), ..base() };
        add("another race's mark", "of the race 'neap-tide'", new);
    }
    add(
        "another race's outline",
        "no outline",
        NewEntry { mark: others.to_owned(), outline: "eel".into(), ..base() },
    );
    for name in ["Tamsin", "Ines'--", "Inès", "Ines2", "\u{0406}nes"] {
        add("another's mark", "is not that of", NewEntry { name: Some(name.to_owned()), ..base() });
    }
    for name in ["", "Ines\u{202e}", "I\u{200b}nes", "Ines\n", &"I".repeat(9_000_000)] {
        let new = NewEntry { name: Some(name.to_owned()), ..base() };
        // A line end at the end does no harm: it is the mark's own name.
        if name != "Ines\n" {
            add("a name that deceives", "name", new);
        }
    }
    add("withdrawn entrant", "withdrew", NewEntry { mark: withdrawn.to_owned(), ..base() });

    // Outlines that there are not.
    for outline in [
        "",
        "crabs",
        "CRAB",
        "0",
        "4",
        "-1",
        "1.0",
        "99999999999999999999",
        "../outlines/crab",
        "crab.toml",
        "/etc/passwd",
        "crab\u{0}",
        "cr\u{0430}b",
        "crab' --",
        "crab\"; DROP TABLE outline; --",
        "%",
        "cra_",
        "*",
        "\u{202e}barc",
        &"crab".repeat(100_000),
    ] {
        add("no outline", "no outline", NewEntry { outline: outline.to_owned(), ..base() });
    }

    // Layouts that are none.
    for layout in ["", " ", "\n\n", "\t"] {
        add("empty layout", "empty", NewEntry { layout: layout.to_owned(), ..base() });
    }
    for length in [4097, 5000, 100_000, 10_000_000, 50_000_000] {
        add("huge layout", "too long", NewEntry { layout: "A".repeat(length), ..base() });
    }
    for c in [
        '\0',
        '\u{7}',
        '\u{8}',
        '\u{1b}',
        '\u{7f}',
        '\u{85}',
        '\u{ad}',
        '\u{61c}',
        '\u{180e}',
        '\u{200b}',
        '\u{200e}',
        '\u{200f}',
        '\u{2028}',
        '\u{2029}',
        '\u{202a}',
        '\u{202b}',
        '\u{202c}',
        '\u{202d}',
        '\u{202e}',
        '\u{2060}',
        '\u{2066}',
        '\u{2067}',
        '\u{2068}',
        '\u{2069}',
        '\u{3164}',
        '\u{e000}',
        '\u{f8ff}',
        '\u{fdd0}',
        '\u{feff}',
        '\u{fff9}',
        '\u{fffd}',
        '\u{fffe}',
        '\u{e0041}',
        '\u{f0000}',
        '\u{10ffff}',
    ] {
        add("odd character in the layout", "character U+", NewEntry { layout: format!("AA{c}BB"), ..base() });
    }

    // Times that cannot be.
    for (moment, says) in [
        ("2026-11-25T16:59:59.999999Z", "opened later"),
        ("1970-01-01T00:00:00Z", "opened later"),
        ("0000-01-01T00:00:00Z", "opened later"),
        ("1990-12-31T23:59:60Z", "opened later"),
        ("2026-11-25T18:00:00+01:30", "opened later"),
        ("2026-11-25T17:02:00.000001Z", "still to come"),
        ("2026-11-25T17:00:00-00:30", "still to come"),
        ("9999-12-31T23:59:59.999999Z", "still to come"),
    ] {
        add("impossible time", says, NewEntry { received: Some(at(moment)), ..base() });
    }

    // Proofs without end.
    for count in [9, 20, 100] {
        let proofs = (0..count).map(|n| photo(&n.to_string())).collect();
        add("too many proofs", "at most 8", NewEntry { proofs, ..base() });
    }
    cases
}

#[test]
fn each_of_two_hundred_is_refused_in_a_sentence_and_changes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = opened(dir.path(), Tie::Receipt);
    store.open_race(terms("neap-tide", Tie::Receipt), &secrets(2)).unwrap();
    let good = mark(&mut store, "Ines");
    mark(&mut store, "Tamsin");
    let others = store.register("neap-tide", "Ines", None, &minute(1)).unwrap().mark.to_string();
    let withdrawn = mark(&mut store, "Okko");
    store.withdraw(RACE, &withdrawn, None, &minute(1)).unwrap();
    assert_ne!(good, others);
    let before = store.verify(RACE).unwrap().lines;
    let cases = cases(&good, &others, &withdrawn);
    assert!(cases.len() >= 200, "only {}", cases.len());
    for case in &cases {
        let refused = store.enter(&case.new, &minute(2));
        let Err(e) = refused else { panic!("taken: {}, {:.100?}", case.told, case.new) };
        assert!(!matches!(e, RaceError::Store(_) | RaceError::Damaged { .. }), "{}: {e}", case.told);
        let (sentence, mend) = (e.to_string(), e.mend());
        assert!(sentence.contains(case.says), "{}: {sentence}", case.told);
        assert!(sentence.len() < 400 && !mend.is_empty(), "{}: {sentence}", case.told);
        assert!(!sentence.contains(char::is_control) && !sentence.contains('\u{202e}'), "{}", case.told);
    }
    assert_eq!(store.verify(RACE).unwrap().lines, before);
    assert_eq!(store.standings(RACE).unwrap().entries, 0);
    assert_eq!(store.integrity().unwrap(), "ok");
    assert!(!dir.path().join("race").exists(), "a proof was kept");
    // And after all that, a right one is taken.
    assert_eq!(store.enter(&entry(&good, "crab", "good"), &minute(2)).unwrap().entry, 1);
}

#[test]
fn a_race_that_asks_for_proofs_gets_them() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = race::Store::create(dir.path()).unwrap();
    let asks = race::Terms { proof: true, ..terms(RACE, Tie::Receipt) };
    store.open_race(asks, &secrets(1)).unwrap();
    let mark = mark(&mut store, "Ines");
    let refused = store.enter(&entry(&mark, "crab", "good"), &minute(2));
    assert!(matches!(refused, Err(RaceError::NoProof { .. })));
    let with = NewEntry { proofs: vec![photo("crab")], ..entry(&mark, "crab", "good") };
    assert!(store.enter(&with, &minute(2)).is_ok());
    assert!(Proof::read(Path::new("../../../etc")).is_err());
}

#[test]
fn nobody_tries_without_end() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = opened(dir.path(), Tie::Receipt);
    let mark = mark(&mut store, "Ines");
    for i in 0..100 {
        store.enter(&entry(&mark, "crab", &format!("try {i}")), &minute(2)).unwrap();
    }
    let refused = store.enter(&entry(&mark, "crab", "one more"), &minute(2));
    assert!(matches!(refused, Err(RaceError::ManyEntries { most: 100, .. })));
    assert!(store.enter(&entry(&mark, "crane", "one more"), &minute(2)).is_ok());
}

#[test]
fn a_mark_moved_in_the_file_is_seen() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = opened(dir.path(), Tie::Receipt);
    let ines = mark(&mut store, "Ines");
    let db = rusqlite::Connection::open(dir.path().join(race::FILE)).unwrap();
    db.execute("UPDATE person SET name = 'Tamsin', folded = 'tamsin'", []).unwrap();
    let refused = store.enter(&entry(&ines, "crab", "good"), &minute(2));
    assert!(matches!(refused, Err(RaceError::ForgedMark { .. })));
}
