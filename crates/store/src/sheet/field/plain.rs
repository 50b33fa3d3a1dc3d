//! The fields that are named by one path only.

use super::Section;
use crate::form::Choice as Of;
use crate::form::{
    Lists, choice, code, gauge, length, load, mass, temperature, time, torque, words, zone,
};

/// Fields that are named by one path only, section by section.
pub const PLAIN: &Lists<Section> = &[
    (
        Section::Identify,
        &[
            code("identify.chock", "Chock", "chock"),
            code("identify.bearing", "Bearing", "bearing"),
            code("identify.roll", "Roll that the neck belongs to", "roll"),
            code("identify.position", "Came from position", "position"),
            time("identify.at", "Torn down on"),
            words("identify.note", "What was found, in words"),
        ],
    ),
    (
        Section::AsFound,
        &[
            zone("identify.zone", "Load zone up as found"),
            choice("found.seal", "Neck seal", Of::Seal),
            choice("found.grease", "Grease", Of::GreaseFound),
            choice("found.water", "Water inside", Of::Water),
            choice("found.rotation", "Turned by hand", Of::Rotation),
            choice("found.bolts", "Cover bolts", Of::Bolts),
            choice("found.chips", "Metal in the grease", Of::Chips),
            code(
                "found.seal_batch",
                "Seal batch that comes off",
                "seal_batch",
            ),
            temperature("found.temperature", "Chock temperature as found"),
            length("shim.found", "Cover shims found"),
            words("skip.found", "State as found not noted, because"),
        ],
    ),
    (
        Section::Clean,
        &[
            choice("clean.state", "Before cleaning", Of::Used),
            choice("clean.agent", "Washed with", Of::Agent),
            choice("clean.dried", "Dried", Of::Dried),
            choice("clean.preserved", "Preserved with", Of::Preservative),
            words("clean.note", "Remark on cleaning"),
            words("skip.clean", "Not cleaned, because"),
        ],
    ),
    (
        Section::Findings,
        &[
            choice("findings.none", "Nothing found on any part", Of::Nothing),
            choice("findings.side", "Angles read from", Of::Side),
            choice("findings.cracks", "Crack test of the rings", Of::CrackTest),
            words("skip.cracks", "Rings not crack tested, because"),
            words("skip.findings", "Not looked over, because"),
        ],
    ),
    (
        Section::Clearance,
        &[
            gauge("clearance.gauge_gap", "Gauge for the gaps"),
            gauge("clearance.gauge_width", "Gauge for the spacers"),
            choice("clearance.method", "How it was measured", Of::Bench),
            load("clearance.load", "Seating load on the stack"),
            words("repeat.why.1", "Gap of rows 1–2 repeated, because"),
            words("repeat.why.2", "Gap of rows 2–3 repeated, because"),
            words("repeat.why.3", "Gap of rows 3–4 repeated, because"),
            words(
                "skip.places",
                "Spacers not measured at four places, because",
            ),
            words("skip.clearance", "Clearance not measured, because"),
        ],
    ),
    (
        Section::Seats,
        &[
            gauge("bore.gauge", "Gauge for the chock bore"),
            length("bore.check.read", "Bore gauge reads on its standard"),
            length(
                "bore.check.standard",
                "Value of the standard of the bore gauge",
            ),
            words(
                "skip.bore_check",
                "Bore gauge not checked before use, because",
            ),
            gauge("bore.thermometer", "Thermometer at the chock bore"),
            temperature("bore.temp_first", "Chock temperature, first"),
            temperature("bore.temp_last", "Chock temperature, last"),
            temperature("bore.temp_gauge", "Bore gauge temperature"),
            words("skip.bore", "Chock bore not measured, because"),
            gauge("neck.gauge", "Gauge for the roll neck"),
            length("neck.check.read", "Neck gauge reads on its standard"),
            length(
                "neck.check.standard",
                "Value of the standard of the neck gauge",
            ),
            words(
                "skip.neck_check",
                "Neck gauge not checked before use, because",
            ),
            gauge("neck.thermometer", "Thermometer at the roll neck"),
            temperature("neck.temp_first", "Neck temperature, first"),
            temperature("neck.temp_last", "Neck temperature, last"),
            temperature("neck.temp_gauge", "Neck gauge temperature"),
            words("skip.neck", "Roll neck not measured, because"),
            choice("neck.cracks", "Crack test of the neck", Of::CrackTest),
            words("skip.neck_cracks", "Neck not crack tested, because"),
            length("chock.shoulder", "Chock shoulder, out of square"),
            length("chock.cover_face", "Cover face, out of flat"),
            length("chock.width", "Chock width over the liners"),
            gauge("chock.gauge", "Gauge for shoulder, face and liners"),
        ],
    ),
    (
        Section::Decision,
        &[
            choice("decision.choice", "Decision", Of::Disposition),
            words("decision.reason", "Why otherwise than recommended"),
        ],
    ),
    (
        Section::Reassemble,
        &[
            choice(
                "retention.checked",
                "Axial retention on the neck checked",
                Of::Yes,
            ),
            words(
                "skip.places_after",
                "Spacers not measured at four places after grinding, because",
            ),
            choice("parts.order", "Order of the parts", Of::Marks),
            choice("seals.done", "Neck seals", Of::Seals),
            code("seals.batch", "Seal batch put in", "seal_batch"),
            words("seals.reason", "Seal kept though found bad, because"),
            zone("zone.choice", "Turn to load zone"),
            choice("zone.rings", "Zone up on the outer rings", Of::Rings),
            zone("zone.ring.1", "Zone up, outer ring of row 1"),
            zone("zone.ring.2", "Zone up, outer ring of rows 2 and 3"),
            zone("zone.ring.3", "Zone up, outer ring of row 4"),
            words(
                "zone.reason",
                "Why another zone than the one with the least hours",
            ),
            code("reassemble.chock", "Back into chock", "chock"),
            code("grease.kind", "Grease", "grease"),
            mass("grease.row.1", "Grease, row 1"),
            mass("grease.row.2", "Grease, row 2"),
            mass("grease.row.3", "Grease, row 3"),
            mass("grease.row.4", "Grease, row 4"),
            mass("grease.seal", "Grease, seals"),
            mass("grease.cover", "Grease, cover"),
            words("skip.grease", "Not greased, because"),
            words("lube.approval", "Approval of the other lubrication"),
            length("cover.gap.0", "Cover gap at 0 degrees"),
            length("cover.gap.90", "Cover gap at 90 degrees"),
            length("cover.gap.180", "Cover gap at 180 degrees"),
            length("cover.gap.270", "Cover gap at 270 degrees"),
            length("shim.fitted", "Cover shims put in"),
            words("skip.cover", "Cover gap not measured, because"),
            words("skip.shim", "Cover shims not put in, because"),
            torque("bolts.torque", "Torque of the cover bolts"),
            choice("bolts.pattern", "Cover bolts tightened", Of::Pattern),
            gauge("bolts.wrench", "Torque wrench"),
            words("skip.bolts", "Cover bolts not tightened, because"),
            choice("protect.with", "Protected until closed by", Of::Protection),
        ],
    ),
    (Section::Sign, &[code("sign.fitter", "Fitter", "person")]),
];
