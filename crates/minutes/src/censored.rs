//! A right-censored log-normal by maximum likelihood, with or without columns:
//! what one outline's tries say by themselves, nothing pooled.
//!
//! In Olsen's parameters, 1/σ and β/σ, the logarithm of the likelihood is concave
//! (R. J. Olsen, 1978, "Note on the uniqueness of the maximum likelihood
//! estimator for the tobit model", Econometrica 46, 1211-1215; from memory), so
//! Newton's steps with halving find its only top if there is one.

use nalgebra::{Cholesky, DMatrix, DVector};

use crate::normal;

/// A log-normal fitted to times, some of them right-censored.
#[derive(Clone, Debug, PartialEq)]
pub struct Censored {
    /// Coefficient of each column for ln time; of the single column of ones this
    /// is the mean of ln time.
    pub coefficients: Vec<f64>,
    /// Their standard errors, from the observed information.
    pub errors: Vec<f64>,
    /// Standard deviation of ln time.
    pub sigma: f64,
    /// Its standard error.
    pub sigma_error: f64,
    /// Logarithm of the likelihood of the times (not of their logarithms).
    pub ln_likelihood: f64,
}

/// Why there is no fit.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CensoredError {
    /// Rows or columns do not match, or a number is not finite, or a time not above 0.
    #[error("the table of times is not sound")]
    Unsound,
    /// Nothing was finished: the likelihood rises without end as times grow.
    #[error("nothing was finished, so nothing bounds the times from above")]
    NothingFinished,
    /// The likelihood has no top: finished times do not scatter, or columns
    /// depend on each other.
    #[error("the times do not scatter enough, or the columns depend on each other")]
    NoTop,
}

/// The state of a climb.
struct Top {
    ln_likelihood: f64,
    gradient: DVector<f64>,
    information: DMatrix<f64>,
}

/// Fits `ln time = columns · coefficients + sigma × normal`. `rows` holds the
/// columns of each time (`[1]` for no columns but the mean), `times` the times
/// above 0 and whether each was finished; one that was not is longer.
///
/// # Errors
/// See [`CensoredError`].
pub fn censored(rows: &[Vec<f64>], times: &[(f64, bool)]) -> Result<Censored, CensoredError> {
    let width = rows.first().map_or(0, Vec::len);
    let even = rows.len() == times.len() && rows.iter().all(|r| r.len() == width) && width > 0;
    let finite = rows.iter().flatten().all(|x| x.is_finite());
    if !even || !finite || times.iter().any(|t| !(t.0.is_finite() && t.0 > 0.0)) {
        return Err(CensoredError::Unsound);
    }
    if times.iter().all(|t| !t.1) {
        return Err(CensoredError::NothingFinished);
    }
    let x = DMatrix::from_fn(rows.len(), width, |i, j| rows[i][j]);
    let y: Vec<f64> = times.iter().map(|t| t.0.ln()).collect();
    let finished: Vec<bool> = times.iter().map(|t| t.1).collect();
    let at = climb(&x, &y, &finished)?;
    let top = look(&x, &y, &finished, &at);
    // From (1/σ, β/σ) to (σ, β).
    let sigma = 1.0 / at[0];
    let mut turn = DMatrix::zeros(width + 1, width + 1);
    turn[(0, 0)] = -sigma * sigma;
    for j in 0..width {
        turn[(j + 1, 0)] = -at[j + 1] * sigma * sigma;
        turn[(j + 1, j + 1)] = sigma;
    }
    let cover = Cholesky::new(top.information).ok_or(CensoredError::NoTop)?.inverse();
    let cover = &turn * cover * turn.transpose();
    let of_times: f64 = y.iter().zip(&finished).filter(|(_, f)| **f).map(|(y, _)| y).sum();
    Ok(Censored {
        coefficients: (0..width).map(|j| at[j + 1] * sigma).collect(),
        errors: (0..width).map(|j| cover[(j + 1, j + 1)].sqrt()).collect(),
        sigma,
        sigma_error: cover[(0, 0)].sqrt(),
        ln_likelihood: top.ln_likelihood - of_times,
    })
}

fn climb(x: &DMatrix<f64>, y: &[f64], finished: &[bool]) -> Result<DVector<f64>, CensoredError> {
    let count = y.len() as f64;
    let mean = y.iter().sum::<f64>() / count;
    let spread = (y.iter().map(|y| (y - mean).powi(2)).sum::<f64>() / count).sqrt();
    let steep = 1.0 / spread.max(0.1);
    // Least squares, censored or not, is near enough to start from.
    let squares = Cholesky::new(x.transpose() * x).ok_or(CensoredError::NoTop)?;
    let line = squares.solve(&(x.transpose() * DVector::from_column_slice(y)));
    let mut at = DVector::zeros(x.ncols() + 1);
    at[0] = steep;
    at.rows_mut(1, x.ncols()).copy_from(&(line * steep));
    let mut here = look(x, y, finished, &at);
    for _ in 0..200 {
        let factor = Cholesky::new(here.information.clone()).ok_or(CensoredError::NoTop)?;
        let mut step = factor.solve(&here.gradient);
        let gain = step.dot(&here.gradient);
        // Steps square the distance to the top: after one so small there is none left.
        if gain < 1e-12 {
            return Ok(at + step);
        }
        let mut halvings = 0;
        loop {
            let next = &at + &step;
            if next[0] > 0.0 {
                let there = look(x, y, finished, &next);
                if there.ln_likelihood >= here.ln_likelihood {
                    (at, here) = (next, there);
                    break;
                }
            }
            step *= 0.5;
            halvings += 1;
            if halvings > 60 {
                return Ok(at); // as far as rounding lets it climb
            }
        }
        // Finished times that lie on a line drive σ to nothing.
        if at[0] > 1e6 {
            return Err(CensoredError::NoTop);
        }
    }
    Err(CensoredError::NoTop)
}

