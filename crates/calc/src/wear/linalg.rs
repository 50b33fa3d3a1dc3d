//! The little dense algebra that the wear model needs: Cholesky factor, triangular solves, and a triangle that takes
//! rows one block at a time (Householder reflections). Matrices are rows one after another in a plain slice.
//!
//! Source: textbook algorithms (Golub and Van Loan, Matrix Computations; from memory); the tests multiply back.

/// Rows that wait before they are rotated into a [`Triangle`]: enough that the work is done in long loops.
const WAITING_ROWS: usize = 64;

/// Sum of the products; four sums side by side, in a fixed order, so that it is fast and repeats to the last bit.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4
        .remainder()
        .iter()
        .zip(b4.remainder())
        .map(|(x, y)| x * y)
        .sum();
    let mut sums = [0.0; 4];
    for (x, y) in a4.zip(b4) {
        for k in 0..4 {
            sums[k] += x[k] * y[k];
        }
    }
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}

/// `to += factor · of`.
fn add_scaled(to: &mut [f64], factor: f64, of: &[f64]) {
    for (to, of) in to.iter_mut().zip(of) {
        *to += factor * of;
    }
}

/// Cholesky factor `L` of a symmetric positive definite matrix (`n` rows; the lower half is read and overwritten).
///
/// `None` where the matrix is not positive definite.
pub(super) fn cholesky(matrix: &mut [f64], n: usize) -> Option<()> {
    for i in 0..n {
        let (above, rest) = matrix.split_at_mut(i * n);
        let row = &mut rest[..n];
        for j in 0..i {
            let upper = &above[j * n..=j * n + j];
            row[j] = (row[j] - dot(&row[..j], &upper[..j])) / upper[j];
        }
        let square = row[i] - dot(&row[..i], &row[..i]);
        if square <= 0.0 || !square.is_finite() {
            return None;
        }
        row[i] = square.sqrt();
    }
    Some(())
}

/// Solves `L w = b` in place for `k` right-hand sides at once (`b` has `n` rows of `k` numbers).
pub(super) fn solve_lower(factor: &[f64], n: usize, b: &mut [f64], k: usize) {
    for i in 0..n {
        let (above, rest) = b.split_at_mut(i * k);
        let row = &mut rest[..k];
        for j in 0..i {
            add_scaled(row, -factor[i * n + j], &above[j * k..(j + 1) * k]);
        }
        let pivot = factor[i * n + i];
        for x in row {
            *x /= pivot;
        }
    }
}

/// Solves `L' w = b` in place for one right-hand side.
pub(super) fn solve_lower_transposed(factor: &[f64], n: usize, b: &mut [f64]) {
    for i in (0..n).rev() {
        b[i] /= factor[i * n + i];
        let (before, at) = b.split_at_mut(i);
        add_scaled(before, -at[0], &factor[i * n..i * n + i]);
    }
}

/// Inverse of a matrix from its Cholesky factor.
pub(super) fn inverse(factor: &[f64], n: usize) -> Vec<f64> {
    let mut whole = vec![0.0; n * n];
    for i in 0..n {
        whole[i * n + i] = 1.0;
    }
    solve_lower(factor, n, &mut whole, n);
    // Rows of L⁻¹ stand in `whole`: V⁻¹ = L⁻ᵀ L⁻¹.
    let lower = whole.clone();
    whole.fill(0.0);
    for row in lower.chunks_exact(n) {
        for (i, x) in row.iter().enumerate().filter(|(_, x)| **x != 0.0) {
            add_scaled(&mut whole[i * n..(i + 1) * n], *x, row);
        }
    }
    whole
}

/// Upper triangle `R` of the QR factors of all rows added so far.
#[derive(Debug, Clone)]
pub(super) struct Triangle {
    n: usize,
    r: Vec<f64>,
    waiting: Vec<f64>,
    products: Vec<f64>,
}

impl Triangle {
    /// A triangle of `n` columns that holds the rows of a diagonal matrix.
    pub(super) fn of_diagonal(diagonal: &[f64], n: usize) -> Self {
        let mut r = vec![0.0; n * n];
        for (i, value) in diagonal.iter().enumerate() {
            r[i * n + i] = *value;
        }
        Self {
            n,
            r,
            waiting: Vec::with_capacity(WAITING_ROWS * n),
            products: vec![0.0; n],
        }
    }

    /// Adds a row whose numbers belong to the columns named; all others are 0.
    pub(super) fn add(&mut self, columns: &[usize], row: &[f64]) {
        let start = self.waiting.len();
        self.waiting.resize(start + self.n, 0.0);
        for (column, value) in columns.iter().zip(row) {
            self.waiting[start + column] = *value;
        }
        if self.waiting.len() == WAITING_ROWS * self.n {
            self.take_in();
        }
    }

    /// The rows of `R`.
    pub(super) fn finish(mut self) -> Vec<f64> {
        self.take_in();
        self.r
    }

