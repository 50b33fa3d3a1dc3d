//! Judged values in words: criteria of the seats, and what is judged beside them and the row pairs.

use super::reason::SECOND_LOOK;
use super::shown::shown_difference;
use super::{Rows, SeatKind};
use crate::{
    conformity::{Limits, Verdict},
    quantity::{Length, nanometres, to_nanometres},
    seat::{SeatCheck, SeatCriterion},
};

/// What is judged beside the grids of the seats and the clearance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Checked {
    /// Shoulder of the chock, out of square.
    Shoulder,
    /// Cover face of the chock, out of flat.
    CoverFace,
    /// Width of the chock over its liners.
    LinerWidth,
    /// Interference of the inner ring on the neck.
    RingFit,
    /// What the push-up took of the clearance of a row, from 0.
    TaperLoss {
        /// The row.
        row: usize,
    },
    /// Push-up of a tapered bore.
    PushUp,
    /// Faces of the spacer of a row pair, from 0.
    SpacerFaces {
        /// The pair.
        pair: usize,
    },
}

/// A judged value, downgraded already where a gauge was overdue.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckState {
    /// What it is.
    pub what: Checked,
    /// The value found.
    pub value: Length,
    /// What it is judged by.
    pub limits: Limits,
    /// The verdict.
    pub verdict: Verdict,
    /// Whether it is known how well it was measured: else measuring again ends no doubt.
    pub is_certain_how: bool,
}

impl Limits {
    /// The limit that a value is nearest to or furthest beyond.
    pub fn nearest(&self, value: Length) -> Option<Length> {
        let distance = |limit: &Length| (to_nanometres(value) - to_nanometres(*limit)).abs();
        let both = self.lower.into_iter().chain(self.upper);
        both.min_by_key(distance)
    }
}

impl CheckState {
    /// The reason in words.
    pub(super) fn words(&self, format: impl Fn(Length) -> String) -> String {
        let name = match self.what {
            Checked::Shoulder => "Chock: shoulder, out of square,".to_owned(),
            Checked::CoverFace => "Chock: cover face, out of flat,".to_owned(),
            Checked::LinerWidth => "Chock: width over the liners".to_owned(),
            Checked::RingFit => "Inner ring: interference on the neck".to_owned(),
            Checked::TaperLoss { row } => format!("Taper: loss of clearance of row {}", row + 1),
            Checked::PushUp => "Taper: push-up found".to_owned(),
            Checked::SpacerFaces { pair } => {
                format!("Spacer S{}: difference of its widths", pair + 1)
            }
        };
        let told = judged(&name, self.value, &self.limits, self.verdict, format);
        let told = match told.strip_suffix(SECOND_LOOK) {
            Some(start) if !self.is_certain_how => start.trim_end().to_owned(),
            _ => told,
        };
        match self.danger() {
            Some(danger) => format!("{told} {danger}"),
            None => told,
        }
    }

    /// What a fit outside its limits does (common practice, no source).
    fn danger(&self) -> Option<&'static str> {
        let nm = to_nanometres(self.value);
        let is_under = self.limits.lower.is_some_and(|l| nm < to_nanometres(l));
        let is_over = self.limits.upper.is_some_and(|l| nm > to_nanometres(l));
        match self.what {
            Checked::RingFit if nm <= 0 => Some("The ring is loose on its neck: it creeps."),
            Checked::RingFit if is_under => Some("The ring can creep."),
            Checked::RingFit if is_over => Some("The ring can crack."),
            Checked::TaperLoss { .. } | Checked::PushUp if is_under => {
                Some("The ring worked loose on its taper, or was not pushed up far enough.")
            }
            Checked::TaperLoss { .. } | Checked::PushUp if is_over => {
                Some("Pushed up too far: too little clearance is left, and the ring can crack.")
            }
            _ => None,
        }
    }

    /// Whose clearance it is about.
    pub(super) fn rows(&self) -> Option<Rows> {
        match self.what {
            Checked::SpacerFaces { pair } => Some(Rows::Pair(pair)),
            Checked::TaperLoss { row } => Some(Rows::One(row)),
            _ => None,
        }
    }
}

/// A criterion of a seat in words.
pub(super) fn seat_words(
    seat: SeatKind,
    check: &SeatCheck,
    format: impl Fn(Length) -> String,
) -> String {
    let seat = match seat {
        SeatKind::ChockBore => "Chock bore",
        SeatKind::RollNeck => "Roll neck",
    };
    let criterion = match check.criterion {
        SeatCriterion::SmallestSize => "smallest size".to_owned(),
        SeatCriterion::LargestSize => "largest size".to_owned(),
        SeatCriterion::Mean => "mean size".to_owned(),
        SeatCriterion::Ovality { plane } => format!("ovality of plane {}", plane + 1),
        SeatCriterion::Taper => "taper".to_owned(),
    };
    let name = format!("{seat}: {criterion}");
    let verdict = check.conformity.verdict;
    judged(&name, check.value, &check.limits, verdict, format)
}

/// A judged value against its nearest limit.
fn judged(
    name: &str,
    value: Length,
    limits: &Limits,
    verdict: Verdict,
    format: impl Fn(Length) -> String,
) -> String {
    let limit = limits.nearest(value);
    let Some(limit) = limit.filter(|_| verdict != Verdict::Missing) else {
        return format!("{name} cannot be judged.");
    };
    let off_nm = to_nanometres(value) - to_nanometres(limit);
    let side = match off_nm {
        0 => "at",
        1.. => "over",
        _ => "under",
    };
    let (shown, shown_limit) = (format(value), format(limit));
    // The reader takes the one from the other: what stands there must come out.
    let by =
        shown_difference(&shown, &shown_limit).unwrap_or_else(|| format(nanometres(off_nm.abs())));
    let by = if off_nm == 0 {
        String::new()
    } else {
        format!(" by {by}")
    };
    let is_least = limits.lower == Some(limit) && limits.upper != Some(limit);
    let side = if off_nm > 0 && is_least {
        format!("above the smallest allowed {shown_limit}")
    } else {
        format!("{side} its limit {shown_limit}")
    };
    let start = format!("{name} is {shown}, {side}{by}");
    if verdict.is_in_doubt() {
        format!("{start}: {}. {SECOND_LOOK}", verdict.word())
    } else {
        format!("{start}.")
    }
}
