//! Checks of the described methods: worked inputs and outputs, wrong inputs by key, complete descriptions.
#![allow(clippy::unwrap_used)]

use serde_json::{Value, json};

use super::*;

fn run(name: &str, input: &Value) -> Result<Value, InputError> {
    (by_name(name).unwrap().run)(input).map(|worked| worked.output)
}

/// A complete input of each method with its output as printed.
fn worked() -> Vec<(&'static str, Value, Value)> {
    let pair = |spacer: f64, gaps: [f64; 4]| json!({"spacer_mm": spacer, "gaps_mm": gaps, "target_min_mm": 0.27, "target_max_mm": 0.33, "min_spacer_mm": 23.0});
    let planned = |clearance: f64, grind: f64, spacer: f64| json!({"clearance_mm": clearance, "grind_mm": grind, "new_spacer_mm": spacer, "new_clearance_mm": 0.3, "verdict": "pass"});
    vec![
        // iso286_limits.csv
        (
            "tolerance",
            json!({"nominal_mm": 420, "class": "H7"}),
            json!({"lower_um": 0.0, "upper_um": 63.0, "grade_um": 63.0}),
        ),
        (
            "tolerance",
            json!({"nominal_mm": 50, "class": "JS7"}),
            json!({"lower_um": -12.5, "upper_um": 12.5, "grade_um": 25.0}),
        ),
        // iso286_limits.csv: 650 G7 +24/+104, 650 g6 -74/-24
        (
            "fit",
            json!({"nominal_mm": 650, "hole": "G7", "shaft": "g6"}),
            json!({"kind": "clearance", "clearance_min_um": 48.0, "clearance_max_um": 178.0}),
        ),
        (
            "fit",
            json!({"nominal_mm": 480, "hole": {"lower_um": -45, "upper_um": 0}, "shaft": {"lower_um": -108, "upper_um": -68}}),
            json!({"kind": "clearance", "clearance_min_um": 23.0, "clearance_max_um": 108.0}),
        ),
        // iso286_shaft_j.csv
        (
            "tolerance",
            json!({"nominal_mm": 80, "class": "j6"}),
            json!({"lower_um": -7.0, "upper_um": 12.0, "grade_um": 19.0}),
        ),
        // A nominal size is whole nanometres: a billionth of a millimetre does not move it over the border
        (
            "tolerance",
            json!({"nominal_mm": 50.000_000_1, "class": "H7"}),
            json!({"lower_um": 0.0, "upper_um": 25.0, "grade_um": 25.0}),
        ),
        // iso492_radial_bore.csv, iso492_tapered_metric.csv, abma19_2_inch_tapered.csv
        (
            "ring",
            json!({"kind": "radial", "class": "Normal", "bore_mm": 500}),
            json!({"lower_um": -45.0, "upper_um": 0.0}),
        ),
        (
            "ring",
            json!({"kind": "tapered_metric", "class": "5", "outside_mm": 620}),
            json!({"lower_um": -38.0, "upper_um": 0.0}),
        ),
        (
            "ring",
            json!({"kind": "tapered_inch", "class": "4", "bore_mm": 76.2}),
            json!({"lower_um": 0.0, "upper_um": 13.0}),
        ),
        // iso5753_crb_cylindrical_bore.csv, iso5753_srb_tapered_bore.csv
        (
            "clearance_group",
            json!({"kind": "cylindrical", "bore_mm": 450, "group": "C3"}),
            json!({"min_um": 310.0, "max_um": 410.0}),
        ),
        (
            "clearance_group",
            json!({"kind": "spherical", "seat": "tapered", "bore_mm": 100, "group": "CN"}),
            json!({"min_um": 80.0, "max_um": 110.0}),
        ),
        // iso286_limits.csv: 500 f6 -108/-68; sizes invented
        (
            "fit_found",
            json!({
                "nominal_mm": 500, "hole": {"lower_um": -45, "upper_um": 0}, "shaft": "f6",
                "shaft_sizes_mm": [499.9, 499.8501]
            }),
            json!({
                "kind": "clearance", "clearance_min_um": 55.0, "clearance_max_um": 149.9, "at_fault": "shaft",
                "as_designed": false, "designed_kind": "clearance", "designed_clearance_min_um": 23.0,
                "designed_clearance_max_um": 108.0, "hole_below_um": null, "hole_above_um": null,
                "shaft_below_um": 41.9, "shaft_above_um": 0.0
            }),
        ),
        (
            "reference_temperature",
            json!({
                "size_mm": 420, "part_temp_c": 20, "gauge_temp_c": 20, "expansion_part_per_k": 11.6e-6,
                "expansion_gauge_per_k": 11.5e-6
            }),
            json!({"result_mm": 420.0, "difference_um": 0.0}),
        ),
        // conformity.toml: p = 0.5 on the limit
        (
            "conformity",
            json!({"value": 420.063, "lower": 420.0, "upper": 420.063, "expanded_uncertainty": 0.008}),
            json!({
                "verdict": "pass_in_doubt", "probability": 0.5, "simple_acceptance": true,
                "guard_band": 0.006_579_414_507_805_889, "acceptance_lower": 420.006_579_414_507_8,
                "acceptance_upper": 420.056_420_585_492_16
            }),
        ),
        // 0.007 below the limit are 1.75 u: enough for 0.95, not for 0.99 (guard factor of conformity.toml)
        (
            "conformity",
            json!({"value": 420.056, "upper": 420.063, "expanded_uncertainty": 0.008, "asked": 0.99}),
            json!({
                "verdict": "pass_in_doubt", "probability": 0.959_940_843_136_290_8, "simple_acceptance": true,
                "guard_band": 0.009_305_391_496_163_355, "acceptance_lower": null,
                "acceptance_upper": 420.053_694_608_503_8
            }),
        ),
        (
            "conformity",
            json!({"value": 0.12, "upper": 0.12, "expanded_uncertainty": 0}),
            json!({
                "verdict": "pass", "probability": 1.0, "simple_acceptance": true, "guard_band": 0.0,
                "acceptance_lower": null, "acceptance_upper": 0.12
            }),
        ),
        (
            "conformity",
            json!({"value": 0.12, "upper": 0.12, "expanded_uncertainty": null}),
            json!({
                "verdict": "pass_in_doubt", "probability": null, "simple_acceptance": true, "guard_band": null,
                "acceptance_lower": null, "acceptance_upper": null
            }),
        ),
        // Demo plant (invented), worked out by hand
        (
            "seat",
            json!({
                "readings_mm": [[620.25, 620.5], [620.0, 620.125]], "lower_mm": 620, "upper_mm": 620.5,
                "part_temp_c": 20, "gauge_temp_c": 20, "expansion_part_per_k": 11.7e-6,
                "expansion_gauge_per_k": 11.5e-6, "expanded_uncertainty_um": 0
            }),
            json!({
                "mean_mm": 620.21875, "min_mm": 620.0, "max_mm": 620.5, "ovality_um": [250.0, 125.0],
                "taper_um": 312.5, "verdict": "pass"
            }),
        ),
        (
            "stack",
            json!({"step_mm": 0.01, "pairs": [
                pair(24.012, [23.372, 23.366, 23.378, 23.372]),
                pair(30.004, [29.424, 29.418, 29.430, 29.424]),
                pair(24.008, [23.378, 23.370, 23.384, 23.380]),
            ]}),
            json!({
                "pairs": [planned(0.64, 0.34, 23.672), planned(0.58, 0.28, 29.724), planned(0.63, 0.33, 23.678)],
                "outer_stack_change_mm": -0.67, "inner_stack_change_mm": -0.28
            }),
        ),
        (
            "stack",
            json!({"step_mm": 0.01, "pairs": [{
                "spacer_mm": 24.0, "clearance_mm": 0.2, "target_min_mm": 0.27, "target_max_mm": 0.33,
                "min_spacer_mm": 23.0, "ring": "inner"
            }]}),
            json!({
                "pairs": [{"clearance_mm": 0.2, "grind_mm": null, "new_spacer_mm": null, "new_clearance_mm": null, "verdict": "fail"}],
                "outer_stack_change_mm": 0.0, "inner_stack_change_mm": null
            }),
        ),
        // bench_four_row_trb.toml, printed_inch_rule
        (
            "growth_ratio",
            json!({"clearance_mm": 0.6096, "as_set_mm": 0.3048}),
            json!({"times_as_set": 2.0, "limit_mm": 0.6096, "reached": true}),
        ),
        (
            "growth_ratio",
            json!({"clearance_mm": 0.6, "as_set_mm": 0.3, "rework_mm": 0.5, "method": "gaps", "as_set_method": "mounted"}),
            json!({"times_as_set": null, "limit_mm": null, "reached": null}),
        ),
    ]
}

