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
use super::linalg::{Triangle, cholesky, dot, inverse_upper, solve_lower};
use super::segments::{Bearing, Shop};
use super::table::BearingType;

/// The fixed part and its covariance for given hyperparameters.
#[derive(Debug, Clone)]
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

/// Blocks that one thread whitens; a shop of no more is not worth a second one.
const BLOCKS_IN_A_PART: usize = 64;

/// A block whitened by the Cholesky factor of its covariance.
#[derive(Debug, Default)]
struct White {
    rows: Vec<f64>,
    /// Logarithm of the determinant of the covariance.
    log_det: f64,
}

impl White {
    /// `v` is room for the covariance.
    fn make(&mut self, block: &Block, theta: &Theta, v: &mut Vec<f64>) -> Option<()> {
        let n = block.len();
        block.covariance(theta, v);
        cholesky(v, n)?;
        self.log_det = 2.0 * (0..n).map(|i| libm::log(v[i * n + i])).sum::<f64>();
        self.rows.clone_from(&block.rows);
        solve_lower(v, n, &mut self.rows, block.width());
        Some(())
    }
}

/// All blocks of a shop.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) columns: Columns,
    pub(super) rates: Vec<f64>,
    pub(super) blocks: Vec<Block>,
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
        let block = |bearing: &Bearing| {
            Block::new(bearing, &types[bearing.kind], rates[bearing.kind], &columns)
        };
        let blocks = shop.bearings.iter().map(block).collect();
        Self {
            columns,
            rates,
            blocks,
        }
    }

    /// The same without any reading: what is assumed before there are data.
    pub(super) fn before_data(&self) -> Self {
        Self {
            columns: self.columns.clone(),
            rates: self.rates.clone(),
            blocks: Vec::new(),
        }
    }

    /// `−2 log` marginal likelihood at given hyperparameters; infinite where the arithmetic breaks down.
    ///
    /// Each block is whitened by its Cholesky factor, the prior of `beta` is appended as rows, and the stack is reduced
    /// to a triangle; `X'V⁻¹X` is never formed.
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
        self.reduce_in_parts(theta, BLOCKS_IN_A_PART)
    }

    fn reduce_in_parts(&self, theta: &Theta, in_a_part: usize) -> Option<(f64, Vec<f64>)> {
        let p = self.columns.len();
        let precision = self.columns.root_precision(theta);
        let mut triangle = Triangle::of_diagonal(&precision, p + 1);
        let mut columns = Vec::new();
        let (mut log_det, mut count) = (0.0, 0);
        let mut take_in = |block: &Block, white: &White| {
            log_det += white.log_det;
            columns.clone_from(&block.columns);
            columns.push(p);
            for row in white.rows.chunks_exact(block.width()) {
                triangle.add(&columns, row);
            }
            count += block.len();
        };
        if self.blocks.len() <= in_a_part {
            let (mut v, mut white) = (Vec::new(), White::default());
            for block in &self.blocks {
                white.make(block, theta, &mut v)?;
                take_in(block, &white);
            }
        } else {
            // Blocks are whitened side by side and taken in one after another: the same sums as above, to the last bit.
            std::thread::scope(|scope| {
                let part = |part: &'_ [Block]| {
                    let mut v = Vec::new();
                    let made = part.iter().map(|block| {
                        let mut white = White::default();
                        white.make(block, theta, &mut v)?;
                        Some(white)
                    });
                    made.collect::<Option<Vec<White>>>()
                };
                let parts: Vec<_> = self
                    .blocks
                    .chunks(in_a_part)
                    .map(|blocks| (blocks, scope.spawn(move || part(blocks))))
                    .collect();
                for (blocks, made) in parts {
                    let whites = made
                        .join()
                        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))?;
                    for (block, white) in blocks.iter().zip(&whites) {
                        take_in(block, white);
                    }
                }
                Some(())
            })?;
        }
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
    use crate::wear::tests::cases;

    #[test]
    fn parts_side_by_side_give_the_same_to_the_last_bit() {
        for case in cases() {
            let shop = Shop::new(&case.pool, None, Exposure::Hours).unwrap();
            let model = Model::new(case.pool.types(), &shop).unwrap();
            let whole = model.reduce_in_parts(&Theta::ASSUMED, 1000).unwrap();
            for in_a_part in [1, 4, 7] {
                let parts = model.reduce_in_parts(&Theta::ASSUMED, in_a_part).unwrap();
                assert_eq!(parts, whole, "{}", case.name);
            }
        }
    }
}
