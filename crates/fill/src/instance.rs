//! A set and an outline made ready for search: cells and vertices numbered,
//! every way of putting every shape of every class of pieces.
//!
//! A [`Place`] covers cells with one shape; its [`Variant`]s are the folds that
//! have that shape there with every hinge inside or at a pocket. Cells that
//! stay empty are one more class, of single cells without hinges, so that the
//! search knows no exceptions.
//!
//! Numbers: cells run along the outline's narrow side. Only at an inside vertex
//! can hinges of two pieces meet (each needs two of its four cells), so only
//! those vertices, one bit a level, take part in conflicts: the *inner* pins.
//! The others, the *edge* pins, decide which pockets are needed.

use lattice::{Cell, Class, FoldSet, Outline, Set, Vertex, VertexKind};
use rustc_hash::FxHashMap;

use crate::bits::Bits;
use crate::problem::hinged_levels;

/// One fold of a place.
#[derive(Clone, Debug)]
pub(crate) struct Variant<B> {
    /// Position in the class's folds.
    pub fold: u32,
    /// Inner pins: bit = inside vertex × levels + level.
    pub inner: B,
    /// Edge vertices with a pin.
    pub edge: B,
}

/// One shape of one class of pieces, put somewhere.
#[derive(Clone, Debug)]
pub(crate) struct Place<B> {
    /// The cells it covers.
    pub cells: B,
    /// The class of its piece.
    pub class: usize,
    /// Shift of the shape from its fold's normal position.
    pub shift: (i32, i32),
    /// Its variants, a range of [`Instance::variants`]; never empty.
    pub variants: std::ops::Range<usize>,
    /// All inner pins of its variants together.
    pub inner: B,
    /// The inner pins that every variant has.
    pub must: B,
    /// Every level of the inside vertices that a variant has a pin on.
    pub vertices: B,
}

/// A class of pieces as the search sees it.
#[derive(Clone, Debug)]
pub(crate) struct Kind {
    /// How many pieces it has.
    pub count: usize,
    /// Blocks of one of them.
    pub size: usize,
}

/// A set and an outline, numbered.
#[derive(Clone, Debug)]
pub(crate) struct Instance<B> {
    /// Bits of every set in it.
    pub width: usize,
    /// Levels of the set, 0 if it has no hinges.
    pub levels: usize,
    /// The cells by number.
    pub cells: Vec<Cell>,
    /// Edge vertices by number.
    pub edge: Vec<Vertex>,
    /// Classes of pieces; the last one is the empty cells if there are any.
    pub kinds: Vec<Kind>,
    /// All places, sorted by class.
    pub places: Vec<Place<B>>,
    /// All variants.
    pub variants: Vec<Variant<B>>,
    /// For each inner pin, the cells round its vertex.
    pub round: Vec<B>,
    /// For each cell, those beside it that one place can cover together with it:
    /// every place is connected by these.
    pub near: Vec<B>,
}

/// Numbers of cells and vertices.
pub(crate) struct Numbering {
    pub cells: Vec<Cell>,
    pub inside: Vec<Vertex>,
    pub edge: Vec<Vertex>,
}

impl Numbering {
    pub fn of(outline: &Outline) -> Self {
        let mut cells = outline.cells().to_vec();
        let (_, width, height) = outline.bounds();
        if width <= height {
            cells.sort_unstable_by_key(|c| (c.y, c.x));
        }
        Numbering {
            cells,
            inside: outline.vertices(VertexKind::Inside),
            edge: outline.vertices(VertexKind::Edge),
        }
    }

    /// Room that a set of cells, of inner pins and of edge vertices needs.
    pub fn width(&self, levels: usize) -> usize {
        self.cells.len().max(self.inside.len() * levels).max(self.edge.len())
    }
}