#[test]
fn worked_inputs_give_their_outputs_to_the_last_character() {
    for (name, input, expected) in worked() {
        let got = run(name, &input).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(got.to_string(), expected.to_string(), "{name} {input}");
    }
}

#[test]
fn wrong_inputs_name_their_key() {
    let seat = |key: &str, value: Value| {
        let mut input = worked()
            .into_iter()
            .find(|(name, ..)| *name == "seat")
            .unwrap()
            .1;
        input[key] = value;
        ("seat", input)
    };
    let stack = |key: &str, value: Value| {
        let mut input = worked()
            .into_iter()
            .find(|(name, ..)| *name == "stack")
            .unwrap()
            .1;
        input["pairs"][1][key] = value;
        ("stack", input)
    };
    let cases = [
        (("tolerance", json!([])), "input"),
        (("tolerance", json!({"nominal_mm": 100})), "class"),
        (("tolerance", json!({"class": "H7"})), "nominal_mm"),
        (
            ("tolerance", json!({"nominal_mm": "100", "class": "H7"})),
            "nominal_mm",
        ),
        (
            ("tolerance", json!({"nominal_mm": 0, "class": "H7"})),
            "nominal_mm",
        ),
        (
            ("tolerance", json!({"nominal_mm": 3150.1, "class": "H7"})),
            "nominal_mm",
        ),
        (
            ("tolerance", json!({"nominal_mm": 100, "class": "A7"})),
            "class",
        ),
        (
            ("tolerance", json!({"nominal_mm": 100, "class": 7})),
            "class",
        ),
        (
            (
                "tolerance",
                json!({"nominal_mm": 100, "class": "H7", "clas": "H7"}),
            ),
            "clas",
        ),
        (
            (
                "fit",
                json!({"nominal_mm": 100, "hole": "h7", "shaft": "g6"}),
            ),
            "hole",
        ),
        (
            (
                "fit",
                json!({"nominal_mm": 100, "hole": "H7", "shaft": "G6"}),
            ),
            "shaft",
        ),
        (
            (
                "fit",
                json!({"nominal_mm": 100, "hole": "H7", "shaft": "x6"}),
            ),
            "shaft",
        ),
        (
            ("fit", json!({"nominal_mm": 100, "hole": 7, "shaft": "g6"})),
            "hole",
        ),
        (
            (
                "fit",
                json!({"nominal_mm": 100, "hole": {"lower_um": 1}, "shaft": "g6"}),
            ),
            "hole.upper_um",
        ),
        (
            (
                "fit",
                json!({"nominal_mm": 100, "hole": {"lower_um": 1, "upper_um": 0}, "shaft": "g6"}),
            ),
            "hole.lower_um",
        ),
        (
            (
                "fit",
                json!({"nominal_mm": 100, "hole": {"lower_um": 1, "upper_um": 2, "um": 0}, "shaft": "g6"}),
            ),
            "hole.um",
        ),
        (
            (
                "ring",
                json!({"kind": "ball", "class": "6", "bore_mm": 100}),
            ),
            "kind",
        ),
        (
            (
                "ring",
                json!({"kind": "radial", "class": "4", "bore_mm": 100}),
            ),
            "class",
        ),
        (
            (
                "ring",
                json!({"kind": "radial", "class": 6, "bore_mm": 100}),
            ),
            "class",
        ),
        (("ring", json!({"kind": "radial", "class": "6"})), "bore_mm"),
        (
            (
                "ring",
                json!({"kind": "radial", "class": "6", "bore_mm": 100, "outside_mm": 150}),
            ),
            "outside_mm",
        ),
        (
            (
                "ring",
                json!({"kind": "radial", "class": "6", "outside_mm": 70}),
            ),
            "outside_mm",
        ),
        (
            (
                "clearance_group",
                json!({"kind": "cylindrical", "seat": "tapered", "bore_mm": 100, "group": "C3"}),
            ),
            "seat",
        ),
        (
            (
                "clearance_group",
                json!({"kind": "spherical", "bore_mm": 10, "group": "C3"}),
            ),
            "bore_mm",
        ),
        (
            (
                "clearance_group",
                json!({"kind": "spherical", "bore_mm": 100, "group": "C0"}),
            ),
            "group",
        ),
        (
            (
                "fit_found",
                json!({"nominal_mm": 100, "hole": "H7", "shaft": "g6"}),
            ),
            "hole_sizes_mm",
        ),
        (
            (
                "fit_found",
                json!({"nominal_mm": 100, "hole": "H7", "shaft": "g6", "hole_sizes_mm": [100], "shaft_sizes_mm": []}),
            ),
            "shaft_sizes_mm",
        ),
        (
            (
                "fit_found",
                json!({"nominal_mm": 100, "hole": "H7", "shaft": "g6", "hole_sizes_mm": [100, -1]}),
            ),
            "hole_sizes_mm[1]",
        ),
        (
            (
                "fit_found",
                json!({"nominal_mm": 100, "hole": {"lower_um": 1, "upper_um": 0}, "shaft": "g6", "hole_sizes_mm": [100]}),
            ),
            "hole.lower_um",
        ),
        (
            ("conformity", json!({"value": 1, "expanded_uncertainty": 0})),
            "lower",
        ),
        (
            ("conformity", json!({"value": 1, "upper": 2})),
            "expanded_uncertainty",
        ),
        (
            (
                "conformity",
                json!({"value": 1, "upper": 2, "expanded_uncertainty": -1}),
            ),
            "expanded_uncertainty",
        ),
        (
            (
                "conformity",
                json!({"value": 1, "upper": 2, "lower": 3, "expanded_uncertainty": 1}),
            ),
            "lower",
        ),
        (
            (
                "conformity",
                json!({"value": null, "upper": 2, "expanded_uncertainty": 1}),
            ),
            "value",
        ),
        (
            seat("readings_mm", json!([[620.0, 620.0], [620.0]])),
            "readings_mm[1]",
        ),
        (
            seat("readings_mm", json!([[620.0, "x"]])),
            "readings_mm[0][1]",
        ),
        (seat("readings_mm", json!([])), "readings_mm"),
        (seat("readings_mm", json!([620.0])), "readings_mm[0]"),
        (seat("lower_mm", json!(621.0)), "lower_mm"),
        (
            seat("expansion_part_per_k", json!(11.7)),
            "expansion_part_per_k",
        ),
        (seat("part_temp_c", json!(300)), "part_temp_c"),
        (
            seat("expanded_uncertainty_um", json!(-1)),
            "expanded_uncertainty_um",
        ),
        (stack("gaps_mm", json!([])), "pairs[1].gaps_mm"),
        (stack("gaps_mm", json!([-23.4])), "pairs[1].gaps_mm[0]"),
        (stack("clearance_mm", json!(0.3)), "pairs[1].clearance_mm"),
        (stack("target_min_mm", json!(0.5)), "pairs[1].target_min_mm"),
        (stack("ring", json!("middle")), "pairs[1].ring"),
        (stack("rings", json!("outer")), "pairs[1].rings"),
        (("stack", json!({"pairs": [], "step_mm": 0.01})), "pairs"),
        (
            ("stack", json!({"pairs": [{}], "step_mm": 0.01})),
            "pairs[0].spacer_mm",
        ),
        (
            ("growth_ratio", json!({"clearance_mm": 0.6, "as_set_mm": 0})),
            "as_set_mm",
        ),
        (
            (
                "growth_ratio",
                json!({"clearance_mm": 0.6, "as_set_mm": 0.3, "factor": 1}),
            ),
            "factor",
        ),
        (
            (
                "growth_ratio",
                json!({"clearance_mm": 0.6, "as_set_mm": 0.3, "method": "gaps"}),
            ),
            "as_set_method",
        ),
    ];
    for ((name, input), key) in cases {
        let error = run(name, &input).expect_err(&format!("{name} {input}"));
        assert_eq!(error.key, key, "{name} {input}: {error}");
        assert!(!error.problem.is_empty());
    }
}

