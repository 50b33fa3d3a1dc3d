//! Fewer keys: a reading that is whole goes on by itself, a choice is made by the first letter or the number of its word,
//! and a plus sign takes what stands there as last time or as advised. Nothing measured is ever filled in.

use egui::{Event, Key, Ui};
use store::entry::{LengthUnit, Quantity};
use store::sheet::field::{self, FieldKind};

use super::entries::{Entries, WentOn};
use super::fields::{On, forget_typed};
use super::pages::Pages;
use crate::ui::focus::{self, Step};

/// A gauge, and a hand that is used to Enter, end the line of a reading within this time, s, on a slow computer too: taken
/// for a second Enter it would pass over the next place, and every reading after it would stand in the wrong one.
const LINE_END_S: f64 = 1.0;
/// After a choice by one key no gauge ends a line: what comes later than this, s, is meant for the next field.
const HABIT_S: f64 = 0.4;

/// Drops the line end that follows a reading or choice after which the caret went on by itself.
pub(super) fn drop_line_end(ui: &Ui, view: &mut Entries, time: f64) {
    let Some(went) = view.went_on else { return };
    let is_due = went.frames == 0 || time - went.time <= went.within_s;
    let is_typed = |event: &Event| {
        matches!(
            event,
            Event::Text(_) | Event::Paste(_) | Event::Key { pressed: true, .. }
        )
    };
    let first = ui.input_mut(|input| {
        let at = input.events.iter().position(is_typed)?;
        let is_end = matches!(
            input.events[at],
            Event::Key {
                key: Key::Enter | Key::Tab,
                modifiers,
                ..
            } if !modifiers.any()
        );
        if is_end && is_due {
            input.events.remove(at);
            input.raw.events.retain(|event| {
                !matches!(
                    event,
                    Event::Key {
                        key: Key::Enter | Key::Tab,
                        pressed: true,
                        ..
                    }
                )
            });
        }
        Some(())
    });
    view.went_on = if first.is_some() || !is_due {
        None
    } else {
        Some(WentOn {
            frames: went.frames + 1,
            ..went
        })
    };
}

/// Whether a text is a whole reading of a length: all decimals that a gauge of the shop shows, and no unit.
pub(super) fn is_whole(text: &str, unit: LengthUnit) -> bool {
    let decimals = match unit {
        LengthUnit::Millimetre => 3,
        LengthUnit::Inch => 4,
    };
    let Some((whole, rest)) = text.split_once(['.', ',']) else {
        return false;
    };
    let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    is_digits(whole) && is_digits(rest) && rest.len() == decimals
}

impl<V: Pages> On<'_, V> {
    /// Goes on where what is being typed is a whole reading that nothing speaks against.
    pub(super) fn go_on_if_whole(&mut self, ui: &Ui, path: &str, text: &str) {
        let unit = self.show().unit;
        if !V::goes_on(path) || !is_whole(text, unit) || self.problem_of(path, text).is_some() {
            return;
        }
        let (show, time) = (self.show(), self.time);
        self.view.entries_mut().commit(path, show, time);
        self.go_on(ui, path, LINE_END_S);
    }

    fn go_on(&mut self, ui: &Ui, path: &str, within_s: f64) {
        self.step(ui, path, Step::Forward);
        self.view.entries_mut().went_on = Some(WentOn {
            time: self.time,
            within_s,
            frames: 0,
        });
    }

    /// Makes a choice by the key that was pressed on it: first letter of a word, its number, or plus.
    pub(super) fn choose_by_key(&mut self, ui: &Ui, path: &str, words: &[&str], texts: &[&str]) {
        let Some(key) = focus::typed_char(ui, path) else {
            return;
        };
        if key == '+' {
            if let Some(last) = self.take_offered(path) {
                self.go_on(ui, &last, HABIT_S);
            }
            return;
        }
        let starts = |word: &str| word.to_lowercase().starts_with(key.to_ascii_lowercase());
        let by_letter = words.iter().position(|word| starts(word));
        let by_number = key.to_digit(10).and_then(|n| (n as usize).checked_sub(1));
        let chosen = by_letter.or(by_number).and_then(|at| texts.get(at));
        if let Some(text) = chosen {
            self.view.entries_mut().choose(path, text);
            self.go_on(ui, path, HABIT_S);
        }
    }

    /// A plus sign typed alone into a field for a code takes what is offered. True if it did.
    pub(super) fn plus(&mut self, ui: &Ui, path: &str, buffer: &str) -> bool {
        if buffer.trim() != "+" {
            return false;
        }
        let Some(last) = self.take_offered(path) else {
            return false;
        };
        forget_typed(ui);
        self.go_on(ui, &last, HABIT_S);
        true
    }

    /// Takes what is offered for a field and those asked with it; answers the last of them.
    fn take_offered(&mut self, path: &str) -> Option<String> {
        let mut last = None;
        for path in V::together(path) {
            let is_open = self.view.entries().committed(path).is_empty();
            if let Some(text) = V::offer(self, path).filter(|_| is_open) {
                self.view.entries_mut().choose(path, &text);
                last = Some((*path).to_owned());
            }
        }
        last
    }

    /// What a field for a code says while it is empty.
    pub(super) fn hint(&self, path: &str, otherwise: &str) -> String {
        match V::offer(self, path) {
            Some(code) if matches!(field::kind(path), Some(FieldKind::Code(_))) => {
                format!("+ takes {code}")
            }
            _ => otherwise.to_owned(),
        }
    }
}

/// The unit shown in a field for a number.
pub fn unit_of(quantity: Quantity, length: &'static str) -> &'static str {
    match quantity {
        Quantity::Length => length,
        Quantity::Temperature => "\u{b0}C",
        Quantity::Mass => "g",
        Quantity::Angle => "\u{b0}",
        Quantity::Torque => "N m",
        Quantity::Load => "kg",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_whole_with_all_its_decimals() {
        let mm = LengthUnit::Millimetre;
        for (text, expected) in [
            ("23.372", true),
            ("23,372", true),
            ("23.37", false),
            ("23.3725", false),
            ("23372um", false),
        ] {
            assert_eq!(is_whole(text, mm), expected, "{text}");
        }
        assert!(is_whole("0.9202", LengthUnit::Inch));
        assert!(!is_whole("0.920", LengthUnit::Inch));
    }
}
