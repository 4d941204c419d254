//! What speaks for a grade beside the tries: facts about the outline that a
//! maker can check with a pencil.

use std::collections::BTreeSet;

use fill::{Ask, Certainty, Stop};
use lattice::{Class, DropIn, Folding, Outline, Placed, Set, Vertex};
use num_bigint::BigUint;
use rustc_hash::FxHashMap;

use crate::board::Board;
use crate::bound::Bound;
use crate::complete::Completer;
use crate::drop::drops_in;
use crate::mask::Mask;
use crate::near::near_fillings;

/// Essentially different layouts listed at most.
const LAYOUTS: u64 = 1000;
/// How often a listing, and each count, may ask whether to go on.
const ASKS: u64 = 6000;
/// Positions looked at for one near-filling that was only met.
const NODES: u64 = 100_000;
/// Near-fillings met that are looked at.
const LOOKED_AT: usize = 2000;

/// A number of things.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Count {
    /// How many.
    pub number: BigUint,
    /// Whether there are exactly so many; else at least.
    pub exact: bool,
}

/// The most folded piece of a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Farthest {
    /// The piece, by its position in the set.
    pub piece: usize,
    /// Its swings from home; none if single swings do not lead there.
    pub swings: Option<u32>,
}

/// What speaks for a grade.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evidence {
    /// Essentially different layouts, interlocked ones included.
    pub layouts: Count,
    /// Layouts, turns counted, that are interlocked.
    pub interlocked: Count,
    /// Essentially different layouts with a pocket at every edge vertex.
    pub layouts_open: Count,
    /// Ways to lay all pieces but one so that one hole of the right size is left and
    /// the last piece does not go in.
    pub near_fillings: Count,
    /// Pockets that no valid filling uses; too many may be told where not all
    /// layouts were listed.
    pub blind: Vec<Vertex>,
    /// Places that are, on the empty board, the only one for some cell.
    pub forced: usize,
    /// The fewest places for a cell, on the empty board.
    pub fewest: usize,
    /// Ways to lay a first piece that leave no dead hole.
    pub first_moves: usize,
    /// In the layout that asks least: the piece folded farthest from home.
    pub farthest: Option<Farthest>,
}

/// What the layouts of an outline tell.
pub(crate) struct Layouts {
    pub different: Count,
    /// Layouts, turns counted.
    pub all: Count,
    pub interlocked: Count,
    /// Whether there is a valid one; none if that is not known.
    pub fillable: Option<bool>,
    /// Valid ones that were listed.
    pub answers: Vec<Folding>,
}

pub(crate) fn layouts(
    set: &Set,
    classes: &[Class],
    outline: &Outline,
    must_drop_in: bool,
    stop: Stop<'_>,
) -> Layouts {
    let bound = Bound::new(ASKS, stop);
    let stop = || bound.is_met();
    let ask = Ask { limit: Some(LAYOUTS), answers: LAYOUTS as usize, stop: &stop, ..Ask::default() };
    let filling = fill::fill(set, classes, outline, &ask);
    let exact = filling.certainty == Certainty::Complete;
    let drop_in = filling.counts.drop_in_layouts.unwrap_or_default();
    let count = |number: BigUint| Count { number, exact };
    let valid = if must_drop_in { drop_in.clone() } else { filling.counts.layouts.clone() };
    let fillable = if valid == BigUint::ZERO { exact.then_some(false) } else { Some(true) };
    let drops = |drop_in: &DropIn| !must_drop_in || matches!(drop_in, DropIn::Order(_));
    Layouts {
        different: count(filling.counts.different),
        interlocked: count(&filling.counts.layouts - drop_in),
        all: count(filling.counts.layouts),
        fillable,
        answers: filling.answers.into_iter().filter(|a| drops(&a.drop_in)).map(|a| a.folding).collect(),
    }
}

/// All evidence. `met`: places of all pieces but the last, met where it did not go in.
pub(crate) fn evidence<const W: usize>(
    problem: (&Set, &[Class], &Outline),
    board: &Board<W>,
    found: &Layouts,
    must_drop_in: bool,
    met: &[Vec<u32>],
    stop: Stop<'_>,
) -> Evidence {
    let (set, classes, outline) = problem;
    let bound = Bound::new(ASKS, stop);
    let open = match fill::count(set, classes, &outline.open(), &|| bound.is_met()) {
        Ok(counts) => Count { number: counts.different, exact: true },
        // What the outline has with its own pockets it also has with all.
        Err(_) => Count { number: found.different.number.clone(), exact: false },
    };
    let bound = Bound::new(ASKS, stop);
    let near = found
        .all
        .exact
        .then(|| near_fillings(set, classes, outline, &found.all.number, &|| bound.is_met()))
        .flatten();
    let near_fillings = match near {
        Some(number) => Count { number, exact: true },
        None => Count { number: failing(board, met).into(), exact: false },
    };
    let used = used_lays(set, board, &found.answers, must_drop_in);
    // Turns of a layout are not listed, but use turned pockets.
    let rotations = outline.rotations();
    let seen: BTreeSet<Vertex> = used
        .iter()
        .flatten()
        .flat_map(|&(_, lay)| board.lays[lay].pockets.iter())
        .flat_map(|v| rotations.iter().map(move |r| r.vertex(board.pockets[v])))
        .collect();
    let blind = board.pockets.iter().copied().filter(|v| !seen.contains(v)).collect();
    let (forced, fewest, first_moves) = first_moves(board);
    Evidence {
        layouts: found.different.clone(),
        interlocked: found.interlocked.clone(),
        layouts_open: open,
        near_fillings,
        blind,
        forced,
        fewest,
        first_moves,
        farthest: farthest(board, &used),
    }
}

