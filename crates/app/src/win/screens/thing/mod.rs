//! One thing of the register that has no page of its own kind: roll, gauge, position, stand, seal batch, grease.

#[cfg(test)]
mod tests;

use draw::Mark;
use draw::tokens::space;
use egui::Ui;
use store::ThingNo;
use store::query::{ThingPage, thing_page};

use super::bearings::gone;
use super::event::pictures::{Pictures, pictures_ui};
use super::log::event_line::what_happened;
use super::log::{nothing_yet, small};
use super::{Cx, Heading, Screen};
use crate::drawings::stand_scene;
use crate::print::What;
use crate::ui::keys::Action;
use crate::ui::text::{self, Face};
use crate::ui::{frames, paint, widgets};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::snapshot::Settings;
use crate::win::worker::{Topic, Worker};

/// The sort of thing that has a document of its own.
const GAUGE: &str = "gauge";

/// One thing.
#[derive(Debug)]
pub struct ThingScreen {
    no: ThingNo,
    model: Topic<ThingNo, Option<ThingPage>>,
    pictures: Pictures,
}

impl ThingScreen {
    /// The thing of this number here.
    pub fn new(no: ThingNo) -> Self {
        Self {
            no,
            model: Topic::default(),
            pictures: Pictures::default(),
        }
    }
}

impl Screen for ThingScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.model.refresh(worker, &self.no, |logbook, no| {
            let show = Settings::read(logbook)?.show;
            thing_page(logbook.connection(), *no, logbook.now(), show)
        });
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(page)) => Heading::new(page.code.clone(), page.sort.clone()),
            _ => Heading::new("Thing", ""),
        }
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(page)) => thing_ui(ui, cx, page, &mut self.pictures, commands),
            Some(None) => gone(ui, "There is no such thing in this logbook."),
            None => nothing_yet(ui, self.model.load()),
        }
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        let page = self.model.value().map(AsRef::as_ref);
        let is_gauge = matches!(page, Some(Some(page)) if page.entity == GAUGE);
        if action == Action::Print && is_gauge {
            commands.push(print_gauge(self.no));
        }
    }
}

fn print_gauge(gauge: ThingNo) -> Command {
    Command::Go(Route::Documents(What::Gauge, Some(gauge)))
}

/// What it is, where it is, what is beside it, what happened.
pub fn thing_ui(
    ui: &mut Ui,
    cx: &Cx,
    page: &ThingPage,
    pictures: &mut Pictures,
    commands: &mut Vec<Command>,
) {
    frames::page_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = space::XL;
            if small::link(ui, "Back", "Back").clicked() {
                commands.push(Command::Back);
            }
            let words = "Tell what happened, or change the record";
            if small::link(ui, words, words).clicked() {
                commands.extend(Route::register_of(&page.entity, page.no).map(Command::Go));
            }
            let words = if page.journal.iter().any(|l| l.kind == "gauge_found_out") {
                "What its error touched"
            } else {
                "Its calibrations and uses"
            };
            if page.entity == GAUGE && small::link(ui, words, words).clicked() {
                commands.push(Command::Go(Route::Gauge(page.no)));
            }
            let words = "Print its hold tag";
            if page.is_held && small::link(ui, words, words).clicked() {
                commands.push(Command::Go(Route::Documents(What::Tag, Some(page.no))));
            }
            let words = "Print its calibrations and readings";
            if page.entity == GAUGE && small::link(ui, words, words).clicked() {
                commands.push(print_gauge(page.no));
            }
        });
        ui.add_space(space::M);
        for (i, sentence) in page.state.iter().enumerate() {
            if page.is_stopped && i == 0 {
                ui.horizontal(|ui| {
                    ui.set_row_height(32.0);
                    ui.spacing_mut().item_spacing.x = space::M;
                    widgets::badge(ui, Mark::Fail, "not to be used");
                    text::say(ui, Face::BODY, sentence);
                });
            } else if page.is_in_doubt && i == 0 {
                ui.horizontal(|ui| {
                    ui.set_row_height(32.0);
                    ui.spacing_mut().item_spacing.x = space::M;
                    widgets::badge(ui, Mark::FailInDoubt, "in doubt");
                    text::say(ui, Face::BODY, sentence);
                });
            } else {
                text::say(ui, Face::BODY, sentence);
                ui.add_space(space::XS);
            }
        }
        ui.add_space(space::M);
        widgets::rule(ui);
        for (head, cell) in &page.facts {
            widgets::key_value(ui, head, cell, "");
        }
        ui.add_space(space::M);
        if let Some(stand) = &page.stand {
            let lit = Some(page.no).filter(|_| page.entity == "position");
            if let Some(scene) = stand_scene(stand, lit, ui.available_width().floor()) {
                widgets::heading(ui, &format!("Stand {}", stand.code), &stand.build);
                let clicked = paint::scene(ui, &scene).clicked;
                let no = clicked.and_then(|key| i64::try_from(key).ok()).map(ThingNo);
                commands.extend(
                    no.filter(|no| *no != page.no)
                        .map(|no| Command::Go(Route::Thing(no))),
                );
                ui.add_space(space::M);
            }
        }
        if !page.beside.is_empty() {
            let head = match page.entity.as_str() {
                "position" => "Chocks here, now and before",
                "roll" => "On it now",
                "seal_batch" => "Chocks that carry it",
                "grease" => "Chocks filled with it",
                _ => "What goes with it",
            };
            widgets::heading(ui, head, "");
            widgets::rule(ui);
            beside(ui, &page.beside, commands);
            ui.add_space(space::M);
        }
        if !page.documents.is_empty() {
            widgets::heading(ui, "Pictures and papers", "newest first");
            pictures_ui(ui, cx, &page.documents, pictures, commands);
        }
        commands.extend(what_happened(ui, &page.code, &page.journal).map(Command::Go));
    });
}

/// So many stand one below the other; more share rows.
const BELOW_MAX: usize = 6;

/// What goes with it, each a link.
fn beside(ui: &mut Ui, all: &[(ThingNo, String, String)], commands: &mut Vec<Command>) {
    let width = |ui: &Ui, words: &str| text::width(ui, Face::NOTE_STRONG, words).ceil();
    let widest = all.iter().map(|(.., words)| width(ui, words));
    let pitch = widest.fold(0.0, f32::max) + space::XL;
    let in_row = match all.len() {
        0..=BELOW_MAX => 1,
        _ => ((ui.available_width() + space::XL) / pitch)
            .floor()
            .max(1.0) as usize,
    };
    for row in all.chunks(in_row) {
        ui.add_space(space::XS);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            let left = ui.cursor().left();
            for (at, (no, entity, words)) in row.iter().enumerate() {
                ui.add_space(left + at as f32 * pitch - ui.cursor().left());
                if small::link(ui, words, &format!("Open {words}")).clicked() {
                    commands.extend(Route::of_thing(entity, *no).map(Command::Go));
                }
            }
        });
    }
}
