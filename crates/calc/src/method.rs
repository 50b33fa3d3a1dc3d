//! Every method of the trade described once: for the bench, `chockbook calc NAME` and the handbook.
//!
//! A method reads one JSON object and gives one. Keys carry their unit. Unknown keys are errors, so that a
//! typing mistake cannot pass as "not given". Inputs that cannot be are named by key; no NaN or infinity
//! comes out.

mod handbook;
mod input;
mod output;
mod step;

pub use handbook::handbook;
pub use step::{Part, Step};

pub(crate) use input::{Bounds, Object, lengths, renamed, wrong};
pub(crate) use output::{
    mm, number, object, optional_mm, optional_number, um, whole_nm_mm, whole_nm_um,
};

use serde_json::Value;

/// A wrong input: which key, what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{key}: {problem}")]
pub struct InputError {
    /// The key with its place, for example `pairs[1].gaps_mm[0]`.
    pub key: String,
    /// What is wrong and what is allowed.
    pub problem: String,
}

/// How an input is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// One number in the unit of the input.
    Number,
    /// A word or a class, typed.
    Text,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// Yes or no.
    YesNo,
    /// A tolerance class, or an object of the two deviations `lower_um` and `upper_um`.
    Deviations,
    /// A row of numbers.
    Numbers,
    /// A row of words.
    Texts,
    /// A row of yes and no.
    YesNos,
    /// Rows of numbers: an array of arrays.
    Grid,
    /// Objects one below the other; their keys follow as `key[].inner`.
    Objects,
}

/// An input of a method.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Param {
    /// JSON key; `outer[].inner` for a key of each object of `outer`.
    pub key: &'static str,
    /// Unit; empty for text and plain numbers.
    pub unit: &'static str,
    /// What it is.
    pub meaning: &'static str,
    /// Allowed values.
    pub range: &'static str,
    /// How it is asked for.
    pub kind: Kind,
    /// Whether it must be given.
    pub required: bool,
}

impl Param {
    /// A required number.
    pub const fn number(
        key: &'static str,
        unit: &'static str,
        meaning: &'static str,
        range: &'static str,
    ) -> Self {
        Self {
            key,
            unit,
            meaning,
            range,
            kind: Kind::Number,
            required: true,
        }
    }

    /// A required input of another kind.
    pub const fn of(
        kind: Kind,
        key: &'static str,
        meaning: &'static str,
        range: &'static str,
    ) -> Self {
        let mut param = Self::number(key, "", meaning, range);
        param.kind = kind;
        param
    }

    /// The same with a unit.
    #[must_use]
    pub const fn unit(mut self, unit: &'static str) -> Self {
        self.unit = unit;
        self
    }

    /// The same, but it may be left out.
    #[must_use]
    pub const fn optional(mut self) -> Self {
        self.required = false;
        self
    }
}

/// An output of a method.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Output {
    /// JSON key.
    pub key: &'static str,
    /// Unit; empty for text and plain numbers.
    pub unit: &'static str,
    /// What it is.
    pub meaning: &'static str,
}

impl Output {
    /// An output.
    pub const fn new(key: &'static str, unit: &'static str, meaning: &'static str) -> Self {
        Self { key, unit, meaning }
    }
}

/// What a method gives: the object, and how it came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// The result, one JSON object.
    pub output: Value,
    /// The derivation, line by line.
    pub steps: Vec<Step>,
}

/// One method: what it is for, what goes in and out, where it comes from, and the function.
pub struct Method {
    /// Name on the command line.
    pub name: &'static str,
    /// Title on screen and paper.
    pub title: &'static str,
    /// One or two sentences.
    pub summary: &'static str,
    /// Inputs, the required ones first.
    pub inputs: &'static [Param],
    /// Outputs in their order; the first is the answer.
    pub outputs: &'static [Output],
    /// The formula in plain text.
    pub formula: &'static str,
    /// Source with clause or page, or "common practice, no source".
    pub source: &'static str,
    /// What to mind.
    pub cautions: &'static [&'static str],
    /// A worked input, one JSON object: what the bench opens with.
    pub example: &'static str,
    /// Computes; the value must be an object.
    pub run: fn(&Value) -> Result<Worked, InputError>,
}

impl std::fmt::Debug for Method {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Method").field(&self.name).finish()
    }
}

/// All methods, by the order of the work.
pub fn methods() -> &'static [&'static Method] {
    &[
        &crate::iso286::METHOD,
        &crate::ring::METHOD,
        &crate::clearance_group::METHOD,
        &crate::fit::METHOD,
        &crate::fit_found::METHOD,
        &crate::reference_temperature::METHOD,
        &crate::seat::METHOD,
        &crate::roundness::METHOD,
        &crate::uncertainty::METHOD,
        &crate::conformity::METHOD,
        &crate::stack::SEATING,
        &crate::stack::METHOD,
        &crate::stack::SWAPPED_SPACERS,
        &crate::stack::COVER_SHIM,
        &crate::load_zone::METHOD,
        &crate::feeler::METHOD,
        &crate::radial::METHOD,
        &crate::growth::METHOD,
        &crate::interference::METHOD,
        &crate::press_fit::METHOD,
        &crate::clearance_loss::METHOD,
        &crate::push_up::METHOD,
        &crate::mounted_end_play::METHOD,
        &crate::heating::METHOD,
        &crate::grease::METHOD,
        &crate::grease_interval::METHOD,
        &crate::bolt::METHOD,
        &crate::life::METHOD,
        &crate::linear_fit::METHOD,
        &crate::theil_sen::METHOD,
        &crate::mixed::METHOD,
        &crate::weibull::METHOD,
    ]
}

/// The method of this name.
pub fn by_name(name: &str) -> Option<&'static Method> {
    methods().iter().copied().find(|method| method.name == name)
}

#[cfg(test)]
mod tests;
