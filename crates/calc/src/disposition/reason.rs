//! Reasons of a recommendation: facts with their numbers, told in words only when shown.

use super::checked::seat_words;
use super::{
    CheckState, Checked, Disposition, FasterSince, OffDesign, PairWear, Rows, SeatKind, ZoneAdvice,
    worn,
};
use crate::{
    conformity::{Limits, Verdict},
    finding::{Asks, Finding},
    load_zone::Zone,
    quantity::{Length, Time, as_millimetres, to_nanometres},
    seat::SeatCheck,
    stack::Refusal,
};

/// What a reason is about, so that a screen can lead to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// Clearance of some rows.
    Rows(Rows),
    /// The chock bore.
    ChockBore,
    /// The roll neck.
    RollNeck,
    /// What was seen on the parts.
    Findings,
    /// A gauge.
    Gauge,
    /// The load zone.
    LoadZone,
    /// The sheet as a whole.
    Sheet,
}

/// A fact that speaks for or against a disposition.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "the fields are the numbers that the variant names"
)]
pub enum Fact {
    /// Clearance zero or negative.
    NoClearance { rows: Rows, value: Length },
    /// Clearance under the smallest allowed.
    BelowMinimum {
        rows: Rows,
        value: Length,
        minimum: Length,
        verdict: Verdict,
    },
    /// Clearance at or above the limit of the pair.
    ReworkReached {
        rows: Rows,
        value: Length,
        times_as_set: Option<f64>,
        rework: Length,
        verdict: Verdict,
    },
    /// The stack cannot be set by grinding this spacer.
    RegrindRefused { rows: Rows, refusal: Refusal },
    /// How much to grind off the spacer of a pair.
    Grind {
        rows: Rows,
        grind: Length,
        to: Length,
    },
    /// No plan for the spacer of a pair, and none needed: the pair is sound as it is.
    Stays { rows: Rows, value: Length },
    /// Clearance under its limit, but in doubt.
    NearRework {
        rows: Rows,
        value: Length,
        rework: Option<Length>,
        verdict: Verdict,
    },
    /// Clearance at or above the smallest allowed, but in doubt.
    NearMinimum {
        rows: Rows,
        value: Length,
        minimum: Option<Length>,
        verdict: Verdict,
    },
    /// Clearance at or above the watch level and under the limit.
    WatchReached {
        rows: Rows,
        value: Length,
        watch: Length,
        rework: Option<Length>,
    },
    /// Clearance not measured.
    ClearanceMissing { rows: Rows },
    /// No value as set is known.
    NoBaseline { rows: Rows },
    /// Measured another way than the value as set and the limits.
    MeasuredOtherwise { rows: Rows },
    /// A criterion of a seat that is not a plain pass.
    Seat { seat: SeatKind, check: SeatCheck },
    /// Something judged beside the seats and the clearance that is not a plain pass.
    Check { check: CheckState },
    /// Nothing in the register says what it is judged by.
    NoLimit { what: String },
    /// Something seen on a part that a rule speaks of.
    Found { finding: Finding },
    /// Two spacers look as if they stood in each other's place.
    Exchanged { small: usize, large: usize },
    /// One pair grew far more than the others.
    OutOfStep {
        rows: Rows,
        grown: Length,
        others: Length,
    },
    /// Likely to pass its limit before the next teardown.
    LimitAhead { rows: Rows, wear: PairWear },
    /// Surely faster than its peers, and the place that stands out, if it ran there.
    FasterThanPeers {
        rows: Rows,
        wear: PairWear,
        place: Option<String>,
    },
    /// Faster than before.
    FasterThanBefore { found: FasterSince },
    /// A seat outside the size that the fit was designed for.
    OffDesign { off: OffDesign },
    /// The crack test of the neck shows one.
    NeckCracked,
    /// The inner half, a thing of its own, is cracked.
    InnerCracked,
    /// A gauge was overdue at the time of reading.
    GaugeOverdue { gauge: String },
    /// Something else was not measured.
    NotMeasured { what: String },
    /// Every loaded arc has a finding in it.
    NoZoneClear,
    /// Turn to another zone.
    TurnTo { to: Zone, hours: Time },
    /// The zone that is up stays up.
    KeepZone { zone: Zone },
    /// Nothing speaks against it.
    AllInside,
}

