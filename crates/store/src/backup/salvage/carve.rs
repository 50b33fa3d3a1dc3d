//! Events from the bare pages of a database file, where the way to them through SQLite is broken.
//!
//! Layout by "Database File Format", sqlite.org/fileformat2.html: 1.3 the header, 1.6 b-tree pages, 2.1 the record.
//! Every page that looks like a leaf of a table is tried; the hash of an event decides whether it is one. Pages that
//! are not in use any more are read too: an event is never changed, so an old copy of it is that event. Nothing is read
//! from the log of unfinished work, where events may stand that were never signed.

use crate::event::{Event, Hash};
use crate::id::{EventId, Origin};
use crate::time::{Precision, Stamp};

/// Columns of the table of events.
const COLUMNS: usize = 15;

/// Everything in these bytes that has the shape of an event. Never panics, whatever the bytes are.
pub(super) fn carve(file: &[u8]) -> Vec<Event> {
    let size = match file.get(16..18) {
        Some([0, 1]) => 65_536,
        Some([high, low]) => usize::from(*high) << 8 | usize::from(*low),
        _ => 0,
    };
    let is_size = size.is_power_of_two() && (512..=65_536).contains(&size);
    // Where the header is lost: what SQLite makes unless told otherwise, and so what all our files have.
    let size = if is_size { size } else { 4096 };
    let pages = Pages { file, size };
    let count = file.len().div_ceil(size);
    (0..count).flat_map(|page| pages.leaf(page)).collect()
}

struct Pages<'a> {
    file: &'a [u8],
    size: usize,
}

impl Pages<'_> {
    fn page(&self, index: usize) -> Option<&[u8]> {
        let start = index.checked_mul(self.size)?;
        let end = start.checked_add(self.size)?.min(self.file.len());
        self.file.get(start..end)
    }

    /// The events of one page, none where it is no leaf of a table.
    fn leaf(&self, index: usize) -> Vec<Event> {
        const LEAF: u8 = 0x0d;
        let Some(page) = self.page(index) else {
            return Vec::new();
        };
        if page.first() != Some(&LEAF) {
            return Vec::new();
        }
        let cells = word(page, 3).unwrap_or(0);
        (0..cells)
            .filter_map(|cell| self.event(page, word(page, 8 + 2 * cell)?))
            .collect()
    }

    /// One cell: length of the record, number of the row, the record.
    fn event(&self, page: &[u8], at: usize) -> Option<Event> {
        let (length, at) = varint(page, at)?;
        let (no, at) = varint(page, at)?;
        let length = usize::try_from(length).ok()?;
        if length > self.file.len() {
            return None;
        }
        event(no, &self.record(page, at, length)?)
    }

    /// A record, with what does not fit on its page (1.6, "Cell Payload Overflow Pages").
    fn record(&self, page: &[u8], at: usize, length: usize) -> Option<Vec<u8>> {
        let usable = self.size;
        let most = usable - 35;
        if length <= most {
            return Some(page.get(at..at + length)?.to_vec());
        }
        let least = (usable - 12) * 32 / 255 - 23;
        let fitting = least + (length - least) % (usable - 4);
        let local = if fitting <= most { fitting } else { least };
        let mut record = page.get(at..at + local)?.to_vec();
        let mut next = long(page, at + local)?;
        while record.len() < length {
            let page = self.page(next.checked_sub(1)?)?;
            let take = (length - record.len()).min(usable - 4);
            record.extend(page.get(4..4 + take)?);
            next = long(page, 0)?;
        }
        Some(record)
    }
}

/// One value of a record.
#[derive(Debug, Clone, Copy)]
enum Field<'a> {
    Null,
    Integer(i64),
    Text(&'a [u8]),
    Blob(&'a [u8]),
    Other,
}

impl<'a> Field<'a> {
    fn integer(self) -> Option<i64> {
        match self {
            Self::Integer(n) => Some(n),
            _ => None,
        }
    }

    fn text(self) -> Option<&'a str> {
        match self {
            Self::Text(bytes) => std::str::from_utf8(bytes).ok(),
            _ => None,
        }
    }

    fn blob<const N: usize>(self) -> Option<[u8; N]> {
        match self {
            Self::Blob(bytes) => bytes.try_into().ok(),
            _ => None,
        }
    }
}

