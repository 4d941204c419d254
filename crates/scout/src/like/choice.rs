//! Which cells of a laid picture make the outline: the best by cover, mended
//! until they hang together, and their neighbours by exchanging cells.
//!
//! Likeness is the overlap of two fuzzy areas, the cells and the ink: the cover
//! of the cells chosen, over that of all cells, and of the chosen ones the rest.
//! So the best n cells of a lie are simply those of greatest cover; no search
//! can beat them, and where they hang together they are the best outline there.
//! Where they do not, cells are exchanged one or two at a time.

use super::cover::{Cover, Lie};

/// What likeness loses, at most, when a picture is a mirror of itself and the outline is not.
const MIRROR: f64 = 0.05;
/// A picture that overlaps its mirror by less than this is none of itself.
const MIRRORED: f64 = 0.8;
/// What likeness loses if the picture lies at half a right angle: it is read upright.
const TILT: f64 = 0.03;
/// What a cell of gap between two parts costs while they are mended: more than any cell is worth.
const GAP: f64 = 1.2;

/// Cells of a cover, ascending.
pub(crate) type Cells = Vec<usize>;

/// A cover with what is needed to choose from it.
pub(crate) struct Choice {
    pub(crate) cover: Cover,
    pub(crate) cells: usize,
    corners: bool,
    mirrors: Vec<Mirror>,
}

/// A motion of the lattice that undoes itself, about the centre of the ink.
struct Mirror {
    /// Where each cell goes, if it stays within the region.
    image: Vec<Option<usize>>,
    /// How far the ink is its own mirror: 0 not at all, 1 wholly.
    strength: f64,
}

impl Choice {
    pub(crate) fn new(cover: Cover, cells: usize, corners: bool) -> Choice {
        let mirrors = mirrors(&cover);
        Choice { cover, cells, corners, mirrors }
    }

    fn sum(&self, cells: &[usize]) -> f64 {
        cells.iter().map(|&c| self.cover.gain[c]).sum()
    }

    /// How like the picture the cells are, from 0 to 1.
    pub(crate) fn likeness(&self, cells: &[usize]) -> f64 {
        let shared = self.sum(cells);
        let overlap = shared / (self.cover.total + cells.len() as f64 - shared);
        let broken =
            |m: &Mirror| cells.iter().any(|&c| m.image[c].is_none_or(|i| cells.binary_search(&i).is_err()));
        let lost = self.mirrors.iter().filter(|m| broken(m)).map(|m| m.strength).fold(0.0, f64::max);
        overlap * (1.0 - MIRROR * lost) * (1.0 - TILT * f64::from(self.cover.lie.degrees.abs()) / 45.0)
    }

    /// The cells of greatest cover, whether they hang together or not.
    pub(crate) fn best(&self) -> Cells {
        let mut order: Cells = (0..self.cover.gain.len()).collect();
        order.sort_by(|&a, &b| self.cover.gain[b].total_cmp(&self.cover.gain[a]).then(a.cmp(&b)));
        order.truncate(self.cells);
        order.sort_unstable();
        order
    }

    /// For each mirror of the ink the cells of greatest cover that are their own mirror.
    pub(crate) fn mirrored(&self) -> Vec<Cells> {
        self.mirrors.iter().filter_map(|m| self.mirrored_by(m)).collect()
    }

    /// The most alike of all these, whether it hangs together or not.
    pub(crate) fn first(&self) -> Cells {
        let better = |a: Cells, b: Cells| if self.likeness(&b) > self.likeness(&a) { b } else { a };
        self.mirrored().into_iter().fold(self.best(), better)
    }