/// How many of some positions before the last piece can't be completed.
fn failing<const W: usize>(board: &Board<W>, met: &[Vec<u32>]) -> usize {
    let mut completer = Completer::new(board, false, NODES);
    met.iter().take(LOOKED_AT).filter(|places| completer.can(places) == Some(false)).count()
}

/// For each layout, the lays (piece, lay) that some valid folding of it has.
fn used_lays<const W: usize>(
    set: &Set,
    board: &Board<W>,
    answers: &[Folding],
    must_drop_in: bool,
) -> Vec<Vec<(usize, usize)>> {
    let mut by_cells: FxHashMap<(usize, Mask<W>), u32> = FxHashMap::default();
    for (p, place) in board.places.iter().enumerate() {
        by_cells.insert((place.kind, place.cells), p as u32);
    }
    let place_of = |placed: &Placed| {
        let kind = board.kinds.iter().position(|k| k.pieces.contains(&placed.piece));
        let cells = placed.pose.cells(&set.pieces[placed.piece]);
        let cells = cells.iter().filter_map(|c| board.cells.binary_search(c).ok());
        by_cells[&(kind.expect("every piece is of a class"), Mask::of(cells))]
    };
    answers
        .iter()
        .map(|folding| {
            let places: Vec<u32> = folding.placed.iter().map(place_of).collect();
            let mut used = Vec::new();
            for (at, &p) in places.iter().enumerate() {
                for lay in board.places[p as usize].lays.clone() {
                    if goes_with_rest(board, &places, at, lay, must_drop_in) {
                        used.push((folding.placed[at].piece, lay));
                    }
                }
            }
            used
        })
        .collect()
}

/// Whether a folding of the places has `lay` at `at`.
fn goes_with_rest<const W: usize>(
    board: &Board<W>,
    places: &[u32],
    at: usize,
    lay: usize,
    must_drop_in: bool,
) -> bool {
    fn go<const W: usize>(
        board: &Board<W>,
        places: &[u32],
        fixed: (usize, usize),
        pins: &mut Vec<Mask<W>>,
        taken: Mask<W>,
        must_drop_in: bool,
    ) -> bool {
        let next = pins.len();
        if next == places.len() {
            return !must_drop_in || drops_in(pins, board.levels);
        }
        let lays = board.places[places[next] as usize].lays.clone();
        for lay in lays.filter(|&l| next != fixed.0 || l == fixed.1) {
            let own = board.lays[lay].pins;
            if own.meets(&taken) {
                continue;
            }
            pins.push(own);
            let found = go(board, places, fixed, pins, taken.or(&own), must_drop_in);
            pins.pop();
            if found {
                return true;
            }
        }
        false
    }
    go(board, places, (at, lay), &mut Vec::new(), Mask::NONE, must_drop_in)
}

/// In the layout that asks least, the piece folded farthest.
fn farthest<const W: usize>(board: &Board<W>, used: &[Vec<(usize, usize)>]) -> Option<Farthest> {
    // What single swings do not reach lies beyond all they do.
    let rank = |f: &Farthest| f.swings.map_or(u32::MAX, |s| s);
    let of_layout = |lays: &Vec<(usize, usize)>| {
        let pieces = lays.chunk_by(|a, b| a.0 == b.0).map(|lays| Farthest {
            piece: lays[0].0,
            swings: lays.iter().filter_map(|&(_, lay)| board.lays[lay].swings).min(),
        });
        // The first of equals.
        pieces.reduce(|a, b| if rank(&b) > rank(&a) { b } else { a })
    };
    used.iter().filter_map(of_layout).reduce(|a, b| if rank(&b) < rank(&a) { b } else { a })
}

/// Forced places, the fewest for a cell, and first moves that leave no dead hole.
fn first_moves<const W: usize>(board: &Board<W>) -> (usize, usize, usize) {
    let mut left: Vec<usize> = board.kinds.iter().map(|k| k.pieces.len()).collect();
    let mut good = vec![false; board.places.len()];
    for (place, good) in board.places.iter().zip(&mut good) {
        left[place.kind] -= 1;
        let sums = board.sums(&left);
        let empty = board.all.less(&place.cells);
        let mut rest = empty;
        *good = true;
        while let Some(cell) = rest.first() {
            let part = board.part(cell, &empty);
            rest = rest.less(&part);
            let cells = part.count();
            *good &= cells >= 128 || sums >> cells & 1 == 1;
        }
        left[place.kind] += 1;
    }
    let mut forced: Vec<u32> = Vec::new();
    let mut fewest = usize::MAX;
    for all in &board.covering {
        let ways: Vec<u32> = all.iter().copied().filter(|&p| good[p as usize]).collect();
        fewest = fewest.min(ways.len());
        if let ([only], 0) = (&ways[..], board.spare) {
            forced.push(*only);
        }
    }
    forced.sort_unstable();
    forced.dedup();
    (forced.len(), fewest, good.iter().filter(|&&g| g).count())
}
