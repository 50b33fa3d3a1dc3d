//! Plain facts about each row segment: its readings, times as set, and the straight line through first and last.
//!
//! Two points always fit a line, so these carry no interval and are never shown as a forecast.

use super::counter::Exposure;
use super::segments::{Shop, Start};
use super::table::Pool;

/// A row pair between two settings.
#[derive(Debug, Clone, PartialEq)]
pub struct SegmentFacts {
    /// Serial of the bearing.
    pub bearing: String,
    /// The row pair.
    pub row_pair: u32,
    /// Number of the segment of this row pair, from 0.
    pub segment: usize,
    /// Whether it is running.
    pub is_live: bool,
    /// Whether it began before the logbook.
    pub is_truncated: bool,
    /// Its readings: place in the pool, and hours since the setting.
    pub readings: Vec<(usize, f64)>,
    /// Limit, µm.
    pub limit_um: f64,
    /// Last reading by first; none where the first is not above 0.
    pub times_as_set: Option<f64>,
    /// Hours since the setting at which the line through first and last meets the limit:
    /// `h = h_n (L − y_0)/(y_n − y_0)`; none where nothing has grown.
    pub straight_h: Option<f64>,
}

/// Facts of all segments of a pool up to a day, by bearing.
pub fn segment_facts(pool: &Pool, as_of_day: Option<i32>) -> Vec<SegmentFacts> {
    let Some(shop) = Shop::new(pool, as_of_day, Exposure::Hours) else {
        return Vec::new();
    };
    let of_bearing = |bearing: super::segments::Bearing| {
        let kind = &pool.types()[bearing.kind];
        let facts = bearing.segments.into_iter().map(|segment| {
            let limit_um = segment.limit_um(kind);
            let ends = segment.measured().next().zip(segment.measured().last());
            let straight_h = ends.and_then(|(first, last)| {
                let h = (last.h - first.h) * (limit_um - first.y_um) / (last.y_um - first.y_um);
                (last.y_um > first.y_um && last.h > first.h).then_some(first.h + h)
            });
            SegmentFacts {
                bearing: bearing.name.clone(),
                row_pair: segment.row_pair,
                segment: segment.number,
                is_live: segment.is_live,
                is_truncated: segment.start == Start::Truncated,
                limit_um,
                times_as_set: ends
                    .filter(|(first, _)| first.y_um > 0.0)
                    .map(|(first, last)| last.y_um / first.y_um),
                straight_h,
                readings: segment.measured().map(|obs| (obs.reading, obs.h)).collect(),
            }
        });
        facts.collect::<Vec<_>>()
    };
    shop.bearings.into_iter().flat_map(of_bearing).collect()
}
