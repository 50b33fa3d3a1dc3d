//! Load zones of an outer ring: which part of the ring carries the load, which zone to turn up next.
//!
//! Ring angles run from the zone-I line clockwise seen from the outboard end. Angles are whole tenths of a
//! degree, as stored, so that arcs that touch touch exactly. Zones and turning: makers' mounting
//! instructions as in `shared/reference/rollneck_practice.toml`; the loaded arc of 150 degrees is the
//! figure of a general bearing guide for a stationary ring, set per type.

mod method;

pub use method::METHOD;

use serde::{Deserialize, Serialize};

use crate::{
    error::CalcError,
    quantity::{Time, as_hours},
};

/// Tenths of a degree in a full turn.
const TURN_TENTHS: i64 = 3_600;
/// Default loaded arc, tenths of a degree, centred on the zone that is up.
pub const DEFAULT_ARC_TENTHS: i64 = 1_500;

/// One of the four marked zones of an outer ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Zone {
    /// 315 to 45 degrees, around the zone-I line.
    I,
    /// 45 to 135 degrees.
    II,
    /// 135 to 225 degrees.
    III,
    /// 225 to 315 degrees.
    IV,
}

impl Zone {
    /// The zones in their order round the ring.
    pub const ALL: [Self; 4] = [Self::I, Self::II, Self::III, Self::IV];

    /// The mark on the ring.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::I => "I",
            Self::II => "II",
            Self::III => "III",
            Self::IV => "IV",
        }
    }

    /// Place in [`Zone::ALL`], from 0.
    pub fn index(self) -> usize {
        self as usize
    }

    /// Ring angle of the middle of the zone, tenths of a degree.
    pub fn centre_tenths(self) -> i64 {
        [0, 900, 1_800, 2_700][self.index()]
    }

    /// The quarter of the ring that bears the mark.
    pub fn arc(self) -> Arc {
        Arc::centred(self.centre_tenths(), 900)
    }

    /// The next zone round the ring.
    #[must_use]
    pub fn next(self) -> Self {
        Self::ALL[(self.index() + 1) % 4]
    }
}

impl std::str::FromStr for Zone {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        Self::ALL
            .into_iter()
            .find(|zone| zone.as_str() == text)
            .ok_or_else(|| format!("'{text}' is not a load zone; one of I, II, III, IV"))
    }
}

/// An angular range on a ring, clockwise from its start, over the zone-I line where it must.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Arc {
    start: i64,
    width: i64,
}

impl Arc {
    /// From and to in degrees, 0 to 360, rounded to tenths; `from` equal to `to` is a single place, 0 to 360 the whole ring.
    ///
    /// # Errors
    /// `OutOfRange` for an angle outside 0 to 360, `NotFinite`.
    pub fn degrees(from: f64, to: f64) -> Result<Self, CalcError> {
        let tenths = |input: &str, degrees: f64| {
            if degrees.is_finite() {
                Ok((degrees * 10.0).round() as i64)
            } else {
                Err(CalcError::NotFinite {
                    input: input.to_owned(),
                })
            }
        };
        Self::tenths(tenths("from", from)?, tenths("to", to)?)
    }

    /// From and to in tenths of a degree, as stored, 0 to 3600.
    ///
    /// # Errors
    /// `OutOfRange` for an angle outside 0 to 3600.
    pub fn tenths(from: i64, to: i64) -> Result<Self, CalcError> {
        for (input, angle) in [("from", from), ("to", to)] {
            if !(0..=TURN_TENTHS).contains(&angle) {
                let (input, value, allowed) =
                    (input.to_owned(), angle as f64 / 10.0, "0 to 360".to_owned());
                return Err(CalcError::OutOfRange {
                    input,
                    value,
                    unit: "degrees",
                    allowed,
                });
            }
        }
        let width = if to >= from {
            to - from
        } else {
            to - from + TURN_TENTHS
        };
        Ok(Self {
            start: from % TURN_TENTHS,
            width,
        })
    }

    fn centred(centre: i64, width: i64) -> Self {
        Self {
            start: (centre - width / 2).rem_euclid(TURN_TENTHS),
            width,
        }
    }

    /// Start, tenths of a degree, 0 to 3599.
    pub fn from_tenths(&self) -> i64 {
        self.start
    }

    /// End, tenths of a degree, 0 to 3600; below the start where the arc passes the zone-I line.
    pub fn to_tenths(&self) -> i64 {
        let end = self.start + self.width;
        if end > TURN_TENTHS {
            end - TURN_TENTHS
        } else {
            end
        }
    }

