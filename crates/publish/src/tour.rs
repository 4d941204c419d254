//! A tour of a piece through its folds by single swings, back home at the end.
//!
//! Poses count as one if a motion of the whole takes one to the other. The tour
//! is a round without a pose twice where a long one is found, else a walk out
//! along a tree of swings and back. Everything is tried in a fixed order within
//! a bound on steps, so equal pieces make equal tours.

use std::collections::{BTreeMap, VecDeque};

use lattice::{Piece, Pose};
use paper::Swing;
use reach::{Outcome, Plan, Swings};

/// Poses looked at, at most, and steps of the search for a round.
const MOST_POSES: usize = 4000;
const MOST_STEPS: usize = 200_000;

/// A tour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tour {
    /// The block that stands still: the one with the fewest hinges to the farthest other.
    pub anchor: usize,
    /// The swings; none if no single swing is clear.
    pub swings: Vec<Swing>,
    /// Poses on the way, home included.
    pub poses: usize,
}

/// The tour of a piece with bodies as wide as `plan` says, of `most` swings at most.
pub fn tour(piece: &Piece, plan: &Plan, most: usize) -> Tour {
    let anchor = middle(piece);
    if piece.is_rigid() {
        return Tour { anchor, swings: Vec::new(), poses: 1 };
    }
    let graph = Graph::of(piece, plan, anchor);
    let round = graph.round(most);
    let walk = graph.walk(most);
    let best = if graph.seen(&round) >= graph.seen(&walk) { round } else { walk };
    let poses = graph.seen(&best);
    Tour { anchor, swings: best.into_iter().map(|step| step.swing).collect(), poses }
}

/// The block with the fewest hinges to the farthest other one, the first of them.
fn middle(piece: &Piece) -> usize {
    let blocks = piece.blocks().len();
    let farthest = |from: usize| {
        let mut far = vec![usize::MAX; blocks];
        far[from] = 0;
        let mut next = VecDeque::from([from]);
        while let Some(block) = next.pop_front() {
            for hinge in piece.hinges().iter().filter(|h| h.joins.contains(&block)) {
                for other in hinge.joins {
                    if far[other] == usize::MAX {
                        far[other] = far[block] + 1;
                        next.push_back(other);
                    }
                }
            }
        }
        far.into_iter().max().unwrap_or(0)
    };
    (0..blocks).min_by_key(|&b| (farthest(b), b)).unwrap_or(0)
}

/// A clear swing to a pose.
#[derive(Clone, Copy, Debug)]
struct Step {
    to: usize,
    swing: Swing,
}

/// Poses and the swings between them; pose 0 is home.
struct Graph {
    steps: Vec<Vec<Step>>,
    /// Swings from home.
    far: Vec<usize>,
}

impl Graph {
    fn of(piece: &Piece, plan: &Plan, anchor: usize) -> Self {
        let mut swings = Swings::new(piece, plan);
        let far_sides: Vec<Vec<usize>> =
            (0..piece.hinges().len()).map(|h| swings.far_side(h).unwrap_or_default().to_vec()).collect();
        let home = Pose::home(piece);
        let mut poses = vec![home.clone()];
        let mut number: BTreeMap<Pose, usize> = BTreeMap::from([(home, 0)]);
        let (mut steps, mut far) = (Vec::new(), vec![0]);
        let mut at = 0;
        while at < poses.len() {
            let mut from = Vec::new();
            for found in swings.from(&poses[at].clone()) {
                let Outcome::Clear(pose) = found.outcome else { continue };
                let to = match number.get(&pose) {
                    Some(&to) => to,
                    None if poses.len() >= MOST_POSES => continue,
                    None => {
                        number.insert(pose.clone(), poses.len());
                        poses.push(pose);
                        far.push(far[at] + 1);
                        poses.len() - 1
                    }
                };
                // Told as a turn of the side without block 0; the anchor may be on it.
                let left = (found.turn.quarters() == 1) != far_sides[found.hinge].contains(&anchor);
                from.push(Step { to, swing: Swing { hinge: found.hinge, anticlockwise: left } });
            }
            steps.push(from);
            at += 1;
        }
        Graph { steps, far }
    }

    /// How many poses some steps from home see.
    fn seen(&self, steps: &[Step]) -> usize {
        let mut all: Vec<usize> = steps.iter().map(|s| s.to).chain([0]).collect();
        all.sort_unstable();
        all.dedup();
        all.len()
    }

    /// The longest round through home that was found, no pose twice.
    fn round(&self, most: usize) -> Vec<Step> {
        let mut search = Round {
            graph: self,
            most,
            on_way: vec![false; self.far.len()],
            way: Vec::new(),
            best: Vec::new(),
            left: MOST_STEPS,
        };
        search.on_way[0] = true;
        search.go_on(0);
        search.best
    }

