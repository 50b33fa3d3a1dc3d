//! The backups in a folder, and how each stands to a logbook.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension, params};

use super::name::{Name, stem};
use super::{Backup, End};
use crate::append::head;
use crate::error::{Result, StoreError};
use crate::event::Hash;
use crate::id::{EventId, Origin};
use crate::logbook::{configure, get};
use crate::reach::Reach;
use crate::time::Stamp;
use crate::{schema, state};

/// How a backup stands to a logbook.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Relation {
    /// Every event of the backup is in the logbook.
    Prefix {
        /// So many events of the logbook are not in the backup.
        behind: i64,
    },
    /// Both agree as far as both go, and the backup has events that the logbook has not.
    Ahead {
        /// What the logbook lacks.
        gaps: Vec<Gap>,
        /// True where that is no wonder: the backup is of another copy, or the logbook was restored from an older
        /// one and says so in its chain. Else the end of the logbook was cut off.
        is_explained: bool,
    },
    /// One event is another one in the backup: one of the two chains was rewritten.
    Rewritten {
        /// The first event that differs.
        at: EventId,
    },
    /// The backup has no origin in common with the logbook.
    Stranger,
    /// The logbook cannot be read, so there is nothing to compare with.
    Unknown,
    /// The backup cannot be read.
    Unreadable {
        /// Why.
        why: String,
    },
}

/// Events of one origin that are missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// The first of them.
    pub from: EventId,
    /// How many.
    pub count: i64,
}

/// The backups in `folder` that are of this logbook or share a part of its history, oldest first. Where the logbook
/// itself cannot be read, those that carry its name.
///
/// # Errors
/// Where the folder cannot be read.
pub fn list(logbook: &Path, folder: &Path) -> Result<Vec<Backup>> {
    let here = open(logbook).ok();
    list_with(here.as_ref().map(|h| &h.conn), &stem(logbook), folder)
}

/// The newest backup that can be read and was verified when it was made, and whose events are all in the logbook (or
/// may be, where that cannot be read).
pub fn last_good(logbook: &Path, folder: &Path) -> Result<Option<Backup>> {
    Ok(list(logbook, folder)?
        .into_iter()
        .rev()
        .find(Backup::is_good))
}

/// For `verify`: the backups in `folder` beside an open file.
pub(crate) fn compare(here: &Connection, path: &Path, folder: &Path) -> Result<Vec<Backup>> {
    list_with(Some(here), &stem(path), folder)
}

fn list_with(here: Option<&Connection>, own: &str, folder: &Path) -> Result<Vec<Backup>> {
    let mut all = Vec::new();
    for (path, name) in names(folder)? {
        if !name.is_whole {
            continue;
        }
        let backup = read(&path, Stamp::second(name.ms, 0), here);
        let is_named_so = name.stem == own;
        match backup.relation {
            Relation::Stranger => {}
            Relation::Unknown | Relation::Unreadable { .. } if !is_named_so => {}
            _ => all.push(backup),
        }
    }
    all.sort_by(|a, b| (a.at.ms, &a.path).cmp(&(b.at.ms, &b.path)));
    Ok(all)
}

/// Files in the folder that are named like a backup.
pub(super) fn names(folder: &Path) -> Result<Vec<(PathBuf, Name)>> {
    let failed = |source| StoreError::Io {
        what: format!("cannot read the backup folder {}", folder.display()),
        source,
    };
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        let name = path.file_name().and_then(|name| name.to_str());
        if let Some(name) = name.and_then(Name::parse) {
            found.push((path, name));
        }
    }
    Ok(found)
}

/// A logbook or backup open for reading; nothing is left beside it.
pub(super) struct Reading {
    pub conn: Connection,
    /// Where a copy is read, it lasts as long as this.
    _reach: Reach,
}

/// Opens a logbook or backup for reading.
pub(super) fn open(path: &Path) -> Result<Reading> {
    schema::check_header(path)?;
    let reach = Reach::checker(path)?;
    let conn = reach.connect()?;
    configure(&conn, false)?;
    schema::check(&conn, path)?;
    Ok(Reading {
        conn,
        _reach: reach,
    })
}

/// What one file in the folder is. `at` is the time in its name.
pub(super) fn read(path: &Path, at: Stamp, here: Option<&Connection>) -> Backup {
    let mut backup = Backup {
        path: path.into(),
        at,
        bytes: std::fs::metadata(path).map_or(0, |meta| meta.len()),
        events: 0,
        ends: Vec::new(),
        last_entered: None,
        relation: Relation::Unknown,
    };
    if let Err(e) = read_into(&mut backup, here) {
        backup.relation = Relation::Unreadable {
            why: e.in_file(path).to_string(),
        };
    }
    backup
}

fn read_into(backup: &mut Backup, here: Option<&Connection>) -> Result<()> {
    let Reading { conn, _reach } = open(&backup.path)?;
    backup.ends = ends(&conn)?;
    backup.events = backup.ends.iter().map(|end| end.id.seq).sum();
    let newest = "SELECT entered_ms, entered_offset_min FROM event ORDER BY no DESC LIMIT 1";
    backup.last_entered = conn
        .query_row(newest, [], |row| {
            Ok(Stamp::second(row.get(0)?, row.get(1)?))
        })
        .optional()?;
    // The name has the time in UTC; the wall clock of those who made it stands inside.
    if let Some((ms, offset_min)) = backed_up(&conn)?
        && ms / 1000 == backup.at.ms / 1000
        && offset_min.abs() <= 24 * 60
    {
        backup.at.offset_min = offset_min;
    }
    if let Some(here) = here {
        backup.relation = relation(here, &conn, backup)?;
    }
    Ok(())
}

