//! What the plant calls the rows of a bearing.
//!
//! The record counts rows, row pairs and spacers from the barrel, always. A plant may count them from the outboard end:
//! then only their names change, here, where a number or a sentence is on its way to a person.

/// From which end the plant counts the rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum RowOrder {
    /// From the barrel, as the record does.
    #[default]
    FromBarrel,
    /// From the outboard end.
    FromOutboard,
}

impl RowOrder {
    /// The rows of a bearing of `count` rows.
    pub const fn of(self, count: usize) -> Rows {
        Rows { order: self, count }
    }

    /// The rows of a bearing that has row pairs: four of them, three pairs, three spacers.
    pub const fn four(self) -> Rows {
        self.of(4)
    }
}

/// The rows of one bearing, and what the plant calls them. Each way of naming is its own inverse: what is shown and what
/// is kept are found from each other by the same call.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rows {
    order: RowOrder,
    count: usize,
}

impl Rows {
    /// The number of a row, from 1.
    pub const fn row(self, row: usize) -> usize {
        self.other_end(row, self.count)
    }

    /// The number of a row pair or of the spacer in it, from 1.
    pub const fn pair(self, pair: usize) -> usize {
        self.other_end(pair, self.count.saturating_sub(1))
    }

    /// The rows of a pair: `1–2`.
    pub fn pair_rows(self, pair: usize) -> String {
        calc::disposition::pair_rows(self.pair(pair).saturating_sub(1))
    }

    /// A pair by its rows: `rows 1–2`.
    pub fn pair_name(self, pair: usize) -> String {
        format!("rows {}", self.pair_rows(pair))
    }

    /// The spacer in a pair: `S1`.
    pub fn spacer(self, pair: usize) -> String {
        format!("S{}", self.pair(pair))
    }

    /// A sentence of this program, which counts from the barrel, as the plant counts: `row 1`, `rows 1–2`, `rows 2 and 3`,
    /// `spacers S1 and S2`. Never to be used on what a person wrote.
    pub fn told(self, text: &str) -> String {
        if self.order == RowOrder::FromBarrel {
            return text.to_owned();
        }
        let mut told = String::with_capacity(text.len());
        let mut rest = text;
        while let Some((start, what)) = next_name(rest) {
            let (before, names) = rest.split_at(start);
            told.push_str(before);
            let (length, named) = self.names(names, what);
            told.push_str(&named);
            rest = &names[length..];
        }
        told.push_str(rest);
        told
    }

    const fn other_end(self, number: usize, last: usize) -> usize {
        match self.order {
            // A number past the end is left as it is.
            RowOrder::FromOutboard if 1 <= number && number <= last => last + 1 - number,
            _ => number,
        }
    }

    /// The numbers at the start of a text, with what joins them; how long that was, and the same as the plant counts.
    fn names(self, text: &str, what: What) -> (usize, String) {
        let mut numbers = Vec::new();
        let mut joints = Vec::new();
        let mut end = 0;
        loop {
            let from = end + what.sign().len();
            let Some(digit) = text[end..]
                .starts_with(what.sign())
                .then(|| number_at(&text[from..]))
                .flatten()
            else {
                break;
            };
            numbers.push(match what {
                What::Row => self.row(digit),
                What::Spacer => self.pair(digit),
            });
            end = from + 1;
            let next = JOINTS
                .iter()
                .find(|joint| text[end..].starts_with(**joint))
                .filter(|joint| {
                    let at = end + joint.len();
                    text[at..].starts_with(what.sign())
                        && number_at(&text[at + what.sign().len()..]).is_some()
                });
            let Some(joint) = next else { break };
            joints.push(*joint);
            end += joint.len();
        }
        // What is joined stays in rising order: `rows 1–2` are `rows 3–4` from the other end, not `rows 4–3`.
        let mut at = 0;
        while at + 1 < numbers.len() {
            if matches!(joints[at], "/" | " / ") {
                at += 1;
            } else {
                numbers[at..=at + 1].sort_unstable();
                at += 2;
            }
        }
        let mut named = String::new();
        for (index, number) in numbers.iter().enumerate() {
            named.push_str(what.sign());
            named.push_str(&number.to_string());
            named.push_str(joints.get(index).copied().unwrap_or_default());
        }
        (end, named)
    }
}

/// What stands between two numbers of one name, and between such names.
const JOINTS: [&str; 5] = ["\u{2013}", "-", " and ", " / ", "/"];

