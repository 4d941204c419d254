//! The pictures as a reader of SVG and a viewer of PNG sees them.

mod harbour;

use lattice::{Cell, Fold, Folding, FoldingFault, Motion, Outline, Piece, Pose, Set, Vertex, VertexKind};
use paper::colour::luminance;
use paper::{
    FoldNote, LayoutOptions, OutlineOptions, PaperError, Pattern, Picture, Style, Tile, TileContent,
};
use resvg::tiny_skia::Pixmap;
use resvg::usvg::{Options, Tree};

fn parsed(picture: &Picture) -> Tree {
    let tree = Tree::from_str(picture.svg(), &Options::default()).expect("valid SVG");
    let (width, height) = picture.size_mm();
    assert!((f64::from(tree.size().width()) - width / 25.4 * 96.0).abs() < 0.1);
    assert!((f64::from(tree.size().height()) - height / 25.4 * 96.0).abs() < 0.1);
    tree
}

fn count(picture: &Picture, class: &str) -> usize {
    picture.svg().matches(&format!("class=\"{class}\"")).count()
}

fn tug() -> (Set, Outline, Folding) {
    let (set, plain) = (harbour::set(), harbour::tug());
    let folding = harbour::fill(&set, &plain).unwrap();
    let plate = harbour::pocketed(&set, &plain, &folding);
    assert_eq!(folding.faults(&set, &plate), []);
    (set, plate, folding)
}

const BARE: LayoutOptions<'static> = LayoutOptions { title: "", key: false, order: true };

#[test]
fn a_layout_shows_every_piece_hinge_and_pocket() {
    let (set, plate, folding) = tug();
    let picture = paper::layout(&set, &plate, &folding, &harbour::style(), &BARE).unwrap();
    parsed(&picture);
    let pins = folding.pins(&set).concat();
    assert_eq!(count(&picture, "piece"), 4);
    assert_eq!(count(&picture, "block"), 16);
    assert_eq!(count(&picture, "order"), 4);
    for level in 0..2 {
        let expected = pins.iter().filter(|p| p.level.0 == level).count();
        assert_eq!(count(&picture, &format!("hinge level-{level}")), expected);
    }
    let used = folding.footprint(&set, &plate).len();
    assert_eq!(count(&picture, "pocket used"), used);
    assert_eq!(count(&picture, "pocket empty"), plate.pockets().len() - used);
    assert!(plate.pockets().len() > used && used > 0, "the specimen has both kinds");
    assert_eq!(count(&picture, "spare"), 0);
}

#[test]
fn a_spare_cell_and_a_hint_are_drawn() {
    let (set, plain) = (harbour::set(), harbour::lighthouse());
    let folding = harbour::fill(&set, &plain).unwrap();
    let plate = harbour::pocketed(&set, &plain, &folding);
    let whole = paper::layout(&set, &plate, &folding, &harbour::style(), &BARE).unwrap();
    assert_eq!(count(&whole, "spare"), 1);
    let some = Folding { placed: folding.placed[1..3].to_vec() };
    let hint = paper::layout(&set, &plate, &some, &harbour::style(), &BARE).unwrap();
    assert_eq!((count(&hint, "piece"), count(&hint, "spare"), count(&hint, "pocket empty")), (2, 0, 0));
    let used = some.footprint(&set, &plate).len();
    assert_eq!(count(&hint, "pocket"), plate.pockets().len() - used);
}

#[test]
fn an_outline_shows_its_pockets_and_only_the_blind_ones_asked_for() {
    let plate = harbour::tug().open();
    let blind = [plate.pockets()[0], Vertex::new(99, 99)];
    let options = OutlineOptions { title: "Tug & <tow>", blind: &blind };
    let picture = paper::outline(&plate, &options).unwrap();
    parsed(&picture);
    assert_eq!(count(&picture, "pocket"), plate.vertices(VertexKind::Edge).len() - 1);
    assert_eq!(count(&picture, "pocket empty"), 1);
    assert!(picture.svg().contains("<title>Tug &amp; &lt;tow&gt;</title>"));
    assert!(picture.svg().contains("role=\"img\"") && picture.svg().contains("<desc>"));
}

