//! Asks where a file is to be written. The path is typed: a folder dialog of the system may be missing.

use std::path::{Path, PathBuf};

use draw::tokens::space;
use egui::Context;

use crate::ui::widgets::{Button, Kind, Outcome, TextField};
use crate::ui::{focus, frames, text, widgets};

const PATH: &str = "save/path";

/// A file that is to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saving {
    /// Title of the dialog: `Print the history`.
    pub title: &'static str,
    /// Word of its button.
    pub act: &'static str,
    /// What is typed.
    pub path: String,
    is_there: bool,
}

impl Saving {
    /// Asks for a file beside the logbook, with a name made from `stem`.
    pub fn beside(
        ctx: &Context,
        logbook: &Path,
        stem: &str,
        ending: &str,
        title: &'static str,
        act: &'static str,
    ) -> Self {
        let plain = |c: char| {
            if c.is_alphanumeric() || matches!(c, '-' | '_' | '.') {
                c
            } else {
                '_'
            }
        };
        let name: String = stem.chars().map(plain).collect();
        let folder = logbook.parent().unwrap_or(Path::new(""));
        let path = folder.join(format!("{name}.{ending}"));
        focus::ask_at_end(ctx, PATH);
        let is_there = path.exists();
        Self {
            title,
            act,
            path: path.display().to_string(),
            is_there,
        }
    }
}

/// Shows the dialog while there is something to ask; the path that was agreed to.
pub fn save_ui(ctx: &Context, asked: &mut Option<Saving>) -> Option<PathBuf> {
    let saving = asked.as_mut()?;
    let mut agreed = None;
    let mut is_dropped = false;
    let title = saving.title;
    let is_closed = frames::dialog(ctx, "save", title, 640.0, |ui| {
        widgets::caption(ui, "File");
        match TextField::new(PATH, "File to write").show(ui, &mut saving.path) {
            // One look at the file system for a change, none for a frame.
            Outcome::Changed => saving.is_there = Path::new(saving.path.trim()).exists(),
            Outcome::Commit(focus::Step::Forward) => agreed = Some(saving.path.trim().to_owned()),
            _ => {}
        }
        let words = if saving.is_there {
            "A file with this name is there; it will be replaced."
        } else {
            "It is written whole or not at all."
        };
        text::note(ui, words);
        ui.add_space(space::M);
        ui.horizontal(|ui| {
            let act = if saving.is_there {
                "Replace the file"
            } else {
                saving.act
            };
            let is_named = !saving.path.trim().is_empty();
            if Button::new(Kind::Primary, act)
                .enabled(is_named)
                .show(ui)
                .clicked()
            {
                agreed = Some(saving.path.trim().to_owned());
            }
            is_dropped = widgets::quiet(ui, "Cancel").clicked();
        });
    });
    let agreed = agreed.filter(|path| !path.is_empty());
    if is_closed || is_dropped || agreed.is_some() {
        *asked = None;
    }
    agreed.map(PathBuf::from)
}
