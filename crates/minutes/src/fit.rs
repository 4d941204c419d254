//! The fit: chains run until they agree, and what their draws say.

use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

use crate::Estimate;
use crate::chain::{Chain, Data, State, believed};
use crate::field::Ties;
use crate::mixing::Mixing;
use crate::prior::Prior;
use crate::tries::{Plays, Sitting, sittings};

/// How to fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitAsk {
    /// What is believed before anybody has played.
    pub prior: Prior,
    /// Equal seeds give equal draws.
    pub seed: u64,
    /// Draws kept of each of four chains, at least 100.
    pub draws: usize,
}

impl Default for FitAsk {
    fn default() -> Self {
        FitAsk { prior: Prior::default(), seed: 1, draws: 1000 }
    }
}

const CHAINS: usize = 4;
/// Rounds at the start of a chain that are thrown away.
const WARM: usize = 300;
/// How often a run that has not settled is done over, twice as long each time.
const LONGER: usize = 3;
/// Most cells of draws times what is drawn.
const MOST: usize = 400_000_000;

/// What a fit rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// No plays: minutes are what is believed beforehand, no more. Uncalibrated.
    Belief,
    /// Plays, none of them finished: minutes are bounded from below alone.
    GivenUp,
    /// Plays, some of them finished.
    Plays,
}

/// Why there is no fit.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FitError {
    /// A try's minutes are not a finite number above 0.
    #[error("try {index} has {minutes} minutes, not a number above 0")]
    Minutes {
        /// Which try, from 0.
        index: usize,
        /// Its minutes.
        minutes: f64,
    },
    /// A try is of a tester or at an outline that is not in the lists.
    #[error("try {index} is of a tester or at an outline that is not listed")]
    Position {
        /// Which try, from 0.
        index: usize,
    },
    /// An effort is not a finite number.
    #[error("the effort of outline {outline} is not a finite number")]
    Effort {
        /// Which outline, from 0.
        outline: usize,
    },
    /// The prior has a spread that is not above 0, or too few draws are asked.
    #[error("the belief has a spread that is not above 0, or fewer than 100 draws are asked")]
    Ask,
    /// There are too many outlines and testers for the draws asked.
    #[error("{outlines} outlines and {testers} testers are too many to draw together")]
    TooMany {
        /// Outlines.
        outlines: usize,
        /// Testers.
        testers: usize,
    },
}

/// The minutes of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Minutes {
    /// What they rest on.
    pub basis: Basis,
    /// The median minutes of testers of middling skill: where it lies.
    pub typical: Estimate,
    /// The minutes of a tester nobody has seen: where nine in ten will lie,
    /// skill, luck and the fit's own doubt counted.
    pub fresh: Estimate,
}

/// Standard deviations of ln minutes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spreads {
    /// Between outlines of one effort.
    pub outlines: Estimate,
    /// Between testers.
    pub testers: Estimate,
    /// Between tries, tester and outline given.
    pub noise: Estimate,
}

/// A fit: draws of everything from its posterior.
#[derive(Clone, Debug)]
pub struct Fit {
    pub(crate) ask: FitAsk,
    pub(crate) sittings: Vec<Sitting>,
    pub(crate) efforts: Vec<Option<f64>>,
    /// Mean and standard deviation of efforts, from the prior's on.
    pub(crate) usual: (f64, f64),
    /// Draws of level and slope, of the three spreads, of each outline and tester.
    pub(crate) line: [Vec<f64>; 2],
    pub(crate) spreads: [Vec<f64>; 3],
    pub(crate) outlines: Vec<Vec<f64>>,
    pub(crate) testers: Vec<Vec<f64>>,
    mixing: Option<Mixing>,
}

/// Fits the model to plays. With none, the draws are of the prior.
///
/// # Errors
/// See [`FitError`].
pub fn fit(plays: &Plays, ask: &FitAsk) -> Result<Fit, FitError> {
    check(plays, ask)?;
    let sittings = sittings(&plays.tries);
    let x: Vec<Option<f64>> = plays.efforts.iter().map(|e| e.map(|e| e - ask.prior.effort)).collect();
    let usual = usual(&x);
    let mut fit = Fit {
        ask: *ask,
        sittings,
        efforts: plays.efforts.clone(),
        usual,
        line: Default::default(),
        spreads: Default::default(),
        outlines: vec![Vec::new(); x.len()],
        testers: vec![Vec::new(); plays.testers],
        mixing: None,
    };
    let played = Played::of(&fit.sittings, x.len(), plays.testers);
    if fit.sittings.is_empty() {
        let mut rng = Pcg64Mcg::seed_from_u64(ask.seed);
        for _ in 0..CHAINS * ask.draws {
            let (line, spreads) = believed(&ask.prior, &mut rng);
            fit.push(line, spreads);
        }
    } else {
        let data = played.data(&fit.sittings, &x, usual);
        let (chains, mixing) = run(&data, ask);
        fit.mixing = Some(mixing);
        for state in chains.iter().flatten() {
            fit.push(state.effects.line, state.spreads);
            for (&o, &d) in played.outlines.iter().zip(&state.effects.outlines) {
                fit.outlines[o].push(d);
            }
            for (&t, &v) in played.testers.iter().zip(&state.effects.testers) {
                fit.testers[t].push(v);
            }
        }
    }
    fit.draw_unplayed(&x);
    Ok(fit)
}

