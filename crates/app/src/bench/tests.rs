//! What is typed becomes the input of a method, and what comes out reads right, in both unit systems.
#![allow(clippy::unwrap_used)]

use calc::method::{Method, by_name, methods};
use serde_json::{Value, json};
use store::entry::{LengthUnit, Show};

use super::*;

const MM: Show = Show {
    unit: LengthUnit::Millimetre,
    comma: false,
    rows: store::rows::RowOrder::FromBarrel,
    currency: None,
};
const INCH: Show = Show {
    unit: LengthUnit::Inch,
    comma: false,
    rows: store::rows::RowOrder::FromBarrel,
    currency: None,
};

fn method(name: &str) -> &'static Method {
    by_name(name).unwrap()
}

fn answer(method: &Method, form: &Form, show: Show) -> Answer {
    let input = given(method, form).unwrap();
    let worked = (method.run)(&input).unwrap();
    Answer::of(method, &input, &worked, show)
}

/// A fit as somebody types it.
fn typed(show: Show, fields: &[(&str, &str)]) -> Form {
    let mut form = Form::default();
    for (path, text) in fields {
        form.put(path, text, show.unit);
    }
    form
}

#[test]
fn the_example_of_every_method_fills_its_form_and_comes_back_unchanged() {
    for method in methods() {
        for show in [MM, INCH, Show { comma: true, ..MM }] {
            let form = Form::example(method, show);
            let input = given(method, &form).unwrap_or_else(|e| panic!("{}: {e:?}", method.name));
            let worked = (method.run)(&input).unwrap_or_else(|e| panic!("{}: {e}", method.name));
            let answer = Answer::of(method, &input, &worked, show);
            assert!(
                !answer.big.is_empty() && !answer.steps.is_empty(),
                "{}",
                method.name
            );
            if show.unit == LengthUnit::Millimetre {
                let example: Value = serde_json::from_str(method.example).unwrap();
                assert_same(&input, &example, method.name);
            }
            let copy = answer.copy(method, &told(method, &form, show));
            assert!(
                copy.contains(method.title) && copy.contains(method.source),
                "{copy}"
            );
        }
    }
}

/// Equal but for whole numbers that became decimal ones.
fn assert_same(a: &Value, b: &Value, what: &str) {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) => {
            assert_eq!(a.len(), b.len(), "{what}");
            assert!(a.keys().all(|key| b.contains_key(key)), "{what}");
            a.iter()
                .for_each(|(key, value)| assert_same(value, &b[key], key));
        }
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{what}");
            a.iter().zip(b).for_each(|(a, b)| assert_same(a, b, what));
        }
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            assert!((a - b).abs() <= 1e-12 * b.abs(), "{what}: {a} {b}");
        }
        _ => assert_eq!(a, b, "{what}"),
    }
}

#[test]
fn a_fit_typed_in_mm_and_in_inch_reads_in_its_own_unit() {
    // ISO 286-1:2010, Table 1 (IT6, 400 to 500) and Table 4 (f, 450 to 500): 40 and -68 um.
    let mm = typed(
        MM,
        &[
            ("nominal_mm", "480"),
            ("hole", "0"),
            ("hole.lower_um", "-45"),
            ("shaft", "f6"),
        ],
    );
    let said = answer(method("fit"), &mm, MM);
    assert_eq!(
        (said.big.as_str(), said.beside.as_str()),
        ("23 to 108 \u{b5}m", "clearance, always loose")
    );
    let inch = typed(
        INCH,
        &[
            ("nominal_mm", "18,897638"),
            ("hole", "0"),
            ("hole.lower_um", "-1.7717"),
            ("shaft", "f6"),
        ],
    );
    let said = answer(method("fit"), &inch, INCH);
    assert_eq!(said.big, "0.91 to 4.25 thou");
}

#[test]
fn a_field_is_kept_as_typed_when_the_unit_of_the_logbook_changes() {
    let form = typed(
        MM,
        &[
            ("nominal_mm", "480"),
            ("hole", "H7"),
            ("shaft", "0,020 mm"),
            ("shaft.lower_um", "3"),
        ],
    );
    let cells = cells(&blocks(method("fit"), &form), &form);
    let shown = |show| {
        cells
            .iter()
            .map(|cell| form.shown(cell, show))
            .collect::<Vec<_>>()
    };
    assert_eq!(shown(MM), ["480", "H7", "0,020 mm", "3"]);
    assert_eq!(shown(INCH), ["18.897638", "H7", "0.7874", "0.1181"]);
    let input = given(method("fit"), &form).unwrap();
    assert_eq!(
        input["shaft"],
        json!({"upper_um": 20.0, "lower_um": 3.0}),
        "the unit typed counts"
    );
}

#[test]
fn what_is_missing_is_named_and_what_is_wrong_stands_at_its_field() {
    let fit = method("fit");
    let problems = given(fit, &typed(MM, &[("nominal_mm", "abc"), ("hole", "5")])).unwrap_err();
    assert_eq!(problems.missing, ["hole, lower", "shaft"]);
    assert!(
        problems.wrong["nominal_mm"].contains("not a number"),
        "{problems:?}"
    );

    let form = typed(
        MM,
        &[("nominal_mm", "480"), ("hole", "Z7"), ("shaft", "f6")],
    );
    let error = (fit.run)(&given(fit, &form).unwrap()).unwrap_err();
    let problems = Problems::refused(fit, &form, &error, MM.unit);
    assert!(problems.wrong["hole"].contains("Z7"), "{problems:?}");

    let seat = method("seat");
    let mut form = Form::example(seat, INCH);
    form.put("upper_mm", "1", LengthUnit::Inch);
    let error = (seat.run)(&given(seat, &form).unwrap()).unwrap_err();
    let problems = Problems::refused(seat, &form, &error, INCH.unit);
    let (path, words) = problems.wrong.first_key_value().unwrap();
    assert!(path == "upper_mm" || path == "lower_mm", "{problems:?}");
    assert!(!words.contains("_mm"), "keys are told in words: {words}");
}