/// Reads a record as a row of the table of events, in the order of its columns.
fn event(no: i64, record: &[u8]) -> Option<Event> {
    let (header, mut at) = varint(record, 0)?;
    let mut body = usize::try_from(header).ok()?;
    let header_end = body;
    let mut fields = Vec::with_capacity(COLUMNS);
    while at < header_end && fields.len() <= COLUMNS {
        let (kind, next) = varint(record, at)?;
        at = next;
        let length = width(kind)?;
        let bytes = record.get(body..body.checked_add(length)?)?;
        body += length;
        fields.push(field(kind, bytes));
    }
    let [
        _, // the number of the row stands before the record
        origin,
        seq,
        kind,
        kind_version,
        at_ms,
        at_offset,
        at_precision,
        entered_ms,
        entered_offset,
        person_origin,
        person_seq,
        payload,
        prev_hash,
        hash,
    ] = fields[..]
    else {
        return None;
    };
    let person = match (person_origin, person_seq) {
        (Field::Null, Field::Null) => None,
        (origin, seq) => Some(EventId {
            origin: Origin(origin.blob()?),
            seq: seq.integer()?,
        }),
    };
    Some(Event {
        no,
        id: EventId {
            origin: Origin(origin.blob()?),
            seq: seq.integer()?,
        },
        kind: kind.text()?.into(),
        kind_version: kind_version.integer()?,
        at: Stamp {
            ms: at_ms.integer()?,
            offset_min: at_offset.integer()?,
            precision: Precision::parse(at_precision.text()?)?,
        },
        entered: Stamp::second(entered_ms.integer()?, entered_offset.integer()?),
        person,
        payload: payload.text()?.into(),
        prev_hash: prev_hash.blob::<{ size_of::<Hash>() }>()?,
        hash: hash.blob::<{ size_of::<Hash>() }>()?,
    })
}

/// Bytes of a value of this serial type (2.1, "Serial Type Codes Of The Record Format").
fn width(kind: i64) -> Option<usize> {
    match kind {
        0 | 8 | 9 => Some(0),
        1..=4 => usize::try_from(kind).ok(),
        5 => Some(6),
        6 | 7 => Some(8),
        12.. => usize::try_from((kind - 12) / 2).ok(),
        _ => None,
    }
}

fn field(kind: i64, bytes: &[u8]) -> Field<'_> {
    match kind {
        0 => Field::Null,
        8 => Field::Integer(0),
        9 => Field::Integer(1),
        1..=6 => {
            // Big-endian, two's complement: the first byte carries the sign.
            let sign = i64::from(bytes.first().is_some_and(|b| b & 0x80 != 0));
            let grow = |n: i64, b: &u8| n << 8 | i64::from(*b);
            Field::Integer(bytes.iter().fold(-sign, grow))
        }
        12.. if kind % 2 == 0 => Field::Blob(bytes),
        12.. => Field::Text(bytes),
        _ => Field::Other,
    }
}

/// Seven bits a byte, the ninth byte whole.
fn varint(bytes: &[u8], at: usize) -> Option<(i64, usize)> {
    let mut value: u64 = 0;
    for i in 0..9 {
        let byte = *bytes.get(at.checked_add(i)?)?;
        if i == 8 {
            return Some(((value << 8 | u64::from(byte)) as i64, at + 9));
        }
        value = value << 7 | u64::from(byte & 0x7f);
        if byte & 0x80 == 0 {
            return Some((value as i64, at + i + 1));
        }
    }
    None
}

fn word(bytes: &[u8], at: usize) -> Option<usize> {
    let pair = bytes.get(at..at.checked_add(2)?)?;
    Some(usize::from(pair[0]) << 8 | usize::from(pair[1]))
}

fn long(bytes: &[u8], at: usize) -> Option<usize> {
    let four: [u8; 4] = bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
    usize::try_from(u32::from_be_bytes(four)).ok()
}
