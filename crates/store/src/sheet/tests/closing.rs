//! Seals, bolts, cover, rings, repeats, spacer places, gauge checks and the questions that need several fields.

use super::*;
use crate::sheet::field::SeatName;

/// Everything that a bearing going back needs besides the bench.
const BACK: [(&str, &str); 20] = [
    ("skip.bore", "x"),
    ("skip.neck", "x"),
    ("decision.choice", "return_after_turning"),
    ("decision.reason", "runs on"),
    ("identify.zone", "II"),
    ("zone.choice", "IV"),
    ("zone.rings", "alike"),
    ("reassemble.chock", "WC-40"),
    ("grease.kind", "GR-1"),
    ("grease.row.1", "310"),
    ("grease.row.2", "310"),
    ("grease.row.3", "310"),
    ("grease.row.4", "310"),
    ("parts.order", "as_marked"),
    ("seals.done", "changed"),
    ("seals.batch", "SB-57"),
    ("bolts.torque", "680"),
    ("bolts.pattern", "crosswise"),
    ("bolts.wrench", "TW-02"),
    ("protect.with", "textile"),
];

/// What stands against closing, with these fields otherwise.
fn against(more: &[(&str, &str)]) -> Vec<String> {
    let all: Vec<(&str, &str)> = BACK.iter().chain(more).copied().collect();
    let a = read(&all);
    a.section(Section::Reassemble).blockers.clone()
}

#[test]
fn what_closing_needs_is_asked_for_and_what_speaks_against_it_is_told() {
    assert_eq!(against(&[]), Vec::<String>::new());
    let table: [(&[(&str, &str)], &str); 12] = [
        (&[("parts.order", "not")], "put them right"),
        (&[("seals.done", "")], "changed or kept?"),
        (&[("seals.batch", "")], "Seal batch put in: which one?"),
        (&[("seals.batch", "SB-52")], "SB-52 is blocked"),
        (&[("seals.batch", "SB-99")], "not in the register"),
        (
            &[("seals.done", "kept"), ("found.seal", "cut")],
            "the seal was found bad",
        ),
        (&[("zone.rings", "other")], "zone is up on each outer ring"),
        (&[("bolts.wrench", "GB-01")], "does not measure this"),
        (&[("bolts.torque", "")], "or why not tightened"),
        (&[("bolts.pattern", "other")], "crosswise in steps"),
        (&[("cover.gap.0", "0.53")], "cover gap at four places"),
        (&[("protect.with", "foil")], "none of textile"),
    ];
    for (more, words) in table {
        let told = against(more).join("; ");
        assert!(told.contains(words), "{more:?}: {told}");
    }
}

#[test]
fn an_overdue_wrench_and_rings_turned_unlike_need_the_engineer() {
    let because = |more: &[(&str, &str)]| {
        let all: Vec<(&str, &str)> = BACK.iter().chain(more).copied().collect();
        read(&all).engineer_because.join("; ")
    };
    assert!(!because(&[]).contains("wrench"));
    let told = because(&[("bolts.wrench", "TW-04"), ("zone.rings", "other")]);
    assert!(told.contains("TW-04: calibration overdue"), "{told}");
    assert!(told.contains("outer rings are not turned alike"), "{told}");
}

/// Story C: the widths ask for 0.536 mm; the gap measured decides.
#[test]
fn the_cover_gap_decides_the_pack() {
    let gaps = |all: [&'static str; 4]| {
        let places = [
            "cover.gap.0",
            "cover.gap.90",
            "cover.gap.180",
            "cover.gap.270",
        ];
        places.into_iter().zip(all).collect::<Vec<_>>()
    };
    let mut all = BACK.to_vec();
    all.extend(gaps(["0.53", "0.54", "0.54", "0.53"]));
    all.push(("shim.fitted", "0.536"));
    let a = read(&all);
    assert_eq!(a.closing.pack_nm, Some(535_000));
    assert_eq!(a.closing.gap_spread_nm, Some(10_000));
    assert_eq!(a.fields["shim.fitted"].problem, None);
    all.push(("shim.fitted", "0.70"));
    let a = read(&all);
    let asked = a.fields["shim.fitted"].problem.clone().unwrap();
    assert!(
        !asked.is_refusal && asked.text.contains("0.165 mm off"),
        "{asked:?}"
    );
}

