//! Verdicts that rest on other readings than gaps, spacers and seats: of the mounting sheet, of the ring on its neck and
//! of a taper. And what a sheet sets by its readings: how much is ground off a spacer.

use crate::payload::Outcome;
use crate::sheet::field::{self, Cell, SeatName};

/// With which sign a reading is in the value of such a verdict; none where it has nothing to do with it.
pub(super) fn part(about: &str, item: i64, path: &str) -> Option<i64> {
    let is_of = |paths: &[&str]| paths.contains(&path);
    let row = |stem: &str| path == format!("{stem}.{item}");
    match about {
        "interference" | "mount_interference" | "mount_clearance" => {
            let of_neck = if about == "mount_clearance" { -1 } else { 1 };
            match field::grid(path) {
                Some(Cell::Size {
                    seat: SeatName::Neck,
                    ..
                }) => Some(of_neck),
                Some(Cell::Ring { .. }) => Some(-of_neck),
                _ => is_of(&crate::mounting::field::RING).then_some(-of_neck),
            }
        }
        "mount_end_play" => row("mount.play").then_some(1),
        "mount_radial" => {
            let is_its = item == 0 && path.starts_with("mount.radial.");
            (is_its || row("mount.radial")).then_some(1)
        }
        "mount_reduction" => {
            if row("mount.before") {
                Some(1)
            } else {
                row("mount.radial").then_some(-1)
            }
        }
        "taper_reduction" => match field::grid(path) {
            Some(Cell::Radial(cell)) => {
                let is_its = cell.row().and_then(|row| i64::try_from(row).ok()) == Some(item);
                is_its.then_some(1)
            }
            _ => row("taper.mounted").then_some(-1),
        },
        "mount_push_up" => is_of(&["mount.push"]).then_some(1),
        "taper_push_up" => is_of(&["taper.push"]).then_some(1),
        "mount_thrust" => is_of(&["mount.thrust"]).then_some(1),
        "mount_heating" => is_of(&["mount.heat.ring"]).then_some(1),
        "mount_bolt_torque" => is_of(&["mount.bolt.torque"]).then_some(1),
        "mount_ring_gap" => is_of(&crate::mounting::field::SEAT).then_some(1),
        _ => None,
    }
}

/// What was ground off the spacer of a pair by these readings, and what would have been without an error that is
/// `shift` times in the clearance, nm; none where nothing was ground.
pub(super) fn ground(item: i64, results: &[Outcome], shift_nm: i64) -> Option<(i64, i64)> {
    let of = |name: &str| {
        let mut own = results.iter().filter(|o| o.item == item);
        own.find(|o| o.name == name).map(|o| o.value)
    };
    let off = of("grind_nm").filter(|nm| *nm != 0)?;
    Some((off, off - shift_nm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_readings_of_a_mounting_stand_behind_its_verdicts() {
        for (about, item, path, expected) in [
            ("mount_interference", 0, "neck.1.0", Some(1)),
            ("mount_interference", 0, "mount.ring.2", Some(-1)),
            ("mount_clearance", 0, "neck.3.135", Some(-1)),
            ("mount_clearance", 0, "mount.ring.4", Some(1)),
            ("interference", 0, "ring.2.45", Some(-1)),
            ("interference", 0, "ring.temp", None),
            ("mount_radial", 2, "mount.radial.2", Some(1)),
            ("mount_radial", 2, "mount.radial.1", None),
            ("mount_radial", 0, "mount.radial.3", Some(1)),
            ("mount_reduction", 1, "mount.before.1", Some(1)),
            ("mount_reduction", 1, "mount.radial.1", Some(-1)),
            ("taper_reduction", 2, "radial.passes.2.90", Some(1)),
            ("taper_reduction", 2, "taper.mounted.2", Some(-1)),
            ("taper_reduction", 2, "radial.passes.1.90", None),
            ("mount_heating", 0, "mount.heat.ring", Some(1)),
            ("mount_heating", 0, "mount.heat.neck", None),
            ("mount_bolt_torque", 0, "mount.bolt.torque", Some(1)),
            ("mount_thrust", 0, "mount.thrust", Some(1)),
            ("mount_end_play", 3, "mount.play.3", Some(1)),
            ("mount_cover_spread", 0, "mount.cover.0", None),
        ] {
            assert_eq!(part(about, item, path), expected, "{about} {item} {path}");
        }
    }

    #[test]
    fn what_was_ground_off_follows_the_reading() {
        let of = |name: &str, item, value| Outcome {
            name: name.into(),
            item,
            value,
        };
        let results = [of("grind_nm", 1, 340_000), of("grind_nm", 2, 0)];
        // A gap read 24 um too large hides as much clearance: so much more should have been ground off.
        assert_eq!(ground(1, &results, -24_000), Some((340_000, 364_000)));
        assert_eq!(ground(2, &results, -24_000), None);
        assert_eq!(ground(3, &results, -24_000), None);
    }
}
