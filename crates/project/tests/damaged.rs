//! A sound project, damaged in one place at a time: each mistake is told at its
//! line and column, nothing panics, and no byte of the folder changes.

mod quay;

use std::fs;

use project::{OutlineChange, PackParts, Project, Report};
use quay::{PIER, SET, TUG, bytes, folder};

const P: &str = "pinfold.toml";
const PIER_TOML: &str = "outlines/pier.toml";
const TUG_TOML: &str = "outlines/tug.toml";

/// File, what is replaced (first occurrence), by what; then line, column and a
/// part of the sentence or of the mend.
type Damage = (&'static str, &'static str, &'static str, usize, usize, &'static str);

const DAMAGES: &[Damage] = &[
    // TOML.
    (P, "title = \"Quayside\"", "title = \"Quayside", 3, 18, "not sound TOML"),
    (P, "title = \"Quayside\"", "title = Quayside", 3, 9, "quoted"),
    (P, "levels = 2", "levels 2", 5, 8, "`=`"),
    (P, "levels = 2", "levels = 2\nlevels = 1", 6, 1, "'levels' is given twice"),
    (P, "[sizes]", "[set]", 32, 2, "'set' is given twice"),
    (P, "[sizes]", "[sizes", 32, 7, "unclosed table"),
    (P, "[2, 1]]", "[2, 1]", 13, 1, "missing comma"),
    (P, "audience = \"beginners\"", "audience = \"\\q\"", 44, 14, "escape"),
    (TUG_TOML, "\"\"\"\n# the end\n", "", 7, 11, "multi-line"),
    (PIER_TOML, "number = 1", "number = 1 2", 2, 10, "not sound TOML"),
    // [set].
    (P, "[set]", "[sett]", 1, 1, "has no 'set'"),
    (P, "[set]", "[sett]", 2, 2, "write 'set'"),
    (P, "title = \"Quayside\"\n", "", 2, 1, "[set] has no 'title'"),
    (P, "title = \"Quayside\"", "title = 7", 3, 9, "'title' is a whole number, not a string"),
    (P, "title = \"Quayside\"", "title = \" \"", 3, 9, "empty"),
    (P, "turn_over = false", "turn_over = \"no\"", 4, 13, "not true or false"),
    (P, "turn_over", "turnover", 4, 1, "write 'turn_over'"),
    (P, "levels = 2", "levels = 0", 5, 10, "'levels' is 0, which is not between 1 and 8"),
    (P, "levels = 2", "levels = 9", 5, 10, "from 1 to 8"),
    (P, "levels = 2", "levels = 2.0", 5, 10, "not a whole number"),
    (P, "levels = 2", "levels = 99999999999999999999999", 5, 10, "between 1 and 8"),
    (P, "levels = 2", "levels = 1", 15, 43, "on level 1, but the set has only level 0"),
    (P, "reach = \"any\"", "reach = \"swing\"", 7, 9, "write \"swings\""),
    (P, "reach = \"any\"", "reach = \"everything there is\"", 7, 9, "\"swings\", \"planned\" and \"any\""),
    (P, "interlocked = false", "interlocked = 0", 6, 15, "not true or false"),
    // [[piece]].
    (P, "[[piece]]\nname = \"cleat\"", "[piece]\nname = \"cleat\"", 19, 3, "piece"),
    (P, "name = \"cleat\"\n", "", 9, 1, "piece 1 has no 'name'"),
    (P, "name = \"cleat\"", "name = \"a cleat\"", 10, 8, "cannot be the name of a piece"),
    (P, "name = \"cleat\"", "name = \"../cleat\"", 10, 8, "letters, digits"),
    (P, "name = \"cleat\"", "name = \"NUL\"", 10, 8, "file names"),
    (P, "name = \"bollard\"", "name = \"Cleat\"", 27, 8, "the piece on line 9 has it already"),
    (P, "colour = \"#0072B2\"", "colour = \"blue\"", 11, 10, "six hexadecimal digits"),
    (P, "colour = \"#0072B2\"", "colour = \"#0072B\"", 11, 10, "\"#0072B\" is not a colour"),
    (P, "colour = \"#0072B2\"", "color = \"#0072B2\"", 11, 1, "write 'colour'"),
    (P, "colour = \"#0072B2\"\n", "", 9, 1, "add colour = \"#0072B2\""),
    (P, "copies = 2", "copies = 0", 21, 10, "between 1 and 100"),
    (P, "copies = 2", "copies = -3", 21, 10, "'copies' is -3"),
    (P, "copies = 2", "copies = 1000000000", 21, 10, "between 1 and 100"),
    (P, "blocks = [[0, 0], [1, 0], [1, 1]]\n", "", 26, 1, "piece 'bollard' has no 'blocks'"),
    (P, "blocks = [[0, 0], [1, 0], [1, 1]]", "blocks = []", 30, 10, "has no blocks"),
    (P, "blocks = [[0, 0], [1, 0], [1, 1]]", "blocks = 3", 30, 10, "not a list"),
    (P, "[1, 0], [1, 1]]", "[1, 0, 0], [1, 1]]", 30, 19, "'blocks[1]' has 3 items, not 2"),
    (P, "[1, 0], [1, 1]]", "[1, 0.5], [1, 1]]", 30, 23, "not a whole number"),
    (P, "[1, 0], [1, 1]]", "[1, 0], [1, 0]]", 30, 27, "blocks 1 and 2 stand in the same cell"),
    (P, "[1, 0], [1, 1]]", "[1, 0], [1, 20001]]", 30, 31, "between -10000 and 10000"),
    (P, "[1, 0], [1, 1]]", "[1, 0], [2, 1]]", 30, 27, "shares no side with the rest"),
    (P, "rigid = true\n", "", 29, 19, "rigid = true for one solid body"),
    (P, "rigid = true", "rigid = 1", 29, 9, "not true or false"),
    (P, "hinges = [{ pin", "rigid = true\nhinges = [{ pin", 25, 11, "rigid piece, which has none"),
    (P, "joins = [2, 3] }", "joins = [2, 4] }", 16, 31, "joins block 4, but there are only 4 blocks"),
    (P, "joins = [2, 3] }", "joins = [9, 3] }", 16, 28, "use 0 to 3"),
    (P, "joins = [2, 3] }", "joins = [2, -1] }", 16, 31, "'joins[1]' is -1"),
    (P, "joins = [2, 3] }", "joins = [2, 2] }", 16, 27, "joins block 2 to itself"),
    (P, "joins = [2, 3] }", "joins = [2] }", 16, 27, "'joins' has 1 item, not 2"),
    (
        P,
        "pin = [3, 1], joins",
        "pin = [4, 1], joins",
        16,
        11,
        "set the pin at [3, 1] or [2, 1], the corners both",
    ),
    (P, "joins = [1, 2], level", "joins = [0, 3], level", 15, 11, "blocks 0 and 3 meet at no corner"),
    (P, "pin = [3, 1], joins", "joins", 16, 3, "hinge 2 of piece 'cleat' has no 'pin'"),
    (P, "pin = [3, 1], joins", "pni = [3, 1], joins", 16, 5, "write 'pin'"),
    (P, "pin = [3, 1], joins", "pin = 3, joins", 16, 11, "'pin' is a whole number, not a list"),
    (P, "level = 0 }", "level = -1 }", 14, 43, "'level' is -1"),
    (P, "level = 0 }", "level = 2 }", 14, 43, "set levels = 3 in [set]"),
    (P, "  { pin = [3, 1], joins = [2, 3] },\n", "", 12, 35, "block 3 is not tied to block 0"),
    (
        P,
        "pin = [2, 0], joins = [1, 2], level = 1",
        "pin = [1, 1], joins = [0, 1]",
        15,
        11,
        "hinges 0 and 1 stand on the same",
    ),
    (
        P,
        "[[0, 0], [1, 0]]\nhinges = [{ pin = [1, 1], joins = [0, 1] }]",
        "[[0, 0], [1, 0]]\nhinges = 1",
        24,
        10,
        "not a list",
    ),
    (P, "hinges = [{ pin = [1, 1], joins = [0, 1] }]", "hinges = [7]", 24, 11, "not a table"),
    // Sections of figures.
    (P, "pitch = 15", "pitch = -15", 33, 9, "'pitch' is -15"),
    (P, "pitch = 15", "pitch = 0", 33, 9, "from more than 0 to 10000"),
    (P, "pitch = 15", "pitch = nan", 33, 9, "'pitch' is nan"),
    (P, "pitch = 15", "pitch = 1e999", 33, 9, "between more than 0 and 10000"),
    (P, "pitch = 15", "pitch = \"15\"", 33, 9, "not a number"),
    (P, "pitch = 15", "pich = 15", 33, 1, "write 'pitch'"),
    (P, "[sizes]", "[[sizes]]", 32, 1, "'sizes' is a list, not a table"),
    (P, "[sizes]", "[size]", 32, 2, "write 'sizes'"),
    (P, "bed = [220, 220]", "bed = [220]", 37, 7, "'bed' has 1 item, not 2"),
    (P, "bed = [220, 220]", "bed = [220, 0]", 37, 13, "'bed[1]' is 0"),
    (P, "walls = 3", "walls = 3.5", 39, 9, "not a whole number"),
    (P, "layer = 0.2", "layer = 0.2\ninfill = 15", 39, 10, "from 0 to 1"),
    (P, "[printer]", "[printer]\nzzz = 1", 37, 1, "the keys here are"),
    // [[pack]].
    (P, "\"pier\", \"tug\"", "\"peir\", \"tug\"", 43, 13, "write \"pier\""),
    (P, "\"pier\", \"tug\"", "\"lighthouse\", \"tug\"", 43, 13, "the outlines are pier and tug"),
    (P, "\"pier\", \"tug\"", "\"pier\", \"pier\"", 43, 21, "twice"),
    (P, "\"pier\", \"tug\"", "", 43, 12, "the pack has no outlines"),
    (P, "\"pier\", \"tug\"", "1", 43, 13, "not a string"),
    (P, "name = \"first-harbour\"", "name = \"first/harbour\"", 42, 8, "name of a pack"),
    (P, "name = \"first-harbour\"\n", "", 41, 1, "a pack has no 'name'"),
    (
        P,
        "audience = \"beginners\"",
        "audience = \"x\"\n[[pack]]\nname = \"First-Harbour\"\noutlines = [\"tug\"]",
        46,
        8,
        "a pack above has it already",
    ),
    (P, "audience = \"beginners\"", "fixed = 1", 44, 9, "'fixed' is a whole number, not a list"),
    (P, "audience = \"beginners\"", "fixed = [\"tugg\"]", 44, 10, "write \"tug\""),
    (P, "audience = \"beginners\"", "fixed = [\"tug\", \"tug\"]", 44, 17, "twice"),
    (P, "audience = \"beginners\"", "title = \"\"", 44, 9, "'title' is empty"),
    (P, "audience = \"beginners\"", "version = 1.0", 44, 11, "not a string"),
    (P, "audience = \"beginners\"", "version = \"v1\"", 44, 11, "\"v1\" is no version"),
    (P, "audience = \"beginners\"", "licence = \"free for all\"", 44, 11, "no SPDX identifier"),
    (P, "audience = \"beginners\"", "parts = \"plate\"", 44, 9, "write \"plates\""),
    (P, "audience = \"beginners\"", "within = 1", 44, 10, "not a string"),
    (P, "audience = \"beginners\"", "within = \"members\"", 44, 10, "add a section [[pack]] of that name"),
    (P, "audience = \"beginners\"", "within = \"first-harbour\"", 44, 10, "within the pack itself"),
    (
        P,
        "audience = \"beginners\"",
        "within = \"members\"\n[[pack]]\nname = \"members\"\noutlines = [\"tug\"]",
        43,
        13,
        "add \"pier\" to the outlines of \"members\"",
    ),
    (
        P,
        "audience = \"beginners\"",
        "within = \"member\"\n[[pack]]\nname = \"members\"\noutlines = [\"tug\", \"pier\"]",
        44,
        10,
        "write \"members\"",
    ),
    (
        P,
        "audience = \"beginners\"",
        "within = \"all\"\n[[pack]]\nname = \"all\"\noutlines = [\"tug\", \"pier\"]\nwithin = \"first-harbour\"",
        48,
        10,
        "take 'within' out",
    ),
    // Outline files.
    (TUG_TOML, "title = \"Tug\"", "titel = \"Tug\"", 2, 1, "write 'title'"),
    (TUG_TOML, "title = \"Tug\"", "titel = \"Tug\"", 1, 1, "the outline has no 'title'"),
    (TUG_TOML, "title = \"Tug\"", "title = \"Pier\"", 2, 9, "the outline 'pier' has it already"),
    (TUG_TOML, "number = 2", "number = 1", 3, 10, "the number \"1\" is taken"),
    (TUG_TOML, "number = 2", "number = 0", 3, 10, "between 1 and 9999"),
    (TUG_TOML, "spare = 1", "spare = -1", 4, 9, "'spare' is -1"),
    (TUG_TOML, "spare = 1", "spare = \"one\"", 4, 9, "not a whole number"),
    (TUG_TOML, "spare = 1", "spare = 12", 4, 9, "has only 12 cells"),
    (TUG_TOML, "spare = 1", "spare = 2", 4, 9, "12 cells, but the set has 11 blocks and 'spare' is 2"),
    (TUG_TOML, "spare = 1\n", "", 6, 1, "set spare = 1, or take 1 cell out of the drawing"),
    (
        TUG_TOML,
        "    #   #   #   #\n  +   o",
        "    #   .   .   #\n  +   o",
        7,
        1,
        "draw 2 cells more, or 1 cell more and set spare = 0",
    ),
    (TUG_TOML, "note = \"\"", "note = 1", 5, 8, "not a string"),
    (
        TUG_TOML,
        "    #   #   #   #\n  +   o",
        "    #   x   #   #\n  +   o",
        14,
        9,
        "'x' does not belong in a row of cells",
    ),
    (TUG_TOML, "  +   o   +", "  +   0   +", 15, 7, "write '+' for a vertex or 'o'"),
    (TUG_TOML, "  +   +  o   +   +\n", "  +   +  o   +\n", 10, 17, "take 1 mark away"),
    (TUG_TOML, "  +   +  o   +   +\n", "  +   +  o   +\n", 11, 19, "row of vertices has 5 marks, but 4"),
    (TUG_TOML, "  +   o   +   +   +\n", "  +   o   +   +\n", 15, 15, "add 1 mark: 5 fit here"),
    (TUG_TOML, "  +   o   +   +   +\n", "", 14, 5, "a row of vertices must close it"),
    (TUG_TOML, "  +   +   +   +   o\n", "  +   o   +   +   o\n", 11, 7, "inside it, where there is no wall"),
    (PIER_TOML, " # . . . .\n+ + + + + +\n", " # . . . .\n+ + + o + +\n", 10, 7, "away from it"),
    (PIER_TOML, "drawing", "draw", 1, 1, "has no 'drawing'"),
    (
        PIER_TOML,
        "+ o + + + +\n",
        "+ \\u006F + + + x\n",
        3,
        1,
        "in line 1, column 11 of the drawing: 'x' does not",
    ),
    (PIER_TOML, " # . . . .", " # . . . \u{2588}", 9, 10, "does not belong in a row of cells"),
];

