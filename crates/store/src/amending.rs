//! The places of a signed event as a person reads and corrects them: what each is called, what stands there in words,
//! and what a text typed there means.
//!
//! A place of a sheet is a field, and everything that follows from it is judged anew ([`crate::sheet::amend`]). A place
//! of any other event is a value of its payload; in which unit it is told and typed, its name and its event say (`told`).

mod lists;
mod told;
mod typed;

use std::collections::BTreeMap;

use rusqlite::Connection;
use serde_json::Value;

use crate::entry::Show;
use crate::error::{Result, StoreError};
use crate::event::Event;
use crate::id::{Origin, Ref, ThingNo};
use crate::logbook::Logbook;
use crate::payload::{Amendment, Change, Payload};
use crate::sheet;
use crate::state;
use crate::time::Stamp;

use self::told::Told;
use self::typed::{seats_in, typed_places};

/// Names in payloads that hold the name of an event: things of the register, sheets, batches.
const REFS: [&str; 23] = [
    "bearing",
    "bearing_type",
    "chock",
    "roll",
    "position",
    "position_o",
    "position_d",
    "chock_o",
    "chock_d",
    "thing",
    "gauge",
    "grease",
    "batch",
    "witness",
    "outer",
    "inner",
    "chocks",
    "sheet",
    "event",
    "fitter",
    "ordered_by",
    "kept",
    "joined",
];

/// One place of an event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Its name: a field of the sheet, or a JSON pointer into the payload.
    pub path: String,
    /// What people call it.
    pub label: String,
    /// What counts there now, in words that could be typed.
    pub text: String,
    /// What was written there, where that is something else.
    pub written: Option<String>,
    /// The unit that a number without one is read in; empty for words.
    pub unit: String,
    /// True for what the event is about: it is withdrawn and entered anew instead.
    pub is_fixed: bool,
}

/// Every place of an event, in the order of its payload. Empty for one that is never amended.
pub fn places(conn: &Connection, event: &Event, show: Show) -> Result<Vec<Place>> {
    let written = Payload::read(&event.kind, event.kind_version, &event.payload)?;
    let now = state::what_counts(conn, event)?.unwrap_or_else(|| written.clone());
    let rows = show.rows.of(crate::query::rows_of(conn, event)?);
    match (&written, &now) {
        (Payload::TeardownSheet(was), Payload::TeardownSheet(is)) => {
            return Ok(typed_places(&was.body, &is.body, false, rows));
        }
        (Payload::MountingSheet(was), Payload::MountingSheet(is)) => {
            return Ok(typed_places(&was.body, &is.body, true, rows));
        }
        _ => {}
    }
    let (was, is) = (json_of(&written)?, json_of(&now)?);
    let mut found = Vec::new();
    leaves("", &is, &mut found);
    let words = Words { conn, event, show };
    let mut all = Vec::new();
    for (path, value) in found {
        let told = told::of(conn, event, &path, &is)?;
        let before = match was.pointer(&path) {
            Some(before) if *before != value => Some(words.of(&path, before, told)?),
            _ => None,
        };
        all.push(Place {
            label: show.rows.four().told(&label_in(&path, &is)),
            text: words.of(&path, &value, told)?,
            written: before,
            unit: told.sign(show),
            is_fixed: is_what_was_measured(&now, &path),
            path,
        });
    }
    all.extend(lists::unsaid(conn, event, &is, show)?);
    if let (Some(was), Some(is)) = (seats_in(&written), seats_in(&now)) {
        all.extend(typed_places(was, is, false, rows));
    }
    Ok(all)
}

/// What a measurement is of: the thing, and which neck.
fn is_what_was_measured(payload: &Payload, path: &str) -> bool {
    seats_in(payload).is_some() && matches!(path, "/thing" | "/neck")
}

fn json_of(payload: &Payload) -> Result<Value> {
    let (_, text) = payload.write()?;
    serde_json::from_str(&text).map_err(|e| StoreError::input("event", e.to_string()))
}

