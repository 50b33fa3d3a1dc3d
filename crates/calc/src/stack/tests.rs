//! Checks of the stack against the published rules, a worked regrind and its laws.
#![allow(clippy::unwrap_used)]

mod described;

use proptest::prelude::*;

use super::*;
use crate::{
    growth::{REGRIND_FACTOR, pair_limit},
    quantity::{as_millimetres, millimetres},
};

#[derive(serde::Deserialize)]
struct Bench {
    case: Vec<BenchCase>,
}

#[derive(serde::Deserialize)]
struct BenchCase {
    id: String,
    as_set_mm: f64,
    gap_mm: Option<Vec<f64>>,
    mean_gap_mm: Option<f64>,
    spacer_mm: Option<f64>,
    end_play_mm: f64,
    regrind: Option<bool>,
    target_end_play_mm: Option<f64>,
    grind_off_mm: Option<f64>,
    new_spacer_mm: Option<f64>,
}

fn nm(mm: f64) -> i64 {
    to_nanometres(millimetres(mm))
}

#[test]
fn end_play_and_grinding_match_bench_four_row_trb_toml() {
    let text = include_str!("../../../../shared/reference/bench_four_row_trb.toml");
    let bench: Bench = toml::from_str(text).unwrap();
    assert_eq!(bench.case.len(), 4, "rows lost while reading");
    for case in &bench.case {
        let id = &case.id;
        if let (Some(gaps), Some(spacer)) = (&case.gap_mm, case.spacer_mm) {
            let gaps: Vec<Length> = gaps.iter().map(|&gap| millimetres(gap)).collect();
            let mean = mean_gap(&gaps).unwrap();
            assert_eq!(to_nanometres(mean), nm(case.mean_gap_mm.unwrap()), "{id}");
            assert_eq!(
                to_nanometres(end_play(millimetres(spacer), mean)),
                nm(case.end_play_mm),
                "{id}"
            );
        }
        let limit = pair_limit(None, REGRIND_FACTOR, Some(millimetres(case.as_set_mm)))
            .unwrap()
            .unwrap();
        if let Some(regrind) = case.regrind {
            assert_eq!(
                nm(case.end_play_mm) >= to_nanometres(limit),
                regrind,
                "{id}"
            );
        }
        let target = millimetres(case.target_end_play_mm.unwrap_or(1.5 * case.as_set_mm));
        let pair = StackPair {
            spacer: millimetres(case.spacer_mm.unwrap_or(25.0)),
            reading: PairReading::Clearance(millimetres(case.end_play_mm)),
            target_min: target,
            target_max: target,
            min_spacer: millimetres(20.0),
            ring: StackRing::Outer,
        };
        let plan = stack(&[pair], millimetres(0.0001)).unwrap();
        match (case.grind_off_mm, case.end_play_mm < 0.0) {
            (Some(grind), _) => {
                assert_eq!(
                    plan.pairs[0].grind.map(to_nanometres),
                    Some(nm(grind)),
                    "{id}"
                );
                assert_eq!(
                    plan.outer_change.map(to_nanometres),
                    Some(-nm(grind)),
                    "{id}"
                );
                let new = case
                    .new_spacer_mm
                    .map_or(plan.pairs[0].new_spacer, |mm| Some(millimetres(mm)));
                assert_eq!(
                    plan.pairs[0].new_spacer.map(to_nanometres),
                    new.map(to_nanometres),
                    "{id}"
                );
            }
            (None, true) => assert_eq!(plan.pairs[0].refusal, Some(Refusal::BelowTarget), "{id}"),
            (None, false) => assert_eq!(plan.pairs[0].verdict, Verdict::Pass, "{id}"),
        }
    }
}

fn gaps_pair(spacer: f64, gaps: [f64; 4], ring: StackRing, min_spacer: f64) -> StackPair {
    StackPair {
        spacer: millimetres(spacer),
        reading: PairReading::Gaps(gaps.map(millimetres).to_vec()),
        target_min: millimetres(0.270),
        target_max: millimetres(0.330),
        min_spacer: millimetres(min_spacer),
        ring,
    }
}

