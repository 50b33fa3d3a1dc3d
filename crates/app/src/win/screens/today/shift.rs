//! Which shift it is: three of eight hours, from 6, 14 and 22 o'clock (common practice, no source).

use store::Stamp;
use store::time::Precision;

/// A shift.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shift {
    /// From 6.
    Early,
    /// From 14.
    Late,
    /// From 22.
    Night,
}

impl Shift {
    /// The shift at a time; none where only the day is known.
    pub fn at(now: Stamp) -> Option<Self> {
        if now.precision == Precision::Day {
            return None;
        }
        Some(match now.parts().3 {
            6..14 => Self::Early,
            14..22 => Self::Late,
            _ => Self::Night,
        })
    }

    /// The one that follows.
    pub fn next(self) -> Self {
        match self {
            Self::Early => Self::Late,
            Self::Late => Self::Night,
            Self::Night => Self::Early,
        }
    }

    /// What it is called.
    pub fn word(self) -> &'static str {
        match self {
            Self::Early => "early",
            Self::Late => "late",
            Self::Night => "night",
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn a_shift_begins_at_6_14_and_22_and_a_day_alone_has_none() {
        for (time, wanted) in [
            ("2026-10-30T05:59", "night"),
            ("2026-10-30T06:00", "early"),
            ("2026-10-30T13:59", "early"),
            ("2026-10-30T14:00", "late"),
            ("2026-10-30T22:00", "night"),
            ("2026-10-31T00:00", "night"),
        ] {
            let now = Stamp::parse(time, 60).unwrap();
            assert_eq!(Shift::at(now).unwrap().word(), wanted, "{time}");
            assert!(!now.weekday().is_empty(), "{time}");
        }
        let day = Stamp::parse("2026-10-30", 60).unwrap();
        assert_eq!((Shift::at(day), day.weekday().as_str()), (None, "Friday"));
        assert_eq!(Shift::Night.next().word(), "early");
        assert_eq!(Shift::Late.next(), Shift::Night);
    }
}
