//! Checks of zones, arcs and the choice of the next zone.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::quantity::hours;

#[derive(serde::Deserialize)]
struct Practice {
    load_zones: LoadZones,
}

#[derive(serde::Deserialize)]
struct LoadZones {
    zones: usize,
    turn_degrees: f64,
    sequence: Vec<String>,
}

#[test]
fn zones_and_turn_match_rollneck_practice_toml() {
    let text = include_str!("../../../../shared/reference/rollneck_practice.toml");
    let practice: Practice = toml::from_str(text).unwrap();
    assert_eq!(practice.load_zones.zones, Zone::ALL.len());
    for (zone, name) in Zone::ALL.into_iter().zip(&practice.load_zones.sequence) {
        assert_eq!(name.parse::<Zone>().unwrap(), zone);
        assert_eq!(serde_json::to_value(zone).unwrap(), name.as_str());
        let turned = (zone.next().centre_tenths() - zone.centre_tenths()).rem_euclid(3_600);
        assert_eq!(turned as f64 / 10.0, practice.load_zones.turn_degrees);
    }
    assert_eq!(
        "V".parse::<Zone>().unwrap_err(),
        "'V' is not a load zone; one of I, II, III, IV"
    );
}

#[test]
fn zone_arcs_are_quarters_and_loaded_arcs_overlap_their_neighbours() {
    let ends = |arc: Arc| (arc.from_tenths(), arc.to_tenths());
    let quarters = [(3_150, 450), (450, 1_350), (1_350, 2_250), (2_250, 3_150)];
    assert_eq!(Zone::ALL.map(|zone| ends(zone.arc())), quarters);
    let loaded = |zone| ends(loaded_arc(zone, DEFAULT_ARC_TENTHS).unwrap());
    assert_eq!(loaded(Zone::IV), (1_950, 3_450));
    assert_eq!(loaded(Zone::I), (2_850, 750));
    assert_eq!(ends(loaded_arc(Zone::III, 3_600).unwrap()), (0, 3_600));
    for width in [0, -10, 3_601] {
        assert_eq!(
            loaded_arc(Zone::I, width).unwrap_err().input(),
            "loaded_arc"
        );
    }
}

#[test]
fn arcs_overlap_round_the_zone_line_and_where_they_touch() {
    for (a, b, expected) in [
        ((195.0, 345.0), (175.0, 230.0), true),
        ((195.0, 345.0), (340.0, 20.0), true),
        ((195.0, 345.0), (346.0, 194.0), false),
        ((195.0, 345.0), (345.0, 10.0), true),
        ((285.0, 75.0), (300.0, 60.0), true),
        ((285.0, 75.0), (75.1, 284.9), false),
        ((0.0, 360.0), (120.0, 120.0), true),
        ((350.0, 40.0), (0.0, 0.0), true),
        ((350.0, 40.0), (360.0, 360.0), true),
        ((10.0, 20.0), (15.0, 12.0), true),
    ] {
        let arc = |(from, to): (f64, f64)| Arc::degrees(from, to).unwrap();
        assert_eq!(arc(a).overlaps(&arc(b)), expected, "{a:?} {b:?}");
        assert_eq!(arc(b).overlaps(&arc(a)), expected, "{b:?} {a:?}");
    }
    for (from, to) in [(-1.0, 10.0), (0.0, 360.1), (f64::NAN, 1.0)] {
        assert!(Arc::degrees(from, to).is_err());
    }
}

#[test]
fn least_hours_decide_as_in_the_life_of_one_bearing() {
    // Demo plant (invented): hours of each stay and the zone turned up afterwards.
    let mut in_load = [0.0; 4];
    let mut up = Zone::I;
    for (stay, next) in [
        (1_015.0, Zone::II),
        (990.0, Zone::III),
        (1_020.0, Zone::IV),
        (1_005.0, Zone::II),
        (980.0, Zone::IV),
    ] {
        in_load[up.index()] += stay;
        let chosen = choose(&in_load.map(hours), DEFAULT_ARC_TENTHS, &[]).unwrap();
        assert_eq!(chosen, Some(next));
        up = next;
    }
    assert_eq!(in_load, [1_015.0, 1_970.0, 1_020.0, 1_005.0]);
}

#[test]
fn an_etched_patch_keeps_every_zone_out_whose_loaded_arc_reaches_it() {
    // Demo plant (invented): etched lines at 175 to 230 degrees in zone III; zone IV loads 195 to 345.
    let patch = [Arc::degrees(175.0, 230.0).unwrap()];
    let options = options(
        &[1_005.0, 995.0, 1_020.0, 0.0].map(hours),
        DEFAULT_ARC_TENTHS,
        &patch,
    )
    .unwrap();
    let obstructed: Vec<bool> = options
        .iter()
        .map(|option| !option.obstructed_by.is_empty())
        .collect();
    assert_eq!(obstructed, [false, false, true, true]);
    let chosen = choose(
        &[1_005.0, 995.0, 1_020.0, 0.0].map(hours),
        DEFAULT_ARC_TENTHS,
        &patch,
    )
    .unwrap();
    assert_eq!(chosen, Some(Zone::II));
}

