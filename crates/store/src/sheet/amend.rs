//! A signed sheet is amended: fields are typed anew, and all that follows is judged again by the limits of that day.

use std::collections::BTreeMap;

use serde_json::Value;

use super::assess::assess;
use super::facts::Facts;
use super::field;
use super::sign::{self, Sheet};
use crate::draft::Fields;
use crate::entry::Show;
use crate::error::{Result, StoreError};
use crate::form;
use crate::id::ThingNo;
use crate::logbook::Logbook;
use crate::payload::{Amendment, Change, Payload};
use crate::query::WearPool;
use crate::state;

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
        Some(known @ (Payload::SeatCheck(_) | Payload::Returned(_))) => {
            let now = known.clone();
            return super::amend_seat(logbook, &written, known, now, edits, reason);
        }
        _ => {
            let why = "is no sheet, or it was withdrawn";
            return Err(StoreError::input("event", why));
        }
    };
    let fields = form::amend::typed_anew(&known.body, edits, "teardown sheet", is_fixed)?;
    let before = form::amend::just_before(&written);
    let mut facts = Facts::load(conn, &fields, before)?.as_entered(conn, written.entered)?;
    facts.at = written.at;
    let unit = form::body::unit_of(&known.body);
    let told = |fields: &Fields, facts: &Facts| {
        let assessment = assess(fields, facts, unit);
        let advised = assessment.recommendation.disposition;
        (advised, assessment.reasons(Show::default()))
    };
    // What the wear let expect was signed with the sheet: it stays, as long as nothing else that is said changes.
    let is_as_said = !edits.keys().any(|path| is_of_clearance(path))
        && told(&form::fields_of(&known.body), &facts) == told(&fields, &facts);
    if !is_as_said {
        // By what the shop knew on that day beside this sheet: what was read later says nothing about it.
        let day = Some(written.at.day());
        let mut pool = WearPool::read(conn, day)?;
        pool.leave_out(event);
        if let Ok(wear) = pool.review(day)? {
            facts.foresee(&wear);
        }
    }
    let assessment = assess(&fields, &facts, unit);
    form::amend::refuse_what_cannot_be(&known.body, edits, &assessment.fields, is_fixed)?;
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
    if is_as_said {
        now.decision.reasons.clone_from(&known.decision.reasons);
    }
    now.body.photos.clone_from(&known.body.photos);
    form::amend::amendment_of(
        logbook.name(event)?,
        Payload::TeardownSheet(known),
        Payload::TeardownSheet(now),
        reason,
    )
}

/// What the wear of a bearing is read from.
fn is_of_clearance(path: &str) -> bool {
    ["clearance.", "radial.", "skip.clearance"]
        .iter()
        .any(|start| path.starts_with(start))
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
