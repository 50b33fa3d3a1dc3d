//! What the fit is about: hyperparameters, columns of the design, and the rate each type is expected to wear at.

use std::collections::BTreeSet;

use super::segments::Shop;
use super::table::BearingType;

/// Expected growth is never taken to be less than this, µm/h.
const RATE_UM_PER_H_MIN: f64 = 1e-4;
/// Standard deviation of a type's factor about 1 (assumed).
const TYPE_SPREAD: f64 = 0.5;

/// Standard deviations of the wear factors, and the unevenness of wear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Theta {
    /// Between bearings.
    pub bearing: f64,
    /// Between the row pairs of a bearing.
    pub row: f64,
    /// Between the segments of a row pair.
    pub segment: f64,
    /// Variance of uneven wear per expected growth, µm.
    pub uneven_um: f64,
    /// Between stands.
    pub stand: f64,
    /// Between the row pairs of a stand.
    pub stand_row: f64,
}

impl Theta {
    /// What is assumed where a pool cannot tell, and the centre that larger pools are drawn to (assumed; halving or
    /// doubling all moves the mean score of forecasts by less than 4 % in our own simulation).
    pub const ASSUMED: Self = Self {
        bearing: 0.25,
        row: 0.12,
        segment: 0.10,
        uneven_um: 2.0,
        stand: 0.20,
        stand_row: 0.15,
    };

    pub(super) fn to_array(self) -> [f64; 6] {
        [
            self.bearing,
            self.row,
            self.segment,
            self.uneven_um,
            self.stand,
            self.stand_row,
        ]
    }

    pub(super) fn from_array(
        [bearing, row, segment, uneven_um, stand, stand_row]: [f64; 6],
    ) -> Self {
        Self {
            bearing,
            row,
            segment,
            uneven_um,
            stand,
            stand_row,
        }
    }

    /// Variance of the whole factor of one segment.
    pub(super) fn factor_variance(&self) -> f64 {
        self.bearing * self.bearing + self.row * self.row + self.segment * self.segment
    }
}

/// The columns of the design, in the order types, stands, row pairs of stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Columns {
    pub(super) types: usize,
    pub(super) stands: usize,
    /// (stand, row pair), in order.
    pub(super) pairs: Vec<(usize, u32)>,
}

impl Columns {
    pub(super) fn new(types: usize, shop: &Shop) -> Self {
        let segments = shop.bearings.iter().flat_map(|bearing| &bearing.segments);
        let run = segments.flat_map(|segment| {
            let stands = segment.obs.iter().flat_map(|obs| &obs.stand_h);
            stands.map(|(stand, _)| (*stand, segment.row_pair))
        });
        Self {
            types,
            stands: shop.stands.len(),
            pairs: run.collect::<BTreeSet<_>>().into_iter().collect(),
        }
    }

    pub(super) fn len(&self) -> usize {
        self.types + self.stands + self.pairs.len()
    }

    pub(super) fn stand(&self, stand: usize) -> usize {
        self.types + stand
    }

    pub(super) fn pair(&self, stand: usize, row_pair: u32) -> Option<usize> {
        let at = self.pairs.binary_search(&(stand, row_pair)).ok()?;
        Some(self.types + self.stands + at)
    }

    /// The row of `X` at an expected growth `g` of which `g_stand` was worn in each stand.
    pub(super) fn row(
        &self,
        kind: usize,
        row_pair: u32,
        g: f64,
        g_stand: &[(usize, f64)],
    ) -> Vec<(usize, f64)> {
        let mut row = vec![(kind, g)];
        for (stand, g) in g_stand {
            row.push((self.stand(*stand), *g));
            row.extend(self.pair(*stand, row_pair).map(|column| (column, *g)));
        }
        row
    }

    /// Square roots of the prior precision of `beta`.
    pub(super) fn root_precision(&self, theta: &Theta) -> Vec<f64> {
        let of = |count: usize, spread: f64| std::iter::repeat_n(1.0 / spread, count);
        of(self.types, TYPE_SPREAD)
            .chain(of(self.stands, theta.stand))
            .chain(of(self.pairs.len(), theta.stand_row))
            .collect()
    }
}

/// Expected growth of each type, µm/h: hours-weighted median over its row segments of last minus first by hours.
///
/// A type without growth takes the median over the others of rate by nominal clearance, times its own; `None` where no
/// type has any.
pub(super) fn rates_um_per_h(types: &[BearingType], shop: &Shop) -> Option<Vec<f64>> {
    let mut of_type: Vec<Vec<(f64, f64)>> = vec![Vec::new(); types.len()];
    for bearing in &shop.bearings {
        for segment in &bearing.segments {
            if let (Some(first), Some(last)) = (segment.used().next(), segment.used().last())
                && last.h > first.h
            {
                let hours = last.h - first.h;
                of_type[bearing.kind].push(((last.y_um - first.y_um) / hours, hours));
            }
        }
    }
    let known: Vec<Option<f64>> = of_type
        .into_iter()
        .map(|rates| weighted_median(rates).map(|rate| rate.max(RATE_UM_PER_H_MIN)))
        .collect();
    let by_nominal = known.iter().zip(types);
    let by_nominal =
        by_nominal.filter_map(|(rate, kind)| Some((rate.as_ref()? / kind.set.nominal_um, 1.0)));
    let typical = weighted_median(by_nominal.collect())?;
    let rates = known.iter().zip(types);
    Some(
        rates
            .map(|(rate, kind)| rate.unwrap_or(typical * kind.set.nominal_um))
            .collect(),
    )
}

/// The smallest value whose cumulated weight reaches half.
fn weighted_median(mut values: Vec<(f64, f64)>) -> Option<f64> {
    values.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let half = values.iter().map(|(_, weight)| weight).sum::<f64>() / 2.0;
    let mut sum = 0.0;
    let reaches = values.iter().find(|(_, weight)| {
        sum += weight;
        sum >= half
    });
    reaches.map(|(value, _)| *value)
}
