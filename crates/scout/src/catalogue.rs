//! Every piece of n blocks, once.
//!
//! Two drawings show one *piece* when the hand can't tell them apart: they show
//! the same linkage, and clear swings lead from one pose to the other (turning
//! the whole costs nothing). A linkage whose poses fall into several classes
//! that no swing joins gives as many pieces. Mirror images are different
//! pieces, as plates and pieces are never turned over; each entry names its
//! mirror partner, and the piece it is when it lies on its face.
//!
//! Entries come in the order of their codes, so numbers stay the same whatever
//! the sizes, as long as the classes do.

use std::collections::BTreeSet;

use lattice::{Cell, Hinge, Level, Motion, Piece, Turn};
use rayon::prelude::*;
use reach::{Bed, Classes, Home, Known, Plan, Swings};
use rustc_hash::FxHashMap;

use crate::figures::{Counts, Folds};
use crate::linkage::{Code, Linkage, trees};
use crate::specimen::{Reading, piece};

/// What to put in a catalogue.
#[derive(Clone, Copy, Debug)]
pub struct Wanted {
    /// Blocks of each piece, 1 to [`MOST_BLOCKS`].
    pub blocks: usize,
    /// Levels of the set, at least 1.
    pub levels: u8,
    /// How many hinges may close loops, beyond those of a tree.
    pub loops: usize,
    /// How wide the bodies are.
    pub plan: Plan,
    /// What the pieces are printed on.
    pub bed: Bed,
}

/// The largest pieces that are catalogued.
pub const MOST_BLOCKS: usize = 8;

/// What makes a catalogue impossible.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WantedError {
    /// No blocks, or too many.
    #[error("a catalogue has pieces of 1 to {MOST_BLOCKS} blocks, not {found}")]
    Blocks {
        /// What was asked for.
        found: usize,
    },
    /// No levels, or more than a vertex can use.
    #[error("a catalogue has pieces on 1 to 3 levels, not {found}")]
    Levels {
        /// What was asked for.
        found: u8,
    },
}

/// One piece.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Its number, from 1.
    pub number: usize,
    /// The number of its linkage, from 1.
    pub linkage: usize,
    /// The piece, drawn in its best home pose.
    pub piece: Piece,
    /// All its folds: turned ones count by themselves.
    pub folds: usize,
    /// Their shapes.
    pub shapes: usize,
    /// Folds that swings reach.
    pub reached: usize,
    /// Shapes that swings reach.
    pub reached_shapes: usize,
    /// The least number of swings from the best home to the farthest fold reached.
    pub farthest: u32,
    /// The number of the piece in a mirror.
    pub mirror: usize,
    /// The number of the piece lying on its face: in a mirror, levels reversed.
    pub over: usize,
    /// What the plane has to say of the home pose.
    pub home: Home,
}

/// All pieces of so many blocks.
#[derive(Clone, Debug)]
pub struct Catalogue {
    /// The pieces in order; an entry's number is one more than its position.
    pub entries: Vec<Entry>,
    /// How many linkages they are.
    pub linkages: usize,
}

/// What tells a piece from all others: its linkage and its class of poses.
type Key = (Code, Vec<u8>);

struct Found {
    key: Key,
    mirror: Key,
    over: Key,
    piece: Piece,
    counts: Counts,
    home: Home,
}

impl Catalogue {
    /// Every piece that is wanted. The work grows about fifteenfold with each
    /// block on two levels; it is spread over the threads there are, and the
    /// result does not depend on them.
    ///
    /// # Errors
    /// Every bound that is overstepped.
    pub fn of(wanted: &Wanted) -> Result<Catalogue, Vec<WantedError>> {
        let Wanted { blocks, levels, loops, .. } = *wanted;
        let mut errors = Vec::new();
        if !(1..=MOST_BLOCKS).contains(&blocks) {
            errors.push(WantedError::Blocks { found: blocks });
        }
        if !(1..=3).contains(&levels) {
            errors.push(WantedError::Levels { found: levels });
        }
        if !errors.is_empty() {
            return Err(errors);
        }
        let mut codes = trees(blocks, levels);
        let mut last = codes.clone();
        for _ in 0..loops {
            let more: BTreeSet<Code> = last.par_iter().flat_map_iter(|code| closed(code, levels)).collect();
            last = more.into_iter().collect();
            codes.extend(last.iter().cloned());
        }
        // Mirrors and levels reversed have the same figures: one of four is worked out.
        let first = |code: &&Code| {
            let linkage = Linkage::from_code(code, levels);
            CHANGES.iter().all(|&(m, r)| linkage.changed(m, r).walks().code >= **code)
        };
        let firsts: Vec<&Code> = codes.par_iter().filter(first).collect();
        let mut found: Vec<Found> = firsts
            .par_iter()
            .map_init(
                || Some(Known::nothing(&wanted.plan)),
                |known, code| {
                    let (found, after) = pieces(code, wanted, known.take().expect("handed back below"));
                    *known = Some(after);
                    found
                },
            )
            .flatten_iter()
            .collect();
        // Stable: of equal ones the same is kept every time.
        found.sort_by(|a, b| a.key.cmp(&b.key));
        found.dedup_by(|a, b| a.key == b.key);
        Ok(numbered(found))
    }
}

const CHANGES: [(bool, bool); 4] = [(false, false), (true, false), (false, true), (true, true)];

