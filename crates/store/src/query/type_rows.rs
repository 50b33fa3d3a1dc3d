//! The bearing types as a table of the register: what each is, how large, how long it may run, how many there are.

use rusqlite::Connection;

use super::register::{RegisterTable, ThingRow};
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::time::Stamp;

const COLUMNS: [&str; 6] = [
    "bearing type",
    "kind",
    "bore, outside, width",
    "interval",
    "bearings",
    "lubrication",
];

/// The table, with the values that hold now.
pub(super) fn rows(conn: &Connection, now: Stamp, show: Show) -> Result<RegisterTable> {
    let mut stmt = conn.prepare_cached(
        "SELECT t.no, replace(t.kind, '_', ' '), (SELECT count(*) FROM bearing b WHERE b.bearing_type = t.no)
         FROM bearing_type t ORDER BY t.code",
    )?;
    let all: Vec<(ThingNo, String, i64)> = stmt
        .query_map([], |row| {
            Ok((ThingNo(row.get(0)?), row.get(1)?, row.get(2)?))
        })?
        .collect::<rusqlite::Result<_>>()?;
    let mut rows = Vec::new();
    for (no, kind, count) in all {
        let facts = TypeFacts::load(conn, no, now.ms)?;
        rows.push(ThingRow {
            no,
            cells: vec![
                facts.code.clone(),
                kind,
                sizes(&facts, show),
                interval(&facts, show),
                count.to_string(),
                facts.lubrication.clone(),
            ],
        });
    }
    Ok(RegisterTable {
        columns: COLUMNS.into(),
        rows,
    })
}

/// `480 \u{d7} 620 \u{d7} 336 mm`; what is not known is left open.
fn sizes(facts: &TypeFacts, show: Show) -> String {
    let all = ["bore_nm", "outside_nm", "width_nm"].map(|name| facts.whole(name));
    if all.iter().all(Option::is_none) {
        return String::new();
    }
    let words = all.map(|nm| nm.map_or_else(|| "?".to_owned(), |nm| plain(&show.length(nm))));
    format!("{} {}", words.join(" \u{d7} "), show.unit.sign())
}

/// A size without the zeros behind its decimal mark.
fn plain(size: &str) -> String {
    if !size.contains(['.', ',']) {
        return size.to_owned();
    }
    let size = size.trim_end_matches('0');
    size.trim_end_matches(['.', ',']).to_owned()
}

/// Each clock of the interval with its unit; the first to end ends it.
fn interval(facts: &TypeFacts, show: Show) -> String {
    let clocks = [
        facts
            .whole("interval_run_s")
            .map(|s| format!("{} h", show.hours(s))),
        facts
            .whole("interval_campaign_count")
            .map(|n| format!("{} campaigns", show.grouped(n))),
        facts
            .whole("interval_rolled_kg")
            .map(|kg| format!("{} kt", show.kilotonnes(kg))),
        facts
            .whole("interval_day_count")
            .map(|n| format!("{} days", show.grouped(n))),
    ];
    let told: Vec<String> = clocks.into_iter().flatten().collect();
    told.join(", ")
}
