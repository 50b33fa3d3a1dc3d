//! What is typed for a method, kept as typed, and the input that it gives.

use std::collections::BTreeMap;

use calc::method::{InputError, Kind, Method, Param};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Number, Value};
use store::entry::{LengthUnit, Show};

use super::fields::{self, Block, Cell, blocks, cells, is_class, lower_of};
use super::name_of;
use super::unit::Unit;

/// The word of a ticked box.
pub(super) const YES: &str = "yes";

/// A text as typed, with the unit that a bare number of a length had then.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Typed {
    text: String,
    is_inch: bool,
}

/// What is typed for one method.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Form {
    /// Where the values come from, `last sheet of TH-4T-031`; empty where they were typed.
    #[serde(default)]
    pub origin: String,
    pub(super) fields: BTreeMap<String, Typed>,
    pub(super) counts: BTreeMap<String, usize>,
}

/// Why there is no input yet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Problems {
    /// Names of fields that must be filled in.
    pub missing: Vec<String>,
    /// What is wrong with a field, by its path; under the empty path what is wrong with all of it.
    pub wrong: BTreeMap<String, String>,
}

/// An input, or why there is none.
pub type Given = Result<Value, Problems>;

fn length_unit(is_inch: bool) -> LengthUnit {
    if is_inch {
        LengthUnit::Inch
    } else {
        LengthUnit::Millimetre
    }
}

impl Form {
    /// The worked example of a method.
    pub fn example(method: &Method, show: Show) -> Self {
        let example = serde_json::from_str(method.example).unwrap_or(Value::Null);
        Self::filled(method, &example, show)
    }

    /// A form filled with an input; in the unit of the method, so that it stays exact whatever unit it is shown in.
    pub fn filled(method: &Method, input: &Value, show: Show) -> Self {
        let show = Show {
            unit: LengthUnit::Millimetre,
            ..show
        };
        let mut form = Self::default();
        if let Some(map) = input.as_object() {
            form.fill(method.inputs, ("", ""), map, show);
        }
        form
    }

    /// The text of a field as typed.
    pub fn text(&self, path: &str) -> &str {
        self.fields.get(path).map_or("", |typed| &typed.text)
    }

    /// The text of a field in the unit of the reader: as typed, or the same length where the unit was changed since.
    pub fn shown(&self, cell: &Cell, show: Show) -> String {
        let Some(typed) = self.fields.get(&cell.path) else {
            return String::new();
        };
        let unit = unit_of(cell);
        let was = length_unit(typed.is_inch);
        let is_length = matches!(unit, Unit::Length | Unit::Small);
        if was == show.unit
            || !is_length
            || (cell.param.kind == Kind::Deviations && is_class(&typed.text))
        {
            return typed.text.clone();
        }
        unit.read(&typed.text, was)
            .map_or_else(|_| typed.text.clone(), |value| unit.write(value, show))
    }

    /// Takes what was typed.
    pub fn put(&mut self, path: &str, text: &str, unit: LengthUnit) {
        if text.is_empty() {
            self.fields.remove(path);
            return;
        }
        let typed = Typed {
            text: text.to_owned(),
            is_inch: unit == LengthUnit::Inch,
        };
        self.fields.insert(path.to_owned(), typed);
    }

    /// Forgets what is typed; lists keep their length.
    pub fn clear(&mut self) {
        self.fields.clear();
        self.origin.clear();
    }

