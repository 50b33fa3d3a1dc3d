//! The rules of decision: one function each, with where it comes from. What weighs more is told by the facts.

use super::reason::rows_words;
use super::{CheckState, Checked, Fact, Inputs, PairState, Rows, ZoneAdvice, worn};
use crate::{
    conformity::Verdict,
    finding::Asks,
    quantity::{Length, as_micrometres, nanometres, to_nanometres},
    stack::{PairPlan, Refusal},
};

/// A rule of decision.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// What it is about.
    pub name: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// The facts that it finds.
    pub facts: fn(&Inputs) -> Vec<Fact>,
}

/// A pair that grew so many times as much as the mean of the others is out of step (common practice, no source).
pub const OUT_OF_STEP: f64 = 1.5;

const TRADE: &str = "common practice, no source";

/// Every rule.
pub const RULES: [Rule; 22] = [
    rule("no or too little clearance", TRADE, too_tight),
    rule("spacers exchanged", TRADE, exchanged),
    rule(
        "clearance at its limit",
        "regrind level: shared/reference/bench_four_row_trb.toml; limits: the bearing type",
        worn,
    ),
    rule(
        "regrind",
        "grinding plan: shared/reference/bench_four_row_trb.toml; limits: the bearing type",
        regrind,
    ),
    rule(
        "clearance at the watch level",
        "limits: the bearing type",
        watched,
    ),
    rule(
        "clearance near its limit",
        "JCGM 106:2012, 8.3",
        near_rework,
    ),
    rule(
        "clearance near its minimum",
        "JCGM 106:2012, 8.3",
        near_minimum,
    ),
    rule(
        "like with like",
        "like methods only: common practice, no source",
        comparable,
    ),
    rule("pairs in step", TRADE, out_of_step),
    rule(
        "limit ahead",
        "forecast: crates/calc/src/wear.rs; from which chance on: assumed",
        worn::limit_ahead,
    ),
    rule(
        "faster than its peers",
        "wear factor: crates/calc/src/wear.rs; how much and how sure: assumed",
        worn::faster_than_peers,
    ),
    rule(
        "faster than before",
        "score test of a hinge: crates/calc/src/wear/acceleration.rs; its level: own simulation",
        worn::faster_than_before,
    ),
    rule("findings", TRADE, found),
    rule("seats", "limits: the bearing type", seats),
    rule("other checks", "limits: the bearing type", checks),
    rule("no limit known", TRADE, no_limit),
    rule("designed fit", "limits: the bearing type", off_design),
    rule("crack of the neck", TRADE, neck_crack),
    rule("crack of the inner half", TRADE, inner_crack),
    rule("gauges", "ISO 9001:2015, 7.1.5.2", gauges),
    rule("left out", TRADE, missing),
    rule("load zone", TRADE, load_zone),
];

const fn rule(name: &'static str, source: &'static str, facts: fn(&Inputs) -> Vec<Fact>) -> Rule {
    Rule {
        name,
        source,
        facts,
    }
}

/// Facts of each pair that was measured.
fn measured(inputs: &Inputs, of: impl Fn(&PairState, Length) -> Vec<Fact>) -> Vec<Fact> {
    let pairs = inputs.pairs.iter();
    pairs
        .filter_map(|pair| Some((pair, pair.clearance?)))
        .flat_map(|(pair, value)| of(pair, value))
        .collect()
}

/// Facts of each pair that was measured the way its limits are meant.
fn judged(inputs: &Inputs, of: impl Fn(&PairState, Length) -> Vec<Fact>) -> Vec<Fact> {
    measured(inputs, |pair, value| {
        if pair.is_unlike {
            Vec::new()
        } else {
            of(pair, value)
        }
    })
}

/// A level that the value is at or above.
fn reached(value: Length, level: Option<Length>) -> Option<Length> {
    level.filter(|&level| to_nanometres(value) >= to_nanometres(level))
}

/// Zero, negative, or under the smallest allowed: never signed for mounting.
fn too_tight(inputs: &Inputs) -> Vec<Fact> {
    measured(inputs, |pair, value| {
        let minimum = pair.drawing_min;
        let fact = if to_nanometres(value) <= 0 {
            Some(Fact::NoClearance {
                rows: pair.rows,
                value,
            })
        } else {
            minimum
                .filter(|&minimum| to_nanometres(value) < to_nanometres(minimum))
                .map(|minimum| Fact::BelowMinimum {
                    rows: pair.rows,
                    value,
                    minimum,
                    verdict: pair.minimum_verdict,
                })
        };
        fact.into_iter().collect()
    })
}

/// One pair far too small and another as much too large.
fn exchanged(inputs: &Inputs) -> Vec<Fact> {
    let found = inputs.exchanged.into_iter();
    found
        .map(|[small, large]| Fact::Exchanged { small, large })
        .collect()
}

/// At or above the limit of the pair.
fn worn(inputs: &Inputs) -> Vec<Fact> {
    judged(inputs, |pair, value| {
        let fact = reached(value, pair.rework).map(|rework| Fact::ReworkReached {
            rows: pair.rows,
            value,
            times_as_set: pair.times_as_set,
            rework,
            verdict: pair.rework_verdict,
        });
        fact.into_iter().collect()
    })
}

