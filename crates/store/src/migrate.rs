//! Brings a logbook of an earlier format to that of this program: first a backup, then all scripts in one transaction.
//!
//! No script touches an event row; the derived tables are made anew afterwards by whoever opens the file.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, TransactionBehavior};

use crate::backup::{self, FOLDER};
use crate::error::Result;
use crate::logbook::get;
use crate::time::Stamp;

/// Runs `scripts` on an open file after a backup of it as it is, in its backup folder, or beside it where that cannot
/// be reached. Answers where the backup lies.
pub(crate) fn migrate(
    conn: &mut Connection,
    path: &Path,
    scripts: &[&str],
    to: i64,
    now: Stamp,
) -> Result<PathBuf> {
    let chosen = get(conn, FOLDER)?.filter(|folder| !folder.is_empty());
    let mut folders: Vec<PathBuf> = chosen.into_iter().map(Into::into).collect();
    let absolute = std::path::absolute(path).unwrap_or_else(|_| path.into());
    folders.extend(absolute.parent().map(Into::into));
    let mut made = None;
    for folder in folders {
        let copied = backup::copy_as_it_is(conn, path, &folder, now);
        let is_made = copied.is_ok();
        made = Some(copied);
        if is_made {
            break;
        }
    }
    // Without a backup nothing is touched.
    let made = made.unwrap_or_else(|| Err(crate::StoreError::NotFound { path: path.into() }))?;
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    for script in scripts {
        tx.execute_batch(script)?;
    }
    tx.pragma_update(None, "user_version", to)?;
    // Whoever opens it finds no version of the derived tables, and makes them anew.
    tx.execute("DELETE FROM state WHERE name = 'state_version'", [])?;
    tx.commit()?;
    Ok(made)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::{FORMAT, Fit, Formats};
    use crate::time::{Clock, Entropy};
    use crate::{Hands, Logbook, StoreError};

    const SECOND: &str = "CREATE TABLE added (x INTEGER NOT NULL) STRICT;
        UPDATE setting SET value = '2000' WHERE name = 'min_reader';";

    struct Fixed;

    impl Clock for Fixed {
        fn now(&self) -> Stamp {
            Stamp::parse("2026-10-30T14:32:05", 0).unwrap()
        }
    }

    impl Entropy for Fixed {
        fn fill(&mut self, bytes: &mut [u8]) {
            bytes.fill(7);
        }
    }

    fn hands() -> Hands {
        Hands {
            clock: Box::new(Fixed),
            entropy: Box::new(Fixed),
            install: [1; 16],
            program: "test".into(),
            drive: |_| None,
        }
    }

    /// A closed logbook that says to be of format 1 as it was released.
    fn of_format_1(folder: &Path) -> PathBuf {
        let path = folder.join("mill.chockbook");
        drop(Logbook::create(&path, hands(), "Tarnhollow").unwrap());
        let conn = Connection::open(&path).unwrap();
        conn.pragma_update(None, "user_version", 1000).unwrap();
        path
    }

    fn count(path: &Path, sql: &str) -> rusqlite::Result<i64> {
        Connection::open(path)?.query_row(sql, [], |row| row.get(0))
    }

    #[test]
    fn a_backup_comes_before_the_first_script_and_the_events_stay() {
        let folder = tempfile::tempdir().unwrap();
        let path = of_format_1(folder.path());
        let formats = Formats {
            scripts: &[
                "never run again",
                SECOND,
                "ALTER TABLE added ADD COLUMN y INTEGER;",
            ],
            draft: 0,
        };
        let mut conn = Connection::open(&path).unwrap();
        let Fit::Older(scripts) = formats.fit(&conn, &path).unwrap() else {
            panic!("it is older")
        };
        assert_eq!(scripts.len(), 2);
        let kept = migrate(&mut conn, &path, scripts, formats.newest(), Fixed.now()).unwrap();
        assert_eq!(formats.fit(&conn, &path).unwrap(), Fit::Same);
        conn.execute("INSERT INTO added (x, y) VALUES (1, 2)", [])
            .unwrap();
        drop(conn);
        assert_eq!(count(&path, "SELECT count(*) FROM event").unwrap(), 1);
        // The backup is the file as it was.
        let name = "mill-as-format-1-20261030T143205Z.chockbook";
        assert_eq!(kept, folder.path().join(name));
        let version = "SELECT user_version FROM pragma_user_version";
        assert_eq!(count(&kept, version).unwrap(), 1000);
        assert_eq!(count(&kept, "SELECT count(*) FROM event").unwrap(), 1);
        assert!(count(&kept, "SELECT count(*) FROM added").is_err());
    }

    #[test]
    fn a_script_that_fails_changes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = of_format_1(folder.path());
        let mut conn = Connection::open(&path).unwrap();
        let scripts = [SECOND, "INSERT INTO nothing VALUES (1);"];
        assert!(migrate(&mut conn, &path, &scripts, 3000, Fixed.now()).is_err());
        drop(conn);
        let version = "SELECT user_version FROM pragma_user_version";
        assert_eq!(count(&path, version).unwrap(), 1000);
        assert!(count(&path, "SELECT count(*) FROM added").is_err());
    }

    #[test]
    fn a_damaged_file_is_not_migrated() {
        let folder = tempfile::tempdir().unwrap();
        let path = of_format_1(folder.path());
        let mut conn = Connection::open(&path).unwrap();
        let sql = "DROP TRIGGER event_no_update; UPDATE event SET payload = payload || ' '";
        conn.execute_batch(sql).unwrap();
        let refused = migrate(&mut conn, &path, &[SECOND], 2000, Fixed.now());
        assert!(
            matches!(refused, Err(StoreError::Damaged { .. })),
            "{refused:?}"
        );
        drop(conn);
        assert!(count(&path, "SELECT count(*) FROM added").is_err());
        assert_eq!(
            std::fs::read_dir(folder.path()).unwrap().count(),
            2,
            "logbook and lock"
        );
    }

    #[test]
    fn a_later_format_is_read_where_it_says_so_and_refused_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = of_format_1(folder.path());
        let put = |reader: i64| {
            let conn = Connection::open(&path).unwrap();
            conn.pragma_update(None, "user_version", 7000).unwrap();
            let sql = "UPDATE setting SET value = ?1 WHERE name = 'min_reader'";
            conn.execute(sql, [reader.to_string()]).unwrap();
        };
        put(FORMAT);
        let before = std::fs::read(&path).unwrap();
        let mut logbook = Logbook::open(&path, hands()).unwrap();
        let crate::Access::Read { why } = logbook.access().clone() else {
            panic!("it may be written")
        };
        assert!(why.contains("later program (format 7)"), "{why}");
        assert!(logbook.set_setting("show.unit", "inch").is_err());
        assert_eq!(
            crate::logbook::plant(logbook.connection()).unwrap(),
            "Tarnhollow"
        );
        drop(logbook);
        assert!(before == std::fs::read(&path).unwrap(), "it was changed");
        put(FORMAT + 1);
        let refused = Logbook::open(&path, hands()).unwrap_err();
        assert!(
            refused.to_string().contains("Update this program"),
            "{refused}"
        );
    }
}