/// The regrind of the demo plant (invented), worked out by hand.
fn worn_set() -> [StackPair; 3] {
    [
        gaps_pair(
            24.012,
            [23.372, 23.366, 23.378, 23.372],
            StackRing::Outer,
            23.0,
        ),
        gaps_pair(
            30.004,
            [29.424, 29.418, 29.430, 29.424],
            StackRing::Inner,
            29.0,
        ),
        gaps_pair(
            24.008,
            [23.378, 23.370, 23.384, 23.380],
            StackRing::Outer,
            23.0,
        ),
    ]
}

#[test]
fn a_set_with_doubled_clearance_is_ground_to_the_middle_of_its_target() {
    let plan = stack(&worn_set(), millimetres(0.010)).unwrap();
    let expected = [
        (0.640, 23.372, 0.340, 23.672),
        (0.580, 29.424, 0.280, 29.724),
        (0.630, 23.378, 0.330, 23.678),
    ];
    for (pair, (clearance, mean, grind, spacer)) in plan.pairs.iter().zip(expected) {
        assert_eq!(to_nanometres(pair.clearance), nm(clearance));
        assert_eq!(pair.mean_gap.map(to_nanometres), Some(nm(mean)));
        assert_eq!(pair.grind.map(to_nanometres), Some(nm(grind)));
        assert_eq!(pair.new_spacer.map(to_nanometres), Some(nm(spacer)));
        assert_eq!(pair.new_clearance.map(to_nanometres), Some(nm(0.300)));
        assert_eq!((pair.verdict, pair.refusal), (Verdict::Pass, None));
    }
    assert_eq!(plan.pairs[0].gap_spread.map(to_nanometres), Some(nm(0.012)));
    assert_eq!(plan.outer_change.map(to_nanometres), Some(nm(-0.670)));
    assert_eq!(plan.inner_change.map(to_nanometres), Some(nm(-0.280)));
}

/// Invented numbers, worked by hand.
#[test]
fn spacers_that_changed_places_since_they_were_measured_are_found_by_what_they_were() {
    let mm = |all: [f64; 3]| all.map(|mm| Some(millimetres(mm)));
    let last = mm([24.000, 30.000, 23.850]);
    for (now, expected) in [
        ([23.850, 30.000, 24.000], Some([0, 2])),
        ([23.856, 30.000, 23.995], Some([0, 2])),
        // One of them only, or neither.
        ([23.850, 30.000, 23.850], None),
        ([24.000, 30.000, 23.850], None),
        // Too far off to be the other.
        ([23.870, 30.000, 24.000], None),
    ] {
        let found = exchanged_widths(&last, &mm(now), (millimetres(0.010), millimetres(0.050)));
        assert_eq!(found, expected, "{now:?}");
    }
    assert_eq!(
        exchanged_widths(
            &mm([24.0, 30.0, 24.050]),
            &mm([24.050, 30.0, 24.0]),
            (millimetres(0.010), millimetres(0.050))
        ),
        None,
        "so alike that it does not matter"
    );
    // Both worn to 0.450, outside the drawing of a new one either way; exchanged they read 0.300 and 0.600.
    let left = |widths: [Option<f64>; 3]| {
        [0, 1, 2].map(|i| (Some(millimetres(0.450)), widths[i].map(millimetres)))
    };
    let widths = [Some(24.000), Some(30.000), Some(23.850)];
    let bounds = (millimetres(0.030), millimetres(0.050));
    for (known, now, expected) in [
        (widths, [0.300, 0.450, 0.600], Some([0, 2])),
        ([None; 3], [0.300, 0.450, 0.600], Some([0, 2])),
        // The wider one is the other way round.
        (widths, [0.600, 0.450, 0.300], None),
        ([None; 3], [0.600, 0.450, 0.300], Some([2, 0])),
        // Widths that do not explain it, a sum that is off, too little, and the neighbour ring.
        (widths, [0.200, 0.450, 0.700], None),
        ([None; 3], [0.300, 0.450, 0.700], None),
        ([None; 3], [0.410, 0.450, 0.490], None),
        ([None; 3], [0.300, 0.600, 0.450], None),
    ] {
        let found = exchanged_since(&left(known), &mm(now), bounds);
        assert_eq!(found, expected, "{known:?} {now:?}");
    }
}

