//! The rules of swings, as a maker would say them.

use std::collections::BTreeMap;

use lattice::{Cell, Corner, Fold, FoldSet, Hinge, Level, Motion, Piece, Pin, Pose, Turn, Vertex};
use proptest::prelude::*;
use reach::{Outcome, Plan, Reach, Sizes, Swings};

fn piece(cells: &[(i32, i32)], hinges: &[(i32, i32, usize, usize, u8)]) -> Piece {
    let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let hinge = |&(x, y, a, b, level): &(i32, i32, usize, usize, u8)| Hinge {
        pin: Vertex::new(x, y),
        joins: [a, b],
        level: Level(level),
    };
    Piece::hinged(blocks, hinges.iter().map(hinge).collect()).unwrap()
}

fn plain(piece: &Piece) -> Reach {
    Reach::of(piece, 2, false, &Plan::default())
}

/// A tree of hinges grown from one block, as far as the choices allow.
fn tree() -> impl Strategy<Value = Piece> {
    let choice = (any::<prop::sample::Index>(), 0u8..4, 1u8..4, 0u8..2);
    prop::collection::vec(choice, 1..6).prop_map(|choices| {
        let (mut blocks, mut hinges) = (vec![Cell::new(0, 0)], Vec::<Hinge>::new());
        for (from, corner, quadrant, level) in choices {
            let (from, level) = (from.index(blocks.len()), Level(level));
            let pin = blocks[from].corner(Corner::new(corner));
            let cell = pin.quadrant(Corner::new(corner + 2 + quadrant));
            if !blocks.contains(&cell) && !hinges.iter().any(|h| (h.pin, h.level) == (pin, level)) {
                hinges.push(Hinge { pin, joins: [from, blocks.len()], level });
                blocks.push(cell);
            }
        }
        Piece::hinged(blocks, hinges).unwrap()
    })
}

/// Sizes from slim, with wide gaps, to stout.
fn plan() -> impl Strategy<Value = Plan> {
    (0.1..0.8f64, 1.0..6.0f64, 0.1..0.8f64).prop_map(|(gap, knuckle, clearance)| {
        Plan::new(Sizes { pitch: 15.0, gap, knuckle, clearance }).unwrap()
    })
}

/// Distances of folds, by cells and pins.
fn told(reach: &Reach) -> BTreeMap<(Vec<Cell>, Vec<Pin>), Option<u32>> {
    let folds = reach.folds().folds().iter().enumerate();
    folds.map(|(i, f)| ((f.cells.clone(), f.pins.clone()), reach.distance(i))).collect()
}

/// The piece as it would be drawn in another pose.
fn drawn(piece: &Piece, pose: &Pose) -> Piece {
    let pins = pose.pins(piece, 2);
    let hinges = piece.hinges().iter().zip(pins);
    Piece::hinged(
        pose.cells(piece),
        hinges.map(|(h, pin)| Hinge { pin: pin.at, joins: h.joins, level: pin.level }).collect(),
    )
    .unwrap()
}

/// Clear swings of a piece, from each of its folds' poses, as poses with block 0 at home.
fn clear_swings(piece: &Piece, plan: &Plan) -> Vec<(Pose, usize, Turn, Pose)> {
    let mut swings = Swings::new(piece, plan);
    let mut found = Vec::new();
    for (pose, _) in Reach::of(piece, 2, false, plan).poses() {
        for swing in swings.from(pose) {
            if let Outcome::Clear(after) = swing.outcome {
                found.push((pose.clone(), swing.hinge, swing.turn, after));
            }
        }
    }
    found
}

/// Whether one pose is the other, turned and shifted as a whole.
fn same_but_for_the_whole(a: &Pose, b: &Pose) -> bool {
    Turn::ALL.into_iter().any(|turn| {
        let turned = a.moved(Motion::about_origin(false, turn));
        let (is, to) = (turned.motions()[0], b.motions()[0]);
        turned.moved(Motion::STILL.shifted(to.dx - is.dx, to.dy - is.dy)) == *b
    })
}

