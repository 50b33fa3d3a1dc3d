//! What happened, told with two keys: one opens this page, a second chooses the act; then the thing, by scan or typing,
//! and the form that its own page shows too.

use std::collections::BTreeMap;
use std::sync::Arc;

use draw::tokens::{height, size, space};
use draw::{Align, Token};
use egui::{Event, Id, Rect, Role, Sense, StrokeKind, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use store::{Signer, ThingNo};

use super::field_view::full_path;
use super::fill::{act_form, fill_late, find_form};
use super::form::{Act, Form, GROUPS, Sent, Subject};
use super::form_view::{Pressed, body, head};
use super::model::{Key, Model, Thing};
use super::page::Page;
use super::trial::Trial;
use super::{SAVE, save, seat_check};
use crate::ui::keys::Action;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Choice, CodeField, Coded};
use crate::ui::{focus, frames, theme};
use crate::win::command::{Command, Notice, Said};
use crate::win::route::Route;
use crate::win::screens::{Cx, Heading, Screen};
use crate::win::snapshot::Settings;
use crate::win::worker::{Topic, Worker};

const THING: &str = "tell-thing";
/// Width of one entry of the list.
const ITEM: f32 = 216.0;

/// What was typed for one act.
#[derive(Debug, Clone, Default)]
struct Typed {
    thing: String,
    /// It was entered: its form opens as soon as the register is here.
    is_entered: bool,
    form: Option<Form>,
}

/// What another page asked for.
#[derive(Debug, Clone, Copy)]
struct Asked {
    thing: ThingNo,
    is_entered: bool,
}

/// The page.
#[derive(Debug, Default)]
pub struct TellScreen {
    act: Option<Act>,
    /// The thing that another page opened it for, until the register is here; the way back leads there.
    came_for: Option<Asked>,
    /// What was typed and not signed, by act: nothing is lost on the way back to the list.
    typed: BTreeMap<Act, Typed>,
    model: Topic<(Page, Option<ThingNo>), Model>,
    shown: Arc<Model>,
    trial: Trial,
    person: Option<Signer>,
}

impl TellScreen {
    /// The form of one act for one thing.
    pub fn of(act: Act, thing: ThingNo) -> Self {
        Self {
            act: Some(act),
            came_for: Some(Asked {
                thing,
                is_entered: false,
            }),
            ..Self::default()
        }
    }

    /// Enters the thing that was asked for, as soon as the register knows its code.
    fn enter_asked(&mut self) {
        let (Some(act), Some(asked)) = (self.act, &mut self.came_for) else {
            return;
        };
        if asked.is_entered {
            return;
        }
        if let Some(thing) = self.shown.things.iter().find(|t| t.no == asked.thing) {
            asked.is_entered = true;
            let typed = self.typed.entry(act).or_default();
            typed.thing.clone_from(&thing.code);
            typed.is_entered = true;
        }
    }

    fn form(&self) -> Option<&Form> {
        self.typed.get(&self.act?)?.form.as_ref()
    }

    fn choose(&mut self, act: Act, ctx: &egui::Context) {
        self.act = Some(act);
        // What was typed before stands below; the caret asks for the thing first all the same.
        self.typed.entry(act).or_default();
        focus::ask(ctx, &full_path(THING));
    }

    /// Back to the list, or to the page that asked for the form.
    fn back(&mut self, commands: &mut Vec<Command>) {
        if self.came_for.take().is_some() {
            commands.push(Command::Back);
        } else {
            self.act = None;
        }
    }

    /// Takes the answer to signing.
    fn take_answer(&mut self, cx: &Cx, commands: &mut Vec<Command>) {
        let Some(act) = self.act else { return };
        let Some(form) = self.typed.get_mut(&act).and_then(|t| t.form.as_mut()) else {
            return;
        };
        if form.sent == Sent::No {
            return;
        }
        match cx.answers.get(SAVE) {
            Some(Said::Done(_)) => {
                let code = self.typed.remove(&act).map(|t| t.thing).unwrap_or_default();
                commands.push(Command::Say(Notice::done(format!(
                    "Signed: {}, {}.",
                    code.trim(),
                    act.name().to_lowercase()
                ))));
                self.back(commands);
            }
            Some(Said::Refused(_)) => form.sent = Sent::No,
            _ => {}
        }
    }

