//! The mounting sheet against the demo plant's numbers (invented; the arithmetic is checked against published sources in
//! crate `calc`).

use std::collections::BTreeMap;

use calc::conformity::Verdict;

mod careful;
mod closing;
mod entry;
mod sureness;
mod taper;

use super::*;
use crate::draft::{DraftField, Fields, Source};
use crate::entry::LengthUnit;
use crate::id::ThingNo;
use crate::sheet::{
    BearingFacts, ChockFacts, Facts, GaugeFacts, LastClearance, LastSeat, StayFacts, TypeFacts,
};
use crate::time::Stamp;

fn fields(all: &[(&str, &str)]) -> Fields {
    let field = |text: &str| DraftField {
        text: text.into(),
        source: Source::Typed,
    };
    all.iter()
        .map(|(path, text)| ((*path).to_owned(), field(text)))
        .collect()
}

fn gauge(code: &str, measures: &str, u: i64) -> (String, GaugeFacts) {
    let facts = GaugeFacts {
        no: ThingNo(50),
        code: code.into(),
        kind: measures.into(),
        measures: measures.into(),
        span: String::new(),
        expanded_uncertainty_nm: Some(u),
        certificate: "C-1".into(),
        due_ms: 0,
        is_overdue: false,
        doubt: String::new(),
    };
    (code.into(), facts)
}

fn bearing_type(kind: &str, values: &[(&str, i64)]) -> TypeFacts {
    TypeFacts {
        code: "N-1".into(),
        kind: kind.into(),
        values: values
            .iter()
            .map(|(name, v)| (((*name).to_owned(), 0), *v))
            .collect(),
        ..TypeFacts::default()
    }
}

fn facts(t: TypeFacts) -> MountFacts {
    let at = Stamp::parse("2026-02-11 08:00", 60).unwrap();
    let gauges = BTreeMap::from([
        gauge("OM-04", "neck", 11_000),
        gauge("BG-03", "bore", 10_000),
        gauge("TC-03", "temperature", 500),
        gauge("FG-05", "other", 10_000),
        gauge("TW-02", "torque", 20_000),
    ]);
    let family = Family::of(&t.kind).unwrap();
    MountFacts {
        base: std::sync::Arc::new(Facts {
            at,
            bearing: Some(BearingFacts {
                no: ThingNo(1),
                serial: "B-1".into(),
                total_run_s: 0,
                as_set_nm: [None; 3],
                revision: 1,
                zone_run_s: [0; 4],
                stay: Some(StayFacts {
                    chock: ThingNo(2),
                    chock_code: "C-1".into(),
                    from_ms: 0,
                    zone: 2,
                    run_s: 0,
                    rolled_kg: 0,
                }),
                history: Vec::new(),
                findings: Vec::new(),
                held: None,
            }),
            bearing_type: Some(t),
            chock: Some(ChockFacts {
                no: ThingNo(2),
                code: "C-1".into(),
                shim_place: "under_flange".into(),
                bore_planes: 3,
            }),
            roll: Some((ThingNo(3), "R-1".into())),
            position: Some((ThingNo(4), "F2-K-T-D".into())),
            back_into: None,
            last_roll: None,
            last_bores: Vec::new(),
            last_neck: None,
            gauges,
            greases: BTreeMap::from([("G-1".into(), ThingNo(9))]),
            blocked: BTreeMap::new(),
            people: BTreeMap::from([("Fitter 1".into(), ThingNo(8))]),
            auditors: Vec::new(),
            foreseen: crate::sheet::Foreseen::default(),
            unknown: BTreeMap::new(),
            shop: crate::sheet::ShopFacts::default(),
        }),
        family,
        is_other: false,
        inner: Some((ThingNo(5), "I-1".into())),
        stays_since: None,
        thrust: None,
        last_neck: None,
        last_play: None,
        against: Vec::new(),
        remarks: Vec::new(),
        past_interval: None,
        seals: BTreeMap::new(),
    }
}

