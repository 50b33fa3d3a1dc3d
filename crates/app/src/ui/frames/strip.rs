//! The top strip, 48 high: where one is, what is shown, the search field, and who is at work.

use draw::marks::Towards;
use draw::tokens::{height, size, space};
use draw::{Align, Glyph, Token, pos};
use egui::{Frame, Panel, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::{rail, sections};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{Outcome, SearchField};
use crate::ui::{paint, theme};

/// What stands at the left end.
#[derive(Clone, Copy, Debug)]
pub enum Left<'a> {
    /// The plant, over the rail.
    Plant(&'a str),
    /// The way out of a sheet, over its sections.
    Back(&'a str),
}

/// The words of the strip.
#[derive(Clone, Copy, Debug)]
pub struct Strip<'a> {
    /// At the left end.
    pub left: Left<'a>,
    /// The title of the page.
    pub title: &'a str,
    /// A line about it.
    pub detail: &'a str,
    /// Beside the search field, such as when the draft was kept.
    pub note: &'a str,
    /// Who is at work.
    pub person: &'a str,
}

/// What was done with the strip in this frame.
#[derive(Debug)]
pub struct StripOut {
    /// The way out was taken.
    pub back: bool,
    /// What was done with the search field.
    pub find: Outcome,
    /// The person was pressed.
    pub person: bool,
    /// Where the search field stands, for what is found below it.
    pub find_rect: Rect,
}

/// Shows the strip.
pub fn top_strip(ui: &mut Ui, strip: &Strip, search: &mut String) -> StripOut {
    let frame = Frame::new().fill(theme::color(ui, Token::Ground));
    let panel = Panel::top("strip")
        .exact_size(height::STRIP)
        .show_separator_line(false)
        .frame(frame);
    panel.show(ui, |ui| contents(ui, strip, search)).inner
}

/// As many whole words of a name as have room above the rail; one word at least.
fn whole_words<'a>(ui: &Ui, name: &'a str, room: f32) -> &'a str {
    let mut fits = name;
    while text::width(ui, Face::NOTE_STRONG, fits) > room {
        let Some((shorter, _)) = fits.trim_end().rsplit_once(' ') else {
            break;
        };
        fits = shorter.trim_end();
    }
    fits
}

fn contents(ui: &mut Ui, strip: &Strip, search: &mut String) -> StripOut {
    let rect = ui.max_rect();
    let middle = rect.center().y + 1.0; // of what is seen as the strip, with the rule below it
    let edge = theme::stroke(ui, 1.0, Token::Rule);
    ui.painter()
        .hline(rect.x_range(), rect.bottom() - 0.5, edge);
    let (left_width, back) = match strip.left {
        Left::Plant(name) => {
            let baseline = text::baseline(middle, size::NOTE);
            let room = rail::WIDTH - 24.0;
            let name = whole_words(ui, name, room);
            text::at_most(
                ui,
                pos2(rect.left() + 16.0, baseline),
                room,
                Face::NOTE_STRONG,
                name,
            );
            (rail::WIDTH, false)
        }
        Left::Back(name) => {
            ui.painter()
                .vline(rect.left() + sections::WIDTH - 0.5, rect.y_range(), edge);
            (sections::WIDTH, back(ui, rect, name))
        }
    };
    let small = text::baseline(middle, size::NOTE);
    let person_width = text::width(ui, Face::NOTE_STRONG, strip.person);
    let person_rect = Rect::from_min_max(
        pos2(rect.right() - 24.0 - person_width, rect.top()),
        pos2(rect.right() - 8.0, rect.bottom()),
    );
    let person = person(ui, person_rect, strip.person);
    let find_min = pos2(
        person_rect.left() - 8.0 - SearchField::SIZE.x,
        middle - SearchField::SIZE.y / 2.0,
    );
    let find_rect = Rect::from_min_size(find_min, SearchField::SIZE).round();
    let find = SearchField::new("Find or scan").place(ui, find_rect, search);
    let note_left = if strip.note.is_empty() {
        find_rect.left()
    } else {
        // Beside the title, however long it is: what was not kept is told in whole words elsewhere, too.
        let title = text::width(ui, Face::TITLE, strip.title);
        let room = find_rect.left() - rect.left() - left_width - title - 48.0;
        let width = text::width(ui, Face::NOTE, strip.note).min(room).ceil();
        let at = pos2(find_rect.left() - 16.0 - width, small);
        text::at_most(ui, at, width, Face::NOTE, strip.note).left()
    };
    let baseline = text::baseline(middle, size::TITLE) - 1.0;
    let x = rect.left() + left_width + 16.0;
    let title = text::at(ui, pos2(x, baseline), Align::Left, Face::TITLE, strip.title);
    let room = note_left - 16.0 - title.right() - 16.0;
    if !strip.detail.is_empty() && room > 40.0 {
        text::at_most(
            ui,
            pos2(title.right() + 16.0, baseline),
            room,
            Face::BODY.muted(),
            strip.detail,
        );
    }
    StripOut {
        back,
        find,
        person,
        find_rect,
    }
}

fn back(ui: &Ui, strip: Rect, name: &str) -> bool {
    let rect = Rect::from_min_size(strip.min, vec2(sections::WIDTH - 1.0, strip.height() - 1.0));
    let response = ui.interact(rect, ui.make_persistent_id("back"), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Back to {name}")));
    if response.hovered() {
        ui.painter()
            .rect_filled(rect, 0.0, theme::color(ui, Token::Sel));
    }
    if response.has_focus() {
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter()
            .rect_stroke(rect, 0.0, stroke, egui::StrokeKind::Inside);
    }
    let chevron = Glyph::Chevron(Towards::Left).shapes(pos(0.0, 0.0), 16.0, Token::Accent);
    paint::shapes(
        ui,
        pos2(rect.left() + 23.0, rect.center().y.round() + 1.0),
        &chevron,
    );
    let at = pos2(
        rect.left() + 38.0,
        text::baseline(rect.center().y + 1.0, size::BODY),
    );
    text::silent(ui, at, Align::Left, Face::STRONG.token(Token::Accent), name);
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

fn person(ui: &Ui, rect: Rect, name: &str) -> bool {
    let response = ui.interact(rect, ui.make_persistent_id("person"), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("At work: {name}")));
    let frame = rect.shrink2(vec2(0.0, space::S));
    if response.hovered() {
        ui.painter()
            .rect_filled(frame, theme::CORNER, theme::color(ui, Token::Sel));
    }
    if response.has_focus() {
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter()
            .rect_stroke(frame, theme::CORNER, stroke, egui::StrokeKind::Inside);
    }
    let at = pos2(
        rect.right() - 8.0,
        text::baseline(rect.center().y + 1.0, size::NOTE),
    );
    text::silent(
        ui,
        at,
        Align::Right,
        Face::NOTE_STRONG.token(Token::Ink),
        name,
    );
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}
