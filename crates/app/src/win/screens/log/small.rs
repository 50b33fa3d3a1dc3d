//! Small controls of pages that are read: links, small choices in a line, a choice that folds.

use draw::{Align, Glyph, Token, marks::Towards, pos};
use egui::{
    CursorIcon, Popup, Pos2, Rect, Response, Role, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use crate::ui::text::{self, Face};
use crate::ui::widgets::{Button, Kind};
use crate::ui::{paint, theme};

/// Height of a small control, px; it stands in a heading.
const HEIGHT: f32 = 28.0;

/// Words that open something, in the flow.
pub fn link(ui: &mut Ui, words: &str, name: &str) -> Response {
    let width = text::width(ui, Face::NOTE_STRONG, words).ceil();
    let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::click());
    let at = pos2(
        rect.left(),
        text::baseline(rect.center().y, Face::NOTE_STRONG.size),
    );
    finish_link(ui, at, Face::NOTE_STRONG, words, name, (rect, response))
}

/// Words that open something, from a baseline; allocates nothing.
pub fn link_at(ui: &mut Ui, at: Pos2, face: Face, words: &str, name: &str) -> Response {
    let width = text::width(ui, face, words).ceil();
    let rect = Rect::from_min_max(
        pos2(at.x, at.y - face.size - 2.0),
        pos2(at.x + width, at.y + 6.0),
    );
    let response = ui.interact(rect, ui.make_persistent_id(("link", name)), Sense::click());
    finish_link(ui, at, face, words, name, (rect, response))
}

fn finish_link(
    ui: &Ui,
    at: Pos2,
    face: Face,
    words: &str,
    name: &str,
    (rect, response): (Rect, Response),
) -> Response {
    response.widget_info(|| WidgetInfo::labeled(Role::Link, true, name));
    let face = face.token(Token::Accent);
    let words = text::silent(ui, at, Align::Left, face, words);
    if response.hovered() {
        ui.painter().hline(
            words.x_range(),
            at.y + 2.5,
            theme::stroke(ui, 1.0, Token::Accent),
        );
    }
    if response.has_focus() {
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter()
            .rect_stroke(rect.expand(3.0), theme::CORNER, stroke, StrokeKind::Inside);
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// A few words in a line, one of which holds; true if another one does now.
pub fn choose(ui: &mut Ui, name: &str, words: &[&str], chosen: &mut usize) -> bool {
    let before = *chosen;
    for (index, word) in words.iter().enumerate() {
        let is_chosen = *chosen == index;
        let width = text::width(ui, Face::NOTE_STRONG, word).ceil();
        let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::click());
        let full = format!("{name}: {word}");
        response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, is_chosen, &full));
        let face = if is_chosen {
            Face::NOTE_STRONG.token(Token::Ink)
        } else {
            Face::NOTE
        };
        let at = pos2(rect.center().x, text::baseline(rect.center().y, face.size));
        text::silent(ui, at, Align::Centre, face, word);
        if is_chosen || response.hovered() {
            let token = if is_chosen {
                Token::Accent
            } else {
                Token::Edge
            };
            ui.painter().hline(
                rect.x_range(),
                rect.bottom() - 3.0,
                theme::stroke(ui, 2.0, token),
            );
        }
        if response.has_focus() {
            let stroke = theme::stroke(ui, 2.0, Token::Accent);
            ui.painter()
                .rect_stroke(rect.expand(3.0), theme::CORNER, stroke, StrokeKind::Inside);
        }
        if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
            *chosen = index;
        }
    }
    *chosen != before
}

