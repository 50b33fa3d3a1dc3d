//! The restricted likelihood of given spreads between groups, by least squares.

use crate::linear::{Qr, dot};

/// A group's rows of `[Z, X, y]`, by columns; turned to the few that hold all they tell.
pub(super) struct Condensed {
    columns: Vec<Vec<f64>>,
}

impl Condensed {
    pub(super) fn of(columns: Vec<Vec<f64>>) -> Self {
        let order = columns.len();
        if columns[0].len() <= order {
            return Self { columns };
        }
        let qr = Qr::of(columns);
        let column = |j: usize| (0..order).map(|i| qr.r(i, j)).collect();
        Self {
            columns: (0..order).map(column).collect(),
        }
    }
}

/// The model, ready for any spread between groups.
pub(super) struct Criterion {
    pub(super) groups: Vec<Condensed>,
    /// Random coefficients of a group.
    pub(super) random: usize,
    /// Fixed coefficients.
    pub(super) fixed: usize,
    pub(super) readings: usize,
    pub(super) known_sd: Option<f64>,
}

/// What belongs to one spread.
pub(super) struct Solved {
    /// `-2` times the restricted log-likelihood.
    pub(super) value: f64,
    pub(super) sd: f64,
    pub(super) fixed: Vec<f64>,
    /// Columns of `R_X⁻¹`: the covariance of the fixed coefficients is `sd²` times its square.
    pub(super) inverse: Vec<Vec<f64>>,
    /// Of each group.
    pub(super) random: Vec<Vec<f64>>,
}

/// A group with its random coefficients taken out.
struct Reduced {
    qr: Qr<f64>,
    /// Columns of X and y, turned.
    columns: Vec<Vec<f64>>,
}

impl Criterion {
    /// Columns of L from its elements, row by row: `a`, or `a`, `b c`.
    pub(super) fn factor(&self, spread: &[f64]) -> Vec<Vec<f64>> {
        let element = |row: usize, column: usize| {
            if column > row {
                0.0
            } else {
                spread[row * (row + 1) / 2 + column]
            }
        };
        (0..self.random)
            .map(|column| (0..self.random).map(|row| element(row, column)).collect())
            .collect()
    }

    /// The criterion alone; infinite where it is no number.
    pub(super) fn value(&self, spread: &[f64]) -> f64 {
        self.solve(spread)
            .map_or(f64::INFINITY, |solved| solved.value)
    }

    /// The best coefficients and scatter for a spread.
    pub(super) fn solve(&self, spread: &[f64]) -> Option<Solved> {
        let factor = self.factor(spread);
        let groups: Vec<Reduced> = self
            .groups
            .iter()
            .map(|group| self.reduce(group, &factor))
            .collect();
        let mut columns: Vec<Vec<f64>> = (0..=self.fixed)
            .map(|j| {
                groups
                    .iter()
                    .flat_map(|g| &g.columns[j][self.random..])
                    .copied()
                    .collect()
            })
            .collect();
        let mut y = columns.pop()?;
        let qr = Qr::of(columns);
        qr.turn(&mut y);
        let fixed = qr.solve(&y);
        let squares = dot(&y[self.fixed..], &y[self.fixed..]);
        let free = (self.readings - self.fixed) as f64;
        let sd = self.known_sd.unwrap_or_else(|| (squares / free).sqrt());
        let log_of = |qr: &Qr<f64>, order: usize| -> f64 {
            (0..order).map(|k| libm::log(qr.r(k, k).abs())).sum()
        };
        let of_groups: f64 = groups
            .iter()
            .map(|group| log_of(&group.qr, self.random))
            .sum();
        let value = free * libm::log(2.0 * std::f64::consts::PI * sd * sd)
            + squares / (sd * sd)
            + 2.0 * of_groups
            + 2.0 * log_of(&qr, self.fixed);
        if !value.is_finite() {
            return None;
        }
        let random = groups.iter().map(|group| {
            let last = &group.columns[self.fixed];
            let own: Vec<f64> = (0..self.random)
                .map(|row| {
                    last[row]
                        - (0..self.fixed)
                            .map(|j| group.columns[j][row] * fixed[j])
                            .sum::<f64>()
                })
                .collect();
            let v = group.qr.solve(&own);
            (0..self.random)
                .map(|row| (0..self.random).map(|k| factor[k][row] * v[k]).sum())
                .collect()
        });
        Some(Solved {
            value,
            sd,
            random: random.collect(),
            inverse: qr.inverse(),
            fixed,
        })
    }

    /// `[Z L, X, y; I, 0, 0]` with the first columns brought to a triangle.
    fn reduce(&self, group: &Condensed, factor: &[Vec<f64>]) -> Reduced {
        let rows = group.columns[0].len();
        let below =
            |one: Option<usize>| (0..self.random).map(move |i| f64::from(u8::from(one == Some(i))));
        let own = (0..self.random).map(|k| {
            (0..rows)
                .map(|i| {
                    (0..self.random)
                        .map(|j| group.columns[j][i] * factor[k][j])
                        .sum()
                })
                .chain(below(Some(k)))
                .collect()
        });
        let qr = Qr::of(own.collect());
        let columns = group.columns[self.random..].iter().map(|column| {
            let mut column: Vec<f64> = column.iter().copied().chain(below(None)).collect();
            qr.turn(&mut column);
            column
        });
        Reduced {
            columns: columns.collect(),
            qr,
        }
    }
}
