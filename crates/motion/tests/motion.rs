//! Courses replayed by other means than those that found them, the facts known
//! of rotating squares, and the four answers.

use std::f64::consts::{FRAC_PI_2, PI};

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use lattice::{Cell, Corner, Fold, FoldSet, Hinge, Level, Motion, Piece, Pose, Turn, Vertex};
use motion::{Answer, Course, Effort, Planned};
use proptest::prelude::*;
use reach::{Plan, Reach};

type Point = (f64, f64);
type Drawn<'a> = (&'a [(i32, i32)], &'a [(i32, i32, usize, usize, u8)]);

fn piece((cells, hinges): Drawn) -> Piece {
    let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let hinge = |&(x, y, a, b, level): &(i32, i32, usize, usize, u8)| Hinge {
        pin: Vertex::new(x, y),
        joins: [a, b],
        level: Level(level),
    };
    Piece::hinged(blocks, hinges.iter().map(hinge).collect()).unwrap()
}

/// A ring of four, closed to a square with two pins on its middle.
const RING: Drawn = (
    &[(0, 0), (1, 0), (1, 1), (0, 1)],
    &[(1, 0, 0, 1, 0), (1, 1, 1, 2, 1), (1, 2, 2, 3, 0), (1, 1, 3, 0, 0)],
);
/// Four hinges at the outer middles: where one opens, its neighbours close.
const STIFF: Drawn = (
    &[(0, 0), (1, 0), (1, 1), (0, 1)],
    &[(1, 0, 0, 1, 0), (2, 1, 1, 2, 0), (1, 2, 2, 3, 0), (0, 1, 3, 0, 0)],
);
/// Three blocks round one pin, two of them marked by blocks of their own.
const FAN: Drawn = (
    &[(0, 0), (0, 1), (1, 0), (-1, -1), (-1, 2)],
    &[(1, 1, 0, 1, 1), (1, 1, 1, 2, 0), (0, 0, 0, 3, 0), (0, 2, 1, 4, 1)],
);

/// A sheet of rotating squares, three by three, twelve hinges on two levels.
fn sheet() -> Piece {
    let at = |x: i32, y: i32| (3 * y + x) as usize;
    let cells: Vec<_> = (0..9).map(|i| (i % 3, i / 3)).collect();
    let mut hinges = Vec::new();
    for y in 0..3 {
        for x in 0..3 {
            // Squares turn in turn: pins of even ones run round one way, of odd ones the other.
            let even = (x + y) % 2 == 0;
            if x < 2 {
                hinges.push((x + 1, if even { y } else { y + 1 }, at(x, y), at(x + 1, y), (y % 2) as u8));
            }
            if y < 2 {
                hinges.push((if even { x + 1 } else { x }, y + 1, at(x, y), at(x, y + 1), (x % 2) as u8));
            }
        }
    }
    piece((&cells, &hinges))
}

