//! Readings that the gate left out, and that are not alone.
//!
//! Nobody mistypes the same row pair of most bearings that ran in one place, and always upwards: that is what the place
//! does. Left out, such readings would acquit it.

use std::collections::{BTreeMap, BTreeSet};

use super::gate::Improbable;
use super::segments::{Obs, Shop};

/// So many bearings at least must have worn too fast for the gate in one place (assumed).
const BEARINGS_MIN: usize = 3;

/// A stand and a row pair.
type Cell = (usize, u32);

/// Lets readings count again whose growth is faster than expected, where that of so many bearings is, and of more than half
/// of all that were read there (assumed).
pub(super) fn readmit(shop: &mut Shop, improbable: &mut Vec<Improbable>) {
    let expected_um: BTreeMap<usize, f64> = improbable
        .iter()
        .map(|found| (found.reading, found.expected_um))
        .collect();
    let mut all: BTreeMap<Cell, BTreeSet<usize>> = BTreeMap::new();
    let mut faster: BTreeMap<Cell, BTreeSet<usize>> = BTreeMap::new();
    // Growth is too fast where its later reading is larger than expected, or its earlier one smaller.
    let mut of_reading: BTreeMap<usize, Cell> = BTreeMap::new();
    for (at, bearing) in shop.bearings.iter().enumerate() {
        for segment in &bearing.segments {
            let cell = |obs: &Obs| Some((obs.stand?, segment.row_pair));
            let ends = segment.measured().skip(1).map(Some);
            let ends = ends.chain(std::iter::once(None));
            for (obs, next) in segment.measured().zip(ends) {
                if let Some(cell) = cell(obs) {
                    all.entry(cell).or_default().insert(at);
                }
                let Some(um) = expected_um.get(&obs.reading) else {
                    continue;
                };
                let grown = if obs.y_um > *um { Some(obs) } else { next };
                if let Some(cell) = grown.and_then(cell) {
                    faster.entry(cell).or_default().insert(at);
                    of_reading.insert(obs.reading, cell);
                }
            }
        }
    }
    faster.retain(|cell, found| {
        let of = all.get(cell).map_or(0, BTreeSet::len);
        found.len() >= BEARINGS_MIN && 2 * found.len() > of
    });
    of_reading.retain(|_, cell| faster.contains_key(cell));
    let segments = shop.bearings.iter_mut().flat_map(|b| &mut b.segments);
    for obs in segments.flat_map(|segment| &mut segment.obs) {
        obs.is_used |= of_reading.contains_key(&obs.reading);
    }
    improbable.retain(|found| !of_reading.contains_key(&found.reading));
}