/// N4C-760 of the demo plant.
fn cylindrical() -> MountFacts {
    facts(bearing_type(
        "four_row_cylindrical",
        &[
            ("bore_nm", 760_000_000),
            ("outside_nm", 1_080_000_000),
            ("ring_bore_lower_nm", -75_000),
            ("ring_bore_upper_nm", 0),
            ("neck_min_nm", 760_310_000),
            ("neck_max_nm", 760_390_000),
            ("neck_rework_nm", 760_280_000),
            ("clearance_min_nm", 360_000),
            ("clearance_max_nm", 460_000),
            ("heating_limit_mk", 110_000),
        ],
    ))
}

fn tapered() -> MountFacts {
    facts(bearing_type(
        "four_row_tapered",
        &[
            ("bore_nm", 480_000_000),
            ("ring_bore_lower_nm", -45_000),
            ("ring_bore_upper_nm", 0),
            ("neck_min_nm", 479_700_000),
            ("neck_max_nm", 479_760_000),
            ("clearance_min_nm", 270_000),
            ("clearance_max_nm", 330_000),
        ],
    ))
}

/// A neck of one size at 20 C, with its gauge.
fn neck(size: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = [
        ("neck.temp_first", "20"),
        ("neck.temp_gauge", "20"),
        ("neck.temp_last", "20"),
        ("neck.gauge", "OM-04"),
    ]
    .map(|(p, t)| (p.to_owned(), t.to_owned()))
    .into();
    for plane in 1..=3 {
        for at in [0, 45, 90, 135] {
            all.push((format!("neck.{plane}.{at}"), size.to_owned()));
        }
    }
    all
}

fn ring(size: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = [
        ("mount.ring.temp", "20"),
        ("mount.ring.temp_gauge", "20"),
        ("mount.ring.gauge", "BG-03"),
    ]
    .map(|(p, t)| (p.to_owned(), t.to_owned()))
    .into();
    all.extend(field::RING.map(|path| (path.to_owned(), size.to_owned())));
    all
}

fn all(parts: &[Vec<(String, String)>], more: &[(&str, &str)]) -> Fields {
    let mut fields = fields(more);
    for (path, text) in parts.iter().flatten() {
        let text = text.clone();
        fields.insert(
            path.clone(),
            DraftField {
                text,
                source: Source::Typed,
            },
        );
    }
    fields
}

fn check<'a>(a: &'a MountAssessment, about: &str) -> &'a Check {
    a.checks.iter().find(|c| c.about == about).unwrap()
}

fn derived(a: &MountAssessment, name: &str) -> i64 {
    a.derived.iter().find(|d| d.name == name).unwrap().value
}

#[test]
fn story_h_a_ring_that_crept_shows_as_interference_lost_and_the_neck_is_at_fault() {
    let a = assess(
        &all(&[neck("760.041"), ring("759.962")], &[]),
        &cylindrical(),
        LengthUnit::Millimetre,
    );
    let fit = check(&a, "mount_interference");
    assert_eq!(fit.value, 79_000);
    assert_eq!((fit.lower, fit.upper), (Some(348_000), Some(428_000)));
    assert_eq!(fit.verdict, Verdict::Fail);
    let said: Vec<&str> = a.says.iter().map(|(_, words)| words.as_str()).collect();
    assert!(
        said[0].contains("the neck is up to 269 \u{b5}m under its limits"),
        "{said:?}"
    );
    assert!(
        !said[0].contains("ring"),
        "the ring is inside its own limits: {said:?}"
    );
}

