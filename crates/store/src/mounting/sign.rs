//! From assessment to signed event.

use super::assess::{Check, MountAssessment, assess};
use super::facts::MountFacts;
use super::field;
use crate::append::{name_of, write_events};
use crate::draft::{self, DraftId, Fields};
use crate::entry::LengthUnit;
use crate::error::{Result, StoreError};
use crate::id::{Origin, ThingNo};
use crate::logbook::{Logbook, NewEvent, Signed};
use crate::payload::{
    Entry, Judgement, MountingSheet, NotMeasured, Outcome, Payload, Reading, Role, SheetBody,
};
use crate::people::Signer;
use crate::sheet::{self, FieldKind, GaugeFacts};
use crate::time::Stamp;

/// A mounting sheet to sign.
#[derive(Debug)]
pub struct SignMounting<'a> {
    /// What was typed.
    pub fields: &'a Fields,
    /// The draft that it comes from; it goes with the signature.
    pub draft: Option<DraftId>,
    /// Time of the work where the sheet names none; none = now.
    pub at: Option<Stamp>,
    /// Time of entry; none = now. Only the demo gives one.
    pub entered: Option<Stamp>,
    /// The foreman or engineer who signs.
    pub signer: &'a Signer,
    /// The engineer, where one is needed and does not sign alone.
    pub engineer: Option<&'a Signer>,
    /// The logbook's unit of length.
    pub unit: LengthUnit,
}

/// A mounting sheet that is on disk.
#[derive(Debug, Clone, PartialEq)]
pub struct SignedMounting {
    /// The event.
    pub signed: Signed,
    /// What it says.
    pub assessment: MountAssessment,
}

/// Signs a mounting sheet: the event is on disk when this returns, and its draft is gone.
///
/// # Errors
/// `Input` names the first section that stands against signing; `Refused` says which signature is missing or which rule
/// of the shop forbids it. Nothing is written then.
pub fn sign(logbook: &mut Logbook, sheet: &SignMounting<'_>) -> Result<SignedMounting> {
    let now = sheet.at.unwrap_or_else(|| logbook.now());
    let facts = MountFacts::load(logbook.connection(), sheet.fields, now)?;
    let assessment = assess(sheet.fields, &facts, sheet.unit);
    let first = assessment
        .blockers()
        .next()
        .map(|(section, why)| (section.title(), why.to_owned()));
    if let Some((section, why)) = first {
        return Err(StoreError::input(section, why));
    }
    let orders = [Some(sheet.signer), sheet.engineer]
        .into_iter()
        .flatten()
        .find(|s| s.role == Role::Engineer);
    if let Some(why) = assessment.engineer_because.first()
        && orders.is_none()
    {
        return Err(StoreError::Refused(format!(
            "the engineer signs too: {why}"
        )));
    }
    let entered = sheet.entered;
    let signed = logbook.transact(|tx, own, now| {
        let payload = payload(tx, own, sheet.fields, &facts, &assessment, orders)?;
        let event = NewEvent {
            at: facts.base.at,
            payload: Payload::MountingSheet(payload),
        };
        let signed = write_events(
            tx,
            own,
            &[event],
            Some(sheet.signer),
            entered.unwrap_or(now),
        )?;
        if let Some(id) = sheet.draft {
            draft::discard_in(tx, id)?;
        }
        let first = signed.into_iter().next();
        first.ok_or_else(|| StoreError::Refused("nothing was written".into()))
    })?;
    Ok(SignedMounting { signed, assessment })
}

/// A mounting sheet as it is signed.
pub(super) fn payload(
    conn: &rusqlite::Connection,
    own: Origin,
    fields: &Fields,
    facts: &MountFacts,
    a: &MountAssessment,
    orders: Option<&Signer>,
) -> Result<MountingSheet> {
    let name = |thing: ThingNo| name_of(conn, thing, own);
    let base = &facts.base;
    let chock = base
        .chock
        .as_ref()
        .ok_or_else(|| StoreError::input("Identify", "no chock"))?;
    let text = |path: &str| fields.get(path).map_or("", |f| f.text.trim());
    let fitter = base
        .people
        .iter()
        .find(|(person, _)| person.eq_ignore_ascii_case(text("sign.fitter")));
    let position = base
        .position
        .as_ref()
        .filter(|_| !text("identify.position").is_empty());
    Ok(MountingSheet {
        chock: name(chock.no)?,
        bearing: base.bearing.as_ref().map(|b| name(b.no)).transpose()?,
        inner: facts.inner.as_ref().map(|(no, _)| name(*no)).transpose()?,
        roll: base.roll.as_ref().map(|(no, _)| name(*no)).transpose()?,
        position: position.map(|(no, _)| name(*no)).transpose()?,
        is_mounted: a.is_mounted == Some(true),
        body: body(conn, own, fields, facts, a)?,
        fitter: fitter.map(|(_, no)| name(*no)).transpose()?,
        ordered_by: orders.map(|s| crate::id::Ref::new(s.id, own)),
    })
}

