//! A set proposed: pieces that go well together, ranked by what a designer
//! wants, with every reason told.
//!
//! A set's score is the mean of five terms under the maker's weights. Each term
//! lies between 0 and 1, more is better, and each is a mean over the pieces:
//!
//! - **outlines**: how many shapes a piece reaches, as the logarithm, of all
//!   the shapes there are of so many cells. The more shapes, the more outlines
//!   the set can fill.
//! - **plain**: the share of a piece's folds that its shapes account for. Where
//!   many folds have one shape, poses are interchangeable.
//! - **own**: the share of a piece's shapes that no single other piece of the
//!   set can take. Where another takes all of them, it can always stand in.
//! - **distinct**: how much a piece's home differs from the one most like it:
//!   none if one covers the other, all if at most half of the cells fall on
//!   each other.
//! - **printable**: whether the piece has a home pose that the judge accepts.
//!
//! Sets are found by climbing: from pieces drawn by lot, one piece after the
//! other is changed for the better until none can be, again and again from the
//! seed. What is proposed is the best of that, not of all sets there are.

use rayon::prelude::*;
use reach::Plan;
use rustc_hash::{FxHashMap, FxHashSet};

use crate::catalogue::{Catalogue, Entry};
use crate::traits::{Candidate, Likeness, Looker};

/// What a designer wants, and how much. Not negative, not all nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weights {
    /// Rich in outlines.
    pub outlines: f64,
    /// Few interchangeable poses.
    pub plain: f64,
    /// Pieces that can't stand in for each other.
    pub own: f64,
    /// Pieces the eye tells apart.
    pub distinct: f64,
    /// Pieces that can be printed.
    pub printable: f64,
}

impl Default for Weights {
    fn default() -> Self {
        Weights { outlines: 1.0, plain: 1.0, own: 1.0, distinct: 1.0, printable: 2.0 }
    }
}

/// How to search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Climb {
    /// Equal seeds give equal proposals.
    pub seed: u64,
    /// How often to start anew.
    pub starts: usize,
    /// How many sets to propose at most.
    pub proposals: usize,
    /// How many pieces of each size to choose from at most: the best by
    /// themselves.
    pub pool: usize,
}

impl Default for Climb {
    fn default() -> Self {
        Climb { seed: 1, starts: 64, proposals: 5, pool: 1000 }
    }
}

/// What makes it impossible to compose.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ComposeError {
    /// No pieces asked for.
    #[error("a set has at least one piece")]
    NoPieces,
    /// No catalogue of that many blocks was given.
    #[error("there is no catalogue of pieces of {blocks} blocks to choose from")]
    NoCatalogue {
        /// The number of blocks.
        blocks: usize,
    },
    /// More pieces asked for than there are, counting those that fold and look
    /// alike once.
    #[error(
        "there are only {there} pieces of {blocks} blocks that no term takes for one, not the {asked} asked for"
    )]
    TooFew {
        /// The number of blocks.
        blocks: usize,
        /// Pieces to choose from.
        there: usize,
        /// Pieces asked for.
        asked: usize,
    },
    /// A weight that is none.
    #[error("the weight of '{term}' is {value}; it must be 0 or more")]
    Weight {
        /// The term.
        term: &'static str,
        /// Its weight.
        value: f64,
    },
    /// Nothing is wanted.
    #[error("all weights are 0; at least one must be more")]
    NoWeight,
}

/// One term of a proposal's score.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// Its name, as in [`Weights`].
    pub name: &'static str,
    /// Its weight.
    pub weight: f64,
    /// Its value, 0 to 1.
    pub value: f64,
    /// What it is for each piece, in the proposal's order.
    pub pieces: Vec<f64>,
}

/// A piece of a proposal and what stands behind its figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// Blocks of the piece.
    pub blocks: usize,
    /// Its number in the catalogue of so many blocks.
    pub number: usize,
    /// The piece at home.
    pub piece: lattice::Piece,
    /// Shapes it reaches.
    pub shapes: usize,
    /// Folds it reaches.
    pub folds: usize,
    /// Another member, by position, that can take most of its shapes, and how many.
    pub stand_in: Option<(usize, usize)>,
    /// Another member, by position, that looks most like it, and how much, 0 to 1.
    pub look_alike: Option<(usize, f64)>,
    /// Whether it can be printed.
    pub printable: bool,
}

/// A set proposed.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// Its pieces, by blocks and number.
    pub members: Vec<Member>,
    /// The weighted mean of the terms.
    pub score: f64,
    /// Why it stands where it does.
    pub terms: Vec<Term>,
}

impl Proposal {
    /// The figures of its members in ascending order, terms rounded to a billionth.
    fn figures(&self) -> Vec<Vec<u64>> {
        let member = |i: usize| {
            let terms = self.terms.iter().map(|t| (t.pieces[i] * 1e9).round() as u64);
            let Member { blocks, shapes, folds, .. } = self.members[i];
            [blocks, shapes, folds].map(|n| n as u64).into_iter().chain(terms).collect()
        };
        let mut all: Vec<Vec<u64>> = (0..self.members.len()).map(member).collect();
        all.sort_unstable();
        all
    }
}

