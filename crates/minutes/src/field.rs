//! Outlines, testers and the line of effort drawn together, spreads given.
//!
//! All of them are jointly normal. Their precision is an arrow: one kind (the
//! more numerous, outlines or testers) is diagonal and is eliminated first; what
//! is left, the other kind and the line, is factored whole. Drawing all at once
//! spares the sampler the slow drift between "these testers are quick" and
//! "these outlines are easy".

use nalgebra::{Cholesky, DMatrix, DVector};
use rand::Rng;
use rand_distr::{Distribution, StandardNormal};

use crate::tries::Sitting;

/// Spreads below this are taken as this: a thousandth of ln minutes is nothing,
/// and arithmetic stays sound.
pub(crate) const LEAST_SPREAD: f64 = 1e-3;

/// Which sittings bind which outlines and testers.
#[derive(Clone, Debug)]
pub(crate) struct Ties {
    /// For each outline its testers and how often.
    outlines: Vec<Vec<(usize, f64)>>,
    /// For each tester their outlines and how often.
    testers: Vec<Vec<(usize, f64)>>,
}

impl Ties {
    pub fn of(sittings: &[Sitting], outlines: usize, testers: usize) -> Self {
        let mut ties = Ties { outlines: vec![Vec::new(); outlines], testers: vec![Vec::new(); testers] };
        let add = |list: &mut Vec<(usize, f64)>, to: usize| match list.iter_mut().find(|t| t.0 == to) {
            Some(tie) => tie.1 += 1.0,
            None => list.push((to, 1.0)),
        };
        for s in sittings {
            add(&mut ties.outlines[s.outline], s.tester);
            add(&mut ties.testers[s.tester], s.outline);
        }
        ties
    }
}

/// What the draw is made from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Given<'a> {
    /// Effort of each outline, from the prior's effort on.
    pub x: &'a [f64],
    /// Belief about level and slope: means and standard deviations.
    pub line: [(f64, f64); 2],
    /// Standard deviations of outlines, testers, noise.
    pub spreads: [f64; 3],
    /// Sums of ln minutes by outline and by tester.
    pub sums: [&'a [f64]; 2],
}

/// A draw.
#[derive(Clone, Debug, Default)]
pub(crate) struct Effects {
    /// Level and slope.
    pub line: [f64; 2],
    /// ln minutes of each outline, for a tester of no bias.
    pub outlines: Vec<f64>,
    /// What each tester adds.
    pub testers: Vec<f64>,
}

pub(crate) fn draw(ties: &Ties, given: &Given, rng: &mut impl Rng) -> Effects {
    let weight = |sd: f64| 1.0 / (sd.max(LEAST_SPREAD) * sd.max(LEAST_SPREAD));
    let [of_outlines, of_testers, of_noise] = given.spreads.map(weight);
    let count = |list: &[(usize, f64)]| list.iter().map(|t| t.1).sum::<f64>();
    let testers_go = ties.testers.len() >= ties.outlines.len();
    let (wide, narrow) =
        if testers_go { (&ties.testers, &ties.outlines) } else { (&ties.outlines, &ties.testers) };
    let (wide_weight, narrow_weight) =
        if testers_go { (of_testers, of_outlines) } else { (of_outlines, of_testers) };
    let (wide_sums, narrow_sums) =
        if testers_go { (given.sums[1], given.sums[0]) } else { (given.sums[0], given.sums[1]) };
    let line_at = narrow.len();
    let size = line_at + 2;

    let mut precision = DMatrix::zeros(size, size);
    let mut right = DVector::zeros(size);
    for (i, list) in narrow.iter().enumerate() {
        precision[(i, i)] = count(list) * of_noise + narrow_weight;
        right[i] = narrow_sums[i] * of_noise;
    }
    for (k, (mean, sd)) in given.line.into_iter().enumerate() {
        precision[(line_at + k, line_at + k)] = weight(sd);
        right[line_at + k] = mean * weight(sd);
    }
    for (o, &x) in given.x.iter().enumerate() {
        let column = [1.0, x];
        for (k, &a) in column.iter().enumerate() {
            for (l, &b) in column.iter().enumerate() {
                precision[(line_at + k, line_at + l)] += a * b * of_outlines;
            }
            if testers_go {
                precision[(line_at + k, o)] = -a * of_outlines;
            }
        }
    }
    // The lower triangle is enough for factoring.
    let mut arm: Vec<(usize, f64)> = Vec::new();
    let mut arms = Vec::with_capacity(wide.len());
    for (j, list) in wide.iter().enumerate() {
        arm.clear();
        arm.extend(list.iter().map(|&(i, times)| (i, times * of_noise)));
        if !testers_go {
            arm.push((line_at, -of_outlines));
            arm.push((line_at + 1, -given.x[j] * of_outlines));
        }
        let own = count(list) * of_noise + wide_weight;
        let push = wide_sums[j] * of_noise;
        for &(a, by) in &arm {
            right[a] -= by * push / own;
            for &(b, along) in &arm {
                if b <= a {
                    precision[(a, b)] -= by * along / own;
                }
            }
        }
        arms.push((own, push, arm.clone()));
    }
    // Positive definite as it is: the substitute stands in for rounding alone.
    let lower = Cholesky::new_with_substitute(precision, 1e-9).expect("a substitute is given").unpack_dirty();
    let mut found = right;
    lower.solve_lower_triangular_mut(&mut found);
    found += DVector::from_fn(size, |_, _| StandardNormal.sample(rng));
    lower.tr_solve_lower_triangular_mut(&mut found);

    let mut eliminated = Vec::with_capacity(wide.len());
    for (own, push, arm) in arms {
        let pull: f64 = arm.iter().map(|&(i, by)| by * found[i]).sum();
        let noise: f64 = StandardNormal.sample(rng);
        eliminated.push((push - pull) / own + noise / own.sqrt());
    }
    let kept: Vec<f64> = found.rows(0, line_at).iter().copied().collect();
    let line = [found[line_at], found[line_at + 1]];
    let (outlines, testers) = if testers_go { (kept, eliminated) } else { (eliminated, kept) };
    Effects { line, outlines, testers }
}
