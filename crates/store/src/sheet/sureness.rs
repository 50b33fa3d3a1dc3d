//! How sure a verdict has to be: the conformance probability that a bearing type asks of each of its limits, how it is
//! named in a signed verdict, and how it is read from one.
//!
//! ISO 14253-1:2017 takes 95 % where nothing else is agreed, and lets the parties agree on another probability (memory).

use calc::conformity::{Limits, Thresholds, Verdict, conformity, guard_band};
use calc::quantity::nanometres;

use super::facts::TypeFacts;

/// The rule that verdicts are signed with; another probability than 95 % follows it after a comma.
const RULE: &str = "ISO 14253-1:2017";
const AT_LOWER: &str = " at the lower limit";
const AT_UPPER: &str = " at the upper limit";

/// What is judged by limits that belong together, and asked one probability.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LimitOf {
    /// Clearance by the drawing, or by the target where the drawing gives no minimum; play of a thrust bearing.
    Clearance,
    /// Clearance by the rework level or so many times as set.
    Rework,
    /// Clearance after grinding, by the regrind target.
    Target,
    /// Difference of the widths of a spacer.
    SpacerFaces,
    /// Interference or clearance of the ring on its neck, by the neck's drawing limits.
    RingFit,
    /// Sizes of a neck, by its rework size and its drawing maximum.
    Neck,
    /// Ovality of a neck.
    NeckOvality,
    /// Taper of a neck.
    NeckTaper,
    /// Sizes of a chock bore.
    Bore,
    /// Mean size of a chock bore.
    BoreMean,
    /// Ovality of a chock bore.
    BoreOvality,
    /// Taper of a chock bore.
    BoreTaper,
    /// Shoulder of a chock.
    Shoulder,
    /// Cover face of a chock.
    CoverFace,
    /// Width of a chock over its liners.
    LinerWidth,
    /// Push-up on a taper.
    PushUp,
    /// Loss of clearance on a taper.
    Reduction,
    /// Clearance left on a taper.
    Residual,
    /// Temperature of a heated ring.
    Heating,
    /// Torque of the cover bolts.
    CoverBolts,
}

impl LimitOf {
    /// The value of a bearing type that says what is asked.
    const fn value_name(self) -> &'static str {
        match self {
            Self::Clearance => "clearance_conformity_ppm",
            Self::Rework => "rework_conformity_ppm",
            Self::Target => "target_conformity_ppm",
            Self::SpacerFaces => "spacer_parallel_conformity_ppm",
            Self::RingFit => "fit_conformity_ppm",
            Self::Neck => "neck_conformity_ppm",
            Self::NeckOvality => "neck_ovality_conformity_ppm",
            Self::NeckTaper => "neck_taper_conformity_ppm",
            Self::Bore => "chock_bore_conformity_ppm",
            Self::BoreMean => "chock_bore_mean_conformity_ppm",
            Self::BoreOvality => "chock_ovality_conformity_ppm",
            Self::BoreTaper => "chock_taper_conformity_ppm",
            Self::Shoulder => "chock_shoulder_conformity_ppm",
            Self::CoverFace => "chock_cover_face_conformity_ppm",
            Self::LinerWidth => "chock_liner_width_conformity_ppm",
            Self::PushUp => "push_up_conformity_ppm",
            Self::Reduction => "reduction_conformity_ppm",
            Self::Residual => "residual_conformity_ppm",
            Self::Heating => "heating_conformity_ppm",
            Self::CoverBolts => "cover_bolt_conformity_ppm",
        }
    }
}

impl TypeFacts {
    /// What is asked of a limit of this type: 95 % where it says nothing.
    pub(crate) fn asked(&self, limit: LimitOf) -> Thresholds {
        // What lies outside the range was never taken into the register.
        self.whole(limit.value_name())
            .and_then(|ppm| Thresholds::asked(ppm as f64 / 1e6).ok())
            .unwrap_or_default()
    }
}

/// What is asked of the lower and of the upper limit of one value.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sureness {
    /// Of the lower limit.
    pub lower: Thresholds,
    /// Of the upper limit.
    pub upper: Thresholds,
}

impl From<Thresholds> for Sureness {
    /// The same of both.
    fn from(of_both: Thresholds) -> Self {
        Self {
            lower: of_both,
            upper: of_both,
        }
    }
}

impl Sureness {
    /// Limits in nm with what is asked of them; a value on a limit conforms.
    pub(crate) fn limits(self, lower_nm: Option<i64>, upper_nm: Option<i64>) -> Limits {
        Limits {
            lower: lower_nm.map(nanometres),
            upper: upper_nm.map(nanometres),
            thresholds: self.lower,
            upper_thresholds: Some(self.upper),
            ..Limits::default()
        }
    }

