//! Thinning of finds, so that no two are too much alike by answer or by look.

use lattice::Cell;
use rayon::prelude::*;

use super::layouts::{Laid, Layout, Shapes};
use super::looks::{Look, apart};
use super::votes::Votes;

/// A find, for comparing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Find {
    /// The cells of the outline.
    pub cells: Vec<Cell>,
    /// The layout that its pockets leave; without one, only looks are compared.
    pub layout: Option<Layout>,
}

/// How far apart two finds must be at least to be both kept; 0 lets all be kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// By [`looks_apart`](super::looks_apart).
    pub look: f64,
    /// By [`layouts_apart`](super::layouts_apart).
    pub layout: f64,
}

impl Default for Apart {
    /// Of 20 cells, 3 must lie elsewhere and 8 be covered otherwise.
    fn default() -> Self {
        Apart { look: 0.15, layout: 0.4 }
    }
}

/// The finds to keep, as positions in ascending order: each is kept unless it
/// is nearer than `apart` allows, by look or by layout, to one kept before it.
/// So put the best first. The work is spread over the threads there are; the
/// result does not depend on them.
pub fn thin(finds: &[Find], apart: &Apart) -> Vec<usize> {
    let mut shapes = Shapes::default();
    let laid = finds.iter().map(|f| f.layout.as_ref().map(|l| Laid::new(l, &mut shapes)));
    let laid: Vec<Option<Laid>> = laid.collect();
    let looks: Vec<Look> = finds.par_iter().map(|f| Look::new(&f.cells)).collect();
    let near = |a: usize, b: usize, votes: &mut Votes| {
        near_by_layout(laid[a].as_ref(), laid[b].as_ref(), apart.layout, votes)
            || near_by_look(&looks[a], &looks[b], apart.look, votes)
    };
    let mut kept: Vec<usize> = Vec::new();
    let all: Vec<usize> = (0..finds.len()).collect();
    for some in all.chunks(CHUNK) {
        let clear: Vec<usize> = some
            .par_iter()
            .copied()
            .filter(|&new| {
                let mut votes = Votes::default();
                !kept.iter().any(|&old| near(old, new, &mut votes))
            })
            .collect();
        // Those that are clear of all kept before may still be near each other.
        let before = kept.len();
        let mut votes = Votes::default();
        for new in clear {
            if !kept[before..].iter().any(|&old| near(old, new, &mut votes)) {
                kept.push(new);
            }
        }
    }
    kept
}

/// Finds compared at a time: enough for all threads, few enough that comparing
/// them with each other one after another is nothing.
const CHUNK: usize = 128;

fn near_by_look(a: &Look, b: &Look, least: f64, votes: &mut Votes) -> bool {
    let most = a.count().max(b.count());
    apart(a.most_common(b), most) < least && apart(a.common(b, votes), most) < least
}

fn near_by_layout(a: Option<&Laid>, b: Option<&Laid>, least: f64, votes: &mut Votes) -> bool {
    let (Some(a), Some(b)) = (a, b) else { return false };
    let most = a.cells.max(b.cells);
    apart(a.most_common(b), most) < least && apart(a.common(b, votes), most) < least
}