/// Geometry, worked by hand; common practice, no source.
#[test]
fn the_pack_from_the_gap_is_thinner_under_the_flange_and_thicker_at_the_ring() {
    for (gap, hold, under, between) in [
        (1.20, 0.10, 1_100_000, 1_300_000),
        (1.20, 0.0, 1_200_000, 1_200_000),
        (0.05, 0.10, -50_000, 150_000),
        // Rings that are to have room.
        (1.20, -0.05, 1_250_000, 1_150_000),
    ] {
        let pack = |place| to_nanometres(cover_pack(millimetres(gap), millimetres(hold), place));
        assert_eq!(pack(ShimPlace::UnderFlange), under, "{gap} {hold}");
        assert_eq!(
            pack(ShimPlace::BetweenCoverAndRing),
            between,
            "{gap} {hold}"
        );
    }
}

#[test]
fn measured_widths_after_grinding_give_the_new_shim() {
    let spacer = |ring, before, after| SpacerChange {
        ring,
        before: millimetres(before),
        after: millimetres(after),
    };
    let change = stack_change(&[
        spacer(StackRing::Outer, 24.012, 23.674),
        spacer(StackRing::Inner, 30.004, 29.726),
        spacer(StackRing::Outer, 24.008, 23.682),
    ]);
    assert_eq!(
        (to_nanometres(change.outer), to_nanometres(change.inner)),
        (nm(-0.664), nm(-0.278))
    );
    for (width, gap, expected) in [
        (23.674, 23.372, 0.302),
        (29.726, 29.424, 0.302),
        (23.682, 23.378, 0.304),
    ] {
        assert_eq!(
            to_nanometres(end_play(millimetres(width), millimetres(gap))),
            nm(expected)
        );
    }
    let shim = |place| cover_shim_after(millimetres(1.20), change.outer, place);
    assert_eq!(
        to_nanometres(shim(ShimPlace::UnderFlange).unwrap()),
        nm(0.536)
    );
    assert_eq!(
        to_nanometres(shim(ShimPlace::BetweenCoverAndRing).unwrap()),
        nm(1.864)
    );
}

#[test]
fn a_pack_below_zero_means_machining_the_cover() {
    let error = cover_shim_after(
        millimetres(0.5),
        millimetres(-0.664),
        ShimPlace::UnderFlange,
    )
    .unwrap_err();
    assert!(
        matches!(&error, CalcError::MachineCover { missing, .. } if to_nanometres(*missing) == nm(0.164))
    );
    assert!(error.to_string().contains("machine the cover") && error.to_string().contains("0.164"));
    let empty = cover_shim_after(
        millimetres(0.664),
        millimetres(-0.664),
        ShimPlace::UnderFlange,
    )
    .unwrap();
    assert_eq!(to_nanometres(empty), 0);
    assert!(cover_shim_after(millimetres(-0.1), millimetres(0.2), ShimPlace::UnderFlange).is_err());
}

#[test]
fn a_coarse_step_is_floored_and_taken_once_more_only_where_needed() {
    // (clearance, min, max, step, grind), all in micrometres; worked out by hand from the rule.
    for (clearance, min, max, step, grind) in [
        (640, 270, 330, 50, Ok(350)), // 340 floored to 300 leaves 340, above 330: one step more
        (640, 270, 330, 100, Err(Refusal::StepTooCoarse)), // 300 leaves 340, 400 would leave 240
        (625, 270, 330, 50, Ok(300)), // 325 floored to 300 leaves 325, inside
        (330, 270, 330, 10, Ok(0)),
        (331, 270, 330, 10, Ok(30)),
        (270, 270, 330, 10, Ok(0)),
        (269, 270, 330, 10, Err(Refusal::BelowTarget)),
        (640, 300, 300, 7, Err(Refusal::StepTooCoarse)),
    ] {
        let got = grind_nm(clearance * 1_000, min * 1_000, max * 1_000, step * 1_000);
        assert_eq!(got, grind.map(|um: i64| um * 1_000), "{clearance} {step}");
    }
    // A target of one odd nanometre: the midpoint is half a nanometre, floored exactly.
    assert_eq!(grind_nm(10, 3, 4, 1), Ok(6));
}

