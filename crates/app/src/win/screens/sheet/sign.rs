//! The signature under a sheet: what stands against it, who signs with which PIN, and the button.

use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::payload::Role;

use super::fields::{On, forget_typed};
use super::layout::labelled;
use super::pages::Pages;
use super::typed::with_units;
use crate::ui::focus::{self, Step};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Choice, CodeField, Coded, Kind, Outcome, PinField};
use crate::win::command::{Command, Place, SheetToSign};

/// Paths of fields that are no part of the record: who signs, and with which PIN.
pub const PIN: &str = "sign.pin";
/// The engineer who signs too.
pub const ENGINEER: &str = "sign.engineer";
/// The engineer's PIN.
pub const ENGINEER_PIN: &str = "sign.engineer_pin";
/// Fields of the signature that are not kept.
pub const SECRET: [&str; 3] = [PIN, ENGINEER, ENGINEER_PIN];

/// Width of a field for a name.
pub const FIELD: f32 = 190.0;

/// Names and PINs for the signature; never kept.
#[derive(Default)]
pub struct Signing {
    /// PIN of the person at work.
    pub pin: String,
    /// The engineer who signs too.
    pub engineer: String,
    /// Their PIN.
    pub engineer_pin: String,
    /// The caret is to go to the button that signs, or to the first line that stands against it.
    pub wants_button: bool,
}

impl Signing {
    /// The first field of the signature that is still empty.
    pub fn missing(&self, asks_engineer: bool) -> Option<&'static str> {
        let engineer = [
            (ENGINEER, &self.engineer),
            (ENGINEER_PIN, &self.engineer_pin),
        ];
        let engineer = engineer.into_iter().filter(|_| asks_engineer);
        let mut all = engineer.chain([(PIN, &self.pin)]);
        all.find(|(_, text)| text.trim().is_empty())
            .map(|(path, _)| path)
    }
}

/// The fields of the signature in order, that of the person at work last.
pub fn order(asks_engineer: bool) -> impl Iterator<Item = String> {
    let engineer = [ENGINEER, ENGINEER_PIN].into_iter();
    engineer
        .filter(move |_| asks_engineer)
        .chain([PIN])
        .map(str::to_owned)
}

/// Whether this role signs a sheet.
fn signs(role: Role) -> bool {
    matches!(role, Role::Foreman | Role::Engineer)
}