/// The last event of each origin, each with its hash made anew.
pub(super) fn ends(conn: &Connection) -> Result<Vec<End>> {
    let sql = "SELECT origin, max(seq) FROM event GROUP BY origin ORDER BY max(no)";
    let mut stmt = conn.prepare(sql)?;
    let rows = stmt.query_map([], |row| {
        Ok(EventId {
            origin: Origin(row.get(0)?),
            seq: row.get(1)?,
        })
    })?;
    let columns = state::EVENT_COLUMNS;
    let one = format!("SELECT {columns} FROM event WHERE origin = ?1 AND seq = ?2");
    let mut ends = Vec::new();
    for id in rows {
        let id = id?;
        let event = conn.query_row(&one, params![id.origin.0, id.seq], state::event_from_row)?;
        if event.hash != event.expected_hash() {
            let why = format!("its event {id} is not what was signed");
            return Err(StoreError::input("backup", why));
        }
        ends.push(End {
            id,
            hash: event.hash,
        });
    }
    Ok(ends)
}

fn relation(here: &Connection, there: &Connection, backup: &Backup) -> Result<Relation> {
    let ends = &backup.ends;
    let (mut gaps, mut is_shared) = (Vec::new(), false);
    for end in ends {
        let origin = end.id.origin;
        let own = head(here, origin)?.map_or(0, |(id, _)| id.seq);
        let common = own.min(end.id.seq);
        if common > 0 {
            is_shared = true;
            if let Some(seq) = first_difference(here, there, origin, common)? {
                let at = EventId { origin, seq };
                return Ok(Relation::Rewritten { at });
            }
        }
        if own < end.id.seq {
            let from = EventId {
                origin,
                seq: own + 1,
            };
            let count = end.id.seq - own;
            gaps.push(Gap { from, count });
        }
    }
    if !is_shared {
        return Ok(Relation::Stranger);
    }
    if gaps.is_empty() {
        let count: i64 = here.query_row("SELECT count(*) FROM event", [], |row| row.get(0))?;
        let inside: i64 = ends.iter().map(|end| end.id.seq).sum();
        return Ok(Relation::Prefix {
            behind: (count - inside).max(0),
        });
    }
    let homes = (home(here)?, home(there)?);
    let is_of_another_copy = homes.0.is_some() && homes.1.is_some() && homes.0 != homes.1;
    // A file that is itself an older backup ends where it was made.
    let is_older = match backed_up(here)? {
        Some((ms, _)) => get(here, "home")?.is_none() && ms < backup.at.ms,
        None => false,
    };
    Ok(Relation::Ahead {
        gaps,
        is_explained: is_of_another_copy || is_older || went_another_way(here, ends)?,
    })
}

/// When a backup was made: milliseconds, and the offset of the wall clock in minutes.
fn backed_up(conn: &Connection) -> Result<Option<(i64, i64)>> {
    Ok(get(conn, "backed_up")?.and_then(|text| {
        let (ms, offset) = text.split_once(' ')?;
        Some((ms.parse().ok()?, offset.parse().ok()?))
    }))
}

/// Which copy of the logbook a file is, or is a backup of.
fn home(conn: &Connection) -> Result<Option<String>> {
    match get(conn, "home")? {
        Some(home) => Ok(Some(home)),
        None => get(conn, "backup_home"),
    }
}

/// True where the logbook has an origin that the backup has not: it was copied or restored, and says so.
fn went_another_way(here: &Connection, ends: &[End]) -> Result<bool> {
    let mut stmt = here.prepare("SELECT DISTINCT origin FROM event")?;
    let origins = stmt.query_map([], |row| Ok(Origin(row.get(0)?)))?;
    for origin in origins {
        let origin = origin?;
        if !ends.iter().any(|end| end.id.origin == origin) {
            return Ok(true);
        }
    }
    Ok(false)
}

/// The first event up to `common` that is another one on the other side. Each hash stands for all before it, so where
/// the last agree all do, and the first that differs is found by halving.
fn first_difference(
    here: &Connection,
    there: &Connection,
    origin: Origin,
    common: i64,
) -> Result<Option<i64>> {
    let differ =
        |seq: i64| -> Result<bool> { Ok(hash(here, origin, seq)? != hash(there, origin, seq)?) };
    if !differ(common)? {
        return Ok(None);
    }
    let (mut same, mut other) = (0, common);
    while other - same > 1 {
        let middle = same + (other - same) / 2;
        if differ(middle)? {
            other = middle;
        } else {
            same = middle;
        }
    }
    Ok(Some(other))
}

fn hash(conn: &Connection, origin: Origin, seq: i64) -> Result<Option<Hash>> {
    let mut stmt = conn.prepare_cached("SELECT hash FROM event WHERE origin = ?1 AND seq = ?2")?;
    let hash = stmt.query_row(params![origin.0, seq], |row| row.get(0));
    Ok(hash.optional()?)
}
