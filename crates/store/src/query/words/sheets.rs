//! Sheets and amendments in words.

use rusqlite::Connection;

use super::{Piece, Tone, decided_words, entity_words, with_unit, zone_numeral};
use crate::entry::Show;
use crate::error::Result;
use crate::event::Event;
use crate::id::Ref;
use crate::payload::TeardownSheet;
use crate::query::code_of;
use crate::sheet;

pub(super) fn teardown(
    conn: &Connection,
    event: &Event,
    p: &TeardownSheet,
    show: Show,
) -> Result<(String, Vec<Piece>)> {
    let code = |name: &Ref| -> Result<String> {
        code_of(conn, crate::state::find(conn, name, event.id.origin)?)
    };
    let values = |name: &str| -> Vec<String> {
        let all = p.body.results.iter().filter(|o| o.name == name);
        show.in_order(all.map(|o| show.length(o.value)).collect())
    };
    let mut pieces = vec![Piece::plain(format!(
        "{} out of {}",
        code(&p.bearing)?,
        code(&p.chock)?
    ))];
    let found = [values("end_play_nm"), values("clearance_nm")].concat();
    if !found.is_empty() {
        pieces.push(Piece::strong(with_unit(&found, show)));
    }
    if let Some(position) = &p.position {
        pieces.push(Piece::muted(format!("off {}", code(position)?)));
    }
    let left = values("end_play_after_nm");
    if left.is_empty() {
        pieces.push(Piece::plain(
            decided_words(&p.decision.decided).to_lowercase(),
        ));
    } else {
        pieces.push(Piece::plain("reground to"));
        pieces.push(Piece::strong(with_unit(&left, show)));
    }
    if let Some(again) = p.reassembly.as_ref().filter(|again| again.zone > 0) {
        pieces.push(Piece::plain(format!(
            "zone {} up",
            zone_numeral(again.zone)
        )));
    }
    if let Some(note) = p.body.entries.iter().find(|e| e.path == "identify.note") {
        pieces.push(Piece::muted(&note.text));
    }
    Ok(("Teardown".into(), pieces))
}

/// What a mounting sheet tells in a line: what was judged worst, heat, torque, what was left out.
pub(super) fn mounting_words(body: &crate::payload::SheetBody, show: Show) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let named = |about: &str| match about {
        "mount_interference" => Some("interference"),
        "mount_clearance" => Some("clearance on the neck"),
        "mount_ring_gap" => Some("ring faces"),
        "mount_radial" => Some("radial play"),
        "mount_thrust" => Some("thrust"),
        _ => None,
    };
    let judged = body.verdicts.iter();
    for (what, value) in judged.filter_map(|v| Some((named(&v.about)?, v.value_nm?))) {
        pieces.push(Piece::plain(what));
        pieces.push(Piece::strong(show.length_unit(value)));
    }
    let of = |path: &str| body.readings.iter().find(|r| r.path == path);
    if let Some(ring) = of("mount.heat.ring") {
        let degrees = show.temperature(ring.value);
        pieces.push(Piece::plain(format!("ring {degrees} \u{b0}C")));
    }
    if let Some(torque) = of("mount.bolt.torque") {
        let nm = show.amount(torque.value, 1_000, 0);
        pieces.push(Piece::plain(format!("bolts {nm} N m")));
    }
    let fails = body.verdicts.iter().filter(|v| v.verdict == "fail").count();
    if fails > 0 {
        pieces.push(Piece::strong(format!(
            "{fails} of {} fail",
            body.verdicts.len()
        )));
    }
    let said = |path: &str| body.entries.iter().find(|e| e.path == path);
    for path in ["mount.reason", "mount.note"] {
        pieces.extend(said(path).map(|e| Piece::muted(&e.text)));
    }
    pieces
}

pub(super) fn amendment(
    conn: &Connection,
    event: &Event,
    p: &crate::payload::Amendment,
    show: Show,
) -> Result<(&'static str, Vec<Piece>)> {
    let no = crate::state::find_event(conn, &p.event, event.id.origin)?;
    let mut pieces = vec![Piece::plain(sheet_words(conn, no)?)];
    if !p.withdrawn_because.is_empty() {
        pieces.push(Piece::muted(&p.withdrawn_because));
        return Ok(("Withdrawn", pieces));
    }
    let written = crate::state::event(conn, no)?;
    let payload = serde_json::from_str(&written.payload).unwrap_or_default();
    for (at, change) in p.changes.iter().enumerate() {
        let (place, old, new) = change_words(conn, &written, &payload, change, show)?;
        pieces.push(Piece::plain(place));
        pieces.push(Piece {
            text: old,
            tone: Tone::Struck,
        });
        pieces.push(Piece::strong(new));
        // A reason of several places is told once, after the last of them.
        let next = p.changes.get(at + 1);
        if next.is_none_or(|next| next.reason != change.reason) {
            pieces.push(Piece::muted(&change.reason));
        }
    }
    Ok(("Amended", pieces))
}

/// A change of an event as it was written: the place, what stood there, what counts.
pub(in crate::query) fn change_words(
    conn: &Connection,
    written: &Event,
    payload: &serde_json::Value,
    change: &crate::payload::Change,
    show: Show,
) -> Result<(String, String, String)> {
    if matches!(written.kind.as_str(), "teardown_sheet" | "mounting_sheet")
        || change.path.starts_with("/body")
    {
        return Ok((
            show.rows
                .of(crate::query::sheet::rows_of(conn, written)?)
                .told(&sheet::place_words(payload, change)),
            sheet::value_words(&change.old, show),
            sheet::value_words(&change.new, show),
        ));
    }
    let of = |value| crate::amending::in_words(conn, written, &change.path, value, show);
    let ((place, old), (_, new)) = (of(&change.old)?, of(&change.new)?);
    Ok((place, old, new))
}

/// An event as another one names it: what it is, of which day, and its name.
pub(super) fn sheet_words(conn: &Connection, no: crate::id::ThingNo) -> Result<String> {
    let event = crate::state::event(conn, no)?;
    let what = match event.kind.as_str() {
        "teardown_sheet" => "the teardown".to_owned(),
        "seat_check" => "the check".to_owned(),
        "campaign" => "the campaign".to_owned(),
        other => entity_words(other),
    };
    Ok(format!("{what} of {} ({})", event.at.date(), event.id))
}