fn mistakes(project: Result<Project, Report>) -> Report {
    project.expect_err("the project is damaged")
}

#[test]
fn the_undamaged_project_is_sound() {
    let folder = folder();
    let project = Project::read(folder.path()).unwrap_or_else(|report| panic!("{report}"));
    assert_eq!(project.set.blocks(), 11);
    let names: Vec<String> = (0..project.set.pieces.len()).map(|p| project.piece_name(p)).collect();
    assert_eq!(names, ["cleat", "dinghy 1", "dinghy 2", "bollard"]);
    assert_eq!(project.outline("tug").unwrap().outline.spare(), 1);
    assert_eq!(project.packs[0].outlines, ["pier", "tug"]);
    assert_eq!((&project.packs[0].within, project.packs[0].fixed.len()), (&None, 0));
    assert_eq!((project.packs[0].version.as_str(), project.packs[0].parts), ("1.0", PackParts::All));
    assert_eq!(project.packs[0].printed(), "first-harbour");
    assert_eq!(project.sizes, project::Sizes::default());
    assert_eq!(project.printer, project::Printer::default());
}

#[test]
fn every_damage_is_told_at_its_place() {
    let mut wrong = Vec::new();
    for &(file, old, new, line, column, part) in DAMAGES {
        let folder = folder();
        let text = match file {
            P => SET,
            TUG_TOML => TUG,
            _ => PIER,
        };
        assert!(text.contains(old), "the sound {file} has no {old:?}");
        fs::write(folder.path().join(file), text.replacen(old, new, 1)).unwrap();
        let before = bytes(folder.path());
        let report = mistakes(Project::read(folder.path()));
        let told = report.mistakes().iter().any(|m| {
            let at = m.place.as_ref().is_some_and(|p| (p.line, p.column) == (line, column));
            at && m.file == file && (m.message().contains(part) || m.mend().contains(part))
        });
        if !told {
            wrong.push(format!("{old:?} -> {new:?}: wanted {line}:{column} {part:?}, got\n{report}"));
        }
        assert_eq!(before, bytes(folder.path()));
    }
    assert!(wrong.is_empty(), "{} of {}\n{}", wrong.len(), DAMAGES.len(), wrong.join("\n=====\n"));
}

