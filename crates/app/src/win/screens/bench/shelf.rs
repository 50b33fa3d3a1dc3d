//! What is typed for every method on either side, and how it is kept.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::bench::Form;

/// What is open, and all that is typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Shelf {
    /// Names of the methods that are open, left and right.
    pub(super) open: Vec<String>,
    /// What is typed, by side and name of the method.
    forms: BTreeMap<String, Form>,
}

impl Shelf {
    /// What was kept; none where it is of no use to this program.
    pub(super) fn read(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    /// All of it as text.
    pub(super) fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    pub(super) fn get(&self, side: usize, method: &str) -> Option<&Form> {
        self.forms.get(&key(side, method))
    }

    pub(super) fn put(&mut self, side: usize, method: &str, form: Form) {
        self.forms.insert(key(side, method), form);
    }
}

fn key(side: usize, method: &str) -> String {
    format!("{side}/{method}")
}
