//! The end of each stream of a PDF, so that nobody misreads its length.
//!
//! A stream is followed by a line end that is no part of it. Where its own last byte is a carriage return and the line
//! end a line feed, both together look like one line end, and the stream like one byte shorter than it says: strict
//! readers call that a broken PDF/A (ISO 19005-2:2011, 6.1.7.1). The bytes are compressed, so it is a matter of chance,
//! about one document in ten. Such a line end becomes carriage return and line feed; what follows moves by a byte.

const LENGTH: &[u8] = b"/Length ";
const ENTRY: usize = 20;

/// The same document with line ends that cannot be misread. One whose table of objects is not the plain one that our
/// typesetter writes stays as it is.
pub(crate) fn unmistakable(pdf: Vec<u8>) -> Vec<u8> {
    let Some(table) = Table::of(&pdf) else {
        return pdf;
    };
    let breaks = table.misleading(&pdf);
    if breaks.is_empty() {
        return pdf;
    }
    let moved = |offset: usize| offset + breaks.partition_point(|at| *at < offset);
    let mut out = Vec::with_capacity(pdf.len() + breaks.len());
    let mut from = 0;
    for at in &breaks {
        out.extend_from_slice(&pdf[from..*at]);
        out.push(b'\r');
        from = *at;
    }
    out.extend_from_slice(&pdf[from..table.first_entry]);
    for (number, entry) in pdf[table.first_entry..table.end()]
        .chunks(ENTRY)
        .enumerate()
    {
        match table.offsets.get(number).copied().flatten() {
            Some(offset) => {
                out.extend_from_slice(format!("{:010}", moved(offset)).as_bytes());
                out.extend_from_slice(&entry[10..]);
            }
            None => out.extend_from_slice(entry),
        }
    }
    out.extend_from_slice(&pdf[table.end()..table.pointer]);
    out.extend_from_slice(moved(table.at).to_string().as_bytes());
    out.extend_from_slice(&pdf[table.pointer + table.at.to_string().len()..]);
    out
}

/// The table of objects at the end of a document.
struct Table {
    /// Where it begins.
    at: usize,
    /// Where the first of its entries begins.
    first_entry: usize,
    /// Where each object begins; none for a free entry.
    offsets: Vec<Option<usize>>,
    /// Where the number stands that says where the table begins.
    pointer: usize,
}

impl Table {
    fn of(pdf: &[u8]) -> Option<Self> {
        const POINTER: &[u8] = b"startxref\n";
        let pointer = pdf.windows(POINTER.len()).rposition(|w| w == POINTER)? + POINTER.len();
        let at = number(&pdf[pointer..])?;
        let head = pdf.get(at..)?.strip_prefix(b"xref\n0 ")?;
        let count = number(head)?;
        let first_entry = at + b"xref\n0 \n".len() + count.to_string().len();
        let entries = pdf.get(first_entry..first_entry.checked_add(count.checked_mul(ENTRY)?)?)?;
        let offsets = entries
            .chunks(ENTRY)
            .map(|entry| (entry[17] == b'n').then(|| number(entry)).flatten())
            .collect();
        Some(Self {
            at,
            first_entry,
            offsets,
            pointer,
        })
    }

    fn end(&self) -> usize {
        self.first_entry + self.offsets.len() * ENTRY
    }

    /// Where a line feed follows a stream that ends with a carriage return, in order.
    fn misleading(&self, pdf: &[u8]) -> Vec<usize> {
        let mut starts: Vec<usize> = self.offsets.iter().copied().flatten().collect();
        starts.push(self.at);
        starts.sort_unstable();
        let line_end = |ends: &[usize]| {
            let object = pdf.get(ends[0]..ends[1])?;
            let begin = find(object, b"stream\n")? + b"stream\n".len();
            let length = find(&object[..begin], LENGTH)? + LENGTH.len();
            let length = number(&object[length..begin])?;
            let end = begin.checked_add(length)?;
            let is_plain = object.get(end..)?.starts_with(b"\nendstream");
            (is_plain && length > 0 && object[end - 1] == b'\r').then_some(ends[0] + end)
        };
        starts.windows(2).filter_map(line_end).collect()
    }
}

/// Where some bytes stand first.
fn find(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    bytes.windows(wanted.len()).position(|w| w == wanted)
}

/// The decimal number at the beginning.
fn number(bytes: &[u8]) -> Option<usize> {
    let digits = bytes.iter().take_while(|b| b.is_ascii_digit()).count();
    std::str::from_utf8(&bytes[..digits]).ok()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use std::fmt::Write as _;

    use super::*;

    /// A document of these streams.
    fn pdf(streams: &[&[u8]]) -> Vec<u8> {
        let mut out = b"%PDF-1.7\n".to_vec();
        let mut table = String::from("0000000000 65535 f\r\n");
        for (number, stream) in (1..).zip(streams) {
            let _ = write!(table, "{:010} 00000 n\r\n", out.len());
            out.extend(format!("{number} 0 obj\n<</Length {}>>\nstream\n", stream.len()).bytes());
            out.extend_from_slice(stream);
            out.extend_from_slice(b"\nendstream\nendobj\n\n");
        }
        let at = out.len();
        out.extend(
            format!(
                "xref\n0 {}\n{table}trailer\n<<>>\nstartxref\n{at}\n%%EOF",
                streams.len() + 1
            )
            .bytes(),
        );
        out
    }

    #[test]
    fn only_a_stream_that_ends_with_a_carriage_return_gets_another_line_end_and_all_offsets_fit() {
        let streams: [&[u8]; 4] = [b"one\r", b"two\n", b"endstream\nendobj\r", b"\r\n"];
        let told = unmistakable(pdf(&streams));
        let table = Table::of(&told).expect("a table");
        let objects: Vec<usize> = table.offsets.iter().copied().flatten().collect();
        assert_eq!(objects.len(), streams.len());
        for ((number, at), stream) in (1..).zip(objects).zip(streams) {
            let head = format!("{number} 0 obj\n<</Length {}>>\nstream\n", stream.len());
            assert!(told[at..].starts_with(head.as_bytes()), "object {number}");
            let rest = &told[at + head.len()..];
            assert!(rest.starts_with(stream));
            let line_end: &[u8] = if stream.ends_with(b"\r") {
                b"\r\nendstream"
            } else {
                b"\nendstream"
            };
            assert!(
                rest[stream.len()..].starts_with(line_end),
                "object {number}"
            );
        }
        assert!(told[table.at..].starts_with(b"xref\n0 5\n"));
        assert_eq!(unmistakable(told.clone()), told, "nothing is left to do");
    }

    #[test]
    fn what_needs_nothing_or_is_no_plain_table_stays() {
        for kept in [
            pdf(&[b"one"]),
            pdf(&[]),
            b"startxref\n99999\n%%EOF".to_vec(),
            Vec::new(),
        ] {
            assert_eq!(unmistakable(kept.clone()), kept);
        }
    }
}