    /// Out along a tree of swings and back.
    fn walk(&self, most: usize) -> Vec<Step> {
        let mut seen = vec![false; self.far.len()];
        seen[0] = true;
        let mut way = Vec::new();
        // The poses left, each with the step back out of it.
        let mut back: Vec<(usize, Step)> = Vec::new();
        let mut at = 0;
        loop {
            let fits = way.len() + back.len() + 2 <= most;
            let next = self.steps[at].iter().find(|s| fits && !seen[s.to]).copied();
            match next {
                Some(step) => {
                    seen[step.to] = true;
                    let swing = Swing { anticlockwise: !step.swing.anticlockwise, ..step.swing };
                    back.push((at, Step { to: at, swing }));
                    way.push(step);
                    at = step.to;
                }
                None => match back.pop() {
                    Some((before, step)) => {
                        way.push(step);
                        at = before;
                    }
                    None => return way,
                },
            }
        }
    }
}

/// The search for a long round.
struct Round<'g> {
    graph: &'g Graph,
    most: usize,
    on_way: Vec<bool>,
    way: Vec<Step>,
    best: Vec<Step>,
    left: usize,
}

impl Round<'_> {
    /// Whether the search is over.
    fn go_on(&mut self, at: usize) -> bool {
        if self.left == 0 {
            return true;
        }
        self.left -= 1;
        let mut next = self.graph.steps[at].clone();
        // Another hinge than the last one first: that is livelier. Then away from home.
        let last = self.way.last().map(|s| s.swing.hinge);
        next.sort_by_key(|s| (Some(s.swing.hinge) == last, std::cmp::Reverse(self.graph.far[s.to]), s.to));
        for step in next {
            let length = self.way.len() + 1;
            if step.to == 0 && length > 2 && length > self.best.len() && length <= self.most {
                self.best = self.way.clone();
                self.best.push(step);
                // A round of an odd length may not exist: one short of the most will do.
                if length + 1 >= self.most {
                    return true;
                }
            }
            if self.on_way[step.to] || length + self.graph.far[step.to] > self.most {
                continue;
            }
            self.on_way[step.to] = true;
            self.way.push(step);
            let over = self.go_on(step.to);
            self.way.pop();
            self.on_way[step.to] = false;
            if over {
                return true;
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lattice::{Cell, Hinge, Level, Set, Vertex};
    use reach::Sizes;

    fn plan() -> Plan {
        Plan::new(Sizes { pitch: 15.0, gap: 0.3, knuckle: 3.0, clearance: 0.3 }).unwrap()
    }

    fn chain(blocks: i32) -> Piece {
        let hinge = |x: i32| Hinge {
            pin: Vertex::new(x, x % 2),
            joins: [x as usize - 1, x as usize],
            level: Level(0),
        };
        let cells = (0..blocks).map(|x| Cell::new(x, 0)).collect();
        Piece::hinged(cells, (1..blocks).map(hinge).collect()).unwrap()
    }

    /// Paper judges every pose on the way with code of its own.
    fn drawn(piece: &Piece, tour: &Tour) {
        let set = Set { pieces: vec![piece.clone()], levels: 1, turn_over: false };
        let style = paper::Style::new([("piece", [0, 0x72, 0xB2])]);
        let swinging =
            paper::Swinging::new(&set, 0, tour.anchor, tour.swings.clone(), &style.pieces[0], "").unwrap();
        assert!(swinging.ends_at_home());
    }

    #[test]
    fn a_tour_sees_many_poses_and_ends_at_home() {
        for blocks in 2..=6 {
            let piece = chain(blocks);
            for most in [2, 7, 16] {
                let tour = tour(&piece, &plan(), most);
                assert!(tour.swings.len() <= most);
                assert!(tour.poses > 1);
                drawn(&piece, &tour);
            }
        }
        // Two blocks: all the way open and back. Five: a round of sixteen swings, no pose twice.
        assert_eq!(tour(&chain(2), &plan(), 16).swings.len(), 4);
        assert_eq!(tour(&chain(5), &plan(), 16).poses, 16);
        assert_eq!(tour(&chain(5), &plan(), 16).anchor, 2);
    }

    #[test]
    fn a_piece_without_hinges_has_none() {
        let block = Piece::hinged(vec![Cell::new(0, 0)], vec![]).unwrap();
        assert_eq!(tour(&block, &plan(), 16), Tour { anchor: 0, swings: vec![], poses: 1 });
    }
}
