//! The pooled wear-factor model: design, covariance and likelihood.
//!
//! Everything is measured against what a bearing type is expected to wear, `g = rho · h` (µm of expected growth):
//!
//! `y = a0 + X beta + (u_bearing + v_row + w_segment) g + alpha + W(g) + e`
//!
//! with `X beta = f_type g + sum over stands of (gamma_stand + delta_stand,row) g_stand`, normal factors `u, v, w`, a
//! true start `alpha` inside the tolerance of the setting, uneven wear `W` as a Wiener process in `g`, and a reading
//! error `e` of known variance. A degradation path with random coefficients: Lu and Meeker (1993), Technometrics
//! 35(2), 161-174. Bearings are independent given `beta`, which carries a normal prior; that equals random effects of
//! stands that are crossed with the bearings (Bates, Maechler, Bolker and Walker 2015, J. Stat. Software 67(1)).

use super::block::Block;
use super::design::{Columns, Theta, rates_um_per_h};
#[cfg(test)]
use super::forecast::Known;
use super::linalg::{Triangle, dot, inverse_upper};
use super::reduce::{Nest, Part, Stack};
use super::segments::{Bearing, Shop};
use super::table::BearingType;

/// The fixed part and its covariance for given hyperparameters.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Solution {
    pub(super) theta: Theta,
    /// Coefficients; those of the types less their prior mean of 1.
    pub(super) beta: Vec<f64>,
    /// `R⁻¹`: `Cov(beta) = R⁻¹ R⁻ᵀ`.
    root: Vec<f64>,
    pub(super) minus_2l: f64,
}

impl Solution {
    /// `R⁻ᵀ x`: the product of two such is the covariance of the two combinations of `beta`.
    pub(super) fn spread(&self, x: impl Iterator<Item = (usize, f64)>) -> Vec<f64> {
        let p = self.beta.len();
        let mut sum = vec![0.0; p];
        for (column, x) in x {
            for (sum, root) in sum.iter_mut().zip(&self.root[column * p..(column + 1) * p]) {
                *sum += x * root;
            }
        }
        sum
    }

    /// Standard error of a coefficient.
    #[cfg(test)]
    pub(super) fn standard_error(&self, column: usize) -> f64 {
        let spread = self.spread(std::iter::once((column, 1.0)));
        dot(&spread, &spread).sqrt()
    }
}

/// Bearings that are reduced in one go. Parts are worked on side by side; which bearings make a part depends on their
/// number alone, so that the result is the same to the last bit on whatever machine.
const BEARINGS_IN_A_PART: usize = 100;

/// All blocks of a shop.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) columns: Columns,
    pub(super) rates: Vec<f64>,
    pub(super) blocks: Vec<Block>,
    stack: Stack,
    nests: Vec<Nest>,
}

impl Model {
    /// The model of the readings that count; `None` where nothing has grown yet.
    pub(super) fn new(types: &[BearingType], shop: &Shop) -> Option<Self> {
        let rates = rates_um_per_h(types, shop)?;
        Some(Self::with_rates(types, shop, rates))
    }

    /// The same with rates that are known.
    pub(super) fn with_rates(types: &[BearingType], shop: &Shop, rates: Vec<f64>) -> Self {
        let columns = Columns::new(types.len(), shop);
        let stack = Stack::new(&columns, &shop.bearings);
        let of = |bearing: &Bearing| (&types[bearing.kind], rates[bearing.kind]);
        let block = |bearing: &Bearing| {
            let (kind, rate) = of(bearing);
            Block::new(bearing, kind, rate, &columns)
        };
        let nest = |bearing: &Bearing| {
            let (kind, rate) = of(bearing);
            Nest::new(bearing, kind, rate, &stack)
        };
        let blocks = shop.bearings.iter().map(block).collect();
        let nests = shop.bearings.iter().map(nest).collect();
        Self {
            columns,
            rates,
            blocks,
            stack,
            nests,
        }
    }

    /// What a fit of it says, without the readings.
    #[cfg(test)]
    pub(super) fn known<'a>(&'a self, fit: &'a Solution) -> Known<'a> {
        Known {
            columns: &self.columns,
            rates: &self.rates,
            fit,
        }
    }

    /// The same without any reading: what is assumed before there are data.
    pub(super) fn before_data(&self) -> Self {
        Self {
            columns: self.columns.clone(),
            rates: self.rates.clone(),
            blocks: Vec::new(),
            stack: self.stack.clone(),
            nests: Vec::new(),
        }
    }

    /// `−2 log` marginal likelihood at given hyperparameters; infinite where the arithmetic breaks down.
    ///
    /// The readings of each bearing are whitened, the prior of `beta` is appended as rows, and the stack is reduced to a
    /// triangle ([`super::reduce`]); `X'V⁻¹X` is never formed.
    pub(super) fn minus_2l(&self, theta: &Theta) -> f64 {
        self.reduce(theta).map_or(f64::INFINITY, |(value, _)| value)
    }

    /// The fit at given hyperparameters.
    pub(super) fn solve(&self, theta: &Theta) -> Option<Solution> {
        let (minus_2l, r) = self.reduce(theta)?;
        let p = self.columns.len();
        let root = inverse_upper(&r, p, p + 1);
        let rhs: Vec<f64> = (0..p).map(|i| r[i * (p + 1) + p]).collect();
        let beta = root.chunks_exact(p).map(|row| dot(row, &rhs)).collect();
        Some(Solution {
            theta: *theta,
            beta,
            root,
            minus_2l,
        })
    }

