//! What follows from ground spacers: stack changes from measured widths, cover shims, swapped spacers.

use super::StackRing;
use crate::{
    error::{CalcError, finite, not_negative},
    quantity::{Length, nanometres, to_nanometres},
};

/// A spacer before and after grinding, both as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpacerChange {
    /// Between which rings it lies.
    pub ring: StackRing,
    /// Width before.
    pub before: Length,
    /// Width after.
    pub after: Length,
}

/// Change of the stack lengths, negative = shorter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StackChange {
    /// Outer rings and spacers: the cover shims follow from it.
    pub outer: Length,
    /// Inner rings and spacers: the axial retention on the neck needs a check where it changed.
    pub inner: Length,
}

/// Change of the stacks from measured widths: the sum of after − before per ring.
pub fn stack_change(spacers: &[SpacerChange]) -> StackChange {
    let change = |ring: StackRing| {
        let of_ring = spacers.iter().filter(|spacer| spacer.ring == ring);
        nanometres(
            of_ring
                .map(|spacer| to_nanometres(spacer.after) - to_nanometres(spacer.before))
                .sum(),
        )
    };
    StackChange {
        outer: change(StackRing::Outer),
        inner: change(StackRing::Inner),
    }
}

/// Where the shims of the cover lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShimPlace {
    /// Under the cover flange: a shorter stack needs a thinner pack.
    UnderFlange,
    /// Between cover and outer ring: a shorter stack needs a thicker pack.
    BetweenCoverAndRing,
}

/// Shim pack of the cover after the outer stack changed by `outer_change` (negative = shorter).
///
/// Under the flange: `new = old + change`; between cover and ring: `new = old − change`. The gap measured
/// at four places decides in the end. Common practice, no source (geometry).
///
/// # Errors
/// `MachineCover` where the pack would fall below zero; `OutOfRange` or `NotFinite` for an input.
pub fn cover_shim_after(
    old: Length,
    outer_change: Length,
    place: ShimPlace,
) -> Result<Length, CalcError> {
    let old_nm = to_nanometres(not_negative("old_shim", old)?);
    let change_nm = to_nanometres(finite("outer_change", outer_change)?);
    let new_nm = match place {
        ShimPlace::UnderFlange => old_nm + change_nm,
        ShimPlace::BetweenCoverAndRing => old_nm - change_nm,
    };
    if new_nm < 0 {
        return Err(CalcError::MachineCover {
            input: "old_shim".to_owned(),
            missing: nanometres(-new_nm),
        });
    }
    Ok(nanometres(new_nm))
}

/// A pair as assembled, for the check on swapped spacers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AssembledPair {
    /// Between which rings its spacer lies.
    pub ring: StackRing,
    /// Width of the spacer that is in, where measured.
    pub spacer: Option<Length>,
    /// Clearance found.
    pub clearance: Length,
    /// Smallest clearance of the target.
    pub target_min: Length,
    /// Largest clearance of the target.
    pub target_max: Length,
}

/// Two spacers that look swapped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwappedSpacers {
    /// The pair that is too tight (place in the list).
    pub small: usize,
    /// The pair that is too loose.
    pub large: usize,
    /// Clearances of both after changing the spacers over, where both widths are known.
    pub after: Option<(Length, Length)>,
}

/// Looks for two spacers of the same ring that were swapped.
///
/// One pair is below its target, another above, and the sum of both is normal (inside the sum of their
/// targets); where both widths are known, changing them over must bring both pairs inside. Common
/// practice, no source (arithmetic).
pub fn suspect_swapped(pairs: &[AssembledPair]) -> Option<SwappedSpacers> {
    let places = 0..pairs.len();
    places
        .clone()
        .flat_map(|small| places.clone().map(move |large| (small, large)))
        .find_map(|(small, large)| {
            let (tight, loose) = (&pairs[small], &pairs[large]);
            let is_below = to_nanometres(tight.clearance) < to_nanometres(tight.target_min);
            let is_above = to_nanometres(loose.clearance) > to_nanometres(loose.target_max);
            if tight.ring != loose.ring || !is_below || !is_above {
                return None;
            }
            let Some((tight_width, loose_width)) = tight.spacer.zip(loose.spacer) else {
                let sum = tight.clearance + loose.clearance;
                let is_normal = inside(
                    sum,
                    tight.target_min + loose.target_min,
                    tight.target_max + loose.target_max,
                );
                return is_normal.then_some(SwappedSpacers {
                    small,
                    large,
                    after: None,
                });
            };
            let wider = loose_width - tight_width;
            let after = (tight.clearance + wider, loose.clearance - wider);
            let both_fit = inside(after.0, tight.target_min, tight.target_max)
                && inside(after.1, loose.target_min, loose.target_max);
            both_fit.then_some(SwappedSpacers {
                small,
                large,
                after: Some(after),
            })
        })
}

fn inside(value: Length, min: Length, max: Length) -> bool {
    (to_nanometres(min)..=to_nanometres(max)).contains(&to_nanometres(value))
}