    /// Width, tenths of a degree.
    pub fn width_tenths(&self) -> i64 {
        self.width
    }

    /// From where to where, in degrees, in words.
    pub fn words(&self) -> String {
        if self.width == TURN_TENTHS {
            return "all round".to_owned();
        }
        let degrees = |tenths: i64| match tenths % 10 {
            0 => (tenths / 10).to_string(),
            rest => format!("{}.{rest}", tenths / 10),
        };
        let (from, to) = (degrees(self.start), degrees(self.to_tenths()));
        if self.width == 0 {
            format!("at {from} degrees")
        } else {
            format!("{from} to {to} degrees")
        }
    }

    /// Whether the two share any place; ends belong to the arc, so touching counts.
    pub fn overlaps(&self, other: &Self) -> bool {
        (other.start - self.start).rem_euclid(TURN_TENTHS) <= self.width
            || (self.start - other.start).rem_euclid(TURN_TENTHS) <= other.width
    }
}

/// The part of the ring that carries the load when `up` is in the load direction.
///
/// An arc of `width_tenths` centred on the zone; an odd width starts half a tenth later.
///
/// # Errors
/// `OutOfRange` for a width outside 0.1 to 360 degrees.
pub fn loaded_arc(up: Zone, width_tenths: i64) -> Result<Arc, CalcError> {
    if (1..=TURN_TENTHS).contains(&width_tenths) {
        return Ok(Arc::centred(up.centre_tenths(), width_tenths));
    }
    let (input, value, allowed) = (
        "loaded_arc".to_owned(),
        width_tenths as f64 / 10.0,
        "0.1 to 360".to_owned(),
    );
    Err(CalcError::OutOfRange {
        input,
        value,
        unit: "degrees",
        allowed,
    })
}

/// A zone as a candidate to be turned up.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneOption {
    /// The zone.
    pub zone: Zone,
    /// Running time it has had in the load.
    pub hours: Time,
    /// The arc that would be loaded.
    pub arc: Arc,
    /// Which findings lie in that arc (places in the list given).
    pub obstructed_by: Vec<usize>,
}

/// The four zones with their hours, loaded arcs and the findings in the way.
///
/// `findings` are those of every outer ring of the set: all are turned together.
///
/// # Errors
/// `OutOfRange` for the arc or negative hours, `NotFinite` for hours.
pub fn options(
    hours_per_zone: &[Time; 4],
    width_tenths: i64,
    findings: &[Arc],
) -> Result<[ZoneOption; 4], CalcError> {
    loaded_arc(Zone::I, width_tenths)?;
    for (zone, &time) in Zone::ALL.iter().zip(hours_per_zone) {
        let (input, value) = (format!("hours[{}]", zone.index()), as_hours(time));
        if !value.is_finite() {
            return Err(CalcError::NotFinite { input });
        }
        if value < 0.0 {
            return Err(CalcError::OutOfRange {
                input,
                value,
                unit: "h",
                allowed: "0 or more".to_owned(),
            });
        }
    }
    Ok(Zone::ALL.map(|zone| {
        let arc = Arc::centred(zone.centre_tenths(), width_tenths);
        let in_the_way = findings
            .iter()
            .enumerate()
            .filter(|(_, finding)| finding.overlaps(&arc));
        let obstructed_by = in_the_way.map(|(place, _)| place).collect();
        ZoneOption {
            zone,
            hours: hours_per_zone[zone.index()],
            arc,
            obstructed_by,
        }
    }))
}

/// The zone to turn up: the least hours among those whose whole loaded arc is clear of findings.
///
/// Ties go to the first in the order I, II, III, IV. `None`: no zone is clear, the engineer chooses, with a
/// reason. Common practice, no source for the rule; zones as in `shared/reference/rollneck_practice.toml`.
///
/// # Errors
/// Those of [`options`].
pub fn choose(
    hours_per_zone: &[Time; 4],
    width_tenths: i64,
    findings: &[Arc],
) -> Result<Option<Zone>, CalcError> {
    let options = options(hours_per_zone, width_tenths, findings)?;
    let clear = options
        .iter()
        .filter(|option| option.obstructed_by.is_empty());
    // min_by keeps the first of equals, which is the order of the zones.
    Ok(clear
        .min_by(|a, b| as_hours(a.hours).total_cmp(&as_hours(b.hours)))
        .map(|option| option.zone))
}

#[cfg(test)]
mod tests;
