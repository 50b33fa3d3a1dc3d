//! Hyperparameters by penalised likelihood.
//!
//! A plain likelihood with few groups often ends at a variance of exactly 0 and is then too sure of itself; a weak
//! penalty keeps it away from there (Chung, Rabe-Hesketh, Gelman and others, weakly informative penalised likelihood of
//! variance parameters; abstract read). Nelder and Mead's simplex (memory) in the logarithms.

use super::model::{Model, Theta};

/// Width of the penalty about [`Theta::ASSUMED`], in logarithms (assumed).
const PENALTY_WIDTH: [f64; 6] = [0.6, 0.6, 0.6, 0.8, 0.6, 0.6];
/// No logarithm may go further than this.
const LOG_MAX: f64 = 12.0;
/// No hyperparameter goes below `exp` of this.
const LOG_FLOOR: f64 = -6.0;

/// When the search stops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stop {
    /// Both the spread of the logarithms and that of −2l fall below this.
    pub(super) at: f64,
    pub(super) evaluations_max: usize,
}

impl Stop {
    /// Near enough for a forecast: the score does not change beyond.
    pub(super) const NEAR: Self = Self {
        at: 0.03,
        evaluations_max: 200,
    };
}

/// Logarithmic penalty: `sum ((ln theta − ln theta0)/c)²`.
pub(super) fn penalty(logs: &[f64; 6]) -> f64 {
    let centre = Theta::ASSUMED.to_array();
    let terms = logs.iter().zip(centre).zip(PENALTY_WIDTH);
    terms
        .map(|((log, centre), width)| (log - libm::log(centre)) / width)
        .map(|d| d * d)
        .sum()
}

/// Where the search begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct From {
    pub(super) theta: Theta,
    /// First step of the simplex, in logarithms.
    pub(super) step: f64,
}

impl From {
    /// Nothing is known yet.
    pub(super) const ASSUMED: Self = Self {
        theta: Theta::ASSUMED,
        step: 0.4,
    };

    /// A fit of nearly the same readings is known.
    pub(super) fn near(theta: Theta) -> Self {
        Self { theta, step: 0.1 }
    }
}

/// The hyperparameters that fit best.
pub(super) fn penalised(model: &Model, from: From, stop: Stop) -> Theta {
    let theta = |logs: &[f64; 6]| Theta::from_array(logs.map(|log| libm::exp(log.max(LOG_FLOOR))));
    let value = |logs: &[f64; 6]| {
        if logs.iter().any(|log| log.abs() > LOG_MAX) {
            return f64::INFINITY;
        }
        model.minus_2l(&theta(logs)) + penalty(logs)
    };
    theta(&nelder_mead(
        value,
        from.theta.to_array().map(libm::log),
        from.step,
        stop,
    ))
}

/// Smallest value by a simplex that is reflected, stretched and shrunk.
fn nelder_mead<const N: usize>(
    value: impl Fn(&[f64; N]) -> f64,
    start: [f64; N],
    step: f64,
    stop: Stop,
) -> [f64; N] {
    let mut simplex = vec![(value(&start), start)];
    for k in 0..N {
        let mut corner = start;
        corner[k] += step;
        simplex.push((value(&corner), corner));
    }
    let mut evaluations = simplex.len();
    loop {
        simplex.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (best, worst) = (simplex[0], simplex[N]);
        let far = simplex
            .iter()
            .flat_map(|(_, corner)| corner.iter().zip(&best.1));
        let width = far.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        if (width <= stop.at && worst.0 - best.0 <= stop.at) || evaluations >= stop.evaluations_max
        {
            return best.1;
        }
        let mut centre = [0.0; N];
        for (_, corner) in &simplex[..N] {
            for (sum, x) in centre.iter_mut().zip(corner) {
                *sum += x / N as f64;
            }
        }
        let along = |factor: f64| {
            let mut point = centre;
            for (x, w) in point.iter_mut().zip(&worst.1) {
                *x += factor * (*x - w);
            }
            (value(&point), point)
        };
        let mirrored = along(1.0);
        evaluations += 1;
        if mirrored.0 < best.0 {
            let stretched = along(2.0);
            evaluations += 1;
            simplex[N] = if stretched.0 < mirrored.0 {
                stretched
            } else {
                mirrored
            };
            continue;
        }
        if mirrored.0 < simplex[N - 1].0 {
            simplex[N] = mirrored;
            continue;
        }
        let drawn_in = if mirrored.0 < worst.0 {
            along(0.5)
        } else {
            along(-0.5)
        };
        evaluations += 1;
        if drawn_in.0 < mirrored.0.min(worst.0) {
            simplex[N] = drawn_in;
            continue;
        }
        for corner in &mut simplex[1..] {
            for (x, b) in corner.1.iter_mut().zip(&best.1) {
                *x = b + 0.5 * (*x - b);
            }
            corner.0 = value(&corner.1);
        }
        evaluations += N;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_simplex_finds_the_bottom_of_a_bent_valley() {
        let rosenbrock = |[x, y]: &[f64; 2]| 100.0 * (y - x * x).powi(2) + (1.0 - x).powi(2);
        let stop = Stop {
            at: 1e-9,
            evaluations_max: 1000,
        };
        let [x, y] = nelder_mead(rosenbrock, [-1.2, 1.0], 0.4, stop);
        assert!((x - 1.0).abs() < 1e-6 && (y - 1.0).abs() < 1e-6, "{x} {y}");
    }
}
