//! What a type asks of a limit, on the mounting sheet.

use super::*;

/// A type with more values.
fn with(mut known: MountFacts, values: &[(&str, i64)]) -> MountFacts {
    let facts = std::sync::Arc::make_mut(&mut known.base);
    let t = facts.bearing_type.as_mut().unwrap();
    for (name, value) in values {
        t.values.insert(((*name).to_owned(), 0), *value);
    }
    known
}

/// Each value lies two standard uncertainties inside the limit that is meant: p = 0.977.
#[test]
fn what_is_asked_of_a_limit_holds_on_the_mounting_sheet() {
    use super::taper::on_a_taper;
    let read = |typed: &[(&str, &str)]| fields(typed);
    let of_play = |play: &'static str| {
        read(&[
            ("mount.play.1", play),
            ("mount.play.2", play),
            ("mount.play.3", play),
            ("mount.play.gauge", "FG-05"),
        ])
    };
    // A feeler of 0.010 twice: U of a difference is 14,142 nm, of one reading 10,000.
    let on = |before: &'static str, left: &'static str| {
        read(&[
            ("mount.before.1", before),
            ("mount.before.2", before),
            ("mount.radial.1", left),
            ("mount.radial.2", left),
            ("mount.play.gauge", "FG-05"),
            ("mount.push", "1.210"),
            ("mount.push.gauge", "FG-05"),
        ])
    };
    let of_taper = [
        ("reduction_min_nm", 70_000),
        ("reduction_max_nm", 200_000),
        ("push_up_min_nm", 1_200_000),
        ("push_up_max_nm", 1_450_000),
        ("residual_min_nm", 75_000),
    ];
    let rework = [("rework_nm", 600_000)];
    let loose = all(&[neck("479.711"), ring("480.000")], &[]);
    let heated = read(&[("mount.heat.ring", "109.5"), ("mount.heat.gauge", "TC-03")]);
    for (known, typed, about, value) in [
        (tapered(), of_play("0.280"), "mount_end_play", "clearance"),
        // Without a rework level the drawing's maximum is the limit.
        (tapered(), of_play("0.320"), "mount_end_play", "clearance"),
        (
            with(tapered(), &rework),
            of_play("0.590"),
            "mount_end_play",
            "rework",
        ),
        (
            with(tapered(), &rework),
            of_play("0.280"),
            "mount_end_play",
            "clearance",
        ),
        (cylindrical(), heated, "mount_heating", "heating"),
        (
            on_a_taper(&of_taper),
            on("0.170", "0.085"),
            "mount_radial",
            "residual",
        ),
        (
            on_a_taper(&of_taper),
            on("0.170", "0.085"),
            "mount_reduction",
            "reduction",
        ),
        (
            on_a_taper(&of_taper),
            on("0.170", "0.085"),
            "mount_push_up",
            "push_up",
        ),
        // U of the fit: root of the squares of 11 and 10 um, 14.9; 11 um above the smallest neck are 1.48 u: by 90 %.
        (tapered(), loose, "mount_clearance", "fit"),
    ] {
        let judged = |asked: &[(&str, i64)]| {
            let known = with(known.clone(), asked);
            let a = assess(&typed, &known, LengthUnit::Millimetre);
            let check = check(&a, about);
            (check.verdict, check.asked)
        };
        let name = format!("{value}_conformity_ppm");
        let (usual, _) = judged(&[]);
        let (other, ppm) = if value == "fit" {
            assert_eq!(usual, Verdict::PassInDoubt, "{about}");
            (Verdict::Pass, 900_000)
        } else {
            assert_eq!(usual, Verdict::Pass, "{about} by {value}");
            (Verdict::PassInDoubt, 990_000)
        };
        let (verdict, asked) = judged(&[(&name, ppm)]);
        assert_eq!(verdict, other, "{about} by {value}");
        let passes = [asked.lower.pass, asked.upper.pass];
        assert!(passes.contains(&(ppm as f64 / 1e6)), "{about}: {asked:?}");
        // What is asked of another limit leaves it as it is.
        let (verdict, _) = judged(&[("neck_conformity_ppm", 999_000)]);
        assert_eq!(verdict, usual, "{about}");
    }
}

/// Torque 900 N m wanted, 10 % either way, the wrench good to 20 N m: 830 is 2 u above 810.
#[test]
fn the_torque_of_the_cover_bolts_is_judged_as_sure_as_its_type_asks() {
    let judged = |asked: &[(&str, i64)]| {
        let known = with(cylindrical(), &[("cover_bolt_torque_mnm", 900_000)]);
        let typed = fields(&[("mount.bolt.torque", "830"), ("mount.bolt.wrench", "TW-02")]);
        let a = assess(&typed, &with(known, asked), LengthUnit::Millimetre);
        check(&a, "mount_bolt_torque").verdict
    };
    assert_eq!(judged(&[]), Verdict::Pass);
    let strict = [("cover_bolt_conformity_ppm", 990_000)];
    assert_eq!(judged(&strict), Verdict::PassInDoubt);
}

/// A bearing without play does not turn: that is no limit of its type, and what the type asks does not move it.
#[test]
fn without_a_limit_of_the_type_the_default_holds() {
    let mut known = with(tapered(), &[("clearance_conformity_ppm", 500_000)]);
    let facts = std::sync::Arc::make_mut(&mut known.base);
    let t = facts.bearing_type.as_mut().unwrap();
    t.values.remove(&("clearance_min_nm".to_owned(), 0));
    let typed = fields(&[("mount.play.1", "0"), ("mount.play.gauge", "FG-05")]);
    let a = assess(&typed, &known, LengthUnit::Millimetre);
    assert_eq!(check(&a, "mount_end_play").verdict, Verdict::FailInDoubt);
}
