//! What was typed, and what it means: text to integers and back.
//!
//! A decimal comma and a decimal point both work; a unit may follow; rounding happens once, here, half away from
//! zero. The text is kept as typed.

use std::fmt;

use crate::rows::RowOrder;

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// A size, stored in nm.
    Length,
    /// A temperature, stored in mK above 0 C.
    Temperature,
    /// A mass of grease, stored in mg.
    Mass,
    /// An angle on a ring, stored in 0.1 degree.
    Angle,
    /// A tightening torque, stored in mN m.
    Torque,
    /// A load put on by weights, stored in N.
    Load,
}

/// The unit that a bare number of a length has in this logbook.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum LengthUnit {
    /// Millimetre.
    #[default]
    Millimetre,
    /// Inch.
    Inch,
}

impl LengthUnit {
    /// The sign.
    pub fn sign(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }
}

/// A number with the unit it was typed in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Typed {
    /// nm, mK, mg, 0.1 degree, mN m or N.
    pub value: i64,
    /// Sign of the unit as typed, or of the logbook's where none was.
    pub unit: &'static str,
}

/// Why a text is no value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotAValue {
    /// No number at all.
    NoNumber(String),
    /// A number, but the unit is none for this field.
    OtherUnit(String),
    /// Both a comma and a point, or two of either: cannot tell which is which.
    TwoMarks(String),
    /// A comma before three digits, where thousands are as likely as thousandths.
    TwoReadings(String),
    /// Too large to be kept.
    TooLarge(String),
}

impl fmt::Display for NotAValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoNumber(text) => write!(f, "{text:?} is not a number"),
            Self::OtherUnit(unit) => write!(f, "{unit:?} is not a unit of this field"),
            Self::TwoMarks(text) => write!(
                f,
                "{text:?} has two decimal marks: type one comma or one point"
            ),
            Self::TwoReadings(text) => {
                let number: String = text.trim().chars().filter(|c| !c.is_alphabetic()).collect();
                let number = number.trim();
                let thousands = number.replace(['.', ','], "");
                let decimal = number.trim_end_matches('0').trim_end_matches(['.', ',']);
                write!(
                    f,
                    "{text:?} may be {thousands} or {decimal}: type the one that is meant, without a mark between thousands"
                )
            }
            Self::TooLarge(text) => write!(f, "{text:?} is too large"),
        }
    }
}

/// (sign, stored units in one, as numerator and denominator), the logbook's unit first.
fn units(quantity: Quantity, length: LengthUnit) -> Vec<(&'static str, i128, i128)> {
    match quantity {
        Quantity::Length => {
            let mut all = vec![
                ("mm", 1_000_000, 1),
                ("in", 25_400_000, 1),
                ("um", 1_000, 1),
                ("nm", 1, 1),
            ];
            if length == LengthUnit::Inch {
                all.swap(0, 1);
            }
            all
        }
        Quantity::Temperature => vec![("C", 1_000, 1)],
        Quantity::Mass => vec![("g", 1_000, 1), ("kg", 1_000_000, 1)],
        Quantity::Angle => vec![("deg", 10, 1)],
        Quantity::Torque => vec![("Nm", 1_000, 1), ("kNm", 1_000_000, 1)],
        // A weight by the standard acceleration of ISO 80000-3, 9.80665 m/s2.
        Quantity::Load => vec![("kg", 980_665, 100_000), ("N", 1, 1), ("kN", 1_000, 1)],
    }
}