/// A tree of hinges grown from one block, as far as the choices allow.
fn tree() -> impl Strategy<Value = Piece> {
    let choice = (any::<prop::sample::Index>(), 0u8..4, 1u8..4, 0u8..2);
    prop::collection::vec(choice, 3..8).prop_map(|choices| {
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

/// Where each block is (a turn and the image of its home's origin) when the
/// hinges are open so far: from the definition, by any chain of hinges.
struct Replay<'a> {
    piece: &'a Piece,
    home: Vec<u8>,
}

impl<'a> Replay<'a> {
    fn new(piece: &'a Piece) -> Self {
        Replay { piece, home: reach::openings(piece, &Pose::home(piece)) }
    }

    /// By how much the hinges are torn at most, and the blocks' turns and shifts.
    fn at(&self, open: &[f64]) -> (f64, Vec<(f64, Point)>) {
        let n = self.piece.blocks().len();
        let mut stands: Vec<Option<(f64, Point)>> = vec![None; n];
        stands[0] = Some((0.0, (0.0, 0.0)));
        while stands.iter().any(Option::is_none) {
            for (h, hinge) in self.piece.hinges().iter().enumerate() {
                let [a, b] = hinge.joins;
                let by = open[h] - f64::from(self.home[h]) * FRAC_PI_2;
                let (from, to, by) = match (stands[a], stands[b]) {
                    (Some(_), None) => (a, b, by),
                    (None, Some(_)) => (b, a, -by),
                    _ => continue,
                };
                let base = stands[from].unwrap();
                let (pin, turn) = (carried(base, vertex(hinge.pin)), base.0 + by);
                let hung = carried((turn, (0.0, 0.0)), vertex(hinge.pin));
                stands[to] = Some((turn, (pin.0 - hung.0, pin.1 - hung.1)));
            }
        }
        let stands: Vec<_> = stands.into_iter().map(Option::unwrap).collect();
        let torn = self.piece.hinges().iter().map(|h| {
            let [p, q] = h.joins.map(|b| carried(stands[b], vertex(h.pin)));
            (p.0 - q.0).hypot(p.1 - q.1)
        });
        (torn.fold(0.0, f64::max), stands)
    }

    /// The polygons of each block by level, cut back a little for the chords of arcs.
    fn overlap(&self, stands: &[(f64, Point)], plan: &Plan) -> Option<(usize, usize)> {
        let s = plan.sizes();
        let levels: std::collections::BTreeSet<_> = self.piece.hinges().iter().map(|h| h.level).collect();
        for a in 0..stands.len() {
            for b in a + 1..stands.len() {
                let middle = |i: usize| {
                    let c = self.piece.blocks()[i];
                    carried(stands[i], (f64::from(c.x) + 0.5, f64::from(c.y) + 0.5))
                };
                let (p, q) = (middle(a), middle(b));
                if (p.0 - q.0).hypot(p.1 - q.1) > 2.0 {
                    continue;
                }
                for &level in &levels {
                    let shape = |i: usize, other: usize| self.shape(stands[i], i, other, level, s);
                    let common = shape(a, b).overlay(&shape(b, a), OverlayRule::Intersect, FillRule::NonZero);
                    if area(&common) > 1e-6 {
                        return Some((a, b));
                    }
                }
            }
        }
        None
    }

    fn shape(
        &self,
        stand: (f64, Point),
        block: usize,
        other: usize,
        level: Level,
        s: reach::Sizes,
    ) -> Vec<Vec<Vec<[f64; 2]>>> {
        let c = self.piece.blocks()[block];
        let inset = s.gap / s.pitch / 2.0;
        let (x, y) = (f64::from(c.x), f64::from(c.y));
        let corners = [
            (x + inset, y + inset),
            (x + 1.0 - inset, y + inset),
            (x + 1.0 - inset, y + 1.0 - inset),
            (x + inset, y + 1.0 - inset),
        ];
        let put = |p: Point| {
            let p = carried(stand, p);
            [p.0, p.1]
        };
        let square = vec![vec![corners.map(put).to_vec()]];
        Corner::ALL.into_iter().fold(square, |shape, k| {
            let v = c.corner(k);
            let knuckled = self.piece.hinges().iter().any(|h| {
                h.level == level && h.pin == v && h.joins.contains(&block) && !h.joins.contains(&other)
            });
            let (radius, rule) = if knuckled {
                (s.knuckle / s.pitch, OverlayRule::Union)
            } else {
                ((s.knuckle + s.clearance) / s.pitch, OverlayRule::Difference)
            };
            let disc: Vec<[f64; 2]> = (0..96)
                .map(|i| {
                    let (sin, cos) = (f64::from(i) * PI / 48.0).sin_cos();
                    put((f64::from(v.x) + radius * cos, f64::from(v.y) + radius * sin))
                })
                .collect();
            shape.overlay(&vec![vec![disc]], rule, FillRule::NonZero)
        })
    }
}

fn vertex(v: Vertex) -> Point {
    (f64::from(v.x), f64::from(v.y))
}

fn carried((turn, shift): (f64, Point), p: Point) -> Point {
    let (sin, cos) = turn.sin_cos();
    (shift.0 + p.0 * cos - p.1 * sin, shift.1 + p.0 * sin + p.1 * cos)
}

fn area(shapes: &[Vec<Vec<[f64; 2]>>]) -> f64 {
    let doubled = |c: &Vec<[f64; 2]>| -> f64 {
        c.iter().zip(c.iter().cycle().skip(1)).map(|(p, q)| p[0] * q[1] - p[1] * q[0]).sum()
    };
    shapes.iter().flatten().map(doubled).sum::<f64>().abs() / 2.0
}

/// Replays a course at steps of at most two and a half degrees, and tells what is wrong with it.
fn judge(
    piece: &Piece,
    plan: &Plan,
    course: &Course,
    goal: &Fold,
    levels: u8,
    turn_over: bool,
) -> Result<(), String> {
    let replay = Replay::new(piece);
    let knots = course.knots();
    let home: Vec<f64> = replay.home.iter().map(|&o| f64::from(o) * FRAC_PI_2).collect();
    if knots[0].iter().zip(&home).any(|(a, b)| (a - b).abs() > 1e-9) {
        return Err("it does not start at home".into());
    }
    for w in knots.windows(2) {
        let most = w[0].iter().zip(&w[1]).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        let steps = (most / 2.5_f64.to_radians()).ceil().max(1.0) as u32;
        for i in 0..=steps {
            let part = f64::from(i) / f64::from(steps);
            let open: Vec<f64> = w[0].iter().zip(&w[1]).map(|(a, b)| a + part * (b - a)).collect();
            if open.iter().any(|o| !(FRAC_PI_2 - 1e-5..=3.0 * FRAC_PI_2 + 1e-5).contains(o)) {
                return Err(format!("a hinge is open beyond its range: {open:?}"));
            }
            let (torn, stands) = replay.at(&open);
            if torn > 1e-3 {
                return Err(format!("a hinge is torn by {torn}"));
            }
            if let Some((a, b)) = replay.overlap(&stands, plan) {
                return Err(format!("blocks {a} and {b} overlap at {open:?}"));
            }
        }
    }
    // The end, on the lattice.
    let (_, stands) = replay.at(knots.last().unwrap());
    let motions = stands
        .iter()
        .map(|&(turn, shift)| Motion {
            mirrored: false,
            turn: Turn::new((turn / FRAC_PI_2).round().rem_euclid(4.0) as u8),
            dx: shift.0.round() as i32,
            dy: shift.1.round() as i32,
        })
        .collect();
    let end = Pose::from_motions(motions);
    let whole = |m: bool| Turn::ALL.map(|t| Motion::about_origin(m, t));
    let ways: Vec<Motion> =
        whole(false).into_iter().chain(if turn_over { whole(true).to_vec() } else { vec![] }).collect();
    let ends = ways.into_iter().any(|m| {
        let fold = Fold::of(piece, &end.moved(m), levels);
        fold.cells == goal.cells && fold.pins == goal.pins
    });
    if ends { Ok(()) } else { Err("it does not end in the fold".into()) }
}

fn judge_all(piece: &Piece, planned: &Planned, plan: &Plan, turn_over: bool) {
    for (f, fold) in planned.folds().folds().iter().enumerate() {
        let found = matches!(planned.answer(f), Answer::Swings | Answer::Planned);
        assert_eq!(planned.course(f).is_some(), found);
        if let Some(course) = planned.course(f) {
            judge(piece, plan, course, fold, 2, turn_over).unwrap();
        }
    }
}

fn plain(piece: &Piece, looks: u64) -> Planned {
    Planned::of(piece, 2, false, &Plan::default(), Effort { looks, seed: 1 })
}

#[test]
fn a_ring_of_four_opens_and_closes() {
    let ring = piece(RING);
    let swings = Reach::of(&ring, 2, false, &Plan::default());
    let planned = plain(&ring, 20_000);
    assert_eq!(swings.reached(), 2);
    assert_eq!(
        (planned.count(Answer::Swings), planned.count(Answer::Planned)),
        (2, planned.folds().len() - 2)
    );
    judge_all(&ring, &planned, &Plan::default(), false);
}

/// Pitch and area of J. N. Grima & K. E. Evans (2000), "Auxetic behavior from
/// rotating squares", J. Mater. Sci. Lett. 19(17), 1563-1565 (the formulas from
/// memory and derived again): for squares of side 1 open by θ the pitch of
/// their middles is cos(θ/2) + sin(θ/2), so the cell has 1 + sin θ times the
/// closed area, and the void between four squares is a rhombus of area sin θ.
fn judge_rotating_squares(piece: &Piece, columns: usize, rows: usize, course: &Course, farthest: &mut f64) {
    let replay = Replay::new(piece);
    for open in course.knots() {
        let (_, stands) = replay.at(open);
        let middle = |b: usize| {
            let c = piece.blocks()[b];
            carried(stands[b], (f64::from(c.x) + 0.5, f64::from(c.y) + 0.5))
        };
        let distance = |a: usize, b: usize| {
            let (p, q) = (middle(a), middle(b));
            (p.0 - q.0).hypot(p.1 - q.1)
        };
        // What squares 0 and 1 are turned against each other.
        let theta = (stands[1].0 - stands[0].0).abs();
        let pitch = (theta / 2.0).cos() + (theta / 2.0).sin();
        for b in 0..columns * rows {
            let mut near = Vec::new();
            if b % columns + 1 < columns {
                near.push(b + 1);
            }
            if b / columns + 1 < rows {
                near.push(b + columns);
            }
            for other in near {
                assert!((distance(b, other) - pitch).abs() < 1e-6, "{theta} {b} {other}");
            }
        }
        let cell = (2.0 * distance(0, 1)) * (2.0 * distance(0, columns)) / 4.0;
        assert!((cell - (1.0 + theta.sin())).abs() < 1e-6);
        if columns == 2 && rows == 2 {
            let pins: Vec<Point> =
                piece.hinges().iter().map(|h| carried(stands[h.joins[0]], vertex(h.pin))).collect();
            let doubled: f64 =
                (0..4).map(|i| pins[i].0 * pins[(i + 1) % 4].1 - pins[i].1 * pins[(i + 1) % 4].0).sum();
            assert!((doubled.abs() / 2.0 - theta.sin().abs()).abs() < 1e-6);
        }
        *farthest = farthest.max(theta);
    }
}

#[test]
fn a_ring_has_the_pitch_and_the_area_of_rotating_squares_all_the_way() {
    // Blocks in reading order, so that neighbours are one and two apart; a
    // fifth block tells the two closed squares apart.
    let ring = piece((
        &[(0, 0), (1, 0), (0, 1), (1, 1), (2, -1)],
        &[(1, 0, 0, 1, 0), (1, 1, 1, 3, 1), (1, 2, 3, 2, 1), (1, 1, 2, 0, 0), (2, 0, 1, 4, 1)],
    ));
    let planned = plain(&ring, 20_000);
    let (mut farthest, mut knots) = (0.0, 0);
    for course in (0..planned.folds().len()).filter_map(|f| planned.course(f)) {
        judge_rotating_squares(&ring, 2, 2, course, &mut farthest);
        knots += course.knots().len();
    }
    // From closed over fully open to closed the other way.
    assert!((farthest - PI).abs() < 1e-6 && knots > 100, "{farthest} {knots}");
}

#[test]
fn a_sheet_of_nine_opens_as_one() {
    let sheet = sheet();
    let planned = plain(&sheet, 60_000);
    let mut farthest = 0.0;
    for course in (0..planned.folds().len()).filter_map(|f| planned.course(f)) {
        judge_rotating_squares(&sheet, 3, 3, course, &mut farthest);
    }
    assert!(planned.count(Answer::Planned) > 0);
    assert!(farthest > FRAC_PI_2 - 1e-6, "{farthest}");
    judge_all(&sheet, &planned, &Plan::default(), false);
}

#[test]
fn a_stiff_ring_is_not_called_impossible() {
    let planned = plain(&piece(STIFF), 2_000);
    assert_eq!(planned.count(Answer::Planned) + planned.count(Answer::Never), 0);
    assert_eq!(planned.count(Answer::NotFound), planned.folds().len() - planned.count(Answer::Swings));
    assert!(planned.looks() <= 2_000);
}

#[test]
fn blocks_round_one_pin_never_change_their_order() {
    let planned = plain(&piece(FAN), 50_000);
    assert_eq!((planned.count(Answer::Swings), planned.count(Answer::Never)), (108, 108));
    assert_eq!(planned.looks(), 0);
}

/// Squares hinged at opposite corners are slender adornments of their diagonals
/// (isosceles right triangles on either side, the limit case), and chains of
/// those never lock: R. Connelly, E. Demaine, M. Demaine, S. Fekete,
/// S. Langerman, J. Mitchell, A. Ribó, G. Rote (2010), "Locked and unlocked
/// chains of planar shapes", Discrete Comput. Geom. 44(2), 439-462 (abstract
/// read; that whole squares fall under it is our own reading). Gaps, reliefs
/// and knuckles are not in the theorem, so this can fail at other sizes.
#[test]
fn chains_hinged_at_opposite_corners_never_lock() {
    for blocks in 2..=7 {
        for levels in [1, 2] {
            let cells: Vec<_> = (0..blocks).map(|x| (x, 0)).collect();
            let hinge = |i: i32| (i, i % 2, i as usize - 1, i as usize, (i % levels) as u8);
            let chain = piece((&cells, &(1..blocks).map(hinge).collect::<Vec<_>>()));
            let planned = plain(&chain, 20_000);
            assert_eq!(
                planned.count(Answer::NotFound) + planned.count(Answer::Never),
                0,
                "{blocks} {levels}"
            );
        }
    }
}

#[test]
fn the_judge_sees_a_course_through_another_block() {
    // Three in a row; opened the wrong way the last goes through the first.
    let chain = piece((&[(0, 0), (1, 0), (2, 0)], &[(1, 1, 0, 1, 0), (2, 1, 1, 2, 0)]));
    let replay = Replay::new(&chain);
    let home: Vec<f64> = replay.home.iter().map(|&o| f64::from(o) * FRAC_PI_2).collect();
    assert_eq!(replay.overlap(&replay.at(&home).1, &Plan::default()), None);
    let through: Vec<f64> = home.iter().map(|o| 2.0 * PI - o).collect();
    let met = (0..=60).any(|i| {
        let part = f64::from(i) / 60.0;
        let open: Vec<f64> = home.iter().zip(&through).map(|(a, b)| a + part * (b - a)).collect();
        replay.overlap(&replay.at(&open).1, &Plan::default()).is_some()
    });
    assert!(met);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..Default::default() })]

    #[test]
    fn what_swings_reach_is_told_alike_and_every_course_can_be_replayed(piece in tree(), turn_over: bool) {
        let plan = Plan::default();
        let reach = Reach::of(&piece, 2, turn_over, &plan);
        let planned = Planned::of(&piece, 2, turn_over, &plan, Effort { looks: 3_000, seed: 5 });
        prop_assert!(planned.folds().alike(&FoldSet::of(&piece, 2, turn_over)));
        for f in 0..planned.folds().len() {
            prop_assert_eq!(planned.answer(f) == Answer::Swings, reach.distance(f).is_some());
        }
        for f in (0..planned.folds().len()).step_by(planned.folds().len().div_ceil(6)) {
            if let Some(course) = planned.course(f) {
                prop_assert_eq!(judge(&piece, &plan, course, &planned.folds().folds()[f], 2, turn_over), Ok(()));
            }
        }
    }

    #[test]
    fn equal_seeds_give_equal_answers(piece in tree()) {
        let told = |p: Planned| {
            (0..p.folds().len()).map(|f| (p.answer(f), p.course(f).cloned())).collect::<Vec<_>>()
        };
        prop_assert_eq!(told(plain(&piece, 2_000)), told(plain(&piece, 2_000)));
    }
}
