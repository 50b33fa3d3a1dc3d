//! The form at the right of the table: its fields, what happened to the thing, and saving.

use draw::Token;
use draw::tokens::space;
use egui::{Frame, Margin, Panel, ScrollArea, Ui, pos2};
use store::query::StandPlace;

use super::field_view::{Around, capital, field_ui, full_path};
use super::fields::{Of, fields};
use super::fill::state_words;
use super::form::{Act, Field, Form, Sent, Subject, Wrong};
use super::model::Model;
use super::page::Page;
use super::read::{gauge_measures, position_code, wrongs};
use super::unit::Unit;
use super::{SAVE, held_view, people, seat_check};
use crate::drawings::stand_scene;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button};
use crate::ui::{focus, paint, theme};
use crate::win::command::{Answers, Command, Said, sentence};
use crate::win::screens::Cx;
use crate::win::screens::sheet::caution::{DESTROYED, caution_ui};

/// What was pressed in a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pressed {
    /// Save; true: and add another.
    Save(bool),
    /// Close; what was typed is kept.
    Close,
    /// Throw away what was typed.
    Discard,
    /// Something happened to the thing.
    Act(Act),
    /// To another page, where something is to be added first.
    Page(Page),
}

/// What is wrong with a form.
pub fn wrongs_of(form: &Form, model: &Model, cx: &Cx) -> Vec<Wrong> {
    match form.subject {
        Subject::New(Page::People) | Subject::Edit(Page::People, _) => people::wrongs(form, model),
        _ => wrongs(form, model, cx.now),
    }
}

/// What a gauge measures: as chosen in the form, or as registered.
fn measures<'a>(form: &'a Form, model: &'a Model) -> &'a str {
    if let Subject::Act(..) = form.subject {
        gauge_measures(model)
    } else {
        form.text("measures")
    }
}

/// Kind of the bearing of a form; empty where it is none, or not read yet.
fn bearing_kind(subject: Subject, model: &Model) -> &str {
    let own = subject.thing();
    let line = model.bearings.iter().find(|line| Some(line.no) == own);
    line.map_or("", |line| line.kind.as_str())
}

/// The title of a form.
pub fn title(form: &Form, model: &Model) -> String {
    let page = form.subject.page();
    let code = model.opened.as_ref().map_or("", |o| o.record.code());
    match form.subject {
        Subject::New(_) => format!("New {}", page.noun()),
        Subject::Edit(..) => format!("{} {code}", capital(page.noun())),
        Subject::Act(_, act, _) => format!("{code}: {}", act.name().to_lowercase()),
    }
}

/// The form in a panel at the right of the table.
pub fn form_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &Model,
    form: &mut Form,
    commands: &mut Vec<Command>,
) -> Option<Pressed> {
    let least = match form.subject {
        Subject::Act(_, Act::SeatChecked, _) => seat_check::WIDTH,
        _ => 400.0,
    };
    let width = (ui.available_width() * 0.45).clamp(least, 520.0);
    let frame = Frame::new()
        .fill(theme::color(ui, Token::Ground))
        .inner_margin(Margin::symmetric(20, 0));
    let panel = Panel::right("setup form")
        .exact_size(width)
        .resizable(false)
        .show_separator_line(false);
    panel
        .frame(frame)
        .show(ui, |ui| contents(ui, cx, model, form, commands))
        .inner
}

fn contents(
    ui: &mut Ui,
    cx: &Cx,
    model: &Model,
    form: &mut Form,
    commands: &mut Vec<Command>,
) -> Option<Pressed> {
    let edge = ui.max_rect().left() - 19.5;
    ui.painter().vline(
        edge,
        ui.clip_rect().y_range(),
        theme::stroke(ui, 1.0, Token::Rule),
    );
    let pressed = head(ui, &title(form, model));
    pressed.or(body(ui, cx, model, form, Token::Ground, commands))
}

