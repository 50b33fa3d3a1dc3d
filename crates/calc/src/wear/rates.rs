//! How fast clearances grew at a place: the plain mean of what was measured there, with its interval.
//!
//! Every stay counts by its hours. The interval is that of a weighted mean with Student's distribution (ISO 16269 family
//! of formulas, from memory; checked against a hand calculation below). It says how well the mean is known, nothing
//! about causes: whether a place differs from the others by more than its bearings do is asked of the model
//! ([`super::Contrast`]).

use super::student;

/// A mean rate of growth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanRate {
    /// µm per 1,000 h.
    pub mean: f64,
    /// Interval that holds the mean with 95 %; none from a single stay.
    pub interval: Option<(f64, f64)>,
    /// Stays behind it.
    pub stays: usize,
}

impl MeanRate {
    /// Ends of the interval of how many times another mean this one is: the relative half widths of both in quadrature
    /// (law of propagation of uncertainty for a quotient, JCGM 100:2008, 5.1.6). None where one has no interval.
    pub fn times(&self, other: &Self) -> Option<(f64, f64)> {
        let part = |rate: &Self| {
            let (low, high) = rate.interval?;
            Some((high - low) / 2.0 / rate.mean)
        };
        let half = libm::hypot(part(self)?, part(other)?);
        let times = self.mean / other.mean;
        Some((times * (1.0 - half), times * (1.0 + half)))
    }
}

/// The mean rate of growth of (growth µm, hours); none without hours.
pub fn mean_rate(stays: &[(f64, f64)]) -> Option<MeanRate> {
    let hours: f64 = stays.iter().map(|(_, h)| h).sum();
    if stays.is_empty() || hours <= 0.0 {
        return None;
    }
    let mean = stays.iter().map(|(growth, _)| growth).sum::<f64>() / hours;
    let more = stays.len() - 1;
    let interval = (more > 0).then(|| {
        let squares: f64 = stays
            .iter()
            .map(|(growth, h)| h * (growth / h - mean) * (growth / h - mean))
            .sum();
        let degrees = u32::try_from(more).unwrap_or(u32::MAX);
        let half = student::quantile(0.975, degrees) * (squares / more as f64 / hours).sqrt();
        ((mean - half) * 1_000.0, (mean + half) * 1_000.0)
    });
    Some(MeanRate {
        mean: mean * 1_000.0,
        interval,
        stays: stays.len(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three stays of like length: the textbook interval `mean ± t s/sqrt(n)` with t(0.975, 2) = 4.302653 (for two
    /// degrees of freedom t = (2p - 1)/sqrt(2p(1 - p)); NIST/SEMATECH e-Handbook 1.3.6.7.2 rounds it to 4.303).
    #[test]
    fn like_stays_give_the_textbook_interval() {
        let rate = mean_rate(&[(50.0, 1_000.0), (60.0, 1_000.0), (70.0, 1_000.0)]).unwrap();
        let (low, high) = rate.interval.unwrap();
        let half = 4.302_653 * 10.0 / 3.0_f64.sqrt();
        assert!((rate.mean - 60.0).abs() < 1e-9);
        assert!((high - 60.0 - half).abs() < 1e-3 && (60.0 - low - half).abs() < 1e-3);
        assert_eq!(rate.stays, 3);
    }

    #[test]
    fn the_interval_of_a_ratio_takes_both_means_and_one_stay_has_none() {
        let rate = |mean, half: f64| MeanRate {
            mean,
            interval: (half > 0.0).then_some((mean - half, mean + half)),
            stays: 4,
        };
        // Relative half widths of 0.1 and 0.075 in quadrature: 0.125.
        let (low, high) = rate(180.0, 18.0).times(&rate(60.0, 4.5)).unwrap();
        assert!((low - 3.0 * 0.875).abs() < 1e-12 && (high - 3.0 * 1.125).abs() < 1e-12);
        assert_eq!(rate(180.0, 0.0).times(&rate(60.0, 4.5)), None);
    }

    #[test]
    fn hours_count_and_one_stay_has_no_interval() {
        let rate = mean_rate(&[(100.0, 1_000.0), (10.0, 100.0)]).unwrap();
        assert!((rate.mean - 100.0).abs() < 1e-9);
        assert_eq!(mean_rate(&[(55.0, 1_000.0)]).unwrap().interval, None);
        assert_eq!(mean_rate(&[]), None);
        assert_eq!(mean_rate(&[(5.0, 0.0)]), None);
    }
}