/// The amendment that makes these places say these texts; nothing is written.
///
/// # Errors
/// A place is named with what is wrong in its text; nothing changes; the event is gone or withdrawn.
pub fn amend(
    logbook: &Logbook,
    event: ThingNo,
    edits: &[(String, String)],
    reason: &str,
    show: Show,
) -> Result<Amendment> {
    if reason.trim().is_empty() {
        return Err(StoreError::input("reason", "say how that is known"));
    }
    let conn = logbook.connection();
    let written = state::event(conn, event)?;
    let Some(now) = state::what_counts(conn, &written)? else {
        return Err(StoreError::Refused(
            "that event was withdrawn before".into(),
        ));
    };
    if matches!(now, Payload::TeardownSheet(_) | Payload::MountingSheet(_)) {
        let edits: BTreeMap<String, String> = edits.iter().cloned().collect();
        return sheet::amend(logbook, event, &edits, reason);
    }
    // Readings of a seat are typed anew as on a sheet; the values beside them are places of the payload.
    let (typed, values): (Vec<_>, Vec<_>) = edits
        .iter()
        .cloned()
        .partition(|(path, _)| seats_in(&now).is_some() && !path.starts_with('/'));
    let json = json_of(&now)?;
    let known = Known {
        words: Words {
            conn,
            event: &written,
            show,
        },
        json: &json,
        reason: reason.trim(),
    };
    let (listed, values): (Vec<_>, Vec<_>) = values
        .into_iter()
        .partition(|(path, _)| lists::is_of(&json, path));
    let mut changes = lists::changes(&known, &listed)?;
    for (path, text) in &values {
        if is_what_was_measured(&now, path) {
            return Err(StoreError::input(
                label(path),
                "is what was measured: withdraw the entry and enter it anew",
            ));
        }
        let old = json
            .pointer(path)
            .ok_or_else(|| StoreError::input(path, "is no place of that event"))?;
        let new = known.meant(path, old, text.trim())?;
        changes.extend(known.change(path, old, new));
    }
    if seats_in(&now).is_some() {
        let text = state::changed(&json.to_string(), &changes, &[])
            .map_err(|path| StoreError::input(path, "is no place of that event"))?;
        let with_values = Payload::read(&written.kind, written.kind_version, &text)?;
        let typed: BTreeMap<String, String> = typed.into_iter().collect();
        return sheet::amend_seat(logbook, &written, now, with_values, &typed, reason);
    }
    known.keeps_its_units(&changes)?;
    if changes.is_empty() {
        return Err(StoreError::Refused(
            "nothing changes: what was typed is what the event says".into(),
        ));
    }
    Ok(Amendment {
        event: logbook.name(event)?,
        withdrawn_because: String::new(),
        changes,
        follows: Vec::new(),
    })
}

/// The amendment that takes an event back whole.
pub fn withdraw(logbook: &Logbook, event: ThingNo, because: &str) -> Result<Amendment> {
    if because.trim().is_empty() {
        return Err(StoreError::input("reason", "say why it never happened"));
    }
    Ok(Amendment {
        event: logbook.name(event)?,
        withdrawn_because: because.trim().to_owned(),
        changes: Vec::new(),
        follows: Vec::new(),
    })
}

/// Every value of a payload with its pointer.
fn leaves(path: &str, value: &Value, found: &mut Vec<(String, Value)>) {
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                let is_own = matches!((path, key.as_str()), ("", "kind" | "kind_version" | "file"));
                // Readings are fields of a sheet, and what was judged of them is no place at all; a list of chocks is one.
                let is_other = matches!((path, key.as_str()), ("", "body" | "chocks"));
                if !is_own && !is_other {
                    leaves(&format!("{path}/{key}"), value, found);
                }
            }
        }
        Value::Array(items) => {
            for (i, value) in items.iter().enumerate() {
                leaves(&format!("{path}/{i}"), value, found);
            }
        }
        other => found.push((path.to_owned(), other.clone())),
    }
}

/// The last name on a path that is no number.
fn key(path: &str) -> &str {
    path.rsplit('/')
        .find(|part| !part.is_empty() && part.parse::<usize>().is_err())
        .unwrap_or("")
}

fn is_ref(path: &str) -> bool {
    REFS.contains(&key(path))
}

