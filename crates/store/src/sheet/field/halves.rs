//! The fields of what sits between bearing and neck: bore of the inner ring of a cylindrical bearing, and what a taper
//! took of the clearance of a spherical one.

use super::{PAIRS, SEAT_DEGREES, Section};
use crate::form::Choice as Of;
use crate::form::{Lists, choice, gauge, length, temperature, words};

/// Fields that are named by one path only.
pub const PLAIN: &Lists<Section> = &[
    (
        Section::Clearance,
        &[
            length("taper.mounted.1", "Clearance on the taper, row 1"),
            length("taper.mounted.2", "Clearance on the taper, row 2"),
            gauge("taper.gauge", "Gauge for the clearance on the taper"),
            length("taper.push", "Push-up found"),
            gauge("taper.push_gauge", "Gauge for the push-up"),
            words("taper.note", "Marks on the taper seat"),
            words("skip.taper", "Clearance on the taper not read, because"),
        ],
    ),
    (
        Section::Seats,
        &[
            gauge("ring.thermometer", "Thermometer at the inner ring"),
            temperature("ring.temp", "Inner ring temperature"),
            temperature("ring.temp_gauge", "Gauge temperature at the inner ring"),
            gauge("ring.gauge", "Gauge for the inner ring"),
            choice("ring.cracks", "Crack test of the inner ring", Of::CrackTest),
            words("skip.ring", "Inner ring not measured, because"),
            words("skip.ring_cracks", "Inner ring not crack tested, because"),
        ],
    ),
];

/// Path of a two-point size of the inner ring's bore: plane 1 to 3 from the barrel, direction in degrees.
pub fn ring(plane: usize, degrees: i64) -> String {
    format!("ring.{plane}.{degrees}")
}

/// Plane and direction of such a path.
pub fn parse_ring(path: &str) -> Option<(usize, i64)> {
    path.strip_prefix("ring.")?;
    let mut all = PAIRS
        .into_iter()
        .flat_map(|plane| SEAT_DEGREES.map(|degrees| (plane, degrees)));
    all.find(|(plane, degrees)| path == ring(*plane, *degrees))
}

/// The fields of the inner ring in the order of measuring.
pub fn ring_order() -> Vec<String> {
    let sizes = PAIRS
        .into_iter()
        .flat_map(|plane| SEAT_DEGREES.map(|degrees| ring(plane, degrees)));
    ["ring.temp", "ring.temp_gauge"]
        .map(str::to_owned)
        .into_iter()
        .chain(sizes)
        .chain(["ring.gauge".to_owned(), "ring.cracks".to_owned()])
        .collect()
}

/// Clearance on the taper by row.
pub const MOUNTED: [&str; 2] = ["taper.mounted.1", "taper.mounted.2"];

/// The fields of the taper in the order of the work: before it is driven off.
pub const TAPER: [&str; 6] = [
    "taper.push",
    "taper.push_gauge",
    "taper.mounted.1",
    "taper.mounted.2",
    "taper.gauge",
    "taper.note",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_size_of_the_ring_is_found_again_by_its_path() {
        let order = ring_order();
        assert_eq!(order.len(), 16);
        let sizes = order.iter().filter_map(|path| parse_ring(path)).count();
        assert_eq!(sizes, 12);
        assert_eq!(parse_ring("ring.4.0"), None);
        assert_eq!(parse_ring("ring.gauge"), None);
        for path in order.iter().map(String::as_str).chain(TAPER) {
            assert!(super::super::kind(path).is_some(), "{path}");
            assert_ne!(super::super::label(path), path);
            assert!(super::super::section(path).is_some(), "{path}");
        }
    }
}
