//! Every field of the mounting sheet: its path, what people call it, what it holds, and the order of the work.
//!
//! Fields that the teardown sheet has too (chock, roll, neck, grease, fitter) keep their paths; all others begin with
//! `mount.`, so that no path means two things.

use crate::draft::Fields;
use crate::entry::Quantity;
use crate::sheet::field::{self as shared, Choice as Of, FieldKind, SEAT_DEGREES, SeatName};

/// Sort of bearing: which sections a sheet has, and which fields they ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Family {
    /// Four-row tapered: slides on its neck.
    #[default]
    Tapered,
    /// Four-row cylindrical: the inner half is heated onto the neck, the outer half lies in the chock.
    Cylindrical,
    /// Two-row spherical: pushed up on a taper, or heated.
    Spherical,
}

impl Family {
    /// The family of a kind of bearing type; none where no mounting sheet is for it.
    pub fn of(kind: &str) -> Option<Self> {
        match kind {
            "four_row_tapered" => Some(Self::Tapered),
            "four_row_cylindrical" | "four_row_cylindrical_inner" => Some(Self::Cylindrical),
            "two_row_spherical" => Some(Self::Spherical),
            _ => None,
        }
    }

    /// Outer rings that have load zones of their own.
    pub fn outer_rings(self) -> usize {
        match self {
            Self::Tapered => 3,
            Self::Cylindrical => 4,
            Self::Spherical => 1,
        }
    }

    /// Rows that get grease.
    pub fn rows(self) -> usize {
        if self == Self::Spherical { 2 } else { 4 }
    }
}

/// The sections in the order of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Section {
    /// Which chock, roll, position.
    Identify,
    /// Size, temperature and cracks of the neck.
    Neck,
    /// What the fit is, and which part is at fault.
    Fit,
    /// How warm the ring has to be, and was.
    Heating,
    /// Gap at the ring faces once cooled.
    Seating,
    /// Parts in order, load zone up.
    Parts,
    /// What play is left.
    Clearance,
    /// Grease and seals.
    Grease,
    /// Cover, shims, bolts.
    Cover,
    /// How it is kept clean until it runs.
    Protect,
    /// Who says so.
    Sign,
}

impl Section {
    /// All sections.
    pub const ALL: [Self; 11] = [
        Self::Identify,
        Self::Neck,
        Self::Fit,
        Self::Heating,
        Self::Seating,
        Self::Parts,
        Self::Clearance,
        Self::Grease,
        Self::Cover,
        Self::Protect,
        Self::Sign,
    ];

    /// Those of a family.
    pub fn of(family: Family) -> Vec<Self> {
        let is_shown = |section: &Self| {
            family != Family::Tapered || !matches!(section, Self::Heating | Self::Seating)
        };
        Self::ALL.into_iter().filter(is_shown).collect()
    }

    /// Its name.
    pub fn title(self) -> &'static str {
        match self {
            Self::Identify => "Identify",
            Self::Neck => "Neck",
            Self::Fit => "Fit",
            Self::Heating => "Heating",
            Self::Seating => "Seating",
            Self::Parts => "Parts",
            Self::Clearance => "Clearance",
            Self::Grease => "Grease, seals",
            Self::Cover => "Cover",
            Self::Protect => "Protection",
            Self::Sign => "Sign",
        }
    }

    /// What is done in it, in a few words.
    pub fn about(self, family: Family) -> &'static str {
        match (self, family) {
            (Self::Identify, _) => "scan or type: chock, roll, position",
            (Self::Neck, _) => "sizes as the gauge shows them, planes from the barrel",
            (Self::Fit, _) => "bore of the ring, two-point sizes",
            (Self::Heating, _) => "ring and neck, with a contact thermometer",
            (Self::Seating, _) => "feeler at the ring faces, once cooled",
            (Self::Parts, _) => "in the order in which they went in",
            (Self::Clearance, Family::Tapered) => "end play as mounted",
            (Self::Clearance, _) => "radial play by feeler, as mounted",
            (Self::Grease, _) => "by weight",
            (Self::Cover, _) => "gap at four places, shims, bolts",
            (Self::Protect, _) => "until it goes into the mill",
            (Self::Sign, _) => "",
        }
    }
}

