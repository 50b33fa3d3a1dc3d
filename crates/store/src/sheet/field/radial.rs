//! The fields of a clearance that belongs to the whole bearing: diameters of raceway and rollers, feeler leaves, the
//! three places of a thin ring, and the axial clearance of a thrust bearing.

use super::{GAP_DEGREES, Section};
use crate::form::Choice as Of;
use crate::form::{Lists, choice, gauge};
use crate::sheet::family::Family;

/// Fields of such a clearance that are named by one path only.
pub const PLAIN: &Lists<Section> = &[
    (
        Section::Clearance,
        &[
            choice(
                "radial.method",
                "How the clearance is read",
                Of::RadialMethod,
            ),
            gauge("radial.gauge", "Gauge for the clearance"),
            gauge("radial.gauge_rollers", "Gauge under the rollers"),
        ],
    ),
    (
        Section::AsFound,
        &[choice(
            "found.inner",
            "Inner half on the neck",
            Of::InnerHalf,
        )],
    ),
];

/// Directions of a raceway or roller diameter, degrees from vertical.
pub const DIAMETER_DEGREES: [i64; 2] = [0, 90];
/// Rows that a bearing has at most.
pub const ROWS_MAX: usize = 4;

/// One value of such a clearance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RadialCell {
    /// Diameter over the inner raceway on the neck.
    Raceway {
        /// Row from the barrel, from 1.
        row: usize,
        /// Direction, degrees from vertical.
        degrees: i64,
    },
    /// Diameter under the rollers in the chock.
    Rollers {
        /// Row.
        row: usize,
        /// Direction.
        degrees: i64,
    },
    /// The thickest leaf that passes over three rollers one after the other.
    Passes {
        /// Row.
        row: usize,
        /// Where round the row, degrees.
        degrees: i64,
    },
    /// The thinnest leaf that is refused there.
    Refused {
        /// Row.
        row: usize,
        /// Where round the row, degrees.
        degrees: i64,
    },
    /// Clearance of a thin ring at its open place.
    Open {
        /// Row.
        row: usize,
    },
    /// Clearance of a thin ring 90 degrees to one side of it.
    Side {
        /// Row.
        row: usize,
        /// 1 or 2.
        side: usize,
    },
    /// Axial clearance of a thrust bearing.
    Axial {
        /// Where the indicator stood, degrees.
        degrees: i64,
    },
}

impl RadialCell {
    /// Its path.
    pub fn path(self) -> String {
        match self {
            Self::Raceway { row, degrees } => format!("radial.raceway.{row}.{degrees}"),
            Self::Rollers { row, degrees } => format!("radial.rollers.{row}.{degrees}"),
            Self::Passes { row, degrees } => format!("radial.passes.{row}.{degrees}"),
            Self::Refused { row, degrees } => format!("radial.refused.{row}.{degrees}"),
            Self::Open { row } => format!("radial.open.{row}"),
            Self::Side { row, side } => format!("radial.side.{row}.{side}"),
            Self::Axial { degrees } => format!("axial.{degrees}"),
        }
    }

    /// What a person calls it.
    pub fn label(self) -> String {
        match self {
            Self::Raceway { row, degrees } => {
                format!("Inner raceway, row {row} at {degrees} degrees")
            }
            Self::Rollers { row, degrees } => {
                format!("Under the rollers, row {row} at {degrees} degrees")
            }
            Self::Passes { row, degrees } => format!("Row {row} at {degrees} degrees, leaf passes"),
            Self::Refused { row, degrees } => {
                format!("Row {row} at {degrees} degrees, leaf refused")
            }
            Self::Open { row } => format!("Row {row}, open place"),
            Self::Side { row, side } => format!("Row {row}, 90 degrees to side {side}"),
            Self::Axial { degrees } => format!("Axial clearance at {degrees} degrees"),
        }
    }

    /// The way that it is read in.
    pub fn way(self) -> Way {
        match self {
            Self::Raceway { .. } | Self::Rollers { .. } => Way::Diameters,
            Self::Passes { .. } | Self::Refused { .. } => Way::Leaves,
            Self::Open { .. } | Self::Side { .. } => Way::ThinRing,
            Self::Axial { .. } => Way::Axial,
        }
    }

    /// Row from the barrel; none for the whole bearing.
    pub fn row(self) -> Option<usize> {
        match self {
            Self::Raceway { row, .. }
            | Self::Rollers { row, .. }
            | Self::Passes { row, .. }
            | Self::Refused { row, .. }
            | Self::Open { row }
            | Self::Side { row, .. } => Some(row),
            Self::Axial { .. } => None,
        }
    }

