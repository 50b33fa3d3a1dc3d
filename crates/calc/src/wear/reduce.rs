//! The readings of a shop brought down to one triangle, factor by factor: what a fit is made of many hundred times.
//!
//! The covariance of a bearing is nested: a Wiener process and reading errors within a row segment, then one factor of the
//! expected growth `g` for the segment, one for its row pair, one for the bearing. Each of them multiplies the very column
//! that the type's factor has in the design, and this is used at each step. What is left of the readings is always rows of
//! unit variance that are independent of each other; no step changes the likelihood.
//!
//! 1. *Segment, without its factor*: `V₀ = s² I + th min(g_i, g_j) + var(alpha) 1 1'`. With the true clearance as state
//!    (variance `var(alpha)` at the setting, `th Δg` more from one reading to the next) the prediction errors of each column
//!    divided by their standard deviations are `C⁻¹` times that column, `C C' = V₀`, and the determinant is the product of
//!    their variances (the Kalman filter of a random walk; memory): `n` steps in place of `n³/3`.
//! 2. *QR* of those columns with `g` in front: one row with a number under `g`, say `r`, and rows with none.
//! 3. *Factor of the segment*, `w ~ N(0, s²)`, adds `w` times the column `g`. Only that one row knows of it: its variance is
//!    `1 + s² r²` instead of 1. Dividing it by the root of that makes it a row of unit variance; `|V₀ + s² g g'| = |V₀| (1 + s²
//!    g' V₀⁻¹ g)` and `g' V₀⁻¹ g = r²`.
//! 4. *Factor of the row pair*: the one row of each of its segments is turned against that of the next (Givens) until one of
//!    them has all that stands under `g`. The same division, with the spread of row pairs.
//! 5. *Factor of the bearing*: the same with the one row of each row pair and the spread of bearings.
//!
//! Rows without `g` know no type and no bearing: those of a row pair are functions of `gamma_s + delta_s,row` alone, and
//! gather in a triangle of as many columns as there are stands. Only one row of each row pair of a bearing meets the
//! columns of the whole shop.

use super::design::{Columns, Theta};
use super::linalg::{Triangle, triangulate};
use super::segments::{Bearing, RowSegment};
use super::table::BearingType;

/// A row segment as the reduction takes it.
#[derive(Debug, Clone)]
struct Stretch {
    /// Stands it ran in.
    stands: Vec<usize>,
    /// Rows of `g`, `g` of each of those stands, and `z = y − a0 − g`, in the order of growth.
    rows: Vec<f64>,
    /// Variance of each reading, µm².
    variances: Vec<f64>,
    /// Variance of the true start, µm².
    start_variance: f64,
}

impl Stretch {
    fn new(segment: &RowSegment, kind: &BearingType, rate: f64) -> Self {
        let mut used: Vec<_> = segment.used().collect();
        used.sort_by(|a, b| a.h.total_cmp(&b.h));
        let run = used.iter().flat_map(|obs| &obs.stand_h);
        let mut stands: Vec<usize> = run.map(|(stand, _)| *stand).collect();
        stands.sort_unstable();
        stands.dedup();
        let mut rows = Vec::with_capacity(used.len() * (stands.len() + 2));
        for obs in &used {
            let g = rate * obs.h;
            rows.push(g);
            for stand in &stands {
                let hours = obs.stand_h.iter().find(|(run, _)| run == stand);
                rows.push(hours.map_or(0.0, |(_, h)| rate * h));
            }
            rows.push(obs.y_um - segment.start_um(kind) - g);
        }
        Self {
            stands,
            rows,
            variances: used.iter().map(|obs| obs.variance).collect(),
            start_variance: segment.start_variance(kind),
        }
    }

    /// Step 1: the columns of unit variance, one after another; `false` where a variance is none.
    fn whiten(&self, uneven_um: f64, room: &mut Room) -> bool {
        let (n, k) = (self.variances.len(), self.stands.len() + 2);
        room.white.clear();
        room.white.resize(n * k, 0.0);
        room.state.clear();
        room.state.resize(k, 0.0);
        let mut variance = self.start_variance;
        let mut g_before = 0.0;
        for (i, (row, own)) in self.rows.chunks_exact(k).zip(&self.variances).enumerate() {
            variance += uneven_um * (row[0] - g_before);
            g_before = row[0];
            let of_error = variance + own;
            if of_error <= 0.0 || !of_error.is_finite() {
                return false;
            }
            room.determinant.times(of_error);
            let gain = variance / of_error;
            let by_deviation = 1.0 / of_error.sqrt();
            let to = room.white[i..].iter_mut().step_by(n);
            for ((x, state), white) in row.iter().zip(&mut room.state).zip(to) {
                let error = x - *state;
                *state += gain * error;
                *white = error * by_deviation;
            }
            variance = own * gain;
        }
        true
    }
}

