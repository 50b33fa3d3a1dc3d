//! The tables: migrations, versions, and which of them are derived.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use rusqlite::{Connection, TransactionBehavior};

use crate::error::{Result, StoreError};
use crate::logbook::get;
use crate::reach::{Reach, has_log};

/// `CHBK`: marks a file of ours in its SQLite header.
pub const APPLICATION_ID: i64 = 0x4348_424b;

/// One script a format; never edited after release. Format 1 is released. While a later one is being shaped its script
/// may change, and [`DRAFT`] goes up with it, so that its drafts are refused by name.
const MIGRATIONS: [&str; 1] = [include_str!("../sql/migrations/0001_format_1.sql")];

/// Counts the changes of a format that is not released; 0 = released. `user_version` = format * 1000 + draft.
const DRAFT: i64 = 0;

/// The formats that this program knows.
pub(crate) const FORMATS: Formats<'static> = Formats {
    scripts: &MIGRATIONS,
    draft: DRAFT,
};

/// The format of this program as the header has it.
pub const FORMAT: i64 = FORMATS.newest();

/// A row of formats, each made from the one before by a script.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Formats<'a> {
    /// One script a format.
    pub scripts: &'a [&'a str],
    /// Counts the changes of the newest, as long as it is not released.
    pub draft: i64,
}

/// How a file stands to the formats that a program knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fit<'a> {
    /// It has the newest.
    Same,
    /// It was released earlier: these scripts bring it to the newest.
    Older(&'a [&'a str]),
    /// It is a later one that says that this program may read it.
    Newer(i64),
}

impl<'a> Formats<'a> {
    /// The newest one as the header has it.
    pub(crate) const fn newest(&self) -> i64 {
        self.scripts.len() as i64 * 1000 + self.draft
    }

    /// The scripts that are to come for a released format; none for one that was a draft.
    fn scripts_after(&self, found: i64) -> Option<&'a [&'a str]> {
        let done = usize::try_from(found / 1000).ok()?;
        let is_released = found % 1000 == 0 && done >= 1;
        let scripts = self.scripts.get(done..)?;
        (is_released && !scripts.is_empty()).then_some(scripts)
    }

    /// How a file stands to them.
    pub(crate) fn fit(&self, conn: &Connection, path: &Path) -> Result<Fit<'a>> {
        let found = format_of(conn, path)?;
        if found == self.newest() {
            return Ok(Fit::Same);
        }
        if let Some(scripts) = self.scripts_after(found) {
            return Ok(Fit::Older(scripts));
        }
        let may_read = || -> Result<bool> {
            let reader = get(conn, "min_reader")?;
            let reader = reader.and_then(|text| text.parse::<i64>().ok());
            Ok(reader.is_some_and(|reader| reader <= self.newest()))
        };
        if found > self.newest() && !is_draft_before(found, self.newest()) && may_read()? {
            return Ok(Fit::Newer(found));
        }
        Err(StoreError::OtherFormat {
            path: path.into(),
            found,
            supported: self.newest(),
        })
    }
}

/// True for a draft of a format that has been released since, or of an earlier one.
pub(crate) const fn is_draft_before(found: i64, newest: i64) -> bool {
    let is_draft = found % 1000 != 0;
    is_draft
        && (found / 1000 < newest / 1000 || (found / 1000 == newest / 1000 && newest % 1000 == 0))
}

/// `format 2`, or `draft 3 of format 1`.
pub(crate) fn format_words(format: i64) -> String {
    match format % 1000 {
        0 => format!("format {}", format / 1000),
        draft => format!("draft {draft} of format {}", format / 1000),
    }
}

/// How a file stands to the formats of this program; it is opened for reading only.
pub(crate) fn fit_of(path: &Path) -> Result<Fit<'static>> {
    let reach = Reach::checker(path)?;
    FORMATS.fit(&reach.connect()?, path)
}

