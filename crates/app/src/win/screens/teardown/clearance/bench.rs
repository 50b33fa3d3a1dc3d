//! What else is asked at the bench: how it was measured, the spacers at their other places, and sets that were read again.

use draw::tokens::{height, space};
use draw::{Align, Pair, Token};
use egui::{Rect, Ui, pos2, vec2};
use store::draft::{DraftField, Source};
use store::form::Choice as Of;
use store::sheet::field::{self, GAP_DEGREES, OTHER_PLACES, SETS_MAX};

use super::super::fields::{Sheet, badge_at, field_at, labelled, mark, room, strip};
use super::super::form::flow;
use super::super::gauge::{LABEL, LINE};
use super::super::order::{asks_places, has};
use super::super::view::Why;
use super::METHOD;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind};
use crate::ui::{focus, theme};

const HOW: &str = "clearance.method";
/// Room for one of the ways.
const SEGMENT: f32 = 156.0;

/// Keeps the gaps of a pair as a set that does not count, and asks for them anew.
pub(super) fn repeat(ui: &Ui, sheet: &mut Sheet, pair: usize, why: &str) {
    let is_free = |set: &usize| {
        !GAP_DEGREES.iter().any(|d| {
            has(
                sheet.view.entries.fields(),
                &field::earlier_gap(pair, *set, *d),
            )
        })
    };
    if let Some(set) = (1..=SETS_MAX).find(is_free) {
        let mut all = Vec::new();
        for degrees in GAP_DEGREES {
            let path = field::gap(pair, degrees);
            let kept = sheet.view.entries.fields().get(&path).cloned();
            all.push((field::earlier_gap(pair, set, degrees), kept));
            all.push((path, None));
        }
        let reason = format!("repeat.why.{pair}");
        if !has(sheet.view.entries.fields(), &reason) {
            let text = why.to_owned();
            let source = Source::Typed;
            all.push((reason, Some(DraftField { text, source })));
        }
        sheet.view.entries.put(all);
    }
    focus::ask(ui.ctx(), &field::gap(pair, GAP_DEGREES[0]));
}

/// Lets an earlier set count instead; the one that counted is kept in its place.
fn count(sheet: &mut Sheet, pair: usize, set: usize) {
    let mut all = Vec::new();
    for degrees in GAP_DEGREES {
        let (now, then) = (
            field::gap(pair, degrees),
            field::earlier_gap(pair, set, degrees),
        );
        let fields = sheet.view.entries.fields();
        let (a, b) = (fields.get(&now).cloned(), fields.get(&then).cloned());
        all.push((now, b));
        all.push((then, a));
    }
    sheet.view.entries.put(all);
}

/// The sets that do not count, each with the way to let it count.
pub(super) fn sets(ui: &mut Ui, sheet: &mut Sheet) {
    for pair in Pair::ALL {
        let number = pair.index() + 1;
        let known: Vec<usize> = (1..=SETS_MAX)
            .filter(|set| {
                GAP_DEGREES.iter().any(|d| {
                    has(
                        sheet.view.entries.fields(),
                        &field::earlier_gap(number, *set, *d),
                    )
                })
            })
            .collect();
        for set in &known {
            let texts = GAP_DEGREES.map(|d| {
                let text = sheet
                    .view
                    .entries
                    .text(&field::earlier_gap(number, *set, d), sheet.show());
                if text.is_empty() {
                    "\u{2013}".to_owned()
                } else {
                    text
                }
            });
            let rect = strip(ui, height::TOUCH);
            let words = format!(
                "Gap of {}, set {set}, not counting: {}",
                sheet.show().pair_name(number),
                texts.join("  ")
            );
            let at = pos2(
                rect.left(),
                text::baseline(rect.center().y, Face::BODY.size),
            );
            text::at_most(ui, at, rect.width() - 150.0, Face::BODY.muted(), &words);
            let button = Rect::from_min_max(pos2(rect.right() - 140.0, rect.top()), rect.max);
            let name = format!(
                "Let set {set} of the gap of {} count",
                sheet.show().pair_name(number)
            );
            if Button::new(Kind::Quiet, "Count this set")
                .name(&name)
                .place(ui, button)
                .clicked()
            {
                count(sheet, number, *set);
            }
        }
        if !known.is_empty() {
            let path = format!("repeat.why.{number}");
            let width = ui.available_width();
            labelled(ui, &sheet.label(&path), |ui| {
                sheet.words(ui, &path, "why the other set counts", width);
            });
            ui.add_space(space::M);
        }
    }
}

