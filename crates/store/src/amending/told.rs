//! In which unit a number of a payload is told and typed. Most say it by the end of their name; what a reading of a
//! condition is in, says its sort, and what a gauge is in, what it measures.

use rusqlite::{Connection, OptionalExtension};
use serde_json::Value;

use super::key;
use crate::entry::{self, NotAValue, Quantity, Show};
use crate::error::Result;
use crate::event::Event;
use crate::id::Ref;
use crate::state;

/// How one is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Told {
    /// A length, in the logbook's unit.
    Length,
    /// A temperature; mK above 0 C.
    Celsius,
    /// A moment.
    Day,
    /// So many of the record in one; at least so many decimals; the sign.
    Scaled(i64, usize, &'static str),
    /// Money; hundredths.
    Money,
    /// A number of things, or a mark.
    Count,
}

/// How the number at a place of an event is told.
pub(super) fn of(conn: &Connection, event: &Event, path: &str, payload: &Value) -> Result<Told> {
    let name = key(path);
    Ok(match (event.kind.as_str(), name) {
        ("condition_reading", "value") => match payload["what"].as_str() {
            Some("temperature") => Told::Celsius,
            Some("vibration") => Told::Scaled(1_000_000, 1, "mm/s"),
            Some("noise") => Told::Scaled(100, 0, "dB"),
            _ => Told::Count,
        },
        ("gauge_calibrated" | "gauge_found_out", "expanded_uncertainty" | "error") => {
            gauge(conn, event, payload)?
        }
        (_, "run_s") => Told::Scaled(3_600, 2, "h"),
        (_, "rolled_kg") => Told::Scaled(1_000, 1, "t"),
        (_, "amount_mg") => Told::Scaled(1_000, 0, "g"),
        (_, "amount_minor") => Told::Money,
        (_, "force_n") => Told::Scaled(1_000_000, 1, "MN"),
        (_, "radial_n" | "axial_n") => Told::Scaled(1_000, 3, "kN"),
        (_, "speed_mrpm") => Told::Scaled(1_000, 3, "1/min"),
        _ if name.ends_with("_nm") => Told::Length,
        _ if name.ends_with("_ms") => Told::Day,
        _ => Told::Count,
    })
}

/// What a gauge says of itself is in the unit of what it measures.
fn gauge(conn: &Connection, event: &Event, payload: &Value) -> Result<Told> {
    let Ok(name) = serde_json::from_value::<Ref>(payload["gauge"].clone()) else {
        return Ok(Told::Length);
    };
    let no = state::find(conn, &name, event.id.origin)?;
    let measures: Option<String> = conn
        .prepare_cached("SELECT measures FROM gauge WHERE no = ?1")?
        .query_row([no.0], |row| row.get(0))
        .optional()?;
    Ok(match measures.as_deref() {
        Some("temperature") => Told::Scaled(1_000, 1, "K"),
        Some("torque") => Told::Scaled(1_000, 1, "N m"),
        _ => Told::Length,
    })
}

impl Told {
    /// The unit that a number without one is read in.
    pub(super) fn sign(self, show: Show) -> String {
        match self {
            Self::Length => show.unit.sign().to_owned(),
            Self::Celsius => show.sign_of(Quantity::Temperature).to_owned(),
            Self::Scaled(_, _, sign) => sign.to_owned(),
            Self::Money => show
                .currency
                .map_or_else(String::new, |currency| currency.to_string()),
            Self::Day | Self::Count => String::new(),
        }
    }

    /// A number of the record in words that could be typed.
    pub(super) fn show(self, number: i64, show: Show) -> String {
        match self {
            Self::Length => {
                // No more decimals than the shop reads, but what is finer is not hidden.
                let text = show.length(number);
                match self.read(&text, show) {
                    Ok(same) if same == number => text,
                    _ if show.unit == entry::LengthUnit::Millimetre => {
                        shortest(show.decimals(number, 1_000_000, 6), 3)
                    }
                    _ => text,
                }
            }
            Self::Celsius => shortest(show.decimals(number, 1_000, 3), 0),
            // A third of an hour never ends; everything else does.
            Self::Scaled(3_600, ..) => show.decimals(number, 3_600, 2),
            Self::Scaled(per_one, least, _) => shortest(show.decimals(number, per_one, 6), least),
            Self::Money => show.decimals(number, 100, 2),
            Self::Day | Self::Count => number.to_string(),
        }
    }

    /// What a text means; the unit may be typed behind the number.
    pub(super) fn read(self, text: &str, show: Show) -> std::result::Result<i64, NotAValue> {
        let bare = |sign: &str| {
            text.strip_suffix(sign)
                .unwrap_or(text)
                .trim_end()
                .to_owned()
        };
        match self {
            Self::Length => entry::read(text, Quantity::Length, show.unit).map(|typed| typed.value),
            Self::Celsius => {
                entry::read(text, Quantity::Temperature, show.unit).map(|typed| typed.value)
            }
            Self::Scaled(per_one, _, sign @ ("MN" | "K")) => entry::scaled(&bare(sign), per_one),
            Self::Scaled(per_one, _, sign) => entry::amount(&bare(sign), per_one, show.comma),
            Self::Money => entry::amount(&bare(&self.sign(show)), 100, show.comma),
            Self::Day | Self::Count => entry::amount(text, 1, show.comma),
        }
    }
}

/// A shown number without the zeros at its end, down to so many decimals.
fn shortest(mut text: String, least: usize) -> String {
    let Some(mark) = text.find(['.', ',']) else {
        return text;
    };
    let keep = mark + 1 + least;
    while text.len() > keep && text.ends_with('0') {
        text.pop();
    }
    if least == 0 && text.len() == keep {
        text.pop();
    }
    text
}
