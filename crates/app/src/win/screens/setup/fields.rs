//! The fields of each form, in the order of the caret. Those of a bearing type are in `type_values`.

use store::payload::Role;

use super::form::{Act, Field, Kind, Subject};
use super::page::Page;
use super::receipt;
use super::unit::Unit;

/// Roles of a roll or a position: the word in the file and the one for people.
pub const ROLES: &[(&str, &str)] = &[
    ("W", "work"),
    ("I", "intermediate"),
    ("K", "backup"),
    ("R", "bar roll"),
];
/// Top or bottom.
pub const LEVELS: &[(&str, &str)] = &[("T", "top"), ("B", "bottom")];
/// Operator or drive side.
pub const SIDES: &[(&str, &str)] = &[("O", "operator"), ("D", "drive")];
/// Yes or no.
pub const YES_NO: &[(&str, &str)] = &[("yes", "yes"), ("no", "no")];
/// Kinds of bearings.
pub const BEARING_KINDS: &[(&str, &str)] = &[
    ("four_row_tapered", "four-row tapered"),
    ("four_row_cylindrical", "four-row cylindrical"),
    (
        "four_row_cylindrical_inner",
        "four-row cylindrical, inner half",
    ),
    ("two_row_spherical", "two-row spherical"),
    ("two_row_thrust", "two-row thrust"),
];
/// What a gauge measures.
pub const MEASURES: &[(&str, &str)] = &[
    ("bore", "bore"),
    ("neck", "neck"),
    ("gap", "gap"),
    ("width", "width"),
    ("temperature", "temperature"),
    ("torque", "torque"),
    ("other", "other"),
];
/// Seats of a chock.
pub const SEATS: &[(&str, &str)] = &[
    ("main", "main"),
    ("main2", "second main"),
    ("thrust", "thrust"),
];
/// What is read of a chock at work.
pub const CONDITIONS: &[(&str, &str)] = &[
    ("temperature", "temperature"),
    ("vibration", "vibration"),
    ("noise", "noise"),
    ("seal_leakage", "seal leaks"),
];
/// Necks of a roll.
pub const NECKS: &[(&str, &str)] = &[("neck_o", "operator side"), ("neck_d", "drive side")];
/// Load zones.
pub const ZONES: &[(&str, &str)] = &[("1", "I"), ("2", "II"), ("3", "III"), ("4", "IV")];
/// Load zones, and a bearing without marks.
pub const ZONES_OR_NONE: &[(&str, &str)] = &[
    ("1", "I"),
    ("2", "II"),
    ("3", "III"),
    ("4", "IV"),
    ("0", "no marks"),
];
/// Sorts of papers and pictures.
pub const DOCUMENTS: &[(&str, &str)] = &[
    ("photo", "photo"),
    ("certificate", "certificate"),
    ("drawing", "drawing"),
    ("other", "other"),
];
/// What goes wrong at the mill.
pub const INCIDENTS: &[(&str, &str)] = &[
    ("cobble", "cobble"),
    ("strip_break", "strip break"),
    ("emergency_stop", "emergency stop"),
    ("overload", "overload"),
    ("other", "other"),
];
/// What is worked on at a position.
pub const WORKS: &[(&str, &str)] = &[
    ("liners", "liners"),
    ("keeper", "keeper"),
    ("screw_down", "screw-down"),
    ("other", "other"),
];
/// What somebody may do.
pub const PERSON_ROLES: &[(&str, &str)] = &[
    ("foreman", "foreman"),
    ("fitter", "fitter"),
    ("engineer", "engineer"),
    ("metrology", "metrology"),
    ("storekeeper", "storekeeper"),
    ("auditor", "auditor"),
];

