//! The keys of one line: read once each, so that what is left over is unknown.

use std::ops::RangeInclusive;

use rusqlite::{Connection, params};
use serde_json::{Map, Value};

use crate::entry::{self, LengthUnit, NotAValue, Quantity};
use crate::error::{Result, StoreError};
use crate::id::{Ref, ThingNo};
use crate::logbook::Logbook;
use crate::time::Stamp;

/// The sorts of things that may stand instead of `thing`.
const THINGS: [&str; 9] = [
    "bearing",
    "chock",
    "roll",
    "gauge",
    "position",
    "stand",
    "chock_type",
    "grease",
    "seal_batch",
];

/// What is left of a line.
pub(super) struct Keys {
    map: Map<String, Value>,
    /// Names asked for so far, for the error.
    known: Vec<String>,
    /// Kind of the line, for the error.
    pub of: String,
    offset_min: i64,
}

impl Keys {
    /// Reads one JSON object; times without an offset get `offset_min`.
    pub(super) fn parse(line: &str, offset_min: i64) -> Result<Self> {
        let example =
            "a line is one JSON object such as {\"kind\":\"dismounted\",\"chock\":\"WC-17\"}";
        match super::read_once(line) {
            Ok(Value::Object(map)) => Ok(Self {
                map,
                known: Vec::new(),
                of: "any".into(),
                offset_min,
            }),
            Ok(_) => Err(StoreError::input("line", example)),
            Err(e) => Err(StoreError::input("line", format!("{e}: {example}"))),
        }
    }

    /// Takes a value out; `null` counts as absent.
    pub(super) fn take(&mut self, key: &str) -> Option<Value> {
        if !self.known.iter().any(|known| known == key) {
            self.known.push(key.into());
        }
        self.map.remove(key).filter(|value| !value.is_null())
    }

    pub(super) fn missing(&self, key: &str) -> StoreError {
        StoreError::input(
            key,
            format!("is missing: a line of kind {} needs it", self.of),
        )
    }

    /// Refuses what nobody asked for.
    pub(super) fn finish(&self) -> Result<()> {
        let Some(key) = self.map.keys().min() else {
            return Ok(());
        };
        let why = format!(
            "is no key of a line of kind {}; it has {}",
            self.of,
            self.known.join(", ")
        );
        Err(StoreError::input(key, why))
    }

    pub(super) fn text_opt(&mut self, key: &str) -> Result<Option<String>> {
        let Some(value) = self.take(key) else {
            return Ok(None);
        };
        as_text(&value)
            .map(Some)
            .ok_or_else(|| StoreError::input(key, "is a text"))
    }

    /// As [`Keys::whole`]; 0 where it is not given.
    pub(super) fn whole_or(&mut self, key: &str, range: RangeInclusive<i64>) -> Result<i64> {
        if self.map.get(key).is_none_or(Value::is_null) {
            self.known.push(key.into());
            return Ok(0);
        }
        self.whole(key, range)
    }

    /// A text that says something.
    pub(super) fn text(&mut self, key: &str) -> Result<String> {
        let text = self.text_opt(key)?.filter(|text| !text.trim().is_empty());
        text.ok_or_else(|| self.missing(key))
    }

    pub(super) fn text_or(&mut self, key: &str, otherwise: &str) -> Result<String> {
        Ok(self.text_opt(key)?.unwrap_or_else(|| otherwise.into()))
    }

    pub(super) fn flag_or(&mut self, key: &str, otherwise: bool) -> Result<bool> {
        match self.take(key) {
            None => Ok(otherwise),
            Some(Value::Bool(flag)) => Ok(flag),
            Some(_) => Err(StoreError::input(key, "is true or false")),
        }
    }

    pub(super) fn time_or(&mut self, key: &str, otherwise: Stamp) -> Result<Stamp> {
        let Some(text) = self.text_opt(key)? else {
            return Ok(otherwise);
        };
        let why = || format!("{text:?} is no time: write 2026-10-30 or 2026-10-30T06:10");
        Stamp::parse(&text, self.offset_min).ok_or_else(|| StoreError::input(key, why()))
    }

    pub(super) fn time(&mut self, key: &str) -> Result<Stamp> {
        let start = Stamp::second(0, 0);
        if self.map.contains_key(key) {
            self.time_or(key, start)
        } else {
            Err(self.missing(key))
        }
    }

    pub(super) fn time_opt(&mut self, key: &str) -> Result<Option<Stamp>> {
        if self.map.contains_key(key) {
            self.time(key).map(Some)
        } else {
            Ok(None)
        }
    }

