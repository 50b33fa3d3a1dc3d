//! Radial internal clearance groups of unmounted cylindrical and spherical roller bearings: ISO 5753-1.
//!
//! The values are read from `shared/reference/iso5753_*.csv`; their sources, and what they were checked against,
//! stand in the files.

mod method;

pub use method::METHOD;

use std::sync::OnceLock;

use crate::{
    error::{CalcError, contradiction, finite},
    quantity::{Length, micrometres, millimetres},
    size_table::{SizeRange, SizeTable, Standing, row_at},
};

/// Kind of bearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RollerKind {
    /// Cylindrical roller bearings.
    Cylindrical,
    /// Spherical roller bearings.
    Spherical,
}

/// Form of the seat of the inner ring, and so of its bore.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeatForm {
    /// Cylindrical bore.
    Cylindrical,
    /// Tapered bore, which loses clearance as it is driven up.
    Tapered,
}

/// Clearance group, from tight to loose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Smaller than normal.
    C2,
    /// Normal.
    CN,
    /// Larger than normal.
    C3,
    /// Larger than C3.
    C4,
    /// Larger than C4.
    C5,
}

impl RollerKind {
    /// Every kind.
    pub const ALL: [Self; 2] = [Self::Cylindrical, Self::Spherical];

    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Cylindrical => "cylindrical",
            Self::Spherical => "spherical",
        }
    }
}

impl SeatForm {
    /// Every form.
    pub const ALL: [Self; 2] = [Self::Cylindrical, Self::Tapered];

    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Cylindrical => "cylindrical",
            Self::Tapered => "tapered",
        }
    }
}

impl Group {
    /// Every group, from tight to loose.
    pub const ALL: [Self; 5] = [Self::C2, Self::CN, Self::C3, Self::C4, Self::C5];

    /// The name in files and on rings.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::C2 => "C2",
            Self::CN => "CN",
            Self::C3 => "C3",
            Self::C4 => "C4",
            Self::C5 => "C5",
        }
    }
}

/// Limits of the clearance and the row they come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClearanceLimits {
    /// Smallest radial internal clearance.
    pub min: Length,
    /// Largest radial internal clearance.
    pub max: Length,
    /// The range of bores of the row.
    pub range: SizeRange,
    /// What stands behind the row.
    pub standing: Standing,
}

/// Limits of the radial internal clearance of an unmounted bearing.
///
/// Range of the bore: cylindrical roller bearings with cylindrical bore up to 1250 mm, spherical ones over 18 up to
/// 1250 mm, with tapered bore over 40 up to 1000 mm; a border size belongs to the lower range. Cylindrical roller
/// bearings with tapered bore are not in the tables. Source: ISO 5753-1 as printed in the sources that the tables
/// name; of cylindrical roller bearings above 500 mm a maker's values.
///
/// # Errors
/// `Contradiction` for cylindrical rollers with tapered bore; `OutOfRange` with the bores that are covered;
/// `NotFinite`.
pub fn clearance_group(
    kind: RollerKind,
    seat: SeatForm,
    bore: Length,
    group: Group,
) -> Result<ClearanceLimits, CalcError> {
    finite("bore", bore)?;
    let rows: Vec<_> = table(kind, seat)?.rows().collect();
    let row = row_at(rows.into_iter(), "bore", bore)?;
    let limit = |end: &str| {
        let column = format!("{}_{end}", group.as_str());
        micrometres(row.number(&column).unwrap_or_default())
    };
    let is_beyond = kind == RollerKind::Cylindrical && row.range().over >= millimetres(500.0);
    Ok(ClearanceLimits {
        min: limit("min"),
        max: limit("max"),
        range: row.range(),
        standing: if is_beyond {
            Standing::BeyondStandard
        } else {
            Standing::Standard
        },
    })
}

fn table(kind: RollerKind, seat: SeatForm) -> Result<&'static SizeTable, CalcError> {
    const CYLINDRICAL: &str =
        include_str!("../../../shared/reference/iso5753_crb_cylindrical_bore.csv");
    const SPHERICAL: &str =
        include_str!("../../../shared/reference/iso5753_srb_cylindrical_bore.csv");
    const SPHERICAL_TAPERED: &str =
        include_str!("../../../shared/reference/iso5753_srb_tapered_bore.csv");
    static TABLES: [OnceLock<SizeTable>; 3] = [const { OnceLock::new() }; 3];
    let (table, text) = match (kind, seat) {
        (RollerKind::Cylindrical, SeatForm::Cylindrical) => (&TABLES[0], CYLINDRICAL),
        (RollerKind::Spherical, SeatForm::Cylindrical) => (&TABLES[1], SPHERICAL),
        (RollerKind::Spherical, SeatForm::Tapered) => (&TABLES[2], SPHERICAL_TAPERED),
        (RollerKind::Cylindrical, SeatForm::Tapered) => {
            return Err(contradiction(
                "seat",
                "no table for cylindrical roller bearings with tapered bore is at hand",
            ));
        }
    };
    Ok(table.get_or_init(|| SizeTable::parse(text)))
}

#[cfg(test)]
mod tests;