/// What a role may do, in a sentence.
pub const fn role_words(role: Role) -> &'static str {
    match role {
        Role::Fitter => "Fills in and executes; enters what moves.",
        Role::Foreman => "Signs sheets; enters what moves, seal batches and greases.",
        Role::Engineer => {
            "Orders regrinds, releases doubt and holds, accepts deviations, changes limits and the register."
        }
        Role::Auditor => "Reads, verifies, prints; writes nothing.",
        Role::Storekeeper => {
            "Receives bearings, keeps seal batches and greases, witnesses scrapping."
        }
        Role::Metrology => "Keeps gauges and their calibrations.",
    }
}

const CODE: Field = Field::new("code", "code", Kind::Words);
const NAME: Field = Field::new("name", "name", Kind::Words);
const LINE: Field = Field::new("line", "line", Kind::Thing("line"));
const ROLE: Field = Field::new("role", "role", Kind::OneOf(ROLES));
const CERTIFICATE: Field = Field::new("certificate", "number of the certificate", Kind::Words);
const DUE: Field =
    Field::new("due", "next calibration", Kind::Words).hint("day, such as 2031-03-14");
const NOTE: Field = Field::new("note", "remark", Kind::Words);
const REASON: Field = Field::new("reason", "why", Kind::Words);
const WHEN: Field =
    Field::new("when", "when", Kind::Words).hint("now; or 2031-03-14, or 2031-03-14 09:30");

/// What the fields of a form depend on beside its subject.
#[derive(Debug, Clone, Copy, Default)]
pub struct Of<'a> {
    /// What the gauge of the form measures.
    pub measures: &'a str,
    /// Kind of the bearing of the form; empty where it is none, or not known yet.
    pub bearing: &'a str,
    /// Decimals behind a comma.
    pub comma: bool,
    /// In how many planes a seat is measured.
    pub planes: usize,
}

/// The fields of a form.
pub fn fields(subject: Subject, of: Of<'_>) -> Vec<Field> {
    match subject {
        Subject::New(page) | Subject::Edit(page, _) => {
            of_page(page, matches!(subject, Subject::New(_)), of.measures)
        }
        Subject::Act(page, Act::FoundHere, _) => of_find(page),
        Subject::Act(page, Act::SeatChecked, _) => {
            super::seat_check::fields(page, of.planes, (NOTE, WHEN))
        }
        Subject::Act(page, Act::Returned, _) => {
            let mut all = receipt::returned(page, of.bearing);
            all.extend([CERTIFICATE, NOTE, WHEN]);
            all
        }
        Subject::Act(_, Act::Received, _) => {
            let mut all = receipt::received(of.bearing);
            all.extend([CERTIFICATE, NOTE, WHEN]);
            all
        }
        Subject::Act(_, act, _) => of_act(act, of),
    }
}

/// A length.
pub const fn length(path: &'static str, label: &'static str) -> Field {
    Field::new(path, label, Kind::Number(Unit::Length))
}

/// An amount of money as it is typed here.
pub const fn money_hint(comma: bool) -> &'static str {
    if comma {
        "such as 3100 or 114,50"
    } else {
        "such as 3100 or 114.50"
    }
}

/// The unit of a gauge that measures this.
pub fn gauge_unit(measures: &str) -> Unit {
    match measures {
        "temperature" => Unit::Kelvin,
        "torque" => Unit::NewtonMetre,
        _ => Unit::Length,
    }
}