/// Reads a typed value: `23.372`, `23,372`, `0.492in`, `12500 um`, `24 °C`.
///
/// # Errors
/// [`NotAValue`] says what is wrong, in words for the field.
pub fn read(text: &str, quantity: Quantity, length: LengthUnit) -> Result<Typed, NotAValue> {
    let trimmed = text.trim();
    let end = trimmed
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\u{2212}')))
        .map_or(trimmed.len(), |(i, _)| i);
    let (number, sign) = (&trimmed[..end], trimmed[end..].trim());
    let units = units(quantity, length);
    let wanted = match sign {
        "" => units[0].0,
        "\"" | "inch" | "IN" => "in",
        "\u{b5}m" | "\u{3bc}m" => "um",
        "MM" => "mm",
        "\u{b0}C" | "c" => "C",
        "\u{b0}" | "degrees" => "deg",
        "N m" => "Nm",
        other => other,
    };
    let Some(&(unit, numerator, denominator)) = units.iter().find(|(name, ..)| *name == wanted)
    else {
        if number.is_empty() {
            return Err(NotAValue::NoNumber(text.to_owned()));
        }
        return Err(NotAValue::OtherUnit(sign.to_owned()));
    };
    // Nobody weighs grease to the milligram or tightens to the thousandth: there a comma may stand between thousands.
    let is_coarse = matches!(quantity, Quantity::Mass | Quantity::Torque | Quantity::Load)
        && unit == units[0].0;
    if is_coarse && may_be_thousands(number, ',') {
        return Err(NotAValue::TwoReadings(text.to_owned()));
    }
    let value = decimal(number, text, numerator, denominator)?;
    Ok(Typed { value, unit })
}

/// What a gauge goes from and to, as printed on it: `10-40`, `0.4 to 1.2 in`. None where it says no two numbers.
pub fn range(text: &str, quantity: Quantity) -> Option<(i64, i64)> {
    let (low, high) = [" to ", "\u{2013}", "-"]
        .iter()
        .find_map(|mark| text.split_once(mark))?;
    let high = high.trim();
    let unit =
        high.trim_start_matches(|c: char| !c.is_alphabetic() && !matches!(c, '"' | '\u{b0}'));
    let of = |text: &str| {
        let typed = read(text, quantity, LengthUnit::Millimetre).ok()?;
        Some(typed.value)
    };
    let bare = low.trim();
    let low = of(&format!("{bare}{unit}")).or_else(|| of(bare))?;
    Some((low, of(high)?)).filter(|(low, high)| low < high)
}

/// Reads a bare number times `per_one`, rounded half away from zero.
///
/// # Errors
/// [`NotAValue`] says what is wrong.
pub fn scaled(text: &str, per_one: i64) -> Result<i64, NotAValue> {
    decimal(text.trim(), text, i128::from(per_one), 1)
}

/// As [`scaled`], for hours, tonnes, grams, money and counts, of which there may be thousands: `2,010` is refused, and
/// with the decimal comma `2.010` is, because the program itself sets off thousands and cannot know which is meant.
///
/// # Errors
/// [`NotAValue`] says what is wrong.
pub fn amount(text: &str, per_one: i64, is_decimal_comma: bool) -> Result<i64, NotAValue> {
    let between_thousands = if is_decimal_comma { '.' } else { ',' };
    if may_be_thousands(text.trim(), between_thousands) {
        return Err(NotAValue::TwoReadings(text.to_owned()));
    }
    scaled(text, per_one)
}

/// True for one to three digits that do not begin with 0, the mark, and three digits.
fn may_be_thousands(number: &str, mark: char) -> bool {
    let digits = number.trim_start_matches(['+', '-', '\u{2212}']);
    digits.split_once(mark).is_some_and(|(whole, rest)| {
        let is_digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
        (1..=3).contains(&whole.len())
            && !whole.starts_with('0')
            && rest.len() == 3
            && is_digits(whole)
            && is_digits(rest)
    })
}

