//! Points in time as the record keeps them, and the clock and entropy that are handed in.
//!
//! Stored: milliseconds UTC, the offset of the wall clock in minutes, and how exactly it is known.

use std::fmt;

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, NaiveDateTime, TimeZone, Timelike};
use serde::{Deserialize, Serialize};

/// How exactly a time is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, PartialOrd, Ord)]
#[serde(rename_all = "snake_case")]
pub enum Precision {
    /// The day only.
    Day,
    /// To the minute.
    Minute,
    /// To the second or better.
    Second,
}

impl Precision {
    /// The word in the file.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Day => "day",
            Self::Minute => "minute",
            Self::Second => "second",
        }
    }

    /// Reads the word in the file.
    pub fn parse(text: &str) -> Option<Self> {
        [Self::Day, Self::Minute, Self::Second]
            .into_iter()
            .find(|p| p.as_str() == text)
    }
}

/// A point in time with the wall clock it was read from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, PartialOrd, Ord)]
pub struct Stamp {
    /// Milliseconds since 1970-01-01 UTC.
    pub ms: i64,
    /// Wall clock minus UTC, minutes.
    pub offset_min: i64,
    /// How exactly it is known.
    pub precision: Precision,
}

/// Milliseconds of one hour.
pub const HOUR_MS: i64 = 3_600_000;
/// Milliseconds of one day.
pub const DAY_MS: i64 = 24 * HOUR_MS;

impl Stamp {
    /// A time known to the second.
    pub fn second(ms: i64, offset_min: i64) -> Self {
        Self {
            ms,
            offset_min,
            precision: Precision::Second,
        }
    }

    /// Days from 1970-01-01 on, on the wall clock.
    pub fn day(self) -> i32 {
        let day = (self.ms + self.offset_min * 60_000).div_euclid(DAY_MS);
        i32::try_from(day).unwrap_or(i32::MAX)
    }

    /// The last millisecond of the day that holds `ms`, as days are counted where this stamp was taken.
    pub fn end_of_day(self, ms: i64) -> i64 {
        let ahead = self.offset_min * 60_000;
        ((ms + ahead).div_euclid(DAY_MS) + 1) * DAY_MS - ahead - 1
    }

    /// Reads `2026-07-07`, `2026-07-07T09:30`, `2026-07-07 09:30:05`, each with or without `Z` or `+02:00`.
    /// Without an offset, `offset_min` is taken. A day alone stands for its noon, so that it stays that day.
    pub fn parse(text: &str, offset_min: i64) -> Option<Self> {
        let text = text.trim().replace(' ', "T");
        if let Ok(date) = NaiveDate::parse_from_str(&text, "%Y-%m-%d") {
            let noon = date.and_hms_opt(12, 0, 0)?;
            return Self::local(noon, offset_min, Precision::Day);
        }
        let (clock, offset_min) = match text.strip_suffix('Z') {
            Some(clock) => (clock.to_owned(), 0),
            None => split_offset(&text, offset_min)?,
        };
        let parse = |format| NaiveDateTime::parse_from_str(&clock, format).ok();
        if let Some(at) = parse("%Y-%m-%dT%H:%M") {
            return Self::local(at, offset_min, Precision::Minute);
        }
        Self::local(
            parse("%Y-%m-%dT%H:%M:%S%.f")?,
            offset_min,
            Precision::Second,
        )
    }

    fn local(at: NaiveDateTime, offset_min: i64, precision: Precision) -> Option<Self> {
        if !(0..=9999).contains(&at.year()) {
            return None;
        }
        let ms = at.and_utc().timestamp_millis() - offset_min * 60_000;
        Some(Self {
            ms,
            offset_min,
            precision,
        })
    }

    fn wall(self) -> Option<DateTime<FixedOffset>> {
        let offset = FixedOffset::east_opt(i32::try_from(self.offset_min * 60).ok()?)?;
        offset.timestamp_millis_opt(self.ms).single()
    }

    /// The day on the wall clock, `2026-07-07`.
    pub fn date(self) -> String {
        self.wall().map_or_else(
            || "unknown day".into(),
            |t| t.format("%Y-%m-%d").to_string(),
        )
    }

    /// The day of the week on the wall clock, `Friday`.
    pub fn weekday(self) -> String {
        self.wall()
            .map_or_else(String::new, |t| t.format("%A").to_string())
    }

    /// Day and time as exactly as it is known, `2026-07-07 09:30`.
    pub fn date_time(self) -> String {
        if self.precision == Precision::Day {
            return self.date();
        }
        self.wall().map_or_else(
            || "unknown time".into(),
            |t| t.format("%Y-%m-%d %H:%M").to_string(),
        )
    }

    /// The time of day on the wall clock, `09:30`.
    pub fn time_of_day(self) -> String {
        self.wall()
            .map_or_else(|| "--:--".into(), |t| t.format("%H:%M").to_string())
    }

