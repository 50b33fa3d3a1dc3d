//! The rail of pages at the left, 112 wide; words only.

use draw::tokens::{height, size};
use draw::{Align, Token};
use egui::{Frame, Panel, Rect, Response, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::ui::text::{self, Face};
use crate::ui::theme;

pub(super) const WIDTH: f32 = 112.0;
/// From the top strip to the first item.
const TOP: f32 = 16.0;

/// One line of the rail.
#[derive(Clone, Copy, Debug)]
pub enum RailItem<'a> {
    /// A page.
    Page(&'a str),
    /// A rule between groups of pages.
    Rule,
}

impl<'a> RailItem<'a> {
    /// A page.
    pub const fn page(name: &'a str) -> Self {
        Self::Page(name)
    }

    /// A rule between groups of pages.
    pub const fn rule() -> Self {
        Self::Rule
    }
}

/// Shows the rail; the index of an item that was pressed, counting rules too.
pub fn rail(ui: &mut Ui, items: &[RailItem], current: Option<usize>) -> Option<usize> {
    let frame = Frame::new().fill(theme::color(ui, Token::Ground));
    let panel = Panel::left("rail")
        .exact_size(WIDTH)
        .resizable(false)
        .show_separator_line(false)
        .frame(frame);
    panel.show(ui, |ui| contents(ui, items, current)).inner
}

fn contents(ui: &mut Ui, items: &[RailItem], current: Option<usize>) -> Option<usize> {
    let rect = ui.max_rect();
    let edge = theme::stroke(ui, 1.0, Token::Rule);
    ui.painter().vline(rect.right() - 0.5, rect.y_range(), edge);
    let mut top = rect.top() + TOP;
    let mut pressed = None;
    for (index, item) in items.iter().enumerate() {
        match item {
            RailItem::Rule => {
                let y = (top + 5.0).floor() + 0.5;
                ui.painter()
                    .hline(rect.left() + 16.0..=rect.right() - 16.0, y, edge);
                top += 12.0;
            }
            RailItem::Page(name) => {
                let line = Rect::from_min_size(pos2(rect.left(), top), vec2(WIDTH, height::TOUCH));
                if page(ui, line, name, current == Some(index)).clicked() {
                    pressed = Some(index);
                }
                top += height::TOUCH;
            }
        }
    }
    let at = pos2(rect.left() + 16.0, rect.bottom() - 21.0);
    text::at(ui, at, Align::Left, Face::NOTE, "F1 explains");
    pressed
}

fn page(ui: &Ui, rect: Rect, name: &str, is_current: bool) -> Response {
    let response = ui.interact(rect, ui.make_persistent_id(("page", name)), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_current, name));
    ground(ui, rect, is_current, &response);
    let face = if is_current {
        Face::STRONG
    } else {
        Face::BODY.muted()
    };
    let at = pos2(
        rect.left() + 16.0,
        text::baseline(rect.center().y, size::BODY),
    );
    text::silent(ui, at, Align::Left, face, name);
    response.on_hover_cursor(egui::CursorIcon::PointingHand)
}

/// The ground of an item of the rail or of a section list: the open one belongs to the sheet.
pub fn ground(ui: &Ui, rect: Rect, is_current: bool, response: &Response) {
    let edge = theme::stroke(ui, 1.0, Token::Rule);
    if is_current {
        ui.painter()
            .rect_filled(rect, 0.0, theme::color(ui, Token::Sheet));
        ui.painter().hline(rect.x_range(), rect.top() + 0.5, edge);
        ui.painter()
            .hline(rect.x_range(), rect.bottom() + 0.5, edge);
        let bar = Rect::from_min_size(rect.min, vec2(4.0, rect.height()));
        ui.painter()
            .rect_filled(bar, 0.0, theme::color(ui, Token::Accent));
    } else if response.hovered() {
        let inside = Rect::from_min_max(rect.min, rect.max - vec2(1.0, 0.0));
        ui.painter()
            .rect_filled(inside, 0.0, theme::color(ui, Token::Sel));
    }
    if response.has_focus() {
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter()
            .rect_stroke(rect.shrink(1.0), 0.0, stroke, egui::StrokeKind::Inside);
    }
}
