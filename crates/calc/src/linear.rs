//! Small linear algebra: Householder's QR and what is solved with its triangle, in one precision or in two.
//!
//! Method: A. S. Householder, "Unitary triangularization of a nonsymmetric matrix", Journal of the ACM 5 (1958);
//! G. H. Golub, "Numerical methods for solving linear least squares problems", Numerische Mathematik 7 (1965).

mod double;
pub(crate) use double::Double;

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A number to calculate with.
pub(crate) trait Real:
    Copy
    + PartialOrd
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
{
    /// The number of an `f64`.
    fn of(value: f64) -> Self;
    /// Rounded to `f64`.
    fn value(self) -> f64;
    /// Square root.
    fn sqrt(self) -> Self;
}

impl Real for f64 {
    fn of(value: f64) -> Self {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn sqrt(self) -> Self {
        self.sqrt()
    }
}

/// Sum of the products.
pub(crate) fn dot<T: Real>(a: &[T], b: &[T]) -> T {
    a.iter()
        .zip(b)
        .fold(T::of(0.0), |sum, (&a, &b)| sum + a * b)
}

/// A power of two of the size of the largest of the numbers; 1 where all are zero. Dividing by it loses no digit.
pub(crate) fn size_of(values: &[f64]) -> f64 {
    let largest = values.iter().fold(0.0, |most: f64, v| most.max(v.abs()));
    if largest == 0.0 || !largest.is_finite() {
        return 1.0;
    }
    libm::ldexp(1.0, libm::frexp(largest).1 - 1)
}

/// A matrix as product of an orthogonal and an upper triangular one.
pub(crate) struct Qr<T> {
    /// R above the diagonal; on and below it the vectors of the reflections `I - v vᵀ`.
    columns: Vec<Vec<T>>,
    /// The diagonal of R.
    diagonal: Vec<T>,
}

impl<T: Real> Qr<T> {
    /// Of the columns of a matrix; only as many are reflected as there are rows.
    pub(crate) fn of(mut columns: Vec<Vec<T>>) -> Self {
        let zero = T::of(0.0);
        let rows = columns.first().map_or(0, Vec::len);
        let mut diagonal = Vec::with_capacity(columns.len());
        for k in 0..columns.len().min(rows) {
            let (done, waiting) = columns.split_at_mut(k + 1);
            let v = &mut done[k][k..];
            let length = dot(v, v).sqrt();
            if length <= zero {
                diagonal.push(zero);
                continue;
            }
            // The sign that adds up, so that nothing is lost in the difference.
            let reflected = if v[0] > zero { -length } else { length };
            let scale = (length * length - v[0] * reflected).sqrt();
            v[0] = v[0] - reflected;
            for element in v.iter_mut() {
                *element = *element / scale;
            }
            diagonal.push(reflected);
            for column in waiting {
                reflect(v, &mut column[k..]);
            }
        }
        Self { columns, diagonal }
    }

    /// `Qᵀ y`, in place.
    pub(crate) fn turn(&self, y: &mut [T]) {
        for (k, column) in self.columns.iter().enumerate().take(self.diagonal.len()) {
            if self.diagonal[k] != T::of(0.0) {
                reflect(&column[k..], &mut y[k..]);
            }
        }
    }

    /// An element of R.
    pub(crate) fn r(&self, row: usize, column: usize) -> T {
        match row.cmp(&column) {
            std::cmp::Ordering::Less => self.columns[column][row],
            std::cmp::Ordering::Equal => self.diagonal[row],
            std::cmp::Ordering::Greater => T::of(0.0),
        }
    }

    /// `x` of `R x = b`; the diagonal must hold no zero.
    pub(crate) fn solve(&self, b: &[T]) -> Vec<T> {
        let order = self.diagonal.len();
        let mut x = b[..order].to_vec();
        for row in (0..order).rev() {
            let known = ((row + 1)..order).fold(x[row], |rest, j| rest - self.r(row, j) * x[j]);
            x[row] = known / self.diagonal[row];
        }
        x
    }

    /// The columns of `R⁻¹`.
    pub(crate) fn inverse(&self) -> Vec<Vec<T>> {
        let order = self.diagonal.len();
        let unit = |one: usize| (0..order).map(move |i| T::of(if i == one { 1.0 } else { 0.0 }));
        (0..order)
            .map(|k| self.solve(&unit(k).collect::<Vec<_>>()))
            .collect()
    }

    /// The first column that the ones before it make up to within this share of its length.
    pub(crate) fn dependent(&self, share: f64) -> Option<usize> {
        (0..self.columns.len()).find(|&column| {
            let all = (0..=column.min(self.diagonal.len().saturating_sub(1)))
                .map(|row| self.r(row, column).value())
                .fold(0.0, |sum, r| sum + r * r);
            let own = self.diagonal.get(column).map_or(0.0, |r| r.value().abs());
            own <= share * all.sqrt()
        })
    }
}

fn reflect<T: Real>(v: &[T], y: &mut [T]) {
    let along = dot(v, y);
    for (y, &v) in y.iter_mut().zip(v) {
        *y = *y - along * v;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn columns<T: Real>() -> Vec<Vec<T>> {
        [[1.0, 1.0, 1.0, 1.0], [1.0, 2.0, 4.0, 7.0]]
            .map(|column| column.map(T::of).to_vec())
            .to_vec()
    }

    /// R is the Cholesky factor of XᵀX up to signs: 4, 14, 70.
    #[test]
    fn the_triangle_squares_to_the_products_of_the_columns() {
        let qr = Qr::<f64>::of(columns());
        let product = |a: usize, b: usize| (0..2).map(|k| qr.r(k, a) * qr.r(k, b)).sum::<f64>();
        for ((a, b), expected) in [((0, 0), 4.0), ((0, 1), 14.0), ((1, 1), 70.0)] {
            assert!((product(a, b) - expected).abs() < 1e-13, "{a} {b}");
        }
        assert_eq!(qr.dependent(1e-12), None);
        let mut same = columns::<f64>();
        same.push(vec![3.0, 4.0, 6.0, 9.0]); // twice the first plus the second
        assert_eq!(Qr::of(same).dependent(1e-12), Some(2));
    }

    #[test]
    fn a_line_is_found_again_in_both_precisions() {
        fn off<T: Real>() -> f64 {
            let qr = Qr::<T>::of(columns());
            let mut y = [4.0, 7.0, 13.0, 22.0].map(T::of); // 1 + 3 x
            qr.turn(&mut y);
            let found = qr.solve(&y);
            let off = [found[0] - T::of(1.0), found[1] - T::of(3.0), y[2], y[3]];
            off.iter().fold(0.0, |most, o| o.value().abs().max(most))
        }
        assert!(off::<f64>() < 1e-13);
        assert!(off::<Double>() < 1e-28);
    }

    #[test]
    fn the_inverse_of_the_triangle_gives_one() {
        let qr = Qr::<f64>::of(columns());
        let inverse = qr.inverse();
        for (i, j, one) in [(0, 0, 1.0), (0, 1, 0.0), (1, 0, 0.0), (1, 1, 1.0)] {
            let product: f64 = (0..2).map(|k| qr.r(i, k) * inverse[j][k]).sum();
            assert!((product - one).abs() < 1e-14, "{i} {j}");
        }
    }

    #[test]
    fn a_size_is_a_power_of_two() {
        for (values, size) in [(vec![3.0, -5.0], 4.0), (vec![0.0], 1.0), (vec![0.3], 0.25)] {
            assert_eq!(size_of(&values), size);
        }
        assert_eq!(size_of(&[5e-324]), 5e-324);
    }
}
