//! Lines of several groups at once: each group has its own intercept and slope, drawn from those of all (the textbook
//! mixed model), by restricted maximum likelihood.
//!
//! `y = X b + Z u + e`, u of each group normal with one covariance, e normal. Each group is first condensed by QR to the
//! few rows that hold all it tells, so that an evaluation costs no more with a thousand readings a group than with ten.

mod basis;
mod criterion;
mod method;
mod search;
pub use method::METHOD;

use crate::{
    error::{CalcError, all_finite, contradiction, missing, same_length, within},
    linear::{Qr, size_of},
};
use basis::Basis;
use criterion::{Condensed, Criterion};

/// Columns that are nearer to one another than this share of their length tell nothing apart.
const DEPENDENT: f64 = 1e-9;
/// A spread of the groups beyond so many times that of their readings: the groups leave no scatter.
const RATIO_MAX: f64 = 1e5;
/// A scatter below this share of the readings' distance from the common line is that of the last digits.
const LEAST_SD: f64 = 1e-7;
/// Known standard deviations as shares of the same.
const KNOWN_SD: std::ops::RangeInclusive<f64> = 1e-6..=1e6;

/// Readings of groups with the columns of the model.
#[derive(Debug, Clone, Copy)]
pub struct Readings<'a> {
    /// Which group each reading is of, counted from 0.
    pub group: &'a [usize],
    /// The readings.
    pub y: &'a [f64],
    /// Columns common to all, for a line ones and x.
    pub fixed: &'a [Vec<f64>],
    /// Columns of which each group has its own coefficients: one or two.
    pub random: &'a [Vec<f64>],
    /// Standard deviation of a reading where it is known beforehand; else it is estimated.
    pub known_sd: Option<f64>,
}

/// A fitted mixed model.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixed {
    /// Coefficients of the fixed columns.
    pub fixed: Vec<f64>,
    /// Their standard errors.
    pub standard_errors: Vec<f64>,
    /// Covariance of the random coefficients between groups.
    pub covariance: Vec<Vec<f64>>,
    /// Standard deviation of a reading about the line of its group.
    pub residual_sd: f64,
    /// The criterion at its lowest: `-2` times the restricted log-likelihood.
    pub reml: f64,
    /// For each group how its coefficients differ from those of all, as far as its readings tell (BLUP).
    pub groups: Vec<Vec<f64>>,
}

impl Mixed {
    /// Standard deviation between groups of a random coefficient.
    pub fn random_sd(&self, which: usize) -> f64 {
        self.covariance[which][which].sqrt()
    }

    /// Correlation of the two random coefficients; none where one of them does not differ.
    pub fn correlation(&self) -> Option<f64> {
        let sds = self.random_sd(0) * self.random_sd(1);
        (sds > 0.0).then(|| (self.covariance[0][1] / sds).clamp(-1.0, 1.0))
    }
}