#[test]
fn a_refused_pair_has_no_new_values_and_its_stack_no_change() {
    let mut pairs = worn_set();
    pairs[2].min_spacer = millimetres(23.700);
    let plan = stack(&pairs, millimetres(0.010)).unwrap();
    let refused = &plan.pairs[2];
    assert_eq!(
        (refused.grind, refused.new_spacer, refused.new_clearance),
        (None, None, None)
    );
    assert_eq!(refused.verdict, Verdict::Fail);
    assert!(
        matches!(refused.refusal, Some(Refusal::SpacerUnderMinimum { would_be }) if to_nanometres(would_be) == nm(23.678))
    );
    assert_eq!(plan.outer_change, None);
    assert_eq!(plan.inner_change.map(to_nanometres), Some(nm(-0.280)));
}

#[test]
fn a_gap_that_spreads_is_not_seated() {
    // Demo plant (invented): spread 0.12, then 0.008 after turning.
    let gaps = |mm: [f64; 4]| gap_spread(&mm.map(millimetres)).unwrap();
    let limit = millimetres(0.05);
    let first = gaps([23.40, 23.41, 23.52, 23.41]);
    assert_eq!(to_nanometres(first), nm(0.12));
    assert!(!is_seated(first, limit));
    assert!(is_seated(gaps([23.403, 23.406, 23.411, 23.405]), limit));
    assert!(is_seated(limit, limit));
}

fn assembled(clearances: [f64; 3], widths: [Option<f64>; 3]) -> Vec<AssembledPair> {
    let pair = |(index, (clearance, width)): (usize, (f64, Option<f64>))| AssembledPair {
        ring: default_ring(index),
        spacer: width.map(millimetres),
        clearance: millimetres(clearance),
        target_min: millimetres(0.270),
        target_max: millimetres(0.330),
    };
    clearances
        .into_iter()
        .zip(widths)
        .enumerate()
        .map(pair)
        .collect()
}

#[test]
fn swapped_spacers_are_suspected_only_where_swapping_helps() {
    // Demo plant (invented): 0.120 / 0.310 / 0.490 with widths 23.810 and 23.995 becomes 0.305 / 0.310 / 0.305.
    let widths = [Some(23.810), Some(29.7), Some(23.995)];
    let found = suspect_swapped(&assembled([0.120, 0.310, 0.490], widths)).unwrap();
    assert_eq!((found.small, found.large), (0, 2));
    let after = found.after.unwrap();
    assert_eq!(
        (to_nanometres(after.0), to_nanometres(after.1)),
        (nm(0.305), nm(0.305))
    );
    let without_widths = suspect_swapped(&assembled([0.120, 0.310, 0.490], [None; 3])).unwrap();
    assert_eq!(
        (
            without_widths.small,
            without_widths.large,
            without_widths.after
        ),
        (0, 2, None)
    );
    let turned = suspect_swapped(&assembled([0.490, 0.310, 0.120], [None; 3])).unwrap();
    assert_eq!((turned.small, turned.large), (2, 0));
    for (clearances, widths) in [
        ([0.305, 0.310, 0.305], widths),
        ([0.120, 0.310, 0.490], [Some(23.995), None, Some(23.810)]), // the wider one is in the tight pair already
        ([0.120, 0.310, 0.690], [None; 3]),                          // the sum is not normal
        ([0.120, 0.490, 0.310], [None; 3]),                          // not the same ring
    ] {
        assert_eq!(
            suspect_swapped(&assembled(clearances, widths)),
            None,
            "{clearances:?}"
        );
    }
}

