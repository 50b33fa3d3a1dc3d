//! Checks of the decision rule against `conformity.toml` and its laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::quantity::{micrometres, millimetres, nanometres};
use crate::test_table::rows;

#[derive(serde::Deserialize)]
struct Table {
    rules: Rules,
    probability: Vec<ProbabilityCase>,
    decision: Vec<DecisionCase>,
    guard_factor: Vec<GuardFactor>,
}

#[derive(serde::Deserialize)]
struct Rules {
    guard_factor_95: f64,
}

#[derive(serde::Deserialize)]
struct GuardFactor {
    asked: f64,
    factor: f64,
}

#[derive(serde::Deserialize)]
#[allow(non_snake_case, reason = "names of the table")]
struct ProbabilityCase {
    y: f64,
    u: f64,
    TL: f64,
    TU: f64,
    p_conform: f64,
}

#[derive(serde::Deserialize)]
#[allow(non_snake_case, reason = "names of the table")]
struct DecisionCase {
    y: f64,
    u: f64,
    TL: f64,
    TU: f64,
    upper_acceptance_limit: Option<f64>,
    lower_rejection_limit: Option<f64>,
    verdict: String,
}

fn table() -> Table {
    toml::from_str(include_str!("../../../../shared/reference/conformity.toml")).unwrap()
}

#[test]
fn probabilities_match_conformity_toml() {
    let cases = table().probability;
    assert_eq!(cases.len(), 6);
    for case in cases {
        let limits = Limits::between(millimetres(case.TL), millimetres(case.TU));
        let got = conformity(
            millimetres(case.y),
            &limits,
            Some(millimetres(2.0 * case.u)),
        )
        .unwrap();
        let p = got.probability.unwrap();
        assert!(
            (p - case.p_conform).abs() <= 5e-9,
            "{}: got {p}, expected {}",
            case.y,
            case.p_conform
        );
    }
}

#[test]
fn verdicts_match_the_acceptance_and_rejection_limits_of_conformity_toml() {
    let cases = table().decision;
    assert_eq!(cases.len(), 3);
    for case in cases {
        let limits = Limits::between(millimetres(case.TL), millimetres(case.TU));
        let got = conformity(
            millimetres(case.y),
            &limits,
            Some(millimetres(2.0 * case.u)),
        )
        .unwrap()
        .verdict;
        let allowed: &[Verdict] = match case.verdict.as_str() {
            "accept" => &[Verdict::Pass],
            "undecided" => &[Verdict::PassInDoubt, Verdict::FailInDoubt],
            "reject" => &[Verdict::Fail],
            other => panic!("unknown verdict {other} in the table"),
        };
        assert!(allowed.contains(&got), "{}: got {}", case.y, got.word());
    }
}

#[test]
fn guard_bands_match_conformity_toml_and_say_what_the_verdict_says() {
    let table = table();
    assert!((GUARD_FACTOR_95 - table.rules.guard_factor_95).abs() <= 5e-7);
    let mut limits_read = 0;
    for case in table.decision {
        let band = guard_band(
            Some(case.TL),
            Some(case.TU),
            2.0 * case.u,
            &Thresholds::default(),
        );
        // The table calls the outer end of the upper band its lower rejection limit: values above it are rejected.
        for (got, expected) in [
            (band.acceptance_upper, case.upper_acceptance_limit),
            (band.rejection_upper, case.lower_rejection_limit),
        ] {
            let Some(expected) = expected else { continue };
            assert!(
                (got.unwrap() - expected).abs() <= 5e-7,
                "{got:?} {expected}"
            );
            limits_read += 1;
        }
        let is_accepted = is_inside(case.y, band.acceptance_lower, band.acceptance_upper);
        let is_rejected = !is_inside(case.y, band.rejection_lower, band.rejection_upper);
        let verdict = match (is_accepted, is_rejected) {
            (true, _) => "accept",
            (false, true) => "reject",
            (false, false) => "undecided",
        };
        assert_eq!(verdict, case.verdict, "{}", case.y);
        let simple = is_inside(case.y, Some(case.TL), Some(case.TU));
        assert_eq!(simple, case.y <= case.TU && case.y >= case.TL);
    }
    assert_eq!(limits_read, 2);
}

