//! Models of drawings from plain models of the store.

use std::collections::BTreeMap;

use store::entry::{LengthUnit, Show};
use store::query::{BearingLine, BearingPage, BearingState, GrowthPoint, PairNow, Turn};
use store::sheet::TypeFacts;
use store::sheet::field::SeatName;
use store::{Stamp, ThingNo};

use super::*;

/// The type of the invented demo plant.
fn bearing_type() -> TypeFacts {
    let values = [
        ("bore_nm", 480_000_000),
        ("outside_nm", 620_000_000),
        ("width_nm", 336_000_000),
        ("spacer_nm", 24_000_000),
        ("loaded_arc_ddeg", 1500),
        ("chock_bore_lower_nm", 0),
        ("chock_bore_upper_nm", 70_000),
        ("chock_bore_mean_max_nm", 120_000),
        ("neck_min_nm", 479_700_000),
        ("neck_max_nm", 479_760_000),
        ("neck_rework_nm", 479_660_000),
    ];
    let values = values
        .into_iter()
        .map(|(name, value)| ((name.to_owned(), 0), value))
        .collect::<BTreeMap<_, _>>();
    TypeFacts {
        code: "N4T-480/620-336".into(),
        kind: "four_row_tapered".into(),
        values,
        ..TypeFacts::default()
    }
}

fn page() -> BearingPage {
    let at = Stamp::parse("2026-07-07", 60).unwrap();
    let point = |hours: i64, value_nm, segment, is_setting| GrowthPoint {
        event: 7 + hours,
        at,
        run_s: hours * 3600,
        rolled_kg: hours * 300_000,
        pair: 1,
        value_nm,
        expanded_uncertainty_nm: Some(15_000),
        segment,
        is_setting,
        is_baseline: is_setting && segment == 0,
    };
    BearingPage {
        halves: None,
        life: store::query::LifeUsed::default(),
        moved: Vec::new(),
        exposure: store::query::Exposures::default(),
        documents: Vec::new(),
        findings: Vec::new(),
        line: BearingLine {
            no: ThingNo(1),
            serial: "TH-4T-031".into(),
            type_code: "N4T-480/620-336".into(),
            kind: "four_row_tapered".into(),
            state: BearingState::InChock,
            chock: None,
            place: String::new(),
            zone: 4,
            total_run_s: 5_400 * 3600,
            stay_run_s: 390 * 3600,
            interval_run_s: None,
            extended_ms: None,
            last_sheet: Some(at),
            clearance_nm: [None; 3],
            verdict: "pass".into(),
            held: None,
        },
        bearing_type: bearing_type(),
        revision: 1,
        zone_run_s: [1_015 * 3600, 1_970 * 3600, 1_020 * 3600, 1_005 * 3600],
        growth: vec![
            point(0, 300_000, 0, true),
            point(4_030, 575_000, 0, false),
            point(5_010, 640_000, 0, false),
            point(5_010, 302_000, 1, true),
        ],
        turns: [(0, 1), (1_015, 2)]
            .map(|(hours, zone)| Turn {
                at,
                run_s: hours * 3600,
                rolled_kg: hours * 300_000,
                zone,
            })
            .into(),
        zone_rolled_kg: [304_500_000, 591_000_000, 306_000_000, 301_500_000],
        total_rolled_kg: 1_503_000_000,
        first_in: Some(at),
        findings_before: Vec::new(),
        pairs: [600_000, 600_000, 560_000].map(|limit| PairNow {
            limit_nm: Some(limit),
            watch_nm: Some(450_000),
            ..PairNow::default()
        }),
        journal: Vec::new(),
        sheets: Vec::new(),
    }
}