/// Under the flange the pack is thinner than the gap by what the cover holds, between cover and ring thicker: geometry.
#[test]
fn what_the_cover_holds_by_counts_by_the_place_of_the_shims() {
    for (place, hold, expected) in [
        ("under_flange", 100_000, 1_100_000),
        ("between", 100_000, 1_300_000),
        ("under_flange", 0, 1_200_000),
        ("between", 0, 1_200_000),
        ("under_flange", 1_300_000, -100_000),
    ] {
        let mut known = facts();
        known.chock.as_mut().unwrap().shim_place = place.into();
        let t = known.bearing_type.as_mut().unwrap();
        t.values.insert(("cover_clamp_nm".into(), 0), hold);
        let mut all: Vec<(&str, &str)> = BENCH.iter().chain(&BACK).copied().collect();
        let gaps = field::GAP_DEGREES.map(field::cover_gap);
        all.extend(gaps.iter().map(|path| (path.as_str(), "1.20")));
        all.push(("shim.fitted", "1.30"));
        let a = assess(&fields(&all), &known, LengthUnit::Millimetre);
        assert_eq!(a.closing.pack_nm, Some(expected), "{place} {hold}");
        let is_asked = a.fields["shim.fitted"].problem.is_some();
        assert_eq!(is_asked, expected != 1_300_000, "{place} {hold}");
        let told = a.section(Section::Reassemble).blockers.join("; ");
        assert_eq!(told.contains("machine the cover"), expected < 0, "{told}");
    }
}

#[test]
fn a_grease_that_the_scheme_does_not_name_needs_an_approval() {
    let mut facts = facts();
    if let Some(t) = &mut facts.bearing_type {
        t.lubrication = "grease GR-2 as approved, scheme LS-480".into();
    }
    let all: Vec<(&str, &str)> = BENCH.iter().chain(&BACK).copied().collect();
    let told = |fields: &Fields| {
        let a = assess(fields, &facts, LengthUnit::Millimetre);
        a.section(Section::Reassemble).blockers.join("; ")
    };
    let mut typed = fields(&all);
    assert!(told(&typed).contains("not the approved lubrication"));
    typed.extend(fields(&[("lube.approval", "LA-12")]));
    assert_eq!(told(&typed), "");
}

/// Torque, seat limits and the load of the value as set by the type.
fn typed_facts() -> Facts {
    let mut facts = facts();
    if let Some(t) = &mut facts.bearing_type {
        for (name, value) in [
            ("cover_bolt_nm", 24_000_000),
            ("cover_bolt_class_count", 88),
            ("spacer_parallel_nm", 20_000),
            ("seating_load_n", 2_000),
            ("neck_min_nm", 479_700_000),
            ("neck_taper_max_nm", 20_000),
            ("chock_shoulder_max_nm", 50_000),
        ] {
            t.values.insert((name.to_owned(), 0), value);
        }
    }
    facts
}

#[test]
fn the_torque_wanted_is_calculated_where_the_type_names_only_the_bolt() {
    let mut all: Vec<(&str, &str)> = BENCH.iter().chain(&BACK).copied().collect();
    all.push(("bolts.torque", "400"));
    let a = assess(&fields(&all), &typed_facts(), LengthUnit::Millimetre);
    let wanted = a.closing.torque.clone().unwrap();
    // VDI 2230 (from memory): M24, 8.8, friction 0.12, 90 % of yield: about 0.7 kN m.
    assert!((600_000..800_000).contains(&wanted.value), "{wanted:?}");
    assert_eq!(a.closing.bolts, "M24, 8.8");
    let asked = a.fields["bolts.torque"].problem.clone().unwrap();
    assert!(
        !asked.is_refusal && asked.text.contains("are wanted"),
        "{asked:?}"
    );
}

#[test]
fn times_as_set_is_formed_only_between_like_methods() {
    let times = |more: &[(&str, &str)]| {
        let all: Vec<(&str, &str)> = BENCH.iter().chain(more).copied().collect();
        let a = assess(&fields(&all), &typed_facts(), LengthUnit::Millimetre);
        (
            a.clearance.pairs[0].times,
            a.reasons(Show::default()).join(" "),
        )
    };
    assert!(times(&[]).0.is_some());
    assert!(times(&[("clearance.load", "200")]).0.is_some(), "1,961 N");
    for unlike in [("clearance.load", "50 kg"), ("clearance.method", "mounted")] {
        let (ratio, words) = times(&[unlike]);
        assert_eq!(ratio, None, "{unlike:?}");
        assert!(
            words.contains("measured another way than as set"),
            "{words}"
        );
    }
}