#[test]
fn guard_factors_match_conformity_toml() {
    let cases = table().guard_factor;
    assert_eq!(cases.len(), 8);
    for case in cases {
        let got = Thresholds::asked(case.asked).unwrap().guard_factor();
        assert!((got - case.factor).abs() < 1e-12, "{}: {got}", case.asked);
    }
}

#[test]
fn a_gauge_too_rough_for_its_tolerance_accepts_nothing() {
    assert!(guard_band(Some(0.0), Some(1.0), 0.60, &Thresholds::default()).accepts_any());
    assert!(!guard_band(Some(0.0), Some(1.0), 0.62, &Thresholds::default()).accepts_any());
    assert!(guard_band(None, Some(1.0), 50.0, &Thresholds::default()).accepts_any());
}

#[test]
fn without_uncertainty_the_stored_integers_decide() {
    let tolerance = Limits::between(nanometres(1_000), nanometres(2_000));
    let rework = Limits::below(nanometres(2_000));
    for (limits, nm, expected) in [
        (&tolerance, 999, Verdict::Fail),
        (&tolerance, 1_000, Verdict::Pass),
        (&tolerance, 2_000, Verdict::Pass),
        (&tolerance, 2_001, Verdict::Fail),
        (&rework, 1_999, Verdict::Pass),
        (&rework, 2_000, Verdict::Fail),
    ] {
        let exact = conformity(nanometres(nm), limits, Some(nanometres(0))).unwrap();
        assert_eq!(exact.verdict, expected, "{nm} nm");
        assert_eq!(
            exact.probability,
            Some(if expected == Verdict::Pass { 1.0 } else { 0.0 })
        );
        let unknown = conformity(nanometres(nm), limits, None).unwrap();
        assert_eq!(
            unknown.verdict,
            expected.if_gauge_overdue(),
            "{nm} nm, U unknown"
        );
        assert_eq!(unknown.probability, None);
    }
}

#[test]
fn a_value_on_the_limit_is_even_for_a_tolerance_and_reached_for_a_rework_level() {
    let (value, uncertainty) = (millimetres(0.6), Some(millimetres(0.015)));
    let tolerance = conformity(value, &Limits::at_most(millimetres(0.6)), uncertainty).unwrap();
    assert_eq!(
        (tolerance.verdict, tolerance.probability),
        (Verdict::PassInDoubt, Some(0.5))
    );
    let rework = conformity(value, &Limits::below(millimetres(0.6)), uncertainty).unwrap();
    assert_eq!(
        (rework.verdict, rework.probability),
        (Verdict::FailInDoubt, Some(0.5))
    );
}

#[test]
fn a_mean_bore_seven_micrometres_under_its_limit_passes_in_doubt() {
    // Demo plant (invented): 0.113 against 0.120 with U = 0.010 is 1.4 u, p = Phi(1.4) = 0.9192.
    let limit = Limits::at_most(millimetres(0.120));
    let got = conformity(millimetres(0.113), &limit, Some(millimetres(0.010))).unwrap();
    assert_eq!(got.verdict, Verdict::PassInDoubt);
    assert!((got.probability.unwrap() - 0.919_243).abs() < 5e-7);
}

/// The distances were worked out with the guard factors of the table: 0.113 lies 1.4 u under 0.120 with U = 0.010.
#[test]
fn another_probability_may_be_asked_of_a_limit() {
    use Verdict::{Fail, FailInDoubt, Pass, PassInDoubt};
    let judged = |um: f64, asked: f64| {
        let limits = Limits {
            thresholds: Thresholds::asked(asked).unwrap(),
            ..Limits::at_most(micrometres(120.0))
        };
        conformity(micrometres(um), &limits, Some(micrometres(10.0)))
            .unwrap()
            .verdict
    };
    for (um, verdicts) in [
        // Asked 0.5, 0.9, 0.95, 0.99: 0, 1.2816, 1.6449, 2.3263 u of 5 um.
        (108.0, [Pass, Pass, Pass, Pass]),
        (109.0, [Pass, Pass, Pass, PassInDoubt]),
        (113.0, [Pass, Pass, PassInDoubt, PassInDoubt]),
        (119.0, [Pass, PassInDoubt, PassInDoubt, PassInDoubt]),
        (120.0, [Pass, PassInDoubt, PassInDoubt, PassInDoubt]),
        (121.0, [Fail, FailInDoubt, FailInDoubt, FailInDoubt]),
        (127.0, [Fail, Fail, FailInDoubt, FailInDoubt]),
        (131.0, [Fail, Fail, Fail, FailInDoubt]),
        (132.0, [Fail, Fail, Fail, Fail]),
    ] {
        let got = [0.5, 0.9, 0.95, 0.99].map(|asked| judged(um, asked));
        assert_eq!(got, verdicts, "{um}");
    }
}

