//! What a sheet must not let through: a thrust bearing that nobody judged, a reason that covers more than it names, a
//! part that stands for the others, a size without a limit.

use super::*;

/// A section, what is typed there, and what stands against it then.
type Case<'a> = (Section, &'a [(&'a str, &'a str)], &'a str);

/// A backup chock whose thrust bearing has these values, with the play typed.
fn thrust(values: &[(&str, i64)], text: &'static str) -> MountAssessment {
    let mut known = cylindrical();
    known.thrust = Some(("B-9".into(), bearing_type("two_row_thrust", values)));
    let typed = fields(&[
        ("mount.thrust", text),
        ("mount.thrust.gauge", "FG-05"),
        ("mount.outcome", "mounted"),
    ]);
    assess(&typed, &known, LengthUnit::Millimetre)
}

#[test]
fn a_thrust_bearing_is_judged_as_the_main_bearing_is() {
    // N2X of the demo plant: watch 0.700, rework 0.900, no smallest and no largest of the drawing. U 0.010.
    let demo = [("watch_nm", 700_000), ("rework_nm", 900_000)];
    let drawn = [("clearance_min_nm", 300_000), ("clearance_max_nm", 500_000)];
    let both = [
        ("clearance_min_nm", 300_000),
        ("clearance_max_nm", 500_000),
        ("rework_nm", 900_000),
    ];
    for (values, text, expected, stops) in [
        (&demo[..], "0.600", Verdict::Pass, ""),
        (&demo, "2.000", Verdict::Fail, ""),
        (&demo, "0.900", Verdict::FailInDoubt, ""),
        (&demo, "0.895", Verdict::PassInDoubt, ""),
        (&demo, "0", Verdict::FailInDoubt, "Stop"),
        (&drawn, "0.400", Verdict::Pass, ""),
        (&drawn, "0.600", Verdict::Fail, ""),
        (&drawn, "0.200", Verdict::Fail, "below the drawing"),
        // Worn, and far from its level.
        (&both, "0.600", Verdict::Pass, ""),
        (&both, "0.950", Verdict::Fail, ""),
    ] {
        let a = thrust(values, text);
        let found = check(&a, "mount_thrust");
        assert_eq!(found.verdict, expected, "{values:?} {text}");
        let told = a.section(Section::Clearance).unwrap().blockers.join("; ");
        let is_stopped = told.contains("Stop") || told.contains("below the drawing");
        assert_eq!(is_stopped, !stops.is_empty(), "{text}: {told}");
        assert!(told.contains(stops), "{text}: {told}");
    }
    // Nothing in the register: zero stops all the same, more is for the engineer.
    assert!(
        thrust(&[], "0")
            .blockers()
            .any(|(_, why)| why.contains("Stop"))
    );
    let why = "no limit in the register for the axial play of B-9".to_owned();
    assert!(thrust(&[], "0.600").engineer_because.contains(&why));
    assert!(!thrust(&demo, "0.600").engineer_because.contains(&why));
}

