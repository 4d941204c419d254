//! The censored log-normal fit against published examples of lifetimes, and order
//! statistics against closed forms. Lifetimes stand in for minutes: the
//! arithmetic is the same.

use minutes::{Censored, censored, finishers, kth_of};

/// What fits agree within: lifelines stops at about 3e-5.
const NEAR: f64 = 1e-4;

fn close(found: f64, wanted: f64, within: f64, what: &str) {
    assert!((found - wanted).abs() <= within, "{what}: {found} instead of {wanted}");
}

fn one_sample(times: &[(f64, bool)]) -> Censored {
    censored(&vec![vec![1.0]; times.len()], times).unwrap()
}

/// The likelihood of ln times instead of times.
fn of_logarithms(fit: &Censored, times: &[(f64, bool)]) -> f64 {
    fit.ln_likelihood + times.iter().filter(|t| t.1).map(|t| t.0.ln()).sum::<f64>()
}

fn times(failed: &[f64], censored: &[f64]) -> Vec<(f64, bool)> {
    failed.iter().map(|&t| (t, true)).chain(censored.iter().map(|&t| (t, false))).collect()
}

/// Locomotive controls, 96 units of which 59 ran past 135 thousand miles.
/// W. Nelson (1982), Applied Life Data Analysis: log10 mean 2.2223, sigma 0.3064;
/// J. F. Lawless, Statistical Models and Methods for Lifetime Data: 5.117, 0.705
/// (data and values from memory). Further digits: lifelines 0.30.3
/// LogNormalFitter (5.11695, 0.705489, log likelihood -237.093545) and a
/// computation of our own by other means.
#[test]
fn locomotive_controls() {
    let failed = [
        22.5, 37.5, 46.0, 48.5, 51.5, 53.0, 54.5, 57.5, 66.5, 68.0, 69.5, 76.5, 77.0, 78.5, 80.0, 81.5, 82.0,
        83.0, 84.0, 91.5, 93.5, 102.5, 107.0, 108.5, 112.5, 113.5, 116.0, 117.0, 118.5, 119.0, 120.0, 122.5,
        123.0, 127.5, 131.0, 132.5, 134.0,
    ];
    let times = times(&failed, &[135.0; 59]);
    let fit = one_sample(&times);
    close(fit.coefficients[0], 5.117, 5e-4, "Lawless, mu");
    close(fit.sigma, 0.705, 5.1e-4, "Lawless, sigma");
    close(fit.coefficients[0] / 10f64.ln(), 2.2223, 1e-4, "Nelson, mu of log10");
    close(fit.sigma / 10f64.ln(), 0.3064, 1e-4, "Nelson, sigma of log10");
    close(fit.coefficients[0], 5.116_925, NEAR, "mu");
    close(fit.sigma, 0.705_494, NEAR, "sigma");
    close(fit.errors[0], 0.104_16, NEAR, "error of mu");
    close(fit.sigma_error, 0.093_20, NEAR, "error of sigma");
    close(fit.ln_likelihood, -237.093_545, NEAR, "log likelihood");
    close(of_logarithms(&fit, &times), -73.458_565, NEAR, "log likelihood of ln times");
}

const AT_170: ([f64; 7], [f64; 3]) = ([1764.0, 2772.0, 3444.0, 3542.0, 3780.0, 4860.0, 5196.0], [5448.0; 3]);
const AT_190: ([f64; 5], [f64; 5]) = ([408.0, 408.0, 1344.0, 1344.0, 1440.0], [1680.0; 5]);
const AT_220: ([f64; 5], [f64; 5]) = ([408.0, 408.0, 504.0, 504.0, 504.0], [528.0; 5]);