impl Fact {
    /// Weight class, 0 the heaviest; its meaning is the order in [`super::recommend`].
    pub(super) fn weight(&self) -> u8 {
        let of_verdict = |verdict| match verdict {
            Verdict::Fail => 0,
            Verdict::FailInDoubt | Verdict::Missing => 3,
            _ => 4,
        };
        match self {
            Self::NoClearance { .. }
            | Self::BelowMinimum { .. }
            | Self::RegrindRefused { .. }
            | Self::Exchanged { .. } => 0,
            Self::Seat { check, .. } => of_verdict(check.conformity.verdict),
            Self::Check { check } => of_verdict(check.verdict),
            Self::Found { finding } => match finding.asks() {
                Asks::Nothing | Asks::Watch => 5,
                Asks::Recondition | Asks::Engineer | Asks::Scrap => 0,
            },
            Self::ReworkReached { .. } => 1,
            Self::Grind { .. } | Self::Stays { .. } => 2,
            Self::ClearanceMissing { .. }
            | Self::NoBaseline { .. }
            | Self::MeasuredOtherwise { .. }
            | Self::NoLimit { .. }
            | Self::GaugeOverdue { .. }
            | Self::NotMeasured { .. }
            | Self::NeckCracked
            | Self::InnerCracked
            | Self::NoZoneClear => 3,
            Self::NearRework { .. } | Self::NearMinimum { .. } => 4,
            Self::WatchReached { .. }
            | Self::LimitAhead { .. }
            | Self::FasterThanPeers { .. }
            | Self::FasterThanBefore { .. }
            | Self::OutOfStep { .. }
            | Self::OffDesign { .. } => 5,
            Self::TurnTo { .. } => 6,
            Self::KeepZone { .. } | Self::AllInside => 7,
        }
    }

    /// Order inside a weight class: the further beyond its limit, the earlier.
    pub(super) fn urgency(&self) -> f64 {
        let share = |value: Length, of: Length| as_millimetres(value) / as_millimetres(of);
        let off = |value: Length, limits: &Limits| {
            let nearest = limits.nearest(value);
            nearest.map_or(0.0, |limit| (share(value, limit) - 1.0).abs())
        };
        match self {
            Self::ReworkReached { value, rework, .. } => share(*value, *rework),
            Self::WatchReached { value, watch, .. } => share(*value, *watch),
            // Before everything that is measured: a part that is not returned needs no fit.
            Self::Found { finding } => match finding.asks() {
                Asks::Scrap => 30_000.0,
                Asks::Engineer => 20_000.0,
                Asks::Recondition => 10_000.0 + f64::from(finding.severity),
                Asks::Nothing | Asks::Watch => f64::from(finding.severity),
            },
            // What has to be planned before what only has to be known.
            Self::LimitAhead { wear, .. } => 100.0 + wear.chance,
            Self::FasterThanPeers { wear, .. } => 10.0 + wear.times_peers,
            Self::FasterThanBefore { .. } => 10.0,
            // What explains the others comes first.
            Self::Exchanged { .. } => 2_000.0,
            Self::NoClearance { value, .. } => 1_000.0 - as_millimetres(*value),
            Self::BelowMinimum { value, minimum, .. } => 10.0 - share(*value, *minimum),
            Self::Seat { check, .. } => off(check.value, &check.limits),
            Self::Check { check } => off(check.value, &check.limits),
            _ => 0.0,
        }
    }

    /// The disposition this fact asks for when nothing heavier stands before it.
    pub(super) fn asks_for(&self, zone: ZoneAdvice) -> Disposition {
        if let Self::Found { finding } = self {
            match finding.asks() {
                Asks::Scrap => return Disposition::Scrap,
                Asks::Engineer => return Disposition::HoldForEngineer,
                Asks::Recondition => return Disposition::Recondition,
                Asks::Nothing | Asks::Watch => {}
            }
        }
        if let Self::ReworkReached { rows, .. } = self
            && !rows.have_spacer()
        {
            // There is no spacer to grind: raceways and rollers are worn.
            return Disposition::Recondition;
        }
        match (self.weight(), zone) {
            (0 | 3, _) => Disposition::HoldForEngineer,
            (1 | 2, _) => Disposition::RegrindSpacers,
            (_, ZoneAdvice::Turn { .. }) => Disposition::ReturnAfterTurning,
            _ => Disposition::ReturnToService,
        }
    }