#[test]
fn wrong_inputs_are_named_with_their_place() {
    let change = |f: &dyn Fn(&mut StackPair)| {
        let mut pairs = worn_set();
        f(&mut pairs[1]);
        stack(&pairs, millimetres(0.01))
            .unwrap_err()
            .input()
            .to_owned()
    };
    assert_eq!(
        change(&|pair| pair.spacer = millimetres(0.0)),
        "pairs[1].spacer"
    );
    assert_eq!(
        change(&|pair| pair.min_spacer = millimetres(f64::NAN)),
        "pairs[1].min_spacer"
    );
    assert_eq!(
        change(&|pair| pair.target_min = millimetres(1.0)),
        "pairs[1].target_min"
    );
    assert_eq!(
        change(&|pair| pair.reading = PairReading::Gaps(vec![])),
        "pairs[1].gaps"
    );
    let bad_gap = PairReading::Gaps(vec![millimetres(1.0), millimetres(-1.0)]);
    assert_eq!(
        change(&|pair| pair.reading = bad_gap.clone()),
        "pairs[1].gaps[1]"
    );
    assert_eq!(
        change(&|pair| pair.reading = PairReading::Clearance(millimetres(1e300))),
        "pairs[1].clearance"
    );
    assert_eq!(stack(&[], millimetres(0.01)).unwrap_err().input(), "pairs");
    for step in [0.0, -0.01, 1e-8, f64::INFINITY] {
        assert_eq!(
            stack(&worn_set(), millimetres(step)).unwrap_err().input(),
            "step",
            "{step}"
        );
    }
}

proptest! {
    #[test]
    fn a_pass_is_inside_the_target_and_the_widths_add_up(
        spacer in 20_000_000_i64..40_000_000, clearance in -500_000_i64..2_000_000,
        target_min in 0_i64..600_000, tolerance in 0_i64..100_000, step in 1_i64..60_000, min in 15_000_000_i64..39_000_000,
    ) {
        let pair = StackPair {
            spacer: nanometres(spacer),
            reading: PairReading::Clearance(nanometres(clearance)),
            target_min: nanometres(target_min),
            target_max: nanometres(target_min + tolerance),
            min_spacer: nanometres(min),
            ring: StackRing::Inner,
        };
        let plan = stack(&[pair], nanometres(step)).unwrap();
        let result = plan.pairs[0];
        prop_assert_eq!(plan.outer_change.map(to_nanometres), Some(0));
        prop_assert_eq!(result.verdict == Verdict::Pass, result.refusal.is_none());
        if let (Some(grind), Some(width), Some(new)) = (result.grind, result.new_spacer, result.new_clearance) {
            let (grind, width, new) = (to_nanometres(grind), to_nanometres(width), to_nanometres(new));
            prop_assert!((target_min..=target_min + tolerance).contains(&new));
            prop_assert!(grind >= 0 && grind % step == 0);
            prop_assert_eq!(width, spacer - grind);
            prop_assert_eq!(new, clearance - grind);
            prop_assert!(grind == 0 || width >= min);
            prop_assert_eq!(plan.inner_change.map(to_nanometres), Some(-grind));
        } else {
            prop_assert_eq!(plan.inner_change, None);
        }
    }

    #[test]
    fn the_mean_gap_is_the_mean_to_half_a_nanometre(gaps in prop::collection::vec(1_i64..50_000_000, 1..9)) {
        let lengths: Vec<Length> = gaps.iter().map(|&gap| nanometres(gap)).collect();
        let exact = gaps.iter().sum::<i64>() as f64 / gaps.len() as f64;
        prop_assert_eq!(to_nanometres(mean_gap(&lengths).unwrap()), exact.round() as i64);
        prop_assert!(as_millimetres(gap_spread(&lengths).unwrap()) >= 0.0);
    }
}
