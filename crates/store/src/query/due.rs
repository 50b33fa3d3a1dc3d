//! When a bearing in its chock comes due: the earliest of mill time, days and tonnes decides (common practice, no
//! source).

use crate::time::DAY_MS;

/// What an interval counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// Mill time, s.
    Run,
    /// Days.
    Days,
    /// Rolled, kg.
    Rolled,
}

/// The intervals of a type; none where it has none of that sort.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Intervals {
    /// Mill time, s.
    pub run_s: Option<i64>,
    /// Days.
    pub days: Option<i64>,
    /// Rolled, kg.
    pub rolled_kg: Option<i64>,
}

/// A stay so far, and the pace of its chock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stay {
    /// Since when, ms UTC.
    pub from_ms: i64,
    /// Mill time, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
    /// Mill time a day of late, s.
    pub pace_run_s_per_day: i64,
    /// Rolled a day of late, kg.
    pub pace_rolled_kg_per_day: i64,
}

/// The interval that is reached first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// What it counts.
    pub clock: Clock,
    /// So much has run, in its unit.
    pub done: i64,
    /// So much may run.
    pub limit: i64,
    /// Whole days until then at the pace of late; 0 or below: reached.
    pub days: i64,
}

impl Due {
    /// The interval that is reached first, or was; none where the type has none, or nothing moves.
    pub fn of(stay: &Stay, intervals: &Intervals, now_ms: i64) -> Option<Self> {
        let clocks = [
            (
                Clock::Run,
                intervals.run_s,
                stay.run_s,
                stay.pace_run_s_per_day,
            ),
            (
                Clock::Days,
                intervals.days,
                (now_ms - stay.from_ms).div_euclid(DAY_MS),
                1,
            ),
            (
                Clock::Rolled,
                intervals.rolled_kg,
                stay.rolled_kg,
                stay.pace_rolled_kg_per_day,
            ),
        ];
        let all = clocks.into_iter().filter_map(|(clock, limit, done, pace)| {
            let limit = limit.filter(|limit| *limit > 0)?;
            let left = limit - done;
            let days = match (left, pace) {
                (..=0, _) => 0,
                (_, ..=0) => return None,
                _ => (left as f64 / pace as f64).ceil() as i64,
            };
            Some(Self {
                clock,
                done,
                limit,
                days,
            })
        });
        // Of those that are reached the one that is furthest past.
        all.min_by(|a, b| a.days.cmp(&b.days).then(b.share().total_cmp(&a.share())))
    }

    /// How much of the interval has run; over 1: it is past.
    pub fn share(&self) -> f64 {
        self.done as f64 / self.limit as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const STAY: Stay = Stay {
        from_ms: 0,
        run_s: 900 * 3600,
        rolled_kg: 200_000_000,
        pace_run_s_per_day: 10 * 3600,
        pace_rolled_kg_per_day: 2_000_000,
    };
    const FT_W: Intervals = Intervals {
        run_s: Some(1_000 * 3600),
        days: Some(150),
        rolled_kg: Some(300_000_000),
    };

    #[test]
    fn the_earliest_of_mill_time_days_and_tonnes_decides() {
        for (stay, day, clock, days) in [
            (STAY, 80, Clock::Run, 10),
            (STAY, 145, Clock::Days, 5),
            (Stay { run_s: 0, ..STAY }, 80, Clock::Rolled, 50),
            (
                Stay {
                    run_s: 1_142 * 3600,
                    ..STAY
                },
                80,
                Clock::Run,
                0,
            ),
            (
                Stay {
                    run_s: 1_010 * 3600,
                    ..STAY
                },
                300,
                Clock::Days,
                0,
            ),
        ] {
            let due = Due::of(&stay, &FT_W, day * DAY_MS).unwrap();
            assert_eq!((due.clock, due.days), (clock, days), "{stay:?} {day}");
        }
    }

    #[test]
    fn what_stands_still_or_has_no_interval_is_not_due() {
        let still = Stay {
            pace_run_s_per_day: 0,
            pace_rolled_kg_per_day: 0,
            ..STAY
        };
        let hours = Intervals {
            run_s: FT_W.run_s,
            ..Intervals::default()
        };
        assert_eq!(Due::of(&still, &hours, 80 * DAY_MS), None);
        assert_eq!(Due::of(&STAY, &Intervals::default(), 80 * DAY_MS), None);
        let past = Stay {
            run_s: 1_000 * 3600,
            ..still
        };
        assert_eq!(
            Due::of(&past, &hours, 80 * DAY_MS).map(|due| due.days),
            Some(0)
        );
    }
}
