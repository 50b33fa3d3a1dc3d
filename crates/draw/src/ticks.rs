//! Round numbers and months for axes, and how they are written.

/// A mark on an axis.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tick {
    /// In the unit of the axis.
    pub(crate) value: f64,
    /// What stands beside it.
    pub(crate) label: String,
}

/// The smallest of 1, 2 or 5 times a power of ten that is not below `value`.
pub(crate) fn round_step(value: f64) -> f64 {
    if !value.is_finite() || value <= 0.0 {
        return 1.0;
    }
    let power = libm::pow(10.0, libm::log10(value).floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|step| *step >= value * (1.0 - 1e-9))
        .unwrap_or(power)
}

/// Every multiple of `step` from `low` to `high`, at most a hundred.
pub(crate) fn multiples(low: f64, high: f64, step: f64) -> Vec<f64> {
    let slack = step * 1e-6;
    let first = ((low - slack) / step).ceil();
    let count = (((high + slack) / step).floor() - first).clamp(-1.0, 99.0);
    (0..=count as i32)
        .filter(|_| count >= 0.0)
        .map(|i| (first + f64::from(i)) * step)
        .collect()
}

/// Decimals that show multiples of a step in full.
pub(crate) fn decimals_of(step: f64) -> usize {
    (0..9)
        .find(|&n| {
            let scaled = step * libm::pow(10.0, n as f64);
            (scaled - scaled.round()).abs() < 1e-6 * scaled.max(1.0)
        })
        .unwrap_or(9)
}

/// A number as [`number`] writes it, in the language of the reader: a decimal comma, thousands parted by a gap.
pub(crate) fn in_language(number: &str, has_comma: bool) -> String {
    if !has_comma {
        return number.to_owned();
    }
    let other = |c| match c {
        ',' => '\u{a0}',
        '.' => ',',
        kept => kept,
    };
    number.chars().map(other).collect()
}

/// A number with a comma between thousands and a true minus sign.
pub(crate) fn number(value: f64, decimals: usize) -> String {
    let plain = format!("{:.decimals$}", value.abs());
    let (whole, part) = plain.split_once('.').unwrap_or((&plain, ""));
    let mut out = String::new();
    if value < 0.0 && plain.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
        out.push('−');
    }
    for (i, digit) in whole.char_indices() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    if !part.is_empty() {
        out.push('.');
        out.push_str(part);
    }
    out
}

/// First days of months between two days since 1970-01-01, at most `count` of them.
pub(crate) fn months(low_day: f64, high_day: f64, count: u16) -> Vec<Tick> {
    let (from, to) = (month_of(low_day), month_of(high_day));
    let fits = |every: &i64| (to - from) / every <= i64::from(count.max(1));
    let every = [1, 2, 3, 6, 12, 24, 60, 120, 240]
        .into_iter()
        .find(fits)
        .unwrap_or(600);
    let first = (from + every - 1).div_euclid(every) * every;
    (0..=(to - first).max(-1) / every)
        .map(|i| first + i * every)
        .map(|month| Tick {
            value: day_of(month) as f64,
            label: format!(
                "{:04}-{:02}",
                month.div_euclid(12),
                month.rem_euclid(12) + 1
            ),
        })
        .filter(|tick| tick.value >= low_day && tick.value <= high_day)
        .collect()
}

/// Months since year 0 of a day since 1970-01-01 (proleptic Gregorian calendar).
fn month_of(day: f64) -> i64 {
    let day = if day.is_finite() {
        day.clamp(-7e5, 2e6).floor() as i64
    } else {
        0
    };
    // A first guess from the mean length of a month, then at most a step or two.
    let mut month = 1970 * 12 + (day as f64 / 30.436_875).floor() as i64;
    while day_of(month) > day {
        month -= 1;
    }
    while day_of(month + 1) <= day {
        month += 1;
    }
    month
}

/// Days since 1970-01-01 of the first day of a month, counted in months since year 0.
fn day_of(month: i64) -> i64 {
    const BEFORE: [i64; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
    let (year, index) = (month.div_euclid(12), month.rem_euclid(12));
    let is_leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let leaps = |y: i64| y.div_euclid(4) - y.div_euclid(100) + y.div_euclid(400);
    let leap_day = i64::from(is_leap && index > 1);
    365 * (year - 1970) + leaps(year - 1) - leaps(1969) + BEFORE[index as usize] + leap_day
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_one_two_or_five_times_a_power_of_ten() {
        let rows = [
            (0.09, 0.1),
            (0.1, 0.1),
            (0.11, 0.2),
            (0.0031, 0.005),
            (830.0, 1000.0),
            (51.0, 100.0),
            (0.0, 1.0),
        ];
        for (value, expected) in rows {
            assert!(
                (round_step(value) - expected).abs() < 1e-9 * expected,
                "{value}: {}",
                round_step(value)
            );
        }
    }

    #[test]
    fn axis_numbers_show_their_step_in_full() {
        assert_eq!(
            (
                decimals_of(0.05),
                decimals_of(0.1),
                decimals_of(0.002),
                decimals_of(1000.0)
            ),
            (2, 1, 3, 0)
        );
        assert_eq!(number(1_142.0, 0), "1,142");
        assert_eq!(number(1_234_567.5, 1), "1,234,567.5");
        assert_eq!(number(-0.298, 3), "−0.298");
        assert_eq!(number(-0.000_4, 3), "0.000");
        assert_eq!(multiples(0.25, 0.7, 0.1).len(), 5);
        assert!(multiples(1.0, 0.0, 1.0).is_empty());
    }

    #[test]
    fn months_begin_on_the_right_day() {
        // Days since 1970-01-01 by the Gregorian calendar rule (ISO 8601): 2000-03-01 is day 11,017.
        let rows = [
            (1970, 1, 0),
            (1970, 3, 59),
            (1969, 12, -31),
            (2000, 3, 11_017),
            (2024, 3, 19_783),
            (2025, 1, 20_089),
        ];
        for (year, month, day) in rows {
            assert_eq!(day_of(year * 12 + month - 1), day, "{year}-{month}");
            assert_eq!(month_of(day as f64), year * 12 + month - 1);
            assert_eq!(month_of(day as f64 - 0.5), year * 12 + month - 2);
        }
        let ticks = months(20_039.0, 20_522.0, 6); // 2024-11-12 to 2026-03-10
        let labels: Vec<&str> = ticks.iter().map(|t| t.label.as_str()).collect();
        assert_eq!(
            labels,
            ["2025-01", "2025-04", "2025-07", "2025-10", "2026-01"]
        );
    }
}
