//! One field of a form: its label, the control, and what is wrong with it below.

use draw::Token;
use egui::{Key, Modifiers, Ui};

use super::fields::role_words;
use super::form::{Field, Form, Kind, Wrong};
use super::model::Model;
use super::page::Page;
use crate::ui::focus::{self, Step};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{
    self, Choice, CodeField, Coded, FieldState, Outcome, PinField, Segments, TextField, ValueField,
};
use store::payload::Role;

/// What the fields of a form share.
pub struct Around<'a> {
    /// The register.
    pub model: &'a Model,
    /// What is wrong.
    pub wrongs: &'a [Wrong],
    /// The order of the caret, full paths.
    pub order: &'a [String],
    /// `Line`, before each label, so that readers hear whose field it is.
    pub whose: &'a str,
    /// May be typed into.
    pub is_open: bool,
    /// The caret left the last field.
    pub is_at_end: bool,
    /// A page that was asked for, since nothing is there to choose from.
    pub go: Option<Page>,
}

/// The path of a field for the caret.
pub fn full_path(path: &str) -> String {
    format!("setup/{path}")
}

impl Around<'_> {
    /// Why what stands in a field cannot be saved: told once it is left, what is missing once saving was tried.
    pub fn why(&self, ui: &Ui, form: &Form, path: &str) -> Option<&str> {
        let is_typing = focus::has(ui.ctx(), &full_path(path));
        let is_filled = !form.text(path).is_empty();
        let is_shown = form.is_tried || (is_filled && !is_typing);
        self.wrongs
            .iter()
            .find(|w| is_shown && w.path == path)
            .map(|w| w.why.as_str())
    }

    /// Sends the caret on.
    pub fn step(&mut self, ui: &Ui, path: &str, step: Step) {
        let is_past = focus::step(ui.ctx(), self.order, &full_path(path), step).is_none();
        self.is_at_end |= is_past && step == Step::Forward;
    }

    fn after(&mut self, ui: &Ui, path: &str, outcome: &Outcome) {
        if let Outcome::Commit(step) = outcome {
            self.step(ui, path, *step);
        }
    }
}

/// What a field is called, as the plant counts rows.
fn label(form: &Form, field: &Field) -> String {
    form.show.rows.four().told(field.label)
}

/// Shows one field over the whole width.
pub fn field_ui(ui: &mut Ui, form: &mut Form, field: &Field, around: &mut Around) {
    let top = ui.cursor().min;
    widgets::caption(ui, &capital(&label(form, field)));
    control(ui, form, field, around);
    keep_in_sight(
        ui,
        field.path,
        egui::Rect::from_two_pos(top, ui.min_rect().max),
    );
    if let Some(why) = around.why(ui, form, field.path) {
        text::say(ui, Face::NOTE_STRONG.token(Token::Fail), why);
    }
    before(ui, form, field.path);
    ui.add_space(8.0);
}

/// Scrolls to the field that the caret has just come to.
pub fn keep_in_sight(ui: &Ui, path: &str, rect: egui::Rect) {
    let path = full_path(path);
    if !focus::has(ui.ctx(), &path) {
        return;
    }
    let (here, last) = (focus::id(&path), egui::Id::unique("setup last caret"));
    if ui.data(|data| data.get_temp(last)) != Some(here) {
        ui.data_mut(|data| data.insert_temp(last, here));
        // With room for what may be said below it.
        let rect = egui::Rect::from_min_max(rect.min, rect.max + egui::vec2(0.0, 40.0));
        ui.scroll_to_rect(rect, None);
    }
}

/// What stood in a field before it was changed.
pub fn before(ui: &mut Ui, form: &Form, path: &str) {
    let before = form.text_before(path);
    if !before.is_empty() && form.text(path) != before && form.subject.thing().is_some() {
        text::note(ui, &format!("was {before}"));
    }
}

fn control(ui: &mut Ui, form: &mut Form, field: &Field, around: &mut Around) {
    let path = full_path(field.path);
    let name = format!("{}: {}", around.whose, label(form, field));
    let width = ui.available_width();
    let mut typed = form.text(field.path).to_owned();
    match field.kind {
        Kind::Words => {
            let control = TextField::new(&path, &name)
                .hint(field.hint)
                .width(width)
                .locked(!around.is_open);
            match control.show(ui, &mut typed) {
                Outcome::Column(lines) => typed = lines.join(" "),
                outcome => around.after(ui, field.path, &outcome),
            }
        }
        Kind::Pin => {
            if around.is_open {
                let outcome = PinField::new(&path, &name)
                    .width(width.min(240.0))
                    .show(ui, &mut typed);
                around.after(ui, field.path, &outcome);
            } else {
                text::note(ui, "not shown");
            }
        }
        Kind::Number(unit) => {
            let outcome = number_field(
                ui,
                form,
                field.path,
                &name,
                unit,
                (160.0, true),
                &mut typed,
                around,
            );
            around.after(ui, field.path, &outcome);
        }
        Kind::Thing(entity) => thing_ui(ui, &path, &name, entity, field, &mut typed, around),
        Kind::OneOf(words) => one_of_ui(ui, field.path, &name, words, &mut typed, around),
    }
    if typed != form.text(field.path) {
        form.set(field.path, typed);
    }
}

