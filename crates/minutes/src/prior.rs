//! What is believed before anybody has played: wide, and said.

/// The belief that a fit starts from. Everything is on natural logarithms.
///
/// The numbers are our own judgement, no measurement: a person takes some ten
/// seconds a try, so that a hundred tries make about a quarter of an hour, and
/// twice the tries take twice as long; all of it may be wrong by the spreads.
/// Sets are made of outlines of 100 tries to 20,000 (5 to 10 on this scale, 7 to
/// 14 to the base 2). Minutes are believed at the lower end, where somebody who
/// has tried a puzzle or two can judge them; what is not known is whether minutes
/// keep up with tries, so the belief widens with effort: nine parts in ten within
/// a factor of some 17 at 100 tries, of some 110 at 10,000.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// The effort at which minutes are believed.
    pub effort: f64,
    /// ln minutes of a middling outline of that effort for a middling tester,
    /// and the standard deviation of this belief.
    pub level: (f64, f64),
    /// ln minutes gained for each unit of effort, and its standard deviation.
    pub slope: (f64, f64),
    /// Scale of how much outlines of one effort differ: their standard
    /// deviation has a half-t distribution of this scale and 4 degrees.
    pub outlines: f64,
    /// Likewise of testers.
    pub testers: f64,
    /// Middle of the standard deviation of what is left, tester and outline
    /// given: its square has a scaled inverse chi-squared distribution, 4 degrees.
    pub noise: f64,
}

/// Degrees of freedom of the beliefs about spreads.
pub(crate) const DEGREES: f64 = 4.0;

impl Default for Prior {
    fn default() -> Self {
        Prior {
            effort: 100f64.ln(),
            level: (15f64.ln(), 1.5),
            slope: (1.0, 0.5),
            outlines: 0.6,
            testers: 0.5,
            noise: 0.6,
        }
    }
}
