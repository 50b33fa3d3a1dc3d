//! Verdicts as shape, word and colour; the shapes of row pairs.

use draw::{Align, Glyph, Mark, Pair, Token, pos};
use egui::{Pos2, Rect, Response, Role, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::ui::text::{self, Face};
use crate::ui::{paint, theme};

/// From the middle of the mark to its word.
const WORD_X: f32 = 15.0;
const HEIGHT: f32 = 22.0;

/// A verdict in the flow.
pub fn badge(ui: &mut Ui, mark: Mark, word: &str) -> Response {
    let rect = allocate(ui, mark, word, Sense::hover()).0;
    let response = ui.interact(rect, ui.next_auto_id(), Sense::hover());
    ui.skip_ahead_auto_ids(1);
    draw_badge(ui, rect.left_center(), mark, word);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, word));
    response
}

/// A verdict that opens its reasons; `name` says whose verdict it is.
pub fn badge_button(ui: &mut Ui, mark: Mark, word: &str, name: &str) -> Response {
    let (rect, response) = allocate(ui, mark, word, Sense::click());
    let framed = rect.expand2(vec2(8.0, 6.0));
    if response.hovered() || response.has_focus() {
        ui.painter()
            .rect_filled(framed, theme::CORNER, theme::color(ui, Token::Sel));
    }
    if response.has_focus() {
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter()
            .rect_stroke(framed, theme::CORNER, stroke, StrokeKind::Inside);
    }
    draw_badge(ui, rect.left_center(), mark, word);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    response.on_hover_cursor(egui::CursorIcon::PointingHand)
}

/// A verdict whose mark begins at a point, vertically centred on it; allocates nothing.
pub fn badge_at(ui: &mut Ui, left_centre: Pos2, mark: Mark, word: &str) -> Rect {
    let rect = Rect::from_min_size(
        left_centre - vec2(0.0, HEIGHT / 2.0),
        vec2(WORD_X + 8.0 + text::width(ui, Face::STRONG, word), HEIGHT),
    );
    draw_badge(ui, left_centre, mark, word);
    let response = ui.interact(rect, ui.next_auto_id(), Sense::hover());
    ui.skip_ahead_auto_ids(1);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, word));
    rect
}

/// A mark alone; what it says is its word as text beside it or in a list.
pub fn mark(ui: &mut Ui, mark: Mark) -> Response {
    let (rect, response) = ui.allocate_exact_size(vec2(Mark::SIZE, HEIGHT), Sense::hover());
    paint::shapes(ui, rect.center().round(), &mark.shapes(pos(0.0, 0.0), 1.0));
    response
}

/// A sign that the typeface lacks, in the flow.
pub fn glyph(ui: &mut Ui, glyph: Glyph, size: f32, token: Token) -> Response {
    let (rect, response) = ui.allocate_exact_size(vec2(size, size.max(HEIGHT)), Sense::hover());
    paint::shapes(
        ui,
        rect.center().round(),
        &glyph.shapes(pos(0.0, 0.0), size, token),
    );
    response
}

/// A row pair: shape and words in its colour.
pub fn pair(ui: &mut Ui, pair: Pair, words: &str) -> Response {
    let face = Face::STRONG.token(pair.token());
    let width = 16.0 + text::width(ui, face, words);
    let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::hover());
    draw_pair(ui, rect.left_center(), pair, words);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    response
}

/// A row pair whose shape begins at a point; allocates nothing and has no node of its own.
pub(super) fn draw_pair(ui: &Ui, left_centre: Pos2, pair: Pair, words: &str) {
    let centre = left_centre.round() + vec2(5.0, 0.0);
    paint::shapes(ui, centre, &pair.shapes(pos(0.0, 0.0), 10.0));
    let face = Face::STRONG.token(pair.token());
    let at = pos2(
        left_centre.x + 16.0,
        text::baseline(left_centre.y, face.size),
    );
    text::silent(ui, at, Align::Left, face, words);
}

/// A verdict whose mark begins at a point, without a node of its own.
pub(super) fn draw_badge(ui: &Ui, left_centre: Pos2, mark: Mark, word: &str) {
    let centre = left_centre.round() + vec2(8.0, 0.0);
    paint::shapes(ui, centre, &mark.shapes(pos(0.0, 0.0), 1.0));
    let face = Face::STRONG.token(mark.token());
    let at = pos2(centre.x + WORD_X, text::baseline(left_centre.y, face.size));
    text::silent(ui, at, Align::Left, face, word);
}

fn allocate(ui: &mut Ui, _mark: Mark, word: &str, sense: Sense) -> (Rect, Response) {
    let width = 8.0 + WORD_X + text::width(ui, Face::STRONG, word);
    ui.allocate_exact_size(vec2(width.ceil(), HEIGHT), sense)
}
