//! When a bearing in its chock comes due: one pure function, [`Due::of`].
//!
//! The earliest of mill time, days, tonnes and campaigns decides, and it is opened at least once a year (common
//! practice, no source). Where its wear says that a limit may be passed before that, the forecast plans it. An incident
//! or a reading that asks for an early teardown comes before all; an extension moves the day, a reason explains why it
//! is past.

use crate::time::DAY_MS;

/// A bearing is opened at least so often, days (common practice, no source).
pub const YEAR_DAYS: i64 = 365;

/// What an interval counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// Mill time, s.
    Run,
    /// Days.
    Days,
    /// Rolled, kg.
    Rolled,
    /// Campaigns.
    Campaigns,
    /// Mill time until the clearance may pass its limit, s.
    Forecast,
}

/// What has run, or may run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Mill time, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
    /// Campaigns.
    pub campaigns: i64,
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
    /// Campaigns.
    pub campaigns: Option<i64>,
}

/// A stay so far, and the pace of its chock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stay {
    /// Since when, ms UTC.
    pub from_ms: i64,
    /// What has run.
    pub done: Counts,
    /// What has run of late.
    pub lately: Counts,
    /// In so many days.
    pub lately_days: i64,
}

/// What else speaks about the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Said {
    /// Mill time of the stay at which the clearance may pass its limit, s, where the wear model says so.
    pub limit_run_s: Option<i64>,
    /// Torn down early is asked for.
    pub is_early: bool,
    /// Until when the engineer lets it run on, ms UTC.
    pub extended_to_ms: Option<i64>,
    /// Somebody has said why it is past its interval.
    pub has_reason: bool,
}

/// How it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// An incident or a reading asks for it now.
    Early,
    /// Past its interval, and nobody has said why.
    Overdue,
    /// Past its interval, with a reason.
    Explained,
    /// Past its interval, and allowed to run on for now.
    Extended,
    /// The clearance may pass its limit before the interval ends.
    Forecast,
    /// Not there yet.
    Coming,
}

/// What decides, and how far it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// What it counts.
    pub clock: Clock,
    /// So much has run, in its unit.
    pub done: i64,
    /// So much may run.
    pub limit: i64,
    /// Whole days until then at the pace of late, or until an extension ends; 0: reached.
    pub days: i64,
    /// How it stands.
    pub standing: Standing,
}

impl Due {
    /// What decides for a stay; none where nothing moves that has an interval.
    pub fn of(stay: &Stay, intervals: &Intervals, said: &Said, now_ms: i64) -> Option<Self> {
        let a_day =
            |of: fn(&Counts) -> i64| of(&stay.lately) as f64 / i64::max(stay.lately_days, 1) as f64;
        let days_in = (now_ms - stay.from_ms).div_euclid(DAY_MS);
        let at_least = intervals.days.map_or(YEAR_DAYS, |days| days.min(YEAR_DAYS));
        let run_pace = a_day(|c| c.run_s);
        let clocks = [
            (Clock::Run, intervals.run_s, stay.done.run_s, run_pace),
            (Clock::Days, Some(at_least), days_in, 1.0),
            (
                Clock::Rolled,
                intervals.rolled_kg,
                stay.done.rolled_kg,
                a_day(|c| c.rolled_kg),
            ),
            (
                Clock::Campaigns,
                intervals.campaigns,
                stay.done.campaigns,
                a_day(|c| c.campaigns),
            ),
        ];
        let reached = |clock, done, limit: Option<i64>, pace: f64| {
            let limit = limit.filter(|limit| *limit > 0)?;
            let days = match limit - done {
                ..=0 => 0,
                _ if pace <= 0.0 => return None,
                left => (left as f64 / pace).ceil() as i64,
            };
            let standing = Standing::Coming;
            Some(Self {
                clock,
                done,
                limit,
                days,
                standing,
            })
        };
        let all = clocks
            .into_iter()
            .filter_map(|(clock, limit, done, pace)| reached(clock, done, limit, pace));
        // Of those that are reached the one that is furthest past.
        let first = all.min_by(|a, b| a.days.cmp(&b.days).then(b.share().total_cmp(&a.share())));
        let forecast = said.limit_run_s.map(|s| s.max(1));
        let forecast = reached(Clock::Forecast, stay.done.run_s, forecast, run_pace);
        let mut due = match (first, forecast) {
            (Some(first), Some(forecast)) if forecast.days < first.days => forecast,
            (first, forecast) => first.or(forecast)?,
        };
        let is_past = due.clock != Clock::Forecast && due.done > due.limit;
        due.standing = if said.is_early {
            Standing::Early
        } else if !is_past && due.clock == Clock::Forecast {
            Standing::Forecast
        } else if !is_past {
            Standing::Coming
        } else if said.extended_to_ms.is_some_and(|until| until >= now_ms) {
            Standing::Extended
        } else if said.has_reason {
            Standing::Explained
        } else {
            Standing::Overdue
        };
        match (due.standing, said.extended_to_ms) {
            (Standing::Early, _) => due.days = 0,
            (Standing::Extended, Some(until)) => due.days = (until - now_ms).div_euclid(DAY_MS),
            _ => {}
        }
        Some(due)
    }

