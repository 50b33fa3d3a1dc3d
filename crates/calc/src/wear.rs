//! The pooled wear-factor model: how fast each row pair wears, and when it reaches its limit.
//!
//! A bearing type is expected to wear at a rate; every bearing, row pair, segment and stand wears a factor faster or
//! slower. All bearings together tell how much such factors differ, so that a bearing with two readings borrows from its
//! peers and one with ten speaks for itself. What comes out is an interval, not a date: "wears 1.2 times as fast as its
//! peers; limit 9 times in 10 between 12,900 and 17,300 h".
//!
//! Numbers are µm and hours. Sources stand at the formulas; settings without one are marked "assumed", and what was
//! chosen on the scores of simulated shops "own simulation" (`crates/calc/tests/wear_shops`).

mod acceleration;
mod block;
mod company;
mod contrasts;
mod counter;
mod design;
mod exposure;
mod facts;
mod fit;
mod forecast;
mod gate;
mod linalg;
mod model;
mod peers;
mod rates;
mod reduce;
mod remarks;
mod review;
mod segments;
mod student;
mod table;
mod words;

#[cfg(test)]
mod tests;

pub use acceleration::{ALARM_Z, Acceleration, WATCH_Z};
pub use contrasts::{Contrast, RELEVANT, judge};
pub use counter::Exposure;
pub use design::Theta;
pub use exposure::{ExposureFit, compare_exposure, proposed};
pub use facts::{SegmentFacts, segment_facts};
pub use forecast::{HORIZON_H, State};
pub use gate::{Factor, Improbable, Offer, Slip, offers};
pub use peers::Peers;
pub use rates::{MeanRate, mean_rate};
pub use remarks::{Remark, remarks};
pub use review::{ALARM_CHANCE, NoReview, Review, RowForecast, Settings, Spread, Why, review};
pub use table::{BearingType, Bound, Event, Gauge, Pool, Present, Reading, Stands, Target};
pub use words::{Knowledge, chance_words, told_hours};
