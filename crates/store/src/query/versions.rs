//! The versions of a record: what held from when, why it was changed, by whom, and what changed.

use std::collections::BTreeMap;

use rusqlite::{Connection, params};

use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{BearingType, Payload, Record, TypeValue};
use crate::state::{event_columns, event_from_row};
use crate::time::Stamp;

/// One version of a bearing type.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypeVersion {
    /// Its event here.
    pub event: i64,
    /// From when it holds.
    pub from: Stamp,
    /// When it was entered.
    pub entered: Stamp,
    /// Who signed.
    pub signer: String,
    /// Why.
    pub reason: String,
    /// All its values.
    pub values: Vec<TypeValue>,
    /// What is other than in the version entered before: name, item, before, after.
    pub changes: Vec<ValueChange>,
    /// Kind, lubrication or designation are other than before.
    pub other_changes: Vec<String>,
}

/// A value that a version changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ValueChange {
    /// Name as in the record.
    pub name: String,
    /// Row pair from 1; 0 for the whole.
    pub item: i64,
    /// Before; none where there was none.
    pub before: Option<i64>,
    /// After; none where it is gone.
    pub after: Option<i64>,
}

/// The versions of a bearing type, the one that was entered last first.
pub fn type_versions(conn: &Connection, no: ThingNo) -> Result<Vec<TypeVersion>> {
    let columns = event_columns("e");
    let sql = format!(
        "SELECT {columns}, (SELECT name FROM person p JOIN event r ON r.no = p.no
             WHERE r.origin = e.person_origin AND r.seq = e.person_seq) AS signer
         FROM event e WHERE e.no IN (SELECT event FROM thing_event WHERE thing = ?1) AND e.kind = 'register_change'
         ORDER BY e.entered_ms, e.origin, e.seq"
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let mut rows = stmt.query(params![no.0])?;
    let mut versions: Vec<TypeVersion> = Vec::new();
    let mut before: Option<BearingType> = None;
    while let Some(row) = rows.next()? {
        let event = event_from_row(row)?;
        let signer: Option<String> = row.get("signer")?;
        let Payload::RegisterChange(change) =
            Payload::read(&event.kind, event.kind_version, &event.payload)?
        else {
            continue;
        };
        let Record::BearingType(now) = change.record else {
            continue;
        };
        let (mut changes, mut other_changes) = (Vec::new(), Vec::new());
        if let Some(before) = &before {
            changes = differences(&before.values, &now.values);
            for (what, old, new) in [
                ("designation", &before.code, &now.code),
                ("kind", &before.kind, &now.kind),
                ("lubrication", &before.lubrication, &now.lubrication),
            ] {
                if old != new {
                    other_changes.push(format!("{what}: {old} to {new}"));
                }
            }
        }
        versions.push(TypeVersion {
            event: event.no,
            from: event.at,
            entered: event.entered,
            signer: signer.unwrap_or_default(),
            reason: change.reason,
            values: now.values.clone(),
            changes,
            other_changes,
        });
        before = Some(now);
    }
    versions.reverse();
    Ok(versions)
}

fn differences(before: &[TypeValue], after: &[TypeValue]) -> Vec<ValueChange> {
    let mut all: BTreeMap<(String, i64), (Option<i64>, Option<i64>)> = BTreeMap::new();
    for value in before {
        all.entry((value.name.clone(), value.item)).or_default().0 = Some(value.value);
    }
    for value in after {
        all.entry((value.name.clone(), value.item)).or_default().1 = Some(value.value);
    }
    all.into_iter()
        .filter(|(_, (before, after))| before != after)
        .map(|((name, item), (before, after))| ValueChange {
            name,
            item,
            before,
            after,
        })
        .collect()
}