    fn about(&self) -> About {
        match self {
            Self::NoClearance { rows, .. }
            | Self::BelowMinimum { rows, .. }
            | Self::ReworkReached { rows, .. }
            | Self::RegrindRefused { rows, .. }
            | Self::Grind { rows, .. }
            | Self::NearRework { rows, .. }
            | Self::NearMinimum { rows, .. }
            | Self::WatchReached { rows, .. }
            | Self::ClearanceMissing { rows }
            | Self::Stays { rows, .. }
            | Self::OutOfStep { rows, .. }
            | Self::LimitAhead { rows, .. }
            | Self::FasterThanPeers { rows, .. }
            | Self::NoBaseline { rows }
            | Self::MeasuredOtherwise { rows } => About::Rows(*rows),
            Self::Check { check } => match (check.rows(), check.what) {
                (Some(rows), _) => About::Rows(rows),
                (None, Checked::RingFit | Checked::PushUp) => About::RollNeck,
                _ => About::ChockBore,
            },
            Self::FasterThanBefore { found } => match found.rows {
                Some(rows) => About::Rows(rows),
                None => About::Sheet,
            },
            Self::Exchanged { small, .. } => About::Rows(Rows::Pair(*small)),
            Self::OffDesign { off } if off.seat == SeatKind::RollNeck => About::RollNeck,
            Self::OffDesign { .. }
            | Self::Seat {
                seat: SeatKind::ChockBore,
                ..
            } => About::ChockBore,
            Self::NeckCracked
            | Self::InnerCracked
            | Self::Seat {
                seat: SeatKind::RollNeck,
                ..
            } => About::RollNeck,
            Self::Found { .. } => About::Findings,
            Self::GaugeOverdue { .. } => About::Gauge,
            Self::NoZoneClear | Self::TurnTo { .. } | Self::KeepZone { .. } => About::LoadZone,
            Self::NotMeasured { .. } | Self::NoLimit { .. } | Self::AllInside => About::Sheet,
        }
    }
}

/// One reason: what it weighs, what it is about, the fact.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// Weight class, 0 the heaviest.
    pub weight: u8,
    /// What it is about.
    pub about: About,
    /// The fact with its numbers.
    pub fact: Fact,
}

impl Reason {
    pub(super) fn new(fact: Fact) -> Self {
        Self {
            weight: fact.weight(),
            about: fact.about(),
            fact,
        }
    }