    pub(super) fn whole(&mut self, key: &str, range: RangeInclusive<i64>) -> Result<i64> {
        let text = self.text(key)?;
        let number = text.trim().parse().ok().filter(|n| range.contains(n));
        let why = || {
            format!(
                "{text:?} is no whole number from {} to {}",
                range.start(),
                range.end()
            )
        };
        number.ok_or_else(|| StoreError::input(key, why()))
    }

    /// A number times `per_one`, rounded once, half away from zero; never negative.
    pub(super) fn scaled(&mut self, key: &str, per_one: i64) -> Result<i64> {
        self.scaled_opt(key, per_one)?
            .ok_or_else(|| self.missing(key))
    }

    pub(super) fn scaled_opt(&mut self, key: &str, per_one: i64) -> Result<Option<i64>> {
        let Some(text) = self.text_opt(key)? else {
            return Ok(None);
        };
        let value = in_key(key, entry::scaled(&text, per_one))?;
        if value < 0 {
            return Err(StoreError::input(key, format!("{text} is negative")));
        }
        Ok(Some(value))
    }

    /// As [`Keys::scaled`], of which there may be thousands: `"2,010"` is refused.
    pub(super) fn amount(&mut self, key: &str, per_one: i64) -> Result<i64> {
        self.amount_opt(key, per_one)?
            .ok_or_else(|| self.missing(key))
    }

    pub(super) fn amount_opt(&mut self, key: &str, per_one: i64) -> Result<Option<i64>> {
        let text = self.map.get(key).and_then(as_text);
        if let Some(text) = text {
            in_key(key, entry::amount(&text, per_one, false))?;
        }
        self.scaled_opt(key, per_one)
    }

    /// A number that may be negative.
    pub(super) fn signed_opt(&mut self, key: &str, per_one: i64) -> Result<Option<i64>> {
        let text = self.text_opt(key)?;
        text.map(|text| in_key(key, entry::scaled(&text, per_one)))
            .transpose()
    }

    /// A list of sizes in mm, or in the unit that a text names; absent is empty.
    pub(super) fn lengths(&mut self, key: &str) -> Result<Vec<i64>> {
        let Some(value) = self.take(key) else {
            return Ok(Vec::new());
        };
        let Value::Array(items) = value else {
            return Err(StoreError::input(key, "is a list: [0.300, 0.305, 0.295]"));
        };
        let read = |item: &Value| {
            let text =
                as_text(item).ok_or_else(|| StoreError::input(key, "is a list of numbers"))?;
            Ok(in_key(
                key,
                entry::read(&text, Quantity::Length, LengthUnit::Millimetre),
            )?
            .value)
        };
        items.iter().map(read).collect()
    }

    /// A thing of one sort.
    pub(super) fn named(
        &mut self,
        logbook: &Logbook,
        key: &str,
        entity: &'static str,
    ) -> Result<Ref> {
        let code = self.text(key)?;
        reference(logbook, key, entity, &code)
    }

    /// A thing of one sort, where one is named.
    pub(super) fn named_opt(
        &mut self,
        logbook: &Logbook,
        key: &str,
        entity: &'static str,
    ) -> Result<Option<Ref>> {
        let code = self.text_opt(key)?;
        code.map(|code| reference(logbook, key, entity, &code))
            .transpose()
    }

    /// The chock, or the roll, that a bearing is put into or on.
    pub(super) fn seat_of(&mut self, logbook: &Logbook) -> Result<Ref> {
        match self.text_opt("roll")? {
            Some(code) => reference(logbook, "roll", "roll", &code),
            None => self.named(logbook, "chock", "chock"),
        }
    }

    /// A list of things of one sort, by their codes.
    pub(super) fn all_named(
        &mut self,
        logbook: &Logbook,
        key: &str,
        entity: &'static str,
    ) -> Result<Vec<Ref>> {
        let codes = match self.take(key) {
            None => return Ok(Vec::new()),
            Some(Value::Array(codes)) => codes,
            Some(_) => return Err(StoreError::input(key, "is a list of codes: [\"WC-17\"]")),
        };
        let one = |code: &Value| {
            let code = as_text(code).ok_or_else(|| StoreError::input(key, "is a list of codes"))?;
            reference(logbook, key, entity, &code)
        };
        codes.iter().map(one).collect()
    }

    /// An event, where one is named.
    pub(super) fn event_opt(&mut self, logbook: &Logbook, key: &str) -> Result<Option<Ref>> {
        if self.map.get(key).is_some_and(|value| !value.is_null()) {
            return self.event(logbook, key).map(Some);
        }
        self.known.push(key.into());
        Ok(None)
    }

