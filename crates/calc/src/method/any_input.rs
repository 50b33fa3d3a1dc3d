//! No input makes a panic, a NaN or a silent null: every method, fed with what nobody should type.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::{Value, json};

use super::{Method, methods};

/// Values at and beyond every border, and of the wrong kind.
fn strange() -> Vec<Value> {
    let numbers = [
        0.0,
        -0.0,
        1.0,
        -1.0,
        1e-9,
        1e-6,
        0.5,
        0.999_999,
        12.0,
        100.0,
        420.0,
        1e3,
        1e5,
        1e6,
        1e9,
        1e12,
        1e13,
        1e300,
        -1e5,
        -1e12,
        f64::MAX,
        f64::MIN_POSITIVE,
    ];
    let others = json!([null, true, "", "M24x2", "NaN", [], {}, [1.0], [[1.0]], [{}]]);
    let others = others.as_array().unwrap().clone();
    numbers.into_iter().map(Value::from).chain(others).collect()
}

fn check(method: &Method, input: &Value) {
    match (method.run)(input) {
        Ok(worked) => {
            // serde_json writes NaN and infinity as null; only outputs said to be null may be.
            let name = method.name;
            assert!(worked.output.is_object(), "{name} {input}");
            for (key, value) in worked.output.as_object().unwrap() {
                let output = method.outputs.iter().find(|output| output.key == key);
                let may_be_null = output.is_none_or(|output| output.meaning.contains("null"));
                assert!(!value.is_null() || may_be_null, "{name} {input}: {key}");
            }
        }
        Err(error) => assert!(!error.key.is_empty() && !error.problem.is_empty()),
    }
}

fn example(method: &Method) -> Value {
    serde_json::from_str(method.example).unwrap()
}

#[test]
fn every_key_takes_or_refuses_every_strange_value() {
    for method in methods() {
        for param in method
            .inputs
            .iter()
            .filter(|param| !param.key.contains("[]"))
        {
            for value in strange() {
                let mut input = example(method);
                input[param.key] = value;
                check(method, &input);
            }
        }
    }
}

proptest! {
    #[test]
    fn strange_values_together_are_taken_or_refused(
        method in 0..methods().len(), picks in prop::collection::vec((0..20_usize, 0..strange().len()), 2..6),
    ) {
        let method = methods()[method];
        let keys: Vec<&str> = method.inputs.iter().map(|param| param.key).filter(|key| !key.contains("[]")).collect();
        let mut input = example(method);
        for (key, value) in picks {
            input[keys[key % keys.len()]] = strange().swap_remove(value);
        }
        check(method, &input);
    }
}
