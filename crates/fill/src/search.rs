//! The search: every layout, each once, in one fixed order.
//!
//! A node holds the places still possible, copied to a stack so that reading
//! them is one straight run through memory. While a node narrows its parent's
//! places it also counts, for all cells at once, whether a cell has none, one,
//! two or three places left (saturating counters, one bit of each to a cell).
//! It goes on at the cell with the fewest, or with a last piece of a class
//! that has fewer still. Pieces that fold alike are one class with a count, so
//! they are never swapped for one another.
//!
//! Dead ends are cut before they are narrowed: empty cells fall into regions
//! that no place joins, and the area of each must be a sum of sizes left; and a
//! table remembers what led nowhere ([`crate::dead`]). Pins that a place has in
//! every variant are in the way of others like cells are; what further choice
//! of hinges allows is left to [`crate::hinging`].
//!
//! With few places left, choosing well costs more than it saves. The rest of
//! such a node is searched by first fit ([`crate::short`]).
//!
//! The order depends on the problem alone: a search cut into tasks gives the
//! same layouts in the same order.

use std::ops::ControlFlow;

use crate::bits::Bits;
use crate::dead::DeadEnds;
use crate::instance::Instance;
use crate::short::ShortList;

/// Takes layouts as they are found and says whether to go on.
pub(crate) trait Sink {
    /// A layout, as places in the order of choice.
    fn found(&mut self, places: &[u32]) -> ControlFlow<()>;
}

/// Asked now and then whether the search should end early.
pub type Stop<'a> = &'a (dyn Fn() -> bool + Sync);

/// Why a search ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum End {
    /// Nothing is left to find.
    Exhausted,
    /// The sink had enough.
    Enough,
    /// It was told to stop.
    Stopped,
}

/// A place that still fits.
#[derive(Clone)]
pub(crate) struct Live<B> {
    pub cells: B,
    /// Pins it has in any case.
    pub must: B,
    pub place: u32,
    pub class: u32,
}

/// What a choice of places leaves.
pub(crate) struct Node<B> {
    /// Cells not covered.
    empty: B,
    /// Pins that further places could run into.
    pins: B,
}

impl<B: Bits> Node<B> {
    #[inline]
    fn fits(&self, live: &Live<B>) -> bool {
        live.cells.within(&self.empty) && !live.must.meets(&self.pins)
    }

    #[inline]
    fn after(&self, instance: &Instance<B>, cells: &B, must: &B) -> Self {
        let empty = self.empty.clone().less(cells);
        let pins = instance.in_the_way(self.pins.clone().or(must), &empty);
        Node { empty, pins }
    }
}

/// One search, with its stack.
pub(crate) struct Search<'a, B> {
    instance: &'a Instance<B>,
    stop: Stop<'a>,
    /// Pieces left of each class.
    left: Vec<usize>,
    pieces_left: usize,
    live: Vec<Live<B>>,
    chosen: Vec<u32>,
    nodes: u64,
    found: u64,
    stopped: bool,
    dead: DeadEnds<B>,
    short: ShortList<B>,
    /// Record nodes at this depth instead of going on.
    cut: Option<(usize, Vec<Vec<u32>>)>,
}

/// What narrowing learned about a node.
struct Tally<B> {
    start: usize,
    end: usize,
    counts: [B; 4],
    /// A class whose last piece has fewest places, and how many.
    scarce: Option<(u32, usize)>,
    dead: bool,
}

const ASK_EVERY: u64 = 512;

/// First fit takes over with at most this many places and pieces left. By
/// measurement: twelve rigid pieces (2,000 places) are four times faster so;
/// eight rich hinged ones (14,000) can be a thousand times slower.
const SHORT_PLACES: usize = 2048;
const SHORT_PIECES: usize = 12;

impl<'a, B: Bits> Search<'a, B> {
    pub fn new(instance: &'a Instance<B>, stop: Stop<'a>) -> Self {
        let left: Vec<usize> = instance.kinds.iter().map(|k| k.count).collect();
        Search {
            instance,
            stop,
            pieces_left: left.iter().sum(),
            left,
            live: Vec::new(),
            chosen: Vec::new(),
            nodes: 0,
            found: 0,
            stopped: false,
            dead: DeadEnds::new(instance),
            short: ShortList::new(),
            cut: None,
        }
    }

    /// Finds all layouts that begin with the places of `prefix`.
    pub fn run(&mut self, prefix: &[u32], sink: &mut impl Sink) -> End {
        let mut flow = ControlFlow::Continue(());
        if let Some((tally, node)) = self.begin(prefix) {
            flow = self.dive(&tally, &node, sink);
        }
        match flow {
            _ if self.stopped => End::Stopped,
            ControlFlow::Break(()) => End::Enough,
            ControlFlow::Continue(()) => End::Exhausted,
        }
    }

    /// The prefixes one choice longer than `prefix`, in the order of search.
    pub fn split(&mut self, prefix: &[u32]) -> Vec<Vec<u32>> {
        struct Ignore;
        impl Sink for Ignore {
            fn found(&mut self, _: &[u32]) -> ControlFlow<()> {
                ControlFlow::Continue(())
            }
        }
        self.cut = Some((prefix.len() + 1, Vec::new()));
        self.run(prefix, &mut Ignore);
        self.cut.take().map_or_else(Vec::new, |(_, found)| found)
    }

