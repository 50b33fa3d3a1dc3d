//! From a form to the command that writes it.

use std::sync::Arc;

use egui::Ui;
use store::payload::Payload;

use super::form::{Act, Form, Sent, Subject, Wrong};
use super::form_view::wrongs_of;
use super::model::Model;
use super::page::Page;
use super::{SAVE, field_view, people, read, seat_check};
use crate::ui::focus;
use crate::win::command::{Command, Events, WithFile};
use crate::win::screens::Cx;

/// Hands the form over, or sends the caret to what is wrong with it.
pub(super) fn save(
    ui: &Ui,
    cx: &Cx,
    model: &Arc<Model>,
    form: &mut Form,
    sent: Sent,
    commands: &mut Vec<Command>,
) {
    form.is_tried = true;
    if let Some(wrong) = wrongs_of(form, model, cx).first() {
        focus::ask(ui.ctx(), &field_view::full_path(&wrong.path));
        return;
    }
    form.agreed.clone_from(&form.asked);
    let command = match form.subject {
        Subject::New(Page::People) | Subject::Edit(Page::People, _) => {
            people::command(form, model, SAVE)
        }
        Subject::Act(_, Act::Attached, _) => Some(Command::Attach {
            place: SAVE,
            event: with_file(form, model),
        }),
        _ => Some(Command::Append {
            place: SAVE,
            events: events(form, model, cx),
        }),
    };
    if let Some(command) = command {
        form.sent = sent;
        commands.push(command);
    }
}

/// The event of a document, with its file.
fn with_file(form: &Form, model: &Arc<Model>) -> WithFile {
    let (form, model) = (form.clone(), Arc::clone(model));
    WithFile::made(move |logbook| {
        let path = form
            .text("file")
            .trim()
            .trim_matches(['"', '\''])
            .to_owned();
        let file = store::attachment::read(std::path::Path::new(&path))?;
        let event = read::event(&form, &model, logbook.now(), &|no| logbook.name(no));
        let mut event = event.map_err(not_whole)?;
        if let Payload::Attached(attached) = &mut event.payload {
            attached.file = file.file.clone();
        }
        Ok((event, file))
    })
}

pub(super) fn not_whole(wrongs: Vec<Wrong>) -> store::StoreError {
    let why = wrongs
        .into_iter()
        .next()
        .map_or_else(|| "the form is not whole".into(), |w| w.why);
    store::StoreError::Refused(why)
}

/// The event of a form, made where things are named.
fn events(form: &Form, model: &Arc<Model>, cx: &Cx) -> Events {
    let (form, model) = (form.clone(), Arc::clone(model));
    // What cannot be undone is signed with the PIN once more.
    let again = matches!(form.subject, Subject::Act(_, Act::Scrapped, _));
    let person = cx.person.cloned();
    Events::made(move |logbook| {
        if let Some(person) = person.as_ref().filter(|_| again) {
            logbook.sign_in(&person.name, form.text("pin"))?;
        }
        let event = read::event(&form, &model, logbook.now(), &|no| logbook.name(no));
        let event = seat_check::judged(logbook, &form, &model, event.map_err(not_whole)?)?;
        // Signed faster than it was asked: then it is asked now.
        if let Some(person) = &person {
            let said = logbook.foretell(person, std::slice::from_ref(&event))?;
            let mut new = said.questions.into_iter();
            if let Some(question) = new.find(|question| !form.agreed.contains(question)) {
                return Err(store::StoreError::Refused(question));
            }
        }
        Ok(vec![event])
    })
}
