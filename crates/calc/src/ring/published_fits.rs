//! Checks of rings, seats and their fits together against published fit tables: `fits_bearing_seat.csv`,
//! `chock_fits.csv`, `rollneck_fits.csv`, and where those disagree with the ring tables.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::{
    fit::fit,
    iso286::tolerance,
    quantity::{as_micrometres, nanometres},
};

fn deviations(lower_um: f64, upper_um: f64) -> Deviations {
    Deviations {
        lower: micrometres(lower_um),
        upper: micrometres(upper_um),
    }
}

fn clearances_um(hole: &Deviations, shaft: &Deviations) -> (f64, f64) {
    let fit = fit(hole, shaft).unwrap();
    (
        as_micrometres(fit.clearance_min),
        as_micrometres(fit.clearance_max),
    )
}

/// Just above the start of a range, and its end.
fn ends(range: SizeRange) -> [Length; 2] {
    let SizeRange { over, upto } = range;
    [over + nanometres(1), upto.unwrap_or(over * 2.0)]
}

#[test]
fn every_row_of_fits_bearing_seat_csv_follows_from_ring_and_tolerance() {
    let table = SizeTable::parse(include_str!(
        "../../../../shared/reference/fits_bearing_seat.csv"
    ));
    let mut count = 0;
    for row in table.rows() {
        let um = |column| row.number(column).unwrap();
        let class = row.text("class");
        let surface = match row.text("seat") {
            "shaft" => RingSurface::Bore,
            "housing" => RingSurface::Outside,
            other => panic!("{other}"),
        };
        for size in ends(row.range()) {
            let bearing = deviations(um("bearing_low"), um("bearing_high"));
            let from_ring = ring(RingKind::Radial, "Normal", surface, size);
            if surface == RingSurface::Outside && size <= millimetres(80.0) {
                assert!(from_ring.is_err(), "the ring table starts over 80 mm");
            } else {
                assert_eq!(from_ring.unwrap().deviations, bearing, "at {size:?}");
            }
            let seat = tolerance(size, class).unwrap();
            let expected = deviations(um("bearing_low"), um("bearing_high"));
            assert_eq!(bearing, expected, "bearing at {size:?}");
            let expected = deviations(um("seat_lower"), um("seat_upper"));
            assert_eq!(seat, expected, "{class} at {size:?}");
            let got = match surface {
                RingSurface::Bore => clearances_um(&bearing, &seat),
                RingSurface::Outside => clearances_um(&seat, &bearing),
            };
            assert_eq!(got, (um("theo_min"), um("theo_max")), "{class} at {size:?}");
        }
        count += 1;
    }
    assert_eq!(count, 441, "rows lost while reading");
}

#[derive(serde::Deserialize)]
struct Disagreements {
    case: Vec<Disagreement>,
}

#[derive(serde::Deserialize)]
struct Disagreement {
    r#where: String,
    kind: String,
    class: String,
    surface: String,
    over_mm: f64,
    upto_mm: f64,
    printed_lower_um: f64,
    printed_upper_um: f64,
    kept_lower_um: Option<f64>,
    kept_upper_um: Option<f64>,
}

impl Disagreement {
    fn kind(&self) -> RingKind {
        let mut kinds = RingKind::ALL.into_iter();
        kinds.find(|kind| kind.as_str() == self.kind).unwrap()
    }

    fn surface(&self) -> RingSurface {
        match self.surface.as_str() {
            "bore" => RingSurface::Bore,
            "outside" => RingSurface::Outside,
            other => panic!("{other}"),
        }
    }

    fn ends(&self) -> [Length; 2] {
        ends(SizeRange {
            over: millimetres(self.over_mm),
            upto: Some(millimetres(self.upto_mm)),
        })
    }

    fn covers(&self, kind: RingKind, surface: RingSurface, size: Length) -> bool {
        let (over, upto) = (millimetres(self.over_mm), Some(millimetres(self.upto_mm)));
        let range = SizeRange { over, upto };
        self.kind() == kind && self.surface() == surface && range.holds(size)
    }
}

fn disagreements() -> Vec<Disagreement> {
    let text = include_str!("../../../../shared/reference/iso492_disagreements.toml");
    let table: Disagreements = toml::from_str(text).unwrap();
    table.case
}

#[test]
fn where_published_ring_tables_disagree_the_kept_value_stands() {
    let cases = disagreements();
    assert_eq!(cases.len(), 5, "rows lost or new");
    for case in &cases {
        let printed = deviations(case.printed_lower_um, case.printed_upper_um);
        for size in case.ends() {
            let got = ring(case.kind(), &case.class, case.surface(), size);
            match case.kept_lower_um.zip(case.kept_upper_um) {
                Some((lower, upper)) => {
                    let got = got.unwrap().deviations;
                    assert_eq!(got, deviations(lower, upper), "{}", case.r#where);
                    assert_ne!(got, printed, "{}: no disagreement", case.r#where);
                }
                None => assert!(got.is_err(), "{}", case.r#where),
            }
        }
    }
}

/// The rows of a table of recommended seats for four-row tapered roller bearings.
struct SeatTable {
    text: &'static str,
    surface: RingSurface,
    /// Columns of the ring's deviations, lower and upper, then of the seat's.
    ring: [&'static str; 2],
    seat: [&'static str; 2],
    rows: usize,
}

const SEAT_TABLES: [SeatTable; 2] = [
    SeatTable {
        text: include_str!("../../../../shared/reference/chock_fits.csv"),
        surface: RingSurface::Outside,
        ring: ["od_low", "od_high"],
        seat: ["chock_low", "chock_high"],
        rows: 14,
    },
    SeatTable {
        text: include_str!("../../../../shared/reference/rollneck_fits.csv"),
        surface: RingSurface::Bore,
        ring: ["bore_low", "bore_high"],
        seat: ["neck_low", "neck_high"],
        rows: 13,
    },
];

#[test]
fn chock_and_roll_neck_tables_follow_from_ring_and_fit_or_are_listed_as_disagreeing() {
    let disagreements = disagreements();
    for table in SEAT_TABLES {
        let (mut count, mut disagreeing) = (0, 0);
        for row in SizeTable::parse(table.text).rows() {
            let um = |column: &str| row.number(column).unwrap();
            let printed = deviations(um(table.ring[0]), um(table.ring[1]));
            let seat = deviations(um(table.seat[0]), um(table.seat[1]));
            let got = match table.surface {
                RingSurface::Outside => clearances_um(&seat, &printed),
                RingSurface::Bore => clearances_um(&printed, &seat),
            };
            assert_eq!(got, (um("clear_min"), um("clear_max")), "{:?}", row.range());
            let (kind, class) = match row.text("series") {
                "metric" => (RingKind::TaperedMetric, "Normal"),
                "inch" => (RingKind::TaperedInch, "4"),
                other => panic!("{other}"),
            };
            let mut sizes = ends(row.range()).to_vec();
            // A row without end is read up to 60 inches, where the chock table ends.
            if row.range().upto.is_none() {
                sizes[1] = millimetres(1_524.0);
            }
            for size in sizes {
                let got = ring(kind, class, table.surface, size);
                let agrees = got.is_ok_and(|limits| limits.deviations == printed);
                let is_listed = |case: &Disagreement| case.covers(kind, table.surface, size);
                let is_listed = disagreements.iter().any(is_listed);
                assert_eq!(agrees, !is_listed, "{kind:?} {class} at {size:?}");
                disagreeing += usize::from(is_listed);
            }
            count += 1;
        }
        assert_eq!(count, table.rows, "rows lost while reading");
        assert!(disagreeing > 0, "the list is used");
    }
}
