//! Catalogues against an enumeration of another kind: every drawing there is
//! (cell sets grown cell by cell, every choice of hinges that ties them), made
//! one where a clear swing or a turn of the whole leads from one to another.

use std::collections::{BTreeMap, BTreeSet};

use lattice::{Cell, Corner, Hinge, Level, Motion, Piece, Pose, Turn, Vertex};
use reach::{Bed, Outcome, Plan, Reach, Swings};
use scout::{Catalogue, Wanted, WantedError};

fn wanted(blocks: usize, levels: u8, loops: usize) -> Wanted {
    let bed = Bed { size: [220.0, 220.0], pitch: 15.0 };
    Wanted { blocks, levels, loops, plan: Plan::default(), bed }
}

fn catalogue(blocks: usize, levels: u8, loops: usize) -> Catalogue {
    Catalogue::of(&wanted(blocks, levels, loops)).unwrap()
}

/// A drawing up to turning and shifting: cells, and for each hinge its pin,
/// level and the cells it ties.
type Drawing = (Vec<Cell>, Vec<(Vertex, Level, [Cell; 2])>);

fn drawing(piece: &Piece, mirrored: bool) -> Drawing {
    let turned = |turn| {
        let whole = Motion::about_origin(mirrored, turn);
        let cells: Vec<Cell> = piece.blocks().iter().map(|&c| whole.cell(c)).collect();
        let (x, y) = (cells.iter().map(|c| c.x).min().unwrap(), cells.iter().map(|c| c.y).min().unwrap());
        let whole = whole.shifted(-x, -y);
        let mut cells: Vec<Cell> = piece.blocks().iter().map(|&c| whole.cell(c)).collect();
        let mut hinges: Vec<_> = piece
            .hinges()
            .iter()
            .map(|h| {
                let mut ends = h.joins.map(|b| cells[b]);
                ends.sort();
                (whole.vertex(h.pin), h.level, ends)
            })
            .collect();
        cells.sort();
        hinges.sort();
        (cells, hinges)
    };
    Turn::ALL.map(turned).into_iter().min().unwrap()
}

fn shapes(blocks: usize) -> BTreeSet<Vec<Cell>> {
    let mut all = BTreeSet::from([vec![Cell::new(0, 0)]]);
    for _ in 1..blocks {
        let mut more = BTreeSet::new();
        for shape in &all {
            for c in shape {
                for (dx, dy) in (-1..=1).flat_map(|x| (-1..=1).map(move |y| (x, y))) {
                    let mut grown = shape.clone();
                    grown.push(c.shifted(dx, dy));
                    grown.sort();
                    grown.dedup();
                    if grown.len() > shape.len() {
                        let (x, y) = (
                            grown.iter().map(|c| c.x).min().unwrap(),
                            grown.iter().map(|c| c.y).min().unwrap(),
                        );
                        more.insert(grown.iter().map(|c| c.shifted(-x, -y)).collect());
                    }
                }
            }
        }
        all = more;
    }
    all
}

/// Every drawing with so many hinges.
fn drawings(blocks: usize, levels: u8, hinges: usize) -> BTreeMap<Drawing, Piece> {
    let mut found = BTreeMap::new();
    for cells in shapes(blocks) {
        let mut options = Vec::new();
        for a in 0..blocks {
            for b in a + 1..blocks {
                for pin in Corner::ALL.map(|k| cells[a].corner(k)) {
                    if cells[b].corner_at(pin).is_some() {
                        options.extend((0..levels).map(|l| Hinge { pin, joins: [a, b], level: Level(l) }));
                    }
                }
            }
        }
        choose(&cells, &options, hinges, &mut Vec::new(), &mut found);
    }
    found
}

fn choose(
    cells: &[Cell],
    options: &[Hinge],
    left: usize,
    chosen: &mut Vec<Hinge>,
    found: &mut BTreeMap<Drawing, Piece>,
) {
    if left == 0 {
        if let Ok(piece) = Piece::hinged(cells.to_vec(), chosen.clone()) {
            found.entry(drawing(&piece, false)).or_insert(piece);
        }
        return;
    }
    for (i, &hinge) in options.iter().enumerate() {
        if options.len() - i < left || chosen.iter().any(|h| (h.pin, h.level) == (hinge.pin, hinge.level)) {
            continue;
        }
        chosen.push(hinge);
        choose(cells, &options[i + 1..], left - 1, chosen, found);
        chosen.pop();
    }
}

