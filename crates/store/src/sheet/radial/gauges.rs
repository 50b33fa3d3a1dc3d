//! The gauges of a clearance that belongs to the whole bearing: which fields name them, what is read on each.

use crate::sheet::assess::Values;
use crate::sheet::facts::{Facts, GaugeFacts};
use crate::sheet::field::radial::{RadialCell, Way};

/// The gauges of a way.
pub(super) fn gauges<'a>(
    values: &Values<'a>,
    facts: &'a Facts,
    way: Way,
) -> Vec<Option<&'a GaugeFacts>> {
    gauge_paths(way)
        .iter()
        .map(|path| values.gauge(facts, path))
        .collect()
}

/// The fields that name the gauges of a way.
pub fn gauge_paths(way: Way) -> &'static [&'static str] {
    match way {
        Way::Diameters => &["radial.gauge", "radial.gauge_rollers"],
        Way::Leaves | Way::ThinRing | Way::Axial => &["radial.gauge"],
    }
}

/// The same, each with what is read on it.
pub fn gauges_for(way: Way) -> impl Iterator<Item = (&'static str, &'static str)> {
    let paths = gauge_paths(way).iter().copied();
    paths.map(move |path| match (way, path) {
        (Way::Diameters, "radial.gauge_rollers") => (path, "rollers"),
        (Way::Diameters, _) => (path, "raceway"),
        (Way::Leaves | Way::ThinRing, _) => (path, "feeler"),
        (Way::Axial, _) => (path, "indicator"),
    })
}

/// The field that names the gauge of one value.
pub(in crate::sheet) fn gauge_of(cell: RadialCell) -> &'static str {
    match cell {
        RadialCell::Rollers { .. } => "radial.gauge_rollers",
        _ => "radial.gauge",
    }
}

/// What a gauge has to measure for that: one of these words.
pub fn gauge_measures(way: Way, path: &str) -> &'static str {
    match (way, path) {
        (Way::Diameters, "radial.gauge_rollers") => "bore",
        (Way::Diameters, _) => "neck",
        // A feeler set is registered as either.
        (Way::Leaves | Way::ThinRing, _) => "gap other",
        (Way::Axial, _) => "width",
    }
}
