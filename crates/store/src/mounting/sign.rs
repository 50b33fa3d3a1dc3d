//! From assessment to signed event.

use super::assess::{MountAssessment, assess};
use super::check::Check;
use super::facts::MountFacts;
use super::field;
use crate::append::name_of;
use crate::draft::Fields;
use crate::entry::{Quantity, Show};
use crate::error::{Result, StoreError};
use crate::form;
pub use crate::form::ToSign as SignMounting;
use crate::id::{Origin, ThingNo};
use crate::logbook::{Logbook, Signed};
use crate::payload::{Judgement, MountingSheet, Outcome, Payload, SheetBody};
use crate::people::Signer;
use crate::sheet;

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
    if let Some((section, why)) = assessment.blockers().next() {
        return Err(StoreError::input(section.title(), why));
    }
    let orders = sheet.orders(&assessment.engineer_because)?;
    let signed = sheet.write(logbook, facts.base.at, |tx, own| {
        let payload = payload(tx, own, sheet.fields, &facts, &assessment, orders)?;
        Ok(Payload::MountingSheet(payload))
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
    let mut typed: Vec<_> = fields.iter().collect();
    typed.sort_by_key(|(path, _)| field::rank(path));
    let gauges = &facts.base.gauges;
    let gauge = |path: &str| form::body::gauge_in(fields, field::gauge_of(path)?, gauges.values());
    let mut body = form::body::typed(conn, own, typed.into_iter(), &a.fields, gauge)?;
    body.results = sheet::seat_outcomes(&a.neck);
    body.results.extend(a.derived.iter().map(|d| Outcome {
        name: d.name.into(),
        item: 0,
        value: d.value,
    }));
    // A temperature or a torque is no length: its value stands among the results, its limit in words.
    body.results.extend(
        a.checks
            .iter()
            .flat_map(|c| {
                let of = |which: &str, value: Option<i64>| {
                    let name = sheet::result_name(c.about, which)?;
                    value.map(|value| Outcome {
                        name,
                        item: 0,
                        value,
                    })
                };
                [
                    of("", Some(c.value)),
                    of("_lower", c.lower),
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
    let is_length = check.quantity == Quantity::Length;
    let length = |value: Option<i64>| value.filter(|_| is_length);
    let show = Show::default();
    let limit = |nm| show.with_unit(check.quantity, nm);
    let origin = match (check.lower, check.upper) {
        _ if is_length => check.limit_origin.clone(),
        (Some(low), Some(high)) => {
            format!("{}: {} to {}", check.limit_origin, limit(low), limit(high))
        }
        (_, Some(high)) => format!("{}: {}", check.limit_origin, limit(high)),
        _ => check.limit_origin.clone(),
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
        rule: check
            .asked
            .rule(check.lower.is_some(), check.upper.is_some()),
        method: sheet::method_name(check.about),
        note: check.note.clone(),
    }
}
