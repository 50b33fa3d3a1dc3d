//! What comes out: the one line, the drawing, the other results, and how it comes out.

use draw::tokens::space;
use draw::{Align, Token};
use egui::Rect;
use egui::{Ui, UiBuilder, pos2, vec2};
use store::entry::Show;

use super::pane::{Pane, State};
use crate::bench::{Answer, StepLine, picture, typeset};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, badge_at};
use crate::ui::{paint, theme};
use crate::win::screens::bearings::verdicts::badge_of;

const ROW: f32 = 30.0;

/// The result with its drawing; where there is none yet, what is still needed. Answers the place of the headline.
pub(super) fn answer_ui(ui: &mut Ui, show: Show, pane: &Pane) -> Option<Rect> {
    let (input, worked) = match &pane.state {
        State::Waiting(problems) => {
            waiting(
                ui,
                &problems.missing,
                problems.wrong.get("").map(String::as_str),
            );
            return None;
        }
        State::Done(done) => (&done.0, &done.1),
    };
    let answer = Answer::of(pane.method, input, worked, show);
    let top = ui.cursor().min;
    match pane.pinned {
        Some(height) => ui.add_space(height),
        None => headline(ui, &answer),
    }
    let place = Rect::from_min_max(top, pos2(ui.max_rect().right(), ui.cursor().top()));
    if let Some(picture) = picture(pane.method, input, &worked.output, show) {
        paint::scene(ui, &picture.scene(ui.available_width()));
        ui.add_space(space::M);
    }
    for line in &answer.outputs {
        output(ui, &line.label, &line.value);
    }
    if !answer.outputs.is_empty() {
        ui.add_space(space::M);
    }
    Some(place)
}

/// The headline above the buttons, while its own place is out of view.
pub(super) fn pinned_ui(ui: &mut Ui, show: Show, pane: &Pane) {
    if let State::Done(done) = &pane.state {
        ui.spacing_mut().item_spacing.y = 0.0;
        let rect = ui.max_rect();
        let edge = theme::stroke(ui, 1.0, Token::Rule);
        ui.painter().hline(rect.x_range(), rect.top() + 0.5, edge);
        headline(ui, &Answer::of(pane.method, &done.0, &done.1, show));
    }
}

fn waiting(ui: &mut Ui, missing: &[String], wrong: Option<&str>) {
    ui.add_space(space::S);
    if let Some(why) = wrong {
        text::say(ui, Face::NOTE_STRONG.token(Token::Fail), why);
    }
    let words = match missing {
        [] => "The result stands here once every value can be read.".to_owned(),
        [..] if missing.len() > 6 => format!(
            "Still to fill in: {} and {} more.",
            missing[..5].join(", "),
            missing.len() - 5
        ),
        _ => format!("Still to fill in: {}.", missing.join(", ")),
    };
    text::say(ui, Face::BODY.muted(), &words);
    ui.add_space(space::M);
}

/// The number, the verdict, and what it is, on one line where they fit.
fn headline(ui: &mut Ui, answer: &Answer) {
    let width = ui.available_width();
    let big = text::width(ui, Face::BIG, &answer.big);
    if big > width {
        text::say(ui, Face::SECTION, &answer.big);
        ui.add_space(space::XS);
        below(ui, answer);
        return;
    }
    let (_, rect) = ui.allocate_space(vec2(width, 46.0));
    let baseline = rect.top() + 32.0;
    let number = text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        Face::BIG,
        &answer.big,
    );
    let badge = answer
        .verdict
        .and_then(|verdict| badge_of(verdict.as_str()));
    let badge_width = badge.map_or(0.0, |(_, word)| 32.0 + text::width(ui, Face::STRONG, word));
    let beside = text::width(ui, Face::BODY, &answer.beside);
    if number.width() + 16.0 + badge_width + beside > width {
        below(ui, answer);
        return;
    }
    let mut x = number.right() + 16.0;
    if let Some((mark, word)) = badge {
        x = badge_at(ui, pos2(x, baseline - 6.0), mark, word).right() + space::M;
    }
    let face = if badge.is_some() {
        Face::BODY.muted()
    } else {
        Face::BODY
    };
    text::at(ui, pos2(x, baseline), Align::Left, face, &answer.beside);
    ui.add_space(space::XS);
}

/// Verdict and words on a line of their own.
fn below(ui: &mut Ui, answer: &Answer) {
    let (_, rect) = ui.allocate_space(vec2(ui.available_width(), 28.0));
    let mut x = rect.left();
    if let Some((mark, word)) = answer
        .verdict
        .and_then(|verdict| badge_of(verdict.as_str()))
    {
        x = badge_at(ui, pos2(x, rect.top() + 11.0), mark, word).right() + space::M;
    }
    text::at_most(
        ui,
        pos2(x, rect.top() + 17.0),
        rect.right() - x,
        Face::BODY,
        &answer.beside,
    );
    ui.add_space(space::XS);
}

