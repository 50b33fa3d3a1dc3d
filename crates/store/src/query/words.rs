//! Events in words; sheets and their amendments, the longest, stand apart.

mod sheets;

pub(super) use sheets::change_words;

use rusqlite::Connection;

use self::sheets::{amendment, mounting_words, sheet_words, teardown};
use super::code_of;
use crate::entry::Show;
use crate::error::Result;
use crate::event::Event;
use crate::id::Ref;
use crate::payload::{FoundHere, Payload, Record};
use crate::time::Stamp;

/// How a piece of text is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// As the rest.
    Plain,
    /// A measured value.
    Strong,
    /// Less weight.
    Muted,
    /// Replaced by an amendment.
    Struck,
}

/// A piece of text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// The text.
    pub text: String,
    /// How it is set.
    pub tone: Tone,
}

impl Piece {
    /// As the rest.
    pub fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            tone: Tone::Plain,
        }
    }

    /// A measured value.
    pub fn strong(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            tone: Tone::Strong,
        }
    }

    /// Less weight.
    pub fn muted(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            tone: Tone::Muted,
        }
    }
}

/// Disposition in words.
pub fn decided_words(decided: &str) -> String {
    decided
        .parse::<calc::disposition::Disposition>()
        .map_or_else(|_| decided.to_owned(), |d| d.words().to_owned())
}

/// Numeral of a load zone, 1 to 4.
pub fn zone_numeral(zone: i64) -> &'static str {
    match zone {
        1 => "I",
        2 => "II",
        3 => "III",
        4 => "IV",
        _ => "none",
    }
}

