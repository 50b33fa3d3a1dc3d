//! Who works with the logbook: PIN, roles, and the proof of having signed in.
//!
//! A PIN keeps honest people on a shared PC apart. It is no protection against somebody who can open the file.

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use rusqlite::{Connection, OptionalExtension, named_params};

use crate::error::{Result, StoreError};
use crate::id::{EventId, Origin, ThingNo};
use crate::logbook::{Logbook, NewEvent, Signed, get, set};
use crate::payload::{Payload, Person, Record, RegisterChange, Role};
use crate::time::Stamp;

/// Somebody who has typed the right PIN. Only [`Logbook::sign_in`] makes one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signer {
    /// Their number here.
    pub no: ThingNo,
    pub(crate) id: EventId,
    /// Their name.
    pub name: String,
    /// What they may do.
    pub role: Role,
}

/// Somebody in the register.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonLine {
    /// Their number here.
    pub no: ThingNo,
    /// Their name.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// False once they have left.
    pub is_active: bool,
}

/// Everybody, in the order of the roles, then names.
pub fn people(conn: &Connection) -> Result<Vec<PersonLine>> {
    let mut stmt =
        conn.prepare_cached("SELECT no, name, role, is_active FROM person ORDER BY name")?;
    let rows = stmt.query_map([], |row| {
        let role: String = row.get("role")?;
        Ok(PersonLine {
            no: ThingNo(row.get("no")?),
            name: row.get("name")?,
            role: Role::parse(&role).unwrap_or(Role::Auditor),
            is_active: row.get("is_active")?,
        })
    })?;
    let mut people: Vec<_> = rows.collect::<rusqlite::Result<_>>()?;
    people.sort_by_key(|p| Role::ALL.iter().position(|r| *r == p.role));
    Ok(people)
}

/// Longest wait after wrong PINs, s: the shop is never locked out.
const LONGEST_WAIT_S: i64 = 30;

impl Logbook {
    /// Checks a PIN. After a wrong one the next try has to wait: 1, 2, 4 ... at most 30 s.
    pub fn sign_in(&mut self, name: &str, pin: &str) -> Result<Signer> {
        let found = self
            .conn
            .query_row(
                "SELECT p.no, p.name, p.role, p.pin_hash, p.is_active, e.origin, e.seq
                 FROM person p JOIN event e ON e.no = p.no WHERE p.name = ?1 COLLATE NOCASE",
                [name.trim()],
                |row| {
                    let role: String = row.get("role")?;
                    let signer = Signer {
                        no: ThingNo(row.get("no")?),
                        id: EventId {
                            origin: Origin(row.get("origin")?),
                            seq: row.get("seq")?,
                        },
                        name: row.get("name")?,
                        role: Role::parse(&role).unwrap_or(Role::Auditor),
                    };
                    Ok((
                        signer,
                        row.get::<_, String>("pin_hash")?,
                        row.get::<_, bool>("is_active")?,
                    ))
                },
            )
            .optional()?;
        let Some((signer, pin_hash, is_active)) = found else {
            let hint = "; Setup, People lists the names".into();
            return Err(StoreError::Unknown {
                what: "person",
                code: name.into(),
                hint,
            });
        };
        if !is_active {
            return Err(StoreError::Refused(format!(
                "{} does not work here any more",
                signer.name
            )));
        }
        let key = format!("wrong_pins {}", signer.id);
        let now = self.now();
        let (count, last_ms) = wrong_pins(&self.conn, &key)?;
        let wait_s = wait_s(count, now.ms - last_ms);
        if wait_s > 0 {
            return Err(StoreError::WrongPin {
                name: signer.name,
                wait_s,
            });
        }
        if pin_hash.is_empty() {
            return Err(StoreError::Refused(format!(
                "{} has no PIN yet: the engineer gives one in Setup, People",
                signer.name
            )));
        }
        let hash = PasswordHash::new(&pin_hash).map_err(|e| {
            StoreError::input(
                "person",
                format!("the PIN of {} cannot be checked: {e}", signer.name),
            )
        })?;
        if Argon2::default()
            .verify_password(pin.as_bytes(), &hash)
            .is_err()
        {
            let wait_s = wait_s_after(count + 1);
            // A logbook open for reading cannot count; it does not sign either.
            if self.access() == &crate::Access::Write {
                self.transact_aside(|tx, now| set(tx, &key, &format!("{} {}", count + 1, now.ms)))?;
            }
            return Err(StoreError::WrongPin {
                name: signer.name,
                wait_s,
            });
        }
        if count > 0 {
            self.transact_aside(|tx, _| set(tx, &key, "0 0"))?;
        }
        Ok(signer)
    }

    /// The hash of a PIN for the register, salted with the entropy handed in.
    pub fn hash_pin(&mut self, pin: &str) -> Result<String> {
        if pin.chars().count() < 4 {
            return Err(StoreError::Refused(
                "a PIN has at least four characters".into(),
            ));
        }
        let mut salt = [0; 16];
        self.hands.entropy.fill(&mut salt);
        Argon2::default()
            .hash_password_with_salt(pin.as_bytes(), &salt)
            .map(|hash: PasswordHash| hash.to_string())
            .map_err(|e| StoreError::input("PIN", e.to_string()))
    }

    /// Registers somebody. Without a signer only the first engineer of a logbook, who signs for themselves.
    pub fn register_person(
        &mut self,
        signer: Option<&Signer>,
        at: Option<Stamp>,
        name: &str,
        role: Role,
        pin: &str,
    ) -> Result<Signed> {
        let name = name.trim();
        if name.is_empty() {
            return Err(StoreError::Refused("a person has a name".into()));
        }
        let pin_hash = self.hash_pin(pin)?;
        let person = Person {
            name: name.into(),
            role,
            pin_hash,
            is_active: true,
        };
        let change = RegisterChange {
            thing: None,
            record: Record::Person(person),
            reason: String::new(),
        };
        let at = at.unwrap_or_else(|| self.now());
        let event = NewEvent {
            at,
            payload: Payload::RegisterChange(change),
        };
        let signed = self.append_at(signer, &[event], Some(at))?;
        signed
            .into_iter()
            .next()
            .ok_or_else(|| StoreError::Refused("nothing was written".into()))
    }
}

fn wrong_pins(conn: &Connection, key: &str) -> Result<(i64, i64)> {
    let text = get(conn, key)?.unwrap_or_default();
    let parts = text
        .split_once(' ')
        .and_then(|(count, ms)| Some((count.parse().ok()?, ms.parse().ok()?)));
    Ok(parts.unwrap_or((0, 0)))
}

fn wait_s_after(count: i64) -> i64 {
    if count <= 0 {
        0
    } else {
        (1 << (count - 1).min(10)).min(LONGEST_WAIT_S)
    }
}

/// What is left of the wait. A clock that was set back shuts nobody out.
fn wait_s(count: i64, since_ms: i64) -> i64 {
    if since_ms < 0 {
        0
    } else {
        (wait_s_after(count) - since_ms / 1000).max(0)
    }
}

/// True where nobody who may change the register is in it yet.
pub fn has_no_engineer(conn: &Connection) -> Result<bool> {
    let sql = "SELECT count(*) FROM person WHERE role = :role AND is_active = 1";
    let count: i64 = conn.query_row(
        sql,
        named_params! {":role": Role::Engineer.as_str()},
        |row| row.get(0),
    )?;
    Ok(count == 0)
}
