//! The stack of a four-row tapered roller bearing: end play per row pair, spacer grinding, stack changes.
//!
//! All in integer nanometres inside. Rules: `shared/reference/bench_four_row_trb.toml` (owner's manual, in
//! own words); the target is the drawing tolerance or the type's own.

mod cover;
mod method;
mod seating;
mod shim;
mod swapped;

pub use cover::METHOD as COVER_SHIM;
pub use method::METHOD;
pub use seating::METHOD as SEATING;
pub use shim::{
    AssembledPair, ShimPlace, SpacerChange, StackChange, SwappedSpacers, cover_pack,
    cover_shim_after, exchanged_since, exchanged_widths, stack_change, suspect_swapped,
};
pub use swapped::METHOD as SWAPPED_SPACERS;

use crate::{
    conformity::Verdict,
    error::{CalcError, contradiction, finite, missing, positive},
    quantity::{Length, nanometres, to_nanometres},
};

/// Between which rings a spacer lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StackRing {
    /// Between outer rings.
    Outer,
    /// Between inner rings.
    Inner,
}

/// The usual ring of a spacer counted from the barrel, from 0: outer, inner, outer.
pub fn default_ring(index: usize) -> StackRing {
    if index.is_multiple_of(2) {
        StackRing::Outer
    } else {
        StackRing::Inner
    }
}

/// How the clearance of a pair is known.
#[derive(Debug, Clone, PartialEq)]
pub enum PairReading {
    /// Gaps read round the ring in the seated stack without spacers.
    Gaps(Vec<Length>),
    /// The clearance itself.
    Clearance(Length),
}

/// One row pair with its spacer and target.
#[derive(Debug, Clone, PartialEq)]
pub struct StackPair {
    /// Width of the spacer as measured.
    pub spacer: Length,
    /// Gaps or clearance.
    pub reading: PairReading,
    /// Smallest clearance of the target.
    pub target_min: Length,
    /// Largest clearance of the target.
    pub target_max: Length,
    /// Smallest width the spacer may be ground to.
    pub min_spacer: Length,
    /// Between which rings the spacer lies.
    pub ring: StackRing,
}

/// Why a pair cannot be set by grinding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refusal {
    /// The clearance is below the target: the spacer would need to be thicker.
    BelowTarget,
    /// The spacer would come out thinner than allowed.
    SpacerUnderMinimum {
        /// The width it would have.
        would_be: Length,
    },
    /// No whole number of grinding steps ends inside the target.
    StepTooCoarse,
}

/// What to do with one pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairPlan {
    /// Clearance now.
    pub clearance: Length,
    /// Mean of the gaps, where gaps were read.
    pub mean_gap: Option<Length>,
    /// Largest minus smallest gap, where gaps were read.
    pub gap_spread: Option<Length>,
    /// How much to grind off; `None` where refused.
    pub grind: Option<Length>,
    /// Width of the spacer after grinding; `None` where refused.
    pub new_spacer: Option<Length>,
    /// Clearance after grinding; `None` where refused.
    pub new_clearance: Option<Length>,
    /// Pass: inside the target, now or after grinding. Fail: refused.
    pub verdict: Verdict,
    /// Why it is refused.
    pub refusal: Option<Refusal>,
}

/// What to do with the whole stack.
#[derive(Debug, Clone, PartialEq)]
pub struct StackPlan {
    /// The pairs in their order from the barrel.
    pub pairs: Vec<PairPlan>,
    /// Change of the length of the outer stack, negative = shorter; `None` where one of its pairs is refused.
    pub outer_change: Option<Length>,
    /// The same for the inner stack.
    pub inner_change: Option<Length>,
}

/// Mean of the gaps read round the ring, to the nanometre, half away from zero.
///
/// Four places 90 degrees apart are usual. Source: `bench_four_row_trb.toml`, `gap_measurement`.
///
/// # Errors
/// `Missing` for no gap, `OutOfRange` or `NotFinite` for one that is no length above 0.
pub fn mean_gap(gaps: &[Length]) -> Result<Length, CalcError> {
    let gaps_nm = checked_gaps(gaps)?;
    let (sum, count) = (
        gaps_nm.iter().sum::<i64>(),
        gaps_nm.iter().map(|_| 1).sum::<i64>(),
    );
    Ok(nanometres((2 * sum + count) / (2 * count)))
}

/// Largest minus smallest gap; a wide spread means that the stack is not seated.
///
/// # Errors
/// Those of [`mean_gap`].
pub fn gap_spread(gaps: &[Length]) -> Result<Length, CalcError> {
    let gaps_nm = checked_gaps(gaps)?;
    let (largest, smallest) = (gaps_nm.iter().max(), gaps_nm.iter().min());
    Ok(nanometres(
        largest
            .zip(smallest)
            .map(|(largest, smallest)| largest - smallest)
            .unwrap_or_default(),
    ))
}

fn checked_gaps(gaps: &[Length]) -> Result<Vec<i64>, CalcError> {
    if gaps.is_empty() {
        return Err(missing("gaps", "at least one gap"));
    }
    let checked = |(place, &gap)| positive(&format!("gaps[{place}]"), gap).map(to_nanometres);
    gaps.iter().enumerate().map(checked).collect()
}

/// Largest spread of a seated stack, in micrometres, where the type names none. Common practice, no source.
pub const USUAL_SPREAD_UM: f64 = 50.0;