    /// Reflects the waiting rows into the triangle, column by column.
    fn take_in(&mut self) {
        let n = self.n;
        for column in 0..n {
            let below: f64 = self
                .waiting
                .chunks_exact(n)
                .map(|row| row[column] * row[column])
                .sum();
            if below == 0.0 {
                continue;
            }
            let pivot = self.r[column * n + column];
            let length = (pivot * pivot + below).sqrt();
            let new_pivot = if pivot > 0.0 { -length } else { length };
            let head = pivot - new_pivot;
            // v = (head, waiting column); H = 1 − 2 v v'/(v'v).
            let scale = 2.0 / (head * head + below);
            let products = &mut self.products[column + 1..];
            let top = &mut self.r[column * n + column..(column + 1) * n];
            top[0] = new_pivot;
            for (product, r) in products.iter_mut().zip(&top[1..]) {
                *product = head * r;
            }
            for row in self.waiting.chunks_exact(n) {
                add_scaled(products, row[column], &row[column + 1..]);
            }
            add_scaled(&mut top[1..], -scale * head, products);
            for row in self.waiting.chunks_exact_mut(n) {
                let factor = -scale * row[column];
                add_scaled(&mut row[column + 1..], factor, products);
            }
        }
        self.waiting.clear();
    }
}

/// Inverse of an upper triangle of `n` columns standing in rows of `stride` numbers.
pub(super) fn inverse_upper(r: &[f64], n: usize, stride: usize) -> Vec<f64> {
    let mut inverse = vec![0.0; n * n];
    for i in (0..n).rev() {
        let (head, below) = inverse.split_at_mut((i + 1) * n);
        let row = &mut head[i * n..];
        row[i] = 1.0;
        for j in i + 1..n {
            add_scaled(
                row,
                -r[i * stride + j],
                &below[(j - i - 1) * n..(j - i) * n],
            );
        }
        let pivot = r[i * stride + i];
        for x in row {
            *x /= pivot;
        }
    }
    inverse
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A positive definite matrix without symmetry of its numbers.
    fn matrix(n: usize) -> Vec<f64> {
        let entry = |i: usize, j: usize| 1.0 / (1.0 + i as f64 + 2.0 * j as f64);
        let mut v = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..n {
                v[i * n + j] = (0..n).map(|k| entry(i, k) * entry(j, k)).sum::<f64>()
                    + if i == j { 0.5 } else { 0.0 };
            }
        }
        v
    }

    fn assert_near(a: f64, b: f64) {
        assert!((a - b).abs() < 1e-12 * (1.0 + b.abs()), "{a} {b}");
    }

    #[test]
    fn the_factor_multiplies_back_and_the_inverse_inverts() {
        for n in [1, 2, 5, 11] {
            let v = matrix(n);
            let mut l = v.clone();
            cholesky(&mut l, n).unwrap();
            let inverse = inverse(&l, n);
            for i in 0..n {
                for j in 0..n {
                    let product: f64 = (0..=i.min(j)).map(|k| l[i * n + k] * l[j * n + k]).sum();
                    assert_near(product, v[i * n + j]);
                    let one: f64 = (0..n).map(|k| v[i * n + k] * inverse[k * n + j]).sum();
                    assert_near(one, f64::from(u8::from(i == j)));
                }
            }
            // L' x = b and L x = b
            let b: Vec<f64> = (0..n).map(|i| i as f64 - 1.5).collect();
            let mut x = b.clone();
            solve_lower(&l, n, &mut x, 1);
            solve_lower_transposed(&l, n, &mut x);
            for i in 0..n {
                let back: f64 = (0..n).map(|k| v[i * n + k] * x[k]).sum();
                assert_near(back, b[i]);
            }
        }
    }

    #[test]
    fn a_matrix_that_is_not_positive_definite_has_no_factor() {
        assert_eq!(cholesky(&mut [1.0, 2.0, 2.0, 1.0], 2), None);
        assert_eq!(cholesky(&mut [f64::NAN], 1), None);
    }

    #[test]
    fn the_triangle_of_many_rows_has_their_products() {
        let n = 5;
        let prior = [0.3, 0.7, 1.1];
        let mut triangle = Triangle::of_diagonal(&prior, n);
        let mut products = vec![0.0; n * n];
        for (i, value) in prior.iter().enumerate() {
            products[i * n + i] = value * value;
        }
        for k in 0..3 * WAITING_ROWS + 7 {
            let columns = [k % 2, 2, 3, 4];
            let row: Vec<f64> = (0..4).map(|c| libm::sin((k * 7 + c * 3) as f64)).collect();
            triangle.add(&columns, &row);
            for (a, x) in columns.iter().zip(&row) {
                for (b, y) in columns.iter().zip(&row) {
                    products[a * n + b] += x * y;
                }
            }
        }
        let r = triangle.finish();
        for i in 0..n {
            for j in i..n {
                let back: f64 = (0..=i).map(|k| r[k * n + i] * r[k * n + j]).sum();
                assert_near(back, products[i * n + j]);
            }
        }
        let inverse = inverse_upper(&r, 4, n);
        for i in 0..4 {
            for j in 0..4 {
                let one: f64 = (i..4).map(|k| r[i * n + k] * inverse[k * 4 + j]).sum();
                assert_near(one, f64::from(u8::from(i == j)));
            }
        }
    }
}