/// A place of a payload: of three values side by side each is one of a row pair, or its spacer.
fn label_in(path: &str, payload: &Value) -> String {
    let list = path.rsplit_once('/').and_then(|(list, index)| {
        let all = payload.pointer(list)?.as_array()?;
        Some((all.len(), index.parse::<usize>().ok()?))
    });
    match (list, key(path)) {
        (Some((3, index)), "spacer_nm") => format!("spacer S{}", index + 1),
        (Some((3, index)), "as_set_nm" | "clearance_nm") => {
            let words = key(path).trim_end_matches("_nm").replace('_', " ");
            format!("{words}, rows {}", calc::disposition::pair_rows(index))
        }
        _ => label(path),
    }
}

/// What people call a place: its name without the unit, and its number in a row.
fn label(path: &str) -> String {
    let name = key(path);
    let words = match name {
        "from_ms" => "went in",
        "run_s" => "mill hours",
        "rolled_kg" => "rolled",
        "due_ms" => "next calibration",
        "until_ms" => "until",
        "amount_minor" | "amount_mg" => "amount",
        "force_n" => "rolling force",
        "radial_n" => "mean radial force on each chock",
        "axial_n" => "mean axial force",
        "speed_mrpm" => "mean speed of the roll",
        "is_estimate" => "an estimate",
        "is_early_teardown" => "torn down early",
        "is_accepted" => "accepted",
        "is_done" => "done",
        "chock_o" => "chock, operator side",
        "chock_d" => "chock, drive side",
        "position_o" => "position, operator side",
        "position_d" => "position, drive side",
        _ => "",
    };
    let words = if words.is_empty() {
        name.trim_end_matches("_nm").replace('_', " ")
    } else {
        words.to_owned()
    };
    match path
        .rsplit('/')
        .next()
        .and_then(|part| part.parse::<usize>().ok())
    {
        Some(index) => format!("{words} {}", index + 1),
        None => words,
    }
}

/// What a place of an event is called, and a value that stands or stood there, in words with its unit.
pub(crate) fn in_words(
    conn: &Connection,
    event: &Event,
    path: &str,
    value: &Value,
    show: Show,
) -> Result<(String, String)> {
    let payload = serde_json::from_str(&event.payload).unwrap_or_default();
    let told = told::of(conn, event, path, &payload)?;
    let say = Words { conn, event, show };
    let words = match value {
        Value::Null => "nothing".to_owned(),
        Value::Array(all) if all.is_empty() => "nothing".to_owned(),
        Value::Array(all) => {
            let all: Result<Vec<String>> = all.iter().map(|one| say.of(path, one, told)).collect();
            all?.join(if is_ref(path) { " " } else { ", " })
        }
        _ => say.of(path, value, told)?,
    };
    let sign = match value {
        Value::Number(_) | Value::Array(_) if !is_ref(path) && words != "nothing" => {
            told.sign(show)
        }
        _ => String::new(),
    };
    let label = show.rows.four().told(&label_in(path, &payload));
    Ok((label, format!("{words} {sign}").trim().to_owned()))
}

#[derive(Clone, Copy)]
struct Words<'a> {
    conn: &'a Connection,
    event: &'a Event,
    show: Show,
}

impl Words<'_> {
    /// A value in words that could be typed.
    fn of(&self, path: &str, value: &Value, told: Told) -> Result<String> {
        Ok(match value {
            Value::Bool(yes) => if *yes { "yes" } else { "no" }.into(),
            Value::Number(_) | Value::String(_) if is_ref(path) => {
                let name: Ref = serde_json::from_value(value.clone())
                    .map_err(|e| StoreError::input(path, e.to_string()))?;
                let no = state::find(self.conn, &name, self.event.id.origin)?;
                let code = crate::query::code_of(self.conn, no)?;
                if code == "?" {
                    crate::append::event_id(self.conn, no)?.to_string()
                } else {
                    code
                }
            }
            Value::String(text) => text.clone(),
            Value::Number(number) => {
                let number = number.as_i64().unwrap_or(0);
                match told {
                    Told::Day => Stamp::second(number, self.event.at.offset_min).date_time(),
                    _ => told.show(number, self.show),
                }
            }
            Value::Null | Value::Array(_) | Value::Object(_) => String::new(),
        })
    }
}

/// An event as it counts, while texts for its places are read.
struct Known<'a> {
    words: Words<'a>,
    json: &'a Value,
    reason: &'a str,
}

