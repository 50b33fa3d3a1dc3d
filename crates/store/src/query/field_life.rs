//! How long bearings last in the field: which of them failed, and the curve through their hours.

use std::collections::BTreeMap;

use calc::finding::{Finding, Mode, Part};
use calc::weibull::{Life, Weibull, weibull};
use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::error::Result;
use crate::id::ThingNo;

/// How long bearings of a type last in the field.
#[derive(Debug, Clone, PartialEq)]
pub struct LifeLine {
    /// The type.
    pub bearing_type: String,
    /// Bearings with hours.
    pub bearings: usize,
    /// Of those that failed, by serial.
    pub failed: Vec<Failed>,
    /// Hours of all together.
    pub total_h: f64,
    /// The fit; none where nothing failed yet.
    pub fit: Option<Weibull>,
}

/// A bearing that counts as failed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failed {
    /// The bearing.
    pub bearing: (ThingNo, String),
    /// What says so.
    pub by: FailedBy,
}

/// What says that a bearing failed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FailedBy {
    /// The finding of the last sheet, in words.
    Sheet(String),
    /// The words of its scrapping: no sheet was made after its last campaign.
    Words(String),
}

/// Failed is what was scrapped and was found cracked, spalled, broken or seized on the sheet after its last campaign; where
/// there is no such sheet the words of its scrapping say so. Everything else is still running, or went for another
/// reason.
pub(super) fn lives(conn: &Connection) -> Result<Vec<LifeLine>> {
    let mut stmt = conn.prepare(
        "SELECT t.code, b.no, b.serial, b.prior_run_s,
           (SELECT coalesce(sum(s.run_s), 0) FROM stay s WHERE s.bearing = b.no) AS run_s,
           pl.note, e.at_ms AS gone_ms
         FROM bearing b JOIN bearing_type t ON t.no = b.bearing_type
           LEFT JOIN place pl ON pl.thing = b.no AND pl.place = 'scrapped'
           LEFT JOIN event e ON e.no = pl.since_event
         ORDER BY t.code, b.serial, b.no",
    )?;
    let mut rows = stmt.query([])?;
    let mut by_type: BTreeMap<String, (Vec<Life>, Vec<Failed>)> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let (prior, run): (i64, i64) = (row.get("prior_run_s")?, row.get("run_s")?);
        if run <= 0 {
            continue;
        }
        let bearing = (ThingNo(row.get("no")?), row.get("serial")?);
        let by = match (row.get("gone_ms")?, row.get::<_, Option<String>>("note")?) {
            (Some(gone_ms), Some(why)) => failed_by(conn, bearing.0, gone_ms, &why)?,
            _ => None,
        };
        let (lives, failed) = by_type.entry(row.get("code")?).or_default();
        lives.push(Life {
            time: (prior + run) as f64 / 3_600.0,
            failed: by.is_some(),
            entry: prior as f64 / 3_600.0,
        });
        failed.extend(by.map(|by| Failed { bearing, by }));
    }
    Ok(by_type
        .into_iter()
        .map(|(bearing_type, (lives, failed))| LifeLine {
            bearing_type,
            bearings: lives.len(),
            failed,
            total_h: lives.iter().map(|life| life.time - life.entry).sum(),
            fit: weibull(&lives).ok(),
        })
        .collect())
}

/// What says that a scrapped bearing failed; none where it went for another reason.
fn failed_by(
    conn: &Connection,
    bearing: ThingNo,
    gone_ms: i64,
    why: &str,
) -> Result<Option<FailedBy>> {
    // A sheet from before its last campaign says nothing about what ended it.
    let sql = "SELECT s.event FROM sheet s JOIN event e ON e.no = s.event
        WHERE s.kind = 'teardown_sheet' AND s.bearing = ?1 AND e.at_ms <= ?2
          AND e.at_ms >= coalesce((SELECT max(r.from_ms) FROM stay y JOIN run r ON r.chock = y.chock
              AND r.from_ms >= y.from_ms AND (y.to_ms IS NULL OR r.from_ms < y.to_ms) WHERE y.bearing = ?1), 0)
        ORDER BY e.at_ms DESC, e.no DESC LIMIT 1";
    let sheet: Option<i64> = conn
        .prepare_cached(sql)?
        .query_row(params![bearing.0, gone_ms], |row| row.get(0))
        .optional()?;
    let Some(sheet) = sheet else {
        return Ok(tells_failure(why).then(|| FailedBy::Words(why.to_owned())));
    };
    let mut stmt = conn.prepare_cached(
        "SELECT part, row, mode, severity FROM finding WHERE event = ?1 ORDER BY severity DESC, item",
    )?;
    let found = stmt.query_map([sheet], finding)?;
    for found in found {
        if let Some(found) = found?.filter(Finding::is_failure) {
            return Ok(Some(FailedBy::Sheet(found.words())));
        }
    }
    Ok(None)
}