    /// How much of the interval has run; over 1: it is past.
    pub fn share(&self) -> f64 {
        self.done as f64 / self.limit as f64
    }

    /// Past its interval, whatever was said about it.
    pub fn is_late(&self) -> bool {
        matches!(
            self.standing,
            Standing::Overdue | Standing::Explained | Standing::Extended
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FT_W: Intervals = Intervals {
        run_s: Some(1_000 * 3_600),
        days: Some(150),
        rolled_kg: Some(300_000_000),
        campaigns: Some(320),
    };

    /// Mill hours, tonnes, campaigns; 10 h, 2,000 t and 3 campaigns a day of late.
    fn stay(hours: i64, tonnes: i64, campaigns: i64) -> Stay {
        let counts = |days: i64| Counts {
            run_s: days * 36_000,
            rolled_kg: days * 2_000_000,
            campaigns: days * 3,
        };
        Stay {
            from_ms: 0,
            done: Counts {
                run_s: hours * 3_600,
                rolled_kg: tonnes * 1_000,
                campaigns,
            },
            lately: counts(90),
            lately_days: 90,
        }
    }

    const NOTHING: Said = Said {
        limit_run_s: None,
        is_early: false,
        extended_to_ms: None,
        has_reason: false,
    };

    #[test]
    fn the_earliest_decides_and_what_was_said_tells_how_it_stands() {
        use Clock::{Campaigns, Days, Forecast, Rolled, Run};
        use Standing::{Coming, Early, Explained, Extended, Overdue};
        let only_hours = Intervals {
            run_s: FT_W.run_s,
            ..Intervals::default()
        };
        let none = Intervals::default();
        let limit = |h: i64| Said {
            limit_run_s: Some(h * 3_600),
            ..NOTHING
        };
        let until = |day: i64| Said {
            extended_to_ms: Some(day * DAY_MS),
            ..NOTHING
        };
        let said_why = Said {
            has_reason: true,
            ..NOTHING
        };
        let early = Said {
            is_early: true,
            ..until(400)
        };
        for (case, stay, intervals, said, day, wanted) in [
            (
                "hours",
                stay(900, 0, 0),
                FT_W,
                NOTHING,
                80,
                (Run, 10, Coming),
            ),
            (
                "days",
                stay(900, 0, 0),
                FT_W,
                NOTHING,
                145,
                (Days, 5, Coming),
            ),
            (
                "tonnes",
                stay(0, 280_000, 0),
                FT_W,
                NOTHING,
                80,
                (Rolled, 10, Coming),
            ),
            (
                "campaigns",
                stay(0, 0, 308),
                FT_W,
                NOTHING,
                80,
                (Campaigns, 4, Coming),
            ),
            (
                "a year at least",
                stay(0, 0, 0),
                none,
                NOTHING,
                360,
                (Days, 5, Coming),
            ),
            (
                "past the year",
                stay(0, 0, 0),
                only_hours,
                NOTHING,
                366,
                (Days, 0, Overdue),
            ),
            (
                "past",
                stay(1_142, 0, 0),
                FT_W,
                NOTHING,
                80,
                (Run, 0, Overdue),
            ),
            (
                "furthest past",
                stay(1_010, 0, 0),
                FT_W,
                NOTHING,
                300,
                (Days, 0, Overdue),
            ),
            (
                "just reached",
                stay(1_000, 0, 0),
                only_hours,
                NOTHING,
                80,
                (Run, 0, Coming),
            ),
            (
                "explained",
                stay(1_142, 0, 0),
                FT_W,
                said_why,
                80,
                (Run, 0, Explained),
            ),
            (
                "extended",
                stay(1_142, 0, 0),
                FT_W,
                until(91),
                80,
                (Run, 11, Extended),
            ),
            (
                "extension over",
                stay(1_142, 0, 0),
                FT_W,
                until(79),
                80,
                (Run, 0, Overdue),
            ),
            (
                "forecast first",
                stay(500, 0, 0),
                FT_W,
                limit(700),
                60,
                (Forecast, 20, Standing::Forecast),
            ),
            (
                "forecast later",
                stay(900, 0, 0),
                FT_W,
                limit(1_200),
                80,
                (Run, 10, Coming),
            ),
            (
                "limit passed",
                stay(500, 0, 0),
                FT_W,
                limit(-5),
                60,
                (Forecast, 0, Standing::Forecast),
            ),
            (
                "past comes before a forecast",
                stay(1_142, 0, 0),
                FT_W,
                limit(900),
                80,
                (Run, 0, Overdue),
            ),
            ("early", stay(100, 0, 0), FT_W, early, 10, (Run, 0, Early)),
        ] {
            let due = Due::of(&stay, &intervals, &said, day * DAY_MS).unwrap();
            assert_eq!((due.clock, due.days, due.standing), wanted, "{case}");
        }
    }

    #[test]
    fn what_stands_still_is_due_by_the_calendar_only() {
        let still = Stay {
            lately: Counts::default(),
            ..stay(900, 200_000, 100)
        };
        let due = Due::of(&still, &FT_W, &NOTHING, 80 * DAY_MS).unwrap();
        assert_eq!((due.clock, due.days), (Clock::Days, 70));
    }
}