#[test]
fn a_sound_tight_fit_tells_its_heat_and_what_it_takes_of_the_clearance() {
    let mut more = vec![
        ("mount.heat.neck", "24"),
        ("mount.heat.by", "induction"),
        ("mount.heat.ring", "95"),
        ("mount.heat.gauge", "TC-03"),
    ];
    let typed = |more: &[(&str, &str)]| all(&[neck("760.350"), ring("759.962")], more);
    let a = assess(&typed(&more), &cylindrical(), LengthUnit::Millimetre);
    assert_eq!(check(&a, "mount_interference").value, 388_000);
    assert_eq!(check(&a, "mount_interference").verdict, Verdict::Pass);
    // (0.388 + 0.200) / (11.5e-6 x 759.962) = 67.28 K over 24 C.
    assert_eq!(derived(&a, "mount_needed_mk"), 91_280);
    let loss = derived(&a, "mount_loss_nm");
    assert!((300_000..388_000).contains(&loss), "{loss}");
    assert_eq!(check(&a, "mount_heating").verdict, Verdict::Pass);
    assert!(a.section(Section::Heating).unwrap().blockers[0].contains("demagnetised"));
    more.retain(|(path, _)| *path != "mount.heat.ring");
    more.extend([
        ("mount.heat.ring", "118"),
        ("mount.heat.demagnetised", "yes"),
        ("mount.outcome", "mounted"),
    ]);
    let a = assess(&typed(&more), &cylindrical(), LengthUnit::Millimetre);
    assert_eq!(
        check(&a, "mount_heating").verdict,
        Verdict::Fail,
        "over its own limit of 110 C"
    );
    assert!(a.engineer_because[0].contains("over its limit"));
}

#[test]
fn a_ring_that_stands_off_fails_and_is_turned_and_gauged_again() {
    let gaps = |largest| {
        [
            ("mount.seat.0", "0"),
            ("mount.seat.90", largest),
            ("mount.seat.180", "0"),
            ("mount.seat.270", "0"),
            ("mount.seat.gauge", "FG-05"),
        ]
    };
    let seated = assess(&fields(&gaps("0")), &cylindrical(), LengthUnit::Millimetre);
    assert_eq!(check(&seated, "mount_ring_gap").verdict, Verdict::Pass);
    let off = assess(
        &fields(&gaps("0.03")),
        &cylindrical(),
        LengthUnit::Millimetre,
    );
    assert_eq!(check(&off, "mount_ring_gap").verdict, Verdict::Fail);
    assert_eq!(off.section(Section::Seating).unwrap().mark, Verdict::Fail);
    // A feeler nobody named, of unknown U, or overdue decides nothing.
    let mut unnamed = gaps("0").to_vec();
    unnamed.pop();
    let doubtful = assess(&fields(&unnamed), &cylindrical(), LengthUnit::Millimetre);
    assert_eq!(
        check(&doubtful, "mount_ring_gap").verdict,
        Verdict::PassInDoubt
    );
    let against = &doubtful.section(Section::Seating).unwrap().blockers;
    assert_eq!(against[..], ["Feeler for the ring faces: which one?"]);
    for change in [
        |g: &mut GaugeFacts| g.expanded_uncertainty_nm = None,
        |g: &mut GaugeFacts| g.is_overdue = true,
    ] {
        let mut known = cylindrical();
        let base = std::sync::Arc::make_mut(&mut known.base);
        change(base.gauges.get_mut("FG-05").unwrap());
        for (gap, expected) in [("0", Verdict::PassInDoubt), ("0.03", Verdict::FailInDoubt)] {
            let a = assess(&fields(&gaps(gap)), &known, LengthUnit::Millimetre);
            assert_eq!(check(&a, "mount_ring_gap").verdict, expected, "{gap}");
        }
    }
}

#[test]
fn a_loose_fit_is_told_as_clearance_and_an_earlier_neck_is_at_best_in_doubt() {
    let mut known = tapered();
    let a = assess(
        &all(&[neck("479.720"), ring("479.980")], &[]),
        &known,
        LengthUnit::Millimetre,
    );
    let fit = check(&a, "mount_clearance");
    assert_eq!(
        (fit.value, fit.lower, fit.upper),
        (260_000, Some(220_000), Some(280_000))
    );
    assert_eq!(fit.verdict, Verdict::Pass);
    known.last_neck = Some(LastSeat {
        at: Stamp::parse("2026-01-05", 60).unwrap(),
        mean_nm: -280_000,
        ovality_nm: Vec::new(),
    });
    let a = assess(
        &all(&[ring("479.980")], &[("skip.neck", "as on the last sheet")]),
        &known,
        LengthUnit::Millimetre,
    );
    let fit = check(&a, "mount_clearance");
    assert!(fit.verdict.is_in_doubt(), "{fit:?}");
    assert!(fit.note.contains("2026-01-05"));
}

