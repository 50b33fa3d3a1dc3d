//! Units of a method and units of the reader.
//!
//! A method speaks mm and um. Whoever reads inches types and sees inches, and thousandths of an inch (`thou`) where
//! the method speaks um.

use store::entry::{self, LengthUnit, NotAValue, Quantity, Show};

const NM_PER_INCH: i64 = 25_400_000;
const NM_PER_THOU: i64 = 25_400;

/// A unit of a method, as the reader meets it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// A length: mm in the method, mm or inch for the reader.
    Length,
    /// A small length: um in the method, µm or thou for the reader.
    Small,
    /// An expansion: 1/K in the method, µm/(m K) for the reader.
    Expansion,
    /// Degrees Celsius.
    Celsius,
    /// Any other, the same for both.
    Other(&'static str),
}

impl Unit {
    /// The unit that a method names so.
    pub fn of(unit: &'static str) -> Self {
        match unit {
            "mm" => Self::Length,
            "um" => Self::Small,
            "1/K" => Self::Expansion,
            "°C" => Self::Celsius,
            other => Self::Other(other),
        }
    }

    /// The sign for the reader.
    pub fn sign(self, length: LengthUnit) -> &'static str {
        match (self, length) {
            (Self::Length, unit) => unit.sign(),
            (Self::Small, LengthUnit::Millimetre) => "\u{b5}m",
            (Self::Small, LengthUnit::Inch) => "thou",
            (Self::Expansion | Self::Other("1e-6/K"), _) => "\u{b5}m/(m\u{b7}K)",
            (Self::Celsius, _) => "\u{b0}C",
            (Self::Other("1e6 rev"), _) => "million rev",
            (Self::Other("cm3"), _) => "cm\u{b3}",
            (Self::Other(sign), _) => sign,
        }
    }

    /// What a text means, in the unit of the method; a bare number is in the reader's.
    ///
    /// # Errors
    /// Why it means nothing, in words for the field.
    pub fn read(self, text: &str, length: LengthUnit) -> Result<f64, String> {
        let why = |e: NotAValue| e.to_string();
        match self {
            Self::Length => {
                let typed = entry::read(text, Quantity::Length, length).map_err(why)?;
                Ok(typed.value as f64 / 1e6)
            }
            Self::Small => read_small(text, length)
                .map(|nm| nm as f64 / 1e3)
                .map_err(why),
            Self::Expansion => {
                Ok(number(text, &["\u{b5}m/(m\u{b7}K)", "um/(m K)", "um/m/K"])? * 1e-6)
            }
            Self::Celsius => number(text, &["°C", "C", "c"]),
            Self::Other(sign) => number(text, &[sign, self.sign(length)]),
        }
    }

    /// A value of the method as a text to be typed on, with nothing lost.
    pub fn write(self, value: f64, show: Show) -> String {
        let trimmed = |nm: f64, per: i64, most: u32| {
            trim(show.decimals(nm.round() as i64, per, most), 0, most)
        };
        match (self, show.unit) {
            (Self::Length, LengthUnit::Millimetre) => trimmed(value * 1e6, 1_000_000, 6),
            (Self::Length, LengthUnit::Inch) => trimmed(value * 1e6, NM_PER_INCH, 6),
            (Self::Small, LengthUnit::Millimetre) => trimmed(value * 1e3, 1_000, 3),
            (Self::Small, LengthUnit::Inch) => trimmed(value * 1e3, NM_PER_THOU, 4),
            (Self::Expansion, _) => with_mark(&format!("{}", (value * 1e12).round() / 1e6), show),
            (Self::Celsius | Self::Other(_), _) => with_mark(&format!("{value}"), show),
        }
    }

    /// A value of the method to be read, without its unit.
    pub fn show(self, value: f64, show: Show) -> String {
        let nm = |scale: f64| (value * scale).round() as i64;
        match (self, show.unit) {
            (Self::Length, LengthUnit::Millimetre) => {
                trim(show.decimals(nm(1e6), 1_000_000, 4), 3, 4)
            }
            (Self::Length, LengthUnit::Inch) => trim(show.decimals(nm(1e6), NM_PER_INCH, 5), 4, 5),
            (Self::Small, LengthUnit::Millimetre) => trim(show.decimals(nm(1e3), 1_000, 2), 0, 2),
            (Self::Small, LengthUnit::Inch) => trim(show.decimals(nm(1e3), NM_PER_THOU, 2), 0, 2),
            (Self::Expansion, _) => significant(value * 1e6, 5, show),
            (Self::Celsius, _) => decimals(value, 1, show),
            (Self::Other(_), _) => significant(value, 5, show),
        }
    }

    /// The same with its unit.
    pub fn show_with(self, value: f64, show: Show) -> String {
        with_sign(&self.show(value, show), self.sign(show.unit))
    }
}