    fn mirrored_by(&self, mirror: &Mirror) -> Option<Cells> {
        let (mut pairs, mut singles) = (Vec::new(), Vec::new());
        for c in 0..self.cover.gain.len() {
            match mirror.image[c] {
                Some(i) if i == c => singles.push((self.cover.gain[c], vec![c])),
                Some(i) if i > c => pairs.push((self.cover.gain[c] + self.cover.gain[i], vec![c, i])),
                _ => {}
            }
        }
        for list in [&mut pairs, &mut singles] {
            list.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        }
        let value = |list: &[(f64, Vec<usize>)], n: usize| list[..n].iter().map(|e| e.0).sum::<f64>();
        let fits = |&k: &usize| k <= pairs.len() && self.cells - 2 * k <= singles.len();
        let worth = |k: usize| value(&pairs, k) + value(&singles, self.cells - 2 * k);
        let k = (0..=self.cells / 2).filter(fits).max_by(|&a, &b| worth(a).total_cmp(&worth(b)))?;
        let chosen = pairs[..k].iter().chain(&singles[..self.cells - 2 * k]);
        let mut cells: Cells = chosen.flat_map(|e| e.1.iter().copied()).collect();
        cells.sort_unstable();
        Some(cells)
    }

    fn beside(&self, cell: usize) -> impl Iterator<Item = usize> + '_ {
        let (w, h) = (self.cover.width as i32, self.cover.height as i32);
        let (x, y) = (cell as i32 % w, cell as i32 / w);
        let reach = (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (dx, dy)));
        let near = move |&(dx, dy): &(i32, i32)| {
            (dx, dy) != (0, 0)
                && (self.corners || dx == 0 || dy == 0)
                && (0..w).contains(&(x + dx))
                && (0..h).contains(&(y + dy))
        };
        reach.filter(near).map(move |(dx, dy)| ((y + dy) * w + x + dx) as usize)
    }

    /// The parts of some cells, each hanging together.
    pub(crate) fn parts(&self, cells: &[usize]) -> Vec<Cells> {
        let mut left = cells.to_vec();
        let mut parts = Vec::new();
        while let Some(first) = left.pop() {
            let mut part = vec![first];
            let mut next = 0;
            while next < part.len() {
                let cell = part[next];
                next += 1;
                for near in self.beside(cell) {
                    if let Ok(at) = left.binary_search(&near) {
                        part.push(left.remove(at));
                    }
                }
            }
            part.sort_unstable();
            parts.push(part);
        }
        parts.sort();
        parts
    }

    /// Cells of gap between the parts: none if they hang together.
    fn gap(&self, cells: &[usize]) -> usize {
        let parts = self.parts(cells);
        if parts.len() == 1 {
            return 0;
        }
        let w = self.cover.width;
        let apart = |a: usize, b: usize| {
            let (dx, dy) = ((a % w).abs_diff(b % w), (a / w).abs_diff(b / w));
            if self.corners { dx.max(dy) } else { dx + dy }
        };
        let nearest = |part: &Cells| {
            let others = parts.iter().filter(|p| *p != part).flatten();
            others.flat_map(|&o| part.iter().map(move |&c| apart(c, o))).min().unwrap_or(0)
        };
        parts.iter().map(nearest).map(|d| d.saturating_sub(1).max(1)).sum()
    }

    /// Cells beside the chosen ones.
    fn rim(&self, cells: &[usize]) -> Cells {
        let mut rim: Cells = cells.iter().flat_map(|&c| self.beside(c)).collect();
        rim.sort_unstable();
        rim.dedup();
        rim.retain(|c| cells.binary_search(c).is_err());
        rim
    }

    /// Exchanges cells until the set hangs together and no exchange of one cell
    /// makes it better; none if that cannot be reached so.
    pub(crate) fn mended(&self, mut cells: Cells) -> Option<Cells> {
        let mut gap = self.gap(&cells);
        loop {
            let mut moves = self.exchanges(&cells);
            // Of a set that hangs together only what gains is worth a look.
            moves.retain(|m| gap > 0 || m.0 > 1e-9);
            let best = if gap == 0 {
                moves.into_iter().find_map(|m| {
                    let next = exchanged(&cells, &m.1, &m.2);
                    (self.gap(&next) == 0).then_some((next, 0))
                })
            } else {
                let worth = |gain: f64, now: usize| gain - GAP * (now as f64 - gap as f64);
                let tried = moves.into_iter().map(|m| {
                    let next = exchanged(&cells, &m.1, &m.2);
                    let now = self.gap(&next);
                    (worth(m.0, now), next, now)
                });
                let best = tried.max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(&a.1)));
                best.filter(|b| b.0 > 1e-9).map(|b| (b.1, b.2))
            };
            match best {
                Some((next, now)) => (cells, gap) = (next, now),
                None => return (gap == 0).then_some(cells),
            }
        }
    }

    /// All exchanges of one cell against one on the rim, the greatest gain first.
    fn exchanges(&self, cells: &[usize]) -> Vec<(f64, Cells, Cells)> {
        let rim = self.rim(cells);
        let gain = &self.cover.gain;
        let one = |&out: &usize| {
            let gain_of = move |&into: &usize| (gain[into] - gain[out], vec![out], vec![into]);
            rim.iter().map(gain_of).collect::<Vec<_>>()
        };
        ordered(cells.iter().flat_map(one).collect())
    }

    /// The same of cells together with their mirrors, if the set is its own mirror.
    fn mirrored_exchanges(&self, cells: &[usize]) -> Vec<(f64, Cells, Cells)> {
        let whole =
            |m: &&Mirror| cells.iter().all(|&c| m.image[c].is_some_and(|i| cells.binary_search(&i).is_ok()));
        let Some(mirror) = self.mirrors.iter().find(whole) else {
            return Vec::new();
        };
        let orbit = |&c: &usize| {
            let image = mirror.image[c]?;
            (image >= c).then(|| if image == c { vec![c] } else { vec![c, image] })
        };
        let outs: Vec<Cells> = cells.iter().filter_map(orbit).collect();
        let ins: Vec<Cells> = self.rim(cells).iter().filter_map(orbit).collect();
        let pairs = |list: &[Cells]| {
            // Two cells on the mirror's line go as a pair does.
            let single = |o: &&Cells| o.len() == 1;
            let singles: Vec<&Cells> = list.iter().filter(single).collect();
            let mut all = list.to_vec();
            for (k, a) in singles.iter().enumerate() {
                all.extend(singles[k + 1..].iter().map(|b| vec![a[0], b[0]]));
            }
            all
        };
        let (outs, ins) = (pairs(&outs), pairs(&ins));
        let one = |out: &Cells| {
            let alike = ins.iter().filter(|i| i.len() == out.len());
            alike.map(|i| (self.sum(i) - self.sum(out), out.clone(), i.clone())).collect::<Vec<_>>()
        };
        ordered(outs.iter().flat_map(one).collect())
    }

    /// The `most` best sets that one exchange leads to and that hang together.
    pub(crate) fn neighbours(&self, cells: &[usize], most: usize) -> Vec<Cells> {
        let hanging = |moves: Vec<(f64, Cells, Cells)>, most: usize| {
            let next = moves.into_iter().map(|m| exchanged(cells, &m.1, &m.2));
            next.filter(|n| self.parts(n).len() == 1).take(most).collect::<Vec<_>>()
        };
        let mut found = hanging(self.exchanges(cells), most);
        found.extend(hanging(self.mirrored_exchanges(cells), most));
        found
    }

    pub(crate) fn lie(&self) -> Lie {
        self.cover.lie
    }
}