/// The refusal of a file of another format.
pub(crate) fn other_format(conn: &Connection, path: &Path) -> Result<StoreError> {
    Ok(StoreError::OtherFormat {
        path: path.into(),
        found: format_of(conn, path)?,
        supported: FORMAT,
    })
}

/// Goes up whenever the derivation in `state/` changes: derived tables of another version are rebuilt.
pub const STATE_VERSION: i64 = 12;

/// The derived tables, children first, so that they can be emptied in this order.
pub const DERIVED: [&str; 43] = [
    "conflict",
    "amended",
    "effective",
    "document",
    "joined",
    "cost",
    "blocked",
    "teardown_plan",
    "extension",
    "early_teardown",
    "condition",
    "finding",
    "verdict",
    "outcome",
    "reading",
    "sheet_mark",
    "sheet",
    "baseline",
    "run",
    "pair",
    "lost",
    "stay",
    "hold",
    "whereabouts",
    "place",
    "grease",
    "seal_batch",
    "gauge_fault",
    "calibration",
    "gauge",
    "bearing",
    "type_value",
    "bearing_type",
    "chock",
    "chock_seat",
    "chock_type",
    "roll",
    "position",
    "stand",
    "line",
    "person",
    "thing_event",
    "thing",
];

/// Makes the tables in an empty file.
pub fn create(conn: &mut Connection) -> Result<()> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    for script in MIGRATIONS {
        tx.execute_batch(script)?;
    }
    tx.pragma_update(None, "application_id", APPLICATION_ID)?;
    tx.pragma_update(None, "user_version", FORMAT)?;
    tx.execute(
        "INSERT INTO state (name, value) VALUES ('state_version', ?1)",
        [STATE_VERSION],
    )?;
    tx.commit()?;
    Ok(())
}

/// Refuses a file by its first bytes, before anything opens it: opening for writing already changes a file.
pub fn check_header(path: &Path) -> Result<()> {
    let not_ours = |why: &str| StoreError::NotALogbook {
        path: path.into(),
        why: why.into(),
    };
    let mut header = [0; 100];
    let read = File::open(path)
        .and_then(|mut file| Ok((file.metadata()?.len(), file.read_exact(&mut header))));
    let (length, whole) = read.map_err(|source| StoreError::Io {
        what: format!("cannot read {}", path.display()),
        source,
    })?;
    if whole.is_err() || !header.starts_with(b"SQLite format 3\0") {
        return Err(not_ours(if length == 0 {
            "it is empty"
        } else {
            "it is not a database"
        }));
    }
    // Offsets of the SQLite file format, 1.3 "The Database Header" (sqlite.org/fileformat2.html).
    let word = |at: usize| {
        i64::from(u32::from_be_bytes([
            header[at],
            header[at + 1],
            header[at + 2],
            header[at + 3],
        ]))
    };
    let (version, id) = (word(60), word(68));
    // Where a log of unfinished work lies beside it, the newest header may be in there: then SQLite has to say.
    let may_be_newer = has_log(path);
    if id != APPLICATION_ID && !(may_be_newer && id == 0 && version == 0) {
        return Err(not_ours("its header has another mark"));
    }
    if may_be_newer {
        return Ok(());
    }
    // Of a later format the file itself says whether this program may read it.
    if version < FORMAT && FORMATS.scripts_after(version).is_none() {
        return Err(StoreError::OtherFormat {
            path: path.into(),
            found: version,
            supported: FORMAT,
        });
    }
    let page = i64::from(u16::from_be_bytes([header[16], header[17]]));
    let expected = word(28) * if page == 1 { 65_536 } else { page };
    if i64::try_from(length).is_ok_and(|length| length < expected) {
        let why = format!("it ends after {length} of {expected} bytes");
        return Err(StoreError::Damaged {
            path: path.into(),
            why,
        });
    }
    Ok(())
}

/// Refuses a file that is not ours or not of this format.
pub fn check(conn: &Connection, path: &Path) -> Result<()> {
    if format_of(conn, path)? == FORMAT {
        Ok(())
    } else {
        Err(other_format(conn, path)?)
    }
}

