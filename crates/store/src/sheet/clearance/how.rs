//! How a clearance was measured: only like is compared with like.

use crate::sheet::assess::Values;
use crate::sheet::facts::{BearingFacts, TypeFacts};

/// The method, and the load that seats the stack, N.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct How {
    /// `bench`, where nobody said otherwise.
    pub method: String,
    /// None where nobody wrote it down: then that of the type.
    pub load_n: Option<i64>,
}

impl How {
    /// Where nobody said how: on the bench under the load of the type, as the value as set is taken.
    pub fn usual() -> Self {
        Self {
            method: "bench".into(),
            load_n: None,
        }
    }

    pub(super) fn of(values: &Values<'_>) -> Self {
        let usual = Self::usual();
        Self {
            method: values
                .text("clearance.method")
                .map_or(usual.method, Into::into),
            load_n: values.number("clearance.load"),
        }
    }

    /// Whether two clearances may be compared. Loads within a tenth of that of the other are alike; where one was not
    /// written down and the type gives none, nothing speaks against it.
    pub fn is_like(&self, other: &Self, t: &TypeFacts) -> bool {
        let usual = t.whole("seating_load_n");
        let loads = self.load_n.or(usual).zip(other.load_n.or(usual));
        let is_same = loads.is_none_or(|(load, other)| (load - other).abs() * 10 <= other);
        self.method == other.method && is_same
    }
}

/// What a pair was left with last, or else as set, by a like method: growth is formed between like readings only. One
/// that was measured another way says nothing, and where it was reground then nothing before it does either.
pub(super) fn last_alike(
    now: &How,
    bearing: Option<&BearingFacts>,
    t: &TypeFacts,
    index: usize,
) -> Option<i64> {
    let bearing = bearing?;
    for last in bearing.history.iter().rev() {
        let known = last.left_nm[index].or(last.found_nm[index]);
        match known {
            Some(nm) if last.how.is_like(now, t) => return Some(nm),
            Some(_) if last.left_nm[index].is_some() => return None,
            _ => {}
        }
    }
    bearing.as_set_nm[index].filter(|_| now.is_like(&How::usual(), t))
}
