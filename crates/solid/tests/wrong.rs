//! Wrong parameters: each gives a clear error that names them, and no file.

use lattice::{Cell, Hinge, Level, Motion, Outline, Piece, Pose, Set, Vertex};
use solid::{About, BoardOrder, Label, MakeError, PieceOrder, PlateOrder, Printer, Request, Sizes, make};

fn sound() -> Request {
    let hinge = Hinge { pin: Vertex::new(1, 1), joins: [0, 1], level: Level(0) };
    let piece = Piece::hinged(vec![Cell::new(0, 0), Cell::new(1, 0)], vec![hinge]).unwrap();
    let outline = Outline::new([Cell::new(0, 0), Cell::new(1, 0)], [Vertex::new(1, 1)], 0).unwrap();
    Request {
        about: About { title: "Wrong".into(), ..About::default() },
        set: Set { pieces: vec![piece.clone()], levels: 2, turn_over: false },
        pieces: vec![PieceOrder {
            name: "cleat".into(),
            mark: "1".into(),
            colour: "#0072B2".into(),
            made: true,
        }],
        sizes: Sizes::default(),
        printer: Printer::default(),
        board: BoardOrder { width: 4, height: 4, colours: ["#333333".into(), "#DDDDDD".into()] },
        make_board: false,
        plates: vec![PlateOrder {
            name: "slip".into(),
            outline,
            label: Label::default(),
            colour: "#4477AA".into(),
            foldings: vec![lattice::Folding {
                placed: vec![lattice::folding::Placed { piece: 0, pose: Pose::home(&piece) }],
            }],
        }],
        coupon: false,
        backing: false,
        beds: false,
        stl: false,
        pictures: false,
    }
}

/// One wrong request: what makes it wrong, and words that its error must hold.
type Wrong = (fn(&mut Request), &'static [&'static str]);

const WRONG: &[Wrong] = &[
    (|r| r.sizes.pitch = f64::NAN, &["pitch", "between"]),
    (|r| r.sizes.pitch = -15.0, &["pitch", "-15"]),
    (|r| r.sizes.pitch = 9.0, &["pitch", "knuckle", "at least"]),
    (|r| r.sizes.height = f64::INFINITY, &["height"]),
    (|r| r.sizes.height = 12.0, &["height", "levels", "12.000"]),
    (|r| r.sizes.height = 0.0, &["height", "between"]),
    (|r| r.sizes.gap = 0.0, &["gap", "between"]),
    (|r| r.sizes.gap = 0.2, &["gap", "clearance"]),
    (|r| r.sizes.gap = 1.1, &["gap", "knuckle", "bridge"]),
    (|r| r.sizes.knuckle = 1.5, &["knuckle", "pin"]),
    (|r| r.sizes.knuckle = 2.4, &["knuckle", "holds the eye"]),
    (|r| r.sizes.knuckle = 4.5, &["tile"]),
    (|r| r.sizes.clearance = 0.0, &["clearance", "between"]),
    (|r| r.sizes.clearance = 0.6, &["clearance", "nozzle"]),
    (|r| r.sizes.clearance = 0.1, &["chord_error"]),
    (|r| r.sizes.chamfer = -0.1, &["chamfer", "between"]),
    (|r| r.sizes.chamfer = 2.5, &["chamfer", "between"]),
    (|r| r.sizes.layer = 0.0, &["layer", "between"]),
    (|r| r.sizes.layer = 0.36, &["layer", "nozzle"]),
    (|r| r.sizes.first_layer = 0.4, &["first_layer", "nozzle"]),
    (|r| r.sizes.nozzle = 0.0, &["nozzle", "between"]),
    (|r| r.sizes.nozzle = 0.8, &["nozzle", "at least"]),
    (|r| r.sizes.chord_error = 0.5, &["chord_error", "between"]),
    (|r| r.sizes.mark_depth = 0.0, &["mark_depth"]),
    (|r| r.sizes.mark_depth = 0.25, &["mark_depth", "layer"]),
    (|r| r.sizes.fit = -0.2, &["fit", "between"]),
    (|r| r.sizes.fit = 0.05, &["fit", "gap"]),
    (|r| r.sizes.wall_lines = 3, &["wall_lines", "4"]),
    (|r| r.sizes.wall_lines = 9, &["wall_lines", "tile"]),
    (|r| r.sizes.base = 0.1, &["base"]),
    (|r| r.sizes.groove = 0.6, &["groove", "strip"]),
    (|r| r.sizes.seat = 0.0, &["seat"]),
    (|r| r.sizes.kerf = 2.0, &["kerf", "pitch"]),
    (|r| r.set.levels = 0, &["levels", "between"]),
    (|r| r.set.levels = 3, &["height", "levels"]),
    (|r| r.printer.bed = [10.0, 220.0], &["bed"]),
    (|r| r.printer.wall_speed = 0.0, &["wall_speed"]),
    (|r| r.printer.infill = 1.5, &["infill"]),
    (|r| r.printer.density = f64::NAN, &["density"]),
    (|r| r.printer.walls = 0, &["walls"]),
    (|r| r.pieces.clear(), &["0 pieces", "set has 1"]),
    (|r| r.pieces[0].colour = "blue".into(), &["cleat", "#RRGGBB"]),
    (|r| r.pieces[0].name = "Slip!".into(), &["slip", "name of its own"]),
    (|r| r.board.width = 0, &["board", "between 1 and 60"]),
    (|r| r.board = BoardOrder { width: 1, height: 4, ..r.board.clone() }, &["slip", "2 × 1", "1 × 4"]),
    (
        |r| r.plates[0].outline = r.plates[0].outline.with_pockets([]).unwrap(),
        &["slip", "folding 0", "no pocket"],
    ),
    (
        |r| {
            let pose = Pose::from_motions(vec![Motion::STILL, Motion::STILL.shifted(5, 0)]);
            r.plates[0].foldings[0].placed[0].pose = pose;
        },
        &["slip", "does not hold"],
    ),
];

#[test]
fn the_sound_request_is_made() {
    let made = make(&sound()).unwrap();
    assert!(made.parts.iter().all(|p| p.failures.is_empty() && p.file.is_some()));
    assert!(made.proofs[0][0].touches.is_empty());
}

#[test]
fn every_wrong_request_is_refused_with_its_reason() {
    assert!(WRONG.len() >= 30);
    for (n, (spoil, words)) in WRONG.iter().enumerate() {
        let mut request = sound();
        spoil(&mut request);
        let Err(errors) = make(&request) else { panic!("request {n} ({words:?}) was made") };
        let said: Vec<String> = errors.iter().map(ToString::to_string).collect();
        let told = said.iter().any(|s| words.iter().all(|w| s.contains(w)));
        assert!(told, "request {n}: none of {said:?} holds {words:?}");
    }
}

#[test]
fn all_mistakes_are_told_at_once() {
    let mut request = sound();
    request.sizes.pitch = -1.0;
    request.sizes.layer = 9.0;
    request.printer.walls = 0;
    request.pieces[0].colour = "red".into();
    let errors = make(&request).unwrap_err();
    assert_eq!(errors.iter().filter(|e| matches!(e, MakeError::Sizes(_))).count(), 2);
    assert!(errors.iter().any(|e| matches!(e, MakeError::Printer(_))));
    assert!(errors.iter().any(|e| matches!(e, MakeError::Colour { .. })));
}
