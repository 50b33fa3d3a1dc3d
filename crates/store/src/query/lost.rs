//! What a place that wears fast took from the bearings that stood there, and what that is worth elsewhere.

use calc::wear::{MeanRate, mean_rate};

use super::wear::{Grown, ShopWear};

/// A stay that wore more than stays of its type do at other places.
#[derive(Debug, Clone, PartialEq)]
pub struct Lost<'a> {
    /// The stay.
    pub stay: &'a Grown,
    /// Usual growth of the row pair, µm per 1,000 h: mean of the stays at all other places.
    pub usual: f64,
    /// Stays behind the usual growth.
    pub others: usize,
    /// Growth beyond the usual, µm: lower end, best estimate, upper end of an interval that holds 95 in 100.
    pub extra_um: [f64; 3],
}

impl Lost<'_> {
    /// Mill hours elsewhere that take as much, at the usual rate as it was found: lower end, best estimate, upper end.
    pub fn worth_h(&self) -> [f64; 3] {
        self.extra_um.map(|um| um / self.usual * 1_000.0)
    }
}

/// The stays at a place whose growth is more than chance among stays at other places explains, newest first. The
/// interval is that of one more stay: how much the others differ among themselves for their length, reading error
/// included, and how well their mean is known.
pub fn lost_at<'a>(wear: &'a ShopWear, place: &str, pair: usize) -> Vec<Lost<'a>> {
    let own = || wear.grown.iter().filter(move |g| g.pair == pair);
    let here = own().filter(|g| g.position == place);
    let mut lost: Vec<Lost<'a>> = here
        .filter_map(|stay| {
            let others = own().filter(|g| g.position != place);
            let others = others.filter(|g| g.bearing_type == stay.bearing_type);
            let others: Vec<(f64, f64)> = others.map(|g| (g.grown_um, g.hours)).collect();
            let (usual, extra_um) = beyond((stay.grown_um, stay.hours), &others)?;
            Some(Lost {
                stay,
                usual: usual.mean,
                others: usual.stays,
                extra_um,
            })
        })
        .filter(|lost| lost.extra_um[0] > 0.0)
        .collect();
    lost.sort_by_key(|lost| std::cmp::Reverse(lost.stay.at.ms));
    lost
}

/// What is usual among the others, and the growth of one more stay (µm, h) beyond it; none where too few others say so.
fn beyond((grown_um, hours): (f64, f64), others: &[(f64, f64)]) -> Option<(MeanRate, [f64; 3])> {
    let all_h: f64 = others.iter().map(|(_, h)| h).sum();
    let usual = mean_rate(others).filter(|usual| usual.mean > 0.0)?;
    // The interval of the mean is t s / sqrt(all hours), where s² hours is the variance of what one stay grows by.
    let (low, high) = usual.interval?;
    let of_mean_um_h = (high - low) / 2.0 / 1_000.0;
    let share = hours / all_h;
    let half_um = of_mean_um_h * all_h * (share * (1.0 + share)).sqrt();
    let extra_um = grown_um - usual.mean * hours / 1_000.0;
    Some((usual, [extra_um - half_um, extra_um, extra_um + half_um]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The textbook interval of one more value, `mean ± t s sqrt(1 + 1/n)` with t(0.975, 2) = 4.302653 (for two degrees
    /// of freedom t = (2p - 1)/sqrt(2p(1 - p)); NIST/SEMATECH e-Handbook 1.3.6.7.2 rounds it to 4.303): three stays of 1,000 h with 50, 60, 70 have
    /// s = 10.
    #[test]
    fn one_more_stay_of_like_length_has_the_textbook_interval() {
        let others = [(50.0, 1_000.0), (60.0, 1_000.0), (70.0, 1_000.0)];
        let (usual, extra_um) = beyond((180.0, 1_000.0), &others).unwrap();
        let half = 4.302_653 * 10.0 * (4.0_f64 / 3.0).sqrt();
        for (found, wanted) in extra_um
            .into_iter()
            .zip([120.0 - half, 120.0, 120.0 + half])
        {
            assert!((found - wanted).abs() < 1e-3, "{found} for {wanted}");
        }
        assert_eq!((usual.mean, usual.stays), (60.0, 3));
    }

    #[test]
    fn one_other_stay_says_nothing_about_what_is_usual() {
        let stay = (180.0, 1_000.0);
        assert_eq!(beyond(stay, &[(50.0, 1_000.0)]), None);
        assert_eq!(beyond(stay, &[]), None);
        assert_eq!(beyond(stay, &[(-50.0, 1_000.0), (-40.0, 1_000.0)]), None);
    }
}
