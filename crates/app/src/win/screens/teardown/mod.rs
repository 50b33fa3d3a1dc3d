//! The teardown sheet, from identifying to signing.
//!
//! [`TeardownScreen`] reads the draft once and the facts as often as the sheet names other things, hands what was
//! typed to the keeper, and draws by [`sheet::sheet_ui`], a function of plain models that the tests call too.

mod clearance;
mod decision;
mod evidence;
mod fields;
mod findings;
mod form;
pub(super) mod gauge;
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
pub mod view;
mod why;

#[cfg(test)]
mod tests;

use std::sync::Arc;

use egui::Ui;
use store::draft::{DraftId, Fields};
use store::payload::KeptFile;
use store::sheet::{Facts, field};

use super::sheet::Kept;
use super::sheet::model::SheetModel;
use super::{Cx, Heading, Screen};
use crate::ui::keys::Action;
use crate::win::command::Command;
use crate::win::wear::WearKey;
use crate::win::worker::{Topic, Worker};
use view::{SheetView, facts_key};

/// A teardown sheet that is not signed yet.
pub struct TeardownScreen {
    kept: Kept<SheetView>,
    facts: Topic<Fields, Facts>,
    /// The facts shown: the last ones until newer are there.
    known: Option<Arc<Facts>>,
    /// Of which facts those are made, and with which wear of the shop; the sheet does not wait for it.
    made_of: Option<(Arc<Facts>, WearKey)>,
    /// Small pictures of what is kept with the sheet.
    photos: Topic<Vec<String>, Vec<(String, Vec<u8>)>>,
}

impl TeardownScreen {
    /// The sheet of this draft.
    pub fn new(draft: DraftId) -> Self {
        Self {
            kept: Kept::new(draft),
            facts: Topic::default(),
            known: None,
            made_of: None,
            photos: Topic::default(),
        }
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
        self.kept.read(worker);
        if let Some(view) = &self.kept.view {
            let read = |logbook: &store::Logbook, key: &Fields| {
                Facts::load(logbook.connection(), key, logbook.now())
            };
            self.facts
                .refresh(worker, &facts_key(view.entries.fields()), read);
            self.photos
                .refresh(worker, &hashes(view.entries.fields()), |logbook, hashes| {
                    small_pictures(logbook, hashes)
                });
            if let Some(facts) = self.facts.value() {
                let wear = WearKey(worker.wear());
                let is_same = self
                    .made_of
                    .as_ref()
                    .is_some_and(|(of, with)| Arc::ptr_eq(of, facts) && *with == wear);
                if !is_same {
                    self.made_of = Some((Arc::clone(facts), wear.clone()));
                    self.known = Some(match wear.wear() {
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
        self.kept.poll(worker, time)
    }

    fn heading(&self, cx: &Cx) -> Heading {
        let detail = self.known.as_ref().map(|f| model::heading(f, cx.show));
        self.kept.heading("Teardown", detail.unwrap_or_default())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        let time = ui.input(|i| i.time);
        let draft = self.kept.id();
        let (Some(view), Some(facts)) = (&mut self.kept.view, &self.known) else {
            let trouble = self.facts.load().error();
            self.kept.empty_ui(ui, "Teardown", trouble);
            return;
        };
        let model = SheetModel {
            photos: self.photos.value().map_or(&[][..], |all| all.as_slice()),
            wake: self.kept.wake.as_ref(),
            wear: self
                .made_of
                .as_ref()
                .map(|(_, wear)| wear.clone())
                .unwrap_or_default(),
            ..SheetModel::new(cx, draft, facts)
        };
        sheet::sheet_ui(ui, &model, view, commands);
        self.kept.hand_over(time);
    }

    /// Its chock may have been put together already: then the mounting sheet is the one that is meant.
    fn known(&self, sheet: Action) -> Vec<(String, String)> {
        let chock = self.known.as_ref().and_then(|f| f.chock.as_ref());
        let chock = chock.filter(|_| sheet == Action::NewMounting);
        chock
            .map(|c| ("identify.chock".to_owned(), c.code.clone()))
            .into_iter()
            .collect()
    }

    fn act(&mut self, action: Action, _commands: &mut Vec<Command>) {
        self.kept.act(action);
    }

    fn is_opening(&self) -> bool {
        self.kept.is_opening(self.facts.load().error())
    }

    fn is_blank(&self) -> bool {
        self.kept.is_blank()
    }

    fn leave(&mut self, worker: &Worker) {
        self.kept.leave(worker);
    }
}