    /// The same reading in another row; none for the whole bearing.
    pub fn in_row(self, row: usize) -> Option<Self> {
        Some(match self {
            Self::Raceway { degrees, .. } => Self::Raceway { row, degrees },
            Self::Rollers { degrees, .. } => Self::Rollers { row, degrees },
            Self::Passes { degrees, .. } => Self::Passes { row, degrees },
            Self::Refused { degrees, .. } => Self::Refused { row, degrees },
            Self::Open { .. } => Self::Open { row },
            Self::Side { side, .. } => Self::Side { row, side },
            Self::Axial { .. } => return None,
        })
    }

    /// All of them, in the order of measuring within each way.
    pub fn all() -> Vec<Self> {
        let mut all = Vec::new();
        for way in [Way::Diameters, Way::Leaves, Way::ThinRing, Way::Axial] {
            for line in lines(way, ROWS_MAX) {
                all.extend(line);
            }
        }
        all
    }

    /// Reads a path.
    pub fn parse(path: &str) -> Option<Self> {
        if !path.starts_with("radial.") && !path.starts_with("axial.") {
            return None;
        }
        Self::all().into_iter().find(|cell| cell.path() == path)
    }
}

/// How the clearance of the whole bearing is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    /// Diameter under the rollers less the diameter over the inner raceway, each row.
    Diameters,
    /// Feeler leaves over three rollers, each row.
    Leaves,
    /// Feeler at the open place of a thin ring and 90 degrees to both sides.
    ThinRing,
    /// Indicator on the ring of a thrust bearing that is moved to and fro.
    Axial,
}

impl Way {
    /// How the sheet says that it is read; none while nobody said so. A tapered bearing is read by its gaps.
    pub fn of(family: Family, told: Option<&str>) -> Option<Self> {
        match (family, told) {
            (Family::Thrust, _) => Some(Self::Axial),
            (Family::Cylindrical, Some("diameters")) => Some(Self::Diameters),
            (Family::Cylindrical | Family::Spherical, Some("feeler")) => Some(Self::Leaves),
            (Family::Spherical, Some("thin_ring")) => Some(Self::ThinRing),
            _ => None,
        }
    }

    /// As it is signed: only clearances read alike are compared.
    pub fn method(self) -> &'static str {
        match self {
            Self::Diameters => {
                "radial, diameter under the rollers less inner raceway, two directions a row"
            }
            Self::Leaves => {
                "radial, feeler over three rollers, mean of passing and refused leaf of each row"
            }
            Self::ThinRing => {
                "radial, feeler at the open place and both sides of a thin ring, half the sum"
            }
            Self::Axial => "axial, indicator at four places, mean",
        }
    }
}

/// The lines of fields of a way, in the order of measuring.
pub fn lines(way: Way, rows: usize) -> Vec<Vec<RadialCell>> {
    use RadialCell::{Axial, Open, Passes, Raceway, Refused, Rollers, Side};
    let each = |row: usize| match way {
        Way::Diameters => {
            let raceway = DIAMETER_DEGREES.map(|degrees| Raceway { row, degrees });
            let rollers = DIAMETER_DEGREES.map(|degrees| Rollers { row, degrees });
            vec![raceway.into_iter().chain(rollers).collect()]
        }
        Way::Leaves => vec![
            GAP_DEGREES.map(|degrees| Passes { row, degrees }).into(),
            GAP_DEGREES.map(|degrees| Refused { row, degrees }).into(),
        ],
        Way::ThinRing => {
            let side = |side| Side { row, side };
            vec![vec![side(1), Open { row }, side(2)]]
        }
        Way::Axial => vec![],
    };
    if way == Way::Axial {
        return vec![GAP_DEGREES.map(|degrees| Axial { degrees }).into()];
    }
    (1..=rows.min(ROWS_MAX)).flat_map(each).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_is_found_again_by_its_path_and_has_a_name_of_its_own() {
        let all = RadialCell::all();
        assert_eq!(all.len(), 16 + 32 + 12 + 4);
        let mut labels: Vec<String> = all.iter().map(|cell| cell.label()).collect();
        labels.sort();
        labels.dedup();
        assert_eq!(labels.len(), all.len());
        for cell in all {
            assert_eq!(RadialCell::parse(&cell.path()), Some(cell));
        }
        assert_eq!(RadialCell::parse("radial.raceway.5.0"), None);
        assert_eq!(RadialCell::parse("radial.method"), None);
    }

    #[test]
    fn a_family_is_read_only_in_its_own_ways() {
        assert_eq!(
            Way::of(Family::Cylindrical, Some("diameters")),
            Some(Way::Diameters)
        );
        assert_eq!(Way::of(Family::Spherical, Some("diameters")), None);
        assert_eq!(Way::of(Family::Cylindrical, None), None);
        assert_eq!(Way::of(Family::Thrust, None), Some(Way::Axial));
        assert_eq!(Way::of(Family::Tapered, Some("feeler")), None);
        for family in [Family::Cylindrical, Family::Spherical] {
            for word in family.ways() {
                assert!(Way::of(family, Some(word)).is_some(), "{word}");
            }
        }
    }
}
