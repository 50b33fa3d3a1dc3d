//! A list of what can be opened, beside the rail: words only, one or several of them open.

use draw::tokens::{height, size, space};
use draw::{Align, Token};
use egui::{
    Event, Frame, InputState, Key, Modifiers, Panel, Rect, Response, Role, ScrollArea, Sense, Ui,
    WidgetInfo, pos2, vec2,
};

use super::rail::ground;
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{Button, Kind};

const WIDTH: f32 = 184.0;
const FOOT: f32 = 60.0;

/// One line of the list.
#[derive(Clone, Copy, Debug)]
pub struct Choosable<'a> {
    /// What stands in the list.
    pub name: &'a str,
    /// What it is for, under the pointer.
    pub about: &'a str,
    /// Where it is open, `left`; none where it is not.
    pub open: Option<&'a str>,
    /// It was opened just now: it comes into view.
    pub is_new: bool,
}

/// What was done with the list.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Chosen {
    /// The line that was pressed.
    pub line: Option<usize>,
    /// True where Ctrl or Shift was held: open it beside the other.
    pub is_beside: bool,
    /// The button below the list was pressed.
    pub foot: bool,
}

/// Shows the list with a button below; `focus` is a line that gets the keyboard.
pub fn choices(ui: &mut Ui, items: &[Choosable], foot: &str, focus: Option<usize>) -> Chosen {
    let frame = Frame::new().fill(theme::color(ui, Token::Ground));
    let panel = Panel::left("choices")
        .exact_size(WIDTH)
        .resizable(false)
        .show_separator_line(false)
        .frame(frame);
    panel.show(ui, |ui| contents(ui, items, foot, focus)).inner
}

fn contents(ui: &mut Ui, items: &[Choosable], foot: &str, focus: Option<usize>) -> Chosen {
    let rect = ui.max_rect();
    let edge = theme::stroke(ui, 1.0, Token::Rule);
    ui.painter().vline(rect.right() - 0.5, rect.y_range(), edge);
    ui.spacing_mut().item_spacing.y = 0.0;
    let mut chosen = Chosen::default();
    let scroll = ScrollArea::vertical()
        .auto_shrink(false)
        .max_height((rect.height() - FOOT).max(height::TOUCH));
    scroll.show(ui, |ui| {
        for (index, item) in items.iter().enumerate() {
            let response = line(ui, item);
            if focus == Some(index) {
                response.request_focus();
            }
            if response.clicked() {
                chosen.line = Some(index);
                chosen.is_beside = ui.input(is_beside);
            }
        }
    });
    let min = pos2(rect.left() + space::M, rect.bottom() - FOOT + space::S);
    let place = Rect::from_min_size(min, vec2(WIDTH - 2.0 * space::M, height::TOUCH));
    chosen.foot = Button::new(Kind::Second, foot).place(ui, place).clicked();
    chosen
}

/// Whether Ctrl or Shift was held, at the press of the key too: a quick hand lets both go before the frame.
fn is_beside(input: &InputState) -> bool {
    let held = |modifiers: Modifiers| modifiers.command || modifiers.shift;
    held(input.modifiers)
        || input.events.iter().any(|event| {
            matches!(event, Event::Key { key: Key::Enter | Key::Space, pressed: true, modifiers, .. } if held(*modifiers))
        })
}

fn line(ui: &mut Ui, item: &Choosable) -> Response {
    let (_, rect) = ui.allocate_space(vec2(WIDTH, height::TOUCH));
    let id = ui.make_persistent_id(("choice", item.name));
    let response = ui.interact(rect, id, Sense::click());
    let is_open = item.open.is_some();
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_open, item.name));
    ground(ui, rect, is_open, &response);
    if response.gained_focus() || item.is_new {
        response.scroll_to_me(None);
    }
    let face = if is_open {
        Face::STRONG
    } else {
        Face::BODY.muted()
    };
    let at = |x: f32, size: f32| pos2(x, text::baseline(rect.center().y, size));
    let mut right = rect.right() - 12.0;
    if let Some(place) = item.open.filter(|place| !place.is_empty()) {
        let place = text::silent(ui, at(right, size::NOTE), Align::Right, Face::NOTE, place);
        right = place.left() - space::S;
    }
    let left = rect.left() + 16.0;
    text::silent_at_most(ui, at(left, size::BODY), right - left, face, item.name);
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .on_hover_text(item.about)
}
