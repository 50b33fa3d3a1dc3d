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

/// Pack of shims that a cover gap asks for, so that the cover holds the outer rings by `hold`; below zero the cover has
/// to be machined.
///
/// Rings seated, no shims, the cover drawn up by hand until it stops; `gap` is then what is open at the place of the
/// shims. Under the flange the cover stops at the rings and the gap is open at the flange: a pack as thick as the gap only
/// touches the rings, and a thinner one lets the bolts press the cover onto them, so `pack = gap − hold`. Between cover
/// and ring it stops at its flange and the gap is open at the rings: a pack as thick as the gap only touches them, and a
/// thicker one is what the bolts press on, so `pack = gap + hold`. Common practice, no source (geometry).
pub fn cover_pack(gap: Length, hold: Length, place: ShimPlace) -> Length {
    let (gap_nm, hold_nm) = (to_nanometres(gap), to_nanometres(hold));
    nanometres(match place {
        ShimPlace::UnderFlange => gap_nm - hold_nm,
        ShimPlace::BetweenCoverAndRing => gap_nm + hold_nm,
    })
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

/// Looks for two spacers of the same ring that have changed places since their widths were measured last: each has the
/// width that the other had, within `near`, and the widths differed by more than `least`. Answers the places in the list, the
/// one that got the thinner spacer first. Common practice, no source (arithmetic).
pub fn exchanged_widths(
    last: &[Option<Length>],
    now: &[Option<Length>],
    (near, least): (Length, Length),
) -> Option<[usize; 2]> {
    let (near_nm, least_nm) = (to_nanometres(near), to_nanometres(least));
    let nm =
        |all: &[Option<Length>], place: usize| all.get(place).copied().flatten().map(to_nanometres);
    same_ring(now.len()).find(|&[small, large]| {
        let were = nm(last, small).zip(nm(last, large));
        let are = nm(now, small).zip(nm(now, large));
        were.zip(are).is_some_and(|((a, b), (c, d))| {
            a - b > least_nm && (c - b).abs() <= near_nm && (d - a).abs() <= near_nm
        })
    })
}

/// The same from clearances as they were left last and as they are now: one pair lost what another of the same ring
/// gained, within `near`, and more than `least`. Where the widths that were in last are known, what it lost is what they
/// differ by. Common practice, no source (arithmetic).
pub fn exchanged_since(
    last: &[(Option<Length>, Option<Length>)],
    now: &[Option<Length>],
    (near, least): (Length, Length),
) -> Option<[usize; 2]> {
    let (near_nm, least_nm) = (to_nanometres(near), to_nanometres(least));
    let grown = |place: usize| {
        let before = last.get(place)?.0?;
        Some(to_nanometres(now.get(place).copied().flatten()?) - to_nanometres(before))
    };
    let width = |place: usize| last.get(place)?.1.map(to_nanometres);
    same_ring(now.len()).find(|&[small, large]| {
        let Some((lost, gained)) = grown(small).zip(grown(large)) else {
            return false;
        };
        let explains = width(small)
            .zip(width(large))
            .is_none_or(|(a, b)| (a - b - gained).abs() <= near_nm);
        lost < -least_nm && gained > least_nm && (lost + gained).abs() <= near_nm && explains
    })
}

/// Every ordered two places of a stack whose spacers lie between the same rings.
fn same_ring(count: usize) -> impl Iterator<Item = [usize; 2]> {
    let all = (0..count).flat_map(move |a| (0..count).map(move |b| [a, b]));
    all.filter(|[a, b]| a != b && super::default_ring(*a) == super::default_ring(*b))
}

fn inside(value: Length, min: Length, max: Length) -> bool {
    (to_nanometres(min)..=to_nanometres(max)).contains(&to_nanometres(value))
}
