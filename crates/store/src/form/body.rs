//! What was typed, as it is signed: readings with their gauge, words, and why something was not measured.

use std::collections::BTreeMap;

use super::FieldKind;
use crate::append::name_of;
use crate::draft::{DraftField, Fields, Source};
use crate::entry::{self, LengthUnit, Quantity};
use crate::error::{Result, StoreError};
use crate::id::Origin;
use crate::payload::{Entry, KeptFile, NotMeasured, Photo, Reading, SheetBody};
use crate::sheet::{FieldState, GaugeFacts, field};

/// What was typed into these fields, in their order; `gauge_of` says with what a field was read.
pub(crate) fn typed<'f, 'g>(
    conn: &rusqlite::Connection,
    own: Origin,
    fields: impl Iterator<Item = (&'f String, &'f DraftField)>,
    states: &BTreeMap<String, FieldState>,
    gauge_of: impl Fn(&str) -> Option<&'g GaugeFacts>,
) -> Result<SheetBody> {
    let mut body = SheetBody::default();
    for (path, field) in fields {
        let text = field.text.trim();
        if text.is_empty() || path.starts_with("kept.") {
            continue;
        }
        if let Some(finding) = field::photo_of(path) {
            let file: KeptFile = serde_json::from_str(text)
                .map_err(|_| StoreError::input(field::label(path), "is no picture that is kept"))?;
            body.photos.push(Photo { finding, file });
            continue;
        }
        let state = states.get(path);
        if let Some(what) = path.strip_prefix("skip.") {
            body.not_measured.push(NotMeasured {
                what: what.into(),
                reason: text.into(),
            });
        } else if let (Some(FieldKind::Number(_)), Some(value)) =
            (field::kind(path), state.and_then(|s| s.value))
        {
            let gauge = gauge_of(path);
            body.readings.push(Reading {
                path: path.clone(),
                text: field.text.clone(),
                unit: state.map_or("", |s| s.unit).into(),
                value,
                source: field.source.as_str().into(),
                gauge: gauge.map(|g| name_of(conn, g.no, own)).transpose()?,
                is_gauge_overdue: gauge.is_some_and(|g| g.is_overdue),
            });
        } else {
            body.entries.push(Entry {
                path: path.clone(),
                text: text.into(),
            });
        }
    }
    Ok(body)
}

/// The gauge whose code stands in a field.
pub(crate) fn gauge_in<'g>(
    fields: &Fields,
    path: &str,
    gauges: impl IntoIterator<Item = &'g GaugeFacts>,
) -> Option<&'g GaugeFacts> {
    let code = fields.get(path)?.text.trim();
    gauges
        .into_iter()
        .find(|g| g.code.eq_ignore_ascii_case(code))
}

/// The fields of a signed sheet as they were typed.
pub fn fields_of(body: &SheetBody) -> Fields {
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

/// The unit that lengths without one were typed in: those that carry their own say nothing about it.
pub fn unit_of(body: &SheetBody) -> LengthUnit {
    let is_bare = |text: &str| {
        let as_mm = entry::read(text, Quantity::Length, LengthUnit::Millimetre);
        as_mm.is_ok_and(|typed| typed.unit == LengthUnit::Millimetre.sign())
    };
    let inch = LengthUnit::Inch.sign();
    if body
        .readings
        .iter()
        .any(|r| r.unit == inch && is_bare(&r.text))
    {
        LengthUnit::Inch
    } else {
        LengthUnit::Millimetre
    }
}
