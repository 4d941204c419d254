//! The hinge's section: what stands at which height and radius.
//!
//! A hinge turns about a vertical axis, so one profile says everything. From
//! below (c clearance, R knuckle, w nozzle; s = c·√2 is the clearance measured
//! along or across a 45° face):
//!
//! ```text
//!   apex        the leaf's point (on the lowest level a disc on the bed, radius
//!               1.25 w, as if the apex lay that far below); it grows at 45° …
//!   wide        … to the knuckle's radius R, after R, and closes at 45° …
//!   waist       … to the pin, radius p, which lasts for `neck`
//!   waist_end   the head opens at 45° to radius h and stays
//!   roof        where the blocks' quadrants end
//! ```
//! and the eye is a ring of radius R from `ring_low` to `ring_high`, less the
//! leaf grown by the clearance. Every face that looks down does so at 45°, or
//! lies over the hinge's own release gap. As functions of the sizes:
//!
//! - p = (R − c) / 2: pin radius and eye wall are equal, and ≥ 2 w;
//! - hold = R − p − s − 2 w: the 45° face that the head holds down, ≥ ¾ c;
//!   the eye's rim above it is then 2 w wide;
//! - h = p + hold + s; h > p + c, so the eye can't pass the head;
//! - the next level's blocks close over the ring at 45°, so its apex lies
//!   R + s above `ring_high`: a high hinge carries itself over nothing.
//!
//! Limits: see [`Sizes::faults`](crate::Sizes::faults).

use crate::area::Point;
use crate::sizes::Sizes;

/// Sizes of a hinge that do not depend on its level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Proportions {
    /// Radius of the pin's waist, and the eye's wall.
    pub pin: f64,
    /// Height and width of the 45° face that holds the eye down.
    pub hold: f64,
    /// Radius of the head.
    pub head: f64,
    /// The clearance along a 45° face.
    pub slant: f64,
    /// Air above and below the eye in the leaf's block: whole layers.
    pub release: f64,
    /// Radius of the lowest leaf's foot on the bed.
    pub foot: f64,
    /// Bevel of the bottom edge, also round the lowest leaf's foot.
    pub bevel: f64,
    /// Roof over the eye in the leaf's block: a wall of whole layers.
    pub cover: f64,
}

impl Proportions {
    pub fn of(sizes: &Sizes) -> Self {
        let slant = sizes.clearance * std::f64::consts::SQRT_2;
        let pin = (sizes.knuckle - sizes.clearance) / 2.0;
        let hold = sizes.knuckle - pin - slant - 2.0 * sizes.nozzle;
        let release = (sizes.clearance / sizes.layer - 1e-9).ceil() * sizes.layer;
        let cover = (2.0 * sizes.nozzle / sizes.layer - 1e-9).ceil() * sizes.layer;
        Proportions {
            pin,
            hold,
            head: pin + hold + slant,
            slant,
            release,
            foot: 1.25 * sizes.nozzle,
            bevel: sizes.chamfer,
            cover,
        }
    }

    /// From the apex to where the head begins, without a neck.
    fn waist_height(&self, sizes: &Sizes) -> f64 {
        sizes.knuckle + (sizes.knuckle - self.pin)
    }

    /// The least block height that holds `levels` hinges one above the other.
    pub fn least_height(&self, sizes: &Sizes, levels: u8) -> f64 {
        let n = f64::from(levels);
        let between = self.hold + sizes.knuckle + self.slant;
        // What closes over the eye in the leaf's block is a wall too.
        let cover = self.hold + self.release + self.cover;
        n * self.waist_height(sizes) + (n - 1.0) * between + cover - self.foot
    }
}

/// One level's hinge: heights above the block's bottom, radii from the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Section {
    pub knuckle: f64,
    pub clearance: f64,
    pub p: Proportions,
    pub apex: f64,
    pub wide: f64,
    pub waist: f64,
    pub waist_end: f64,
    pub ring_low: f64,
    pub ring_high: f64,
    /// Between these the leaf's block makes room for the turning eye.
    pub cut_low: f64,
    pub cut_high: f64,
    /// Top of the head.
    pub head_top: f64,
    /// Where the blocks that carry this hinge stop: the relief above begins.
    pub roof: f64,
    /// Where the relief below the next level's blocks has closed; `None` on the top level.
    pub next_apex: Option<f64>,
}