#[test]
fn a_two_block_piece_reaches_all_its_six_folds_and_the_farthest_with_one_swing() {
    // Both dominoes are one fold turned about, so only the diagonals cost a swing.
    for (x, y, pin) in [(1, 0, (1, 0)), (1, 0, (1, 1)), (0, 1, (0, 1)), (1, 1, (1, 1)), (-1, 1, (0, 1))] {
        let reach = plain(&piece(&[(0, 0), (x, y)], &[(pin.0, pin.1, 0, 1, 0)]));
        assert_eq!((reach.folds().len(), reach.reached(), reach.farthest()), (6, 6, 1));
        assert!(reach.missed().is_empty() && reach.looped().is_empty());
    }
}

#[test]
fn what_has_no_hinge_is_home_in_every_fold() {
    let block = piece(&[(3, 4)], &[]);
    let ell = [(0, 0), (1, 0), (2, 0), (2, 1)].map(|(x, y)| Cell::new(x, y));
    let ell = Piece::rigid(ell.to_vec()).unwrap();
    for (piece, turn_over, folds) in [(&block, false, 1), (&ell, false, 4), (&ell, true, 8)] {
        let reach = Reach::of(piece, 1, turn_over, &Plan::default());
        assert_eq!((reach.reached(), reach.folds().len(), reach.farthest()), (folds, folds, 0));
        assert!(reach.path(folds - 1).unwrap().steps.is_empty());
    }
}

#[test]
fn a_loop_has_no_two_sides_and_what_it_misses_is_told() {
    let blocks = [(0, 0), (1, 0), (2, 0), (2, 1), (1, 1), (0, 1)];
    let hinges = [
        (1, 0, 0, 1, 0),
        (2, 0, 1, 2, 0),
        (3, 1, 2, 3, 0),
        (2, 2, 3, 4, 0),
        (1, 2, 4, 5, 0),
        (0, 1, 5, 0, 0),
    ];
    let ring = plain(&piece(&blocks, &hinges));
    assert_eq!(ring.looped(), [0, 1, 2, 3, 4, 5]);
    // It moves as a whole: home and its quarter turn, of more folds.
    assert_eq!((ring.poses().len(), ring.reached(), ring.farthest()), (1, 2, 0));
    assert!(ring.folds().len() > 2);
    assert_eq!(ring.missed().len(), ring.folds().len() - 2);
    assert!(ring.missed().iter().all(|&f| ring.distance(f).is_none() && ring.path(f).is_none()));
    // A block that hangs on the ring turns all the same.
    let tail = plain(&piece(&[&blocks[..], &[(3, 2)]].concat(), &[&hinges[..], &[(3, 2, 3, 6, 1)]].concat()));
    assert_eq!(tail.looped(), [0, 1, 2, 3, 4, 5]);
    assert_eq!((tail.poses().len(), tail.farthest()), (3, 1));
}

#[test]
fn a_blocked_swing_names_both_blocks() {
    // Block 0 would turn about (0, 0), away from its partner below it; the
    // hook of the other blocks goes round its far corner.
    let hook =
        piece(&[(0, 0), (0, -1), (1, 0), (0, 1)], &[(0, 0, 0, 1, 0), (1, 0, 1, 2, 0), (1, 1, 2, 3, 0)]);
    let mut swings = Swings::new(&hook, &Plan::default());
    let of_first: Vec<_> =
        swings.from(&Pose::home(&hook)).into_iter().filter(|s| s.hinge == 0).map(|s| s.outcome).collect();
    // Seen from block 0, the rest turns; the other way leads through the partner.
    assert_eq!(of_first, [Outcome::Blocked { moving: 2, standing: 0 }]);
}

#[test]
fn a_piece_can_be_locked_at_home() {
    // A square of two diagonals, one on each level, crossing at its middle.
    let lock =
        piece(&[(0, 0), (-1, -1), (0, -1), (-1, 0)], &[(0, 0, 0, 1, 0), (1, 0, 0, 2, 0), (0, 0, 2, 3, 1)]);
    let reach = plain(&lock);
    assert_eq!((reach.poses().len(), reach.reached(), reach.missed().len()), (1, 4, 68));
    assert!(reach.looped().is_empty());
}