/// For each drawing, the first drawing of its piece.
fn pieces(drawings: &BTreeMap<Drawing, Piece>, plan: &Plan) -> BTreeMap<Drawing, Drawing> {
    let mut of: BTreeMap<Drawing, Drawing> = BTreeMap::new();
    for (first, piece) in drawings {
        if of.contains_key(first) {
            continue;
        }
        let mut stack = vec![piece.clone()];
        of.insert(first.clone(), first.clone());
        while let Some(piece) = stack.pop() {
            for swing in Swings::new(&piece, plan).from(&Pose::home(&piece)) {
                let Outcome::Clear(after) = swing.outcome else { continue };
                let after = reach::drawn(&piece, &after);
                if of.insert(drawing(&after, false), first.clone()).is_none() {
                    stack.push(after);
                }
            }
        }
    }
    of
}

/// Compares a catalogue with the drawings; returns the number of pieces.
fn compare(blocks: usize, levels: u8, loops: usize) -> usize {
    let plan = Plan::default();
    let mut drawings_all = BTreeMap::new();
    for closing in 0..=loops {
        drawings_all.extend(drawings(blocks, levels, blocks - 1 + closing));
    }
    let of = pieces(&drawings_all, &plan);
    let firsts: BTreeSet<&Drawing> = of.values().collect();
    let catalogue = catalogue(blocks, levels, loops);
    let entries = &catalogue.entries;
    let told: Vec<&Drawing> = entries.iter().map(|e| &of[&drawing(&e.piece, false)]).collect();
    let once: BTreeSet<&&Drawing> = told.iter().collect();
    assert_eq!(once.len(), entries.len(), "no piece comes twice");
    assert_eq!(entries.len(), firsts.len(), "no piece is missing");
    for (i, e) in entries.iter().enumerate() {
        assert_eq!(e.number, i + 1);
        assert_eq!(&of[&drawing(&e.piece, true)], told[e.mirror - 1], "the mirror partner");
        let over: Vec<Hinge> =
            e.piece.hinges().iter().map(|h| Hinge { level: Level(levels - 1 - h.level.0), ..*h }).collect();
        let over = Piece::hinged(e.piece.blocks().to_vec(), over).unwrap();
        assert_eq!(&of[&drawing(&over, true)], told[e.over - 1], "the piece on its face");
        let reach = Reach::of(&e.piece, levels, false, &plan);
        assert_eq!((e.folds, e.shapes), (reach.folds().len(), reach.folds().shapes().count()));
        assert_eq!((e.reached, e.farthest), (reach.reached(), reach.farthest()), "{e:?}");
    }
    entries.len()
}

#[test]
fn on_one_level_the_drawings_say_the_same() {
    let counts: Vec<usize> = (1..=6).map(|n| compare(n, 1, 0)).collect();
    assert_eq!(counts, [1, 1, 2, 7, 25, 113]);
}

#[test]
fn on_two_levels_the_drawings_say_the_same() {
    let counts: Vec<usize> = (1..=5).map(|n| compare(n, 2, 0)).collect();
    assert_eq!(counts, [1, 2, 9, 90, 1093]);
}

#[test]
fn with_loops_the_drawings_say_the_same() {
    assert_eq!(compare(3, 2, 1), catalogue(3, 2, 1).entries.len());
    assert!(compare(4, 1, 2) > compare(4, 1, 0));
}

#[test]
fn the_same_catalogue_comes_on_any_number_of_threads() {
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        format!("{:?}", pool.install(|| catalogue(4, 2, 1)))
    };
    assert_eq!(on(1), on(3));
}

#[test]
fn the_home_proposed_is_the_best_there_is() {
    for e in catalogue(4, 2, 0).entries {
        let plan = Plan::default();
        let mut swings = Swings::new(&e.piece, &plan);
        let classes = reach::Classes::of(&mut swings);
        let best = reach::Home::ranked(&e.piece, &classes, 0, &swings, wanted(4, 2, 0).bed)[0];
        let told = |h: &reach::Home| (h.too_large, h.over_nothing, h.stuck, h.sides);
        assert_eq!(told(&best), told(&e.home));
    }
}

#[test]
fn what_is_out_of_bounds_is_told_at_once() {
    let errors = Catalogue::of(&wanted(0, 4, 0)).unwrap_err();
    assert_eq!(errors, [WantedError::Blocks { found: 0 }, WantedError::Levels { found: 4 }]);
}
