//! Signing: what stands against it, and who says so with which PIN.

use std::sync::Arc;

use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::mounting::{Section, field};
use store::payload::Role;

use super::fields::On;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind, Outcome, PinField};
use crate::win::command::{Command, SheetToSign};
use crate::win::screens::teardown::fields::{forget_typed, labelled};
use crate::win::screens::teardown::order::{ENGINEER, ENGINEER_PIN, PIN};
use crate::win::screens::teardown::sign::engineer_field;
use crate::win::screens::teardown::typed::with_units;

/// Where the answer to signing belongs.
pub const PLACE: &str = "mounting/sign";

/// What stands against signing, who signs, and the button.
pub fn sign_ui(ui: &mut Ui, on: &mut On) {
    let a = Arc::clone(&on.a);
    let blockers: Vec<(Section, &str)> = a.blockers().collect();
    if !blockers.is_empty() {
        text::strong(ui, "Stands against it");
        for (section, why) in &blockers {
            let words = format!("{}: {why}", section.title());
            if widgets::quiet(ui, &words).clicked() {
                on.view.go(*section, target(*section, why, on));
                ui.ctx().request_repaint();
            }
        }
        ui.add_space(space::M);
    }
    if !a.engineer_because.is_empty() {
        text::strong(ui, "The engineer signs too, because");
        for why in &a.engineer_because {
            text::say(ui, Face::BODY.muted(), &format!("\u{2013} {why}"));
        }
        ui.add_space(space::M);
    }
    who(ui, on);
    ui.add_space(space::L);
    act(ui, on, blockers.is_empty());
}

/// The field that a line is about: the one it names, else the first empty one.
fn target(section: Section, why: &str, on: &On) -> Option<String> {
    let order = field::order(section, on.a.family, on.view.sheet.fields());
    let is_named = |path: &&String| why.starts_with(&store::sheet::field::label(path));
    order.iter().find(is_named).cloned()
}

fn signs(role: Role) -> bool {
    matches!(role, Role::Foreman | Role::Engineer)
}

fn who(ui: &mut Ui, on: &mut On) {
    let signer = on.model.person.filter(|(_, role)| signs(*role));
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        if on.asks_engineer {
            labelled(ui, "Engineer", |ui| engineer(ui, on));
            labelled(ui, "PIN of the engineer", |ui| {
                let mut pin = std::mem::take(&mut on.view.signing.engineer_pin);
                let outcome = PinField::new(ENGINEER_PIN, "PIN of the engineer").show(ui, &mut pin);
                on.view.signing.engineer_pin = pin;
                pin_step(ui, on, ENGINEER_PIN, &outcome);
            });
        }
        if let Some((name, _)) = signer {
            labelled(ui, &format!("PIN of {name}"), |ui| {
                let mut pin = std::mem::take(&mut on.view.signing.pin);
                let outcome = PinField::new(PIN, "PIN of the signer").show(ui, &mut pin);
                on.view.signing.pin = pin;
                pin_step(ui, on, PIN, &outcome);
            });
        }
    });
    if signer.is_none() {
        let words = on.model.person.map_or_else(
            || "Nobody is at work. A foreman or the engineer signs.".to_owned(),
            |(name, _)| format!("{name} is at work. A foreman or the engineer signs."),
        );
        text::body(ui, &words);
        ui.add_space(space::S);
        if widgets::second(ui, "Sign in to sign").clicked() {
            on.commands.push(Command::AskSignIn { then: None });
        }
    }
}

fn pin_step(ui: &Ui, on: &mut On, path: &str, outcome: &Outcome) {
    if let Outcome::Commit(step) = outcome {
        forget_typed(ui);
        on.step(ui, path, *step);
    }
}

fn engineer(ui: &mut Ui, on: &mut On) {
    let engineers = on.model.people(&[Role::Engineer]);
    if let Some(step) = engineer_field(ui, &mut on.view.signing.engineer, &engineers) {
        on.step(ui, ENGINEER, step);
    }
}

fn act(ui: &mut Ui, on: &mut On, is_clear: bool) {
    if let Some(why) = on.model.answers.refusal(PLACE) {
        widgets::error_box(ui, "Not signed", why);
        ui.add_space(space::M);
    }
    let is_waiting = on.model.answers.is_waiting(PLACE);
    let signing = &on.view.signing;
    let engineer = on.asks_engineer.then(|| {
        let name = signing.engineer.trim().to_owned();
        (name, signing.engineer_pin.clone())
    });
    let engineers = on.model.people(&[Role::Engineer]);
    let is_engineer = |name: &str| {
        engineers
            .iter()
            .any(|(code, _)| code.eq_ignore_ascii_case(name))
    };
    let has_engineer = engineer
        .as_ref()
        .is_none_or(|(name, pin)| is_engineer(name) && !pin.is_empty());
    let has_signer =
        on.model.person.is_some_and(|(_, role)| signs(role)) && !signing.pin.is_empty();
    let enabled = is_clear && has_signer && has_engineer && !is_waiting && !on.model.is_locked;
    let pressed = ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        let button = Button::new(Kind::Danger, "Sign for good")
            .enabled(enabled)
            .show(ui);
        if std::mem::take(&mut on.view.signing.wants_button) && enabled {
            button.request_focus();
        }
        let words = if is_waiting {
            "Being written to disk\u{2026}"
        } else if !is_clear {
            "Something stands against it, see above."
        } else if enabled {
            "It is on disk before the window says so."
        } else {
            "The PINs are missing."
        };
        text::say(ui, Face::NOTE.token(Token::Muted), words);
        button.clicked()
    });
    if pressed.inner && enabled {
        on.view.sheet.commit_all(on.model.show, on.time);
        let to_sign = SheetToSign {
            place: PLACE,
            draft: on.model.draft,
            fields: with_units(on.view.sheet.fields(), on.model.show.unit),
            pin: std::mem::take(&mut on.view.signing.pin),
            engineer,
        };
        on.view.signing.engineer_pin.clear();
        on.commands.push(Command::SignMounting(Box::new(to_sign)));
    }
}
