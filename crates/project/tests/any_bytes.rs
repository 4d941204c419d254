//! Whatever the bytes of a project are: no panic, no long run, no change on the
//! disk, and each mistake's place lies in its file.

mod quay;

use std::fs;

use project::{PLAYS_FILE, Plays, Project, Report};
use proptest::prelude::*;
use quay::{PIER, SET, TUG, bytes, folder};

/// Words of the format, thrown in to get past the parser more often.
const WORDS: [&str; 24] = [
    "\"",
    "\"\"\"",
    "'''",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ",",
    "\n",
    "\r\n",
    "#",
    "o",
    "+",
    ".",
    "-1",
    "99999999999",
    "nan",
    "true",
    "[[piece]]\n",
    "\\",
    "é",
];

#[derive(Clone, Debug)]
enum Edit {
    Put(usize, &'static str),
    Cut(usize, usize),
    Byte(usize, u8),
    Copy(usize, usize, usize),
}

fn edit() -> impl Strategy<Value = Edit> {
    let at = 0usize..1200;
    prop_oneof![
        (at.clone(), 0..WORDS.len()).prop_map(|(at, w)| Edit::Put(at, WORDS[w])),
        (at.clone(), 1usize..40).prop_map(|(at, n)| Edit::Cut(at, n)),
        (at.clone(), any::<u8>()).prop_map(|(at, b)| Edit::Byte(at, b)),
        (at.clone(), at, 1usize..60).prop_map(|(from, to, n)| Edit::Copy(from, to, n)),
    ]
}

fn edited(text: &str, edits: &[Edit]) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for edit in edits {
        let len = bytes.len().max(1);
        match *edit {
            Edit::Put(at, word) => drop(bytes.splice(at % len..at % len, word.bytes())),
            Edit::Cut(at, n) => drop(bytes.drain(at % len..(at % len + n).min(bytes.len()))),
            Edit::Byte(at, b) => {
                if let Some(byte) = bytes.get_mut(at % len) {
                    *byte = b;
                }
            }
            Edit::Copy(from, to, n) => {
                let part = bytes[from % len..(from % len + n).min(bytes.len())].to_vec();
                let to = to % len;
                drop(bytes.splice(to..to, part));
            }
        }
    }
    bytes
}

fn places_are_in_their_files(report: &Report, folder: &std::path::Path) {
    assert!(!report.mistakes().is_empty());
    for mistake in report.mistakes() {
        assert!(!mistake.message().is_empty() && !mistake.mend().is_empty());
        let Some(place) = &mistake.place else { continue };
        let text = fs::read(folder.join(&mistake.file)).unwrap();
        let text = String::from_utf8_lossy(&text);
        let line = text.split('\n').nth(place.line - 1).expect("the line is in the file");
        assert!(place.column <= line.chars().count() + 1, "{mistake:?}");
        assert!(place.width >= 1);
    }
    assert!(!report.page(true).is_empty());
}

fn survive(set: &[u8], pier: &[u8], tug: &[u8]) {
    let folder = folder();
    fs::write(folder.path().join("pinfold.toml"), set).unwrap();
    fs::write(folder.path().join("outlines/pier.toml"), pier).unwrap();
    fs::write(folder.path().join("outlines/tug.toml"), tug).unwrap();
    let before = bytes(folder.path());
    if let Err(report) = Project::read(folder.path()) {
        places_are_in_their_files(&report, folder.path());
    }
    assert_eq!(before, bytes(folder.path()));
}

const PLAYS: &str = "\
tester,outline,minutes,finished,try,started,source
t1,tug,12:30,yes,1,2026-03-02T18:00:00Z,hand
t2,pier,1:02:30,no
\"t2\",pier,\"7,5\",yes,,2026-03-02T18:00:00+01:00,page
";

fn survive_plays(plays: &[u8]) {
    let folder = folder();
    fs::write(folder.path().join(PLAYS_FILE), plays).unwrap();
    match Plays::read(folder.path()) {
        Err(report) => places_are_in_their_files(&report, folder.path()),
        Ok(plays) => assert!(plays.plays.iter().all(|p| p.minutes.is_finite() && p.minutes > 0.0)),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_project_with_random_edits_never_panics(
        set in prop::collection::vec(edit(), 0..6),
        pier in prop::collection::vec(edit(), 0..4),
        tug in prop::collection::vec(edit(), 0..4),
    ) {
        survive(&edited(SET, &set), &edited(PIER, &pier), &edited(TUG, &tug));
    }

    #[test]
    fn files_of_random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        survive(&bytes, &bytes, &bytes);
        survive_plays(&bytes);
    }

    #[test]
    fn plays_with_random_edits_never_panic(edits in prop::collection::vec(edit(), 0..8)) {
        survive_plays(&edited(PLAYS, &edits));
    }
}

/// Files as large as may be, full of what costs most to read or to tell.
#[test]
fn files_of_absurd_size_are_told_and_done_with() {
    let filled = |part: &str| part.repeat((4 << 20) / part.len());
    let floods = [
        filled("= "),
        filled("["),
        filled("a=1\n"),
        filled("a.b.c="),
        filled("[[piece]]\n"),
        filled("[[pack]]\nname='a'\n"),
        filled("[[piece]]\nname='a'\ncopies=9\nblocks=[[0,0]]\n"),
        format!("[set]\ntitle='{}'\n", filled("x").split_off(100)),
        format!("[[piece]]\nblocks=[{}]\n", filled("[0,0],").split_off(102)),
        format!("[[pack]]\noutlines=[{}]\n", filled("'q',").split_off(100)),
        format!("[[pack]]\noutlines=['q']\nfixed=[{}]\n", filled("'q',").split_off(100)),
        filled("[[pack]]\nwithin='a'\n"),
        format!("drawing='''\n{}'''\n", filled("o").split_off(100)),
        format!("drawing='''\n{}'''\n", filled("o o\n # \n").split_off(104)),
        format!("drawing='''\n{}'''\n", filled("oooo\n???\n").split_off(207)),
    ];
    for flood in &floods {
        survive(flood.as_bytes(), flood.as_bytes(), TUG.as_bytes());
    }
    let head = "tester,outline,minutes,finished\n";
    for row in ["t,tug,1,yes\n", "t1,tog,0,x,,,\n", "\"", ",", ";\n", "t,tug,1,no,"] {
        survive_plays(filled(row).as_bytes());
        survive_plays((head.to_owned() + &filled(row).split_off(100)).as_bytes());
    }
}

#[test]
fn the_largest_drawing_with_every_pocket_wrong_is_told() {
    let row = format!("{}\n{}\n", "o".repeat(101), "#".repeat(100));
    let text = format!("title = 'x'\ndrawing = '''\n{}{}\n'''\n", row.repeat(100), "o".repeat(101));
    survive(SET.as_bytes(), PIER.as_bytes(), text.as_bytes());
}