fn example(method: &Method) -> Value {
    serde_json::from_str(method.example).unwrap_or_else(|error| panic!("{}: {error}", method.name))
}

#[test]
fn every_method_describes_what_it_reads_and_writes() {
    for method in methods() {
        let name = method.name;
        let same = methods().iter().filter(|other| other.name == name);
        assert_eq!(same.count(), 1, "{name} is there once");
        let found = by_name(name).unwrap();
        assert_eq!(
            (found.name, found.title, found.formula),
            (name, method.title, method.formula)
        );
        for text in [method.title, method.summary, method.formula, method.source] {
            assert!(!text.is_empty(), "{name}");
        }
        let input = example(method);
        let worked = (method.run)(&input).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(!worked.steps.is_empty(), "{name} says how it comes out");
        let declared: Vec<&str> = method.inputs.iter().map(|param| param.key).collect();
        for key in keys(&input) {
            assert!(
                declared.contains(&key.as_str()) || is_deviation(method, &key),
                "{name}: input {key}"
            );
        }
        let declared: Vec<&str> = method.outputs.iter().map(|output| output.key).collect();
        for key in keys(&worked.output) {
            let is_outer = declared.iter().any(|k| k.starts_with(&format!("{key}[].")));
            assert!(
                is_outer || declared.contains(&key.as_str()),
                "{name}: output {key}"
            );
        }
        for param in method.inputs {
            if let Kind::Choice(words) = param.kind {
                assert!(!words.is_empty(), "{name}: {}", param.key);
            }
            if let Some((outer, _)) = param.key.split_once("[].") {
                let is_there = method
                    .inputs
                    .iter()
                    .any(|p| p.key == outer && p.kind == Kind::Objects);
                assert!(is_there, "{name}: {} stands in no list", param.key);
            }
        }
    }
    assert!(by_name("unknown").is_none());
}

