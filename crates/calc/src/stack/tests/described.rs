//! Checks of seating, swapped spacers and cover shims as described methods, and the laws they keep.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::method::Method;

/// The output of a described method as printed.
fn printed(method: &Method, input: &Value) -> String {
    (method.run)(input).unwrap().output.to_string()
}

#[test]
fn the_described_methods_say_what_the_functions_say() {
    // Seating: bench_four_row_trb.toml, case s3_regrind, mean gap 31.110, end play 0.630; spread by hand.
    let gaps = json!({"gaps_mm": [31.112, 31.106, 31.118, 31.104], "limit_mm": 0.014, "spacer_mm": 31.740});
    assert_eq!(
        printed(&SEATING, &gaps),
        r#"{"verdict":"pass","spread_mm":0.014,"mean_gap_mm":31.11,"largest_place":3,"smallest_place":4,"end_play_mm":0.63}"#
    );
    let tilted = json!({"gaps_mm": [31.112, 31.106, 31.118, 31.104], "limit_mm": 0.013_999});
    assert!(printed(&SEATING, &tilted).starts_with(r#"{"verdict":"fail""#));
    // Without a limit of the type the usual 0.05 mm stand: common practice, no source; spread by hand.
    for (largest, verdict) in [(31.156, "pass"), (31.156_001, "fail")] {
        let usual = json!({"gaps_mm": [31.106, 31.110, largest, 31.112]});
        assert_eq!((SEATING.run)(&usual).unwrap().output["verdict"], verdict);
    }
    // Swapped spacers and cover shims: demo plant (invented), worked by hand as above.
    let swapped: Value = serde_json::from_str(SWAPPED_SPACERS.example).unwrap();
    assert_eq!(
        printed(&SWAPPED_SPACERS, &swapped),
        r#"{"suspected":true,"tight_pair":1,"loose_pair":3,"tight_after_mm":0.305,"loose_after_mm":0.305}"#
    );
    let mut right = swapped.clone();
    right["pairs"][0]["clearance_mm"] = json!(0.3);
    assert_eq!(
        printed(&SWAPPED_SPACERS, &right),
        r#"{"suspected":false,"tight_pair":null,"loose_pair":null,"tight_after_mm":null,"loose_after_mm":null}"#
    );
    let mut cover: Value = serde_json::from_str(COVER_SHIM.example).unwrap();
    assert_eq!(
        printed(&COVER_SHIM, &cover),
        r#"{"new_shim_mm":0.536,"verdict":"pass","machine_cover_mm":0.0,"outer_stack_change_mm":-0.664,"inner_stack_change_mm":-0.278}"#
    );
    cover["place"] = json!("between_cover_and_ring");
    assert!(printed(&COVER_SHIM, &cover).starts_with(r#"{"new_shim_mm":1.864"#));
    cover["place"] = json!("under_flange");
    cover["old_shim_mm"] = json!(0.5);
    assert!(
        printed(&COVER_SHIM, &cover)
            .starts_with(r#"{"new_shim_mm":null,"verdict":"fail","machine_cover_mm":0.164"#)
    );
}

#[test]
fn the_described_methods_name_what_is_wrong() {
    let pair = json!({"clearance_mm": 0.3, "target_min_mm": 0.2, "target_max_mm": 0.4});
    let with = |key: &str, value: Value| {
        let mut pair = pair.clone();
        pair[key] = value;
        json!({"pairs": [pair.clone(), pair]})
    };
    let cover =
        |place: &str, spacers: Value| json!({"old_shim_mm": 1, "place": place, "spacers": spacers});
    for (method, input, key) in [
        (&SEATING, json!({"gaps_mm": [], "limit_mm": 1}), "gaps_mm"),
        (
            &SEATING,
            json!({"gaps_mm": [1, 0], "limit_mm": 1}),
            "gaps_mm[1]",
        ),
        (
            &SEATING,
            json!({"gaps_mm": [1], "limit_mm": -1}),
            "limit_mm",
        ),
        (&SWAPPED_SPACERS, json!({"pairs": [pair.clone()]}), "pairs"),
        (
            &SWAPPED_SPACERS,
            with("target_min_mm", json!(0.5)),
            "pairs[0].target_min_mm",
        ),
        (
            &SWAPPED_SPACERS,
            with("ring", json!("middle")),
            "pairs[0].ring",
        ),
        (
            &SWAPPED_SPACERS,
            with("spacer_mm", json!(0)),
            "pairs[0].spacer_mm",
        ),
        (&COVER_SHIM, cover("above", json!([])), "place"),
        (&COVER_SHIM, cover("under_flange", json!([])), "spacers"),
        (
            &COVER_SHIM,
            cover("under_flange", json!([{"before_mm": 1}])),
            "spacers[0].after_mm",
        ),
    ] {
        assert_eq!((method.run)(&input).unwrap_err().key, key, "{input}");
    }
}

/// A pair between outer rings, in nanometres, with the target 0.270 to 0.330 mm.
fn pair(spacer: i64, clearance: i64) -> AssembledPair {
    AssembledPair {
        ring: StackRing::Outer,
        spacer: Some(nanometres(spacer)),
        clearance: nanometres(clearance),
        target_min: nanometres(270_000),
        target_max: nanometres(330_000),
    }
}

proptest! {
    #[test]
    fn seating_asks_neither_for_the_order_nor_for_the_size_of_the_gaps(
        mut gaps in prop::collection::vec(20_000_000_i64..30_000_000, 2..9), by in 0_i64..5_000_000,
    ) {
        let spread = |gaps: &[i64]| {
            let lengths: Vec<Length> = gaps.iter().copied().map(nanometres).collect();
            to_nanometres(gap_spread(&lengths).unwrap())
        };
        let before = spread(&gaps);
        gaps.reverse();
        for gap in &mut gaps {
            *gap += by;
        }
        prop_assert_eq!(spread(&gaps), before);
        prop_assert!(is_seated(nanometres(before), nanometres(before)));
        prop_assert!(!is_seated(nanometres(before + 1), nanometres(before)));
    }

    #[test]
    fn spacers_swapped_in_a_right_set_are_found_and_nothing_after_they_are_changed_back(
        narrow in 20_000_000_i64..30_000_000, wider in 60_001_i64..2_000_000,
        clearances in (270_000_i64..=330_000, 270_000_i64..=330_000),
    ) {
        // The widths differ by more than the target is wide, so both pairs leave their target.
        let right = [pair(narrow, clearances.0), pair(narrow + wider, clearances.1)];
        prop_assert_eq!(suspect_swapped(&right), None);
        let swapped = [pair(narrow + wider, clearances.0 + wider), pair(narrow, clearances.1 - wider)];
        let found = suspect_swapped(&swapped).unwrap();
        prop_assert_eq!((found.small, found.large), (1, 0));
        let after = found.after.map(|(tight, loose)| (to_nanometres(tight), to_nanometres(loose)));
        prop_assert_eq!(after, Some((clearances.1, clearances.0)));
    }

    #[test]
    fn the_two_places_of_a_shim_mirror_each_other_and_what_is_missing_comes_off_the_cover(
        old in 0_i64..5_000_000, change in -5_000_000_i64..5_000_000,
    ) {
        let shim = |place| match cover_shim_after(nanometres(old), nanometres(change), place) {
            Ok(new) => to_nanometres(new),
            Err(CalcError::MachineCover { missing, .. }) => -to_nanometres(missing),
            Err(error) => panic!("{error}"),
        };
        let (under, between) = (shim(ShimPlace::UnderFlange), shim(ShimPlace::BetweenCoverAndRing));
        prop_assert_eq!(under, old + change);
        prop_assert_eq!(under + between, 2 * old);
    }

    #[test]
    fn a_stack_changes_by_what_its_spacers_change(
        spacers in prop::collection::vec((1_i64..40_000_000, 1_i64..40_000_000), 1..6),
    ) {
        let of = |from: usize| -> i64 {
            spacers.iter().skip(from).step_by(2).map(|(before, after)| after - before).sum()
        };
        let changes: Vec<SpacerChange> = spacers.iter().enumerate().map(|(index, &(before, after))| SpacerChange {
            ring: default_ring(index), before: nanometres(before), after: nanometres(after),
        }).collect();
        let change = stack_change(&changes);
        prop_assert_eq!((to_nanometres(change.outer), to_nanometres(change.inner)), (of(0), of(1)));
    }
}
