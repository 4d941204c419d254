//! The best order by dynamic programming over sets of outlines already placed
//! (M. Held and R. M. Karp, 1962, from memory): a set says which place is next,
//! and the last one placed is all else that the next step needs.

use super::terms::Costs;

/// The order that costs least; the first of equals.
pub(crate) fn exact(costs: &Costs<'_>, fixed: &[Option<usize>]) -> Vec<usize> {
    let n = costs.len();
    if n == 0 {
        return Vec::new();
    }
    let may = |place: usize, item: usize| match fixed[place] {
        Some(held) => held == item,
        None => !fixed.contains(&Some(item)),
    };
    // By set and last one: the least cost, and the one before the last.
    let mut best = vec![(f64::INFINITY, usize::MAX); (1 << n) * n];
    for item in (0..n).filter(|&i| may(0, i)) {
        best[(1 << item) * n + item] = (costs.step(0, item, None, &[]), usize::MAX);
    }
    let mut earlier = Vec::new();
    for set in 1usize..1 << n {
        let place = set.count_ones() as usize;
        if place == n {
            continue;
        }
        earlier.clear();
        if costs.is_early(place) {
            earlier.extend((0..n).filter(|i| set >> i & 1 == 1));
        }
        for last in (0..n).filter(|i| set >> i & 1 == 1) {
            let so_far = best[set * n + last].0;
            if so_far == f64::INFINITY {
                continue;
            }
            for next in (0..n).filter(|&i| set >> i & 1 == 0 && may(place, i)) {
                let cost = so_far + costs.step(place, next, Some(last), &earlier);
                let to = &mut best[(set | 1 << next) * n + next];
                if cost < to.0 {
                    *to = (cost, last);
                }
            }
        }
    }
    let mut set = (1 << n) - 1;
    let mut last = (0..n)
        .min_by(|&a, &b| best[set * n + a].0.total_cmp(&best[set * n + b].0))
        .expect("there is an outline");
    let mut order = vec![last];
    while order.len() < n {
        let before = best[set * n + last].1;
        set &= !(1 << last);
        last = before;
        order.push(last);
    }
    order.reverse();
    order
}
