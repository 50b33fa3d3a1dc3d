//! The panel that floats beside a verdict and says where it comes from.

use draw::tokens::{height, space};
use draw::{Align, Mark, Token};
use egui::{
    Area, Context, Frame, Id, Key, Margin, Modifiers, Order, Pos2, Rect, Role, Shape, Ui, pos2,
    vec2,
};

use super::badge::badge_at;
use super::button::{Button, Kind};
use super::titles::rule;
use crate::ui::text::{self, Face};
use crate::ui::{keys, theme};

const WIDTH: f32 = 512.0;
const PADDING: f32 = 24.0;
const BEAK: f32 = 11.0;
const TOP: f32 = 16.0;
/// Between the panel and the edge of the window.
const EDGE: f32 = 8.0;
/// Height of the buttons with the room above them.
const FOOT: f32 = space::L + height::TOUCH;

/// What stands at the top of the panel.
#[derive(Clone, Copy, Debug)]
pub struct WhyHead<'a> {
    /// Such as `Why: mean size, chock bore`.
    pub title: &'a str,
    /// The verdict that is explained.
    pub mark: Mark,
    /// Its word.
    pub word: &'a str,
    /// Where its badge stands; the beak points there.
    pub beside: Rect,
    /// What can be done about it, the first thing first. The buttons stay in view while the rest scrolls.
    pub buttons: &'a [&'a str],
}

/// What was done with the panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhyAnswer {
    /// It was closed, by Esc or by a press outside.
    Closed,
    /// This button was pressed.
    Pressed(usize),
}

/// Shows the panel, as high as its contents and never higher than the window; what was done with it, if anything.
pub fn why_panel(ui: &mut Ui, head: WhyHead, contents: impl FnOnce(&mut Ui)) -> Option<WhyAnswer> {
    let ctx = ui.ctx().clone();
    let is_new = !keys::is_floating(&ctx);
    keys::note_floating(&ctx);
    let mut pressed = None;
    let id = Id::unique(("why", head.title));
    let screen = ctx.content_rect();
    let height = ctx
        .memory(|memory| memory.area_rect(id))
        .map_or(560.0, |rect| rect.height());
    let (min, beak) = place(screen, head.beside, height);
    let style = ui.style().clone();
    let area = Area::new(id)
        .order(Order::Foreground)
        .fixed_pos(min)
        .constrain(false)
        .accessible_name(head.title)
        .role(Role::Dialog)
        .show(&ctx, |ui| {
            ui.set_style(style);
            let behind = [ui.painter().add(Shape::Noop), ui.painter().add(Shape::Noop)];
            let (side, end) = (PADDING as i8, PADDING as i8);
            let frame = Frame::new().inner_margin(Margin {
                left: side,
                right: side,
                top: TOP as i8,
                bottom: end,
            });
            let shown = frame.show(ui, |ui| {
                ui.set_width(WIDTH - 2.0 * PADDING);
                ui.spacing_mut().item_spacing.y = 0.0;
                top(ui, &head);
                let foot = if head.buttons.is_empty() { 0.0 } else { FOOT };
                let used = TOP + ui.min_rect().height() + foot + PADDING;
                scrolled(ui, screen.height() - 2.0 * EDGE - used, contents);
                pressed = buttons(ui, head.buttons, is_new);
            });
            let rect = shown.response.rect;
            let shade = Shape::rect_filled(
                rect.translate(vec2(3.0, 6.0)),
                theme::CORNER,
                theme::shade(ui),
            );
            ui.painter().set(behind[0], shade);
            let (fill, edge) = (
                theme::color(ui, Token::Sheet),
                theme::stroke(ui, 1.0, Token::Edge),
            );
            let body = egui::epaint::RectShape::new(
                rect,
                theme::CORNER,
                fill,
                edge,
                egui::StrokeKind::Inside,
            );
            let mut shapes = vec![Shape::Rect(body)];
            shapes.extend(
                beak.map(|(tip, root)| draw_beak(tip, root, fill, edge))
                    .into_iter()
                    .flatten(),
            );
            ui.painter().set(behind[1], Shape::Vec(shapes));
        });
    let escaped = ctx.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    let outside = area.response.clicked_elsewhere() && !pressed_in(&ctx, head.beside);
    if escaped || outside {
        return Some(WhyAnswer::Closed);
    }
    pressed.map(WhyAnswer::Pressed)
}