/// The format of a file; refuses one that is not ours.
fn format_of(conn: &Connection, path: &Path) -> Result<i64> {
    let not_ours = |why: String| StoreError::NotALogbook {
        path: path.into(),
        why,
    };
    let read = |name: &str| conn.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let id = read("application_id").map_err(|e| match e.sqlite_error_code() {
        Some(rusqlite::ErrorCode::NotADatabase) => not_ours("it is not a database".into()),
        Some(rusqlite::ErrorCode::DatabaseCorrupt) => StoreError::Damaged {
            path: path.into(),
            why: "its first page cannot be read".into(),
        },
        _ => e.into(),
    })?;
    if id != APPLICATION_ID {
        return Err(not_ours("its header has another mark".into()));
    }
    Ok(read("user_version")?)
}

/// What `sqlite_master` holds after the migrations: for `verify`.
pub fn expected_objects() -> Result<Vec<(String, String)>> {
    let mut conn = Connection::open_in_memory()?;
    create(&mut conn)?;
    objects(&conn)
}

/// Name and SQL of every object in the file, but what SQLite makes itself.
pub fn objects(conn: &Connection) -> Result<Vec<(String, String)>> {
    let sql = "SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_master
               WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\' ORDER BY 1";
    let mut stmt = conn.prepare(sql)?;
    let rows = stmt.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// Every entry of the list of tables, byte by byte and with its types, what SQLite makes itself included; only where
/// in the file each begins is left out.
pub fn entries(conn: &Connection) -> Result<Vec<String>> {
    let sql = "SELECT hex(type) || typeof(type) || ' ' || hex(name) || typeof(name) || ' ' || hex(tbl_name)
                 || typeof(tbl_name) || ' ' || hex(coalesce(sql, '')) || typeof(sql) FROM sqlite_master ORDER BY 1";
    let mut stmt = conn.prepare(sql)?;
    let rows = stmt.query_map([], |row| row.get(0))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// The entries that a file of this format has.
pub fn expected_entries() -> Result<Vec<String>> {
    let mut conn = Connection::open_in_memory()?;
    create(&mut conn)?;
    entries(&conn)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_is_described_and_every_description_has_its_table() {
        let documented: Vec<String> = include_str!("../sql/tables.md")
            .lines()
            .filter_map(|line| line.strip_prefix("### "))
            .map(str::to_owned)
            .collect();
        let mut built: Vec<String> = expected_objects()
            .unwrap()
            .iter()
            .filter_map(|(name, _)| name.strip_prefix("table ").map(Into::into))
            .collect();
        let mut sorted = documented.clone();
        sorted.sort();
        built.sort();
        assert_eq!(sorted, built);
        let text = include_str!("../sql/tables.md");
        let conn = {
            let mut conn = Connection::open_in_memory().unwrap();
            create(&mut conn).unwrap();
            conn
        };
        for table in built {
            let section = text
                .split(&format!("### {table}\n"))
                .nth(1)
                .unwrap()
                .split("### ")
                .next()
                .unwrap();
            let mut stmt = conn
                .prepare("SELECT name FROM pragma_table_info(?1)")
                .unwrap();
            let columns: Vec<String> = stmt
                .query_map([&table], |row| row.get(0))
                .unwrap()
                .collect::<rusqlite::Result<_>>()
                .unwrap();
            for column in columns {
                assert!(
                    section.contains(&format!("`{column}`")),
                    "{table}.{column} is not described"
                );
            }
        }
    }

    #[test]
    fn all_tables_are_derived_or_named_as_kept() {
        let kept = [
            "attachment",
            "attachment_content",
            "event",
            "draft",
            "draft_field",
            "draft_trace",
            "setting",
            "state",
        ];
        for (name, _) in expected_objects().unwrap() {
            if let Some(table) = name.strip_prefix("table ") {
                assert!(kept.contains(&table) || DERIVED.contains(&table), "{table}");
            }
        }
    }
}
