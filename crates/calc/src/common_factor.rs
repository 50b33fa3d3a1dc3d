//! The same damage seen again and again: is it by chance that so much of it falls to one stand, chock, bearing, roll or
//! batch of seals?
//!
//! One exact test a factor, the factors then corrected for their number. It tells that a level stands out, never why.

use crate::error::{CalcError, contradiction, missing, within};

/// Findings and bearings that are looked at; beyond lies no shop, and the count would take too long.
const COUNT_MAX: u32 = 100_000;
/// Findings beyond which the exact count would take too long.
const FOUND_MAX: u32 = 2_000;
/// Probabilities nearer than this, relative, are the same.
const SAME: f64 = 1e-9;

/// What a level was exposed to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Exposure {
    /// Bearings looked at, each with the finding or without: at most one finding each.
    Seen(u32),
    /// Running hours, tonnes or another measure along which findings fall; any number of findings.
    Running(f64),
}

/// One level of a factor, for example stand 3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Findings.
    pub found: u32,
    /// Among so many, or along so much.
    pub exposure: Exposure,
}

/// The level of a factor that stands out most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandsOut {
    /// Its place among the levels.
    pub level: usize,
    /// Chance that this one level has as many findings or more.
    pub p_level: f64,
    /// Chance that any level of the factor stands out as much: what to judge by.
    pub p_factor: f64,
}

/// The level with the least chance, and the chance that any level comes to that.
///
/// Given all findings of the factor, findings fall to levels by chance alone: among bearings seen as drawn without
/// putting back (`P(X_i >= k_i)` hypergeometric: the one-sided exact test of R. A. Fisher, "The design of experiments"
/// (1935), chapter 2 (memory), of each level against all others), along running time in proportion to it (binomial, the
/// multinomial of all given their sum). The chance of the factor is that of the smallest `P` among its levels being as small
/// (P. H. Westfall, S. S. Young, "Resampling-based multiple testing" (1993), chapter 2 (memory)), counted exactly.
/// Range: two levels and more with one kind of exposure, up to 2,000 findings. None without findings, or where all that was
/// seen has it.
///
/// # Errors
/// `Missing` for fewer than two levels, `OutOfRange` for counts, `Contradiction` for more findings than bearings seen,
/// exposures of two kinds, findings without exposure.
pub fn stands_out(levels: &[Level]) -> Result<Option<StandsOut>, CalcError> {
    check(levels)?;
    let found: u32 = levels.iter().map(|level| level.found).sum();
    let total: f64 = levels.iter().map(Level::amount).sum();
    if found == 0 || total <= f64::from(found) && matches!(levels[0].exposure, Exposure::Seen(_)) {
        return Ok(None);
    }
    let tails: Vec<Vec<f64>> = levels
        .iter()
        .map(|level| tails(level, found, total))
        .collect();
    let chance = |place: usize| tails[place][levels[place].found as usize];
    let Some(most) = (0..levels.len()).min_by(|&a, &b| chance(a).total_cmp(&chance(b))) else {
        return Ok(None);
    };
    let p_level = chance(most);
    // Weights of each count of a level; those as improbable as the one found are kept apart, so that a small
    // probability is a sum and no difference.
    let mut usual = vec![1.0];
    let mut unusual = vec![0.0];
    for (level, tails) in levels.iter().zip(&tails) {
        let weights = weights(level, found, total);
        let is_unusual = |k: usize| tails[k] <= p_level * (1.0 + SAME);
        let part = |wanted: bool| -> Vec<f64> {
            let counts = weights.iter().enumerate();
            counts
                .map(|(k, &weight)| if is_unusual(k) == wanted { weight } else { 0.0 })
                .collect()
        };
        let all_of = product(&unusual, &weights, found);
        let new_of = product(&usual, &part(true), found);
        unusual = all_of.iter().zip(&new_of).map(|(a, b)| a + b).collect();
        usual = product(&usual, &part(false), found);
    }
    let (usual, unusual) = (usual[found as usize], unusual[found as usize]);
    Ok(Some(StandsOut {
        level: most,
        p_level,
        p_factor: unusual / (usual + unusual),
    }))
}

/// Probabilities of several tests corrected for their number.
///
/// Sorted `p_1 <= … <= p_m`: `max over j <= i of min(1, (m - j + 1) p_j)`, in the order given.
/// Source: S. Holm, "A simple sequentially rejective multiple test procedure", Scand. J. Statist. 6 (1979) (memory).
///
/// # Errors
/// `OutOfRange` or `NotFinite` for what is no probability.
pub fn holm(probabilities: &[f64]) -> Result<Vec<f64>, CalcError> {
    for (place, &p) in probabilities.iter().enumerate() {
        within(&format!("probabilities[{place}]"), p, &(0.0..=1.0), "")?;
    }
    let mut order: Vec<usize> = (0..probabilities.len()).collect();
    order.sort_by(|&a, &b| probabilities[a].total_cmp(&probabilities[b]));
    let mut corrected = vec![0.0; probabilities.len()];
    let mut highest: f64 = 0.0;
    for (rank, &place) in order.iter().enumerate() {
        let left = (probabilities.len() - rank) as f64;
        highest = highest.max((left * probabilities[place]).min(1.0));
        corrected[place] = highest;
    }
    Ok(corrected)
}

