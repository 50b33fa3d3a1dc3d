//! Closing the chock: shims, bolts, and what is left out.

use super::*;

#[test]
fn the_pack_of_shims_is_the_mean_gap_and_foil_is_refused() {
    let a = assess(
        &fields(&[
            ("mount.cover.0", "1.20"),
            ("mount.cover.90", "1.21"),
            ("mount.cover.180", "1.20"),
            ("mount.cover.270", "1.19"),
            ("mount.cover.gauge", "FG-05"),
            ("mount.protect", "foil"),
        ]),
        &tapered(),
        LengthUnit::Millimetre,
    );
    assert_eq!(derived(&a, "mount_shim_nm"), 1_200_000);
    assert_eq!(check(&a, "mount_cover_spread").verdict, Verdict::Pass);
    assert!(a.section(Section::Protect).unwrap().blockers[0].contains("never plastic foil"));
}

#[test]
fn nothing_typed_asks_for_everything_and_a_reason_why_not_is_enough_for_each_part() {
    let a = assess(&Fields::new(), &tapered(), LengthUnit::Millimetre);
    assert!(a.blockers().count() >= 8);
    let a = assess(
        &fields(&[
            ("identify.chock", "C-1"),
            ("identify.position", "F2-K-T-D"),
            ("skip.neck", "as last week"),
            ("skip.mount.ring", "gauge away"),
            ("skip.mount.parts", "closed chock"),
            ("skip.mount.play", "bench value holds"),
            ("skip.grease", "filled before"),
            ("skip.mount.cover", "not opened"),
            ("skip.bolts", "not opened"),
            ("mount.neck.cracks", "dye_clear"),
            ("mount.protect", "textile"),
            ("mount.outcome", "mounted"),
        ]),
        &tapered(),
        LengthUnit::Millimetre,
    );
    let left: Vec<_> = a.blockers().collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_bearing_past_its_interval_is_mounted_by_the_engineer_only() {
    let mut known = tapered();
    let why = "B-1 is past its interval: 2,100 h of 2,000 h since it was looked at last";
    known.past_interval = Some(why.into());
    for (outcome, expected) in [
        ("mounted", vec![why.to_owned()]),
        ("not_mounted", Vec::new()),
    ] {
        let typed = fields(&[("mount.outcome", outcome)]);
        let a = assess(&typed, &known, LengthUnit::Millimetre);
        assert_eq!(a.engineer_because, expected, "{outcome}");
    }
}

/// A bearing whose cover holds the outer rings by 0.10 mm, with bolts of 680 N m.
fn closed(more: &[(&str, &str)]) -> MountAssessment {
    let mut known = tapered();
    let base = std::sync::Arc::make_mut(&mut known.base);
    let t = base.bearing_type.as_mut().unwrap();
    t.values
        .insert(("cover_bolt_torque_mnm".into(), 0), 680_000);
    t.values.insert(("cover_clamp_nm".into(), 0), 100_000);
    let mut typed = vec![
        ("mount.cover.0", "1.20"),
        ("mount.cover.90", "1.21"),
        ("mount.cover.180", "1.20"),
        ("mount.cover.270", "1.19"),
        ("mount.cover.gauge", "FG-05"),
        ("mount.shim", "1.10"),
        ("mount.bolt.torque", "680"),
        ("mount.bolt.wrench", "TW-02"),
        ("mount.bolt.pattern", "crosswise_steps"),
        ("mount.outcome", "mounted"),
    ];
    typed.retain(|(path, _)| more.iter().all(|(other, _)| other != path));
    typed.extend(more);
    assess(&fields(&typed), &known, LengthUnit::Millimetre)
}

#[test]
fn shims_and_torque_are_judged_by_the_gaps_and_by_the_type() {
    for (path, text, about, expected) in [
        // The pack is the mean gap 1.20 less the 0.10 by which the cover holds: 1.10, to one leaf of 0.05.
        ("mount.shim", "1.10", "mount_shim", Verdict::Pass),
        ("mount.shim", "1.15", "mount_shim", Verdict::Pass),
        ("mount.shim", "1.16", "mount_shim", Verdict::Fail),
        ("mount.shim", "1.20", "mount_shim", Verdict::Fail),
        ("mount.shim", "1.04", "mount_shim", Verdict::Fail),
        // 680 N m, a tenth either way: 612 to 748, U of the wrench 20.
        (
            "mount.bolt.torque",
            "680",
            "mount_bolt_torque",
            Verdict::Pass,
        ),
        (
            "mount.bolt.torque",
            "740",
            "mount_bolt_torque",
            Verdict::PassInDoubt,
        ),
        (
            "mount.bolt.torque",
            "755",
            "mount_bolt_torque",
            Verdict::FailInDoubt,
        ),
        (
            "mount.bolt.torque",
            "860",
            "mount_bolt_torque",
            Verdict::Fail,
        ),
        (
            "mount.bolt.torque",
            "400",
            "mount_bolt_torque",
            Verdict::Fail,
        ),
    ] {
        let a = closed(&[(path, text)]);
        assert_eq!(derived(&a, "mount_shim_nm"), 1_100_000);
        assert_eq!(check(&a, about).verdict, expected, "{path} {text}");
        let is_engineer = !a.engineer_because.is_empty();
        assert_eq!(is_engineer, expected != Verdict::Pass, "{path} {text}");
    }
    for pattern in ["circle_steps", "at_once"] {
        let a = closed(&[("mount.bolt.pattern", pattern)]);
        let against = &a.section(Section::Cover).unwrap().blockers;
        assert!(against[0].contains("crosswise in steps"), "{against:?}");
    }
    let a = closed(&[
        ("mount.cover.0", "0.05"),
        ("mount.cover.90", "0.05"),
        ("mount.cover.180", "0.05"),
        ("mount.cover.270", "0.05"),
        ("mount.shim", "0"),
    ]);
    assert_eq!(derived(&a, "mount_shim_nm"), -50_000);
    let against = &a.section(Section::Cover).unwrap().blockers;
    assert!(against[0].contains("machine the cover"), "{against:?}");
}

/// Gap 1.20, the cover is to hold the rings by 0.10.
#[test]
fn a_pack_under_the_flange_is_thinner_than_the_gap_and_one_at_the_ring_is_thicker() {
    for (place, hold, shim, asked, expected) in [
        ("under_flange", 100_000, "1.10", 1_100_000, Verdict::Pass),
        ("under_flange", 100_000, "1.30", 1_100_000, Verdict::Fail),
        ("between", 100_000, "1.30", 1_300_000, Verdict::Pass),
        // As thin as under the flange the rings would be loose.
        ("between", 100_000, "1.10", 1_300_000, Verdict::Fail),
        ("under_flange", 0, "1.20", 1_200_000, Verdict::Pass),
        ("between", 0, "1.20", 1_200_000, Verdict::Pass),
    ] {
        let mut known = tapered();
        let base = std::sync::Arc::make_mut(&mut known.base);
        base.chock.as_mut().unwrap().shim_place = place.into();
        let t = base.bearing_type.as_mut().unwrap();
        t.values.insert(("cover_clamp_nm".into(), 0), hold);
        let mut typed: Vec<(&str, &str)> = field::COVER.map(|path| (path, "1.20")).into();
        typed.push(("mount.shim", shim));
        let a = assess(&fields(&typed), &known, LengthUnit::Millimetre);
        assert_eq!(derived(&a, "mount_shim_nm"), asked, "{place} {hold}");
        assert_eq!(check(&a, "mount_shim").verdict, expected, "{place} {shim}");
    }
}

#[test]
fn what_is_left_out_is_signed_by_the_engineer_where_the_chock_goes_on() {
    for (path, expected) in [
        ("skip.neck", "roll neck not measured"),
        ("skip.mount.ring", "ring bore not measured"),
        ("skip.mount.parts", "parts not read back"),
        ("skip.mount.play", "play not measured"),
        ("skip.grease", "not greased"),
        ("skip.mount.cover", "cover gap not measured"),
        ("skip.bolts", "cover bolts not tightened"),
    ] {
        let a = closed(&[(path, "no time")]);
        assert!(
            a.engineer_because.iter().any(|why| why == expected),
            "{path}: {:?}",
            a.engineer_because
        );
        let a = closed(&[(path, "no time"), ("mount.outcome", "not_mounted")]);
        assert_eq!(a.engineer_because, Vec::<String>::new(), "{path}");
    }
}