fn of_page(page: Page, is_new: bool, measures: &str) -> Vec<Field> {
    match page {
        Page::Lines => vec![CODE, Field::new("name", "what it rolls", Kind::Words)],
        Page::Stands => vec![
            CODE,
            LINE,
            Field::new("build", "build", Kind::Words).hint("two-high, four-high, six-high ..."),
        ],
        Page::Positions => vec![
            Field::new("stand", "stand", Kind::Thing("stand")),
            ROLE,
            Field::new("level", "top or bottom", Kind::OneOf(LEVELS)),
            Field::new("side", "side", Kind::OneOf(SIDES)),
            Field::new("code", "code", Kind::Words)
                .hint("made from the four above, such as F4-W-B-O"),
            Field::new("fixed", "holds the roll axially", Kind::OneOf(YES_NO)),
            Field::new(
                "load",
                "load comes from, on a clock face seen from outboard",
                Kind::Number(Unit::Clock),
            ),
            Field::new("rolling", "has a rolling bearing", Kind::OneOf(YES_NO)),
        ],
        Page::Rolls => vec![CODE, LINE, ROLE],
        Page::ChockTypes => vec![
            CODE,
            Field::new("main", "main seat takes", Kind::Thing("bearing_type")),
            Field::new(
                "main2",
                "second main seat takes",
                Kind::Thing("bearing_type"),
            )
            .hint("empty: there is none"),
            Field::new("thrust", "thrust seat takes", Kind::Thing("bearing_type"))
                .hint("empty: there is none"),
            Field::new(
                "shims",
                "cover shims lie",
                Kind::OneOf(&[("under_flange", "under the flange"), ("between", "between")]),
            ),
            Field::new(
                "planes",
                "its bore is measured in planes",
                Kind::OneOf(&[("2", "2"), ("3", "3"), ("4", "4")]),
            )
            .hint("nothing chosen: 3, counted from the barrel"),
            Field::new("fits", "fits positions", Kind::Words).hint("such as W-T-O W-B-D"),
        ],
        Page::Chocks => vec![
            CODE,
            Field::new("type", "chock type", Kind::Thing("chock_type")),
        ],
        Page::BearingTypes | Page::Logbook | Page::Care => Vec::new(),
        Page::Bearings => vec![
            Field::new("code", "serial", Kind::Words),
            Field::new("type", "bearing type", Kind::Thing("bearing_type")),
            Field::new(
                "prior",
                "mill hours before this logbook",
                Kind::Number(Unit::Hours),
            )
            .hint("0"),
            Field::new("prior_note", "where that figure comes from", Kind::Words),
        ],
        Page::Gauges => vec![
            Field::new("code", "number on it", Kind::Words),
            Field::new("kind", "what it is", Kind::Words)
                .hint("bore gauge, outside micrometer ..."),
            Field::new("measures", "measures", Kind::OneOf(MEASURES)),
            Field::new("range", "range as printed on it", Kind::Words),
            Field::new(
                "resolution",
                "smallest step",
                Kind::Number(gauge_unit(measures)),
            ),
            Field::new(
                "uncertainty",
                "expanded uncertainty U at k = 2",
                Kind::Number(gauge_unit(measures)),
            ),
            CERTIFICATE,
            DUE,
            Field::new("standard", "checked on", Kind::Words).hint("setting ring or standard"),
        ],
        Page::SealBatches => vec![CODE, Field::new("name", "what they are", Kind::Words)],
        Page::Greases => vec![CODE, NAME],
        Page::People => vec![
            NAME,
            ROLE.person(),
            Field::new(
                "pin",
                if is_new {
                    "PIN"
                } else {
                    "new PIN, empty: the old one holds"
                },
                Kind::Pin,
            ),
            Field::new("pin_again", "PIN again", Kind::Pin),
            Field::new("active", "works here", Kind::OneOf(YES_NO)),
        ],
    }
}

impl Field {
    const fn person(self) -> Self {
        Self {
            kind: Kind::OneOf(PERSON_ROLES),
            ..self
        }
    }
}

/// Where a thing may be found depends on its sort.
fn of_find(page: Page) -> Vec<Field> {
    let chock = Field::new("chock", "in which chock", Kind::Thing("chock"))
        .hint("empty: loose in the shop, or on a neck");
    let roll = Field::new("roll", "on which roll", Kind::Thing("roll"));
    let mut fields = match page {
        Page::Bearings => vec![
            chock,
            Field::new("seat", "seat of the chock", Kind::OneOf(SEATS)),
            Field::new("zone", "load zone up", Kind::OneOf(ZONES_OR_NONE)),
            roll.hint("an inner half: the roll it sits on"),
            Field::new("neck", "neck of the roll", Kind::OneOf(NECKS)),
        ],
        Page::Chocks => vec![
            roll.hint("empty: it is in the shop"),
            Field::new("position", "in which position", Kind::Thing("position"))
                .hint("empty: it is in the shop"),
        ],
        _ => Vec::new(),
    };
    let how = Field::new("reason", "how that is known", Kind::Words)
        .hint("who saw it, such as: serial read on the ring");
    fields.extend([how, WHEN]);
    fields
}

