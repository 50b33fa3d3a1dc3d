//! The event line: of everything (page Log), or of one thing.

use rusqlite::{Connection, OptionalExtension, params};

use super::impact::suspect_words;
use super::words::{Piece, Tone, describe};
use crate::entry::Show;
use crate::error::Result;
use crate::event::Event;
use crate::id::{Ref, ThingNo};
use crate::payload::Payload;
use crate::state::{event_columns, event_from_row};
use crate::time::{DAY_MS, Stamp};

/// Whether campaigns are among the events; there are tens of thousands a year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Campaigns {
    /// Left out.
    #[default]
    Without,
    /// Nothing else.
    Only,
}

/// Which events to read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct JournalFilter {
    /// Only those that concern this thing.
    pub thing: Option<ThingNo>,
    /// Whether campaigns are among them.
    pub campaigns: Campaigns,
    /// Register changes too.
    pub with_register: bool,
    /// At most so many, newest first; 0 = all.
    pub limit: i64,
}

/// One event as a line.
#[derive(Debug, Clone, PartialEq)]
pub struct JournalLine {
    /// Its number here.
    pub no: i64,
    /// Its name, for people.
    pub id: String,
    /// When it happened.
    pub at: Stamp,
    /// When it was entered.
    pub entered: Stamp,
    /// Entered a day or more after it happened.
    pub is_late: bool,
    /// Sort of event in the file.
    pub kind: String,
    /// Sort of event in words.
    pub title: String,
    /// The rest in words.
    pub pieces: Vec<Piece>,
    /// Who signed.
    pub signer: String,
    /// The bearing it concerns, to open its page.
    pub bearing: Option<ThingNo>,
    /// The chock it concerns.
    pub chock: Option<ThingNo>,
    /// True where it carries readings that can be looked at.
    pub is_sheet: bool,
    /// Set by a conflict: what does not fit.
    pub conflict: String,
    /// What was amended of it.
    pub amended: Amended,
}

/// How an event stands to what was said about it later.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Amended {
    /// It counts as it was written.
    #[default]
    No,
    /// It counts with changes.
    Changed,
    /// It does not count.
    Withdrawn,
}

impl JournalLine {
    /// All its text, for searching.
    pub fn text(&self) -> String {
        let pieces: Vec<&str> = self.pieces.iter().map(|p| p.text.as_str()).collect();
        format!(
            "{} {} {} {}",
            self.at.date(),
            self.title,
            pieces.join(" "),
            self.signer
        )
    }
}

/// Reads events, newest first.
pub fn journal(conn: &Connection, filter: &JournalFilter, show: Show) -> Result<Vec<JournalLine>> {
    let columns = event_columns("e");
    let from = if filter.thing.is_some() {
        "thing_event te JOIN event e ON e.no = te.event WHERE te.thing = ?1"
    } else {
        "event e WHERE ?1 IS NULL"
    };
    let sql = format!(
        "SELECT {columns}, (SELECT name FROM person p JOIN event r ON r.no = p.no
             WHERE r.origin = e.person_origin AND r.seq = e.person_seq) AS signer,
           (SELECT group_concat(what, '; ') FROM conflict c WHERE c.event = e.no AND c.resolved_event IS NULL) AS conflict
         FROM {from} AND (e.kind = 'campaign') = ?2 AND (?3 OR e.kind <> 'register_change')
         ORDER BY e.at_ms DESC, e.no DESC LIMIT ?4"
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let limit = if filter.limit > 0 { filter.limit } else { -1 };
    let mut rows = stmt.query(params![
        filter.thing.map(|t| t.0),
        filter.campaigns == Campaigns::Only,
        filter.with_register,
        limit
    ])?;
    let mut lines = Vec::new();
    while let Some(row) = rows.next()? {
        let event = event_from_row(row)?;
        let signer: Option<String> = row.get("signer")?;
        let conflict: Option<String> = row.get("conflict")?;
        lines.push(line(
            conn,
            &event,
            signer.unwrap_or_default(),
            conflict.unwrap_or_default(),
            show,
        )?);
    }
    Ok(lines)
}

