//! A signed sheet is amended: fields are typed anew, and all that follows is judged again by the limits of that day.

use std::collections::BTreeMap;

use serde_json::Value;

use super::assess::assess;
use super::facts::Facts;
use super::field;
use super::sign::{self, Sheet};
use crate::draft::{DraftField, Fields, Source};
use crate::entry::{LengthUnit, Show};
use crate::error::{Result, StoreError};
use crate::id::{Ref, ThingNo};
use crate::logbook::Logbook;
use crate::payload::{Amendment, Change, Payload, SheetBody, TeardownSheet};
use crate::state;
use crate::time::Stamp;

/// The amendment of a signed sheet, ready to be signed: `edits` are fields and what is true there, an empty text for
/// what was never there. Nothing is written.
///
/// # Errors
/// Where the event is no sheet, a field is none or says nothing that can be, or where nothing would change. The things
/// that a sheet is about are not amended: such a sheet is withdrawn and entered anew.
pub fn amend(
    logbook: &Logbook,
    event: ThingNo,
    edits: &BTreeMap<String, String>,
    reason: &str,
) -> Result<Amendment> {
    let conn = logbook.connection();
    let written = state::event(conn, event)?;
    let known = match state::what_counts(conn, &written)? {
        Some(Payload::TeardownSheet(known)) => known,
        Some(Payload::MountingSheet(known)) => {
            return crate::mounting::amend(logbook, &written, &known, edits, reason);
        }
        _ => {
            let why = "is no sheet, or it was withdrawn";
            return Err(StoreError::input("event", why));
        }
    };
    let mut fields = fields_of(&known);
    for (path, text) in edits {
        if field::kind(path).is_none() {
            return Err(StoreError::input(path, "is no field of a teardown sheet"));
        }
        if is_fixed(path) {
            return Err(StoreError::input(
                field::label(path),
                "is what the sheet is about: withdraw the sheet and enter it anew",
            ));
        }
        let field = DraftField {
            text: text.trim().to_owned(),
            source: Source::Typed,
        };
        fields.insert(path.clone(), field);
    }
    fields.retain(|_, field| !field.text.is_empty());
    // Everything of the day as it was before the sheet itself moved the bearing.
    let before = Stamp {
        ms: written.at.ms - 1,
        ..written.at
    };
    let mut facts = Facts::load(conn, &fields, before)?;
    facts.at = written.at;
    let assessment = assess(&fields, &facts, unit_of(&known));
    let refused = assessment.fields.iter().find(|(path, state)| {
        edits.contains_key(*path) && state.problem.as_ref().is_some_and(|p| p.is_refusal)
    });
    if let Some((path, state)) = refused {
        let why = state.problem.as_ref().map_or("", |p| &p.text);
        return Err(StoreError::input(field::label(path), why));
    }
    let own = written.id.origin;
    let sheet = Sheet {
        fields: &fields,
        facts: &facts,
        assessment: &assessment,
        orders: None,
    };
    let mut now = sign::payload(conn, own, &sheet)?;
    now.bearing.clone_from(&known.bearing);
    now.chock.clone_from(&known.chock);
    now.roll.clone_from(&known.roll);
    now.position.clone_from(&known.position);
    now.ordered_by.clone_from(&known.ordered_by);
    now.zone_found = now.zone_found.or(known.zone_found);
    now.body.photos.clone_from(&known.body.photos);
    let json = |sheet: TeardownSheet| {
        let text = Payload::TeardownSheet(sheet).write()?.1;
        serde_json::from_str::<Value>(&text).map_err(|e| StoreError::input("event", e.to_string()))
    };
    amendment_of(logbook.name(event)?, &json(known)?, &json(now)?, reason)
}

/// What differs between a sheet as it counts and as it is now: what was typed, and what follows from it.
pub(crate) fn amendment_of(
    event: Ref,
    known: &Value,
    now: &Value,
    reason: &str,
) -> Result<Amendment> {
    let (mut changes, mut follows) = (Vec::new(), Vec::new());
    let mut found = Vec::new();
    differences("", known, now, &mut found);
    for mut change in found {
        if is_typed(&change.path) {
            reason.clone_into(&mut change.reason);
            changes.push(change);
        } else {
            follows.push(change);
        }
    }
    if changes.is_empty() {
        return Err(StoreError::Refused(
            "nothing changes: what was typed is what the sheet says".into(),
        ));
    }
    Ok(Amendment {
        event,
        withdrawn_because: String::new(),
        changes,
        follows,
    })
}

