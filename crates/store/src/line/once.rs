//! JSON in which a key stands once: of two values for one key the last would win in silence.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

/// Reads one JSON value.
///
/// # Errors
/// What is no JSON, and a key that stands twice in one object, by its name.
pub fn read_once(text: &str) -> serde_json::Result<Value> {
    serde_json::from_str::<Once>(text).map(|once| once.0)
}

struct Once(Value);

impl<'de> Deserialize<'de> for Once {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Reader).map(Once)
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Value, E> {
        Number::from_f64(value)
            .map(Value::Number)
            .ok_or_else(|| E::custom("a number that is none"))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut all = Vec::new();
        while let Some(Once(item)) = items.next_element()? {
            all.push(item);
        }
        Ok(Value::Array(all))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        let mut map = Map::new();
        while let Some((key, Once(value))) = entries.next_entry::<String, Once>()? {
            if map.contains_key(&key) {
                return Err(A::Error::custom(format!("key {key:?} stands twice")));
            }
            map.insert(key, value);
        }
        Ok(Value::Object(map))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_once_is_read_as_it_is() {
        let text = r#"{"a":[1,-2,2.5,"x",null,true,{"b":1e400}]}"#;
        assert!(read_once(text).is_err(), "no number");
        let text = r#"{"a":[1,-2,2.5,"x",null,true,{"a":18446744073709551615}]}"#;
        let plain: Value = serde_json::from_str(text).unwrap_or_default();
        assert_eq!(read_once(text).ok(), Some(plain));
    }

    #[test]
    fn a_key_that_stands_twice_is_named_wherever_it_stands() {
        for text in [r#"{"a":1,"a":2}"#, r#"[{"x":{"a":1,"b":0,"a":1}}]"#] {
            let why = read_once(text).map_err(|e| e.to_string());
            assert!(why.is_err_and(|why| why.contains(r#"key "a" stands twice"#)));
        }
    }
}
