//! The readings of one bearing as the fit takes them: rows of the design, and the terms of their covariance.

use super::design::{Columns, Theta};
use super::linalg::dot;
use super::model::Solution;
use super::segments::Bearing;
use super::table::BearingType;

/// The readings of one bearing that count, with all that does not depend on the hyperparameters.
#[derive(Debug, Clone)]
pub(super) struct Block {
    /// (segment, reading in it) of each reading, in order of time.
    pub(super) places: Vec<(usize, usize)>,
    /// Expected growth since the setting, µm.
    pub(super) g: Vec<f64>,
    /// Columns of the design that are not 0.
    pub(super) columns: Vec<usize>,
    /// Rows of the design in those columns, and behind them `z = y − a0 − g`.
    pub(super) rows: Vec<f64>,
    /// Row pair of each reading.
    row_pairs: Vec<u32>,
    /// Its variance, µm².
    variances: Vec<f64>,
    /// Variance of the true start of each segment, µm².
    starts: Vec<f64>,
}

impl Block {
    pub(super) fn new(bearing: &Bearing, kind: &BearingType, rate: f64, columns: &Columns) -> Self {
        let mut places: Vec<(usize, usize)> = Vec::new();
        for (s, segment) in bearing.segments.iter().enumerate() {
            places.extend(
                (0..segment.obs.len())
                    .filter(|i| segment.obs[*i].is_used)
                    .map(|i| (s, i)),
            );
        }
        let order = |(s, i): &(usize, usize)| {
            let segment = &bearing.segments[*s];
            (segment.obs[*i].event, segment.row_pair, *s, *i)
        };
        places.sort_by_key(order);
        let of = |place: &(usize, usize)| {
            (
                &bearing.segments[place.0],
                &bearing.segments[place.0].obs[place.1],
            )
        };
        let g: Vec<f64> = places.iter().map(|place| rate * of(place).1.h).collect();
        let design: Vec<Vec<(usize, f64)>> = places
            .iter()
            .zip(&g)
            .map(|(place, g)| {
                let (segment, obs) = of(place);
                let g_stand: Vec<(usize, f64)> = obs
                    .stand_h
                    .iter()
                    .map(|(stand, h)| (*stand, rate * h))
                    .collect();
                columns.row(bearing.kind, segment.row_pair, *g, &g_stand)
            })
            .collect();
        let mut used: Vec<usize> = design.iter().flatten().map(|(column, _)| *column).collect();
        used.sort_unstable();
        used.dedup();
        let width = used.len() + 1;
        let mut rows = vec![0.0; places.len() * width];
        for (((place, row), g), to) in places
            .iter()
            .zip(&design)
            .zip(&g)
            .zip(rows.chunks_exact_mut(width))
        {
            for (column, value) in row {
                if let Ok(at) = used.binary_search(column) {
                    to[at] = *value;
                }
            }
            let (segment, obs) = of(place);
            to[width - 1] = obs.y_um - segment.start_um(kind) - g;
        }
        Self {
            row_pairs: places.iter().map(|place| of(place).0.row_pair).collect(),
            variances: places.iter().map(|place| of(place).1.variance).collect(),
            starts: bearing
                .segments
                .iter()
                .map(|segment| segment.start_variance(kind))
                .collect(),
            places,
            g,
            columns: used,
            rows,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.places.len()
    }

    /// Numbers in a row of `rows`.
    pub(super) fn width(&self) -> usize {
        self.columns.len() + 1
    }

    /// A row of the design.
    pub(super) fn design(&self, i: usize) -> &[f64] {
        &self.rows[i * self.width()..(i + 1) * self.width() - 1]
    }

    /// `z` less what the fit explains: `y − a0 − X beta`.
    pub(super) fn residuals(&self, fit: &Solution) -> Vec<f64> {
        let explained = |i: usize| -> f64 {
            let row = self.design(i).iter().zip(&self.columns);
            row.map(|(x, column)| x * fit.beta[*column]).sum()
        };
        (0..self.len())
            .map(|i| self.rows[(i + 1) * self.width() - 1] - explained(i))
            .collect()
    }

    /// Covariance of the readings, lower half of `n` rows.
    pub(super) fn covariance(&self, theta: &Theta, to: &mut Vec<f64>) {
        let n = self.len();
        to.clear();
        to.resize(n * n, 0.0);
        let weights = [
            theta.bearing * theta.bearing,
            theta.row * theta.row,
            theta.segment * theta.segment,
        ];
        for i in 0..n {
            let segment = self.places[i].0;
            for (j, v) in to[i * n..=i * n + i].iter_mut().enumerate() {
                let mut of_factor = weights[0];
                let mut of_segment = 0.0;
                if self.row_pairs[j] == self.row_pairs[i] {
                    of_factor += weights[1];
                }
                if self.places[j].0 == segment {
                    of_factor += weights[2];
                    of_segment = theta.uneven_um * self.g[i].min(self.g[j]) + self.starts[segment];
                }
                *v = of_factor * self.g[i] * self.g[j] + of_segment;
            }
            to[i * n + i] += self.variances[i];
        }
    }

    /// Covariance of the residuals with the uncertainty of `beta`: `V + X Cov(beta) X'`, lower half.
    pub(super) fn wide_covariance(&self, fit: &Solution) -> Vec<f64> {
        let n = self.len();
        let mut v = Vec::new();
        self.covariance(&fit.theta, &mut v);
        let spread: Vec<Vec<f64>> = (0..n)
            .map(|i| {
                fit.spread(
                    self.columns
                        .iter()
                        .copied()
                        .zip(self.design(i).iter().copied()),
                )
            })
            .collect();
        for i in 0..n {
            for j in 0..=i {
                v[i * n + j] += dot(&spread[i], &spread[j]);
            }
        }
        v
    }
}
