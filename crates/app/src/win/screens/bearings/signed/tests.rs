//! The page of a signed sheet, family by family: nothing of it is left out, and behind each badge stands what decided.

use std::collections::BTreeMap;

use egui_kittest::kittest::Queryable;
use store::payload::{Entry, Judgement, NotMeasured, Outcome, Reading};
use store::query::SheetDetail;
use store::sheet::GaugeFacts;
use store::sheet::field::radial::{RadialCell, Way, lines};
use store::sheet::field::{self, FieldKind, GAP_DEGREES, OTHER_PLACES, PAIRS, SeatName, halves};

use crate::win::screens::bearings::tests::{judgement, reading, sheet, signed};
use crate::win::screens::log::tests::{press, sees};

/// The grids of a family, and what is judged on its sheets, with the item.
struct Family {
    name: &'static str,
    rows: usize,
    grid: Vec<String>,
    judged: Vec<(&'static str, i64)>,
}

fn seats() -> (Vec<String>, Vec<(&'static str, i64)>) {
    let mut grid = field::planes_order(SeatName::Bore, 4);
    grid.extend(field::seat_order(SeatName::Neck));
    let judged = vec![
        ("bore_mean", 0),
        ("bore_ovality", 4),
        ("bore_taper", 0),
        ("neck_smallest", 0),
        ("neck_ovality", 2),
        ("chock_shoulder", 0),
        ("chock_cover_face", 0),
        ("chock_width", 0),
    ];
    (grid, judged)
}

fn radial(way: Way, rows: usize) -> Vec<String> {
    let cells = lines(way, rows).into_iter().flatten();
    cells.map(RadialCell::path).collect()
}

fn families() -> Vec<Family> {
    let (mut grid, mut judged) = seats();
    grid.extend(field::clearance_order());
    grid.extend(field::places_order());
    for pair in PAIRS {
        grid.push(field::after(pair));
        grid.extend(OTHER_PLACES.map(|degrees| field::after_at(pair, degrees)));
        grid.extend(GAP_DEGREES.map(|degrees| field::earlier_gap(pair, 2, degrees)));
    }
    judged.extend([
        ("clearance", 2),
        ("clearance_after", 3),
        ("spacer_parallel", 1),
    ]);
    let tapered = Family {
        name: "tapered",
        rows: 4,
        grid,
        judged,
    };
    let cylindrical = |name, way| {
        let (mut grid, mut judged) = seats();
        grid.extend(radial(way, 4));
        grid.extend(
            halves::ring_order()
                .into_iter()
                .filter(|path| is_number(path)),
        );
        judged.extend([("clearance", 0), ("clearance_row", 4), ("interference", 0)]);
        Family {
            name,
            rows: 4,
            grid,
            judged,
        }
    };
    let (mut grid, mut judged) = seats();
    grid.extend(radial(Way::Leaves, 2));
    judged.extend([
        ("clearance", 0),
        ("clearance_row", 1),
        ("taper_reduction", 2),
        ("taper_push_up", 0),
    ]);
    let spherical = Family {
        name: "spherical on a taper",
        rows: 2,
        grid,
        judged,
    };
    let thrust = Family {
        name: "thrust",
        rows: 1,
        grid: radial(Way::Axial, 1),
        judged: vec![("clearance", 0)],
    };
    vec![
        tapered,
        cylindrical("cylindrical, diameters", Way::Diameters),
        cylindrical("cylindrical, leaves", Way::Leaves),
        cylindrical("cylindrical, thin ring", Way::ThinRing),
        spherical,
        thrust,
    ]
}

fn is_number(path: &str) -> bool {
    matches!(field::kind(path), Some(FieldKind::Number(_)))
}

/// Fields that the page says in words of its own: what the sheet is about, and what was decided.
const SAID: [&str; 8] = [
    "identify.bearing",
    "identify.chock",
    "identify.position",
    "decision.choice",
    "decision.reason",
    "zone.choice",
    "reassemble.chock",
    "sign.fitter",
];

/// A sheet on which every field of the family is filled with a text of its own, and what the page has to show of each.
fn whole(family: &Family) -> (SheetDetail, Vec<String>) {
    let mut detail = sheet(14);
    detail.rows = family.rows;
    detail.fitter = "Fitter 3".into();
    let body = &mut detail.body;
    (body.readings, body.entries, body.verdicts) = (Vec::new(), Vec::new(), Vec::new());
    body.not_measured.clear();
    body.results.clear();
    let mut wanted = Vec::new();
    let plain = field::named(field::PLAIN)
        .chain(field::named(field::radial::PLAIN))
        .chain(field::named(halves::PLAIN));
    let plain = plain.map(|(_, named)| named.path.to_owned());
    let mut all: Vec<String> = family.grid.iter().cloned().chain(plain).collect();
    all.sort();
    all.dedup();
    for (number, path) in (10_001..).zip(&all) {
        let words = format!("w{number}");
        if let Some(what) = path.strip_prefix("skip.") {
            body.not_measured.push(NotMeasured {
                what: what.into(),
                reason: words.clone(),
            });
            wanted.push(words);
            continue;
        }
        let entry = |text: &str| Entry {
            path: path.clone(),
            text: text.into(),
        };
        match field::kind(path) {
            Some(FieldKind::Number(_)) => {
                let text = format!("7.{number}");
                body.readings.push(reading(path, &text, number * 1_000));
                wanted.push(text);
            }
            Some(FieldKind::Choice(list)) => {
                let (word, shown) = list.words()[0];
                body.entries.push(entry(word));
                wanted.extend((!SAID.contains(&path.as_str())).then(|| shown.to_owned()));
            }
            Some(FieldKind::Zone) => body.entries.push(entry("3")),
            Some(_) => {
                body.entries.push(entry(&words));
                wanted.extend((!SAID.contains(&path.as_str())).then_some(words));
            }
            None => panic!("{path} is no field"),
        }
    }
    for (number, (about, item)) in (8_101..).zip(&family.judged) {
        let value = number * 1_000;
        body.verdicts.push(judgement(
            about,
            *item,
            "pass",
            [value, 9_000_000, 4_000],
            999_000,
        ));
        let result = match *about {
            "clearance" => "end_play_nm",
            "clearance_after" => "end_play_after_nm",
            _ => "",
        };
        if !result.is_empty() {
            body.results.push(Outcome {
                name: result.into(),
                item: *item,
                value,
            });
        }
        // A deviation has its sign before it.
        wanted.push(format!("{}.{}", number / 1_000, number % 1_000));
    }
    (detail, wanted)
}

#[test]
fn every_reading_entry_reason_and_verdict_of_each_family_is_on_its_page() {
    for family in families() {
        let (detail, wanted) = whole(&family);
        let count = detail.body.verdicts.len();
        let (readings, name) = (detail.body.readings.len(), family.name);
        assert!(readings > 30 && wanted.len() > 100, "{name}: {readings}");
        let h = signed(detail);
        let missing: Vec<&String> = wanted.iter().filter(|words| !sees(&h, words)).collect();
        assert!(missing.is_empty(), "{name} leaves out {missing:?}");
        // The badge of the whole sheet is one more.
        let badges = h.query_all_by_label_contains("why?").count();
        assert_eq!(badges, count + 1, "{name}");
    }
}

fn gauge(code: &str, measures: &str, u: i64) -> (String, GaugeFacts) {
    let facts = GaugeFacts {
        no: store::ThingNo(900),
        code: code.into(),
        kind: "setting gauge".into(),
        measures: measures.into(),
        span: String::new(),
        expanded_uncertainty_nm: Some(u),
        certificate: "C-17".into(),
        due_ms: 1_900_000_000_000,
        is_overdue: false,
        doubt: String::new(),
    };
    (code.into(), facts)
}

fn entry(path: &str, text: &str) -> Entry {
    Entry {
        path: path.into(),
        text: text.into(),
    }
}

/// Four rows read with feeler leaves, of which the second fails while their mean passes.
fn a_row_fails() -> SheetDetail {
    let mut detail = sheet(14);
    let body = &mut detail.body;
    let read = |(row, um): (usize, i64)| -> [Reading; 2] {
        let text = format!("0.{um}");
        [
            reading(&format!("radial.passes.{row}.0"), &text, um * 1_000),
            reading(&format!("radial.refused.{row}.0"), &text, um * 1_000),
        ]
    };
    let rows: [i64; 4] = [210, 330, 220, 225];
    body.readings = (1..).zip(rows).flat_map(read).collect();
    body.entries = vec![
        entry("radial.method", "feeler"),
        entry("radial.gauge", "FL-02"),
    ];
    let row = |(item, um): (i64, i64)| {
        let (verdict, ppm) = if um > 300 {
            ("fail", 120)
        } else {
            ("pass", 999_000)
        };
        judgement(
            "clearance_row",
            item,
            verdict,
            [um * 1_000, 300_000, 10_000],
            ppm,
        )
    };
    let mean = judgement("clearance", 0, "fail", [246_000, 300_000, 10_000], 999_999);
    body.verdicts = [mean].into_iter().chain((1..).zip(rows).map(row)).collect();
    let result = |(item, um): (i64, i64)| Outcome {
        name: "row_clearance_nm".into(),
        item,
        value: um * 1_000,
    };
    body.results = (1..).zip(rows).map(result).collect();
    body.results.push(Outcome {
        name: "clearance_nm".into(),
        item: 1,
        value: 246_000,
    });
    detail.gauges = BTreeMap::from([gauge("FL-02", "gap", 10_000)]);
    detail
}

#[test]
fn the_row_that_decides_is_named_with_its_value_its_chance_and_its_gauge() {
    let mut h = signed(a_row_fails());
    press(&mut h, "Clearance, decided by row 2: fail; why?");
    for words in [
        "Why: Clearance, decided by row 2",
        "0.330 mm",
        "below 0.300 mm",
        "0.030 beyond",
        "under 0.01",
        "row 1 0.210, row 2 0.330, row 3 0.220, row 4 0.225, mean 0.246 mm",
        "FL-02, setting gauge",
        "U 0.010 mm at k = 2, in calibration until 2030-03-17, C-17",
        "Gauge for the clearance: FL-02, setting gauge, U 0.010 mm at k = 2",
        "Mean of the rows: 0.246 mm",
    ] {
        assert!(sees(&h, words), "{words}");
    }
    h.key_press(egui::Key::Escape);
    h.run_steps(3);
    press(&mut h, "Clearance, row 3: pass; why?");
    for words in [
        "Why: Clearance, row 3",
        "0.220  0.220 mm as typed",
        "over 0.99",
    ] {
        assert!(sees(&h, words), "{words}");
    }
}

#[test]
fn the_badge_of_the_sheet_leads_to_its_worst_verdict() {
    let mut h = signed(a_row_fails());
    press(&mut h, "The sheet: fail; why?");
    assert!(sees(&h, "Why: Clearance, decided by row 2"));
}

#[test]
fn behind_the_end_play_before_and_after_grinding_stand_both_gauges_and_what_it_came_from() {
    let mut detail = sheet(14);
    let gap = |pair| GAP_DEGREES.map(|at| reading(&field::gap(pair, at), "23.372", 23_372_000));
    let mut readings: Vec<Reading> = gap(1).into();
    readings.push(reading("clearance.spacer.1", "24.012", 24_012_000));
    readings.push(reading("after.1", "23.772", 23_772_000));
    detail.body.readings = readings;
    detail.body.entries = vec![
        entry("clearance.gauge_gap", "GB-01"),
        entry("clearance.gauge_width", "MM-04"),
    ];
    let after = judgement(
        "clearance_after",
        1,
        "pass",
        [400_000, 450_000, 15_000],
        999_000,
    );
    let found = detail.body.verdicts[0].clone();
    detail.body.verdicts = vec![found, after];
    detail.gauges = BTreeMap::from([
        gauge("GB-01", "gap", 10_000),
        gauge("MM-04", "width", 4_000),
    ]);
    let mut h = signed(detail);
    for (badge, from) in [
        (
            "End play, rows 1\u{2013}2: fail; why?",
            "spacer 24.012 less mean gap 23.372",
        ),
        (
            "End play after grinding, rows 1\u{2013}2: pass; why?",
            "spacer ground to 23.772 less mean gap 23.372",
        ),
    ] {
        press(&mut h, badge);
        for words in [
            from,
            "GB-01, setting gauge",
            "MM-04, setting gauge",
            "U 0.004 mm at k = 2, in calibration until 2030-03-17, C-17",
        ] {
            assert!(sees(&h, words), "{badge}: {words}");
        }
        h.key_press(egui::Key::Escape);
        h.run_steps(3);
    }
}

#[test]
fn a_verdict_that_is_signed_without_u_says_so() {
    let mut detail = a_row_fails();
    let none = |v: &Judgement| Judgement {
        expanded_uncertainty_nm: None,
        probability_ppm: None,
        ..v.clone()
    };
    detail.body.verdicts = detail.body.verdicts.iter().map(none).collect();
    let mut h = signed(detail);
    press(&mut h, "Clearance, row 1: pass; why?");
    assert!(sees(&h, "not known"));
    assert!(!sees(&h, "that the true value conforms"));
}
