//! Being written.
use super::fields::Sheet;
use egui::Ui;
pub(super) fn sign_ui(_ui: &mut Ui, _sheet: &mut Sheet<'_>) {}
