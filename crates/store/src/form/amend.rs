//! Fields of a signed sheet are typed anew; what differs then is the amendment.

use std::collections::BTreeMap;

use serde_json::Value;

use super::body::fields_of;
use crate::draft::{DraftField, Fields, Source};
use crate::error::{Result, StoreError};
use crate::event::Event;
use crate::id::Ref;
use crate::payload::{Amendment, Change, Payload, SheetBody};
use crate::sheet::{FieldState, field};
use crate::time::Stamp;

/// The fields of a signed sheet with `edits` in their place, an empty text for what was never there; `is_fixed` names
/// what is never amended.
pub(crate) fn typed_anew(
    body: &SheetBody,
    edits: &BTreeMap<String, String>,
    sheet: &str,
    is_fixed: impl Fn(&str) -> bool,
) -> Result<Fields> {
    let mut fields = fields_of(body);
    for (path, text) in edits {
        if field::kind(path).is_none() {
            return Err(StoreError::input(path, format!("is no field of a {sheet}")));
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
    Ok(fields)
}

/// Everything of the day as it was before the sheet itself moved anything.
pub(crate) fn just_before(written: &Event) -> Stamp {
    Stamp {
        ms: written.at.ms - 1,
        ..written.at
    }
}

/// Refuses an edit that says what cannot be, and one by which something that nobody touched would say something else:
/// a code may be another by now, so that its field is amended too. What is fixed stays as it was signed anyway.
pub(crate) fn refuse_what_cannot_be(
    body: &SheetBody,
    edits: &BTreeMap<String, String>,
    states: &BTreeMap<String, FieldState>,
    is_fixed: impl Fn(&str) -> bool,
) -> Result<()> {
    for (path, state) in states {
        let Some(problem) = state.problem.as_ref().filter(|p| p.is_refusal) else {
            continue;
        };
        if edits.contains_key(path) {
            return Err(StoreError::input(field::label(path), &problem.text));
        }
        if !is_fixed(path) {
            let text = problem.text.trim_end_matches('.');
            let why = format!("would be refused by now ({text}): amend it too");
            return Err(StoreError::input(field::label(path), why));
        }
    }
    for reading in body
        .readings
        .iter()
        .filter(|r| !edits.contains_key(&r.path))
    {
        let is_read_alike = states
            .get(&reading.path)
            .is_some_and(|s| s.value == Some(reading.value) && s.unit == reading.unit);
        if !is_read_alike {
            let why = "would be read otherwise than it was signed: amend it too";
            return Err(StoreError::input(field::label(&reading.path), why));
        }
    }
    Ok(())
}

/// What differs between a sheet as it counts and as it is now: what was typed, and what follows from it.
pub(crate) fn amendment_of(
    event: Ref,
    known: Payload,
    now: Payload,
    reason: &str,
) -> Result<Amendment> {
    let json = |sheet: Payload| {
        serde_json::from_str::<Value>(&sheet.write()?.1)
            .map_err(|e| StoreError::input("event", e.to_string()))
    };
    // Beside the readings of a seat nothing follows: every value there was typed.
    let is_seat = matches!(known, Payload::SeatCheck(_) | Payload::Returned(_));
    let mut found = Vec::new();
    differences("", &json(known)?, &json(now)?, &mut found);
    let (mut changes, follows): (Vec<Change>, Vec<Change>) =
        found.into_iter().partition(|change| {
            is_typed(&change.path) || (is_seat && !change.path.starts_with("/body"))
        });
    if changes.is_empty() {
        return Err(StoreError::Refused(
            "nothing changes: what was typed is what the sheet says".into(),
        ));
    }
    for change in &mut changes {
        reason.clone_into(&mut change.reason);
    }
    Ok(Amendment {
        event,
        withdrawn_because: String::new(),
        changes,
        follows,
    })
}

/// True for what a person typed; everything else follows from it.
fn is_typed(path: &str) -> bool {
    ["/body/readings", "/body/entries", "/body/not_measured"]
        .iter()
        .any(|start| path.starts_with(start))
}

/// True for a place of the readings that nobody types: a result, a verdict, and what a text means apart from the text.
pub(crate) fn only_follows(path: &str) -> bool {
    let is_whole_reading = path
        .strip_prefix("/body/readings/")
        .is_none_or(|rest| !rest.contains('/'));
    (path == "/body" || path.starts_with("/body/")) && !(is_typed(path) && is_whole_reading)
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