/// Whether the key belongs to the object of a pair of deviations.
fn is_deviation(method: &Method, key: &str) -> bool {
    key.split_once('.').is_some_and(|(outer, _)| {
        method
            .inputs
            .iter()
            .any(|param| param.key == outer && param.kind == Kind::Deviations)
    })
}

/// Keys of an object; those inside a list of objects as `list[].key`.
fn keys(value: &Value) -> Vec<String> {
    let inner = |key: &String, value: &Value| -> Vec<String> {
        let objects = value
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Value::as_object);
        let mut found: Vec<String> = objects
            .flat_map(|object| object.keys())
            .map(|inner| format!("{key}[].{inner}"))
            .collect();
        found.push(key.clone());
        found
    };
    value
        .as_object()
        .unwrap()
        .iter()
        .flat_map(|(key, value)| inner(key, value))
        .collect()
}

#[test]
fn a_required_input_is_missed_and_an_unknown_one_refused_by_every_method() {
    for method in methods() {
        let (name, input) = (method.name, example(method));
        for param in method
            .inputs
            .iter()
            .filter(|param| param.required && !param.key.contains("[]"))
        {
            let mut without = input.clone();
            without.as_object_mut().unwrap().remove(param.key);
            assert_eq!(run(name, &without).unwrap_err().key, param.key, "{name}");
        }
        let mut with = input.clone();
        with["nonsense"] = json!(1);
        let error = run(name, &with).unwrap_err();
        assert_eq!(error.key, "nonsense", "{name}");
        assert!(error.problem.contains(method.inputs[0].key), "{error}");
    }
}
