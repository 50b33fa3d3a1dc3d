//! The spread between groups with the lowest criterion.
//!
//! L and L with the signs of a column turned are the same model, so the search has no edge, and a variance of zero is a
//! place like any other. Method: J. A. Nelder, R. Mead, "A simplex method for function minimization", The Computer
//! Journal 7 (1965).

use super::criterion::Criterion;
use crate::linear::Qr;

/// Sizes of L, in the scatter of a reading, from which the search starts: groups alike, and groups far apart.
const STARTS: [[f64; 2]; 4] = [[1.0, 1.0], [0.1, 0.1], [6.0, 1.0], [1.0, 6.0]];
/// Evaluations of one descent at most.
const STEPS: usize = 400;
/// The criterion and, relative to 1, the elements of L are found to this.
const CLOSE: [f64; 2] = [1e-11, 1e-8];
/// Steps of Newton at the end, where the criterion is so flat that a simplex no longer sees which way is down.
const NEWTON_STEPS: usize = 3;
/// Distance of the points from which slopes and curvatures are taken, as share of an element or of 0.3.
const APART: f64 = 3e-3;
/// An element that could as well be zero is zero.
const AS_WELL: f64 = 1e-9;

/// The elements of L, row by row, where the criterion is lowest.
pub(super) fn lowest(criterion: &Criterion) -> Vec<f64> {
    // Where the scatter is known, the readings set the size.
    let unit = criterion.known_sd.map_or(1.0, |sd| 1.0 / sd);
    let value = |scaled: &[f64]| {
        let spread: Vec<f64> = scaled.iter().map(|l| l * unit).collect();
        criterion.value(&spread)
    };
    let begin = |[a, c]: [f64; 2]| match criterion.random {
        1 => vec![a],
        _ => vec![a, 0.0, c],
    };
    let mut best = Simplex::around(&begin(STARTS[0]), 0.5, &value).descend(&value);
    for start in &STARTS[1..] {
        let other = Simplex::around(&begin(*start), 0.5, &value).descend(&value);
        if other.1 < best.1 {
            best = other;
        }
    }
    // A simplex that has become flat on its way starts anew where it stands.
    let again = Simplex::around(&best.0, 0.1, &value).descend(&value);
    if again.1 <= best.1 {
        best = again;
    }
    for _ in 0..NEWTON_STEPS {
        let next = newton(&best.0, &value);
        let height = value(&next);
        if height > best.1 + AS_WELL {
            break;
        }
        best = (next, height);
    }
    let edges: &[&[usize]] = match criterion.random {
        1 => &[&[0]],
        _ => &[&[2], &[1, 2], &[0, 1], &[0, 1, 2]],
    };
    for edge in edges {
        let mut at_edge = best.0.clone();
        for &element in *edge {
            at_edge[element] = 0.0;
        }
        if value(&at_edge) <= best.1 + AS_WELL {
            best.0 = at_edge;
        }
    }
    best.0.iter().map(|l| l * unit).collect()
}

/// The bottom of the parabola through the neighbourhood of a place; the place itself where there is none.
fn newton(place: &[f64], value: &impl Fn(&[f64]) -> f64) -> Vec<f64> {
    let order = place.len();
    let apart: Vec<f64> = place.iter().map(|l| APART * l.abs().max(0.3)).collect();
    let at = |moves: &[(usize, f64)]| {
        let mut moved = place.to_vec();
        for &(k, steps) in moves {
            moved[k] += steps * apart[k];
        }
        value(&moved)
    };
    let middle = value(place);
    // In units of the distances; slopes to the fourth order, curvatures to the second.
    let downhill: Vec<f64> = (0..order)
        .map(|k| {
            let odd = |steps: f64| at(&[(k, steps)]) - at(&[(k, -steps)]);
            (odd(2.0) - 8.0 * odd(1.0)) / 12.0
        })
        .collect();
    let pair = |i: usize, a: f64, j: usize, b: f64| at(&[(i, a), (j, b)]);
    let bend = |i: usize, j: usize| {
        if i == j {
            return at(&[(i, 1.0)]) - 2.0 * middle + at(&[(i, -1.0)]);
        }
        let along = pair(i, 1.0, j, 1.0) + pair(i, -1.0, j, -1.0);
        let across = pair(i, 1.0, j, -1.0) + pair(i, -1.0, j, 1.0);
        (along - across) / 4.0
    };
    let curvature = (0..order)
        .map(|i| (0..order).map(|j| bend(i, j)).collect())
        .collect();
    let qr = Qr::of(curvature);
    let mut turned = downhill;
    qr.turn(&mut turned);
    let steps = qr.solve(&turned);
    if steps
        .iter()
        .any(|step| !step.is_finite() || step.abs() > 30.0)
    {
        return place.to_vec();
    }
    (0..order).map(|k| place[k] + steps[k] * apart[k]).collect()
}

/// Corners with their values, the lowest first.
struct Simplex(Vec<(Vec<f64>, f64)>);

impl Simplex {
    fn around(start: &[f64], step: f64, value: &impl Fn(&[f64]) -> f64) -> Self {
        let mut corners = vec![(start.to_vec(), value(start))];
        for k in 0..start.len() {
            let mut corner = start.to_vec();
            corner[k] += step * corner[k].abs().max(0.2);
            let height = value(&corner);
            corners.push((corner, height));
        }
        Self(corners)
    }

    /// The lowest place found.
    fn descend(mut self, value: &impl Fn(&[f64]) -> f64) -> (Vec<f64>, f64) {
        let corners = &mut self.0;
        let order = corners.len() - 1;
        for _ in 0..STEPS {
            corners.sort_by(|a, b| a.1.total_cmp(&b.1));
            let width = corners[1..]
                .iter()
                .flat_map(|corner| corner.0.iter().zip(&corners[0].0))
                .map(|(a, b)| (a - b).abs() / b.abs().max(1.0))
                .fold(0.0, f64::max);
            if corners[order].1 - corners[0].1 <= CLOSE[0] && width <= CLOSE[1] {
                break;
            }
            let centre: Vec<f64> = (0..order)
                .map(|k| {
                    corners[..order]
                        .iter()
                        .map(|corner| corner.0[k])
                        .sum::<f64>()
                        / order as f64
                })
                .collect();
            // A place on the line from the highest corner through the centre of the others.
            let along = |t: f64| {
                let highest = &corners[order].0;
                let place: Vec<f64> = centre
                    .iter()
                    .zip(highest)
                    .map(|(c, h)| c + t * (c - h))
                    .collect();
                let height = value(&place);
                (place, height)
            };
            let reflected = along(1.0);
            let next = if reflected.1 < corners[0].1 {
                let further = along(2.0);
                Some(if further.1 < reflected.1 {
                    further
                } else {
                    reflected
                })
            } else if reflected.1 < corners[order - 1].1 {
                Some(reflected)
            } else {
                let nearer = along(if reflected.1 < corners[order].1 {
                    0.5
                } else {
                    -0.5
                });
                (nearer.1 < corners[order].1.min(reflected.1)).then_some(nearer)
            };
            if let Some(next) = next {
                corners[order] = next;
                continue;
            }
            let lowest = corners[0].0.clone();
            for corner in &mut corners[1..] {
                corner
                    .0
                    .iter_mut()
                    .zip(&lowest)
                    .for_each(|(c, l)| *c = f64::midpoint(*c, *l));
                corner.1 = value(&corner.0);
            }
        }
        corners.sort_by(|a, b| a.1.total_cmp(&b.1));
        corners.swap_remove(0)
    }
}
