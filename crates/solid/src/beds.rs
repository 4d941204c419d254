//! Parts laid out on as few beds as fit the printer, each kept on its own side
//! down; a part may be turned a quarter turn about the vertical.
//!
//! Free space is kept as the largest free rectangles (J. Jylänki 2010, "A
//! thousand ways to pack the bin", the MAXRECTS rule, from memory). Several
//! orders are tried and the one with the fewest beds is kept. A packing crate
//! was tried: its tables are hash maps, so that equal parts change places from
//! run to run.

/// Where a part stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The bed, from 0.
    pub bed: usize,
    /// Lower left of the part's bounding box on the bed in mm.
    pub at: [f64; 2],
    /// Whether the part is turned a quarter turn anticlockwise.
    pub turned: bool,
}

#[derive(Clone, Copy)]
struct Free {
    lo: [f64; 2],
    hi: [f64; 2],
}

/// A place for each part of the given widths and depths. A part that does not
/// fit an empty bed gets none.
pub(crate) fn lay_out(parts: &[[f64; 2]], bed: [f64; 2], spacing: f64) -> Vec<Option<Spot>> {
    type Order = fn(&[f64; 2]) -> f64;
    let orders: [Order; 4] = [|p| p[0] * p[1], |p| p[0].max(p[1]), |p| p[0] + p[1], |p| p[0].min(p[1])];
    let mut best: Option<(usize, Vec<Option<Spot>>)> = None;
    for order in orders {
        let mut turn: Vec<usize> = (0..parts.len()).collect();
        turn.sort_by(|&a, &b| order(&parts[b]).total_cmp(&order(&parts[a])).then(a.cmp(&b)));
        let spots = place_all(parts, &turn, bed, spacing);
        let beds = spots.iter().flatten().map(|s| s.bed + 1).max().unwrap_or(0);
        if best.as_ref().is_none_or(|(least, _)| beds < *least) {
            best = Some((beds, spots));
        }
    }
    best.map_or_else(Vec::new, |(_, spots)| spots)
}

fn place_all(parts: &[[f64; 2]], order: &[usize], bed: [f64; 2], spacing: f64) -> Vec<Option<Spot>> {
    // Every part brings its spacing along to the right and behind; the bed loses one on the left and in front.
    let whole = Free { lo: [spacing, spacing], hi: bed };
    let mut beds: Vec<Vec<Free>> = Vec::new();
    let mut spots = vec![None; parts.len()];
    for &part in order {
        let size = parts[part].map(|s| s + spacing);
        let fits_empty = best_in(&[whole], size).is_some();
        if !fits_empty {
            continue;
        }
        let found = beds.iter().enumerate().find_map(|(b, free)| Some((b, best_in(free, size)?)));
        let (b, (at, turned)) = found.unwrap_or_else(|| {
            beds.push(vec![whole]);
            (beds.len() - 1, best_in(&[whole], size).expect("it fits an empty bed"))
        });
        let size = if turned { [size[1], size[0]] } else { size };
        take(&mut beds[b], Free { lo: at, hi: [at[0] + size[0], at[1] + size[1]] });
        spots[part] = Some(Spot { bed: b, at, turned });
    }
    spots
}

/// The free place that leaves the shortest side over, first in front.
fn best_in(free: &[Free], size: [f64; 2]) -> Option<([f64; 2], bool)> {
    let mut best: Option<(f64, [f64; 2], bool)> = None;
    for f in free {
        for turned in [false, true] {
            let [w, h] = if turned { [size[1], size[0]] } else { size };
            let over = [f.hi[0] - f.lo[0] - w, f.hi[1] - f.lo[1] - h];
            let left = over[0].min(over[1]);
            if left >= -1e-9
                && best.is_none_or(|(b, at, _)| left < b - 1e-9 || (left < b + 1e-9 && f.lo[1] < at[1]))
            {
                best = Some((left, f.lo, turned));
            }
        }
    }
    best.map(|(_, at, turned)| (at, turned))
}

/// Takes a rectangle out of the free space.
fn take(free: &mut Vec<Free>, used: Free) {
    let mut next = Vec::new();
    for f in free.drain(..) {
        let apart = (0..2).any(|i| used.lo[i] >= f.hi[i] - 1e-9 || used.hi[i] <= f.lo[i] + 1e-9);
        if apart {
            next.push(f);
            continue;
        }
        for i in 0..2 {
            if used.lo[i] > f.lo[i] + 1e-9 {
                let mut left = f;
                left.hi[i] = used.lo[i];
                next.push(left);
            }
            if used.hi[i] < f.hi[i] - 1e-9 {
                let mut right = f;
                right.lo[i] = used.hi[i];
                next.push(right);
            }
        }
    }
    let inside = |a: &Free, b: &Free| (0..2).all(|i| a.lo[i] >= b.lo[i] - 1e-9 && a.hi[i] <= b.hi[i] + 1e-9);
    let keep: Vec<bool> = (0..next.len())
        .map(|i| {
            !(0..next.len())
                .any(|j| j != i && inside(&next[i], &next[j]) && (j < i || !inside(&next[j], &next[i])))
        })
        .collect();
    *free = next.into_iter().zip(keep).filter(|(_, k)| *k).map(|(f, _)| f).collect();
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn nine_parts_of_seventy_fill_one_bed_of_220() {
        // 3 × 65 + 4 × 5 = 215.
        let spots = lay_out(&[[65.0, 65.0]; 9], [220.0, 220.0], 5.0);
        assert!(spots.iter().all(|s| s.unwrap().bed == 0));
        let spots = lay_out(&[[65.0, 65.0]; 10], [220.0, 220.0], 5.0);
        assert_eq!(spots.iter().filter(|s| s.unwrap().bed == 1).count(), 1);
    }

    #[test]
    fn a_part_larger_than_the_bed_has_no_place_but_may_be_turned() {
        let spots = lay_out(&[[230.0, 10.0], [100.0, 205.0]], [220.0, 120.0], 5.0);
        assert_eq!(spots[0], None);
        assert!(spots[1].unwrap().turned);
    }

    proptest! {
        #[test]
        fn parts_keep_their_spacing(sizes in prop::collection::vec((5.0f64..90.0, 5.0f64..90.0), 1..25)) {
            let parts: Vec<[f64; 2]> = sizes.iter().map(|&(w, h)| [w, h]).collect();
            let spots = lay_out(&parts, [220.0, 200.0], 5.0);
            let boxes: Vec<(usize, [f64; 4])> = spots.iter().zip(&parts).map(|(s, p)| {
                let s = s.unwrap();
                let [w, h] = if s.turned { [p[1], p[0]] } else { *p };
                (s.bed, [s.at[0], s.at[1], s.at[0] + w, s.at[1] + h])
            }).collect();
            for (i, (bed, a)) in boxes.iter().enumerate() {
                prop_assert!(a[0] >= 5.0 - 1e-6 && a[1] >= 5.0 - 1e-6 && a[2] <= 215.0 + 1e-6 && a[3] <= 195.0 + 1e-6);
                for (other, b) in &boxes[..i] {
                    let apart = a[0] >= b[2] + 5.0 - 1e-6 || b[0] >= a[2] + 5.0 - 1e-6
                        || a[1] >= b[3] + 5.0 - 1e-6 || b[1] >= a[3] + 5.0 - 1e-6;
                    prop_assert!(bed != other || apart);
                }
            }
        }
    }
}
