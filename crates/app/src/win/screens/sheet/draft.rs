//! The page of a draft: which of both sheets it is stands in the draft.

use egui::Ui;
use store::draft::{Draft, DraftId, read};

use crate::ui::keys::Action;
use crate::ui::{frames, widgets};
use crate::win::command::Command;
use crate::win::help;
use crate::win::screens::mounting::{KIND, MountingScreen};
use crate::win::screens::sheet::opening_ui;
use crate::win::screens::teardown::TeardownScreen;
use crate::win::screens::{Cx, Heading, Screen};
use crate::win::worker::{Topic, Worker};

/// A sheet that is not signed yet: which of the two it is stands in its draft.
pub struct DraftScreen {
    id: DraftId,
    draft: Topic<DraftId, Draft>,
    screen: Option<Box<dyn Screen>>,
}

impl DraftScreen {
    /// The sheet of this draft.
    pub fn new(id: DraftId) -> Self {
        Self {
            id,
            draft: Topic::default(),
            screen: None,
        }
    }
}

impl Screen for DraftScreen {
    fn refresh(&mut self, worker: &Worker, time: f64) -> Option<f64> {
        if self.screen.is_none() {
            self.draft.refresh(worker, &self.id, |logbook, id| {
                read(logbook.connection(), *id)
            });
            let kind = self.draft.value().map(|draft| draft.kind == KIND);
            self.screen = kind.map(|is_mounting| -> Box<dyn Screen> {
                if is_mounting {
                    Box::new(MountingScreen::new(self.id))
                } else {
                    Box::new(TeardownScreen::new(self.id))
                }
            });
        }
        self.screen.as_mut().and_then(|s| s.refresh(worker, time))
    }

    fn heading(&self, cx: &Cx) -> Heading {
        let screen = self.screen.as_ref();
        screen.map_or_else(|| Heading::new("Sheet", ""), |s| s.heading(cx))
    }

    fn is_opening(&self) -> bool {
        let is_read = self.draft.load().error().is_none();
        self.screen.as_ref().map_or(is_read, |s| s.is_opening())
    }

    fn is_blank(&self) -> bool {
        self.screen.as_ref().is_some_and(|s| s.is_blank())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        if let Some(screen) = &mut self.screen {
            screen.ui(ui, cx, commands);
            return;
        }
        frames::sheet_body(ui, "", |ui| {
            widgets::section_title(ui, None, "Sheet", "");
            match self.draft.load().error() {
                Some(why) => widgets::error_box(ui, "The sheet cannot be read", why),
                None => opening_ui(ui),
            }
        });
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        if let Some(screen) = &mut self.screen {
            screen.act(action, commands);
        }
    }

    fn help(&self) -> Option<help::Page> {
        self.screen.as_ref().and_then(|s| s.help())
    }

    fn leave(&mut self, worker: &Worker) {
        if let Some(screen) = &mut self.screen {
            screen.leave(worker);
        }
    }
}
