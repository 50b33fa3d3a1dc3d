//! Making and opening a logbook.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension, TransactionBehavior};

use super::guard::Print;
use super::{Access, Damage, Hands, Logbook, NewEvent, configure, demo_clock, set};
use crate::append::insert;
use crate::error::{Result, StoreError};
use crate::lock::{NoLock, WriterLock};
use crate::migrate::migrate;
use crate::payload::{LogbookStarted, Payload};
use crate::peek;
use crate::reach::Reach;
use crate::schema::{FORMATS, Fit};
use crate::time::Stamp;
use crate::{drive, schema, state};

impl Logbook {
    /// Makes an empty logbook. Written whole or not at all: a file that fails half-way is taken away again.
    pub fn create(path: &Path, hands: Hands, plant: &str) -> Result<Self> {
        if path.exists() {
            return Err(StoreError::Exists { path: path.into() });
        }
        // The file is not there yet: its folder tells.
        let folder = std::path::absolute(path).ok();
        let folder = folder.as_deref().and_then(Path::parent).unwrap_or(path);
        if let Some(kind) = (hands.drive)(folder) {
            let why = format!(
                "this is a network drive ({kind}): make the logbook on a disk of this computer"
            );
            return Err(StoreError::input(path.display().to_string(), why));
        }
        let lock = match WriterLock::take(path, hands.clock.now()) {
            Ok(lock) => lock,
            Err(NoLock::Held(who)) => {
                return Err(StoreError::ReadOnly {
                    why: format!("{who} writes it"),
                });
            }
            Err(NoLock::Unwritable(source)) => {
                return Err(StoreError::Io {
                    what: format!("cannot make {}", path.display()),
                    source,
                });
            }
        };
        let made = Self::create_at(path, hands, plant, lock);
        if made.is_err() {
            for end in ["", "-wal", "-shm"] {
                let mut name = path.as_os_str().to_owned();
                name.push(end);
                // The first error is the one to report; a file that was never made cannot be removed.
                let _removed = std::fs::remove_file(name);
            }
        }
        made
    }

    fn create_at(path: &Path, hands: Hands, plant: &str, lock: WriterLock) -> Result<Self> {
        let mut conn = Connection::open(path)?;
        configure(&conn, true)?;
        schema::create(&mut conn)?;
        let started = hands.clock.now();
        let mut logbook = Self {
            conn,
            path: path.into(),
            reach: Reach::writer(path),
            access: Access::Write,
            hands,
            started,
            demo_clock: None,
            print: None,
            end: None,
            damage: None,
            is_held: false,
            migrated: None,
            _lock: Some(lock),
            _file: peek::opened(path).ok(),
        };
        let origin = logbook.new_origin_bytes();
        let home = logbook.home();
        let now = logbook.hands.clock.now();
        let payload = Payload::LogbookStarted(LogbookStarted {
            plant: plant.into(),
            program: logbook.hands.program.clone(),
            previous: None,
        });
        let tx = logbook
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        set(&tx, "origin", &origin.hex())?;
        set(&tx, "home", &home)?;
        set(&tx, "min_reader", &schema::FORMAT.to_string())?;
        insert(&tx, origin, &NewEvent { at: now, payload }, None, now)?;
        tx.commit()?;
        logbook.print = Print::of(path);
        logbook.committed()?;
        Ok(logbook)
    }

    /// Opens a logbook: for writing if nobody else does and the file can be written, else for reading.
    pub fn open(path: &Path, hands: Hands) -> Result<Self> {
        if !path.is_file() {
            return Err(StoreError::NotFound { path: path.into() });
        }
        // Held from the first look to the last: see `peek`.
        let _file = peek::opened(path);
        schema::check_header(path)?;
        Self::open_at(path, hands).map_err(|e| e.in_file(path))
    }

