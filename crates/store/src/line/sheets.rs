//! Lines with the fields of a sheet, and lines that amend what was signed.

use std::collections::BTreeMap;

use serde_json::Value;

use super::keys::{self, Keys};
use crate::draft::{DraftField, Fields, Source};
use crate::entry::LengthUnit;
use crate::error::{Result, StoreError};
use crate::logbook::Logbook;
use crate::payload::{Amendment, Change, Payload, SeatCheck};
use crate::sheet::{self, field};
use crate::time::Stamp;

/// A neck or a bore measured alone; a chock is judged by the type of its main seat.
pub(super) fn seat_check(logbook: &mut Logbook, keys: &mut Keys, at: Stamp) -> Result<SeatCheck> {
    let roll = keys.named_opt(logbook, "roll", "roll")?;
    let neck = keys.text_or("neck", "")?;
    let thing = match roll {
        Some(roll) => roll,
        None => keys.named(logbook, "chock", "chock")?,
    };
    let bearing_type = keys.named(logbook, "bearing_type", "bearing_type")?;
    let note = keys.text_or("note", "")?;
    let fields = sheet_fields(keys)?;
    let own = logbook.current_origin()?;
    let of = crate::state::find(logbook.connection(), &bearing_type, own)?;
    let body = sheet::seat_body(logbook, &fields, at, LengthUnit::Millimetre, Some(of))?;
    Ok(SeatCheck {
        thing,
        neck,
        bearing_type,
        body,
        note,
    })
}

/// An event is withdrawn, or places of its payload are changed. Results and verdicts of a sheet are judged anew by
/// [`crate::sheet::amend`]; here stands only what was asked for.
pub(super) fn amendment(logbook: &mut Logbook, keys: &mut Keys) -> Result<Payload> {
    let event = keys.event(logbook, "event")?;
    if let Some(Value::Object(map)) = keys.take("fields") {
        let reason = keys.text("reason")?;
        let mut edits = BTreeMap::new();
        for (path, value) in map {
            let text = keys::as_text(&value)
                .ok_or_else(|| StoreError::input(&path, "is a text or a number"))?;
            edits.insert(path, text);
        }
        let no = crate::state::find_event(logbook.connection(), &event, logbook.current_origin()?)?;
        return sheet::amend(logbook, no, &edits, &reason).map(Payload::Amendment);
    }
    let withdrawn_because = keys.text_or("withdrawn_because", "")?;
    let mut changes = Vec::new();
    if let Some(value) = keys.take("changes") {
        let example = "is a list: [{\"path\":\"/reason\",\"old\":\"a\",\"new\":\"b\",\"reason\":\"misread\"}]";
        let read: Vec<Change> = serde_json::from_value(value)
            .map_err(|e| StoreError::input("changes", format!("{e}; it {example}")))?;
        changes = read;
    }
    Ok(Payload::Amendment(Amendment {
        event,
        withdrawn_because,
        changes,
        follows: Vec::new(),
    }))
}

/// The fields of a sheet, and the reasons for what was left out as fields of their own.
pub(super) fn sheet_fields(keys: &mut Keys) -> Result<Fields> {
    let mut fields = Fields::new();
    for (key, prefix) in [("fields", ""), ("skip", "skip.")] {
        let Some(value) = keys.take(key) else {
            if key == "fields" {
                return Err(keys.missing(key));
            }
            continue;
        };
        let Value::Object(map) = value else {
            return Err(StoreError::input(
                key,
                "is a list of names with their texts: {\"identify.chock\":\"WC-17\"}",
            ));
        };
        for (name, value) in map {
            let path = format!("{prefix}{name}");
            if field::kind(&path).is_none() {
                return Err(StoreError::input(path, "is no field of a sheet"));
            }
            let text = keys::as_text(&value)
                .ok_or_else(|| StoreError::input(&path, "is a text or a number"))?;
            let field = DraftField {
                text,
                source: Source::Imported,
            };
            if fields.insert(path.clone(), field).is_some() {
                return Err(StoreError::input(path, "stands twice in the line"));
            }
        }
    }
    Ok(fields)
}