/// A finding without its angles; none of a part that only a later program knows.
fn finding(row: &Row<'_>) -> rusqlite::Result<Option<Finding>> {
    let Ok(part) = row.get::<_, String>("part")?.parse::<Part>() else {
        return Ok(None);
    };
    let Some(mode) = Mode::of(&row.get::<_, String>("mode")?) else {
        return Ok(None);
    };
    Ok(Some(Finding {
        part,
        row: row.get("row")?,
        mode,
        severity: row.get::<_, i64>("severity")?.clamp(0, 3) as u8,
        arc: None,
    }))
}

/// Words that tell a failure, by their beginnings.
const FAILURES: [&str; 9] = [
    "crack", "spall", "flak", "broke", "fractur", "burst", "seiz", "fatigue", "shatter",
];
/// Words that take the one after them back, in the same part of a sentence.
const DENIALS: [&str; 5] = ["no", "not", "without", "never", "none"];

/// Whether the words of a scrapping tell of a failure; what they say was not there is none.
fn tells_failure(why: &str) -> bool {
    let why = why.to_lowercase();
    let mut parts = why.split([',', ';', '.', ':', '(', ')']);
    parts.any(|part| {
        let mut is_denied = false;
        part.split(|c: char| !c.is_alphanumeric()).any(|word| {
            // "No cracks but spalled": what follows stands for itself.
            is_denied = (is_denied || DENIALS.contains(&word)) && word != "but";
            !is_denied && FAILURES.iter().any(|failure| word.starts_with(failure))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_tell_a_failure_unless_they_deny_it() {
        for (why, is_failure) in [
            ("inner ring cracked through", true),
            ("rib burst at the barrel side", true),
            ("Flaking of the outer raceway", true),
            ("fatigue, row 3", true),
            ("seized on the neck", true),
            ("broke in the mill", true),
            ("no cracks but spalled all round", true),
            ("not worth another grind: spalled", true),
            ("Worn out, no cracks", false),
            ("worn out without spalls or cracks", false),
            ("clearance past the limit", false),
            ("corroded, not fatigued", false),
            ("lost", false),
            ("", false),
        ] {
            assert_eq!(tells_failure(why), is_failure, "{why}");
        }
    }

    /// The columns that are read here, of five bearings of a type that ran 1,000 h each.
    #[test]
    fn the_sheet_after_the_last_campaign_says_what_failed_and_words_only_without_one() {
        let conn = Connection::open_in_memory().unwrap();
        conn.execute_batch(
            "CREATE TABLE bearing_type (no, code); CREATE TABLE bearing (no, serial, bearing_type, prior_run_s);
             CREATE TABLE stay (bearing, chock, from_ms, to_ms, run_s); CREATE TABLE run (chock, from_ms);
             CREATE TABLE place (thing, place, note, since_event); CREATE TABLE event (no, at_ms);
             CREATE TABLE sheet (event, kind, bearing);
             CREATE TABLE finding (event, item, part, row INTEGER, mode TEXT, severity INTEGER);
             INSERT INTO bearing_type VALUES (1, 'N4T');
             INSERT INTO bearing SELECT value, 'B' || value, 1, 0 FROM json_each('[11, 12, 13, 14, 15]');
             INSERT INTO stay SELECT no, no + 100, 0, 1000, 3600000 FROM bearing;
             INSERT INTO run SELECT no + 100, 500 FROM bearing;
             INSERT INTO event VALUES (1, 2000), (21, 900), (22, 900), (23, 400);
             INSERT INTO sheet VALUES (21, 'teardown_sheet', 11), (22, 'teardown_sheet', 12), (23, 'teardown_sheet', 13);
             INSERT INTO finding VALUES (21, 1, 'inner raceway', 2, '5.1.3', 3), (22, 1, 'inner raceway', 2, '5.2.2', 3),
                 (23, 1, 'rib', NULL, '5.6.2', 3);
             INSERT INTO place VALUES (11, 'scrapped', 'worn out', 1), (12, 'scrapped', 'cracked', 1),
                 (13, 'scrapped', 'worn out, no cracks', 1), (14, 'scrapped', 'rib burst in the mill', 1),
                 (15, 'mill', '', 1);",
        )
        .unwrap();
        let lines = lives(&conn).unwrap();
        assert_eq!((lines.len(), lines[0].bearings), (1, 5));
        let failed: Vec<(&str, &FailedBy)> = lines[0]
            .failed
            .iter()
            .map(|failed| (failed.bearing.1.as_str(), &failed.by))
            .collect();
        // B12 was worn by its sheet, whatever the words say; the sheet of B13 is from before it ran on.
        let spalled = "inner raceway, row 2: surface initiated fatigue (5.1.3), severity 3";
        assert_eq!(
            failed,
            [
                ("B11", &FailedBy::Sheet(spalled.to_owned())),
                ("B14", &FailedBy::Words("rib burst in the mill".to_owned())),
            ]
        );
    }
}
