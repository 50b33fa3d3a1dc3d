//! From assessment to signed event.

use calc::conformity::Verdict;
use calc::disposition::Disposition;

use super::assess::{Assessment, assess};
use super::clearance;
use super::facts::Facts;
use super::field::{self, Cell, SeatName};
use super::findings;
use super::radial;
use super::seats;
use crate::append::name_of;
use crate::draft::Fields;
use crate::entry::{LengthUnit, Show};
use crate::error::{Result, StoreError};
use crate::form;
pub use crate::form::ToSign as SignTeardown;
use crate::id::{Origin, Ref, ThingNo};
use crate::logbook::{Logbook, Signed};
use crate::payload::{Decision, Outcome, Payload, Reassembly, SheetBody, TeardownSheet};
use crate::people::Signer;
use crate::time::Stamp;

/// A sheet that is on disk.
#[derive(Debug, Clone, PartialEq)]
pub struct SignedSheet {
    /// The event.
    pub signed: Signed,
    /// What it says.
    pub assessment: Assessment,
    /// The bearing.
    pub bearing: ThingNo,
}

/// Signs a teardown sheet: the event is on disk when this returns, and its draft is gone.
///
/// # Errors
/// `Input` names the first field or section that stands against signing; `Refused` says which signature is missing
/// or which rule of the shop forbids it. Nothing is written then.
pub fn sign(logbook: &mut Logbook, sheet: &SignTeardown<'_>) -> Result<SignedSheet> {
    let now = sheet.at.unwrap_or_else(|| logbook.now());
    let mut facts = Facts::load(logbook.connection(), sheet.fields, now)?;
    if let Some(wear) = sheet.wear {
        facts.foresee(wear);
    }
    let assessment = assess(sheet.fields, &facts, sheet.unit);
    if let Some((section, why)) = assessment.blockers().next() {
        return Err(StoreError::input(section.title(), why));
    }
    let orders = sheet.orders(&assessment.engineer_because)?;
    let bearing = facts.bearing.as_ref().map(|b| b.no);
    let bearing = bearing.ok_or_else(|| StoreError::input("Identify", "no bearing"))?;
    let signed = sheet.write(logbook, facts.at, |tx, own| {
        let sheet = Sheet {
            fields: sheet.fields,
            facts: &facts,
            assessment: &assessment,
            orders,
        };
        let payload = payload(tx, own, &sheet)?;
        for photo in &payload.body.photos {
            if crate::attachment::content(tx, &photo.file.hash)?.is_none() {
                let why = "is not kept any more: take it away and add it again";
                return Err(StoreError::input(&photo.file.name, why));
            }
        }
        Ok(Payload::TeardownSheet(payload))
    })?;
    Ok(SignedSheet {
        signed,
        assessment,
        bearing,
    })
}

/// The own shop's measurement of a chock that came back, from the same fields as the sheet.
pub fn returned_body(
    logbook: &Logbook,
    fields: &Fields,
    at: Stamp,
    unit: LengthUnit,
) -> Result<SheetBody> {
    seat_body(logbook, fields, at, unit, None)
}

/// Seats measured alone, from the same fields as the sheet; judged by the limits of `bearing_type`, or of the main seat
/// of the chock where none is given.
pub fn seat_body(
    logbook: &Logbook,
    fields: &Fields,
    at: Stamp,
    unit: LengthUnit,
    bearing_type: Option<ThingNo>,
) -> Result<SheetBody> {
    let (facts, assessment) = seats_assessed(logbook, fields, at, unit, bearing_type)?;
    if let Some((path, state)) = assessment
        .fields
        .iter()
        .find(|(_, s)| s.problem.as_ref().is_some_and(|p| p.is_refusal))
    {
        let why = state.problem.as_ref().map_or("", |p| &p.text);
        return Err(StoreError::input(field::label(path), why));
    }
    body(logbook.connection(), NO_ORIGIN, fields, &facts, &assessment)
}

/// Seats as they were typed, with the limits that they are judged by.
pub(super) fn seats_assessed(
    logbook: &Logbook,
    fields: &Fields,
    at: Stamp,
    unit: LengthUnit,
    bearing_type: Option<ThingNo>,
) -> Result<(Facts, Assessment)> {
    let facts = seats_known(logbook.connection(), fields, at, bearing_type)?;
    let assessment = assess(fields, &facts, unit);
    Ok((facts, assessment))
}

/// What the logbook knows of seats that are measured by themselves.
pub(super) fn seats_known(
    conn: &rusqlite::Connection,
    fields: &Fields,
    at: Stamp,
    bearing_type: Option<ThingNo>,
) -> Result<Facts> {
    let mut facts = Facts::load(conn, fields, at)?;
    if let Some(no) = bearing_type {
        let limits = super::TypeFacts::load(conn, no, at.ms)?;
        facts.bearing_type = Some(limits);
    }
    if facts.bearing_type.is_none()
        && let Some(chock) = &facts.chock
    {
        let sql = "SELECT s.bearing_type FROM chock c JOIN chock_seat s ON s.chock_type = c.chock_type AND s.name = 'main'
                   WHERE c.no = ?1";
        let no = conn.query_row(sql, [chock.no.0], |row| row.get(0))?;
        facts.bearing_type = Some(super::TypeFacts::load(conn, ThingNo(no), at.ms)?);
    }
    Ok(facts)
}

