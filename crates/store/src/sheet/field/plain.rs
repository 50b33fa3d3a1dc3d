//! The fields that are named by one path only: path, what a person calls it, what it holds, section.

use super::choice::Choice as Of;
use super::{FieldKind, Section};
use crate::entry::Quantity;

/// Fields that are named by one path only.
pub const PLAIN: [(&str, &str, FieldKind, Section); 51] = {
    use FieldKind::{Choice, Code, Number, Time, Words, Zone};
    use Section::{
        AsFound, Clean, Clearance, Decision, Findings, Identify, Reassemble, Seats, Sign,
    };
    const MASS: FieldKind = Number(Quantity::Mass);
    const TEMPERATURE: FieldKind = Number(Quantity::Temperature);
    [
        ("identify.chock", "Chock", Code("chock"), Identify),
        ("identify.bearing", "Bearing", Code("bearing"), Identify),
        (
            "identify.roll",
            "Roll that the neck belongs to",
            Code("roll"),
            Identify,
        ),
        (
            "identify.position",
            "Came from position",
            Code("position"),
            Identify,
        ),
        ("identify.at", "Torn down on", Time, Identify),
        ("identify.zone", "Load zone up as found", Zone, Identify),
        ("identify.note", "What was found, in words", Words, Identify),
        ("found.seal", "Neck seal", Choice(Of::Seal), AsFound),
        ("found.grease", "Grease", Choice(Of::GreaseFound), AsFound),
        ("found.water", "Water inside", Choice(Of::Water), AsFound),
        (
            "found.rotation",
            "Turned by hand",
            Choice(Of::Rotation),
            AsFound,
        ),
        ("found.bolts", "Cover bolts", Choice(Of::Bolts), AsFound),
        (
            "found.chips",
            "Metal in the grease",
            Choice(Of::Chips),
            AsFound,
        ),
        (
            "skip.found",
            "State as found not noted, because",
            Words,
            AsFound,
        ),
        ("clean.state", "Before cleaning", Choice(Of::Used), Clean),
        ("clean.agent", "Washed with", Choice(Of::Agent), Clean),
        ("clean.dried", "Dried", Choice(Of::Dried), Clean),
        (
            "clean.preserved",
            "Preserved with",
            Choice(Of::Preservative),
            Clean,
        ),
        ("clean.note", "Remark on cleaning", Words, Clean),
        ("skip.clean", "Not cleaned, because", Words, Clean),
        (
            "findings.none",
            "Nothing found on any part",
            Choice(Of::Nothing),
            Findings,
        ),
        (
            "findings.side",
            "Angles read from",
            Choice(Of::Side),
            Findings,
        ),
        (
            "findings.cracks",
            "Crack test of the rings",
            Choice(Of::CrackTest),
            Findings,
        ),
        ("skip.findings", "Not looked over, because", Words, Findings),
        (
            "clearance.gauge_gap",
            "Gauge for the gaps",
            Code("gauge"),
            Clearance,
        ),
        (
            "clearance.gauge_width",
            "Gauge for the spacers",
            Code("gauge"),
            Clearance,
        ),
        (
            "skip.clearance",
            "Clearance not measured, because",
            Words,
            Clearance,
        ),
        (
            "bore.gauge",
            "Gauge for the chock bore",
            Code("gauge"),
            Seats,
        ),
        (
            "bore.temp_first",
            "Chock temperature, first",
            TEMPERATURE,
            Seats,
        ),
        (
            "bore.temp_last",
            "Chock temperature, last",
            TEMPERATURE,
            Seats,
        ),
        (
            "bore.temp_gauge",
            "Bore gauge temperature",
            TEMPERATURE,
            Seats,
        ),
        (
            "skip.bore",
            "Chock bore not measured, because",
            Words,
            Seats,
        ),
        (
            "neck.gauge",
            "Gauge for the roll neck",
            Code("gauge"),
            Seats,
        ),
        (
            "neck.temp_first",
            "Neck temperature, first",
            TEMPERATURE,
            Seats,
        ),
        (
            "neck.temp_last",
            "Neck temperature, last",
            TEMPERATURE,
            Seats,
        ),
        (
            "neck.temp_gauge",
            "Neck gauge temperature",
            TEMPERATURE,
            Seats,
        ),
        ("skip.neck", "Roll neck not measured, because", Words, Seats),
        (
            "decision.choice",
            "Decision",
            Choice(Of::Disposition),
            Decision,
        ),
        (
            "decision.reason",
            "Why otherwise than recommended",
            Words,
            Decision,
        ),
        (
            "shim.found",
            "Cover shims found",
            Number(Quantity::Length),
            Reassemble,
        ),
        (
            "retention.checked",
            "Axial retention on the neck checked",
            Choice(Of::Yes),
            Reassemble,
        ),
        ("zone.choice", "Turn to load zone", Zone, Reassemble),
        (
            "zone.reason",
            "Why another zone than the one with the least hours",
            Words,
            Reassemble,
        ),
        (
            "reassemble.chock",
            "Back into chock",
            Code("chock"),
            Reassemble,
        ),
        ("grease.kind", "Grease", Code("grease"), Reassemble),
        ("grease.row.1", "Grease, row 1", MASS, Reassemble),
        ("grease.row.2", "Grease, row 2", MASS, Reassemble),
        ("grease.row.3", "Grease, row 3", MASS, Reassemble),
        ("grease.row.4", "Grease, row 4", MASS, Reassemble),
        ("skip.grease", "Not greased, because", Words, Reassemble),
        ("sign.fitter", "Fitter", Code("person"), Sign),
    ]
};
