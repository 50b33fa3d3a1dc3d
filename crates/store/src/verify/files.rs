//! Pictures and papers: everything that an event names is there and fits its hash, and nothing else is.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use rusqlite::Connection;

use super::Finding;
use crate::attachment::{from_folder, hash_of};
use crate::error::Result;
use crate::event::Event;
use crate::logbook::get;
use crate::payload::{KeptFile, Payload};
use crate::state::{EVENT_COLUMNS, event_from_row};

/// What does not hold, and what was checked in words. Of a backup the contents lie in the folder beside it.
pub(super) fn check(conn: &Connection, path: &Path) -> Result<(Vec<Finding>, String)> {
    let mut findings = Vec::new();
    let is_backup = get(conn, "backed_up").ok().flatten().is_some();
    let folder = path.parent().filter(|_| is_backup);
    let named = named(conn)?;
    let mut seen = BTreeSet::new();
    for (event, file) in &named {
        seen.insert(file.hash.clone());
        if let Some(what) = broken(conn, file, folder)? {
            findings.push(Finding {
                event: Some(event.id),
                no: Some(event.no),
                what: format!("{} of event {}: {what}", file.name, event.id),
            });
        }
    }
    let mut stmt = conn.prepare(
        "SELECT hash, EXISTS (SELECT 1 FROM draft_field f WHERE instr(f.text, a.hash)) FROM
           (SELECT hash FROM attachment UNION SELECT hash FROM attachment_content) a ORDER BY hash",
    )?;
    let kept: BTreeMap<String, bool> = stmt
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<rusqlite::Result<_>>()?;
    for (hash, is_of_draft) in &kept {
        if !seen.contains(hash) && !is_of_draft {
            findings.push(Finding::of_file(format!(
                "an attachment ({}) belongs to no event and to no draft",
                hash.get(..8).unwrap_or(hash)
            )));
        }
    }
    let where_ = if is_backup {
        ", in the folder beside the backup"
    } else {
        ""
    };
    let words = format!(
        "{} pictures and papers are there{where_} and fit their hashes.",
        named.len()
    );
    Ok((findings, words))
}

/// Every file that an event names.
fn named(conn: &Connection) -> Result<Vec<(Event, KeptFile)>> {
    let sql = format!(
        "SELECT {EVENT_COLUMNS} FROM event WHERE kind IN ('attached', 'teardown_sheet', 'returned', 'seat_check') ORDER BY no"
    );
    let mut stmt = conn.prepare(&sql)?;
    let mut rows = stmt.query([])?;
    let mut named = Vec::new();
    while let Some(row) = rows.next()? {
        // What cannot be read is a finding of the chain already.
        let Ok(event) = event_from_row(row) else {
            continue;
        };
        let files: Vec<KeptFile> =
            match Payload::read(&event.kind, event.kind_version, &event.payload) {
                Ok(Payload::Attached(p)) => vec![p.file],
                Ok(Payload::TeardownSheet(p)) => {
                    p.body.photos.into_iter().map(|photo| photo.file).collect()
                }
                Ok(Payload::Returned(p)) => p
                    .body
                    .into_iter()
                    .flat_map(|body| body.photos)
                    .map(|photo| photo.file)
                    .collect(),
                Ok(Payload::SeatCheck(p)) => {
                    p.body.photos.into_iter().map(|photo| photo.file).collect()
                }
                _ => Vec::new(),
            };
        named.extend(files.into_iter().map(|file| (event.clone(), file)));
    }
    Ok(named)
}

/// Why a file is not what the event says, if so.
fn broken(conn: &Connection, file: &KeptFile, folder: Option<&Path>) -> Result<Option<String>> {
    let mut stmt =
        conn.prepare_cached("SELECT media, bytes, thumbnail FROM attachment WHERE hash = ?1")?;
    let mut rows = stmt.query([&file.hash])?;
    let Some(row) = rows.next()? else {
        return Ok(Some("it is not among the attachments".into()));
    };
    let (media, bytes): (String, i64) = (row.get(0)?, row.get(1)?);
    let thumbnail: Option<Vec<u8>> = row.get(2)?;
    let small = thumbnail.map_or_else(String::new, |small| hash_of(&small));
    if media != file.media || bytes != file.bytes || small != file.thumbnail_hash {
        return Ok(Some("what is noted of it is not what was signed".into()));
    }
    let content = crate::attachment::content(conn, &file.hash)?;
    let content = content.or_else(|| from_folder(folder?, &file.hash));
    Ok(match content {
        None => Some("its content is missing".into()),
        Some(content) if hash_of(&content) != file.hash => {
            Some("its content is not what was signed".into())
        }
        Some(_) => None,
    })
}
