//! What is impossible on a mounting sheet, and what is merely improbable.

use crate::entry::{LengthUnit, Quantity, Show};
use crate::sheet::Problem;

/// Refuses what is impossible, asks about what is improbable; for fields that only this sheet has.
pub(crate) fn doubt(
    path: &str,
    quantity: Quantity,
    value: i64,
    unit: LengthUnit,
    bore_nm: Option<i64>,
) -> Option<Problem> {
    let say = |is_refusal: bool, text: String| {
        Some(Problem {
            is_refusal,
            text,
            hint: None,
            instead: None,
        })
    };
    let length = |nm: i64| {
        Show {
            unit,
            ..Show::default()
        }
        .length_unit(nm)
    };
    match quantity {
        Quantity::Temperature if !(-30_000..=400_000).contains(&value) => say(
            true,
            "not possible for a part in the shop: in \u{b0}C?".into(),
        ),
        Quantity::Temperature if path == "mount.heat.ring" && value > 120_000 => say(
            false,
            "Over 120 \u{b0}C an open bearing loses its hardness.".into(),
        ),
        Quantity::Temperature if path == "mount.heat.ring" => None,
        Quantity::Temperature if !(0..=45_000).contains(&value) => {
            say(false, "Improbable in the shop: read it again.".into())
        }
        Quantity::Torque if !(1..=50_000_000).contains(&value) => {
            say(true, "a torque is above 0, up to 50,000 N m".into())
        }
        Quantity::Length if path.starts_with("mount.ring.") => {
            let near =
                bore_nm.is_none_or(|bore| (bore - bore / 100..=bore + bore / 100).contains(&value));
            if near {
                None
            } else {
                say(
                    true,
                    format!("Not possible for this ring bore: {}.", length(value)),
                )
            }
        }
        Quantity::Length if !(0..=50_000_000).contains(&value) => {
            // An end play can come out negative: that is what the sheet is to say.
            if path.starts_with("mount.play.") && (-5_000_000..0).contains(&value) {
                None
            } else {
                say(
                    true,
                    format!(
                        "{}: a gap, a play or a pack of shims is 0 to 50 mm",
                        length(value)
                    ),
                )
            }
        }
        Quantity::Length
            if value > 5_000_000
                && path != "mount.push"
                && !path.starts_with("mount.cover")
                && path != "mount.shim" =>
        {
            say(false, format!("Improbable: {}.", length(value)))
        }
        _ => None,
    }
}