/// A spacer whose pair is at its limit is due, and grinding it would mend that.
fn is_due(pair: &PairState) -> bool {
    let at_limit = pair.clearance.and_then(|value| reached(value, pair.rework));
    pair.rows.have_spacer() && !pair.is_unlike && at_limit.is_some()
}

/// What is ground off the spacer of a pair once a regrind is due; none where nothing is.
pub(super) fn ground(inputs: &Inputs, pair: &PairState) -> Option<(Length, Length)> {
    let plan = pair.plan.filter(|_| !pair.is_unlike)?;
    let (grind, to) = (plan.grind?, plan.new_spacer?);
    let is_ground = to_nanometres(grind) > 0 && inputs.pairs.iter().any(is_due);
    is_ground.then_some((grind, to))
}

/// Whether a pair that no grinding sets is sound as it is, so that the others are ground without it: between the
/// smallest allowed and the target, or inside the drawing, and under its limit (common practice, no source).
pub fn may_stay(refusal: Refusal, value: Length, limits: [Option<Length>; 3]) -> bool {
    let [drawing_min, drawing_max, rework] = limits.map(|limit| limit.map(to_nanometres));
    let nm = to_nanometres(value);
    let is_enough = nm > 0 && drawing_min.is_some_and(|min| nm >= min);
    let is_not_worn = rework.is_none_or(|rework| nm < rework);
    let is_not_much = match refusal {
        Refusal::BelowTarget => true,
        Refusal::SpacerUnderMinimum { .. } | Refusal::StepTooCoarse => {
            drawing_max.is_some_and(|max| nm <= max)
        }
    };
    is_enough && is_not_worn && is_not_much
}

/// Once one pair is at its limit the whole stack is set: what comes off each spacer, which one stays, and where the
/// stack cannot be set so.
fn regrind(inputs: &Inputs) -> Vec<Fact> {
    if !inputs.pairs.iter().any(is_due) {
        return Vec::new();
    }
    judged(inputs, |pair, value| {
        let rows = pair.rows;
        let limits = [pair.drawing_min, pair.drawing_max, pair.rework];
        let fact = match pair.plan {
            Some(PairPlan {
                refusal: Some(refusal),
                ..
            }) if may_stay(refusal, value, limits) => Some(Fact::Stays { rows, value }),
            Some(PairPlan {
                refusal: Some(refusal),
                ..
            }) => Some(Fact::RegrindRefused { rows, refusal }),
            _ => ground(inputs, pair).map(|(grind, to)| Fact::Grind { rows, grind, to }),
        };
        fact.into_iter().collect()
    })
}

/// At or above the watch level, under the limit.
fn watched(inputs: &Inputs) -> Vec<Fact> {
    judged(inputs, |pair, value| {
        let under = reached(value, pair.rework).is_none();
        let watch = reached(value, pair.watch).filter(|_| under);
        let fact = watch.map(|watch| Fact::WatchReached {
            rows: pair.rows,
            value,
            watch,
            rework: pair.rework,
        });
        fact.into_iter().collect()
    })
}

/// Under the limit, but not surely.
fn near_rework(inputs: &Inputs) -> Vec<Fact> {
    judged(inputs, |pair, value| {
        let is_near = reached(value, pair.rework).is_none() && pair.rework_verdict.is_in_doubt();
        let fact = is_near.then_some(Fact::NearRework {
            rows: pair.rows,
            value,
            rework: pair.rework,
            verdict: pair.rework_verdict,
        });
        fact.into_iter().collect()
    })
}

/// Not under the minimum, but not surely. Over the watch level such a doubt only says that the gauge is not known or
/// overdue.
fn near_minimum(inputs: &Inputs) -> Vec<Fact> {
    judged(inputs, |pair, value| {
        let is_above = pair
            .drawing_min
            .is_none_or(|min| to_nanometres(value) >= to_nanometres(min));
        let is_worn = reached(value, pair.watch)
            .or(reached(value, pair.rework))
            .is_some();
        let is_near = is_above && !is_worn && pair.minimum_verdict.is_in_doubt();
        let fact = is_near.then_some(Fact::NearMinimum {
            rows: pair.rows,
            value,
            minimum: pair.drawing_min,
            verdict: pair.minimum_verdict,
        });
        fact.into_iter().collect()
    })
}

/// A ratio to the value as set needs that value, and it and every limit a clearance measured alike.
fn comparable(inputs: &Inputs) -> Vec<Fact> {
    let fact = |pair: &PairState| {
        let rows = pair.rows;
        if pair.clearance.is_none() {
            Some(Fact::ClearanceMissing { rows })
        } else if pair.is_unlike {
            Some(Fact::MeasuredOtherwise { rows })
        } else {
            // Limits of other families are absolute: nothing rests on a ratio.
            let needs_ratio = rows.have_spacer() && pair.times_as_set.is_none();
            needs_ratio.then_some(Fact::NoBaseline { rows })
        }
    };
    inputs.pairs.iter().filter_map(fact).collect()
}

