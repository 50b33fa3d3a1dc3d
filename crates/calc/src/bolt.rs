//! Bolts of covers and keepers: assembly preload and tightening torque after VDI 2230.
//!
//! Formulas and constants: VDI 2230 Part 1 (2003, 2015), ISO 724, ISO 898-1:2013, ISO 4014, ISO 273 (all from
//! memory), kept in `shared/reference/bolts_vdi2230.toml`. Beyond M39 the printed tables of VDI 2230 end: formula
//! only. Other handbooks use another utilisation or another yield and differ by 5 to 10 %: do not mix.

use std::{f64::consts::PI, ops::RangeInclusive};

mod method;
mod thread;

pub use method::METHOD;
pub use thread::{PropertyClass, Strength, Thread};

use crate::{
    error::{CalcError, within},
    quantity::{
        Force, Pressure, Torque, as_megapascals, as_millimetres, as_newtons, as_square_millimetres,
        megapascals, newton_metres, newtons,
    },
};

/// Utilisation of the yield when tightened with a torque wrench. Source: VDI 2230 Part 1 (memory).
pub const UTILISATION: f64 = 0.9;
/// Friction in the thread and under the head.
pub(crate) const FRICTION_RANGE: RangeInclusive<f64> = 0.01..=1.0;
/// Share of the yield; 1 is the yield itself.
pub(crate) const UTILISATION_RANGE: RangeInclusive<f64> = 0.01..=1.0;

/// A bolt and how it is tightened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bolt {
    /// Its thread and head.
    pub thread: Thread,
    /// Property class of ISO 898-1.
    pub class: PropertyClass,
    /// Friction in the thread, μ_G.
    pub friction_thread: f64,
    /// Friction under the head, μ_K.
    pub friction_head: f64,
    /// Share of the 0.2 % yield that tension and torsion together use.
    pub utilisation: f64,
}

/// A tightened bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightened {
    /// Tensile stress at assembly.
    pub stress: Pressure,
    /// Assembly preload, the largest of the scatter.
    pub preload: Force,
    /// Tightening torque.
    pub torque: Torque,
    /// Share of the torque that stretches the bolt; the rest is friction of thread and head.
    pub stretching_share: f64,
}

/// Assembly preload and tightening torque of a bolt with hexagon head.
///
/// `σ_M = ν R_p0.2 / √(1 + 3 (1.5 (d₂/d_s) (P/(π d₂) + 1.155 μ_G))²)`, `F_M = σ_M A_s`,
/// `M_A = F_M (0.16 P + 0.58 d₂ μ_G + D_Km μ_K / 2)`, `D_Km = (d_w + d_h) / 2`.
/// Range: sizes and classes of `shared/reference/bolts_vdi2230.toml`, M12 to M48; μ 0.01 to 1; ν 0.01 to 1.
/// Source: VDI 2230 Part 1 (memory), checked against `shared/reference/bolts_vdi2230_coarse.csv`.
///
/// # Errors
/// `OutOfRange` for friction or utilisation, `NotFinite`.
pub fn tighten(bolt: &Bolt) -> Result<Tightened, CalcError> {
    let mu_g = within("friction_thread", bolt.friction_thread, &FRICTION_RANGE, "")?;
    let mu_k = within("friction_head", bolt.friction_head, &FRICTION_RANGE, "")?;
    let utilisation = within("utilisation", bolt.utilisation, &UTILISATION_RANGE, "")?;
    let thread = &bolt.thread;
    let pitch = as_millimetres(thread.pitch);
    let d2 = as_millimetres(thread.pitch_diameter());
    let ds = as_millimetres(thread.stress_diameter());
    let dkm = as_millimetres(thread.head_friction_diameter());
    let yield_mpa = as_megapascals(bolt.class.strength(thread.nominal).yield_02);
    let torsion = 1.5 * (d2 / ds) * (pitch / (PI * d2) + 1.155 * mu_g);
    let stress = megapascals(utilisation * yield_mpa / (1.0 + 3.0 * torsion * torsion).sqrt());
    let preload_n = as_megapascals(stress) * as_square_millimetres(thread.stress_area());
    let stretching_mm = 0.16 * pitch;
    let arm_mm = stretching_mm + 0.58 * d2 * mu_g + dkm / 2.0 * mu_k;
    Ok(Tightened {
        stress,
        preload: newtons(preload_n),
        torque: newton_metres(preload_n * arm_mm / 1_000.0),
        stretching_share: stretching_mm / arm_mm,
    })
}

/// Proof load of a bolt: `A_s · S_p`, below which it shows no lasting stretch. Source: ISO 898-1:2013, Table 5
/// (memory).
pub fn proof_load(thread: &Thread, class: PropertyClass) -> Force {
    let proof = as_megapascals(class.strength(thread.nominal).proof);
    newtons(proof * as_square_millimetres(thread.stress_area()))
}

/// Torque by which the same bolt is tightened to another preload: torque and preload are proportional.
///
/// # Errors
/// `OutOfRange` for a preload below zero or above that of full yield, `NotFinite`.
pub fn torque_for(bolt: &Bolt, preload: Force) -> Result<Torque, CalcError> {
    let full = tighten(&Bolt {
        utilisation: 1.0,
        ..*bolt
    })?;
    let full_n = as_newtons(full.preload);
    let preload_n = within("preload", as_newtons(preload), &(0.0..=full_n), "N")?;
    Ok(full.torque * (preload_n / full_n))
}

#[cfg(test)]
mod tests;
