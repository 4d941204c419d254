//! Layouts as people write them: what is read, what is told of slips.

use lattice::{Cell, Hinge, Level, Outline, Piece, Set, Vertex, drawing};
use proptest::prelude::*;
use ruling::symbols::Miscopied;
use ruling::{Misread, Rules, Sheet};

/// A hinged domino C, a block B and a rigid bend D.
fn rules() -> Rules {
    let hinge = Hinge { pin: Vertex::new(1, 1), joins: [0, 1], level: Level(0) };
    let domino = Piece::hinged(vec![Cell::new(0, 0), Cell::new(1, 0)], vec![hinge]).unwrap();
    let block = Piece::hinged(vec![Cell::new(0, 0)], vec![]).unwrap();
    let bend = Piece::rigid(vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(1, 1)]).unwrap();
    let set = Set { pieces: vec![domino, block, bend], levels: 1, turn_over: false };
    let classes = set.classes();
    Rules::new(set, classes, false, vec!['C', 'B', 'D']).unwrap()
}

fn outline(spare: usize) -> Outline {
    drawing::parse("+ o + + + +\n # # . . #\n+ + + + + +\n . # # # .\n+ + + + + +", spare).unwrap()
}

fn told(text: &str) -> Vec<String> {
    let (rules, outline) = (rules(), outline(0));
    let sheet = Sheet::new(&rules, &outline);
    sheet.read(text).unwrap_err().iter().map(ToString::to_string).collect()
}

#[test]
fn rows_are_read_however_they_are_written() {
    let (rules, outline) = (rules(), outline(0));
    let sheet = Sheet::new(&rules, &outline);
    let layout = sheet.read("CCB/DDD").unwrap();
    for text in [
        "cc b / ddd",
        "C C B\n D D D\n",
        "CC..B/.DDD.",
        "cc..b/.ddd",
        "CCB\n/\nDDD",
        "ccb/ddd/",
        "CCB\r\n\r\nDDD",
    ] {
        assert_eq!(sheet.read(text), Ok(layout.clone()), "{text:?}");
    }
    assert_eq!(sheet.rows(&layout), "CCB/DDD");
}

#[test]
fn spare_cells_are_dashes() {
    let rules = rules();
    let cells = outline(0).cells().iter().copied().chain([Cell::new(0, 2)]).collect::<Vec<_>>();
    let outline = Outline::new(cells, [], 1).unwrap();
    let sheet = Sheet::new(&rules, &outline);
    let layout = sheet.read("-/CCB/DDD").unwrap();
    assert_eq!(sheet.read("–/ccb/ddd"), Ok(layout.clone()));
    assert_eq!(sheet.rows(&layout), "-/CCB/DDD");
    assert_eq!(sheet.read(&sheet.short(&layout).unwrap()), Ok(layout));
}

#[test]
fn slips_of_the_hand_are_told_with_their_place() {
    assert_eq!(
        told(" \n "),
        ["nothing is written: give the letters of the pieces row by row, or the short code"]
    );
    assert_eq!(told("CC/B/DDD"), ["there are 3 rows of letters instead of 2; a / stands between two rows"]);
    assert_eq!(
        told("CCBD/DXX"),
        [
            "row 1 from the top has 4 marks instead of 3, one for each of its cells",
            "row 2 from the top, mark 2: no piece has the letter 'X'; the letters are C B D",
        ]
    );
    assert_eq!(
        told("CC.B/DDD"),
        ["row 1 from the top: its dots do not stand where the outline has no cell; dots can be left out"]
    );
    assert_eq!(told("CCBD")[0], "as a short code: it has 4 letters and digits instead of 3");
    assert_eq!(
        told(&"/".repeat(2_000_000)),
        ["the text has 2000000 bytes; no layout of this outline needs more than 1216"]
    );
}