/// One event in words: (what it is, the rest).
pub(super) fn describe(
    conn: &Connection,
    event: &Event,
    payload: &Payload,
    show: Show,
) -> Result<(String, Vec<Piece>)> {
    let code = |name: &Ref| -> Result<String> {
        code_of(conn, crate::state::find(conn, name, event.id.origin)?)
    };
    let date = |ms: i64| Stamp::second(ms, event.at.offset_min).date();
    let lengths = |values: &[i64]| {
        let each = values.iter().map(|nm| show.length(*nm)).collect();
        with_unit(&show.in_order(each), show)
    };
    let (title, pieces) = match payload {
        Payload::LogbookStarted(p) => match &p.previous {
            None => ("Logbook begun", vec![Piece::plain(&p.plant)]),
            Some(previous) => {
                let short = previous.origin.get(..8).unwrap_or("");
                (
                    "Copy begun",
                    vec![Piece::muted(format!(
                        "goes on from {short}:{}",
                        previous.seq
                    ))],
                )
            }
        },
        Payload::RegisterChange(p) => {
            let title = if p.thing.is_none() {
                "Registered"
            } else {
                "Register changed"
            };
            let mut pieces = vec![Piece::plain(format!(
                "{} {}",
                entity_words(p.record.entity()),
                p.record.code()
            ))];
            if !p.reason.is_empty() {
                pieces.push(Piece::muted(&p.reason));
            }
            if let Record::BearingType(t) = &p.record
                && p.thing.is_some()
            {
                pieces.push(Piece::muted(format!("{} values", t.values.len())));
            }
            (title, pieces)
        }
        Payload::Received(p) => {
            let mut pieces = vec![Piece::plain(code(&p.bearing)?)];
            if !p.as_set_nm.is_empty() {
                pieces.push(Piece::strong(lengths(&p.as_set_nm)));
                pieces.push(Piece::plain("as set"));
            }
            pieces.extend(
                [&p.certificate, &p.note]
                    .into_iter()
                    .filter(|t| !t.is_empty())
                    .map(Piece::muted),
            );
            ("Received", pieces)
        }
        Payload::Assembled(p) => {
            let mut pieces = vec![Piece::plain(format!(
                "{} into {}",
                code(&p.bearing)?,
                code(&p.chock)?
            ))];
            if p.zone > 0 {
                pieces.push(Piece::plain(format!("zone {} up", zone_numeral(p.zone))));
            }
            pieces.extend((!p.note.is_empty()).then(|| Piece::muted(&p.note)));
            ("Assembled", pieces)
        }
        Payload::FoundHere(p) => ("Found here", found(conn, event, p)?),
        Payload::TakenOut(p) => (
            "Taken out",
            vec![Piece::plain(code(&p.bearing)?), Piece::muted(&p.reason)],
        ),
        Payload::Mounted(p) => (
            "Mounted",
            vec![Piece::plain(format!(
                "{} on {} at {}",
                code(&p.chock)?,
                code(&p.roll)?,
                code(&p.position)?
            ))]
            .into_iter()
            .chain((!p.note.is_empty()).then(|| Piece::muted(&p.note)))
            .collect(),
        ),
        Payload::Dismounted(p) => ("Came off", vec![Piece::plain(code(&p.chock)?)]),
        Payload::Campaign(p) => {
            let what = format!(
                "{} with {} and {}",
                code(&p.roll)?,
                code(&p.chock_o)?,
                code(&p.chock_d)?
            );
            let hours = format!("{} h", show.amount(p.run_s, 3600, 1));
            let mut pieces = vec![
                Piece::plain(what),
                Piece::plain(hours),
                Piece::muted(code(&p.position_o)?),
            ];
            if let (Some(force), Some(speed)) = (p.radial_n, p.speed_mrpm) {
                pieces.push(Piece::muted(format!(
                    "{} kN a chock, {} 1/min",
                    show.amount(force, 1000, 0),
                    show.amount(speed, 1000, 0)
                )));
            }
            ("Campaign", pieces)
        }
        Payload::TeardownSheet(p) => return teardown(conn, event, p, show),
        Payload::SentOut(p) => (
            "Sent out",
            vec![
                Piece::plain(format!("{} to {}", code(&p.thing)?, p.to)),
                Piece::muted(&p.packet),
            ],
        ),
        Payload::Returned(p) => {
            let mut pieces = vec![Piece::plain(code(&p.thing)?)];
            pieces.extend((!p.as_set_nm.is_empty()).then(|| Piece::strong(lengths(&p.as_set_nm))));
            pieces.extend(
                [&p.certificate, &p.note]
                    .into_iter()
                    .filter(|t| !t.is_empty())
                    .map(Piece::muted),
            );
            ("Returned", pieces)
        }
        Payload::Hold(p) => (
            "Hold",
            vec![Piece::plain(code(&p.thing)?), Piece::muted(&p.reason)],
        ),
        Payload::Released(p) => (
            "Released",
            vec![Piece::plain(code(&p.thing)?), Piece::muted(&p.reason)],
        ),
        Payload::DeviationAccepted(p) => (
            "Deviation",
            vec![
                Piece::plain(format!("{} {}", p.code, code(&p.thing)?)),
                Piece::muted(&p.text),
            ],
        ),
        Payload::MillJob(p) => {
            let title = if p.is_done {
                "Mill job done"
            } else {
                "Mill job"
            };
            (
                title,
                vec![Piece::plain(code(&p.position)?), Piece::muted(&p.text)],
            )
        }
        Payload::GaugeCalibrated(p) => {
            let text = format!("{}, due {}", code(&p.gauge)?, date(p.due_ms));
            (
                "Calibrated",
                vec![Piece::plain(text), Piece::muted(&p.certificate)],
            )
        }
        Payload::InspectedAtReceipt(p) => {
            let title = if p.is_accepted {
                "Accepted at receipt"
            } else {
                "Not accepted"
            };
            let mut pieces = vec![Piece::plain(code(&p.bearing)?), Piece::muted(&p.condition)];
            pieces
                .extend((!p.claim.is_empty()).then(|| Piece::muted(format!("claim {}", p.claim))));
            (title, pieces)
        }
        Payload::ConditionReading(p) => {
            let value = p.value.map(|value| match p.what.as_str() {
                "temperature" => format!("{} \u{b0}C", show.temperature(value)),
                "vibration" => format!("{} mm/s", show.decimals(value, 1_000_000, 2)),
                _ => format!("{} dB", show.decimals(value, 100, 1)),
            });
            let what = p.what.replace('_', " ");
            let mut pieces = vec![Piece::plain(format!("{} {what}", code(&p.chock)?))];
            pieces.extend(value.map(Piece::strong));
            pieces.extend(p.is_early_teardown.then(|| Piece::plain("early teardown")));
            pieces.extend((!p.text.is_empty()).then(|| Piece::muted(&p.text)));
            ("Condition", pieces)
        }
        Payload::MillIncident(p) => {
            let what = p.what.replace('_', " ");
            let mut pieces = vec![Piece::plain(format!("{what} at {}", code(&p.position)?))];
            let force = p
                .force_n
                .map(|n| format!("{} MN", show.decimals(n, 1_000_000, 1)));
            pieces.extend(force.map(Piece::strong));
            for chock in &p.chocks {
                pieces.push(Piece::plain(code(chock)?));
            }
            pieces.extend(p.is_early_teardown.then(|| Piece::plain("early teardown")));
            pieces.extend((!p.text.is_empty()).then(|| Piece::muted(&p.text)));
            ("Incident", pieces)
        }
        Payload::Extension(p) => {
            let text = format!("{} runs on until {}", code(&p.chock)?, date(p.until_ms));
            (
                "Extension",
                vec![Piece::plain(text), Piece::muted(&p.reason)],
            )
        }
        Payload::TeardownPlanned(p) => {
            let mut pieces = vec![Piece::plain(code(&p.chock)?)];
            let day = p.planned_ms.map(|day| format!("on {}", date(day)));
            pieces.extend(day.map(Piece::strong));
            pieces.push(Piece::muted(&p.reason));
            ("Teardown planned", pieces)
        }
        Payload::BatchBlocked(p) => (
            "Blocked",
            vec![Piece::plain(code(&p.batch)?), Piece::muted(&p.reason)],
        ),
        Payload::ImportBatch(p) => (
            "Import",
            vec![
                Piece::plain(&p.name),
                Piece::strong(format!("{} campaigns", p.rows)),
                Piece::muted(format!("from {}", p.file)),
            ],
        ),
        Payload::Paired(p) => {
            let text = format!("{} over {}", code(&p.outer)?, code(&p.inner)?);
            ("Paired", vec![Piece::plain(text)])
        }
        Payload::Unpaired(p) => (
            "Unpaired",
            vec![Piece::plain(code(&p.outer)?), Piece::muted(&p.reason)],
        ),
        Payload::SpacersReground(p) => (
            "Spacers reground",
            vec![
                Piece::plain(format!("{} to", code(&p.bearing)?)),
                Piece::strong(lengths(&p.clearance_nm)),
                Piece::muted(&p.reason),
            ],
        ),
        Payload::ZoneTurned(p) => {
            let text = format!("{}, zone {} up", code(&p.bearing)?, zone_numeral(p.zone));
            ("Turned", vec![Piece::plain(text), Piece::muted(&p.reason)])
        }
        Payload::MountingSheet(p) => {
            let mut text = code(&p.chock)?;
            for (word, name) in [("on", &p.roll), ("at", &p.position)] {
                if let Some(name) = name {
                    text = format!("{text} {word} {}", code(name)?);
                }
            }
            let mut pieces = vec![Piece::plain(text)];
            if !p.is_mounted {
                pieces.push(Piece::strong("not mounted"));
            }
            pieces.extend(mounting_words(&p.body, show));
            ("Mounting sheet", pieces)
        }
        Payload::Greased(p) => {
            let grams = show.amount(p.amount_mg, 1_000, 0);
            (
                "Greased",
                vec![
                    Piece::plain(format!("{} with {}", code(&p.bearing)?, code(&p.grease)?)),
                    Piece::strong(format!("{grams} g")),
                    Piece::muted(&p.note),
                ],
            )
        }
        Payload::PositionWork(p) => {
            let what = p.what.replace('_', " ");
            let mut pieces = vec![Piece::plain(format!("{what} at {}", code(&p.position)?))];
            pieces.extend((!p.width_nm.is_empty()).then(|| Piece::strong(lengths(&p.width_nm))));
            pieces.push(Piece::muted(&p.text));
            ("Work at the stand", pieces)
        }
        Payload::GaugeFoundOut(p) => {
            let sql = "SELECT measures FROM gauge WHERE no = ?1";
            let gauge = crate::state::find(conn, &p.gauge, event.id.origin)?;
            let measures: String = conn
                .prepare_cached(sql)?
                .query_row([gauge.0], |row| row.get(0))?;
            (
                "Gauge found out",
                vec![
                    Piece::plain(format!("{} reads", code(&p.gauge)?)),
                    Piece::strong(error_words(p.error, &measures, show)),
                    Piece::muted(&p.text),
                ],
            )
        }
        Payload::Attached(p) => (
            "Document",
            vec![
                Piece::plain(format!("{} of {}", p.what, code(&p.thing)?)),
                Piece::plain(&p.file.name),
                Piece::muted(&p.text),
            ],
        ),
        Payload::Amendment(p) => amendment(conn, event, p, show)?,
        Payload::Countersigned(p) => {
            let sheet = crate::state::find_event(conn, &p.sheet, event.id.origin)?;
            (
                "Countersigned",
                vec![
                    Piece::plain(sheet_words(conn, sheet)?),
                    Piece::muted(&p.text),
                ],
            )
        }
        Payload::SheetReopened(p) => {
            let sheet = crate::state::find_event(conn, &p.sheet, event.id.origin)?;
            (
                "Sheet reopened",
                vec![
                    Piece::plain(sheet_words(conn, sheet)?),
                    Piece::muted(&p.reason),
                ],
            )
        }
        Payload::Cost(p) => (
            "Cost",
            vec![
                Piece::plain(code(&p.thing)?),
                Piece::strong(show.money(p.amount_minor)),
                Piece::muted(&p.text),
            ],
        ),
        Payload::Merged(p) => {
            let ends = p.heads.iter().map(|head| {
                let short = head.origin.get(..8).unwrap_or("");
                format!("{short}:{}", head.seq)
            });
            (
                "Copies merged",
                vec![
                    Piece::plain("up to"),
                    Piece::muted(ends.collect::<Vec<_>>().join("  ")),
                ],
            )
        }
        Payload::ThingsJoined(p) => (
            "Joined",
            vec![
                Piece::plain(format!("two entries are one: {}", code(&p.kept)?)),
                Piece::muted(&p.reason),
            ],
        ),
        Payload::ConflictResolved(p) => {
            let settled = crate::state::find_event(conn, &p.event, event.id.origin)?;
            let id = crate::append::event_id(conn, settled)?;
            (
                "Conflict settled",
                vec![Piece::plain(id.to_string()), Piece::muted(&p.how)],
            )
        }
        Payload::SeatCheck(p) => {
            let side = match p.neck.as_str() {
                "O" => ", operator side",
                "D" => ", drive side",
                _ => "",
            };
            let mut pieces = vec![Piece::plain(format!("{}{side}", code(&p.thing)?))];
            for v in p
                .body
                .verdicts
                .iter()
                .filter(|v| v.about == "neck_smallest")
            {
                pieces.extend(v.value_nm.map(|nm| Piece::strong(show.length_unit(nm))));
            }
            let worst = calc::conformity::Verdict::worst(
                p.body
                    .verdicts
                    .iter()
                    .filter_map(|v| v.verdict.parse().ok()),
            );
            pieces.push(Piece::plain(worst.word()));
            pieces.push(Piece::muted(&p.note));
            let title = if p.neck.is_empty() {
                "Bore check"
            } else {
                "Neck check"
            };
            (title, pieces)
        }
        Payload::Scrapped(p) => {
            let witness = format!("witness {}", code(&p.witness)?);
            (
                "Scrapped",
                vec![
                    Piece::plain(code(&p.thing)?),
                    Piece::muted(&p.reason),
                    Piece::muted(witness),
                ],
            )
        }
    };
    let pieces = pieces.into_iter().filter(|p| !p.text.is_empty()).collect();
    Ok((title.to_owned(), pieces))
}

