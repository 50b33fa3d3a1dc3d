//! Writing the JSON object of a method.

use serde_json::{Map, Value};

use super::InputError;
use crate::quantity::{Length, as_micrometres, as_millimetres, to_nanometres};

/// An object with its keys in this order.
pub(crate) fn object<const N: usize>(entries: [(&str, Value); N]) -> Value {
    Value::Object(
        entries
            .into_iter()
            .map(|(key, value)| (key.to_owned(), value))
            .collect::<Map<_, _>>(),
    )
}

/// A finite number. Inputs are bounded so that results are finite; should one escape, it is an error, not a null.
pub(crate) fn number(key: &str, value: f64) -> Result<Value, InputError> {
    let number = serde_json::Number::from_f64(value + 0.0); // no negative zero
    number.map(Value::Number).ok_or_else(|| {
        let problem = "the result is not a finite number with these inputs".to_owned();
        InputError {
            key: key.to_owned(),
            problem,
        }
    })
}

/// A finite number or null.
pub(crate) fn optional_number(key: &str, value: Option<f64>) -> Result<Value, InputError> {
    value.map_or(Ok(Value::Null), |value| number(key, value))
}

/// A length in mm, not rounded.
pub(crate) fn mm(key: &str, length: Length) -> Result<Value, InputError> {
    number(key, as_millimetres(length))
}

/// A length in um, not rounded.
pub(crate) fn um(key: &str, length: Length) -> Result<Value, InputError> {
    number(key, as_micrometres(length))
}

/// A length of whole nanometres in mm: the nearest double, which prints as the exact decimal.
pub(crate) fn whole_nm_mm(length: Length) -> Value {
    Value::from(to_nanometres(length) as f64 / 1e6)
}

/// The same or null.
pub(crate) fn optional_mm(length: Option<Length>) -> Value {
    length.map_or(Value::Null, whole_nm_mm)
}

/// A length of whole nanometres in um: the nearest double, which prints as the exact decimal.
pub(crate) fn whole_nm_um(length: Length) -> Value {
    Value::from(to_nanometres(length) as f64 / 1e3)
}