fn numbered(found: Vec<Found>) -> Catalogue {
    let number: FxHashMap<&Key, usize> = found.iter().enumerate().map(|(i, f)| (&f.key, i + 1)).collect();
    let mut linkages = 0;
    let mut entries = Vec::with_capacity(found.len());
    for (i, f) in found.iter().enumerate() {
        if i == 0 || found[i - 1].key.0 != f.key.0 {
            linkages += 1;
        }
        let Counts { folds, shapes, reached, reached_shapes, farthest } = f.counts;
        entries.push(Entry {
            number: i + 1,
            linkage: linkages,
            piece: f.piece.clone(),
            folds,
            shapes,
            reached,
            reached_shapes,
            farthest,
            mirror: number[&f.mirror],
            over: number[&f.over],
            home: f.home,
        });
    }
    Catalogue { entries, linkages }
}

/// The linkages with one more hinge than this one, which closes a loop.
fn closed(code: &Code, levels: u8) -> Vec<Code> {
    let Some(piece) = piece(&Linkage::from_code(code, levels)) else { return vec![] };
    let mut codes = BTreeSet::new();
    for pose in reach::poses(&piece) {
        let drawn = reach::drawn(&piece, &pose);
        for a in 0..drawn.blocks().len() {
            for b in a + 1..drawn.blocks().len() {
                let shared = lattice::Corner::ALL.map(|k| drawn.blocks()[a].corner(k));
                for pin in shared.into_iter().filter(|&v| drawn.blocks()[b].corner_at(v).is_some()) {
                    for level in (0..levels).map(Level) {
                        let mut hinges = drawn.hinges().to_vec();
                        hinges.push(Hinge { pin, joins: [a, b], level });
                        // A level that is taken at this vertex is the one fault there can be.
                        if let Ok(more) = Piece::hinged(drawn.blocks().to_vec(), hinges) {
                            codes.insert(Linkage::of(&more, levels).walks().code);
                        }
                    }
                }
            }
        }
    }
    codes.into_iter().collect()
}

/// The pieces of a linkage, and those of its mirror image and with its levels reversed.
fn pieces(code: &Code, wanted: &Wanted, known: Known) -> (Vec<Found>, Known) {
    let levels = wanted.levels;
    let Some(drawn) = piece(&Linkage::from_code(code, levels)) else { return (vec![], known) };
    let mut swings = Swings::knowing(&drawn, known);
    let classes = Classes::of(&mut swings);
    let linkage = Linkage::of(&drawn, levels);
    let openings: Vec<Vec<u8>> = classes.poses().iter().map(|p| reach::openings(&drawn, p)).collect();
    // By class, its key after each change.
    let mut keys: Vec<Vec<Key>> = vec![vec![]; classes.count()];
    for &(mirrored, reversed) in &CHANGES {
        let seen = linkage.changed(mirrored, reversed);
        let walks = seen.walks();
        let to: Vec<u8> = (0..levels).map(|l| if reversed { levels - 1 - l } else { l }).collect();
        let readings = Reading::all(&drawn, &seen, &walks, mirrored, &to);
        let mut least: Vec<Option<Vec<u8>>> = vec![None; classes.count()];
        for (open, &class) in openings.iter().zip(classes.classes()) {
            for reading in &readings {
                let read = reading.of(open);
                if least[class].as_ref().is_none_or(|l| read < *l) {
                    least[class] = Some(read);
                }
            }
        }
        for (keys, least) in keys.iter_mut().zip(least) {
            keys.push((walks.code.clone(), least.expect("a class has a pose")));
        }
    }
    let folds = Folds::of(&drawn, &classes);
    let mut found = Vec::new();
    let upside = reversed(&drawn, levels);
    for (class, keys) in keys.iter().enumerate() {
        for &(mirrored, reversed) in &CHANGES {
            let at = |m: bool, r: bool| {
                let change = CHANGES.iter().position(|&c| c == (mirrored != m, reversed != r));
                keys[change.expect("changes form a group")].clone()
            };
            // What stands over nothing depends on which way up the levels are.
            let seen = if reversed { &upside } else { &drawn };
            let home = Home::ranked(seen, &classes, class, &swings, wanted.bed)[0];
            found.push(Found {
                key: at(false, false),
                mirror: at(true, false),
                over: at(true, true),
                piece: laid(&reach::drawn(seen, &classes.poses()[home.pose]), mirrored),
                counts: folds.counts(&classes, class, home.pose),
                home,
            });
        }
    }
    (found, swings.into_known())
}

/// A drawing with its levels in reverse order.
fn reversed(piece: &Piece, levels: u8) -> Piece {
    let hinges = piece.hinges().iter().map(|h| Hinge { level: Level(levels - 1 - h.level.0), ..*h });
    Piece::hinged(piece.blocks().to_vec(), hinges.collect()).expect("levels in reverse are as sound")
}

/// A drawing, in a mirror if asked, with its lower left at the origin.
fn laid(piece: &Piece, mirrored: bool) -> Piece {
    let mirror = Motion::about_origin(mirrored, Turn::NONE);
    let low = |of: fn(&Cell) -> i32| piece.blocks().iter().map(|&c| of(&mirror.cell(c))).min().unwrap_or(0);
    let motion = mirror.shifted(-low(|c| c.x), -low(|c| c.y));
    let hinges = piece.hinges().iter().map(|h| Hinge { pin: motion.vertex(h.pin), ..*h }).collect();
    Piece::hinged(piece.blocks().iter().map(|&c| motion.cell(c)).collect(), hinges)
        .expect("a drawing in a mirror is as sound")
}
