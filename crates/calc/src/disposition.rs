//! What to do with the bearing now: one recommendation with its reasons in order of weight.
//!
//! A person decides; deciding otherwise needs a reason. Rules of decision: common practice, no source,
//! except the regrind level (`shared/reference/bench_four_row_trb.toml`). Covers findings, clearance, seats, gauges,
//! missing values, load zone. Every rule is one function of `rules`, listed with its source.

mod checked;
mod reason;
mod rules;
mod shown;
mod worn;

pub use checked::{CheckState, Checked};
pub use reason::{About, Fact, Reason, SECOND_LOOK, pair_rows};
pub use rules::{OUT_OF_STEP, RULES, Rule, may_stay};
pub use worn::{FasterSince, PairWear, SURELY};

use serde::{Deserialize, Serialize};

use crate::{
    conformity::Verdict,
    finding::Finding,
    load_zone::Zone,
    quantity::{Length, Time},
    seat::SeatCheck,
    stack::PairPlan,
};

/// What is done with a bearing after a teardown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Disposition {
    /// Back as it is.
    ReturnToService,
    /// Back with another load zone up.
    ReturnAfterTurning,
    /// Spacers ground to the calculated widths first.
    RegrindSpacers,
    /// Sent out for reconditioning.
    Recondition,
    /// Destroyed before a witness.
    Scrap,
    /// Nothing until the engineer has said what.
    HoldForEngineer,
}

impl Disposition {
    /// Every disposition.
    pub const ALL: [Self; 6] = [
        Self::ReturnToService,
        Self::ReturnAfterTurning,
        Self::RegrindSpacers,
        Self::Recondition,
        Self::Scrap,
        Self::HoldForEngineer,
    ];

    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::ReturnToService => "return_to_service",
            Self::ReturnAfterTurning => "return_after_turning",
            Self::RegrindSpacers => "regrind_spacers",
            Self::Recondition => "recondition",
            Self::Scrap => "scrap",
            Self::HoldForEngineer => "hold_for_engineer",
        }
    }

    /// The words on screen and paper.
    pub fn words(self) -> &'static str {
        match self {
            Self::ReturnToService => "Return to service",
            Self::ReturnAfterTurning => "Return after turning",
            Self::RegrindSpacers => "Regrind spacers",
            Self::Recondition => "Recondition",
            Self::Scrap => "Scrap",
            Self::HoldForEngineer => "Hold for the engineer",
        }
    }
}

impl std::str::FromStr for Disposition {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let found = Self::ALL
            .into_iter()
            .find(|disposition| disposition.as_str() == text);
        found.ok_or_else(|| {
            format!(
                "'{text}' is not a disposition; one of {}",
                Self::ALL.map(Self::as_str).join(", ")
            )
        })
    }
}

/// Which rows of a bearing a clearance belongs to, counted from the barrel from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rows {
    /// Two rows of a tapered bearing with the spacer between them.
    Pair(usize),
    /// One row of a cylindrical or spherical bearing.
    One(usize),
    /// All rows: the mean of a cylindrical or spherical bearing, the axial clearance of a thrust bearing.
    All,
}

impl Rows {
    /// True where a spacer sets the clearance, so that grinding mends it.
    pub fn have_spacer(self) -> bool {
        matches!(self, Self::Pair(_))
    }
}

/// Clearance of some rows and what it is judged by.
#[derive(Debug, Clone, PartialEq)]
pub struct PairState {
    /// Whose clearance it is.
    pub rows: Rows,
    /// Clearance found; `None` where not measured.
    pub clearance: Option<Length>,
    /// This bearing's own value when new or reconditioned.
    pub as_set: Option<Length>,
    /// Measured by another method or under another load than the value as set and the limits: it is judged by none.
    pub is_unlike: bool,
    /// Ratio of both, from like methods only ([`crate::growth::times_as_set`]).
    pub times_as_set: Option<f64>,
    /// Watch level of the type.
    pub watch: Option<Length>,
    /// Limit of the pair ([`crate::growth::pair_limit`]), reached at equality.
    pub rework: Option<Length>,
    /// Smallest clearance of drawing or target.
    pub drawing_min: Option<Length>,
    /// Largest clearance of drawing or target.
    pub drawing_max: Option<Length>,
    /// Conformity to `rework`, downgraded already where a gauge was overdue.
    pub rework_verdict: Verdict,
    /// Conformity to `drawing_min`, downgraded already where a gauge was overdue.
    pub minimum_verdict: Verdict,
    /// The grinding plan, where one was made.
    pub plan: Option<PairPlan>,
    /// Grown since it was measured or set last, by a like method; none where nothing is known.
    pub grown: Option<Length>,
    /// U of this growth, that of two clearances.
    pub grown_uncertainty: Option<Length>,
    /// What its wear says; none where the wear of the shop is not known.
    pub wear: Option<PairWear>,
}