    fn reduce(&self, theta: &Theta) -> Option<(f64, Vec<f64>)> {
        self.reduce_in_parts(theta, BEARINGS_IN_A_PART, true)
    }

    fn reduce_in_parts(
        &self,
        theta: &Theta,
        in_a_part: usize,
        is_side_by_side: bool,
    ) -> Option<(f64, Vec<f64>)> {
        let p = self.columns.len();
        let part = |nests: &[Nest]| Part::new(nests, theta, &self.stack);
        let mut chunks = self.nests.chunks(in_a_part);
        let parts: Option<Vec<Part>> = if is_side_by_side {
            std::thread::scope(|scope| {
                // The last part is for this thread: a small shop needs no other.
                let here = chunks.next_back();
                let part = &part;
                let others: Vec<_> = chunks
                    .map(|nests| scope.spawn(move || part(nests)))
                    .collect();
                let here = here.map(part);
                let of_thread = |made: std::thread::ScopedJoinHandle<'_, Option<Part>>| {
                    made.join()
                        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
                };
                others.into_iter().map(of_thread).chain(here).collect()
            })
        } else {
            chunks.map(part).collect()
        };
        let precision = self.columns.root_precision(theta);
        let prior = Triangle::of_diagonal(&precision, p + 1);
        let (triangle, log_det, count) = Part::join(parts?, &self.stack, prior);
        let r = triangle.finish();
        let diagonal = |i: usize| libm::log(r[i * (p + 1) + i].abs());
        let log_r: f64 = (0..p).map(diagonal).sum();
        let log_p: f64 = precision.iter().map(|root| libm::log(*root)).sum();
        let left = r[p * (p + 1) + p];
        let two_pi = libm::log(2.0 * std::f64::consts::PI);
        let minus_2l =
            log_det - 2.0 * log_p + 2.0 * log_r + left * left + f64::from(count as u32) * two_pi;
        minus_2l.is_finite().then_some((minus_2l, r))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wear::counter::Exposure;
    use crate::wear::linalg::{cholesky, solve_lower};
    use crate::wear::tests::cases;

    fn models() -> Vec<(String, Model)> {
        let model = |case: crate::wear::tests::Case| {
            let shop = Shop::new(&case.pool, None, Exposure::Hours).unwrap();
            (
                case.name.to_string(),
                Model::new(case.pool.types(), &shop).unwrap(),
            )
        };
        cases().into_iter().map(model).collect()
    }

    #[test]
    fn parts_side_by_side_give_the_same_to_the_last_bit() {
        for (name, model) in models() {
            for in_a_part in [1, 4, 7, 1000] {
                let parts = |side_by_side| {
                    model
                        .reduce_in_parts(&Theta::ASSUMED, in_a_part, side_by_side)
                        .unwrap()
                };
                assert_eq!(parts(true), parts(false), "{name}");
            }
        }
    }

    /// As the formula stands there: each block whitened by the Cholesky factor of its whole covariance.
    fn by_blocks(model: &Model, theta: &Theta) -> (f64, Vec<f64>) {
        let p = model.columns.len();
        let precision = model.columns.root_precision(theta);
        let mut triangle = Triangle::of_diagonal(&precision, p + 1);
        let (mut value, mut v) = (0.0, Vec::new());
        for block in &model.blocks {
            let n = block.len();
            block.covariance(theta, &mut v);
            cholesky(&mut v, n).unwrap();
            value += 2.0 * (0..n).map(|i| libm::log(v[i * n + i])).sum::<f64>();
            value += n as f64 * libm::log(2.0 * std::f64::consts::PI);
            let mut rows = block.rows.clone();
            solve_lower(&v, n, &mut rows, block.width());
            for row in rows.chunks_exact(block.width()) {
                let mut of_shop = vec![0.0; p + 1];
                for (column, x) in block.columns.iter().chain([&p]).zip(row) {
                    of_shop[*column] = *x;
                }
                triangle.add(&of_shop);
            }
        }
        let r = triangle.finish();
        for (i, root) in precision.iter().enumerate() {
            value += 2.0 * libm::log((r[i * (p + 1) + i] / root).abs());
        }
        (value + r[p * (p + 1) + p].powi(2), r)
    }

    #[test]
    fn factor_by_factor_is_the_same_as_the_whole_covariance() {
        let wide = Theta {
            bearing: 0.9,
            row: 0.01,
            segment: 0.6,
            uneven_um: 30.0,
            stand: 0.02,
            stand_row: 1.5,
        };
        for (name, model) in models() {
            let p = model.columns.len();
            for theta in [Theta::ASSUMED, wide] {
                let (expected, by_blocks) = by_blocks(&model, &theta);
                for in_a_part in [3, BEARINGS_IN_A_PART] {
                    let (value, r) = model.reduce_in_parts(&theta, in_a_part, true).unwrap();
                    assert!((value - expected).abs() < 1e-9 * expected.abs(), "{name}");
                    // The rows of a triangle are known but for their sign.
                    for (row, other) in r.chunks_exact(p + 1).zip(by_blocks.chunks_exact(p + 1)) {
                        let length = dot(other, other).sqrt();
                        let is_turned = dot(row, other) < 0.0;
                        for (a, b) in row.iter().zip(other) {
                            let a = if is_turned { -a } else { *a };
                            assert!((a - b).abs() < 1e-9 * length, "{name}: {a}, {b}");
                        }
                    }
                }
            }
        }
    }
}
