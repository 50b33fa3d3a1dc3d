//! Radial clearance of tapered roller bearings from the end play of a row pair, and the clearance group it lies in.

mod method;

pub use method::METHOD;

use std::sync::OnceLock;

use crate::{
    error::{CalcError, finite, positive, within},
    quantity::{Angle, Length, as_degrees, as_micrometres, as_millimetres, micrometres},
};

const GROUPS: &str = include_str!("../../../shared/reference/trb_radial_clearance.csv");

/// Contact angles of tapered roller bearings and more, degrees.
pub(crate) const CONTACT_ANGLE_DEG: std::ops::RangeInclusive<f64> = 1.0..=60.0;

/// Diametral clearance that belongs to an end play: `end play · tan α`.
///
/// Two rows whose contact lines open against each other: the pair touches when the inner ring is moved along by half
/// the end play, or across by half the clearance; both close the same gap between roller and raceway.
/// Range: contact angle 1 to 60 degrees. Geometry, from memory; the angle is that of the outer raceway.
///
/// # Errors
/// `OutOfRange` or `NotFinite` for the end play or the angle.
pub fn radial_from_axial(end_play: Length, contact_angle: Angle) -> Result<Length, CalcError> {
    let axial_um = as_micrometres(finite("end_play", end_play)?);
    let angle = as_degrees(contact_angle);
    let angle = within("contact_angle", angle, &CONTACT_ANGLE_DEG, "°")?;
    Ok(micrometres(axial_um * libm::tan(angle.to_radians())))
}

/// A clearance group and its limits at one bore.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearanceGroup {
    /// Name: C1, C2, CN, C3, C4.
    pub name: &'static str,
    /// Smallest radial clearance.
    pub min: Length,
    /// Largest radial clearance.
    pub max: Length,
}

/// One row of the table: bores above `over` up to and including `upto`, limits in micrometres by group.
struct Row {
    over_mm: f64,
    upto_mm: f64,
    limits_um: Vec<f64>,
}

/// The groups in the order of the columns.
const NAMES: [&str; 5] = ["C1", "C2", "CN", "C3", "C4"];

fn rows() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let lines = GROUPS.lines().filter(|line| !line.starts_with('#'));
        lines
            .skip(1)
            .filter_map(|line| {
                let cells: Option<Vec<f64>> = line
                    .split(',')
                    .map(|cell| cell.trim().parse().ok())
                    .collect();
                let (&[over_mm, upto_mm], limits) = cells.as_deref()?.split_first_chunk()?;
                Some(Row {
                    over_mm,
                    upto_mm,
                    limits_um: limits.to_vec(),
                })
            })
            .collect()
    })
}

/// The clearance groups of double- and four-row tapered roller bearings of this bore.
///
/// Radial clearance before mounting. Range: bore above 14 up to 900 mm. Source: one maker's table,
/// `shared/reference/trb_radial_clearance.csv`; other makers and drawings have their own.
///
/// # Errors
/// `OutOfRange` or `NotFinite` for the bore.
pub fn clearance_groups(bore: Length) -> Result<Vec<ClearanceGroup>, CalcError> {
    let bore_mm = as_millimetres(positive("bore", bore)?);
    let row = rows()
        .iter()
        .find(|row| bore_mm > row.over_mm && bore_mm <= row.upto_mm)
        .ok_or_else(|| crate::error::out_of_range_mm("bore", bore, "above 14 up to 900"))?;
    let groups = NAMES.iter().zip(row.limits_um.chunks_exact(2));
    Ok(groups
        .map(|(&name, limits)| ClearanceGroup {
            name,
            min: micrometres(limits[0]),
            max: micrometres(limits[1]),
        })
        .collect())
}

/// The group a clearance lies in; on the line between two the lower one. `None` outside all of them.
///
/// # Errors
/// Those of [`clearance_groups`].
pub fn group_of(clearance: Length, bore: Length) -> Result<Option<ClearanceGroup>, CalcError> {
    let groups = clearance_groups(bore)?;
    Ok(groups
        .into_iter()
        .find(|group| (group.min..=group.max).contains(&clearance)))
}

#[cfg(test)]
mod tests;
