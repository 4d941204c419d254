//! What an order costs, term by term.

use super::Pack;

/// How much each term counts, 0 or more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weights {
    /// Of [`Terms::ramp`].
    pub ramp: f64,
    /// Of [`Terms::alike`].
    pub alike: f64,
    /// Of [`Terms::early`].
    pub early: f64,
    /// Of [`Terms::first`].
    pub first: f64,
    /// Of [`Terms::last`].
    pub last: f64,
}

/// The names of the terms, in the order in which they are told.
const NAMES: [&str; 5] = ["ramp", "alike", "early", "first", "last"];

fn named(values: [f64; 5]) -> [(&'static str, f64); 5] {
    std::array::from_fn(|term| (NAMES[term], values[term]))
}

impl Default for Weights {
    fn default() -> Self {
        Weights { ramp: 4.0, alike: 8.0, early: 2.0, first: 0.5, last: 0.5 }
    }
}

impl Weights {
    /// Each weight with its name.
    pub fn named(&self) -> [(&'static str, f64); 5] {
        named([self.ramp, self.alike, self.early, self.first, self.last])
    }

    /// The weight of a name, to be changed.
    pub fn of_name(&mut self, name: &str) -> Option<&mut f64> {
        let at = NAMES.iter().position(|known| *known == name)?;
        let all = [&mut self.ramp, &mut self.alike, &mut self.early, &mut self.first, &mut self.last];
        all.into_iter().nth(at)
    }
}

/// The terms of an order; of each, less is better.
#[derive(Clone, Debug, PartialEq)]
pub struct Terms {
    /// How far effort is from rising steadily: the mean square, over the places, of
    /// the difference to the effort that would stand there in the order of effort.
    pub ramp: f64,
    /// How like neighbours are: the mean square of their likeness.
    pub alike: f64,
    /// How like the outlines of the first third (rounded up, at least two) are: the
    /// mean over their pairs.
    pub early: f64,
    /// By how much the first takes more effort than the easiest.
    pub first: f64,
    /// By how much the last takes less effort than the hardest.
    pub last: f64,
    /// The weighted sum.
    pub cost: f64,
    /// For each place but the last, how like it is to the next.
    pub to_next: Vec<f64>,
}

impl Terms {
    /// Each term with its name.
    pub fn named(&self) -> [(&'static str, f64); 5] {
        named([self.ramp, self.alike, self.early, self.first, self.last])
    }
}

/// A pack made ready to be costed often.
pub(crate) struct Costs<'a> {
    pack: &'a Pack,
    weights: Weights,
    /// Efforts, ascending.
    sorted: Vec<f64>,
}

/// Places of the first third.
fn early_places(n: usize) -> usize {
    n.div_ceil(3).max(2).min(n)
}

impl<'a> Costs<'a> {
    pub fn of(pack: &'a Pack, weights: Weights) -> Self {
        let mut sorted = pack.efforts.clone();
        sorted.sort_unstable_by(f64::total_cmp);
        Costs { pack, weights, sorted }
    }

    pub fn len(&self) -> usize {
        self.sorted.len()
    }

    pub fn effort(&self, item: usize) -> f64 {
        self.pack.efforts[item]
    }

    /// What it adds to the cost to put `next` at a place, after `before`, when the
    /// places below hold `earlier`. Summed over an order this is its cost.
    pub fn step(&self, place: usize, next: usize, before: Option<usize>, earlier: &[usize]) -> f64 {
        let n = self.len();
        let Weights { ramp, alike, early, first, last } = self.weights;
        let effort = self.pack.efforts[next];
        let mut cost = ramp * (effort - self.sorted[place]).powi(2) / n as f64;
        if let Some(before) = before {
            cost += alike * self.pack.likeness[before][next].powi(2) / (n - 1) as f64;
        }
        let third = early_places(n);
        if place < third && place > 0 {
            let like: f64 = earlier.iter().map(|&e| self.pack.likeness[e][next]).sum();
            cost += early * like / (third * (third - 1) / 2) as f64;
        }
        if place == 0 {
            cost += first * (effort - self.sorted[0]);
        }
        if place + 1 == n {
            cost += last * (self.sorted[n - 1] - effort);
        }
        cost
    }

    /// The cost of an order.
    pub fn cost(&self, order: &[usize]) -> f64 {
        let before = |place: usize| place.checked_sub(1).map(|p| order[p]);
        (0..order.len()).map(|p| self.step(p, order[p], before(p), &order[..p])).sum()
    }

    /// Whether the outlines already placed matter to a place beyond the last of them.
    pub fn is_early(&self, place: usize) -> bool {
        place < early_places(self.len())
    }

    pub fn terms(&self, order: &[usize]) -> Terms {
        let only = |name: &str| {
            let mut weights = Weights { ramp: 0.0, alike: 0.0, early: 0.0, first: 0.0, last: 0.0 };
            *weights.of_name(name).expect("the name is one of the terms") = 1.0;
            Costs { pack: self.pack, weights, sorted: self.sorted.clone() }.cost(order)
        };
        Terms {
            ramp: only("ramp"),
            alike: only("alike"),
            early: only("early"),
            first: only("first"),
            last: only("last"),
            cost: self.cost(order),
            to_next: order.windows(2).map(|w| self.pack.likeness[w[0]][w[1]]).collect(),
        }
    }
}
