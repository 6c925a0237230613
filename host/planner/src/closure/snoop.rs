//! Tests every reading of a room against all the others, and says how large an error in it would have been seen. Which slip
//! of the pen it may have been is left to `suspects`.
//!
//! Baarda's data snooping (W. Baarda, A testing procedure for use in geodetic networks, Publications on Geodesy vol. 2 no. 5,
//! Delft 1968). With b the column of a reading in the conditions and w, M as in `adjust`:
//!
//! - an error in this reading alone is best guessed as e = -(b' M^-1 w) / (b' M^-1 b);
//! - its test is e over its own standard deviation, (b' M^-1 w) / sqrt(b' M^-1 b), standard normal where there is no
//!   blunder;
//! - the smallest error that is found with the wanted certainty is d / sqrt(b' M^-1 b), d the sum of the two quantiles that
//!   stand for a false alarm and for a miss.
//!
//! Baarda's usual choice is a false alarm in 1 of 1000 tests, two-sided (3.29), and 80 of 100 found (0.84): d = 4.13. Here
//! a reading "would have been seen" only when it is found 99 times of 100 (2.33), since a carpenter who is told that an
//! error of an inch shows will not look again; d is then 5.62.

use super::adjust::{Adjustment, dot};
use super::survey::{Survey, Which};

/// The test of a reading beyond which the room does not close: the normal quantile of 1 in 1000, two-sided.
pub const FALSE_ALARM: f64 = 3.290_5;
/// The normal quantile of 99 in 100.
pub const FOUND: f64 = 2.326_3;
/// An error larger than this, in mm, is no longer called seen: what shows only then does not show.
pub const BLIND: f64 = 3_000.0;

/// What the other readings say about one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tested {
    /// The reading.
    pub which: Which,
    /// The error that it most likely has if it is the only one, in mm or radians.
    pub error: f64,
    /// That error in its own standard deviations.
    pub test: f64,
    /// The smallest error that would have been seen, in mm or radians; none where nothing checks this reading.
    pub seen: Option<f64>,
}

/// Every reading against the others.
pub fn snoop(survey: &Survey, adjustment: &Adjustment) -> Vec<Tested> {
    let tests = survey.readings().map(|which| test(adjustment, which));
    tests.collect()
}

/// One reading against the others.
pub fn test(adjustment: &Adjustment, which: Which) -> Tested {
    let pull = adjustment.pull(which);
    let weight = dot(&pull, &pull);
    let along = dot(&pull, adjustment.misfit());
    let smallest = (FALSE_ALARM + FOUND) / weight.sqrt();
    match smallest.is_finite() && smallest < BLIND {
        true => Tested {
            which,
            error: along / weight,
            test: along / weight.sqrt(),
            seen: Some(smallest),
        },
        false => Tested {
            which,
            error: 0.0,
            test: 0.0,
            seen: None,
        },
    }
}

/// Whether the readings contradict each other by more than their uncertainties explain.
pub fn contradict(survey: &Survey, adjustment: &Adjustment) -> bool {
    let out = |which| libm::fabs(test(adjustment, which).test) > FALSE_ALARM;
    survey.readings().any(out) || adjustment.badness() > chi_squared(adjustment.conditions())
}

/// The value that chi-squared with so many degrees of freedom passes once in 1000 times; beyond those that stand in every
/// table by Wilson and Hilferty's formula (1931), which is within 1 in 100 of them.
pub fn chi_squared(degrees: usize) -> f64 {
    const TABLE: [f64; 6] = [0.0, 10.828, 13.816, 16.266, 18.467, 20.515];
    TABLE.get(degrees).copied().unwrap_or_else(|| {
        const QUANTILE: f64 = 3.090_2;
        let degrees = degrees as f64;
        let spread = 2.0 / (9.0 * degrees);
        let root = 1.0 - spread + QUANTILE * spread.sqrt();
        degrees * root * root * root
    })
}
