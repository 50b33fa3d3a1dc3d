//! A signed mounting sheet is amended: fields are typed anew, and all that follows is judged again by the limits of that
//! day.

use std::collections::BTreeMap;

use serde_json::Value;

use super::assess::assess;
use super::facts::MountFacts;
use super::sign;
use crate::draft::{DraftField, Source};
use crate::entry::LengthUnit;
use crate::error::{Result, StoreError};
use crate::event::Event;
use crate::logbook::Logbook;
use crate::payload::{Amendment, MountingSheet, Payload};
use crate::sheet::{self, field};
use crate::time::Stamp;

/// What a mounting sheet is about, and whether it came to a mounting: the place rules rest on it.
fn is_fixed(path: &str) -> bool {
    sheet::is_fixed(path) || path == "mount.outcome"
}

/// The amendment of a signed mounting sheet, ready to be signed; nothing is written.
///
/// # Errors
/// As [`crate::sheet::amend`].
pub(crate) fn amend(
    logbook: &Logbook,
    written: &Event,
    known: &MountingSheet,
    edits: &BTreeMap<String, String>,
    reason: &str,
) -> Result<Amendment> {
    let conn = logbook.connection();
    let own = written.id.origin;
    let mut fields = sheet::fields_of_body(&known.body);
    for (path, text) in edits {
        if field::kind(path).is_none() {
            return Err(StoreError::input(path, "is no field of a mounting sheet"));
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
    let before = Stamp {
        ms: written.at.ms - 1,
        ..written.at
    };
    let mut facts = MountFacts::load(conn, &fields, before)?;
    std::sync::Arc::make_mut(&mut facts.base).at = written.at;
    let is_inch = known.body.readings.iter().any(|r| r.unit == "in");
    let unit = if is_inch {
        LengthUnit::Inch
    } else {
        LengthUnit::Millimetre
    };
    let assessment = assess(&fields, &facts, unit);
    for path in edits.keys() {
        let problem = assessment.fields.get(path).and_then(|s| s.problem.as_ref());
        if let Some(problem) = problem.filter(|p| p.is_refusal) {
            return Err(StoreError::input(field::label(path), &problem.text));
        }
    }
    let mut now = sign::payload(conn, own, &fields, &facts, &assessment, None)?;
    now.chock.clone_from(&known.chock);
    now.bearing.clone_from(&known.bearing);
    now.inner.clone_from(&known.inner);
    now.roll.clone_from(&known.roll);
    now.position.clone_from(&known.position);
    now.is_mounted = known.is_mounted;
    now.ordered_by.clone_from(&known.ordered_by);
    let json = |sheet: MountingSheet| -> Result<Value> {
        let text = Payload::MountingSheet(sheet).write()?.1;
        serde_json::from_str(&text).map_err(|e| StoreError::input("event", e.to_string()))
    };
    let event = logbook.name(crate::id::ThingNo(written.no))?;
    sheet::amendment_of(event, &json(known.clone())?, &json(now)?, reason)
}
