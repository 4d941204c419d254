//! Exact numbers of layouts and foldings where listing them is hopeless.
//!
//! Essentially different layouts are counted by the Cauchy–Frobenius lemma: the
//! mean, over the rotations, of how many layouts each keeps. Those kept by a
//! rotation are fillings by whole orbits of places, swept in the same way.

use lattice::{Class, Outline, Set};
use num_bigint::BigUint;

use crate::bits::{Bits, with_bits};
use crate::choices::Choices;
use crate::filling::Counts;
use crate::frontier::{Family, Hold, NoCount, Standing, Step, Sweep};
use crate::instance::{Instance, Numbering};
use crate::problem::{Problem, hinged_levels};
use crate::search::{Areas, Stop};

/// Why there is no count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Uncounted {
    /// It was told to stop.
    Stopped,
    /// The set has more pieces of different kinds than the count can keep apart.
    TooManyPieces,
}

/// Counts exactly what [`crate::fill`] would list, without listing it. Which
/// layouts drop in is not found out.
///
/// # Errors
/// Told to stop, or too many pieces.
pub fn count(set: &Set, classes: &[Class], outline: &Outline, stop: Stop) -> Result<Counts, Uncounted> {
    let numbering = Numbering::of(outline);
    with_bits!(numbering.width(hinged_levels(set)), B => {
        count_with(&Problem::<B>::new(set, classes, outline, numbering), stop)
    })
}

fn count_with<B: Bits>(problem: &Problem<B>, stop: Stop) -> Result<Counts, Uncounted> {
    let none = Counts {
        different: BigUint::ZERO,
        layouts: BigUint::ZERO,
        foldings: BigUint::ZERO,
        drop_in_layouts: None,
    };
    if problem.instance.is_hopeless() {
        return Ok(none);
    }
    let steps = || single_steps(&problem.instance);
    let layouts = total::<B, Family<B>>(&problem.instance, steps(), stop)?;
    if layouts == BigUint::ZERO {
        return Ok(none);
    }
    let foldings = total::<B, Standing<B>>(&problem.instance, steps(), stop)?;
    let mut kept = layouts.clone();
    for rotation in 0..problem.rotation_count() - 1 {
        let steps = orbit_steps(problem, rotation as usize);
        kept += total::<B, Family<B>>(&problem.instance, steps, stop)?;
    }
    Ok(Counts { different: kept / problem.rotation_count(), layouts, foldings, drop_in_layouts: None })
}

fn total<B: Bits, H: Hold<B>>(
    instance: &Instance<B>,
    steps: Vec<Step<B>>,
    stop: Stop,
) -> Result<BigUint, Uncounted> {
    let levels = instance.levels.max(1);
    let round = |first: usize| (B::of(instance.width, first..first + levels), instance.round[first].clone());
    let counts: Vec<usize> = instance.kinds.iter().map(|k| k.count).collect();
    let areas = Areas::of(instance, &counts);
    let most_used = steps.iter().map(|s| s.uses).max().unwrap_or(1);
    let choices = Choices::of(&instance.kinds, most_used).ok_or(Uncounted::TooManyPieces)?;
    let sweep = Sweep {
        width: instance.width,
        cells: instance.cells.len(),
        round: (0..instance.round.len()).step_by(levels).map(round).collect(),
        steps,
        choices: &choices,
        hopeless: &|rest| !areas.allow(instance, rest),
    };
    let wider = |overflow| match overflow {
        NoCount::Overflow => None,
        NoCount::Stopped => Some(Uncounted::Stopped),
    };
    let small = sweep.count::<H, u64>(stop).map(BigUint::from).map_err(wider);
    let middle = small.or_else(|e| {
        e.map_or_else(|| sweep.count::<H, u128>(stop).map(BigUint::from).map_err(wider), |e| Err(Some(e)))
    });
    let large = middle
        .or_else(|e| e.map_or_else(|| sweep.count::<H, BigUint>(stop).map_err(wider), |e| Err(Some(e))));
    large.map_err(|e| e.expect("a big number never overflows"))
}

/// Each place a step of its own.
fn single_steps<B: Bits>(instance: &Instance<B>) -> Vec<Step<B>> {
    let places = instance.places.iter();
    places
        .map(|place| {
            let mut pins: Vec<(B, u64)> = Vec::new();
            for variant in &instance.variants[place.variants.clone()] {
                match pins.iter_mut().find(|(p, _)| *p == variant.inner) {
                    Some((_, n)) => *n += 1,
                    None => pins.push((variant.inner.clone(), 1)),
                }
            }
            Step { cells: place.cells.clone(), class: place.class, uses: 1, pins }
        })
        .collect()
}

/// Places that go together under a rotation, each orbit once; only whether hinges can stand counts.
fn orbit_steps<B: Bits>(problem: &Problem<B>, rotation: usize) -> Vec<Step<B>> {
    let instance = &problem.instance;
    let mut steps = Vec::new();
    for first in 0..instance.places.len() as u32 {
        let mut orbit = vec![first];
        loop {
            let next = problem.turned(rotation, *orbit.last().expect("the orbit has a start"));
            if next == first {
                break;
            }
            orbit.push(next);
        }
        let class = instance.places[first as usize].class;
        if orbit.iter().any(|&p| p < first) || orbit.len() > instance.kinds[class].count {
            continue;
        }
        let mut cells = B::none(instance.width);
        let mut sets = vec![B::none(instance.width)];
        let apart = orbit.iter().all(|&p| {
            let place = &instance.places[p as usize];
            let apart = !cells.meets(&place.cells);
            cells.add(&place.cells);
            let variants = &instance.variants[place.variants.clone()];
            let both = sets.iter().flat_map(|set| {
                variants.iter().filter(|v| !v.inner.meets(set)).map(|v| set.clone().or(&v.inner))
            });
            sets = crate::hinging::least(both.collect(), B::within);
            apart && !sets.is_empty()
        });
        if apart {
            let pins = sets.into_iter().map(|set| (set, 1)).collect();
            steps.push(Step { cells, class, uses: orbit.len(), pins });
        }
    }
    steps
}
