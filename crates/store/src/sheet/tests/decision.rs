//! What the rules of decision are told of a sheet: nothing that fails is left out, and unlike is not compared with like.

use super::*;
use crate::sheet::field::SeatName;

const SKIPPED: [(&str, &str); 2] = [("skip.bore", "x"), ("skip.neck", "x")];

/// The facts with these values of the type besides.
fn with(values: &[(&str, i64)]) -> Facts {
    let mut facts = facts();
    if let Some(t) = &mut facts.bearing_type {
        for (name, value) in values {
            t.values.insert(((*name).to_owned(), 0), *value);
        }
    }
    facts
}

fn told(facts: &Facts, more: &[(&str, &str)]) -> (Assessment, String) {
    let all: Vec<(&str, &str)> = BENCH.iter().chain(&SKIPPED).chain(more).copied().collect();
    let a = assess(&fields(&all), facts, LengthUnit::Millimetre);
    let words = a.reasons(Show::default()).join(" ");
    (a, words)
}

/// A whole grid of one size at 20 C, with its gauge.
fn seat(name: SeatName, size: &str, gauge: &str) -> Vec<(String, String)> {
    let prefix = name.prefix();
    let paths = field::seat_order(name).into_iter();
    let read = paths.map(|path| {
        let text = if path.contains("temp") { "20" } else { size };
        (path, text.to_owned())
    });
    let gauge = (format!("{prefix}.gauge"), gauge.to_owned());
    read.chain([gauge]).collect()
}

fn borrowed(all: &[(String, String)]) -> Vec<(&str, &str)> {
    all.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect()
}

#[test]
fn a_clearance_measured_another_way_is_neither_judged_nor_ground_by() {
    let facts = with(&[("seating_load_n", 2_000)]);
    for unlike in [
        ("clearance.load", "400 kg"),
        ("clearance.method", "mounted"),
    ] {
        let (a, words) = told(&facts, &[unlike]);
        for pair in &a.clearance.pairs {
            assert!(pair.is_unlike && pair.plan.is_none(), "{unlike:?}");
            assert_eq!((pair.verdict, pair.grind_nm), (Verdict::Missing, None));
            assert_eq!((pair.probability, pair.last_nm), (None, None));
        }
        assert_eq!(a.recommendation.disposition, Disposition::HoldForEngineer);
        assert!(
            words.contains("measured another way than as set"),
            "{words}"
        );
        assert!(!words.contains("Grind"), "{words}");
        assert_eq!(a.section(Section::Clearance).note, "another way");
        // Ground all the same: what is left does not follow from such gaps.
        let ground = [
            unlike,
            ("decision.choice", "regrind_spacers"),
            ("decision.reason", "by feel"),
            ("after.1", "23.674"),
            ("after.2", "29.726"),
            ("after.3", "23.682"),
        ];
        let (a, _) = told(&facts, &ground);
        assert_eq!(a.clearance.after.verdict, [Verdict::Missing; 3]);
        let stands = "rows 1\u{2013}2: measured another way than as set";
        assert!(
            a.blockers().any(|(_, text)| text.starts_with(stands)),
            "{:?}",
            a.blockers().collect::<Vec<_>>()
        );
        let back = [unlike, ("decision.choice", "return_to_service")];
        let (a, _) = told(&facts, &back);
        let because = "the clearance was measured another way than as set".to_owned();
        assert!(
            a.engineer_because.contains(&because),
            "{:?}",
            a.engineer_because
        );
    }
    let (a, _) = told(&facts, &[("clearance.load", "200 kg")]);
    assert_eq!(
        a.recommendation.disposition,
        Disposition::RegrindSpacers,
        "1,961 N is the load of the type"
    );
    // What speaks against a pair counts however it was measured.
    let low = equal(200, "GB-01", &facts, &[("clearance.method", "mounted")]);
    assert_eq!(low.clearance.pairs[0].verdict, Verdict::Fail);
    assert!(low.reasons(Show::default())[0].contains("cannot be signed for mounting"));
}