/// What stands in one row of a section.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// What the row is about; empty where its fields say it.
    pub title: &'static str,
    /// Its fields.
    pub paths: Vec<String>,
}

/// Places round a ring or a cover, degrees.
pub const PLACES: [i64; 4] = [0, 90, 180, 270];

const LENGTH: FieldKind = FieldKind::Number(Quantity::Length);
const TEMPERATURE: FieldKind = FieldKind::Number(Quantity::Temperature);

/// Fields that no other sheet has: path, what a person calls it, what it holds, section.
pub const OWN: [(&str, &str, FieldKind, Section); 59] = {
    use FieldKind::{Choice, Code, Number, Words, Zone};
    use Section::{
        Clearance, Cover, Fit, Grease, Heating, Identify, Neck, Parts, Protect, Seating, Sign,
    };
    const GAUGE: FieldKind = Code("gauge");
    [
        ("mount.note", "Remark", Words, Identify),
        (
            "mount.neck.cracks",
            "Crack test of the neck",
            Choice(Of::CrackTest),
            Neck,
        ),
        ("mount.ring.1", "Ring bore at 0 degrees", LENGTH, Fit),
        ("mount.ring.2", "Ring bore at 45 degrees", LENGTH, Fit),
        ("mount.ring.3", "Ring bore at 90 degrees", LENGTH, Fit),
        ("mount.ring.4", "Ring bore at 135 degrees", LENGTH, Fit),
        ("mount.ring.temp", "Ring temperature", TEMPERATURE, Fit),
        (
            "mount.ring.temp_gauge",
            "Bore gauge temperature",
            TEMPERATURE,
            Fit,
        ),
        ("mount.ring.gauge", "Gauge for the ring bore", GAUGE, Fit),
        (
            "skip.mount.ring",
            "Ring bore not measured, because",
            Words,
            Fit,
        ),
        ("mount.heat.by", "Heated by", Choice(Of::HeatedBy), Heating),
        (
            "mount.heat.neck",
            "Neck temperature at heating",
            TEMPERATURE,
            Heating,
        ),
        ("mount.heat.margin", "Room to slide", LENGTH, Heating),
        (
            "mount.heat.ring",
            "Ring temperature reached",
            TEMPERATURE,
            Heating,
        ),
        ("mount.heat.gauge", "Thermometer", GAUGE, Heating),
        (
            "mount.heat.demagnetised",
            "Demagnetised",
            Choice(Of::Yes),
            Heating,
        ),
        (
            "skip.mount.heat",
            "Heating not noted, because",
            Words,
            Heating,
        ),
        (
            "mount.seat.0",
            "Gap at the ring faces at 0 degrees",
            LENGTH,
            Seating,
        ),
        (
            "mount.seat.90",
            "Gap at the ring faces at 90 degrees",
            LENGTH,
            Seating,
        ),
        (
            "mount.seat.180",
            "Gap at the ring faces at 180 degrees",
            LENGTH,
            Seating,
        ),
        (
            "mount.seat.270",
            "Gap at the ring faces at 270 degrees",
            LENGTH,
            Seating,
        ),
        (
            "mount.seat.gauge",
            "Feeler for the ring faces",
            GAUGE,
            Seating,
        ),
        (
            "skip.mount.seat",
            "Ring faces not gauged, because",
            Words,
            Seating,
        ),
        (
            "mount.parts.order",
            "Parts by mark, from the barrel",
            Words,
            Parts,
        ),
        ("mount.parts.zone.1", "Zone up, outer ring 1", Zone, Parts),
        ("mount.parts.zone.2", "Zone up, outer ring 2", Zone, Parts),
        ("mount.parts.zone.3", "Zone up, outer ring 3", Zone, Parts),
        ("mount.parts.zone.4", "Zone up, outer ring 4", Zone, Parts),
        ("mount.parts.reason", "Why these zones", Words, Parts),
        (
            "skip.mount.parts",
            "Parts not read back, because",
            Words,
            Parts,
        ),
        ("mount.play.1", "End play rows 1-2", LENGTH, Clearance),
        ("mount.play.2", "End play rows 2-3", LENGTH, Clearance),
        ("mount.play.3", "End play rows 3-4", LENGTH, Clearance),
        (
            "mount.before.1",
            "Radial play before, row 1",
            LENGTH,
            Clearance,
        ),
        (
            "mount.before.2",
            "Radial play before, row 2",
            LENGTH,
            Clearance,
        ),
        (
            "mount.radial.1",
            "Radial play mounted, place 1",
            LENGTH,
            Clearance,
        ),
        (
            "mount.radial.2",
            "Radial play mounted, place 2",
            LENGTH,
            Clearance,
        ),
        (
            "mount.radial.3",
            "Radial play mounted, place 3",
            LENGTH,
            Clearance,
        ),
        ("mount.push", "Push-up on the taper", LENGTH, Clearance),
        (
            "mount.push.gauge",
            "Gauge for the push-up",
            GAUGE,
            Clearance,
        ),
        ("mount.play.gauge", "Gauge for the play", GAUGE, Clearance),
        (
            "skip.mount.play",
            "Play not measured, because",
            Words,
            Clearance,
        ),
        (
            "mount.thrust",
            "Axial play of the thrust bearing",
            LENGTH,
            Clearance,
        ),
        (
            "mount.thrust.gauge",
            "Gauge for the thrust bearing",
            GAUGE,
            Clearance,
        ),
        (
            "skip.mount.thrust",
            "Thrust bearing not measured, because",
            Words,
            Clearance,
        ),
        ("mount.seal.batch", "Seal batch", Code("seal_batch"), Grease),
        ("mount.seal.lip", "Lip looks", Choice(Of::Lip), Grease),
        ("mount.cover.0", "Cover gap at 0 degrees", LENGTH, Cover),
        ("mount.cover.90", "Cover gap at 90 degrees", LENGTH, Cover),
        ("mount.cover.180", "Cover gap at 180 degrees", LENGTH, Cover),
        ("mount.cover.270", "Cover gap at 270 degrees", LENGTH, Cover),
        ("mount.shim", "Shims put in", LENGTH, Cover),
        (
            "skip.mount.cover",
            "Cover gap not measured, because",
            Words,
            Cover,
        ),
        (
            "mount.bolt.torque",
            "Torque of the cover bolts",
            Number(Quantity::Torque),
            Cover,
        ),
        (
            "mount.bolt.pattern",
            "Tightened",
            Choice(Of::MountPattern),
            Cover,
        ),
        ("mount.bolt.wrench", "Torque wrench", GAUGE, Cover),
        (
            "mount.protect",
            "Covered with",
            Choice(Of::MountCover),
            Protect,
        ),
        (
            "mount.outcome",
            "What comes of it",
            Choice(Of::MountOutcome),
            Sign,
        ),
        ("mount.reason", "Why not mounted", Words, Sign),
    ]
};