#[test]
fn lists_grow_and_shrink_and_a_gap_in_one_is_noted() {
    let stack = method("stack");
    let mut form = Form::example(stack, MM);
    form.put("pairs[0].gaps_mm[1]", "", MM.unit);
    assert_eq!(
        given(stack, &form).unwrap_err().missing,
        ["rows 1–2, gaps without spacer 2"]
    );
    form.put("pairs[0].gaps_mm[2]", "", MM.unit);
    form.put("pairs[0].gaps_mm[3]", "", MM.unit);
    let input = given(stack, &form).unwrap();
    assert_eq!(input["pairs"][0]["gaps_mm"], json!([23.372]));
    form.set_count("pairs", 2);
    assert_eq!(
        given(stack, &form).unwrap()["pairs"]
            .as_array()
            .unwrap()
            .len(),
        2
    );
    form.set_count("pairs", 3);
    assert!(given(stack, &form).is_err(), "what went does not come back");

    let seat = method("seat");
    let mut form = Form::example(seat, MM);
    form.set_count("readings_mm[]", 1);
    let input = given(seat, &form).unwrap();
    assert_eq!(input["readings_mm"], json!([[620.25], [620.0]]));
}

#[test]
fn a_derivation_carries_units_where_they_meet() {
    let form = typed(MM, &[("nominal_mm", "420"), ("class", "H7")]);
    let said = answer(method("tolerance"), &form, MM);
    assert_eq!(said.big, "0 to +63 \u{b5}m");
    let upper = said.steps.last().unwrap();
    assert_eq!(upper.expression, "upper limit: 420.000 mm + 63 \u{b5}m");
    assert_eq!(upper.result, "420.063 mm");
    let said = answer(method("tolerance"), &form, Show { comma: true, ..MM });
    assert_eq!(said.steps.last().unwrap().result, "420,063 mm");
}

#[test]
fn pictures_are_made_for_the_methods_that_have_one() {
    for name in ["fit", "tolerance", "stack", "seat"] {
        for show in [MM, INCH] {
            let method = method(name);
            let input = given(method, &Form::example(method, show)).unwrap();
            let output = (method.run)(&input).unwrap().output;
            let picture = picture(method, &input, &output, show).unwrap();
            assert!(picture.scene(463.0).items.len() > 10, "{name}");
            assert!(!picture.title().contains("_mm"), "{}", picture.title());
        }
    }
}

#[test]
fn heating_is_said_as_an_act_with_its_room_to_the_limit() {
    let described = by_name("stack").unwrap();
    let input = json!({"ambient_c": 22.0, "limit_c": 120.0, "bore_mm": 760.0});
    let output = json!({"temp_c": 68.842, "verdict": "pass"});
    let said = super::headline::headline(described, &input, &output, MM);
    assert_eq!(
        (said.big.as_str(), said.beside.as_str()),
        ("heat to 69 \u{b0}C", "51 K under the limit")
    );
}

#[test]
fn numbers_are_read_with_either_mark_and_an_exponent_and_shown_to_what_they_say() {
    let newton = Unit::Other("N");
    for (text, value) in [
        ("1.5e5", 150_000.0),
        ("2,5 N", 2.5),
        ("\u{2212}3", -3.0),
        ("+4", 4.0),
    ] {
        assert!(
            (newton.read(text, MM.unit).unwrap() - value).abs() < 1e-9,
            "{text}"
        );
    }
    for text in ["", "e5", "1.2.3", "5 kg", "1e999"] {
        assert!(newton.read(text, MM.unit).is_err(), "{text}");
    }
    assert_eq!(newton.show(123_456.7, MM), "123,457");
    assert_eq!(newton.show(0.001_234_567, MM), "0.0012346");
    assert_eq!(newton.show(-0.25, MM), "\u{2212}0.25");
    assert_eq!(newton.show(-12.0, MM), "\u{2212}12");
    assert_eq!(newton.show(1e-9, MM), "1.0000e\u{2212}9");
    assert!((Unit::Expansion.read("12.5", MM.unit).unwrap() - 12.5e-6).abs() < 1e-18);
    assert_eq!(Unit::Expansion.write(11.7e-6, MM), "11.7");
    assert_eq!(Unit::Small.read("0.001 in", INCH.unit).unwrap(), 25.4);
    assert_eq!(Unit::Small.read("1", INCH.unit).unwrap(), 25.4);
}

#[test]
fn points_are_drawn_with_their_line_and_said_as_one_writes_it() {
    for (name, dots, lines, big, beside) in [
        ("linear_fit", 7, 1, "y = 279.75 + 22.211 x", "least squares"),
        ("theil_sen", 7, 3, "y = 303.92 + 22.68 x", "by medians"),
        ("mixed_growth", 16, 5, "y = 249.84 + 21.576 x", "in common"),
        // Seven of ten failed; the others stand on no place of the paper.
        ("weibull", 7, 2, "B10 5935.4", "shape 3.07: wear"),
    ] {
        let method = method(name);
        let form = Form::example(method, MM);
        let said = answer(method, &form, MM);
        assert_eq!((said.big.as_str(), said.beside.as_str()), (big, beside));
        let input = given(method, &form).unwrap();
        let output = (method.run)(&input).unwrap().output;
        let Some(Picture::Points(points)) = picture(method, &input, &output, MM) else {
            panic!("{name} has no drawing");
        };
        assert_eq!(
            (points.dots.len(), points.lines.len()),
            (dots, lines),
            "{name}"
        );
    }
}
