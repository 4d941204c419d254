//! Outlines from nothing, against growing them a cell at a time.

use std::collections::BTreeSet;

use lattice::Cell;
use scout::outlines::{Found, Holes, Joined, Outlines, Symmetry, Wanted, normal};

/// Every fixed shape of `size` cells with neighbours at `steps`, settled at the origin.
fn grown(size: usize, steps: &[(i32, i32)]) -> BTreeSet<Vec<Cell>> {
    let mut shapes = BTreeSet::from([vec![Cell::new(0, 0)]]);
    for _ in 1..size {
        let mut larger = BTreeSet::new();
        for shape in &shapes {
            for from in shape {
                for &(dx, dy) in steps {
                    let cell = from.shifted(dx, dy);
                    if !shape.contains(&cell) {
                        larger.insert(settled(shape.iter().copied().chain([cell])));
                    }
                }
            }
        }
        shapes = larger;
    }
    shapes
}

fn settled(cells: impl Iterator<Item = Cell>) -> Vec<Cell> {
    let mut cells: Vec<Cell> = cells.collect();
    let dx = cells.iter().map(|c| c.x).min().unwrap();
    let dy = cells.iter().map(|c| c.y).min().unwrap();
    cells.iter_mut().for_each(|c| *c = c.shifted(-dx, -dy));
    cells.sort_unstable();
    cells
}

const STEPS: [(i32, i32); 8] = [(1, 0), (0, 1), (-1, 0), (0, -1), (1, 1), (-1, 1), (-1, -1), (1, -1)];

/// Whether cells outside a shape, up to one step round it, hang together by `steps`.
fn one_outside(shape: &[Cell], steps: &[(i32, i32)]) -> bool {
    let (w, h) = size(shape);
    let wall = |c: Cell| (-1..=w).contains(&c.x) && (-1..=h).contains(&c.y) && !shape.contains(&c);
    let mut met = BTreeSet::from([Cell::new(-1, -1)]);
    let mut open = vec![Cell::new(-1, -1)];
    while let Some(cell) = open.pop() {
        let near = steps.iter().map(|&(dx, dy)| cell.shifted(dx, dy));
        open.extend(near.filter(|&c| wall(c) && met.insert(c)));
    }
    met.len() as i32 == (w + 2) * (h + 2) - shape.len() as i32
}

fn size(shape: &[Cell]) -> (i32, i32) {
    (shape.iter().map(|c| c.x).max().unwrap() + 1, shape.iter().map(|c| c.y).max().unwrap() + 1)
}

/// What the catalogue should have, by definition.
fn expected(wanted: &Wanted) -> BTreeSet<Vec<Cell>> {
    let steps = if wanted.joined == Joined::Sides { &STEPS[..4] } else { &STEPS[..] };
    let (long, short) = (wanted.width.max(wanted.height) as i32, wanted.width.min(wanted.height) as i32);
    let fits = |shape: &[Cell]| {
        let (w, h) = size(shape);
        w.max(h) <= long && w.min(h) <= short
    };
    let whole = |shape: &[Cell]| match wanted.holes {
        Holes::Allowed => true,
        Holes::HungByCorners => one_outside(shape, &STEPS),
        Holes::None => one_outside(shape, &STEPS[..4]),
    };
    grown(wanted.cells, steps)
        .into_iter()
        .filter(|s| fits(s) && whole(s) && wanted.symmetries.contains(&Symmetry::of(s).unwrap()))
        .map(|s| normal(&s, wanted.mirrors_as_one).unwrap())
        .collect()
}

/// Walks all positions; asserts that no outline comes twice and that counts are right.
fn walked(wanted: &Wanted) -> Vec<Found> {
    let outlines = Outlines::of(wanted).unwrap();
    let found: Vec<Found> = outlines.walk(0..outlines.positions()).collect();
    let distinct: BTreeSet<&Vec<Cell>> = found.iter().map(|f| &f.cells).collect();
    assert_eq!(distinct.len(), found.len(), "an outline came twice: {wanted:?}");
    for symmetry in Symmetry::ALL {
        let met = found.iter().filter(|f| f.symmetry == symmetry).count() as u128;
        let counted = outlines.counts().iter().filter(|c| c.symmetry == symmetry).map(|c| c.outlines).sum();
        assert_eq!(met, counted, "{symmetry} of {wanted:?}");
    }
    assert!(found.iter().all(|f| Symmetry::of(&f.cells) == Some(f.symmetry)));
    found
}

fn every_rule() -> impl Iterator<Item = (Joined, Holes, bool)> {
    let rules = [
        (Joined::Sides, Holes::Allowed),
        (Joined::Sides, Holes::HungByCorners),
        (Joined::Sides, Holes::None),
        (Joined::SidesOrCorners, Holes::Allowed),
        (Joined::SidesOrCorners, Holes::None),
    ];
    rules.into_iter().flat_map(|(joined, holes)| [(joined, holes, false), (joined, holes, true)])
}

