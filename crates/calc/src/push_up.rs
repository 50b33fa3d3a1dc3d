//! Ring with a tapered bore on its tapered seat: how far it is pushed up, and what that takes of the radial clearance.
//!
//! Share of the interference that reaches the raceway by Lamé, as in [`crate::clearance_loss`]; guide values from
//! `shared/reference/srb_drive_up.csv`, where their source stands.

mod method;
pub use method::METHOD;

use std::sync::OnceLock;

use crate::{
    clearance_loss::{estimated_inner_raceway, inner_share},
    error::{CalcError, finite, within},
    quantity::{Length, millimetres},
    size_table::{SizeRange, SizeTable, row_at},
};

/// Share of the ring height that the inner ring of a spherical roller bearing takes up to its mean outside diameter.
/// Source: SKF, Rolling bearings, 17000/1 EN, p. 146 ("most others").
pub const INNER_HEIGHT_SHARE: f64 = 0.3;
/// Tapers that rings have: 1 in 12, and 1 in 30 of wide series. Between these two any steeper or flatter one is typed
/// wrongly. Source: as the table's.
pub(crate) const TAPER_RANGE: std::ops::RangeInclusive<f64> = 8.0..=50.0;

/// A ring with a tapered bore and its seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TaperSeat {
    /// Bore at its small end, d.
    pub bore: Length,
    /// Outside diameter of the bearing, D.
    pub outside: Length,
    /// Bore of the shaft; zero = solid.
    pub shaft_bore: Length,
    /// Taper on diameter as 1 in this: 12 or 30.
    pub taper: f64,
}

impl TaperSeat {
    /// Share of the interference by which the inner raceway grows.
    ///
    /// # Errors
    /// As [`inner_share`]; `OutOfRange` for an outside diameter that is not above the bore.
    pub fn share(&self) -> Result<f64, CalcError> {
        let raceway = estimated_inner_raceway(self.bore, self.outside, INNER_HEIGHT_SHARE)?;
        inner_share(self.bore, raceway, self.shaft_bore)
    }

    fn taper(&self) -> Result<f64, CalcError> {
        within("taper", self.taper, &TAPER_RANGE, "")
    }
}

/// Loss of radial clearance by a push-up, from where the ring sits without play on its seat.
///
/// `Δ = λ s / k`: the taper 1 in k turns the way `s` into the interference `s/k`, of which the raceway takes the share
/// λ. Surfaces that give way under the first pressure take a little of the way; the guide table has it in. Source:
/// geometry, and module.
///
/// # Errors
/// `OutOfRange`, `NotFinite`; `Contradiction` for a shaft bore not below the bore.
pub fn reduction_by(seat: &TaperSeat, push_up: Length) -> Result<Length, CalcError> {
    Ok(finite("push_up", push_up)? * (seat.share()? / seat.taper()?))
}

/// Push-up that takes so much of the radial clearance: the same read the other way, `s = k Δ / λ`.
///
/// # Errors
/// As [`reduction_by`].
pub fn push_up_for(seat: &TaperSeat, reduction: Length) -> Result<Length, CalcError> {
    Ok(finite("reduction", reduction)? * (seat.taper()? / seat.share()?))
}

/// What a bearing maker recommends, where a type says nothing of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guide {
    /// Reduction of the radial clearance, from and to.
    pub reduction: (Length, Length),
    /// Push-up, from and to; none where the table has none for this taper.
    pub push_up: Option<(Length, Length)>,
    /// The range of bores of the row.
    pub range: SizeRange,
}

/// Where [`guide`] has its values, in words for a verdict.
pub const GUIDE_SOURCE: &str = "SKF, drive-up data for spherical roller bearings (guide values)";

/// Guide values for a two-row spherical bearing on a solid steel seat.
///
/// Range of the bore: over 24 up to 900 mm; push-up for 1 in 12, and for 1 in 30 over 50 mm. Source: module.
///
/// # Errors
/// `OutOfRange` with the bores that are covered; `NotFinite`.
pub fn guide(bore: Length, taper: f64) -> Result<Guide, CalcError> {
    static TABLE: OnceLock<SizeTable> = OnceLock::new();
    const TEXT: &str = include_str!("../../../shared/reference/srb_drive_up.csv");
    finite("bore", bore)?;
    within("taper", taper, &TAPER_RANGE, "")?;
    let rows: Vec<_> = TABLE
        .get_or_init(|| SizeTable::parse(TEXT))
        .rows()
        .collect();
    let row = row_at(rows.into_iter(), "bore", bore)?;
    let ends = |name: &str| {
        let end = |end: &str| row.number(&format!("{name}_{end}")).map(millimetres);
        end("min").zip(end("max"))
    };
    let is = |k: f64| (taper - k).abs() < 1e-9;
    Ok(Guide {
        reduction: ends("reduction").unwrap_or_default(),
        push_up: if is(12.0) {
            ends("s12")
        } else if is(30.0) {
            ends("s30")
        } else {
            None
        },
        range: row.range(),
    })
}

#[cfg(test)]
mod tests;