#[test]
fn end_play_is_judged_by_the_level_of_the_type_and_reached_at_it() {
    // Set at 0.298 on the bench: twice that, 0.596, is no limit of what a dial reads on the roll.
    let mut known = tapered();
    let facts = std::sync::Arc::make_mut(&mut known.base);
    let own = facts.bearing.as_mut().unwrap();
    own.as_set_nm = [Some(298_000), Some(310_000), None];
    let of_type = facts.bearing_type.as_mut().unwrap();
    of_type.values.insert(("rework_nm".into(), 0), 600_000);
    let judged = |play: &'static str| {
        let typed = fields(&[
            ("mount.play.1", play),
            ("mount.play.2", play),
            ("mount.play.3", play),
            ("mount.play.gauge", "FG-05"),
        ]);
        let a = assess(&typed, &known, LengthUnit::Millimetre);
        [1, 2, 3].map(|item| {
            let mut all = a.checks.iter();
            let found = all.find(|c| c.about == "mount_end_play" && c.item == item);
            let found = found.unwrap();
            (found.upper, found.verdict)
        })
    };
    for pair in judged("0.596") {
        assert_eq!(pair, (Some(600_000), Verdict::PassInDoubt), "not reached");
    }
    let [_, second, third] = judged("0.590");
    assert_eq!(second, (Some(600_000), Verdict::Pass), "under it");
    assert_eq!(third.0, Some(600_000), "no value as set is known");
    assert!(
        judged("0.600")
            .iter()
            .all(|(_, verdict)| *verdict == Verdict::FailInDoubt)
    );
}

#[test]
fn too_little_play_is_not_mounted_and_none_at_all_stops() {
    let typed = |first: &'static str, outcome: &'static str| {
        assess(
            &fields(&[
                ("mount.play.1", first),
                ("mount.play.2", "0.300"),
                ("mount.play.3", "0.310"),
                ("mount.play.gauge", "FG-05"),
                ("mount.outcome", outcome),
            ]),
            &tapered(),
            LengthUnit::Millimetre,
        )
    };
    let blockers = |a: &MountAssessment| a.section(Section::Clearance).unwrap().blockers.clone();
    let low = typed("0.200", "mounted");
    assert_eq!(check(&low, "mount_end_play").verdict, Verdict::Fail);
    assert!(
        blockers(&low)[0].contains("below the drawing\u{2019}s minimum"),
        "{:?}",
        blockers(&low)
    );
    assert!(blockers(&typed("0", "mounted"))[0].contains("Stop"));
    assert!(blockers(&typed("-0.02", "mounted"))[0].contains("Stop"));
    assert!(blockers(&typed("0.300", "mounted")).is_empty());
    assert!(
        blockers(&typed("0.200", "not_mounted")).is_empty(),
        "what is not mounted may be told"
    );
}

