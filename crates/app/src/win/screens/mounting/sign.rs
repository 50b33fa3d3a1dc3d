//! Signing a mounting sheet.

use std::sync::Arc;

use draw::tokens::space;
use egui::Ui;
use store::mounting::{Section, field};

use super::fields::On;
use crate::win::command::Command;

/// Where the answer to signing belongs.
pub const PLACE: &str = "mounting/sign";

/// What stands against signing, who signs, and the button.
pub fn sign_ui(ui: &mut Ui, on: &mut On) {
    let a = Arc::clone(&on.a);
    let blockers: Vec<(Section, &str)> = a.blockers().collect();
    let lines: Vec<String> = blockers
        .iter()
        .map(|(section, why)| format!("{}: {why}", section.title()))
        .collect();
    let pressed = on.against(ui, "Stands against it", &lines);
    if let Some((section, why)) = pressed.and_then(|at| blockers.get(at)) {
        on.view.go(*section, target(*section, why, on));
    }
    on.because(ui);
    on.who(ui, |_, _| {});
    ui.add_space(space::L);
    if let Some(signed) = on.sign(ui, PLACE, blockers.is_empty()) {
        on.commands.push(Command::SignMounting(signed));
    }
}

/// The field that a line is about: the one it names, else the first empty one.
fn target(section: Section, why: &str, on: &On) -> Option<String> {
    let order = field::order(section, &on.a.asked(on.view.entries.fields()));
    let is_named = |path: &&String| why.starts_with(&store::sheet::field::label(path));
    if why.starts_with("not the approved lubrication") {
        return Some("lube.approval".into());
    }
    order.iter().find(is_named).cloned()
}