#[test]
fn a_short_code_tells_its_own_slips() {
    let (rules, outline) = (rules(), outline(0));
    let sheet = Sheet::new(&rules, &outline);
    let code = sheet.short(&sheet.read("CCB/DDD").unwrap()).unwrap();
    // 15 × 4 × 1 ways of dealing six cells out: two symbols and the check.
    assert_eq!(code.len(), 3);
    let wrong = if code.ends_with('7') { "8" } else { "7" };
    assert_eq!(sheet.read(&format!("{}{wrong}", &code[..2])), Err(vec![Misread::Code(Miscopied::Check)]));
    // All symbols right, but beyond the last of the sixty.
    assert_eq!(sheet.read(&ruling::symbols::write(&[31, 31])), Err(vec![Misread::NoSuchCode]));
    assert!(sheet.read(&ruling::symbols::write(&[1, 27])).is_ok());
    assert_eq!(sheet.read(&ruling::symbols::write(&[1, 28])), Err(vec![Misread::NoSuchCode]));
}

/// The code of docs/entry.md, reckoned from the recipe there by another program
/// (binomials by Python's `math.comb`, the check symbol by hand).
#[test]
fn a_code_is_what_its_recipe_says() {
    let bar = |n: i32| Piece::rigid((0..n).map(|x| Cell::new(x, 0)).collect()).unwrap();
    let pieces: Vec<Piece> = [4, 4, 4, 5, 5].map(bar).to_vec();
    let set = Set { pieces, levels: 1, turn_over: false };
    // A class each, so that no piece stands for another.
    let class = |p: usize| lattice::Class { folds: std::sync::Arc::new(set.folds(p)), pieces: vec![p] };
    let classes = (0..5).map(class).collect();
    let rules = Rules::new(set.clone(), classes, false, "CFSPG".chars().collect()).unwrap();
    let row = |(y, width): (usize, i32)| (0..width).map(move |x| Cell::new(x, 5 - y as i32));
    let cells = [1, 3, 2, 7, 6, 3].into_iter().enumerate().flat_map(row);
    let outline = Outline::new(cells, [], 0).unwrap();
    let sheet = Sheet::new(&rules, &outline);
    let layout = sheet.read("P/PPP/PC/CCCGGSS/FFGGSS/GFF").unwrap();
    assert_eq!(sheet.short(&layout).unwrap(), "02TJ-10ER-CE");
    assert_eq!(sheet.read("02tj 1oer ce"), Ok(layout));
}

#[test]
fn an_outline_that_cannot_be_filled_has_no_codes() {
    let (rules, outline) = (rules(), outline(1));
    let sheet = Sheet::new(&rules, &outline);
    let layout = sheet.read("CCB/DDD").unwrap();
    assert_eq!(sheet.short(&layout), None);
    assert_eq!(sheet.read("123"), Err(vec![Misread::NoCodes]));
    assert_eq!(
        sheet.judge(&layout).unwrap_err()[1].says(&sheet),
        "0 cells are left empty; this outline leaves 1 empty"
    );
}

#[test]
fn faults_are_told_in_words() {
    let (rules, outline) = (rules(), outline(0));
    let sheet = Sheet::new(&rules, &outline);
    let says = |text: &str| -> Vec<String> {
        let faults = sheet.judge(&sheet.read(text).unwrap()).unwrap_err();
        faults.iter().map(|f| f.says(&sheet)).collect()
    };
    assert_eq!(
        says("CBD/CDD"),
        [
            "C in this shape needs a hinge at corner (1, 1), where the wall has no pocket",
            "D can't be folded into this shape",
        ]
    );
    assert_eq!(
        says("BCC/DDD"),
        [
            "C is torn apart: no other block of it touches column 2, row 2",
            "D can't be folded into this shape"
        ]
    );
    assert_eq!(
        says("CCC/DDD"),
        [
            "C covers 3 cells but has 2 blocks",
            "B covers 0 cells but has 1 block",
            "D can't be folded into this shape"
        ]
    );
}

proptest! {
    #[test]
    fn no_text_makes_it_panic(text in ".{0,60}", rows in "[CBDcbd./ \\n-]{0,16}", code in "[0-9A-Za-z -]{0,6}") {
        let (rules, outline) = (rules(), outline(0));
        let sheet = Sheet::new(&rules, &outline);
        for text in [text, rows, code] {
            match sheet.read(&text) {
                Ok(layout) => {
                    let _ = sheet.judge(&layout);
                    prop_assert_eq!(sheet.read(&sheet.rows(&layout)), Ok(layout));
                }
                Err(wrong) => {
                    prop_assert!(!wrong.is_empty());
                    prop_assert!(wrong.iter().all(|w| !w.to_string().contains('\n')));
                }
            }
        }
    }
}
