//! The documents as a maker gets them: from records to a PDF.

use lattice::{
    Cell, Folding, Hinge, Level, Motion, Outline, Piece, Placed, Pose, Set, Turn, Vertex, drawing,
};
use paper::Style;
use typeset::{
    Answered, Answers, Booklet, Cards, Date, Document, Goal, Grade, Imprint, MakeBed, MakePart, MakersSheet,
    Opening, PaperSize, PartKind, Plan, PlatePlan, Problem, Rank, Ranking, Rules, Settings, Shown, Standings,
    Table, TypesetError, Typesetter, Way, Words,
};

/// A made-up set: a chain of three blocks and a bent one.
fn set() -> (Set, Style) {
    let hinge = |x, y, joins| Hinge { pin: Vertex::new(x, y), joins, level: Level(0) };
    let straight = Piece::hinged(
        vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(2, 0)],
        vec![hinge(1, 1, [0, 1]), hinge(2, 1, [1, 2])],
    );
    let bent = Piece::hinged(
        vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(1, 1)],
        vec![hinge(1, 1, [0, 1]), hinge(2, 1, [1, 2])],
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

/// Both pieces laid into the plate: the second one's last block swung back.
fn answers<'a>(set: &'a Set, style: &'a Style, plate: &'a Outline, folding: &'a Folding) -> Answers<'a> {
    let bent = &set.pieces[1];
    let half_way = vec![Motion::STILL, Motion::STILL, Motion::about(Vertex::new(2, 1), Turn::new(3))];
    let poses = vec![Pose::home(bent), Pose::from_motions(half_way), folding.placed[1].pose.clone()];
    let way = Way { piece: 1, poses };
    let answered = Answered {
        number: 1,
        title: "Rowing home".into(),
        outline: plate,
        grade: None,
        different: "1".into(),
        layouts: "1".into(),
        interlocked: String::new(),
        complete: true,
        shown: vec![Shown { folding, ways: vec![way] }],
    };
    Answers { imprint: imprint(), table: Table { set, style }, outlines: vec![answered] }
}

/// The lower row by the chain, the upper one by the bent piece, stretched.
fn folding(set: &Set) -> Folding {
    let stretched = vec![Motion::STILL, Motion::STILL, Motion::about(Vertex::new(2, 1), Turn::new(2))];
    let poses =
        [Pose::home(&set.pieces[0]), Pose::from_motions(stretched).moved(Motion::STILL.shifted(0, 1))];
    Folding { placed: poses.into_iter().enumerate().map(|(piece, pose)| Placed { piece, pose }).collect() }
}

fn makers_sheet() -> MakersSheet {
    let part = |name: &str, copies, changes: &[f64]| MakePart {
        name: name.into(),
        kind: PartKind::Piece,
        file: format!("pieces/{name}.3mf"),
        copies,
        colour: "#0072B2".into(),
        minutes: 61.4,
        grams: 12.25,
        changes: changes.to_vec(),
        small: true,
    };
    let bed = MakeBed { file: "beds/1.3mf".into(), parts: vec!["oar".into()], minutes: 130.0, grams: 36.75 };
    MakersSheet {
        imprint: imprint(),
        parts: vec![part("oar", 2, &[]), part("thole", 1, &[14.2])],
        beds: vec![bed],
        settings: Some(Settings { material: "PLA".into(), layer: 0.2, ..Settings::default() }),
        ..MakersSheet::default()
    }
}

fn plan(width: f64, height: f64) -> Plan {
    let square = |inset: f64| {
        let (x, y) = (width - inset, height - inset);
        vec![[inset, inset], [x, inset], [x, y], [inset, y]]
    };
    let wall = vec![square(0.0), square(4.0)];
    let plate = PlatePlan { number: 1, title: "Rowing home".into(), wall, pitch: 15.0 };
    Plan { imprint: imprint(), plates: vec![plate] }
}