/// The fields of a form with what stands in their way, and the foot, on the colour of their page.
pub fn body(
    ui: &mut Ui,
    cx: &Cx,
    model: &Model,
    form: &mut Form,
    page: Token,
    commands: &mut Vec<Command>,
) -> Option<Pressed> {
    let mut pressed = None;
    if matches!(form.subject, Subject::Act(_, Act::Attached, _))
        && let Some(path) =
            ui.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_path_buf()))
    {
        form.set("file", path.display().to_string());
    }
    let wrongs = wrongs_of(form, model, cx);
    let of = Of {
        measures: measures(form, model),
        bearing: bearing_kind(form.subject, model),
        comma: form.show.comma,
        planes: form.planes,
    };
    let list = fields(form.subject, of);
    let order: Vec<String> = list.iter().map(|field| full_path(field.path)).collect();
    if std::mem::take(&mut form.wants_caret)
        && let Some(first) = first_empty(form, &list)
    {
        focus::ask(ui.ctx(), &full_path(first));
    }
    let whose = match form.subject {
        Subject::Act(_, act, _) => act.name().into(),
        _ => capital(form.subject.page().noun()),
    };
    let is_open = cx.read_only.is_none();
    let mut around = Around {
        model,
        wrongs: &wrongs,
        order: &order,
        whose: &whose,
        is_open,
        is_at_end: false,
        go: None,
    };
    // The foot first, so that it is always in sight; the caret comes to it from the last field in the next frame.
    let foot_frame = Frame::new()
        .fill(theme::color(ui, page))
        .inner_margin(Margin::symmetric(0, 8));
    let foot = Panel::bottom("setup form foot")
        .resizable(false)
        .show_separator_line(false)
        .frame(foot_frame);
    let caret = ui
        .data_mut(|data| data.remove_temp::<bool>(caret_id()))
        .unwrap_or(false);
    let saved = foot
        .show(ui, |ui| {
            // Room for the ring around the button that has the keyboard.
            ui.set_clip_rect(ui.clip_rect().expand(4.0));
            foot_ui(ui, cx, form, &wrongs, caret, commands)
        })
        .inner;
    pressed = pressed.or(saved);
    ScrollArea::vertical()
        .id_salt(("setup fields", form.subject))
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.set_max_width(ui.available_width() - space::S);
            ui.add_space(space::S);
            pressed = pressed.or(what_happened(ui, cx, model, form));
            held_view::holds_ui(ui, model, form);
            pressed = pressed.or(refusal_ui(ui, form));
            stand_ui(ui, model, form);
            if matches!(form.subject, Subject::Act(Page::Bearings, Act::Scrapped, _)) {
                caution_ui(ui, DESTROYED);
                ui.add_space(space::M);
            }
            fields_ui(ui, form, &list, &mut around);
        });
    if around.is_at_end {
        ui.data_mut(|data| data.insert_temp(caret_id(), true));
        ui.ctx().request_repaint();
    }
    pressed.or(around.go.map(Pressed::Page))
}

/// Room for three numbers abreast, px.
const ABREAST: f32 = 500.0;

/// The fields one below the other; the three of the row pairs abreast where there is room, the sizes of a seat in a grid.
fn fields_ui(ui: &mut Ui, form: &mut Form, list: &[Field], around: &mut Around) {
    let has_room = ui.available_width() >= ABREAST;
    let mut rest = list;
    while let [field, others @ ..] = rest {
        rest = others;
        if field.path == seat_check::SIZES[0][0].path {
            seat_check::grid_ui(ui, form, around);
        }
        if seat_check::is_size(field.path) {
            continue;
        }
        let Some(three) = three_of(field, others).filter(|_| has_room) else {
            ui.scope(|ui| field_ui(ui, form, field, around));
            continue;
        };
        rest = &others[2..];
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::S;
            for field in three {
                ui.vertical(|ui| {
                    ui.set_width(((ABREAST - 2.0 * space::S) / 3.0).floor());
                    ui.spacing_mut().item_spacing.y = 4.0;
                    field_ui(ui, form, field, around);
                });
            }
        });
    }
}

/// A number of each of the three row pairs.
fn three_of<'a>(first: &'a Field, others: &'a [Field]) -> Option<[&'a Field; 3]> {
    let stem = first.path.strip_suffix('1')?;
    let [second, third, ..] = others else {
        return None;
    };
    let is_next = |field: &Field, number| field.path.strip_suffix(number) == Some(stem);
    (is_next(second, '2') && is_next(third, '3')).then_some([first, second, third])
}

