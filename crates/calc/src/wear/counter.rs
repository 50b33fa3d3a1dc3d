//! What wear is counted by: mill hours, tonnes or calendar days, and counters that run backwards.

use super::table::{Pool, Reading};

/// Measure of exposure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Exposure {
    /// Mill hours on the bearing's own counter.
    #[default]
    Hours,
    /// Tonnes on the bearing's own counter.
    Tonnes,
    /// Calendar days.
    Days,
}

impl Exposure {
    /// The count of a reading in the measure's own unit.
    pub(super) fn of(self, reading: &Reading) -> Option<f64> {
        match self {
            Self::Hours => Some(reading.counter_h),
            Self::Tonnes => reading.counter_t,
            Self::Days => Some(f64::from(reading.day)),
        }
    }
}

/// Factor that makes equivalent mill hours of a measure: the shop's hours per unit of it, taken over all bearings.
///
/// All constants of the model are stated for hours; in equivalent hours they hold for each measure alike.
pub(super) fn scale(pool: &Pool, places: &[usize], exposure: Exposure) -> Option<f64> {
    if exposure == Exposure::Hours {
        return Some(1.0);
    }
    let mut span: std::collections::BTreeMap<&str, [f64; 4]> = std::collections::BTreeMap::new();
    for &place in places {
        let reading = &pool.readings()[place];
        let (h, x) = (reading.counter_h, exposure.of(reading)?);
        let of_bearing = span.entry(&reading.bearing).or_insert([h, h, x, x]);
        let [h_min, h_max, x_min, x_max] = *of_bearing;
        *of_bearing = [h_min.min(h), h_max.max(h), x_min.min(x), x_max.max(x)];
    }
    let sum = |f: fn(&[f64; 4]) -> f64| span.values().map(f).sum::<f64>();
    let (hours, units) = (sum(|s| s[1] - s[0]), sum(|s| s[3] - s[2]));
    (hours > 0.0 && units > 0.0).then(|| hours / units)
}

/// Marks the longest run of counters that never falls; a single wrong one is left out, whichever way it is wrong.
pub(super) fn longest_rising(counters: &[f64]) -> Vec<bool> {
    let n = counters.len();
    // Longest run ending at each place, and the place before it.
    let mut length = vec![1_usize; n];
    let mut before: Vec<Option<usize>> = vec![None; n];
    for i in 0..n {
        for j in 0..i {
            if counters[j] <= counters[i] && length[j] + 1 > length[i] {
                (length[i], before[i]) = (length[j] + 1, Some(j));
            }
        }
    }
    let mut marks = vec![false; n];
    let best = length.iter().copied().max().unwrap_or(0);
    let mut at = length.iter().position(|l| *l == best);
    while let Some(i) = at {
        marks[i] = true;
        at = before[i];
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_wrong_counter_is_left_out_and_no_other() {
        for (counters, wrong) in [
            (vec![0.0, 1000.0, 20_000.0, 3000.0, 4000.0], Some(2)),
            (vec![0.0, 1000.0, 200.0, 3000.0, 4000.0, 4000.0], Some(2)),
            (vec![9000.0, 1000.0, 2000.0, 3000.0], Some(0)),
            (vec![0.0, 0.0, 500.0], None),
        ] {
            let marks = longest_rising(&counters);
            let left_out: Vec<usize> = (0..marks.len()).filter(|i| !marks[*i]).collect();
            assert_eq!(left_out, Vec::from_iter(wrong), "{counters:?}");
        }
    }
}
