//! Every method of the trade described once: for the bench, `chockbook calc NAME` and the handbook.
//!
//! A method reads one JSON object and gives one. Keys carry their unit. Unknown keys are errors, so that a
//! typing mistake cannot pass as "not given". Inputs that cannot be are named by key; no NaN or infinity
//! comes out.

mod input;
mod output;

pub(crate) use input::{Bounds, Object, lengths, renamed, wrong};
pub(crate) use output::{number, object, optional_mm, optional_number, whole_nm_mm};

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

/// An input of a method.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Param {
    /// JSON key.
    pub key: &'static str,
    /// Unit; empty for text and plain numbers.
    pub unit: &'static str,
    /// What it is.
    pub meaning: &'static str,
    /// Allowed values.
    pub range: &'static str,
    /// Whether it must be given.
    pub required: bool,
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
    /// Outputs in their order.
    pub outputs: &'static [Output],
    /// The formula in plain text.
    pub formula: &'static str,
    /// Source with clause or page, or "common practice, no source".
    pub source: &'static str,
    /// What to mind.
    pub cautions: &'static [&'static str],
    /// Computes; the value must be an object.
    pub run: fn(&Value) -> Result<Value, InputError>,
}

/// All methods, by the order of the work.
pub fn methods() -> &'static [&'static Method] {
    &[
        &crate::iso286::METHOD,
        &crate::fit::METHOD,
        &crate::seat::METHOD,
        &crate::conformity::METHOD,
        &crate::stack::METHOD,
        &crate::growth::METHOD,
    ]
}

/// The method of this name.
pub fn by_name(name: &str) -> Option<&'static Method> {
    methods().iter().copied().find(|method| method.name == name)
}

#[cfg(test)]
mod tests;