fn opening() -> Opening {
    let text = |t: &str| t.to_owned();
    Opening {
        imprint: imprint(),
        race: "Regatta".into(),
        times: [text("2026-12-01T12:00:00+01:00"), text("2027-01-31T12:00:00+01:00")],
        // FIPS 180-4's example for "abc".
        commitment: text("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        recipe: vec![text("Take the file."), text("Hash it.")],
        goals: vec![Goal {
            title: text("First with all"),
            told: text("Of the pack."),
            prize: text("A board"),
        }],
        rules: vec![text("One entry each.")],
        tie: text("The earlier receipt counts."),
        outlines: (1..=30).map(|n| (n, format!("Rowing home {n}"))).collect(),
        forecast: vec![(text("First finish"), text("after 2 to 9 days"))],
        ..Opening::default()
    }
}

fn standings(entrants: usize) -> Standings {
    let rank = |i: usize| Rank {
        place: (i + 1).to_string(),
        name: format!("Entrant {i}"),
        mark: "7K2F-9".into(),
        reached: "4 of 4".into(),
        time: "2026-12-02T08:15:30+01:00".into(),
        note: if i == 1 { "late".into() } else { String::new() },
    };
    let goal = Goal { title: "First with all".into(), ..Goal::default() };
    Standings {
        imprint: imprint(),
        race: "Regatta".into(),
        moment: "2026-12-24T00:00:00Z".into(),
        rankings: vec![Ranking { goal, ranks: (0..entrants).map(rank).collect() }],
        tie: "The earlier receipt counts.".into(),
        ..Standings::default()
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
        assert_eq!(made.pages, 6);
        assert_eq!(made, typesetter.booklet(&booklet).unwrap());
        keep(&format!("booklet-{}.pdf", paper.word()), &made.pdf);
    }
}

#[test]
fn every_document_is_held_to_the_standard_and_the_same_bytes_twice() {
    let ((set, style), plate) = (set(), plate());
    let folding = folding(&set);
    assert_eq!(folding.faults(&set, &plate), []);
    let answers = answers(&set, &style, &plate, &folding);
    let cards = Cards { imprint: imprint(), problems: booklet(&set, &style, &plate, &["Oar"; 10]).problems };
    type Make<'a> = &'a dyn Fn(&Typesetter) -> Result<Document, TypesetError>;
    // Name, pages, how it is made.
    let all: [(&str, usize, Make<'_>); 7] = [
        ("cards", 4, &|t| t.cards(&cards)),
        ("answers", 2, &|t| t.answers(&answers)),
        ("makers-sheet", 1, &|t| t.makers_sheet(&makers_sheet())),
        ("plan", 1, &|t| t.plan(&plan(120.0, 90.0))),
        ("plan-large", 4, &|t| t.plan(&plan(250.0, 260.0))),
        ("opening", 2, &|t| t.opening(&opening())),
        ("standings", 2, &|t| t.standings(&standings(60))),
    ];
    for (name, pages, make) in all {
        for paper in PaperSize::ALL {
            let typesetter = Typesetter::new(paper);
            let made = make(&typesetter).unwrap_or_else(|e| panic!("{name}: {e}"));
            assert!(made.universal, "{name}");
            assert_eq!(made.pages, pages, "{name} on {}", paper.word());
            assert_eq!(made, make(&typesetter).unwrap(), "{name}");
            keep(&format!("{name}-{}.pdf", paper.word()), &made.pdf);
        }
    }
}

#[test]
fn what_cannot_be_printed_is_told_with_its_text() {
    let ((set, style), plate) = (set(), plate());
    let refused = |title: &str| {
        Typesetter::new(PaperSize::A4).booklet(&booklet(&set, &style, &plate, &["Oar", title])).unwrap_err()
    };
    let TypesetError::NoGlyph { missing } = refused("港の船 ok") else { panic!("not told as missing") };
    let characters: Vec<char> = missing.iter().map(|m| m.0).collect();
    assert_eq!(characters, ['の', '港', '船']);
    assert!(missing.iter().all(|m| m.1 == "港の船 ok"));
    assert!(refused("港").to_string().contains("U+6E2F) in \"港\""), "{}", refused("港"));
    assert!(matches!(refused("bell\u{7}"), TypesetError::Unprintable { character: '\u{7}', .. }));
    assert!(matches!(refused("mine \u{E000}"), TypesetError::Unprintable { .. }));
    let font = Typesetter::new(PaperSize::A4).with_font(b"no font".to_vec()).unwrap_err();
    assert_eq!(font, TypesetError::BadFont { number: 1 });
}

#[test]
fn a_script_without_a_meaning_for_each_glyph_is_set_all_the_same() {
    let ((set, style), plate) = (set(), plate());
    let titles = ["مركب صغير", "e\u{301} 😀 \u{200F}x"];
    let made = Typesetter::new(PaperSize::A4).booklet(&booklet(&set, &style, &plate, &titles)).unwrap();
    keep("arabic.pdf", &made.pdf);
    // Tagged whether or not it could be held to the standard.
    assert!(String::from_utf8_lossy(&made.pdf).contains("/StructTreeRoot"));
}

#[test]
fn a_date_and_a_language_are_what_the_caller_says() {
    let ((set, style), plate) = (set(), plate());
    let mut booklet = booklet(&set, &style, &plate, &["Ruder"]);
    booklet.imprint.date = Some(Date { year: 2026, month: 2, day: 30 });
    let typesetter = Typesetter::new(PaperSize::A4);
    assert!(matches!(typesetter.booklet(&booklet), Err(TypesetError::BadDate { day: 30, .. })));
    booklet.imprint.date = Some(Date { year: 2026, month: 2, day: 28 });
    let words = Words::english();
    let same = words.sentences().map(|(k, t)| (k.to_owned(), t.to_owned()));
    let other = typesetter.clone().with_words(Words::new("de", same).unwrap());
    let text = |t: &Typesetter| String::from_utf8_lossy(&t.booklet(&booklet).unwrap().pdf).into_owned();
    assert!(text(&typesetter).contains("/Lang(en)") && text(&other).contains("/Lang(de)"));
    assert!(text(&typesetter).contains("D:20260228"));
}
