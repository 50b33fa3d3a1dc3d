//! Columns as good as at right angles that span the same as those given, and the way back to the coefficients of these.

use crate::{
    error::{CalcError, contradiction},
    linear::{Qr, size_of},
};

/// `given = columns · T`, T upper triangular; the columns have a mean square of 1.
pub(super) struct Basis {
    pub(super) columns: Vec<Vec<f64>>,
    /// Columns of `T⁻¹`.
    inverse: Vec<Vec<f64>>,
    /// `ln |det T|`.
    pub(super) log_determinant: f64,
}

impl Basis {
    pub(super) fn of(given: &[Vec<f64>], input: &str) -> Result<Self, CalcError> {
        let rows = given.first().map_or(0, Vec::len) as f64;
        let sizes: Vec<f64> = given.iter().map(|column| size_of(column)).collect();
        let scaled: Vec<Vec<f64>> = given
            .iter()
            .zip(&sizes)
            .map(|(column, size)| column.iter().map(|value| value / size).collect())
            .collect();
        let qr = Qr::of(scaled.clone());
        if qr.dependent(super::DEPENDENT).is_some() {
            let why = "the columns do not tell their coefficients apart";
            return Err(contradiction(input, why));
        }
        let root = rows.sqrt();
        let of_scaled: Vec<Vec<f64>> = qr
            .inverse()
            .into_iter()
            .map(|column| column.iter().map(|r| r * root).collect())
            .collect();
        let columns = of_scaled
            .iter()
            .map(|weights| {
                (0..rows as usize)
                    .map(|i| {
                        weights
                            .iter()
                            .zip(&scaled)
                            .map(|(w, column)| w * column[i])
                            .sum()
                    })
                    .collect()
            })
            .collect();
        let inverse: Vec<Vec<f64>> = of_scaled
            .iter()
            .map(|weights| {
                weights
                    .iter()
                    .zip(&sizes)
                    .map(|(w, size)| w / size)
                    .collect()
            })
            .collect();
        let log_determinant = (0..sizes.len())
            .map(|k| libm::log(qr.r(k, k).abs() / root) + libm::log(sizes[k]))
            .sum();
        Ok(Self {
            columns,
            inverse,
            log_determinant,
        })
    }

    /// Coefficients of y.
    pub(super) fn project(&self, y: &[f64]) -> Vec<f64> {
        let share = |column: &Vec<f64>| {
            let n = y.len() as f64;
            column.iter().zip(y).map(|(c, y)| c * (y / n)).sum()
        };
        self.columns.iter().map(share).collect()
    }

    /// What coefficients make of a row.
    pub(super) fn at(&self, row: usize, coefficients: &[f64]) -> f64 {
        let columns = self.columns.iter();
        columns
            .zip(coefficients)
            .map(|(column, c)| column[row] * c)
            .sum()
    }

    /// Coefficients of the columns given, from those of the basis: `T⁻¹ c`.
    pub(super) fn back(&self, coefficients: &[f64]) -> Vec<f64> {
        (0..self.inverse.len())
            .map(|j| {
                let columns = self.inverse.iter();
                columns
                    .zip(coefficients)
                    .map(|(column, c)| column[j] * c)
                    .sum()
            })
            .collect()
    }

    /// Standard errors of the coefficients given, where those of the basis have the covariance `s² C Cᵀ`; `c` holds the
    /// columns of C.
    pub(super) fn lengths_back(&self, c: &[Vec<f64>], s: f64) -> Vec<f64> {
        let columns: Vec<Vec<f64>> = c.iter().map(|column| self.back(column)).collect();
        (0..self.inverse.len())
            .map(|j| {
                s * columns
                    .iter()
                    .map(|column| column[j] * column[j])
                    .sum::<f64>()
                    .sqrt()
            })
            .collect()
    }

    /// Covariance of the coefficients given, likewise.
    pub(super) fn covariance_back(&self, c: &[Vec<f64>], s: f64) -> Vec<Vec<f64>> {
        let columns: Vec<Vec<f64>> = c.iter().map(|column| self.back(column)).collect();
        let order = self.inverse.len();
        let element = |i: usize, j: usize| {
            s * s
                * columns
                    .iter()
                    .map(|column| column[i] * column[j])
                    .sum::<f64>()
        };
        (0..order)
            .map(|i| (0..order).map(|j| element(i, j)).collect())
            .collect()
    }
}