    fn list_ui(&mut self, ui: &mut Ui) {
        let mut chosen = letter_typed(ui);
        frames::page_body(ui, |ui| {
            let about = "Press the letter of what happened; then scan or type the thing. Sheets: Ctrl N for a teardown, Ctrl M for a mounting.";
            widgets::page_title(ui, "What happened", about);
            ui.add_space(space::M);
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing = vec2(space::XL, 0.0);
                for (title, acts) in GROUPS {
                    ui.vertical(|ui| {
                        ui.set_width(ITEM);
                        widgets::heading(ui, title, "");
                        widgets::rule(ui);
                        for act in acts {
                            let response = item(ui, *act);
                            // Letters go here as long as nothing else has the keyboard.
                            if ui.memory(egui::Memory::focused).is_none() {
                                response.request_focus();
                            }
                            if response.clicked() {
                                chosen = Some(*act);
                            }
                        }
                    });
                }
            });
        });
        if let Some(act) = chosen {
            self.choose(act, ui.ctx());
        }
    }

    fn act_ui(&mut self, ui: &mut Ui, act: Act, cx: &Cx, commands: &mut Vec<Command>) {
        let model = Arc::clone(&self.shown);
        let mut pressed = None;
        frames::page_body(ui, |ui| {
            let whole = ui.available_rect_before_wrap();
            let room =
                Rect::from_min_size(whole.min, vec2(whole.width().min(560.0), whole.height()));
            if let Some(form) = self
                .typed
                .get_mut(&act)
                .and_then(|typed| typed.form.as_mut())
            {
                let beside =
                    Rect::from_min_max(pos2(room.right() + space::XL, whole.top()), whole.max);
                seat_check::beside_ui(ui, form, beside);
            }
            ui.scope_builder(UiBuilder::new().max_rect(room), |ui| {
                pressed = head(ui, act.name());
                ui.spacing_mut().item_spacing.y = 4.0;
                ui.add_space(space::S);
                let typed = self.typed.entry(act).or_default();
                thing_ui(ui, act, cx, &model, typed);
                if let Some(form) = &mut typed.form {
                    pressed = pressed.or(body(ui, cx, &model, form, Token::Sheet, commands));
                }
            });
        });
        match pressed {
            None => {}
            Some(Pressed::Close) => self.back(commands),
            Some(Pressed::Discard) => {
                self.typed.remove(&act);
                self.choose(act, ui.ctx());
            }
            Some(Pressed::Page(page)) => {
                commands.push(Command::Go(Route::Setup(page.group(), None)));
            }
            Some(Pressed::Act(other)) => {
                let refused = self.typed.get(&act);
                let form = refused.and_then(|typed| typed.form.as_ref());
                let typed = Typed {
                    thing: refused.map(|t| t.thing.clone()).unwrap_or_default(),
                    is_entered: true,
                    form: form.map(|form| find_form(form, &model)),
                };
                self.typed.insert(other, typed);
                self.act = Some(other);
            }
            Some(Pressed::Save(_)) => {
                if let Some(form) = self.typed.get_mut(&act).and_then(|t| t.form.as_mut()) {
                    save(ui, cx, &model, form, Sent::Once, commands);
                }
            }
        }
    }
}

impl Screen for TellScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        let subject = self.form().map(|form| form.subject);
        let key = subject.map_or((Page::Bearings, None), |s| (s.page(), s.thing()));
        self.model.refresh(worker, &key, |logbook, (page, thing)| {
            let show = Settings::read(logbook)?.show;
            let key = Key {
                page: *page,
                thing: *thing,
                show,
            };
            Model::read(logbook, &key)
        });
        if let Some(model) = self.model.value() {
            self.shown = Arc::clone(model);
        }
        self.enter_asked();
        let typed = self.act.and_then(|act| self.typed.get_mut(&act));
        let mut form = typed.and_then(|typed| typed.form.as_mut());
        if let Some(form) = form.as_deref_mut() {
            fill_late(form, &self.shown);
        }
        self.trial
            .refresh(worker, form, &self.shown, self.person.as_ref());
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new(
            "What happened",
            self.act.map_or("choose by letter", Act::name),
        )
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        self.person = cx.person.cloned();
        self.take_answer(cx, commands);
        if let Some(error) = self.model.load().error() {
            frames::page_body(ui, |ui| {
                widgets::error_box(ui, "The register cannot be read", error);
            });
            return;
        }
        match self.act {
            None => self.list_ui(ui),
            Some(act) => self.act_ui(ui, act, cx, commands),
        }
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        if action == Action::Happened {
            // A form that another page asked for stays as it is: the list is a page of its own.
            if self.came_for.is_none() {
                self.act = None;
            }
        } else if action == Action::Close {
            if self.act.is_some() {
                self.back(commands);
            } else {
                commands.push(Command::Back);
            }
        }
    }
}