fn ordered(mut moves: Vec<(f64, Cells, Cells)>) -> Vec<(f64, Cells, Cells)> {
    moves.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| (&a.1, &a.2).cmp(&(&b.1, &b.2))));
    moves
}

fn exchanged(cells: &[usize], out: &[usize], into: &[usize]) -> Cells {
    let kept = cells.iter().copied().filter(|c| !out.contains(c));
    let mut next: Cells = kept.chain(into.iter().copied()).collect();
    next.sort_unstable();
    next
}

/// Where a motion takes a cell: none where it leaves the lattice.
type Motion<'a> = dyn Fn(i32, i32) -> Option<(i32, i32)> + 'a;

/// The mirrors and the half turn about the ink's centre that the ink has, more or less.
fn mirrors(cover: &Cover) -> Vec<Mirror> {
    let (w, h) = (cover.width as i32, cover.height as i32);
    let [across, along] = cover.centre;
    let motions: [&Motion; 5] = [
        &|x, y| Some((across? - 1 - x, y)),
        &|x, y| Some((x, along? - 1 - y)),
        &|x, y| Some((across? - 1 - x, along? - 1 - y)),
        // In the diagonals, where they run through corners of cells.
        &|x, y| {
            let d = across? - along?;
            (d % 2 == 0).then_some((y + d / 2, x - d / 2))
        },
        &|x, y| {
            let s = across? + along?;
            (s % 2 == 0).then_some((s / 2 - 1 - y, s / 2 - 1 - x))
        },
    ];
    let of = |motion: &Motion| {
        motion(0, 0)?;
        let image: Vec<Option<usize>> = (0..w * h)
            .map(|c| {
                let (x, y) = motion(c % w, c / w)?;
                ((0..w).contains(&x) && (0..h).contains(&y)).then_some((y * w + x) as usize)
            })
            .collect();
        let gain = |c: usize| cover.gain[c];
        let there = |c: usize| image[c].map_or(0.0, gain);
        let shared: f64 = (0..image.len()).map(|c| gain(c).min(there(c))).sum();
        let all: f64 = (0..image.len()).map(|c| gain(c).max(there(c))).sum();
        let strength = ((shared / all - MIRRORED) / (0.97 - MIRRORED)).min(1.0);
        (strength > 0.0).then_some(Mirror { image, strength })
    };
    motions.into_iter().filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::like::cover::Grain;
    use crate::like::field::Field;
    use crate::like::specimen::drawn;

    fn choice(rows: &[&str], cells: usize, corners: bool) -> Choice {
        let field = Field::of(&drawn(rows, 12), cells);
        let grain = Grain::of(&field, 0, 100);
        let covers = (0..8)
            .flat_map(|x| (0..8).map(move |y| [x, y]))
            .map(|at| Choice::new(grain.cover(at), cells, corners));
        covers.max_by(|a, b| a.likeness(&a.best()).total_cmp(&b.likeness(&b.best()))).unwrap()
    }

    #[test]
    fn a_picture_of_cells_is_found_again_and_wholly_alike() {
        let tug = choice(&["..#...", ".###..", ".##...", "######", ".#####"], 17, false);
        let best = tug.best();
        assert!(tug.likeness(&best) > 0.94, "{}", tug.likeness(&best));
        assert_eq!(tug.mended(best.clone()), Some(best));
    }

    #[test]
    fn parts_that_lie_apart_are_brought_together() {
        let two = choice(&["##...##", "##...##", "##...##"], 12, false);
        let best = two.best();
        assert_eq!(two.parts(&best).len(), 2);
        let mended = two.mended(best).unwrap();
        assert_eq!((two.parts(&mended).len(), mended.len()), (1, 12));
    }

    #[test]
    fn parts_that_touch_at_a_corner_hang_together_if_that_is_wished() {
        let rows = ["##..", "##..", "..##", "..##"];
        let (sides, corners) = (choice(&rows, 8, false), choice(&rows, 8, true));
        assert_eq!(sides.parts(&sides.best()).len(), 2);
        assert_eq!(corners.parts(&corners.best()).len(), 1);
    }

    #[test]
    fn a_mirrored_picture_likes_a_mirrored_outline_better() {
        let lamp = choice(&["..#..", ".###.", "..#..", "..#..", ".###.", "#####"], 14, false);
        let best = lamp.best();
        assert!(!lamp.mirrors.is_empty() && lamp.mirrored().contains(&best));
        let worse = lamp.neighbours(&best, 1000);
        let symmetric = |c: &Cells| {
            lamp.mirrors.iter().all(|m| c.iter().all(|&x| m.image[x].is_some_and(|i| c.contains(&i))))
        };
        assert!(worse.iter().any(symmetric) && !worse.iter().all(symmetric));
    }
}
