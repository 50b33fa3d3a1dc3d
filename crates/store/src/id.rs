//! Names of events and things: (origin, seq) for ever, and the short number of this file.

use std::fmt;

use serde::{Deserialize, Serialize};

/// One copy of the logbook: 16 random bytes.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Origin(pub [u8; 16]);

impl Origin {
    /// 32 hexadecimal digits.
    pub fn hex(self) -> String {
        hex(&self.0)
    }

    /// Reads 32 hexadecimal digits.
    pub fn parse(text: &str) -> Option<Self> {
        Some(Self(from_hex(text)?.try_into().ok()?))
    }

    /// The first eight digits, for people.
    pub fn short(self) -> String {
        hex(&self.0[..4])
    }
}

impl fmt::Debug for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Origin({})", self.hex())
    }
}

/// An event, for ever: the copy that wrote it and its number there (1, 2, 3 ... without holes).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct EventId {
    /// The copy of the logbook that wrote it.
    pub origin: Origin,
    /// Its number there, from 1.
    pub seq: i64,
}

impl fmt::Display for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.origin.short(), self.seq)
    }
}

/// A thing or event in this file: the number of the event that registered it in the order of arrival here.
/// Not stable between files; payloads carry [`Ref`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct ThingNo(pub i64);

/// How a payload names an event: a bare number is one of the same origin, else `origin:seq` in full.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Ref {
    /// An event of the same origin.
    Own(i64),
    /// `32 hexadecimal digits:seq`.
    Other(String),
}

impl Ref {
    /// The short form where the origin is the same.
    pub fn new(id: EventId, own: Origin) -> Self {
        if id.origin == own {
            Self::Own(id.seq)
        } else {
            Self::full(id)
        }
    }

    /// The long form, which means the same whoever writes it.
    pub fn full(id: EventId) -> Self {
        Self::Other(format!("{}:{}", id.origin.hex(), id.seq))
    }

    /// The event named, for a payload written by `own`.
    pub fn resolve(&self, own: Origin) -> Option<EventId> {
        match self {
            Self::Own(seq) => Some(EventId {
                origin: own,
                seq: *seq,
            }),
            Self::Other(text) => {
                let (origin, seq) = text.split_once(':')?;
                Some(EventId {
                    origin: Origin::parse(origin)?,
                    seq: seq.parse().ok()?,
                })
            }
        }
    }
}

/// Lower-case hexadecimal.
pub fn hex(bytes: &[u8]) -> String {
    const DIGITS: [char; 16] = [
        '0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'a', 'b', 'c', 'd', 'e', 'f',
    ];
    bytes
        .iter()
        .flat_map(|b| [DIGITS[usize::from(b >> 4)], DIGITS[usize::from(b & 15)]])
        .collect()
}

/// Reads hexadecimal of either case.
pub fn from_hex(text: &str) -> Option<Vec<u8>> {
    if !text.is_ascii() || !text.len().is_multiple_of(2) {
        return None;
    }
    (0..text.len() / 2)
        .map(|i| u8::from_str_radix(&text[2 * i..2 * i + 2], 16).ok())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reference_survives_the_way_through_json() {
        let (mine, theirs) = (Origin([1; 16]), Origin([2; 16]));
        for id in [
            EventId {
                origin: mine,
                seq: 7,
            },
            EventId {
                origin: theirs,
                seq: 9,
            },
        ] {
            let text = serde_json::to_string(&Ref::new(id, mine)).unwrap();
            let back: Ref = serde_json::from_str(&text).unwrap();
            assert_eq!(back.resolve(mine), Some(id), "{text}");
        }
        assert_eq!(
            serde_json::to_string(&Ref::new(
                EventId {
                    origin: mine,
                    seq: 7
                },
                mine
            ))
            .unwrap(),
            "7"
        );
        assert_eq!(from_hex("é1"), None);
    }
}