/// The thing that it happened to, by scan or typing.
fn thing_ui(ui: &mut Ui, act: Act, cx: &Cx, model: &Model, typed: &mut Typed) {
    let entities: Vec<&str> = act.pages().filter_map(Page::entity).collect();
    let nouns: Vec<&str> = act.pages().map(Page::noun).collect();
    let which = match nouns.as_slice() {
        [before @ .., last] if !before.is_empty() => {
            format!("Which {} or {last}", before.join(", "))
        }
        _ => format!("Which {}", nouns.join(", ")),
    };
    let choices: Vec<Choice> = model
        .things
        .iter()
        .filter(|thing| entities.contains(&thing.entity.as_str()))
        .map(|thing| Choice {
            code: &thing.code,
            detail: &thing.detail,
        })
        .collect();
    widgets::caption(ui, &which);
    let path = full_path(THING);
    let field = CodeField::new(&path, &which)
        .hint("scan or type")
        .width(ui.available_width() - space::S)
        .locked(cx.read_only.is_some());
    let said = field.show(ui, &mut typed.thing, &choices);
    match said {
        Coded::Chosen(_) | Coded::Entered(_) | Coded::Leave(_) => {
            typed.is_entered = true;
            take_thing(act, cx, model, typed);
        }
        Coded::Changed => typed.is_entered = false,
        // The register may have come only now.
        Coded::Nothing if typed.is_entered && typed.form.is_none() => {
            take_thing(act, cx, model, typed);
        }
        Coded::Nothing => {}
    }
    let is_known = typed.form.is_some() || model.things.is_empty();
    if !is_known && !typed.thing.trim().is_empty() && !focus::has(ui.ctx(), &path) {
        let words = format!(
            "{} is none of them in the register: check the number, or add it in Setup.",
            typed.thing.trim()
        );
        text::say(ui, Face::NOTE_STRONG.token(Token::Fail), &words);
    }
    ui.add_space(space::S);
}

/// The form for the thing that stands in the field; what was typed for another one goes along.
fn take_thing(act: Act, cx: &Cx, model: &Model, typed: &mut Typed) {
    let found: Option<(Page, &Thing)> = act.pages().find_map(|page| {
        let thing = model.find(page.entity()?, &typed.thing)?;
        Some((page, thing))
    });
    let Some((page, thing)) = found else {
        typed.form = None;
        return;
    };
    let subject = Subject::Act(page, act, thing.no);
    if let Some(form) = &mut typed.form
        && form.subject == subject
    {
        form.wants_caret = true;
        return;
    }
    let mut form = act_form(page, act, thing.no, model, cx.show);
    if let Some(before) = typed.form.take() {
        form.texts.extend(before.texts);
    }
    typed.thing.clone_from(&thing.code);
    typed.form = Some(form);
}

/// The act whose letter was typed while the list had the keyboard.
fn letter_typed(ui: &Ui) -> Option<Act> {
    // What is typed into the find box is no letter of the list.
    let mut acts = GROUPS.iter().flat_map(|(_, acts)| acts.iter());
    let focused = ui.memory(egui::Memory::focused);
    if focused.is_some_and(|id| acts.all(|act| item_id(*act) != id)) {
        return None;
    }
    let typed = ui.input(|input| {
        input.events.iter().find_map(|event| match event {
            Event::Text(text) => text.trim().chars().next(),
            _ => None,
        })
    })?;
    let typed = typed.to_ascii_lowercase();
    let mut acts = GROUPS.iter().flat_map(|(_, acts)| acts.iter());
    acts.find(|act| act.letter() == typed).copied()
}

fn item_id(act: Act) -> Id {
    Id::unique(("tell", act.name()))
}

/// One entry of the list: its letter in a box, and its words.
fn item(ui: &mut Ui, act: Act) -> egui::Response {
    let (_, rect) = ui.allocate_space(vec2(ITEM, height::TOUCH));
    let response = ui.interact(rect, item_id(act), Sense::click());
    let letter = act.letter().to_ascii_uppercase().to_string();
    let name = format!("{}, key {letter}", act.name());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let edge = theme::stroke(ui, 1.0, Token::Rule);
    ui.painter()
        .hline(rect.x_range(), rect.bottom() - 0.5, edge);
    if response.hovered() {
        ui.painter()
            .rect_filled(rect.shrink(1.0), 0.0, theme::color(ui, Token::Sel));
    }
    if response.has_focus() {
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter()
            .rect_stroke(rect.shrink(1.0), theme::CORNER, stroke, StrokeKind::Inside);
    }
    let key = Rect::from_center_size(pos2(rect.left() + 22.0, rect.center().y), vec2(26.0, 26.0));
    let (fill, stroke) = (
        theme::color(ui, Token::Sheet),
        theme::stroke(ui, 1.0, Token::Edge),
    );
    ui.painter()
        .rect(key.round(), theme::CORNER, fill, stroke, StrokeKind::Inside);
    let baseline = text::baseline(rect.center().y, size::BODY);
    text::silent(
        ui,
        pos2(key.center().x, baseline),
        Align::Centre,
        Face::STRONG,
        &letter,
    );
    text::silent(
        ui,
        pos2(key.right() + 12.0, baseline),
        Align::Left,
        Face::BODY,
        act.name(),
    );
    response.on_hover_cursor(egui::CursorIcon::PointingHand)
}

#[cfg(test)]
pub(super) mod tests;
