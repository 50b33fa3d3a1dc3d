//! What the wear lets expect, against what is typed (numbers invented; the arithmetic by hand).

use super::*;
use crate::sheet::facts::LastClearance;
use crate::sheet::field::radial::Way;
use crate::sheet::{Outlook, field};

/// 0.460 of the first row pair, standard deviation 11.18 µm: with U = 20 µm of a reading 0.400 to 0.520 at four of 15 µm.
fn expecting() -> Facts {
    let outlook = Outlook {
        mean_um: 460.0,
        sd_um: 125.0_f64.sqrt(),
        is_assumed: false,
    };
    Facts {
        foreseen: Foreseen {
            outlook: [Some(outlook), None, None],
            ..Foreseen::default()
        },
        ..facts()
    }
}

/// Gaps of a pair, all alike but perhaps one, and the width of its spacer.
fn bench(pair: usize, gap: &str, at_90: &str, width: &str) -> Fields {
    let mut all: Vec<(String, &str)> = field::GAP_DEGREES
        .iter()
        .map(|degrees| (field::gap(pair, *degrees), gap))
        .collect();
    all.push((field::gap(pair, 90), at_90));
    all.push((field::spacer(pair), width));
    let all: Vec<(&str, &str)> = all
        .iter()
        .map(|(path, text)| (path.as_str(), *text))
        .collect();
    fields(&all)
}

fn asked(fields: &Fields, facts: &Facts, path: &str, unit: LengthUnit) -> Option<Problem> {
    let problem = assess(fields, facts, unit).fields[path].problem.clone();
    assert!(problem.iter().all(|p| !p.is_refusal), "{problem:?}");
    problem
}

#[test]
fn an_end_play_off_its_wear_is_asked_about_and_never_refused() {
    use LengthUnit::{Inch, Millimetre};
    let look_again = "Look at all its readings once more, and at the gauge.";
    let swapped = "Digits exchanged? 23.640 mm";
    let at_90 = "Gap of rows 1\u{2013}2 at 90 degrees: Digits exchanged? 23.180 mm";
    for (case, unit, gap, odd_gap, width, wanted) in [
        (
            "as expected",
            Millimetre,
            "23.540",
            "23.540",
            "24.000",
            None,
        ),
        (
            "no slip",
            Millimetre,
            "23.360",
            "23.360",
            "24.000",
            Some(("0.640", look_again, None)),
        ),
        (
            "width",
            Millimetre,
            "23.180",
            "23.180",
            "23.460",
            Some(("0.280", swapped, Some("23.640"))),
        ),
        (
            "a gap",
            Millimetre,
            "23.180",
            "23.810",
            "23.640",
            Some(("0.303", at_90, None)),
        ),
        (
            "inch",
            Inch,
            "0.9126",
            "0.9126",
            "0.9037",
            Some((
                "\u{2212}0.00890",
                "Digits exchanged? 0.93070 in",
                Some("0.93070"),
            )),
        ),
    ] {
        let fields = bench(1, gap, odd_gap, width);
        let problem = asked(&fields, &expecting(), &field::spacer(1), unit);
        assert_eq!(problem.is_some(), wanted.is_some(), "{case}: {problem:?}");
        let (Some(problem), Some((read, hint, instead))) = (problem, wanted) else {
            continue;
        };
        let (low, high) = match unit {
            Millimetre => ("0.400", "0.520 mm"),
            Inch => ("0.01575", "0.02047 in"),
        };
        let text = format!(
            "End play {read} {}: improbable, {low} to {high} expected by its wear and that of its peers.",
            unit.sign()
        );
        assert_eq!(problem.text, text, "{case}");
        assert_eq!(problem.hint.as_deref(), Some(hint), "{case}");
        assert_eq!(problem.instead.as_deref(), instead, "{case}");
    }
    // Nothing is expected of the second pair; without gaps there is no end play.
    let other = bench(2, "29.360", "29.360", "30.000");
    assert_eq!(
        asked(&other, &expecting(), &field::spacer(2), Millimetre),
        None
    );
    let alone = fields(&[(field::spacer(1).as_str(), "24.000")]);
    assert_eq!(
        asked(&alone, &expecting(), &field::spacer(1), Millimetre),
        None
    );
}

#[test]
fn the_gauges_of_the_sheet_and_an_assumed_spread_are_taken_into_account_and_said() {
    let mut facts = expecting();
    for outlook in facts.foreseen.outlook.iter_mut().flatten() {
        outlook.is_assumed = true;
    }
    // U of gap and width 12 and 9 µm, together 15: four times 13.46 µm instead of 15.
    let mut fields = bench(1, "23.360", "23.360", "24.000");
    for (path, code) in [
        ("clearance.gauge_gap", "GB-01"),
        ("clearance.gauge_width", "HG-02"),
    ] {
        let field = DraftField {
            text: code.into(),
            source: Source::Typed,
        };
        fields.insert(path.to_owned(), field);
    }
    let problem = asked(&fields, &facts, &field::spacer(1), LengthUnit::Millimetre).unwrap();
    assert_eq!(
        problem.text,
        "End play 0.640 mm: improbable, 0.406 to 0.514 mm expected by its wear and that of its peers. Few bearings have \
         been measured yet: how much they differ is assumed."
    );
}

#[test]
fn a_radial_clearance_is_asked_about_at_its_last_reading_where_it_was_read_alike_before() {
    let mut facts = expecting();
    if let Some(kind) = &mut facts.bearing_type {
        kind.kind = "two_row_spherical".into();
    }
    let read_last = |way: Option<Way>| LastClearance {
        at: facts.at,
        run_s: 0,
        found_nm: [Some(450_000), None, None],
        left_nm: [None; 3],
        width_nm: [None; 3],
        how: crate::sheet::How::usual(),
        way,
    };
    let (alike, other) = (read_last(Some(Way::Leaves)), read_last(Some(Way::ThinRing)));
    let reading = |last: &str| {
        fields(&[
            ("radial.method", "feeler"),
            ("radial.passes.1.0", "0.450"),
            ("radial.refused.1.0", "0.470"),
            ("radial.passes.2.0", "0.450"),
            ("radial.refused.2.0", last),
        ])
    };
    let last = "radial.refused.2.0";
    let mut asked_after = |history: LastClearance, fields: &Fields, path: &str| {
        facts.bearing.as_mut().unwrap().history = vec![history];
        asked(fields, &facts, path, LengthUnit::Millimetre)
    };
    assert_eq!(asked_after(alike.clone(), &reading("0.470"), last), None);
    // 0.740 for 0.470: row 2 reads 0.595, the bearing (0.460 + 0.595)/2.
    let slip = reading("0.740");
    let problem = asked_after(alike.clone(), &slip, last).unwrap();
    assert_eq!(
        problem.text,
        "Radial clearance 0.528 mm: improbable, 0.400 to 0.520 mm expected by its wear and that of its peers."
    );
    assert_eq!(problem.hint.as_deref(), Some("Digits exchanged? 0.470 mm"));
    assert_eq!(problem.instead.as_deref(), Some("0.470"));
    assert_eq!(
        asked_after(alike, &slip, "radial.passes.2.0"),
        None,
        "only the reading that completes it"
    );
    assert_eq!(
        asked_after(other, &slip, last),
        None,
        "read in another way before"
    );
}
