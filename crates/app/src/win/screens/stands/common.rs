//! Stays that wore fast, counted by what they may have in common: the place, the stand, the chock, the bearing.

use draw::tokens::space;
use draw::{Align, Token};
use egui::{Rect, StrokeKind, Ui, pos2, vec2};
use store::entry::Show;

use super::known::{Known, Stay};
use super::place::NAMED_MAX;
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets;

/// At most so many stays are drawn as squares; more are only counted.
const SQUARES_MAX: usize = 8;

/// Stays that wore fast, counted by what they may have in common.
pub(super) fn common(ui: &mut Ui, show: Show, known: &Known<'_>) {
    widgets::heading(ui, "In common", "wore fast, of all stays");
    widgets::rule(ui);
    let here = known.count(|s| known.is_here(s));
    factor(ui, &known.place.code, "", here, here.0 > 0);
    let of_stand = known.count(|s| known.is_of_stand(s) && !known.is_here(s));
    factor(
        ui,
        &format!("Other places of {}", known.stand),
        "",
        of_stand,
        false,
    );
    let others = known
        .of_type
        .stands
        .iter()
        .filter(|s| s.code != known.stand);
    let others: Vec<&str> = others.map(|s| s.code.as_str()).collect();
    if !others.is_empty() {
        let elsewhere = known.count(|s| !known.is_of_stand(s));
        factor(ui, &others.join(", "), "", elsewhere, false);
    }
    let fast = || {
        known
            .stays
            .iter()
            .filter(|s| known.is_here(s) && known.is_fast(s))
    };
    for chock in first_of(fast().map(|s| s.last.chock.as_str())) {
        let count = known.count(|s| s.last.chock == chock);
        let fine = fine_at(known, |s| s.last.chock == chock);
        factor(ui, &format!("Chock {chock}"), &fine, count, false);
    }
    for serial in first_of(fast().map(|s| s.last.serial.as_str())) {
        let count = known.count(|s| s.last.serial == serial);
        let fine = fine_at(known, |s| s.last.serial == serial);
        factor(ui, serial, &fine, count, false);
    }
    ui.add_space(space::XS);
    let words = format!(
        "Fast: {} grew twice the mean of all stays of the type, or more.",
        known.rows(show)
    );
    text::note(ui, &words);
    ui.add_space(space::L);
}

/// Without blanks and repetition, the first few.
fn first_of<'a>(all: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut told: Vec<&str> = Vec::new();
    for one in all.filter(|one| !one.is_empty()) {
        if !told.contains(&one) {
            told.push(one);
        }
    }
    told.truncate(NAMED_MAX);
    told
}

/// Where the same thing ran without wearing fast.
fn fine_at(known: &Known<'_>, is_own: impl Fn(&Stay<'_>) -> bool) -> String {
    let mut elsewhere = known
        .stays
        .iter()
        .filter(|s| is_own(s) && !known.is_here(s) && known.rate(s).is_some());
    let fine = elsewhere.find(|s| !known.is_fast(s));
    fine.map_or_else(String::new, |s| format!("fine at {}", s.last.position))
}

fn factor(ui: &mut Ui, name: &str, note: &str, (fast, all): (usize, usize), is_loud: bool) {
    let rect = text::strip(ui, if note.is_empty() { 32.0 } else { 46.0 });
    if is_loud {
        let ground = rect.expand2(vec2(8.0, 0.0));
        let fill = theme::color(ui, Token::DoubtTint);
        ui.painter().rect_filled(ground, theme::CORNER, fill);
    }
    let baseline = rect.top() + 21.0;
    let face = if is_loud { Face::STRONG } else { Face::BODY };
    let words = format!("{fast} of {all}");
    let face_right = if fast > 0 {
        Face::STRONG
    } else {
        Face::BODY.muted()
    };
    let end = pos2(rect.right(), baseline);
    let right = text::at(ui, end, Align::Right, face_right, &words).left();
    let squares = if all <= SQUARES_MAX && fast > 0 {
        all
    } else {
        0
    };
    let left = right - 10.0 - 13.0 * squares as f32;
    for i in 0..squares {
        let at = pos2(left + 13.0 * i as f32, baseline - 10.0).round();
        let square = Rect::from_min_size(at, vec2(10.0, 10.0));
        let color = theme::color(ui, Token::Doubt);
        if i < fast {
            ui.painter().rect_filled(square, 0.0, color);
        } else {
            let stroke = theme::stroke(ui, 1.0, Token::Doubt);
            ui.painter()
                .rect_stroke(square, 0.0, stroke, StrokeKind::Inside);
        }
    }
    let room = left - rect.left() - space::S;
    text::at_most(ui, pos2(rect.left(), baseline), room, face, name);
    if !note.is_empty() {
        text::at(
            ui,
            pos2(rect.left(), baseline + 18.0),
            Align::Left,
            Face::NOTE,
            note,
        );
    }
    widgets::rule(ui);
}