/// One pair grew far more than the others: misalignment, a bad seal or wrong stacking. Only where the difference is
/// larger than the doubt about it.
fn out_of_step(inputs: &Inputs) -> Vec<Fact> {
    let grown: Option<Vec<f64>> = inputs
        .pairs
        .iter()
        .map(|pair| pair.grown.map(as_micrometres))
        .collect();
    let Some(grown) = grown.filter(|grown| grown.len() > 1) else {
        return Vec::new();
    };
    let sum: f64 = grown.iter().sum();
    let mut facts = Vec::new();
    for (pair, &own) in inputs.pairs.iter().zip(&grown) {
        let others = (sum - own) / (grown.len() - 1) as f64;
        let doubt = pair.grown_uncertainty.map_or(0.0, as_micrometres);
        if own > OUT_OF_STEP * others.max(0.0) && own - others > doubt {
            facts.push(Fact::OutOfStep {
                rows: pair.rows,
                grown: nanometres((own * 1_000.0).round() as i64),
                others: nanometres((others * 1_000.0).round() as i64),
            });
        }
    }
    facts
}

/// What was seen on the parts, as far as a rule speaks of it ([`crate::finding::Finding::asks`]).
fn found(inputs: &Inputs) -> Vec<Fact> {
    let told = inputs.findings.iter().filter(|f| f.asks() > Asks::Nothing);
    told.map(|finding| Fact::Found { finding: *finding })
        .collect()
}

/// Every criterion of a seat that is not a plain pass.
fn seats(inputs: &Inputs) -> Vec<Fact> {
    let told = inputs.seats.iter().filter(|state| {
        let verdict = state.check.conformity.verdict;
        !matches!(verdict, Verdict::Pass | Verdict::NotApplicable)
    });
    told.map(|state| Fact::Seat {
        seat: state.seat,
        check: state.check,
    })
    .collect()
}

/// Everything judged beside seats and clearance that is not a plain pass. A spacer that is ground gets new faces.
fn checks(inputs: &Inputs) -> Vec<Fact> {
    let is_ground = |check: &CheckState| {
        let Checked::SpacerFaces { pair } = check.what else {
            return false;
        };
        let mut pairs = inputs.pairs.iter();
        pairs.any(|state| state.rows == Rows::Pair(pair) && ground(inputs, state).is_some())
    };
    let told = inputs.checks.iter().filter(|check| {
        let is_plain = matches!(check.verdict, Verdict::Pass | Verdict::NotApplicable);
        !is_plain && !is_ground(check)
    });
    told.map(|check| Fact::Check { check: *check }).collect()
}

/// What nothing judges is not sound for that: a wear limit of the clearance, a size of a seat, a fit.
fn no_limit(inputs: &Inputs) -> Vec<Fact> {
    let mut facts = judged(inputs, |pair, _| {
        let what = format!("the clearance of {}", rows_words(pair.rows).to_lowercase());
        let what = match pair.rows {
            Rows::All => "the clearance".to_owned(),
            Rows::Pair(_) | Rows::One(_) => what,
        };
        let fact = pair.rework.is_none().then_some(Fact::NoLimit { what });
        fact.into_iter().collect()
    });
    let told = inputs.unlimited.iter();
    facts.extend(told.map(|what| Fact::NoLimit { what: what.clone() }));
    facts
}

/// A fit outside the designed one: which part is at fault, and by how much.
fn off_design(inputs: &Inputs) -> Vec<Fact> {
    let all = inputs.off_design.iter();
    all.map(|off| Fact::OffDesign { off: *off }).collect()
}

/// A cracked neck does not go back into the mill.
fn neck_crack(inputs: &Inputs) -> Vec<Fact> {
    let found = inputs.is_neck_cracked.then_some(Fact::NeckCracked);
    found.into_iter().collect()
}

/// A cracked inner half does not go back; the outer half may, over another one.
fn inner_crack(inputs: &Inputs) -> Vec<Fact> {
    let found = inputs.is_inner_cracked.then_some(Fact::InnerCracked);
    found.into_iter().collect()
}

/// The job goes on with a gauge that is overdue, but it decides nothing.
fn gauges(inputs: &Inputs) -> Vec<Fact> {
    let told = inputs.gauges_overdue.iter();
    told.map(|gauge| Fact::GaugeOverdue {
        gauge: gauge.clone(),
    })
    .collect()
}

/// What is missing bars release.
fn missing(inputs: &Inputs) -> Vec<Fact> {
    let told = inputs.missing.iter();
    told.map(|what| Fact::NotMeasured { what: what.clone() })
        .collect()
}

/// The least used zone whose whole loaded arc is clear ([`crate::load_zone::choose`]).
fn load_zone(inputs: &Inputs) -> Vec<Fact> {
    let fact = match inputs.zone {
        ZoneAdvice::NotAsked => None,
        ZoneAdvice::Turn { to, hours } => Some(Fact::TurnTo { to, hours }),
        ZoneAdvice::Keep { zone } => Some(Fact::KeepZone { zone }),
        ZoneAdvice::NoneClear => Some(Fact::NoZoneClear),
    };
    fact.into_iter().collect()
}