    /// The reason in plain words; `format` writes a length in the unit of the reader, `hours` a
    /// running time, `times` a ratio with so many decimals.
    pub fn text(
        &self,
        format: impl Fn(Length) -> String,
        hours: impl Fn(Time) -> String,
        times: impl Fn(f64, usize) -> String,
    ) -> String {
        let stand = |rows: &Rows| match rows {
            Rows::Pair(_) => format!("{} stand", rows_words(*rows)),
            Rows::One(_) | Rows::All => format!("{} stands", rows_words(*rows)),
        };
        match &self.fact {
            Fact::NoClearance { rows, value } => {
                let check = if rows.have_spacer() {
                    "check spacers and seating"
                } else {
                    "check parts and fits"
                };
                format!(
                    "{} at {}: no clearance. Stop, {check}.",
                    stand(rows),
                    format(*value)
                )
            }
            Fact::BelowMinimum {
                rows,
                value,
                minimum,
                verdict,
            } => {
                let (value, minimum) = (format(*value), format(*minimum));
                let start = format!(
                    "{} at {value}, under the smallest allowed {minimum}",
                    stand(rows)
                );
                format!("{start}: cannot be signed for mounting.{}", doubt(*verdict))
            }
            Fact::ReworkReached {
                rows,
                value,
                times_as_set,
                rework,
                verdict,
            } => {
                let compared = times_as_set
                    .map(|ratio| format!("{} times as set and ", times(ratio, 2)))
                    .unwrap_or_default();
                let at = if to_nanometres(*value) == to_nanometres(*rework) {
                    "at"
                } else {
                    "over"
                };
                let start = format!(
                    "{} at {}, {compared}{at} the rework level",
                    stand(rows),
                    format(*value)
                );
                format!("{start} {}.{}", format(*rework), doubt(*verdict))
            }
            Fact::RegrindRefused { rows, refusal } => {
                format!(
                    "{} cannot be set by grinding: {}.",
                    rows_words(*rows),
                    refusal_words(*rows, *refusal, format)
                )
            }
            Fact::Grind { rows, grind, to } => {
                format!(
                    "Grind {} by {} to {}.",
                    spacer_words(*rows),
                    format(*grind),
                    format(*to)
                )
            }
            Fact::Stays { rows, value } => {
                let spacer = spacer_words(*rows);
                let (first, rest) = spacer.split_at(1);
                format!(
                    "{}{rest} stays as it is: {} at {}, not under the smallest allowed.",
                    first.to_uppercase(),
                    rows_words(*rows).to_lowercase(),
                    format(*value)
                )
            }
            Fact::NearRework {
                rows,
                value,
                rework,
                verdict,
            } => {
                let value = format(*value);
                let level = rework.map(|level| {
                    let level = format(level);
                    // Alike as they are written, and under it all the same.
                    let under = if level == value {
                        "just under"
                    } else {
                        "under"
                    };
                    format!(", {under} the rework level {level}")
                });
                let start = format!(
                    "{} at {value}{}",
                    rows_words(*rows),
                    level.unwrap_or_default()
                );
                format!("{start}: {}. {SECOND_LOOK}", verdict.word())
            }
            Fact::NearMinimum {
                rows,
                value,
                minimum,
                verdict,
            } => {
                let level = minimum.map(|level| format!(", smallest allowed {}", format(level)));
                let start = format!(
                    "{} at {}{}",
                    rows_words(*rows),
                    format(*value),
                    level.unwrap_or_default()
                );
                format!("{start}: {}. {SECOND_LOOK}", verdict.word())
            }
            Fact::WatchReached {
                rows,
                value,
                watch,
                rework,
            } => {
                let under = rework
                    .map(|rework| format!(", under {}", format(rework)))
                    .unwrap_or_default();
                let at = if to_nanometres(*value) == to_nanometres(*watch) {
                    "at"
                } else {
                    "over"
                };
                format!(
                    "{} at {}: {at} the watch level {}{under}.",
                    rows_words(*rows),
                    format(*value),
                    format(*watch)
                )
            }
            Fact::ClearanceMissing { rows } => {
                format!("{}: clearance not measured.", rows_words(*rows))
            }
            Fact::NoBaseline { rows } => {
                format!("{}: the value as set is not known.", rows_words(*rows))
            }
            Fact::MeasuredOtherwise { rows } => format!(
                "{}: measured another way than as set: no verdict, no regrind. Measure again.",
                rows_words(*rows)
            ),
            Fact::Seat { seat, check } => seat_words(*seat, check, format),
            Fact::Check { check } => check.words(format),
            Fact::NoLimit { what } => {
                format!("No limit in the register for {what}: the engineer decides.")
            }
            Fact::Found { finding } => found_words(finding),
            Fact::Exchanged { small, large } => {
                let (small, large) = (small + 1, large + 1);
                format!(
                    "Spacer S{small} too small and spacer S{large} too large, their sum normal: spacers S{small} and S{large} \
                     exchanged? Read their marks."
                )
            }
            Fact::OutOfStep {
                rows,
                grown,
                others,
            } => format!(
                "{} grew by {}, the others by {} in the mean: suspect misalignment, a seal or wrong stacking.",
                rows_words(*rows),
                format(*grown),
                format(*others)
            ),
            Fact::LimitAhead { rows, wear } => worn::limit_ahead_words(*rows, wear, hours),
            Fact::FasterThanPeers { rows, wear, place } => {
                worn::faster_than_peers_words(*rows, wear, place.as_deref(), times)
            }
            Fact::FasterThanBefore { found } => worn::faster_than_before_words(found, hours),
            Fact::OffDesign { off } => off_design_words(off, format),
            Fact::NeckCracked => {
                "The crack test of the neck shows a crack: the roll does not go back into the mill."
                    .to_owned()
            }
            Fact::InnerCracked => {
                "The inner half is cracked: it never goes back, and its neck waits for another one."
                    .to_owned()
            }
            Fact::GaugeOverdue { gauge } => {
                format!("Gauge {gauge} was overdue when read: release needs the engineer.")
            }
            Fact::NotMeasured { what } => format!("Not measured: {what}."),
            Fact::NoZoneClear => "No load zone has its whole loaded arc clear of findings: \
                the engineer chooses, with a reason."
                .to_owned(),
            Fact::TurnTo { to, hours: had } => format!(
                "Turn to zone {}: least hours ({} h) of those clear of findings.",
                to.as_str(),
                hours(*had)
            ),
            Fact::KeepZone { zone } => format!("Zone {} stays up.", zone.as_str()),
            Fact::AllInside => "Everything measured that has a limit is inside it.".to_owned(),
        }
    }
}

