//! What can be wrong with an input, said so that a screen can point at the field and tell the way out.

use crate::quantity::{Length, as_micrometres, as_millimetres};

/// Why a calculation has no result.
///
/// `input` names the input in neutral words without unit, with the place in a list where there is one,
/// for example `pairs[1].gaps[0]`.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CalcError {
    /// The value lies outside the range in which the method holds.
    #[error("{input}: {value} {unit} is out of range, allowed {allowed}")]
    OutOfRange {
        /// Which input.
        input: String,
        /// The value given, in `unit`.
        value: f64,
        /// Unit of `value` and `allowed`.
        unit: &'static str,
        /// The allowed range in words.
        allowed: String,
    },
    /// The value is not a finite number.
    #[error("{input}: not a finite number")]
    NotFinite {
        /// Which input.
        input: String,
    },
    /// Something needed is not there.
    #[error("{input}: missing, {needed}")]
    Missing {
        /// Which input.
        input: String,
        /// What is needed.
        needed: String,
    },
    /// Lists that must have one length have several.
    #[error("{input}: has {found} values where {expected} are expected")]
    Unequal {
        /// Which input.
        input: String,
        /// How many values the first list has.
        expected: usize,
        /// How many this one has.
        found: usize,
    },
    /// A tolerance class that the tables do not define at this size.
    #[error("{input}: class '{class}' is not defined here; defined: {defined}")]
    UndefinedClass {
        /// Which input.
        input: String,
        /// The class given.
        class: String,
        /// The classes that are defined.
        defined: String,
    },
    /// A word that the tables do not hold.
    #[error("{input}: '{word}' is not known here; known: {known}")]
    Unknown {
        /// Which input.
        input: String,
        /// The word given.
        word: String,
        /// The words that are known.
        known: String,
    },
    /// Inputs that cannot be true together.
    #[error("{input}: {why}")]
    Contradiction {
        /// Which input.
        input: String,
        /// What contradicts what.
        why: String,
    },
    /// The shim pack would have to be thinner than nothing.
    #[error("{input}: machine the cover, the pack would be {:.3} mm below zero", as_millimetres(*missing))]
    MachineCover {
        /// Which input.
        input: String,
        /// How much would have to come off the cover.
        missing: Length,
    },
}

impl CalcError {
    /// The input that is wrong.
    pub fn input(&self) -> &str {
        match self {
            Self::OutOfRange { input, .. }
            | Self::NotFinite { input }
            | Self::Missing { input, .. }
            | Self::Unequal { input, .. }
            | Self::UndefinedClass { input, .. }
            | Self::Unknown { input, .. }
            | Self::Contradiction { input, .. }
            | Self::MachineCover { input, .. } => input,
        }
    }

    /// The same error without the name of its input, for a caller who names it otherwise.
    pub fn problem(&self) -> String {
        let text = self.to_string();
        text.strip_prefix(self.input())
            .and_then(|rest| rest.strip_prefix(": "))
            .unwrap_or(&text)
            .to_owned()
    }

    /// The same error about an input of an outer structure: `at("pairs[1]")` makes `pairs[1].gaps`.
    #[must_use]
    pub fn at(mut self, outer: &str) -> Self {
        let (Self::OutOfRange { input, .. }
        | Self::NotFinite { input }
        | Self::Missing { input, .. }
        | Self::Unequal { input, .. }
        | Self::UndefinedClass { input, .. }
        | Self::Unknown { input, .. }
        | Self::Contradiction { input, .. }
        | Self::MachineCover { input, .. }) = &mut self;
        *input = format!("{outer}.{input}");
        self
    }
}

/// Beyond a thousand kilometres (µm) nothing of a shop lies, and sums of nanometres stay whole numbers below it.
const LENGTH_UM_MAX: f64 = 1e12;

/// The length if it is finite and one of this world.
pub(crate) fn finite(input: &str, length: Length) -> Result<Length, CalcError> {
    if !length.is_finite() {
        return Err(CalcError::NotFinite {
            input: input.to_owned(),
        });
    }
    if as_micrometres(length).abs() > LENGTH_UM_MAX {
        return Err(out_of_range_mm(input, length, "-1e9 to 1e9"));
    }
    Ok(length)
}

/// The length if it is finite and not below zero.
pub(crate) fn not_negative(input: &str, length: Length) -> Result<Length, CalcError> {
    finite(input, length)?;
    if as_millimetres(length) < 0.0 {
        Err(out_of_range_mm(input, length, "0 or more"))
    } else {
        Ok(length)
    }
}

/// The length if it is finite and above zero.
pub(crate) fn positive(input: &str, length: Length) -> Result<Length, CalcError> {
    finite(input, length)?;
    if as_millimetres(length) > 0.0 {
        Ok(length)
    } else {
        Err(out_of_range_mm(input, length, "above 0"))
    }
}

/// What is not there, and what is needed.
pub(crate) fn missing(input: &str, needed: impl Into<String>) -> CalcError {
    CalcError::Missing {
        input: input.to_owned(),
        needed: needed.into(),
    }
}

/// A list whose length is not that of the first.
pub(crate) fn same_length(input: &str, found: usize, expected: usize) -> Result<(), CalcError> {
    if found == expected {
        return Ok(());
    }
    let input = input.to_owned();
    Err(CalcError::Unequal {
        input,
        expected,
        found,
    })
}

/// The list if all of it is finite.
pub(crate) fn all_finite(input: &str, values: &[f64]) -> Result<(), CalcError> {
    match values.iter().position(|value| !value.is_finite()) {
        None => Ok(()),
        Some(place) => Err(CalcError::NotFinite {
            input: format!("{input}[{place}]"),
        }),
    }
}

/// What contradicts what.
pub(crate) fn contradiction(input: &str, why: impl Into<String>) -> CalcError {
    CalcError::Contradiction {
        input: input.to_owned(),
        why: why.into(),
    }
}

/// A length outside its range, told in millimetres.
pub(crate) fn out_of_range_mm(input: &str, length: Length, allowed: &str) -> CalcError {
    CalcError::OutOfRange {
        input: input.to_owned(),
        value: as_millimetres(length),
        unit: "mm",
        allowed: allowed.to_owned(),
    }
}

/// The number if it is finite and in its range.
pub(crate) fn within(
    input: &str,
    value: f64,
    range: &std::ops::RangeInclusive<f64>,
    unit: &'static str,
) -> Result<f64, CalcError> {
    let input = input.to_owned();
    if !value.is_finite() {
        return Err(CalcError::NotFinite { input });
    }
    // A kelvin scale has no exact 200 °C: the last digits of a limit are no reason to refuse.
    let slack = |limit: &f64| 1e-9 * limit.abs();
    if value < range.start() - slack(range.start()) || value > range.end() + slack(range.end()) {
        let allowed = format!("{} to {}", range.start(), range.end());
        return Err(CalcError::OutOfRange {
            input,
            value,
            unit,
            allowed,
        });
    }
    Ok(value)
}
