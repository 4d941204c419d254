//! One chain of Gibbs sampling over everything that is not known.
//!
//! Minutes of tries that were given up are drawn like any other unknown (data
//! augmentation: M. A. Tanner & W. H. Wong, 1987, JASA 82). What is slow in one
//! parametrisation is quick in another, so both take turns (Y. Yu & X.-L. Meng,
//! 2011, "To center or not to center", J. Comput. Graph. Stat. 20; both from
//! memory): a spread moves with its effects fixed and then with its effects
//! stretched along; an outline moves with its given-up minutes fixed and then
//! with them carried along.

use nalgebra::{Matrix2, Vector2};
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, Gamma, StandardNormal};
use rand_pcg::Pcg64Mcg;

use crate::field::{self, Effects, Given, LEAST_SPREAD, Ties};
use crate::normal;
use crate::prior::{DEGREES, Prior};
use crate::tries::Sitting;

/// What is played, ready for chains: only outlines and testers with sittings.
#[derive(Clone, Debug)]
pub(crate) struct Data {
    pub sittings: Vec<Sitting>,
    /// ln minutes.
    pub y: Vec<f64>,
    /// Effort of each outline from the prior's effort on; `None` if not known.
    pub x: Vec<Option<f64>>,
    /// Mean and standard deviation of efforts, for those that are not known.
    pub usual: (f64, f64),
    pub testers: usize,
    pub ties: Ties,
}

/// One state of a chain.
#[derive(Clone, Debug)]
pub(crate) struct State {
    pub effects: Effects,
    /// Standard deviations of outlines, testers, noise.
    pub spreads: [f64; 3],
}

pub(crate) struct Chain<'a> {
    data: &'a Data,
    prior: &'a Prior,
    rng: Pcg64Mcg,
    /// ln minutes, those of tries that were given up as last drawn.
    y: Vec<f64>,
    x: Vec<f64>,
    effects: Effects,
    /// Standard deviations of outlines, testers, noise.
    spreads: [f64; 3],
    /// Which sittings are at each outline, and of each tester.
    at_outline: Vec<Vec<usize>>,
    of_tester: Vec<Vec<usize>>,
    rounds: u64,
}

/// Up to so many outlines or testers, whichever are fewer, are drawn jointly in
/// every round.
const MANY: u64 = 100;

/// A draw of the square root of an inverse gamma of `degrees / 2` and `sum / 2`.
fn root_of_inverse_gamma(degrees: f64, sum: f64, rng: &mut impl Rng) -> f64 {
    let gamma = Gamma::new(0.5 * degrees, 1.0).expect("degrees are above 0");
    (0.5 * sum / gamma.sample(rng).max(f64::MIN_POSITIVE)).sqrt()
}

fn normal_draw(rng: &mut impl Rng) -> f64 {
    StandardNormal.sample(rng)
}

/// Spreads and line as believed before anything was played.
pub(crate) fn believed(prior: &Prior, rng: &mut impl Rng) -> ([f64; 2], [f64; 3]) {
    let line = [prior.level, prior.slope].map(|(mean, sd)| mean + sd * normal_draw(rng));
    let mut half_t = |scale: f64| {
        (scale * normal_draw(rng) * root_of_inverse_gamma(DEGREES, DEGREES, rng)).abs().max(LEAST_SPREAD)
    };
    let (outlines, testers) = (half_t(prior.outlines), half_t(prior.testers));
    let noise = root_of_inverse_gamma(DEGREES, DEGREES * prior.noise * prior.noise, rng);
    (line, [outlines, testers, noise.max(LEAST_SPREAD)])
}

