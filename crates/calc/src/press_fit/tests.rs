//! Checks of the interference fit against every row of the reference table, and its laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::{
    quantity::{as_newton_metres, millimetres},
    test_table::{answer, assert_refused, rows},
};

const TABLE: &str = include_str!("../../../../shared/reference/lame_press_fit.csv");
const RULES: &str = include_str!("../../../../shared/reference/interference_rules.toml");

fn steel() -> Material {
    Material {
        young: megapascals(208_000.0),
        poisson: 0.3,
    }
}

fn steel_fit(bore_mm: f64, shaft_mm: f64, outer_mm: f64, interference_um: f64) -> PressFit {
    PressFit {
        shaft: millimetres(shaft_mm),
        shaft_bore: millimetres(bore_mm),
        ring_outer: millimetres(outer_mm),
        interference: micrometres(interference_um),
        shaft_material: steel(),
        ring_material: steel(),
    }
}

#[test]
fn every_row_of_lame_press_fit_csv_is_reproduced() {
    let table = rows(TABLE);
    assert_eq!(table.len(), 8, "rows lost while reading");
    for row in &table {
        let material = |part: &str| Material {
            young: megapascals(row.number(&format!("E_{part}_MPa"))),
            poisson: row.number(&format!("nu_{part}")),
        };
        let joint = millimetres(row.number("joint_mm"));
        let got = press_fit(&PressFit {
            shaft: joint,
            shaft_bore: millimetres(row.number("shaft_bore_mm")),
            ring_outer: millimetres(row.number("outer_mm")),
            interference: micrometres(row.number("interference_um")),
            shaft_material: material("inner"),
            ring_material: material("outer"),
        })
        .unwrap();
        for (column, stress) in [
            ("p_MPa", got.pressure),
            ("hoop_outer_at_joint_MPa", got.hoop_ring_inner),
            ("hoop_outer_at_od_MPa", got.hoop_ring_outer),
            ("hoop_inner_at_joint_MPa", got.hoop_shaft_outer),
            ("hoop_inner_at_bore_MPa", got.hoop_shaft_inner),
        ] {
            row.assert_printed(column, as_megapascals(stress));
        }
        row.assert_printed("growth_outer_od_um", as_micrometres(got.ring_outer_growth));
        row.assert_printed(
            "change_inner_bore_um",
            as_micrometres(got.shaft_bore_change),
        );
        if let (Some(width), Some(mu)) = (row.optional("length_mm"), row.optional("mu")) {
            let force = axial_force(got.pressure, joint, millimetres(width), mu).unwrap();
            row.assert_printed("axial_force_kN", as_newtons(force) / 1_000.0);
            let torque = slip_torque(force, joint).unwrap();
            row.assert_printed("torque_kNm", as_newton_metres(torque) / 1_000.0);
        }
    }
}

#[test]
fn the_printed_answer_of_the_gear_on_a_shaft_is_met() {
    // lame_press_fit.csv, groover_gear: published p = 161.5 MPa, and 460 MPa = 2 p D2 / (D2 - d2), from memory.
    let aluminium = Material {
        young: megapascals(69_000.0),
        poisson: 0.33,
    };
    let mut fit = steel_fit(0.0, 30.0, 55.0, 200.0);
    (fit.shaft_material, fit.ring_material) = (aluminium, aluminium);
    let got = press_fit(&fit).unwrap();
    let p = as_megapascals(got.pressure);
    assert!((p - 161.5).abs() <= 0.1, "{p}");
    let effective = as_megapascals(got.hoop_ring_inner) + p;
    assert!((effective - 460.0).abs() <= 0.5, "{effective}");
}

#[test]
fn the_rules_for_bearing_rings_are_those_of_the_table() {
    let rules: toml::Table = toml::from_str(RULES).unwrap();
    let rule = |name: &str| rules["rules_of_thumb"][name].as_float().unwrap();
    assert_eq!(INTERFERENCE_RATIO_MAX, rule("ntn_max_interference_ratio"));
    assert_eq!(RING_STRESS_MPA_MAX, rule("ntn_max_ring_stress_MPa"));
}

#[test]
fn wrong_inputs_are_named() {
    let good = steel_fit(80.0, 200.0, 230.0, 70.0);
    let wrong = |change: fn(&mut PressFit)| {
        let mut fit = good;
        change(&mut fit);
        press_fit(&fit).unwrap_err().input().to_owned()
    };
    assert_eq!(wrong(|fit| fit.shaft = millimetres(0.0)), "shaft");
    assert_eq!(
        wrong(|fit| fit.shaft_bore = millimetres(200.0)),
        "shaft_bore"
    );
    assert_eq!(
        wrong(|fit| fit.shaft_bore = millimetres(-1.0)),
        "shaft_bore"
    );
    assert_eq!(
        wrong(|fit| fit.ring_outer = millimetres(200.0)),
        "ring_outer"
    );
    assert_eq!(
        wrong(|fit| fit.interference = micrometres(f64::NAN)),
        "interference"
    );
    assert_eq!(
        wrong(|fit| fit.shaft_material.young = megapascals(210.0)),
        "young_shaft"
    );
    assert_eq!(wrong(|fit| fit.ring_material.poisson = 0.6), "poisson_ring");
    let force = |width, friction| {
        axial_force(megapascals(1.0), good.shaft, millimetres(width), friction)
            .unwrap_err()
            .input()
            .to_owned()
    };
    assert_eq!(force(0.0, 0.1), "width");
    assert_eq!(force(10.0, -0.1), "friction");
}