/// The readings of one bearing, by row pairs.
#[derive(Debug, Clone)]
pub(super) struct Nest {
    kind: usize,
    /// Place among the row pairs of the shop, and its segments.
    rows: Vec<(usize, Vec<Stretch>)>,
}

impl Nest {
    pub(super) fn new(bearing: &Bearing, kind: &BearingType, rate: f64, stack: &Stack) -> Self {
        let rows = stack.row_pairs.iter().enumerate().map(|(at, row_pair)| {
            let of_row = bearing.segments.iter();
            let of_row = of_row.filter(|s| s.row_pair == *row_pair && s.used().next().is_some());
            let stretches = of_row.map(|segment| Stretch::new(segment, kind, rate));
            (at, stretches.collect::<Vec<_>>())
        });
        Self {
            kind: bearing.kind,
            rows: rows.filter(|(_, of_row)| !of_row.is_empty()).collect(),
        }
    }
}

/// Where the numbers of a row stand in the shop's triangle.
#[derive(Debug, Clone)]
pub(super) struct Stack {
    row_pairs: Vec<u32>,
    /// For each row pair and stand: column of the stand, and of the row pair in it.
    places: Vec<Vec<(usize, Option<usize>)>>,
    width: usize,
}

impl Stack {
    pub(super) fn new(columns: &Columns, bearings: &[Bearing]) -> Self {
        let segments = bearings.iter().flat_map(|bearing| &bearing.segments);
        let mut row_pairs: Vec<u32> = segments.map(|segment| segment.row_pair).collect();
        row_pairs.sort_unstable();
        row_pairs.dedup();
        let places = |row_pair: &u32| {
            (0..columns.stands)
                .map(|stand| (columns.stand(stand), columns.pair(stand, *row_pair)))
                .collect()
        };
        Self {
            places: row_pairs.iter().map(places).collect(),
            row_pairs,
            width: columns.len() + 1,
        }
    }

    /// A row of `g`, the stands and `z` of a row pair in the columns of the shop.
    fn spread(&self, at: usize, kind: Option<usize>, row: &[f64], to: &mut [f64]) {
        to.fill(0.0);
        if let Some(kind) = kind {
            to[kind] = row[0];
        }
        for ((stand, pair), x) in self.places[at].iter().zip(&row[1..]) {
            to[*stand] = *x;
            if let Some(pair) = pair {
                to[*pair] = *x;
            }
        }
        to[self.width - 1] = row[row.len() - 1];
    }
}

/// Some bearings of a shop, reduced.
#[derive(Debug, Clone)]
pub(super) struct Part {
    log_det: f64,
    readings: usize,
    shop: Triangle,
    /// Rows without a type, by row pair: its stands, and `z`.
    rows: Vec<Triangle>,
}

impl Part {
    /// `None` where a variance is none.
    pub(super) fn new(nests: &[Nest], theta: &Theta, stack: &Stack) -> Option<Self> {
        let stands = stack.places.first().map_or(0, Vec::len);
        let mut part = Self {
            log_det: 0.0,
            readings: 0,
            shop: Triangle::of_diagonal(&[], stack.width),
            rows: vec![Triangle::of_diagonal(&[], stands + 1); stack.row_pairs.len()],
        };
        let mut room = Room::default();
        for nest in nests {
            part.take_in(nest, theta, stack, &mut room)?;
        }
        part.log_det = room.determinant.log();
        Some(part)
    }

    fn take_in(
        &mut self,
        nest: &Nest,
        theta: &Theta,
        stack: &Stack,
        room: &mut Room,
    ) -> Option<()> {
        let mut of_bearing = std::mem::take(&mut room.of_bearing);
        let mut has_lead = false;
        for (at, stretches) in &nest.rows {
            self.take_in_row(*at, stretches, theta, room)?;
            room.shop_row.resize(stack.width, 0.0);
            stack.spread(*at, Some(nest.kind), &room.of_row, &mut room.shop_row);
            if has_lead {
                turn(&mut of_bearing, &mut room.shop_row, nest.kind);
                self.shop.add(&room.shop_row);
            } else {
                of_bearing.clone_from(&room.shop_row);
                has_lead = true;
            }
        }
        if has_lead {
            let r = of_bearing[nest.kind];
            room.determinant.divide(&mut of_bearing, r, theta.bearing);
            self.shop.add(&of_bearing);
        }
        room.of_bearing = of_bearing;
        Some(())
    }

