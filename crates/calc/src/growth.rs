//! Growth of a clearance: times as set, limit of a pair, growth per 1,000 h, straight estimate.
//!
//! Plain facts about two readings. A forecast with its interval needs the other bearings too and is not made here.

mod method;
pub use method::METHOD;

use crate::{
    error::{CalcError, contradiction, finite, positive},
    quantity::{
        Length, Time, as_hours, as_micrometres, hours, micrometres, nanometres, to_nanometres,
    },
};

/// Factor on the value as set at which a pair is reground.
/// Source: owner's manual rule in `shared/reference/bench_four_row_trb.toml` (`regrind_threshold`).
pub const REGRIND_FACTOR: f64 = 2.0;

/// A clearance and how it was measured; methods are compared, never interpreted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading<M> {
    /// The clearance.
    pub clearance: Length,
    /// Method, and all else that makes two readings alike (seating load, mounted or on the bench).
    pub method: M,
}

/// How many times the value as set the clearance is now.
///
/// `ratio = now / as set`. `None` where the two were measured by unlike methods: the verdict is then
/// missing, "measured another way". Range: as set above 0. Source: common practice, no source; factor 2 in
/// `shared/reference/bench_four_row_trb.toml`.
///
/// # Errors
/// `OutOfRange` for a value as set of zero or less, `NotFinite`.
pub fn times_as_set<M: PartialEq>(
    now: &Reading<M>,
    as_set: &Reading<M>,
) -> Result<Option<f64>, CalcError> {
    finite("clearance", now.clearance)?;
    positive("as_set", as_set.clearance)?;
    let ratio = as_micrometres(now.clearance) / as_micrometres(as_set.clearance);
    if !ratio.is_finite() {
        return Err(CalcError::NotFinite {
            input: "as_set".to_owned(),
        });
    }
    Ok((now.method == as_set.method).then_some(ratio))
}

/// Limit of a row pair: the smaller of the type's rework value and `factor` times the value as set.
///
/// Rounded to stored nanometres, half away from zero. `None` where neither is known.
/// Source: factor 2 from `shared/reference/bench_four_row_trb.toml`; the rework value is the type's own.
///
/// # Errors
/// `OutOfRange` for a factor not above 1 or a value of zero or less, `NotFinite`.
pub fn pair_limit(
    rework: Option<Length>,
    factor: f64,
    as_set: Option<Length>,
) -> Result<Option<Length>, CalcError> {
    if !factor.is_finite() {
        return Err(CalcError::NotFinite {
            input: "factor".to_owned(),
        });
    }
    if factor <= 1.0 {
        let allowed = "above 1".to_owned();
        return Err(CalcError::OutOfRange {
            input: "factor".to_owned(),
            value: factor,
            unit: "",
            allowed,
        });
    }
    let rework_nm = rework
        .map(|length| positive("rework", length))
        .transpose()?
        .map(to_nanometres);
    let grown_nm = as_set
        .map(|length| positive("as_set", length))
        .transpose()?
        .map(|length| to_nanometres(micrometres(as_micrometres(length) * factor)));
    Ok(rework_nm.into_iter().chain(grown_nm).min().map(nanometres))
}

/// A clearance at a running time of the bearing's own counter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Running time at the reading.
    pub running: Time,
    /// The clearance read.
    pub clearance: Length,
}

/// Growth per 1,000 running hours between two readings of one segment.
///
/// `g = (c₂ − c₁) / (t₂ − t₁) · 1,000 h`; negative where the clearance shrank. Common practice, no source.
///
/// # Errors
/// `Contradiction` where the later reading is not later, `NotFinite`.
pub fn per_1000_hours(earlier: Point, later: Point) -> Result<Length, CalcError> {
    let elapsed_h = as_hours(later.running) - as_hours(earlier.running);
    if !elapsed_h.is_finite() {
        return Err(CalcError::NotFinite {
            input: "running".to_owned(),
        });
    }
    if elapsed_h <= 0.0 {
        return Err(contradiction(
            "running",
            "no running time passed between the two readings",
        ));
    }
    let grown = finite("clearance", later.clearance)? - finite("clearance", earlier.clearance)?;
    finite(
        "clearance",
        micrometres(as_micrometres(grown) / elapsed_h * 1_000.0),
    )
}

/// Where the straight line through two readings meets a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Crossing {
    /// At this running time of the bearing's counter.
    At(Time),
    /// The later reading is at the limit or above.
    AlreadyReached,
    /// The clearance did not grow between the two: the line never gets there.
    NotGrowing,
}

/// Two-point estimate of the running time at which a limit is reached.
///
/// `t = t₂ + (limit − c₂) / g` with the growth `g` of [`per_1000_hours`]. Two points always fit a line, so
/// this has no interval and is shown as plain arithmetic, never as a forecast. Common practice, no source.
///
/// # Errors
/// Those of [`per_1000_hours`]; `NotFinite` for the limit or a crossing beyond all numbers.
pub fn straight_estimate(
    earlier: Point,
    later: Point,
    limit: Length,
) -> Result<Crossing, CalcError> {
    let growth_um = as_micrometres(per_1000_hours(earlier, later)?);
    let left_nm = to_nanometres(finite("limit", limit)?) - to_nanometres(later.clearance);
    if left_nm <= 0 {
        return Ok(Crossing::AlreadyReached);
    }
    if growth_um <= 0.0 {
        return Ok(Crossing::NotGrowing);
    }
    let at_h = as_hours(later.running) + left_nm as f64 / 1_000.0 / growth_um * 1_000.0;
    if at_h.is_finite() {
        Ok(Crossing::At(hours(at_h)))
    } else {
        Err(CalcError::NotFinite {
            input: "limit".to_owned(),
        })
    }
}

#[cfg(test)]
mod tests;