/// `number` times `numerator / denominator`, rounded half away from zero, exactly.
fn decimal(number: &str, text: &str, numerator: i128, denominator: i128) -> Result<i64, NotAValue> {
    let no_number = || NotAValue::NoNumber(text.to_owned());
    let too_large = || NotAValue::TooLarge(text.to_owned());
    let (is_negative, digits) = match number.chars().next() {
        Some('-' | '\u{2212}') => (true, number.trim_start_matches(['-', '\u{2212}'])),
        Some('+') => (false, &number[1..]),
        _ => (false, number),
    };
    if digits.matches(['.', ',']).count() > 1 {
        return Err(NotAValue::TwoMarks(text.to_owned()));
    }
    let (whole, fraction) = digits.split_once(['.', ',']).unwrap_or((digits, ""));
    let all = format!("{whole}{fraction}");
    if all.is_empty() || !all.bytes().all(|b| b.is_ascii_digit()) {
        return Err(no_number());
    }
    if all.len() > 24 {
        return Err(too_large());
    }
    let mantissa: i128 = all.parse().map_err(|_| no_number())?;
    let scale = 10_i128.pow(u32::try_from(fraction.len()).map_err(|_| too_large())?);
    let scaled = mantissa.checked_mul(numerator).ok_or_else(too_large)?;
    let divisor = scale * denominator;
    // Half away from zero: the sign is put back afterwards.
    let rounded = (scaled + divisor / 2) / divisor;
    let value = i64::try_from(rounded).map_err(|_| too_large())?;
    if value > i64::MAX / 4 {
        return Err(too_large());
    }
    Ok(if is_negative { -value } else { value })
}

/// How numbers are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Show {
    /// Unit of lengths.
    pub unit: LengthUnit,
    /// Comma instead of point.
    pub comma: bool,
    /// From which end rows are counted.
    pub rows: RowOrder,
    /// What money is counted in; none where the plant has not said.
    pub currency: Option<Currency>,
}

/// A currency by its three letters (ISO 4217).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Currency([u8; 3]);

impl Currency {
    /// Reads three letters, small or large.
    pub fn read(text: &str) -> Option<Self> {
        let letters: [u8; 3] = text.trim().as_bytes().try_into().ok()?;
        let is_code = letters.iter().all(u8::is_ascii_alphabetic);
        is_code.then(|| Self(letters.map(|letter| letter.to_ascii_uppercase())))
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0
            .iter()
            .try_for_each(|letter| write!(f, "{}", char::from(*letter)))
    }
}

impl Show {
    /// A row pair by its rows: `rows 1–2`.
    pub fn pair_name(self, pair: usize) -> String {
        self.rows.four().pair_name(pair)
    }

    /// The rows of a pair alone: `1–2`.
    pub fn pair_rows(self, pair: usize) -> String {
        self.rows.four().pair_rows(pair)
    }

    /// Values that stand side by side without a name, one for each row pair: in the order in which the plant counts.
    pub fn in_order<T>(self, mut values: Vec<T>) -> Vec<T> {
        if self.rows == RowOrder::FromOutboard {
            values.reverse();
        }
        values
    }

    /// The spacer in a row pair: `S1`.
    pub fn spacer(self, pair: usize) -> String {
        self.rows.four().spacer(pair)
    }

    /// A length without its unit: mm to 0.001, inch to 0.00001, as a tenth of a thousandth is too coarse for an ovality,
    /// a taper or what a bearing wears in a thousand hours. A true minus sign.
    pub fn length(self, nm: i64) -> String {
        match self.unit {
            LengthUnit::Millimetre => self.decimals(nm, 1_000_000, 3),
            LengthUnit::Inch => self.decimals(nm, 25_400_000, 5),
        }
    }

    /// The length that [`Show::length`] shows.
    pub fn rounded(self, nm: i64) -> i64 {
        let step = match self.unit {
            LengthUnit::Millimetre => 1_000,
            LengthUnit::Inch => 254,
        };
        (nm + step / 2).div_euclid(step) * step
    }

    /// A length with its unit.
    pub fn length_unit(self, nm: i64) -> String {
        format!("{} {}", self.length(nm), self.unit.sign())
    }

