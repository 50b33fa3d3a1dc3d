//! Checks of the residual clearance against every row of the table, against Lamé in `press_fit`, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::{
    fit::fit,
    iso286::{Deviations, tolerance},
    press_fit::{Material, PressFit, press_fit},
    quantity::{kelvins, megapascals, millimetres, per_kelvin},
    test_table::{answer, assert_refused, rows},
};

const TABLE: &str = include_str!("../../../../shared/reference/clearance_reduction.csv");

fn mounting(clearance: f64, bore: f64, outside: f64, inner_um: f64, outer_um: f64) -> Mounting {
    Mounting {
        clearance: micrometres(clearance),
        bore: millimetres(bore),
        outside: millimetres(outside),
        inner_raceway: None,
        outer_raceway: None,
        shaft_bore: millimetres(0.0),
        housing_outside: None,
        interference_inner: micrometres(inner_um),
        interference_outer: micrometres(outer_um),
        inner_warmer: kelvins(0.0),
        expansion: per_kelvin(STEEL_PER_K),
    }
}

fn rules() -> toml::Table {
    toml::from_str(include_str!(
        "../../../../shared/reference/interference_rules.toml"
    ))
    .unwrap()
}

#[test]
fn every_row_of_clearance_reduction_csv_is_reproduced() {
    let table = rows(TABLE);
    assert_eq!(table.len(), 5, "rows lost while reading");
    let rules = rules();
    let ntn_range = rules["rules_of_thumb"]["ntn_reduction_range"]
        .as_array()
        .unwrap();
    let ntn_max = ntn_range[1].as_float().unwrap();
    let mut above_ntn = Vec::new();
    for row in &table {
        let length = |column: &str| millimetres(row.number(column));
        let (bore, raceway) = (length("d"), length("F"));
        let inner = inner_share(bore, raceway, length("shaft_bore")).unwrap();
        row.assert_printed("lambda_i", inner);
        let housing = row.optional("housing_od").map(millimetres);
        let outer = outer_share(length("D"), length("E"), housing).unwrap();
        row.assert_printed("lambda_o", outer);
        // The least clearance with the most interference, and the other way round.
        for (clearance, end, residual) in [
            ("clear_min", "max", "residual_min"),
            ("clear_max", "min", "residual_max"),
        ] {
            let got = clearance_loss(&Mounting {
                inner_raceway: Some(raceway),
                outer_raceway: Some(length("E")),
                shaft_bore: length("shaft_bore"),
                housing_outside: housing,
                ..mounting(
                    row.number(clearance),
                    row.number("d"),
                    row.number("D"),
                    row.number(&format!("interf_i_{end}")),
                    row.number(&format!("interf_o_{end}")),
                )
            })
            .unwrap();
            row.assert_printed(residual, as_micrometres(got.clearance));
        }
        // Rule of thumb against formula: every one of these rings passes on more than 80 %.
        assert!(inner > INNER_RULE, "{}", row.text("name"));
        if inner > ntn_max {
            above_ntn.push(row.text("name"));
        }
        // The estimated raceway is the smaller one, so the loss is on the safe side, up to 5 % more.
        let estimate = estimated_inner_raceway(bore, length("D"), INNER_HEIGHT_SHARE).unwrap();
        let estimated = inner_share(bore, estimate, length("shaft_bore")).unwrap();
        assert!(
            (1.0..1.05).contains(&(estimated / inner)),
            "{}",
            row.text("name")
        );
    }
    assert_eq!(
        above_ntn,
        ["crb_500_r6_C4", "crb_760_r6_C4"],
        "above 70 to 90 %"
    );
}

#[test]
fn rules_of_thumb_and_the_hollow_shaft_are_those_of_the_table() {
    let rules = rules();
    let rule = |name: &str| rules["rules_of_thumb"][name].as_float().unwrap();
    assert_eq!(INNER_RULE, rule("timken_inner_reduction"));
    assert_eq!(OUTER_RULE, rule("timken_outer_reduction"));
    // SKF 17000/1 EN, p. 146: d 40, D 80, ball bearing, k = 0.3 gives 0.77.
    let raceway = estimated_inner_raceway(millimetres(40.0), millimetres(80.0), 0.3).unwrap();
    let share = inner_share(millimetres(40.0), raceway, millimetres(0.0)).unwrap();
    let printed = rules["skf_hollow_shaft"]["ce"].as_float().unwrap();
    assert!((share - printed).abs() <= 0.005, "{share}");
}

