//! A filling problem: the numbered instance with its symmetries, and roots of
//! search that use them.
//!
//! Every layout has one place of a class with a single piece. Under the
//! symmetries that keep this class, its places fall into orbits, and the
//! layouts with one place of an orbit are the images of those with another. So
//! one place of each orbit is searched and what it gives is counted for all.

use lattice::{Class, DropIn, Folding, Motion, Outline, Placed, Pose, Set};

use crate::bits::Bits;
use crate::hinging::Chosen;
use crate::instance::{Instance, Numbering};
use crate::symmetry::{PlaceIndex, Symmetry, symmetries};

/// A root of the search: the first place, and the symmetries that carry it to
/// each place of its orbit, once each, the still one first.
pub(crate) struct Root {
    pub prefix: Vec<u32>,
    pub images: Vec<usize>,
}

/// A set and an outline, numbered, with what follows from symmetry.
pub(crate) struct Problem<'a, B> {
    pub set: &'a Set,
    pub classes: &'a [Class],
    pub instance: Instance<B>,
    pub symmetries: Vec<Symmetry>,
    pub roots: Vec<Root>,
    index: Option<PlaceIndex<B>>,
    /// For each rotation but the still one, where it carries each place.
    rotations: Vec<Vec<u32>>,
}

/// Levels that matter to the search: none if there are no hinges.
pub(crate) fn hinged_levels(set: &Set) -> usize {
    if set.pieces.iter().any(|p| !p.hinges().is_empty()) { usize::from(set.levels) } else { 0 }
}

impl<'a, B: Bits> Problem<'a, B> {
    pub fn new(set: &'a Set, classes: &'a [Class], outline: &Outline, numbering: Numbering) -> Self {
        let instance = Instance::<B>::new(set, classes, outline, numbering);
        let symmetries = symmetries(set, classes, outline, &instance);
        let index = (symmetries.len() > 1).then(|| PlaceIndex::of(&instance));
        let mut problem =
            Problem { set, classes, instance, symmetries, roots: Vec::new(), index, rotations: Vec::new() };
        problem.rotations = problem.rotation_tables();
        problem.roots = problem.find_roots();
        problem
    }

    fn rotation_tables(&self) -> Vec<Vec<u32>> {
        let rotations = self.symmetries.iter().skip(1).filter(|s| s.rotation);
        rotations
            .map(|s| (0..self.instance.places.len() as u32).map(|p| self.image(s, p)).collect())
            .collect()
    }

    fn image(&self, symmetry: &Symmetry, place: u32) -> u32 {
        self.index.as_ref().map_or(place, |index| index.image(&self.instance, symmetry, place))
    }

    fn find_roots(&self) -> Vec<Root> {
        let whole = || vec![Root { prefix: Vec::new(), images: vec![0] }];
        let keeping = |class: usize| -> Vec<usize> {
            (0..self.symmetries.len()).filter(|&s| self.symmetries[s].class[class] == class).collect()
        };
        let places = |class: usize| self.instance.places.iter().filter(move |p| p.class == class).count();
        // Most symmetries first, then fewest places.
        let single = (0..self.instance.kinds.len()).filter(|&k| self.instance.kinds[k].count == 1);
        let Some(class) = single.min_by_key(|&k| (std::cmp::Reverse(keeping(k).len()), places(k))) else {
            return whole();
        };
        let group = keeping(class);
        if group.len() < 2 {
            return whole();
        }
        let mut seen = vec![false; self.instance.places.len()];
        let mut roots = Vec::new();
        for p in (0..self.instance.places.len()).filter(|&p| self.instance.places[p].class == class) {
            if seen[p] {
                continue;
            }
            let mut images = Vec::new();
            for &s in &group {
                let image = self.image(&self.symmetries[s], p as u32) as usize;
                if !std::mem::replace(&mut seen[image], true) {
                    images.push(s);
                }
            }
            roots.push(Root { prefix: vec![p as u32], images });
        }
        roots
    }

    /// How many rotations there are, the still one included.
    pub fn rotation_count(&self) -> u64 {
        self.rotations.len() as u64 + 1
    }

    /// Where a rotation, by number and without the still one, carries a place.
    pub fn turned(&self, rotation: usize, place: u32) -> u32 {
        self.rotations[rotation][place as usize]
    }

    /// How many rotations carry a layout onto itself.
    pub fn kept_by(&self, layout: &[u32]) -> u64 {
        // Mostly the first place already has no image in the layout.
        let keeps = |table: &&Vec<u32>| layout.iter().all(|&p| layout.contains(&table[p as usize]));
        1 + self.rotations.iter().filter(keeps).count() as u64
    }

    /// The layout that a symmetry carries this one to, sorted.
    pub fn carried(&self, symmetry: usize, layout: &[u32]) -> Vec<u32> {
        let symmetry = &self.symmetries[symmetry];
        let mut image: Vec<u32> = layout.iter().map(|&p| self.image(symmetry, p)).collect();
        image.sort_unstable();
        image
    }

    /// The first, in order, of the layouts that are essentially this one.
    pub fn essential(&self, layout: &[u32]) -> Vec<u32> {
        let turned = self.rotations.iter().map(|table| {
            let mut image: Vec<u32> = layout.iter().map(|&p| table[p as usize]).collect();
            image.sort_unstable();
            image
        });
        let mut own = layout.to_vec();
        own.sort_unstable();
        turned.fold(own, Ord::min)
    }

    /// The folding in the lattice's own terms, pieces in the order of the set,
    /// with its drop-in order by position in the folding.
    pub fn folding(&self, layout: &[u32], chosen: &Chosen) -> (Folding, DropIn) {
        let mut next_of_class = vec![0; self.classes.len()];
        let mut placed: Vec<(Placed, usize)> = Vec::new();
        for (i, (&p, &v)) in layout.iter().zip(&chosen.variants).enumerate() {
            if self.instance.is_empty_cell(p as usize) {
                continue;
            }
            let place = &self.instance.places[p as usize];
            let class = &self.classes[place.class];
            let piece = class.pieces[next_of_class[place.class]];
            next_of_class[place.class] += 1;
            let fold = &class.folds.folds()[self.instance.variants[v].fold as usize];
            let motion = Motion::STILL.shifted(place.shift.0, place.shift.1);
            let pose = self.pose_of(piece, class, fold).moved(motion);
            placed.push((Placed { piece, pose }, i));
        }
        placed.sort_by_key(|(p, _)| p.piece);
        let position = |i: &usize| placed.iter().position(|(_, at)| at == i);
        let drop_in = match &chosen.drop_in {
            DropIn::Order(order) => DropIn::Order(order.iter().filter_map(position).collect()),
            DropIn::Interlocked(ring) => DropIn::Interlocked(ring.iter().filter_map(position).collect()),
        };
        (Folding { placed: placed.into_iter().map(|(p, _)| p).collect() }, drop_in)
    }

    /// The pose in which `piece` takes a fold of its class. Pieces that fold alike
    /// need not be drawn alike, so only the first can take the fold's own pose.
    fn pose_of(&self, piece: usize, class: &Class, fold: &lattice::Fold) -> Pose {
        if self.set.pieces[piece] == self.set.pieces[class.pieces[0]] {
            return fold.pose.clone();
        }
        let own = self.set.folds(piece);
        let at = own.position(fold).expect("pieces of a class have the same folds");
        own.folds()[at].pose.clone()
    }
}
