//! Numbers of a form: what is typed, in which unit, and the integer that the record keeps.

use store::entry::{self, LengthUnit, Quantity, Show};

/// The unit that people use in a field, each with the integer of the record behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// The logbook's unit of length; nm.
    Length,
    /// Hours; s.
    Hours,
    /// Tonnes; kg.
    Tonnes,
    /// kg; g.
    Kilogram,
    /// g; mg.
    Gram,
    /// Degrees of angle; 0.1 degree.
    Degree,
    /// Degrees Celsius; mK above 0 C.
    Celsius,
    /// A difference of temperatures; mK.
    Kelvin,
    /// N m; mN m.
    NewtonMetre,
    /// kN; N.
    Kilonewton,
    /// Turns a minute; thousandths of one.
    PerMinute,
    /// Hours of a clock face; 0.1 degree from 12 clockwise.
    Clock,
    /// How many times; ppm.
    Times,
    /// Hundredths of a whole; ppm.
    Percent,
    /// A number of things.
    Count,
}

impl Unit {
    /// The unit of a value whose name ends with that of the record.
    pub fn of_name(name: &str) -> Self {
        match name.rsplit('_').next().unwrap_or_default() {
            "nm" => Self::Length,
            "s" => Self::Hours,
            "kg" => Self::Tonnes,
            "g" => Self::Kilogram,
            "mg" => Self::Gram,
            "ddeg" => Self::Degree,
            "mk" => Self::Celsius,
            "mnm" => Self::NewtonMetre,
            "n" => Self::Kilonewton,
            "mrpm" => Self::PerMinute,
            "ppm" if name.ends_with("_conformity_ppm") => Self::Percent,
            "ppm" => Self::Times,
            _ => Self::Count,
        }
    }

