//! What floats over a page and keeps the rest from being pressed: dialogs and the help sheet.

use draw::tokens::space;
use draw::{Align, Token};
use egui::{Context, Frame, Id, Margin, Modal, ScrollArea, Ui, pos2};

use crate::ui::text::{self, Face};
use crate::ui::widgets::rule;
use crate::ui::{keys, theme};

/// Room for the scroll bar, px.
const BAR: f32 = 14.0;

/// A part of the help for a page.
#[derive(Clone, Copy, Debug)]
pub struct HelpPart<'a> {
    /// Its head.
    pub head: &'a str,
    /// Its words.
    pub text: &'a str,
}

/// Shows what a page is for and every key; true if it was closed.
pub fn help_sheet(ctx: &Context, page: &str, parts: &[HelpPart]) -> bool {
    dialog(ctx, "help sheet", &format!("Help: {page}"), 640.0, |ui| {
        for part in parts {
            text::strong(ui, part.head);
            text::body(ui, part.text);
            ui.add_space(space::S);
        }
        rule(ui);
        text::strong(ui, "Keys");
        for action in keys::Action::ALL {
            key_line(ui, action.keys(), action.help());
        }
        for (key, words) in FIELD_KEYS {
            key_line(ui, key, words);
        }
    })
}

const FIELD_KEYS: [(&str, &str); 4] = [
    (
        "Enter, Tab",
        "Takes a reading and goes on in the order of measuring; so does a gauge\u{2019}s line end.",
    ),
    ("Shift Enter", "Goes back to the reading before."),
    (
        "Paste",
        "A column of readings fills the fields from here on.",
    ),
    ("Arrows", "Move inside a choice or a list."),
];

fn key_line(ui: &mut Ui, key: &str, words: &str) {
    ui.horizontal_top(|ui| {
        let left = ui.cursor().left();
        ui.spacing_mut().item_spacing.x = 0.0;
        text::strong(ui, key);
        ui.add_space((left + 144.0 - ui.cursor().left()).max(space::S));
        ui.vertical(|ui| text::body(ui, words));
    });
}

/// Shows a dialog with its title; true if it was closed by Esc or by a press outside. Its contents
/// close it by `ui.close()`.
pub fn dialog(
    ctx: &Context,
    salt: &str,
    title: &str,
    width: f32,
    contents: impl FnOnce(&mut Ui),
) -> bool {
    keys::note_floating(ctx);
    let screen = ctx.content_rect();
    let id = Id::unique(("dialog", salt));
    let area = Modal::default_area(id).accessible_name(title);
    let modal = Modal::new(id)
        .area(area)
        .frame(Frame::NONE)
        .backdrop_color(theme::backdrop());
    let shown = modal.show(ctx, |ui| {
        let frame = Frame::new()
            .fill(theme::color(ui, Token::Sheet))
            .stroke(theme::stroke(ui, 1.0, Token::Edge))
            .corner_radius(theme::CORNER)
            .shadow(ui.visuals().window_shadow)
            .inner_margin(Margin {
                right: (space::XL - BAR) as i8,
                ..Margin::same(space::XL as i8)
            });
        frame.show(ui, |ui| {
            let width = width.min(screen.width() - 64.0);
            // The scroll bar stands in the margin, not on the words.
            ui.set_width(width + BAR);
            ui.scope(|ui| {
                ui.set_max_width(width);
                let top = text::strip(ui, 34.0);
                text::at(
                    ui,
                    pos2(top.left(), top.top() + 18.0),
                    Align::Left,
                    Face::SECTION,
                    title,
                );
                text::at(
                    ui,
                    pos2(top.right(), top.top() + 18.0),
                    Align::Right,
                    Face::NOTE,
                    "Esc",
                );
                rule(ui);
            });
            ui.add_space(space::S);
            let room = (screen.height() - 160.0).max(120.0);
            ScrollArea::vertical()
                .max_height(room)
                .min_scrolled_height(room)
                .auto_shrink([false, true])
                .show(ui, |ui| {
                    ui.set_max_width(width);
                    contents(ui);
                });
        });
    });
    shown.should_close()
}
