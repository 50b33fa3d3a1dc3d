//! The teardown sheet, from identifying to signing.
//!
//! [`TeardownScreen`] reads the draft once and the facts as often as the sheet names other things, hands what was
//! typed to the keeper, and draws by [`sheet::sheet_ui`], a function of plain models that the tests call too.

mod clearance;
mod decision;
mod evidence;
pub(super) mod fields;
mod findings;
mod form;
mod gauge;
pub(super) mod identify;
pub mod model;
pub(crate) mod order;
mod panel;
mod pictures;
mod quick;
mod radial;
mod reassemble;
mod ring;
mod seats;
pub mod sheet;
pub mod sign;
mod taper;
pub(super) mod typed;
pub mod view;
mod why;

#[cfg(test)]
mod tests;

use std::sync::Arc;

use egui::Ui;
use store::draft::{Draft, DraftId, Fields, read};
use store::payload::KeptFile;
use store::query::ShopWear;
use store::sheet::{Facts, field};

use super::{Cx, Heading, Screen};
use crate::ui::focus::Step;
use crate::ui::keys::Action;
use crate::ui::{frames, widgets};
use crate::win::command::Command;
use crate::win::keeper::Keeper;
use crate::win::worker::{Topic, Wake, Worker};
use model::SheetModel;
use view::{SheetView, facts_key};

/// A teardown sheet that is not signed yet.
pub struct TeardownScreen {
    draft: Topic<DraftId, Draft>,
    keeper: Keeper,
    /// The sheet, once the draft is read.
    view: Option<SheetView>,
    facts: Topic<Fields, Facts>,
    /// What the wear of the shop expects of the readings; the sheet does not wait for it.
    wear: Topic<(), Option<ShopWear>>,
    /// The facts shown: the last ones until newer are there.
    known: Option<Arc<Facts>>,
    /// Of which facts those are made, and whether with the wear.
    made_of: Option<(Arc<Facts>, bool)>,
    /// Small pictures of what is kept with the sheet.
    photos: Topic<Vec<String>, Vec<(String, Vec<u8>)>>,
    wake: Option<Wake>,
}

impl std::fmt::Debug for TeardownScreen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("TeardownScreen")
            .field("draft", &self.keeper.draft())
            .finish_non_exhaustive()
    }
}

impl TeardownScreen {
    /// The sheet of this draft.
    pub fn new(draft: DraftId) -> Self {
        Self {
            draft: Topic::default(),
            keeper: Keeper::new(draft, ""),
            view: None,
            facts: Topic::default(),
            wear: Topic::default(),
            known: None,
            made_of: None,
            photos: Topic::default(),
            wake: None,
        }
    }

    /// Why there is nothing to show, or nothing fresh.
    fn trouble(&self) -> Option<&str> {
        self.draft
            .load()
            .error()
            .filter(|_| self.view.is_none())
            .or(self.facts.load().error())
    }

    fn hand_over(&mut self, time: f64) {
        let Some(view) = &mut self.view else { return };
        for change in view.take_changes() {
            self.keeper.note(
                &change.path,
                &change.text,
                change.source,
                change.is_committed,
                time,
            );
        }
        self.keeper.note_caret(view.caret(), time);
    }
}

/// The pictures that the fields name.
fn hashes(fields: &Fields) -> Vec<String> {
    fields
        .iter()
        .filter(|(path, _)| field::photo_of(path).is_some())
        .filter_map(|(_, field)| serde_json::from_str::<KeptFile>(&field.text).ok())
        .map(|file| file.hash)
        .collect()
}

fn small_pictures(
    logbook: &store::Logbook,
    hashes: &[String],
) -> store::Result<Vec<(String, Vec<u8>)>> {
    let mut all = Vec::new();
    for hash in hashes {
        let small = store::attachment::thumbnail(logbook.connection(), hash)?;
        all.extend(small.map(|small| (hash.clone(), small)));
    }
    Ok(all)
}

impl Screen for TeardownScreen {
    fn refresh(&mut self, worker: &Worker, time: f64) -> Option<f64> {
        self.wake.get_or_insert_with(|| worker.wake());
        let id = self.keeper.draft();
        if self.view.is_none() {
            // Read once: what is typed since is newer than any later reading.
            self.draft
                .refresh(worker, &id, |logbook, id| read(logbook.connection(), *id));
            if let Some(draft) = self.draft.value() {
                self.keeper = Keeper::new(id, &draft.caret);
                self.view = Some(SheetView::new(draft.fields.clone(), &draft.caret));
            }
        }
        if let Some(view) = &self.view {
            let read = |logbook: &store::Logbook, key: &Fields| {
                Facts::load(logbook.connection(), key, logbook.now())
            };
            self.facts.refresh(worker, &facts_key(view.fields()), read);
            self.photos
                .refresh(worker, &hashes(view.fields()), |logbook, hashes| {
                    small_pictures(logbook, hashes)
                });
            if let Some(facts) = self.facts.value() {
                self.wear.refresh(worker, &(), |logbook, ()| {
                    store::query::shop_wear(logbook.connection(), None)
                });
                let expected = self.wear.value().and_then(|wear| wear.as_ref().as_ref());
                let is_same = self.made_of.as_ref().is_some_and(|(of, with_wear)| {
                    Arc::ptr_eq(of, facts) && *with_wear == expected.is_some()
                });
                if !is_same {
                    self.made_of = Some((Arc::clone(facts), expected.is_some()));
                    self.known = Some(match expected {
                        None => Arc::clone(facts),
                        Some(wear) => {
                            let mut whole = Facts::clone(facts);
                            whole.foresee(wear);
                            Arc::new(whole)
                        }
                    });
                }
            }
        }
        self.keeper.poll(worker, time)
    }

    fn heading(&self, cx: &Cx) -> Heading {
        let detail = self
            .known
            .as_ref()
            .map(|facts| model::heading(facts, cx.show))
            .unwrap_or_default();
        Heading {
            note: self.keeper.words(),
            ..Heading::new("Teardown", detail)
        }
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        let time = ui.input(|i| i.time);
        let (Some(view), Some(facts)) = (&mut self.view, &self.known) else {
            let trouble = self.trouble().map(str::to_owned);
            frames::sheet_body(ui, |ui| {
                widgets::section_title(ui, None, "Teardown", "");
                if let Some(why) = trouble {
                    widgets::error_box(ui, "The sheet cannot be read", &why);
                }
            });
            return;
        };
        let model = SheetModel {
            draft: self.keeper.draft(),
            facts,
            show: cx.show,
            now: cx.now,
            people: &cx.snapshot.people,
            things: &cx.snapshot.things,
            person: cx.person.map(|p| (p.name.as_str(), p.role)),
            is_locked: !cx.may_enter(),
            answers: cx.answers,
            photos: self.photos.value().map_or(&[][..], |all| all.as_slice()),
            wake: self.wake.as_ref(),
        };
        sheet::sheet_ui(ui, &model, view, commands);
        self.hand_over(time);
    }

    fn act(&mut self, action: Action, _commands: &mut Vec<Command>) {
        let Some(view) = &mut self.view else { return };
        match action {
            Action::Undo => view.undo(),
            Action::NextSection => view.turn_page(Step::Forward),
            Action::PreviousSection => view.turn_page(Step::Back),
            _ => {}
        }
    }

    fn leave(&mut self, worker: &Worker) {
        if let Some(view) = &mut self.view {
            view.reopen();
        }
        self.keeper.flush(worker);
    }
}
