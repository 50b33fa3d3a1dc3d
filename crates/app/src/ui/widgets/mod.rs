//! The controls. Each draws itself by the tokens, reaches 44 px where a gloved hand presses it, shows
//! the focus, and carries a full name for screen readers and tests.

mod badge;
mod bars;
mod bell;
mod boxes;
mod button;
mod code_field;
mod edit;
mod progress;
mod segments;
mod table;
mod text_fields;
mod titles;
mod value_field;
mod why;

#[cfg(test)]
mod tests;

pub use badge::{badge, badge_at, badge_button, glyph, mark, pair};
pub use bars::{Bar, Bars};
pub use bell::BellModel;
pub use boxes::{caution, empty_page, error_box, question_box};
pub use button::{Button, Kind, danger, primary, quiet, second};
pub use code_field::{Choice, CodeField, Coded};
pub use edit::Outcome;
pub use progress::progress;
pub use segments::{Segments, checkbox, tabs};
pub use table::{Cells, Col, Columns, Row};
pub use text_fields::{PinField, SearchField, TextField};
pub use titles::{caption, heading, key_value, numbered, page_title, rule, section_title};
pub use value_field::{FieldState, ValueField, remark};
pub use why::{WhyAnswer, WhyHead, why_panel};

/// Draws the ring that shows where the keyboard is, around a control.
pub(super) fn focus_ring(ui: &egui::Ui, rect: egui::Rect) {
    let stroke = super::theme::stroke(ui, 2.0, draw::Token::Accent);
    let corner = super::theme::CORNER + egui::CornerRadius::same(2);
    ui.painter()
        .rect_stroke(rect.expand(1.0), corner, stroke, egui::StrokeKind::Outside);
}
