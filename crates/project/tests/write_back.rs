//! What is written changes only what it must: comments, order, indentation and
//! line ends stay as the maker left them.

mod quay;

use std::fs;
use std::path::Path;

use lattice::{Cell, Outline, Vertex};
use project::{NewOutline, OutlineChange, Project, WriteError};
use quay::{PIER, TUG, bytes, folder};

fn read(folder: &Path) -> Project {
    Project::read(folder).unwrap_or_else(|report| panic!("{report}"))
}

fn shape(outline: Outline) -> OutlineChange {
    OutlineChange { outline: Some(outline), ..OutlineChange::default() }
}

/// The tug's file after a change, which must read back as the project has it.
fn tug_after(before: &str, change: impl Fn(&Project) -> OutlineChange) -> String {
    let folder = folder();
    let path = folder.path().join("outlines/tug.toml");
    fs::write(&path, before).unwrap();
    let mut project = read(folder.path());
    let change = change(&project);
    project.change_outline("tug", &change).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(read(folder.path()), project);
    fs::read_to_string(&path).unwrap()
}

fn tug(project: &Project) -> &Outline {
    &project.outline("tug").unwrap().outline
}

#[test]
fn pockets_change_single_marks() {
    let text =
        tug_after(TUG, |p| shape(tug(p).with_pockets([Vertex::new(0, 0), Vertex::new(2, 3)]).unwrap()));
    let wanted = TUG
        .replace("  +   +   +   +   o\n", "  +   +   +   +   +\n")
        .replace("  +   o   +   +   +\n", "  o   +   +   +   +\n");
    assert_eq!(text, wanted);
}

#[test]
fn the_same_holds_with_line_ends_of_two_characters_and_a_mark_at_the_start() {
    let before = format!("\u{feff}{}", TUG.replace('\n', "\r\n"));
    let text = tug_after(&before, |p| shape(tug(p).with_pockets([Vertex::new(2, 3)]).unwrap()));
    let wanted =
        before.replace("+   +   +   +   o\r", "+   +   +   +   +\r").replace("  +   o   +", "  +   +   +");
    assert_eq!(text, wanted);
}

#[test]
fn cells_change_in_place_while_the_bounding_box_stays() {
    let text = tug_after(TUG, |p| {
        let cells = tug(p).cells().iter().copied().filter(|&c| c != Cell::new(3, 2));
        shape(Outline::new(cells, [Vertex::new(2, 3)], 0).unwrap())
    });
    let wanted = TUG
        .replace("spare = 1", "spare = 0")
        .replacen("    #   #   #   #\n", "    #   #   #   .\n", 1)
        .replace("+   o\n", "+   +\n")
        .replace("  +   o   +", "  +   +   +");
    assert_eq!(text, wanted);
}

#[test]
fn another_bounding_box_is_drawn_anew_and_the_rest_stays() {
    let text = tug_after(TUG, |p| {
        let row = (0..12).map(|x| Cell::new(x + 40, -7));
        assert_eq!(tug(p).cells().len(), 12);
        shape(Outline::new(row, [Vertex::new(41, -7)], 1).unwrap())
    });
    let (head, tail) = (TUG.split("\"\"\"").next().unwrap(), TUG.rsplit("\"\"\"").next().unwrap());
    let row = "+ + + + + + + + + + + + +\n # # # # # # # # # # # #\n+ o + + + + + + + + + + +\n";
    assert_eq!(text, format!("{head}\"\"\"\n{row}\"\"\"{tail}"));
}

#[test]
fn a_drawing_with_escapes_is_drawn_anew() {
    let drawing = TUG.split("\"\"\"").nth(1).unwrap();
    let before = TUG.replacen("  +   o", "  +   \\u006F", 1);
    let text = tug_after(&before, |p| shape(tug(p).with_pockets([]).unwrap()));
    let plain = "\n+ + + + +\n # # # #\n+ + + + +\n # # # #\n+ + + + +\n # # # #\n+ + + + +\n";
    assert_eq!(text, TUG.replace(drawing, plain));
}

#[test]
fn spare_is_put_in_above_the_drawing_where_there_was_none() {
    let folder = folder();
    let mut project = read(folder.path());
    let old = project.outline("pier").unwrap().outline.clone();
    let cells = old.cells().iter().copied().chain([Cell::new(4, 0)]);
    let outline = Outline::new(cells, old.pockets().iter().copied(), 1).unwrap();
    project.change_outline("pier", &shape(outline)).unwrap();
    let text = fs::read_to_string(folder.path().join("outlines/pier.toml")).unwrap();
    let wanted = PIER.replace("drawing", "spare = 1\ndrawing").replace(" # . . . .", " # . . . #");
    assert_eq!(text, wanted);
}

