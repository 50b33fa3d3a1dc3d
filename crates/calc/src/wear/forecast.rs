//! When a row pair reaches its limit: the posterior of its clearance and wear factor, and where that crosses.
//!
//! Best linear unbiased prediction (Henderson; memory), which here is the posterior mean. The crossing is solved in
//! closed form, with Student's distribution in place of the normal one: it makes up for what the hyperparameters do not
//! know (own simulation: coverage of the 90 % interval from 89.2 to 89.9 %).

use super::block::Block;
use super::design::Columns;
use super::linalg::{cholesky, dot, solve_lower, solve_lower_transposed};
use super::model::Solution;
use super::segments::{Bearing, Parts, RowSegment};
use super::student;
use super::table::BearingType;

/// No forecast is told beyond this many hours after the last teardown.
pub const HORIZON_H: f64 = 30_000.0;

/// Passed as far back as one can see.
const AS_FAR_BACK: f64 = f64::NEG_INFINITY;

/// What is known about a row pair at its last teardown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// True clearance at the last event, µm.
    pub clearance_um: f64,
    /// Its variance, µm².
    pub clearance_variance: f64,
    /// Wear per expected wear from here on, in the stand it runs in.
    pub factor: f64,
    /// Its variance.
    pub factor_variance: f64,
    /// Covariance of the two, µm.
    pub covariance: f64,
    /// Variance of uneven wear per expected growth, µm.
    pub uneven_um: f64,
    /// Variance that the factor would have without readings of this bearing.
    pub pool_variance: f64,
    /// Expected growth of the type, µm/h.
    pub rate_um_per_h: f64,
    /// The counter at the last event, h.
    pub counter_h: f64,
    /// The counter at the beginning of the segment, h.
    pub set_h: f64,
    /// Limit, µm.
    pub limit_um: f64,
    /// Degrees of freedom of Student's distribution.
    pub degrees: u32,
}

/// A fit, without the readings it was made of.
#[derive(Clone, Copy)]
pub(super) struct Known<'a> {
    pub(super) columns: &'a Columns,
    /// Expected growth of each type, µm/h.
    pub(super) rates: &'a [f64],
    pub(super) fit: &'a Solution,
}

/// A row pair of which a state is wanted.
pub(super) struct Row<'a> {
    pub(super) bearing: &'a Bearing,
    pub(super) segment: usize,
    pub(super) kind: &'a BearingType,
    pub(super) degrees: u32,
}

/// Faster wear since an onset: what is added to each reading of the block, and to the row pair at its last event.
pub(super) struct Hinge<'a> {
    pub(super) h: &'a [f64],
    pub(super) at_last: f64,
}

/// State of a row pair with the growth ahead in the stand it runs in, or ran in last where nobody says where it is now;
/// `None` only where the arithmetic breaks down.
pub(super) fn state(
    row: &Row<'_>,
    block: &Block,
    known: Known<'_>,
    hinge: Option<&Hinge<'_>>,
) -> Option<State> {
    let parts = parts_ahead(row.bearing, &row.bearing.segments[row.segment]);
    state_in(row, &parts, block, known, hinge)
}

/// Where the growth ahead is worn.
pub(super) fn parts_ahead(bearing: &Bearing, segment: &RowSegment) -> Parts {
    if let Some(present) = &bearing.present {
        return present.ahead.clone();
    }
    let last = segment.obs.last().and_then(|obs| obs.stand);
    last.map(|stand| (stand, 1.0)).into_iter().collect()
}