impl<B: Bits> Instance<B> {
    /// Numbers the outline and puts every shape everywhere it fits.
    pub fn new(set: &Set, classes: &[Class], outline: &Outline, numbering: Numbering) -> Self {
        let levels = hinged_levels(set);
        let width = numbering.width(levels);
        let Numbering { cells, inside, edge } = numbering;
        let mut kinds: Vec<Kind> = classes
            .iter()
            .map(|class| Kind {
                count: class.pieces.len(),
                size: class.folds.folds().first().map_or(0, |f| f.cells.len()),
            })
            .collect();
        let map = Map::new(outline, &cells, &inside, &edge);
        let (mut places, mut variants) = (Vec::new(), Vec::new());
        for (k, class) in classes.iter().enumerate() {
            map.put_class(k, &class.folds, levels, width, &mut places, &mut variants);
        }
        if outline.spare() > 0 {
            let class = kinds.len();
            kinds.push(Kind { count: outline.spare(), size: 1 });
            for i in 0..cells.len() {
                let at = variants.len();
                let none = B::none(width);
                variants.push(Variant { fold: u32::MAX, inner: none.clone(), edge: none.clone() });
                let cells = B::of(width, [i]);
                let variants = at..at + 1;
                let (inner, must, vertices) = (none.clone(), none.clone(), none);
                places.push(Place { cells, class, shift: (0, 0), variants, inner, must, vertices });
            }
        }
        let near = nearness(&cells, &places, width);
        let number: FxHashMap<Cell, usize> = cells.iter().enumerate().map(|(i, &c)| (c, i)).collect();
        let cells_round = |v: &Vertex| B::of(width, v.quadrants().iter().map(|c| number[c]));
        let round = inside.iter().flat_map(|v| std::iter::repeat_n(cells_round(v), levels)).collect();
        Instance { width, levels, cells, edge, kinds, places, variants, round, near }
    }

    /// Whether a first look rules out every filling: blocks and empty cells together
    /// are not as many as the cells, or colours do not add up.
    pub fn is_hopeless(&self) -> bool {
        let area = self.kinds.iter().map(|k| k.count * k.size).sum::<usize>();
        area != self.cells.len() || crate::colouring::forbids(self)
    }

    /// Those of some pins that a further place could run into: it would need two empty
    /// cells round their vertex.
    pub fn in_the_way(&self, pins: B, empty: &B) -> B {
        if pins.is_none() {
            return pins;
        }
        let mut left = pins.clone();
        for pin in pins.iter().filter(|&pin| self.round[pin].clone().and(empty).count() < 2) {
            left.remove(&B::of(self.width, [pin]));
        }
        left
    }

    /// The class of empty cells is one without pieces.
    pub fn is_empty_cell(&self, place: usize) -> bool {
        self.variants[self.places[place].variants.start].fold == u32::MAX
    }
}

/// Look-up of numbers by coordinates, over the bounding box.
struct Map {
    low: Vertex,
    size: (i32, i32),
    cell: Vec<i32>,
    vertex: Vec<VertexNumber>,
}

#[derive(Clone, Copy)]
enum VertexNumber {
    Forbidden,
    Inside(usize),
    Edge(usize),
}

impl Map {
    fn new(outline: &Outline, cells: &[Cell], inside: &[Vertex], edge: &[Vertex]) -> Self {
        let (low, w, h) = outline.bounds();
        let mut cell = vec![-1; (w * h) as usize];
        for (i, c) in cells.iter().enumerate() {
            cell[((c.y - low.y) * w + c.x - low.x) as usize] = i as i32;
        }
        let mut vertex = vec![VertexNumber::Forbidden; ((w + 1) * (h + 1)) as usize];
        let at = |v: &Vertex| ((v.y - low.y) * (w + 1) + v.x - low.x) as usize;
        for (i, v) in inside.iter().enumerate() {
            vertex[at(v)] = VertexNumber::Inside(i);
        }
        for (i, v) in edge.iter().enumerate().filter(|(_, v)| outline.allows_hinge(**v)) {
            vertex[at(v)] = VertexNumber::Edge(i);
        }
        Map { low, size: (w, h), cell, vertex }
    }