/// Restricted maximum likelihood of a mixed model with one or two random coefficients a group.
///
/// Covariance of u is `s² L Lᵀ`; for given L the best b, u and s follow from least squares on
/// `[Z L, X; I, 0]`, and `-2 l = (n - p) (1 + ln(2 pi PRSS/(n - p))) + ln|LᵀZᵀZL + I| + ln|R_X|²` is minimised over L, at
/// whose edge a variance may be 0; with s known `-2 l = (n - p) ln(2 pi s²) + PRSS/s² + …`. Range: two groups or more,
/// more readings than random coefficients (with s known: than fixed ones).
/// Source: D. Bates, M. Maechler, B. Bolker, S. Walker, "Fitting linear mixed-effects models using lme4", J. Stat.
/// Software 67(1) (2015), section 3 (memory); checked in `shared/reference/lme4_sleepstudy.toml`,
/// `lme4_dyestuff_rail.toml` and `trend`.
///
/// # Errors
/// `Unequal`, `NotFinite`, `Missing` for too few groups or readings, `OutOfRange` for the known deviation,
/// `Contradiction` where columns tell nothing apart (`fixed`, `random`) or the groups leave no scatter (`y`).
pub fn mixed(readings: &Readings<'_>) -> Result<Mixed, CalcError> {
    let groups = check(readings)?;
    // Columns of the same space, but as good as at right angles: nothing is lost to an x far from zero.
    let fixed = Basis::of(readings.fixed, "fixed")?;
    let random = Basis::of(readings.random, "random")?;
    let middle = fixed.project(readings.y);
    let rest: Vec<f64> = (0..readings.y.len())
        .map(|i| readings.y[i] - fixed.at(i, &middle))
        .collect();
    let size = size_of(&rest);
    if size <= 1e-12 * size_of(readings.y) {
        return Err(no_scatter());
    }
    let known_sd = readings.known_sd.map(|sd| sd / size);
    if known_sd.is_some_and(|sd| !KNOWN_SD.contains(&sd)) {
        return Err(contradiction(
            "known_sd",
            "it is of another order of size than the scatter of the readings",
        ));
    }
    let y: Vec<f64> = rest.iter().map(|rest| rest / size).collect();
    let criterion = Criterion {
        groups: condensed(readings.group, groups, &random, &fixed, &y)?,
        random: random.columns.len(),
        fixed: fixed.columns.len(),
        readings: y.len(),
        known_sd,
    };
    let spread = search::lowest(&criterion);
    let found = criterion.solve(&spread).ok_or_else(no_scatter)?;
    if known_sd.is_none() && (found.sd < LEAST_SD || spread.iter().any(|l| l.abs() > RATIO_MAX)) {
        return Err(no_scatter());
    }
    let centre: Vec<f64> = middle
        .iter()
        .zip(&found.fixed)
        .map(|(middle, b)| middle + b * size)
        .collect();
    let free = (y.len() - fixed.columns.len()) as f64;
    let sd = found.sd * size;
    Ok(Mixed {
        fixed: fixed.back(&centre),
        standard_errors: fixed.lengths_back(&found.inverse, sd),
        covariance: random.covariance_back(&criterion.factor(&spread), sd),
        residual_sd: readings.known_sd.unwrap_or(sd),
        // From readings in units of `size` and columns of the basis to those given.
        reml: found.value + 2.0 * free * libm::log(size) + 2.0 * fixed.log_determinant,
        groups: found
            .random
            .iter()
            .map(|u| random.back(&u.iter().map(|u| u * size).collect::<Vec<_>>()))
            .collect(),
    })
}

/// The readings group by group; at least two groups must tell their random coefficients apart.
fn condensed(
    group: &[usize],
    groups: usize,
    random: &Basis,
    fixed: &Basis,
    y: &[f64],
) -> Result<Vec<Condensed>, CalcError> {
    let mut rows: Vec<Vec<usize>> = vec![Vec::new(); groups];
    for (row, &group) in group.iter().enumerate() {
        rows[group].push(row);
    }
    let pick = |rows: &[usize], column: &[f64]| -> Vec<f64> {
        rows.iter().map(|&row| column[row]).collect()
    };
    let telling = rows
        .iter()
        .filter(|rows| {
            let own = random.columns.iter().map(|column| pick(rows, column));
            rows.len() >= random.columns.len()
                && Qr::of(own.collect()).dependent(DEPENDENT).is_none()
        })
        .count();
    if telling < 2 {
        return Err(contradiction(
            "random",
            "at least two groups must tell their own coefficients apart",
        ));
    }
    let all = || {
        random
            .columns
            .iter()
            .chain(&fixed.columns)
            .map(Vec::as_slice)
            .chain([y])
    };
    Ok(rows
        .iter()
        .map(|rows| Condensed::of(all().map(|column| pick(rows, column)).collect()))
        .collect())
}

fn no_scatter() -> CalcError {
    contradiction(
        "y",
        "the lines of the groups leave no scatter from which to judge them",
    )
}

/// Checks the inputs; gives the number of groups.
fn check(readings: &Readings<'_>) -> Result<usize, CalcError> {
    let n = readings.y.len();
    same_length("group", readings.group.len(), n)?;
    all_finite("y", readings.y)?;
    for (name, columns) in [("fixed", readings.fixed), ("random", readings.random)] {
        for column in columns {
            same_length(name, column.len(), n)?;
            all_finite(name, column)?;
        }
    }
    if let Some(sd) = readings.known_sd {
        within("known_sd", sd, &(f64::MIN_POSITIVE..=f64::MAX), "")?;
    }
    let groups = readings.group.iter().max().map_or(0, |last| last + 1);
    if groups < 2 {
        return Err(missing("group", "two groups or more"));
    }
    let coefficients = groups * readings.random.len();
    let needed = match readings.known_sd {
        None => coefficients.max(readings.fixed.len()) + 1,
        Some(_) => readings.fixed.len() + 1,
    };
    if n < needed {
        let why = format!("{needed} readings or more of {groups} groups, there are {n}");
        return Err(missing("y", why));
    }
    Ok(groups)
}

#[cfg(test)]
mod tests;
