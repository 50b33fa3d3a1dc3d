//! Reading the JSON object of a method: each key once, typed, in range, and none left over.

use std::{cell::RefCell, ops::RangeInclusive};

use serde_json::{Map, Value};

use super::InputError;
use crate::{
    error::CalcError,
    quantity::{Length, nanometres},
};

/// Lengths beyond this (mm) are typing mistakes, and their nanometres would leave the whole numbers of f64.
const LENGTH_MM_MAX: f64 = 100_000.0;

/// Allowed numbers and how to say it.
#[derive(Clone)]
pub(crate) struct Bounds {
    range: RangeInclusive<f64>,
    is_open_below: bool,
}

impl Bounds {
    /// Any finite number a shop can mean.
    pub(crate) const ANY: Self = Self {
        range: -1e12..=1e12,
        is_open_below: false,
    };
    /// Zero or more.
    pub(crate) const NOT_NEGATIVE: Self = Self {
        range: 0.0..=1e12,
        is_open_below: false,
    };
    /// A length in mm above zero.
    pub(crate) const LENGTH_MM: Self = Self {
        range: 0.0..=LENGTH_MM_MAX,
        is_open_below: true,
    };
    /// A length in mm that may be zero: nothing there.
    pub(crate) const LENGTH_OR_NONE_MM: Self = Self {
        range: 0.0..=LENGTH_MM_MAX,
        is_open_below: false,
    };
    /// A small length difference in um.
    pub(crate) const DIFFERENCE_UM: Self = Self {
        range: -1e5..=1e5,
        is_open_below: false,
    };
    /// A length difference in mm.
    pub(crate) const DIFFERENCE_MM: Self = Self {
        range: -LENGTH_MM_MAX..=LENGTH_MM_MAX,
        is_open_below: false,
    };

    /// From and to, both included.
    pub(crate) const fn within(range: RangeInclusive<f64>) -> Self {
        Self {
            range,
            is_open_below: false,
        }
    }

    /// Above the start, up to and including the end.
    pub(crate) const fn above(range: RangeInclusive<f64>) -> Self {
        Self {
            range,
            is_open_below: true,
        }
    }

    fn check(&self, key: &str, number: f64) -> Result<f64, InputError> {
        let is_low =
            number < *self.range.start() || (self.is_open_below && number <= *self.range.start());
        if is_low || number > *self.range.end() || number.is_nan() {
            let from = if self.is_open_below { "above " } else { "" };
            let (start, end) = (self.range.start(), self.range.end());
            return Err(wrong(
                key,
                format!("{number} is out of range, allowed {from}{start} to {end}"),
            ));
        }
        Ok(number)
    }
}

/// A JSON object being read.
pub(crate) struct Object<'a> {
    map: &'a Map<String, Value>,
    path: String,
    known: RefCell<Vec<&'static str>>,
}

impl<'a> Object<'a> {
    /// The whole input.
    pub(crate) fn root(value: &'a Value) -> Result<Self, InputError> {
        Self::at(value, String::new())
    }

    fn at(value: &'a Value, path: String) -> Result<Self, InputError> {
        let key = if path.is_empty() { "input" } else { &path };
        let map = value
            .as_object()
            .ok_or_else(|| wrong(key, "an object is expected".to_owned()))?;
        Ok(Self {
            map,
            path,
            known: RefCell::default(),
        })
    }

