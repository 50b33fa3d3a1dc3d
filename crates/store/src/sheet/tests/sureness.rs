//! A type that asks another probability of one limit moves the verdicts by that limit, and no other.

use super::*;
use crate::sheet::field::{SEAT_DEGREES, SeatName, after_at, size, spacer_at};

/// Every value two standard uncertainties inside its limit: p = 0.977, enough for 95 %, not for 99 %.
fn all_near(asked: &[(&str, i64)]) -> Assessment {
    let mut known = facts();
    known.gauges.extend([
        gauge(33, "OM-07", "neck", 8_000, false),
        gauge(36, "DG-01", "other", 12_000, false),
    ]);
    let t = known.bearing_type.as_mut().unwrap();
    for (name, value) in [
        ("clearance_min_nm", 570_000),
        ("chock_bore_lower_nm", 39_000),
        ("chock_bore_mean_max_nm", 122_833),
        ("chock_ovality_max_nm", 162_000),
        ("chock_taper_max_nm", 44_750),
        ("chock_shoulder_max_nm", 50_000),
        ("chock_cover_face_max_nm", 50_000),
        ("chock_liner_width_min_nm", 700_000_000),
        ("neck_ovality_max_nm", 8_000),
        ("neck_taper_max_nm", 8_000),
        ("spacer_parallel_nm", 20_000),
    ]
    .iter()
    .chain(asked)
    {
        t.values.insert(((*name).to_owned(), 0), *value);
    }
    let mut more: Vec<(String, String)> = vec![];
    let mut put = |path: &str, text: &str| more.push((path.into(), text.into()));
    for (plane, row) in (1..).zip(BORE) {
        for (degrees, text) in SEAT_DEGREES.into_iter().zip(row) {
            put(&size(SeatName::Bore, plane, degrees), text);
            put(&size(SeatName::Neck, plane, degrees), "479.668");
        }
    }
    for seat in ["bore", "neck"] {
        for end in ["temp_first", "temp_last", "temp_gauge"] {
            put(&format!("{seat}.{end}"), "20");
        }
    }
    for (path, text) in [
        ("bore.gauge", "BG-03"),
        ("neck.gauge", "OM-07"),
        ("chock.gauge", "DG-01"),
        ("chock.shoulder", "0.038"),
        ("chock.cover_face", "0.038"),
        ("chock.width", "700.012"),
    ] {
        put(path, text);
    }
    // The mean of both places is 24.000; their difference 0.011.
    put(&spacer_at(1, 0), "23.9945");
    put(&spacer_at(1, 90), "24.0055");
    put(&after_at(1, 0), "23.700");
    let more: Vec<(&str, &str)> = more.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    equal(585, "GB-01", &known, &more)
}

/// What is judged, with its verdict.
fn verdicts(a: &Assessment) -> Vec<(&'static str, Verdict)> {
    let pair = &a.clearance.pairs[0];
    let mut all = vec![
        ("minimum", pair.minimum_verdict),
        ("rework", pair.rework_verdict),
        ("target", a.clearance.after.verdict[0]),
        ("spacer_parallel", pair.parallel_verdict),
    ];
    // Of several planes the first.
    let checks = a.bore.checks.iter().chain(&a.neck.checks);
    all.extend(checks.filter(|c| c.plane < 2).map(|c| (c.about, c.verdict)));
    all
}

#[test]
fn what_is_asked_of_a_limit_moves_its_own_verdict_alone() {
    let usual = verdicts(&all_near(&[]));
    let names: Vec<&str> = usual.iter().map(|(name, _)| *name).collect();
    for (value, moved) in [
        ("clearance_conformity_ppm", &["minimum"] as &[&str]),
        ("rework_conformity_ppm", &["rework"]),
        ("target_conformity_ppm", &["target"]),
        ("spacer_parallel_conformity_ppm", &["spacer_parallel"]),
        ("chock_bore_conformity_ppm", &["bore_smallest"]),
        ("chock_bore_mean_conformity_ppm", &["bore_mean"]),
        ("chock_ovality_conformity_ppm", &["bore_ovality"]),
        ("chock_taper_conformity_ppm", &["bore_taper"]),
        ("chock_shoulder_conformity_ppm", &["chock_shoulder"]),
        ("chock_cover_face_conformity_ppm", &["chock_cover_face"]),
        ("chock_liner_width_conformity_ppm", &["chock_width"]),
        ("neck_conformity_ppm", &["neck_smallest", "neck_largest"]),
        ("neck_ovality_conformity_ppm", &["neck_ovality"]),
        ("neck_taper_conformity_ppm", &["neck_taper"]),
        // What other sheets judge.
        ("fit_conformity_ppm", &[]),
        ("heating_conformity_ppm", &[]),
    ] {
        assert!(moved.iter().all(|name| names.contains(name)), "{names:?}");
        let strict = verdicts(&all_near(&[(value, 990_000)]));
        for (usual, strict) in usual.iter().zip(&strict) {
            let expected = if moved.contains(&usual.0) {
                Verdict::PassInDoubt
            } else {
                Verdict::Pass
            };
            assert_eq!(*usual, (strict.0, Verdict::Pass), "as usual");
            assert_eq!(strict.1, expected, "{value}: {}", strict.0);
        }
    }
}

#[test]
fn with_half_asked_the_value_alone_decides() {
    for (clearance_um, usual, decided) in [
        (571, Verdict::Pass, Verdict::Pass),
        (598, Verdict::PassInDoubt, Verdict::Pass),
        // Reached at equality, whatever is asked.
        (600, Verdict::FailInDoubt, Verdict::Fail),
        (602, Verdict::FailInDoubt, Verdict::Fail),
        (640, Verdict::Fail, Verdict::Fail),
    ] {
        let judged = |asked: Option<i64>| {
            let mut known = facts();
            let t = known.bearing_type.as_mut().unwrap();
            let asked = asked.map(|ppm| (("rework_conformity_ppm".to_owned(), 0), ppm));
            t.values.extend(asked);
            let a = equal(clearance_um, "GB-01", &known, &[]);
            a.clearance.pairs[0].rework_verdict
        };
        assert_eq!(judged(None), usual, "{clearance_um}");
        assert_eq!(judged(Some(950_000)), usual, "{clearance_um}");
        assert_eq!(judged(Some(500_000)), decided, "{clearance_um}");
    }
}

/// The decision follows: in doubt it asks for a second look, and a return in doubt waits for the engineer.
#[test]
fn the_decision_follows_the_verdict_as_it_was_asked() {
    let told = |asked: i64| {
        let mut known = facts();
        let t = known.bearing_type.as_mut().unwrap();
        t.values.insert(("rework_conformity_ppm".into(), 0), asked);
        let closed = [
            ("decision.choice", "return_to_service"),
            ("reassemble.chock", "WC-40"),
        ];
        let a = equal(585, "GB-01", &known, &closed);
        (a.section(Section::Clearance).mark, a.engineer_because)
    };
    let (mark, because) = told(950_000);
    assert_eq!(mark, Verdict::Pass);
    assert!(because.iter().all(|w| !w.contains("doubt")), "{because:?}");
    let (mark, because) = told(990_000);
    assert_eq!(mark, Verdict::PassInDoubt);
    assert!(because.iter().any(|w| w.contains("doubt")), "{because:?}");
}
