//! What comes of a whole set: files, records, proofs, the same every time.

#[path = "../src/samples.rs"]
mod samples;

use lattice::Set;
use solid::{About, BoardOrder, Kind, Label, PieceOrder, PlateOrder, Printer, Request, Sizes, make, sha256};

fn request(levels: u8) -> Request {
    let named = samples::pieces();
    let named = if levels == 1 { &named[..1] } else { &named[..3] };
    let set = Set { pieces: named.iter().map(|p| p.1.clone()).collect(), levels, turn_over: false };
    let pieces = named
        .iter()
        .enumerate()
        .map(|(i, (name, _))| PieceOrder {
            name: (*name).into(),
            mark: i.to_string(),
            colour: "#0072B2".into(),
            made: true,
        })
        .collect();
    let block = samples::block_of(set.blocks());
    let foldings = samples::foldings(&set, &block.open(), 3);
    assert!(!foldings.is_empty());
    Request {
        about: About { title: "Made".into(), ..About::default() },
        pieces,
        sizes: Sizes::default(),
        printer: Printer::default(),
        board: BoardOrder { width: 7, height: 7, colours: ["#333333".into(), "#DDDDDD".into()] },
        make_board: true,
        plates: vec![PlateOrder {
            name: "block".into(),
            outline: block.open(),
            label: Label { number: "1".into(), grade: "A".into() },
            colour: "#4477AA".into(),
            foldings,
        }],
        coupon: true,
        backing: true,
        beds: true,
        stl: true,
        pictures: false,
        set,
    }
}

#[test]
fn a_set_passes_all_checks_and_every_figure_is_there() {
    let request = request(2);
    let made = make(&request).unwrap();
    for part in &made.parts {
        assert_eq!(part.failures, [], "{}", part.name);
        assert!(part.closed && part.oriented && part.fits_bed && part.volume_mm3 > 0.0);
        assert!(part.overhangs.unsupported.is_empty() && part.posts == 0);
        assert!(part.least_wall.unwrap().thickness >= 0.76);
        let file = part.file.as_ref().unwrap();
        assert!(made.files.iter().any(|f| &f.name == file));
        if part.kind == Kind::Piece {
            let hinges =
                request.set.pieces[made.parts.iter().position(|p| p == part).unwrap()].hinges().len();
            assert_eq!((part.hinge_gaps.len(), part.captures.len()), (hinges, hinges));
            assert!(part.hinge_gaps.iter().all(|h| h.at.len() == 37 && h.least().0 >= 0.27));
            assert!(part.captures.iter().all(|c| c.up.max(c.down).max(c.across) <= 0.6));
            assert!(part.min_gap_mm.unwrap() >= 0.27);
        }
    }
    let board = made.parts.iter().find(|p| p.kind == Kind::Board).unwrap();
    // Base 1.6 mm in layers of 0.2: the second colour begins with layer 9.
    assert_eq!((board.colour_changes[0].height, board.colour_changes[0].layer), (1.6, 9));
    let plate = made.parts.iter().find(|p| p.kind == Kind::Plate).unwrap();
    assert_eq!(plate.places, Some(1));
    let proof = plate.proof.unwrap();
    assert_eq!((proof.foldings, proof.touches), (3, 0));
    assert!(proof.between_bodies >= 0.27 && proof.to_plate >= 0.27);
    // Everything stands on some bed, once.
    let mut laid: Vec<usize> = made.beds.iter().flat_map(|b| b.parts.iter().map(|p| p.part)).collect();
    laid.sort_unstable();
    assert!(laid.into_iter().eq(0..made.parts.len()));
    // The manifest names every other file with its digest.
    let manifest = String::from_utf8(made.files.last().unwrap().bytes.clone()).unwrap();
    assert_eq!(manifest.lines().count(), made.files.len() - 1);
    for file in &made.files[..made.files.len() - 1] {
        assert!(manifest.contains(&format!("{}  {}\n", sha256(&file.bytes), file.name)));
    }
}

#[test]
fn one_level_passes_too() {
    let made = make(&request(1)).unwrap();
    for part in &made.parts {
        assert_eq!(part.failures, [], "{}", part.name);
    }
}

#[test]
fn equal_requests_give_equal_bytes_on_any_number_of_threads() {
    let request = Request { pictures: true, ..request(2) };
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| make(&request).unwrap())
    };
    let (one, three) = (on(1), on(3));
    for (a, b) in one.files.iter().zip(&three.files) {
        assert!(a == b, "{} differs", a.name);
    }
    assert!(one == three);
}

#[test]
fn what_fails_a_check_leaves_no_file() {
    // A bed too small for the board; the pieces still fit.
    let mut small = request(2);
    small.printer.bed = [100.0, 100.0];
    small.coupon = false;
    let made = make(&small).unwrap();
    let board = made.parts.iter().find(|p| p.kind == Kind::Board).unwrap();
    assert!(board.file.is_none() && !board.fits_bed);
    assert_eq!(board.failures[0].check, "bed");
    assert!(made.files.iter().all(|f| !f.name.contains("board")));
    assert!(made.parts.iter().any(|p| p.kind == Kind::Piece && p.file.is_some()));
    assert!(made.beds.iter().all(|b| b.parts.iter().all(|p| made.parts[p.part].file.is_some())));
    // Layers that do not divide the base: the colour would change inside a layer.
    let mut odd = request(2);
    odd.sizes.base = 1.7;
    let made = make(&odd).unwrap();
    let board = made.parts.iter().find(|p| p.kind == Kind::Board).unwrap();
    assert!(board.file.is_none() && board.failures.iter().any(|f| f.check == "colour change"));
}

#[test]
fn a_turned_over_set_is_made_and_proved() {
    let mut over = request(2);
    over.set.turn_over = true;
    over.set.pieces.truncate(2);
    over.pieces.truncate(2);
    let block = samples::block_of(over.set.blocks());
    let foldings = samples::foldings(&over.set, &block.open(), 40);
    let mirrored = |f: &lattice::Folding| f.placed.iter().any(|p| p.pose.motions()[0].mirrored);
    assert!(foldings.iter().any(mirrored), "some folding has a piece on its face");
    over.plates[0].outline = block.open();
    over.plates[0].foldings = foldings;
    let made = make(&over).unwrap();
    assert!(made.parts.iter().all(|p| p.failures.is_empty()));
}