impl Level {
    fn amount(&self) -> f64 {
        match self.exposure {
            Exposure::Seen(count) => f64::from(count),
            Exposure::Running(amount) => amount,
        }
    }
}

fn check(levels: &[Level]) -> Result<(), CalcError> {
    if levels.len() < 2 {
        return Err(missing("levels", "two levels or more"));
    }
    for (place, level) in levels.iter().enumerate() {
        let input = format!("levels[{place}]");
        match level.exposure {
            Exposure::Seen(count) => {
                within(
                    &format!("{input}.exposure"),
                    f64::from(count),
                    &(0.0..=f64::from(COUNT_MAX)),
                    "",
                )?;
                if level.found > count {
                    return Err(contradiction(
                        &input,
                        "more findings than bearings were seen",
                    ));
                }
            }
            Exposure::Running(amount) => {
                within(&format!("{input}.exposure"), amount, &(0.0..=1e12), "")?;
                if level.found > 0 && amount <= 0.0 {
                    return Err(contradiction(&input, "findings, but nothing ran"));
                }
            }
        }
        if std::mem::discriminant(&level.exposure) != std::mem::discriminant(&levels[0].exposure) {
            return Err(contradiction(&input, "one kind of exposure for all levels"));
        }
    }
    let found: u64 = levels.iter().map(|level| u64::from(level.found)).sum();
    within(
        "levels",
        found as f64,
        &(0.0..=f64::from(FOUND_MAX)),
        "findings",
    )?;
    Ok(())
}

/// Probability of each count of a level, if it were the only thing known: binomial with the share of all that has the
/// finding, Poisson along running time. Given the sum of all levels both are exactly the distribution wanted.
fn weights(level: &Level, found: u32, total: f64) -> Vec<f64> {
    let whole = f64::from(found);
    match level.exposure {
        Exposure::Seen(count) => {
            let share = whole / total;
            (0..=count.min(found))
                .map(|k| binomial(f64::from(count), f64::from(k), share))
                .collect()
        }
        Exposure::Running(amount) => {
            let mean = whole * amount / total;
            (0..=found).map(|k| poisson(f64::from(k), mean)).collect()
        }
    }
}

/// Probability of each count of a level or more, given all findings.
fn tails(level: &Level, found: u32, total: f64) -> Vec<f64> {
    let whole = f64::from(found);
    let chance = |k: u32| {
        let k = f64::from(k);
        match level.exposure {
            Exposure::Seen(count) => {
                let count = f64::from(count);
                // Hypergeometric; nothing where the others cannot hold the rest.
                if whole - k > total - count {
                    return 0.0;
                }
                libm::exp(
                    log_choose(count, k) + log_choose(total - count, whole - k)
                        - log_choose(total, whole),
                )
            }
            Exposure::Running(amount) => binomial(whole, k, amount / total),
        }
    };
    let most = match level.exposure {
        Exposure::Seen(count) => count.min(found),
        Exposure::Running(_) => found,
    };
    let mut tails: Vec<f64> = (0..=most).map(chance).collect();
    for k in (0..most as usize).rev() {
        tails[k] += tails[k + 1];
    }
    tails
}

/// Coefficients of the product of two power series up to a power.
fn product(a: &[f64], b: &[f64], most: u32) -> Vec<f64> {
    let length = (a.len() + b.len() - 1).min(most as usize + 1);
    let mut all = vec![0.0; length];
    for (i, a) in a.iter().enumerate().filter(|(_, a)| **a > 0.0) {
        for (sum, b) in all[i.min(length)..].iter_mut().zip(b) {
            *sum += a * b;
        }
    }
    all
}

fn log_choose(n: f64, k: f64) -> f64 {
    libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0)
}

fn binomial(n: f64, k: f64, share: f64) -> f64 {
    if share <= 0.0 || share >= 1.0 {
        let certain = if share <= 0.0 { 0.0 } else { n };
        return if k == certain { 1.0 } else { 0.0 };
    }
    libm::exp(log_choose(n, k) + k * libm::log(share) + (n - k) * libm::log1p(-share))
}

fn poisson(k: f64, mean: f64) -> f64 {
    if mean <= 0.0 {
        return if k == 0.0 { 1.0 } else { 0.0 };
    }
    libm::exp(k * libm::log(mean) - mean - libm::lgamma(k + 1.0))
}

#[cfg(test)]
mod tests;