    /// What stands in the field, at its right.
    pub const fn sign(self, show: Show) -> &'static str {
        match (self, show.unit) {
            (Self::Length, LengthUnit::Millimetre) => "mm",
            (Self::Length, LengthUnit::Inch) => "in",
            (Self::Hours, _) => "h",
            (Self::Tonnes, _) => "t",
            (Self::Kilogram, _) => "kg",
            (Self::Gram, _) => "g",
            (Self::Degree, _) => "\u{b0}",
            (Self::Celsius, _) => "\u{b0}C",
            (Self::Kelvin, _) => "K",
            (Self::NewtonMetre, _) => "N m",
            (Self::Kilonewton, _) => "kN",
            (Self::PerMinute, _) => "1/min",
            (Self::Clock, _) => "o\u{2019}clock",
            (Self::Times, _) => "\u{d7}",
            (Self::Percent, _) => "%",
            (Self::Count, _) => "",
        }
    }

    /// Units of the record in one of these.
    const fn per_one(self) -> i64 {
        match self {
            Self::Hours => 3600,
            Self::Degree => 10,
            Self::Clock => 300,
            Self::Times | Self::Length => 1_000_000,
            Self::Percent => 10_000,
            Self::Count => 1,
            _ => 1000,
        }
    }

    /// How else the unit may be typed.
    const fn spellings(self) -> &'static [&'static str] {
        match self {
            Self::Length => &["mm", "in", "um"],
            Self::Hours => &["h", "hours"],
            Self::Tonnes => &["t", "tonnes"],
            Self::Kilogram => &["kg"],
            Self::Gram => &["g"],
            Self::Degree => &["\u{b0}", "deg"],
            Self::Celsius => &["\u{b0}C", "C", "c"],
            Self::Kelvin => &["K", "k"],
            Self::NewtonMetre => &["N m", "Nm"],
            Self::Kilonewton => &["kN", "kn"],
            Self::PerMinute => &["1/min", "rpm"],
            Self::Clock => &["o'clock", "o\u{2019}clock"],
            Self::Times => &["x", "\u{d7}"],
            Self::Percent => &["%"],
            Self::Count => &[],
        }
    }

    /// Of these there may be thousands, and nobody counts thousandths.
    const fn has_thousands(self) -> bool {
        matches!(
            self,
            Self::Hours
                | Self::Tonnes
                | Self::Kilogram
                | Self::Gram
                | Self::NewtonMetre
                | Self::Count
        )
    }

    /// Whether a number of this unit may be written with this word after it.
    pub fn takes(self, word: &str) -> bool {
        match self {
            Self::Length => entry::read(
                &format!("1 {word}"),
                Quantity::Length,
                LengthUnit::Millimetre,
            )
            .is_ok(),
            _ => self.spellings().contains(&word) || word == self.sign(Show::default()),
        }
    }

    /// What the text means in the unit of the record.
    ///
    /// # Errors
    /// Why it means nothing, for people.
    pub fn read(self, text: &str, show: Show) -> Result<i64, String> {
        if self == Self::Length {
            return entry::read(text, Quantity::Length, show.unit)
                .map(|t| t.value)
                .map_err(|e| self.why(&e, show));
        }
        let text = text.trim();
        let end = text
            .find(|c: char| !(c.is_ascii_digit() || "+-,.\u{2212}".contains(c)))
            .unwrap_or(text.len());
        let (number, sign) = (&text[..end], text[end..].trim());
        if !number.is_empty() && !sign.is_empty() && !self.spellings().contains(&sign) {
            return Err(self.why(&entry::NotAValue::OtherUnit(sign.into()), show));
        }
        let number = if number.is_empty() { text } else { number };
        let value = if self.has_thousands() {
            entry::amount(number, self.per_one(), show.comma)
        } else {
            entry::scaled(number, self.per_one())
        };
        let value = value.map_err(|e| self.why(&e, show))?;
        let is_whole = self != Self::Count || !number.contains([',', '.']);
        if is_whole {
            Ok(value)
        } else {
            Err(format!("{number} is not a whole number"))
        }
    }

    fn why(self, not: &entry::NotAValue, show: Show) -> String {
        let sign = self.sign(show);
        match (not, sign) {
            (entry::NotAValue::OtherUnit(_), "") => format!("{not}: it takes a number alone"),
            (entry::NotAValue::OtherUnit(_), _) => format!("{not}: it takes {sign}"),
            _ => not.to_string(),
        }
    }

    /// The value as it stands in a field: no more decimals than it needs, lengths with those of the shop.
    pub fn show(self, value: i64, show: Show) -> String {
        let (per, least, most) = match (self, show.unit) {
            (Self::Length, LengthUnit::Millimetre) => (1_000_000, 3, 6),
            (Self::Length, LengthUnit::Inch) => (25_400_000, 4, 5),
            (_, _) => (self.per_one(), 0, 3),
        };
        let mut text = show.decimals(value, per, most);
        for _ in least..most {
            if text.ends_with('0') {
                text.pop();
            }
        }
        if least == 0 && (text.ends_with('.') || text.ends_with(',')) {
            text.pop();
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_in_the_unit_of_their_field_and_shown_back() {
        let mm = Show::default();
        let inch = Show {
            unit: LengthUnit::Inch,
            ..mm
        };
        let comma = Show { comma: true, ..mm };
        for (unit, show, text, value, back) in [
            (Unit::Length, mm, "480", 480_000_000, "480.000"),
            (Unit::Length, mm, "0.0005", 500, "0.0005"),
            (Unit::Length, inch, "0.3 mm", 300_000, "0.01181"),
            (Unit::Length, comma, "-0,045", -45_000, "\u{2212}0,045"),
            (Unit::Hours, mm, "1000 h", 3_600_000, "1000"),
            (Unit::Kilogram, mm, "268", 268_000, "268"),
            (Unit::Clock, mm, "6", 1800, "6"),
            (Unit::Clock, mm, "10.5", 3150, "10.5"),
            (Unit::Times, mm, "1.5", 1_500_000, "1.5"),
            (Unit::Percent, mm, "99 %", 990_000, "99"),
            (Unit::Percent, comma, "99,5", 995_000, "99,5"),
            (Unit::Celsius, mm, "110 \u{b0}C", 110_000, "110"),
            (Unit::Count, mm, "150", 150, "150"),
            (Unit::Kilonewton, comma, "18,5 kN", 18_500, "18,5"),
            (Unit::PerMinute, mm, "92.5 1/min", 92_500, "92.5"),
        ] {
            assert_eq!(unit.read(text, show), Ok(value), "{text}");
            assert_eq!(unit.show(value, show), back, "{text}");
        }
    }

    #[test]
    fn a_wrong_unit_is_named_with_the_one_that_is_meant() {
        let why = Unit::Length.read("480 kg", Show::default()).unwrap_err();
        assert_eq!(why, "\"kg\" is not a unit of this field: it takes mm");
        assert!(
            Unit::Hours
                .read("40 mm", Show::default())
                .unwrap_err()
                .contains("it takes h")
        );
        assert!(Unit::Count.read("1.5", Show::default()).is_err());
        assert!(Unit::Hours.read("soon", Show::default()).is_err());
        let why = Unit::Hours.read("2,010 h", Show::default()).unwrap_err();
        assert!(why.contains("may be 2010 or 2,01"), "{why}");
    }
}