#[test]
fn a_spacer_counts_by_the_mean_of_its_places_and_its_faces_are_judged() {
    let places = |last: &'static str| {
        let mut all = BENCH.to_vec();
        for pair in ["1", "2", "3"] {
            for degrees in ["90", "180", "270"] {
                let width = match (pair, degrees) {
                    ("1", "270") => last,
                    ("1", _) => "24.012",
                    ("2", _) => "30.004",
                    _ => "24.008",
                };
                all.push((
                    Box::leak(format!("clearance.spacer.{pair}.{degrees}").into_boxed_str()),
                    width,
                ));
            }
        }
        assess(&fields(&all), &typed_facts(), LengthUnit::Millimetre)
    };
    let a = places("24.016");
    let pair = &a.clearance.pairs[0];
    assert_eq!(
        (pair.spacer_nm, pair.parallel_nm),
        (Some(24_013_000), Some(4_000))
    );
    assert_eq!(pair.end_play_nm, Some(641_000));
    assert_eq!(pair.parallel_verdict, Verdict::Pass, "0.004 of 0.020");
    assert_eq!(a.clearance.pairs[1].parallel_verdict, Verdict::Pass);
    assert_eq!(
        places("24.040").clearance.pairs[0].parallel_verdict,
        Verdict::Fail
    );
    // One place only: the type wants four.
    let a = assess(&fields(&BENCH), &typed_facts(), LengthUnit::Millimetre);
    let told = a.section(Section::Clearance).blockers.join("; ");
    assert!(told.contains("3 of 3 spacers at four places"), "{told}");
}

/// Story I, 2026-09-15: spread 0.12, turned and repeated.
#[test]
fn a_repeated_set_is_kept_with_its_reason_and_does_not_count() {
    let mut all = BENCH.to_vec();
    for (degrees, gap) in ["0", "90", "180", "270"]
        .into_iter()
        .zip(["23.40", "23.41", "23.52", "23.41"])
    {
        all.push((
            Box::leak(format!("repeat.1.1.{degrees}").into_boxed_str()),
            gap,
        ));
    }
    let a = assess(&fields(&all), &facts(), LengthUnit::Millimetre);
    assert_eq!(
        a.clearance.pairs[0].end_play_nm,
        Some(640_000),
        "the set that counts"
    );
    assert_eq!(a.clearance.pairs[0].earlier.len(), 1);
    let told = a.section(Section::Clearance).blockers.join("; ");
    assert!(told.contains("Gap of rows 1–2 repeated"), "{told}");
    all.push(("repeat.why.1", "not seated: turned and repeated"));
    let a = assess(&fields(&all), &facts(), LengthUnit::Millimetre);
    assert_eq!(a.section(Section::Clearance).blockers, Vec::<String>::new());
}

/// Story G: a zone up twice in a row, two spacers exchanged; and a clearance that shrank.
#[test]
fn what_looks_wrong_across_fields_is_asked_once() {
    let asked = |all: &[(&str, &str)], path: &str| {
        let a = read(all);
        a.fields[path]
            .problem
            .as_ref()
            .map(|p| (p.is_refusal, p.text.clone()))
    };
    let (_, text) = asked(&[("identify.zone", "III")], "identify.zone").unwrap();
    assert!(text.contains("left with zone II up"), "{text}");
    assert_eq!(asked(&[("identify.zone", "II")], "identify.zone"), None);
    let twice = [
        ("identify.zone", "II"),
        ("zone.choice", "II"),
        ("decision.choice", "return_after_turning"),
    ];
    let (is_refusal, text) = asked(&twice, "zone.choice").unwrap();
    assert!(!is_refusal && text.contains("twice in a row"), "{text}");
    let kept = [&twice[..], &[("kept.zone.choice", "II")]].concat();
    assert_eq!(asked(&kept, "zone.choice"), None, "asked once");

    // 0.120, 0.310, 0.490 with S1 and S3 of 23.810 and 23.995.
    let mut all = BENCH.to_vec();
    for (pair, gap, spacer) in [
        ("1", "23.690", "23.810"),
        ("2", "29.694", "30.004"),
        ("3", "23.505", "23.995"),
    ] {
        for degrees in ["0", "90", "180", "270"] {
            all.push((
                Box::leak(format!("clearance.gap.{pair}.{degrees}").into_boxed_str()),
                gap,
            ));
        }
        all.push((
            Box::leak(format!("clearance.spacer.{pair}").into_boxed_str()),
            spacer,
        ));
    }
    let a = assess(&fields(&all), &facts(), LengthUnit::Millimetre);
    assert_eq!(a.clearance.exchanged, Some([0, 2]));
    let text = &a.fields["clearance.spacer.1"]
        .problem
        .as_ref()
        .unwrap()
        .text;
    assert!(text.contains("spacers S1 and S3 exchanged?"), "{text}");
    assert_eq!(a.recommendation.disposition, Disposition::HoldForEngineer);
    assert!(a.reasons(Show::default())[0].contains("exchanged?"));

    let mut shrunk = facts();
    if let Some(bearing) = &mut shrunk.bearing {
        bearing.history.push(LastClearance {
            at: Stamp::second(1_780_000_000_000, 0),
            run_s: 0,
            found_nm: [Some(700_000); 3],
            left_nm: [None; 3],
            width_nm: [None; 3],
            how: How::usual(),
            way: None,
        });
    }
    let a = assess(&fields(&BENCH), &shrunk, LengthUnit::Millimetre);
    let text = &a.fields["clearance.spacer.1"]
        .problem
        .as_ref()
        .unwrap()
        .text;
    assert!(text.contains("shrank from 0.700 to 0.640 mm"), "{text}");
}