#[test]
fn every_outline_is_met_once_in_its_normal_form() {
    for (joined, holes, mirrors_as_one) in every_rule() {
        let most = if joined == Joined::Sides { 9 } else { 7 };
        for cells in 1..=most {
            let wanted = Wanted { joined, holes, mirrors_as_one, ..Wanted::new(cells, 16, 16) };
            let met: BTreeSet<Vec<Cell>> = walked(&wanted).into_iter().map(|f| f.cells).collect();
            assert_eq!(met, expected(&wanted), "{wanted:?}");
        }
    }
}

#[test]
fn a_box_and_classes_are_kept_to() {
    for (joined, holes, mirrors_as_one) in every_rule() {
        let symmetries = vec![Symmetry::QuarterTurn, Symmetry::Mirror, Symmetry::Full];
        let wanted = Wanted { joined, holes, mirrors_as_one, symmetries, ..Wanted::new(8, 3, 4) };
        let met: BTreeSet<Vec<Cell>> = walked(&wanted).into_iter().map(|f| f.cells).collect();
        assert_eq!(met, expected(&wanted), "{wanted:?}");
    }
}

/// Symmetric outlines large enough for rings, and rings in rings.
#[test]
fn what_is_made_without_holes_is_what_is_left_of_all() {
    let symmetries: Vec<Symmetry> = Symmetry::ALL[1..].to_vec();
    for (joined, holes, mirrors_as_one) in every_rule().filter(|r| r.1 != Holes::Allowed) {
        let most = if joined == Joined::Sides { 16 } else { 10 };
        for cells in [most - 2, most - 1, most] {
            let all = Wanted {
                joined,
                holes: Holes::Allowed,
                mirrors_as_one,
                symmetries: symmetries.clone(),
                ..Wanted::new(cells, 9, 8)
            };
            let steps = if holes == Holes::None { &STEPS[..4] } else { &STEPS[..] };
            let left: Vec<Found> =
                walked(&all).into_iter().filter(|f| one_outside(&f.cells, steps)).collect();
            let mut made = walked(&Wanted { holes, ..all });
            let mut left = left;
            made.sort_by(|a, b| a.cells.cmp(&b.cells));
            left.sort_by(|a, b| a.cells.cmp(&b.cells));
            assert_eq!(made.len(), left.len());
            assert!(made == left);
        }
    }
}

#[test]
fn shards_and_stops_change_nothing() {
    let outlines = Outlines::of(&Wanted::new(11, 7, 6)).unwrap();
    let whole: Vec<Found> = outlines.walk(0..outlines.positions()).collect();
    for of in [1, 3, 8] {
        let mut joined = Vec::new();
        for shard in 0..of {
            let range = outlines.shard(shard, of);
            // Stopped after every seventh and gone on from a new start.
            let mut position = range.start;
            while position < range.end {
                let again = Outlines::of(&Wanted::new(11, 7, 6));
                let outlines = if position.is_multiple_of(5) { &again.unwrap() } else { &outlines };
                let mut walk = outlines.walk(position..range.end);
                joined.extend(walk.by_ref().take(700));
                position = walk.position();
            }
        }
        assert!(joined == whole);
    }
    assert!(
        outlines.shard(8, 8).is_empty()
            && outlines.shard(0, 0).is_empty()
            && outlines.at(outlines.positions()).is_none()
    );
}

#[test]
fn shards_hold_as_many_outlines_as_each_other() {
    let outlines = Outlines::of(&Wanted::new(12, 8, 8)).unwrap();
    let mean = outlines.outlines() as f64 / 8.0;
    for shard in 0..8 {
        let found = outlines.walk(outlines.shard(shard, 8)).count() as f64;
        assert!((found / mean - 1.0).abs() < 0.05, "shard {shard} has {found} of {mean}");
    }
}

#[test]
fn drawing_to_the_end_meets_all_once() {
    let outlines = Outlines::of(&Wanted::new(10, 5, 6)).unwrap();
    let sorted = |mut found: Vec<Found>| {
        found.sort_by(|a, b| a.cells.cmp(&b.cells));
        found
    };
    let positions = outlines.positions();
    let drawn: Vec<Found> = outlines.sample(3, 0..positions).collect();
    let walked: Vec<Found> = outlines.walk(0..positions).collect();
    assert!(drawn != walked);
    assert!(sorted(drawn.clone()) == sorted(walked));
    let mut first = outlines.sample(3, 0..positions);
    let mut resumed: Vec<Found> = first.by_ref().take(10).collect();
    resumed.extend(outlines.sample(3, first.draw()..positions));
    assert!(resumed == drawn);
    assert_eq!(outlines.counts().iter().map(|c| c.outlines).sum::<u128>(), drawn.len() as u128);
}

#[test]
fn full_boxes_hold_one_and_what_can_not_be_held_is_refused() {
    for side in [1, 7, 14] {
        let full = Outlines::of(&Wanted::new(side * side, side, side)).unwrap();
        let found: Vec<Found> = full.walk(0..full.positions()).collect();
        assert_eq!((found.len(), found[0].symmetry), (1, Symmetry::Full));
    }
    let refused = Outlines::of(&Wanted::new(256, 16, 16)).err().unwrap();
    assert!(refused[0].to_string().contains("smaller box"), "{refused:?}");
}