fn check(plays: &Plays, ask: &FitAsk) -> Result<(), FitError> {
    let prior = &ask.prior;
    let above = [prior.level.1, prior.slope.1, prior.outlines, prior.testers, prior.noise];
    let sound = above.iter().all(|s| s.is_finite() && *s > 0.0)
        && [prior.effort, prior.level.0, prior.slope.0].iter().all(|m| m.is_finite());
    if !sound || ask.draws < 100 {
        return Err(FitError::Ask);
    }
    let (outlines, testers) = (plays.efforts.len(), plays.testers);
    if (outlines + testers).saturating_mul(ask.draws.saturating_mul(CHAINS << LONGER)) > MOST {
        return Err(FitError::TooMany { outlines, testers });
    }
    if let Some(outline) = plays.efforts.iter().position(|e| e.is_some_and(|e| !e.is_finite())) {
        return Err(FitError::Effort { outline });
    }
    for (index, t) in plays.tries.iter().enumerate() {
        if t.tester >= testers || t.outline >= outlines {
            return Err(FitError::Position { index });
        }
        if !(t.minutes.is_finite() && t.minutes > 0.0) {
            return Err(FitError::Minutes { index, minutes: t.minutes });
        }
    }
    Ok(())
}

/// Mean and standard deviation of the efforts that are known; what is believed
/// if none is.
fn usual(x: &[Option<f64>]) -> (f64, f64) {
    let known: Vec<f64> = x.iter().flatten().copied().collect();
    if known.is_empty() {
        return (0.0, 0.0);
    }
    let count = known.len() as f64;
    let mean = known.iter().sum::<f64>() / count;
    (mean, (known.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / count).sqrt())
}

/// The outlines and testers that have sittings, by position.
struct Played {
    outlines: Vec<usize>,
    testers: Vec<usize>,
}

impl Played {
    fn of(sittings: &[Sitting], outlines: usize, testers: usize) -> Self {
        let (mut o, mut t) = (vec![false; outlines], vec![false; testers]);
        for s in sittings {
            o[s.outline] = true;
            t[s.tester] = true;
        }
        let listed = |seen: &[bool]| (0..seen.len()).filter(|&i| seen[i]).collect();
        Played { outlines: listed(&o), testers: listed(&t) }
    }

    fn data(&self, sittings: &[Sitting], x: &[Option<f64>], usual: (f64, f64)) -> Data {
        let at = |list: &[usize], of: usize| list.binary_search(&of).expect("it has sittings");
        let dense: Vec<Sitting> = sittings
            .iter()
            .map(|s| Sitting {
                outline: at(&self.outlines, s.outline),
                tester: at(&self.testers, s.tester),
                ..*s
            })
            .collect();
        Data {
            y: dense.iter().map(|s| s.minutes.ln()).collect(),
            x: self.outlines.iter().map(|&o| x[o]).collect(),
            usual,
            testers: self.testers.len(),
            ties: Ties::of(&dense, self.outlines.len(), self.testers.len()),
            sittings: dense,
        }
    }
}

/// Runs the chains until they have settled, or for long enough.
fn run(data: &Data, ask: &FitAsk) -> (Vec<Vec<State>>, Mixing) {
    let mut chains: Vec<Chain> =
        (0..CHAINS).map(|c| Chain::start(data, &ask.prior, ask.seed, c as u64 + 1)).collect();
    for chain in &mut chains {
        (0..WARM).for_each(|_| drop(chain.step()));
    }
    let mut longer = 0;
    loop {
        let states: Vec<Vec<State>> =
            chains.iter_mut().map(|chain| (0..ask.draws << longer).map(|_| chain.step()).collect()).collect();
        let mixing = mixing(&states);
        if mixing.is_settled() || longer == LONGER {
            // As many as asked are enough to carry on.
            let thin = |states: Vec<State>| states.into_iter().step_by(1 << longer).collect();
            return (states.into_iter().map(thin).collect(), mixing);
        }
        longer += 1;
    }
}

