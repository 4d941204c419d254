//! A good order for packs too large for the exact one: simulated annealing from
//! the order of effort, several times, each followed by a descent in which no
//! exchange of two and no move of one is left that costs less.

use super::terms::Costs;

/// Starts, the best of which is taken.
const STARTS: u64 = 4;
/// Steps of each, for each free place, and at most.
const STEPS: usize = 4000;
const MOST_STEPS: usize = 120_000;
/// Temperature at the beginning and at the end, in units of cost.
const WARM: f64 = 0.3;
const COLD: f64 = 1e-4;

/// An order that costs little.
pub(crate) fn anneal(costs: &Costs<'_>, fixed: &[Option<usize>], seed: u64) -> Vec<usize> {
    let places: Vec<usize> = (0..costs.len()).filter(|&p| fixed[p].is_none()).collect();
    let mut items: Vec<usize> = (0..costs.len()).filter(|&i| !fixed.contains(&Some(i))).collect();
    items.sort_by(|&a, &b| costs.effort(a).total_cmp(&costs.effort(b)));
    let mut first: Vec<usize> = fixed.iter().map(|f| f.unwrap_or(usize::MAX)).collect();
    for (&place, &item) in places.iter().zip(&items) {
        first[place] = item;
    }
    let mut best = first.clone();
    let mut least = f64::INFINITY;
    for start in 0..STARTS {
        let mut order = first.clone();
        cool(costs, &places, &mut order, fastrand::Rng::with_seed(seed.wrapping_mul(STARTS) ^ start));
        descend(costs, &places, &mut order);
        let cost = costs.cost(&order);
        if cost < least {
            (best, least) = (order, cost);
        }
    }
    best
}

fn cool(costs: &Costs<'_>, places: &[usize], order: &mut [usize], mut dice: fastrand::Rng) {
    if places.len() < 2 {
        return;
    }
    let steps = (STEPS * places.len()).min(MOST_STEPS);
    let mut cost = costs.cost(order);
    for step in 0..steps {
        let heat = WARM * (COLD / WARM).powf(step as f64 / steps as f64);
        let (a, b) = (dice.usize(..places.len()), dice.usize(..places.len()));
        let exchange = dice.bool();
        change(places, order, exchange, a, b);
        let changed = costs.cost(order);
        if changed <= cost || dice.f64() < ((cost - changed) / heat).exp() {
            cost = changed;
        } else {
            change(places, order, exchange, b, a);
        }
    }
}

/// Takes every change that costs less until none is left.
fn descend(costs: &Costs<'_>, places: &[usize], order: &mut [usize]) {
    let mut cost = costs.cost(order);
    loop {
        let before = cost;
        for a in 0..places.len() {
            for b in 0..places.len() {
                for exchange in [true, false] {
                    change(places, order, exchange, a, b);
                    let changed = costs.cost(order);
                    if changed < cost - 1e-12 {
                        cost = changed;
                    } else {
                        change(places, order, exchange, b, a);
                    }
                }
            }
        }
        if cost == before {
            return;
        }
    }
}

/// Exchanges two of the free places, or moves what is at one to the other.
fn change(places: &[usize], order: &mut [usize], exchange: bool, a: usize, b: usize) {
    if exchange {
        order.swap(places[a], places[b]);
        return;
    }
    let step = |i: usize| if a < b { i + 1 } else { i - 1 };
    let mut at = a;
    while at != b {
        order.swap(places[at], places[step(at)]);
        at = step(at);
    }
}
