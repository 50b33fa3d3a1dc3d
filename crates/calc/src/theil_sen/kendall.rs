//! How many pairs run against the trend by chance alone: the distribution of Kendall's count.

/// Probabilities of 0, 1, 2 … pairs that fall where there is no trend, up to half of all pairs that differ in x;
/// `alike` holds for each x how many points have it.
///
/// The count of inversions of an arrangement with equal members: the coefficients of
/// `Π(1 - qⁱ) / ΠΠ(1 - qʲ)` (MacMahon), built factor by factor, each time divided by the number of arrangements.
/// Without equal members the recurrence of M. G. Kendall, "A new measure of rank correlation", Biometrika 30 (1938)
/// (memory).
pub(super) fn discordant(alike: &[usize]) -> Vec<f64> {
    let points: usize = alike.iter().sum();
    let within: usize = alike.iter().map(|t| t * (t - 1) / 2).sum();
    let half = (points * points.saturating_sub(1) / 2 - within) / 2;
    let mut chance = vec![0.0; half + 1];
    chance[0] = 1.0;
    let mut placed = 0;
    for &group in alike {
        for j in 1..=group {
            placed += 1;
            // times (1 - q^placed)
            for k in (placed..=half).rev() {
                chance[k] -= chance[k - placed];
            }
            // by (1 - q^j)
            for k in j..=half {
                chance[k] += chance[k - j];
            }
            let share = j as f64 / placed as f64;
            for p in &mut chance {
                *p *= share;
            }
        }
    }
    chance
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All arrangements counted one by one.
    fn counted(x: &[usize]) -> Vec<f64> {
        let mut counts = vec![0.0; x.len() * x.len()];
        let mut order: Vec<usize> = (0..x.len()).collect();
        let mut all = 0.0;
        each_order(&mut order, 0, &mut |order| {
            let falls = |i: usize, j: usize| x[i] != x[j] && (x[i] < x[j]) != (order[i] < order[j]);
            let pairs = (0..x.len()).flat_map(|i| (i + 1..x.len()).map(move |j| (i, j)));
            counts[pairs.filter(|&(i, j)| falls(i, j)).count()] += 1.0;
            all += 1.0;
        });
        counts.iter().map(|count| count / all).collect()
    }

    fn each_order(order: &mut Vec<usize>, from: usize, see: &mut impl FnMut(&[usize])) {
        if from == order.len() {
            see(order);
        }
        for i in from..order.len() {
            order.swap(from, i);
            each_order(order, from + 1, see);
            order.swap(from, i);
        }
    }

    #[test]
    fn the_count_is_that_of_all_arrangements_with_and_without_equal_x() {
        for (x, alike) in [
            (vec![1, 2, 3, 4, 5, 6], vec![1; 6]),
            (vec![1, 1, 2, 3, 3, 3, 4], vec![2, 1, 3, 1]),
            (vec![1, 1, 2, 2], vec![2, 2]),
        ] {
            let expected = counted(&x);
            let found = discordant(&alike);
            assert!(found.len() >= 3);
            for (k, p) in found.iter().enumerate() {
                assert!((p - expected[k]).abs() < 1e-14, "{x:?} {k}: {p}");
            }
        }
    }

    /// The half that is kept and its mirror make up all; many points leave no more than the last digits.
    #[test]
    fn the_probabilities_of_two_hundred_points_make_one() {
        for alike in [vec![1; 200], vec![2; 100], vec![5; 40]] {
            let chance = discordant(&alike);
            let points: usize = alike.iter().sum();
            let pairs = (points * points - alike.iter().map(|t| t * t).sum::<usize>()) / 2;
            let sum: f64 = chance.iter().sum();
            let centre = if pairs.is_multiple_of(2) {
                chance[pairs / 2]
            } else {
                0.0
            };
            assert!((2.0 * sum - centre - 1.0).abs() < 1e-10, "{sum}");
        }
    }
}