/// The same with the growth after the last event in given stands.
pub(super) fn state_in(
    row: &Row<'_>,
    parts: &Parts,
    block: &Block,
    known: Known<'_>,
    hinge: Option<&Hinge<'_>>,
) -> Option<State> {
    let Known {
        columns,
        rates,
        fit,
    } = known;
    let segment: &RowSegment = &row.bearing.segments[row.segment];
    let last = segment.obs.last()?;
    let rate = rates[row.bearing.kind];
    let theta = &fit.theta;
    let (n, width) = (block.len(), block.width());
    let [tb, tr, ts] = [theta.bearing, theta.row, theta.segment].map(|sd| sd * sd);
    let start = segment.start_variance(row.kind);
    let g_n = rate * last.h;
    let q = theta.factor_variance();
    // Prior covariance of (clearance, factor), and with the readings.
    let mut c0 = [q * g_n * g_n + start + theta.uneven_um * g_n, q * g_n, q];
    let mut c = vec![0.0; 2 * n];
    for (i, (s, _)) in block.places.iter().enumerate() {
        let g = block.g[i];
        let mut slope = tb * g;
        if row.bearing.segments[*s].row_pair == segment.row_pair {
            slope += tr * g;
        }
        let mut level = 0.0;
        if *s == row.segment {
            slope += ts * g;
            level = start + theta.uneven_um * g.min(g_n);
        }
        c[2 * i] = slope * g_n + level;
        c[2 * i + 1] = slope;
    }
    let mut v = Vec::new();
    block.covariance(theta, &mut v);
    if let Some(Hinge { h, at_last }) = hinge {
        for i in 0..n {
            for j in 0..=i {
                v[i * n + j] += h[i] * h[j];
            }
            c[2 * i] += at_last * h[i];
            c[2 * i + 1] += h[i];
        }
        let is_of_row = h
            .iter()
            .enumerate()
            .any(|(i, h)| *h > 0.0 && block.places[i].0 == row.segment);
        if is_of_row {
            c0 = [c0[0] + at_last * at_last, c0[1] + at_last, c0[2] + 1.0];
        } else {
            return None;
        }
    }
    cholesky(&mut v, n)?;
    // Whitened covariances and residuals: C V⁻¹ C' and C V⁻¹ r are products of these.
    let white = [0, 1].map(|k| {
        let mut white: Vec<f64> = c.chunks_exact(2).map(|row| row[k]).collect();
        solve_lower(&v, n, &mut white, 1);
        white
    });
    let weights = white.clone().map(|mut w| {
        solve_lower_transposed(&v, n, &mut w);
        w
    });
    // K: the design at the last event, and of the factor in the stands meant.
    let g_stand: Vec<(usize, f64)> = last
        .stand_h
        .iter()
        .map(|(stand, h)| (*stand, rate * h))
        .collect();
    let at_last = columns.row(row.bearing.kind, segment.row_pair, g_n, &g_stand);
    let of_factor = columns.row(row.bearing.kind, segment.row_pair, 1.0, parts);
    let residuals = block.residuals(fit);
    let mut mean = [segment.start_um(row.kind) + g_n, 1.0];
    let mut spread: [Vec<f64>; 2] = Default::default();
    let mut pool_spread = Vec::new();
    for (k, design) in [at_last, of_factor].into_iter().enumerate() {
        mean[k] += design
            .iter()
            .map(|(column, x)| x * fit.beta[*column])
            .sum::<f64>();
        mean[k] += dot(&weights[k], &residuals);
        pool_spread = fit.spread(design.iter().copied());
        let mut left = vec![0.0; columns.len()];
        for (column, x) in design {
            left[column] += x;
        }
        for (i, weight) in weights[k].iter().enumerate() {
            let row = &block.rows[i * width..(i + 1) * width - 1];
            for (column, x) in block.columns.iter().zip(row) {
                left[*column] -= weight * x;
            }
        }
        spread[k] = fit.spread(left.into_iter().enumerate());
    }
    let posterior = |a: usize, b: usize, prior: f64| {
        prior - dot(&white[a], &white[b]) + dot(&spread[a], &spread[b])
    };
    // What is worn nobody knows where, or where nothing was measured yet, is as uncertain as stands differ.
    let known = |of: &dyn Fn(usize) -> bool| -> f64 {
        let parts = parts.iter().filter(|(stand, _)| of(*stand));
        parts.map(|(_, part)| part).sum()
    };
    let (off_stand, off_pair) = (
        1.0 - known(&|_| true),
        1.0 - known(&|stand| columns.pair(stand, segment.row_pair).is_some()),
    );
    let unknown_stand = theta.stand * theta.stand * off_stand * off_stand
        + theta.stand_row * theta.stand_row * off_pair * off_pair;
    Some(State {
        clearance_um: mean[0],
        clearance_variance: posterior(0, 0, c0[0]).max(0.0),
        factor: mean[1],
        factor_variance: posterior(1, 1, c0[2]).max(0.0) + unknown_stand,
        covariance: posterior(0, 1, c0[1]),
        uneven_um: theta.uneven_um,
        // `pool_spread` is that of the factor: the last one made above.
        pool_variance: q + dot(&pool_spread, &pool_spread) + unknown_stand,
        rate_um_per_h: rate,
        counter_h: last.counter_h,
        set_h: last.counter_h - last.h,
        limit_um: segment.limit_um(row.kind),
        degrees: row.degrees,
    })
}

