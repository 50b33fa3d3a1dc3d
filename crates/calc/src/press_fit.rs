//! Interference fit of two cylinders: pressure, stresses, growth, force (Lamé).
//!
//! Plane stress, elastic, both parts as long as each other; the ring is taken as a plain cylinder, for a bearing
//! ring up to its raceway or mean outside diameter. Source: Shigley, Mechanical Engineering Design, "Press and
//! shrink fits" (memory); NTN CAT. No. 2203/E, 17.4, table 17.4.1, and 17.5, eq. (17.1), as in
//! `shared/reference/lame_press_fit.csv`, whose values also agree with an independent finite-element solution.

use std::{f64::consts::PI, ops::RangeInclusive};

mod method;
pub use method::METHOD;

use crate::{
    error::{CalcError, contradiction, finite, not_negative, out_of_range_mm, positive, within},
    quantity::{
        Force, Length, Pressure, Torque, as_megapascals, as_micrometres, as_millimetres,
        as_newtons, megapascals, micrometres, newton_metres, newtons,
    },
};

/// Interference kept below this share of the shaft diameter. Source: NTN CAT. No. 2203/E, 7.3, as in
/// `shared/reference/interference_rules.toml` (`ntn_max_interference_ratio`).
pub const INTERFERENCE_RATIO_MAX: f64 = 0.001;
/// Hoop stress kept below this in a bearing ring, MPa. Source: as above (`ntn_max_ring_stress_MPa`).
pub const RING_STRESS_MPA_MAX: f64 = 127.0;

/// Young's modulus of any shop material, MPa; `210` typed for `210000` lies outside.
pub(crate) const YOUNG_RANGE_MPA: RangeInclusive<f64> = 1_000.0..=1_000_000.0;
/// Poisson's ratio of an ordinary solid.
pub(crate) const POISSON_RANGE: RangeInclusive<f64> = 0.0..=0.5;
/// Coefficient of friction.
pub(crate) const FRICTION_RANGE: RangeInclusive<f64> = 0.0..=1.0;

/// An elastic material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Young's modulus.
    pub young: Pressure,
    /// Poisson's ratio.
    pub poisson: f64,
}

/// A ring pressed on a shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressFit {
    /// Diameter of the shaft, which is the joint.
    pub shaft: Length,
    /// Bore of the shaft; zero = solid.
    pub shaft_bore: Length,
    /// Outside diameter of the ring.
    pub ring_outer: Length,
    /// Effective diametral interference; zero or less = loose.
    pub interference: Length,
    /// Material of the shaft.
    pub shaft_material: Material,
    /// Material of the ring.
    pub ring_material: Material,
}

/// What an interference does; tension positive, growth and change diametral.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pressed {
    /// Pressure in the joint.
    pub pressure: Pressure,
    /// Hoop stress of the ring at its bore, the largest there.
    pub hoop_ring_inner: Pressure,
    /// Hoop stress of the ring at its outside.
    pub hoop_ring_outer: Pressure,
    /// Hoop stress of the shaft at its seat.
    pub hoop_shaft_outer: Pressure,
    /// Hoop stress of the shaft at its bore; of a solid shaft everywhere.
    pub hoop_shaft_inner: Pressure,
    /// Growth of the outside diameter of the ring.
    pub ring_outer_growth: Length,
    /// Change of the bore of the shaft, negative = smaller; zero of a solid one.
    pub shaft_bore_change: Length,
}

/// Pressure, hoop stresses and changes of diameter of an interference fit.
///
/// With `d` joint, `b` shaft bore, `D` ring outside, δ interference, all diameters:
/// `p = (δ/d) / [((d² + b²)/(d² − b²) − ν_s)/E_s + ((D² + d²)/(D² − d²) + ν_r)/E_r]`;
/// ring `σ_bore = p (D² + d²)/(D² − d²)`, `σ_outside = 2 p d²/(D² − d²)`, growth `2 p d² D / (E_r (D² − d²))`;
/// shaft `σ_seat = −p (d² + b²)/(d² − b²)`, `σ_bore = −2 p d²/(d² − b²)`, change `−2 p d² b / (E_s (d² − b²))`;
/// in a solid shaft −p everywhere (a tiny bore doubles the stress at its edge, but not the pressure).
/// No interference gives no pressure. Range: elastic; E 1,000 to 1,000,000 MPa, ν 0 to 0.5. Source: module.
///
/// # Errors
/// `OutOfRange`, `NotFinite`; `Contradiction` for a ring not larger than the shaft or a bore not smaller.
pub fn press_fit(fit: &PressFit) -> Result<Pressed, CalcError> {
    let (shaft, ring) = compliances(fit)?;
    let interference_um = as_micrometres(finite("interference", fit.interference)?);
    let (d, b, outer) = (
        as_micrometres(fit.shaft),
        as_micrometres(fit.shaft_bore),
        as_micrometres(fit.ring_outer),
    );
    let young_shaft = as_megapascals(fit.shaft_material.young);
    let young_ring = as_megapascals(fit.ring_material.young);
    let p = interference_um.max(0.0) / d / (shaft + ring);
    let ring_share = 2.0 * d * d / wall(d, outer);
    let shaft_share = 2.0 * d * d / wall(b, d);
    let stress = megapascals;
    Ok(Pressed {
        pressure: stress(p),
        hoop_ring_inner: stress(p * squares(d, outer)),
        hoop_ring_outer: stress(p * ring_share),
        hoop_shaft_outer: stress(-p * squares(b, d)),
        hoop_shaft_inner: stress(if b > 0.0 { -p * shaft_share } else { -p }),
        ring_outer_growth: micrometres(p * ring_share * outer / young_ring),
        shaft_bore_change: micrometres(-p * shaft_share * b / young_shaft),
    })
}