#[test]
fn no_clear_zone_leaves_the_choice_to_the_engineer() {
    let findings = [
        Arc::degrees(80.0, 100.0).unwrap(),
        Arc::degrees(260.0, 280.0).unwrap(),
    ];
    let blocked: Vec<Arc> = findings
        .into_iter()
        .chain([Arc::degrees(0.0, 5.0).unwrap()])
        .collect();
    let none = [hours(0.0); 4];
    assert_eq!(
        choose(&none, DEFAULT_ARC_TENTHS, &blocked).unwrap(),
        Some(Zone::III)
    );
    let ring = [Arc::degrees(0.0, 360.0).unwrap()];
    assert_eq!(choose(&none, DEFAULT_ARC_TENTHS, &ring).unwrap(), None);
    assert_eq!(
        choose(&none, DEFAULT_ARC_TENTHS, &[]).unwrap(),
        Some(Zone::I),
        "ties in the order of the zones"
    );
    let negative = [hours(0.0), hours(-1.0), hours(0.0), hours(0.0)];
    assert_eq!(
        choose(&negative, DEFAULT_ARC_TENTHS, &[])
            .unwrap_err()
            .input(),
        "hours[1]"
    );
}

#[test]
fn the_described_method_chooses_and_says_why() {
    use serde_json::json;
    // Demo plant (invented): the etched patch as above.
    let example: serde_json::Value = serde_json::from_str(METHOD.example).unwrap();
    let worked = (METHOD.run)(&example).unwrap();
    assert_eq!(worked.output["zone"], "II");
    let zones = worked.output["zones"].as_array().unwrap();
    let findings: Vec<&serde_json::Value> = zones.iter().map(|zone| &zone["findings"]).collect();
    assert_eq!(findings, [&json!([]), &json!([]), &json!([1]), &json!([1])]);
    assert_eq!(
        (&zones[3]["from_deg"], &zones[3]["to_deg"]),
        (&json!(195.0), &json!(345.0))
    );
    let ring = json!({"hours": [0, 0, 0, 0], "findings": [{"from_deg": 0, "to_deg": 360}]});
    assert_eq!((METHOD.run)(&ring).unwrap().output["zone"], json!(null));
    for (input, key) in [
        (json!({"hours": [0, 0, 0]}), "hours"),
        (json!({"hours": [0, 0, 0, -1]}), "hours[3]"),
        (json!({"hours": [0, 0, 0, "0"]}), "hours[3]"),
        (
            json!({"hours": [0, 0, 0, 0], "loaded_arc_deg": 0}),
            "loaded_arc_deg",
        ),
        (
            json!({"hours": [0, 0, 0, 0], "findings": [{"from_deg": 0, "to_deg": 361}]}),
            "findings[0].to_deg",
        ),
    ] {
        assert_eq!((METHOD.run)(&input).unwrap_err().key, key);
    }
}

proptest! {
    #[test]
    fn overlap_agrees_with_walking_round_the_ring(
        a in (0_i64..3_600, 0_i64..3_600), b in (0_i64..3_600, 0_i64..3_600),
    ) {
        let holds = |(from, to): (i64, i64), at: i64| if from <= to { (from..=to).contains(&at) } else { at >= from || at <= to };
        let walked = (0..3_600).any(|at| holds(a, at) && holds(b, at));
        let arc = |(from, to)| Arc::tenths(from, to).unwrap();
        prop_assert_eq!(arc(a).overlaps(&arc(b)), walked);
    }

    #[test]
    fn the_chosen_zone_is_clear_and_none_clear_has_less(
        h in prop::array::uniform4(0.0..5_000.0_f64), from in 0_i64..3_600, width in 0_i64..2_000,
    ) {
        let finding = Arc::tenths(from, (from + width) % 3_600).unwrap();
        let options = options(&h.map(hours), DEFAULT_ARC_TENTHS, &[finding]).unwrap();
        match choose(&h.map(hours), DEFAULT_ARC_TENTHS, &[finding]).unwrap() {
            None => prop_assert!(options.iter().all(|option| !option.obstructed_by.is_empty())),
            Some(zone) => {
                prop_assert!(options[zone.index()].obstructed_by.is_empty());
                let clear = options.iter().filter(|option| option.obstructed_by.is_empty());
                prop_assert!(clear.into_iter().all(|option| as_hours(option.hours) >= as_hours(hours(h[zone.index()]))));
            }
        }
    }
}