/// The fields of a signed sheet as they were typed.
pub fn fields_of(sheet: &TeardownSheet) -> Fields {
    fields_of_body(&sheet.body)
}

/// The fields of any signed sheet as they were typed.
pub fn fields_of_body(body: &SheetBody) -> Fields {
    let field = |text: &str, source: &str| DraftField {
        text: text.to_owned(),
        source: Source::parse(source).unwrap_or(Source::Typed),
    };
    let readings = body
        .readings
        .iter()
        .map(|r| (r.path.clone(), field(&r.text, &r.source)));
    let entries = body
        .entries
        .iter()
        .map(|e| (e.path.clone(), field(&e.text, "typed")));
    let skipped = body
        .not_measured
        .iter()
        .map(|n| (format!("skip.{}", n.what), field(&n.reason, "typed")));
    readings.chain(entries).chain(skipped).collect()
}

/// The unit that lengths without one were typed in.
fn unit_of(sheet: &TeardownSheet) -> LengthUnit {
    let is_inch = sheet.body.readings.iter().any(|r| r.unit == "in");
    if is_inch {
        LengthUnit::Inch
    } else {
        LengthUnit::Millimetre
    }
}

/// What a sheet is about, and when: the place rules rest on it.
pub fn is_fixed(path: &str) -> bool {
    const FIXED: [&str; 5] = [
        "identify.chock",
        "identify.bearing",
        "identify.roll",
        "identify.position",
        "identify.at",
    ];
    FIXED.contains(&path) || path.starts_with("reassemble.") || path.starts_with("photo.")
}

/// True for what a person typed; everything else follows from it.
fn is_typed(path: &str) -> bool {
    ["/body/readings", "/body/entries", "/body/not_measured"]
        .iter()
        .any(|start| path.starts_with(start))
}

/// Every place where two payloads differ; rows of readings and the like are taken as one.
fn differences(path: &str, old: &Value, new: &Value, found: &mut Vec<Change>) {
    match (old, new) {
        _ if old == new => {}
        (Value::Object(a), Value::Object(b))
            if a.len() == b.len()
                && b.keys().all(|k| a.contains_key(k))
                && !a.contains_key("path") =>
        {
            for (key, value) in a {
                differences(&format!("{path}/{key}"), value, &b[key], found);
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (i, (old, new)) in a.iter().zip(b).enumerate() {
                differences(&format!("{path}/{i}"), old, new, found);
            }
        }
        _ => found.push(Change {
            path: path.to_owned(),
            old: old.clone(),
            new: new.clone(),
            reason: String::new(),
        }),
    }
}

/// A place of a payload in words: the label of a field, or the words of its path.
pub fn place_words(payload: &Value, change: &Change) -> String {
    let row = |value: &Value| value["path"].as_str().map(field::label);
    let label = row(&change.old)
        .or_else(|| row(&change.new))
        .or_else(|| payload.pointer(&change.path).and_then(row));
    label.unwrap_or_else(|| {
        let words: Vec<&str> = change
            .path
            .split('/')
            .filter(|w| !w.is_empty() && *w != "body")
            .collect();
        words.join(" ").replace('_', " ")
    })
}

/// What stands at a place, in words.
pub fn value_words(value: &Value, show: Show) -> String {
    match value {
        Value::Null => "nothing".into(),
        Value::String(text) => text.clone(),
        Value::Object(row) => {
            let text = row.get("text").and_then(Value::as_str).unwrap_or("");
            let unit = row.get("unit").and_then(Value::as_str).unwrap_or("");
            let with_unit = format!("{text} {unit}");
            match (text.is_empty(), row.get("verdict").and_then(Value::as_str)) {
                (false, _) => with_unit.trim().to_owned(),
                (true, Some(verdict)) => verdict.replace('_', " "),
                (true, None) => row
                    .get("value")
                    .and_then(Value::as_i64)
                    .map_or_else(|| "another row".into(), |nm| show.length(nm)),
            }
        }
        Value::Array(rows) => format!("{} rows", rows.len()),
        other => other.to_string(),
    }
}