#[test]
fn a_sheet_has_every_fold_and_frames_home() {
    let set = harbour::set();
    let (all, style) = (set.folds(0), &harbour::style().pieces[0]);
    let notes = vec![FoldNote { text: "2 swings".into(), unreached: false }; all.len()];
    let picture = paper::folds(&set, 0, &all, style, "", &notes).unwrap();
    parsed(&picture);
    assert_eq!(count(&picture, "fold") + count(&picture, "fold home"), all.len());
    assert_eq!(count(&picture, "fold home"), 1);
    assert_eq!(count(&picture, "shape"), all.shapes().count());
    assert_eq!(count(&picture, "block"), 4 * all.len());
    let pins = |level: u8| all.folds().iter().flat_map(|f| &f.pins).filter(|p| p.level.0 == level).count();
    // One of each in the key is not counted: it has no class.
    assert_eq!(count(&picture, "hinge level-0"), pins(0));
    assert_eq!(count(&picture, "hinge level-1"), pins(1));
    parsed(&paper::fold(&set, 0, &all.folds()[0], style, "One").unwrap());
}

#[test]
fn a_rigid_piece_is_one_body_without_hinges() {
    let ell = Piece::rigid(vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(2, 0), Cell::new(2, 1)]).unwrap();
    let set = Set { pieces: vec![ell], levels: 1, turn_over: true };
    let style = Style::new([("ell", [200, 60, 60])]);
    let picture = paper::folds(&set, 0, &set.folds(0), &style.pieces[0], "", &[]).unwrap();
    assert_eq!((count(&picture, "fold") + count(&picture, "fold home"), count(&picture, "knuckle")), (8, 0));
    // Between its blocks there is no line: the middle of a shared side has the piece's colour.
    let one =
        paper::fold(&set, 0, &Fold::of(&set.pieces[0], &Pose::home(&set.pieces[0]), 1), &style.pieces[0], "");
    let one = one.unwrap();
    let (pixels, scale) = raster(&one, 560);
    let left = (one.size_mm().0 - 30.0) / 2.0;
    // plate::MARGIN and half a block of rim above; the lower row is 10 to 20 mm below that.
    assert_eq!(probe(&pixels, scale, left + 10.0, 4.0 + 2.5 + 12.0), [200, 60, 60]);
}

#[test]
fn a_way_marks_what_moves() {
    let set = harbour::set();
    let way = harbour::way(&set.pieces[0], &[(0, 1), (1, 3), (2, 3), (1, 3), (0, 1)]);
    let picture = paper::poses(&set, 0, &way, &harbour::style().pieces[0], "A way").unwrap();
    parsed(&picture);
    assert_eq!((count(&picture, "pose"), count(&picture, "arrow")), (6, 5));
    assert_eq!((count(&picture, "moving"), count(&picture, "turn")), (5, 5));
    // The same way told in frames of its own draws the same picture.
    let shifted: Vec<Pose> = way
        .iter()
        .enumerate()
        .map(|(i, p)| p.moved(Motion::STILL.shifted(3 * i as i32, -(i as i32))))
        .collect();
    assert_eq!(picture, paper::poses(&set, 0, &shifted, &harbour::style().pieces[0], "A way").unwrap());
}

#[test]
fn a_contact_sheet_has_every_tile() {
    let (set, plate, folding) = tug();
    let style = harbour::style();
    let layout = TileContent::Layout { set: &set, outline: &plate, folding: &folding, style: &style };
    let tiles: Vec<Tile> = (0..7)
        .map(|i| Tile {
            title: "A very long name for such a small boat in the harbour",
            note: "",
            content: if i % 2 == 0 { TileContent::Outline(&plate) } else { layout },
        })
        .collect();
    let picture = paper::contact_sheet("Pack", &tiles, 3).unwrap();
    parsed(&picture);
    assert_eq!((count(&picture, "tile"), count(&picture, "plate"), count(&picture, "piece")), (7, 7, 12));
    assert_eq!(paper::contact_sheet("Pack", &[], 3), Err(PaperError::Nothing));
    parsed(&paper::contact_sheet("", &tiles[..1], 0).unwrap());
}

fn raster(picture: &Picture, width: u32) -> (Pixmap, f64) {
    let pixels = Pixmap::decode_png(&picture.png(width).unwrap()).unwrap();
    assert_eq!(pixels.width(), width);
    (pixels, f64::from(width) / picture.size_mm().0)
}

fn probe(pixels: &Pixmap, scale: f64, x: f64, y: f64) -> [u8; 3] {
    let p = pixels.pixel((x * scale) as u32, (y * scale) as u32).unwrap();
    [p.red(), p.green(), p.blue()]
}