#[test]
fn a_title_keeps_the_comment_beside_it() {
    for (title, value) in [("Steam tug", "\"Steam tug\""), ("The \"Tug\"", "'The \"Tug\"'"), ("Ü\\'\"", "")]
    {
        let change = |_: &Project| OutlineChange { title: Some(title.into()), ..OutlineChange::default() };
        let text = tug_after(TUG, change);
        assert!(text.contains("   # its name\nnumber = 2\n"));
        assert!(value.is_empty() || text == TUG.replacen("\"Tug\"", value, 1), "{text}");
    }
}

#[test]
fn a_change_to_what_is_there_already_writes_nothing() {
    let same = tug_after(TUG, |p| OutlineChange {
        title: Some("Tug".into()),
        outline: Some(tug(p).clone()),
        ..OutlineChange::default()
    });
    assert_eq!(same, TUG);
}

#[test]
fn what_would_be_wrong_is_refused_and_nothing_changes() {
    let folder = folder();
    let mut project = read(folder.path());
    let sound = project.clone();
    let before = bytes(folder.path());
    let smaller = Outline::new([Cell::new(0, 0), Cell::new(1, 0)], [], 0).unwrap();
    let titles = ["Pier", "", "two\nlines"];
    let changes = titles.map(|t| OutlineChange { title: Some(t.into()), ..OutlineChange::default() });
    for change in changes.into_iter().chain([shape(smaller.clone())]) {
        let refused = project.change_outline("tug", &change).unwrap_err();
        assert!(matches!(refused, WriteError::WouldBeWrong(_)), "{refused}");
    }
    let none = project.change_outline("buoy", &OutlineChange::default()).unwrap_err();
    assert!(matches!(none, WriteError::NoOutline(_)));
    let outline = project.outline("tug").unwrap().outline.clone();
    let new = |name: &str, title: &str, number, outline: &Outline| NewOutline {
        name: name.into(),
        title: title.into(),
        number,
        note: None,
        comment: vec![],
        outline: outline.clone(),
    };
    for wrong in [
        new("a b", "Buoy", None, &outline),
        new("buoy", "Tug", None, &outline),
        new("buoy", "Buoy", Some(1), &outline),
        new("buoy", "Buoy", None, &smaller),
    ] {
        let refused = project.add_outline(&wrong, true).unwrap_err();
        assert!(matches!(refused, WriteError::WouldBeWrong(_)), "{refused}");
    }
    for taken in [new("tug", "Buoy", None, &outline), new("TUG", "Buoy", None, &outline)] {
        assert!(matches!(project.add_outline(&taken, false).unwrap_err(), WriteError::Exists(_)));
    }
    assert_eq!(project, sound);
    assert_eq!(before, bytes(folder.path()));
}

#[test]
fn a_file_that_changed_on_the_disk_is_left_alone() {
    let folder = folder();
    let mut project = read(folder.path());
    let by_hand = TUG.replace("  +   o   +", "  o   o   +");
    fs::write(folder.path().join("outlines/tug.toml"), &by_hand).unwrap();
    let change = OutlineChange { title: Some("Steam tug".into()), ..OutlineChange::default() };
    let refused = project.change_outline("tug", &change).unwrap_err();
    assert!(matches!(refused, WriteError::ChangedSince(_)), "{refused}");
    assert_eq!(fs::read_to_string(folder.path().join("outlines/tug.toml")).unwrap(), by_hand);
}

#[test]
fn a_new_outline_is_added_and_replaced_only_if_told() {
    let folder = folder();
    let mut project = read(folder.path());
    let mut new = NewOutline {
        name: "buoy".into(),
        title: "Buoy".into(),
        number: Some(7),
        note: Some("rings\twhen it rocks".into()),
        comment: vec!["seen off\nthe \"mole\"".into(), "twice".into()],
        outline: tug(&project).with_pockets([Vertex::new(4, 3)]).unwrap(),
    };
    project.add_outline(&new, false).unwrap();
    assert_eq!(read(folder.path()), project);
    let text = fs::read_to_string(folder.path().join("outlines/buoy.toml")).unwrap();
    assert!(text.starts_with("# seen off the \"mole\"\n# twice\ntitle = \"Buoy\"\n"), "{text}");
    new.title = "Bell buoy".into();
    assert!(matches!(project.add_outline(&new, false), Err(WriteError::Exists(_))));
    assert_eq!(project.outline("buoy").unwrap().title, "Buoy");
    project.add_outline(&new, true).unwrap();
    assert_eq!(project.outline("buoy").unwrap().title, "Bell buoy");
    assert_eq!(read(folder.path()), project);
    assert_eq!(bytes(folder.path()).len(), 4);
}