    /// Year, month, day, hour, minute, second on the wall clock.
    pub fn parts(self) -> (i32, u32, u32, u32, u32, u32) {
        self.wall().map_or((1970, 1, 1, 0, 0, 0), |t| {
            (
                t.year(),
                t.month(),
                t.day(),
                t.hour(),
                t.minute(),
                t.second(),
            )
        })
    }

    /// Today, told as a day only, is now: what is entered on the day itself comes after what happened before on it, and
    /// before what follows. An earlier day stays at its noon.
    #[must_use]
    pub fn as_of(self, entered: Self) -> Self {
        let is_today = self.precision == Precision::Day
            && self.date() == entered.plus_offset(self.offset_min).date();
        Self {
            ms: if is_today { entered.ms } else { self.ms },
            ..self
        }
    }

    fn plus_offset(self, offset_min: i64) -> Self {
        Self { offset_min, ..self }
    }

    /// The same wall clock, `ms` later.
    pub fn plus_ms(self, ms: i64) -> Self {
        Self {
            ms: self.ms + ms,
            ..self
        }
    }
}

impl fmt::Display for Stamp {
    /// ISO 8601 with offset, as exactly as it is known.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(wall) = self.wall() else {
            return f.write_str("unknown time");
        };
        let format = match self.precision {
            Precision::Day => "%Y-%m-%d",
            Precision::Minute => "%Y-%m-%dT%H:%M%:z",
            Precision::Second => "%Y-%m-%dT%H:%M:%S%:z",
        };
        write!(f, "{}", wall.format(format))
    }
}

/// `2026-07-07T09:30+02:00` into its clock and its offset.
fn split_offset(text: &str, default: i64) -> Option<(String, i64)> {
    let day_end = text.find('T')?;
    let Some(sign_at) = text[day_end..].find(['+', '-']).map(|i| i + day_end) else {
        return Some((text.to_owned(), default));
    };
    let (hours, minutes) = text[sign_at + 1..].split_once(':')?;
    let (hours, minutes): (i64, i64) = (hours.parse().ok()?, minutes.parse().ok()?);
    if !(0..=14).contains(&hours) || !(0..60).contains(&minutes) {
        return None;
    }
    let size = hours * 60 + minutes;
    let offset = if text.as_bytes()[sign_at] == b'-' {
        -size
    } else {
        size
    };
    Some((text[..sign_at].to_owned(), offset))
}

/// Where the store takes the time from. Handed in when the logbook opens, so that a demo or a test has its own.
pub trait Clock: Send {
    /// The time now.
    fn now(&self) -> Stamp;
}

/// Where the store takes random bytes from. Handed in when the logbook opens.
pub trait Entropy: Send {
    /// Fills `bytes`.
    fn fill(&mut self, bytes: &mut [u8]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_people_and_programs_write_them() {
        for (text, shown) in [
            ("2026-07-07", "2026-07-07"),
            ("2026-07-07T09:30", "2026-07-07T09:30+01:00"),
            ("2026-07-07 09:30", "2026-07-07T09:30+01:00"),
            ("2026-07-07T09:30+02:00", "2026-07-07T09:30+02:00"),
            ("2026-07-07T09:30:05Z", "2026-07-07T09:30:05+00:00"),
            ("2026-07-07T09:30-05:30", "2026-07-07T09:30-05:30"),
        ] {
            assert_eq!(Stamp::parse(text, 60).unwrap().to_string(), shown, "{text}");
        }
        for text in [
            "",
            "07.07.2026",
            "2026-13-01",
            "2026-07-07T25:00",
            "2026-07-07T09:30+99:00",
            "Tnoon",
            "T+1:é",
        ] {
            assert_eq!(Stamp::parse(text, 0), None, "{text}");
        }
    }

    #[test]
    fn today_without_a_time_is_now_and_an_earlier_day_stays_at_its_noon() {
        let now = Stamp::parse("2026-07-07T07:15:30", 120).unwrap();
        let today = Stamp::parse("2026-07-07", 120).unwrap().as_of(now);
        assert_eq!(
            (today.ms, today.date_time().as_str()),
            (now.ms, "2026-07-07")
        );
        let earlier = Stamp::parse("2026-07-06", 120).unwrap();
        assert_eq!(earlier.as_of(now), earlier);
        let timed = Stamp::parse("2026-07-07T06:00", 120).unwrap();
        assert_eq!(timed.as_of(now), timed);
        // Just past midnight here, while the clock of UTC still shows the day before.
        let late = Stamp::parse("2026-07-08T00:30", 120).unwrap();
        let day = Stamp::parse("2026-07-08", 120).unwrap();
        assert_eq!(day.as_of(late).ms, late.ms);
        assert_eq!(today.as_of(late).ms, today.ms);
    }

    #[test]
    fn what_is_shown_is_read_back() {
        let stamp = Stamp {
            ms: 1_783_408_200_000,
            offset_min: 120,
            precision: Precision::Minute,
        };
        assert_eq!(Stamp::parse(&stamp.to_string(), 0), Some(stamp));
    }
}