/// A button that unfolds the words it may stand for; true if another one does now.
pub fn unfold(ui: &mut Ui, name: &str, words: &[String], chosen: &mut usize) -> bool {
    let before = *chosen;
    let shown = words.get(*chosen).map_or("", String::as_str);
    let full = format!("{name}: {shown}");
    let width = (text::width(ui, Face::STRONG, shown) + 32.0).ceil() + 24.0;
    let response = Button::new(Kind::Second, shown)
        .name(&full)
        .width(width)
        .show(ui);
    let mark = Glyph::Step(Towards::Down).shapes(pos(0.0, 0.0), 9.0, Token::Accent);
    paint::shapes(ui, response.rect.right_center() - vec2(14.0, 0.0), &mark);
    Popup::menu(&response).show(|ui| {
        for (index, word) in words.iter().enumerate() {
            let full = format!("{name}: choose {word}");
            if Button::new(Kind::Quiet, word)
                .name(&full)
                .show(ui)
                .clicked()
            {
                *chosen = index;
                ui.close();
            }
        }
    });
    *chosen != before
}

/// One head of a table by which its rows can be put in order; `order` is true for rising, false for falling.
pub fn head(ui: &mut Ui, words: &str, order: Option<bool>) -> Response {
    let face = if order.is_some() {
        Face::NOTE_STRONG.token(Token::Ink)
    } else {
        Face::NOTE
    };
    let width = text::width(ui, face, words).ceil();
    let (rect, response) = ui.allocate_exact_size(vec2(width, 24.0), Sense::click());
    let said = match order {
        None => format!("Order by {words}"),
        Some(true) => format!("Ordered by {words}, rising"),
        Some(false) => format!("Ordered by {words}, falling"),
    };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, order.is_some(), &said));
    let at = pos2(rect.left(), text::baseline(rect.center().y, face.size));
    text::silent(ui, at, Align::Left, face, words);
    if let Some(rising) = order {
        let towards = if rising { Towards::Up } else { Towards::Down };
        // Beside the words, in the gap between columns, so that nothing moves.
        let at = rect.right_center() + vec2(6.0, 0.0);
        paint::shapes(
            ui,
            at,
            &Glyph::Step(towards).shapes(pos(0.0, 0.0), 8.0, Token::Accent),
        );
    } else if response.hovered() {
        ui.painter().hline(
            rect.x_range(),
            rect.bottom() - 2.5,
            theme::stroke(ui, 1.0, Token::Edge),
        );
    }
    if response.has_focus() {
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter()
            .rect_stroke(rect.expand(2.0), theme::CORNER, stroke, StrokeKind::Inside);
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// Words from a baseline to `right`; those that find no room there go on a second line, `below` from its baseline to its
/// right end. Answers whether there is one.
pub fn words_lines(
    ui: &mut Ui,
    at: Pos2,
    right: f32,
    below: (Pos2, f32),
    words: &[(Face, String)],
) -> bool {
    let mut x = at.x;
    let fits = words
        .iter()
        .take_while(|(face, text)| {
            x += text::width(ui, *face, text) + 20.0;
            x - 20.0 <= right
        })
        .count();
    let (first, rest) = words.split_at(fits);
    words_line(ui, at, right, first);
    words_line(ui, below.0, below.1, rest);
    !rest.is_empty()
}

/// Words from a baseline to `right`, set apart by dots; what does not fit is cut, and the pointer shows all of it.
pub fn words_line(ui: &mut Ui, at: Pos2, right: f32, words: &[(Face, String)]) {
    let mut x = at.x;
    for (index, (face, text)) in words.iter().enumerate() {
        if index > 0 {
            let dot = pos2(x + 8.0, at.y);
            x = text::silent(ui, dot, Align::Left, Face::BODY.muted(), "\u{b7}").right() + 8.0;
        }
        let (room, width) = (right - x, text::width(ui, *face, text));
        if room > 24.0 {
            text::at_most(ui, pos2(x, at.y), room, *face, text);
        }
        if width > room {
            let all: Vec<&str> = words.iter().map(|(_, text)| text.as_str()).collect();
            let rect = Rect::from_min_max(pos2(at.x, at.y - 16.0), pos2(right, at.y + 6.0));
            let id = ui.next_auto_id();
            ui.skip_ahead_auto_ids(1);
            ui.interact(rect, id, Sense::hover())
                .on_hover_text(all.join(" \u{b7} "));
            return;
        }
        x += width;
    }
}
