//! Limit deviations of the mean bore and outside diameter of bearing rings: ISO 492, inch tapered by ABMA 19.2.
//!
//! The values are read from `shared/reference/iso492_*.csv` and `abma19_2_inch_tapered.csv`; their sources, and what
//! they were checked against, stand in the files. `iso492_disagreements.toml` says where published tables differ.

mod method;

pub use method::METHOD;

use std::sync::OnceLock;

use crate::{
    error::{CalcError, finite},
    iso286::Deviations,
    quantity::{Length, micrometres, millimetres},
    size_table::{Row, SizeRange, SizeTable, Standing, row_at},
};

/// Family of bearings; each has its own tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RingKind {
    /// Radial bearings except tapered roller bearings.
    Radial,
    /// Metric tapered roller bearings.
    TaperedMetric,
    /// Inch tapered roller bearings: plus tolerances, unlike the metric ones.
    TaperedInch,
}

impl RingKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Radial, Self::TaperedMetric, Self::TaperedInch];

    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Radial => "radial",
            Self::TaperedMetric => "tapered_metric",
            Self::TaperedInch => "tapered_inch",
        }
    }

    /// The standard whose values the tables hold.
    pub fn standard(self) -> &'static str {
        match self {
            Self::Radial | Self::TaperedMetric => "ISO 492",
            Self::TaperedInch => "ABMA 19.2",
        }
    }
}

/// The diameter meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RingSurface {
    /// Bore of the inner ring, d.
    Bore,
    /// Outside diameter of the outer ring, D.
    Outside,
}

/// Limit deviations of a ring and the row they come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingLimits {
    /// Deviations of the mean diameter in one plane from the nominal size (Δdmp, ΔDmp).
    pub deviations: Deviations,
    /// The range of nominal sizes of the row.
    pub range: SizeRange,
    /// What stands behind the row.
    pub standing: Standing,
}

/// Limit deviations of the mean bore or outside diameter of a ring.
///
/// Range: radial classes `Normal`, `6`, `5` (bore over 50 up to 2000 mm, outside over 80 up to 2500 mm), metric
/// tapered `Normal` and `5`, inch tapered `4`, `2`, `3`; the rows of the tables say at which sizes. A border size
/// belongs to the lower range. Source: ISO 492 and ABMA 19.2 as printed in the sources that the tables name.
///
/// # Errors
/// `UndefinedClass` with the classes of this kind; `OutOfRange` with the sizes at which the class is given;
/// `NotFinite`.
pub fn ring(
    kind: RingKind,
    class: &str,
    surface: RingSurface,
    size: Length,
) -> Result<RingLimits, CalcError> {
    let input = match surface {
        RingSurface::Bore => "bore",
        RingSurface::Outside => "outside",
    };
    finite(input, size)?;
    let part = part(kind, surface);
    let of_class = || part.rows().filter(move |row| row.text("class") == class);
    if of_class().next().is_none() {
        return Err(CalcError::UndefinedClass {
            input: "class".to_owned(),
            class: class.to_owned(),
            defined: part.classes().join(", "),
        });
    }
    let rows: Vec<Row> = of_class().collect();
    let row = row_at(rows.into_iter(), input, size)?;
    let deviation = |column| micrometres(row.number(column).unwrap_or_default());
    Ok(RingLimits {
        deviations: Deviations {
            lower: deviation(part.lower),
            upper: deviation(part.upper),
        },
        range: row.range(),
        standing: standing(kind, class, surface, row.range().over),
    })
}

/// The rows of one kind and surface, and which of their columns hold the deviations.
struct PartOfTable {
    table: &'static SizeTable,
    /// The word of the column `ring`; `None` where the whole file is meant.
    ring: Option<&'static str>,
    lower: &'static str,
    upper: &'static str,
}

impl PartOfTable {
    fn rows(&self) -> impl Iterator<Item = Row<'static>> {
        let ring = self.ring;
        let rows = self.table.rows();
        rows.filter(move |row| ring.is_none_or(|ring| row.text("ring") == ring))
    }

    fn classes(&self) -> Vec<&'static str> {
        let mut classes: Vec<&str> = self.rows().map(|row| row.text("class")).collect();
        classes.dedup(); // the rows of a class stand together
        classes
    }
}

macro_rules! table {
    ($file:literal) => {{
        static TABLE: OnceLock<SizeTable> = OnceLock::new();
        TABLE.get_or_init(|| {
            SizeTable::parse(include_str!(concat!("../../../shared/reference/", $file)))
        })
    }};
}

fn part(kind: RingKind, surface: RingSurface) -> PartOfTable {
    let of_ring = match surface {
        RingSurface::Bore => "inner",
        RingSurface::Outside => "outer",
    };
    let (table, ring, lower, upper) = match (kind, surface) {
        (RingKind::Radial, RingSurface::Bore) => {
            let table = table!("iso492_radial_bore.csv");
            (table, None, "dmp_lower", "dmp_upper")
        }
        (RingKind::Radial, RingSurface::Outside) => {
            let table = table!("iso492_radial_outside.csv");
            (table, None, "Dmp_lower", "Dmp_upper")
        }
        (RingKind::TaperedMetric, _) => {
            let table = table!("iso492_tapered_metric.csv");
            (table, Some(of_ring), "dev_lower", "dev_upper")
        }
        (RingKind::TaperedInch, _) => {
            let table = table!("abma19_2_inch_tapered.csv");
            (table, Some(of_ring), "lower_um", "upper_um")
        }
    };
    PartOfTable {
        table,
        ring,
        lower,
        upper,
    }
}

/// What the heads of the tables say about their rows: from which size on they are not those of the standard, or are
/// confirmed by fewer sources.
fn standing(kind: RingKind, class: &str, surface: RingSurface, over: Length) -> Standing {
    use RingSurface::{Bore, Outside};
    let (from_mm, standing) = match (kind, surface, class) {
        (RingKind::Radial, Bore, "6") => (630.0, Standing::BeyondStandard),
        (RingKind::Radial, Bore, "5") => (400.0, Standing::BeyondStandard),
        (RingKind::Radial, Outside, "6") => (1_000.0, Standing::BeyondStandard),
        (RingKind::Radial, Outside, "5") => (800.0, Standing::BeyondStandard),
        (RingKind::TaperedMetric, ..) => (500.0, Standing::LessCertain),
        _ => return Standing::Standard,
    };
    if over >= millimetres(from_mm) {
        standing
    } else {
        Standing::Standard
    }
}

#[cfg(test)]
mod published_fits;
#[cfg(test)]
mod tests;