#[test]
fn a_number_is_put_in_and_changed_and_no_two_outlines_get_one() {
    let number = |n| OutlineChange { number: Some(n), ..OutlineChange::default() };
    let text = tug_after(TUG, |_| number(31));
    assert_eq!(text, TUG.replace("number = 2", "number = 31"));
    let none = TUG.lines().filter(|l| !l.starts_with("number")).map(|l| format!("{l}\n")).collect::<String>();
    assert_eq!(tug_after(&none, |_| number(31)), none.replace("drawing =", "number = 31\ndrawing ="));
    let folder = folder();
    let mut project = read(folder.path());
    project.change_outline("pier", &number(7)).unwrap_or_else(|e| panic!("{e}"));
    let refused = project.change_outline("tug", &number(7)).unwrap_err();
    assert!(matches!(refused, WriteError::WouldBeWrong(_)), "{refused}");
    assert_eq!(fs::read_to_string(folder.path().join("outlines/tug.toml")).unwrap(), TUG);
}

#[test]
fn a_grade_is_put_in_and_changed() {
    let grade = |word: &str| OutlineChange { grade: Some(word.into()), ..OutlineChange::default() };
    let text = tug_after(TUG, |_| grade("firm"));
    assert_eq!(text, TUG.replace("drawing =", "grade = \"firm\"\ndrawing ="));
    let again = tug_after(&text, |_| grade("hard"));
    assert_eq!(again, text.replace("\"firm\"", "\"hard\""));
    let folder = folder();
    let mut project = read(folder.path());
    for wrong in ["hardest", "", "a\nb"] {
        let refused = project.change_outline("tug", &grade(wrong)).unwrap_err();
        assert!(matches!(refused, WriteError::WouldBeWrong(_)), "{refused}");
    }
    assert_eq!(fs::read_to_string(folder.path().join("outlines/tug.toml")).unwrap(), TUG);
}

/// The set's file with other words for the pack's outlines, then its order changed.
fn packed(list: &str, order: &[&str]) -> String {
    let folder = folder();
    let path = folder.path().join("pinfold.toml");
    let before = fs::read_to_string(&path).unwrap();
    for name in ["buoy", "crane"] {
        let title = name.to_uppercase();
        let pier = PIER.replace("Pier", &title).replace("number = 1\n", "");
        fs::write(folder.path().join(format!("outlines/{name}.toml")), pier).unwrap();
    }
    let list_before = "[\"pier\", \"tug\"]";
    fs::write(&path, before.replace(list_before, list)).unwrap();
    let mut project = read(folder.path());
    let order: Vec<String> = order.iter().map(|&o| o.to_owned()).collect();
    project.order_pack("first-harbour", &order).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(read(folder.path()), project);
    assert_eq!(project.packs[0].outlines, order);
    let after = fs::read_to_string(&path).unwrap();
    let (head, tail) = before.split_once(list_before).unwrap();
    let kept = after.strip_prefix(head).and_then(|a| a.strip_suffix(tail));
    kept.expect("the rest of the file stays").to_owned()
}

#[test]
fn a_pack_is_put_in_another_order_and_remarks_go_along() {
    assert_eq!(packed("['pier',  \"tug\"]", &["tug", "pier"]), "[\"tug\",  'pier']");
    let list =
        "[ # easy first\n  \"pier\",   # flat\n  \"tug\",\n  \"buoy\" , # rings\n  \"crane\" # last\n]";
    assert_eq!(
        packed(list, &["crane", "buoy", "tug", "pier"]),
        "[ # easy first\n  \"crane\", # last\n  \"buoy\", # rings\n  \"tug\",\n  \"pier\"   # flat\n]"
    );
    // Where two share a line, nobody can say whose a remark is: it stays.
    let list = "[\"pier\", \"tug\", # two\n\"buoy\"]";
    assert_eq!(packed(list, &["buoy", "pier", "tug"]), "[\"buoy\", \"pier\", # two\n\"tug\"]");
}

#[test]
fn an_order_that_is_none_is_refused() {
    let folder = folder();
    let mut project = read(folder.path());
    let before = bytes(folder.path());
    for wrong in [&["tug"][..], &["tug", "tug"], &["tug", "pier", "buoy"]] {
        let order: Vec<String> = wrong.iter().map(|&o| o.to_owned()).collect();
        let refused = project.order_pack("first-harbour", &order).unwrap_err();
        assert!(matches!(refused, WriteError::NoOrder(_)), "{refused}");
    }
    assert!(matches!(project.order_pack("last", &[]).unwrap_err(), WriteError::NoPack(_)));
    assert_eq!(bytes(folder.path()), before);
}