/// An error of a gauge in the unit that it measures in, with its sign.
pub fn error_words(error: i64, measures: &str, show: Show) -> String {
    let sign = if error > 0 { "+" } else { "" };
    let unit = match measures {
        "temperature" => "K",
        "torque" => "N m",
        _ => "\u{b5}m",
    };
    let places = u32::from(error % 1_000 != 0);
    format!("{sign}{} {unit}", show.decimals(error, 1_000, places))
}

/// Lengths side by side with their unit, said once.
fn with_unit(lengths: &[String], show: Show) -> String {
    format!("{} {}", lengths.join("  "), show.unit.sign())
}

/// Where a thing was found, and what that leaves unknown.
fn found(conn: &Connection, event: &Event, p: &FoundHere) -> Result<Vec<Piece>> {
    let code = |name: &Ref| -> Result<String> {
        code_of(conn, crate::state::find(conn, name, event.id.origin)?)
    };
    let thing = code(&p.thing)?;
    let mut pieces = vec![Piece::plain(match (&p.on, &p.position) {
        (Some(roll), Some(position)) => {
            format!("{thing} on {} at {}", code(roll)?, code(position)?)
        }
        (Some(chock), None) => format!("{thing} in {}", code(chock)?),
        (None, _) => format!("{thing} in the shop"),
    })];
    if p.zone > 0 {
        pieces.push(Piece::plain(format!("zone {} up", zone_numeral(p.zone))));
    }
    let sql = "SELECT thing, place, at_thing, since_ms FROM lost WHERE event = ?1 ORDER BY thing";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([event.no], |row| {
        Ok((
            crate::ThingNo(row.get(0)?),
            row.get::<_, String>(1)?,
            row.get::<_, Option<i64>>(2)?.map(crate::ThingNo),
            row.get::<_, i64>(3)?,
        ))
    })?;
    for row in rows {
        let (lost, place, at, since_ms) = row?;
        let was = match at {
            Some(at) if place == "seat" => format!("in {}", code_of(conn, at)?),
            Some(at) => format!("at {}", code_of(conn, at)?),
            None if place == "shop" || place == "stores" => format!("in the {place}"),
            None => place,
        };
        let day = Stamp::second(since_ms, event.at.offset_min).date();
        let lost = code_of(conn, lost)?;
        pieces.push(Piece::muted(format!(
            "{lost} was {was}, unknown since {day}"
        )));
    }
    pieces.push(Piece::muted(&p.reason));
    Ok(pieces)
}

/// An entity in words.
pub fn entity_words(entity: &str) -> String {
    entity.replace('_', " ")
}
