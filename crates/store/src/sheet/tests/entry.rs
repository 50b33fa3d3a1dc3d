//! Entry: the zone found, what is told or why not, and the questions that hold it against what was known before.

use calc::disposition::ZoneAdvice;
use calc::finding::{Finding, Mode, Part};
use calc::load_zone::Arc;

use super::*;
use crate::sheet::Outlook;
use crate::sheet::field::{PAIRS, SeatName};
use crate::sheet::findings::EarlierFinding;

/// Story G: the record says one zone and another was found up. 980 h of the stay in zone II of the record: I 1,015,
/// II 1,970, III 1,020, IV 1,005.
#[test]
fn the_stay_counts_for_the_zone_that_was_found_up() {
    let h = 3_600;
    for (found, hours, expected) in [
        // As recorded, and not noted.
        ("II", [1_015, 1_970, 1_020, 1_005], "IV"),
        ("", [1_015, 1_970, 1_020, 1_005], "IV"),
        // By the record IV has the least: it is what was up, and it has the most.
        ("IV", [1_015, 990, 1_020, 1_985], "II"),
        ("I", [1_995, 990, 1_020, 1_005], "II"),
    ] {
        let a = read(&[("identify.zone", found)]);
        assert_eq!(a.zone_run_s, hours.map(|hours| hours * h), "{found}");
        let ZoneAdvice::Turn { to, .. } = a.zone_advice else {
            panic!("{found}: {:?}", a.zone_advice);
        };
        assert_eq!(to.as_str(), expected, "{found}");
        // What is advised is never what was up.
        let turned = read(&[
            ("identify.zone", found),
            ("zone.choice", expected),
            ("decision.choice", "return_after_turning"),
        ]);
        assert_eq!(turned.fields["zone.choice"].problem, None, "{found}");
    }
}

#[test]
fn the_evidence_and_the_crack_tests_are_told_or_it_says_why_not() {
    let told = |section: Section, more: &[(&str, &str)]| {
        let a = read(more);
        a.section(section).blockers.join("; ")
    };
    for (section, more, words) in [
        (Section::AsFound, &[][..], ""),
        (
            Section::AsFound,
            &[("identify.zone", "")],
            "Load zone up as found: how was it found? Or why not noted",
        ),
        (
            Section::AsFound,
            &[("shim.found", "")],
            "Cover shims found: how was it found? Or why not noted",
        ),
        (
            Section::AsFound,
            &[("identify.zone", ""), ("skip.found", "rings lifted out")],
            "",
        ),
        (
            Section::Findings,
            &[("findings.cracks", "")],
            "Crack test of the rings: method and result, or why not tested",
        ),
        (Section::Findings, &[("findings.cracks", "eye_only")], ""),
        (
            Section::Findings,
            &[("findings.cracks", ""), ("skip.cracks", "no dye left")],
            "",
        ),
        (
            Section::Findings,
            &[("skip.cracks", "no dye left")],
            "it is told, take the reason why not away",
        ),
        // Parts that nobody looked over are not tested either.
        (
            Section::Findings,
            &[
                ("findings.cracks", ""),
                ("findings.none", ""),
                ("skip.findings", "late"),
            ],
            "",
        ),
    ] {
        let told = told(section, more);
        assert!(told.contains(words), "{more:?}: {told}");
        assert_eq!(told.is_empty(), words.is_empty(), "{more:?}: {told}");
    }
    // What was not tested is missing, and bars release.
    let a = read(&[
        ("findings.cracks", ""),
        ("skip.cracks", "no dye left"),
        ("skip.neck_cracks", "roll is in the mill"),
    ]);
    let reasons = a.reasons(Show::default()).join("; ");
    for words in [
        "rings not crack tested (no dye left)",
        "neck not crack tested (roll is in the mill)",
    ] {
        assert!(reasons.contains(words), "{reasons}");
    }
}