#[test]
fn the_default_is_exact_and_what_cannot_be_asked_is_refused() {
    let usual = Thresholds::asked(0.95).unwrap();
    assert_eq!(usual, Thresholds::default());
    assert_eq!((usual.pass, usual.even, usual.fail), (0.95, 0.50, 0.05));
    for asked in [0.0, 0.05, 0.499, 0.9991, 1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(Thresholds::asked(asked).unwrap_err().input(), "asked");
    }
    for (asked, words) in [
        (0.5, "pass from 0.50, else fail"),
        (0.95, "pass from 0.95, in doubt from 0.50, fail to 0.05"),
        (0.995, "pass from 0.995, in doubt from 0.50, fail to 0.005"),
    ] {
        assert_eq!(Thresholds::asked(asked).unwrap().words(), words);
    }
}

/// A rework level is reached at equality, whatever is asked of it: with 0.5 asked there is no doubt that could say so.
#[test]
fn on_a_rework_level_nothing_passes_whatever_is_asked() {
    for (asked, expected) in [
        (0.5, Verdict::Fail),
        (0.6, Verdict::FailInDoubt),
        (0.99, Verdict::FailInDoubt),
    ] {
        let limits = Limits {
            thresholds: Thresholds::asked(asked).unwrap(),
            ..Limits::below(millimetres(0.6))
        };
        let got = conformity(millimetres(0.6), &limits, Some(millimetres(0.015))).unwrap();
        assert_eq!(got.verdict, expected, "{asked}");
        let exact = conformity(millimetres(0.6), &limits, Some(millimetres(0.0))).unwrap();
        assert_eq!(exact.verdict, Verdict::Fail, "{asked}, U = 0");
    }
}

/// 2.0 u above the lower limit (p 0.9772) and 1.5 u below the upper (p 0.9332), u = 10 um.
#[test]
fn each_limit_is_judged_by_what_is_asked_of_it() {
    let asked = |probability| Thresholds::asked(probability).unwrap();
    let judged = |lower: f64, upper: f64| {
        let limits = Limits {
            thresholds: asked(lower),
            upper_thresholds: Some(asked(upper)),
            ..Limits::between(micrometres(0.0), micrometres(35.0))
        };
        conformity(micrometres(20.0), &limits, Some(micrometres(20.0))).unwrap()
    };
    for (lower, upper, verdict) in [
        (0.95, 0.90, Verdict::Pass),
        (0.99, 0.90, Verdict::PassInDoubt),
        (0.90, 0.95, Verdict::PassInDoubt),
        // The same of both: together, 0.9772 + 0.9332 - 1 = 0.9104.
        (0.91, 0.91, Verdict::Pass),
        (0.92, 0.92, Verdict::PassInDoubt),
    ] {
        let got = judged(lower, upper);
        assert_eq!(got.verdict, verdict, "{lower} {upper}");
        let p = if lower == upper { 0.910_4 } else { 0.933_2 };
        assert!((got.probability.unwrap() - p).abs() < 1e-4, "{got:?}");
    }
    // What is asked of the upper limit holds where it stands alone.
    let alone = Limits {
        upper_thresholds: Some(asked(0.9)),
        ..Limits::at_most(micrometres(35.0))
    };
    let got = conformity(micrometres(20.0), &alone, Some(micrometres(20.0))).unwrap();
    assert_eq!(got.verdict, Verdict::Pass);
}

