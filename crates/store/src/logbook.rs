//! The open logbook: making, opening, appending.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};

use crate::append::{event_id, head, insert, settle, write_events};
use crate::backup::Salvaged;
use crate::error::{Result, StoreError};
use crate::event::{Hash, anchor};
use crate::id::{EventId, Origin, Ref, ThingNo, hex};
use crate::lock::{NoLock, WriterLock};
use crate::payload::{LogbookStarted, Payload};
use crate::people::Signer;
use crate::reach::Reach;
use crate::time::{Clock, Entropy, Stamp};
use crate::{schema, state};

/// What a logbook needs from outside.
pub struct Hands {
    /// The clock.
    pub clock: Box<dyn Clock>,
    /// The entropy.
    pub entropy: Box<dyn Entropy>,
    /// Which installation this is: 16 random bytes kept by the program for this user.
    pub install: [u8; 16],
    /// Name and version of the program.
    pub program: String,
}

/// Whether this program may write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Access {
    /// Yes.
    Write,
    /// No, and why.
    Read {
        /// Who writes, or what cannot be written.
        why: String,
    },
}

/// An event to append.
#[derive(Debug, Clone)]
pub struct NewEvent {
    /// When it happened.
    pub at: Stamp,
    /// What happened.
    pub payload: Payload,
}

/// An event that is on disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signed {
    /// Its number in this file.
    pub no: i64,
    /// Its name for ever.
    pub id: EventId,
    /// Its hash.
    pub hash: Hash,
}

impl Signed {
    /// Hash in hexadecimal.
    pub fn hash_hex(&self) -> String {
        hex(&self.hash)
    }
}

/// An open logbook.
pub struct Logbook {
    pub(crate) conn: Connection,
    path: PathBuf,
    reach: Reach,
    access: Access,
    pub(crate) hands: Hands,
    started: Stamp,
    demo_clock: Option<Stamp>,
    /// Which file it was when it was opened.
    identity: Option<FileIdentity>,
    damage: Option<Damage>,
    _lock: Option<WriterLock>,
}

/// A damaged logbook, of which what could be read is shown.
#[derive(Debug, Clone)]
pub struct Damage {
    /// What is wrong with the file.
    pub why: String,
    /// What could be read of it.
    pub read: Salvaged,
}

impl std::fmt::Debug for Logbook {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Logbook")
            .field("path", &self.path)
            .field("access", &self.access)
            .finish_non_exhaustive()
    }
}

