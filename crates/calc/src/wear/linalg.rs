//! The little dense algebra that the wear model needs: Cholesky factor, triangular solves, and a triangle that takes
//! rows one block at a time (Householder reflections). Matrices are rows one after another in a plain slice.
//!
//! Source: textbook algorithms (Golub and Van Loan, Matrix Computations; from memory); the tests multiply back.

/// Rows that wait before they are reflected into a [`Triangle`]: enough that the work is done in long loops.
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
    if k == 1 {
        for i in 0..n {
            let row = &factor[i * n..=i * n + i];
            b[i] = (b[i] - dot(&row[..i], &b[..i])) / row[i];
        }
        return;
    }
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
    /// Rows not yet taken in, column by column.
    waiting: Vec<f64>,
    rows_waiting: usize,
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
            waiting: vec![0.0; WAITING_ROWS * n],
            rows_waiting: 0,
        }
    }

    /// Numbers in a row.
    pub(super) fn width(&self) -> usize {
        self.n
    }

    /// Adds a row.
    pub(super) fn add(&mut self, row: &[f64]) {
        let columns = self.waiting.chunks_exact_mut(WAITING_ROWS);
        for (column, value) in columns.zip(row) {
            column[self.rows_waiting] = *value;
        }
        self.rows_waiting += 1;
        if self.rows_waiting == WAITING_ROWS {
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
        let rows = self.rows_waiting;
        self.rows_waiting = 0;
        for column in 0..self.n {
            let (before, after) = self.waiting.split_at_mut((column + 1) * WAITING_ROWS);
            let own = &before[column * WAITING_ROWS..][..rows];
            let top = &mut self.r[column * self.n + column..(column + 1) * self.n];
            let Some(mirror) = Mirror::new(&mut top[0], own) else {
                continue;
            };
            for (r, other) in top[1..]
                .iter_mut()
                .zip(after.chunks_exact_mut(WAITING_ROWS))
            {
                mirror.reflect(own, r, &mut other[..rows]);
            }
        }
    }
}

/// Householder reflection `1 − 2 v v'/(v'v)` that takes a column to its first number, `v` being (`head`, the rest of the
/// column).
struct Mirror {
    head: f64,
    scale: f64,
}

impl Mirror {
    /// `None` where there is nothing to take away.
    fn new(pivot: &mut f64, rest: &[f64]) -> Option<Self> {
        let below = dot(rest, rest);
        if below == 0.0 {
            return None;
        }
        let length = (*pivot * *pivot + below).sqrt();
        let new_pivot = if *pivot > 0.0 { -length } else { length };
        let head = *pivot - new_pivot;
        *pivot = new_pivot;
        Some(Self {
            head,
            scale: 2.0 / (head * head + below),
        })
    }

    /// Another column: its first number, and the rest.
    fn reflect(&self, v: &[f64], first: &mut f64, rest: &mut [f64]) {
        let factor = -self.scale * (self.head * *first + dot(v, rest));
        *first += factor * self.head;
        add_scaled(rest, factor, v);
    }
}

/// Upper triangle of the QR factors of `k` columns of `n` numbers, in place; what stands below it is of no use.
pub(super) fn triangulate(columns: &mut [f64], n: usize, k: usize) {
    for column in 0..k.min(n) {
        let (before, after) = columns.split_at_mut((column + 1) * n);
        let (pivot, own) = before[column * n + column..].split_at_mut(1);
        let Some(mirror) = Mirror::new(&mut pivot[0], own) else {
            continue;
        };
        for other in after.chunks_exact_mut(n) {
            let (first, rest) = other[column..].split_at_mut(1);
            mirror.reflect(own, &mut first[0], rest);
        }
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
            let mut row: Vec<f64> = (0..n).map(|c| libm::sin((k * 7 + c * 3) as f64)).collect();
            row[(k + 1) % 2] = 0.0;
            triangle.add(&row);
            for (a, x) in row.iter().enumerate() {
                for (b, y) in row.iter().enumerate() {
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
    #[test]
    fn triangulated_columns_keep_their_products() {
        for (n, k) in [(1, 3), (3, 5), (5, 5), (9, 4)] {
            let of = |i: usize, j: usize| libm::sin((i * 5 + j * 11 + 1) as f64);
            let mut columns: Vec<f64> = (0..n * k).map(|at| of(at % n, at / n)).collect();
            // A column of nothing, as that of a bearing that has not run.
            columns[..n].fill(0.0);
            let given = columns.clone();
            triangulate(&mut columns, n, k);
            for a in 0..k {
                for b in a..k {
                    let product = dot(&given[a * n..(a + 1) * n], &given[b * n..(b + 1) * n]);
                    let back: f64 = (0..n.min(a + 1))
                        .map(|i| columns[a * n + i] * columns[b * n + i])
                        .sum();
                    assert_near(back, product);
                }
            }
        }
    }
}
