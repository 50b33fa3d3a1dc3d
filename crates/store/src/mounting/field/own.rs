//! The fields that no other sheet has.

use super::Section;
use crate::form::Choice as Of;
use crate::form::{Lists, choice, code, gauge, length, temperature, torque, words, zone};

/// Fields that no other sheet has, section by section.
pub const OWN: &Lists<Section> = &[
    (Section::Identify, &[words("mount.note", "Remark")]),
    (
        Section::Neck,
        &[
            choice("mount.neck.cracks", "Crack test of the neck", Of::CrackTest),
            words("skip.mount.cracks", "Neck not crack tested, because"),
        ],
    ),
    (
        Section::Fit,
        &[
            length("mount.ring.1", "Ring bore at 0 degrees"),
            length("mount.ring.2", "Ring bore at 45 degrees"),
            length("mount.ring.3", "Ring bore at 90 degrees"),
            length("mount.ring.4", "Ring bore at 135 degrees"),
            temperature("mount.ring.temp", "Ring temperature"),
            temperature("mount.ring.temp_gauge", "Bore gauge temperature"),
            gauge("mount.ring.gauge", "Gauge for the ring bore"),
            length("mount.ring.check.read", "Ring gauge reads on its standard"),
            length(
                "mount.ring.check.standard",
                "Value of the standard of the ring gauge",
            ),
            words(
                "skip.mount.ring_check",
                "Ring gauge not checked before use, because",
            ),
            words("skip.mount.ring", "Ring bore not measured, because"),
        ],
    ),
    (
        Section::Heating,
        &[
            choice("mount.heat.by", "Heated by", Of::HeatedBy),
            temperature("mount.heat.neck", "Neck temperature at heating"),
            length("mount.heat.margin", "Room to slide"),
            temperature("mount.heat.ring", "Ring temperature reached"),
            gauge("mount.heat.gauge", "Thermometer"),
            choice("mount.heat.demagnetised", "Demagnetised", Of::Yes),
            words("skip.mount.heat", "Heating not noted, because"),
        ],
    ),
    (
        Section::Seating,
        &[
            length("mount.seat.0", "Gap at the ring faces at 0 degrees"),
            length("mount.seat.90", "Gap at the ring faces at 90 degrees"),
            length("mount.seat.180", "Gap at the ring faces at 180 degrees"),
            length("mount.seat.270", "Gap at the ring faces at 270 degrees"),
            gauge("mount.seat.gauge", "Feeler for the ring faces"),
            words("skip.mount.seat", "Ring faces not gauged, because"),
        ],
    ),
    (
        Section::Parts,
        &[
            words("mount.parts.order", "Parts by mark, from the barrel"),
            zone(
                "mount.parts.zone.1",
                "Zone up, outer ring 1 from the barrel",
            ),
            zone(
                "mount.parts.zone.2",
                "Zone up, outer ring 2 from the barrel",
            ),
            zone(
                "mount.parts.zone.3",
                "Zone up, outer ring 3 from the barrel",
            ),
            zone(
                "mount.parts.zone.4",
                "Zone up, outer ring 4 from the barrel",
            ),
            words("mount.parts.reason", "Why these zones"),
            words("skip.mount.parts", "Parts not read back, because"),
        ],
    ),
    (
        Section::Clearance,
        &[
            length("mount.play.1", "End play, rows 1–2"),
            length("mount.play.2", "End play, rows 2–3"),
            length("mount.play.3", "End play, rows 3–4"),
            length("mount.before.1", "Radial play before, row 1"),
            length("mount.before.2", "Radial play before, row 2"),
            length("mount.radial.1", "Radial play mounted, place 1"),
            length("mount.radial.2", "Radial play mounted, place 2"),
            length("mount.radial.3", "Radial play mounted, place 3"),
            length("mount.push", "Push-up on the taper"),
            gauge("mount.push.gauge", "Gauge for the push-up of the ring"),
            gauge("mount.play.gauge", "Gauge for the play"),
            words("skip.mount.play", "Play not measured, because"),
            length("mount.thrust", "Axial play of the thrust bearing"),
            gauge("mount.thrust.gauge", "Gauge for the thrust bearing"),
            words("skip.mount.thrust", "Thrust bearing not measured, because"),
        ],
    ),
    (
        Section::Grease,
        &[
            code("mount.seal.batch", "Seal batch", "seal_batch"),
            choice("mount.seal.lip", "Lip looks", Of::Lip),
        ],
    ),
    (
        Section::Cover,
        &[
            length("mount.cover.0", "Cover gap at 0 degrees"),
            length("mount.cover.90", "Cover gap at 90 degrees"),
            length("mount.cover.180", "Cover gap at 180 degrees"),
            length("mount.cover.270", "Cover gap at 270 degrees"),
            gauge("mount.cover.gauge", "Gauge for the cover gap"),
            length("mount.shim", "Shims put in"),
            words("skip.mount.cover", "Cover gap not measured, because"),
            torque("mount.bolt.torque", "Torque of the cover bolts"),
            choice("mount.bolt.pattern", "Tightened", Of::MountPattern),
            gauge("mount.bolt.wrench", "Torque wrench"),
        ],
    ),
    (
        Section::Protect,
        &[choice("mount.protect", "Covered with", Of::MountCover)],
    ),
    (
        Section::Sign,
        &[
            choice("mount.outcome", "What comes of it", Of::MountOutcome),
            words("mount.reason", "Why not mounted"),
        ],
    ),
];