/// The stand of a position, or a stand with its positions, as typed so far.
fn stand_ui(ui: &mut Ui, model: &Model, form: &Form) {
    let (Subject::New(page) | Subject::Edit(page, _)) = form.subject else {
        return;
    };
    let code = match page {
        Page::Stands => form.text("code"),
        Page::Positions => form.text("stand"),
        _ => return,
    };
    let found = model
        .stands
        .iter()
        .find(|stand| stand.code.eq_ignore_ascii_case(code.trim()));
    let Some(mut stand) = found.cloned() else {
        return;
    };
    let own = form.subject.thing();
    if page == Page::Positions {
        stand.places.retain(|place| place.no != own);
        stand.places.push(StandPlace {
            no: own,
            code: position_code(form),
            role: form.text("role").into(),
            level: form.text("level").into(),
            side: form.text("side").into(),
            is_fixed: form.text("fixed") == "yes",
            load_angle_ddeg: Unit::Clock.read(form.text("load"), form.show).ok(),
            is_rolling: form.text("rolling") == "yes",
            held: String::new(),
        });
    }
    let lit = own.filter(|_| page == Page::Positions);
    let Some(scene) = stand_scene(&stand, lit, ui.available_width().floor()) else {
        let words = "Its positions are drawn here as soon as there are any.";
        text::note(ui, words);
        return;
    };
    widgets::heading(ui, &format!("Stand {}", stand.code), &stand.build);
    paint::scene(ui, &scene);
    ui.add_space(space::M);
}

/// What the act would break as it stands, while one types, and the honest way out.
fn refusal_ui(ui: &mut Ui, form: &Form) -> Option<Pressed> {
    let why = form.refused.as_ref()?;
    widgets::error_box(ui, "As it stands, this does not go", &sentence(why));
    let Subject::Act(page, act, _) = form.subject else {
        return None;
    };
    let mut pressed = None;
    // Nobody is helped by a find who may not sign, or whose thing is on hold.
    let is_about_places = !why.contains("may not sign") && !why.contains("on hold");
    let has_place = !matches!(act, Act::FoundHere | Act::SeatChecked);
    if has_place && is_about_places && Act::of(page).contains(&Act::FoundHere) {
        ui.add_space(space::XS);
        let about = "Where it was before ends as unknown since it was last seen.";
        if widgets::second(ui, "Found here instead")
            .on_hover_text(about)
            .clicked()
        {
            pressed = Some(Pressed::Act(Act::FoundHere));
        }
    }
    ui.add_space(space::S);
    pressed
}

/// Where the caret goes when a form opens: what is known already is passed over.
fn first_empty(form: &Form, list: &[Field]) -> Option<&'static str> {
    let is_new = !matches!(form.subject, Subject::Edit(..));
    let empty = list
        .iter()
        .find(|field| is_new && form.text(field.path).is_empty());
    empty.or(list.first()).map(|field| field.path)
}

/// Whether the button for saving gets the caret.
pub fn caret_id() -> egui::Id {
    egui::Id::unique("setup save caret")
}

/// The head of a form with its way out.
pub fn head(ui: &mut Ui, title: &str) -> Option<Pressed> {
    ui.spacing_mut().item_spacing.y = 0.0;
    let mut pressed = None;
    ui.horizontal(|ui| {
        ui.set_row_height(56.0);
        let (_, rect) =
            ui.allocate_space(egui::vec2((ui.available_width() - 80.0).max(40.0), 56.0));
        let at = pos2(
            rect.left(),
            text::baseline(rect.center().y, Face::SECTION.size),
        );
        text::at_most(ui, at, rect.width(), Face::SECTION, title);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let close = Button::new(widgets::Kind::Quiet, "Close").name("Close the form");
            if close
                .show(ui)
                .on_hover_text("Esc. What was typed is kept.")
                .clicked()
            {
                pressed = Some(Pressed::Close);
            }
        });
    });
    widgets::rule(ui);
    pressed
}