fn output(ui: &mut Ui, label: &str, value: &str) {
    let width = ui.available_width();
    let wide = text::width(ui, Face::STRONG, value);
    let label_width = text::width(ui, Face::BODY, label);
    if wide > width {
        text::body(ui, label);
        text::strong(ui, value);
        ui.add_space(space::XS);
        widgets::rule(ui);
        return;
    }
    let is_two = label_width + wide + space::L > width;
    let (_, rect) = ui.allocate_space(vec2(
        width,
        if is_two { 2.0 * ROW - 8.0 } else { ROW - 1.0 },
    ));
    text::at_most(
        ui,
        pos2(rect.left(), rect.top() + 20.0),
        width,
        Face::BODY,
        label,
    );
    let baseline = rect.bottom() - 9.0;
    text::at(
        ui,
        pos2(rect.right(), baseline),
        Align::Right,
        Face::STRONG,
        value,
    );
    widgets::rule(ui);
}

/// What to mind, in a box.
pub(super) fn cautions_ui(ui: &mut Ui, pane: &Pane) {
    if !pane.method.cautions.is_empty() {
        ui.add_space(space::XS);
        widgets::caution(ui, "Mind", &typeset(&pane.method.cautions.join("\n")));
        ui.add_space(space::L);
    }
}

/// The source of a method for whoever reads it at the bench: files of the program are named by what they are.
pub(in crate::win::screens) fn source_words(source: &str) -> String {
    let plain = source.replace("(memory)", "(quoted from memory)");
    let words = plain.split(' ').map(|word| {
        let Some(file) = word.strip_prefix("shared/reference/") else {
            return word.to_owned();
        };
        let (name, end) = match file.find(".toml").or_else(|| file.find(".csv")) {
            Some(at) => (
                &file[..at],
                file[at..]
                    .trim_start_matches(".toml")
                    .trim_start_matches(".csv"),
            ),
            None => (file, ""),
        };
        format!(
            "the program\u{2019}s table of {}{end}",
            name.replace('_', " ")
        )
    });
    words.collect::<Vec<_>>().join(" ")
}

/// How it comes out: formula, each line with its numbers, source.
pub(super) fn derivation_ui(ui: &mut Ui, show: Show, pane: &Pane) {
    let State::Done(done) = &pane.state else {
        return;
    };
    let answer = Answer::of(pane.method, &done.0, &done.1, show);
    widgets::heading(ui, "How it comes out", "");
    widgets::rule(ui);
    let fits = answer.steps.iter().all(|step| fits_one_line(ui, step));
    for step in &answer.steps {
        if fits {
            one_line(ui, step);
        } else {
            two_lines(ui, step);
        }
    }
    ui.add_space(space::S);
    text::note(ui, &format!("Formula: {}", typeset(pane.method.formula)));
    ui.add_space(space::XS);
    text::note(ui, &format!("Source: {}", source_words(pane.method.source)));
}

/// Share of the width at which results end in a derivation of single lines.
const RESULT_AT: f32 = 0.62;

fn fits_one_line(ui: &Ui, step: &StepLine) -> bool {
    let width = ui.available_width();
    let at = (width * RESULT_AT).round();
    let expression = text::width(ui, Face::BODY, &step.expression);
    let result = text::width(ui, Face::STRONG, &step.result);
    let note = text::width(ui, Face::NOTE, &step.note);
    expression + space::M + result <= at && at + space::L + note <= width
}

/// Expression, result and reason side by side.
fn one_line(ui: &mut Ui, step: &StepLine) {
    let width = ui.available_width();
    let (_, rect) = ui.allocate_space(vec2(width, ROW - 1.0));
    let baseline = rect.top() + 20.0;
    let result = pos2(rect.left() + (width * RESULT_AT).round(), baseline);
    text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        Face::BODY,
        &step.expression,
    );
    text::at(ui, result, Align::Right, Face::STRONG, &step.result);
    text::at(
        ui,
        pos2(rect.right(), baseline),
        Align::Right,
        Face::NOTE,
        &step.note,
    );
    widgets::rule(ui);
}

/// The reason below the expression, the result at the right; all of it wraps.
fn two_lines(ui: &mut Ui, step: &StepLine) {
    let width = ui.available_width();
    let result = text::width(ui, Face::STRONG, &step.result).min(width * 0.5);
    let top = ui.cursor().min;
    let left = Rect::from_min_size(
        top + vec2(0.0, 4.0),
        vec2(width - result - space::L, 1_000.0),
    );
    let mut words = ui.new_child(UiBuilder::new().id_salt(&step.expression).max_rect(left));
    words.spacing_mut().item_spacing.y = 0.0;
    text::body(&mut words, &step.expression);
    if !step.note.is_empty() {
        text::note(&mut words, &step.note);
    }
    let used = words.min_rect().height() + 10.0;
    let (_, rect) = ui.allocate_space(vec2(width, used));
    text::at(
        ui,
        pos2(rect.right(), rect.top() + 20.0),
        Align::Right,
        Face::STRONG,
        &step.result,
    );
    let edge = theme::stroke(ui, 1.0, Token::Rule);
    ui.painter()
        .hline(rect.x_range(), rect.bottom() - 0.5, edge);
}