/// True for a field that only the mounting sheet has.
pub fn is_own(path: &str) -> bool {
    OWN.iter().any(|(own, ..)| *own == path)
}

/// What a field of this sheet alone holds.
pub fn kind(path: &str) -> Option<FieldKind> {
    let own = OWN.iter().find(|(own, ..)| *own == path);
    own.map(|(_, _, kind, _)| *kind)
}

/// What people call a field of this sheet alone.
pub fn label(path: &str) -> Option<&'static str> {
    let own = OWN.iter().find(|(own, ..)| *own == path);
    own.map(|(_, label, ..)| *label)
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
        _ if path.starts_with("mount.ring.") && kind(path) == Some(LENGTH) => "mount.ring.gauge",
        _ if path.starts_with("mount.seat.") => "mount.seat.gauge",
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
    let own = OWN.iter().find(|(own, ..)| *own == path);
    if let Some((.., section)) = own {
        return Some(*section);
    }
    Some(match path {
        "sign.fitter" => Section::Sign,
        "skip.grease" => Section::Grease,
        "skip.neck" => Section::Neck,
        _ if path.starts_with("identify.") => Section::Identify,
        _ if path.starts_with("neck.") => Section::Neck,
        _ if path.starts_with("grease.") => Section::Grease,
        _ => return None,
    })
}

