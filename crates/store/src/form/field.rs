//! Fields that are named by one path only, in lists by section.

use super::choice::Choice;
use crate::entry::Quantity;

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FieldKind {
    /// A number with a unit.
    Number(Quantity),
    /// A code of a thing in the register.
    Code(&'static str),
    /// A load zone, I to IV.
    Zone,
    /// A time.
    Time,
    /// One of a few words.
    Choice(Choice),
    /// Free words.
    Words,
    /// A picture that the logbook keeps, as [`crate::payload::KeptFile`] in JSON.
    Picture,
}

/// A field that is named by one path only.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Named {
    /// Its path.
    pub path: &'static str,
    /// What a person calls it.
    pub label: &'static str,
    /// What it holds.
    pub kind: FieldKind,
}

/// The named fields of each section, in the order of the sheet.
pub type Lists<S> = [(S, &'static [Named])];

/// Every field of the lists with its section.
pub fn named<S: Copy>(lists: &Lists<S>) -> impl Iterator<Item = (S, &'static Named)> {
    lists
        .iter()
        .flat_map(|(section, fields)| fields.iter().map(|field| (*section, field)))
}

/// The field of this path.
pub(crate) fn find<S: Copy>(lists: &Lists<S>, path: &str) -> Option<(S, &'static Named)> {
    named(lists).find(|(_, field)| field.path == path)
}

const fn field(path: &'static str, label: &'static str, kind: FieldKind) -> Named {
    Named { path, label, kind }
}

pub(crate) const fn length(path: &'static str, label: &'static str) -> Named {
    field(path, label, FieldKind::Number(Quantity::Length))
}

pub(crate) const fn temperature(path: &'static str, label: &'static str) -> Named {
    field(path, label, FieldKind::Number(Quantity::Temperature))
}

pub(crate) const fn mass(path: &'static str, label: &'static str) -> Named {
    field(path, label, FieldKind::Number(Quantity::Mass))
}

pub(crate) const fn torque(path: &'static str, label: &'static str) -> Named {
    field(path, label, FieldKind::Number(Quantity::Torque))
}

pub(crate) const fn load(path: &'static str, label: &'static str) -> Named {
    field(path, label, FieldKind::Number(Quantity::Load))
}

pub(crate) const fn code(path: &'static str, label: &'static str, entity: &'static str) -> Named {
    field(path, label, FieldKind::Code(entity))
}

pub(crate) const fn gauge(path: &'static str, label: &'static str) -> Named {
    code(path, label, "gauge")
}

pub(crate) const fn choice(path: &'static str, label: &'static str, of: Choice) -> Named {
    field(path, label, FieldKind::Choice(of))
}

pub(crate) const fn words(path: &'static str, label: &'static str) -> Named {
    field(path, label, FieldKind::Words)
}

pub(crate) const fn zone(path: &'static str, label: &'static str) -> Named {
    field(path, label, FieldKind::Zone)
}

pub(crate) const fn time(path: &'static str, label: &'static str) -> Named {
    field(path, label, FieldKind::Time)
}
