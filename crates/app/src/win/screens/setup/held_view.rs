//! Above the form of a release: everything that it ends.

use draw::tokens::space;
use egui::Ui;

use super::form::{Act, Form, Subject};
use super::model::Model;
use crate::ui::text;
use crate::ui::widgets;

/// What holds a thing that is to be released: one release ends it all.
pub fn holds_ui(ui: &mut Ui, model: &Model, form: &Form) {
    let Subject::Act(_, Act::Released, no) = form.subject else {
        return;
    };
    let Some(opened) = model.opened.as_ref().filter(|opened| opened.no == no) else {
        return;
    };
    let beside = match opened.holds.len() {
        0 | 1 => "",
        _ => "one release ends them all",
    };
    widgets::heading(ui, "What holds it", beside);
    if opened.holds.is_empty() {
        text::body(ui, "Nothing: it is not on hold.");
    }
    for held in &opened.holds {
        let by = if held.by.is_empty() {
            "nobody"
        } else {
            &held.by
        };
        text::body(ui, &held.reason);
        text::note(ui, &format!("since {}, signed by {by}", held.since.date()));
        ui.add_space(space::XS);
    }
    ui.add_space(space::S);
}
