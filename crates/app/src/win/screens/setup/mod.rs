//! The setup: the register page by page, people, and what belongs to this file.
//!
//! `page` names the pages, `form` holds what was typed, `fields` says what is asked for, `fill` and `read` go from
//! the record to the form and back. Nothing typed is lost: a form that is closed is kept until it is saved or
//! discarded.

mod care_view;
mod field_view;
mod fields;
mod fill;
mod form;
mod form_view;
mod held_view;
mod logbook_view;
mod model;
mod page;
mod paste;
mod people;
mod read;
mod receipt;
mod saving;
mod seat_check;
mod table_view;
pub mod tell;
mod trial;
mod type_values;
mod type_view;
mod unit;
mod versions_view;

pub(crate) use logbook_view::size_words;

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::Ui;
use store::ThingNo;

pub use self::form::Act;
use self::form::{Form, Sent, Subject};
use self::form_view::{Pressed, form_ui};
use self::model::{Key, Model};
use self::page::Page;
use self::saving::{not_whole, save};
use self::table_view::{Chosen, TableView, list_ui, table_ui};
use super::{Cx, Heading, Screen};
use crate::ui::keys::Action;
use crate::ui::{focus, frames, widgets};
use crate::win::command::{Command, Notice, Place, Said};
use crate::win::help;
use crate::win::route::SetupPage;
use crate::win::snapshot::Settings;
use crate::win::worker::{Load, Topic, Wake, Worker};

/// Where the answer to saving belongs.
const SAVE: Place = "setup/save";

/// What only the screen remembers.
#[derive(Debug)]
struct View {
    page: Page,
    /// The form that is open.
    open: Option<Subject>,
    /// A thing to open as soon as its record is here.
    wanted: Option<ThingNo>,
    /// Forms with something typed in them, and the one that is open.
    forms: BTreeMap<Subject, Form>,
    search: String,
    /// Tables that were pasted and are not in the register yet, and whether that of the page is shown.
    pastes: BTreeMap<Page, paste::Paste>,
    is_pasting: bool,
    /// The folder for backups, as it is typed.
    care: care_view::Typed,
    /// The first choice of the page gets the keyboard.
    wants_choice: bool,
}

/// The setup.
pub struct SetupScreen {
    view: View,
    /// Asks for a frame when a dialog of the system is closed.
    wake: Option<Wake>,
    model: Topic<(Page, Option<ThingNo>), Model>,
    /// What the logbook would say to the act that is being typed, and to whom.
    trial: trial::Trial,
    person: Option<store::Signer>,
    /// What is shown until what was asked for is here, so that nothing flickers.
    shown: Arc<Model>,
}

impl std::fmt::Debug for SetupScreen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SetupScreen")
            .field("view", &self.view)
            .finish_non_exhaustive()
    }
}

impl SetupScreen {
    /// This page of it, with one thing to show.
    pub fn new(page: SetupPage, thing: Option<ThingNo>) -> Self {
        let view = View {
            page: page.into(),
            open: None,
            wanted: thing,
            forms: BTreeMap::new(),
            search: String::new(),
            pastes: BTreeMap::new(),
            is_pasting: false,
            care: care_view::Typed::default(),
            wants_choice: false,
        };
        Self {
            view,
            wake: None,
            model: Topic::default(),
            trial: trial::Trial::default(),
            person: None,
            shown: Arc::default(),
        }
    }
}

impl Screen for SetupScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.wake.get_or_insert_with(|| worker.wake());
        let thing = self.view.wanted.or(self.view.open.and_then(Subject::thing));
        self.model.refresh(
            worker,
            &(self.view.page, thing),
            |logbook, (page, thing)| {
                let show = Settings::read(logbook)?.show;
                Model::read(
                    logbook,
                    &Key {
                        page: *page,
                        thing: *thing,
                        show,
                    },
                )
            },
        );
        let open = self.view.open;
        let mut form = open.and_then(|subject| self.view.forms.get_mut(&subject));
        if let Some(form) = form.as_deref_mut() {
            fill::fill_late(form, &self.shown);
        }
        self.trial
            .refresh(worker, form, &self.shown, self.person.as_ref());
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new("Setup", self.view.page.name())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        if let Some(error) = self.model.load().error() {
            frames::page_body(ui, |ui| {
                widgets::error_box(ui, "The register cannot be read", error);
            });
            return;
        }
        if let Some(model) = self.model.value() {
            self.shown = Arc::clone(model);
        }
        self.person = cx.person.cloned();
        self.view.take_answer(cx);
        // What stands in a form must not come from before the last change.
        if let Load::Ready(model) = self.model.load() {
            self.view.open_wanted(cx, model);
        }
        let wake = self.wake.as_ref();
        setup_ui(ui, cx, &self.shown, &mut self.view, wake, commands);
    }

    fn help(&self) -> Option<help::Page> {
        (self.view.page == Page::Care).then(help::of_care)
    }

    fn act(&mut self, action: Action, _commands: &mut Vec<Command>) {
        match action {
            Action::Close => self.view.close(),
            Action::NextSection => self.view.turn(1),
            Action::PreviousSection => self.view.turn(Page::ALL.len() - 1),
            _ => {}
        }
    }
}