    /// Path of a key of this object.
    pub(crate) fn path(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// The value of an optional key.
    pub(crate) fn optional(&self, key: &'static str) -> Option<&'a Value> {
        self.known.borrow_mut().push(key);
        self.map.get(key)
    }

    /// The value of a required key.
    pub(crate) fn required(&self, key: &'static str) -> Result<&'a Value, InputError> {
        self.optional(key)
            .ok_or_else(|| wrong(&self.path(key), "missing".to_owned()))
    }

    /// A required number.
    pub(crate) fn number(&self, key: &'static str, bounds: &Bounds) -> Result<f64, InputError> {
        number(self.required(key)?, &self.path(key), bounds)
    }

    /// A number, if given; null counts as not given.
    pub(crate) fn optional_number(
        &self,
        key: &'static str,
        bounds: &Bounds,
    ) -> Result<Option<f64>, InputError> {
        let given = self.optional(key).filter(|value| !value.is_null());
        given
            .map(|value| number(value, &self.path(key), bounds))
            .transpose()
    }

    /// A required number that may be null for "not known".
    pub(crate) fn number_or_null(
        &self,
        key: &'static str,
        bounds: &Bounds,
    ) -> Result<Option<f64>, InputError> {
        self.required(key)?;
        self.optional_number(key, bounds)
    }

    /// A required length in mm as integer nanometres.
    pub(crate) fn length(&self, key: &'static str, bounds: &Bounds) -> Result<Length, InputError> {
        self.number(key, bounds).map(from_mm)
    }

    /// A length in mm as integer nanometres, if given.
    pub(crate) fn optional_length(
        &self,
        key: &'static str,
        bounds: &Bounds,
    ) -> Result<Option<Length>, InputError> {
        Ok(self.optional_number(key, bounds)?.map(from_mm))
    }

    /// A text.
    pub(crate) fn text(&self, key: &'static str) -> Result<&'a str, InputError> {
        let text = self.required(key)?.as_str();
        text.ok_or_else(|| wrong(&self.path(key), "a text is expected".to_owned()))
    }

    /// One of these choices by its word.
    pub(crate) fn choice<T: Copy>(
        &self,
        key: &'static str,
        choices: &[T],
        word: impl Fn(T) -> &'static str,
    ) -> Result<T, InputError> {
        let text = self.text(key)?;
        let found = choices.iter().copied().find(|&choice| word(choice) == text);
        found.ok_or_else(|| {
            let words: Vec<&str> = choices.iter().map(|&choice| word(choice)).collect();
            let problem = format!("'{text}' is not one of: {}", words.join(", "));
            wrong(&self.path(key), problem)
        })
    }

    /// A required list, each element read with its path.
    pub(crate) fn list<T>(
        &self,
        key: &'static str,
        read: impl FnMut(&'a Value, String) -> Result<T, InputError>,
    ) -> Result<Vec<T>, InputError> {
        elements(self.required(key)?, &self.path(key), read)
    }

    /// A list of lengths in mm, if given.
    pub(crate) fn optional_lengths(
        &self,
        key: &'static str,
        bounds: &Bounds,
    ) -> Result<Option<Vec<Length>>, InputError> {
        self.optional(key)
            .map(|value| lengths(value, &self.path(key), bounds))
            .transpose()
    }

    /// A required list of numbers.
    pub(crate) fn numbers(
        &self,
        key: &'static str,
        bounds: &Bounds,
    ) -> Result<Vec<f64>, InputError> {
        self.list(key, |element, path| number(element, &path, bounds))
    }

    /// Yes or no; not given or null counts as no.
    pub(crate) fn yes_or_no(&self, key: &'static str) -> Result<bool, InputError> {
        match self.optional(key) {
            None | Some(Value::Null) => Ok(false),
            Some(value) => yes_no(value, &self.path(key)),
        }
    }

    /// A required list of yes and no.
    pub(crate) fn yes_nos(&self, key: &'static str) -> Result<Vec<bool>, InputError> {
        self.list(key, |element, path| yes_no(element, &path))
    }

    /// A required list of so many numbers at most.
    pub(crate) fn numbers_up_to(
        &self,
        key: &'static str,
        most: usize,
        bounds: &Bounds,
    ) -> Result<Vec<f64>, InputError> {
        let numbers = self.numbers(key, bounds)?;
        if numbers.len() > most {
            let problem = format!("{} numbers are too many, allowed {most}", numbers.len());
            return Err(wrong(&self.path(key), problem));
        }
        Ok(numbers)
    }

    /// An object below a value of this one.
    pub(crate) fn inner(value: &'a Value, path: String) -> Result<Self, InputError> {
        Self::at(value, path)
    }

    /// Refuses keys that nobody read.
    pub(crate) fn finish(self) -> Result<(), InputError> {
        let known = self.known.borrow();
        match self.map.keys().find(|key| !known.contains(&key.as_str())) {
            None => Ok(()),
            Some(key) => Err(wrong(
                &self.path(key),
                format!("unknown key; known: {}", known.join(", ")),
            )),
        }
    }
}

/// An error at a key.
pub(crate) fn wrong(key: &str, problem: String) -> InputError {
    InputError {
        key: key.to_owned(),
        problem,
    }
}

/// Each element of a list.
pub(crate) fn elements<'a, T>(
    value: &'a Value,
    path: &str,
    mut read: impl FnMut(&'a Value, String) -> Result<T, InputError>,
) -> Result<Vec<T>, InputError> {
    let list = value
        .as_array()
        .ok_or_else(|| wrong(path, "a list is expected".to_owned()))?;
    list.iter()
        .enumerate()
        .map(|(place, element)| read(element, format!("{path}[{place}]")))
        .collect()
}

/// A list of lengths in mm.
pub(crate) fn lengths(
    value: &Value,
    path: &str,
    bounds: &Bounds,
) -> Result<Vec<Length>, InputError> {
    elements(value, path, |element, path| {
        number(element, &path, bounds).map(from_mm)
    })
}

fn yes_no(value: &Value, path: &str) -> Result<bool, InputError> {
    let given = value.as_bool();
    given.ok_or_else(|| wrong(path, "true or false is expected".to_owned()))
}

fn number(value: &Value, path: &str, bounds: &Bounds) -> Result<f64, InputError> {
    let number = value
        .as_f64()
        .ok_or_else(|| wrong(path, "a number is expected".to_owned()))?;
    bounds.check(path, number)
}

fn from_mm(mm: f64) -> Length {
    nanometres((mm * 1e6).round() as i64)
}

/// The error of a typed function under the keys of its method: each name in `keys` becomes its key.
pub(crate) fn renamed(error: &CalcError, keys: &[(&str, &str)]) -> InputError {
    let segment = |segment: &str| {
        let (name, place) = segment.split_at(segment.find('[').unwrap_or(segment.len()));
        let key = keys
            .iter()
            .find(|(input, _)| *input == name)
            .map_or(name, |(_, key)| key);
        format!("{key}{place}")
    };
    let path: Vec<String> = error.input().split('.').map(segment).collect();
    wrong(&path.join("."), error.problem())
}
