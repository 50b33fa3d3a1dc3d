//! How a chock is closed again: seals, order of the parts, bolts, cover gap.

use store::draft::Fields;
use store::sheet::field::{GAP_DEGREES, cover_gap};

use crate::bench::{mm, put};
use crate::data::Kind;
use crate::dice::Dice;

/// Everything but the cover. `early`: before seal batch SB-52 was blocked; `leaky`: with seals of that batch.
pub(super) fn close(
    fields: &mut Fields,
    kind: &Kind,
    (early, leaky): (bool, bool),
    dice: &mut Dice,
) {
    let batch = match (kind.value("bore_nm", 0).unwrap_or(0) / 1_000_000, early) {
        (480, _) if leaky => "SB-52",
        (480, true) => "SB-48",
        (480, false) => "SB-57",
        (560, _) => "SB-58",
        _ => "SB-60",
    };
    let torque = kind.value("cover_bolt_torque_mnm", 0).unwrap_or(0) / 1000;
    let seal = kind.value("grease_seal_mg", 0).unwrap_or(0) / 1000;
    for (path, text) in [
        ("parts.order", "as_marked".to_owned()),
        ("seals.done", "changed".to_owned()),
        ("seals.batch", batch.to_owned()),
        ("zone.rings", "alike".to_owned()),
        ("grease.seal", (seal + 5 * dice.whole(-2, 2)).to_string()),
        ("bolts.torque", torque.to_string()),
        ("bolts.pattern", "crosswise".to_owned()),
        ("bolts.wrench", "TW-02".to_owned()),
        ("protect.with", "textile".to_owned()),
    ] {
        put(fields, path, text);
    }
}

/// The gap under the cover, um, and the pack that goes in.
pub(super) fn cover(fields: &mut Fields, pack_um: i64) {
    for (degrees, off) in GAP_DEGREES.into_iter().zip([0, 8, -8, 0]) {
        put(fields, &cover_gap(degrees), mm(pack_um + off));
    }
    put(fields, "shim.fitted", mm(pack_um));
}