    /// An event by its short name as prints and the Log have it, `01020304:17`, or by its full one.
    pub(super) fn event(&mut self, logbook: &Logbook, key: &str) -> Result<Ref> {
        let name = self.text(key)?;
        let wrong = || {
            StoreError::input(
                key,
                format!(
                    "{name:?} names no event: ORIGIN:SEQ as the Log has it, such as 01020304:17"
                ),
            )
        };
        let (origin, seq) = name.trim().split_once(':').ok_or_else(wrong)?;
        let seq: i64 = seq.parse().map_err(|_| wrong())?;
        if origin.len() < 8 || !origin.chars().all(|c| c.is_ascii_hexdigit()) {
            return Err(wrong());
        }
        let sql = "SELECT no FROM event WHERE seq = ?1 AND hex(origin) LIKE ?2 || '%' LIMIT 2";
        let mut stmt = logbook.connection().prepare_cached(sql)?;
        let rows = stmt.query_map(params![seq, origin], |row| row.get(0).map(ThingNo))?;
        match rows.collect::<rusqlite::Result<Vec<_>>>()?.as_slice() {
            [no] => logbook.name(*no),
            _ => Err(wrong()),
        }
    }

    /// `thing`, or the name of its sort.
    pub(super) fn thing(&mut self, logbook: &Logbook) -> Result<Ref> {
        let mut given = Vec::new();
        if let Some(code) = self.text_opt("thing")? {
            given.push(("thing", code));
        }
        for entity in THINGS {
            if let Some(code) = self.text_opt(entity)? {
                given.push((entity, code));
            }
        }
        match given.as_slice() {
            [] => Err(self.missing("thing")),
            [("thing", code)] => any_reference(logbook, code),
            [(entity, code)] => reference(logbook, entity, entity, code),
            [.., (entity, _)] => Err(StoreError::input(
                *entity,
                "one line is about one thing: make two lines of it",
            )),
        }
    }
}

/// A text, or a number as JSON has it.
pub(super) fn as_text(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    }
}

/// What was typed wrongly, at its key.
pub(super) fn in_key<T>(key: &str, read: std::result::Result<T, NotAValue>) -> Result<T> {
    read.map_err(|e| StoreError::input(key, e.to_string()))
}

/// The things of a code, those written exactly so first.
fn find(
    conn: &Connection,
    entity: Option<&str>,
    code: &str,
) -> Result<Vec<(ThingNo, String, String)>> {
    let sql = "SELECT no, entity, code FROM thing
               WHERE code = ?1 COLLATE NOCASE AND (?2 IS NULL OR entity = ?2) ORDER BY code <> ?1, no";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map(params![code.trim(), entity], |row| {
        Ok((ThingNo(row.get(0)?), row.get(1)?, row.get(2)?))
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// The thing of this sort and code, if it is there.
pub(super) fn existing(logbook: &Logbook, entity: &str, code: &str) -> Result<Option<ThingNo>> {
    Ok(find(logbook.connection(), Some(entity), code)?
        .first()
        .map(|(no, ..)| *no))
}

/// How a payload names the thing of a sort and code.
pub(super) fn reference(
    logbook: &Logbook,
    key: &str,
    entity: &'static str,
    code: &str,
) -> Result<Ref> {
    let found = existing(logbook, entity, code)?;
    let hint = format!(" (key {key}): register it first");
    logbook.name(found.ok_or_else(|| StoreError::Unknown {
        what: entity,
        code: code.into(),
        hint,
    })?)
}

/// How a payload names the one thing of a code, whatever its sort.
fn any_reference(logbook: &Logbook, code: &str) -> Result<Ref> {
    let found: Vec<_> = find(logbook.connection(), None, code)?
        .into_iter()
        .filter(|(_, entity, _)| THINGS.contains(&entity.as_str()))
        .collect();
    match found.as_slice() {
        [] => {
            let hint = " (key thing): register it first".into();
            Err(StoreError::Unknown {
                what: "thing",
                code: code.into(),
                hint,
            })
        }
        [(no, ..)] => logbook.name(*no),
        several => {
            let names: Vec<_> = several
                .iter()
                .map(|(_, entity, code)| format!("\"{entity}\":\"{code}\""))
                .collect();
            Err(StoreError::input(
                "thing",
                format!(
                    "{code} may be several things: write {} instead",
                    names.join(" or ")
                ),
            ))
        }
    }
}
