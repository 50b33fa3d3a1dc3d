//! The places of a signed event as a person reads and corrects them: what each is called, what stands there in words,
//! and what a text typed there means.
//!
//! A place of a sheet is a field, and everything that follows from it is judged anew ([`crate::sheet::amend`]). A place
//! of any other event is a value of its payload; the end of its name says the unit, as everywhere in the record.

use std::collections::BTreeMap;

use rusqlite::Connection;
use serde_json::Value;

use crate::entry::{self, Quantity, Show};
use crate::error::{Result, StoreError};
use crate::event::Event;
use crate::form;
use crate::id::{Origin, Ref, ThingNo};
use crate::logbook::Logbook;
use crate::payload::{Amendment, Change, Payload};
use crate::rows::Rows;
use crate::sheet::{self, field};
use crate::state;
use crate::time::Stamp;

/// Names in payloads that hold the name of an event: things of the register, sheets, batches.
const REFS: [&str; 22] = [
    "bearing",
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
    pub unit: &'static str,
    /// True for what the event is about: it is withdrawn and entered anew instead.
    pub is_fixed: bool,
}

/// Every place of an event, in the order of its payload. Empty for one that is never amended.
pub fn places(conn: &Connection, event: &Event, show: Show) -> Result<Vec<Place>> {
    let written = Payload::read(&event.kind, event.kind_version, &event.payload)?;
    let now = state::what_counts(conn, event)?.unwrap_or_else(|| written.clone());
    let sheets = match (&written, &now) {
        (Payload::TeardownSheet(was), Payload::TeardownSheet(is)) => Some((&was.body, &is.body)),
        (Payload::MountingSheet(was), Payload::MountingSheet(is)) => Some((&was.body, &is.body)),
        _ => None,
    };
    if let Some((was, is)) = sheets {
        let is_mounting = matches!(now, Payload::MountingSheet(_));
        let (was, is) = (form::fields_of(was), form::fields_of(is));
        let mut paths: Vec<&String> = was.keys().chain(is.keys()).collect();
        if is_mounting {
            paths.sort_by_key(|path| (crate::mounting::field::rank(path), (*path).clone()));
        } else {
            paths.sort_by_key(|path| field::rank(path));
        }
        paths.dedup();
        let text = |fields: &crate::draft::Fields, path: &str| {
            fields
                .get(path)
                .map_or_else(String::new, |f| f.text.clone())
        };
        let rows = show.rows.of(crate::query::rows_of(conn, event)?);
        return Ok(paths
            .into_iter()
            .map(|path| Place {
                label: sheet_label(path, is_mounting, rows),
                text: text(&is, path),
                written: (text(&was, path) != text(&is, path)).then(|| text(&was, path)),
                path: path.clone(),
                unit: "",
                is_fixed: sheet::is_fixed(path) || path == "mount.outcome",
            })
            .collect());
    }
    let json = |payload: &Payload| -> Result<Value> {
        let (_, text) = payload.write()?;
        serde_json::from_str(&text).map_err(|e| StoreError::input("event", e.to_string()))
    };
    let (was, is) = (json(&written)?, json(&now)?);
    let mut found = Vec::new();
    leaves("", &is, &mut found);
    let words = Words { conn, event, show };
    found
        .into_iter()
        .map(|(path, value)| {
            let text = words.of(&path, &value)?;
            let before = match was.pointer(&path) {
                Some(before) if *before != value => Some(words.of(&path, before)?),
                _ => None,
            };
            Ok(Place {
                label: show.rows.four().told(&label_in(&path, &is)),
                text,
                written: before,
                unit: unit(&path, show),
                path,
                is_fixed: false,
            })
        })
        .collect()
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
    let (_, text) = now.write()?;
    let json: Value =
        serde_json::from_str(&text).map_err(|e| StoreError::input("event", e.to_string()))?;
    let mut changes = Vec::new();
    for (path, text) in edits {
        let old = json
            .pointer(path)
            .ok_or_else(|| StoreError::input(path, "is no place of that event"))?;
        let new = meant(conn, &written, path, old, text.trim(), show)?;
        if new != *old {
            changes.push(Change {
                path: path.clone(),
                old: old.clone(),
                new,
                reason: reason.trim().to_owned(),
            });
        }
    }
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
                // Readings that were never made are no place: nobody types a grid into one field.
                let is_unread = key == "body" && value.is_null();
                if !is_own && !is_unread {
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

/// What people call a place: its name without the unit, and its number in a row.
/// A place of a sheet. The row of a finding is typed here as it is kept, so its name says from where it counts.
fn sheet_label(path: &str, is_mounting: bool, rows: Rows) -> String {
    if is_mounting {
        return rows.told(&crate::mounting::field::name(path));
    }
    match crate::sheet::findings::parse(path) {
        Some((_, crate::sheet::findings::Key::Row)) => {
            format!("{}, counted from the barrel", field::label(path))
        }
        _ => rows.told(&field::label(path)),
    }
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

/// How many of the record make one of the unit in which people say it; none where it is no such number.
fn scale(name: &str) -> Option<(i64, u32, &'static str)> {
    Some(match name {
        "run_s" => (3_600, 2, "h"),
        "rolled_kg" => (1_000, 1, "t"),
        "amount_mg" => (1_000, 0, "g"),
        "amount_minor" => (100, 2, ""),
        "force_n" => (1_000_000, 1, "MN"),
        "radial_n" | "axial_n" => (1_000, 3, "kN"),
        "speed_mrpm" => (1_000, 3, "1/min"),
        "expanded_uncertainty" | "error" => (1_000, 1, ""),
        _ => return None,
    })
}

fn unit(path: &str, show: Show) -> &'static str {
    let name = key(path);
    if name.ends_with("_nm") {
        return show.unit.sign();
    }
    scale(name).map_or("", |(_, _, unit)| unit)
}

/// What a place of an event is called, and a value that stands or stood there, in words with its unit.
pub(crate) fn in_words(
    conn: &Connection,
    event: &Event,
    path: &str,
    value: &Value,
    show: Show,
) -> Result<(String, String)> {
    let words = match value {
        Value::Null => "nothing".to_owned(),
        _ => Words { conn, event, show }.of(path, value)?,
    };
    let sign = match value {
        Value::Number(_) if !is_ref(path) => unit(path, show),
        _ => "",
    };
    let payload = serde_json::from_str(&event.payload).unwrap_or_default();
    let label = show.rows.four().told(&label_in(path, &payload));
    Ok((label, format!("{words} {sign}").trim().to_owned()))
}

struct Words<'a> {
    conn: &'a Connection,
    event: &'a Event,
    show: Show,
}

impl Words<'_> {
    /// A value in words that could be typed.
    fn of(&self, path: &str, value: &Value) -> Result<String> {
        let name = key(path);
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
                if name.ends_with("_nm") {
                    self.show.length(number)
                } else if name.ends_with("_ms") {
                    Stamp::second(number, self.event.at.offset_min).date_time()
                } else if let Some((per_one, places, _)) = scale(name) {
                    self.show.decimals(number, per_one, places)
                } else {
                    number.to_string()
                }
            }
            Value::Null | Value::Array(_) | Value::Object(_) => String::new(),
        })
    }
}