impl View {
    /// Closes the form; what was typed is kept.
    fn close(&mut self) {
        self.is_pasting = false;
        if let Some(subject) = self.open.take()
            && self
                .forms
                .get(&subject)
                .is_some_and(|form| !form.is_changed())
        {
            self.forms.remove(&subject);
        }
        self.wanted = None;
    }

    fn discard(&mut self, subject: Subject) {
        self.forms.remove(&subject);
        if self.open == Some(subject) {
            self.open = None;
        }
    }

    fn go(&mut self, page: Page) {
        self.close();
        self.page = page;
        self.search.clear();
    }

    /// Goes on by so many pages; the keyboard goes along.
    fn turn(&mut self, by: usize) {
        let all = Page::ALL;
        let here = all.iter().position(|page| *page == self.page).unwrap_or(0);
        self.go(all[(here + by) % all.len()]);
        self.wants_choice = true;
    }

    fn show(&mut self, form: Form) {
        let subject = form.subject;
        self.close();
        let form = self.forms.entry(subject).or_insert(form);
        form.wants_caret = true;
        self.open = Some(subject);
    }

    /// Shows the table that is pasted into this page, with what was pasted now.
    fn paste(&mut self, ctx: &egui::Context, pasted: Option<String>) {
        self.close();
        self.is_pasting = true;
        let paste = self.pastes.entry(self.page).or_default();
        if let Some(pasted) = pasted {
            paste.add(&pasted);
        }
        if !paste.is_kept() {
            focus::ask(ctx, paste::view::FILE);
        }
    }

    /// Opens the thing that was asked for once its record has come.
    fn open_wanted(&mut self, cx: &Cx, model: &Model) {
        let Some(no) = self.wanted else { return };
        // The route names groups of pages: the thing itself says on which page it is.
        if let Some(page) = model
            .things
            .iter()
            .find(|t| t.no == no)
            .and_then(|t| Page::of_entity(&t.entity))
            && page != self.page
        {
            self.page = page;
            return;
        }
        if let Some(opened) = model
            .opened
            .as_ref()
            .filter(|o| o.no == no && !o.cells.is_empty())
        {
            let form = fill::edit_form(self.page, opened, cx.show, cx.now);
            self.show(form);
        }
    }

    /// Takes the answer to what was handed over.
    fn take_answer(&mut self, cx: &Cx) {
        let Some(form) = self.open.and_then(|subject| self.forms.get_mut(&subject)) else {
            return;
        };
        if form.sent == Sent::No {
            return;
        }
        match cx.answers.get(SAVE) {
            Some(Said::Done(_)) => {
                let (subject, next) = (
                    form.subject,
                    (form.sent == Sent::ForMore).then(|| form.for_next()),
                );
                self.discard(subject);
                if let Some(next) = next {
                    self.show(next);
                } else if let Subject::Act(_, _, no) = subject {
                    self.wanted = Some(no);
                } else {
                    self.wants_choice = true;
                }
            }
            Some(Said::Refused(_)) => form.sent = Sent::No,
            _ => {}
        }
    }
}

