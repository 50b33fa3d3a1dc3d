//! The families of bearings, and what that means for their sheet: how many clearances there are, and how they are read.

use super::facts::{Facts, TypeFacts};
use super::field::SeatName;

/// A family of bearings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Family {
    /// Four-row tapered: three row pairs, each with its end play and its spacer.
    Tapered,
    /// Four-row cylindrical: one radial clearance between the outer half in the chock and the inner half on the neck.
    Cylindrical,
    /// Two-row spherical: one radial clearance.
    Spherical,
    /// Two-row thrust bearing beside a cylindrical one: one axial clearance.
    Thrust,
}

impl Family {
    /// The family of a type's kind; an inner half by itself has no sheet.
    pub fn of(kind: &str) -> Option<Self> {
        match kind {
            "four_row_tapered" => Some(Self::Tapered),
            "four_row_cylindrical" => Some(Self::Cylindrical),
            "two_row_spherical" => Some(Self::Spherical),
            "two_row_thrust" => Some(Self::Thrust),
            _ => None,
        }
    }

    /// Clearances that are judged: row pairs, or the one of the whole bearing.
    pub fn clearances(self) -> usize {
        if self == Self::Tapered { 3 } else { 1 }
    }

    /// Whether a seat is measured: of a cylindrical bearing the neck only where its inner half is off or has turned, of a
    /// thrust bearing none.
    pub fn has_seat(self, seat: SeatName, inner_half: Option<&str>) -> bool {
        match (self, seat) {
            (Self::Tapered | Self::Spherical, _) | (Self::Cylindrical, SeatName::Bore) => true,
            (Self::Cylindrical, SeatName::Neck) => matches!(inner_half, Some("off" | "turned")),
            (Self::Thrust, _) => false,
        }
    }

    /// Whether its rings have load zones that are turned.
    pub fn has_zones(self) -> bool {
        self != Self::Thrust
    }

    /// Whether its sheet asks how the chock is closed: seals, cover, bolts. Of the others the mounting sheet does.
    pub fn is_closed_here(self) -> bool {
        self == Self::Tapered
    }

    /// Rows, where the type does not say.
    pub fn rows(self) -> usize {
        match self {
            Self::Tapered | Self::Cylindrical => 4,
            Self::Spherical | Self::Thrust => 2,
        }
    }

    /// What its clearance is called.
    pub fn clearance(self) -> &'static str {
        match self {
            Self::Tapered => "end play",
            Self::Cylindrical | Self::Spherical => "radial clearance",
            Self::Thrust => "axial clearance",
        }
    }

    /// The ways its clearance can be read, words of the field `radial.method`.
    pub fn ways(self) -> &'static [&'static str] {
        match self {
            Self::Tapered | Self::Thrust => &[],
            Self::Cylindrical => &["diameters", "feeler"],
            Self::Spherical => &["feeler", "thin_ring"],
        }
    }
}

impl Facts {
    /// The family of the bearing on the sheet; the tapered one while no bearing is known.
    pub fn family(&self) -> Family {
        let kind = self.bearing_type.as_ref().map(|t| t.kind.as_str());
        kind.and_then(Family::of).unwrap_or(Family::Tapered)
    }

    /// Rows of the bearing on the sheet.
    pub fn rows(&self) -> usize {
        self.bearing_type
            .as_ref()
            .map_or(self.family().rows(), TypeFacts::rows)
    }
}

impl TypeFacts {
    /// Rows of the bearing: what the type says, else what its kind has.
    pub fn rows(&self) -> usize {
        let told = self.whole("rows_count");
        told.and_then(|rows| usize::try_from(rows).ok())
            .filter(|rows| (1..=4).contains(rows))
            .unwrap_or_else(|| Family::of(&self.kind).unwrap_or(Family::Tapered).rows())
    }
}