#[test]
fn one_damage_is_one_mistake() {
    // What merely follows from a mistake is not told beside it.
    let single = |file: &str, text: String| {
        let folder = folder();
        fs::write(folder.path().join(file), text).unwrap();
        let report = mistakes(Project::read(folder.path()));
        assert_eq!(report.mistakes().len(), 1, "{report}");
    };
    single(P, SET.replacen("pin = [3, 1], joins", "pin = [9, 9], joins", 1));
    single(P, SET.replacen("pin = [3, 1], joins", "pin = [3], joins", 1));
    single(P, SET.replacen("[1, 0], [1, 1]]", "[1, 0], [1]]", 1));
    single(P, SET.replacen("copies = 2", "copies = 0", 1));
    single(TUG_TOML, TUG.replacen("spare = 1", "spare = x", 1));
    single(TUG_TOML, TUG.replacen("spare = 1", "spare = 12", 1));
    single(TUG_TOML, TUG.replacen("\"\"\"\n# the end\n", "", 1));
}

#[test]
fn mistakes_of_all_files_are_told_at_once_and_in_order() {
    let folder = folder();
    let set = SET
        .replace("reach = \"any\"", "reach = any")
        .replace("#0072B2", "#72B2")
        .replace("pitch = 15", "pitch = 0")
        .replace("\"tug\"]", "\"tugg\"]");
    fs::write(folder.path().join(P), set).unwrap();
    fs::write(folder.path().join(PIER_TOML), PIER.replace("number = 1", "number = []")).unwrap();
    fs::write(folder.path().join(TUG_TOML), TUG.replace("title", "tittle")).unwrap();
    let report = mistakes(Project::read(folder.path()));
    let places: Vec<_> =
        report.mistakes().iter().map(|m| (m.file.as_str(), m.place.as_ref().unwrap().line)).collect();
    let tug = [(TUG_TOML, 1), (TUG_TOML, 2)];
    assert_eq!(places[..5], [(P, 7), (P, 11), (P, 33), (P, 43), (PIER_TOML, 2)]);
    assert_eq!(places[5..], tug);
}

