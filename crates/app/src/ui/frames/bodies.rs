//! Body, side panel and footer of a page.

use draw::tokens::{height, space};
use draw::{Align, Token};
use egui::{CentralPanel, Context, Frame, Id, Margin, Panel, Rect, ScrollArea, Ui, pos2, vec2};

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

/// Says which page is drawn from here on: each body keeps its own place of scrolling.
pub fn name_page(ctx: &Context, page: impl std::hash::Hash + std::fmt::Debug) {
    ctx.data_mut(|data| data.insert_temp(page_id(), Id::unique(page)));
}

fn page_id() -> Id {
    Id::unique("page of the body")
}

/// The page that was named last.
fn page(ctx: &Context) -> Id {
    ctx.data(|data| data.get_temp(page_id()))
        .unwrap_or(Id::NULL)
}

/// The body of a sheet: 16 px padding, scrolling; a section title comes first. Another part of it begins at its top.
pub fn sheet_body<R>(ui: &mut Ui, part: &str, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let page = page(ui.ctx());
    let part = page.with(part);
    let last = ui.data_mut(|data| std::mem::replace(data.get_temp_mut_or(page, Id::NULL), part));
    let mut scroll = ScrollArea::vertical().id_salt(part);
    if last != part {
        scroll = scroll.vertical_scroll_offset(0.0);
    }
    body(ui, scroll, Margin::symmetric(space::L as i8, 0), contents)
}

/// The body of a page: 24 px padding, scrolling.
pub fn page_body<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let margin = Margin {
        left: 24,
        right: 24,
        top: 14,
        bottom: 24,
    };
    let scroll = ScrollArea::vertical().id_salt(page(ui.ctx()));
    body(ui, scroll, margin, contents)
}

fn body<R>(
    ui: &mut Ui,
    scroll: ScrollArea,
    margin: Margin,
    contents: impl FnOnce(&mut Ui) -> R,
) -> R {
    let frame = Frame::new().fill(theme::color(ui, Token::Sheet));
    let show = |ui: &mut Ui| {
        let scroll = scroll.auto_shrink(false).show(ui, |ui| {
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

#[cfg(test)]
mod tests {
    use egui_kittest::Harness;

    use super::*;

    #[test]
    fn another_section_begins_at_its_top() {
        let setup = |ctx: &Context| theme::install(ctx);
        let mut h = Harness::builder()
            .with_size([300.0, 200.0])
            .with_context_setup(setup)
            .build_ui_state(
                |ui, (part, is_far): &mut (&str, bool)| {
                    let top = sheet_body(ui, part, |ui| {
                        let top = ui.cursor().top();
                        ui.allocate_space(vec2(10.0, 900.0));
                        if std::mem::take(is_far) {
                            ui.scroll_to_cursor(None);
                        }
                        top
                    });
                    ui.data_mut(|data| data.insert_temp(Id::unique("top"), top));
                },
                ("seats", false),
            );
        let top = |h: &mut Harness<(&str, bool)>| {
            h.run_steps(90);
            let top: Option<f32> = h.ctx.data(|data| data.get_temp(Id::unique("top")));
            top.unwrap_or(f32::MAX)
        };
        let at_rest = top(&mut h);
        h.state_mut().1 = true;
        assert!(top(&mut h) < at_rest - 100.0, "the foot is shown");
        h.state_mut().0 = "decision";
        assert_eq!(top(&mut h), at_rest, "the next section begins at its top");
        h.state_mut().0 = "seats";
        assert_eq!(top(&mut h), at_rest, "and so does one that is opened again");
    }
}
