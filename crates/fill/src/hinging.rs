//! The hinges of one layout: its foldings counted, one of them chosen, and the
//! footprints it can have.
//!
//! A layout fixes places; each place is free among its variants, save where
//! two places could both have a pin on one vertex. Those *contested* pins are
//! few, so places are taken in turn and only what later places can still run
//! into is carried along: foldings are counted, never listed.

use std::ops::{AddAssign, Mul};

use lattice::DropIn;
use lattice::drop_in::order;
use num_bigint::BigUint;
use rustc_hash::FxHashMap;

use crate::bits::Bits;
use crate::instance::{Instance, Place, Variant, whole_vertices};

/// One variant chosen for each place of a layout, and how it drops in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Chosen {
    /// Variants, in the order of the layout's places.
    pub variants: Vec<usize>,
    /// Order or ring, as positions in the layout.
    pub drop_in: DropIn,
}

/// The hinges of the layouts of one instance.
pub(crate) struct Hinging<'a, B> {
    instance: &'a Instance<B>,
}

impl<'a, B: Bits> Hinging<'a, B> {
    pub fn new(instance: &'a Instance<B>) -> Self {
        Hinging { instance }
    }

    fn place(&self, place: u32) -> &'a Place<B> {
        &self.instance.places[place as usize]
    }

    /// Pins that two places could both have.
    fn contested(&self, layout: &[u32]) -> B {
        self.twice(layout, |place| &place.inner)
    }

    /// Pins on vertices, at any level, where two places could both have one.
    fn shared(&self, layout: &[u32]) -> B {
        self.twice(layout, |place| &place.vertices)
    }

    fn twice(&self, layout: &[u32], pins: impl Fn(&'a Place<B>) -> &'a B) -> B {
        let (mut once, mut twice) = (B::none(self.instance.width), B::none(self.instance.width));
        for &p in layout {
            let pins = pins(self.place(p));
            twice.add(&once.clone().and(pins));
            once.add(pins);
        }
        twice
    }

    /// How many foldings a layout has, 0 if its hinges cannot all stand; none if the
    /// number may not fit a word.
    pub fn few_foldings(&self, layout: &[u32]) -> Option<u64> {
        let bits = |&p: &u32| usize::BITS - self.place(p).variants.len().leading_zeros();
        (layout.iter().map(bits).sum::<u32>() < 64).then(|| self.count::<u64>(layout))
    }

    /// How many foldings a layout has: 0 if its hinges cannot all stand.
    pub fn foldings(&self, layout: &[u32]) -> BigUint {
        self.few_foldings(layout).map_or_else(|| self.count::<BigUint>(layout), BigUint::from)
    }

    /// The foldings, in a type wide enough for the product of all variants.
    fn count<T>(&self, layout: &[u32]) -> T
    where
        T: Clone + From<u64> + AddAssign + Mul<Output = T>,
    {
        let contested = self.contested(layout);
        let tied = |p: u32| self.place(p).inner.meets(&contested);
        let free = layout.iter().filter(|&&p| !tied(p));
        let product = free.fold(T::from(1), |n, &p| n * T::from(self.place(p).variants.len() as u64));
        if contested.is_none() {
            return product;
        }
        let tied: Vec<u32> = layout.iter().copied().filter(|&p| tied(p)).collect();
        // States and groups are few, so plain lists serve better than maps.
        let mut states = vec![(B::none(self.instance.width), product)];
        for (i, &p) in tied.iter().enumerate() {
            let later = self.pins_of(&tied[i + 1..]).and(&contested);
            let mut groups: Vec<(B, u64)> = Vec::new();
            for variant in &self.instance.variants[self.place(p).variants.clone()] {
                let pins = variant.inner.clone().and(&contested);
                match groups.iter_mut().find(|g| g.0 == pins) {
                    Some((_, n)) => *n += 1,
                    None => groups.push((pins, 1)),
                }
            }
            let mut next: Vec<(B, T)> = Vec::new();
            for (taken, ways) in &states {
                for (pins, n) in groups.iter().filter(|(pins, _)| !taken.meets(pins)) {
                    let key = taken.clone().or(pins).and(&later);
                    let more = ways.clone() * T::from(*n);
                    match next.iter_mut().find(|s| s.0 == key) {
                        Some((_, ways)) => *ways += more,
                        None => next.push((key, more)),
                    }
                }
            }
            states = next;
        }
        states.into_iter().fold(T::from(0), |mut sum, (_, ways)| {
            sum += ways;
            sum
        })
    }

    fn pins_of(&self, layout: &[u32]) -> B {
        layout.iter().fold(B::none(self.instance.width), |all, &p| all.or(&self.place(p).inner))
    }

    /// Whether some folding of a layout drops in.
    pub fn drops_in(&self, layout: &[u32]) -> bool {
        let shared = self.shared(layout);
        let clear = |v: &Variant<B>| !v.inner.meets(&shared);
        // Pieces without pins on shared vertices neither run into nor wait for each other.
        let aloof = |&p: &u32| self.instance.variants[self.place(p).variants.clone()].iter().any(clear);
        layout.iter().all(aloof) || self.dropping_in(layout).is_some()
    }

    /// A folding of a layout that drops in, if it has one.
    pub fn dropping_in(&self, layout: &[u32]) -> Option<Chosen> {
        self.choose(layout, true, |_, _| true)
    }

    /// Any folding of a layout.
    pub fn any(&self, layout: &[u32]) -> Option<Chosen> {
        self.choose(layout, false, |_, _| true)
    }

    /// The edge vertices at which some folding has a pin, if only those in
    /// `pockets` may have one.
    pub fn used(&self, layout: &[u32], pockets: &B) -> B {
        let mut used = B::none(self.instance.width);
        let edge = |v: usize| &self.instance.variants[v].edge;
        for (i, &p) in layout.iter().enumerate() {
            for v in self.place(p).variants.clone() {
                if edge(v).within(pockets) && !edge(v).within(&used) {
                    let allowed = |j: usize, w: usize| if i == j { v == w } else { edge(w).within(pockets) };
                    if self.choose(layout, false, allowed).is_some() {
                        used.add(edge(v));
                    }
                }
            }
        }
        used
    }

    /// A folding of variants that are allowed, by position in the layout.
    fn choose(
        &self,
        layout: &[u32],
        drops_in: bool,
        allowed: impl Fn(usize, usize) -> bool,
    ) -> Option<Chosen> {
        let shared = self.shared(layout);
        // Fewer pins on shared vertices run into less and bind less: the least sets will do.
        let options: Vec<Vec<(B, usize)>> = layout
            .iter()
            .enumerate()
            .map(|(i, &p)| {
                let variants = self.place(p).variants.clone().filter(|&v| allowed(i, v));
                let pins = |v: usize| (self.instance.variants[v].inner.clone().and(&shared), v);
                least(variants.map(pins).collect(), |a, b| a.0.within(&b.0))
            })
            .collect();
        let mut picked = Vec::new();
        self.pick(&options, &mut picked, &B::none(self.instance.width), drops_in)
    }

    fn pick(
        &self,
        options: &[Vec<(B, usize)>],
        picked: &mut Vec<(B, usize)>,
        taken: &B,
        drops_in: bool,
    ) -> Option<Chosen> {
        let Some(next) = options.get(picked.len()) else {
            let pins: Vec<&B> = picked.iter().map(|p| &p.0).collect();
            let drop_in = self.order_of(&pins);
            if drops_in && matches!(drop_in, DropIn::Interlocked(_)) {
                return None;
            }
            return Some(Chosen { variants: picked.iter().map(|p| p.1).collect(), drop_in });
        };
        for (pins, variant) in next.iter().filter(|(pins, _)| !pins.meets(taken)) {
            picked.push((pins.clone(), *variant));
            let chosen = self.pick(options, picked, &taken.clone().or(pins), drops_in);
            picked.pop();
            if chosen.is_some() {
                return chosen;
            }
        }
        None
    }

    /// The drop-in order of places with the given inner pins.
    fn order_of(&self, pins: &[&B]) -> DropIn {
        let levels = self.instance.levels;
        let mut all: Vec<(usize, usize)> =
            pins.iter().enumerate().flat_map(|(i, pins)| pins.iter().map(move |bit| (bit, i))).collect();
        all.sort_unstable();
        let before: Vec<(usize, usize)> = all
            .windows(2)
            .filter(|w| w[0].0 / levels == w[1].0 / levels && w[0].1 != w[1].1)
            .map(|w| (w[0].1, w[1].1))
            .collect();
        order(pins.len(), &before)
    }

    /// The least sets of edge vertices that a folding of the layout needs
    /// pockets at; with `drops_in`, one that drops in. Sorted.
    pub fn footprints(&self, layout: &[u32], drops_in: bool) -> Vec<B> {
        let contested = self.contested(layout);
        let all = self.merge_footprints(layout, &contested, |pins| pins);
        if !drops_in {
            return all;
        }
        // Foldings in which no vertex has pins of two places drop in as they are.
        let shared = self.shared(layout);
        let unbound = self.merge_footprints(layout, &shared, |pins| {
            whole_vertices(&pins, self.instance.levels, self.instance.width)
        });
        if unbound == all { all } else { self.listed_footprints(layout, &shared) }
    }

    fn merge_footprints(&self, layout: &[u32], contested: &B, spread: impl Fn(B) -> B) -> Vec<B> {
        let none = B::none(self.instance.width);
        let mut states = vec![(none.clone(), vec![none])];
        for (i, &p) in layout.iter().enumerate() {
            let later = spread(self.pins_of(&layout[i + 1..]).and(contested));
            let options = self.needs(p, contested, &spread);
            let mut next: FxHashMap<B, Vec<B>> = FxHashMap::default();
            for (taken, footprints) in &states {
                for (pins, edge) in options.iter().filter(|(pins, _)| !pins.meets(taken)) {
                    let key = taken.clone().or(pins).and(&later);
                    next.entry(key).or_default().extend(footprints.iter().map(|f| f.clone().or(edge)));
                }
            }
            states = next.into_iter().map(|(key, sets)| (key, least(sets, B::within))).collect();
        }
        least(states.into_iter().flat_map(|(_, sets)| sets).collect(), B::within)
    }

    /// What the variants of a place take of the contested pins and need of the edge; the least pairs.
    fn needs(&self, place: u32, contested: &B, spread: impl Fn(B) -> B) -> Vec<(B, B)> {
        let variants = &self.instance.variants[self.place(place).variants.clone()];
        let pairs = variants.iter().map(|v| (spread(v.inner.clone().and(contested)), v.edge.clone()));
        least(pairs.collect(), |a, b| a.0.within(&b.0) && a.1.within(&b.1))
    }

    /// Footprints of the foldings that drop in, by going through the choices of contested pins.
    fn listed_footprints(&self, layout: &[u32], shared: &B) -> Vec<B> {
        let options: Vec<_> = layout.iter().map(|&p| self.needs(p, shared, |pins| pins)).collect();
        let mut found = Vec::new();
        let none = B::none(self.instance.width);
        self.list_footprints(&options, &mut Vec::new(), &none, &none, &mut found);
        least(found, B::within)
    }

    fn list_footprints(
        &self,
        options: &[Vec<(B, B)>],
        picked: &mut Vec<B>,
        taken: &B,
        edge: &B,
        found: &mut Vec<B>,
    ) {
        if found.iter().any(|f: &B| f.within(edge)) {
            return;
        }
        let Some(next) = options.get(picked.len()) else {
            let pins: Vec<&B> = picked.iter().collect();
            if matches!(self.order_of(&pins), DropIn::Order(_)) {
                found.push(edge.clone());
            }
            return;
        };
        for (pins, needs) in next.iter().filter(|(pins, _)| !pins.meets(taken)) {
            picked.push(pins.clone());
            self.list_footprints(options, picked, &taken.clone().or(pins), &edge.clone().or(needs), found);
            picked.pop();
        }
    }
}

/// The least elements under a partial order, each once, sorted.
pub(crate) fn least<T: Ord + Clone>(mut all: Vec<T>, under: impl Fn(&T, &T) -> bool) -> Vec<T> {
    all.sort_unstable();
    all.dedup();
    let is_least = |i: usize| {
        !all.iter()
            .enumerate()
            .any(|(j, other)| j != i && under(other, &all[i]) && !(under(&all[i], other) && i < j))
    };
    let kept: Vec<bool> = (0..all.len()).map(is_least).collect();
    all.into_iter().zip(kept).filter(|(_, keep)| *keep).map(|(one, _)| one).collect()
}