    fn put_class<B: Bits>(
        &self,
        class: usize,
        folds: &FoldSet,
        levels: usize,
        width: usize,
        places: &mut Vec<Place<B>>,
        variants: &mut Vec<Variant<B>>,
    ) {
        let (w, h) = self.size;
        let mut fold = 0;
        for shape in folds.shapes() {
            let first_fold = fold;
            fold += shape.len();
            let (sw, sh) = shape[0].extent();
            for dy in 0..=h - sh {
                for dx in 0..=w - sw {
                    let Some(cells) = self.cells_at::<B>(&shape[0].cells, dx, dy, width) else { continue };
                    let start = variants.len();
                    let mut all = B::none(width);
                    let mut must: Option<B> = None;
                    for (f, one) in shape.iter().enumerate() {
                        let pins = one.pins.iter().map(|p| (p.at, usize::from(p.level.0)));
                        if let Some((inner, edge)) = self.pins_at::<B>(pins, dx, dy, levels, width) {
                            all.add(&inner);
                            must = Some(must.map_or_else(|| inner.clone(), |m| m.and(&inner)));
                            variants.push(Variant { fold: (first_fold + f) as u32, inner, edge });
                        }
                    }
                    if let Some(must) = must {
                        let shift = (self.low.x + dx, self.low.y + dy);
                        let range = start..variants.len();
                        let vertices = whole_vertices(&all, levels, width);
                        places.push(Place {
                            cells,
                            class,
                            shift,
                            variants: range,
                            inner: all,
                            must,
                            vertices,
                        });
                    }
                }
            }
        }
    }

    fn cells_at<B: Bits>(&self, cells: &[Cell], dx: i32, dy: i32, width: usize) -> Option<B> {
        let mut set = B::none(width);
        for c in cells {
            let number = self.cell[((c.y + dy) * self.size.0 + c.x + dx) as usize];
            if number < 0 {
                return None;
            }
            set.insert(number as usize);
        }
        Some(set)
    }

    fn pins_at<B: Bits>(
        &self,
        pins: impl Iterator<Item = (Vertex, usize)>,
        dx: i32,
        dy: i32,
        levels: usize,
        width: usize,
    ) -> Option<(B, B)> {
        let (mut inner, mut edge) = (B::none(width), B::none(width));
        for (v, level) in pins {
            match self.vertex[((v.y + dy) * (self.size.0 + 1) + v.x + dx) as usize] {
                VertexNumber::Forbidden => return None,
                VertexNumber::Inside(i) => inner.insert(i * levels + level),
                VertexNumber::Edge(i) => edge.insert(i),
            }
        }
        Some((inner, edge))
    }
}

/// All levels of every vertex that has one of some pins.
pub(crate) fn whole_vertices<B: Bits>(pins: &B, levels: usize, width: usize) -> B {
    B::of(width, pins.iter().flat_map(|bit| bit / levels * levels..(bit / levels + 1) * levels))
}

/// Cells side by side are near. Cells corner to corner are near only where
/// some place holds both without a third cell that sides with each.
fn nearness<B: Bits>(cells: &[Cell], places: &[Place<B>], width: usize) -> Vec<B> {
    let number: FxHashMap<Cell, usize> = cells.iter().enumerate().map(|(i, &c)| (c, i)).collect();
    let mut near = vec![B::none(width); cells.len()];
    for (i, cell) in cells.iter().enumerate() {
        for side in cell.sides() {
            if let Some(&j) = number.get(&side) {
                near[i].insert(j);
            }
        }
        for (dx, dy) in [(1, 1), (-1, 1)] {
            let Some(&j) = number.get(&cell.shifted(dx, dy)) else { continue };
            let between: Vec<usize> = [cell.shifted(dx, 0), cell.shifted(0, dy)]
                .iter()
                .filter_map(|c| number.get(c).copied())
                .collect();
            let joined =
                |p: &Place<B>| p.cells.has(i) && p.cells.has(j) && !between.iter().any(|&b| p.cells.has(b));
            if places.iter().any(joined) {
                near[i].insert(j);
                near[j].insert(i);
            }
        }
    }
    near
}
