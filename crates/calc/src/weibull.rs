//! Life of bearings in the field: the Weibull distribution fitted to those that failed and those that did not.

mod likelihood;
mod method;
pub use method::METHOD;

use crate::error::{CalcError, contradiction, missing};
use likelihood::Lives;

/// Failures from which on intervals are told; fewer give points only.
pub const FAILURES_FOR_INTERVALS: usize = 3;
/// Half the 95 % quantile of chi-square with one degree of freedom: so far the log-likelihood drops at the ends.
/// Source: tables of the chi-square distribution, 3.841459 (memory).
const DROP_95: f64 = 1.920_729_410_347_062;
/// Share that failed at B10.
const B10_SHARE: f64 = 0.1;

/// One bearing's record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    /// Its running time at failure, or now, or when it went for another reason.
    pub time: f64,
    /// Whether it failed then.
    pub failed: bool,
    /// Its running time when its record began; 0 where it was new. What failed before is in no record.
    pub entry: f64,
}

/// A fitted Weibull distribution, `F(t) = 1 - exp(-(t/scale)^shape)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibull {
    /// Below 1 early failures, 1 by chance, above 1 wear.
    pub shape: f64,
    /// Time by which 63.2 % failed.
    pub scale: f64,
    /// Number of failures.
    pub failures: usize,
    /// Log-likelihood at the fit, times in their own unit.
    pub log_likelihood: f64,
    /// 95 % intervals, with three failures or more.
    pub intervals: Option<Intervals>,
}

/// 95 % intervals by profile likelihood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Intervals {
    /// Of the shape.
    pub shape: [f64; 2],
    /// Of the scale.
    pub scale: [f64; 2],
    /// Of the time by which one in ten failed.
    pub b10: [f64; 2],
}

impl Weibull {
    /// Time by which this share failed, `scale (-ln(1 - share))^(1/shape)`.
    pub fn quantile(&self, share: f64) -> f64 {
        self.scale * libm::pow(-libm::log1p(-share), 1.0 / self.shape)
    }

    /// Time by which one in ten failed.
    pub fn b10(&self) -> f64 {
        self.quantile(B10_SHARE)
    }
}

/// Maximum likelihood of shape and scale with censored lives and delayed entry.
///
/// With d failures, `S(b) = Σ (t^b - entry^b)` over all: the shape solves `S'/S - 1/b - Σ_failed ln t / d = 0`, which
/// rises with b, and `scale = (S/d)^(1/b)`. Intervals: where the profile log-likelihood is 1.9207 below its top.
/// Range: at least one failure, one of them below the longest time; times above 0, entry below time.
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3 (memory) and `weibull_nist_censored.toml`;
/// J. F. Lawless, "Statistical models and methods for lifetime data" (1982), chapter 4 (memory).
///
/// # Errors
/// `Missing` for no lives or no failure, `NotFinite`, `OutOfRange` for a time or entry that cannot be, `Contradiction`
/// where no shape fits best.
pub fn weibull(lives: &[Life]) -> Result<Weibull, CalcError> {
    for (place, life) in lives.iter().enumerate() {
        check(life, place)?;
    }
    if lives.is_empty() {
        return Err(missing("times", "at least one life"));
    }
    let failures = lives.iter().filter(|life| life.failed).count();
    if failures == 0 {
        let hours: f64 = lives.iter().map(|life| life.time - life.entry).sum();
        return Err(missing(
            "failed",
            format!(
                "no failure in a running time of {hours} in all: nothing can be fitted to that"
            ),
        ));
    }
    let record = Lives::of(lives);
    let shape = record.shape().ok_or_else(|| no_shape(lives))?;
    let intervals = (failures >= FAILURES_FOR_INTERVALS)
        .then(|| record.intervals(shape, DROP_95))
        .flatten();
    Ok(Weibull {
        shape,
        scale: record.scale(shape),
        failures,
        log_likelihood: record.log_likelihood(shape),
        intervals,
    })
}

/// Failures with the share that failed by then, for a probability plot.
///
/// The product of Kaplan and Meier over the bearings in the record at each failure, entry counted; plotted half way up its
/// step. Source: W. Q. Meeker, L. A. Escobar, "Statistical methods for reliability data" (1998), section 6.4 (memory).
pub fn plotting_positions(lives: &[Life]) -> Vec<(f64, f64)> {
    let mut times: Vec<f64> = lives
        .iter()
        .filter(|life| life.failed)
        .map(|life| life.time)
        .collect();
    times.sort_by(f64::total_cmp);
    let mut surviving = 1.0;
    let mut points = Vec::with_capacity(times.len());
    for equal in times.chunk_by(|a, b| a == b) {
        let time = equal[0];
        let at_risk = lives
            .iter()
            .filter(|life| life.entry < time && life.time >= time)
            .count();
        let after = surviving * (1.0 - equal.len() as f64 / at_risk as f64);
        points.push((time, 1.0 - f64::midpoint(surviving, after)));
        surviving = after;
    }
    points.retain(|(_, share)| *share < 1.0);
    points
}

fn check(life: &Life, place: usize) -> Result<(), CalcError> {
    let of = |name: &str| format!("{name}[{place}]");
    if !life.time.is_finite() {
        return Err(CalcError::NotFinite { input: of("times") });
    }
    if !life.entry.is_finite() {
        return Err(CalcError::NotFinite { input: of("entry") });
    }
    let refused = |name: &str, value: f64, allowed: &str| {
        Err(CalcError::OutOfRange {
            input: of(name),
            value,
            unit: "",
            allowed: allowed.to_owned(),
        })
    };
    if life.time <= 0.0 {
        return refused("times", life.time, "above 0");
    }
    if life.entry < 0.0 {
        return refused("entry", life.entry, "0 or more");
    }
    if life.entry >= life.time {
        return refused("entry", life.entry, "below the time of the same bearing");
    }
    Ok(())
}

/// The likelihood has no top in either of two cases.
fn no_shape(lives: &[Life]) -> CalcError {
    let longest = lives.iter().map(|life| life.time).fold(0.0, f64::max);
    let is_all_at_once = lives
        .iter()
        .all(|life| !life.failed || life.time >= longest * (1.0 - 1e-6));
    if is_all_at_once {
        contradiction(
            "times",
            "all failures are at the longest time: any shape, the higher the better, fits that",
        )
    } else {
        contradiction(
            "entry",
            "so few survived their entry for long that no shape above zero fits",
        )
    }
}

#[cfg(test)]
mod tests;
