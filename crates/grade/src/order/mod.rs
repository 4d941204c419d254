//! The order of a pack: from easy to worthy, with variety early and no
//! neighbour with a like answer.
//!
//! An order has a cost, the weighted sum of five terms, each told with its
//! number; the least cost is sought, exactly for small packs. Places that the
//! maker has fixed are kept.

mod anneal;
mod exact;
mod terms;

pub use terms::{Terms, Weights};

use anneal::anneal;
use exact::exact;
use terms::Costs;

/// Packs up to this size are ordered exactly.
pub const EXACT: usize = 13;

/// What is known of the outlines of a pack.
#[derive(Clone, Debug, PartialEq)]
pub struct Pack {
    /// The effort of each.
    pub efforts: Vec<f64>,
    /// How like the answers of each two are, 0 to 1.
    pub likeness: Vec<Vec<f64>>,
}

/// An order proposed.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// Positions in the pack, the first to be published first.
    pub order: Vec<usize>,
    /// Its terms.
    pub terms: Terms,
    /// Whether no order costs less; else none was found that does.
    pub proven: bool,
}

/// The terms of an order that is given.
///
/// # Panics
/// If `order` is not one of the pack's.
pub fn terms(pack: &Pack, weights: Weights, order: &[usize]) -> Terms {
    Costs::of(pack, weights).terms(order)
}

/// The order that costs least. `fixed`: for each place, the outline that the
/// maker has put there, if any.
///
/// # Panics
/// If `fixed` has another length than the pack, or names an outline twice.
pub fn propose(pack: &Pack, weights: Weights, fixed: &[Option<usize>], seed: u64) -> Proposal {
    assert_eq!(fixed.len(), pack.efforts.len(), "each place is fixed or free");
    let costs = Costs::of(pack, weights);
    let free = fixed.iter().filter(|f| f.is_none()).count();
    let proven = pack.efforts.len() <= EXACT || free <= 1;
    let order = if pack.efforts.len() <= EXACT { exact(&costs, fixed) } else { anneal(&costs, fixed, seed) };
    Proposal { terms: costs.terms(&order), order, proven }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack(n: usize, seed: u64) -> Pack {
        let mut dice = fastrand::Rng::with_seed(seed);
        let efforts = (0..n).map(|_| 4.0 + 9.0 * dice.f64()).collect();
        let mut likeness = vec![vec![0.0; n]; n];
        for (i, j) in (0..n).flat_map(|i| (0..i).map(move |j| (i, j))) {
            likeness[i][j] = dice.f64().powi(2);
            likeness[j][i] = likeness[i][j];
        }
        Pack { efforts, likeness }
    }

    fn permutations(n: usize) -> Vec<Vec<usize>> {
        if n == 0 {
            return vec![vec![]];
        }
        let shorter = permutations(n - 1);
        (0..n)
            .flat_map(|at| {
                shorter.iter().map(move |p| {
                    let mut p = p.clone();
                    p.insert(at, n - 1);
                    p
                })
            })
            .collect()
    }

    #[test]
    fn the_exact_order_is_the_best_of_all_there_are() {
        for seed in 0..6 {
            let pack = pack(1 + seed as usize, seed);
            let n = pack.efforts.len();
            let found = propose(&pack, Weights::default(), &vec![None; n], 1);
            let least = permutations(n)
                .iter()
                .map(|o| terms(&pack, Weights::default(), o).cost)
                .fold(f64::INFINITY, f64::min);
            assert!(found.proven && (found.terms.cost - least).abs() < 1e-9, "{found:?} against {least}");
        }
    }

    #[test]
    fn annealing_finds_what_is_exact() {
        for seed in 0..12 {
            let pack = pack(7 + seed as usize % 5, seed);
            let n = pack.efforts.len();
            let mut fixed = vec![None; n];
            if seed % 2 == 1 {
                fixed[0] = Some(3);
                fixed[n / 2] = Some(0);
            }
            let costs = Costs::of(&pack, Weights::default());
            let best = costs.terms(&exact(&costs, &fixed)).cost;
            let found = costs.terms(&anneal(&costs, &fixed, 1)).cost;
            assert!((found - best).abs() < 1e-9, "seed {seed}: {found} against {best}");
        }
    }

    #[test]
    fn what_is_fixed_stays_and_the_rest_is_there_once() {
        for n in [9, 30] {
            let pack = pack(n, 5);
            let mut fixed = vec![None; n];
            fixed[2] = Some(7);
            fixed[n - 1] = Some(0);
            let found = propose(&pack, Weights::default(), &fixed, 1);
            assert_eq!((found.order[2], found.order[n - 1]), (7, 0));
            let mut all = found.order.clone();
            all.sort_unstable();
            assert_eq!(all, (0..n).collect::<Vec<_>>());
            assert_eq!(found, propose(&pack, Weights::default(), &fixed, 1));
            let free = propose(&pack, Weights::default(), &vec![None; n], 1);
            assert!(free.terms.cost <= found.terms.cost);
        }
    }

    /// With nothing but the ramp wanted, the order is that of effort.
    #[test]
    fn the_ramp_alone_sorts() {
        let pack = pack(25, 3);
        let weights = Weights { alike: 0.0, early: 0.0, ..Weights::default() };
        let found = propose(&pack, weights, &[None; 25], 1);
        let efforts: Vec<f64> = found.order.iter().map(|&i| pack.efforts[i]).collect();
        assert!(efforts.is_sorted(), "{efforts:?}");
        assert_eq!(found.terms.cost, 0.0);
    }
}
