//! The rows of each section in the order of the work.

use super::{Family, Section, has};
use crate::draft::Fields;
use crate::sheet::field::{self as shared, SEAT_DEGREES, SeatName};

/// What stands in one row of a section.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// What the row is about; empty where its fields say it.
    pub title: &'static str,
    /// Its fields.
    pub paths: Vec<String>,
}

/// What the rows depend on.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// Sort of bearing.
    pub family: Family,
    /// What was typed.
    pub fields: &'a Fields,
    /// Whether the grease is another than the approved one.
    pub is_other_grease: bool,
    /// Whether the zones that are up want a word: they differ, or the record says another.
    pub is_other_zone: bool,
}

/// The rows of a section in the order of the work; a reason why not stands last, and only where something is open.
pub fn groups(section: Section, asked: &Asked) -> Vec<Group> {
    let (family, fields) = (asked.family, asked.fields);
    let mut all = Vec::new();
    let mut row = |title: &'static str, paths: &[&str]| {
        let paths = paths.iter().map(|p| (*p).to_owned()).collect();
        all.push(Group { title, paths });
    };
    let is_open = |paths: &[&str], skip: &str| {
        has(fields, skip) || paths.iter().any(|path| !has(fields, path))
    };
    match section {
        Section::Identify => {
            row(
                "",
                &["identify.chock", "identify.roll", "identify.position"],
            );
            row("", &["identify.at"]);
            row("", &["mount.note"]);
        }
        Section::Neck => {
            // Nothing is read with a gauge before it was read on its standard.
            row("Before use", &NECK_GAUGE);
            if has(fields, NECK_GAUGE[0]) && is_open(&NECK_GAUGE[1..], "skip.neck_check") {
                row("", &["skip.neck_check"]);
            }
            row("Temperatures", &["neck.temp_first", "neck.temp_gauge"]);
            for plane in shared::PAIRS {
                let paths = SEAT_DEGREES.map(|at| shared::size(SeatName::Neck, plane, at));
                let paths: Vec<&str> = paths.iter().map(String::as_str).collect();
                row(["Plane 1", "Plane 2", "Plane 3"][plane - 1], &paths);
            }
            row("Last", &["neck.temp_last"]);
            row("", &["mount.neck.cracks"]);
            if is_open(&["mount.neck.cracks"], "skip.mount.cracks") {
                row("", &["skip.mount.cracks"]);
            }
            let sizes = shared::seat_order(SeatName::Neck);
            let sizes: Vec<&str> = sizes.iter().map(String::as_str).collect();
            if is_open(&sizes, "skip.neck") {
                row("", &["skip.neck"]);
            }
        }
        Section::Fit => {
            row("Before use", &RING_GAUGE);
            if has(fields, RING_GAUGE[0]) && is_open(&RING_GAUGE[1..], "skip.mount.ring_check") {
                row("", &["skip.mount.ring_check"]);
            }
            row(
                "Temperatures",
                &["mount.ring.temp", "mount.ring.temp_gauge"],
            );
            row("Ring bore", &RING);
            if is_open(&RING, "skip.mount.ring") {
                row("", &["skip.mount.ring"]);
            }
        }
        Section::Heating => {
            row("", &["mount.heat.by"]);
            row(
                "",
                &[
                    "mount.heat.neck",
                    "mount.heat.margin",
                    "mount.heat.ring",
                    "mount.heat.gauge",
                ],
            );
            if fields
                .get("mount.heat.by")
                .is_some_and(|f| f.text == "induction")
            {
                row("", &["mount.heat.demagnetised"]);
            }
            if is_open(&["mount.heat.by"], "skip.mount.heat") {
                row("", &["skip.mount.heat"]);
            }
        }
        Section::Seating => {
            row("Gap at the ring faces", &SEAT);
            row("", &["mount.seat.gauge"]);
            if is_open(&SEAT, "skip.mount.seat") {
                row("", &["skip.mount.seat"]);
            }
        }
        Section::Parts => {
            row("", &["mount.parts.order"]);
            for zone in &ZONES[..family.outer_rings()] {
                row("", &[zone]);
            }
            if asked.is_other_zone || has(fields, "mount.parts.reason") {
                row("", &["mount.parts.reason"]);
            }
            if is_open(&["mount.parts.order"], "skip.mount.parts") {
                row("", &["skip.mount.parts"]);
            }
        }
        Section::Clearance => clearance(family, &mut row, &is_open),
        Section::Grease => {
            row("", &["grease.kind"]);
            let rows = &GREASE[..family.rows()];
            row("Grease", rows);
            if asked.is_other_grease || has(fields, "lube.approval") {
                row("", &["lube.approval"]);
            }
            row("", &["mount.seal.batch"]);
            row("", &["mount.seal.lip"]);
            if is_open(&[&["grease.kind"], rows].concat(), "skip.grease") {
                row("", &["skip.grease"]);
            }
        }
        Section::Cover => {
            row("Gap at the cover", &COVER);
            row("", &[COVER_GAUGE]);
            if is_open(&COVER, "skip.mount.cover") {
                row("", &["skip.mount.cover"]);
            }
            row("", &CLOSING[..3]);
            row("", &CLOSING[3..]);
            if is_open(&CLOSING, "skip.bolts") {
                row("", &["skip.bolts"]);
            }
        }
        Section::Protect => row("", &["mount.protect"]),
        Section::Sign => {
            row("", &["mount.outcome"]);
            if fields
                .get("mount.outcome")
                .is_some_and(|f| f.text == "not_mounted")
                || has(fields, "mount.reason")
            {
                row("", &["mount.reason"]);
            }
            row("", &["sign.fitter"]);
        }
    }
    all
}