/// Found, left after a regrind, how, sheet by sheet.
type Sheets<'a> = &'a [(i64, Option<i64>, &'a How)];

#[test]
fn growth_is_told_between_like_readings_only() {
    let bench = How::usual();
    let mounted = How {
        method: "mounted".into(),
        ..How::usual()
    };
    let heavy = How {
        load_n: Some(3_900),
        ..How::usual()
    };
    // As set: 0.300.
    let table: [(Sheets, Option<i64>); 8] = [
        (&[], Some(300_000)),
        (&[(400_000, None, &bench)], Some(400_000)),
        (&[(610_000, Some(310_000), &bench)], Some(310_000)),
        (&[(400_000, None, &mounted)], Some(300_000)),
        (&[(400_000, None, &heavy)], Some(300_000)),
        (
            &[(400_000, None, &bench), (700_000, None, &mounted)],
            Some(400_000),
        ),
        (
            &[(400_000, None, &bench), (610_000, Some(310_000), &mounted)],
            None,
        ),
        (
            &[(610_000, Some(310_000), &mounted), (400_000, None, &bench)],
            Some(400_000),
        ),
    ];
    for (sheets, expected) in table {
        let mut facts = with(&[("seating_load_n", 2_000)]);
        if let Some(bearing) = &mut facts.bearing {
            for (found, left, how) in sheets {
                bearing.history.push(LastClearance {
                    at: Stamp::second(1_780_000_000_000, 0),
                    run_s: 0,
                    found_nm: [Some(*found); 3],
                    left_nm: [*left; 3],
                    width_nm: [None; 3],
                    how: (*how).clone(),
                    way: None,
                });
            }
        }
        let (a, _) = told(&facts, &[]);
        assert_eq!(a.clearance.pairs[0].last_nm, expected, "{sheets:?}");
        let (a, _) = told(&facts, &[("clearance.method", "mounted")]);
        let alike = sheets.iter().rev().find(|(.., how)| *how == &mounted);
        let is_reground_since = sheets
            .last()
            .is_some_and(|(_, left, how)| left.is_some() && *how != &mounted);
        let expected = alike.and_then(|(found, left, _)| left.or(Some(*found)));
        assert_eq!(
            a.clearance.pairs[0].last_nm,
            expected.filter(|_| !is_reground_since),
            "measured mounted: {sheets:?}"
        );
    }
}

#[test]
fn without_a_limit_in_the_register_nothing_is_called_inside_it() {
    let without = |names: &[&str]| {
        let mut facts = facts();
        if let Some(t) = &mut facts.bearing_type {
            t.values
                .retain(|(name, _), _| !names.contains(&name.as_str()));
        }
        facts
    };
    let mut unlimited = without(&["rework_nm", "clearance_min_nm", "watch_nm", "target_min_nm"]);
    if let Some(bearing) = &mut unlimited.bearing {
        bearing.as_set_nm = [None; 3];
    }
    let a = equal(300, "GB-01", &unlimited, &[]);
    assert_eq!(a.recommendation.disposition, Disposition::HoldForEngineer);
    let words = a.reasons(Show::default()).join(" ");
    let expected =
        "No limit in the register for the clearance of rows 1\u{2013}2: the engineer decides.";
    assert!(words.contains(expected), "{words}");
    assert!(!words.contains("inside it"), "{words}");
    for (name, limit, size, gauge, what) in [
        (
            SeatName::Bore,
            "chock_bore_mean_max_nm",
            "620.030",
            "BG-03",
            "the size of the chock bore",
        ),
        (
            SeatName::Neck,
            "neck_rework_nm",
            "479.730",
            "BG-03",
            "the size of the roll neck",
        ),
    ] {
        let all = seat(name, size, gauge);
        let judged = equal(300, "GB-01", &facts(), &borrowed(&all));
        assert!(
            !judged
                .reasons(Show::default())
                .join(" ")
                .contains("No limit")
        );
        let a = equal(300, "GB-01", &without(&[limit]), &borrowed(&all));
        let words = a.reasons(Show::default()).join(" ");
        assert!(
            words.contains(&format!("No limit in the register for {what}")),
            "{words}"
        );
    }
}

#[test]
fn whatever_fails_holds_the_bearing_and_asks_the_engineer() {
    let facts = with(&[
        ("chock_shoulder_max_nm", 50_000),
        ("chock_liner_width_min_nm", 899_300_000),
        ("spacer_parallel_nm", 20_000),
    ]);
    let faces = |last: &str| -> Vec<(String, String)> {
        let width = |degrees| format!("clearance.spacer.2.{degrees}");
        [(90, "30.000"), (180, "30.000"), (270, last)]
            .map(|(degrees, text)| (width(degrees), text.to_owned()))
            .into()
    };
    let one = |path: &str, text: &str| vec![(path.to_owned(), text.to_owned())];
    let back = [
        ("decision.choice", "return_after_turning"),
        ("chock.gauge", "HG-02"),
    ];
    for (more, reason, because) in [
        (
            one("chock.shoulder", "0.080"),
            "Chock: shoulder, out of square, is 0.080 mm, over its limit",
            "a seat fails",
        ),
        (
            one("chock.width", "899.2"),
            "Chock: width over the liners is 899.200 mm, under its limit",
            "a seat fails",
        ),
        (
            faces("30.060"),
            "Spacer S2: difference of its widths is 0.060 mm",
            "the faces of a spacer are not parallel",
        ),
    ] {
        let all: Vec<(&str, &str)> = SKIPPED
            .iter()
            .chain(&back)
            .copied()
            .chain(borrowed(&more))
            .collect();
        let a = equal(300, "GB-01", &facts, &all);
        let words = a.reasons(Show::default());
        assert_eq!(
            a.recommendation.disposition,
            Disposition::HoldForEngineer,
            "{words:?}"
        );
        assert!(words[0].starts_with(reason), "{words:?}");
        assert!(
            a.engineer_because.contains(&because.to_owned()),
            "{:?}",
            a.engineer_because
        );
    }
    // Ground, it gets new faces: those are judged, the old ones hold nothing.
    let mut more = faces("30.060");
    for (path, text) in [
        ("decision.choice", "regrind_spacers"),
        ("after.1", "23.674"),
        ("after.2", "29.726"),
        ("after.3", "23.682"),
    ] {
        more.push((path.into(), text.into()));
    }
    let (a, words) = told(&facts, &borrowed(&more));
    assert_eq!(
        a.recommendation.disposition,
        Disposition::RegrindSpacers,
        "{words}"
    );
    let faces = "the faces of a spacer are not parallel".to_owned();
    assert!(
        !a.engineer_because.contains(&faces),
        "{:?}",
        a.engineer_because
    );
}

#[test]
fn a_taper_that_was_pushed_too_far_holds_the_bearing_and_asks_the_engineer() {
    let mut facts = with(&[
        ("bore_nm", 180_000_000),
        ("outside_nm", 300_000_000),
        ("bore_taper_count", 12),
        ("reduction_min_nm", 80_000),
        ("reduction_max_nm", 110_000),
        ("clearance_min_nm", 140_000),
        ("rework_nm", 340_000),
    ]);
    if let Some(t) = &mut facts.bearing_type {
        t.kind = "two_row_spherical".into();
    }
    let all = [
        ("skip.bore", "x"),
        ("radial.method", "feeler"),
        ("radial.gauge", "GB-01"),
        ("radial.passes.1.0", "0.20"),
        ("radial.refused.1.0", "0.22"),
        ("radial.passes.2.0", "0.20"),
        ("radial.refused.2.0", "0.22"),
        ("taper.gauge", "GB-01"),
        ("taper.mounted.1", "0.040"),
        ("taper.mounted.2", "0.110"),
        ("decision.choice", "return_after_turning"),
    ];
    let a = assess(&fields(&all), &facts, LengthUnit::Millimetre);
    let words = a.reasons(Show::default());
    assert_eq!(
        a.recommendation.disposition,
        Disposition::HoldForEngineer,
        "{words:?}"
    );
    assert!(
        words[0]
            .starts_with("Taper: loss of clearance of row 1 is 0.170 mm, over its limit 0.110 mm"),
        "{words:?}"
    );
    let because = "the fit on the neck fails".to_owned();
    assert!(
        a.engineer_because.contains(&because),
        "{:?}",
        a.engineer_because
    );
}

#[test]
fn a_pair_under_the_target_and_sound_by_the_drawing_does_not_stand_in_the_way_of_a_regrind() {
    // The type that is reground to 1.5 times as set: S1 at 0.730 of 0.720, S2 and S3 at 0.480 under the target 0.505.
    let mut facts = with(&[
        ("clearance_min_nm", 325_000),
        ("clearance_max_nm", 395_000),
        ("watch_nm", 630_000),
        ("rework_nm", 720_000),
        ("target_min_nm", 505_000),
        ("target_max_nm", 575_000),
    ]);
    if let Some(bearing) = &mut facts.bearing {
        bearing.as_set_nm = [Some(360_000); 3];
    }
    let mut more: Vec<(String, String)> = Vec::new();
    for degrees in field::GAP_DEGREES {
        more.push((field::gap(1, degrees), "23.270".into()));
    }
    for (path, text) in [
        ("skip.bore", "x"),
        ("skip.neck", "x"),
        ("decision.choice", "regrind_spacers"),
        ("after.1", "23.810"),
        ("shim.found", "1.20"),
    ] {
        more.push((path.into(), text.into()));
    }
    let a = equal(480, "GB-01", &facts, &borrowed(&more));
    assert_eq!(a.recommendation.disposition, Disposition::RegrindSpacers);
    let words = a.reasons(Show::default()).join(" ");
    assert!(
        words.contains("Grind spacer S1 by 0.190 mm to 23.810 mm."),
        "{words}"
    );
    assert!(words.contains("Spacer S2 stays as it is"), "{words}");
    assert_eq!(
        (a.clearance.planned_outer_nm, a.clearance.planned_inner_nm),
        (Some(-190_000), Some(0))
    );
    assert_eq!(a.clearance.after.end_play_nm[0], Some(540_000));
    assert_eq!(a.clearance.after.shim, ShimView::New(1_010_000));
    let open: Vec<&str> = a.blockers().map(|(_, text)| text).collect();
    assert!(
        !open
            .iter()
            .any(|text| text.contains("width after grinding")),
        "{open:?}"
    );
    assert!(
        !open.iter().any(|text| text.contains("outside the target")),
        "{open:?}"
    );
    // One that is neither: over the drawing, and its spacer cannot be ground.
    if let Some(t) = &mut facts.bearing_type {
        t.values.insert(("spacer_min_nm".to_owned(), 2), 30_000_000);
    }
    for degrees in field::GAP_DEGREES {
        more.push((field::gap(2, degrees), "29.300".into()));
    }
    let a = equal(480, "GB-01", &facts, &borrowed(&more));
    assert_eq!(a.recommendation.disposition, Disposition::HoldForEngineer);
    assert!(a.reasons(Show::default())[0].contains("spacer S2 would come out at"));
}

#[test]
fn the_chock_is_told_where_the_fit_is_looser_than_designed_through_it() {
    // Story B: WC-09 on 2025-08-19 and 2026-03-24, mean bore against a design of up to +0.070.
    let facts = with(&[("chock_bore_upper_nm", 70_000)]);
    let words = |size: &str| {
        let all = seat(SeatName::Bore, size, "BG-03");
        let a = equal(300, "GB-01", &facts, &borrowed(&all));
        a.reasons(Show::default()).join(" ")
    };
    for (size, by) in [("620.079", "0.009"), ("620.113", "0.043")] {
        let told = words(size);
        let expected = format!(
            "looser than designed: the chock bore at {size} mm in the mean is over the design by {by} mm."
        );
        assert!(told.contains(&expected), "{told}");
    }
    assert!(!words("620.070").contains("than designed"));
    let worn = words("620.140");
    assert!(
        worn.contains("mean size is 620.140 mm, over its limit") && !worn.contains("than designed"),
        "{worn}"
    );
}
