//! Text pictures, letter by letter.

mod harbour;

use lattice::{Fold, Pose, Set};
use paper::Style;
use paper::terminal::{self, Look};

const ASCII: Look = Look { ascii: true, colour: false };

fn same(drawn: &str, expected: &str) {
    let expected = expected.strip_prefix('\n').unwrap();
    assert_eq!(drawn, expected, "\ndrawn:\n{drawn}\nexpected:\n{expected}");
}

fn tug() -> (Set, lattice::Outline, lattice::Folding) {
    let (set, plain) = (harbour::set(), harbour::tug());
    let folding = harbour::fill(&set, &plain).unwrap();
    (set.clone(), harbour::pocketed(&set, &plain, &folding), folding)
}

#[test]
fn a_layout_in_box_characters() {
    let (set, plate, folding) = tug();
    let drawn = terminal::layout(&set, &plate, &folding, &harbour::style(), Look::default()).unwrap();
    same(
        &drawn,
        "
        ┏━━━◦━━━┓
        ┃ A   A ┃
        ┠───•   ┗━━━┓
        ┃ R │ A   A ┃
┏━━━•━━━o   •───◦───o━━━┓
┃ R   R   R │ B │ C   C ┃
┗━━━┱───◉───┘   ◉       •
    ┃ B   B   B │ C   C ┃
    ┗━━━━━━━•━━━┷━━━◦━━━┛
• hinge on level 0   ◦ hinge on level 1   ◉ hinges on levels 0 and 1   o empty pocket
drop in: C, A, B, R
",
    );
}

#[test]
fn a_layout_in_plain_ascii() {
    let (set, plate, folding) = tug();
    let drawn = terminal::layout(&set, &plate, &folding, &harbour::style(), ASCII).unwrap();
    same(
        &drawn,
        "
        ####1####
        # A   A #
        #---0   #####
        # R | A   A #
####0###o   0---1---o####
# R   R   R | B | C   C #
#####---%---+   %       0
    # B   B   B | C   C #
    ########0#######1####
0 hinge on level 0   1 hinge on level 1   % hinges on levels 0 and 1   o empty pocket
drop in: C, A, B, R
",
    );
    assert!(drawn.is_ascii());
}

#[test]
fn colour_only_when_asked_and_switched_off_on_each_line() {
    let (set, plate, folding) = tug();
    let style = harbour::style();
    let plain = terminal::layout(&set, &plate, &folding, &style, Look::default()).unwrap();
    assert!(!plain.contains('\u{1b}'));
    let look = Look { colour: true, ..Look::default() };
    let coloured = terminal::layout(&set, &plate, &folding, &style, look).unwrap();
    assert!(coloured.contains("\u{1b}[48;2;0;114;178;38;2;255;255;255m C   C \u{1b}[0m"));
    // Without the colours it is the plain drawing, to the letter.
    let mut bare = String::new();
    for (i, part) in coloured.split("\u{1b}[").enumerate() {
        bare.push_str(if i == 0 { part } else { part.split_once('m').unwrap().1 });
    }
    assert_eq!(bare, plain);
    let open = |line: &str| line.rfind("\u{1b}[48").unwrap_or(0) <= line.rfind("\u{1b}[0m").unwrap_or(0);
    assert!(coloured.lines().all(open));
}

#[test]
fn an_outline_with_pockets_and_a_hole() {
    let ring = harbour::outline("+ o + +\n # # #\n+ + + +\n # . #\n+ + o +\n # # #\n+ + + +", 0);
    same(
        &terminal::outline(&ring, Look::default()).unwrap(),
        "
┏━━━o━━━━━━━┓
┃           ┃
┃   ┏━━━┓   ┃
┃   ┃   ┃   ┃
┃   ┗━━━o   ┃
┃           ┃
┗━━━━━━━━━━━┛
o pocket
",
    );
    let apart = harbour::outline("+ + +\n # .\n+ + +\n . #\n+ + +", 0);
    same(
        &terminal::outline(&apart, ASCII).unwrap(),
        "
#####
#   #
#########
    #   #
    #####
",
    );
}

#[test]
fn a_fold_has_a_box_for_each_block() {
    let set = harbour::set();
    let home = Fold::of(&set.pieces[0], &Pose::home(&set.pieces[0]), set.levels);
    let style = &harbour::style().pieces[0];
    same(
        &terminal::fold(&set, 0, &home, style, Look::default()).unwrap(),
        "
        ┌───┐
        │ C │
┌───•───┼───•
│ C │ C │ C │
└───┴───◦───┘
• hinge on level 0   ◦ hinge on level 1
",
    );
    same(
        &terminal::fold(&set, 0, &home, style, ASCII).unwrap(),
        "
        +---+
        | C |
+---0---+---0
| C | C | C |
+---+---1---+
0 hinge on level 0   1 hinge on level 1
",
    );
}

#[test]
fn an_interlocked_layout_says_so() {
    // Two bars along two shared vertices, each below the other once.
    let piece = |pins: [(i32, i32, u8); 2]| harbour::chain(&[(0, 0), (1, 0), (2, 0)], &pins);
    let set = Set {
        pieces: vec![piece([(1, 1, 0), (2, 1, 1)]), piece([(1, 0, 1), (2, 0, 0)])],
        levels: 2,
        turn_over: false,
    };
    let outline = harbour::outline("+ + + +\n # # #\n+ + + +\n # # #\n+ + + +", 0);
    let up = lattice::Motion::STILL.shifted(0, 1);
    let placed = [(0, Pose::home(&set.pieces[0])), (1, Pose::home(&set.pieces[1]).moved(up))];
    let placed = placed.map(|(piece, pose)| lattice::Placed { piece, pose }).to_vec();
    let style = Style::new([("bow", [0, 0, 0]), ("stern", [255, 255, 255])]);
    let folding = lattice::Folding { placed };
    let drawn = terminal::layout(&set, &outline, &folding, &style, Look::default()).unwrap();
    assert!(drawn.ends_with("interlocked: B before S before B\n"), "{drawn}");
    let picture = paper::layout(&set, &outline, &folding, &style, &paper::LayoutOptions::default()).unwrap();
    assert!(picture.svg().contains("Interlocked, does not drop in: B before S before B."));
}