const TERMS: [&str; 5] = ["outlines", "plain", "own", "distinct", "printable"];

impl Weights {
    fn by_term(&self) -> [f64; 5] {
        [self.outlines, self.plain, self.own, self.distinct, self.printable]
    }

    fn faults(&self) -> Vec<ComposeError> {
        let named = TERMS.into_iter().zip(self.by_term());
        let mut faults: Vec<ComposeError> = named
            .filter(|(_, v)| !(v.is_finite() && *v >= 0.0))
            .map(|(term, value)| ComposeError::Weight { term, value })
            .collect();
        if faults.is_empty() && self.by_term().iter().all(|&w| w == 0.0) {
            faults.push(ComposeError::NoWeight);
        }
        faults
    }
}

/// Fixed sets of n cells that hang together by sides or corners: OEIS A006770
/// (S. Mertens (1990), J. Stat. Phys. 58, 1095-1108, Table 1).
const ALL_SHAPES: [f64; 8] = [1.0, 4.0, 20.0, 110.0, 638.0, 3832.0, 23592.0, 147941.0];

/// Sets of one piece for each number in `blocks`, the best first. `catalogues`
/// holds the pieces to choose from by their number of blocks; `printable`
/// judges a piece in its home pose.
///
/// # Errors
/// Everything that makes it impossible.
pub fn compose(
    blocks: &[usize],
    catalogues: &[(usize, &Catalogue)],
    plan: &Plan,
    weights: Weights,
    climb: Climb,
    printable: &(dyn Fn(&Entry) -> bool + Sync),
) -> Result<Vec<Proposal>, Vec<ComposeError>> {
    let mut errors = weights.faults();
    if blocks.is_empty() {
        errors.push(ComposeError::NoPieces);
    }
    let mut sizes = blocks.to_vec();
    sizes.sort_unstable();
    let mut looker = Looker::new(plan);
    let mut pools: FxHashMap<usize, Vec<Candidate>> = FxHashMap::default();
    for of_size in sizes.chunk_by(|a, b| a == b) {
        let (blocks, asked) = (of_size[0], of_size.len());
        match catalogues.iter().find(|c| c.0 == blocks) {
            None => errors.push(ComposeError::NoCatalogue { blocks }),
            Some((_, catalogue)) => {
                let pool = pool(catalogue, &mut looker, &weights, climb.pool.max(asked), printable);
                if pool.len() < asked {
                    errors.push(ComposeError::TooFew { blocks, there: pool.len(), asked });
                }
                pools.insert(blocks, pool);
            }
        }
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    let judge = Judge { weights: weights.by_term(), likeness: looker.likeness() };
    let climbs: Vec<Vec<usize>> = (0..climb.starts.max(1))
        .into_par_iter()
        .map(|start| {
            let seed = climb.seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(start as u64);
            climbed(&sizes, &pools, &judge, fastrand::Rng::with_seed(seed))
        })
        .collect();
    let mut seen = FxHashSet::default();
    let mut proposals: Vec<Proposal> = climbs
        .into_iter()
        .filter(|set| seen.insert(set.clone()))
        .map(|set| judge.told(&sizes.iter().zip(&set).map(|(n, &i)| &pools[n][i]).collect::<Vec<_>>()))
        .collect();
    let numbers = |p: &Proposal| p.members.iter().map(|m| (m.blocks, m.number)).collect::<Vec<_>>();
    proposals.sort_by(|a, b| b.score.total_cmp(&a.score).then_with(|| numbers(a).cmp(&numbers(b))));
    // A set in a mirror is as good as the set: of those alike in every figure, one.
    let mut figures = FxHashSet::default();
    proposals.retain(|p| figures.insert(p.figures()));
    proposals.truncate(climb.proposals.max(1));
    Ok(proposals)
}

/// The pieces of one size to choose from: the best by what they are alone.
fn pool(
    catalogue: &Catalogue,
    looker: &mut Looker,
    weights: &Weights,
    most: usize,
    printable: &(dyn Fn(&Entry) -> bool + Sync),
) -> Vec<Candidate> {
    // Pieces that no term tells apart (levels reversed, say) stand here once.
    let mut ranked: Vec<(f64, usize, bool)> = catalogue
        .entries
        .par_iter()
        .enumerate()
        .map(|(i, e)| {
            let good = printable(e);
            let alone = weights.outlines * rich(e.piece.blocks().len(), e.reached_shapes)
                + weights.plain * e.reached_shapes as f64 / e.reached as f64
                + weights.printable * f64::from(u8::from(good));
            (alone, i, good)
        })
        .collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    ranked.truncate(most);
    ranked.sort_by_key(|r| (!r.2, r.1));
    let all = ranked.into_iter().map(|(_, i, good)| looker.candidate(&catalogue.entries[i], good));
    let mut seen = FxHashSet::default();
    all.filter(|c| seen.insert((c.shapes.clone(), c.folds, c.look))).collect()
}

fn rich(blocks: usize, shapes: usize) -> f64 {
    match ALL_SHAPES.get(blocks - 1) {
        Some(&all) if all > 1.0 => ((shapes as f64).ln() / all.ln()).min(1.0),
        _ => 1.0,
    }
}

/// One climb to a set that no change of one piece makes better.
fn climbed(
    sizes: &[usize],
    pools: &FxHashMap<usize, Vec<Candidate>>,
    judge: &Judge,
    mut dice: fastrand::Rng,
) -> Vec<usize> {
    let mut set: Vec<usize> = Vec::new();
    for (i, n) in sizes.iter().enumerate() {
        loop {
            let one = dice.usize(..pools[n].len());
            if !(0..i).any(|j| sizes[j] == *n && set[j] == one) {
                set.push(one);
                break;
            }
        }
    }
    let look = |set: &[usize]| sizes.iter().zip(set).map(|(n, &i)| &pools[n][i]).collect::<Vec<_>>();
    let mut score = judge.score(&look(&set));
    loop {
        let mut best: Option<(f64, usize, usize)> = None;
        for at in 0..set.len() {
            let was = set[at];
            for other in 0..pools[&sizes[at]].len() {
                let there = (0..set.len()).any(|j| j != at && sizes[j] == sizes[at] && set[j] == other);
                if there || other == was {
                    continue;
                }
                set[at] = other;
                let s = judge.score(&look(&set));
                if s > best.map_or(score + 1e-9, |b| b.0) {
                    best = Some((s, at, other));
                }
            }
            set[at] = was;
        }
        let Some((better, at, other)) = best else { break };
        (score, set[at]) = (better, other);
    }
    // Pieces of one size have no order: sets that differ in it alone are one.
    let mut sorted: Vec<(usize, usize)> = sizes.iter().copied().zip(set).collect();
    sorted.sort_unstable();
    sorted.into_iter().map(|s| s.1).collect()
}

struct Judge {
    weights: [f64; 5],
    likeness: Likeness,
}

impl Judge {
    /// By term, what it is for each piece.
    fn values(&self, set: &[&Candidate]) -> [Vec<f64>; 5] {
        let others = |i: usize| set.iter().enumerate().filter(move |&(j, _)| j != i).map(|(_, c)| *c);
        let each = |value: &dyn Fn(usize, &Candidate) -> f64| {
            set.iter().enumerate().map(|(i, c)| value(i, c)).collect()
        };
        let most = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, f64::max);
        [
            each(&|_, c| rich(c.blocks, c.shapes.len())),
            each(&|_, c| c.shapes.len() as f64 / c.folds as f64),
            each(&|i, c| 1.0 - most(&mut others(i).map(|o| c.replaced_by(o)))),
            each(&|i, c| (2.0 * (1.0 - most(&mut others(i).map(|o| self.likeness.of(c, o))))).min(1.0)),
            each(&|_, c| f64::from(u8::from(c.printable))),
        ]
    }

    fn score(&self, set: &[&Candidate]) -> f64 {
        let mean = |v: &Vec<f64>| v.iter().sum::<f64>() / v.len() as f64;
        let values = self.values(set);
        let sum: f64 = values.iter().zip(self.weights).map(|(v, w)| w * mean(v)).sum();
        sum / self.weights.iter().sum::<f64>()
    }

    fn told(&self, set: &[&Candidate]) -> Proposal {
        let greatest = |i: usize, of: &dyn Fn(&Candidate) -> f64| {
            let others = (0..set.len()).filter(|&j| j != i);
            others.max_by(|&a, &b| of(set[a]).total_cmp(&of(set[b])).then(b.cmp(&a)))
        };
        let members = set
            .iter()
            .enumerate()
            .map(|(i, c)| Member {
                blocks: c.blocks,
                number: c.number,
                piece: c.piece.clone(),
                shapes: c.shapes.len(),
                folds: c.folds,
                stand_in: greatest(i, &|o| c.replaced_by(o)).map(|j| (j, c.shapes.common(&set[j].shapes))),
                look_alike: greatest(i, &|o| self.likeness.of(c, o))
                    .map(|j| (j, self.likeness.of(c, set[j]))),
                printable: c.printable,
            })
            .collect();
        let terms = TERMS
            .into_iter()
            .zip(self.weights)
            .zip(self.values(set))
            .map(|((name, weight), pieces)| {
                let value = pieces.iter().sum::<f64>() / pieces.len() as f64;
                Term { name, weight, value, pieces }
            })
            .collect();
        Proposal { members, score: self.score(set), terms }
    }
}