/// The sections of all levels, lowest first. Sizes must be sound.
pub(crate) fn stack(sizes: &Sizes, levels: u8) -> Vec<Section> {
    let p = Proportions::of(sizes);
    let spare = (sizes.height - p.least_height(sizes, levels)).max(0.0);
    // Height to spare goes into the necks, which then bear more and wobble less.
    let neck = (spare / f64::from(levels)).min(sizes.knuckle);
    // The lowest leaf stands on the bed: its cone begins as a disc.
    let mut apex = -p.foot;
    (0..levels)
        .map(|level| {
            let top = level + 1 == levels;
            let wide = apex + sizes.knuckle;
            let waist = apex + p.waist_height(sizes);
            let waist_end = waist + neck;
            let ring_low = wide + p.slant + sizes.nozzle / 2.0;
            let ring_high = waist_end + p.hold;
            let next_apex = (!top).then_some(ring_high + sizes.knuckle + p.slant);
            let section = Section {
                knuckle: sizes.knuckle,
                clearance: sizes.clearance,
                p,
                apex,
                wide,
                waist,
                waist_end,
                ring_low,
                ring_high,
                cut_low: ring_low - p.release,
                cut_high: ring_high + p.release,
                // Under the next level's closing blocks the head must keep its distance.
                head_top: match next_apex {
                    Some(_) => ring_high + sizes.knuckle - p.head,
                    None => sizes.height - sizes.clearance / 2.0,
                },
                roof: next_apex.map_or(sizes.height, |a| a - p.slant),
                next_apex,
            };
            apex = next_apex.unwrap_or(apex);
            section
        })
        .collect()
}

impl Section {
    /// The leaf as a profile of (radius, height), anticlockwise from the apex.
    pub fn leaf(&self) -> Vec<Point> {
        let p = &self.p;
        tidy(vec![
            [0.0, self.apex.max(0.0)],
            [(-self.apex).max(0.0), self.apex.max(0.0)],
            [self.knuckle, self.wide],
            [p.pin, self.waist],
            [p.pin, self.waist_end],
            [p.head, self.waist_end + p.head - p.pin],
            [p.head, self.head_top],
            [0.0, self.head_top],
        ])
    }

    /// The side of the room that the leaf needs in the eye's block, from below:
    /// the leaf grown by the clearance.
    fn room_side(&self) -> Vec<Point> {
        let (p, c) = (&self.p, self.clearance);
        let reach = self.knuckle + c;
        let low = self.apex - p.slant;
        let mut side = vec![[0.0, low]];
        if self.apex < 0.0 {
            // Bevelled like every edge on the bed, so that the squashed first layers keep apart.
            let (foot, half) = (p.foot + p.slant, p.bevel / 2.0);
            side = vec![[0.0, -1.0], [foot + p.bevel + 1.0, -1.0], [foot + half, half]];
        }
        side.extend([[reach, low + reach], [reach, self.wide + p.slant - c]]);
        // The 45° faces below and above the waist, and the pin's own face between them.
        let (from, to) = (self.waist + p.slant - c, self.waist_end - p.slant + c);
        if from < to {
            side.extend([[p.pin + c, from], [p.pin + c, to]]);
        } else {
            let middle = (self.waist + self.waist_end) / 2.0;
            side.push([p.pin + p.slant - (self.waist_end - self.waist) / 2.0, middle]);
        }
        side.push([p.head + c, self.waist_end + (p.head - p.pin) + c - p.slant]);
        side
    }

    /// The room for the leaf in the eye's block. Open to `ceiling`, where the
    /// relief above goes on; or, where the block carries the next level too,
    /// closed at 45° under it.
    pub fn room(&self, carries_next: bool, ceiling: f64) -> Vec<Point> {
        let mut profile = self.room_side();
        let wide = self.p.head + self.clearance;
        match self.next_apex {
            Some(apex) if carries_next => profile.extend([[wide, apex - wide], [0.0, apex]]),
            _ => profile.extend([[wide, ceiling], [0.0, ceiling]]),
        }
        tidy(profile)
    }

