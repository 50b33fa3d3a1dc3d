//! Every field of the mounting sheet: its path, what people call it, what it holds, and the order of the work.
//!
//! Fields that the teardown sheet has too (chock, roll, neck, grease, fitter) keep their paths; all others begin with
//! `mount.`, so that no path means two things.

mod own;
mod rows;
mod section;

pub use own::OWN;
pub use rows::{
    Asked, BEFORE, CLOSING, COVER, COVER_GAUGE, Group, NECK_GAUGE, PLAY, RADIAL, RING, RING_GAUGE,
    SEAT, ZONES, groups, play,
};
pub use section::{Family, Section};

use crate::draft::Fields;
use crate::form::{FieldKind, find};
use crate::sheet::field as shared;

/// Places round a ring or a cover, degrees.
pub const PLACES: [i64; 4] = [0, 90, 180, 270];

/// True for a field that only the mounting sheet has.
pub fn is_own(path: &str) -> bool {
    find(OWN, path).is_some()
}

/// What a field of this sheet alone holds.
pub fn kind(path: &str) -> Option<FieldKind> {
    find(OWN, path).map(|(_, field)| field.kind)
}

/// What people call a field of this sheet alone.
pub fn label(path: &str) -> Option<&'static str> {
    find(OWN, path).map(|(_, field)| field.label)
}

/// What people call any field of a mounting sheet.
pub fn name(path: &str) -> String {
    match path {
        "identify.position" => "Position".into(),
        "identify.at" => "Mounted on".into(),
        _ => shared::label(path),
    }
}

/// What gauges a field for a gauge takes, by what they measure.
pub fn measures(path: &str) -> &'static [&'static str] {
    match path {
        "mount.ring.gauge" => &["bore"],
        "mount.heat.gauge" => &["temperature"],
        "mount.bolt.wrench" => &["torque"],
        "mount.seat.gauge" => &["gap", "other"],
        _ => &["gap", "width", "other"],
    }
}

/// The gauge field of a reading.
pub fn gauge_of(path: &str) -> Option<&'static str> {
    Some(match path {
        "mount.heat.ring" | "mount.heat.neck" => "mount.heat.gauge",
        "mount.thrust" => "mount.thrust.gauge",
        "mount.bolt.torque" => "mount.bolt.wrench",
        "mount.push" => "mount.push.gauge",
        _ if RING.contains(&path) => "mount.ring.gauge",
        _ if SEAT.contains(&path) => "mount.seat.gauge",
        _ if COVER.contains(&path) => COVER_GAUGE,
        _ if path.starts_with("mount.play.")
            || path.starts_with("mount.radial.")
            || path.starts_with("mount.before.") =>
        {
            "mount.play.gauge"
        }
        _ if path.starts_with("neck.") && shared::grid(path).is_some() => "neck.gauge",
        _ => return None,
    })
}

/// The section that a field stands in.
pub fn section(path: &str) -> Option<Section> {
    if let Some((section, _)) = find(OWN, path) {
        return Some(section);
    }
    Some(match path {
        "sign.fitter" => Section::Sign,
        "skip.grease" | "lube.approval" => Section::Grease,
        "skip.neck" | "skip.neck_check" => Section::Neck,
        "skip.bolts" => Section::Cover,
        _ if path.starts_with("identify.") => Section::Identify,
        _ if path.starts_with("neck.") => Section::Neck,
        _ if path.starts_with("grease.") => Section::Grease,
        _ => return None,
    })
}

fn has(fields: &Fields, path: &str) -> bool {
    fields.get(path).is_some_and(|f| !f.text.trim().is_empty())
}

/// The fields of a section in the order of the caret.
pub fn order(section: Section, asked: &Asked) -> Vec<String> {
    let groups = groups(section, asked);
    groups.into_iter().flat_map(|group| group.paths).collect()
}

/// Where a field stands in the order of the work: its section and its place there.
pub fn rank(path: &str) -> (usize, usize) {
    let Some(section) = section(path) else {
        return (usize::MAX, 0);
    };
    let families = [Family::Cylindrical, Family::Tapered, Family::Spherical];
    let place = families.iter().find_map(|family| {
        let asked = Asked {
            family: *family,
            fields: &Fields::new(),
            is_other_grease: true,
            is_other_zone: true,
        };
        let order = order(section, &asked);
        order.iter().position(|p| p == path)
    });
    (section as usize, place.unwrap_or(usize::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::named;

    #[test]
    fn every_field_has_a_place_in_the_order_of_its_section_and_a_name_of_its_own() {
        let mut asked = Fields::new();
        let field = |text: &str| crate::draft::DraftField {
            text: text.into(),
            source: crate::draft::Source::Typed,
        };
        asked.insert("mount.heat.by".into(), field("induction"));
        asked.insert("mount.outcome".into(), field("not_mounted"));
        for gauge in [NECK_GAUGE[0], RING_GAUGE[0]] {
            asked.insert(gauge.into(), field("G-1"));
        }
        let all: Vec<String> = [Family::Tapered, Family::Cylindrical, Family::Spherical]
            .into_iter()
            .flat_map(|family| {
                let asked = Asked {
                    family,
                    fields: &asked,
                    is_other_grease: true,
                    is_other_zone: true,
                };
                Section::ALL.map(|section| order(section, &asked))
            })
            .flatten()
            .collect();
        for (of, field) in named(OWN) {
            let path = field.path;
            assert!(
                all.iter().any(|p| p == path) || path.starts_with("skip."),
                "{path}"
            );
            assert_eq!(section(path), Some(of), "{path}");
        }
        for path in &all {
            assert!(shared::kind(path).is_some(), "{path}");
            assert_ne!(shared::label(path), *path);
        }
        let mut names: Vec<&str> = named(OWN).map(|(_, field)| field.label).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), named(OWN).count());
    }

    #[test]
    fn the_family_decides_which_sections_there_are() {
        assert!(!Section::of(Family::Tapered).contains(&Section::Heating));
        assert_eq!(Section::of(Family::Cylindrical).len(), Section::ALL.len());
        assert_eq!(Family::of("two_row_thrust"), None);
    }
}