/// The setup: list, table, form.
fn setup_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &Arc<Model>,
    view: &mut View,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) {
    if let Some(page) = list_ui(ui, model, view.page) {
        view.go(page);
    }
    frames::name_page(ui.ctx(), ("setup", view.page));
    if view.page == Page::Logbook {
        if std::mem::take(&mut view.wants_choice) {
            focus::ask(ui.ctx(), logbook_view::FIRST);
        }
        logbook_view::logbook_ui(ui, cx, model, commands);
        return;
    }
    if view.page == Page::Care {
        care_view::care_ui(ui, cx, &mut view.care, wake, commands);
        return;
    }
    let is_table = view.open.is_none() && !view.is_pasting && model.page == Some(view.page);
    if is_table && std::mem::take(&mut view.wants_choice) {
        focus::ask_primary(ui.ctx());
    }
    let may_paste = cx.may_enter() && paste::takes(view.page) && view.open.is_none();
    if may_paste
        && !view.is_pasting
        && let Some(pasted) = paste::view::pasted(ui)
    {
        view.paste(ui.ctx(), Some(pasted));
    }
    if view.is_pasting {
        pasting_ui(ui, cx, model, view, wake, commands);
        return;
    }
    let open = view.open;
    let mut pressed = None;
    let is_over = matches!(
        open,
        Some(Subject::New(Page::BearingTypes) | Subject::Edit(Page::BearingTypes, _))
    );
    if let Some(form) = open.and_then(|subject| view.forms.get_mut(&subject)) {
        pressed = if is_over {
            type_view::type_ui(ui, cx, model, form, commands)
        } else {
            form_ui(ui, cx, model, form, commands)
        };
    }
    if !is_over && model.page == Some(view.page) {
        let page = view.page;
        let kept: Vec<&Form> = view
            .forms
            .values()
            .filter(|f| f.subject.page() == page && Some(f.subject) != open && f.is_changed())
            .collect();
        let may_add = cx.may_enter();
        let thing = open.and_then(Subject::thing);
        let table = TableView {
            page,
            open: thing,
            is_beside_form: open.is_some(),
            may_add,
            is_pasted: view.pastes.get(&page).is_some_and(paste::Paste::is_kept),
            kept: &kept,
        };
        let chosen = table_ui(ui, model, &table, &mut view.search);
        if let Some(chosen) = chosen {
            take_chosen(ui.ctx(), cx, view, chosen);
        }
    }
    if is_table {
        // Nobody took it: there is nothing to be added here.
        focus::takes_primary(ui.ctx());
    }
    if let Some(pressed) = pressed {
        take_pressed(ui, cx, model, view, pressed, commands);
    }
}

/// The table that was pasted into this page.
fn pasting_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &Arc<Model>,
    view: &mut View,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) {
    let page = view.page;
    let paste = view.pastes.entry(page).or_default();
    if paste.take_answer(cx.answers) {
        view.pastes.remove(&page);
        view.is_pasting = false;
        view.wants_choice = true;
        commands.push(Command::Say(Notice::done(format!(
            "What was pasted is in the register: {}.",
            page.name().to_lowercase()
        ))));
        return;
    }
    if paste::view::paste_ui(ui, cx, (page, model), paste, wake, commands) {
        view.is_pasting = false;
    }
}

fn take_chosen(ctx: &egui::Context, cx: &Cx, view: &mut View, chosen: Chosen) {
    match chosen {
        Chosen::Paste => view.paste(ctx, None),
        Chosen::Add => view.show(fill::new_form(view.page, cx.show)),
        Chosen::Open(no) => {
            view.close();
            view.wanted = Some(no);
        }
        Chosen::GoOn(subject) => {
            view.close();
            view.open = Some(subject);
        }
        Chosen::Discard(subject) => view.discard(subject),
    }
}

fn take_pressed(
    ui: &Ui,
    cx: &Cx,
    model: &Arc<Model>,
    view: &mut View,
    pressed: Pressed,
    commands: &mut Vec<Command>,
) {
    let Some(subject) = view.open else { return };
    match pressed {
        Pressed::Close => view.close(),
        Pressed::Discard => view.discard(subject),
        Pressed::Page(page) => view.go(page),
        Pressed::Act(act) => {
            let form = if let Some(
                refused @ Form {
                    subject: Subject::Act(..),
                    ..
                },
            ) = view.forms.get(&subject)
            {
                Some(fill::find_form(refused, model))
            } else {
                let no = subject.thing();
                no.map(|no| fill::act_form(view.page, act, no, model, cx.show))
            };
            if let Some(form) = form {
                view.show(form);
            }
        }
        Pressed::Save(is_for_more) => {
            if let Some(form) = view.forms.get_mut(&subject) {
                let sent = if is_for_more {
                    Sent::ForMore
                } else {
                    Sent::Once
                };
                save(ui, cx, model, form, sent, commands);
            }
        }
    }
}

#[cfg(test)]
mod life_tests;
#[cfg(test)]
mod plant_tests;
#[cfg(test)]
mod seat_check_tests;
#[cfg(test)]
pub(crate) mod tests;
