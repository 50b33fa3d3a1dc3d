//! The readings of one bearing as the fit takes them: rows of the design, and the terms of their covariance.

use std::collections::{BTreeMap, BTreeSet};

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
    /// Lower half, row by row: the five terms of the covariance.
    terms: [Vec<f64>; 5],
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
        let design: Vec<BTreeMap<usize, f64>> = places
            .iter()
            .zip(&g)
            .map(|(place, g)| {
                let (segment, obs) = of(place);
                let g_stand: Vec<(usize, f64)> = obs
                    .stand_h
                    .iter()
                    .map(|(stand, h)| (*stand, rate * h))
                    .collect();
                columns
                    .row(bearing.kind, segment.row_pair, *g, &g_stand)
                    .into_iter()
                    .collect()
            })
            .collect();
        let used: BTreeSet<usize> = design.iter().flat_map(BTreeMap::keys).copied().collect();
        let used: Vec<usize> = used.into_iter().collect();
        let mut rows = Vec::with_capacity(places.len() * (used.len() + 1));
        for ((place, row), g) in places.iter().zip(&design).zip(&g) {
            let (segment, obs) = of(place);
            rows.extend(
                used.iter()
                    .map(|column| row.get(column).copied().unwrap_or(0.0)),
            );
            rows.push(obs.y_um - segment.start_um(kind) - g);
        }
        let mut terms: [Vec<f64>; 5] = Default::default();
        for (i, a) in places.iter().enumerate() {
            for (j, b) in places.iter().enumerate().take(i + 1) {
                let product = g[i] * g[j];
                let is_row = of(a).0.row_pair == of(b).0.row_pair;
                let is_segment = a.0 == b.0;
                let when = |condition: bool, value: f64| if condition { value } else { 0.0 };
                let start = when(is_segment, of(a).0.start_variance(kind));
                let known = start + when(i == j, of(a).1.variance);
                let values = [
                    product,
                    when(is_row, product),
                    when(is_segment, product),
                    when(is_segment, g[i].min(g[j])),
                    known,
                ];
                for (term, value) in terms.iter_mut().zip(values) {
                    term.push(value);
                }
            }
        }
        Self {
            places,
            g,
            columns: used,
            rows,
            terms,
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
            theta.uneven_um,
        ];
        let [all, row, segment, uneven, known] = &self.terms;
        let mut at = 0;
        for i in 0..n {
            for v in &mut to[i * n..=i * n + i] {
                *v = weights[0] * all[at]
                    + weights[1] * row[at]
                    + weights[2] * segment[at]
                    + weights[3] * uneven[at]
                    + known[at];
                at += 1;
            }
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