/// The logarithm of the likelihood of ln times, its gradient, and what is lost
/// around it, in (1/σ, β/σ).
fn look(x: &DMatrix<f64>, y: &[f64], finished: &[bool], at: &DVector<f64>) -> Top {
    let size = at.len();
    let mut top =
        Top { ln_likelihood: 0.0, gradient: DVector::zeros(size), information: DMatrix::zeros(size, size) };
    let mut row = DVector::zeros(size);
    for (i, (&y, &finished)) in y.iter().zip(finished).enumerate() {
        // z = row · at, with row = (y, -x).
        row[0] = y;
        for j in 1..size {
            row[j] = -x[(i, j - 1)];
        }
        let z = row.dot(at);
        let (pull, weight) = if finished {
            top.ln_likelihood += at[0].ln() + normal::ln_density(z);
            top.gradient[0] += 1.0 / at[0];
            top.information[(0, 0)] += 1.0 / (at[0] * at[0]);
            (z, 1.0)
        } else {
            top.ln_likelihood += normal::ln_above(z);
            (normal::hazard(z), 1.0 - normal::variance_above(z))
        };
        top.gradient.axpy(-pull, &row, 1.0);
        top.information.ger(weight, &row, &row, 1.0);
    }
    top
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ones(count: usize) -> Vec<Vec<f64>> {
        vec![vec![1.0]; count]
    }

    #[test]
    fn without_censoring_it_is_mean_and_root_of_mean_square() {
        let times = [2.0, 5.0, 11.0, 23.0, 29.0, 37.0, 43.0, 59.0].map(|t| (t, true));
        let fit = censored(&ones(8), &times).unwrap();
        let mean = times.iter().map(|t: &(f64, bool)| t.0.ln()).sum::<f64>() / 8.0;
        let square = times.iter().map(|t| (t.0.ln() - mean).powi(2)).sum::<f64>() / 8.0;
        assert!((fit.coefficients[0] - mean).abs() < 1e-10);
        assert!((fit.sigma - square.sqrt()).abs() < 1e-10);
        // Standard errors of a normal sample: σ/√n and σ/√(2n).
        assert!((fit.errors[0] - fit.sigma / 8f64.sqrt()).abs() < 1e-9);
        assert!((fit.sigma_error - fit.sigma / 4.0).abs() < 1e-9);
    }

    #[test]
    fn one_try_given_up_among_others_moves_the_median_up() {
        let times = [(30.0, true), (85.0, true), (60.0, false), (45.0, false), (66.5, true)];
        let fit = censored(&ones(5), &times).unwrap();
        let blind = censored(&ones(5), &times.map(|t| (t.0, true))).unwrap();
        assert!(fit.coefficients[0].exp() > 60.0 && blind.coefficients[0].exp() < 55.0, "{fit:?}");
        // The gradient is nothing at the top: both neighbours are lower.
        let at = |m: f64, s: f64| -> f64 {
            let z = |t: f64| (t.ln() - m) / s;
            let of = |t: &(f64, bool)| {
                if t.1 { normal::ln_density(z(t.0)) - s.ln() - t.0.ln() } else { normal::ln_above(z(t.0)) }
            };
            times.iter().map(of).sum()
        };
        let (m, s) = (fit.coefficients[0], fit.sigma);
        assert!((at(m, s) - fit.ln_likelihood).abs() < 1e-12);
        for (dm, ds) in [(1e-3, 0.0), (-1e-3, 0.0), (0.0, 1e-3), (0.0, -1e-3)] {
            assert!(at(m + dm, s + ds) < at(m, s));
        }
    }

    #[test]
    fn what_has_no_top_is_said() {
        let no = |times: &[(f64, bool)]| censored(&ones(times.len()), times).unwrap_err();
        assert_eq!(no(&[(5.0, false), (9.0, false)]), CensoredError::NothingFinished);
        assert_eq!(no(&[(5.0, true), (5.0, true)]), CensoredError::NoTop);
        assert_eq!(no(&[(5.0, true)]), CensoredError::NoTop);
        assert_eq!(no(&[(5.0, true), (4.0, false)]), CensoredError::NoTop);
        assert_eq!(no(&[(0.0, true)]), CensoredError::Unsound);
        assert_eq!(censored(&[], &[]).unwrap_err(), CensoredError::Unsound);
        let twice = vec![vec![1.0, 2.0]; 3];
        let times = [(1.0, true), (2.0, true), (3.0, true)];
        assert_eq!(censored(&twice, &times).unwrap_err(), CensoredError::NoTop);
        // One finish and something longer does scatter.
        assert!(censored(&ones(2), &[(5.0, true), (9.0, false)]).is_ok());
    }
}