    fn fill(
        &mut self,
        inputs: &'static [Param],
        (key, path): (&str, &str),
        map: &Map<String, Value>,
        show: Show,
    ) {
        for (param, own) in fields::below(inputs, key) {
            let Some(value) = map.get(own) else { continue };
            let path = format!("{path}{own}");
            let unit = Unit::of(param.unit);
            match (param.kind, value) {
                (Kind::Numbers | Kind::Texts | Kind::YesNos, Value::Array(list)) => {
                    self.counts.insert(path.clone(), list.len().max(1));
                    for (i, value) in list.iter().enumerate() {
                        self.put_value(&format!("{path}[{i}]"), unit, value, show);
                    }
                }
                (Kind::Grid, Value::Array(rows)) => {
                    let columns = rows.iter().filter_map(Value::as_array).map(Vec::len).max();
                    self.counts.insert(path.clone(), rows.len().max(1));
                    self.counts
                        .insert(format!("{path}[]"), columns.unwrap_or(1).max(1));
                    for (r, row) in rows.iter().enumerate() {
                        for (c, value) in row.as_array().into_iter().flatten().enumerate() {
                            self.put_value(&format!("{path}[{r}][{c}]"), unit, value, show);
                        }
                    }
                }
                (Kind::Objects, Value::Array(list)) => {
                    self.counts.insert(path.clone(), list.len().max(1));
                    for (i, object) in list.iter().enumerate() {
                        if let Some(map) = object.as_object() {
                            let (key, path) = (format!("{key}{own}[]."), format!("{path}[{i}]."));
                            self.fill(inputs, (&key, &path), map, show);
                        }
                    }
                }
                (Kind::Deviations, Value::Object(both)) => {
                    for (end, name) in [("", "upper_um"), (".lower_um", "lower_um")] {
                        let value = both.get(name).unwrap_or(&Value::Null);
                        self.put_value(&format!("{path}{end}"), Unit::Small, value, show);
                    }
                }
                _ => self.put_value(&path, unit, value, show),
            }
        }
    }

    fn put_value(&mut self, path: &str, unit: Unit, value: &Value, show: Show) {
        let text = match value {
            Value::Bool(true) => YES.into(),
            Value::String(text) => text.clone(),
            Value::Number(number) => unit.write(number.as_f64().unwrap_or_default(), show),
            _ => return,
        };
        self.put(path, &text, show.unit);
    }
}

/// The unit of a field.
pub(super) fn unit_of(cell: &Cell) -> Unit {
    if cell.param.kind == Kind::Deviations {
        Unit::Small
    } else {
        Unit::of(cell.param.unit)
    }
}

/// Whether a required value may be null, "not known"; the method says so in its range.
fn is_nullable(param: &Param) -> bool {
    param.range.contains("or null")
}

/// The input that a form gives, or what is missing and wrong.
pub fn given(method: &Method, form: &Form) -> Given {
    let mut reading = Reading {
        form,
        problems: Problems::default(),
    };
    let map = reading.object(&blocks(method, form));
    let Problems { missing, wrong } = &reading.problems;
    if missing.is_empty() && wrong.is_empty() {
        Ok(Value::Object(map))
    } else {
        Err(reading.problems)
    }
}

struct Reading<'a> {
    form: &'a Form,
    problems: Problems,
}