    /// A deviation, always signed.
    pub fn deviation(self, nm: i64) -> String {
        let text = self.length(nm);
        if nm > 0 { format!("+{text}") } else { text }
    }

    /// A temperature, C.
    pub fn temperature(self, mk: i64) -> String {
        self.decimals(mk, 1_000, u32::from(mk % 1_000 != 0))
    }

    /// A value with its unit.
    pub fn with_unit(self, quantity: Quantity, value: i64) -> String {
        format!("{} {}", self.told(quantity, value), self.sign_of(quantity))
    }

    /// A value without its unit, to be read: where there may be thousands they are set off.
    pub fn told(self, quantity: Quantity, value: i64) -> String {
        match quantity {
            Quantity::Torque | Quantity::Mass | Quantity::Load => {
                self.set_off(&self.bare(quantity, value))
            }
            _ => self.bare(quantity, value),
        }
    }

    /// A value without its unit, as it stands in a field; a load is told as the mass that makes it.
    pub fn bare(self, quantity: Quantity, value: i64) -> String {
        match quantity {
            Quantity::Length => self.length(value),
            Quantity::Temperature => self.temperature(value),
            Quantity::Torque | Quantity::Mass => {
                self.decimals(value, 1_000, u32::from(value % 1_000 != 0))
            }
            Quantity::Angle => self.decimals(value, 10, u32::from(value % 10 != 0)),
            Quantity::Load => self.decimals(value * 100_000 / 980_665, 1, 0),
        }
    }

