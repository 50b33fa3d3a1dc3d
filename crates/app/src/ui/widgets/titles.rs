//! Titles, captions, rules and the small pairs of words they introduce.

use draw::tokens::space;
use draw::{Align, Token};
use egui::{Ui, pos2};

use crate::ui::text::{self, Face};
use crate::ui::theme;

/// The title of a section of a sheet, with its number and a note at the right.
///
/// At the top of a sheet's body its baseline is 32 below the top strip, the rule 46, and what
/// follows begins at 60.
pub fn section_title(ui: &mut Ui, number: Option<u32>, title: &str, note: &str) {
    let rect = text::strip(ui, 60.0);
    let baseline = rect.top() + 32.0;
    let mut left = rect.left();
    if let Some(number) = number {
        let words = number.to_string();
        let face = Face::SECTION.muted();
        left = text::at(ui, pos2(left, baseline), Align::Left, face, &words).right() + 13.0;
    }
    text::at(ui, pos2(left, baseline), Align::Left, Face::SECTION, title);
    note_at_right(ui, pos2(rect.right(), baseline), note);
    ui.painter().hline(
        rect.x_range(),
        rect.top() + 46.5,
        theme::stroke(ui, 1.0, Token::Rule),
    );
}

/// The title of a part of a page, with a note at the right.
pub fn heading(ui: &mut Ui, title: &str, note: &str) {
    let rect = text::strip(ui, 28.0);
    let baseline = rect.top() + 18.0;
    text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        Face::STRONG,
        title,
    );
    note_at_right(ui, pos2(rect.right(), baseline), note);
}

/// The title of a page with a line about it, on one baseline.
pub fn page_title(ui: &mut Ui, title: &str, detail: &str) {
    let rect = text::strip(ui, 40.0);
    let baseline = rect.top() + 27.0;
    let right = text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        Face::TITLE,
        title,
    )
    .right();
    text::at_most(
        ui,
        pos2(right + 16.0, baseline),
        rect.right() - right - 16.0,
        Face::BODY.muted(),
        detail,
    );
}

fn note_at_right(ui: &mut Ui, at: egui::Pos2, note: &str) {
    if !note.is_empty() {
        text::at(ui, at, Align::Right, Face::NOTE, note);
    }
}

/// A label of 13 px above a field; the 8 px below it are included.
pub fn caption(ui: &mut Ui, words: &str) -> egui::Response {
    let spacing = std::mem::replace(&mut ui.spacing_mut().item_spacing.y, 0.0);
    let response = text::note(ui, words);
    ui.add_space(space::S);
    ui.spacing_mut().item_spacing.y = spacing;
    response
}

/// A thin rule across the page.
pub fn rule(ui: &mut Ui) {
    let rect = text::strip(ui, 1.0);
    ui.painter().hline(
        rect.x_range(),
        rect.top() + 0.5,
        theme::stroke(ui, 1.0, Token::Rule),
    );
}

/// A line of a derivation: what it is, its value, where it comes from; with the rule below.
pub fn key_value(ui: &mut Ui, key: &str, value: &str, source: &str) {
    let (top, width) = (ui.cursor().top(), ui.available_width());
    let left = ui.cursor().left();
    let least = if width < KEY_ROOM {
        KEY_WIDTH
    } else {
        KEY_WIDTH_WIDE
    };
    let key_width = (text::width(ui, Face::NOTE, key) + space::M)
        .ceil()
        .max(least);
    let spacing = std::mem::replace(&mut ui.spacing_mut().item_spacing.y, 0.0);
    text::at(ui, pos2(left, top + 20.0), Align::Left, Face::NOTE, key);
    ui.add_space(4.0);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.add_space(key_width);
        ui.vertical(|ui| {
            ui.set_width((width - key_width).max(60.0));
            text::strong(ui, value);
            if !source.is_empty() {
                text::note(ui, source);
            }
        });
    });
    ui.add_space(2.0);
    rule(ui);
    ui.spacing_mut().item_spacing.y = spacing;
}

/// Room for the names, in a panel and on a page; a longer one pushes its value on.
const KEY_WIDTH: f32 = 92.0;
const KEY_WIDTH_WIDE: f32 = 168.0;
/// From here on there is room for the wider one.
const KEY_ROOM: f32 = 480.0;

/// A numbered reason; it wraps beside its number.
pub fn numbered(ui: &mut Ui, number: usize, sentence: &str) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        let left = ui.cursor().left();
        text::say(ui, Face::STRONG.muted(), &number.to_string());
        // Two digits have as much air behind them as one.
        let room: f32 = if number < 10 { 20.0 } else { 28.0 };
        ui.add_space((left + room - ui.cursor().left()).max(4.0));
        ui.vertical(|ui| text::body(ui, sentence));
    });
}