impl<V: Pages> On<'_, V> {
    /// What stands against signing, each as a line that leads to its field; answers the one that was pressed.
    pub fn against(&mut self, ui: &mut Ui, title: &str, lines: &[String]) -> Option<usize> {
        if lines.is_empty() {
            return None;
        }
        text::strong(ui, title);
        ui.add_space(space::XS);
        let mut pressed = None;
        for (index, words) in lines.iter().enumerate() {
            let button = Button::new(Kind::Quiet, &self.told(words)).show(ui);
            if index == 0 && std::mem::take(&mut self.view.signing().wants_button) {
                button.request_focus();
            }
            if button.clicked() {
                pressed = Some(index);
                ui.ctx().request_repaint();
            }
        }
        ui.add_space(space::M);
        pressed
    }

    /// Why the engineer signs too.
    pub fn because(&self, ui: &mut Ui) {
        let because = V::engineer_because(&self.a);
        if because.is_empty() {
            return;
        }
        text::strong(ui, "The engineer signs too, because");
        for why in because {
            text::say(
                ui,
                Face::BODY.muted(),
                &format!("\u{2013} {}", self.told(why)),
            );
        }
        ui.add_space(space::M);
    }

    /// Who signs, with which PIN; `first` stands before them in their row.
    pub fn who(&mut self, ui: &mut Ui, first: impl FnOnce(&mut Ui, &mut Self)) {
        let signer = self.model.person.filter(|(_, role)| signs(*role));
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::L;
            first(ui, self);
            if self.asks_engineer {
                labelled(ui, "Engineer", |ui| self.engineer(ui));
                labelled(ui, "PIN of the engineer", |ui| {
                    let mut pin = std::mem::take(&mut self.view.signing().engineer_pin);
                    let field = PinField::new(ENGINEER_PIN, "PIN of the engineer");
                    let outcome = field.show(ui, &mut pin);
                    self.view.signing().engineer_pin = pin;
                    self.pin_step(ui, ENGINEER_PIN, &outcome);
                });
            }
            if let Some((name, _)) = signer {
                labelled(ui, &format!("PIN of {name}"), |ui| {
                    let mut pin = std::mem::take(&mut self.view.signing().pin);
                    let outcome = PinField::new(PIN, "PIN of the signer").show(ui, &mut pin);
                    self.view.signing().pin = pin;
                    self.pin_step(ui, PIN, &outcome);
                });
            }
        });
        let stranger = self.view.signing().engineer.trim().to_owned();
        if self.asks_engineer && !stranger.is_empty() && !self.is_engineer(&stranger) {
            let face = Face::NOTE_STRONG.token(Token::Fail);
            ui.add_space(space::XS);
            let words = format!("Engineer: {stranger:?} is no engineer in the register");
            text::say(ui, face, &words);
        }
        if signer.is_none() {
            ui.add_space(space::L);
            let words = self.model.person.map_or_else(
                || "Nobody is at work. A foreman or the engineer signs.".to_owned(),
                |(name, _)| format!("{name} is at work. A foreman or the engineer signs."),
            );
            text::body(ui, &words);
            ui.add_space(space::S);
            if widgets::second(ui, "Sign in to sign").clicked() {
                self.commands.push(Command::AskSignIn { then: None });
            }
        }
    }

    fn is_engineer(&self, name: &str) -> bool {
        let engineers = self.model.people(&[Role::Engineer]);
        engineers
            .iter()
            .any(|(code, _)| code.eq_ignore_ascii_case(name.trim()))
    }

    fn pin_step(&mut self, ui: &Ui, path: &str, outcome: &Outcome) {
        if let Outcome::Commit(step) = outcome {
            forget_typed(ui);
            self.step(ui, path, *step);
        }
    }

    /// Who signs besides. A name that is no engineer's keeps the caret.
    fn engineer(&mut self, ui: &mut Ui) {
        let engineers = self.model.people(&[Role::Engineer]);
        let choices: Vec<Choice> = engineers
            .iter()
            .map(|(code, detail)| Choice { code, detail })
            .collect();
        let coded = CodeField::new(ENGINEER, "Engineer")
            .hint("who?")
            .width(FIELD)
            .show(ui, &mut self.view.signing().engineer, &choices);
        if !matches!(coded, Coded::Nothing | Coded::Changed) {
            forget_typed(ui);
        }
        match coded {
            Coded::Chosen(_) => self.step(ui, ENGINEER, Step::Forward),
            Coded::Leave(step) => self.step(ui, ENGINEER, step),
            Coded::Entered(_) => focus::ask(ui.ctx(), ENGINEER),
            Coded::Nothing | Coded::Changed => {}
        }
    }

    /// The button that signs; answers what is to be signed when it is pressed.
    pub fn sign(&mut self, ui: &mut Ui, place: Place, is_clear: bool) -> Option<Box<SheetToSign>> {
        if let Some(why) = self.model.answers.refusal(place) {
            let said = ui.scope(|ui| widgets::error_box(ui, "Not signed", why));
            // Once, when it comes: whoever waits for the answer looks at the button below it.
            let id = egui::Id::unique(("not signed", place));
            let before: Option<String> = ui.data(|data| data.get_temp(id));
            if before.as_deref() != Some(why) {
                said.response.scroll_to_me(None);
                ui.data_mut(|data| data.insert_temp(id, why.to_owned()));
            }
            ui.add_space(space::M);
        }
        let is_waiting = self.model.answers.is_waiting(place);
        let has_signer = self.model.person.is_some_and(|(_, role)| signs(role));
        let (asks, is_locked) = (self.asks_engineer, self.model.is_locked);
        let signing = self.view.signing();
        let has_pin = !signing.pin.is_empty();
        let name = signing.engineer.trim().to_owned();
        let engineer = asks.then(|| (name, signing.engineer_pin.clone()));
        let has_engineer = engineer
            .as_ref()
            .is_none_or(|(name, pin)| self.is_engineer(name) && !pin.is_empty());
        let enabled =
            is_clear && has_signer && has_pin && has_engineer && !is_waiting && !is_locked;
        let pressed = ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = space::L;
            let button = Button::new(Kind::Danger, "Sign for good")
                .enabled(enabled)
                .show(ui);
            if std::mem::take(&mut self.view.signing().wants_button) && enabled {
                button.request_focus();
                button.scroll_to_me(None);
            } else if button.gained_focus() {
                button.scroll_to_me(None);
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
        if !pressed.inner || !enabled {
            return None;
        }
        let (show, time) = (self.model.show, self.time);
        self.view.entries_mut().commit_all(show, time);
        let signing = self.view.signing();
        signing.engineer_pin.clear();
        let pin = std::mem::take(&mut signing.pin);
        Some(Box::new(SheetToSign {
            place,
            draft: self.model.draft,
            fields: with_units(self.view.entries().fields(), show.unit),
            pin,
            engineer,
            wear: self.model.wear.clone(),
        }))
    }
}