/// The bench of story C, with what the last sheet left.
fn since(left_um: [i64; 3], width_um: [i64; 3]) -> Facts {
    let mut known = facts();
    let bearing = known.bearing.as_mut().unwrap();
    bearing.history.push(LastClearance {
        at: Stamp::second(1_780_000_000_000, 0),
        run_s: 0,
        found_nm: left_um.map(|um| Some(um * 1_000)),
        left_nm: [None; 3],
        width_nm: width_um.map(|um| Some(um * 1_000)),
        how: crate::sheet::How::usual(),
        way: None,
    });
    known
}

/// Widths of this bench: 24.012, 30.004, 24.008; U of the gauge 0.009, of a difference 0.013.
#[test]
fn spacers_are_held_against_what_they_were_when_they_were_measured_last() {
    for (width_um, path, words) in [
        ([24_012, 30_004, 24_008], "", ""),
        ([24_000, 29_992, 23_996], "", ""),
        (
            [23_980, 30_004, 24_008],
            "clearance.spacer.1",
            "Spacer S1 grew from 23.980 to 24.012 mm",
        ),
        (
            [24_012, 29_990, 24_008],
            "clearance.spacer.2",
            "Spacer S2 grew from 29.990 to 30.004 mm",
        ),
        // Only one of them measured as the other was.
        (
            [24_100, 30_004, 24_015],
            "clearance.spacer.1",
            "the width that S3 had when it was measured last: exchanged?",
        ),
    ] {
        let a = assess(
            &fields(&BENCH),
            &since([600_i64; 3], width_um),
            LengthUnit::Millimetre,
        );
        let asked = |path: &str| a.fields[path].problem.as_ref().map(|p| p.text.clone());
        for number in PAIRS {
            let spacer = field::spacer(number);
            let told = asked(&spacer).unwrap_or_default();
            if spacer == path {
                assert!(told.contains(words), "{width_um:?}: {told}");
            } else {
                assert_eq!(told, "", "{width_um:?} {spacer}");
            }
        }
    }
}

/// Both outer pairs left at 0.450 with spacers of 24.000 and 23.850, and put in the wrong way round: 0.300 and 0.600,
/// outside the drawing of a new one either way.
#[test]
fn worn_spacers_that_were_exchanged_are_not_ground() {
    let mut all: Vec<(String, String)> = Vec::new();
    for (pair, gap, width) in [
        (1, "23.550", "23.850"),
        (2, "29.550", "30.000"),
        (3, "23.400", "24.000"),
    ] {
        all.push((field::spacer(pair), width.into()));
        let gaps = field::GAP_DEGREES.map(|d| (field::gap(pair, d), gap.to_owned()));
        all.extend(gaps);
    }
    let mut typed: Vec<(&str, &str)> = BENCH.to_vec();
    typed.extend(all.iter().map(|(a, b)| (a.as_str(), b.as_str())));
    let known = since([450; 3], [24_000, 30_000, 23_850]);
    let a = assess(&fields(&typed), &known, LengthUnit::Millimetre);
    assert_eq!(a.clearance.exchanged, Some([0, 2]));
    let asked = a.fields["clearance.spacer.1"].problem.clone().unwrap();
    assert!(asked.text.contains("spacers S1 and S3 exchanged?"));
    assert_eq!(a.recommendation.disposition, Disposition::HoldForEngineer);
    // As they were left, nobody says so.
    let known = since([450; 3], [23_850, 30_000, 24_000]);
    let a = assess(&fields(&typed), &known, LengthUnit::Millimetre);
    assert_eq!(a.clearance.exchanged, None);
}

#[test]
fn a_clearance_that_jumped_is_asked_about_where_the_wear_of_the_shop_says_nothing() {
    let asked = |known: &Facts| {
        let a = assess(&fields(&BENCH), known, LengthUnit::Millimetre);
        a.fields["clearance.spacer.1"]
            .problem
            .as_ref()
            .map_or_else(String::new, |p| p.text.clone())
    };
    let widths = [24_012, 30_004, 24_008];
    // 0.640 now, 0.300 as set: more than 0.300 in one stay is a jump.
    let told = asked(&since([330; 3], widths));
    assert!(told.contains("jumped from 0.330 to 0.640 mm"), "{told}");
    assert_eq!(asked(&since([340; 3], widths)), "");
    let mut known = since([330; 3], widths);
    known.foreseen.outlook[0] = Some(Outlook {
        mean_um: 620.0,
        sd_um: 20.0,
        is_assumed: false,
    });
    assert_eq!(asked(&known), "", "its wear says what is expected");
    assert_eq!(asked(&facts()), "", "never read since it was set");
}

