//! Stands and their row pairs against each other.
//!
//! The model is fitted again with hardly any prior on stands, so that a contrast shows what was worn there and nothing
//! else; all contrasts are tested together (Holm 1979, memory), and shown with Bonferroni intervals so that display
//! and test agree.

use super::design::{Columns, Theta};
use super::linalg::dot;
use super::model::{Model, Solution};
use super::student;

/// A difference below this part of the expected wear is not worth a word (assumed).
pub const RELEVANT: f64 = 0.2;
/// Together all contrasts are wrong at most this often.
const ERROR: f64 = 0.05;

/// A stand or a row pair of it against the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Contrast {
    /// The stand.
    pub stand: String,
    /// The row pair against the other rows in that stand; `None`: the stand against the other stands.
    pub row_pair: Option<u32>,
    /// Wear beyond the others, as a part of the expected wear.
    pub effect: f64,
    /// Its standard error.
    pub standard_error: f64,
    /// Interval that holds for all contrasts together with 95 %.
    pub interval: (f64, f64),
    /// Probability of such a difference by chance, all contrasts counted.
    pub p_holm: f64,
    /// Degrees of freedom of its standard error.
    pub degrees: u32,
    /// Wear there by wear at the others, for the words of a report; `None` where the others do not wear.
    pub ratio: Option<f64>,
}

impl Contrast {
    /// Real and large enough to speak of.
    pub fn is_reported(&self) -> bool {
        self.p_holm < ERROR && self.effect.abs() > RELEVANT
    }

    /// Real, large, and faster: a reason to look for the cause.
    pub fn is_alarm(&self) -> bool {
        self.is_reported() && self.effect > 0.0
    }
}

/// All contrasts: by stand first its row pairs, then the stand itself.
pub(super) fn all(
    model: &Model,
    theta: &Theta,
    stands: &[String],
    degrees: u32,
) -> Option<Vec<Contrast>> {
    let weak = Theta {
        stand: 1.0,
        stand_row: 1.0,
        ..*theta
    };
    let fit = model.solve(&weak)?;
    let mut contrasts = Vec::new();
    for (stand, name) in stands.iter().enumerate() {
        let rows = rows_of(&model.columns, stand);
        if rows.is_empty() {
            continue;
        }
        if rows.len() > 1 {
            for &row in &rows {
                let others = rows.iter().filter(|other| **other != row);
                let weights = others.map(|other| (*other, -1.0 / (rows.len() - 1) as f64));
                let own = std::iter::once((row, 1.0));
                let pair = model.columns.pairs[row - model.columns.stand(stands.len())].1;
                let weights: Vec<(usize, f64)> = own.chain(weights).collect();
                // Level of the others in this stand: type mean 1, stand, and the rows without this one.
                let base = 1.0 + fit.beta[model.columns.stand(stand)]
                    - weights[1..]
                        .iter()
                        .map(|(column, w)| w * fit.beta[*column])
                        .sum::<f64>();
                contrasts.push(contrast(&fit, name, Some(pair), &weights, base, degrees));
            }
        }
        let others: Vec<usize> = (0..stands.len())
            .filter(|other| *other != stand && !rows_of(&model.columns, *other).is_empty())
            .collect();
        if others.is_empty() {
            continue;
        }
        let mut weights = level(&model.columns, stand, 1.0);
        let own = weights.len();
        for other in &others {
            weights.extend(level(&model.columns, *other, -1.0 / others.len() as f64));
        }
        let base = 1.0
            - weights[own..]
                .iter()
                .map(|(column, w)| w * fit.beta[*column])
                .sum::<f64>();
        contrasts.push(contrast(&fit, name, None, &weights, base, degrees));
    }
    judge(&mut contrasts);
    Some(contrasts)
}

/// Columns of the row pairs of a stand.
fn rows_of(columns: &Columns, stand: usize) -> Vec<usize> {
    let of = |pair: &&(usize, u32)| pair.0 == stand;
    let rows = columns.pairs.iter().filter(of).map(|(_, row)| *row);
    rows.filter_map(|row| columns.pair(stand, row)).collect()
}

/// Level of a stand, times a weight: its own column and the mean of its row pairs.
fn level(columns: &Columns, stand: usize, weight: f64) -> Vec<(usize, f64)> {
    let rows = rows_of(columns, stand);
    let part = weight / rows.len() as f64;
    let rows = rows.into_iter().map(|row| (row, part));
    std::iter::once((columns.stand(stand), weight))
        .chain(rows)
        .collect()
}

fn contrast(
    fit: &Solution,
    stand: &str,
    row_pair: Option<u32>,
    weights: &[(usize, f64)],
    base: f64,
    degrees: u32,
) -> Contrast {
    let effect: f64 = weights
        .iter()
        .map(|(column, w)| w * fit.beta[*column])
        .sum();
    let spread = fit.spread(weights.iter().copied());
    Contrast {
        stand: stand.to_owned(),
        row_pair,
        effect,
        standard_error: dot(&spread, &spread).sqrt(),
        interval: (effect, effect),
        p_holm: 1.0,
        degrees,
        ratio: (base > RELEVANT).then(|| 1.0 + effect / base),
    }
}

/// Probabilities by Holm's step-down rule, and intervals by Bonferroni, over all the contrasts together; where several
/// reviews are told side by side, over those of all.
pub fn judge(contrasts: &mut [Contrast]) {
    let m = contrasts.len();
    let mut order: Vec<(f64, usize)> = contrasts
        .iter()
        .map(|c| 2.0 * student::upper_tail((c.effect / c.standard_error).abs(), c.degrees))
        .zip(0..)
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut so_far: f64 = 0.0;
    for (rank, (p, at)) in order.into_iter().enumerate() {
        so_far = so_far.max(((m - rank) as f64 * p).min(1.0));
        contrasts[at].p_holm = so_far;
    }
    let level = 1.0 - ERROR / (2.0 * m.max(1) as f64);
    for c in contrasts {
        let t = student::quantile(level, c.degrees);
        c.interval = (
            c.effect - t * c.standard_error,
            c.effect + t * c.standard_error,
        );
    }
}
