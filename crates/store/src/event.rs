//! The event: what happened, as it is kept for ever, and its hash in the chain of its origin.

use sha2::{Digest, Sha256};

use crate::id::EventId;
use crate::time::Stamp;

/// A SHA-256 value.
pub type Hash = [u8; 32];

/// Opens every hash, so that a hash of ours is never one of something else.
const DOMAIN: &[u8] = b"chockbook event, format 1";

/// The hash before the first event of an origin.
pub const NO_HASH: Hash = [0; 32];

/// One event as stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// Order of arrival in this file.
    pub no: i64,
    /// Its name for ever.
    pub id: EventId,
    /// What sort of event, as in the payload.
    pub kind: String,
    /// Which version of that sort.
    pub kind_version: i64,
    /// When it happened.
    pub at: Stamp,
    /// When it was entered.
    pub entered: Stamp,
    /// Who signed it.
    pub person: Option<EventId>,
    /// JSON as written once, never re-serialised.
    pub payload: String,
    /// Hash of the event before it in the same origin.
    pub prev_hash: Hash,
    /// Hash of this event.
    pub hash: Hash,
}

impl Event {
    /// The hash that this event must have: SHA-256 over domain tag, previous hash, origin, seq, kind, version,
    /// event time, entry time, person and payload, each with its length in front.
    pub fn expected_hash(&self) -> Hash {
        let mut hash = Sha256::new();
        let mut part = |bytes: &[u8]| {
            hash.update((bytes.len() as u64).to_be_bytes());
            hash.update(bytes);
        };
        part(DOMAIN);
        part(&self.prev_hash);
        part(&self.id.origin.0);
        part(&self.id.seq.to_be_bytes());
        part(self.kind.as_bytes());
        part(&self.kind_version.to_be_bytes());
        part(&stamp_bytes(self.at));
        part(&stamp_bytes(self.entered));
        match self.person {
            Some(person) => {
                part(&person.origin.0);
                part(&person.seq.to_be_bytes());
            }
            None => part(&[]),
        }
        part(self.payload.as_bytes());
        hash.finalize().into()
    }
}

fn stamp_bytes(stamp: Stamp) -> Vec<u8> {
    let mut bytes = stamp.ms.to_be_bytes().to_vec();
    bytes.extend(stamp.offset_min.to_be_bytes());
    bytes.extend(stamp.precision.as_str().as_bytes());
    bytes
}

/// What a print carries so that the record can be checked against it: short origin, seq and 80 bits of the hash.
pub fn anchor(id: EventId, hash: &Hash) -> String {
    let digits = crate::id::hex(&hash[..10]).to_uppercase();
    let groups: Vec<&str> = (0..5).map(|i| &digits[4 * i..4 * i + 4]).collect();
    format!(
        "{}-{}-{}",
        id.origin.short().to_uppercase(),
        id.seq,
        groups.join("-")
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::Origin;
    use crate::time::Precision;

    fn event() -> Event {
        Event {
            no: 1,
            id: EventId {
                origin: Origin([7; 16]),
                seq: 1,
            },
            kind: "hold".into(),
            kind_version: 1,
            at: Stamp {
                ms: 1,
                offset_min: 60,
                precision: Precision::Day,
            },
            entered: Stamp::second(2, 60),
            person: None,
            payload: r#"{"kind":"hold"}"#.into(),
            prev_hash: NO_HASH,
            hash: NO_HASH,
        }
    }

    #[test]
    fn the_hash_is_fixed_by_the_format() {
        // Recomputed outside with sha256 over the bytes that the format names (see the doc comment).
        let got = crate::id::hex(&event().expected_hash());
        assert_eq!(
            got, HASH_OF_EVENT,
            "the format is fixed: a changed hash breaks every logbook"
        );
    }

    /// Made with Python's hashlib from the same parts.
    const HASH_OF_EVENT: &str = "fb0ee03d59531055b838fb5a546b1c9e2bcea73eb5baca2f9878e6ae4e78eb02";

    #[test]
    fn each_part_of_an_event_changes_its_hash() {
        let base = event();
        let changes: [fn(&mut Event); 9] = [
            |e| e.id.seq = 2,
            |e| e.id.origin = Origin([8; 16]),
            |e| e.kind = "held".into(),
            |e| e.kind_version = 2,
            |e| e.at.precision = Precision::Minute,
            |e| e.entered.ms = 3,
            |e| {
                e.person = Some(EventId {
                    origin: Origin([7; 16]),
                    seq: 1,
                });
            },
            |e| e.payload.push(' '),
            |e| e.prev_hash = [1; 32],
        ];
        for (i, change) in changes.iter().enumerate() {
            let mut other = base.clone();
            change(&mut other);
            assert_ne!(
                other.expected_hash(),
                base.expected_hash(),
                "part {i} does not count"
            );
        }
    }
}