/// What to do about a doubt that comes from measuring.
pub const SECOND_LOOK: &str = "Measure again or let a second person do it.";

/// The rows of a pair, counted from the barrel: `pair_rows(0)` is `1–2`.
pub fn pair_rows(pair: usize) -> String {
    format!("{}–{}", pair + 1, pair + 2)
}

fn doubt(verdict: Verdict) -> String {
    if verdict.is_in_doubt() {
        format!(" In doubt. {SECOND_LOOK}")
    } else {
        String::new()
    }
}

fn found_words(finding: &Finding) -> String {
    let words = finding.words();
    let (first, rest) = words.split_at(1);
    let asked = match finding.asks() {
        Asks::Scrap => "It never goes back: scrap.",
        Asks::Engineer => "Not returned as it is: the engineer decides, or scrap.",
        Asks::Recondition => "Not returned as it is: recondition.",
        Asks::Nothing | Asks::Watch => "Look at it again at the next teardown.",
    };
    format!("{}{rest}. {asked}", first.to_uppercase())
}

fn off_design_words(off: &OffDesign, format: impl Fn(Length) -> String) -> String {
    let by_nm = to_nanometres(off.value) - to_nanometres(off.limit);
    let seat = match off.seat {
        SeatKind::ChockBore => "chock bore",
        SeatKind::RollNeck => "roll neck",
    };
    // A large bore and a small neck are loose.
    let is_loose = (by_nm > 0) == (off.seat == SeatKind::ChockBore);
    format!(
        "The fit found is {} than designed: the {seat} at {}{} is {} the design by {}.",
        if is_loose { "looser" } else { "tighter" },
        format(off.value),
        // A bore is judged by its mean, a neck by its smallest size.
        match off.seat {
            SeatKind::ChockBore => " in the mean",
            SeatKind::RollNeck => "",
        },
        if by_nm > 0 { "over" } else { "under" },
        format(crate::quantity::nanometres(by_nm.abs()))
    )
}

pub(super) fn rows_words(rows: Rows) -> String {
    match rows {
        Rows::Pair(pair) => format!("Rows {}", pair_rows(pair)),
        Rows::One(row) => format!("Row {}", row + 1),
        Rows::All => "The clearance".to_owned(),
    }
}

fn spacer_words(rows: Rows) -> String {
    match rows {
        Rows::Pair(pair) => format!("spacer S{}", pair + 1),
        Rows::One(_) | Rows::All => "the spacer".to_owned(),
    }
}

fn refusal_words(rows: Rows, refusal: Refusal, format: impl Fn(Length) -> String) -> String {
    let spacer = spacer_words(rows);
    match refusal {
        Refusal::BelowTarget => format!("{spacer} would need to be thicker"),
        Refusal::SpacerUnderMinimum { would_be } => {
            format!(
                "{spacer} would come out at {}, under its smallest width",
                format(would_be)
            )
        }
        Refusal::StepTooCoarse => {
            "no whole number of grinding steps ends inside the target".to_owned()
        }
    }
}
