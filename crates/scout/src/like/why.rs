//! Why an outline cannot be filled, as far as can be said in words.
//!
//! A search that found nothing is proof enough, but tells a maker nothing to
//! change. So reasons are looked for from the plainest on: colours that cannot
//! add up, cells that no piece reaches, and the smallest region that no pieces
//! make together. Each is a proof by itself. All are judged with a pocket
//! everywhere, so pockets are never the reason.

use std::collections::BTreeSet;

use lattice::{Cell, Class};

/// Why no pieces fill an outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// Its parts do not touch, and no pieces together have as many blocks as this one has cells.
    Part {
        /// The cells of the part.
        cells: Vec<Cell>,
    },
    /// No fold of any piece reaches these cells without leaving the outline.
    Unreached {
        /// The cells, sorted.
        cells: Vec<Cell>,
    },
    /// Coloured like a chessboard the outline has so many more cells of one
    /// colour than of the other; the pieces together never cover so many more.
    Colours {
        /// The excess of one colour.
        excess: u64,
    },
    /// No pieces, each used as often as the set has it, cover just these cells
    /// together, even if they may cover others besides.
    Region {
        /// The cells, sorted: no smaller region was found.
        cells: Vec<Cell>,
    },
    /// None of these: but every place of every piece was tried.
    Searched,
}

/// Regions are looked at up to so many cells.
const LARGEST_REGION: usize = 9;
/// Steps that the search of one region may take.
const STEPS: u32 = 20_000;

/// A piece in its place: the kind of the piece, the cells it covers.
struct Place {
    class: usize,
    cells: Vec<usize>,
}

/// Why the outline of `cells` cannot be filled, which a whole search has proven.
/// The cells are sorted.
pub(crate) fn why(classes: &[Class], cells: &[Cell], spare: usize) -> Why {
    if spare > 0 {
        return Why::Searched;
    }
    let places = places(classes, cells);
    let reached: BTreeSet<usize> = places.iter().flat_map(|p| p.cells.iter().copied()).collect();
    let named = |list: &mut dyn Iterator<Item = usize>| list.map(|i| cells[i]).collect::<Vec<Cell>>();
    let unreached = named(&mut (0..cells.len()).filter(|i| !reached.contains(i)));
    if !unreached.is_empty() {
        return Why::Unreached { cells: unreached };
    }
    if let Some(excess) = colours(classes, cells, &places) {
        return Why::Colours { excess };
    }
    match region(classes, cells, &places) {
        Some(region) => Why::Region { cells: named(&mut region.into_iter()) },
        None => Why::Searched,
    }
}

/// The first part whose size no pieces add up to.
pub(crate) fn part(classes: &[Class], parts: &[Vec<Cell>]) -> Option<Why> {
    let mut sums = BTreeSet::from([0usize]);
    for class in classes {
        let blocks = class.folds.folds().first().map_or(0, |f| f.cells.len());
        for _ in &class.pieces {
            sums = sums.iter().flat_map(|s| [*s, s + blocks]).collect();
        }
    }
    let odd = parts.iter().find(|p| !sums.contains(&p.len()))?;
    Some(Why::Part { cells: odd.clone() })
}

fn places(classes: &[Class], cells: &[Cell]) -> Vec<Place> {
    let mut places = Vec::new();
    for (class, kind) in classes.iter().enumerate() {
        for folds in kind.folds.shapes() {
            let shape = &folds[0].cells;
            for &at in cells {
                let (dx, dy) = (at.x - shape[0].x, at.y - shape[0].y);
                let covered: Option<Vec<usize>> =
                    shape.iter().map(|c| cells.binary_search(&c.shifted(dx, dy)).ok()).collect();
                places.extend(covered.map(|cells| Place { class, cells }));
            }
        }
    }
    places
}

fn colours(classes: &[Class], cells: &[Cell], places: &[Place]) -> Option<u64> {
    let sign = |i: usize| if (cells[i].x + cells[i].y).rem_euclid(2) == 0 { 1i64 } else { -1 };
    let mut of_class = vec![BTreeSet::new(); classes.len()];
    for place in places {
        of_class[place.class].insert(place.cells.iter().map(|&i| sign(i)).sum::<i64>());
    }
    let mut sums = BTreeSet::from([0i64]);
    for (class, kind) in classes.iter().enumerate() {
        for _ in &kind.pieces {
            sums = sums.iter().flat_map(|s| of_class[class].iter().map(move |e| s + e)).collect();
        }
    }
    let excess: i64 = (0..cells.len()).map(sign).sum();
    (!sums.contains(&excess)).then_some(excess.unsigned_abs())
}