    /// The rule that a verdict is signed with, given which limits there are.
    pub(crate) fn rule(self, has_lower: bool, has_upper: bool) -> String {
        match self.named(has_lower, has_upper) {
            named if named.is_empty() => RULE.to_owned(),
            named => format!("{RULE}, {named}"),
        }
    }

    /// What is asked, given which limits there are; empty for the default.
    pub fn named(self, has_lower: bool, has_upper: bool) -> String {
        let own = |asked: Thresholds| {
            if asked == Thresholds::default() {
                String::new()
            } else {
                percent(&asked)
            }
        };
        match (has_lower, has_upper) {
            (false, false) => String::new(),
            (true, true) if self.lower != self.upper => {
                let (lower, upper) = (percent(&self.lower), percent(&self.upper));
                format!("{lower}{AT_LOWER}, {upper}{AT_UPPER}")
            }
            (true, _) => own(self.lower),
            (false, true) => own(self.upper),
        }
    }

    /// What was asked where a verdict was signed with this rule.
    pub fn of_rule(rule: &str) -> Self {
        let mut asked = Self::default();
        for part in rule.split(", ").skip(1) {
            let Some((number, of)) = part.split_once(" %") else {
                continue;
            };
            let ppm = number.parse::<f64>().map(|percent| (percent * 1e4).round());
            let Some(of_it) = ppm.ok().and_then(|ppm| Thresholds::asked(ppm / 1e6).ok()) else {
                continue;
            };
            match of {
                AT_LOWER => asked.lower = of_it,
                AT_UPPER => asked.upper = of_it,
                _ => asked = Self::from(of_it),
            }
        }
        asked
    }

    /// Whether any value at all would pass with this U: else the gauge cannot decide it. Without a lower limit zero is the
    /// best there is, as of an ovality.
    ///
    /// Between two limits that are judged together the value in their middle is the likeliest to conform; where each asks
    /// for its own probability, their guard bands leave room or not.
    pub fn passes_any(self, (lower_nm, upper_nm): (Option<i64>, i64), u_nm: i64) -> bool {
        if let Some(lower) = lower_nm.filter(|_| self.lower != self.upper) {
            let (low, high, u) = (lower as f64, upper_nm as f64, u_nm as f64);
            let from = guard_band(Some(low), None, u, &self.lower).acceptance_lower;
            let to = guard_band(None, Some(high), u, &self.upper).acceptance_upper;
            return from <= to;
        }
        let best = lower_nm.map_or(0, |lower| i64::midpoint(lower, upper_nm));
        let limits = self.limits(lower_nm, Some(upper_nm));
        let found = conformity(nanometres(best), &limits, Some(nanometres(u_nm)));
        found.is_ok_and(|found| found.verdict == Verdict::Pass)
    }

    /// What parts the verdicts, in words, given which limits there are.
    pub fn words(self, has_lower: bool, has_upper: bool) -> String {
        let (lower, upper) = (self.lower.words(), self.upper.words());
        match (has_lower, has_upper) {
            (true, true) if self.lower != self.upper => {
                format!("at the lower limit {lower}; at the upper limit {upper}")
            }
            (false, true) => upper,
            _ => lower,
        }
    }
}

