//! Boxes that say something out of turn: caution, error, an empty page.

use draw::tokens::space;
use draw::{Glyph, Mark, Token, pos};
use egui::{Align, Frame, Layout, Margin, Ui, vec2};

use super::button;
use crate::ui::text::{self, Face};
use crate::ui::{paint, theme};

/// A short caution where the act is; it defers to the site's own procedure.
pub fn caution(ui: &mut Ui, title: &str, words: &str) {
    let sign = Glyph::Warning.shapes(pos(0.0, 0.0), 24.0, Token::Doubt);
    signed_box(ui, (Token::DoubtTint, Token::Doubt), &sign, title, words);
}

/// What went wrong, where it went wrong, and what to do.
pub fn error_box(ui: &mut Ui, title: &str, words: &str) {
    let sign = Mark::Fail.shapes(pos(0.0, 0.0), 1.0);
    signed_box(ui, (Token::FailTint, Token::Fail), &sign, title, words);
}

/// What is asked before it is done.
pub fn question_box(ui: &mut Ui, title: &str, words: &str) {
    let sign = Mark::PassInDoubt.shapes(pos(0.0, 0.0), 1.0);
    signed_box(ui, (Token::DoubtTint, Token::Doubt), &sign, title, words);
}

fn signed_box(
    ui: &mut Ui,
    colours: (Token, Token),
    sign: &[draw::Shape],
    title: &str,
    words: &str,
) {
    let (fill, edge) = colours;
    let frame = Frame::new()
        .fill(theme::color(ui, fill))
        .stroke(theme::stroke(ui, 1.0, edge))
        .corner_radius(theme::CORNER)
        .inner_margin(Margin {
            left: 11,
            right: 11,
            top: 9,
            bottom: 11,
        });
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing = vec2(space::S, 0.0);
        ui.horizontal_top(|ui| {
            let (_, place) = ui.allocate_space(vec2(26.0, 28.0));
            paint::shapes(ui, (place.center() - vec2(0.0, 3.0)).round(), sign);
            ui.vertical(|ui| {
                text::strong(ui, title);
                text::body(ui, words);
            });
        });
    });
}

/// What an empty page will show, and the one action that fills it; true if it was pressed.
pub fn empty_page(ui: &mut Ui, sentence: &str, detail: &str, action: Option<&str>) -> bool {
    let frame = Frame::new()
        .stroke(theme::stroke(ui, 1.0, Token::Rule))
        .corner_radius(theme::CORNER)
        .inner_margin(Margin::symmetric(19, 18));
    let show = |ui: &mut Ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing = vec2(space::L, 0.0);
        ui.horizontal(|ui| {
            let mut pressed = false;
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if let Some(action) = action {
                    pressed = button::primary(ui, action).clicked();
                }
                ui.with_layout(Layout::top_down(Align::Min), |ui| {
                    text::strong(ui, sentence);
                    text::say(ui, Face::BODY.muted(), detail);
                });
            });
            pressed
        })
        .inner
    };
    frame.show(ui, show).inner
}