    /// Sets up the node after `prefix`; none if it is already a dead end.
    fn begin(&mut self, prefix: &[u32]) -> Option<(Tally<B>, Node<B>)> {
        let width = self.instance.width;
        self.left = self.instance.kinds.iter().map(|k| k.count).collect();
        self.pieces_left = self.left.iter().sum();
        self.chosen.clear();
        self.live.clear();
        self.dead.reset(&self.left);
        let mut node = Node { empty: B::of(width, 0..self.instance.cells.len()), pins: B::none(width) };
        for &p in prefix {
            let place = &self.instance.places[p as usize];
            if node.pins.meets(&place.must) {
                return None;
            }
            node = node.after(self.instance, &place.cells, &place.must);
            self.left[place.class] -= 1;
            self.pieces_left -= 1;
            self.dead.take(place.class);
            self.chosen.push(p);
        }
        let numbered = self.instance.places.iter().enumerate();
        self.live.extend(numbered.map(|(i, place)| Live {
            cells: place.cells.clone(),
            must: place.must.clone(),
            place: i as u32,
            class: place.class as u32,
        }));
        let end = self.live.len();
        let tally = self.narrow(0, end, &node);
        (!tally.dead || self.pieces_left == 0).then_some((tally, node))
    }

    /// Copies what still fits into a node to the top of the stack and counts.
    fn narrow(&mut self, start: usize, end: usize, node: &Node<B>) -> Tally<B> {
        let none = B::none(self.instance.width);
        let (mut c1, mut c2, mut c3, mut c4) = (none.clone(), none.clone(), none.clone(), none);
        let mut have = [0usize; 32];
        let wide = self.left.len() > have.len();
        let at = self.live.len();
        self.live.reserve(end - start);
        for i in start..end {
            let live = &self.live[i];
            if node.fits(live) && self.left[live.class as usize] > 0 {
                let live = live.clone();
                c4.add(&c3.clone().and(&live.cells));
                c3.add(&c2.clone().and(&live.cells));
                c2.add(&c1.clone().and(&live.cells));
                c1.add(&live.cells);
                if !wide {
                    have[live.class as usize] += 1;
                }
                self.live.push(live);
            }
        }
        let mut dead = !node.empty.within(&c1);
        let mut scarce = None;
        if !wide {
            for (k, &left) in self.left.iter().enumerate().filter(|(_, left)| **left > 0) {
                dead |= have[k] < left;
                if left == 1 && scarce.is_none_or(|(_, least)| have[k] < least) {
                    scarce = Some((k as u32, have[k]));
                }
            }
        }
        Tally { start: at, end: self.live.len(), counts: [c1, c2, c3, c4], scarce, dead }
    }