/// Which seat a check is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeatKind {
    /// Bore of the chock.
    ChockBore,
    /// Neck of the roll.
    RollNeck,
}

/// A judged criterion of a seat, downgraded already where a gauge was overdue.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeatState {
    /// Which seat.
    pub seat: SeatKind,
    /// The criterion with its verdict.
    pub check: SeatCheck,
}

/// What the choice of the load zone came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ZoneAdvice {
    /// The rings of this bearing are not turned, or the section is not filled in.
    NotAsked,
    /// Turn to another zone.
    Turn {
        /// The zone to turn up.
        to: Zone,
        /// Running time it has had in the load.
        hours: Time,
    },
    /// The zone that is up stays up.
    Keep {
        /// That zone.
        zone: Zone,
    },
    /// No zone has its whole loaded arc clear of findings.
    NoneClear,
}

/// Everything the recommendation rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs {
    /// What was seen on the parts.
    pub findings: Vec<Finding>,
    /// The row pairs that were judged, from the barrel.
    pub pairs: Vec<PairState>,
    /// Judged criteria of the seats.
    pub seats: Vec<SeatState>,
    /// What is judged besides.
    pub checks: Vec<CheckState>,
    /// What was measured and has no limit in the register, in words; row pairs say so themselves.
    pub unlimited: Vec<String>,
    /// Gauges that were overdue at the time of reading.
    pub gauges_overdue: Vec<String>,
    /// What is not measured, in words.
    pub missing: Vec<String>,
    /// Load zone.
    pub zone: ZoneAdvice,
    /// Two spacers whose pairs look as if they stood in each other's place, from 0: the small and the large one.
    pub exchanged: Option<[usize; 2]>,
    /// The crack test of the neck shows one.
    pub is_neck_cracked: bool,
    /// The inner half, a thing of its own, is cracked: by its crack test, or as it was seen.
    pub is_inner_cracked: bool,
    /// How far a seat lies outside the size that the fit was designed for, though inside its wear limits.
    pub off_design: Vec<OffDesign>,
    /// Since when it wears faster than before, if it does.
    pub faster_since: Option<FasterSince>,
    /// The place where it ran, if that stands out as wearing its bearings faster than others.
    pub loud_place: Option<String>,
}

impl Inputs {
    /// Something was measured and held against a limit.
    fn is_judged(&self) -> bool {
        let pairs = self.pairs.iter();
        let mut all = pairs
            .flat_map(|pair| [pair.rework_verdict, pair.minimum_verdict])
            .chain(self.seats.iter().map(|seat| seat.check.conformity.verdict))
            .chain(self.checks.iter().map(|check| check.verdict));
        all.any(|verdict| !matches!(verdict, Verdict::NotApplicable | Verdict::Missing))
    }
}

/// A seat outside its designed size: the part that is at fault, and by how much.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OffDesign {
    /// Which seat.
    pub seat: SeatKind,
    /// Size found.
    pub value: Length,
    /// The end of the design band that it lies beyond.
    pub limit: Length,
}

/// One recommended disposition and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Recommendation {
    /// What is recommended.
    pub disposition: Disposition,
    /// Why, weightiest first.
    pub reasons: Vec<Reason>,
}

/// The recommended disposition with its reasons in order of weight.
///
/// In this order, the first that holds: scrap or hold (a finding that asks for it) - recondition (likewise) - hold
/// (clearance zero, negative or below the minimum; two spacers that look exchanged; a seat or anything else judged that
/// fails; a regrind that the stack refuses) - regrind (a pair at or above its limit) - hold (something
/// missing, not comparable or without a limit, in doubt on the failing side, a gauge overdue, a cracked neck or inner
/// half, no zone
/// clear) - return
/// after turning - return to service. Pass in doubt asks for a second look but does not hold, and what the wear lets
/// expect says what to plan.
pub fn recommend(inputs: &Inputs) -> Recommendation {
    let told = rules::RULES.iter().flat_map(|rule| (rule.facts)(inputs));
    let mut reasons: Vec<Reason> = told.map(Reason::new).collect();
    // Turning or not says nothing about the state: something must say that nothing else does.
    if reasons.iter().all(|reason| reason.weight >= 6) {
        reasons.push(Reason::new(if inputs.is_judged() {
            Fact::AllInside
        } else {
            let what = "anything that could be judged".to_owned();
            Fact::NotMeasured { what }
        }));
    }
    reasons.sort_by(|a, b| {
        a.weight
            .cmp(&b.weight)
            .then_with(|| b.fact.urgency().total_cmp(&a.fact.urgency()))
    });
    // The heaviest reason decides; there is always one.
    let disposition = reasons
        .first()
        .map_or(Disposition::ReturnToService, |reason| {
            reason.fact.asks_for(inputs.zone)
        });
    Recommendation {
        disposition,
        reasons,
    }
}

#[cfg(test)]
mod tests;
