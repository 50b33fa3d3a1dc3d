//! What a bearing ran, what corrections moved, and how much of its rating life that is; beside the forecast of its
//! clearance, which decides.

use draw::tokens::space;
use egui::Ui;
use store::entry::Show;
use store::query::{BearingPage, Exposure, zone_numeral};

use crate::print::life::{SELDOM, life_sentences, moved_words, used_words};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::log::small;

/// Hours, tonnes, campaigns and days: since it was put in, by load zone, on record.
pub fn exposure_ui(ui: &mut Ui, page: &BearingPage, show: Show, commands: &mut Vec<Command>) {
    let all = &page.exposure;
    if all.whole.in_chock_ms == 0 {
        return;
    }
    ui.add_space(space::M);
    widgets::heading(ui, "Exposure", "from the campaigns of its chocks");
    let columns = Columns::new(vec![
        Col::left("", 104.0),
        Col::rest_right("hours"),
        Col::rest_right("kt"),
        Col::rest_right("campaigns"),
        Col::rest_right("days"),
    ]);
    columns.header(ui);
    let mut row = |name: &str, of: &Exposure| {
        let cells = [
            show.hours(of.run_s),
            show.kilotonnes(of.rolled_kg),
            show.grouped(of.campaigns),
            show.grouped(of.days()),
        ];
        let told = format!(
            "{name}: {} h, {} thousand tonnes, {} campaigns, {} days{}",
            cells[0],
            cells[1],
            cells[2],
            cells[3],
            if of.has_estimate {
                ", some of it an estimate"
            } else {
                ""
            }
        );
        columns.row(ui, &Row::reading(told), |row| {
            let mark = if of.has_estimate { " est." } else { "" };
            row.text(&format!("{name}{mark}"));
            for cell in &cells {
                row.text(cell);
            }
        });
    };
    if let Some(stay) = &all.stay {
        row("this stay", stay);
    }
    for (zone, of) in (1_i64..).zip(&all.zones) {
        if of.in_chock_ms > 0 {
            row(&format!("zone {}", zone_numeral(zone)), of);
        }
    }
    // Hours from before the record have no campaigns: the headline counts them, this table cannot.
    let is_all = all.whole.run_s == page.line.total_run_s;
    row(if is_all { "in all" } else { "on record" }, &all.whole);
    if all.whole.has_estimate {
        ui.add_space(space::XS);
        text::note(
            ui,
            "est.: some of it is a sum or a guess, as its campaign says.",
        );
    }
    for moved in &page.moved {
        ui.add_space(space::XS);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = space::S;
            text::say(ui, Face::NOTE, &moved_words(moved, show));
            let name = format!("Open the correction of {}", moved.at.date());
            if small::link(ui, "Open it", &name).clicked() {
                commands.push(Command::Go(Route::Event(moved.amendment)));
            }
        });
    }
}

/// The share of its rating life, with what it rests on.
pub fn life_ui(ui: &mut Ui, page: &BearingPage, show: Show) {
    let sentences = life_sentences(&page.life, show);
    if sentences.is_empty() {
        return;
    }
    ui.add_space(space::M);
    widgets::heading(ui, "Rating life used", "fatigue of the material, ISO 281");
    if let Some(used) = used_words(&page.life, show) {
        text::say(ui, Face::VALUE, &used);
        ui.add_space(space::XS);
    }
    for sentence in &sentences {
        text::note(ui, sentence);
    }
    if page.life.used().is_some() {
        ui.add_space(space::XS);
        text::note(ui, SELDOM);
    }
}