/// A sheet that was assessed.
pub(super) struct Sheet<'a> {
    pub(super) fields: &'a Fields,
    pub(super) facts: &'a Facts,
    pub(super) assessment: &'a Assessment,
    /// The engineer who orders or releases.
    pub(super) orders: Option<&'a Signer>,
}

/// A sheet as it is signed.
pub(super) fn payload(
    conn: &rusqlite::Connection,
    own: Origin,
    sheet: &Sheet<'_>,
) -> Result<TeardownSheet> {
    let (facts, a, orders) = (sheet.facts, sheet.assessment, sheet.orders);
    let name = |thing: ThingNo| name_of(conn, thing, own);
    let bearing = facts
        .bearing
        .as_ref()
        .ok_or_else(|| StoreError::input("Identify", "no bearing"))?;
    let chock = facts
        .chock
        .as_ref()
        .ok_or_else(|| StoreError::input("Identify", "no chock"))?;
    let text = |path: &str| {
        sheet
            .fields
            .get(path)
            .map(|f| f.text.trim().to_owned())
            .unwrap_or_default()
    };
    let fitter = facts
        .people
        .iter()
        .find(|(person, _)| person.eq_ignore_ascii_case(&text("sign.fitter")));
    let decided = a.decided.unwrap_or(Disposition::HoldForEngineer);
    let zone = match a.zone_chosen {
        Some(zone) => Some(zone.index() as i64 + 1),
        // Rings without load zones go back all the same.
        None => (!facts.family().has_zones()).then_some(0),
    };
    let reassembly = match zone.filter(|_| a.is_reassembled) {
        Some(zone) => {
            let into = facts.back_into.as_ref().map_or(chock.no, |(no, _)| *no);
            Some(Reassembly {
                chock: name(into)?,
                zone,
                zone_reason: text("zone.reason"),
            })
        }
        None => None,
    };
    let zone_found = text("identify.zone")
        .parse::<calc::load_zone::Zone>()
        .ok()
        .map(|z| z.index() as i64 + 1);
    Ok(TeardownSheet {
        bearing: name(bearing.no)?,
        chock: name(chock.no)?,
        roll: facts.roll.as_ref().map(|(no, _)| name(*no)).transpose()?,
        position: facts
            .position
            .as_ref()
            .map(|(no, _)| name(*no))
            .transpose()?,
        zone_found: zone_found.or_else(|| bearing.stay.as_ref().map(|s| s.zone).filter(|z| *z > 0)),
        body: body(conn, own, sheet.fields, facts, a)?,
        decision: Decision {
            recommended: a.recommendation.disposition.as_str().into(),
            reasons: a.reasons(Show::default()),
            causes: a
                .patterns
                .iter()
                .map(calc::pattern::Pattern::words)
                .collect(),
            decided: decided.as_str().into(),
            departure: text("decision.reason"),
        },
        reassembly,
        fitter: fitter.map(|(_, no)| name(*no)).transpose()?,
        ordered_by: orders.map(|s| Ref::new(s.id, own)),
    })
}

/// Measured seats name things in full: which origin will write them is not known yet.
pub(super) const NO_ORIGIN: Origin = Origin([0; 16]);

pub(super) fn body(
    conn: &rusqlite::Connection,
    own: Origin,
    fields: &Fields,
    facts: &Facts,
    a: &Assessment,
) -> Result<SheetBody> {
    let gauge = |path: &str| gauge_of(path, fields, facts);
    let mut body = form::body::typed(conn, own, fields.iter(), &a.fields, gauge)?;
    let note = |paths: &[&str]| gauge_note(fields, facts, paths);
    body.findings = a
        .findings
        .iter()
        .filter_map(findings::Seen::signed)
        .collect();
    body.results = outcomes(a);
    let bench = note(&[
        "clearance.gauge_gap",
        "clearance.gauge_width",
        "radial.gauge",
        "radial.gauge_rollers",
    ]);
    body.verdicts = clearance::judgements(&a.clearance, facts, &bench);
    if fields
        .get("skip.clearance")
        .is_some_and(|f| !f.text.trim().is_empty())
        || facts.bearing.is_none()
    {
        body.verdicts
            .retain(|v| v.verdict != Verdict::Missing.as_str());
    }
    for seat in [&a.bore, &a.neck] {
        let own = ["gauge", "thermometer"].map(|end| format!("{}.{end}", seat.seat.prefix()));
        let own = note(&own.each_ref().map(String::as_str));
        let faces = note(&["chock.gauge"]);
        body.verdicts
            .extend(seats::judgements(seat, facts, &own, &faces));
    }
    if let Some(ring) = &a.ring {
        body.verdicts
            .extend(ring.judgement(&note(&super::ring::GAUGES)));
    }
    if let Some(taper) = &a.taper {
        body.verdicts
            .extend(taper.judgements(facts, &|path| note(&[path])));
    }
    if let Some(t) = &facts.bearing_type {
        let version = name_of(conn, t.version, own)?;
        for verdict in &mut body.verdicts {
            verdict.limit_version = Some(version.clone());
        }
    }
    Ok(body)
}

