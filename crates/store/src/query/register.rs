//! The register as tables, and one record to edit.

use rusqlite::{Connection, OptionalExtension};

use crate::entry::{Quantity, Show, range};
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{Gauge, Payload, Record};
use crate::state::{event_columns, event_from_row};
use crate::time::Stamp;

/// A table of the register.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RegisterTable {
    /// Column heads.
    pub columns: Vec<&'static str>,
    /// One row a thing.
    pub rows: Vec<ThingRow>,
}

/// A row of the register.
#[derive(Debug, Clone, PartialEq)]
pub struct ThingRow {
    /// The thing.
    pub no: ThingNo,
    /// Its cells.
    pub cells: Vec<String>,
}

/// A thing found by its code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundThing {
    /// Its number here.
    pub no: ThingNo,
    /// What sort of thing.
    pub entity: String,
    /// Its code.
    pub code: String,
    /// A few words about it, such as its type.
    pub detail: String,
}

/// Everything that people look for by its code, by code: not lines, nor persons that have left.
pub fn find_things(conn: &Connection) -> Result<Vec<FoundThing>> {
    let mut stmt = conn.prepare_cached(
        "SELECT t.no, t.entity, t.code,
             CASE t.entity
                 WHEN 'bearing' THEN (SELECT y.code FROM bearing b JOIN bearing_type y ON y.no = b.bearing_type
                                      WHERE b.no = t.no)
                 WHEN 'chock' THEN (SELECT y.code FROM chock c JOIN chock_type y ON y.no = c.chock_type
                                    WHERE c.no = t.no)
                 WHEN 'bearing_type' THEN (SELECT replace(replace(kind, '_row_', '-row '), '_', ' ') FROM bearing_type WHERE no = t.no)
                 WHEN 'roll' THEN (SELECT CASE role WHEN 'W' THEN 'work roll' WHEN 'K' THEN 'backup roll' WHEN 'I' THEN 'intermediate roll'
                     WHEN 'R' THEN 'bar roll' ELSE role END FROM roll WHERE no = t.no)
                 WHEN 'gauge' THEN (SELECT kind FROM gauge WHERE no = t.no)
                 WHEN 'position' THEN (SELECT s.code FROM position p JOIN stand s ON s.no = p.stand WHERE p.no = t.no)
                 WHEN 'stand' THEN (SELECT build FROM stand WHERE no = t.no)
                 WHEN 'person' THEN (SELECT role FROM person WHERE no = t.no)
                 WHEN 'grease' THEN (SELECT name FROM grease WHERE no = t.no)
                 WHEN 'seal_batch' THEN (SELECT name FROM seal_batch WHERE no = t.no)
             END AS detail
         FROM thing t
         WHERE t.entity <> 'line' AND t.no NOT IN (SELECT no FROM person WHERE is_active = 0)
         ORDER BY t.code, t.no",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(FoundThing {
            no: ThingNo(row.get("no")?),
            entity: row.get("entity")?,
            code: row.get("code")?,
            detail: row.get::<_, Option<String>>("detail")?.unwrap_or_default(),
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// The record of a thing as it stands, and when it was last changed. A gauge has what its newest calibration says.
pub fn record(conn: &Connection, thing: ThingNo) -> Result<Option<(Record, Stamp)>> {
    let columns = event_columns("e");
    let sql =
        format!("SELECT {columns} FROM thing t JOIN event e ON e.no = t.version WHERE t.no = ?1");
    let event = conn
        .prepare_cached(&sql)?
        .query_row([thing.0], event_from_row)
        .optional()?;
    let Some(event) = event else { return Ok(None) };
    match Payload::read(&event.kind, event.kind_version, &event.payload)? {
        Payload::RegisterChange(change) => {
            let mut record = change.record;
            if let Record::Gauge(gauge) = &mut record {
                calibrated(conn, thing, gauge)?;
            }
            Ok(Some((record, event.at)))
        }
        _ => Ok(None),
    }
}

/// Writes the newest calibration into the record of a gauge.
fn calibrated(conn: &Connection, thing: ThingNo, gauge: &mut Gauge) -> Result<()> {
    let sql = "SELECT certificate, due_ms, expanded_uncertainty FROM calibration WHERE gauge = ?1
               ORDER BY at_ms DESC, event DESC LIMIT 1";
    let newest = conn
        .prepare_cached(sql)?
        .query_row([thing.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)));
    if let Some((certificate, due_ms, uncertainty)) = newest.optional()? {
        gauge.certificate = certificate;
        gauge.due_ms = due_ms;
        gauge.expanded_uncertainty = uncertainty;
    }
    Ok(())
}

/// Reads one table of the register: `person`, `line`, `stand`, `position`, `roll`, `chock_type`, `chock`,
/// `bearing_type`, `bearing`, `gauge`, `seal_batch`, `grease`.
pub fn register_table(
    conn: &Connection,
    entity: &str,
    now: Stamp,
    show: Show,
) -> Result<RegisterTable> {
    let (columns, sql): (&[&'static str], &str) = match entity {
        "person" => (
            &["name", "role", "works here"],
            "SELECT no, name, role, CASE is_active WHEN 1 THEN 'yes' ELSE 'no' END FROM person ORDER BY role, name",
        ),
        "line" => (&["line", "name"], "SELECT no, code, name FROM line ORDER BY code"),
        "stand" => (
            &["stand", "line", "build"],
            "SELECT s.no, s.code, l.code, s.build FROM stand s JOIN line l ON l.no = s.line ORDER BY l.code, s.code",
        ),
        "position" => (
            &["position", "stand", "axially", "load from", "bearing"],
            "SELECT p.no, p.code, s.code, CASE p.is_fixed WHEN 1 THEN 'fixed' ELSE 'floating' END,
                 (CASE p.load_angle_ddeg WHEN 0 THEN 12 ELSE p.load_angle_ddeg / 300 END) || ' o''clock',
                 CASE p.is_rolling_bearing WHEN 1 THEN 'rolling' ELSE 'not a rolling bearing' END
             FROM position p JOIN stand s ON s.no = p.stand ORDER BY p.code",
        ),
        "roll" => (
            &["roll", "line", "role"],
            "SELECT r.no, r.code, l.code, CASE r.role WHEN 'W' THEN 'work roll' WHEN 'K' THEN 'backup roll'
                 WHEN 'I' THEN 'intermediate roll' WHEN 'R' THEN 'bar roll' ELSE r.role END
             FROM roll r JOIN line l ON l.no = r.line ORDER BY r.code",
        ),
        "chock_type" => (
            &["chock type", "seats", "shims", "bore planes", "fits"],
            "SELECT t.no, t.code, (SELECT group_concat(CASE s.name WHEN 'main2' THEN 'second main' ELSE s.name END || ' ' || b.code, ', ')
                 FROM chock_seat s
                 JOIN bearing_type b ON b.no = s.bearing_type WHERE s.chock_type = t.no),
                 CASE t.shim_place WHEN 'between' THEN 'between cover and ring' ELSE 'under the flange' END, t.bore_planes, t.fits
             FROM chock_type t ORDER BY t.code",
        ),
        "chock" => (
            &["chock", "type"],
            "SELECT c.no, c.code, t.code FROM chock c JOIN chock_type t ON t.no = c.chock_type ORDER BY c.code",
        ),
        "bearing_type" => return super::type_rows::rows(conn, now, show),
        "bearing" => (
            &["serial", "type", "hours before"],
            "SELECT b.no, b.serial, t.code, b.prior_run_s / 3600 FROM bearing b
             JOIN bearing_type t ON t.no = b.bearing_type ORDER BY b.serial",
        ),
        "gauge" => return gauges(conn, now, show),
        "seal_batch" => (&["batch", "seals"], "SELECT no, code, name FROM seal_batch ORDER BY code"),
        "grease" => (&["grease", "name"], "SELECT no, code, name FROM grease ORDER BY code"),
        _ => return Ok(RegisterTable::default()),
    };
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([], |row| {
        let cells = (1..=columns.len())
            .map(|i| Ok(cell_text(row.get_ref(i)?)))
            .collect::<rusqlite::Result<_>>()?;
        Ok(ThingRow {
            no: ThingNo(row.get(0)?),
            cells,
        })
    })?;
    Ok(RegisterTable {
        columns: columns.to_vec(),
        rows: rows.collect::<rusqlite::Result<_>>()?,
    })
}

fn cell_text(value: rusqlite::types::ValueRef<'_>) -> String {
    use rusqlite::types::ValueRef::{Blob, Integer, Null, Real, Text};
    match value {
        Null | Blob(_) => String::new(),
        Integer(i) => i.to_string(),
        Real(r) => r.to_string(),
        Text(t) => String::from_utf8_lossy(t).into_owned(),
    }
}

/// The range as it was typed, with the unit of what the gauge measures; a range of lengths in that of the logbook.
fn span_words(span: &str, measures: &str, show: Show) -> String {
    let quantity = match measures {
        "temperature" => Quantity::Temperature,
        "torque" => Quantity::Torque,
        "other" => return span.to_owned(),
        _ => Quantity::Length,
    };
    let Some((low, high)) = range(span, quantity) else {
        return span.to_owned();
    };
    let trimmed = |words: String| match words.find(['.', ',']) {
        Some(_) => words
            .trim_end_matches('0')
            .trim_end_matches(['.', ','])
            .to_owned(),
        None => words,
    };
    let (value, unit): (&dyn Fn(i64) -> String, &str) = match quantity {
        Quantity::Temperature => (&|mk| show.decimals(mk, 1_000, 1), "\u{b0}C"),
        Quantity::Torque => (&|mnm| show.amount(mnm, 1_000, 1), "N m"),
        _ => (&|nm| show.length(nm), show.unit.sign()),
    };
    format!("{} to {} {unit}", trimmed(value(low)), trimmed(value(high)))
}

fn gauges(conn: &Connection, now: Stamp, show: Show) -> Result<RegisterTable> {
    let gauges = crate::sheet::gauges_at(conn, now)?;
    let rows = gauges.into_values().map(|g| {
        let uncertainty = match (g.measures.as_str(), g.expanded_uncertainty_nm) {
            ("temperature" | "torque" | "other", _) => String::new(),
            (_, Some(nm)) => show.length_unit(nm),
            (_, None) => "not known".into(),
        };
        let due = Stamp::second(g.due_ms, now.offset_min).date();
        let status = match g.other_doubt() {
            Some(doubt) => doubt,
            None if g.is_overdue => "overdue",
            None => "in calibration",
        }
        .to_owned();
        ThingRow {
            no: g.no,
            cells: vec![
                g.code,
                g.kind,
                span_words(&g.span, &g.measures, show),
                uncertainty,
                g.certificate,
                due,
                status,
            ],
        }
    });
    let columns = vec![
        "gauge",
        "kind",
        "range",
        "U at k = 2",
        "certificate",
        "due",
        "status",
    ];
    Ok(RegisterTable {
        columns,
        rows: rows.collect(),
    })
}