#[test]
fn a_seat_wants_its_gauge_checked_and_a_neck_is_judged_by_both_ends() {
    let neck = |last: &'static str, more: &[(&str, &str)]| {
        let mut all: Vec<(String, String)> = Vec::new();
        for (plane, size) in [(1, "479.690"), (2, "479.700"), (3, last)] {
            for degrees in field::SEAT_DEGREES {
                all.push((field::size(SeatName::Neck, plane, degrees), size.into()));
            }
        }
        for (path, text) in [
            ("neck.temp_first", "20"),
            ("neck.temp_last", "20"),
            ("neck.temp_gauge", "20"),
            ("neck.gauge", "OM-02"),
        ]
        .iter()
        .chain(more)
        {
            all.push(((*path).to_owned(), (*text).to_owned()));
        }
        let all: Vec<(&str, &str)> = all.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
        let mut facts = typed_facts();
        facts
            .gauges
            .extend([gauge(36, "OM-02", "neck", 8_000, false)]);
        assess(&fields(&all), &facts, LengthUnit::Millimetre)
    };
    let a = neck("479.705", &[]);
    let about: Vec<(&str, Verdict)> = a.neck.checks.iter().map(|c| (c.about, c.verdict)).collect();
    assert_eq!(
        about,
        [
            ("neck_smallest", Verdict::Pass),
            ("neck_largest", Verdict::Pass),
            ("neck_taper", Verdict::PassInDoubt),
        ]
    );
    let told = a.section(Section::Seats).blockers.join("; ");
    assert!(
        told.contains("Roll neck: gauge on its standard before use"),
        "{told}"
    );
    let words = a.reasons(Show::default()).join(" ");
    assert!(
        words.contains("looser than designed: the roll neck at 479.690"),
        "{words}"
    );
    // 0.015 off on the standard with a U of 0.008.
    let a = neck(
        "479.790",
        &[
            ("neck.check.read", "480.015"),
            ("neck.check.standard", "480.000"),
        ],
    );
    assert_eq!(a.neck.check_off_nm, Some(15_000));
    assert!(
        a.fields["neck.check.read"]
            .problem
            .as_ref()
            .unwrap()
            .text
            .contains("0.015 mm off")
    );
    let largest = a.neck.checks.iter().find(|c| c.about == "neck_largest");
    assert_eq!(largest.unwrap().verdict, Verdict::Fail, "over 479.760");
    let a = neck("479.705", &[("neck.cracks", "magnetic_crack")]);
    assert!(
        a.reasons(Show::default())
            .join(" ")
            .contains("the roll does not go back")
    );
}

