//! Early warning: has a bearing begun to wear faster than before?
//!
//! Score test of a hinge: from one of the teardowns of the running segments on, all row pairs or one of them wear
//! faster. The largest of all such scores counts; its levels come from our own simulation, because the onset is searched.

use super::block::Block;
use super::linalg::{cholesky, dot, solve_lower};
use super::model::Solution;
use super::segments::Bearing;

/// A bearing is watched from here on: about 5 false in 100 teardowns (own simulation).
pub const WATCH_Z: f64 = 2.25;
/// An alarm is given from here on: about 1 false in 100 teardowns (own simulation).
pub const ALARM_Z: f64 = 2.9;

/// The strongest sign of faster wear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Acceleration {
    /// Score, in standard deviations.
    pub z: f64,
    /// The counter at the teardown from which on wear is faster, h.
    pub onset_h: f64,
    /// The row pair that wears faster; `None` for all.
    pub row_pair: Option<u32>,
}

impl Acceleration {
    /// Whether it is worth watching.
    pub fn is_watched(&self) -> bool {
        self.z > WATCH_Z
    }

    /// Whether it is worth measuring again.
    pub fn is_alarm(&self) -> bool {
        self.z > ALARM_Z
    }
}

/// The strongest hinge of a bearing's running segments; `None` below three teardowns.
pub(super) fn strongest(
    bearing: &Bearing,
    block: &Block,
    fit: &Solution,
    rate: f64,
) -> Option<Acceleration> {
    let n = block.len();
    let running: Vec<(usize, f64)> = (0..n)
        .filter(|i| bearing.segments[block.places[*i].0].is_live)
        .map(|i| (i, counter_h(bearing, block, i)))
        .collect();
    let mut onsets: Vec<f64> = running.iter().map(|(_, h)| *h).collect();
    onsets.sort_by(f64::total_cmp);
    onsets.dedup();
    if onsets.len() < 3 {
        return None;
    }
    let mut rows: Vec<u32> = running
        .iter()
        .map(|(i, _)| bearing.segments[block.places[*i].0].row_pair)
        .collect();
    rows.sort_unstable();
    rows.dedup();
    let choices: Vec<Option<u32>> = std::iter::once(None)
        .chain(rows.into_iter().map(Some))
        .collect();
    let mut factor = block.wide_covariance(fit);
    cholesky(&mut factor, n)?;
    let mut white = block.residuals(fit);
    solve_lower(&factor, n, &mut white, 1);
    let mut best: Option<Acceleration> = None;
    for &onset_h in &onsets[1..onsets.len() - 1] {
        for &row_pair in &choices {
            let mut h = hinge(bearing, block, rate, onset_h, row_pair);
            solve_lower(&factor, n, &mut h, 1);
            let length = dot(&h, &h).sqrt();
            if length == 0.0 {
                continue;
            }
            let z = dot(&h, &white) / length;
            if best.is_none_or(|best| z > best.z) {
                best = Some(Acceleration {
                    z,
                    onset_h,
                    row_pair,
                });
            }
        }
    }
    best
}

/// Expected growth since the onset, for the readings of the running segments of the row pairs meant.
pub(super) fn hinge(
    bearing: &Bearing,
    block: &Block,
    rate: f64,
    onset_h: f64,
    row_pair: Option<u32>,
) -> Vec<f64> {
    let of = |i: usize| {
        let segment = &bearing.segments[block.places[i].0];
        let is_meant = segment.is_live && row_pair.is_none_or(|row| row == segment.row_pair);
        let since_h = counter_h(bearing, block, i) - onset_h;
        if is_meant {
            since_h.max(0.0) * rate
        } else {
            0.0
        }
    };
    (0..block.len()).map(of).collect()
}

fn counter_h(bearing: &Bearing, block: &Block, i: usize) -> f64 {
    let (segment, obs) = block.places[i];
    bearing.segments[segment].obs[obs].counter_h
}