fn clearance(
    family: Family,
    row: &mut impl FnMut(&'static str, &[&str]),
    is_open: &impl Fn(&[&str], &str) -> bool,
) {
    let asked = play(family);
    match family {
        Family::Tapered => row("End play", &PLAY),
        Family::Cylindrical => row("Radial play, mounted", &RADIAL),
        Family::Spherical => {
            row("Radial play, before", &BEFORE);
            row("Radial play, mounted", &RADIAL[..2]);
            row("", &["mount.push", "mount.push.gauge"]);
        }
    }
    row("", &["mount.play.gauge"]);
    if is_open(asked, "skip.mount.play") {
        row("", &["skip.mount.play"]);
    }
    if family == Family::Cylindrical {
        row("Thrust bearing", &["mount.thrust", "mount.thrust.gauge"]);
        if is_open(&["mount.thrust"], "skip.mount.thrust") {
            row("", &["skip.mount.thrust"]);
        }
    }
}

/// The gauge of the neck, and what it reads on its setting ring or standard.
pub const NECK_GAUGE: [&str; 3] = ["neck.gauge", "neck.check.read", "neck.check.standard"];
/// The same of the ring bore.
pub const RING_GAUGE: [&str; 3] = [
    "mount.ring.gauge",
    "mount.ring.check.read",
    "mount.ring.check.standard",
];
/// Two-point sizes of the ring bore.
pub const RING: [&str; 4] = [
    "mount.ring.1",
    "mount.ring.2",
    "mount.ring.3",
    "mount.ring.4",
];
/// Gap at the ring faces.
pub const SEAT: [&str; 4] = [
    "mount.seat.0",
    "mount.seat.90",
    "mount.seat.180",
    "mount.seat.270",
];
/// Gap at the cover.
pub const COVER: [&str; 4] = [
    "mount.cover.0",
    "mount.cover.90",
    "mount.cover.180",
    "mount.cover.270",
];
/// What the gap at the cover is read on.
pub const COVER_GAUGE: &str = "mount.cover.gauge";
/// How the cover is closed: shims, and the bolts.
pub const CLOSING: [&str; 4] = [
    "mount.shim",
    "mount.bolt.torque",
    "mount.bolt.wrench",
    "mount.bolt.pattern",
];
/// Load zone up on each outer ring.
pub const ZONES: [&str; 4] = [
    "mount.parts.zone.1",
    "mount.parts.zone.2",
    "mount.parts.zone.3",
    "mount.parts.zone.4",
];
/// End play of the row pairs.
pub const PLAY: [&str; 3] = ["mount.play.1", "mount.play.2", "mount.play.3"];
/// Radial play of a spherical bearing before it is mounted, by row.
pub const BEFORE: [&str; 2] = ["mount.before.1", "mount.before.2"];
/// Radial play as mounted: by place, or by row.
pub const RADIAL: [&str; 3] = ["mount.radial.1", "mount.radial.2", "mount.radial.3"];
const GREASE: [&str; 4] = [
    "grease.row.1",
    "grease.row.2",
    "grease.row.3",
    "grease.row.4",
];

/// The readings that say what play is left.
pub fn play(family: Family) -> &'static [&'static str] {
    match family {
        Family::Tapered => &PLAY,
        Family::Cylindrical => &RADIAL,
        Family::Spherical => &RADIAL[..2],
    }
}