#[test]
fn blocks_round_one_pin_never_change_their_order() {
    // Two hinges on one vertex, block 1 in common: with 1 in a quadrant, 0 and
    // 2 stand in two of three, in six ways, and can't pass each other: three
    // are reached. Blocks 3 and 4, with three states each at hinges of their
    // own, mark 0 and 1, so that folds tell which is which.
    let fan = piece(
        &[(0, 0), (0, 1), (1, 0), (-1, -1), (-1, 2)],
        &[(1, 1, 0, 1, 1), (1, 1, 1, 2, 0), (0, 0, 0, 3, 0), (0, 2, 1, 4, 1)],
    );
    let reach = plain(&fan);
    assert_eq!((reach.poses().len(), reach.reached(), reach.folds().len()), (27, 108, 216));
    let round = |pose: &Pose| {
        let pin = pose.pins(&fan, 2)[0].at;
        let quadrant =
            |b: usize| (0..4u8).find(|&q| pin.quadrant(Corner::new(q)) == pose.cells(&fan)[b]).unwrap();
        ((quadrant(0) + 4 - quadrant(1)) % 4) < ((quadrant(2) + 4 - quadrant(1)) % 4)
    };
    let order = round(&Pose::home(&fan));
    assert!(reach.poses().all(|(pose, _)| round(pose) == order));
    assert!(reach.looped().is_empty());
}

