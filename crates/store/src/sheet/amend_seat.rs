//! A neck or a bore that was measured by itself, or on its return, is amended as a sheet is: readings are typed anew, and
//! the verdict is judged again by the limits of that day. Nobody types a verdict.

use std::collections::BTreeMap;

use super::amend::is_fixed;
use super::assess::assess;
use super::sign::{NO_ORIGIN, body, seats_known};
use crate::error::{Result, StoreError};
use crate::event::Event;
use crate::form;
use crate::id::ThingNo;
use crate::logbook::Logbook;
use crate::payload::{Amendment, Payload, Returned};
use crate::state;

/// The amendment of a measurement, ready to be signed; nothing is written. `now` is the event with the values beside its
/// readings as they are true, `edits` are fields and what is true there.
///
/// # Errors
/// As [`super::amend`].
pub(crate) fn amend_seat(
    logbook: &Logbook,
    written: &Event,
    known: Payload,
    mut now: Payload,
    edits: &BTreeMap<String, String>,
    reason: &str,
) -> Result<Amendment> {
    let conn = logbook.connection();
    let (of_type, signed) = match &now {
        Payload::SeatCheck(p) => {
            let of = state::find(conn, &p.bearing_type, written.id.origin)?;
            (Some(of), &p.body)
        }
        Payload::Returned(Returned {
            body: Some(body), ..
        }) => (None, body),
        _ => return Err(StoreError::input("event", "was not measured")),
    };
    let fields = form::amend::typed_anew(signed, edits, "measurement", is_fixed)?;
    let before = form::amend::just_before(written);
    let mut facts =
        seats_known(conn, &fields, before, of_type)?.as_entered(conn, written.entered)?;
    facts.at = written.at;
    let assessment = assess(&fields, &facts, form::body::unit_of(signed));
    form::amend::refuse_what_cannot_be(signed, edits, &assessment.fields, is_fixed)?;
    let mut judged = body(conn, NO_ORIGIN, &fields, &facts, &assessment)?;
    judged.photos.clone_from(&signed.photos);
    match &mut now {
        Payload::SeatCheck(p) => p.body = judged,
        Payload::Returned(p) => p.body = Some(judged),
        _ => {}
    }
    let event = logbook.name(ThingNo(written.no))?;
    form::amend::amendment_of(event, known, now, reason.trim())
}