impl Known<'_> {
    /// What a text typed at a place means; the text that stands there means what stands there, however it was rounded.
    fn meant(&self, path: &str, old: &Value, text: &str) -> Result<Value> {
        let Words { conn, event, show } = self.words;
        let told = told::of(conn, event, path, self.json)?;
        let wrong = |why: String| StoreError::input(label(path), why);
        if text == self.words.of(path, old, told)? {
            return Ok(old.clone());
        }
        if is_ref(path) {
            return thing_meant(conn, event.id.origin, path, old, text);
        }
        match old {
            Value::Bool(_) => match text.to_lowercase().as_str() {
                "yes" => Ok(Value::Bool(true)),
                "no" => Ok(Value::Bool(false)),
                _ => Err(wrong(format!("{text:?} is neither yes nor no"))),
            },
            Value::Number(_) | Value::Null if told == Told::Day => {
                Stamp::parse(text, event.at.offset_min)
                    .map(|at| at.ms.into())
                    .ok_or_else(|| {
                        wrong(format!(
                            "{text:?} is no date: type it as 2031-03-14 or 2031-03-14 09:30"
                        ))
                    })
            }
            Value::Number(_) | Value::Null => told
                .read(text, show)
                .map(Value::from)
                .map_err(|e| wrong(e.to_string())),
            _ => Ok(Value::String(text.to_owned())),
        }
    }

    /// No number comes to mean something else because what was read, or the gauge, is another one.
    fn keeps_its_units(&self, changes: &[Change]) -> Result<()> {
        let Words { conn, event, .. } = self.words;
        let text = state::changed(&self.json.to_string(), changes, &[])
            .map_err(|path| StoreError::input(path, "is no place of that event"))?;
        let after: Value =
            serde_json::from_str(&text).map_err(|e| StoreError::input("event", e.to_string()))?;
        let mut found = Vec::new();
        leaves("", self.json, &mut found);
        for (path, value) in found {
            let is_other =
                told::of(conn, event, &path, self.json)? != told::of(conn, event, &path, &after)?;
            if value.is_number() && is_other {
                return Err(StoreError::input(
                    label(&path),
                    "would be read in another unit by that: withdraw the entry and enter it anew",
                ));
            }
        }
        Ok(())
    }

    /// The change of a place, where it is one.
    fn change(&self, path: &str, old: &Value, new: Value) -> Option<Change> {
        (new != *old).then(|| Change {
            path: path.to_owned(),
            old: old.clone(),
            new,
            reason: self.reason.to_owned(),
        })
    }
}

/// A thing of the same sort as the one that stood there, by its code.
fn thing_meant(
    conn: &Connection,
    own: Origin,
    path: &str,
    old: &Value,
    text: &str,
) -> Result<Value> {
    let known: Ref = serde_json::from_value(old.clone()).map_err(|_| {
        StoreError::input(label(path), "nothing stands there that could be amended")
    })?;
    let no = state::find(conn, &known, own)?;
    let entity: String =
        conn.query_row("SELECT entity FROM thing WHERE no = ?1", [no.0], |row| {
            row.get(0)
        })?;
    let found = sheet::thing_by_code(conn, &entity, text)?.ok_or_else(|| {
        StoreError::input(label(path), format!("{text:?} is not in the register"))
    })?;
    if found.0 == no {
        return Ok(old.clone());
    }
    let name = Ref::new(crate::append::event_id(conn, found.0)?, own);
    serde_json::to_value(name).map_err(|e| StoreError::input(label(path), e.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_called_as_people_call_them() {
        assert_eq!(label("/as_set_nm/1"), "as set 2");
        assert_eq!(label("/run_s"), "mill hours");
        assert_eq!(label("/reason"), "reason");
        assert!(is_ref("/chocks/2") && !is_ref("/zone"));
    }

    #[test]
    fn readings_that_were_never_made_are_no_place_to_type_into() {
        let returned = serde_json::json!({
            "kind": "returned", "thing": 10, "note": "", "as_set_nm": [310_000], "body": null, "kind_version": 1
        });
        let mut found = Vec::new();
        leaves("", &returned, &mut found);
        let mut paths: Vec<&str> = found.iter().map(|(path, _)| path.as_str()).collect();
        paths.sort_unstable();
        assert_eq!(paths, ["/as_set_nm/0", "/note", "/thing"]);
    }
}