fn body(
    conn: &rusqlite::Connection,
    own: Origin,
    fields: &Fields,
    facts: &MountFacts,
    a: &MountAssessment,
) -> Result<SheetBody> {
    let mut body = SheetBody::default();
    let mut paths: Vec<&String> = fields.keys().collect();
    paths.sort_by_key(|path| field::rank(path));
    for path in paths {
        let Some(typed) = fields.get(path) else {
            continue;
        };
        let text = typed.text.trim();
        if text.is_empty() || path.starts_with("kept.") {
            continue;
        }
        let state = a.fields.get(path);
        if let Some(what) = path.strip_prefix("skip.") {
            body.not_measured.push(NotMeasured {
                what: what.into(),
                reason: text.into(),
            });
        } else if let (Some(FieldKind::Number(_)), Some(value)) =
            (sheet::field::kind(path), state.and_then(|s| s.value))
        {
            let gauge = gauge_of(path, fields, facts);
            body.readings.push(Reading {
                path: path.clone(),
                text: typed.text.clone(),
                unit: state.map_or("", |s| s.unit).into(),
                value,
                source: typed.source.as_str().into(),
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
    body.results = sheet::seat_outcomes(&a.neck);
    body.results.extend(a.derived.iter().map(|d| Outcome {
        name: d.name.into(),
        item: 0,
        value: d.value,
    }));
    // A temperature is no length: its value stands among the results, its limit in words.
    body.results.extend(
        a.checks
            .iter()
            .filter(|c| c.is_temperature)
            .flat_map(|c| {
                let of = |end: &str, value: Option<i64>| {
                    value.map(|value| Outcome {
                        name: format!("{}{end}_mk", c.about),
                        item: 0,
                        value,
                    })
                };
                [
                    of("", Some(c.value)),
                    of("_limit", c.upper),
                    of("_u", c.expanded_uncertainty),
                ]
            })
            .flatten(),
    );
    let version = match &facts.base.bearing_type {
        Some(t) => Some(name_of(conn, t.version, own)?),
        None => None,
    };
    body.verdicts = a
        .checks
        .iter()
        .map(|check| Judgement {
            limit_version: version.clone(),
            ..judgement(check)
        })
        .collect();
    Ok(body)
}

/// A verdict as it is signed.
fn judgement(check: &Check) -> Judgement {
    let length = |value: Option<i64>| value.filter(|_| !check.is_temperature);
    let celsius = |mk: i64| crate::entry::Show::default().temperature(mk);
    let origin = match check.upper.filter(|_| check.is_temperature) {
        Some(limit) => format!("{}: {} \u{b0}C", check.limit_origin, celsius(limit)),
        None => check.limit_origin.clone(),
    };
    Judgement {
        about: check.about.into(),
        item: i64::try_from(check.item).unwrap_or(0),
        verdict: check.verdict.as_str().into(),
        value_nm: length(Some(check.value)),
        expanded_uncertainty_nm: length(check.expanded_uncertainty),
        lower_nm: length(check.lower),
        upper_nm: length(check.upper),
        limit_origin: origin,
        limit_version: None,
        probability_ppm: check.probability.map(|p| (p * 1e6).round() as i64),
        rule: "ISO 14253-1:2017".into(),
        method: sheet::method_name(check.about),
        note: check.note.clone(),
    }
}

/// The gauge that a reading was taken with.
fn gauge_of<'f>(path: &str, fields: &Fields, facts: &'f MountFacts) -> Option<&'f GaugeFacts> {
    let code = fields.get(field::gauge_of(path)?)?.text.trim();
    let mut all = facts.base.gauges.values();
    all.find(|g| g.code.eq_ignore_ascii_case(code))
}