#[test]
fn the_page_shows_the_line_with_carets_and_the_mend() {
    let folder = folder();
    fs::write(folder.path().join(P), SET.replace("pin = [3, 1], joins", "pin = [3, 7], joins")).unwrap();
    let page = mistakes(Project::read(folder.path())).page(false);
    let wanted = "\
error: in piece 'cleat', the pin of hinge 2 is not at a corner of block 2
  --> pinfold.toml:16:11
   |
16 |   { pin = [3, 7], joins = [2, 3] },
   |           ^^^^^^
   |
   = mend: set the pin at [3, 1] or [2, 1], the corners both blocks share";
    assert_eq!(page, wanted);
}

#[test]
fn files_that_cannot_be_read_are_told_by_name() {
    let told = |damage: &dyn Fn(&std::path::Path), file: &str, part: &str| {
        let folder = folder();
        damage(folder.path());
        let report = mistakes(Project::read(folder.path()));
        let found = report
            .mistakes()
            .iter()
            .any(|m| m.file == file && (m.message().contains(part) || m.mend().contains(part)));
        assert!(found, "wanted {file} {part:?}, got\n{report}");
    };
    told(&|f| fs::remove_file(f.join(P)).unwrap(), P, "no such file");
    told(
        &|f| {
            fs::remove_file(f.join(P)).unwrap();
            fs::create_dir(f.join(P)).unwrap();
        },
        P,
        "not a plain file",
    );
    told(&|f| fs::write(f.join(P), [b"[set]\nx = \"", &[0xFFu8][..], b"\""].concat()).unwrap(), P, "0xFF");
    told(&|f| fs::write(f.join(P), vec![b' '; (4 << 20) + 1]).unwrap(), P, "larger than 4 MiB");
    told(&|f| fs::write(f.join(P), "").unwrap(), P, "has no 'set'");
    told(&|f| fs::create_dir(f.join("outlines/buoy.toml")).unwrap(), "outlines/buoy.toml", "plain file");
    told(&|f| fs::write(f.join("outlines/a b.toml"), PIER).unwrap(), "outlines/a b.toml", "letters");
}