    fn open_at(path: &Path, hands: Hands) -> Result<Self> {
        let now = hands.clock.now();
        // Before anything is opened for writing.
        let fit = schema::fit_of(path)?;
        let mut is_held = false;
        let (lock, mut access) = match may_write(path, &hands, &fit, now) {
            Ok(lock) => (Some(lock), Access::Write),
            Err(NoWriting::Held(who)) => {
                is_held = true;
                let why = format!("{who} writes it");
                (None, Access::Read { why })
            }
            Err(NoWriting::Never(why)) => (None, Access::Read { why }),
        };
        let reach = match &access {
            Access::Write => Reach::writer(path),
            // The log of a file on a network drive is not to be trusted beside another program.
            Access::Read { .. } if (hands.drive)(path).is_some() => Reach::copied(path)?,
            Access::Read { .. } => Reach::reader(path)?,
        };
        if let Access::Read { why } = &mut access
            && reach.is_copy()
        {
            why.push_str("; what you see is a copy made when it was opened");
        }
        let mut conn = reach.connect()?;
        let mut migrated = None;
        if let Fit::Older(scripts) = fit {
            if access != Access::Write {
                return Err(schema::other_format(&conn, path)?);
            }
            migrated = Some(migrate(&mut conn, path, scripts, FORMATS.newest(), now)?);
        }
        configure(&conn, access == Access::Write)?;
        let demo_clock = demo_clock(&conn)?;
        let mut logbook = Self {
            conn,
            path: path.into(),
            reach,
            access,
            hands,
            started: now,
            demo_clock,
            print: Print::of(path),
            end: None,
            damage: None,
            is_held,
            migrated,
            _lock: lock,
            _file: peek::opened(path).ok(),
        };
        logbook.end = logbook.anchor()?;
        logbook.refresh_state()?;
        logbook.check_recent(100)?;
        Ok(logbook)
    }

    /// Opens what can be read of a damaged logbook, for reading: the events that can be proven, in a copy that goes
    /// away with this, and all that follows from them. The file stays as it is. `why` is what opening it said. None
    /// where `progress` stopped it.
    ///
    /// # Errors
    /// `Damaged` where not one event can be read.
    pub fn open_damaged(
        path: &Path,
        hands: Hands,
        why: &str,
        progress: &mut dyn FnMut(i64, i64) -> bool,
    ) -> Result<Option<Self>> {
        let Some((reach, read)) = Reach::to_rest_of(path, progress)? else {
            return Ok(None);
        };
        let conn = reach.connect()?;
        configure(&conn, false)?;
        let shown = format!(
            "it is damaged, and what you see is what could be read of it, {} entries",
            read.events
        );
        Ok(Some(Self {
            demo_clock: demo_clock(&conn)?,
            conn,
            path: path.into(),
            reach,
            access: Access::Read { why: shown },
            started: hands.clock.now(),
            hands,
            print: None,
            end: None,
            damage: Some(Damage {
                why: why.into(),
                read,
            }),
            is_held: false,
            migrated: None,
            _lock: None,
            _file: peek::opened(path).ok(),
        }))
    }

    /// Derives the state anew where an older program derived it.
    fn refresh_state(&mut self) -> Result<()> {
        let sql = "SELECT value FROM state WHERE name = 'state_version'";
        let version: Option<i64> = self.conn.query_row(sql, [], |row| row.get(0)).optional()?;
        if version != Some(schema::STATE_VERSION) && self.access == Access::Write {
            self.rebuild(&mut |_, _| true)?;
        }
        Ok(())
    }

    /// Checks the last events of the chain at once; the whole chain is `verify`'s work.
    fn check_recent(&self, count: i64) -> Result<()> {
        let sql = format!(
            "SELECT {} FROM event ORDER BY no DESC LIMIT ?1",
            state::EVENT_COLUMNS
        );
        let mut stmt = self.conn.prepare(&sql)?;
        for event in stmt.query_map([count], state::event_from_row)? {
            let event = event?;
            if event.hash != event.expected_hash() {
                let why = format!(
                    "event {} is not what was signed; run `chockbook verify`",
                    event.id
                );
                return Err(StoreError::Damaged {
                    path: self.path.clone(),
                    why,
                });
            }
        }
        Ok(())
    }
}

/// Why this program may not write.
enum NoWriting {
    /// Somebody else does; they may go.
    Held(String),
    /// It cannot be written here.
    Never(String),
}

/// Takes the lock of the writer, if this file may be written here and by this program.
fn may_write(
    path: &Path,
    hands: &Hands,
    fit: &Fit<'_>,
    now: Stamp,
) -> std::result::Result<WriterLock, NoWriting> {
    if let Fit::Newer(found) = fit {
        let found = schema::format_words(*found);
        return Err(NoWriting::Never(format!(
            "it was written by a later program ({found}), and this one shows it and leaves it as it is; to write in it, \
             update this program"
        )));
    }
    if let Some(kind) = (hands.drive)(path) {
        return Err(NoWriting::Never(drive::refusal(&kind)));
    }
    let cannot = |e: std::io::Error| NoWriting::Never(format!("it cannot be written here ({e})"));
    let opened = peek::opened(path);
    let writable = opened.and_then(|file| file.check_writable(path));
    writable.map_err(cannot)?;
    WriterLock::take(path, now).map_err(|no| match no {
        NoLock::Held(who) => NoWriting::Held(who),
        NoLock::Unwritable(e) => cannot(e),
    })
}