/// The gauge that a reading was taken with.
fn gauge_of<'f>(path: &str, fields: &Fields, facts: &'f Facts) -> Option<&'f super::GaugeFacts> {
    form::body::gauge_in(fields, gauge_field(path)?, facts.gauges.values())
}

/// The field that names that gauge.
pub fn gauge_field(path: &str) -> Option<&'static str> {
    match path {
        "bolts.torque" => return Some("bolts.wrench"),
        "chock.shoulder" | "chock.cover_face" | "chock.width" => return Some("chock.gauge"),
        "taper.mounted.1" | "taper.mounted.2" => return Some("taper.gauge"),
        "taper.push" => return Some("taper.push_gauge"),
        "bore.temp_first" | "bore.temp_last" | "bore.temp_gauge" => {
            return Some("bore.thermometer");
        }
        "neck.temp_first" | "neck.temp_last" | "neck.temp_gauge" => {
            return Some("neck.thermometer");
        }
        "ring.temp" | "ring.temp_gauge" => return Some("ring.thermometer"),
        _ => {}
    }
    Some(match field::grid(path)? {
        Cell::Gap { .. } | Cell::Earlier { .. } => "clearance.gauge_gap",
        Cell::Spacer { .. } | Cell::After { .. } | Cell::SpacerAt { .. } | Cell::AfterAt { .. } => {
            "clearance.gauge_width"
        }
        Cell::Size {
            seat: SeatName::Bore,
            ..
        } => "bore.gauge",
        Cell::Size {
            seat: SeatName::Neck,
            ..
        } => "neck.gauge",
        Cell::Radial(cell) => radial::gauge_of(cell),
        Cell::Ring { .. } => "ring.gauge",
    })
}

/// What speaks against the gauges that a verdict rests on.
fn gauge_note(fields: &Fields, facts: &Facts, paths: &[&str]) -> String {
    let mut doubts: Vec<String> = paths
        .iter()
        .filter_map(|path| form::body::gauge_in(fields, path, facts.gauges.values()))
        .filter(|g| g.is_overdue)
        .map(|g| format!("{}: {}", g.doubt, g.code))
        .collect();
    doubts.dedup();
    doubts.join("; ")
}

/// Computed values of the bench and the seats.
pub(super) fn outcomes(a: &Assessment) -> Vec<Outcome> {
    let mut all = Vec::new();
    let mut add = |name: &str, item: i64, value: Option<i64>| {
        all.extend(value.map(|value| Outcome {
            name: name.into(),
            item,
            value,
        }));
    };
    add("bore_check_off_nm", 0, a.bore.check_off_nm);
    add("neck_check_off_nm", 0, a.neck.check_off_nm);
    if let Some(whole) = &a.clearance.radial {
        let of_family = radial::outcomes(&a.clearance, whole)
            .into_iter()
            .chain([&a.bore, &a.neck].into_iter().flat_map(seats::outcomes))
            .chain(a.ring.iter().flat_map(super::ring::RingView::outcomes))
            .chain(a.taper.iter().flat_map(super::taper::TaperView::outcomes));
        all.extend(of_family);
        return all;
    }
    for (item, pair) in (1..).zip(&a.clearance.pairs) {
        if pair.is_complete {
            add("mean_gap_nm", item, pair.mean_gap_nm);
            add("end_play_nm", item, pair.end_play_nm);
            if pair.spacer_places > 1 {
                add("spacer_mean_nm", item, pair.spacer_nm);
                add("spacer_parallel_nm", item, pair.parallel_nm);
            }
            if a.decided == Some(Disposition::RegrindSpacers) {
                add("grind_nm", item, pair.to_grind_nm());
                add("new_spacer_nm", item, pair.new_spacer_nm);
            }
        }
    }
    let after = &a.clearance.after;
    for (item, value) in (1..).zip(after.end_play_nm) {
        add("end_play_after_nm", item, value);
    }
    for (item, value) in (1..).zip(after.parallel_nm) {
        add("parallel_after_nm", item, value);
    }
    if a.is_reassembled && a.closing.gap_places == 4 {
        add("cover_gap_mean_nm", 0, a.closing.gap_mean_nm);
        add("cover_gap_spread_nm", 0, a.closing.gap_spread_nm);
        add("cover_pack_nm", 0, a.closing.pack_nm);
    }
    if after.end_play_nm.iter().any(Option::is_some) {
        add("outer_stack_nm", 0, after.outer_nm);
        add("inner_stack_nm", 0, after.inner_nm);
        if let clearance::ShimView::New(shim) = after.shim {
            add("cover_shim_nm", 0, Some(shim));
        }
    }
    for seat in [&a.bore, &a.neck] {
        all.extend(seats::outcomes(seat));
    }
    all
}
