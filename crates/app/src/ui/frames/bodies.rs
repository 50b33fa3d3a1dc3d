//! Body, side panel and footer of a page.

use draw::tokens::{height, space};
use draw::{Align, Token};
use egui::{CentralPanel, Frame, Margin, Panel, Rect, ScrollArea, Ui, pos2, vec2};

use crate::ui::focus::Step;
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{Button, Kind, rule};

const FOOTER: f32 = 60.0;
/// From here on the panel has more room.
const WIDE: f32 = 1600.0;

/// Width of the side panel in a window as wide as this one.
pub fn panel_width(ui: &Ui) -> f32 {
    if ui.content_rect().width() >= WIDE {
        400.0
    } else {
        280.0
    }
}

/// The panel at the right, with its head; it scrolls if it must.
pub fn side_panel(ui: &mut Ui, head: &str, contents: impl FnOnce(&mut Ui)) {
    let frame = Frame::new()
        .fill(theme::color(ui, Token::Ground))
        .inner_margin(Margin {
            left: 20,
            right: 4,
            ..Margin::ZERO
        });
    // The scroll bar stands in the margin at the right, not over the numbers.
    let margin = 16.0;
    let panel = Panel::right("panel")
        .exact_size(panel_width(ui))
        .resizable(false)
        .show_separator_line(false);
    panel.frame(frame).show(ui, |ui| {
        let rect = ui.max_rect();
        let outer = rect.left() - 20.0;
        ui.painter().vline(
            outer + 0.5,
            ui.clip_rect().y_range(),
            theme::stroke(ui, 1.0, Token::Rule),
        );
        ui.scope(|ui| {
            ui.set_max_width(ui.available_width() - margin);
            ui.spacing_mut().item_spacing.y = 0.0;
            let top = text::strip(ui, 46.0);
            text::at(
                ui,
                pos2(top.left(), top.top() + 31.0),
                Align::Left,
                Face::BODY.muted(),
                head,
            );
            rule(ui);
        });
        ui.spacing_mut().item_spacing.y = space::S;
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.set_max_width(ui.available_width() - margin);
            ui.add_space(space::S);
            contents(ui);
            ui.add_space(space::L);
        });
    });
}

/// The words of a sheet's footer.
#[derive(Clone, Copy, Debug, Default)]
pub struct Footer<'a> {
    /// The button at the left.
    pub back: Option<&'a str>,
    /// The button at the right, the act of the view.
    pub next: Option<&'a str>,
    /// Whether it can be pressed.
    pub next_enabled: bool,
    /// Between them, such as what is missing.
    pub note: &'a str,
}

/// Shows the footer; what was pressed.
pub fn footer(ui: &mut Ui, footer: Footer) -> Option<Step> {
    let frame = Frame::new().fill(theme::color(ui, Token::Sheet));
    let panel = Panel::bottom("footer")
        .exact_size(FOOTER)
        .show_separator_line(false)
        .frame(frame);
    panel.show(ui, |ui| footer_contents(ui, footer)).inner
}

fn footer_contents(ui: &mut Ui, footer: Footer) -> Option<Step> {
    let rect = ui.max_rect();
    ui.painter().hline(
        rect.x_range(),
        rect.top() + 0.5,
        theme::stroke(ui, 1.0, Token::Rule),
    );
    let mut pressed = None;
    let place = |ui: &Ui, words: &str, at_right: bool| {
        let width = (text::width(ui, Face::STRONG, words) + 2.0 * space::L).ceil();
        let left = if at_right {
            rect.right() - space::L - width
        } else {
            rect.left() + space::L
        };
        Rect::from_min_size(
            pos2(left, rect.top() + space::S),
            vec2(width, height::TOUCH),
        )
    };
    let (mut left, mut right) = (rect.left() + space::L, rect.right() - space::L);
    if let Some(words) = footer.back {
        let at = place(ui, words, false);
        left = at.right() + space::L;
        if Button::new(Kind::Second, words).place(ui, at).clicked() {
            pressed = Some(Step::Back);
        }
    }
    if let Some(words) = footer.next {
        let at = place(ui, words, true);
        right = at.left() - space::L;
        if Button::new(Kind::Primary, words)
            .enabled(footer.next_enabled)
            .place(ui, at)
            .clicked()
        {
            pressed = Some(Step::Forward);
        }
    }
    if !footer.note.is_empty() {
        let width = text::width(ui, Face::NOTE, footer.note).min(right - left);
        let at = pos2(
            right - width,
            text::baseline(rect.center().y + 1.0, Face::NOTE.size),
        );
        text::at_most(ui, at, right - left, Face::NOTE, footer.note);
    }
    pressed
}

/// The body of a sheet: 16 px padding, scrolling; a section title comes first.
pub fn sheet_body<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    body(ui, Margin::symmetric(space::L as i8, 0), contents)
}

/// The body of a page: 24 px padding, scrolling.
pub fn page_body<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let margin = Margin {
        left: 24,
        right: 24,
        top: 14,
        bottom: 24,
    };
    body(ui, margin, contents)
}

fn body<R>(ui: &mut Ui, margin: Margin, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let frame = Frame::new().fill(theme::color(ui, Token::Sheet));
    let show = |ui: &mut Ui| {
        let scroll = ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            let inner = |ui: &mut Ui| {
                ui.set_width(ui.available_width());
                contents(ui)
            };
            Frame::new().inner_margin(margin).show(ui, inner).inner
        });
        scroll.inner
    };
    CentralPanel::default().frame(frame).show(ui, show).inner
}
