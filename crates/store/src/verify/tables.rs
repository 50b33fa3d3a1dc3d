//! The database under the record: whole, of this format, and its derived rows what the events give.

use std::collections::BTreeMap;

use rusqlite::types::Value;
use rusqlite::{Connection, Statement, params_from_iter};

use super::Finding;
use super::chain::Chain;
use crate::error::{Result, StoreError};
use crate::id::Origin;
use crate::logbook::get;
use crate::{schema, state};

/// How many events do not fit beside the others. That is for the engineer to settle; the record itself is whole.
pub(super) fn conflicts(conn: &Connection) -> String {
    let count = conn.query_row("SELECT count(DISTINCT event) FROM conflict", [], |row| {
        row.get::<_, i64>(0)
    });
    match count {
        Ok(0) => "No event contradicts another: conflicts 0.".into(),
        Ok(n) => format!(
            "Conflicts {n}: events that cannot be true beside the others; the Log marks each, the engineer settles them."
        ),
        Err(_) => "Conflicts between events could not be counted.".into(),
    }
}

/// So many lines of one sort are told; the rest is counted.
const TOLD: usize = 20;

/// Pages, indexes and references.
pub(super) fn database(conn: &Connection) -> Vec<Finding> {
    let mut findings = Vec::new();
    match lines(conn, &format!("PRAGMA integrity_check({TOLD})")) {
        Ok(said) if said == ["ok"] => {}
        Ok(said) => findings.extend(
            said.iter()
                .map(|line| Finding::of_file(format!("the database is torn: {line}"))),
        ),
        Err(e) => findings.push(Finding::of_file(format!(
            "the database cannot be checked: {e}"
        ))),
    }
    let sql = "SELECT 'row ' || coalesce(rowid, '?') || ' of ' || \"table\" || ' names a row of ' || parent || ' that is not there'
               FROM pragma_foreign_key_check";
    match lines(conn, sql) {
        Ok(said) => findings.extend(told(&said).into_iter().map(Finding::of_file)),
        Err(e) => findings.push(Finding::of_file(format!(
            "the references between tables cannot be checked: {e}"
        ))),
    }
    findings
}

fn lines(conn: &Connection, sql: &str) -> rusqlite::Result<Vec<String>> {
    let mut stmt = conn.prepare(sql)?;
    let rows = stmt.query_map([], |row| row.get(0))?;
    rows.collect()
}

fn told(all: &[String]) -> Vec<String> {
    let mut told: Vec<String> = all.iter().take(TOLD).cloned().collect();
    if all.len() > TOLD {
        told.push(format!("and {} more like these", all.len() - TOLD));
    }
    told
}

/// Tables, indexes and triggers against those that the migrations make.
pub(super) fn objects(conn: &Connection) -> Result<Vec<Finding>> {
    let expected: BTreeMap<String, String> = schema::expected_objects()?.into_iter().collect();
    let found: BTreeMap<String, String> = match schema::objects(conn) {
        Ok(found) => found.into_iter().collect(),
        Err(e) => {
            return Ok(vec![Finding::of_file(format!(
                "the list of tables cannot be read: {e}"
            ))]);
        }
    };
    let mut findings = Vec::new();
    for (name, sql) in &expected {
        match found.get(name) {
            None => findings.push(Finding::of_file(format!("{name} is missing"))),
            Some(other) if other != sql => {
                findings.push(Finding::of_file(format!("{name} was altered")));
            }
            Some(_) => {}
        }
    }
    let extra = found.keys().filter(|name| !expected.contains_key(*name));
    findings.extend(extra.map(|name| Finding::of_file(format!("{name} does not belong here"))));
    // The names agree; so must every byte of the list itself.
    if findings.is_empty() && schema::entries(conn).ok() != Some(schema::expected_entries()?) {
        findings.push(Finding::of_file(
            "the list of tables and indexes was altered",
        ));
    }
    Ok(findings)
}

/// Derives everything anew in memory and compares. None where `progress` stopped it.
pub(super) fn derived(
    conn: &Connection,
    progress: &mut dyn FnMut(i64) -> bool,
) -> Result<Option<Vec<Finding>>> {
    let mut anew = Connection::open_in_memory()?;
    schema::create(&mut anew)?;
    if let Err(e) = copy_events(conn, &anew) {
        return Ok(Some(vec![Finding::of_file(format!(
            "the derived tables cannot be compared, an event is no event: {e}"
        ))]));
    }
    let tx = anew.transaction()?;
    match state::rebuild(&tx, &mut |done, _| progress(done)) {
        Ok(true) => tx.commit()?,
        Ok(false) => return Ok(None),
        Err(e) => {
            let what = format!(
                "the derived tables cannot be compared, the events do not give a state: {e}"
            );
            return Ok(Some(vec![Finding::of_file(what)]));
        }
    }
    let mut findings = Vec::new();
    let version = "SELECT value FROM state WHERE name = 'state_version'";
    if conn.query_row(version, [], |row| row.get::<_, i64>(0)).ok() != Some(schema::STATE_VERSION) {
        findings.push(Finding::of_file("the derived tables are of another program's version: open the logbook once to derive them anew"));
        return Ok(Some(findings));
    }
    for table in schema::DERIVED.into_iter().rev().chain(["state"]) {
        match compare(conn, &anew, table) {
            Ok(None) => {}
            Ok(Some(what)) => findings.push(Finding::of_file(what)),
            Err(e) => findings.push(Finding::of_file(format!(
                "table {table} cannot be compared: {e}"
            ))),
        }
    }
    Ok(Some(findings))
}