    /// Counts a node; breaks if the search was told to stop.
    fn count_node(&mut self) -> ControlFlow<()> {
        self.nodes += 1;
        if self.nodes.is_multiple_of(ASK_EVERY) && (self.stop)() {
            self.stopped = true;
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    }

    fn report(&mut self, sink: &mut impl Sink) -> ControlFlow<()> {
        self.found += 1;
        sink.found(&self.chosen)
    }

    fn dive(&mut self, tally: &Tally<B>, node: &Node<B>, sink: &mut impl Sink) -> ControlFlow<()> {
        self.count_node()?;
        if let Some((depth, found)) = &mut self.cut
            && self.chosen.len() == *depth
        {
            found.push(self.chosen.clone());
            return ControlFlow::Continue(());
        }
        if self.pieces_left == 0 {
            return self.report(sink);
        }
        if self.pieces_left <= SHORT_PIECES && tally.end - tally.start <= SHORT_PLACES && self.cut.is_none() {
            let mut list = std::mem::take(&mut self.short);
            list.fill(&self.live[tally.start..tally.end], self.instance.cells.len());
            let flow = self.first_fit(&mut list, node, self.pieces_left, sink);
            self.short = list;
            return flow;
        }
        let [_, c2, c3, c4] = &tally.counts;
        let empty = &node.empty;
        let fewest = [(empty.clone().less(c2), 1), (empty.clone().less(c3), 2), (empty.clone().less(c4), 3)];
        let (cell, few) = fewest
            .iter()
            .find_map(|(cells, n)| cells.first().map(|c| (c, *n)))
            .unwrap_or_else(|| (empty.first().expect("pieces left have cells left"), 4));
        let class = tally.scarce.filter(|&(_, n)| n < few).map(|(k, _)| k);
        let areas = Areas::of(self.instance, &self.left);
        for i in tally.start..tally.end {
            let live = &self.live[i];
            let branch = match class {
                Some(k) => live.class == k,
                None => live.cells.has(cell),
            };
            if branch {
                let live = live.clone();
                let rest = node.after(self.instance, &live.cells, &live.must);
                self.choose(&live, tally, &rest, &areas, sink)?;
            }
        }
        ControlFlow::Continue(())
    }

    /// First fit: the first empty cell is covered by each place that starts there.
    fn first_fit(
        &mut self,
        list: &mut ShortList<B>,
        node: &Node<B>,
        pieces_left: usize,
        sink: &mut impl Sink,
    ) -> ControlFlow<()> {
        self.count_node()?;
        let Some(cell) = node.empty.first() else {
            return self.report(sink);
        };
        // One or two pieces are tried as fast as they are looked up.
        let last = pieces_left == 1;
        let remembered = pieces_left > 2;
        if remembered && self.dead.knows(&node.empty, &node.pins) {
            return ControlFlow::Continue(());
        }
        let before = self.found;
        for i in list.fitting(cell, &node.empty) {
            let live = list.at(i);
            let class = live.class as usize;
            if self.left[class] == 0 || !node.fits(live) {
                continue;
            }
            if last {
                if live.cells == node.empty {
                    self.chosen.push(live.place);
                    let flow = self.report(sink);
                    self.chosen.pop();
                    return flow;
                }
                continue;
            }
            let rest = node.after(self.instance, &live.cells, &live.must);
            self.chosen.push(live.place);
            self.left[class] -= 1;
            self.dead.take(class);
            let flow = self.first_fit(list, &rest, pieces_left - 1, sink);
            self.dead.put_back(class);
            self.left[class] += 1;
            self.chosen.pop();
            flow?;
        }
        if remembered && self.found == before {
            self.dead.learn(&node.empty, &node.pins);
        }
        ControlFlow::Continue(())
    }

    fn choose(
        &mut self,
        live: &Live<B>,
        tally: &Tally<B>,
        rest: &Node<B>,
        areas: &Areas,
        sink: &mut impl Sink,
    ) -> ControlFlow<()> {
        let class = live.class as usize;
        self.left[class] -= 1;
        self.pieces_left -= 1;
        self.dead.take(class);
        self.chosen.push(live.place);
        let mut flow = ControlFlow::Continue(());
        let cutting = self.cut.is_some();
        if self.pieces_left == 1 && !cutting {
            let last = self.live[tally.start..tally.end]
                .iter()
                .find(|l| l.cells == rest.empty && self.left[l.class as usize] > 0 && rest.fits(l))
                .map(|l| l.place);
            if let Some(last) = last {
                self.nodes += 1;
                self.chosen.push(last);
                flow = self.report(sink);
                self.chosen.pop();
            }
        } else if self.pieces_left == 0
            || (areas.allow(self.instance, &rest.empty)
                && (cutting || !self.dead.knows(&rest.empty, &rest.pins)))
        {
            let before = self.found;
            let below = self.narrow(tally.start, tally.end, rest);
            if !below.dead {
                flow = self.dive(&below, rest, sink);
            }
            self.live.truncate(below.start);
            if self.found == before && flow.is_continue() && !cutting {
                self.dead.learn(&rest.empty, &rest.pins);
            }
        }
        self.chosen.pop();
        self.dead.put_back(class);
        self.pieces_left += 1;
        self.left[class] += 1;
        flow
    }
}

/// The areas that the pieces left can add up to, to cut dead regions.
pub(crate) enum Areas {
    /// Bit a set: some of the pieces left have a total of a blocks.
    Sums(u128),
    /// For outlines beyond that: all sizes left are multiples of this.
    Multiples(usize),
}

impl Areas {
    pub fn of<B: Bits>(instance: &Instance<B>, left: &[usize]) -> Areas {
        let sizes = || instance.kinds.iter().zip(left).filter(|(_, left)| **left > 0);
        if instance.cells.len() < 128 {
            let mut sums = 1u128;
            for (kind, &left) in sizes() {
                // Doubling steps: 1, 2, 4, … and the remainder reach every number of pieces.
                let (mut step, mut remaining) = (1, left);
                while remaining > 0 {
                    let take = step.min(remaining);
                    let shift = take * kind.size;
                    if shift < 128 {
                        sums |= sums << shift;
                    }
                    remaining -= take;
                    step *= 2;
                }
            }
            return Areas::Sums(sums);
        }
        let gcd = |mut a: usize, mut b: usize| {
            while b != 0 {
                (a, b) = (b, a % b);
            }
            a
        };
        Areas::Multiples(sizes().fold(0, |g, (kind, _)| gcd(g, kind.size)).max(1))
    }

    /// Whether the area of every region of the empty cells can be made.
    pub fn allow<B: Bits>(&self, instance: &Instance<B>, empty: &B) -> bool {
        let mut todo = empty.clone();
        while let Some(first) = todo.first() {
            let mut area = 0;
            let mut fresh = B::of(instance.width, [first]);
            todo.remove(&fresh);
            while let Some(cell) = fresh.first() {
                area += 1;
                fresh.remove(&B::of(instance.width, [cell]));
                let near = instance.near[cell].clone().and(&todo);
                todo.remove(&near);
                fresh.add(&near);
            }
            let possible = match self {
                Areas::Sums(sums) => sums >> area & 1 == 1,
                Areas::Multiples(size) => area % size == 0,
            };
            if !possible {
                return false;
            }
        }
        true
    }
}
