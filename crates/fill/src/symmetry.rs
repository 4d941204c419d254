//! Motions of the outline that carry fillings to fillings.
//!
//! Rotations (of cells and pockets) always do, since pieces turn freely; they
//! make layouts *essentially* the same. Mirrors do only where every class of
//! pieces has a mirror class of as many pieces, its levels reversed or not;
//! they save search but tell layouts apart.

use lattice::fold::{Fold, FoldSet, Pin};
use lattice::{Class, Level, Motion, Outline, Set};
use rustc_hash::FxHashMap;

use crate::bits::Bits;
use crate::instance::Instance;

/// A motion, by what it does to numbers.
#[derive(Clone, Debug)]
pub(crate) struct Symmetry {
    /// Where each cell goes.
    pub cell: Vec<usize>,
    /// Where each edge vertex goes.
    pub edge: Vec<usize>,
    /// Where each class goes (the class of empty cells included).
    pub class: Vec<usize>,
    /// Whether it makes layouts essentially the same.
    pub rotation: bool,
}

/// All symmetries of a filling problem, the still one first.
pub(crate) fn symmetries<B: Bits>(
    set: &Set,
    classes: &[Class],
    outline: &Outline,
    instance: &Instance<B>,
) -> Vec<Symmetry> {
    let number: FxHashMap<_, _> = instance.cells.iter().enumerate().map(|(i, &c)| (c, i)).collect();
    let vertex: FxHashMap<_, _> = instance.edge.iter().enumerate().map(|(i, &v)| (v, i)).collect();
    let still: Vec<usize> = (0..instance.kinds.len()).collect();
    let mut mirrored_classes = None;
    let mut found = Vec::new();
    for motion in outline.cell_symmetries() {
        if outline.moved(motion).pockets() != outline.pockets() {
            continue;
        }
        let class = if motion.mirrored {
            let mirrored = mirrored_classes.get_or_insert_with(|| mirror_of_classes(set, classes, &still));
            match mirrored {
                Some(class) => class.clone(),
                None => continue,
            }
        } else {
            still.clone()
        };
        let cell = instance.cells.iter().map(|&c| number[&motion.cell(c)]).collect();
        let edge = instance.edge.iter().map(|&v| vertex[&motion.vertex(v)]).collect();
        found.push(Symmetry { cell, edge, class, rotation: !motion.mirrored });
    }
    found
}

/// The class that each class becomes in a mirror, if every one becomes one.
fn mirror_of_classes(set: &Set, classes: &[Class], still: &[usize]) -> Option<Vec<usize>> {
    let reversals: &[bool] = if set.levels > 1 { &[false, true] } else { &[false] };
    reversals.iter().find_map(|&reversed| {
        let mut images = still.to_vec();
        for (k, class) in classes.iter().enumerate() {
            let mirrored = mirror(&class.folds, set.levels, reversed);
            images[k] = classes
                .iter()
                .position(|c| c.pieces.len() == class.pieces.len() && c.folds.alike(&mirrored))?;
        }
        Some(images)
    })
}

fn mirror(folds: &FoldSet, levels: u8, reversed: bool) -> FoldSet {
    let mirrored = folds.folds().iter().map(|fold| {
        let (width, _) = fold.extent();
        let motion = Motion { mirrored: true, ..Motion::STILL }.shifted(width, 0);
        let mut cells: Vec<_> = fold.cells.iter().map(|&c| motion.cell(c)).collect();
        let level = |l: Level| if reversed { Level(levels - 1 - l.0) } else { l };
        let mut pins: Vec<_> =
            fold.pins.iter().map(|p| Pin { at: motion.vertex(p.at), level: level(p.level) }).collect();
        cells.sort_unstable();
        pins.sort_unstable();
        Fold { cells, pins, pose: fold.pose.clone() }
    });
    FoldSet::from_folds(mirrored.collect())
}

/// Places by what they cover, to find the image of a place.
pub(crate) struct PlaceIndex<B>(FxHashMap<(usize, B), u32>);

impl<B: Bits> PlaceIndex<B> {
    pub fn of(instance: &Instance<B>) -> Self {
        let numbered = instance.places.iter().enumerate();
        PlaceIndex(numbered.map(|(i, p)| ((p.class, p.cells.clone()), i as u32)).collect())
    }

    /// The place that a symmetry carries `place` to.
    pub fn image(&self, instance: &Instance<B>, symmetry: &Symmetry, place: u32) -> u32 {
        let place = &instance.places[place as usize];
        let cells = B::of(instance.width, place.cells.iter().map(|c| symmetry.cell[c]));
        self.0[&(symmetry.class[place.class], cells)]
    }
}