impl<'a> Chain<'a> {
    /// A chain that starts from a draw of the belief, different for each stream.
    pub fn start(data: &'a Data, prior: &'a Prior, seed: u64, stream: u64) -> Self {
        let mut rng = Pcg64Mcg::seed_from_u64(seed ^ stream.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let (_, spreads) = believed(prior, &mut rng);
        let (mut at_outline, mut of_tester) =
            (vec![Vec::new(); data.x.len()], vec![Vec::new(); data.testers]);
        for (i, s) in data.sittings.iter().enumerate() {
            at_outline[s.outline].push(i);
            of_tester[s.tester].push(i);
        }
        let x = data.x.iter().map(|x| x.unwrap_or(data.usual.0)).collect();
        Chain {
            data,
            prior,
            rng,
            y: data.y.clone(),
            x,
            effects: Effects::default(),
            spreads,
            at_outline,
            of_tester,
            rounds: 0,
        }
    }

    /// One round over everything.
    pub fn step(&mut self) -> State {
        self.draw_effects();
        self.draw_efforts();
        self.stretch_testers();
        self.stretch_outlines();
        self.draw_noise();
        self.draw_given_up();
        self.carry_outlines();
        self.carry_testers();
        State { effects: self.effects.clone(), spreads: self.spreads }
    }

    fn draw_effects(&mut self) {
        self.rounds += 1;
        // Factoring takes the cube of the smaller kind; many of both are drawn in
        // turn most of the time, so that a round never costs much more than with
        // a hundred.
        let small = self.x.len().min(self.data.testers) as u64;
        let every = (small.pow(3) / MANY.pow(3)).clamp(1, 40);
        if !self.rounds.is_multiple_of(every) && self.rounds > 1 {
            return self.draw_in_turn();
        }
        let mut by_outline = vec![0.0; self.x.len()];
        let mut by_tester = vec![0.0; self.data.testers];
        for (s, y) in self.data.sittings.iter().zip(&self.y) {
            by_outline[s.outline] += y;
            by_tester[s.tester] += y;
        }
        let given = Given {
            x: &self.x,
            line: [self.prior.level, self.prior.slope],
            spreads: self.spreads,
            sums: [&by_outline, &by_tester],
        };
        self.effects = field::draw(&self.data.ties, &given, &mut self.rng);
    }

    /// Testers given outlines, outlines given testers, the line given outlines.
    fn draw_in_turn(&mut self) {
        let [of_outlines, of_testers, of_noise] = self.spreads.map(|sd| sd.powi(-2));
        for t in 0..self.data.testers {
            let (mut precision, mut pull) = (of_testers, 0.0);
            for &i in &self.of_tester[t] {
                precision += of_noise;
                pull += (self.y[i] - self.effects.outlines[self.data.sittings[i].outline]) * of_noise;
            }
            self.effects.testers[t] = pull / precision + normal_draw(&mut self.rng) / precision.sqrt();
        }
        let [level, slope] = [self.prior.level, self.prior.slope];
        let mut line = Matrix2::new(level.1.powi(-2), 0.0, 0.0, slope.1.powi(-2));
        let mut right = Vector2::new(level.0, slope.0).component_mul(&line.diagonal());
        for o in 0..self.x.len() {
            let (mut precision, mut pull) = (of_outlines, self.line(o) * of_outlines);
            for &i in &self.at_outline[o] {
                precision += of_noise;
                pull += (self.y[i] - self.effects.testers[self.data.sittings[i].tester]) * of_noise;
            }
            let d = pull / precision + normal_draw(&mut self.rng) / precision.sqrt();
            self.effects.outlines[o] = d;
            let column = Vector2::new(1.0, self.x[o]);
            line += column * column.transpose() * of_outlines;
            right += column * d * of_outlines;
        }
        if let Some(factor) = line.cholesky() {
            let noise = Vector2::from_fn(|_, _| normal_draw(&mut self.rng));
            let found = factor.solve(&right)
                + factor.l().transpose().solve_upper_triangular(&noise).expect("it was factored");
            self.effects.line = [found[0], found[1]];
        }
    }

    /// Efforts that nobody has reckoned, from what their outlines took.
    fn draw_efforts(&mut self) {
        let (usual, spread) = self.data.usual;
        let [level, slope] = self.effects.line;
        let own = self.spreads[0].powi(-2);
        for (o, known) in self.data.x.iter().enumerate() {
            if known.is_none() && spread > 0.0 {
                let precision = 1.0 / (spread * spread) + slope * slope * own;
                let pull = usual / (spread * spread) + slope * (self.effects.outlines[o] - level) * own;
                self.x[o] = pull / precision + normal_draw(&mut self.rng) / precision.sqrt();
            }
        }
    }

    fn line(&self, outline: usize) -> f64 {
        self.effects.line[0] + self.effects.line[1] * self.x[outline]
    }

    fn stretch_testers(&mut self) {
        let sd = self.spreads[1];
        let plain: Vec<f64> = self.effects.testers.iter().map(|v| v / sd).collect();
        let (mut square, mut product) = (0.0, 0.0);
        for (s, y) in self.data.sittings.iter().zip(&self.y) {
            let unit = plain[s.tester];
            square += unit * unit;
            product += unit * (y - self.effects.outlines[s.outline]);
        }
        let sd = self.stretched(square, product, sd, self.prior.testers);
        self.effects.testers = plain.iter().map(|unit| unit * sd).collect();
        self.spreads[1] = self.with_effects_fixed(sd, self.prior.testers, &plain);
    }

    fn stretch_outlines(&mut self) {
        let sd = self.spreads[0];
        let own = |o: usize| (self.effects.outlines[o] - self.line(o)) / sd;
        let plain: Vec<f64> = (0..self.x.len()).map(own).collect();
        let (mut square, mut product) = (0.0, 0.0);
        for (s, y) in self.data.sittings.iter().zip(&self.y) {
            let unit = plain[s.outline];
            square += unit * unit;
            product += unit * (y - self.line(s.outline) - self.effects.testers[s.tester]);
        }
        let sd = self.stretched(square, product, sd, self.prior.outlines);
        for (o, unit) in plain.iter().enumerate() {
            self.effects.outlines[o] = self.line(o) + unit * sd;
        }
        self.spreads[0] = self.with_effects_fixed(sd, self.prior.outlines, &plain);
    }

    /// A spread with its effects stretched along, from the sums of squares and
    /// products with the effects at spread 1. A half-t is a half-normal whose
    /// variance is inverse gamma: that variance is drawn first.
    fn stretched(&mut self, square: f64, product: f64, sd: f64, scale: f64) -> f64 {
        let belief =
            scale * root_of_inverse_gamma(DEGREES + 1.0, DEGREES + (sd / scale).powi(2), &mut self.rng);
        let weight = self.spreads[2].powi(-2);
        let precision = square * weight + 1.0 / (belief * belief);
        let (mean, narrow) = (product * weight / precision, precision.sqrt().recip());
        let least = (LEAST_SPREAD - mean) / narrow;
        mean + narrow * normal::draw_above(least, &mut self.rng)
    }

    /// A spread with its effects (those at spread 1 times `sd`) fixed. The half-t
    /// is an inverse gamma mixture of inverse gammas (M. P. Wand et al., 2011,
    /// "Mean field variational Bayes for elaborate distributions", Bayesian
    /// Analysis 6, from memory).
    fn with_effects_fixed(&mut self, sd: f64, scale: f64, plain: &[f64]) -> f64 {
        let sum = 2.0 * (DEGREES / (sd * sd) + 1.0 / (scale * scale));
        let mixed = root_of_inverse_gamma(DEGREES + 1.0, sum, &mut self.rng).powi(2);
        let squares = sd * sd * plain.iter().map(|u| u * u).sum::<f64>();
        let sum = squares + 2.0 * DEGREES / mixed;
        root_of_inverse_gamma(DEGREES + plain.len() as f64, sum, &mut self.rng).max(LEAST_SPREAD)
    }

    /// Outlines with what was given up at them carried along.
    fn carry_outlines(&mut self) {
        for o in 0..self.x.len() {
            let (at, belief) = (self.effects.outlines[o], (self.line(o), self.spreads[0]));
            let rows = std::mem::take(&mut self.at_outline[o]);
            let others = |s: &Sitting| self.effects.testers[s.tester];
            let rest: Vec<f64> = rows.iter().map(|&i| others(&self.data.sittings[i])).collect();
            self.effects.outlines[o] = self.carried(at, belief, &rows, &rest);
            self.at_outline[o] = rows;
        }
    }

    fn carry_testers(&mut self) {
        for t in 0..self.data.testers {
            let (at, belief) = (self.effects.testers[t], (0.0, self.spreads[1]));
            let rows = std::mem::take(&mut self.of_tester[t]);
            let others = |s: &Sitting| self.effects.outlines[s.outline];
            let rest: Vec<f64> = rows.iter().map(|&i| others(&self.data.sittings[i])).collect();
            self.effects.testers[t] = self.carried(at, belief, &rows, &rest);
            self.of_tester[t] = rows;
        }
    }

    /// One effect drawn with the noise of its given-up tries fixed: they move with
    /// it, and none below its bound. `rest`: what else makes up each row's middle.
    fn carried(&mut self, at: f64, belief: (f64, f64), rows: &[usize], rest: &[f64]) -> f64 {
        let weight = self.spreads[2].powi(-2);
        let own = belief.1.powi(-2);
        let (mut precision, mut pull, mut slack) = (own, belief.0 * own, f64::INFINITY);
        for (&i, rest) in rows.iter().zip(rest) {
            if self.data.sittings[i].finished {
                precision += weight;
                pull += (self.y[i] - rest) * weight;
            } else {
                slack = slack.min(self.y[i] - self.data.y[i]);
            }
        }
        if slack == f64::INFINITY {
            return at;
        }
        let (mean, narrow) = (pull / precision, precision.sqrt().recip());
        let to = mean + narrow * normal::draw_above((at - slack - mean) / narrow, &mut self.rng);
        for &i in rows.iter().filter(|&&i| !self.data.sittings[i].finished) {
            self.y[i] = (self.y[i] + to - at).max(self.data.y[i]);
        }
        to
    }

    fn middle(&self, s: &Sitting) -> f64 {
        self.effects.outlines[s.outline] + self.effects.testers[s.tester]
    }

    fn draw_noise(&mut self) {
        let rows = self.data.sittings.iter().zip(&self.y);
        let squares: f64 = rows.map(|(s, y)| (y - self.middle(s)).powi(2)).sum();
        let belief = DEGREES * self.prior.noise * self.prior.noise;
        let degrees = DEGREES + self.y.len() as f64;
        self.spreads[2] = root_of_inverse_gamma(degrees, belief + squares, &mut self.rng).max(LEAST_SPREAD);
    }

    fn draw_given_up(&mut self) {
        for (i, s) in self.data.sittings.iter().enumerate().filter(|(_, s)| !s.finished) {
            let middle = self.middle(s);
            let noise = self.spreads[2];
            let bound = (self.data.y[i] - middle) / noise;
            self.y[i] = middle + noise * normal::draw_above(bound, &mut self.rng);
        }
    }
}
