//! The door of every method: whatever JSON comes in, no panic, no NaN, and an error names a key.
//!
//! The inputs are the worked examples of the methods, bent and broken by a generator with a fixed start, so that a run
//! repeats. `CHOCKBOOK_FUZZ_RUNS` sets how many inputs each method is given.
#![allow(clippy::unwrap_used, clippy::missing_panics_doc)]

use std::panic::{AssertUnwindSafe, catch_unwind};

use calc::{
    method::{InputError, Method, Part, Worked, methods},
    quantity::as_micrometres,
};
use serde_json::{Map, Value, json};

/// Inputs a method is given where the environment does not say otherwise.
const RUNS: u64 = 400;

/// Numbers that calculations trip over.
const NUMBERS: [f64; 24] = [
    0.0,
    -0.0,
    1.0,
    -1.0,
    2.0,
    0.5,
    1e-300,
    -1e-300,
    5e-324,
    f64::MAX,
    f64::MIN,
    1e308,
    1e18,
    -1e18,
    1e12,
    1e12 + 1.0,
    1e-12,
    1e-9,
    100_000.0,
    100_000.1,
    0.1,
    360.0,
    9.007_199_254_740_993e15,
    1e6,
];

/// Texts where a number, a class or a word of another kind is expected.
const TEXTS: [&str; 12] = [
    "",
    " ",
    "H7",
    "h",
    "NaN",
    "-inf",
    "1,5",
    "M24",
    "outer",
    "Zoë ÄÖ µ \u{0}",
    "8.8",
    "𝟙",
];

/// A small generator (splitmix64): the same numbers on every machine.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }

    fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }

    /// A number of any size and sign, often one of the awkward ones.
    fn number(&mut self) -> f64 {
        if self.below(2) == 0 {
            return *self.pick(&NUMBERS);
        }
        // Any bits but those that JSON cannot carry.
        let any = f64::from_bits(self.next());
        if any.is_finite() { any } else { 3.25 }
    }

    /// A number near the one that was there: what a slip of the hand makes of it.
    fn near(&mut self, number: f64) -> f64 {
        let slips = [
            -1.0, 0.0, 0.001, 0.1, 0.5, 0.999, 1.001, 2.0, 10.0, 25.4, 1e3, 1e6, 1e-6,
        ];
        number * self.pick(&slips) + [0.0, 0.0, 1e-9, -1e-6][self.below(4)]
    }

    fn junk(&mut self, depth: usize) -> Value {
        match self.below(if depth == 0 { 5 } else { 7 }) {
            0 => Value::Null,
            1 => json!(self.below(2) == 0),
            2 => json!(self.number()),
            3 => json!(self.next() as i64),
            4 => json!(self.pick(&TEXTS)),
            5 => (0..self.below(4)).map(|_| self.junk(depth - 1)).collect(),
            _ => {
                let entries = (0..self.below(4))
                    .map(|_| ((*self.pick(&TEXTS)).to_owned(), self.junk(depth - 1)));
                Value::Object(entries.collect::<Map<_, _>>())
            }
        }
    }
}

/// Bends one place of the value, somewhere below it.
fn bend(value: &mut Value, dice: &mut Dice) {
    match value {
        Value::Object(map) if !map.is_empty() && dice.below(8) > 0 => {
            let keys: Vec<String> = map.keys().cloned().collect();
            let key = dice.pick(&keys);
            match dice.below(8) {
                0 => {
                    map.shift_remove(key);
                }
                1 => {
                    let junk = dice.junk(2);
                    map.insert(key.clone(), junk);
                }
                _ => {
                    if let Some(inner) = map.get_mut(key) {
                        bend(inner, dice);
                    }
                }
            }
        }
        Value::Array(list) if !list.is_empty() && dice.below(8) > 0 => {
            let place = dice.below(list.len());
            match dice.below(8) {
                0 => {
                    list.remove(place);
                }
                1 => list.clear(),
                2 => list.push(list[place].clone()),
                3 => {
                    let times = *dice.pick(&[2, 7, 100, 600]);
                    *list = vec![list[place].clone(); times];
                }
                _ => bend(&mut list[place], dice),
            }
        }
        Value::Number(number) if dice.below(3) > 0 => {
            *value = json!(dice.near(number.as_f64().unwrap_or_default()));
        }
        Value::Number(_) => *value = json!(dice.number()),
        Value::String(_) if dice.below(2) == 0 => *value = json!(dice.pick(&TEXTS)),
        Value::Bool(flag) => *value = json!(!*flag),
        _ => *value = dice.junk(3),
    }
}