#[test]
fn no_play_stops_whether_or_not_the_type_has_a_limit_for_it() {
    let spherical = |own: &[(&str, i64)]| {
        let mut values = vec![("bore_nm", 180_000_000), ("outside_nm", 300_000_000)];
        values.extend(own);
        facts(bearing_type("two_row_spherical", &values))
    };
    let tapered_bare = facts(bearing_type(
        "four_row_tapered",
        &[("bore_nm", 480_000_000)],
    ));
    let cylindrical_bare = facts(bearing_type(
        "four_row_cylindrical",
        &[("bore_nm", 760_000_000)],
    ));
    // On a taper the guide values that stand in for the type's have none for what is left.
    let on_a_taper = spherical(&[("bore_taper_count", 12)]);
    let residual = spherical(&[("bore_taper_count", 12), ("residual_min_nm", 50_000)]);
    let cases: [(&str, &MountFacts, &[&str], &str, bool); 12] = [
        ("pairs", &tapered_bare, &field::PLAY, "-0.02", true),
        ("pairs", &tapered_bare, &field::PLAY, "0", true),
        ("pairs", &tapered_bare, &field::PLAY, "0.001", false),
        ("whole", &cylindrical_bare, &field::RADIAL, "0", true),
        ("whole", &cylindrical_bare, &field::RADIAL, "0.001", false),
        ("rows", &spherical(&[]), &field::RADIAL[..2], "0", true),
        ("rows", &spherical(&[]), &field::RADIAL[..2], "0.001", false),
        ("taper", &on_a_taper, &field::RADIAL[..2], "0.000", true),
        ("taper", &on_a_taper, &field::RADIAL[..2], "0.001", false),
        ("residual", &residual, &field::RADIAL[..2], "0", true),
        ("limits", &cylindrical(), &field::RADIAL, "0", true),
        ("limits", &tapered(), &field::PLAY, "-0.001", true),
    ];
    for (name, known, play, text, stops) in cases {
        let mut typed = vec![
            ("mount.before.1", "0.060"),
            ("mount.before.2", "0.060"),
            ("mount.play.gauge", "FG-05"),
            ("mount.outcome", "mounted"),
        ];
        typed.extend(play.iter().map(|path| (*path, text)));
        let a = assess(&fields(&typed), known, LengthUnit::Millimetre);
        let told = a.section(Section::Clearance).unwrap().blockers.join("; ");
        assert_eq!(told.contains("Stop"), stops, "{name} {text}: {told}");
        let plays = ["mount_end_play", "mount_radial"];
        let mut judged = a.checks.iter().filter(|c| plays.contains(&c.about));
        let fails = judged.any(|c| c.verdict == Verdict::Fail || c.verdict.is_in_doubt());
        assert!(fails || !stops, "{name} {text}: it is judged, too");
    }
}

#[test]
fn the_rings_stand_as_the_record_has_them_or_it_says_why_not() {
    let typed = |second: &'static str, reason: &'static str| {
        let a = assess(
            &fields(&[
                ("mount.parts.order", "A B C"),
                ("mount.parts.zone.1", second),
                ("mount.parts.zone.2", "II"),
                ("mount.parts.zone.3", "II"),
                ("mount.parts.reason", reason),
            ]),
            &tapered(),
            LengthUnit::Millimetre,
        );
        a.section(Section::Parts).unwrap().clone()
    };
    assert_eq!(typed("II", "").mark, Verdict::Pass);
    assert!(typed("III", "").blockers[0].contains("do not stand alike"));
    assert!(
        typed("III", "mark of ring 1 worn off, set by its line")
            .blockers
            .is_empty()
    );
}

#[test]
fn another_grease_than_the_approved_one_wants_its_approval() {
    let mut known = tapered();
    let base = std::sync::Arc::make_mut(&mut known.base);
    let scheme = "grease G-2 as approved, scheme LS-480";
    base.bearing_type.as_mut().unwrap().lubrication = scheme.into();
    base.greases.insert("G-2".into(), ThingNo(10));
    let typed = |kind: &'static str, approval: &'static str| {
        let mut all = vec![("grease.kind", kind), ("lube.approval", approval)];
        let rows = [
            "grease.row.1",
            "grease.row.2",
            "grease.row.3",
            "grease.row.4",
        ];
        all.extend(rows.map(|path| (path, "850")));
        let typed = fields(&all);
        let a = assess(&typed, &known, LengthUnit::Millimetre);
        let asked = field::order(Section::Grease, &a.asked(&typed));
        let is_asked = asked.iter().any(|path| path == "lube.approval");
        (
            a.section(Section::Grease).unwrap().blockers.clone(),
            is_asked,
        )
    };
    assert_eq!(typed("G-2", ""), (Vec::new(), false));
    let (blockers, is_asked) = typed("G-1", "");
    assert!(
        blockers[0].contains("not the approved lubrication (grease G-2"),
        "{blockers:?}"
    );
    assert!(is_asked);
    assert_eq!(typed("G-1", "LA-12 of the maker"), (Vec::new(), true));
}