#[test]
fn wrong_inputs_are_named() {
    let at_most = Limits::at_most(micrometres(5.0));
    let nan = micrometres(f64::NAN);
    let one = Some(micrometres(1.0));
    let turned = Limits::between(micrometres(5.0), micrometres(4.0));
    for (value, limits, uncertainty, input) in [
        (micrometres(1.0), Limits::default(), one, "lower"),
        (micrometres(1.0), turned, one, "lower"),
        (
            micrometres(1.0),
            at_most,
            Some(micrometres(-1.0)),
            "expanded_uncertainty",
        ),
        (micrometres(1.0), at_most, Some(nan), "expanded_uncertainty"),
        (nan, at_most, one, "value"),
        (micrometres(1.0), Limits::at_most(nan), one, "upper"),
        (micrometres(1.0), Limits::at_least(nan), one, "lower"),
    ] {
        assert_eq!(
            conformity(value, &limits, uncertainty).unwrap_err().input(),
            input
        );
    }
}

proptest! {
    #[test]
    fn probability_falls_as_the_value_goes_up_past_an_upper_limit(
        y in -50.0..50.0_f64, more in 0.001..20.0_f64, u in 0.01..20.0_f64,
    ) {
        let p = |y: f64| conformity_of_numbers(y, None, Some(0.0), Some(u), &Thresholds::default()).unwrap().probability.unwrap();
        prop_assert!(p(y + more) <= p(y));
        prop_assert!((0.0..=1.0).contains(&p(y)));
    }

    #[test]
    fn lower_and_upper_limits_mirror_each_other(y in -50.0..50.0_f64, w in 0.0..30.0_f64, u in 0.01..20.0_f64) {
        let p = |y: f64| conformity_of_numbers(y, Some(-w), Some(w), Some(u), &Thresholds::default()).unwrap().probability.unwrap();
        prop_assert!((p(y) - p(-y)).abs() < 1e-15);
    }

    #[test]
    fn two_limits_are_never_easier_than_one(y in -50.0..50.0_f64, w in 0.0..30.0_f64, u in 0.01..20.0_f64) {
        let both = conformity_of_numbers(y, Some(-w), Some(w), Some(u), &Thresholds::default()).unwrap().probability.unwrap();
        let one = conformity_of_numbers(y, None, Some(w), Some(u), &Thresholds::default()).unwrap().probability.unwrap();
        prop_assert!(both <= one + 1e-15);
    }

    #[test]
    fn half_the_probability_lies_on_each_side_of_a_single_limit(limit in -50.0..50.0_f64, u in 0.001..20.0_f64) {
        let p = |lower, upper| conformity_of_numbers(limit, lower, upper, Some(u), &Thresholds::default()).unwrap().probability;
        prop_assert_eq!(p(Some(limit), None), Some(0.5));
        prop_assert_eq!(p(None, Some(limit)), Some(0.5));
    }

    #[test]
    fn more_uncertainty_takes_certainty_from_either_side_of_a_limit(
        y in -50.0..50.0_f64, u in 0.01..20.0_f64, more in 0.01..20.0_f64,
    ) {
        let p = |u: f64| conformity_of_numbers(y, None, Some(0.0), Some(u), &Thresholds::default()).unwrap().probability.unwrap();
        let (sure, unsure) = (p(u), p(u + more));
        if y <= 0.0 {
            prop_assert!(unsure <= sure && unsure >= 0.5);
        } else {
            prop_assert!(unsure >= sure && unsure <= 0.5);
        }
        // Between two limits a value inside never gains by a rougher gauge.
        let both = |u: f64| conformity_of_numbers(y, Some(-50.0), Some(50.0), Some(u), &Thresholds::default()).unwrap().probability.unwrap();
        prop_assert!(both(u + more) <= both(u) + 1e-15);
    }

    #[test]
    fn the_guard_band_is_the_rule_of_95_percent_against_one_limit(y in -50.0..50.0_f64, u in 0.01..20.0_f64) {
        let band = guard_band(None, Some(0.0), u, &Thresholds::default());
        let got = conformity_of_numbers(y, None, Some(0.0), Some(u), &Thresholds::default()).unwrap();
        // On the band itself the last digit decides.
        let clear = (y.abs() - band.width).abs() > 1e-9 * u;
        if clear {
            prop_assert_eq!(is_inside(y, None, band.acceptance_upper), got.verdict == Verdict::Pass);
            prop_assert_eq!(!is_inside(y, None, band.rejection_upper), got.verdict == Verdict::Fail);
        }
    }

    #[test]
    fn a_verdict_never_gets_better_when_more_is_asked(
        y in -8.0..8.0_f64, w in 0.0..6.0_f64, u in 0.01..8.0_f64, asked in 0.5..0.999_f64, more in 0.0..1.0_f64,
    ) {
        let more = asked + more * (0.999 - asked);
        let judged = |probability: f64, lower| {
            let thresholds = Thresholds::asked(probability).unwrap();
            conformity_of_numbers(y, lower, Some(w), Some(u), &thresholds).unwrap().verdict
        };
        for lower in [None, Some(-w)] {
            let (less, more) = (judged(asked, lower), judged(more, lower));
            // More asked makes a pass doubtful and a fail doubtful: it never turns one side into the other.
            let side = |v| matches!(v, Verdict::Pass | Verdict::PassInDoubt);
            prop_assert_eq!(side(less), side(more));
            if side(less) {
                prop_assert!(less == Verdict::Pass || more == Verdict::PassInDoubt);
            }
            let decided = judged(0.5, lower);
            prop_assert!(matches!(decided, Verdict::Pass | Verdict::Fail));
            prop_assert_eq!(side(decided), side(less));
        }
    }

    #[test]
    fn the_guard_band_is_the_rule_against_one_limit_whatever_is_asked(
        y in -50.0..50.0_f64, u in 0.01..20.0_f64, asked in 0.5..0.999_f64,
    ) {
        let thresholds = Thresholds::asked(asked).unwrap();
        let band = guard_band(None, Some(0.0), u, &thresholds);
        let got = conformity_of_numbers(y, None, Some(0.0), Some(u), &thresholds).unwrap();
        if (y.abs() - band.width).abs() > 1e-9 * u {
            prop_assert_eq!(is_inside(y, None, band.acceptance_upper), got.verdict == Verdict::Pass);
            prop_assert_eq!(!is_inside(y, None, band.rejection_upper), got.verdict == Verdict::Fail);
        }
    }

    #[test]
    fn what_passes_between_two_limits_lies_inside_their_guard_band(
        y in -5.0..5.0_f64, w in 0.0..5.0_f64, u in 0.01..8.0_f64,
    ) {
        let got = conformity_of_numbers(y, Some(-w), Some(w), Some(u), &Thresholds::default()).unwrap();
        let band = guard_band(Some(-w), Some(w), u, &Thresholds::default());
        if got.verdict == Verdict::Pass {
            let slack = 1e-9 * u;
            prop_assert!(band.acceptance_lower.unwrap() <= y + slack && y <= band.acceptance_upper.unwrap() + slack);
        }
    }
}

/// Against two packages made independently of this project (`tests/outside/special.py` tells how); mpmath computes with
/// 40 digits and is the truth here. A standard uncertainty of 1 nm, so that the distance to the limit is z.
#[test]
fn the_probability_is_that_of_two_packages_from_outside_far_into_the_tails() {
    let mut compared = 0;
    for row in rows(include_str!("../../tests/outside/special.csv")) {
        if row.text("function") != "normal" {
            continue;
        }
        let z = row.number("argument");
        let one = Numbers {
            value: 0.0,
            lower: None,
            upper: Some(z),
        };
        let (ours, truth, scipy) = (
            one.probability(1.0),
            row.number("mpmath"),
            row.number("scipy"),
        );
        assert!((ours / truth - 1.0).abs() < 1e-13, "{z}: {ours} {truth}");
        assert!(
            (scipy / truth - 1.0).abs() < 1e-13,
            "{z}: the packages differ"
        );
        compared += 1;
    }
    assert_eq!(compared, 65, "rows lost while reading");
}