/// How it was measured, in words: the rule of the bench, where nothing else was said.
pub fn method_words(sheet: &Sheet) -> &'static str {
    match sheet.view.entries.committed(HOW) {
        "" | "bench" => METHOD,
        other => Of::Bench.shown(other).unwrap_or(METHOD),
    }
}

/// How it is measured and under which load the stack is seated, in one line above the readings.
pub(super) fn method(ui: &mut Ui, sheet: &mut Sheet) {
    let rect = strip(ui, LINE);
    let line = rect.bottom() - 0.5;
    let stroke = theme::stroke(ui, 1.0, Token::Rule);
    ui.painter().hline(rect.x_range(), line, stroke);
    let y = text::baseline(rect.center().y - 0.5, Face::NOTE.size);
    let at = pos2(rect.left(), y);
    text::at(ui, at, Align::Left, Face::NOTE, "measured");
    let size = vec2(3.0 * SEGMENT, height::TOUCH);
    let choice = Rect::from_min_size(pos2(rect.left() + LABEL, rect.top() + 0.5), size);
    room(ui, choice, |ui| sheet.one_of(ui, HOW, SEGMENT));
    let at = pos2(choice.right() + space::L, y);
    let end = text::at(ui, at, Align::Left, Face::NOTE, "seated under").right();
    let min = pos2((end + space::S).ceil(), choice.top());
    let field = Rect::from_min_size(min, vec2(112.0, height::TOUCH));
    sheet.number(ui, "clearance.load", field, "kg");
    ui.add_space(space::XS);
}

/// The spacers at their other places.
pub(super) fn places(ui: &mut Ui, sheet: &mut Sheet) {
    let about = if asks_places(&sheet.a) {
        "the first stands beside its gaps; their mean counts"
    } else {
        "where they are measured; their mean counts"
    };
    widgets::heading(ui, "Spacers at their other places", about);
    for pair in Pair::ALL {
        place_row(ui, sheet, pair);
    }
    if asks_places(&sheet.a) {
        flow(ui, sheet, &["skip.places"]);
    }
    if sheet.a.clearance.pairs.iter().all(|p| p.is_complete) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = space::S;
            for pair in 1..=3 {
                let words = format!("Repeat gap of {}", sheet.show().pair_name(pair));
                if Button::new(Kind::Quiet, &words).show(ui).clicked() {
                    repeat(ui, sheet, pair, "repeated");
                }
            }
        });
    }
    ui.add_space(space::L);
}

fn place_row(ui: &mut Ui, sheet: &mut Sheet, pair: Pair) {
    let rect = strip(ui, height::BUTTON_ROW);
    let number = pair.index() + 1;
    let middle = rect.center().y;
    let label = Rect::from_min_size(pos2(rect.left(), middle - 11.0), vec2(46.0, 22.0));
    room(ui, label, |ui| {
        widgets::pair(ui, pair, &sheet.show().spacer(number))
    });
    let mut x = rect.left() + 72.0;
    for degrees in OTHER_PLACES {
        let caption = format!("{degrees}\u{b0}");
        let at = pos2(x - 6.0, text::baseline(middle, Face::NOTE.size));
        text::at(ui, at, Align::Right, Face::NOTE, &caption);
        sheet.number(
            ui,
            &field::spacer_at(number, degrees),
            field_at(x, rect.top() + 6.5),
            "",
        );
        x += 88.0 + 46.0;
    }
    let view = &sheet.a.clearance.pairs[pair.index()];
    let Some(parallel) = view.parallel_nm else {
        return;
    };
    let words = format!("parallel within {}", sheet.show().length(parallel));
    let face = Face::BODY.token(Token::Ink);
    let at = pos2(x, text::baseline(middle, face.size));
    let end = text::at(ui, at, Align::Left, face, &words).right();
    let verdict = view.parallel_verdict;
    if verdict != calc::conformity::Verdict::NotApplicable {
        let spacer = sheet.show().spacer(number);
        let name = format!("Faces of {spacer}: {}; why?", verdict.word());
        let left = end + space::L;
        if let Some(beside) = badge_at(ui, left, middle, mark(verdict), verdict.word(), &name) {
            sheet.view.why = Some((Why::Faces(pair.index()), beside));
        }
    }
}