/// The probability that is asked, as people write it: `99 %`, `99.5 %`.
fn percent(asked: &Thresholds) -> String {
    let ppm = (asked.pass * 1e6).round() as i64;
    let digits = format!("{}.{:04}", ppm / 10_000, ppm % 10_000);
    let short = digits.trim_end_matches('0').trim_end_matches('.');
    format!("{short} %")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::payload::TYPE_VALUES;

    const ALL: [LimitOf; 20] = [
        LimitOf::Clearance,
        LimitOf::Rework,
        LimitOf::Target,
        LimitOf::SpacerFaces,
        LimitOf::RingFit,
        LimitOf::Neck,
        LimitOf::NeckOvality,
        LimitOf::NeckTaper,
        LimitOf::Bore,
        LimitOf::BoreMean,
        LimitOf::BoreOvality,
        LimitOf::BoreTaper,
        LimitOf::Shoulder,
        LimitOf::CoverFace,
        LimitOf::LinerWidth,
        LimitOf::PushUp,
        LimitOf::Reduction,
        LimitOf::Residual,
        LimitOf::Heating,
        LimitOf::CoverBolts,
    ];

    #[test]
    fn every_value_that_asks_belongs_to_one_limit() {
        let asks = TYPE_VALUES.iter().map(|meaning| meaning.name);
        let mut asks: Vec<_> = asks.filter(|n| n.ends_with("_conformity_ppm")).collect();
        let mut own = ALL.map(LimitOf::value_name).to_vec();
        asks.sort_unstable();
        own.sort_unstable();
        assert_eq!(own, asks);
        let mut t = TypeFacts::default();
        for limit in ALL {
            assert_eq!(t.asked(limit), Thresholds::default());
        }
        for (n, limit) in (1_i64..).zip(ALL) {
            let ppm = 600_000 + n * 1_000;
            t.values.insert((limit.value_name().to_owned(), 0), ppm);
        }
        for (n, limit) in (1_i64..).zip(ALL) {
            let ppm = (t.asked(limit).pass * 1e6).round() as i64;
            assert_eq!(ppm, 600_000 + n * 1_000, "{limit:?}");
        }
    }

    #[test]
    fn the_range_is_that_of_the_rule_itself() {
        for meaning in TYPE_VALUES
            .iter()
            .filter(|m| m.name.ends_with("_conformity_ppm"))
        {
            let (first, last) = (*meaning.range().start(), *meaning.range().end());
            for ppm in [first, last] {
                let asked = Thresholds::asked(ppm as f64 / 1e6);
                assert_eq!(
                    asked.map(|a| a.pass),
                    Ok(ppm as f64 / 1e6),
                    "{}",
                    meaning.name
                );
            }
            for ppm in [first - 1, last + 1] {
                assert!(
                    Thresholds::asked(ppm as f64 / 1e6).is_err(),
                    "{}",
                    meaning.name
                );
            }
        }
    }

    #[test]
    fn a_rule_says_what_was_asked_and_is_read_again() {
        let asked = |lower, upper| Sureness {
            lower: Thresholds::asked(lower).unwrap(),
            upper: Thresholds::asked(upper).unwrap(),
        };
        for (asked, ends, rule) in [
            (Sureness::default(), (true, true), "ISO 14253-1:2017"),
            (Sureness::default(), (false, false), "ISO 14253-1:2017"),
            (asked(0.99, 0.99), (true, true), "ISO 14253-1:2017, 99 %"),
            (asked(0.99, 0.99), (false, true), "ISO 14253-1:2017, 99 %"),
            (asked(0.5, 0.5), (true, false), "ISO 14253-1:2017, 50 %"),
            (
                asked(0.999, 0.999),
                (true, true),
                "ISO 14253-1:2017, 99.9 %",
            ),
            (
                asked(0.95, 0.9725),
                (true, true),
                "ISO 14253-1:2017, 95 % at the lower limit, 97.25 % at the upper limit",
            ),
        ] {
            assert_eq!(asked.rule(ends.0, ends.1), rule);
            assert_eq!(Sureness::of_rule(rule), asked, "{rule}");
        }
        // Of a limit that is not there nothing is asked.
        assert_eq!(asked(0.99, 0.95).rule(false, true), "ISO 14253-1:2017");
        assert_eq!(asked(0.95, 0.99).rule(true, false), "ISO 14253-1:2017");
        for rule in ["", "ISO 14253-1:2017, by hand", "x, 7 %", "x, many %"] {
            assert_eq!(Sureness::of_rule(rule), Sureness::default(), "{rule}");
        }
    }

    /// u = 0.010 mm. Of a value in the middle of w both tails count: 95 % from 1.9600 u either side, 99 % from 2.5758 u
    /// (JCGM 100:2008, annex G; memory). With zero the best: 1.6449 u. Each limit by itself: 2.3263 u and 1.6449 u
    /// (`shared/reference/conformity.toml`).
    #[test]
    fn a_gauge_that_decides_for_95_percent_may_be_too_rough_for_99() {
        let asked = |lower, upper| Sureness {
            lower: Thresholds::asked(lower).unwrap(),
            upper: Thresholds::asked(upper).unwrap(),
        };
        for (asked, lower, upper, passes) in [
            (Sureness::default(), Some(0), 39_198, false),
            (Sureness::default(), Some(0), 39_200, true),
            (asked(0.99, 0.99), Some(0), 51_515, false),
            (asked(0.99, 0.99), Some(0), 51_518, true),
            (Sureness::default(), None, 16_448, false),
            (Sureness::default(), None, 16_449, true),
            (asked(0.99, 0.95), Some(0), 39_712, false),
            (asked(0.95, 0.99), Some(0), 39_713, true),
        ] {
            let got = asked.passes_any((lower, upper), 20_000);
            assert_eq!(got, passes, "{lower:?} to {upper}");
        }
    }
}