/// What a name is of.
#[derive(Clone, Copy)]
enum What {
    Row,
    Spacer,
}

impl What {
    const fn sign(self) -> &'static str {
        match self {
            Self::Row => "",
            Self::Spacer => "S",
        }
    }
}

/// One digit that no other and no decimal follows.
fn number_at(text: &str) -> Option<usize> {
    let mut chars = text.chars();
    let digit = chars.next()?.to_digit(10)?;
    let mut then = chars;
    let is_alone = match then.next() {
        Some('.' | ',') => !then.next().is_some_and(|c| c.is_ascii_digit()),
        Some(c) => !c.is_alphanumeric(),
        None => true,
    };
    is_alone.then_some(digit as usize)
}

/// Where the next number of a row or spacer begins, behind its word.
fn next_name(text: &str) -> Option<(usize, What)> {
    let mut last = ' ';
    for (at, c) in text.char_indices() {
        let begins = !last.is_alphanumeric() && last != '-';
        last = c;
        if !begins {
            continue;
        }
        for (word, what) in [
            ("rows ", What::Row),
            ("row ", What::Row),
            ("spacers ", What::Spacer),
            ("spacer ", What::Spacer),
        ] {
            let Some(head) = text.get(at..at + word.len()) else {
                continue;
            };
            let after = at + word.len();
            let is_name = head.eq_ignore_ascii_case(word)
                && text[after..].starts_with(what.sign())
                && number_at(&text[after + what.sign().len()..]).is_some();
            if is_name {
                return Some((after, what));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const OUT: RowOrder = RowOrder::FromOutboard;

    #[test]
    fn a_sentence_is_told_from_the_other_end() {
        let rows = OUT.four();
        for (record, told) in [
            (
                "Rows 1\u{2013}2 stand at 0.545 mm",
                "Rows 3\u{2013}4 stand at 0.545 mm",
            ),
            ("rows 2\u{2013}3", "rows 2\u{2013}3"),
            (
                "Zone up, outer ring of rows 2 and 3",
                "Zone up, outer ring of rows 2 and 3",
            ),
            (
                "outer ring, row 1, 40 to 60 degrees",
                "outer ring, row 4, 40 to 60 degrees",
            ),
            ("Grind spacer S1 by 0.285 mm", "Grind spacer S3 by 0.285 mm"),
            (
                "spacers S1 and S2 exchanged? Read their marks.",
                "spacers S2 and S3 exchanged? Read their marks.",
            ),
            (
                "in rows 1\u{2013}2 / 2\u{2013}3 / 3\u{2013}4.",
                "in rows 3\u{2013}4 / 2\u{2013}3 / 1\u{2013}2.",
            ),
            (
                "four-row 2 and 10 rows, row 12, row 1.5",
                "four-row 2 and 10 rows, row 12, row 1.5",
            ),
            (
                "Outer raceways, unrolled; row 1 at the barrel.",
                "Outer raceways, unrolled; row 4 at the barrel.",
            ),
            ("gauge S1 was overdue, row", "gauge S1 was overdue, row"),
            ("Row 4: 0.2, row 3; rows", "Row 1: 0.2, row 2; rows"),
        ] {
            assert_eq!(rows.told(record), told);
            assert_eq!(rows.told(told), record, "and back");
            assert_eq!(RowOrder::FromBarrel.four().told(record), record);
        }
        assert_eq!(OUT.of(2).told("Grease, row 1"), "Grease, row 2");
        assert_eq!(rows.pair_name(1), "rows 3\u{2013}4");
        assert_eq!((rows.spacer(1), rows.spacer(2)), ("S3".into(), "S2".into()));
    }

    proptest! {
        #[test]
        fn each_name_is_its_own_inverse(count in 1_usize..8, number in 0_usize..10, text in "(([Rr]ows?|spacers?) S?[1-9](( and |\u{2013}|/)S?[1-9])?[,; a]){0,3}") {
            for order in [RowOrder::FromBarrel, OUT] {
                let rows = order.of(count);
                prop_assert_eq!(rows.row(rows.row(number)), number);
                prop_assert_eq!(rows.pair(rows.pair(number)), number);
                // Once told, what is joined stands in rising order; from there on there and back is nothing.
                let told = rows.told(&rows.told(&text));
                prop_assert_eq!(rows.told(&rows.told(&told)), told);
            }
        }
    }
}