/// The measuring field of a number: its width, and whether its unit stands inside.
#[expect(clippy::too_many_arguments)] // one control for two layouts
pub fn number_field(
    ui: &mut Ui,
    form: &Form,
    path: &str,
    name: &str,
    unit: super::unit::Unit,
    (width, has_sign): (f32, bool),
    typed: &mut String,
    around: &Around,
) -> Outcome {
    let sign = unit.sign(form.show);
    let name = if sign.is_empty() {
        name.to_owned()
    } else {
        format!("{name}, {sign}")
    };
    let state = match around.why(ui, form, path) {
        _ if !around.is_open => FieldState::Locked,
        Some(reason) => FieldState::Refused {
            reason,
            detail: "",
            offer: None,
        },
        None => FieldState::Plain,
    };
    let inside = if has_sign { sign } else { "" };
    ValueField::new(&full_path(path), &name)
        .unit(inside)
        .width(width)
        .state(state)
        .show(ui, typed)
}

fn thing_ui(
    ui: &mut Ui,
    path: &str,
    name: &str,
    entity: &str,
    field: &Field,
    typed: &mut String,
    around: &mut Around,
) {
    let model = around.model;
    let choices: Vec<Choice> = model
        .of(entity)
        .map(|t| Choice {
            code: &t.code,
            detail: &t.detail,
        })
        .collect();
    let hint = if field.hint.is_empty() {
        "type, or arrow down for the list"
    } else {
        field.hint
    };
    let control = CodeField::new(path, name)
        .hint(hint)
        .width(ui.available_width())
        .locked(!around.is_open);
    match control.show(ui, typed, &choices) {
        Coded::Chosen(_) | Coded::Entered(_) => around.step(ui, field.path, Step::Forward),
        Coded::Leave(step) => around.step(ui, field.path, step),
        Coded::Nothing | Coded::Changed => {}
    }
    if choices.is_empty()
        && let Some(page) = Page::of_entity(entity)
    {
        ui.horizontal(|ui| {
            ui.set_row_height(44.0);
            beside(
                ui,
                Face::NOTE,
                &format!("No {} is in the register yet.", page.noun()),
            );
            if widgets::quiet(ui, &format!("Go to {}", page.name())).clicked() {
                around.go = Some(page);
            }
        });
    }
}

/// A choice of one; many words take several rows of equal columns.
pub fn one_of_ui(
    ui: &mut Ui,
    path: &str,
    name: &str,
    words: &[(&str, &str)],
    typed: &mut String,
    around: &mut Around,
) {
    let room = ui.available_width().min(760.0);
    let widest = words
        .iter()
        .map(|(_, word)| text::width(ui, Face::BODY, word))
        .fold(0.0, f32::max)
        + 24.0;
    let fit = ((room / widest).floor() as usize).clamp(1, words.len());
    let columns = words.len().div_ceil(words.len().div_ceil(fit));
    let width = (room / columns as f32).floor().min(widest.max(72.0));
    ui.spacing_mut().item_spacing.y = 4.0;
    for (row, part) in words.chunks(columns).enumerate() {
        let shown: Vec<&str> = part.iter().map(|(_, word)| *word).collect();
        let mut chosen = part.iter().position(|(value, _)| value == typed);
        let path = if row == 0 {
            full_path(path)
        } else {
            format!("{}/{row}", full_path(path))
        };
        let row_name = if row == 0 {
            name.to_owned()
        } else {
            format!("{name}, more")
        };
        let segments = Segments::new(&row_name, &shown)
            .path(&path)
            .width(width)
            .enabled(around.is_open);
        if segments.show(ui, &mut chosen)
            && let Some(index) = chosen
        {
            part[index].0.clone_into(typed);
        }
        if focus::has(ui.ctx(), &path) {
            on_enter(ui, path.trim_start_matches("setup/"), row, around);
        }
    }
    if let Some(role) = Role::parse(typed)
        && words
            .iter()
            .any(|(value, _)| *value == Role::Auditor.as_str())
    {
        text::note(ui, role_words(role));
    }
}

/// Enter goes on from a choice as from any field.
fn on_enter(ui: &Ui, path: &str, row: usize, around: &mut Around) {
    let first = if row == 0 {
        path
    } else {
        path.rsplit_once('/').map_or(path, |(first, _)| first)
    };
    let (on, back) = ui.input_mut(|input| {
        let back = input.consume_key(Modifiers::SHIFT, Key::Enter);
        (input.consume_key(Modifiers::NONE, Key::Enter), back)
    });
    if on || back {
        around.step(ui, first, if back { Step::Back } else { Step::Forward });
    }
}

/// Words at the left of a button, on its middle.
pub fn beside(ui: &mut Ui, face: Face, words: &str) {
    let width = text::width(ui, face, words).ceil();
    let (_, rect) = ui.allocate_space(egui::vec2(width, 44.0));
    let baseline = text::baseline(rect.center().y, face.size);
    text::at(
        ui,
        egui::pos2(rect.left(), baseline),
        draw::Align::Left,
        face,
        words,
    );
}

/// With a capital letter, for the head of a label.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