#[test]
fn the_method_answers_to_the_last_character() {
    // lame_press_fit.csv, steel_solid_100_150; force and torque only where width and friction are given.
    let mut input = json!({
        "shaft_mm": 100, "ring_outer_mm": 150, "interference_um": 60, "young_shaft_mpa": 210_000,
        "poisson_shaft": 0.3, "young_ring_mpa": 210_000, "poisson_ring": 0.3
    });
    let expected = json!({
        "pressure_mpa": 35.0, "hoop_ring_inner_mpa": 91.0, "ring_outer_growth_um": 40.0, "hoop_ring_outer_mpa": 56.0,
        "hoop_shaft_outer_mpa": -35.0, "hoop_shaft_inner_mpa": -35.0, "shaft_bore_change_um": 0.0
    });
    let got = answer("press_fit", &input).unwrap();
    assert_eq!(got.to_string(), expected.to_string());
    input["width_mm"] = json!(120);
    input["friction"] = json!(0.12);
    let force_n = answer("press_fit", &input).unwrap()["axial_force_n"]
        .as_f64()
        .unwrap();
    assert!((force_n - 158_336.3).abs() <= 0.05, "{force_n}");
    assert_refused(
        "press_fit",
        &[
            ("shaft_mm", json!(-1), "shaft_mm"),
            ("shaft_bore_mm", json!(300), "shaft_bore_mm"),
            ("ring_outer_mm", json!(300), "ring_outer_mm"),
            ("young_ring_mpa", json!(208), "young_ring_mpa"),
            ("poisson_shaft", json!(0.51), "poisson_shaft"),
            ("width_mm", Value::Null, "width_mm"),
            ("friction", Value::Null, "friction"),
            ("friction", json!(1.1), "friction"),
        ],
    );
}

/// A fit of two materials, its joint and its walls drawn freely.
fn any_fit() -> impl Strategy<Value = PressFit> {
    let material = (50_000.0..250_000.0_f64, 0.1..0.45_f64).prop_map(|(young, poisson)| Material {
        young: megapascals(young),
        poisson,
    });
    (
        20.0..1_500.0_f64,
        0.0..0.95_f64,
        1.01..3.0_f64,
        0.0..0.002_f64,
        material.clone(),
        material,
    )
        .prop_map(
            |(d, bore, outer, strain, shaft_material, ring_material)| PressFit {
                shaft_material,
                ring_material,
                ..steel_fit(d * bore, d, d * outer, d * strain * 1_000.0)
            },
        )
}

proptest! {
    #[test]
    fn the_pressure_is_proportional_to_the_interference(fit in any_fit(), factor in 0.1..10.0_f64) {
        let once = press_fit(&fit).unwrap();
        let more = press_fit(&PressFit { interference: fit.interference * factor, ..fit }).unwrap();
        let (p, q) = (as_megapascals(once.pressure), as_megapascals(more.pressure));
        prop_assert!((q - factor * p).abs() <= 1e-9 * q.abs());
        let (g, h) = (as_micrometres(once.ring_outer_growth), as_micrometres(more.ring_outer_growth));
        prop_assert!((h - factor * g).abs() <= 1e-9 * h.abs());
    }

    #[test]
    fn no_interference_or_a_loose_fit_gives_no_pressure(fit in any_fit(), loose in 0.0..500.0_f64) {
        let got = press_fit(&PressFit { interference: micrometres(-loose), ..fit }).unwrap();
        prop_assert_eq!(as_megapascals(got.pressure), 0.0);
        prop_assert_eq!(as_micrometres(got.ring_outer_growth), 0.0);
    }

    #[test]
    fn a_solid_shaft_is_the_limit_of_a_tiny_bore(fit in any_fit()) {
        let solid = press_fit(&PressFit { shaft_bore: millimetres(0.0), ..fit }).unwrap();
        let tiny = press_fit(&PressFit { shaft_bore: fit.shaft * 1e-6, ..fit }).unwrap();
        let (p, q) = (as_megapascals(solid.pressure), as_megapascals(tiny.pressure));
        prop_assert!((p - q).abs() <= 1e-9 * p);
        let (p, q) = (as_megapascals(solid.hoop_shaft_outer), as_megapascals(tiny.hoop_shaft_outer));
        prop_assert!((p - q).abs() <= 1e-9 * p.abs());
        prop_assert!(as_micrometres(tiny.shaft_bore_change).abs() <= 1e-5 * as_micrometres(fit.interference));
    }

    #[test]
    fn the_two_parts_share_the_interference(fit in any_fit()) {
        // The ring opens by d/E (hoop + nu p), the shaft closes by d/E (hoop + nu p): together the interference.
        let got = press_fit(&fit).unwrap();
        let p = as_megapascals(got.pressure);
        let strain = |hoop: Pressure, part: &Material| {
            (as_megapascals(hoop) + part.poisson * p) / as_megapascals(part.young)
        };
        let opened = strain(got.hoop_ring_inner, &fit.ring_material);
        let closed = strain(got.hoop_shaft_outer, &fit.shaft_material);
        let interference = as_micrometres(fit.interference);
        let sum = as_micrometres(fit.shaft) * (opened - closed);
        prop_assert!((sum - interference).abs() <= 1e-9 * interference);
    }

    #[test]
    fn stresses_balance_across_the_wall(fit in any_fit()) {
        // Lamé: hoop + radial stress is the same at both faces of a ring; the radial one is -p and 0.
        let got = press_fit(&fit).unwrap();
        let p = as_megapascals(got.pressure);
        let (inner, outer) = (as_megapascals(got.hoop_ring_inner), as_megapascals(got.hoop_ring_outer));
        prop_assert!((inner - p - outer).abs() <= 1e-9 * inner.abs());
    }
}
