//! The documents as a maker gets them: from records to a PDF.

use lattice::{Cell, Hinge, Level, Outline, Piece, Set, Vertex, drawing};
use paper::Style;
use typeset::{Booklet, Grade, Imprint, PaperSize, Problem, Rules, Table, Typesetter};

/// A made-up set: a chain of three blocks and a bent one.
fn set() -> (Set, Style) {
    let hinge = |x, y, joins| Hinge { pin: Vertex::new(x, y), joins, level: Level(0) };
    let straight = Piece::hinged(
        vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(2, 0)],
        vec![hinge(1, 1, [0, 1]), hinge(2, 1, [1, 2])],
    );
    let bent = Piece::hinged(
        vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(1, 1)],
        vec![hinge(1, 0, [0, 1]), hinge(2, 1, [1, 2])],
    );
    let pieces = vec![straight.unwrap(), bent.unwrap()];
    let style = Style::new([("oar", [0, 0x72, 0xB2]), ("thole", [0xE6, 0x9F, 0])]);
    (Set { pieces, levels: 1, turn_over: false }, style)
}

fn plate() -> Outline {
    drawing::parse("+ o o +\n # # #\n+ + + o\n # # #\n+ + + +", 0).unwrap()
}

fn imprint() -> Imprint {
    Imprint { set: "Boathouse".into(), pack: "First".into(), maker: "A maker".into(), ..Imprint::default() }
}

fn booklet<'a>(set: &'a Set, style: &'a Style, plate: &'a Outline, titles: &[&str]) -> Booklet<'a> {
    let grade = |i: usize| Grade {
        step: 1 + i as u8 % 5,
        steps: 5,
        word: ["mild", "fair", "firm", "hard", "grim"][i % 5].into(),
        minutes: Some([4.0, 2.0, 9.5]),
    };
    let problem = |(i, title): (usize, &&str)| Problem {
        number: i + 1,
        title: (*title).to_owned(),
        outline: plate,
        grade: Some(grade(i)),
    };
    Booklet {
        imprint: imprint(),
        table: Table { set, style },
        rules: Rules::default(),
        problems: titles.iter().enumerate().map(problem).collect(),
        welcome: Vec::new(),
        cautions: Vec::new(),
    }
}

/// Puts a document where it can be looked at.
fn keep(name: &str, pdf: &[u8]) {
    std::fs::write(std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name), pdf).unwrap();
}

#[test]
fn a_booklet_is_the_same_bytes_twice_and_holds_any_title() {
    let ((set, style), plate) = (set(), plate());
    let titles = [
        "Rowing home",
        "#strong[no] $x^2$ *bold* \"q\" <a> @b \\ {n}",
        "דוגית",
        "Čárka ℓ Ωμέγα Ёлка",
        "😀 boat",
    ];
    let booklet = booklet(&set, &style, &plate, &titles);
    for paper in PaperSize::ALL {
        let typesetter = Typesetter::new(paper);
        let made = typesetter.booklet(&booklet).unwrap();
        assert!(made.universal);
        assert_eq!(made.pages, 7);
        assert_eq!(made, typesetter.booklet(&booklet).unwrap());
        keep(&format!("booklet-{}.pdf", paper.word()), &made.pdf);
    }
}