/// Whether the gaps agree well enough: a spread up to and including the limit of the type.
///
/// If not: turn and repeat; a spread that stays is one-sided wear. Common practice, no source.
pub fn is_seated(spread: Length, limit: Length) -> bool {
    to_nanometres(spread) <= to_nanometres(limit)
}

/// End play of the two rows beside a spacer: spacer width − mean gap; positive = clearance.
///
/// Source: `bench_four_row_trb.toml`, `end_play`.
pub fn end_play(spacer: Length, mean_gap: Length) -> Length {
    nanometres(to_nanometres(spacer) - to_nanometres(mean_gap))
}

/// Grinding plan of a stack.
///
/// Per pair: `clearance = spacer − mean gap`; `grind = clearance − midpoint of the target`, floored to
/// `step`, one step more if that leaves the clearance above the target; inside the target already: nothing
/// to grind. Refused: below the target, or a spacer under its minimum. What is ground off a spacer comes
/// off the clearance and off the stack it lies in.
/// Source: `bench_four_row_trb.toml`, `grind_off`; rounding and refusals: common practice, no source.
///
/// # Errors
/// `OutOfRange` or `NotFinite` for a width, gap, target or step; `Contradiction` for a target turned round;
/// `Missing` for no pair or no gap. The input is named as `pairs[1].gaps[0]`.
pub fn stack(pairs: &[StackPair], step: Length) -> Result<StackPlan, CalcError> {
    let step_nm = to_nanometres(positive("step", step)?);
    if step_nm == 0 {
        return Err(crate::error::out_of_range_mm(
            "step",
            step,
            "0.000001 or more",
        ));
    }
    if pairs.is_empty() {
        return Err(missing("pairs", "at least one row pair"));
    }
    let plan = |(index, pair)| {
        plan_pair(pair, step_nm).map_err(|error| error.at(&format!("pairs[{index}]")))
    };
    let plans: Vec<PairPlan> = pairs
        .iter()
        .enumerate()
        .map(plan)
        .collect::<Result<_, _>>()?;
    let change = |ring: StackRing| {
        let of_ring = pairs
            .iter()
            .zip(&plans)
            .filter(|(pair, _)| pair.ring == ring);
        let ground: Option<Vec<i64>> = of_ring
            .map(|(_, plan)| plan.grind.map(to_nanometres))
            .collect();
        ground.map(|ground| nanometres(-ground.iter().sum::<i64>()))
    };
    let (outer_change, inner_change) = (change(StackRing::Outer), change(StackRing::Inner));
    Ok(StackPlan {
        pairs: plans,
        outer_change,
        inner_change,
    })
}

fn plan_pair(pair: &StackPair, step_nm: i64) -> Result<PairPlan, CalcError> {
    let spacer_nm = to_nanometres(positive("spacer", pair.spacer)?);
    let min_spacer_nm = to_nanometres(positive("min_spacer", pair.min_spacer)?);
    let target_min_nm = to_nanometres(finite("target_min", pair.target_min)?);
    let target_max_nm = to_nanometres(finite("target_max", pair.target_max)?);
    if target_min_nm > target_max_nm {
        return Err(contradiction(
            "target_min",
            "the smallest clearance of the target is above the largest",
        ));
    }
    let (mean, spread, clearance_nm) = match &pair.reading {
        PairReading::Clearance(clearance) => {
            (None, None, to_nanometres(finite("clearance", *clearance)?))
        }
        PairReading::Gaps(gaps) => {
            let mean = mean_gap(gaps)?;
            (
                Some(mean),
                Some(gap_spread(gaps)?),
                spacer_nm - to_nanometres(mean),
            )
        }
    };
    let outcome = grind_nm(clearance_nm, target_min_nm, target_max_nm, step_nm).and_then(|grind| {
        let new_spacer = spacer_nm - grind;
        // A spacer that stays as it is, is not refused for its width by a grinding rule.
        if grind > 0 && new_spacer < min_spacer_nm {
            return Err(Refusal::SpacerUnderMinimum {
                would_be: nanometres(new_spacer),
            });
        }
        Ok(grind)
    });
    let grind = outcome.ok();
    Ok(PairPlan {
        clearance: nanometres(clearance_nm),
        mean_gap: mean,
        gap_spread: spread,
        grind: grind.map(nanometres),
        new_spacer: grind.map(|grind| nanometres(spacer_nm - grind)),
        new_clearance: grind.map(|grind| nanometres(clearance_nm - grind)),
        verdict: Verdict::pass_if(grind.is_some()),
        refusal: outcome.err(),
    })
}

fn grind_nm(clearance: i64, target_min: i64, target_max: i64, step: i64) -> Result<i64, Refusal> {
    if clearance < target_min {
        return Err(Refusal::BelowTarget);
    }
    if clearance <= target_max {
        return Ok(0);
    }
    // Twice the amount, so that a midpoint of half a nanometre stays whole; positive, so division floors.
    let mut grind = (2 * clearance - target_min - target_max) / (2 * step) * step;
    if clearance - grind > target_max {
        grind += step;
    }
    if clearance - grind < target_min {
        Err(Refusal::StepTooCoarse)
    } else {
        Ok(grind)
    }
}

#[cfg(test)]
mod tests;