/// Gives an input that the example leaves out: an optional key with a number, a word of its choice, or junk.
fn add(value: &mut Value, method: &Method, dice: &mut Dice) {
    let optional: Vec<_> = method
        .inputs
        .iter()
        .filter(|param| !param.required)
        .collect();
    if optional.is_empty() {
        return;
    }
    let param = *dice.pick(&optional);
    let given = match param.kind {
        calc::method::Kind::Choice(words) => json!(dice.pick(words)),
        calc::method::Kind::YesNo => json!(dice.below(2) == 0),
        _ => {
            let plausible = [0.0, 0.3, 0.95, 1.0, 2.0, 20.0, 500.0, 1e5];
            json!(dice.pick(&plausible))
        }
    };
    put(value, param.key, &given);
}

/// Puts a value at a key, in every object of a list for a key such as `list[].inner`.
fn put(input: &mut Value, key: &str, value: &Value) {
    let Some(map) = input.as_object_mut() else {
        return;
    };
    let Some((outer, inner)) = key.split_once("[].") else {
        map.insert(key.to_owned(), value.clone());
        return;
    };
    let list = map.get_mut(outer).and_then(Value::as_array_mut);
    for object in list.into_iter().flatten().filter_map(Value::as_object_mut) {
        object.insert(inner.to_owned(), value.clone());
    }
}

fn generated(method: &Method, dice: &mut Dice) -> Value {
    let mut value: Value = serde_json::from_str(method.example).unwrap();
    if dice.below(40) == 0 {
        return dice.junk(4);
    }
    for _ in 0..dice.below(3) {
        add(&mut value, method, dice);
    }
    for _ in 0..dice.below(4) {
        bend(&mut value, dice);
    }
    value
}

/// Whether the input passed or was refused, both in order; else what is wrong.
fn check(method: &Method, input: &Value) -> Result<bool, String> {
    let result = catch_unwind(AssertUnwindSafe(|| (method.run)(input)))
        .map_err(|_| "panicked".to_owned())?;
    let error = match result {
        Ok(worked) => return check_result(method, &worked).map(|()| true),
        Err(error) => error,
    };
    let root = error.key.split(['.', '[']).next().unwrap_or_default();
    let is_known = root == "input"
        || input.get(root).is_some()
        || input.get(&error.key).is_some()
        || method.inputs.iter().any(|param| root_of(param.key) == root)
        || method
            .outputs
            .iter()
            .any(|output| root_of(output.key) == root);
    if !is_known {
        return Err(format!(
            "names the key {:?}, which nobody gave or asks for",
            error.key
        ));
    }
    if error.problem.is_empty() {
        return Err("refuses without a word".to_owned());
    }
    Ok(false)
}

fn root_of(key: &str) -> &str {
    key.split('[').next().unwrap_or(key)
}

/// A null where none is announced is a NaN that was written as JSON.
fn check_result(method: &Method, worked: &Worked) -> Result<(), String> {
    let output = worked.output.as_object().ok_or("gave no object")?;
    let mut nulls = Vec::new();
    for (key, value) in output {
        find_nulls(key, value, &mut nulls);
    }
    for key in nulls {
        let mut declared = method.outputs.iter().filter(|output| output.key == key);
        if !declared.any(|output| output.meaning.contains("null")) {
            return Err(format!(
                "{key} is null, which its description does not announce"
            ));
        }
    }
    let steps = worked.steps.iter();
    for part in steps.flat_map(|step| step.expression.iter().chain([&step.result])) {
        let is_finite = match part {
            Part::Text(_) => true,
            Part::Length(length) | Part::Small(length) => as_micrometres(*length).is_finite(),
            Part::Number { value, .. } => value.is_finite(),
        };
        if !is_finite {
            return Err(format!("a line of the derivation is not finite: {part:?}"));
        }
    }
    Ok(())
}