#[test]
fn a_reason_excuses_what_it_names_and_nothing_else() {
    let cases: [Case<'_>; 16] = [
        (
            Section::Grease,
            &[("skip.grease", "oil mist"), ("mount.seal.lip", "cut")],
            "put right first",
        ),
        (
            Section::Grease,
            &[("skip.grease", "oil mist"), ("mount.seal.lip", "folded")],
            "put right first",
        ),
        (
            Section::Grease,
            &[("skip.grease", "no scale"), ("grease.kind", "G-1")],
            "not the approved lubrication",
        ),
        (Section::Grease, &[("skip.grease", "oil mist")], ""),
        (
            Section::Cover,
            &[("skip.mount.cover", "no feeler")],
            "Shims put in",
        ),
        (
            Section::Cover,
            &[("skip.mount.cover", "no feeler"), ("skip.bolts", "later")],
            "",
        ),
        (
            Section::Cover,
            &[
                ("skip.mount.cover", "no feeler"),
                ("skip.bolts", "later"),
                ("mount.bolt.pattern", "at_once"),
            ],
            "crosswise in steps",
        ),
        (
            Section::Cover,
            &[
                ("mount.cover.0", "0.05"),
                ("mount.cover.90", "0.05"),
                ("mount.cover.180", "0.05"),
                ("mount.cover.270", "0.05"),
                ("mount.cover.gauge", "FG-05"),
                ("skip.bolts", "later"),
            ],
            "machine the cover",
        ),
        (
            Section::Cover,
            &[
                ("skip.bolts", "later"),
                ("mount.shim", "1.20"),
                ("mount.bolt.torque", "680"),
                ("mount.bolt.wrench", "TW-02"),
                ("mount.bolt.pattern", "crosswise_steps"),
                ("skip.mount.cover", "no feeler"),
            ],
            "take the reason why not away",
        ),
        (
            Section::Neck,
            &[("skip.neck", "as on the sheet of 2026-01-05")],
            "Crack test of the neck",
        ),
        (
            Section::Neck,
            &[
                ("skip.neck", "as on the sheet of 2026-01-05"),
                ("skip.mount.cracks", "no dye"),
            ],
            "",
        ),
        (
            Section::Neck,
            &[
                ("skip.neck", "as on the sheet of 2026-01-05"),
                ("mount.neck.cracks", "magnetic_clear"),
            ],
            "",
        ),
        (
            Section::Parts,
            &[
                ("skip.mount.parts", "closed"),
                ("mount.parts.zone.1", "II"),
                ("mount.parts.zone.2", "III"),
            ],
            "do not stand alike",
        ),
        (Section::Parts, &[("skip.mount.parts", "closed")], ""),
        (
            Section::Heating,
            &[
                ("skip.mount.heat", "no time"),
                ("mount.heat.by", "induction"),
            ],
            "demagnetised first",
        ),
        (Section::Heating, &[("skip.mount.heat", "no time")], ""),
    ];
    for (section, typed, words) in cases {
        let mut known = cylindrical();
        let base = std::sync::Arc::make_mut(&mut known.base);
        let t = base.bearing_type.as_mut().unwrap();
        t.lubrication = "grease G-2 as approved".into();
        t.values.insert(("cover_clamp_nm".into(), 0), 100_000);
        let mut typed = typed.to_vec();
        typed.push(("mount.outcome", "mounted"));
        let a = assess(&fields(&typed), &known, LengthUnit::Millimetre);
        let state = a.section(section).unwrap();
        let told = state.blockers.join("; ");
        assert!(told.contains(words), "{typed:?}: {told}");
        assert_eq!(told.is_empty(), words.is_empty(), "{typed:?}: {told}");
        assert_ne!(state.mark, Verdict::Pass, "{typed:?}");
        let count = a.engineer_because.len();
        let skips = typed.iter().filter(|(path, _)| path.starts_with("skip."));
        assert!(
            count >= skips.count(),
            "{typed:?}: {:?}",
            a.engineer_because
        );
        // What is found to be wrong may be told where nothing is mounted.
        typed.pop();
        typed.push(("mount.outcome", "not_mounted"));
        let a = assess(&fields(&typed), &known, LengthUnit::Millimetre);
        let told = a.section(section).unwrap().blockers.join("; ");
        for wrong in ["put right first", "crosswise in steps", "machine the cover"] {
            assert!(!told.contains(wrong), "{typed:?}: {told}");
        }
    }
}

#[test]
fn one_part_that_is_sound_does_not_stand_for_those_left_out() {
    for (text, mark) in [("0.300", Verdict::Missing), ("0.100", Verdict::Fail)] {
        let typed = fields(&[
            ("mount.play.1", text),
            ("mount.play.gauge", "FG-05"),
            ("skip.mount.play", "dial broken"),
            ("mount.outcome", "mounted"),
        ]);
        let a = assess(&typed, &tapered(), LengthUnit::Millimetre);
        assert_eq!(check(&a, "mount_end_play").item, 1);
        assert_eq!(a.section(Section::Clearance).unwrap().mark, mark, "{text}");
    }
    // Sizes of a neck that nobody tested for cracks.
    let more = [
        ("neck.check.read", "480.000"),
        ("neck.check.standard", "480.000"),
        ("skip.mount.cracks", "no dye"),
    ];
    let typed = all(&[neck("479.720")], &more);
    let state = assess(&typed, &tapered(), LengthUnit::Millimetre);
    let state = state.section(Section::Neck).unwrap().clone();
    assert_eq!((state.mark, state.blockers.len()), (Verdict::Missing, 0));
}