#[test]
fn the_spherical_bearing_of_the_manual_comes_back() {
    // Timken Engineering Manual, p. 89 to 90: 22230, p6 on the shaft, H8 in the housing, 80 %.
    let rules = rules();
    let example = &rules["timken_example_2"];
    let range = |key: &str| -> Vec<f64> {
        let values = example[key].as_array().unwrap();
        values
            .iter()
            .map(|value| value.as_float().unwrap() * 1_000.0)
            .collect()
    };
    let of = |nominal: f64, key: &str| Deviations {
        lower: micrometres(range(key)[0] - nominal * 1_000.0),
        upper: micrometres(range(key)[1] - nominal * 1_000.0),
    };
    let close =
        |got: Length, um: f64, tolerance: f64| (as_micrometres(got) - um).abs() <= tolerance;
    let shaft = tolerance(millimetres(150.0), "p6").unwrap();
    let printed = of(150.0, "shaft_p6_mm");
    assert!(close(shaft.lower, as_micrometres(printed.lower), 1e-6));
    assert!(close(shaft.upper, as_micrometres(printed.upper), 1e-6));
    let seat = fit(&of(150.0, "bore_mm"), &shaft).unwrap();
    let tight = range("shaft_fit_tight_mm");
    assert!(
        close(-seat.clearance_max, tight[0], 1e-6) && close(-seat.clearance_min, tight[1], 1e-6)
    );
    let housing = tolerance(millimetres(270.0), "H8").unwrap();
    let chock = fit(&housing, &of(270.0, "od_mm")).unwrap();
    let loose = range("housing_fit_loose_mm");
    assert!(
        close(chock.clearance_min, loose[0], 1e-6) && close(chock.clearance_max, loose[1], 1e-6)
    );
    // The rule of thumb as printed, to half a micrometre; the formula takes a little more.
    let reduction = range("reduction_at_80_percent_mm");
    for (interference, printed) in tight.iter().zip(&reduction) {
        assert!((INNER_RULE * interference - printed).abs() <= 0.5);
        let raceway = estimated_inner_raceway(millimetres(150.0), millimetres(270.0), 0.3).unwrap();
        let share = inner_share(millimetres(150.0), raceway, millimetres(0.0)).unwrap();
        assert!((share - INNER_RULE).abs() <= 0.01, "{share}");
    }
}

#[test]
fn warmth_takes_what_thermal_expansion_toml_says() {
    let text = include_str!("../../../../shared/reference/thermal_expansion.toml");
    let table: toml::Table = toml::from_str(text).unwrap();
    let cases = table["case"].as_array().unwrap();
    let case = cases
        .iter()
        .find(|case| case["id"].as_str() == Some("schaeffler_clearance"));
    let of = |key: &str| case.unwrap()[key].as_float().unwrap();
    assert_eq!(
        STEEL_PER_K,
        table["alpha_1_per_K"]["steel_schaeffler"]
            .as_float()
            .unwrap()
    );
    let got = clearance_loss(&Mounting {
        inner_warmer: kelvins(of("dT")),
        ..mounting(200.0, of("d"), of("D"), 0.0, 0.0)
    })
    .unwrap();
    let loss = as_micrometres(got.loss_temperature);
    assert!((loss - of("ds_T_um")).abs() <= 0.000_5, "{loss}");
    assert!((as_micrometres(got.clearance) - (200.0 - loss)).abs() < 1e-9);
    // The other published rule, 12.5e-6 x outer raceway: 390 mm here, 23 % more.
    let other = 12.5e-6 * 390_000.0 * of("dT");
    assert!((other / loss - 1.23).abs() < 0.005, "{other}");
}

#[test]
fn wrong_inputs_are_named() {
    let good = mounting(200.0, 300.0, 420.0, 100.0, 0.0);
    let wrong = |change: fn(&mut Mounting)| {
        let mut input = good;
        change(&mut input);
        clearance_loss(&input).unwrap_err().input().to_owned()
    };
    assert_eq!(wrong(|m| m.clearance = micrometres(f64::NAN)), "clearance");
    assert_eq!(wrong(|m| m.outside = m.bore), "outside");
    assert_eq!(
        wrong(|m| m.interference_outer = micrometres(1.0)),
        "outer_raceway"
    );
    assert_eq!(
        wrong(|m| m.inner_raceway = Some(millimetres(300.0))),
        "inner_raceway"
    );
    assert_eq!(
        wrong(|m| m.inner_raceway = Some(millimetres(420.0))),
        "inner_raceway"
    );
    assert_eq!(
        wrong(|m| m.outer_raceway = Some(millimetres(420.0))),
        "outer_raceway"
    );
    assert_eq!(
        wrong(|m| m.outer_raceway = Some(millimetres(299.0))),
        "outer_raceway"
    );
    assert_eq!(wrong(|m| m.shaft_bore = millimetres(300.0)), "shaft_bore");
    assert_eq!(wrong(|m| m.inner_warmer = kelvins(500.0)), "inner_warmer");
    assert_eq!(wrong(|m| m.expansion = per_kelvin(11.0)), "expansion");
    let housing = |m: &mut Mounting| {
        m.outer_raceway = Some(millimetres(390.0));
        m.housing_outside = Some(millimetres(420.0));
    };
    assert_eq!(wrong(housing), "housing_outside");
}