    /// The eye: its ring less the room for the leaf, as one profile.
    #[cfg(test)]
    pub fn ring(&self) -> Vec<Point> {
        let side = self.room_side();
        let mut profile = vec![[self.knuckle, self.ring_low], [self.knuckle, self.ring_high]];
        let at = |z: f64| -> Point {
            let pair = side.windows(2).find(|w| w[0][1] <= z && z <= w[1][1] && w[1][1] > w[0][1]);
            let [a, b] = pair.map(|w| [w[0], w[1]]).expect("the ring lies within the room's height");
            [a[0] + (b[0] - a[0]) * (z - a[1]) / (b[1] - a[1]), z]
        };
        profile.push(at(self.ring_high));
        let inner = side.iter().rev().filter(|p| p[1] > self.ring_low && p[1] < self.ring_high);
        profile.extend(inner);
        profile.push(at(self.ring_low));
        tidy(profile)
    }
}

/// Drops points that repeat the one before them.
fn tidy(mut profile: Vec<Point>) -> Vec<Point> {
    profile.dedup_by(|a, b| (a[0] - b[0]).abs() < 1e-9 && (a[1] - b[1]).abs() < 1e-9);
    profile
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Distance of two segments in the section.
    fn apart(a: [Point; 2], b: [Point; 2]) -> f64 {
        let to = |p: Point, [u, v]: [Point; 2]| {
            let d = [v[0] - u[0], v[1] - u[1]];
            let t =
                (((p[0] - u[0]) * d[0] + (p[1] - u[1]) * d[1]) / (d[0] * d[0] + d[1] * d[1])).clamp(0.0, 1.0);
            (p[0] - u[0] - t * d[0]).hypot(p[1] - u[1] - t * d[1])
        };
        to(a[0], b).min(to(a[1], b)).min(to(b[0], a)).min(to(b[1], a))
    }

    #[test]
    fn leaf_and_eye_keep_the_clearance_and_are_captured() {
        for (levels, clearance) in [(1, 0.3), (2, 0.3), (2, 0.2), (1, 0.4), (2, 0.35)] {
            let sizes = Sizes { clearance, gap: 0.4, fit: 0.2, height: 17.0, ..Sizes::default() };
            assert_eq!(sizes.faults(levels), []);
            for section in stack(&sizes, levels) {
                let (leaf, ring) = (section.leaf(), section.ring());
                let sides = |p: &[Point]| -> Vec<[Point; 2]> {
                    (0..p.len()).map(|i| [p[i], p[(i + 1) % p.len()]]).collect()
                };
                let least = sides(&leaf)
                    .iter()
                    .flat_map(|&a| sides(&ring).into_iter().map(move |b| apart(a, b)))
                    .fold(f64::MAX, f64::min);
                assert!((least - clearance).abs() < 1e-9, "{levels} {clearance}: {least}");
                let throat = ring.iter().map(|p| p[0]).fold(f64::MAX, f64::min);
                assert!(section.p.head > throat && section.knuckle > throat);
                assert!(section.ring_high > section.ring_low + 2.0 * sizes.layer);
            }
        }
    }

    #[test]
    fn the_next_level_stays_clear_of_this_one() {
        let sizes = Sizes::default();
        let levels = stack(&sizes, 2);
        let next = levels[0].next_apex.unwrap();
        // Under the 45° cone to the next apex, ring and head keep the slant clearance.
        for [r, z] in [[sizes.knuckle, levels[0].ring_high], [levels[0].p.head, levels[0].head_top]] {
            assert!(next - z - r >= levels[0].p.slant - 1e-9);
        }
        assert_eq!(levels[1].apex, next);
        assert!(
            levels[1].head_top <= sizes.height
                && levels[1].cut_high + 2.0 * sizes.nozzle <= sizes.height + 1e-9
        );
    }
}