/// Where the thing is, and what can be told about it.
fn what_happened(ui: &mut Ui, cx: &Cx, model: &Model, form: &Form) -> Option<Pressed> {
    let no = form.subject.thing()?;
    let page = form.subject.page();
    let words = state_words(page, no, model);
    if !words.is_empty() {
        text::body(ui, &words);
        ui.add_space(space::S);
    }
    let acts = Act::of(page);
    if acts.is_empty() || cx.read_only.is_some() || matches!(form.subject, Subject::Act(..)) {
        return None;
    }
    let mut pressed = None;
    widgets::heading(ui, "What happened now", "");
    ui.horizontal_wrapped(|ui| {
        let kind = bearing_kind(form.subject, model);
        for act in acts.iter().filter(|act| act.suits(kind)) {
            if widgets::second(ui, act.name()).clicked() {
                pressed = Some(Pressed::Act(*act));
            }
        }
    });
    ui.add_space(space::M);
    widgets::heading(
        ui,
        "In the register",
        &model
            .opened
            .as_ref()
            .map_or(String::new(), |o| format!("since {}", o.since)),
    );
    ui.add_space(space::S);
    pressed
}

/// Saving, with what stands in its way.
pub fn foot_ui(
    ui: &mut Ui,
    cx: &Cx,
    form: &mut Form,
    wrongs: &[Wrong],
    wants_caret: bool,
    commands: &mut Vec<Command>,
) -> Option<Pressed> {
    widgets::rule(ui);
    ui.add_space(space::S);
    ui.spacing_mut().item_spacing.y = space::S;
    if let Some(why) = cx.read_only {
        text::note(ui, &format!("The logbook is open for reading only: {why}."));
        return None;
    }
    if let Some(why) = cx.answers.refusal(SAVE)
        && !form.asked.iter().any(|question| sentence(question) == why)
    {
        widgets::error_box(ui, "Not saved", why);
    }
    // What is refused needs no question, and neither does what is not whole yet.
    let is_asked = form.refused.is_none() && wrongs.is_empty() && !form.asked.is_empty();
    if is_asked {
        for question in &form.asked {
            widgets::question_box(ui, "Before it is signed", question);
        }
    }
    if form.is_tried && !wrongs.is_empty() {
        let words = match wrongs.len() {
            1 => "One field is not right yet.".to_owned(),
            n => format!("{n} fields are not right yet."),
        };
        text::say(ui, Face::NOTE_STRONG.token(Token::Fail), &words);
    }
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        if cx.person.is_none() {
            let button = widgets::primary(ui, "Sign in to change");
            if wants_caret {
                button.request_focus();
            }
            if button.clicked() {
                commands.push(Command::AskSignIn { then: None });
            }
        } else {
            pressed = save_buttons(ui, cx.answers, form, is_asked, wants_caret);
        }
        if form.is_changed() {
            let discard =
                Button::new(widgets::Kind::Quiet, "Discard").name("Discard what was typed");
            if discard.show(ui).clicked() {
                pressed = Some(Pressed::Discard);
            }
        }
    });
    pressed
}

fn save_buttons(
    ui: &mut Ui,
    answers: &Answers,
    form: &Form,
    is_asked: bool,
    wants_caret: bool,
) -> Option<Pressed> {
    let is_waiting = form.sent != Sent::No && matches!(answers.get(SAVE), Some(Said::Waiting));
    let words = match form.subject {
        _ if is_asked => "Sign all the same".into(),
        Subject::New(page) | Subject::Edit(page, _) => format!("Save {}", page.noun()),
        Subject::Act(..) => "Sign and save".into(),
    };
    let save = Button::new(widgets::Kind::Primary, &words)
        .enabled(!is_waiting)
        .show(ui);
    if wants_caret {
        save.request_focus();
    }
    if save.clicked() {
        return Some(Pressed::Save(false));
    }
    let is_new = matches!(form.subject, Subject::New(_));
    if is_new
        && Button::new(widgets::Kind::Second, "Save, add another")
            .enabled(!is_waiting)
            .show(ui)
            .clicked()
    {
        return Some(Pressed::Save(true));
    }
    None
}
