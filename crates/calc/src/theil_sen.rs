//! A line through points that no single bad reading can turn: the median of the slopes of all pairs.

mod kendall;
mod method;
pub use method::METHOD;

use std::ops::RangeInclusive;

use crate::{
    error::{CalcError, all_finite, contradiction, missing, same_length, within},
    uncertainty::coverage_factor,
};

/// Up to so many points the interval is exact; beyond, the distribution counts as normal.
pub const EXACT_MAX: usize = 200;
/// Allowed confidence.
pub const CONFIDENCE: RangeInclusive<f64> = 0.5..=0.999;
/// Probabilities nearer than this are the same: a confidence of 11/12 is reached by four points.
const SAME: f64 = 1e-12;

/// A line by medians.
#[derive(Debug, Clone, PartialEq)]
pub struct TheilSen {
    /// Median of the slopes of all pairs that differ in x.
    pub slope: f64,
    /// `median(y) - slope median(x)`.
    pub intercept: f64,
    /// Pairs that differ in x.
    pub pairs: usize,
    /// The interval; none where no interval of these points reaches the confidence.
    pub interval: Option<Interval>,
}

/// An interval of the slope.
#[derive(Debug, Clone, PartialEq)]
pub struct Interval {
    /// Lower end, one of the slopes.
    pub lower: f64,
    /// Upper end, one of the slopes.
    pub upper: f64,
    /// Slopes left out at either end.
    pub left_out: usize,
    /// What the interval really covers: at least the confidence asked for; exact for few points.
    pub reached: f64,
}

/// The line by medians of Theil and Sen.
///
/// Slopes `(y_j - y_i)/(x_j - x_i)` of the `N` pairs with different x, sorted `S_1 … S_N`; slope = their median,
/// intercept = `median(y) - slope median(x)` (Conover). Interval `[S_(k+1), S_(N-k)]` with the largest `k` for which
/// `P(D <= k) <= (1 - confidence)/2`, D the number of pairs that fall where there is no trend: exact up to 200 points,
/// equal x included; above, D is taken as normal with mean N/2 and Kendall's variance. Equal y count as different, which
/// makes the interval wider than need be. Range: 2 points and more, not all of one x.
/// Source: P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau", J. Am. Stat. Assoc. 63 (1968)
/// (memory); checked by its section 6 and other programs: `shared/reference/theil_sen.toml`.
///
/// # Errors
/// `Missing` for fewer than two points, `Unequal`, `NotFinite`, `Contradiction` for equal x, `OutOfRange` for the
/// confidence.
pub fn theil_sen(x: &[f64], y: &[f64], confidence: f64) -> Result<TheilSen, CalcError> {
    same_length("y", y.len(), x.len())?;
    all_finite("x", x)?;
    all_finite("y", y)?;
    let confidence = within("confidence", confidence, &CONFIDENCE, "")?;
    if x.len() < 2 {
        return Err(missing("x", "two points or more"));
    }
    let mut slopes: Vec<f64> = (1..x.len())
        .flat_map(|j| (0..j).map(move |i| (i, j)))
        .filter(|&(i, j)| x[i] != x[j])
        .map(|(i, j)| (y[j] - y[i]) / (x[j] - x[i]))
        .collect();
    if slopes.is_empty() {
        return Err(contradiction("x", "at least two of them must differ"));
    }
    slopes.sort_by(f64::total_cmp);
    let slope = median_of_sorted(&slopes);
    let pairs = slopes.len();
    let interval = left_out(x, pairs, confidence)?.map(|(left_out, reached)| Interval {
        lower: slopes[left_out],
        upper: slopes[pairs - 1 - left_out],
        left_out,
        reached,
    });
    Ok(TheilSen {
        slope,
        intercept: median(y) - slope * median(x),
        pairs,
        interval,
    })
}

/// How many slopes at either end lie outside, and what the rest covers; none where even all of them cover too little.
fn left_out(x: &[f64], pairs: usize, confidence: f64) -> Result<Option<(usize, f64)>, CalcError> {
    let alike = alike(x);
    let tail = (1.0 - confidence) / 2.0;
    if x.len() > EXACT_MAX {
        let z = coverage_factor(confidence, None)?;
        let spread = kendall_variance(&alike).sqrt();
        // With the correction for whole counts; it is on the side of the wider interval.
        let last = (pairs as f64 - 1.0) / 2.0 - z * spread;
        let covers = |k: f64| {
            libm::erf(((pairs as f64 - 1.0) / 2.0 - k) / spread / std::f64::consts::SQRT_2)
        };
        return Ok((last >= 0.0).then(|| (last.floor() as usize, covers(last.floor()))));
    }
    let mut below = 0.0;
    let mut found = None;
    for (k, chance) in kendall::discordant(&alike).into_iter().enumerate() {
        below += chance;
        if below > tail + SAME {
            break;
        }
        found = Some((k, 1.0 - 2.0 * below));
    }
    // With k counts allowed in the tail, k slopes are left out at either end: [S_(k+1), S_(N-k)].
    Ok(found)
}

/// How many points there are of each x.
fn alike(x: &[f64]) -> Vec<usize> {
    let mut sorted = x.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.chunk_by(|a, b| a == b).map(<[f64]>::len).collect()
}

/// Variance of the number of falling pairs: `(n(n-1)(2n+5) - Σ t(t-1)(2t+5))/72` (Kendall, memory).
fn kendall_variance(alike: &[usize]) -> f64 {
    let term = |n: usize| n as f64 * (n as f64 - 1.0) * (2.0 * n as f64 + 5.0);
    let equal: f64 = alike.iter().map(|&t| term(t)).sum();
    (term(alike.iter().sum()) - equal) / 72.0
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    median_of_sorted(&sorted)
}

fn median_of_sorted(sorted: &[f64]) -> f64 {
    let half = sorted.len() / 2;
    if sorted.len() % 2 == 1 {
        sorted[half]
    } else {
        f64::midpoint(sorted[half - 1], sorted[half])
    }
}

#[cfg(test)]
mod tests;
