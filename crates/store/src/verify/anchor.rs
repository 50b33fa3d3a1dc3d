//! A printed anchor against the chain: `SHORTORIGIN-SEQ-XXXX-XXXX-XXXX-XXXX-XXXX`.

use super::Finding;
use super::chain::{Chain, Links};
use crate::error::{Result, StoreError};
use crate::event::Hash;
use crate::id::{EventId, Origin, from_hex};

/// What a print says about the chain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Anchor {
    /// First four bytes of the origin.
    origin: [u8; 4],
    seq: i64,
    /// First ten bytes of the hash.
    hash: [u8; 10],
    /// As printed.
    text: String,
}

impl Anchor {
    /// Reads a code typed from paper: either case, any blanks, dashes or colons between its parts, or none in the hash.
    pub(super) fn parse(text: &str) -> Result<Self> {
        let what = "the anchor on a print looks like 1A2B3C4D-57-0123-4567-89AB-CDEF-0123";
        let broken = || StoreError::input("anchor", format!("{text:?} is no anchor: {what}"));
        let is_between = |c: char| {
            c.is_whitespace() || matches!(c, '-' | ':' | '\u{2010}'..='\u{2014}' | '\u{2212}')
        };
        let mut parts = text.split(is_between).filter(|part| !part.is_empty());
        let origin = parts
            .next()
            .and_then(from_hex)
            .and_then(|b| b.try_into().ok())
            .ok_or_else(broken)?;
        let seq: i64 = parts
            .next()
            .and_then(|s| s.parse().ok())
            .filter(|seq| *seq > 0)
            .ok_or_else(broken)?;
        let hash = from_hex(&parts.collect::<String>())
            .and_then(|b| b.try_into().ok())
            .ok_or_else(broken)?;
        Ok(Self {
            origin,
            seq,
            hash,
            text: text.trim().to_uppercase(),
        })
    }

    /// What the anchor confirms, or why it does not.
    pub(super) fn check(&self, chain: &Chain) -> std::result::Result<String, Finding> {
        let mut candidates = chain
            .origins
            .iter()
            .filter(|(origin, _)| origin.0.starts_with(&self.origin))
            .peekable();
        if candidates.peek().is_none() {
            let what = format!(
                "the anchor {} is of another logbook: its chain is not here",
                self.text
            );
            return Err(Finding::of_file(what));
        }
        let mut reason = None;
        for (&origin, links) in candidates {
            match self.check_links(chain, origin, links) {
                Ok(confirmed) => return Ok(confirmed),
                Err(finding) => reason = reason.or(Some(finding)),
            }
        }
        Err(reason.unwrap_or_else(|| {
            Finding::of_file(format!("the anchor {} cannot be compared", self.text))
        }))
    }

    fn check_links(
        &self,
        chain: &Chain,
        origin: Origin,
        links: &Links,
    ) -> std::result::Result<String, Finding> {
        let id = EventId {
            origin,
            seq: self.seq,
        };
        let denied = |what: String| {
            Err(Finding {
                event: Some(id),
                no: None,
                what,
            })
        };
        let Some(hash) = links.hashes.get(&self.seq) else {
            let end = links.hashes.last_key_value().map_or(0, |(seq, _)| *seq);
            return denied(format!(
                "the anchor {} names event {id}; the chain here ends at {end}: it was cut",
                self.text
            ));
        };
        if !self.is_of(hash) {
            return denied(format!(
                "the anchor {} was printed for another event {id}: the chain was rewritten",
                self.text
            ));
        }
        let mut covered = Vec::new();
        if let Some(broken) = first_break(chain, origin, self.seq, &mut covered) {
            return denied(format!(
                "event {id} is the one of the anchor {}, but the chain before it is broken at {broken}",
                self.text
            ));
        }
        Ok(format!(
            "The anchor {} confirms every event up to {id}: {}.",
            self.text,
            covered.join(", and ")
        ))
    }

    fn is_of(&self, hash: &Hash) -> bool {
        hash.starts_with(&self.hash)
    }
}

/// The first event up to `seq` where the chain does not hold, also in the chains that it goes on from.
fn first_break(
    chain: &Chain,
    origin: Origin,
    seq: i64,
    covered: &mut Vec<String>,
) -> Option<EventId> {
    let (mut origin, mut seq) = (origin, seq);
    // A chain goes on from an older one at most once each; the count stops a ring in an altered file.
    for _older in 0..=chain.origins.len() {
        let missing = Some(EventId { origin, seq });
        let Some(links) = chain.origins.get(&origin) else {
            return missing;
        };
        if let Some(at) = links.broken_at
            && at <= seq
        {
            return Some(EventId { origin, seq: at });
        }
        covered.push(format!("{} from 1 to {seq}", origin.short()));
        let Some(previous) = &links.previous else {
            return None;
        };
        let Some(older) = Origin::parse(&previous.origin) else {
            return missing;
        };
        let hash = chain
            .origins
            .get(&older)
            .and_then(|other| other.hashes.get(&previous.seq));
        if hash.is_none_or(|hash| from_hex(&previous.head).as_deref() != Some(hash)) {
            return Some(EventId {
                origin: older,
                seq: previous.seq,
            });
        }
        (origin, seq) = (older, previous.seq);
    }
    Some(EventId { origin, seq })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::anchor;

    #[test]
    fn a_code_is_read_as_people_type_it_from_paper() {
        let id = EventId {
            origin: Origin([0xab; 16]),
            seq: 57,
        };
        let printed = anchor(id, &[0x12; 32]);
        assert_eq!(printed, "ABABABAB-57-1212-1212-1212-1212-1212");
        let read = Anchor::parse(&printed).unwrap();
        assert_eq!(
            (read.origin, read.seq, read.hash),
            ([0xab; 4], 57, [0x12; 10])
        );
        for text in [
            "abababab-57-1212-1212-1212-1212-1212",
            " ABABABAB 57 1212 1212 1212 1212 1212 ",
            "abababab:57:12121212121212121212",
            "ABABABAB\u{2013}57\u{2013}1212-12121212 1212\u{2212}1212",
        ] {
            let again = Anchor::parse(text).unwrap();
            assert_eq!(
                (again.origin, again.seq, again.hash),
                (read.origin, read.seq, read.hash),
                "{text}"
            );
        }
        for text in [
            "",
            "x",
            "ABABABAB",
            "ABABABAB-0-12121212121212121212",
            "ABABABAB-57-1212",
            "AB-57-12121212121212121212",
        ] {
            assert!(Anchor::parse(text).is_err(), "{text}");
        }
    }
}