#[test]
fn growth_begins_a_new_stretch_where_the_clearance_was_set_anew() {
    let growth = growth(&page(), Show::default());
    let segments = &growth.series[0].segments;
    assert_eq!(segments.len(), 2);
    assert_eq!(segments[0].readings.len(), 2);
    assert_eq!(
        segments[0].set.as_ref().map(|r| r.u),
        Some(0.0),
        "a setting is no reading"
    );
    assert_eq!(segments[0].readings[1].u, 0.015);
    assert_eq!(segments[1].set.as_ref().map(|r| r.at.y), Some(0.302));
    assert_eq!(growth.regrinds.len(), 1);
    assert_eq!(growth.regrinds[0].hit.as_ref().map(|h| h.key), Some(5_017));
    assert_eq!(growth.now.as_ref().map(|(x, _)| *x), Some(5_400.0));
    let labels: Vec<&str> = growth.levels.iter().map(|l| l.label.as_str()).collect();
    assert_eq!(
        labels,
        [
            "0.560 rework 3\u{2013}4",
            "0.600 rework 1\u{2013}2, 2\u{2013}3",
            "0.450 watch"
        ]
    );
}

#[test]
fn drawings_speak_the_unit_and_language_of_the_logbook() {
    let show = Show {
        unit: LengthUnit::Inch,
        comma: true,
        ..Show::default()
    };
    let growth = growth(&page(), show);
    assert_eq!(growth.y_label, "end play, in");
    assert!((growth.series[0].segments[0].readings[1].at.y - 0.640 / 25.4).abs() < 1e-12);
    assert_eq!(growth.levels[2].label, "0,01772 watch");
}

#[test]
fn the_loaded_arc_of_zone_iv_reaches_into_its_neighbours() {
    let map = ring_map(&page(), Show::default());
    let arc = map.loaded.unwrap();
    assert_eq!((arc.from_deg, arc.to_deg), (195.0, 345.0));
    assert_eq!(arc.label, "loaded arc 195\u{b0}\u{2013}345\u{b0}");
    assert_eq!(map.hours.unwrap()[1].text, "1,970");
    assert_eq!(map.zone_up, Some(3));
}

#[test]
fn limits_of_bore_and_neck_are_deviations_from_their_nominal() {
    let t = bearing_type();
    let of = |seat, sizes_nm| SeatSizes {
        seat,
        sizes_nm,
        bearing_type: &t,
        title: "seat".into(),
    };
    let bore = bore_map(
        &of(SeatName::Bore, SeatSizes::grid(&[620_062_000; 12])),
        Show::default(),
    );
    assert_eq!(bore.planes.len(), 3);
    assert_eq!(bore.tolerance.unwrap().label, "0.000 to +0.070");
    assert_eq!(bore.limits[0].label, "+0.120, mean");
    assert_eq!(bore.notes[0], "nominal 620");
    let mut one = vec![[None; 4]; 3];
    one[1][2] = Some(479_704_000);
    let neck = bore_map(&of(SeatName::Neck, one), Show::default());
    assert_eq!(neck.planes.len(), 1);
    assert!((neck.planes[0].deviations_mm[2].unwrap() + 0.296).abs() < 1e-9);
    assert_eq!(neck.planes[0].hits[2].as_ref().map(|h| h.key), Some(6));
    assert_eq!(neck.limits[0].label, "\u{2212}0.340, rework");
    assert!(SeatSizes::grid(&[1, 2]).is_empty());
    assert_eq!(SeatSizes::grid(&[1; 16]), [[Some(1); 4]; 4]);
}

#[test]
fn a_gap_says_from_how_many_places_it_comes() {
    let gap = |mean_nm, places| GapState { mean_nm, places };
    let gaps = [
        gap(Some(23_372_000), 4),
        gap(Some(29_421_000), 2),
        gap(None, 0),
    ];
    let map = stack_of(gaps, &bearing_type(), None, Show::default());
    assert_eq!(map.pairs[0].value, "23.372");
    assert_eq!(map.pairs[0].note, "");
    assert_eq!(map.pairs[1].note, "from 2 of 4 places");
    assert_eq!(
        (map.pairs[2].value.as_str(), map.pairs[2].is_read),
        ("not read", false)
    );
    assert!(
        stack_of(gaps, &TypeFacts::default(), None, Show::default())
            .scene(400.0)
            .height
            > 0.0
    );
}