impl Logbook {
    /// Makes an empty logbook. Written whole or not at all: a file that fails half-way is taken away again.
    pub fn create(path: &Path, hands: Hands, plant: &str) -> Result<Self> {
        if path.exists() {
            return Err(StoreError::Exists { path: path.into() });
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
            identity: identity_of(path),
            damage: None,
            _lock: Some(lock),
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
        Ok(logbook)
    }

    /// Opens a logbook: for writing if nobody else does and the file can be written, else for reading.
    pub fn open(path: &Path, hands: Hands) -> Result<Self> {
        if !path.is_file() {
            return Err(StoreError::NotFound { path: path.into() });
        }
        schema::check_header(path)?;
        Self::open_at(path, hands).map_err(|e| e.in_file(path))
    }

    fn open_at(path: &Path, hands: Hands) -> Result<Self> {
        let now = hands.clock.now();
        let (lock, mut access) = match writable(path)
            .map_err(NoLock::Unwritable)
            .and_then(|()| WriterLock::take(path, now))
        {
            Ok(lock) => (Some(lock), Access::Write),
            Err(NoLock::Held(who)) => (
                None,
                Access::Read {
                    why: format!("{who} writes it"),
                },
            ),
            Err(NoLock::Unwritable(e)) => (
                None,
                Access::Read {
                    why: format!("it cannot be written here ({e})"),
                },
            ),
        };
        let reach = if access == Access::Write {
            Reach::writer(path)
        } else {
            Reach::reader(path)?
        };
        if let Access::Read { why } = &mut access
            && reach.is_copy()
        {
            why.push_str("; what you see is a copy made when it was opened");
        }
        let conn = reach.connect()?;
        schema::check(&conn, path)?;
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
            identity: identity_of(path),
            damage: None,
            _lock: lock,
        };
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
            identity: identity_of(path),
            damage: Some(Damage {
                why: why.into(),
                read,
            }),
            _lock: None,
        }))
    }

    /// That it is damaged, and what could be read of it.
    pub fn damage(&self) -> Option<&Damage> {
        self.damage.as_ref()
    }

    /// The file that is read: the logbook, or a copy of it.
    pub fn read_path(&self) -> &Path {
        self.reach.file()
    }

    /// A second connection for reading, for another thread.
    pub fn reader(&self) -> Result<Connection> {
        let conn = self.reach.connect_reading()?;
        configure(&conn, false)?;
        Ok(conn)
    }

    /// Whether this program may write.
    pub fn access(&self) -> &Access {
        &self.access
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// True for a demo logbook, which carries its own clock.
    pub fn is_demo(&self) -> bool {
        self.demo_clock.is_some()
    }

    /// The time now: the demo's own clock goes on from where the demo stands.
    pub fn now(&self) -> Stamp {
        let now = self.hands.clock.now();
        match self.demo_clock {
            Some(clock) => Stamp::second(
                clock.ms + (now.ms - self.started.ms).max(0),
                clock.offset_min,
            ),
            None => now,
        }
    }

    /// Connection for the queries of this crate.
    pub fn connection(&self) -> &Connection {
        &self.conn
    }

    /// Last event of this file's newest origin, as an anchor code. None for a file without events.
    pub fn anchor(&self) -> Result<Option<String>> {
        Ok(head(&self.conn, self.current_origin()?)?.map(|(id, hash)| anchor(id, &hash)))
    }

    /// The origin that this file writes, or wrote last.
    pub fn current_origin(&self) -> Result<Origin> {
        let text = get(&self.conn, "origin")?.unwrap_or_default();
        Origin::parse(&text).ok_or_else(|| StoreError::Damaged {
            path: self.path.clone(),
            why: "it does not name its origin".into(),
        })
    }

    /// How a payload that is to be appended names a thing: in short where this file goes on with its own origin,
    /// in full where it has been copied and the event will be the first of a fresh one.
    pub fn name(&self, thing: ThingNo) -> Result<Ref> {
        let id = event_id(&self.conn, thing)?;
        let goes_on = get(&self.conn, "home")?.as_deref() == Some(&self.home());
        if goes_on {
            Ok(Ref::new(id, self.current_origin()?))
        } else {
            Ok(Ref::full(id))
        }
    }

    /// Appends events in one transaction, signed by `signer`; all of them or none. They are on disk when this
    /// returns.
    pub fn append(&mut self, signer: Option<&Signer>, events: &[NewEvent]) -> Result<Vec<Signed>> {
        self.append_at(signer, events, None)
    }

    /// As [`Logbook::append`], with the entry time given: for the demo, which tells a history.
    pub fn append_at(
        &mut self,
        signer: Option<&Signer>,
        events: &[NewEvent],
        entered: Option<Stamp>,
    ) -> Result<Vec<Signed>> {
        self.transact(|tx, origin, now| {
            let entered = entered.unwrap_or(now);
            write_events(tx, origin, events, signer, entered)
        })
    }

    /// Runs `work` in one write transaction, as the origin that this file goes on with.
    pub(crate) fn transact<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>, Origin, Stamp) -> Result<T>,
    ) -> Result<T> {
        if let Access::Read { why } = &self.access {
            return Err(StoreError::ReadOnly { why: why.clone() });
        }
        let now = self.now();
        let fresh = self.new_origin_bytes();
        let home = self.home();
        let program = self.hands.program.clone();
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let origin = settle(&tx, &home, fresh, now, &program)?;
        let done = work(&tx, origin, now)?;
        if identity_of(&self.path) != self.identity {
            tx.rollback()?;
            return Err(self.let_go());
        }
        tx.commit()?;
        Ok(done)
    }

    /// Runs `work` in one write transaction that touches no event (drafts, settings).
    pub(crate) fn transact_aside<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>, Stamp) -> Result<T>,
    ) -> Result<T> {
        if let Access::Read { why } = &self.access {
            return Err(StoreError::ReadOnly { why: why.clone() });
        }
        let now = self.now();
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = work(&tx, now)?;
        if identity_of(&self.path) != self.identity {
            tx.rollback()?;
            return Err(self.let_go());
        }
        tx.commit()?;
        Ok(done)
    }

    /// What is committed to a file that nobody can open any more is not signed. The log beside the path is that of the
    /// file that was there: it is written back into that one and emptied, so that it is never taken for the new one's.
    fn let_go(&mut self) -> StoreError {
        let emptied = self
            .conn
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| {
                row.get::<_, i64>(0)
            });
        let why = StoreError::Replaced {
            path: self.path.clone(),
        };
        self.access = Access::Read {
            why: match emptied {
                Ok(0) => why.to_string(),
                _ => format!("{why}; what was kept last may stand in the -wal file beside it"),
            },
        };
        why
    }

    /// A setting of this copy, such as `show.unit`. Settings are no part of the record.
    pub fn setting(&self, name: &str) -> Result<Option<String>> {
        get(&self.conn, name)
    }

    /// Changes a setting of this copy.
    pub fn set_setting(&mut self, name: &str, value: &str) -> Result<()> {
        self.transact_aside(|tx, _| set(tx, name, value))
    }

    /// Lets a generator write fast: nothing is waited for, so a power cut loses the file. For files that are
    /// written whole or not at all.
    pub fn write_without_waiting(&mut self) -> Result<()> {
        self.conn.pragma_update(None, "synchronous", "OFF")?;
        Ok(())
    }

    /// Turns a generated file into a demo: it carries its own clock and has no home, so that whoever writes first
    /// goes on as an origin of their own.
    pub fn become_demo(&mut self, clock: Stamp) -> Result<()> {
        self.transact_aside(|tx, _| {
            set(
                tx,
                "demo_clock",
                &format!("{} {}", clock.ms, clock.offset_min),
            )?;
            tx.execute("DELETE FROM setting WHERE name = 'home'", [])?;
            Ok(())
        })
    }

    /// Derives all state anew. Answers false if `progress` stopped it; then nothing has changed.
    pub fn rebuild(&mut self, progress: &mut dyn FnMut(i64, i64) -> bool) -> Result<bool> {
        if let Access::Read { why } = &self.access {
            return Err(StoreError::ReadOnly { why: why.clone() });
        }
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let whole = state::rebuild(&tx, progress)?;
        if whole {
            tx.commit()?;
        } else {
            tx.rollback()?;
        }
        Ok(whole)
    }

    /// Writes a compact copy without the history of its pages: same events, same bytes.
    pub fn write_compact(&self, to: &Path) -> Result<()> {
        self.conn
            .execute("VACUUM INTO ?1", [to.to_string_lossy()])?;
        let conn = Connection::open(to)?;
        conn.pragma_update(None, "journal_mode", "WAL")?;
        Ok(())
    }

    /// This copy's home: which installation, which path. Another home means the file was copied or restored.
    fn home(&self) -> String {
        let path = std::fs::canonicalize(&self.path).unwrap_or_else(|_| self.path.clone());
        format!("{} {}", hex(&self.hands.install), path.display())
    }

    fn new_origin_bytes(&mut self) -> Origin {
        let mut bytes = [0; 16];
        self.hands.entropy.fill(&mut bytes);
        Origin(bytes)
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

/// Name of the plant, from the first event.
pub fn plant(conn: &Connection) -> Result<String> {
    let sql =
        "SELECT payload ->> 'plant' FROM event WHERE kind = 'logbook_started' ORDER BY no LIMIT 1";
    Ok(conn
        .query_row(sql, [], |row| row.get(0))
        .optional()?
        .unwrap_or_default())
}

pub(crate) fn get(conn: &Connection, name: &str) -> Result<Option<String>> {
    let mut stmt = conn.prepare_cached("SELECT value FROM setting WHERE name = ?1")?;
    Ok(stmt.query_row([name], |row| row.get(0)).optional()?)
}

pub(crate) fn set(conn: &Connection, name: &str, value: &str) -> Result<()> {
    let sql = "INSERT INTO setting (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = excluded.value";
    conn.prepare_cached(sql)?.execute(params![name, value])?;
    Ok(())
}

fn demo_clock(conn: &Connection) -> Result<Option<Stamp>> {
    let Some(text) = get(conn, "demo_clock")? else {
        return Ok(None);
    };
    let clock = text
        .split_once(' ')
        .and_then(|(ms, offset)| Some(Stamp::second(ms.parse().ok()?, offset.parse().ok()?)));
    Ok(clock)
}

/// Device and number of a file: the same as long as it is the same file, whatever stands at its path.
type FileIdentity = (u64, u64);

/// Where the system cannot tell, it does not let an open file be replaced either (Windows).
#[cfg(unix)]
fn identity_of(path: &Path) -> Option<FileIdentity> {
    use std::os::unix::fs::MetadataExt;
    let about = std::fs::metadata(path).ok()?;
    Some((about.dev(), about.ino()))
}

#[cfg(not(unix))]
fn identity_of(_path: &Path) -> Option<FileIdentity> {
    None
}

/// Whether the file itself can be opened for writing.
fn writable(path: &Path) -> std::io::Result<()> {
    std::fs::OpenOptions::new().write(true).open(path).map(drop)
}

pub(crate) fn configure(conn: &Connection, is_writer: bool) -> Result<()> {
    conn.busy_timeout(std::time::Duration::from_millis(250))?;
    conn.pragma_update(None, "foreign_keys", true)?;
    conn.pragma_update(None, "trusted_schema", false)?;
    conn.set_prepared_statement_cache_capacity(200);
    if is_writer {
        conn.pragma_update(None, "journal_mode", "WAL")?;
        // A drill proves that its check can fail: it asks for the weaker setting.
        let weaker =
            std::env::var_os("CHOCKBOOK_DRILL").is_some_and(|drill| drill == "synchronous-normal");
        conn.pragma_update(None, "synchronous", if weaker { "NORMAL" } else { "FULL" })?;
    }
    Ok(())
}
