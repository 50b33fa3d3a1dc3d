//! The open logbook: appending, settings, and what is known of it. `open` makes and opens it, `guard` sees that the
//! file is still the one that was opened.

mod guard;
mod open;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};

use crate::append::{event_id, head, settle, write_events, write_told};
use crate::backup::Salvaged;
use crate::error::{Result, StoreError};
use crate::event::{Hash, anchor};
use crate::id::{EventId, Origin, Ref, ThingNo, hex};
use crate::lock::WriterLock;
use crate::payload::Payload;
use crate::peek::Opened;
use crate::people::Signer;
use crate::reach::Reach;
use crate::rules::asks;
use crate::state;
use crate::time::{Clock, Entropy, Stamp};
use guard::Print;
pub use guard::Seen;

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
    /// Tells on which network file system a file lies; [`crate::drive::network`] asks the machine.
    pub drive: fn(&Path) -> Option<String>,
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

/// What the logbook says to events before they are signed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Foretold {
    /// Why they would be refused; none where they would not be.
    pub refusal: Option<String>,
    /// What follows from them that somebody has to have seen: each is asked once.
    pub questions: Vec<String>,
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
    /// What the file is known by, as it was left.
    print: Option<Print>,
    /// The newest event, as an anchor, as it was left.
    end: Option<String>,
    damage: Option<Damage>,
    /// Somebody else writes it; once they have gone this program could.
    is_held: bool,
    /// Where the backup lies that was made before it was brought to this format.
    migrated: Option<PathBuf>,
    _lock: Option<WriterLock>,
    /// Goes after the connection: closing a handle of the file takes its locks away.
    _file: Option<Arc<Opened>>,
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

    /// Where the backup lies that was made before the file was brought to this program's format, if that was needed.
    pub fn migrated(&self) -> Option<&Path> {
        self.migrated.as_deref()
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

    /// As [`Logbook::append`] for many events; `progress` is told how many of how many are written, and stops the work by
    /// answering false: then none is.
    pub fn append_told(
        &mut self,
        signer: &Signer,
        events: &[NewEvent],
        progress: &mut dyn FnMut(i64, i64) -> bool,
    ) -> Result<Vec<Signed>> {
        self.transact(|tx, origin, now| {
            write_told(tx, origin, events, (Some(signer), now), progress)
        })
    }

    /// What would become of events if they were appended now, by the very rules that judge them then. Nothing is written.
    pub fn foretell(&mut self, signer: &Signer, events: &[NewEvent]) -> Result<Foretold> {
        self.may_write()?;
        let now = self.now();
        let home = self.home();
        let fresh = self.new_origin_bytes();
        let program = self.hands.program.clone();
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let origin = settle(&tx, &home, fresh, now, &program)?;
        let before = asks::conflicts(&tx)?;
        let tried = write_events(&tx, origin, events, Some(signer), now);
        let questions = match &tried {
            Ok(signed) => asks::questions(&tx, origin, events, signed, &before)?,
            Err(_) => Vec::new(),
        };
        tx.rollback()?;
        let refusal = match tried {
            Ok(_) => None,
            Err(StoreError::Refused(why)) => Some(why),
            Err(other) => return Err(other),
        };
        Ok(Foretold { refusal, questions })
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
        let fresh = self.new_origin_bytes();
        let home = self.home();
        let program = self.hands.program.clone();
        self.transact_aside(|tx, now| {
            let origin = settle(tx, &home, fresh, now, &program)?;
            work(tx, origin, now)
        })
    }

    /// Runs `work` in one write transaction that touches no event (drafts, settings).
    pub(crate) fn transact_aside<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>, Stamp) -> Result<T>,
    ) -> Result<T> {
        self.may_write()?;
        let now = self.now();
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = work(&tx, now);
        if Print::of(&self.path) != self.print {
            tx.rollback()?;
            return Err(self.changed_under_us());
        }
        let done = done?;
        tx.commit()?;
        self.committed()?;
        Ok(done)
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
        self.may_write()?;
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let whole = state::rebuild(&tx, progress)?;
        if whole {
            tx.commit()?;
            self.committed()?;
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

/// So far a demo's own clock goes on with what is signed in it.
const GOES_ON_MS: i64 = 30 * crate::time::DAY_MS;

fn demo_clock(conn: &Connection) -> Result<Option<Stamp>> {
    let Some(text) = get(conn, "demo_clock")? else {
        return Ok(None);
    };
    let clock = text
        .split_once(' ')
        .and_then(|(ms, offset)| Some(Stamp::second(ms.parse().ok()?, offset.parse().ok()?)));
    // What was signed since then lies behind, not ahead; one that was set back by far is told as any other clock.
    let sql = "SELECT entered_ms FROM event ORDER BY no DESC LIMIT 1";
    let newest: Option<i64> = conn.query_row(sql, [], |row| row.get(0)).optional()?;
    Ok(clock.map(|clock| {
        let since = newest.filter(|ms| (0..GOES_ON_MS).contains(&(ms - clock.ms)));
        Stamp::second(since.unwrap_or(clock.ms), clock.offset_min)
    }))
}

pub(crate) fn configure(conn: &Connection, is_writer: bool) -> Result<()> {
    conn.busy_timeout(std::time::Duration::from_millis(250))?;
    conn.pragma_update(None, "foreign_keys", true)?;
    conn.pragma_update(None, "trusted_schema", false)?;
    conn.set_prepared_statement_cache_capacity(200);
    // A plant's logbook of many years (some tens of MiB) is kept in memory: long writes read it again and again.
    conn.pragma_update(None, "cache_size", -65_536)?;
    if is_writer {
        conn.pragma_update(None, "journal_mode", "WAL")?;
        // Written back by hand, so that it is known when the file changes by this program (`guard`).
        conn.pragma_update(None, "wal_autocheckpoint", 0)?;
        // A drill proves that its check can fail: it asks for the weaker setting.
        let weaker =
            std::env::var_os("CHOCKBOOK_DRILL").is_some_and(|drill| drill == "synchronous-normal");
        conn.pragma_update(None, "synchronous", if weaker { "NORMAL" } else { "FULL" })?;
    }
    Ok(())
}