impl Reading<'_> {
    fn object(&mut self, blocks: &[Block]) -> Map<String, Value> {
        let mut map = Map::new();
        for block in blocks {
            let (path, value) = match block {
                Block::Cell(cell) => (&cell.path, self.cell(cell)),
                Block::List { path, cells, .. } => (path, self.list(cells)),
                Block::Grid { path, rows, .. } => (path, self.grid(rows)),
                Block::Objects { path, objects, .. } => {
                    let list = objects
                        .iter()
                        .map(|object| Value::Object(self.object(object)));
                    (path, Some(Value::Array(list.collect())))
                }
            };
            let own = path.rsplit('.').next().unwrap_or(path);
            map.extend(value.map(|value| (own.to_owned(), value)));
        }
        map
    }

    /// The value of a field; none where it is empty, which is noted if it must not be.
    fn cell(&mut self, cell: &Cell) -> Option<Value> {
        let text = self.form.text(&cell.path).trim();
        match cell.param.kind {
            Kind::YesNo | Kind::YesNos => {
                let is_yes = text == YES;
                return (is_yes || cell.param.required || cell.param.kind == Kind::YesNos)
                    .then_some(Value::Bool(is_yes));
            }
            _ if text.is_empty() => {
                if cell.param.required && is_nullable(cell.param) {
                    return Some(Value::Null);
                }
                if cell.param.required {
                    self.problems.missing.push(cell.name.clone());
                }
                return None;
            }
            Kind::Text | Kind::Texts => return Some(Value::from(text)),
            Kind::Choice(words) => {
                if words.contains(&text) {
                    return Some(Value::from(text));
                }
                self.wrong(cell, format!("one of {}", words.join(", ")));
                return None;
            }
            Kind::Deviations if is_class(text) => return Some(Value::from(text)),
            Kind::Deviations => return self.deviations(cell),
            Kind::Number | Kind::Numbers | Kind::Grid | Kind::Objects => {}
        }
        self.number(cell)
    }

    fn number(&mut self, cell: &Cell) -> Option<Value> {
        let typed = self.form.fields.get(&cell.path)?;
        match unit_of(cell).read(&typed.text, length_unit(typed.is_inch)) {
            Ok(value) => Number::from_f64(value).map(Value::Number),
            Err(why) => {
                self.wrong(cell, why);
                None
            }
        }
    }

    fn deviations(&mut self, cell: &Cell) -> Option<Value> {
        let upper = self.number(cell);
        let lower = lower_of(cell, self.form)?;
        if self.form.text(&lower.path).trim().is_empty() {
            self.problems.missing.push(lower.name);
            return None;
        }
        let lower = self.number(&lower);
        let both = [("upper_um", upper?), ("lower_um", lower?)];
        Some(Value::Object(
            both.map(|(key, value)| (key.to_owned(), value))
                .into_iter()
                .collect(),
        ))
    }

    /// The values up to the last one that is there; a gap between them is noted.
    fn list(&mut self, cells: &[Cell]) -> Option<Value> {
        let is_yes_no = cells
            .first()
            .is_some_and(|cell| cell.param.kind == Kind::YesNos);
        let is_there = |cell: &Cell| is_yes_no || !self.form.text(&cell.path).trim().is_empty();
        let Some(last) = cells.iter().rposition(is_there) else {
            let first = cells.first()?;
            if first.param.required {
                self.problems.missing.push(first.name.clone());
            }
            return None;
        };
        let values = cells[..=last].iter().map(|cell| {
            let is_empty = !is_yes_no && self.form.text(&cell.path).trim().is_empty();
            if is_empty && !cell.param.required {
                self.problems.missing.push(cell.name.clone());
            }
            self.cell(cell)
        });
        values
            .collect::<Vec<_>>()
            .into_iter()
            .collect::<Option<Vec<_>>>()
            .map(Value::Array)
    }

    fn grid(&mut self, rows: &[Vec<Cell>]) -> Option<Value> {
        let rows = rows.iter().map(|row| self.list(row)).collect::<Vec<_>>();
        rows.into_iter()
            .collect::<Option<Vec<_>>>()
            .map(Value::Array)
    }

    fn wrong(&mut self, cell: &Cell, why: String) {
        self.problems.wrong.insert(cell.path.clone(), why);
    }
}

impl Problems {
    /// What a method refuses, at the field that it names and in the words of the page.
    pub fn refused(method: &Method, form: &Form, error: &InputError, unit: LengthUnit) -> Self {
        let cells = cells(&blocks(method, form), form);
        let key = error.key.replace(".upper_um", "");
        let found = cells
            .iter()
            .find(|cell| cell.path == key)
            .or_else(|| cells.iter().find(|cell| cell.path.starts_with(&key)))
            .or_else(|| cells.iter().find(|cell| key.starts_with(&cell.path)));
        let mut words = in_words(method, &error.problem);
        if let Some(cell) = found {
            let told = cell.param.unit;
            let is_other = unit == LengthUnit::Inch && matches!(told, "mm" | "um");
            if is_other && words.contains("allowed") && !words.contains(" mm ") {
                words = format!("{words} ({told})");
            }
        }
        let path = found.map(|cell| cell.path.clone()).unwrap_or_default();
        Self {
            missing: Vec::new(),
            wrong: BTreeMap::from([(path, words)]),
        }
    }
}

/// A sentence with the keys of a method replaced by what they mean.
fn in_words(method: &Method, problem: &str) -> String {
    let mut keys: Vec<(&str, &str)> = method
        .inputs
        .iter()
        .map(|param| {
            (
                param.key.rsplit('.').next().unwrap_or(param.key),
                name_of(param.meaning),
            )
        })
        .filter(|(key, _)| key.contains('_'))
        .collect();
    keys.extend([
        ("lower_um", "lower deviation"),
        ("upper_um", "upper deviation"),
    ]);
    // The longest first, since one key may hold another.
    keys.sort_by_key(|(key, _)| std::cmp::Reverse(key.len()));
    keys.into_iter()
        .fold(problem.to_owned(), |words, (key, meaning)| {
            words.replace(key, meaning)
        })
}
