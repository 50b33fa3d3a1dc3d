//! What was typed, as it is kept and as it is shown again.

use store::draft::{Fields, Source};
use store::entry::{self, LengthUnit, Quantity, Show};
use store::sheet::field::{self, FieldKind};

/// Faster than this for each character, no hand types, s.
const HAND_S: f64 = 0.03;

/// Where a typed text comes from: a gauge types faster than a hand.
pub fn source(typed: &str, took_s: f64) -> Source {
    let count = typed.chars().count();
    if count >= 4 && took_s < HAND_S * count as f64 {
        Source::Gauge
    } else {
        Source::Typed
    }
}

fn quantity(path: &str) -> Option<Quantity> {
    let path = path.strip_prefix("kept.").unwrap_or(path);
    if let Some(FieldKind::Number(quantity)) = field::kind(path) {
        Some(quantity)
    } else {
        None
    }
}

fn is_bare_length(path: &str, text: &str, unit: LengthUnit) -> bool {
    quantity(path) == Some(Quantity::Length)
        && text.ends_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',')
        && entry::read(text, Quantity::Length, unit).is_ok()
}

/// The text as it is kept: a bare length in inch is given its unit, so that it stays what it is when the logbook
/// changes to mm.
pub fn stored(path: &str, text: &str, unit: LengthUnit) -> String {
    if unit == LengthUnit::Inch && is_bare_length(path, text, unit) {
        format!("{text}in")
    } else {
        text.to_owned()
    }
}

/// The fields with a unit behind every bare length, which is one in mm, where the logbook shows inch.
pub fn with_units(fields: &Fields, unit: LengthUnit) -> Fields {
    let mut all = fields.clone();
    if unit == LengthUnit::Inch {
        for (path, field) in &mut all {
            if is_bare_length(path, field.text.trim(), LengthUnit::Millimetre) {
                field.text = format!("{}mm", field.text.trim());
            }
        }
    }
    all
}

/// A committed text as it stands in its field: in the logbook's unit, which is then left out.
pub fn shown(path: &str, text: &str, show: Show) -> String {
    let text = text.trim();
    let Some(quantity) = quantity(path) else {
        return text.to_owned();
    };
    // A bare length is one in mm.
    let Ok(typed) = entry::read(text, quantity, LengthUnit::Millimetre) else {
        return text.to_owned();
    };
    let own = match quantity {
        Quantity::Length => show.unit.sign(),
        Quantity::Temperature => "C",
        Quantity::Mass => "g",
        Quantity::Angle => "deg",
        Quantity::Torque => "Nm",
        Quantity::Load => "kg",
    };
    if typed.unit == own {
        let digits = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
        return text.trim_end_matches(|c| !digits(c)).to_owned();
    }
    show.bare(quantity, typed.value)
}

#[cfg(test)]
mod tests {
    use store::draft::DraftField;

    use super::*;

    const MM: Show = Show {
        unit: LengthUnit::Millimetre,
        comma: false,
        rows: store::rows::RowOrder::FromBarrel,
        currency: None,
    };
    const INCH: Show = Show {
        unit: LengthUnit::Inch,
        comma: false,
        rows: store::rows::RowOrder::FromBarrel,
        currency: None,
    };

    #[test]
    fn a_length_stays_what_it_is_when_the_unit_changes() {
        let gap = "clearance.gap.1.0";
        assert_eq!(stored(gap, "23.372", LengthUnit::Millimetre), "23.372");
        assert_eq!(stored(gap, "0.9202", LengthUnit::Inch), "0.9202in");
        assert_eq!(stored(gap, "23.372mm", LengthUnit::Inch), "23.372mm");
        assert_eq!(stored("grease.row.1", "310", LengthUnit::Inch), "310");
        for (text, in_mm, in_inch) in [
            ("23.372", "23.372", "0.92016"),
            ("23,372", "23,372", "0.92016"),
            ("0.9202in", "23.373", "0.9202"),
            ("23372um", "23.372", "0.92016"),
            ("abc", "abc", "abc"),
        ] {
            assert_eq!(shown(gap, text, MM), in_mm, "{text}");
            assert_eq!(shown(gap, text, INCH), in_inch, "{text}");
        }
        assert_eq!(shown("grease.row.1", "0.31kg", MM), "310");
        assert_eq!(shown("bore.temp_first", "23.5 C", MM), "23.5");
        assert_eq!(shown("identify.note", "wet ", MM), "wet");
        let field = |text: &str| DraftField {
            text: text.into(),
            source: Source::Typed,
        };
        let all: Fields = [
            (gap.to_owned(), field("23.372")),
            ("identify.note".to_owned(), field("12")),
        ]
        .into();
        assert_eq!(with_units(&all, LengthUnit::Inch)[gap].text, "23.372mm");
        assert_eq!(
            with_units(&all, LengthUnit::Inch)["identify.note"].text,
            "12"
        );
        assert_eq!(with_units(&all, LengthUnit::Millimetre), all);
    }

    #[test]
    fn a_gauge_types_faster_than_a_hand() {
        assert_eq!(source("23.372", 0.02), Source::Gauge);
        assert_eq!(source("23.372", 1.4), Source::Typed);
        assert_eq!(
            source("23", 0.01),
            Source::Typed,
            "two keys may fall together"
        );
    }
}
