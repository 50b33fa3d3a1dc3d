//! What the screens of both sheets do alike: the draft is read once, what is typed goes to the keeper.

use egui::Ui;
use store::draft::{Draft, DraftId, read};

use super::pages::Pages;
use crate::ui::focus::Step;
use crate::ui::keys::Action;
use crate::ui::text::{self, Face};
use crate::ui::{frames, widgets};
use crate::win::keeper::Keeper;
use crate::win::screens::Heading;
use crate::win::worker::{Topic, Wake, Worker};

/// The field that a new sheet takes from the settings.
pub const ANGLES: &str = "findings.side";

/// What stands on a sheet while it is read.
pub fn opening_ui(ui: &mut Ui) {
    let words = "The sheet is being opened. What you type or scan now goes into its first field.";
    text::say(ui, Face::BODY.muted(), words);
}

/// A sheet that is not signed yet, and its keeper.
pub struct Kept<V> {
    draft: Topic<DraftId, Draft>,
    keeper: Keeper,
    /// The sheet, once the draft is read.
    pub view: Option<V>,
    /// Asks for a frame.
    pub wake: Option<Wake>,
}

impl<V: Pages> Kept<V> {
    /// The sheet of this draft.
    pub fn new(draft: DraftId) -> Self {
        Self {
            draft: Topic::default(),
            keeper: Keeper::new(draft, ""),
            view: None,
            wake: None,
        }
    }

    /// The draft.
    pub fn id(&self) -> DraftId {
        self.keeper.draft()
    }

    /// Reads the draft once: what is typed since is newer than any later reading.
    pub fn read(&mut self, worker: &Worker) {
        self.wake.get_or_insert_with(|| worker.wake());
        if self.view.is_some() {
            return;
        }
        let id = self.id();
        self.draft
            .refresh(worker, &id, |logbook, id| read(logbook.connection(), *id));
        if let Some(draft) = self.draft.value() {
            self.keeper = Keeper::new(id, &draft.caret);
            self.view = Some(V::new(draft.fields.clone(), &draft.caret));
        }
    }

    /// Lets the keeper write; answers when it wants to again.
    pub fn poll(&mut self, worker: &Worker, time: f64) -> Option<f64> {
        self.keeper.poll(worker, time)
    }

    /// Hands what was typed to the keeper.
    pub fn hand_over(&mut self, time: f64) {
        let Some(view) = &mut self.view else { return };
        for change in view.entries_mut().take_changes() {
            let (path, text) = (&change.path, &change.text);
            self.keeper
                .note(path, text, change.source, change.is_committed, time);
        }
        self.keeper.note_caret(view.caret(), time);
    }

    /// The top strip.
    pub fn heading(&self, title: &str, detail: String) -> Heading {
        Heading {
            note: self.keeper.words(),
            ..Heading::new(title, detail)
        }
    }

    /// The page while there is nothing to show, and why.
    pub fn empty_ui(&self, ui: &mut Ui, title: &str, trouble: Option<&str>) {
        let unread = self.draft.load().error().filter(|_| self.view.is_none());
        frames::sheet_body(ui, "", |ui| {
            widgets::section_title(ui, None, title, "");
            match unread.or(trouble) {
                Some(why) => widgets::error_box(ui, "The sheet cannot be read", why),
                None => opening_ui(ui),
            }
        });
    }

    /// Whether the caret is not in its fields yet, though nothing went wrong.
    pub fn is_opening(&self, trouble: Option<&str>) -> bool {
        let is_opened = self.view.as_ref().is_some_and(V::is_opened);
        !is_opened && trouble.is_none() && self.draft.load().error().is_none()
    }

    /// Whether nothing stands in it but how the plant reads angles.
    pub fn is_blank(&self) -> bool {
        self.view.as_ref().is_some_and(|view| {
            let mut fields = view.entries().fields().iter();
            view.entries().is_at_rest()
                && fields.all(|(path, f)| path == ANGLES || f.text.trim().is_empty())
        })
    }

    /// Does what a key or the menu asks for.
    pub fn act(&mut self, action: Action) {
        let Some(view) = &mut self.view else { return };
        match action {
            Action::Undo => view.undo(),
            Action::NextSection => view.turn_page(Step::Forward),
            Action::PreviousSection => view.turn_page(Step::Back),
            _ => {}
        }
    }

    /// The page is left.
    pub fn leave(&mut self, worker: &Worker) {
        if let Some(view) = &mut self.view {
            view.reopen();
        }
        self.keeper.flush(worker);
    }
}
