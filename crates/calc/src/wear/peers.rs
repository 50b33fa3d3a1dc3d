//! What a shop knows besides one bearing: enough to look at that bearing again with a reading more, at once.
//!
//! The fit stays as it was; what is new is the bearing's own readings. All bearings together set the fit, so that one
//! reading more moves it little, and what the bearing's own line says moves at once.

use super::acceleration::{self, Acceleration};
use super::block::Block;
use super::design::Columns;
use super::forecast::{self, Hinge, Known, Row};
use super::model::Solution;
use super::review::RowForecast;
use super::segments::{Bearing, RowSegment, Shop};
use super::table::{BearingType, Pool, Present, Reading};
use crate::error::CalcError;

/// A fitted shop without its readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Peers {
    pub(super) types: Vec<BearingType>,
    /// Names of the stands, in order.
    pub(super) stands: Vec<String>,
    pub(super) columns: Columns,
    pub(super) rates: Vec<f64>,
    pub(super) fit: Solution,
    pub(super) degrees: u32,
    /// Student's distribution at 95 %.
    pub(super) z: f64,
    pub(super) is_assumed: bool,
    /// Bearings of each type with measured growth.
    pub(super) grown: Vec<Vec<String>>,
}

impl Peers {
    /// Whether bearings of a type are among them.
    pub fn knows(&self, bearing_type: &str) -> bool {
        self.types.iter().any(|kind| kind.name == bearing_type)
    }

    /// The running row pairs of one bearing by its own readings and what is known of its peers; `present` is where it is
    /// after the last of them. No reading is refused here.
    ///
    /// # Errors
    /// Those of [`Pool::new`] and [`Pool::with_present`]; `Contradiction` for readings of several bearings.
    pub fn look_at(
        &self,
        readings: Vec<Reading>,
        present: Option<Present>,
        ahead_h: f64,
    ) -> Result<Vec<RowForecast>, CalcError> {
        let Some(name) = readings.first().map(|reading| reading.bearing.clone()) else {
            return Ok(Vec::new());
        };
        if readings.iter().any(|reading| reading.bearing != name) {
            return Err(CalcError::Contradiction {
                input: "bearing".to_owned(),
                why: "readings of several bearings".to_owned(),
            });
        }
        let pool = Pool::new(self.types.clone(), readings)?;
        let present = present.map(|present| (name, present));
        let pool = pool.with_present(present.into_iter().collect())?;
        let shop = Shop::of_stands(&pool, self.stands.clone());
        let bearings = shop.into_iter().flat_map(|shop| shop.bearings);
        Ok(bearings
            .flat_map(|bearing| {
                let (kind, rate) = (&self.types[bearing.kind], self.rates[bearing.kind]);
                let block = Block::new(&bearing, kind, rate, &self.columns);
                self.rows(&bearing, &block, ahead_h)
            })
            .collect())
    }

    fn known(&self) -> Known<'_> {
        Known {
            columns: &self.columns,
            rates: &self.rates,
            fit: &self.fit,
        }
    }

    /// Forecasts of the running row pairs of a bearing, by row pair.
    pub(super) fn rows(&self, bearing: &Bearing, block: &Block, ahead_h: f64) -> Vec<RowForecast> {
        let found = acceleration::strongest(bearing, block, &self.fit, self.rates[bearing.kind]);
        let running = (0..bearing.segments.len()).filter(|at| bearing.segments[*at].is_live);
        let mut rows: Vec<RowForecast> = running
            .filter_map(|at| self.row(bearing, at, block, found, ahead_h))
            .collect();
        rows.sort_by_key(|row| row.row_pair);
        rows
    }

    fn row(
        &self,
        bearing: &Bearing,
        at: usize,
        block: &Block,
        acceleration: Option<Acceleration>,
        ahead_h: f64,
    ) -> Option<RowForecast> {
        let kind = &self.types[bearing.kind];
        let segment: &RowSegment = &bearing.segments[at];
        let row = Row {
            bearing,
            segment: at,
            kind,
            degrees: self.degrees,
        };
        let known = self.known();
        let state = forecast::state(&row, block, known, None)?;
        let alarm = acceleration.filter(Acceleration::is_alarm);
        let if_it_goes_on = alarm.and_then(|alarm| {
            let h = acceleration::hinge(
                bearing,
                block,
                state.rate_um_per_h,
                alarm.onset_h,
                alarm.row_pair,
            );
            let at_last = (state.counter_h - alarm.onset_h).max(0.0) * state.rate_um_per_h;
            forecast::state(&row, block, known, Some(&Hinge { h: &h, at_last }))
        });
        let ahead = forecast::parts_ahead(bearing, segment);
        let since = bearing.present.as_ref().map(|present| &present.since);
        let so_far = since
            .filter(|since| **since != ahead)
            .and_then(|since| forecast::state_in(&row, since, block, known, None));
        let used = segment.used().count();
        let alike = self.grown[bearing.kind].iter();
        let z = self.z;
        Some(RowForecast {
            bearing: bearing.name.clone(),
            bearing_type: kind.name.clone(),
            row_pair: segment.row_pair,
            segment: segment.number,
            stand: ahead.first().map(|(stand, _)| self.stands[*stand].clone()),
            readings_used: used,
            readings_excluded: segment.measured().count() - used,
            bearings_alike: alike.filter(|other| **other != bearing.name).count(),
            last_um: segment.used().last().map(|obs| obs.y_um),
            as_set_um: segment.used().find(|obs| obs.is_start).map(|obs| obs.y_um),
            is_assumed: self.is_assumed,
            reading_sd_um: segment.obs.last().map_or(0.0, |obs| obs.variance.sqrt()),
            state,
            so_far: so_far.unwrap_or(state),
            crossing_h: [-z, 0.0, z].map(|z| state.crossing_at(z)),
            chance: state.chance_within(ahead_h),
            acceleration,
            if_it_goes_on,
        })
    }
}
