//! A bearing that is pushed up on a taper.

use super::*;

/// A spherical bearing on a taper of 1 in 12; `own` limits of its type come before the guide values.
pub(super) fn on_a_taper(own: &[(&str, i64)]) -> MountFacts {
    let mut values = vec![
        ("bore_nm", 180_000_000),
        ("outside_nm", 300_000_000),
        ("rows_count", 2),
        ("clearance_min_nm", 140_000),
        ("clearance_max_nm", 200_000),
        ("bore_taper_count", 12),
    ];
    values.extend(own);
    facts(bearing_type("two_row_spherical", &values))
}

#[test]
fn a_push_up_is_judged_by_what_it_took_of_the_clearance_and_by_its_way() {
    let typed = fields(&[
        ("mount.before.1", "0.170"),
        ("mount.before.2", "0.175"),
        ("mount.radial.1", "0.085"),
        ("mount.radial.2", "0.090"),
        ("mount.push", "1.30"),
        ("mount.push.gauge", "FG-05"),
        ("mount.play.gauge", "FG-05"),
    ]);
    // Guide values of srb_drive_up.csv for 180 mm: 0.080 to 0.095, way 1.20 to 1.45.
    let a = assess(&typed, &on_a_taper(&[]), LengthUnit::Millimetre);
    let lost: Vec<_> = a
        .checks
        .iter()
        .filter(|c| c.about == "mount_reduction")
        .collect();
    assert_eq!(lost.len(), 2);
    assert!(lost.iter().all(|c| c.value == 85_000));
    assert_eq!((lost[0].lower, lost[0].upper), (Some(80_000), Some(95_000)));
    // A feeler of 0.010 mm cannot decide 0.015 mm: inside, and in doubt.
    assert_eq!(lost[0].verdict, Verdict::PassInDoubt);
    let way = check(&a, "mount_push_up");
    assert_eq!((way.value, way.verdict), (1_300_000, Verdict::Pass));
    assert!(way.limit_origin.contains("guide"), "{}", way.limit_origin);
    // 180/216 of 1.30/12: what the way says.
    assert_eq!(derived(&a, "mount_push_says_nm"), 90_278);
    // 12 x 0.0875 / 0.8333.
    assert_eq!(derived(&a, "mount_push_needed_nm"), 1_260_000);
    // What is left is not judged by the clearance of a bearing that lies on the bench.
    assert!(a.checks.iter().all(|c| c.about != "mount_radial"));

    let own = [
        ("reduction_min_nm", 90_000),
        ("reduction_max_nm", 120_000),
        ("residual_min_nm", 100_000),
    ];
    let a = assess(&typed, &on_a_taper(&own), LengthUnit::Millimetre);
    let lost = check(&a, "mount_reduction");
    assert!(
        lost.limit_origin.contains("drawing of N-1"),
        "{}",
        lost.limit_origin
    );
    assert_eq!(lost.verdict, Verdict::FailInDoubt);
    assert_eq!(check(&a, "mount_radial").lower, Some(100_000));
    let section = a.section(Section::Clearance).unwrap();
    assert!(
        section
            .blockers
            .iter()
            .any(|b| b.contains("below the drawing")),
        "{:?}",
        section.blockers
    );
}

#[test]
fn a_way_and_a_loss_that_cannot_both_be_right_are_read_again() {
    let typed = fields(&[
        ("mount.before.1", "0.170"),
        ("mount.before.2", "0.170"),
        ("mount.radial.1", "0.085"),
        ("mount.radial.2", "0.085"),
        ("mount.push", "4.00"),
    ]);
    let a = assess(&typed, &on_a_taper(&[]), LengthUnit::Millimetre);
    let said: Vec<&str> = a.says.iter().map(|(_, words)| words.as_str()).collect();
    assert!(
        said.iter().any(|w| w.contains("read both again")),
        "{said:?}"
    );
    // Without a taper nothing of the kind is asked.
    let straight = facts(bearing_type(
        "two_row_spherical",
        &[("bore_nm", 180_000_000), ("outside_nm", 300_000_000)],
    ));
    let a = assess(&typed, &straight, LengthUnit::Millimetre);
    assert!(a.checks.iter().all(|c| c.about != "mount_reduction"));
    assert!(a.derived.iter().any(|d| d.name == "mount_reduction_1_nm"));
}