#[test]
fn the_method_answers_and_names_what_it_refuses() {
    // clearance_reduction.csv, crb_300_p6_C3: the tightest, without the raceway of the loose outer ring.
    let input = json!({
        "clearance_um": 200, "bore_mm": 300, "outside_mm": 420, "inner_raceway_mm": 338,
        "interference_inner_um": 123, "interference_outer_um": 0
    });
    let got = answer("clearance_loss", &input).unwrap();
    assert!(
        (got["residual_um"].as_f64().unwrap() - 90.828).abs() <= 0.000_5,
        "{got}"
    );
    assert_refused(
        "clearance_loss",
        &[
            ("bore_mm", json!(1_030), "outside_mm"),
            ("inner_raceway_mm", json!(760), "inner_raceway_mm"),
            ("interference_outer_um", json!(1), "outer_raceway_mm"),
            ("shaft_bore_mm", json!(760), "shaft_bore_mm"),
            ("inner_warmer_k", json!(201), "inner_warmer_k"),
            ("expansion_per_k", json!(11), "expansion_per_k"),
        ],
    );
}

proptest! {
    #[test]
    fn shares_are_what_lame_gives_for_steel_on_steel(
        bore in 50.0..900.0_f64, wall in 1.02..1.5_f64, hollow in 0.0..0.8_f64, interference in 1.0..400.0_f64,
    ) {
        let steel = Material { young: megapascals(208_000.0), poisson: 0.3 };
        let (raceway, shaft_bore) = (millimetres(bore * wall), millimetres(bore * hollow));
        let pressed = |shaft, shaft_bore, ring_outer| press_fit(&PressFit {
            shaft, shaft_bore, ring_outer, interference: micrometres(interference),
            shaft_material: steel, ring_material: steel,
        }).unwrap();
        let inner = inner_share(millimetres(bore), raceway, shaft_bore).unwrap();
        let grown = as_micrometres(pressed(millimetres(bore), shaft_bore, raceway).ring_outer_growth);
        prop_assert!((inner * interference - grown).abs() <= 1e-9 * interference);
        // The outer ring is the "shaft" in the ring of its housing; its raceway is the bore that shrinks.
        let (outside, housing) = (millimetres(bore * wall), millimetres(bore * wall * 1.4));
        let outer = outer_share(outside, millimetres(bore), Some(housing)).unwrap();
        let shrunk = -as_micrometres(pressed(outside, millimetres(bore), housing).shaft_bore_change);
        prop_assert!((outer * interference - shrunk).abs() <= 1e-9 * interference);
    }

    #[test]
    fn a_loose_ring_takes_nothing_and_a_thick_housing_is_the_limit_of_a_large_one(loose in 0.0..500.0_f64) {
        let got = clearance_loss(&mounting(200.0, 300.0, 420.0, -loose, -loose)).unwrap();
        prop_assert_eq!(as_micrometres(got.clearance), 200.0);
        let share = |housing| outer_share(millimetres(420.0), millimetres(390.0), housing).unwrap();
        prop_assert!((share(None) - share(Some(millimetres(1e8)))).abs() < 1e-9);
        prop_assert!(share(Some(millimetres(421.0 + loose))) < share(None));
    }

    #[test]
    fn more_interference_or_warmth_leaves_less(inner in 0.0..400.0_f64, outer in 0.0..100.0_f64, warm in -50.0..50.0_f64) {
        let at = |inner, outer, warm| clearance_loss(&Mounting {
            outer_raceway: Some(millimetres(390.0)),
            inner_warmer: kelvins(warm),
            ..mounting(600.0, 300.0, 420.0, inner, outer)
        }).unwrap().clearance;
        let here = at(inner, outer, warm);
        prop_assert!(at(inner + 1.0, outer, warm) < here);
        prop_assert!(at(inner, outer + 1.0, warm) < here);
        prop_assert!(at(inner, outer, warm + 1.0) < here);
    }
}