/// Motorettes at several temperatures, hours to failure. J. D. Kalbfleisch &
/// R. L. Prentice (1980), The Statistical Analysis of Failure Time Data, p. 5
/// (data from memory); regression on 1000 / (273.2 + Celsius) without the rows at
/// 150: the documented example "Motorette Failure" of SAS LIFEREG: -10.4706,
/// 8.3221, 0.6040, log likelihood -24.4738 (from memory). Further digits, and the
/// fit with the rows at 150: a computation of our own by other means.
#[test]
fn motorettes() {
    let mut rows = Vec::new();
    let mut all = Vec::new();
    let samples = [
        (170.0, times(&AT_170.0, &AT_170.1)),
        (190.0, times(&AT_190.0, &AT_190.1)),
        (220.0, times(&AT_220.0, &AT_220.1)),
    ];
    for (celsius, times) in samples {
        rows.extend(times.iter().map(|_| vec![1.0, 1000.0 / (273.2 + celsius)]));
        all.extend(times);
    }
    let fit = censored(&rows, &all).unwrap();
    close(fit.coefficients[0], -10.4706, NEAR, "published intercept");
    close(fit.coefficients[1], 8.3221, NEAR, "published slope");
    close(fit.sigma, 0.6040, NEAR, "published sigma");
    close(of_logarithms(&fit, &all), -24.4738, NEAR, "published log likelihood");
    close(fit.coefficients[0], -10.470_562, 1e-5, "intercept");
    close(fit.coefficients[1], 8.322_083, 1e-5, "slope");
    close(fit.sigma, 0.604_035, 1e-5, "sigma");
    rows.extend((0..10).map(|_| vec![1.0, 1000.0 / (273.2 + 150.0)]));
    all.extend(times(&[], &[8064.0; 10]));
    let fit = censored(&rows, &all).unwrap();
    close(fit.coefficients[0], -13.859_834, NEAR, "intercept with 150");
    close(fit.coefficients[1], 9.927_013, NEAR, "slope with 150");
    close(fit.sigma, 0.596_790, NEAR, "sigma with 150");
    close(of_logarithms(&fit, &all), -27.144_006, NEAR, "log likelihood with 150");
}

/// The same data, a temperature at a time: a computation of our own by other means.
#[test]
fn motorettes_one_by_one() {
    for (times, mu, sigma, likelihood) in [
        (times(&AT_170.0, &AT_170.1), 8.370_937, 0.466_845, -7.268_810),
        (times(&AT_190.0, &AT_190.1), 7.455_716, 0.919_724, -10.078_768),
        (times(&AT_220.0, &AT_220.1), 6.270_761, 0.167_651, -1.611_277),
    ] {
        let fit = one_sample(&times);
        close(fit.coefficients[0], mu, NEAR, "mu");
        close(fit.sigma, sigma, NEAR, "sigma");
        close(of_logarithms(&fit, &times), likelihood, NEAR, "log likelihood");
    }
}

/// Nothing censored: "Lognormal Distribution Complete Data Example" of an
/// engineering reference wiki: 2.83 and 1.10 (divisor n). Further digits: a
/// computation of our own by other means.
#[test]
fn a_complete_sample() {
    let fit = one_sample(&times(&[2.0, 5.0, 11.0, 23.0, 29.0, 37.0, 43.0, 59.0], &[]));
    close(fit.coefficients[0], 2.83, 0.005, "published mu");
    close(fit.sigma, 1.10, 0.005, "published sigma");
    close(fit.coefficients[0], 2.831_616, 1e-6, "mu");
    close(fit.sigma, 1.098_746, 1e-6, "sigma");
}

/// The least and the k-th of N log-normals. For the least, F⁻¹(1 − (1 − p)^(1/N)):
/// H. A. David & H. N. Nagaraja (2003), Order Statistics, 3rd ed. (from memory).
/// For three, the k-th by the binomial sum written out.
#[test]
fn order_statistics() {
    for n in [1u64, 2, 10, 1000, 1_000_000] {
        for p in [0.05, 0.5, 0.95f64] {
            let share = 1.0 - (1.0 - p).powf(1.0 / n as f64);
            close(kth_of(share, 1, n), p, 1e-9, "least");
        }
    }
    for f in [0.01, 0.3, 0.77f64] {
        close(kth_of(f, 2, 3), 3.0 * f * f * (1.0 - f) + f.powi(3), 1e-12, "second of three");
        close(kth_of(f, 3, 3), f.powi(3), 1e-12, "third of three");
    }
    // The median of the least of 100 standard log-normals is exp(-2.4613): the
    // normal score of 1 - 0.5^(1/100) = 0.00690750, from tables (from memory).
    close(kth_of(0.006_907_50, 1, 100), 0.5, 1e-6, "least of a hundred");
    // A binomial of 10 at 0.5: at most 5 with 638/1024.
    assert_eq!((finishers(&[0.5], 10, 0.62), finishers(&[0.5], 10, 0.63)), (5, 6));
}