/// A text with the sign of its unit, if it has one.
pub(super) fn with_sign(text: &str, sign: &str) -> String {
    if sign.is_empty() {
        text.to_owned()
    } else {
        format!("{text} {sign}")
    }
}

/// A number to so many decimals at most, thousands set off from ten thousand on.
pub(super) fn decimals(value: f64, most: usize, show: Show) -> String {
    if !value.is_finite() || value.abs() >= 1e15 {
        return with_mark(&format!("{value:e}"), show);
    }
    let text = format!("{value:.most$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    let (whole, rest) = text.split_once('.').unwrap_or((&text, ""));
    let whole = match whole.parse::<i64>() {
        Ok(number) if number.abs() >= 10_000 => show.grouped(number),
        Ok(0) if rest.is_empty() => "0".into(),
        _ => whole.replace('-', "\u{2212}"),
    };
    if rest.is_empty() {
        return whole;
    }
    format!("{whole}{}{rest}", if show.comma { ',' } else { '.' })
}

/// A number to so many digits that say something.
fn significant(value: f64, digits: i32, show: Show) -> String {
    if value == 0.0 || !value.is_finite() {
        return decimals(value, 0, show);
    }
    let power = format!("{value:e}")
        .rsplit('e')
        .next()
        .and_then(|e| e.parse::<i32>().ok())
        .unwrap_or(0);
    if power < -5 {
        return with_mark(&format!("{value:.*e}", digits.max(1) as usize - 1), show);
    }
    decimals(
        value,
        usize::try_from(digits - 1 - power).unwrap_or(0),
        show,
    )
}

/// Zeros at the end go, down to the fewest decimals wanted.
fn trim(mut text: String, least: u32, most: u32) -> String {
    for _ in least..most {
        if !text.ends_with('0') {
            return text;
        }
        text.pop();
    }
    if least == 0 {
        text = text.trim_end_matches(['.', ',']).to_owned();
    }
    text
}

/// A number as the program writes it, with the reader's decimal mark and a true minus.
fn with_mark(text: &str, show: Show) -> String {
    let text = text.replace('-', "\u{2212}");
    if show.comma {
        text.replace('.', ",")
    } else {
        text
    }
}

/// A text parted into its number and the sign of a unit behind it.
fn parted(text: &str) -> (&str, &str) {
    let text = text.trim();
    let is_part = |(i, c): &(usize, char)| {
        let has_digit_before = text[..*i].ends_with(|p: char| p.is_ascii_digit());
        let rest = &text[*i + c.len_utf8()..];
        let is_exponent = matches!(c, 'e' | 'E')
            && has_digit_before
            && rest
                .trim_start_matches(['-', '+', '\u{2212}'])
                .starts_with(|n: char| n.is_ascii_digit());
        c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\u{2212}') || is_exponent
    };
    let end = text
        .char_indices()
        .find(|at| !is_part(at))
        .map_or(text.len(), |(i, _)| i);
    (&text[..end], text[end..].trim())
}

/// A small length in nm.
fn read_small(text: &str, length: LengthUnit) -> Result<i64, NotAValue> {
    let (number, sign) = parted(text);
    match (sign, length) {
        ("", LengthUnit::Inch) | ("thou" | "mil", _) => entry::scaled(number, NM_PER_THOU),
        ("", LengthUnit::Millimetre) => entry::scaled(number, 1_000),
        _ => entry::read(text, Quantity::Length, length).map(|typed| typed.value),
    }
    .map_err(|e| match e {
        NotAValue::NoNumber(_) => NotAValue::NoNumber(text.to_owned()),
        other => other,
    })
}

/// Any other number, with a comma or a point, and an exponent if need be.
fn number(text: &str, signs: &[&str]) -> Result<f64, String> {
    let (number, sign) = parted(text);
    if !number.is_empty() && !sign.is_empty() && !signs.contains(&sign) {
        return Err(NotAValue::OtherUnit(sign.to_owned()).to_string());
    }
    if number.matches(['.', ',']).count() > 1 {
        return Err(NotAValue::TwoMarks(text.to_owned()).to_string());
    }
    let plain = number.replace(',', ".").replace('\u{2212}', "-");
    let value = plain.parse::<f64>().ok().filter(|v| v.is_finite());
    value.ok_or_else(|| NotAValue::NoNumber(text.to_owned()).to_string())
}