fn copy_events(from: &Connection, to: &Connection) -> Result<()> {
    let columns = state::EVENT_COLUMNS;
    let marks = vec!["?"; columns.split(',').count()].join(", ");
    to.execute_batch("BEGIN")?;
    let mut insert = to.prepare(&format!("INSERT INTO event ({columns}) VALUES ({marks})"))?;
    let mut read = from.prepare(&format!("SELECT {columns} FROM event"))?;
    let mut rows = read.query([])?;
    while let Some(row) = rows.next()? {
        let width = row.as_ref().column_count();
        let values = (0..width)
            .map(|i| row.get(i))
            .collect::<rusqlite::Result<Vec<Value>>>()?;
        insert.execute(params_from_iter(values))?;
    }
    to.execute_batch("COMMIT")?;
    Ok(())
}

/// The first row in which a table is not what the events give, and how many rows there are.
fn compare(file: &Connection, anew: &Connection, table: &str) -> Result<Option<String>> {
    let sql = "SELECT name FROM pragma_table_info(?1)";
    let columns: Vec<String> = anew
        .prepare(sql)?
        .query_map([table], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    let list = columns.join(", ");
    let sql = format!("SELECT {list} FROM {table} ORDER BY {list}");
    let (mut here, mut there) = (file.prepare(&sql)?, anew.prepare(&sql)?);
    let (mut here, mut there) = (
        rows(&mut here, columns.len())?,
        rows(&mut there, columns.len())?,
    );
    loop {
        match (here()?, there()?) {
            (None, None) => return Ok(None),
            (a, b) if a == b => {}
            (a, b) => {
                let shown = |row: Option<Vec<Value>>| {
                    row.map_or_else(|| "no such row".into(), |row| show(&columns, &row))
                };
                return Ok(Some(format!(
                    "table {table} is not what the events give: the file has {}; the events give {}",
                    shown(a),
                    shown(b)
                )));
            }
        }
    }
}

type NextRow<'a> = Box<dyn FnMut() -> Result<Option<Vec<Value>>> + 'a>;

fn rows<'a>(stmt: &'a mut Statement<'_>, width: usize) -> Result<NextRow<'a>> {
    let mut rows = stmt.query([])?;
    Ok(Box::new(move || {
        let Some(row) = rows.next()? else {
            return Ok(None);
        };
        Ok(Some(
            (0..width)
                .map(|i| row.get(i))
                .collect::<rusqlite::Result<_>>()?,
        ))
    }))
}

fn show(columns: &[String], row: &[Value]) -> String {
    let shown = columns.iter().zip(row).map(|(column, value)| match value {
        Value::Null => format!("{column} empty"),
        Value::Integer(n) => format!("{column} {n}"),
        Value::Real(x) => format!("{column} {x}"),
        Value::Text(text) => format!("{column} {text:?}"),
        Value::Blob(bytes) => format!("{column} {}", crate::id::hex(bytes)),
    });
    format!("({})", shown.collect::<Vec<_>>().join(", "))
}

/// What the file says about itself outside the record.
pub(super) fn settings(conn: &Connection, chain: &Chain) -> Vec<Finding> {
    let read = |name: &str| -> std::result::Result<Option<String>, StoreError> { get(conn, name) };
    let mut findings = Vec::new();
    match read("origin") {
        Ok(Some(text))
            if Origin::parse(&text).is_some_and(|origin| chain.origins.contains_key(&origin)) => {}
        Ok(Some(text)) => findings.push(Finding::of_file(format!(
            "the setting origin names {text:?}, which wrote no event here"
        ))),
        Ok(None) => findings.push(Finding::of_file(
            "the setting origin is missing: the file does not say who goes on writing",
        )),
        Err(e) => findings.push(Finding::of_file(format!(
            "the settings cannot be read: {e}"
        ))),
    }
    if let Ok(Some(text)) = read("min_reader")
        && text.parse::<i64>().is_err()
    {
        findings.push(Finding::of_file(format!(
            "the setting min_reader is no number: {text:?}"
        )));
    }
    findings
}
