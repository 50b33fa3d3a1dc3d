//! Where a supply is now, by the last sheet of each chock that names one, and how the necks of a roll were found.

use rusqlite::{Connection, params};

use super::code_of;
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::time::Stamp;

type Beside = Vec<(ThingNo, String, String)>;

/// As many chocks are named; the rest is counted.
const NAMED_MAX: usize = 24;

/// The chocks whose last sheet that names one put this in; `paths` are the fields that do.
fn carried(
    conn: &Connection,
    code: &str,
    paths: [&str; 2],
    offset_min: i64,
) -> Result<Vec<(ThingNo, String)>> {
    let sql = "SELECT chock, at_ms FROM (
                 SELECT s.chock, e.at_ms, j.value ->> '$.text' AS named,
                   row_number() OVER (PARTITION BY s.chock ORDER BY e.at_ms DESC, e.no DESC) AS back
                 FROM sheet s JOIN event e ON e.no = s.event LEFT JOIN effective f ON f.event = e.no,
                   json_each(coalesce(f.payload, e.payload), '$.body.entries') j
                 WHERE s.kind IN ('teardown_sheet', 'mounting_sheet') AND s.chock IS NOT NULL
                   AND j.value ->> '$.path' IN (?2, ?3))
               WHERE back = 1 AND upper(trim(named)) = upper(?1) ORDER BY at_ms DESC, chock";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map(params![code, paths[0], paths[1]], |row| {
        Ok((ThingNo(row.get(0)?), row.get::<_, i64>(1)?))
    })?;
    rows.map(|row| {
        let (chock, at_ms) = row?;
        let since = Stamp::second(at_ms, offset_min).date();
        Ok((chock, format!("{}, since {since}", code_of(conn, chock)?)))
    })
    .collect()
}

fn tell(chocks: Vec<(ThingNo, String)>, beside: &mut Beside) {
    let more = chocks.len().saturating_sub(NAMED_MAX);
    let named = chocks.into_iter().take(NAMED_MAX);
    beside.extend(named.map(|(no, words)| (no, "chock".into(), words)));
    if let Some((_, _, last)) = beside.last_mut().filter(|_| more > 0) {
        *last = format!("{last}; and {more} more");
    }
}

/// The chocks that carry seals of a batch.
pub(super) fn sealed(
    conn: &Connection,
    code: &str,
    now: Stamp,
    state: &mut Vec<String>,
    beside: &mut Beside,
) -> Result<()> {
    let chocks = carried(
        conn,
        code,
        ["seals.batch", "mount.seal.batch"],
        now.offset_min,
    )?;
    state.push(match chocks.len() {
        0 => "No chock carries it by its last sheet.".into(),
        1 => "One chock carries it by its last sheet.".into(),
        n => format!("{n} chocks carry it by their last sheets."),
    });
    tell(chocks, beside);
    Ok(())
}

/// The bearing types whose scheme names a grease, and the chocks that were filled with it last.
pub(super) fn greased(
    conn: &Connection,
    code: &str,
    now: Stamp,
    state: &mut Vec<String>,
    beside: &mut Beside,
) -> Result<()> {
    let mut stmt = conn.prepare_cached("SELECT no FROM bearing_type ORDER BY code")?;
    let types = stmt.query_map([], |row| row.get(0).map(ThingNo))?;
    let mut named = Vec::new();
    for no in types {
        let facts = TypeFacts::load(conn, no?, now.ms)?;
        let mut words = facts
            .lubrication
            .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';'));
        if words.any(|word| word.eq_ignore_ascii_case(code)) {
            named.push(facts.code);
        }
    }
    state.push(if named.is_empty() {
        "No bearing type names it in its lubrication.".into()
    } else {
        format!("In the lubrication of {}.", named.join(", "))
    });
    let chocks = carried(conn, code, ["grease.kind", "grease.kind"], now.offset_min)?;
    state.push(match chocks.len() {
        0 => "No chock was filled with it by its last sheet.".into(),
        1 => "One chock was filled with it by its last sheet.".into(),
        n => format!("{n} chocks were filled with it by their last sheets."),
    });
    tell(chocks, beside);
    Ok(())
}

/// How each neck of a roll was found last.
pub(super) fn necks(
    conn: &Connection,
    roll: ThingNo,
    now: Stamp,
    show: Show,
) -> Result<Vec<(String, String)>> {
    let sql = "SELECT s.event, e.at_ms, o.value,
                 (SELECT group_concat(DISTINCT v.verdict) FROM verdict v WHERE v.event = s.event AND v.about GLOB 'neck_*')
               FROM sheet s JOIN event e ON e.no = s.event
               JOIN outcome o ON o.event = e.no AND o.name = 'neck_mean_nm'
               LEFT JOIN position p ON p.no = s.position
               WHERE s.roll = ?1 AND coalesce(s.side, p.side) = ?2 ORDER BY e.at_ms DESC, e.no DESC LIMIT 1";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut facts = Vec::new();
    for (side, name) in [("O", "neck, operator side"), ("D", "neck, drive side")] {
        let mut rows = stmt.query(params![roll.0, side])?;
        let words = match rows.next()? {
            None => "not measured yet".to_owned(),
            Some(row) => {
                let day = Stamp::second(row.get(1)?, now.offset_min).date();
                let verdicts: Option<String> = row.get(3)?;
                let verdicts = verdicts.unwrap_or_default();
                let worst = verdicts.split(',').filter_map(|word| word.parse().ok());
                let worst = calc::conformity::Verdict::worst(worst);
                format!(
                    "mean {} {} from nominal, {}, {day}",
                    show.deviation(row.get(2)?),
                    show.unit.sign(),
                    worst.word()
                )
            }
        };
        facts.push((name.to_owned(), words));
    }
    Ok(facts)
}