/// Checked on its standard, and by which thermometer, whatever the family; a thermometer is asked where there is one, and one
/// that is overdue decides nothing alone.
#[test]
fn every_family_wants_its_gauge_checked_and_its_thermometer_named() {
    const CHECK: &str = "Chock bore: gauge on its standard before use, or why not checked";
    const WARMTH: &str = "Chock bore: which thermometer?";
    let told = |kind: &str, has_one: bool, more: &[(&str, &str)]| {
        let mut known = typed_facts();
        known.bearing_type.as_mut().unwrap().kind = kind.into();
        known
            .gauges
            .extend([gauge(34, "BG-01", "bore", 4_000, false)]);
        if has_one {
            known.gauges.extend([
                gauge(35, "TC-03", "temperature", 500, false),
                gauge(36, "TC-04", "temperature", 500, true),
            ]);
        }
        let mut all: Vec<(String, &str)> = Vec::new();
        for plane in field::PAIRS {
            for degrees in field::SEAT_DEGREES {
                all.push((field::size(SeatName::Bore, plane, degrees), "620.040"));
            }
        }
        for path in ["bore.temp_first", "bore.temp_last", "bore.temp_gauge"] {
            all.push((path.to_owned(), "20"));
        }
        all.push(("bore.gauge".to_owned(), "BG-01"));
        all.push(("skip.neck".to_owned(), "on the grinder"));
        let all: Vec<(&str, &str)> = all
            .iter()
            .map(|(path, text)| (path.as_str(), *text))
            .collect();
        let all: Vec<(&str, &str)> = all.iter().chain(more).copied().collect();
        assess(&fields(&all), &known, LengthUnit::Millimetre)
    };
    let check = [
        ("bore.check.read", "620.001"),
        ("bore.check.standard", "620.000"),
    ];
    for kind in [
        "four_row_tapered",
        "four_row_cylindrical",
        "two_row_spherical",
        "two_row_thrust",
    ] {
        let barred = |has_one: bool, more: &[(&str, &str)]| {
            told(kind, has_one, more)
                .section(Section::Seats)
                .blockers
                .clone()
        };
        assert_eq!(barred(false, &[]), [CHECK], "{kind}");
        assert_eq!(barred(true, &[]), [WARMTH, CHECK], "{kind}");
        assert_eq!(barred(false, &check), Vec::<String>::new(), "{kind}");
        let all = [&check[..], &[("bore.thermometer", "TC-03")]].concat();
        assert_eq!(barred(true, &all), Vec::<String>::new(), "{kind}");
        let a = told(kind, true, &all);
        assert_eq!(a.bore.verdict(), Verdict::Pass, "{kind}");
        let signed = crate::sheet::sign::outcomes(&a);
        let off = signed.iter().find(|o| o.name == "bore_check_off_nm");
        assert_eq!(off.map(|o| o.value), Some(1_000), "{kind}");
        let all = [&check[..], &[("bore.thermometer", "TC-04")]].concat();
        let a = told(kind, true, &all);
        assert_eq!(a.bore.verdict(), Verdict::PassInDoubt, "{kind}");
        assert!(
            a.reasons(Show::default())
                .join(" ")
                .contains("TC-04 was overdue"),
            "{kind}"
        );
        // A gauge that measures something else is none.
        let all = [&check[..], &[("bore.thermometer", "BG-01")]].concat();
        let words = barred(true, &all).join("; ");
        assert!(words.contains("does not measure this"), "{words}");
    }
}

/// The largest two-point size of a bore has a limit only where its type states one; worked by hand, U 0.010 mm.
#[test]
fn the_largest_size_of_a_bore_is_judged_where_its_type_limits_it() {
    let told = |limit: Option<i64>, largest: &'static str| {
        let mut known = typed_facts();
        let t = known.bearing_type.as_mut().unwrap();
        let name = ("chock_bore_largest_max_nm".to_owned(), 0);
        t.values.extend(limit.map(|nm| (name, nm)));
        known
            .gauges
            .extend([gauge(34, "BG-01", "bore", 10_000, false)]);
        let mut all = vec![("bore.gauge".to_owned(), "BG-01")];
        for plane in field::PAIRS {
            for degrees in field::SEAT_DEGREES {
                let is_it = (plane, degrees) == (2, 90);
                let size = if is_it { largest } else { "620.040" };
                all.push((field::size(SeatName::Bore, plane, degrees), size));
            }
        }
        for path in ["bore.temp_first", "bore.temp_last", "bore.temp_gauge"] {
            all.push((path.to_owned(), "20"));
        }
        let all: Vec<(&str, &str)> = all
            .iter()
            .map(|(path, text)| (path.as_str(), *text))
            .collect();
        let a = assess(&fields(&all), &known, LengthUnit::Millimetre);
        let mut checks = a.bore.checks.iter();
        let found = checks.find(|check| check.about == "bore_largest");
        found.map(|c| (c.value_nm, c.lower_nm, c.upper_nm, c.verdict))
    };
    assert_eq!(told(None, "620.100"), None);
    let limit = Some(110_000);
    for (largest, off, verdict) in [
        ("620.090", 90_000, Verdict::Pass),
        ("620.105", 105_000, Verdict::PassInDoubt),
        ("620.110", 110_000, Verdict::PassInDoubt),
        ("620.113", 113_000, Verdict::FailInDoubt),
        ("620.125", 125_000, Verdict::Fail),
    ] {
        let expected = (off, None, limit, verdict);
        assert_eq!(told(limit, largest), Some(expected), "{largest}");
    }
}

