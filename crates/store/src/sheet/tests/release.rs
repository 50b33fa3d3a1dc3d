//! What bars release: parts that are not measured, overdue gauges, absurd sizes.

use super::*;

const SKIPPED: [(&str, &str); 2] = [
    ("skip.bore", "sleeved last week"),
    ("skip.neck", "roll is on the grinder"),
];

#[test]
fn what_is_not_measured_bars_release_whatever_the_reason() {
    let all = [SKIPPED[0], SKIPPED[1], ("skip.clearance", "no time")];
    let a = assess(&fields(&all), &facts(), LengthUnit::Millimetre);
    assert_eq!(a.recommendation.disposition, Disposition::HoldForEngineer);
    let reasons = a.reasons(Show::default()).join(" ");
    assert!(reasons.contains("clearance (no time)"), "{reasons}");
    assert!(!reasons.contains("inside its limits"), "{reasons}");
    let back = [
        all[0],
        all[1],
        all[2],
        ("decision.choice", "return_to_service"),
    ];
    let a = assess(&fields(&back), &facts(), LengthUnit::Millimetre);
    assert!(
        a.engineer_because
            .contains(&"something is not measured".to_owned()),
        "{:?}",
        a.engineer_because
    );
    assert!(
        a.blockers()
            .any(|(_, text)| text.starts_with("say why not"))
    );
}

#[test]
fn a_reason_beside_a_whole_measurement_is_refused() {
    let a = read(&[SKIPPED[0], SKIPPED[1], ("skip.clearance", "no time")]);
    let blockers: Vec<&str> = a.blockers().map(|(_, text)| text).collect();
    assert!(
        blockers.contains(&"everything is read: take the reason why not away"),
        "{blockers:?}"
    );
    assert_eq!(
        a.section(Section::Clearance).mark,
        Verdict::Fail,
        "a failing pair is not hidden by a reason"
    );
}

#[test]
fn without_clearance_nothing_goes_back_whatever_the_gauge_is_worth_or_the_type_says() {
    let mut no_limits = facts();
    if let Some(t) = &mut no_limits.bearing_type {
        t.values.retain(|(name, _), _| {
            !["clearance_", "rework", "watch", "target_"]
                .iter()
                .any(|limit| name.starts_with(limit))
        });
    }
    if let Some(b) = &mut no_limits.bearing {
        b.as_set_nm = [None; 3];
    }
    let mut overdue = facts();
    for gauge in overdue.gauges.values_mut() {
        gauge.is_overdue = true;
    }
    let back = [
        SKIPPED[0],
        SKIPPED[1],
        ("decision.choice", "return_to_service"),
    ];
    for (facts, clearance_um, words) in [
        (&facts(), 0, "no clearance"),
        (&facts(), -40, "no clearance"),
        (&overdue, 0, "no clearance"),
        (&no_limits, -10, "no clearance"),
        (&overdue, 260, "below the drawing's minimum 0.270"),
    ] {
        let a = equal(clearance_um, "GB-01", facts, &back);
        assert!(
            a.blockers().any(|(_, text)| text.contains(words)),
            "{clearance_um}: {:?}",
            a.blockers().collect::<Vec<_>>()
        );
        assert_eq!(a.recommendation.disposition, Disposition::HoldForEngineer);
        assert!(
            a.clearance
                .pairs
                .iter()
                .all(|p| matches!(p.verdict, Verdict::Fail | Verdict::FailInDoubt))
        );
    }
    // A type without any limit judges nothing, and says so without a probability.
    let a = equal(300, "GB-01", &no_limits, &[]);
    assert_eq!(a.clearance.pairs[0].verdict, Verdict::NotApplicable);
    assert_eq!(a.clearance.pairs[0].probability, None);
}

#[test]
fn an_overdue_gauge_leaves_the_clearance_after_grinding_in_doubt_and_its_check_must_be_done() {
    let mut overdue = facts();
    if let Some(gauge) = overdue.gauges.get_mut("HG-02") {
        gauge.is_overdue = true;
    }
    let all: Vec<(&str, &str)> = BENCH
        .iter()
        .copied()
        .chain([
            SKIPPED[0],
            SKIPPED[1],
            ("decision.choice", "regrind_spacers"),
            ("after.1", "23.674"),
            ("after.2", "29.726"),
            ("after.3", "23.682"),
            ("shim.found", "1.20"),
            ("retention.checked", "no"),
        ])
        .collect();
    let a = assess(&fields(&all), &overdue, LengthUnit::Millimetre);
    assert_eq!(a.clearance.after.verdict, [Verdict::PassInDoubt; 3]);
    assert!(
        a.blockers()
            .any(|(_, text)| text.contains("axial retention")),
        "no is not checked"
    );
}

#[test]
fn the_probability_is_that_of_the_limit_that_decides() {
    // 0.590 against 0.600 with U 0.015: p = Phi(0.010 / 0.0075) = 0.9088 (JCGM 106:2012, normal, computed).
    let a = equal(590, "GB-01", &facts(), &[]);
    let pair = &a.clearance.pairs[0];
    assert_eq!(pair.verdict, Verdict::PassInDoubt);
    assert!(
        (pair.probability.unwrap() - 0.9088).abs() < 1e-4,
        "{pair:?}"
    );
}

#[test]
fn an_absurd_size_in_the_register_or_on_the_sheet_neither_panics_nor_counts() {
    let mut absurd = facts();
    if let Some(t) = &mut absurd.bearing_type {
        t.values
            .insert(("chock_bore_nominal_nm".into(), 0), i64::MAX);
        t.values.retain(|(name, _), _| name != "spacer_nm");
    }
    let a = assess(
        &fields(&[
            ("bore.1.0", "620.0"),
            ("clearance.spacer.1", "99999999"),
            ("clearance.gap.1.0", "-3"),
        ]),
        &absurd,
        LengthUnit::Millimetre,
    );
    assert!(
        a.fields["clearance.spacer.1"]
            .problem
            .as_ref()
            .unwrap()
            .is_refusal
    );
    assert!(
        a.fields["clearance.gap.1.0"]
            .problem
            .as_ref()
            .unwrap()
            .is_refusal
    );
}