/// One event as a line.
pub(super) fn line(
    conn: &Connection,
    event: &Event,
    signer: String,
    conflict: String,
    show: Show,
) -> Result<JournalLine> {
    let written = Payload::read(&event.kind, event.kind_version, &event.payload)?;
    let (title, mut pieces) = describe(conn, event, &written, show)?;
    let mut amended = Amended::No;
    let counts = crate::state::what_counts(conn, event)?;
    let payload = match counts {
        None => {
            amended = Amended::Withdrawn;
            strike(&mut pieces, &[]);
            pieces.push(Piece::muted("withdrawn"));
            written
        }
        Some(now) if now == written => written,
        Some(now) => {
            amended = Amended::Changed;
            let (_, true_now) = describe(conn, event, &now, show)?;
            strike(&mut pieces, &true_now);
            pieces.retain(|p| p.tone == Tone::Struck);
            pieces.extend(true_now);
            pieces.push(Piece::muted("amended"));
            now
        }
    };
    pieces.extend(
        suspect_words(conn, event.no)?
            .into_iter()
            .map(Piece::strong),
    );
    let (mut bearing, mut chock) = (None, None);
    for name in concerns(&payload) {
        let thing = crate::state::find(conn, name, event.id.origin)?;
        match entity_of(conn, thing)?.as_str() {
            "bearing" => bearing = Some(thing),
            "chock" => chock = Some(thing),
            _ => {}
        }
    }
    Ok(JournalLine {
        no: event.no,
        id: event.id.to_string(),
        at: event.at,
        entered: event.entered,
        is_late: event.entered.ms - event.at.ms >= DAY_MS && event.kind != "register_change",
        kind: event.kind.clone(),
        title,
        pieces,
        signer,
        bearing,
        chock,
        is_sheet: match &payload {
            Payload::TeardownSheet(_) | Payload::SeatCheck(_) => true,
            Payload::Returned(p) => p.body.is_some(),
            _ => false,
        },
        conflict,
        amended,
    })
}

/// Strikes the pieces that do not count any more.
fn strike(pieces: &mut [Piece], still: &[Piece]) {
    for piece in pieces {
        if !still.contains(piece) {
            piece.tone = Tone::Struck;
        }
    }
}

/// The things that an event concerns, whose pages it can open.
fn concerns(payload: &Payload) -> Vec<&Ref> {
    match payload {
        Payload::RegisterChange(p) => p.thing.iter().collect(),
        Payload::Received(p) => vec![&p.bearing],
        Payload::InspectedAtReceipt(p) => vec![&p.bearing],
        Payload::ConditionReading(p) => vec![&p.chock],
        Payload::MillIncident(p) => p.chocks.iter().collect(),
        Payload::Extension(p) => vec![&p.chock],
        Payload::TeardownPlanned(p) => vec![&p.chock],
        Payload::BatchBlocked(p) => vec![&p.batch],
        Payload::Cost(p) => vec![&p.thing],
        Payload::Assembled(p) => vec![&p.bearing, &p.chock],
        Payload::TakenOut(p) => vec![&p.bearing],
        Payload::FoundHere(p) => std::iter::once(&p.thing).chain(&p.on).collect(),
        Payload::Mounted(p) => vec![&p.chock],
        Payload::MountingSheet(p) => {
            let things = [p.bearing.as_ref(), p.inner.as_ref()];
            things.into_iter().flatten().chain([&p.chock]).collect()
        }
        Payload::Dismounted(p) => vec![&p.chock],
        Payload::TeardownSheet(p) => vec![&p.bearing, &p.chock],
        Payload::SentOut(p) => vec![&p.thing],
        Payload::Returned(p) => vec![&p.thing],
        Payload::Hold(p) => vec![&p.thing],
        Payload::Released(p) => vec![&p.thing],
        Payload::DeviationAccepted(p) => vec![&p.thing],
        Payload::Scrapped(p) => vec![&p.thing],
        Payload::ThingsJoined(p) => vec![&p.kept],
        Payload::Paired(p) => vec![&p.outer],
        Payload::Unpaired(p) => vec![&p.outer],
        Payload::SpacersReground(p) => vec![&p.bearing],
        Payload::ZoneTurned(p) => vec![&p.bearing],
        Payload::Greased(p) => vec![&p.bearing],
        Payload::Attached(p) => vec![&p.thing],
        Payload::SeatCheck(p) => vec![&p.thing],
        Payload::LogbookStarted(_)
        | Payload::Campaign(_)
        | Payload::MillJob(_)
        | Payload::GaugeCalibrated(_)
        | Payload::Merged(_)
        | Payload::ImportBatch(_)
        | Payload::PositionWork(_)
        | Payload::GaugeFoundOut(_)
        | Payload::Amendment(_)
        | Payload::Countersigned(_)
        | Payload::SheetReopened(_)
        | Payload::ConflictResolved(_) => Vec::new(),
    }
}

fn entity_of(conn: &Connection, thing: ThingNo) -> Result<String> {
    let entity = conn
        .prepare_cached("SELECT entity FROM thing WHERE no = ?1")?
        .query_row([thing.0], |row| row.get(0));
    Ok(entity.optional()?.unwrap_or_default())
}