fn has(fields: &Fields, path: &str) -> bool {
    fields.get(path).is_some_and(|f| !f.text.trim().is_empty())
}

/// The rows of a section in the order of the work; a reason why not stands last, and only where something is open.
pub fn groups(section: Section, family: Family, fields: &Fields) -> Vec<Group> {
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
            row("Temperatures", &["neck.temp_first", "neck.temp_gauge"]);
            for plane in shared::PAIRS {
                let paths = SEAT_DEGREES.map(|at| shared::size(SeatName::Neck, plane, at));
                let paths: Vec<&str> = paths.iter().map(String::as_str).collect();
                row(["Plane 1", "Plane 2", "Plane 3"][plane - 1], &paths);
            }
            row("Last", &["neck.temp_last", "neck.gauge"]);
            row("", &["mount.neck.cracks"]);
            let sizes = shared::seat_order(SeatName::Neck);
            let sizes: Vec<&str> = sizes.iter().map(String::as_str).collect();
            if is_open(&sizes, "skip.neck") {
                row("", &["skip.neck"]);
            }
        }
        Section::Fit => {
            row(
                "Temperatures",
                &["mount.ring.temp", "mount.ring.temp_gauge"],
            );
            row("Ring bore", &RING);
            row("", &["mount.ring.gauge"]);
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
            row("", &["mount.parts.reason"]);
            if is_open(&["mount.parts.order"], "skip.mount.parts") {
                row("", &["skip.mount.parts"]);
            }
        }
        Section::Clearance => clearance(family, &mut row, &is_open),
        Section::Grease => {
            row("", &["grease.kind"]);
            let rows = &GREASE[..family.rows()];
            row("Grease", rows);
            row("", &["mount.seal.batch"]);
            row("", &["mount.seal.lip"]);
            if is_open(&[&["grease.kind"], rows].concat(), "skip.grease") {
                row("", &["skip.grease"]);
            }
        }
        Section::Cover => {
            row("Gap at the cover", &COVER);
            row(
                "",
                &["mount.shim", "mount.bolt.torque", "mount.bolt.wrench"],
            );
            row("", &["mount.bolt.pattern"]);
            let all = [&COVER[..], &["mount.bolt.torque", "mount.bolt.wrench"]].concat();
            if is_open(&all, "skip.mount.cover") {
                row("", &["skip.mount.cover"]);
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

/// The fields of a section in the order of the caret.
pub fn order(section: Section, family: Family, fields: &Fields) -> Vec<String> {
    let groups = groups(section, family, fields);
    groups.into_iter().flat_map(|group| group.paths).collect()
}

/// Where a field stands in the order of the work: its section and its place there.
pub fn rank(path: &str) -> (usize, usize) {
    let Some(section) = section(path) else {
        return (usize::MAX, 0);
    };
    let families = [Family::Cylindrical, Family::Tapered, Family::Spherical];
    let place = families.iter().find_map(|family| {
        let order = order(section, *family, &Fields::new());
        order.iter().position(|p| p == path)
    });
    (section as usize, place.unwrap_or(usize::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_has_a_place_in_the_order_of_its_section_and_a_name_of_its_own() {
        let mut asked = Fields::new();
        let field = |text: &str| crate::draft::DraftField {
            text: text.into(),
            source: crate::draft::Source::Typed,
        };
        asked.insert("mount.heat.by".into(), field("induction"));
        asked.insert("mount.outcome".into(), field("not_mounted"));
        let all: Vec<String> = [Family::Tapered, Family::Cylindrical, Family::Spherical]
            .into_iter()
            .flat_map(|family| Section::ALL.map(|section| order(section, family, &asked)))
            .flatten()
            .collect();
        for (path, _, _, of) in OWN {
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
        let mut names: Vec<&str> = OWN.iter().map(|(_, label, ..)| *label).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), OWN.len());
    }

    #[test]
    fn the_family_decides_which_sections_there_are() {
        assert!(!Section::of(Family::Tapered).contains(&Section::Heating));
        assert_eq!(Section::of(Family::Cylindrical).len(), Section::ALL.len());
        assert_eq!(Family::of("two_row_thrust"), None);
    }
}