    /// Steps 1 to 4 of a row pair; its one row with `g` is left in `room.of_row`.
    fn take_in_row(
        &mut self,
        at: usize,
        stretches: &[Stretch],
        theta: &Theta,
        room: &mut Room,
    ) -> Option<()> {
        let width = self.rows[at].width() + 1;
        let mut of_row = std::mem::take(&mut room.of_row);
        of_row.clear();
        of_row.resize(width, 0.0);
        let mut row = std::mem::take(&mut room.row);
        for (number, stretch) in stretches.iter().enumerate() {
            let (n, k) = (stretch.variances.len(), stretch.stands.len() + 2);
            self.readings += n;
            stretch.whiten(theta.uneven_um, room).then_some(())?;
            triangulate(&mut room.white, n, k);
            for i in 0..n.min(k) {
                row.clear();
                row.resize(width, 0.0);
                row[0] = if i == 0 { room.white[0] } else { 0.0 };
                // Below the triangle stands what is of no use.
                for (j, stand) in stretch.stands.iter().enumerate().skip(i.max(1) - 1) {
                    row[1 + stand] = room.white[(1 + j) * n + i];
                }
                row[width - 1] = room.white[(k - 1) * n + i];
                if i > 0 {
                    self.rows[at].add(&row[1..]);
                    continue;
                }
                let r = row[0];
                room.determinant.divide(&mut row, r, theta.segment);
                if number == 0 {
                    of_row.copy_from_slice(&row);
                } else {
                    turn(&mut of_row, &mut row, 0);
                    self.rows[at].add(&row[1..]);
                }
            }
        }
        let r = of_row[0];
        room.determinant.divide(&mut of_row, r, theta.row);
        room.of_row = of_row;
        room.row = row;
        Some(())
    }

    /// Parts one after another upon a triangle of the shop: the triangle, `log |V|`, and how many readings there are.
    pub(super) fn join(parts: Vec<Self>, stack: &Stack, upon: Triangle) -> (Triangle, f64, usize) {
        let mut shop = upon;
        let (mut log_det, mut readings) = (0.0, 0);
        let mut row = vec![0.0; stack.width];
        for part in parts {
            log_det += part.log_det;
            readings += part.readings;
            let of_shop = part.shop.finish();
            for r in of_shop.chunks_exact(stack.width) {
                shop.add(r);
            }
            for (at, of_row) in part.rows.into_iter().enumerate() {
                let width = of_row.width();
                let mut of_row_pair = vec![0.0; width + 1];
                for r in of_row.finish().chunks_exact(width) {
                    of_row_pair[1..].copy_from_slice(r);
                    stack.spread(at, None, &of_row_pair, &mut row);
                    shop.add(&row);
                }
            }
        }
        (shop, log_det, readings)
    }
}

/// Room for what one segment after another needs.
#[derive(Default)]
struct Room {
    white: Vec<f64>,
    state: Vec<f64>,
    row: Vec<f64>,
    of_row: Vec<f64>,
    shop_row: Vec<f64>,
    of_bearing: Vec<f64>,
    determinant: Determinant,
}

/// A product of many variances; its logarithm is taken where it gets too large or too small, not at each.
struct Determinant {
    log: f64,
    product: f64,
}

impl Default for Determinant {
    fn default() -> Self {
        Self {
            log: 0.0,
            product: 1.0,
        }
    }
}

impl Determinant {
    fn times(&mut self, variance: f64) {
        self.product *= variance;
        if !(1e-100..1e100).contains(&self.product) {
            self.log = self.log();
            self.product = 1.0;
        }
    }

    /// A row whose variance is `1 + spread² r²` becomes one of unit variance.
    fn divide(&mut self, row: &mut [f64], r: f64, spread: f64) {
        let variance = 1.0 + spread * spread * r * r;
        self.times(variance);
        let by_deviation = 1.0 / variance.sqrt();
        for x in row {
            *x *= by_deviation;
        }
    }

    fn log(&self) -> f64 {
        self.log + libm::log(self.product)
    }
}

/// Turns two rows against each other until the second has nothing under `at`.
fn turn(lead: &mut [f64], row: &mut [f64], at: usize) {
    let (a, b) = (lead[at], row[at]);
    if b == 0.0 {
        return;
    }
    let length = (a * a + b * b).sqrt();
    let (cos, sin) = (a / length, b / length);
    for (x, y) in lead.iter_mut().zip(row.iter_mut()) {
        (*x, *y) = (cos * *x + sin * *y, cos * *y - sin * *x);
    }
    row[at] = 0.0;
}