#[test]
fn a_file_in_place_of_the_folder_and_no_folder_at_all_are_told() {
    let folder = folder();
    let gone = mistakes(Project::read(&folder.path().join("nowhere")));
    assert!(gone.to_string().contains("there is no folder here"), "{gone}");
    fs::remove_dir_all(folder.path().join("outlines")).unwrap();
    fs::write(folder.path().join("outlines"), "x").unwrap();
    let report = mistakes(Project::read(folder.path()));
    assert!(report.mistakes().iter().any(|m| m.file == "outlines" && m.message().contains("not a folder")));
    fs::remove_file(folder.path().join("outlines")).unwrap();
    fs::write(folder.path().join(P), SET.split("[[pack]]").next().unwrap()).unwrap();
    assert_eq!(Project::read(folder.path()).unwrap().outlines, []);
}

#[test]
fn nothing_is_written_while_there_is_a_mistake() {
    let folder = folder();
    let mut project = Project::read(folder.path()).unwrap();
    fs::write(folder.path().join(P), SET.replace("pitch = 15", "pitch = 0")).unwrap();
    let before = bytes(folder.path());
    let change = OutlineChange { title: Some("Steam tug".into()), ..OutlineChange::default() };
    let refused = project.change_outline("tug", &change).unwrap_err();
    assert!(matches!(refused, project::WriteError::Mistakes(_)), "{refused}");
    assert_eq!(before, bytes(folder.path()));
}