/// Force to push the ring along the shaft: `F = μ p π d L`.
///
/// Friction about 0.12 when pressed on, 0.18 when pulled off (NTN CAT. No. 2203/E, 17.5, cylindrical shafts).
///
/// # Errors
/// `OutOfRange` for a length of zero or less or a friction outside 0 to 1, `NotFinite`.
pub fn axial_force(
    pressure: Pressure,
    joint: Length,
    width: Length,
    friction: f64,
) -> Result<Force, CalcError> {
    positive("shaft", joint)?;
    positive("width", width)?;
    within("friction", friction, &FRICTION_RANGE, "")?;
    let mpa = within("pressure", as_megapascals(pressure), &(0.0..=1e9), "MPa")?;
    let area_mm2 = PI * as_millimetres(joint) * as_millimetres(width);
    Ok(newtons(friction * mpa * area_mm2))
}

/// Torque at which the joint slips: `T = F d / 2`, with the axial force as force of friction.
///
/// # Errors
/// `OutOfRange` for a joint of zero or less, `NotFinite`.
pub fn slip_torque(axial_force: Force, joint: Length) -> Result<Torque, CalcError> {
    positive("shaft", joint)?;
    let force_n = within("force", as_newtons(axial_force), &(0.0..=1e30), "N")?;
    Ok(newton_metres(
        force_n * as_millimetres(joint) / 2.0 / 1_000.0,
    ))
}

/// How far shaft and ring give way, each as strain of the joint per pressure, 1/MPa.
fn compliances(fit: &PressFit) -> Result<(f64, f64), CalcError> {
    positive("shaft", fit.shaft)?;
    not_negative("shaft_bore", fit.shaft_bore)?;
    positive("ring_outer", fit.ring_outer)?;
    if fit.shaft_bore >= fit.shaft {
        let allowed = format!("0 up to below the shaft of {}", as_millimetres(fit.shaft));
        return Err(out_of_range_mm("shaft_bore", fit.shaft_bore, &allowed));
    }
    if fit.ring_outer <= fit.shaft {
        return Err(contradiction(
            "ring_outer",
            "the ring is not larger than the shaft",
        ));
    }
    let (d, b, outer) = (
        as_micrometres(fit.shaft),
        as_micrometres(fit.shaft_bore),
        as_micrometres(fit.ring_outer),
    );
    let of = |part: &str, material: &Material| {
        let young = as_megapascals(material.young);
        within(&format!("young_{part}"), young, &YOUNG_RANGE_MPA, "MPa")?;
        let poisson = material.poisson;
        within(&format!("poisson_{part}"), poisson, &POISSON_RANGE, "")?;
        Ok::<_, CalcError>((young, poisson))
    };
    let (young_shaft, poisson_shaft) = of("shaft", &fit.shaft_material)?;
    let (young_ring, poisson_ring) = of("ring", &fit.ring_material)?;
    Ok((
        (squares(b, d) - poisson_shaft) / young_shaft,
        (squares(d, outer) + poisson_ring) / young_ring,
    ))
}

/// `outer² − inner²`, as a product, so that a thin wall keeps its digits.
fn wall(inner: f64, outer: f64) -> f64 {
    (outer - inner) * (outer + inner)
}

/// `(outer² + inner²) / (outer² − inner²)`.
fn squares(inner: f64, outer: f64) -> f64 {
    (outer * outer + inner * inner) / wall(inner, outer)
}

#[cfg(test)]
mod tests;
