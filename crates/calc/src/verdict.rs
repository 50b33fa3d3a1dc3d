//! The six states of a verdict and how they combine.

use serde::{Deserialize, Serialize};

/// What the rules say about one criterion or about several together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Conforms, beyond reasonable doubt.
    Pass,
    /// Probably conforms; measure again, ask a second person or the engineer.
    PassInDoubt,
    /// Probably does not conform; measure again, ask a second person or the engineer.
    FailInDoubt,
    /// Does not conform, beyond reasonable doubt.
    Fail,
    /// Nothing was measured, or not in a way that can be judged; bars release.
    Missing,
    /// The criterion does not apply.
    NotApplicable,
}

impl Verdict {
    /// Every verdict, from the best to those without a judgement.
    pub const ALL: [Self; 6] = [
        Self::Pass,
        Self::PassInDoubt,
        Self::FailInDoubt,
        Self::Fail,
        Self::Missing,
        Self::NotApplicable,
    ];

    /// Pass or fail, where nothing is in doubt.
    pub(crate) fn pass_if(conforms: bool) -> Self {
        if conforms { Self::Pass } else { Self::Fail }
    }

    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::PassInDoubt => "pass_in_doubt",
            Self::FailInDoubt => "fail_in_doubt",
            Self::Fail => "fail",
            Self::Missing => "missing",
            Self::NotApplicable => "not_applicable",
        }
    }

    /// The word on a badge.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::PassInDoubt => "pass in doubt",
            Self::FailInDoubt => "fail in doubt",
            Self::Fail => "fail",
            Self::Missing => "missing",
            Self::NotApplicable => "not applicable",
        }
    }

    /// Whether the measurement could not settle it.
    pub fn is_in_doubt(self) -> bool {
        matches!(self, Self::PassInDoubt | Self::FailInDoubt)
    }

    /// The worst of several: fail > missing > fail in doubt > pass in doubt > pass.
    ///
    /// Not applicable is ignored; none at all, or none applicable, gives not applicable.
    pub fn worst(verdicts: impl IntoIterator<Item = Self>) -> Self {
        verdicts
            .into_iter()
            .max_by_key(|verdict| verdict.severity())
            .unwrap_or(Self::NotApplicable)
    }

    /// The verdict when the gauge was overdue at the time of reading: pass and fail become doubtful.
    #[must_use]
    pub fn if_gauge_overdue(self) -> Self {
        match self {
            Self::Pass => Self::PassInDoubt,
            Self::Fail => Self::FailInDoubt,
            other => other,
        }
    }

    fn severity(self) -> u8 {
        match self {
            Self::NotApplicable => 0,
            Self::Pass => 1,
            Self::PassInDoubt => 2,
            Self::FailInDoubt => 3,
            Self::Missing => 4,
            Self::Fail => 5,
        }
    }
}

impl std::str::FromStr for Verdict {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        Self::ALL
            .into_iter()
            .find(|verdict| verdict.as_str() == text)
            .ok_or_else(|| {
                format!(
                    "'{text}' is not a verdict; one of {}",
                    Self::ALL.map(Self::as_str).join(", ")
                )
            })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::Verdict::{self, Fail, FailInDoubt, Missing, NotApplicable, Pass, PassInDoubt};

    #[test]
    fn names_come_back_and_words_have_no_underscore() {
        for verdict in Verdict::ALL {
            assert_eq!(verdict.as_str().parse::<Verdict>().unwrap(), verdict);
            assert_eq!(verdict.as_str().replace('_', " "), verdict.word());
            assert_eq!(serde_json::to_value(verdict).unwrap(), verdict.as_str());
        }
        assert!(
            "good"
                .parse::<Verdict>()
                .unwrap_err()
                .contains("fail_in_doubt")
        );
    }

    #[test]
    fn the_worst_verdict_wins_in_the_order_of_the_rules() {
        let order = [Fail, Missing, FailInDoubt, PassInDoubt, Pass, NotApplicable];
        for (place, worse) in order.into_iter().enumerate() {
            for better in order.into_iter().skip(place) {
                assert_eq!(Verdict::worst([better, worse]), worse);
                assert_eq!(Verdict::worst([worse, better]), worse);
            }
        }
        assert_eq!(Verdict::worst([]), NotApplicable);
    }

    #[test]
    fn an_overdue_gauge_leaves_no_certainty() {
        let after: Vec<_> = Verdict::ALL
            .into_iter()
            .map(Verdict::if_gauge_overdue)
            .collect();
        assert_eq!(
            after,
            [
                PassInDoubt,
                PassInDoubt,
                FailInDoubt,
                FailInDoubt,
                Missing,
                NotApplicable
            ]
        );
    }
}
