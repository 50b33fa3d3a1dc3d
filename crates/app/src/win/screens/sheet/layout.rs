//! Places on the page of a sheet: strips, rooms, labels over fields, badges.

use draw::Mark;
use draw::tokens::height;
use egui::{Rect, Ui, UiBuilder, pos2, vec2};

use crate::ui::text::{self, Face};
use crate::ui::widgets;

/// Room of its own for something that lays itself out, in a place of the page; allocates nothing.
pub fn room<R>(ui: &mut Ui, rect: Rect, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
    contents(&mut child)
}

/// A strip across the page; hands out its rectangle.
pub fn strip(ui: &mut Ui, height: f32) -> Rect {
    ui.allocate_space(vec2(ui.available_width(), height)).1
}

/// A label of 13 px with the field under it, in a column.
pub fn labelled<R>(ui: &mut Ui, label: &str, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        widgets::caption(ui, label);
        contents(ui)
    })
    .inner
}

/// The measuring field's size at a corner.
pub fn field_at(x: f32, y: f32) -> Rect {
    Rect::from_min_size(pos2(x, y), vec2(88.0, height::TOUCH))
}

/// A badge that opens its reasons, vertically centred on a point. Answers where it stands if it was pressed.
pub fn badge_at(
    ui: &mut Ui,
    x: f32,
    centre_y: f32,
    mark: Mark,
    word: &str,
    name: &str,
) -> Option<Rect> {
    let width = 24.0 + text::width(ui, Face::STRONG, word);
    let rect = Rect::from_min_size(pos2(x, centre_y - 11.0), vec2(width, 22.0));
    let response = room(ui, rect, |ui| widgets::badge_button(ui, mark, word, name));
    response.clicked().then_some(response.rect)
}