#[test]
fn patterns_are_told_with_what_to_check() {
    let a = read(&[
        ("found.grease", "milky"),
        ("found.water", "drops"),
        ("findings.none", ""),
    ]);
    let names: Vec<&str> = a.patterns.iter().map(|p| p.name).collect();
    assert_eq!(names, ["water"], "all pairs grew alike");
}

/// Story C after grinding, faces parallel within 0.004: each spacer at four places, of S1 as told.
fn ground(of_s1: &[(i64, &str)], more: &[(&str, &str)]) -> Assessment {
    let mut all = fields(&[]);
    let width = |pair: usize, degrees: i64| match (pair, degrees) {
        (1, 90) => "23.676",
        (1, 180) => "23.672",
        (1, _) => "23.674",
        (2, 90) => "29.728",
        (2, 180) => "29.724",
        (2, _) => "29.726",
        (_, 90) => "23.684",
        (_, 180) => "23.680",
        _ => "23.682",
    };
    for pair in field::PAIRS {
        for degrees in field::GAP_DEGREES {
            let other = of_s1.iter().find(|(at, _)| pair == 1 && *at == degrees);
            let text = other.map_or(width(pair, degrees), |(_, text)| text);
            all.extend(fields(&[(&field::after_at(pair, degrees), text)]));
        }
    }
    let back = [
        ("decision.choice", "regrind_spacers"),
        ("retention.checked", "yes"),
        ("shim.fitted", "0.536"),
        ("skip.cover", "feeler away"),
        ("skip.places", "as found not wanted"),
    ];
    for (path, text) in BENCH.iter().chain(&BACK).chain(&back).chain(more) {
        all.extend(fields(&[(path, text)]));
    }
    assess(&all, &typed_facts(), LengthUnit::Millimetre)
}

/// Widths of S1, what else is typed, its verdict, what bars the sheet, the mark of the section.
type Case = (
    &'static [(i64, &'static str)],
    &'static [(&'static str, &'static str)],
    Verdict,
    &'static str,
    Verdict,
);

#[test]
fn the_faces_of_a_ground_spacer_are_judged_and_not_left_out_without_a_word() {
    const OPEN: &str = "1 spacer at four places after grinding, or why not";
    let why: &[(&str, &str)] = &[("skip.places_after", "wheel in use")];
    // U of a width is 0.009 mm, the limit 0.020 mm. Worked by hand.
    let table: [Case; 6] = [
        (&[], &[], Verdict::Pass, "", Verdict::Pass),
        (
            &[(90, ""), (180, ""), (270, "")],
            &[],
            Verdict::Missing,
            OPEN,
            Verdict::Missing,
        ),
        // Faces that lean agree at two places.
        (
            &[(90, ""), (270, "")],
            &[],
            Verdict::Missing,
            OPEN,
            Verdict::Missing,
        ),
        (
            &[(90, ""), (180, "")],
            why,
            Verdict::Missing,
            "",
            Verdict::Missing,
        ),
        (
            &[(180, "23.688")],
            &[],
            Verdict::PassInDoubt,
            "",
            Verdict::PassInDoubt,
        ),
        (
            &[(180, "23.710")],
            &[],
            Verdict::Fail,
            "spacer S1: faces not parallel within the type's limit",
            Verdict::Fail,
        ),
    ];
    for (of_s1, more, expected, barred, mark) in table {
        let a = ground(of_s1, more);
        let after = &a.clearance.after;
        assert_eq!(after.parallel_verdict[0], expected, "{of_s1:?}");
        assert_eq!(after.parallel_verdict[1], Verdict::Pass, "{of_s1:?}");
        let told = a.section(Section::Reassemble).blockers.join("; ");
        assert_eq!(told, barred, "{of_s1:?}");
        assert_eq!(a.section(Section::Reassemble).mark, mark, "{of_s1:?}");
        let because = a.engineer_because.join("; ");
        let is_told = because.contains("the faces of a spacer that was ground are not measured");
        assert_eq!(is_told, expected == Verdict::Missing, "{because}");
    }
    let a = ground(&[], &[]);
    assert_eq!(a.clearance.after.parallel_nm, [Some(4_000); 3], "story C");
    // Both are signed with U and probability: a plain pass says how sure it is.
    let signed = crate::sheet::clearance::judgements(&a.clearance, &typed_facts(), "");
    let faces: Vec<_> = signed
        .iter()
        .filter(|v| v.about == "spacer_parallel_after")
        .collect();
    assert_eq!(faces.len(), 3);
    for face in faces {
        assert_eq!(face.expanded_uncertainty_nm, Some(9_000));
        assert_eq!((face.lower_nm, face.upper_nm), (None, Some(20_000)));
        assert!(
            face.probability_ppm.is_some_and(|ppm| ppm > 999_000),
            "{face:?}"
        );
    }
}