/// What a text typed at a place means.
fn meant(
    conn: &Connection,
    event: &Event,
    path: &str,
    old: &Value,
    text: &str,
    show: Show,
) -> Result<Value> {
    let name = key(path);
    let wrong = |why: String| StoreError::input(label(path), why);
    if is_ref(path) {
        return thing_meant(conn, event.id.origin, path, old, text);
    }
    match old {
        Value::Bool(_) => match text.to_lowercase().as_str() {
            "yes" => Ok(Value::Bool(true)),
            "no" => Ok(Value::Bool(false)),
            _ => Err(wrong(format!("{text:?} is neither yes nor no"))),
        },
        Value::Null if text.is_empty() => Ok(Value::Null),
        Value::Number(_) | Value::Null if name.ends_with("_ms") => {
            Stamp::parse(text, event.at.offset_min)
                .map(|at| at.ms.into())
                .ok_or_else(|| {
                    wrong(format!(
                        "{text:?} is no date: type it as 2031-03-14 or 2031-03-14 09:30"
                    ))
                })
        }
        Value::Number(_) | Value::Null => {
            let number = if name.ends_with("_nm") {
                entry::read(text, Quantity::Length, show.unit).map(|typed| typed.value)
            } else {
                let per_one = scale(name).map_or(1, |(per_one, ..)| per_one);
                if matches!(name, "force_n" | "expanded_uncertainty" | "error") {
                    entry::scaled(text, per_one)
                } else {
                    entry::amount(text, per_one, show.comma)
                }
            };
            number.map(Value::from).map_err(|e| wrong(e.to_string()))
        }
        _ => Ok(Value::String(text.to_owned())),
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
        assert_eq!(unit("/rolled_kg", Show::default()), "t");
        assert_eq!(unit("/spacer_nm/0", Show::default()), "mm");
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