#[test]
fn a_seat_that_jumped_is_asked_about_by_mean_and_by_ovality() {
    let seat = |seat: SeatName, size: &'static str, last: &'static str, known: &Facts| {
        let mut all: Vec<(String, String)> = Vec::new();
        for path in field::seat_order(seat) {
            let text = if path.contains("temp") { "20" } else { size };
            all.push((path, text.into()));
        }
        all.push((field::size(seat, 3, 135), last.into()));
        let all: Vec<(&str, &str)> = all.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
        let a = assess(&fields(&all), known, LengthUnit::Millimetre);
        let path = field::size(seat, 3, 135);
        let problem = a.fields[&path].problem.as_ref();
        problem.map_or_else(String::new, |p| p.text.clone())
    };
    let last = |mean_um: i64, oval_um: i64| {
        Some(LastSeat {
            at: Stamp::second(1_780_000_000_000, 0),
            mean_nm: mean_um * 1_000,
            ovality_nm: vec![oval_um * 1_000; 3],
        })
    };
    let mut known = facts();
    known.last_bores.extend(last(50, 0));
    known.last_neck = last(-280, 0);
    for (name, size, end, words) in [
        (SeatName::Bore, "620.050", "620.050", ""),
        (SeatName::Bore, "620.100", "620.100", ""),
        (
            SeatName::Bore,
            "620.110",
            "620.110",
            "mean of the bore jumped by 0.060 mm",
        ),
        (SeatName::Neck, "479.720", "479.720", ""),
        (
            SeatName::Neck,
            "479.660",
            "479.660",
            "mean of the neck jumped by \u{2212}0.060 mm",
        ),
        (
            SeatName::Neck,
            "479.720",
            "479.775",
            "ovality of the neck jumped by 0.055 mm",
        ),
    ] {
        let told = seat(name, size, end, &known);
        assert!(told.contains(words), "{size} {end}: {told}");
        assert_eq!(told.is_empty(), words.is_empty(), "{size} {end}: {told}");
    }
}

#[test]
fn nothing_found_beside_earlier_damage_is_asked_once() {
    let earlier = |day: i64, code: &str, severity: u8| EarlierFinding {
        event: 1,
        at: Stamp::second(1_700_000_000_000 + day * 86_400_000, 0),
        finding: Finding {
            part: Part::OuterRaceway,
            row: Some(1),
            mode: Mode::of(code).unwrap(),
            severity,
            arc: Arc::tenths(2_000, 2_280).ok(),
        },
        size_nm: None,
        note: String::new(),
    };
    let asked = |all: &[EarlierFinding], more: &[(&str, &str)]| {
        let mut known = facts();
        known.bearing.as_mut().unwrap().findings = all.to_vec();
        let typed: Vec<(&str, &str)> = BENCH.iter().chain(more).copied().collect();
        let a = assess(&fields(&typed), &known, LengthUnit::Millimetre);
        let problem = a
            .fields
            .get("findings.none")
            .and_then(|s| s.problem.clone());
        problem.map_or_else(String::new, |p| {
            assert!(!p.is_refusal);
            p.text
        })
    };
    let spall = earlier(10, "5.1.3", 2);
    let stain = earlier(20, "5.3.2", 1);
    let told = asked(&[stain.clone(), spall.clone()], &[]);
    assert!(
        told.contains("2023-11-24") && told.contains("severity 2") && told.contains("one more"),
        "{told}"
    );
    assert_eq!(
        asked(
            std::slice::from_ref(&spall),
            &[("kept.findings.none", "yes")]
        ),
        ""
    );
    assert_eq!(
        asked(&[earlier(10, "5.3.2", 0)], &[]),
        "",
        "a mark without depth"
    );
    assert_eq!(asked(&[], &[]), "");
    assert_eq!(asked(&[spall], &[("findings.none", "no")]), "");
}