/// The smallest of the regions tried that no pieces cover: grown from each cell
/// towards the cells with the fewest ways out.
fn region(classes: &[Class], cells: &[Cell], places: &[Place]) -> Option<Vec<usize>> {
    let by_cell: Vec<Vec<usize>> = (0..cells.len())
        .map(|c| (0..places.len()).filter(|&p| places[p].cells.contains(&c)).collect())
        .collect();
    let beside = |i: usize| {
        let near = cells[i].sides();
        near.into_iter().filter_map(|c| cells.binary_search(&c).ok()).collect::<Vec<_>>()
    };
    let mut left: Vec<usize> = classes.iter().map(|c| c.pieces.len()).collect();
    // All regions of one size before any larger one, so that the smallest is told.
    let mut regions: Vec<Vec<usize>> = (0..cells.len()).map(|c| vec![c]).collect();
    for _ in 1..=LARGEST_REGION {
        for region in &mut regions {
            let mut cover = Covering { places, by_cell: &by_cell, left: &mut left, steps: STEPS };
            if cover.covers(region, &mut vec![false; cells.len()]) == Some(false) {
                region.sort_unstable();
                return Some(region.clone());
            }
            let rim = region.iter().flat_map(|&c| beside(c)).filter(|c| !region.contains(c));
            let Some(next) = rim.min_by_key(|&c| (by_cell[c].len(), c)) else { continue };
            region.push(next);
        }
    }
    None
}

struct Covering<'a> {
    places: &'a [Place],
    by_cell: &'a [Vec<usize>],
    /// Pieces of each kind not yet placed.
    left: &'a mut [usize],
    steps: u32,
}

impl Covering<'_> {
    /// Whether the pieces left can cover the region; none if that took too long.
    fn covers(&mut self, region: &[usize], taken: &mut Vec<bool>) -> Option<bool> {
        let open = region.iter().copied().filter(|&c| !taken[c]);
        let Some(cell) = open.min_by_key(|&c| self.by_cell[c].len()) else { return Some(true) };
        let by_cell = self.by_cell;
        for &p in &by_cell[cell] {
            let place = &self.places[p];
            if self.left[place.class] == 0 || place.cells.iter().any(|&c| taken[c]) {
                continue;
            }
            self.steps = self.steps.checked_sub(1)?;
            self.set(place, taken, true);
            let answer = self.covers(region, taken);
            self.set(place, taken, false);
            if answer != Some(false) {
                return answer;
            }
        }
        Some(false)
    }

    fn set(&mut self, place: &Place, taken: &mut [bool], on: bool) {
        for &c in &place.cells {
            taken[c] = on;
        }
        if on {
            self.left[place.class] -= 1;
        } else {
            self.left[place.class] += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lattice::{Piece, Set, drawing};

    fn bars(lengths: &[i32]) -> Vec<Class> {
        let bar = |&n: &i32| Piece::rigid((0..n).map(|x| Cell::new(x, 0)).collect()).unwrap();
        Set { pieces: lengths.iter().map(bar).collect(), levels: 1, turn_over: false }.classes()
    }

    fn cells(rows: &[&str]) -> Vec<Cell> {
        let vertices = "+".repeat(rows[0].len() + 1);
        let text: Vec<String> = rows.iter().map(|r| format!("{vertices}\n{r}\n")).collect();
        drawing::parse(&(text.concat() + &vertices), 0).unwrap().cells().to_vec()
    }

    #[test]
    fn a_cell_that_no_piece_reaches() {
        // Bars of three never reach the nook on top.
        let outline = cells(&[".#...", "#####"]);
        assert_eq!(why(&bars(&[3, 3]), &outline, 0), Why::Unreached { cells: vec![Cell::new(1, 1)] });
    }

    #[test]
    fn colours_that_do_not_add_up() {
        let outline = cells(&["##.", "###", ".##"]);
        // Two corners of one colour are gone from the square of nine, as in the classic board.
        let five_and_two = cells(&["##", "##", "##"]);
        assert_eq!(
            colours(&bars(&[2, 2, 2]), &five_and_two, &places(&bars(&[2, 2, 2]), &five_and_two)),
            None
        );
        assert!(outline.len() == 7);
        let board = cells(&[".###", "####", "####", "###."]);
        assert_eq!(why(&bars(&[2; 7]), &board, 0), Why::Colours { excess: 2 });
    }

    #[test]
    fn the_smallest_region_that_no_pieces_make() {
        // Both ends need the one bar of two.
        let outline = cells(&["#..#", "####"]);
        let Why::Region { cells: told } = why(&bars(&[4, 2]), &outline, 0) else { panic!() };
        // If it takes the left end, nothing reaches the cell beside.
        assert_eq!(told, [Cell::new(0, 0), Cell::new(0, 1), Cell::new(1, 0)]);
    }

    #[test]
    fn a_part_of_a_size_that_no_pieces_have() {
        let part_of = |n: i32| (0..n).map(|x| Cell::new(x, 0)).collect::<Vec<_>>();
        assert_eq!(part(&bars(&[4, 4, 5]), &[part_of(4), part_of(9)]), None);
        assert_eq!(
            part(&bars(&[4, 4, 5]), &[part_of(3), part_of(10)]),
            Some(Why::Part { cells: part_of(3) })
        );
    }
}