fn mixing(chains: &[Vec<State>]) -> Mixing {
    let of = |get: &dyn Fn(&State) -> f64| {
        Mixing::of(&chains.iter().map(|c| c.iter().map(get).collect()).collect::<Vec<Vec<f64>>>())
    };
    let first = &chains[0][0];
    let mut all: Vec<Mixing> = Vec::new();
    all.extend((0..2).map(|i| of(&|s| s.effects.line[i])));
    all.extend((0..3).map(|i| of(&|s| s.spreads[i].ln())));
    all.extend((0..first.effects.outlines.len()).map(|o| of(&|s| s.effects.outlines[o])));
    all.extend((0..first.effects.testers.len()).map(|t| of(&|s| s.effects.testers[t])));
    all.into_iter().reduce(Mixing::and).expect("line and spreads are there")
}

impl Fit {
    fn push(&mut self, line: [f64; 2], spreads: [f64; 3]) {
        for (into, value) in self.line.iter_mut().zip(line).chain(self.spreads.iter_mut().zip(spreads)) {
            into.push(value);
        }
    }

    /// Outlines and testers without sittings follow from line and spreads. Each
    /// outline has a stream of its own: what is known of others moves no digit.
    fn draw_unplayed(&mut self, x: &[Option<f64>]) {
        for (o, &x) in x.iter().enumerate() {
            if self.outlines[o].is_empty() {
                let mut rng = self.rng((1 << 35) + o as u64);
                self.outlines[o] = self.draws_of(x, &mut rng);
            }
        }
        let mut rng = self.rng(1 << 32);
        let spreads = &self.spreads[1];
        for tester in self.testers.iter_mut().filter(|t| t.is_empty()) {
            *tester = spreads.iter().map(|sd| sd * normal(&mut rng)).collect();
        }
    }

    /// Draws of an outline that nobody has played.
    fn draws_of(&self, x: Option<f64>, rng: &mut Pcg64Mcg) -> Vec<f64> {
        let mut draw = |i: usize| {
            let x = x.unwrap_or_else(|| self.usual.0 + self.usual.1 * normal(rng));
            self.line[0][i] + self.line[1][i] * x + self.spreads[0][i] * normal(rng)
        };
        (0..self.len()).map(&mut draw).collect()
    }

    fn rng(&self, stream: u64) -> Pcg64Mcg {
        Pcg64Mcg::seed_from_u64(self.ask.seed.wrapping_add(stream.wrapping_mul(0xD1B5_4A32_D192_ED03)))
    }

    /// How many draws there are.
    pub(crate) fn len(&self) -> usize {
        self.line[0].len()
    }

    /// What the fit rests on.
    pub fn basis(&self) -> Basis {
        match (self.sittings.is_empty(), self.sittings.iter().any(|s| s.finished)) {
            (true, _) => Basis::Belief,
            (_, false) => Basis::GivenUp,
            (_, true) => Basis::Plays,
        }
    }

    /// The sittings it was fitted to, by outline and tester.
    pub fn sittings(&self) -> &[Sitting] {
        &self.sittings
    }

    /// How well the chains mixed; `None` where nothing was played, since then
    /// every draw is independent.
    pub fn mixing(&self) -> Option<Mixing> {
        self.mixing
    }

    /// The minutes of the outline at a position.
    pub fn minutes(&self, outline: usize) -> Minutes {
        self.minutes_of_draws(&self.outlines[outline], outline as u64)
    }

    /// The minutes of an outline that is not in the list, by its effort alone.
    pub fn minutes_of_effort(&self, effort: f64) -> Minutes {
        let mut rng = self.rng(1 << 33);
        let draws = self.draws_of(Some(effort - self.ask.prior.effort), &mut rng);
        self.minutes_of_draws(&draws, 1 << 34)
    }

    fn minutes_of_draws(&self, draws: &[f64], stream: u64) -> Minutes {
        let mut rng = self.rng(stream);
        let mut fresh: Vec<f64> = Vec::with_capacity(draws.len());
        for (i, d) in draws.iter().enumerate() {
            fresh.push(d + self.spreads[1][i].hypot(self.spreads[2][i]) * normal(&mut rng));
        }
        Minutes {
            basis: self.basis(),
            typical: Estimate::of(&mut draws.to_vec()).map(f64::exp),
            fresh: Estimate::of(&mut fresh).map(f64::exp),
        }
    }

    /// What a tester's minutes are multiplied by: below 1 is quicker than most.
    pub fn pace(&self, tester: usize) -> Estimate {
        Estimate::of(&mut self.testers[tester].clone()).map(f64::exp)
    }

    /// ln minutes gained for each unit of effort.
    pub fn slope(&self) -> Estimate {
        Estimate::of(&mut self.line[1].clone())
    }

    /// How much outlines, testers and tries differ.
    pub fn spreads(&self) -> Spreads {
        let of = |i: usize| Estimate::of(&mut self.spreads[i].clone());
        Spreads { outlines: of(0), testers: of(1), noise: of(2) }
    }
}

fn normal(rng: &mut Pcg64Mcg) -> f64 {
    StandardNormal.sample(rng)
}