#[test]
fn a_stouter_piece_reaches_no_more() {
    let chain = piece(
        &[(0, 0), (1, 0), (2, 0), (3, 0), (4, 0)],
        &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 1), (3, 1, 2, 3, 0), (4, 0, 3, 4, 1)],
    );
    let mut last = usize::MAX;
    for gap in [3.0, 1.0, 0.3] {
        let plan = Plan::new(Sizes { pitch: 15.0, gap, knuckle: 3.0, clearance: gap.min(1.0) }).unwrap();
        let found = clear_swings(&chain, &plan).len();
        assert!(found <= last);
        last = found;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, ..Default::default() })]

    #[test]
    fn every_clear_swing_swings_back(piece in tree(), plan in plan()) {
        let swings = clear_swings(&piece, &plan);
        for (from, hinge, turn, to) in &swings {
            prop_assert!(swings.contains(&(to.clone(), *hinge, turn.undone(), from.clone())));
        }
    }

    #[test]
    fn it_is_all_one_which_side_turns(piece in tree(), plan in plan()) {
        // Drawn from the last block on, the far sides of most hinges are the others.
        let last = piece.blocks().len() - 1;
        let blocks = piece.blocks().iter().rev().copied().collect();
        let hinges = piece.hinges().iter().map(|h| Hinge { joins: h.joins.map(|b| last - b), ..*h }).collect();
        let turned_about = Piece::hinged(blocks, hinges).unwrap();
        let (one, two) = (Reach::of(&piece, 2, false, &plan), Reach::of(&turned_about, 2, false, &plan));
        prop_assert_eq!(told(&one), told(&two));
        prop_assert_eq!(one.poses().len(), two.poses().len());
    }

    #[test]
    fn a_mirrored_piece_has_a_mirrored_reach(piece in tree(), plan in plan()) {
        let mirror = Motion::about_origin(true, Turn::NONE);
        let blocks = piece.blocks().iter().map(|&c| mirror.cell(c)).collect();
        let hinges = piece.hinges().iter().map(|h| Hinge { pin: mirror.vertex(h.pin), ..*h }).collect();
        let mirrored = Piece::hinged(blocks, hinges).unwrap();
        let (one, two) = (Reach::of(&piece, 2, false, &plan), Reach::of(&mirrored, 2, false, &plan));
        prop_assert_eq!(one.poses().len(), two.poses().len());
        let other = told(&two);
        for (i, fold) in one.folds().folds().iter().enumerate() {
            let seen = drawn(&piece, &fold.pose.moved(mirror));
            // Drawing a mirrored pose reverses levels; a mirror on paper does not.
            let hinges = seen.hinges().iter().map(|h| Hinge { level: Level(1 - h.level.0), ..*h });
            let seen = Piece::hinged(seen.blocks().to_vec(), hinges.collect()).unwrap();
            let key = Fold::of(&seen, &Pose::home(&seen), 2);
            prop_assert_eq!(other[&(key.cells, key.pins)], one.distance(i));
        }
    }

    #[test]
    fn turning_over_shows_every_fold_from_behind_at_the_same_distance(piece in tree(), plan in plan()) {
        let reach = Reach::of(&piece, 2, true, &plan);
        for (i, fold) in reach.folds().folds().iter().enumerate() {
            let behind = Fold::of(&piece, &fold.pose.moved(Motion::about_origin(true, Turn::NONE)), 2);
            let behind = reach.folds().position(&behind).unwrap();
            prop_assert_eq!(reach.distance(i), reach.distance(behind));
        }
    }

    #[test]
    fn another_home_reaches_the_same_folds_and_home_is_as_far_as_it_was(
        piece in tree(), plan in plan(), pick: prop::sample::Index,
    ) {
        let reach = Reach::of(&piece, 2, false, &plan);
        let far: Vec<(Pose, u32)> = reach.poses().map(|(p, d)| (p.clone(), d)).collect();
        let (pose, distance) = &far[pick.index(far.len())];
        let redrawn = drawn(&piece, pose);
        let again = Reach::of(&redrawn, 2, false, &plan);
        let reached = |r: &Reach| told(r).into_iter().filter(|(_, d)| d.is_some()).map(|(f, _)| f).collect::<Vec<_>>();
        prop_assert_eq!(reached(&reach), reached(&again));
        prop_assert_eq!(far.len(), again.poses().len());
        // Poses, unlike folds, are told apart block by block, so this is exact.
        let home = |p: &Pose| {
            let q = drawn(&redrawn, p);
            Turn::ALL.into_iter().any(|t| {
                let m = Motion::about_origin(false, t);
                let shift = {
                    let (is, to) = (m.cell(q.blocks()[0]), piece.blocks()[0]);
                    m.shifted(to.x - is.x, to.y - is.y)
                };
                q.blocks().iter().map(|&c| shift.cell(c)).eq(piece.blocks().iter().copied())
                    && q.hinges().iter().map(|h| shift.vertex(h.pin)).eq(piece.hinges().iter().map(|h| h.pin))
            })
        };
        let back = again.poses().filter(|(p, _)| home(p)).map(|(_, d)| d).min();
        prop_assert_eq!(back, Some(*distance));
    }

    #[test]
    fn a_path_is_as_long_as_the_distance_and_each_of_its_swings_is_clear(
        piece in tree(), plan in plan(), turn_over: bool,
    ) {
        let reach = Reach::of(&piece, 2, turn_over, &plan);
        let mut swings = Swings::new(&piece, &plan);
        for (i, fold) in reach.folds().folds().iter().enumerate() {
            let Some(path) = reach.path(i) else {
                prop_assert!(reach.distance(i).is_none());
                continue;
            };
            prop_assert_eq!(Some(path.steps.len() as u32), reach.distance(i));
            let end = Fold::of(&piece, path.end(), 2);
            prop_assert_eq!((&end.cells, &end.pins), (&fold.cells, &fold.pins));
            prop_assert_eq!(&end.pose, path.end(), "it lies as the fold set has it");
            let face = Motion::about_origin(path.start.motions()[0].mirrored, Turn::NONE);
            prop_assert!(same_but_for_the_whole(&path.start, &Pose::home(&piece).moved(face)));
            let mut before = path.start.clone();
            for step in &path.steps {
                prop_assert!(step.moving.len() * 2 <= piece.blocks().len());
                let pin = before.pins(&piece, 2)[step.hinge].at;
                for (b, (was, is)) in before.motions().iter().zip(step.after.motions()).enumerate() {
                    let moved = was.then(Motion::about(pin, step.turn));
                    prop_assert_eq!(*is, if step.moving.contains(&b) { moved } else { *was });
                }
                let found = swings.from(&before).into_iter().any(|s| {
                    let Outcome::Clear(after) = s.outcome else { return false };
                    s.hinge == step.hinge && same_but_for_the_whole(&after, &step.after)
                });
                prop_assert!(found, "swing {:?} is clear", step);
                before = step.after.clone();
            }
        }
    }

    #[test]
    fn nothing_is_dropped(piece in tree(), plan in plan()) {
        let reach = Reach::of(&piece, 2, false, &plan);
        prop_assert!(reach.folds().alike(&FoldSet::of(&piece, 2, false)));
        prop_assert_eq!(reach.reached() + reach.missed().len(), reach.folds().len());
        let home = Fold::of(&piece, &Pose::home(&piece), 2);
        prop_assert_eq!(reach.distance(reach.folds().position(&home).unwrap()), Some(0));
    }
}
