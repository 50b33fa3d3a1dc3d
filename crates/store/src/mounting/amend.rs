//! A signed mounting sheet is amended: fields are typed anew, and all that follows is judged again by the limits of that
//! day.

use std::collections::BTreeMap;

use super::assess::assess;
use super::facts::MountFacts;
use super::sign;
use crate::error::Result;
use crate::event::Event;
use crate::form;
use crate::logbook::Logbook;
use crate::payload::{Amendment, MountingSheet, Payload};
use crate::sheet;

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
    let fields = form::amend::typed_anew(&known.body, edits, "mounting sheet", is_fixed)?;
    let mut facts = MountFacts::load(conn, &fields, form::amend::just_before(written))?;
    let base = std::sync::Arc::make_mut(&mut facts.base);
    base.gauges = sheet::gauges_known_at(conn, base.at, written.entered.ms)?;
    base.at = written.at;
    let assessment = assess(&fields, &facts, form::body::unit_of(&known.body));
    form::amend::refuse_what_cannot_be(&known.body, edits, &assessment.fields, is_fixed)?;
    let mut now = sign::payload(conn, own, &fields, &facts, &assessment, None)?;
    now.chock.clone_from(&known.chock);
    now.bearing.clone_from(&known.bearing);
    now.inner.clone_from(&known.inner);
    now.roll.clone_from(&known.roll);
    now.position.clone_from(&known.position);
    now.is_mounted = known.is_mounted;
    now.ordered_by.clone_from(&known.ordered_by);
    let event = logbook.name(crate::id::ThingNo(written.no))?;
    let known = Payload::MountingSheet(known.clone());
    form::amend::amendment_of(event, known, Payload::MountingSheet(now), reason)
}