/// Found, faces that fail show in the mark of the section though every clearance passes.
#[test]
fn faces_that_are_not_parallel_mark_the_section() {
    let mut all = Vec::new();
    for (pair, width) in [(1, "24.000"), (2, "30.000"), (3, "24.000")] {
        for degrees in field::GAP_DEGREES {
            let gap = if pair == 2 { "29.700" } else { "23.700" };
            all.push((field::gap(pair, degrees), gap));
            let leans = pair == 1 && degrees == 90;
            let width = if leans { "24.040" } else { width };
            all.push((field::spacer_at(pair, degrees), width));
        }
    }
    all.push(("clearance.gauge_gap".to_owned(), "GB-01"));
    all.push(("clearance.gauge_width".to_owned(), "HG-02"));
    let all: Vec<(&str, &str)> = all
        .iter()
        .map(|(path, text)| (path.as_str(), *text))
        .collect();
    let a = assess(&fields(&all), &typed_facts(), LengthUnit::Millimetre);
    assert_eq!(a.clearance.pairs[0].verdict, Verdict::Pass);
    let section = a.section(Section::Clearance);
    assert_eq!(section.mark, Verdict::Fail);
    assert_eq!(section.note, "faces not parallel");
    let signed = crate::sheet::clearance::judgements(&a.clearance, &typed_facts(), "");
    let face = signed
        .iter()
        .find(|v| v.about == "spacer_parallel")
        .unwrap();
    assert_eq!(face.expanded_uncertainty_nm, Some(9_000));
    assert!(
        face.probability_ppm.is_some_and(|ppm| ppm < 1_000),
        "{face:?}"
    );
}

/// A regrind changes the pack: it is told, or why it is not put in; a reason for the gap does not excuse it.
#[test]
fn a_regrind_tells_the_pack_that_went_in() {
    const OPEN: &str = "Cover shims put in: how thick, or why not";
    let told = |more: &[(&str, &str)]| {
        let a = ground(&[], more);
        a.section(Section::Reassemble).blockers.join("; ")
    };
    for (more, barred) in [
        (&[][..], ""),
        (&[("shim.fitted", "")][..], OPEN),
        (
            &[("shim.fitted", ""), ("skip.shim", "closed at mounting")],
            "",
        ),
        (
            &[("skip.shim", "closed at mounting")],
            "Cover shims put in: it is told, take the reason why not away",
        ),
        // The widths say below zero, the gap measured decides.
        (
            &[
                ("shim.fitted", ""),
                ("shim.found", "0.10"),
                ("skip.cover", ""),
            ],
            "",
        ),
    ] {
        let mut more = more.to_vec();
        let gaps = field::GAP_DEGREES.map(field::cover_gap);
        if more.contains(&("skip.cover", "")) {
            more.extend(gaps.iter().map(|path| (path.as_str(), "0.20")));
            assert_eq!(told(&more), OPEN);
            more.push(("shim.fitted", "0.20"));
        }
        assert_eq!(told(&more), barred, "{more:?}");
    }
    // Turned only: the pack stays.
    assert_eq!(against(&[("shim.fitted", "")]), Vec::<String>::new());
}
