//! What the registers and the pages of bearings and chocks share: search and type above a table, the record below a page.

use draw::tokens::space;
use egui::Ui;
use store::ThingNo;
use store::query::{Document, JournalLine};

use super::Cx;
use super::event::pictures::{Pictures, pictures_ui};
use super::log::event_line::what_happened;
use super::log::list::Keys;
use super::log::small;
use super::log::view::searched;
use crate::print::What;
use crate::ui::text;
use crate::ui::widgets::{self, TextField};
use crate::win::command::Command;
use crate::win::route::Route;

/// What rows of a register are to be shown.
#[derive(Debug)]
pub struct Wanted<'a> {
    /// What is searched for.
    pub search: &'a mut String,
    /// Only those of this type; none for all.
    pub type_code: &'a mut Option<String>,
}

/// Search and type of a register; true where other rows are to be shown.
pub fn search_by_type<'l>(
    ui: &mut Ui,
    field: TextField,
    wanted: &mut Wanted,
    of_types: impl Iterator<Item = &'l str>,
    keys: Keys,
) -> bool {
    let outcome = field.width(300.0).show(ui, wanted.search);
    let mut is_other = searched(ui, &outcome, keys);
    let mut types: Vec<&str> = of_types.collect();
    types.sort_unstable();
    types.dedup();
    if types.len() > 1 {
        let words: Vec<String> = std::iter::once("All types")
            .chain(types.iter().copied())
            .map(str::to_owned)
            .collect();
        let at = |code: &String| types.iter().position(|t| t == code).map(|i| i + 1);
        let mut chosen = wanted.type_code.as_ref().and_then(at).unwrap_or(0);
        if small::unfold(ui, "Type", &words, &mut chosen) {
            *wanted.type_code = (chosen > 0).then(|| words[chosen].clone());
            is_other = true;
        }
    }
    is_other
}

/// How many of all rows are shown, where some are not.
pub fn shown_of(ui: &mut Ui, shown: usize, all: usize) {
    if shown != all {
        text::note(ui, &format!("{shown} of {all} shown"));
    }
}

/// What the record holds of a thing.
#[derive(Debug)]
pub struct Recorded<'a> {
    /// What it is, by the register.
    pub entity: &'static str,
    /// Its number here.
    pub no: ThingNo,
    /// What people call it.
    pub code: &'a str,
    /// Whether it is on hold.
    pub is_held: bool,
    /// What happened to it.
    pub journal: &'a [JournalLine],
    /// What is kept with it.
    pub documents: &'a [Document],
}

/// The end of a page: hold tag, the way to what happened, the record, pictures and papers.
pub fn record_ui(
    ui: &mut Ui,
    cx: &Cx,
    thing: &Recorded,
    pictures: &mut Pictures,
    commands: &mut Vec<Command>,
) {
    widgets::rule(ui);
    ui.add_space(space::XS);
    if thing.is_held {
        let words = "Print its hold tag";
        if small::link(ui, words, words).clicked() {
            let route = Route::Documents(What::Tag, Some(thing.no));
            commands.push(Command::Go(route));
        }
    }
    let words = "Tell what happened, or change the record";
    if small::link(ui, words, words).clicked() {
        commands.extend(Route::register_of(thing.entity, thing.no).map(Command::Go));
    }
    ui.add_space(space::S);
    commands.extend(what_happened(ui, thing.code, thing.journal).map(Command::Go));
    if !thing.documents.is_empty() {
        ui.add_space(space::M);
        widgets::heading(ui, "Pictures and papers", "newest first");
        pictures_ui(ui, cx, thing.documents, pictures, commands);
    }
}