/// Two pieces of one block each, side by side, in the same colour.
fn pair(colours: [[u8; 3]; 2], patterns: [Pattern; 2]) -> Picture {
    let block = || Piece::rigid(vec![Cell::new(0, 0)]).unwrap();
    let set = Set { pieces: vec![block(), block()], levels: 1, turn_over: false };
    let mut style = Style::new([("one", colours[0]), ("two", colours[1])]);
    for (piece, pattern) in style.pieces.iter_mut().zip(patterns) {
        piece.pattern = pattern;
    }
    let placed = (0..2)
        .map(|piece| lattice::Placed {
            piece,
            pose: Pose::from_motions(vec![Motion::STILL.shifted(piece as i32, 0)]),
        })
        .collect();
    let outline = harbour::outline("+ + +\n # #\n+ + +", 0);
    paper::layout(&set, &outline, &Folding { placed }, &style, &BARE).unwrap()
}

/// Upper left corner of the left cell of [`pair`], in millimetres.
fn pair_corner(picture: &Picture) -> (f64, f64) {
    ((picture.size_mm().0 - 20.0) / 2.0, 4.0 + 5.2)
}

#[test]
fn cells_have_the_colours_of_their_pieces() {
    let colours = [[0, 114, 178], [240, 228, 66]];
    let picture = pair(colours, [Pattern::Plain, Pattern::Waves]);
    let (pixels, scale) = raster(&picture, 800);
    let (x, y) = pair_corner(&picture);
    // Beside the letter, inside its clear patch.
    for (i, colour) in colours.into_iter().enumerate() {
        assert_eq!(probe(&pixels, scale, x + 10.0 * i as f64 + 2.9, y + 5.0), colour);
    }
    assert_eq!(probe(&pixels, scale, 0.5, 0.5), [255, 255, 255]);
    let wall = probe(&pixels, scale, x - 2.0, y + 5.0);
    assert!(luminance(wall) > 0.4 && luminance(wall) < 0.7);
    // Every pixel is opaque, to the last row.
    assert!(pixels.pixels().iter().all(|p| p.alpha() == 255));
}

#[test]
fn every_two_patterns_differ_in_grey() {
    // At 400 pixels for a plate of five cells: 50 pixels a block or fewer.
    let grey = |pixels: &Pixmap, x: u32, y: u32| {
        let p = pixels.pixel(x, y).unwrap();
        luminance([p.red(), p.green(), p.blue()])
    };
    let mut least = (f64::MAX, "", "");
    for (i, &a) in Pattern::ALL.iter().enumerate() {
        for &b in &Pattern::ALL[..i] {
            let picture = pair([[170, 170, 170]; 2], [a, b]);
            let (pixels, scale) = raster(&picture, 280);
            let (left, top) = pair_corner(&picture);
            let side = 10.0 * scale;
            let (mut sum, mut n) = (0.0, 0.0);
            // The block less border and letter, as the patterns differ, not the letters.
            for dy in 0..side as u32 {
                for dx in 0..side as u32 {
                    let (x, y) = (f64::from(dx) / side - 0.5, f64::from(dy) / side - 0.5);
                    if x.abs().max(y.abs()) > 0.42 || x.hypot(y) < 0.26 {
                        continue;
                    }
                    let at = |x: f64| grey(&pixels, (x * scale) as u32 + dx, (top * scale) as u32 + dy);
                    sum += (at(left) - at(left + 10.0)).abs();
                    n += 1.0;
                }
            }
            if sum / n < least.0 {
                least = (sum / n, a.name(), b.name());
            }
        }
    }
    println!("least mean difference in luminance: {least:?}");
    assert!(least.0 > 0.04, "{least:?}");
}

#[test]
fn equal_input_gives_equal_bytes() {
    let draw = || {
        let (set, plate, folding) = tug();
        let options = LayoutOptions { title: "Tug", ..LayoutOptions::default() };
        paper::layout(&set, &plate, &folding, &harbour::style(), &options).unwrap()
    };
    let (a, b) = (draw(), draw());
    assert_eq!(a.svg(), b.svg());
    assert_eq!(a.png(400).unwrap(), b.png(400).unwrap());
    // Every coordinate has two decimals: none is written in another way.
    let data = a.svg().split(" d=\"").skip(1).map(|rest| rest.split('"').next().unwrap());
    for number in data.flat_map(|d| d.split(|c: char| c.is_ascii_alphabetic() || c == ' ')) {
        assert!(
            number.is_empty() || number.len() == 1 || number.split('.').nth(1).is_some_and(|t| t.len() == 2)
        );
    }
}

