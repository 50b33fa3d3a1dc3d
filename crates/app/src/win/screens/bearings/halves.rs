//! The other half of a cylindrical bearing: which it stays with, and those it ran with. The clearance is that of the two.

use draw::tokens::space;
use egui::Ui;
use store::Stamp;
use store::entry::Show;
use store::query::{BearingPage, Halves, Together};

use crate::ui::text;
use crate::ui::text::Face;
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::route::Route;
use crate::win::screens::log::small;

/// Times together that the page shows; the journal has all.
const SHOWN: usize = 12;

/// The halves of the bearing, with links to the others; answers where to go.
pub fn halves_ui(ui: &mut Ui, page: &BearingPage, show: Show) -> Option<Route> {
    let halves = page.halves.as_ref()?;
    let mut go = None;
    let (other, own) = if halves.is_inner {
        ("outer half", "on a neck")
    } else {
        ("inner half", "in a chock")
    };
    widgets::heading(ui, &format!("Together with its {other}"), "newest first");
    for words in sentences(page, halves, own, show) {
        text::say(ui, Face::BODY, &words);
    }
    if let Some((no, code)) = &halves.kept {
        let words = format!("Open {code}");
        if small::link(ui, &words, &words).clicked() {
            go = Some(Route::Bearing(*no));
        }
    }
    if halves.together.is_empty() {
        return go;
    }
    ui.add_space(space::XS);
    let columns = Columns::new(vec![
        Col::left(other, 120.0),
        Col::left("from", 96.0),
        Col::left("to", 96.0),
        Col::right("mill hours", 96.0),
        Col::right("campaigns", 96.0),
        Col::right("clearance", 104.0),
        Col::rest("on, in"),
    ]);
    columns.header(ui);
    for (index, one) in halves.together.iter().take(SHOWN).enumerate() {
        let shown = ui.push_id(("together", index), |ui| {
            columns.row(
                ui,
                &Row::reading(name(one, show)).clickable(true),
                |cells| {
                    cells
                        .value(&one.with.1)
                        .text(&day(one.from_ms))
                        .text(&day(one.to_ms))
                        .text(&show.hours(one.run_s))
                        .text(&one.campaigns.to_string())
                        .text(&clearance(one, show))
                        .note(&format!("{}, {}", one.roll, one.chock));
                },
            )
        });
        if shown.inner.clicked() {
            go = Some(Route::Bearing(one.with.0));
        }
    }
    let more = halves.together.len().saturating_sub(SHOWN);
    if more > 0 {
        text::note(ui, &format!("and {more} times before"));
    }
    ui.add_space(space::M);
    go
}

/// Which half it stays with, its own hours, and the hours of the two together.
fn sentences(page: &BearingPage, halves: &Halves, own: &str, show: Show) -> Vec<String> {
    let mut all = Vec::new();
    let serial = &page.line.serial;
    all.push(match &halves.kept {
        Some((_, code)) => format!("{serial} is paired with {code}."),
        None => format!("{serial} is paired with none: it goes with any of its size."),
    });
    let own_h = show.hours(page.line.total_run_s);
    if let Some(last) = halves.together.first() {
        let with = &last.with.0;
        let both: i64 = halves
            .together
            .iter()
            .filter(|one| one.with.0 == *with)
            .map(|one| one.run_s)
            .sum();
        all.push(format!(
            "It ran last with {}: {} h together, of {own_h} h of its own {own}.",
            last.with.1,
            show.hours(both)
        ));
    } else {
        all.push(format!(
            "{own_h} h of its own {own}; no campaign together is entered."
        ));
    }
    all
}

fn day(ms: i64) -> String {
    Stamp::second(ms, 0).date()
}

fn clearance(one: &Together, show: Show) -> String {
    one.clearance
        .map_or_else(|| "\u{2013}".into(), |(nm, _)| show.length(nm))
}

fn name(one: &Together, show: Show) -> String {
    format!(
        "With {} from {} to {}: {} h, clearance {}",
        one.with.1,
        day(one.from_ms),
        day(one.to_ms),
        show.hours(one.run_s),
        clearance(one, show)
    )
}
