//! Fewer keys on the teardown sheet: which readings go on by themselves, what a plus sign takes. Nothing measured is ever
//! filled in.

use store::sheet::field;

use super::fields::Sheet;
use super::order::advised;

/// Whether the caret goes on once a reading is whole.
pub(super) fn goes_on(path: &str) -> bool {
    field::grid(path).is_some()
        || path.contains(".check.")
        || path.starts_with("cover.gap.")
        || path.starts_with("shim.")
}

/// What counts where nothing is chosen: how the rules of the bench have it, and angles as the drawings show them. A plant
/// that reads them from inboard has that chosen when the sheet is begun.
pub(super) fn unsaid(path: &str) -> &'static str {
    match path {
        "clearance.method" => "bench",
        "findings.side" => "outboard",
        _ => "",
    }
}

/// What may be taken by one key: as last time, as advised, or nothing out of the ordinary.
pub(super) fn offer(sheet: &Sheet, path: &str) -> Option<String> {
    let facts = sheet.facts();
    match path {
        "found.seal" => Some("sound".into()),
        "found.grease" => Some("normal".into()),
        "found.water" | "found.chips" => Some("none".into()),
        "found.rotation" => Some("free".into()),
        "found.bolts" => Some("tight".into()),
        "found.seal_batch" => facts.shop.seal_in.clone(),
        "identify.roll" => facts.last_roll.clone(),
        "decision.choice" => Some(sheet.a.recommendation.disposition.as_str().into()),
        "zone.choice" => advised(&sheet.a).map(|zone| zone.as_str().to_owned()),
        "reassemble.chock" => facts.chock.as_ref().map(|chock| chock.code.clone()),
        _ => {
            // What was used last time may be blocked or overdue by now.
            let usual = facts.shop.usual.get(path)?;
            let is_blocked = facts.blocked.keys().any(|code| code == usual);
            let mut gauges = facts.gauges.values();
            let is_overdue = gauges.any(|g| g.code == *usual && g.is_overdue);
            (!is_blocked && !is_overdue).then(|| usual.clone())
        }
    }
}

/// Fields that one plus answers together.
pub(super) fn together(path: &str) -> &[&str] {
    const FOUND: [&str; 6] = [
        "found.seal",
        "found.grease",
        "found.water",
        "found.rotation",
        "found.bolts",
        "found.chips",
    ];
    const CLEAN: [&str; 4] = [
        "clean.state",
        "clean.agent",
        "clean.dried",
        "clean.preserved",
    ];
    const BENCH: [&str; 2] = ["clearance.gauge_gap", "clearance.gauge_width"];
    const BORE: [&str; 2] = ["bore.gauge", "bore.thermometer"];
    const NECK: [&str; 2] = ["neck.gauge", "neck.thermometer"];
    let all: [&'static [&'static str]; 5] = [&FOUND, &CLEAN, &BENCH, &BORE, &NECK];
    for group in all {
        if let Some(at) = group.iter().position(|one| *one == path) {
            return &group[at..];
        }
    }
    // A field of its own.
    ALONE
        .iter()
        .position(|one| *one == path)
        .map_or(&[], |at| &ALONE[at..=at])
}

/// Fields that plus answers alone.
const ALONE: [&str; 17] = [
    "found.seal_batch",
    "identify.roll",
    "decision.choice",
    "zone.choice",
    "reassemble.chock",
    "clearance.method",
    "chock.gauge",
    "ring.thermometer",
    "grease.kind",
    "seals.batch",
    "bolts.wrench",
    "radial.method",
    "radial.gauge",
    "radial.gauge_rollers",
    "ring.gauge",
    "taper.gauge",
    "taper.push_gauge",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_caret_goes_on_after_what_is_measured() {
        for (path, expected) in [
            ("clearance.gap.1.0", true),
            ("after.1", true),
            ("cover.gap.90", true),
            ("bore.temp_first", false),
            ("finding.1.size", false),
        ] {
            assert_eq!(goes_on(path), expected, "{path}");
        }
    }
}