#[test]
fn wrong_requests_are_told_and_never_panic() {
    let (set, plate, folding) = tug();
    let style = harbour::style();
    let with = |folding: &Folding, style: &Style| paper::layout(&set, &plate, folding, style, &BARE);

    let mut short = style.clone();
    short.pieces.pop();
    assert_eq!(with(&folding, &short), Err(PaperError::StyleCount { pieces: 4, styles: 3 }));
    let mut odd = style.clone();
    odd.pieces[1].letter = '\u{1b}';
    assert_eq!(with(&folding, &odd), Err(PaperError::BadLetter { letter: '\u{1b}' }));
    let mut wrong = folding.clone();
    wrong.placed[0].piece = 9;
    assert_eq!(with(&wrong, &style), Err(PaperError::NoSuchPiece { piece: 9, pieces: 4 }));
    let mut wrong = folding.clone();
    wrong.placed[0].pose = Pose::from_motions(vec![]);
    assert_eq!(with(&wrong, &style), Err(PaperError::PoseMismatch { piece: 0, bodies: 4, motions: 0 }));
    let mut wrong = folding.clone();
    wrong.placed[0].pose = wrong.placed[0].pose.moved(Motion::STILL.shifted(-1, 0));
    let Err(PaperError::NotAFolding { faults }) = with(&wrong, &style) else { panic!("drawn") };
    assert!(faults.iter().any(|f| matches!(f, FoldingFault::Overlap { .. })));
    wrong.placed[0].pose = wrong.placed[0].pose.moved(Motion::STILL.shifted(i32::MAX / 2, 0));
    assert!(matches!(with(&wrong, &style), Err(PaperError::FarAway { .. })));

    let mut low = set.clone();
    low.levels = 1;
    let all = set.folds(0);
    let told = paper::folds(&low, 0, &all, &style.pieces[0], "", &[]);
    assert_eq!(told, Err(PaperError::LevelOutsideSet { piece: 0, hinge: 1, level: 1, levels: 1 }));
    let torn =
        Pose::from_motions(vec![Motion::STILL, Motion::STILL, Motion::STILL.shifted(2, 0), Motion::STILL]);
    let told = paper::poses(&set, 0, &[torn], &style.pieces[0], "");
    assert_eq!(told, Err(PaperError::Torn { pose: 0, piece: 0, hinge: 1 }));
    assert_eq!(paper::poses(&set, 0, &[], &style.pieces[0], ""), Err(PaperError::Nothing));
    let folded =
        Pose::from_motions(harbour::way(&set.pieces[0], &[(0, 3), (1, 1), (2, 3)])[2].motions().to_vec());
    let told = paper::poses(&set, 0, &[Pose::home(&set.pieces[0]), folded], &style.pieces[0], "");
    assert_eq!(told, Err(PaperError::Overlap { pose: 1, piece: 0 }));

    let wide = Outline::new([Cell::new(0, 0), Cell::new(5000, 0)], [], 0).unwrap();
    let told = paper::outline(&wide, &OutlineOptions::default());
    assert_eq!(told, Err(PaperError::TooWide { width: 5001, height: 1 }));
    let far = Outline::new([Cell::new(i32::MIN, 0), Cell::new(i32::MAX - 1, 0)], [], 0).unwrap();
    assert!(matches!(paper::outline(&far, &OutlineOptions::default()), Err(PaperError::FarAway { .. })));
}

#[test]
fn absurd_sizes_are_refused_before_memory_is_taken() {
    let picture = paper::outline(&harbour::tug(), &OutlineOptions::default()).unwrap();
    assert_eq!(picture.png(0), Err(PaperError::NoPixels));
    assert!(matches!(picture.png(u32::MAX), Err(PaperError::TooManyPixels { .. })));
    assert!(matches!(picture.png(20_000), Err(PaperError::TooManyPixels { .. })));
    assert!(picture.png(1).is_ok());
}

#[test]
fn a_sheet_of_pieces_shows_each_at_home_with_its_name() {
    let (set, style) = (harbour::set(), harbour::style());
    let tiles: Vec<paper::PieceTile<'_>> = set
        .pieces
        .iter()
        .zip(&style.pieces)
        .map(|(piece, style)| paper::PieceTile { piece, style, title: "a & <b>", note: "1 fold" })
        .collect();
    let sheet = paper::pieces("Pieces & more", &tiles, set.levels, 3).unwrap();
    assert_eq!(sheet.svg().matches("<g class=\"piece\">").count(), set.pieces.len());
    assert!(sheet.svg().contains("a &amp; &lt;b&gt;") && !sheet.svg().contains("<b>"));
    assert!(Tree::from_str(sheet.svg(), &Options::default()).is_ok());
    assert_eq!(sheet, paper::pieces("Pieces & more", &tiles, set.levels, 3).unwrap());
    assert_eq!(paper::pieces("", &[], 2, 3), Err(PaperError::Nothing));
    let low = paper::pieces("", &tiles, 1, 3);
    assert!(matches!(low, Err(PaperError::LevelOutsideSet { .. })));
}
