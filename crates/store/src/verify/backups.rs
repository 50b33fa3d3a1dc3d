//! The ends of the backups in reach against the chain (record format 7): the one thing beside paper that shows a tail
//! that was cut off or a chain that was wholly rewritten.

use std::collections::BTreeMap;

use rusqlite::Connection;

use super::{Finding, Report};
use crate::backup::{Backup, FOLDER, Gap, Relation, compare};
use crate::id::EventId;
use crate::logbook::get;

/// Compares with every backup in the folder that the file names. Without a folder nothing is added.
pub(super) fn check(conn: &Connection, report: &mut Report) {
    // Settings that cannot be read are a finding already.
    let Some(folder) = get(conn, FOLDER)
        .ok()
        .flatten()
        .filter(|text| !text.is_empty())
    else {
        return;
    };
    let backups = match compare(conn, &report.path, folder.as_ref()) {
        Ok(backups) => backups,
        Err(e) => {
            report.limits.push(format!(
                "No backup was compared: {e}. Plug the drive in and verify again."
            ));
            return;
        }
    };
    if backups.is_empty() {
        report.limits.push(format!(
            "No backup was compared: {folder} has none of this logbook."
        ));
        return;
    }
    let (mut agree, mut apart) = (0, 0);
    // Many backups show the same thing: the newest is named, the others are counted.
    let mut found: BTreeMap<EventId, (&Backup, String, usize)> = BTreeMap::new();
    for backup in backups.iter().rev() {
        let (event, what) = match &backup.relation {
            Relation::Prefix { .. } => {
                agree += 1;
                continue;
            }
            Relation::Ahead {
                is_explained: true, ..
            } => {
                apart += 1;
                continue;
            }
            Relation::Ahead { gaps, .. } => {
                for gap in gaps {
                    let entry = found
                        .entry(gap.from)
                        .or_insert_with(|| (backup, cut(gap), 0));
                    entry.2 += 1;
                }
                continue;
            }
            Relation::Rewritten { at } => (
                *at,
                "is another event there: the chain was rewritten from it on".to_owned(),
            ),
            Relation::Unreadable { why } => {
                report
                    .limits
                    .push(format!("A backup could not be compared: {why}."));
                continue;
            }
            Relation::Stranger | Relation::Unknown => continue,
        };
        found.entry(event).or_insert_with(|| (backup, what, 0)).2 += 1;
    }
    for (event, (backup, what, count)) in found {
        let others = match count {
            1 => String::new(),
            n => format!(" (and {} older backups say the same)", n - 1),
        };
        report.findings.push(Finding {
            event: Some(event),
            no: None,
            what: format!(
                "the backup {} of {} does not agree: event {event} {what}{others}",
                backup.path.display(),
                backup.at.date_time()
            ),
        });
    }
    report.checked.push(format!(
        "Backups in {folder}: {agree} of {} hold nothing but what is in this chain.",
        backups.len()
    ));
    if apart > 0 {
        report.checked.push(format!(
            "Backups in {folder} with events that are not here: {apart}; they are of another copy, or this logbook was \
             restored from an older one, as its chain says. If nobody knows of that, ask who restored it."
        ));
    }
}

fn cut(gap: &Gap) -> String {
    let end = gap.from.seq - 1;
    let events = match gap.count {
        1 => "is".to_owned(),
        n => format!("and {} more are", n - 1),
    };
    format!(
        "{events} there, and the chain of {} here ends at {end}: its end was cut off",
        gap.from.origin.short()
    )
}