impl State {
    /// Mean and standard deviation of the clearance after `growth_um` more of expected growth, µm.
    fn clearance_after(&self, growth_um: f64) -> (f64, f64) {
        let variance = self.clearance_variance
            + 2.0 * self.covariance * growth_um
            + self.factor_variance * growth_um * growth_um
            + self.uneven_um * growth_um.max(0.0);
        (
            self.clearance_um + self.factor * growth_um,
            variance.max(0.0).sqrt(),
        )
    }

    /// Clearance at a reading of the counter, µm: exceeded 19 times, once in two, and once in 20.
    pub fn band_um(&self, counter_h: f64) -> [f64; 3] {
        let (mean, sd) = self.clearance_after((counter_h - self.counter_h) * self.rate_um_per_h);
        let t = student::quantile(0.95, self.degrees);
        [mean - t * sd, mean, mean + t * sd]
    }

    /// Clearance expected at this counter, µm, and its standard deviation: what a new reading is held against, its own
    /// uncertainty added.
    pub fn expected_um(&self, counter_h: f64) -> (f64, f64) {
        self.clearance_after((counter_h - self.counter_h) * self.rate_um_per_h)
    }

    /// Probability that the limit is passed within the next `hours` after the last event.
    pub fn chance_within(&self, hours: f64) -> f64 {
        let (mean, sd) = self.clearance_after(hours * self.rate_um_per_h);
        student::below((mean - self.limit_um) / sd, self.degrees)
    }

    /// Probability that it wears more than `by` (a part of the expected wear) faster than its type is expected to.
    pub fn chance_faster(&self, by: f64) -> f64 {
        let sd = self.factor_variance.sqrt();
        student::below((self.factor - 1.0 - by) / sd, self.degrees)
    }

    /// Counter hours at which the limit is passed with probability `p`; `None` beyond the horizon.
    ///
    /// It may lie before the last event, but not before the setting.
    pub fn crossing_h(&self, p: f64) -> Option<f64> {
        let z = if p == 0.5 {
            0.0
        } else {
            student::quantile(p, self.degrees)
        };
        self.crossing_at(z)
    }

    /// The same at a quantile of Student's distribution that is known: it is the same for all row pairs of a shop.
    pub(super) fn crossing_at(&self, z: f64) -> Option<f64> {
        let more_h = self.growth_to_limit(z)? / self.rate_um_per_h;
        (more_h <= HORIZON_H).then_some((self.counter_h + more_h).max(self.set_h))
    }

    /// Part of the knowledge about the wear factor that comes from this bearing's own readings, 0 to 1.
    pub fn own_share(&self) -> f64 {
        (1.0 - self.factor_variance / self.pool_variance).clamp(0.0, 1.0)
    }

    /// Expected growth `D`, µm, at which `(mean(D) − L)/sd(D) = z`.
    ///
    /// `A D² + B D + C = 0` with `A = m² − z² v_s`, `B = 2 e m − z² (2c + th)`, `C = e² − z² v_f`, `e = m_f − L`.
    /// Ahead where the limit is not passed with that probability yet, else behind, where wear is even.
    fn growth_to_limit(&self, z: f64) -> Option<f64> {
        let excess = self.clearance_um - self.limit_um;
        let is_ahead = excess < z * self.clearance_variance.sqrt();
        if z == 0.0 {
            return match (is_ahead, self.factor > 0.0) {
                (_, true) => Some(-excess / self.factor),
                (true, false) => None,
                (false, false) => Some(AS_FAR_BACK),
            };
        }
        let uneven = if is_ahead { self.uneven_um } else { 0.0 };
        let z2 = z * z;
        let a = self.factor * self.factor - z2 * self.factor_variance;
        let b = 2.0 * excess * self.factor - z2 * (2.0 * self.covariance + uneven);
        let c = excess * excess - z2 * self.clearance_variance;
        let holds = |d: &f64| {
            let is_this_side = if is_ahead { *d > 0.0 } else { *d <= 0.0 };
            d.is_finite() && is_this_side && (excess + self.factor * d) * z >= 0.0
        };
        let discriminant = b * b - 4.0 * a * c;
        let roots = if discriminant < 0.0 {
            [f64::NAN; 2]
        } else {
            let t = -0.5 * (b + discriminant.sqrt().copysign(b));
            [t / a, c / t]
        };
        let roots = roots.into_iter().filter(holds);
        if is_ahead {
            roots.min_by(f64::total_cmp)
        } else {
            Some(roots.max_by(f64::total_cmp).unwrap_or(AS_FAR_BACK))
        }
    }
}