/// Keys of nulls, as the outputs are declared: `list[].key` inside a list of objects.
fn find_nulls(key: &str, value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Null => found.push(key.to_owned()),
        Value::Array(list) => {
            for element in list {
                match element {
                    Value::Object(map) => {
                        for (inner, value) in map {
                            find_nulls(&format!("{key}[].{inner}"), value, found);
                        }
                    }
                    element => find_nulls(key, element, found),
                }
            }
        }
        Value::Object(map) => {
            for (inner, value) in map {
                find_nulls(&format!("{key}.{inner}"), value, found);
            }
        }
        _ => {}
    }
}

#[test]
fn no_input_makes_a_method_panic_or_give_what_is_no_number() {
    let runs = std::env::var("CHOCKBOOK_FUZZ_RUNS")
        .ok()
        .map_or(RUNS, |runs| {
            runs.parse().expect("CHOCKBOOK_FUZZ_RUNS is a whole number")
        });
    // A panic is reported below with its input; its own words would only repeat it.
    let silent = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let mut failures = Vec::new();
    for method in methods() {
        let (mut passed, mut refused) = (0_u64, 0_u64);
        for run in 0..runs {
            // The start depends on name and number, so that a new method shifts no other.
            let start = method
                .name
                .bytes()
                .fold(run, |sum, byte| sum.wrapping_mul(131) + u64::from(byte));
            let input = generated(method, &mut Dice(start));
            match check(method, &input) {
                Ok(true) => passed += 1,
                Ok(false) => refused += 1,
                Err(problem) => {
                    // Long arrays would hide the rest.
                    let text: String = input.to_string().chars().take(2_000).collect();
                    failures.push(format!("{} run {run}: {problem}\n    {text}", method.name));
                    break;
                }
            }
        }
        // A generator that only breaks things, or breaks nothing, would test one half of a method.
        let is_mixed = passed * 50 > runs && refused * 50 > runs;
        if failures.is_empty() && runs >= RUNS && !is_mixed {
            failures.push(format!(
                "{}: {passed} inputs passed, {refused} were refused",
                method.name
            ));
        }
    }
    std::panic::set_hook(silent);
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn every_key_takes_or_refuses_every_awkward_value() {
    let numbers = NUMBERS.iter().map(|number| json!(number));
    let texts = TEXTS.iter().map(|text| json!(text));
    let others = json!([null, true, [], {}, [1.0], [[1.0]], [{}], [null]]);
    let others = others.as_array().unwrap().clone();
    let values: Vec<Value> = numbers.chain(texts).chain(others).collect();
    for method in methods() {
        let example: Value = serde_json::from_str(method.example).unwrap();
        for param in method.inputs {
            for value in &values {
                let mut input = example.clone();
                put(&mut input, param.key, value);
                let problem = check(method, &input).err();
                assert_eq!(problem, None, "{} {input}", method.name);
            }
        }
    }
}

#[test]
fn the_check_sees_a_null_a_panic_and_a_key_of_nowhere() {
    #[allow(clippy::unnecessary_wraps, reason = "the shape of every method")]
    fn null(_: &Value) -> Result<Worked, InputError> {
        let output = json!({"kind": "clearance", "clearance_min_um": f64::NAN});
        let steps = Vec::new();
        Ok(Worked { output, steps })
    }
    fn panics(_: &Value) -> Result<Worked, InputError> {
        panic!("as meant")
    }
    fn nowhere(_: &Value) -> Result<Worked, InputError> {
        Err(InputError {
            key: "elsewhere".to_owned(),
            problem: "wrong".to_owned(),
        })
    }
    let fit = calc::method::by_name("fit").unwrap();
    for (run, said) in [
        (null as fn(&Value) -> _, "clearance_min_um is null"),
        (panics, "panicked"),
        (nowhere, "elsewhere"),
    ] {
        let method = Method { run, ..*fit };
        let problem = check(&method, &json!({})).unwrap_err();
        assert!(problem.contains(said), "{problem}");
    }
    assert_eq!(check(fit, &json!({"nominal_mm": 1})), Ok(false));
}