/// The contents, scrolled where there is no room for all of them; Page Down and Page Up scroll too.
fn scrolled(ui: &mut Ui, room: f32, contents: impl FnOnce(&mut Ui)) {
    let room = room.max(120.0).floor();
    let turned = |key| ui.input_mut(|input| input.count_and_consume_key(Modifiers::NONE, key));
    let pages = turned(Key::PageUp) as f32 - turned(Key::PageDown) as f32;
    let scroll = egui::ScrollArea::vertical()
        .max_height(room)
        .min_scrolled_height(room);
    let shown = scroll.show(ui, |ui| {
        if pages != 0.0 {
            ui.scroll_with_delta(vec2(0.0, pages * (room - 48.0)));
        }
        contents(ui);
    });
    if shown.content_size.y > room + 1.0 {
        rule(ui);
    }
}

/// The buttons below; which one was pressed. The first one of a panel that is new gets the keyboard.
fn buttons(ui: &mut Ui, words: &[&str], is_new: bool) -> Option<usize> {
    if words.is_empty() {
        return None;
    }
    ui.add_space(FOOT - height::TOUCH);
    let mut pressed = None;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::M;
        for (index, words) in words.iter().enumerate() {
            let kind = if index == 0 {
                Kind::Primary
            } else {
                Kind::Quiet
            };
            let button = Button::new(kind, words).show(ui);
            if index == 0 && is_new {
                button.request_focus();
            }
            if button.clicked() {
                pressed = Some(index);
            }
        }
    });
    pressed
}

fn top(ui: &mut Ui, head: &WhyHead) {
    let rect = text::strip(ui, 66.0);
    let baseline = rect.top() + 20.0;
    text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        Face::SECTION,
        head.title,
    );
    text::at(
        ui,
        pos2(rect.right(), baseline),
        Align::Right,
        Face::NOTE,
        "Esc",
    );
    badge_at(
        ui,
        pos2(rect.left(), rect.top() + 50.0),
        head.mark,
        head.word,
    );
    rule(ui);
    ui.add_space(space::S);
}

/// The upper left corner of the panel, and the tip and root of its beak.
fn place(screen: Rect, beside: Rect, height: f32) -> (Pos2, Option<(Pos2, f32)>) {
    let gap = BEAK + space::XL - 2.0;
    let middle = beside.center().y.round();
    let top_max = (screen.bottom() - EDGE - height).max(screen.top() + EDGE);
    let top = (middle - height / 2.0)
        .clamp(screen.top() + EDGE, top_max)
        .round();
    let left_of = beside.left() - gap - WIDTH;
    let right_of = beside.right() + gap;
    if left_of >= screen.left() + EDGE {
        let edge = left_of + WIDTH;
        (
            pos2(left_of.round(), top),
            Some((pos2(edge.round() + BEAK, middle), edge.round())),
        )
    } else if right_of + WIDTH <= screen.right() - EDGE {
        (
            pos2(right_of.round(), top),
            Some((pos2(right_of.round() - BEAK, middle), right_of.round())),
        )
    } else {
        let left = (screen.center().x - WIDTH / 2.0).max(screen.left()).round();
        (pos2(left, top), None)
    }
}

fn draw_beak(tip: Pos2, root: f32, fill: egui::Color32, edge: egui::Stroke) -> [Shape; 2] {
    let inward = if tip.x > root { -1.5 } else { 1.5 };
    let corners = [pos2(root, tip.y - 10.0), tip, pos2(root, tip.y + 10.0)];
    let solid = corners.map(|p| if p == tip { p } else { p + vec2(inward, 0.0) });
    [
        Shape::convex_polygon(solid.to_vec(), fill, egui::Stroke::NONE),
        Shape::line(corners.to_vec(), edge),
    ]
}

/// A press on the badge itself is the badge's to answer.
fn pressed_in(ctx: &Context, rect: Rect) -> bool {
    ctx.input(|input| {
        input
            .pointer
            .interact_pos()
            .is_some_and(|at| rect.expand(8.0).contains(at))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_panel_stands_beside_its_badge_and_inside_the_window() {
        let screen = Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0));
        let badge = |x: f32, y: f32| Rect::from_min_size(pos2(x, y), vec2(140.0, 24.0));
        for (beside, right) in [
            (badge(840.0, 468.0), true),
            (badge(100.0, 60.0), false),
            (badge(700.0, 780.0), true),
        ] {
            let (min, beak) = place(screen, beside, 664.0);
            let (tip, _) = beak.unwrap();
            assert!(min.y >= 8.0 && min.y + 664.0 <= 792.0, "{min:?}");
            assert_eq!(tip.x > min.x + WIDTH, right, "{min:?} {tip:?}");
            assert_eq!(tip.y, beside.center().y);
        }
        let narrow = Rect::from_min_size(Pos2::ZERO, vec2(700.0, 500.0));
        assert!(place(narrow, badge(300.0, 200.0), 400.0).1.is_none());
    }
}