#[test]
fn what_no_limit_judges_is_not_green_and_the_engineer_says_whether_it_runs() {
    let all_told = |known: &MountFacts| {
        let more = [
            ("neck.check.read", "480.000"),
            ("neck.check.standard", "480.000"),
            ("mount.ring.check.read", "480.000"),
            ("mount.ring.check.standard", "480.000"),
            ("mount.neck.cracks", "dye_clear"),
            ("mount.play.1", "0.300"),
            ("mount.play.2", "0.300"),
            ("mount.play.3", "0.300"),
            ("mount.play.gauge", "FG-05"),
            ("mount.outcome", "mounted"),
        ];
        let typed = all(&[neck("479.720"), ring("479.980")], &more);
        assess(&typed, known, LengthUnit::Millimetre)
    };
    let mut whole = tapered();
    let base = std::sync::Arc::make_mut(&mut whole.base);
    let t = base.bearing_type.as_mut().unwrap();
    t.values.insert(("neck_rework_nm".into(), 0), 479_660_000);
    t.values.insert(("rework_nm".into(), 0), 600_000);
    let a = all_told(&whole);
    assert_eq!(a.engineer_because, Vec::<String>::new());
    let bare = facts(bearing_type(
        "four_row_tapered",
        &[("bore_nm", 480_000_000)],
    ));
    let b = all_told(&bare);
    for (section, what) in [
        (Section::Neck, "the size of the roll neck"),
        (Section::Fit, "the fit of the ring on the neck"),
        (Section::Clearance, "the play"),
    ] {
        assert_eq!(a.section(section).unwrap().mark, Verdict::Pass);
        let state = b.section(section).unwrap();
        assert_eq!(
            (state.mark, state.note.as_str(), state.blockers.len()),
            (Verdict::NotApplicable, "no limit in the register", 0),
            "{section:?}"
        );
        let why = format!("no limit in the register for {what}");
        assert!(
            b.engineer_because.contains(&why),
            "{:?}",
            b.engineer_because
        );
    }
}

#[test]
fn the_gap_at_the_cover_is_worth_what_its_gauge_is() {
    let judged = |known: &MountFacts, last: &'static str, gauge: &'static str| {
        let mut typed: Vec<(&str, &str)> = field::COVER.map(|path| (path, "1.20")).into();
        typed[3].1 = last;
        typed.extend([("mount.shim", "1.20"), ("mount.cover.gauge", gauge)]);
        let a = assess(&fields(&typed), known, LengthUnit::Millimetre);
        let verdict = |about| check(&a, about).verdict;
        (verdict("mount_cover_spread"), verdict("mount_shim"))
    };
    let known = tapered();
    // U 0.010 of each reading, 0.014 of their difference: 0.038 of 0.050 passes, 0.042 does so in doubt.
    for (last, gauge, expected) in [
        ("1.238", "FG-05", Verdict::Pass),
        ("1.242", "FG-05", Verdict::PassInDoubt),
        ("1.258", "FG-05", Verdict::FailInDoubt),
        ("1.270", "FG-05", Verdict::Fail),
        ("1.200", "", Verdict::PassInDoubt),
        ("1.270", "", Verdict::FailInDoubt),
    ] {
        assert_eq!(judged(&known, last, gauge).0, expected, "{last} {gauge}");
    }
    let mut late = tapered();
    let base = std::sync::Arc::make_mut(&mut late.base);
    base.gauges.get_mut("FG-05").unwrap().is_overdue = true;
    let doubt = Verdict::PassInDoubt;
    assert_eq!(judged(&late, "1.200", "FG-05"), (doubt, doubt));
    assert_eq!(
        field::gauge_of("mount.cover.90"),
        Some("mount.cover.gauge"),
        "the impact list finds it"
    );
}