    /// The sign of a unit.
    pub fn sign_of(self, quantity: Quantity) -> &'static str {
        match quantity {
            Quantity::Length => self.unit.sign(),
            Quantity::Temperature => "\u{b0}C",
            Quantity::Torque => "N m",
            Quantity::Mass => "g",
            Quantity::Angle => "\u{b0}",
            Quantity::Load => "kg",
        }
    }

    /// Hours to whole ones, thousands set off by a comma, or a thin gap where the comma is the decimal mark.
    pub fn hours(self, run_s: i64) -> String {
        self.grouped((run_s + 1800).div_euclid(3600))
    }

    /// Thousand tonnes.
    pub fn kilotonnes(self, kg: i64) -> String {
        self.amount(kg, 1_000_000, 1)
    }

    /// An amount of money with its hundredths, in the plant's currency where there is one.
    pub fn money(self, minor: i64) -> String {
        let sign = if minor < 0 { "\u{2212}" } else { "" };
        let size = minor.checked_abs().unwrap_or(i64::MAX);
        let mark = if self.comma { ',' } else { '.' };
        let whole = self.grouped(size / 100);
        let currency = self
            .currency
            .map_or_else(String::new, |currency| format!(" {currency}"));
        format!("{sign}{whole}{mark}{:02}{currency}", size % 100)
    }

    /// A whole number with its thousands set off.
    pub fn grouped(self, value: i64) -> String {
        self.amount(value, 1, 0)
    }

    /// As [`Show::decimals`], of what there may be thousands: they are set off.
    pub fn amount(self, value: i64, per: i64, decimals: u32) -> String {
        self.set_off(&self.decimals(value, per, decimals))
    }

    /// A shown number with the thousands of its whole part set off.
    fn set_off(self, number: &str) -> String {
        let mark = if self.comma { '\u{a0}' } else { ',' };
        let whole = number.find(['.', ',']).unwrap_or(number.len());
        let mut text = String::new();
        let mut is_after_digit = false;
        for (i, c) in number.char_indices() {
            if is_after_digit && i < whole && (whole - i).is_multiple_of(3) {
                text.push(mark);
            }
            is_after_digit = c.is_ascii_digit();
            text.push(c);
        }
        text
    }

    /// `value / per` with so many decimals, rounded half away from zero.
    pub fn decimals(self, value: i64, per: i64, decimals: u32) -> String {
        let scale = 10_i128.pow(decimals);
        let (size, per) = (i128::from(value.unsigned_abs()), i128::from(per));
        let rounded = (size * scale + per / 2) / per;
        let sign = if value < 0 && rounded > 0 {
            "\u{2212}"
        } else {
            ""
        };
        let whole = rounded / scale;
        if decimals == 0 {
            return format!("{sign}{whole}");
        }
        let mark = if self.comma { ',' } else { '.' };
        format!(
            "{sign}{whole}{mark}{:0width$}",
            rounded % scale,
            width = decimals as usize
        )
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn mm(text: &str) -> Result<i64, NotAValue> {
        read(text, Quantity::Length, LengthUnit::Millimetre).map(|t| t.value)
    }

    #[test]
    fn lengths_are_read_as_people_and_gauges_type_them() {
        for (text, nm) in [
            ("23.372", 23_372_000),
            ("23,372", 23_372_000),
            (" 620.214\r\n", 620_214_000),
            ("12.5", 12_500_000),
            ("0.492in", 12_496_800),
            ("0,492 in", 12_496_800),
            ("12500um", 12_500_000),
            ("12500 \u{b5}m", 12_500_000),
            ("-0.045", -45_000),
            ("\u{2212}0.045", -45_000),
            ("+.5", 500_000),
            ("7.", 7_000_000),
            ("0.0000005", 1),
            ("-0.0000005", -1),
            ("0.0000004", 0),
        ] {
            assert_eq!(mm(text), Ok(nm), "{text}");
        }
        assert_eq!(
            read("18.886", Quantity::Length, LengthUnit::Inch)
                .unwrap()
                .value,
            479_704_400
        );
        assert_eq!(
            read("23", Quantity::Temperature, LengthUnit::Millimetre)
                .unwrap()
                .value,
            23_000
        );
        assert_eq!(
            read(
                "23.5 \u{b0}C",
                Quantity::Temperature,
                LengthUnit::Millimetre
            )
            .unwrap()
            .unit,
            "C"
        );
        assert_eq!(
            read("1,2kg", Quantity::Mass, LengthUnit::Millimetre)
                .unwrap()
                .value,
            1_200_000
        );
    }

    #[test]
    fn what_may_be_thousands_is_refused_with_both_readings() {
        for (text, comma, value) in [
            ("2010", false, Some(2_010_000)),
            ("2.01", false, Some(2_010)),
            ("2,01", false, Some(2_010)),
            ("2.010", false, Some(2_010)),
            ("2,010", false, None),
            ("-120,500", false, None),
            ("0,125", false, Some(125)),
            ("4120,500", false, Some(4_120_500)),
            ("2,010", true, Some(2_010)),
            ("2.010", true, None),
        ] {
            assert_eq!(amount(text, 1_000, comma).ok(), value, "{text} {comma}");
        }
        let said = amount("2,010", 3600, false).unwrap_err().to_string();
        assert!(said.contains("may be 2010 or 2,01:"), "{said}");
        let grams = |text| read(text, Quantity::Mass, LengthUnit::Millimetre);
        assert!(matches!(grams("1,200"), Err(NotAValue::TwoReadings(_))));
        assert_eq!(grams("1,200 kg").unwrap().value, 1_200_000);
        assert_eq!(mm("23,372"), Ok(23_372_000), "a size keeps its comma");
    }

    #[test]
    fn the_range_on_a_gauge_is_read_in_its_unit() {
        for (text, range) in [
            ("10-40", Some((10_000_000, 40_000_000))),
            ("0.03-1.00 mm", Some((30_000, 1_000_000))),
            ("0,03 \u{2013} 1,00", Some((30_000, 1_000_000))),
            ("0 to 1 in", Some((0, 25_400_000))),
            ("620", None),
            ("", None),
            ("40-10", None),
            ("any", None),
        ] {
            assert_eq!(super::range(text, Quantity::Length), range, "{text}");
        }
        assert_eq!(
            super::range("200-1000", Quantity::Torque),
            Some((200_000, 1_000_000))
        );
    }

    #[test]
    fn what_is_no_value_is_refused_with_a_reason() {
        assert!(matches!(mm(""), Err(NotAValue::NoNumber(_))));
        assert!(matches!(mm("abc"), Err(NotAValue::NoNumber(_))));
        assert!(matches!(mm("1-2"), Err(NotAValue::NoNumber(_))));
        assert!(matches!(mm("1.234,5"), Err(NotAValue::TwoMarks(_))));
        assert!(matches!(mm("12 kg"), Err(NotAValue::OtherUnit(_))));
        assert!(matches!(
            mm("999999999999999999999999999"),
            Err(NotAValue::TooLarge(_))
        ));
        assert!(matches!(
            mm("99999999999999999999"),
            Err(NotAValue::TooLarge(_))
        ));
    }

    #[test]
    fn numbers_are_shown_in_unit_and_language() {
        let point = Show::default();
        let comma = Show {
            comma: true,
            ..point
        };
        let inch = Show {
            unit: LengthUnit::Inch,
            ..point
        };
        assert_eq!(point.length(23_372_000), "23.372");
        assert_eq!(comma.length(23_372_000), "23,372");
        assert_eq!(inch.length(12_700_000), "0.50000");
        // A clearance and its growth stand side by side: both to the same place.
        assert_eq!(inch.length(640_000), "0.02520");
        assert_eq!(inch.length(55_000), "0.00217");
        assert_eq!(point.deviation(-32_000), "\u{2212}0.032");
        assert_eq!(point.deviation(113_000), "+0.113");
        assert_eq!(point.deviation(-400), "0.000");
        assert_eq!(point.hours(1_015 * 3600), "1,015");
        assert_eq!(comma.hours(1_015 * 3600), "1\u{a0}015");
        assert_eq!(point.grouped(-1_234_567), "\u{2212}1,234,567");
        for (show, mg, told) in [
            (point, 1_840_000, "1,840 g"),
            (point, -12_345_678_500, "\u{2212}12,345,678.5 g"),
            (point, 999_900, "999.9 g"),
            (comma, 1_840_500, "1\u{a0}840,5 g"),
        ] {
            assert_eq!(show.with_unit(Quantity::Mass, mg), told);
        }
        assert_eq!(point.with_unit(Quantity::Torque, 1_150_000), "1,150 N m");
        assert_eq!(point.kilotonnes(1_004_700_000), "1,004.7");
        assert_eq!(
            point.bare(Quantity::Mass, 1_840_000),
            "1840",
            "a field takes back what stands in it"
        );
        assert_eq!(point.money(1_240_000), "12,400.00");
        let euro = Show {
            currency: Currency::read("eur "),
            ..comma
        };
        assert_eq!(euro.money(-7_505), "\u{2212}75,05 EUR");
        for text in ["", "EU", "E1R", "EURO", "\u{20ac}"] {
            assert_eq!(Currency::read(text), None, "{text}");
        }
        assert_eq!(point.length(i64::MIN), point.length(i64::MIN));
    }

    proptest! {
        #[test]
        fn a_shown_length_is_read_back(um in -9_000_000_i64..9_000_000, comma: bool) {
            let show = Show { comma, ..Show::default() };
            prop_assert_eq!(mm(&show.length(um * 1000)), Ok(um * 1000));
            // In inch to the nearest micrometre.
            let inch = Show { unit: LengthUnit::Inch, ..show };
            let back = read(&inch.length(um * 1000), Quantity::Length, LengthUnit::Inch);
            prop_assert_eq!((back.map(|b| b.value).unwrap_or_default() as f64 / 1000.0).round() as i64, um);
        }

        #[test]
        fn any_text_is_read_or_refused_without_panic(text in "\\PC*") {
            let _outcome = mm(&text);
        }
    }
}