fn of_act(act: Act, of: Of<'_>) -> Vec<Field> {
    let measures = of.measures;
    match act {
        Act::PutIn => vec![
            Field::new("chock", "chock", Kind::Thing("chock")).hint("type or scan"),
            Field::new("seat", "seat", Kind::OneOf(SEATS)),
            Field::new("zone", "load zone up", Kind::OneOf(ZONES_OR_NONE)),
            NOTE,
            WHEN,
        ],
        Act::Inspected => vec![
            Field::new("condition", "packing, and what was seen", Kind::Words),
            Field::new("accepted", "accepted", Kind::OneOf(YES_NO)),
            Field::new("claim", "claim", Kind::Words).hint("number; empty: none"),
            WHEN,
        ],
        Act::Hold | Act::Released | Act::Blocked | Act::TakenOut | Act::Unpaired => {
            vec![REASON, WHEN]
        }
        Act::Deviation => vec![
            Field::new("code", "number of the deviation", Kind::Words),
            Field::new("text", "what is accepted", Kind::Words).hint("and until when"),
            WHEN,
        ],
        Act::SentOut => vec![
            Field::new("to", "to whom", Kind::Words),
            Field::new("packet", "what goes with it", Kind::Words)
                .hint("photos, table of sizes ..."),
            WHEN,
        ],
        Act::Scrapped => vec![
            REASON,
            Field::new("witness", "who saw it destroyed", Kind::Thing("person")),
            Field::new("pin", "your PIN: this cannot be undone", Kind::Pin),
            WHEN,
        ],
        Act::Cost => vec![
            Field::new("amount", "amount", Kind::Words).hint(money_hint(of.comma)),
            Field::new("text", "what for", Kind::Words),
            WHEN,
        ],
        Act::Condition => vec![
            Field::new("what", "what was read", Kind::OneOf(CONDITIONS)),
            Field::new("value", "value", Kind::Words).hint("\u{b0}C, mm/s or dB"),
            Field::new("text", "in words", Kind::Words).hint("own baseline, what stands out"),
            Field::new("early", "tear it down early", Kind::OneOf(YES_NO)),
            WHEN,
        ],
        Act::Planned => vec![
            Field::new("planned", "planned for", Kind::Words)
                .hint("day, such as 2031-03-14; empty: no day yet"),
            REASON,
            WHEN,
        ],
        Act::Extension => vec![
            Field::new("until", "runs on until", Kind::Words).hint("day, such as 2031-03-14"),
            REASON,
            WHEN,
        ],
        Act::Mounted => vec![
            Field::new("roll", "roll", Kind::Thing("roll")).hint("type or scan"),
            Field::new("position", "position", Kind::Thing("position")),
            NOTE.hint("of a chock without a bearing: why it goes in"),
            WHEN,
        ],
        Act::CameOff | Act::FoundHere | Act::SeatChecked | Act::Received | Act::Returned => {
            vec![WHEN]
        }
        Act::Campaign => vec![
            Field::new("roll", "roll", Kind::Thing("roll")),
            Field::new(
                "chock_o",
                "chock on the operator side",
                Kind::Thing("chock"),
            ),
            Field::new(
                "position_o",
                "position on the operator side",
                Kind::Thing("position"),
            ),
            Field::new("chock_d", "chock on the drive side", Kind::Thing("chock")),
            Field::new(
                "position_d",
                "position on the drive side",
                Kind::Thing("position"),
            ),
            Field::new("from", "went in", Kind::Words).hint("2031-03-14 09:30"),
            Field::new("when", "came out", Kind::Words).hint("now; or 2031-03-14 17:00"),
            Field::new("hours", "mill hours", Kind::Number(Unit::Hours)),
            Field::new("rolled", "rolled", Kind::Number(Unit::Tonnes)),
            Field::new("estimate", "an estimate", Kind::OneOf(YES_NO)),
            Field::new(
                "radial",
                "mean radial force on each chock",
                Kind::Number(Unit::Kilonewton),
            )
            .hint("empty: not known"),
            Field::new("axial", "mean axial force", Kind::Number(Unit::Kilonewton))
                .hint("empty: not known"),
            Field::new(
                "speed",
                "mean speed of the roll",
                Kind::Number(Unit::PerMinute),
            )
            .hint("empty: not known"),
        ],
        Act::OnNeck => vec![
            Field::new("roll", "roll", Kind::Thing("roll")).hint("type or scan"),
            Field::new("neck", "neck", Kind::OneOf(NECKS)),
            NOTE,
            WHEN,
        ],
        Act::Paired => vec![
            Field::new("inner", "its inner half", Kind::Thing("bearing")).hint("type or scan"),
            WHEN,
        ],
        Act::Turned => vec![
            Field::new("zone", "load zone up now", Kind::OneOf(ZONES)),
            REASON,
            WHEN,
        ],
        Act::Reground => vec![
            length("spacer1", "spacer S1 after grinding"),
            length("spacer2", "spacer S2 after grinding"),
            length("spacer3", "spacer S3 after grinding"),
            length("set1", "clearance of rows 1\u{2013}2 as left"),
            length("set2", "clearance of rows 2\u{2013}3 as left"),
            length("set3", "clearance of rows 3\u{2013}4 as left"),
            REASON,
            WHEN,
        ],
        Act::Greased => vec![
            Field::new("grease", "grease", Kind::Thing("grease")),
            Field::new("amount", "weighed in, g", Kind::Words).hint("by the scales, such as 1840"),
            NOTE,
            WHEN,
        ],
        Act::Attached => vec![
            Field::new("what", "what it is", Kind::OneOf(DOCUMENTS)),
            Field::new("file", "file", Kind::Words).hint("type its path, or drop it on the window"),
            Field::new("text", "what it shows", Kind::Words),
            WHEN,
        ],
        Act::FoundOut => vec![
            Field::new(
                "error",
                "error: indication minus reference",
                Kind::Number(gauge_unit(measures)),
            )
            .hint("of a setting ring: marked size minus true size, so + is too small"),
            Field::new("text", "how it was found", Kind::Words).hint("on which standard"),
            WHEN,
        ],
        Act::Incident => vec![
            Field::new("what", "what happened", Kind::OneOf(INCIDENTS)),
            Field::new("force", "largest rolling force, MN", Kind::Words).hint("empty: not known"),
            Field::new("chocks", "chocks that were there", Kind::Words).hint("WC-17 WC-41"),
            Field::new("text", "in words", Kind::Words),
            Field::new("early", "tear them down early", Kind::OneOf(YES_NO)),
            WHEN,
        ],
        Act::Worked => vec![
            Field::new("what", "what was worked on", Kind::OneOf(WORKS)),
            length("width1", "width afterwards, first liner"),
            length("width2", "width afterwards, second liner"),
            length("width3", "width between the liners"),
            Field::new("text", "what was done", Kind::Words),
            WHEN,
        ],
        Act::MillJob => vec![
            Field::new("text", "what is wrong, or was done", Kind::Words),
            Field::new("done", "done", Kind::OneOf(YES_NO)),
            WHEN,
        ],
        Act::Calibrated => vec![
            Field::new(
                "uncertainty",
                "expanded uncertainty U at k = 2",
                Kind::Number(gauge_unit(measures)),
            ),
            CERTIFICATE,
            DUE,
            WHEN,
        ],
    }
}
