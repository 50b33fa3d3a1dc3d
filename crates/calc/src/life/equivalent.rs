//! Equivalent load of a bearing under radial and axial force, and of the share that a campaign does.

use super::{FORCE_RANGE_N, positive_force};
use crate::{
    error::{CalcError, contradiction, within},
    quantity::{Force, as_newtons, newtons},
};

/// `Y` below `e`, times `e`: `0.45 cot α` with `e = 1.5 tan α`.
const Y_BELOW: f64 = 0.45 * 1.5;
/// `X` above `e`.
const X_ABOVE: f64 = 0.67;
/// `Y` above `e`, times `e`: `0.67 cot α` with `e = 1.5 tan α`.
const Y_ABOVE: f64 = 0.67 * 1.5;
/// Values of `e` that a radial roller bearing can have.
const E_RANGE: std::ops::RangeInclusive<f64> = 0.01..=3.0;

/// Equivalent dynamic load of a radial roller bearing of several rows that takes axial force both ways.
///
/// `F_a ≤ e F_r`: `P = F_r + (0.45 cot α) F_a`; beyond it `P = 0.67 F_r + (0.67 cot α) F_a`; `e = 1.5 tan α`. Both meet
/// where `F_a = e F_r`. Without `e` the bearing takes no axial force (cylindrical rollers, or a thrust bearing stands
/// beside it): `P = F_r`. Range: `e` 0.01 to 3.
/// Source: ISO 281:2007, factors X and Y of double-row tapered and of spherical roller bearings (memory).
///
/// # Errors
/// `OutOfRange` or `NotFinite` for a force or `e`; `Contradiction` where neither force acts.
pub fn equivalent_load(radial: Force, axial: Force, e: Option<f64>) -> Result<Force, CalcError> {
    let radial_n = within("radial", as_newtons(radial), &FORCE_RANGE_N, "N")?;
    let axial_n = within("axial", as_newtons(axial), &FORCE_RANGE_N, "N")?;
    let load_n = match e {
        None => radial_n,
        Some(e) => {
            let e = within("e", e, &E_RANGE, "")?;
            if axial_n <= e * radial_n {
                radial_n + Y_BELOW / e * axial_n
            } else {
                X_ABOVE * radial_n + Y_ABOVE / e * axial_n
            }
        }
    };
    if load_n > 0.0 {
        return Ok(newtons(load_n));
    }
    Err(contradiction(
        "radial",
        "no force acts on the bearing: no life follows".to_owned(),
    ))
}

/// Equivalent dynamic load of a thrust roller bearing that takes no radial force: `P = F_a`.
///
/// Source: ISO 281:2007 (memory).
///
/// # Errors
/// `OutOfRange` or `NotFinite` for a force that is not above 0.
pub fn thrust_load(axial: Force) -> Result<Force, CalcError> {
    positive_force("axial", axial).map(newtons)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn load(radial_n: f64, axial_n: f64, e: Option<f64>) -> f64 {
        as_newtons(equivalent_load(newtons(radial_n), newtons(axial_n), e).unwrap())
    }

    /// X and Y of ISO 281:2007 at a contact angle of 15 degrees (memory): e = 1.5 tan 15 = 0.40192, Y = 0.45 cot 15 =
    /// 1.67942 and 0.67 cot 15 = 2.50048.
    #[test]
    fn the_factors_are_those_of_the_contact_angle() {
        let e = Some(0.401_923_8);
        assert!((load(600_000.0, 0.0, e) - 600_000.0).abs() < 1e-6);
        assert!((load(600_000.0, 30_000.0, e) - (600_000.0 + 1.679_423 * 30_000.0)).abs() < 1.0);
        let beyond = 0.67 * 100_000.0 + 2.500_474 * 80_000.0;
        assert!((load(100_000.0, 80_000.0, e) - beyond).abs() < 1.0);
        assert!((load(500_000.0, 90_000.0, None) - 500_000.0).abs() < 1e-6);
    }

    #[test]
    fn both_branches_meet_and_no_force_is_no_load() {
        let at = |share: f64| load(1_000.0, 400.0 * share, Some(0.4));
        assert!((at(1.0) - at(1.0 + 1e-12)).abs() < 1e-6);
        let none = equivalent_load(newtons(0.0), newtons(0.0), Some(0.4));
        assert!(matches!(none, Err(CalcError::Contradiction { .. })));
        assert!(thrust_load(newtons(0.0)).is_err());
    }
}
