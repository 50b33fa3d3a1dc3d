//! Draws the stands.

use std::collections::BTreeSet;

use calc::wear::{Acceleration, Contrast, chance_words};
use draw::Mark;
use draw::tokens::space;
use egui::Ui;
use store::entry::Show;
use store::query::{LifeLine, ShopWear, StandsPage};

use super::StandsModel;
use super::growth::{BEING_WORKED_OUT, growth_ui};
use super::place::{PlaceView, place_panel};
use super::shutdown::{cost, shutdown};
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::command::Command;
use crate::win::route::{Route, SetupPage};
use crate::win::screens::Cx;
use crate::win::screens::bearings::forecast::hours;
use crate::win::screens::log::small;

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct StandsView {
    pub(super) shutdown: String,
    /// Stands whose places were shown or hidden by hand.
    toggled: BTreeSet<String>,
    /// The place whose panel is shown.
    place: PlaceView,
}

/// The stands.
pub fn stands_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &StandsModel,
    view: &mut StandsView,
    commands: &mut Vec<Command>,
) {
    if model
        .worn
        .as_ref()
        .is_some_and(|worn| !worn.growth.is_empty())
    {
        place_panel(ui, cx, model, &mut view.place, commands);
    }
    frames::page_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        if model.page.stands.is_empty() {
            let words = "Each stand will stand here with the wear of its bearings beside that of the others. First \
                         register stands, positions and chocks.";
            if widgets::empty_page(ui, "No stand is registered yet.", words, Some("Open Setup")) {
                commands.push(Command::Go(Route::Setup(SetupPage::Stands, None)));
            }
            return;
        }
        outliers(ui, cx, model, commands);
        let (toggled, place) = (&mut view.toggled, &mut view.place);
        growth_ui(ui, cx.show, model, toggled, place, commands);
        quiet(ui, model, commands);
        factors(ui, &model.page);
        lives(ui, cx.show, &model.page.lives);
        spares(ui, &model.page);
        shutdown(ui, cx, model, view, commands);
        cost(ui, cx.show, &model.page);
    });
}

/// What is out of the ordinary, each in a sentence.
fn outliers(ui: &mut Ui, cx: &Cx, model: &StandsModel, commands: &mut Vec<Command>) {
    widgets::heading(ui, "Out of the ordinary", "");
    widgets::rule(ui);
    ui.add_space(space::XS);
    let Some(wear) = model.wear() else {
        let words = if model.worn.is_some() {
            "Nothing has been measured twice yet: wear is compared once the first bearings come back."
        } else {
            BEING_WORKED_OUT
        };
        text::say(ui, Face::BODY.muted(), words);
        ui.add_space(space::L);
        return;
    };
    let mut is_quiet = true;
    for contrast in wear.review.contrasts.iter().filter(|c| c.is_alarm()) {
        is_quiet = false;
        sentence(
            ui,
            Mark::Fail,
            "look for the cause",
            &contrast_words(contrast, cx.show),
        );
    }
    let mut told: Vec<&str> = Vec::new();
    for row in &wear.review.rows {
        let Some(found) = row.acceleration.filter(Acceleration::is_alarm) else {
            continue;
        };
        if told.contains(&row.bearing.as_str()) {
            continue;
        }
        told.push(&row.bearing);
        is_quiet = false;
        let since = cx
            .show
            .grouped(calc::wear::told_hours(found.onset_h) as i64);
        let words = format!(
            "{} may wear faster since about {since} h: measure again.",
            row.bearing
        );
        sentence(ui, Mark::PassInDoubt, "faster wear?", &words);
        open(
            ui,
            &row.bearing,
            wear.bearings.get(&row.bearing).copied(),
            commands,
        );
    }
    is_quiet &= improbable(ui, cx.show, wear, commands);
    if is_quiet {
        text::say(
            ui,
            Face::BODY,
            "No stand, no row pair and no bearing differs from the others by more than chance.",
        );
    } else {
        let words = "Times as fast are fitted to all readings: few stays are drawn towards the mean of all, so that they \
                     come out smaller than the means of the plots below.";
        text::note(ui, words);
    }
    ui.add_space(space::L);
}

/// Readings that do not fit, bearing by bearing; true where there is none.
fn improbable(ui: &mut Ui, show: Show, wear: &ShopWear, commands: &mut Vec<Command>) -> bool {
    let questions = wear.questions();
    for found in &questions {
        let (serial, rows) = (&found.serial, show.pair_name(found.pair as usize));
        let expected = show.length((found.expected_um * 1_000.0) as i64);
        let unit = show.unit.sign();
        let words = match found.count {
            1 => format!(
                "A reading of {serial}, {rows}, does not fit its others: about {expected} {unit} was expected. \
                 It is left out of the comparison."
            ),
            n => format!(
                "{n} readings of {serial} do not fit its others, the last of {rows}, where about {expected} \
                 {unit} was expected. They are left out of the comparison."
            ),
        };
        sentence(ui, Mark::PassInDoubt, "check the entry", &words);
        let name = format!("Open the entry of {serial}, {rows}");
        if small::link(ui, "Open the entry", &name).clicked() {
            commands.push(Command::Go(Route::Event(found.event)));
        }
        ui.add_space(space::XS);
    }
    questions.is_empty()
}

fn open(ui: &mut Ui, serial: &str, no: Option<store::ThingNo>, commands: &mut Vec<Command>) {
    if let Some(no) = no {
        let words = format!("Bearing {serial}");
        if small::link(ui, &words, &words).clicked() {
            commands.push(Command::Go(Route::Bearing(no)));
        }
        ui.add_space(space::XS);
    }
}

fn sentence(ui: &mut Ui, mark: Mark, word: &str, words: &str) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::M;
        widgets::badge(ui, mark, word);
        text::say(ui, Face::BODY, words);
    });
    ui.add_space(space::XS);
}

/// "Rows 1–2 at F4-W-B-O wears 1.6 times as fast as the other rows there; by chance ... about 1 in 400".
fn contrast_words(contrast: &Contrast, show: Show) -> String {
    let who = match contrast.row_pair {
        Some(pair) => format!(
            "Rows {} at {}",
            show.pair_rows(pair as usize),
            contrast.stand
        ),
        None => format!("What runs at {}", contrast.stand),
    };
    let than = match contrast.row_pair {
        Some(_) => "as the other rows there",
        None => "as at the other positions",
    };
    let wears = if contrast.row_pair.is_some() {
        "wear"
    } else {
        "wears"
    };
    let faster = match contrast.ratio {
        Some(ratio) => format!(
            "{wears} {} times as fast {than}",
            show.decimals((ratio * 10.0).round() as i64, 10, 1)
        ),
        None => format!("{wears} faster {than}"),
    };
    format!(
        "{who} {faster}; by chance: {}.",
        chance_words(contrast.p_holm)
    )
}

/// Places from which no bearing was torn down yet.
fn quiet(ui: &mut Ui, model: &StandsModel, commands: &mut Vec<Command>) {
    let mut others = model.page.stands.iter().filter(|line| line.teardowns == 0);
    let count = others.clone().count();
    let Some(first) = others.next() else { return };
    let words = format!(
        "{} without a bearing torn down from there yet",
        crate::print::counted(count, "position")
    );
    if small::link(ui, &words, &format!("{words}, such as {}", first.code)).clicked() {
        commands.push(Command::Go(Route::Setup(SetupPage::Stands, None)));
    }
    ui.add_space(space::L);
}

/// The same damage in one place more often than chance makes it.
fn factors(ui: &mut Ui, page: &StandsPage) {
    let about = match page.modes_seen {
        0 => "no damage was seen often enough to compare".to_owned(),
        1 => "1 kind of damage compared by stand, position, chock, bearing, roll and seal batch"
            .to_owned(),
        n => format!(
            "{n} kinds of damage compared by stand, position, chock, bearing, roll and seal batch"
        ),
    };
    widgets::heading(ui, "Damage with something in common", &about);
    widgets::rule(ui);
    ui.add_space(space::XS);
    for line in &page.factors {
        let words = format!(
            "{}: {} of {} teardowns of {} {}; elsewhere {} of {}. By chance: {}. A suspicion to check, no \
             proof.",
            line.mode,
            line.here.0,
            line.here.1,
            line.factor,
            line.code,
            line.elsewhere.0,
            line.elsewhere.1,
            chance_words(line.chance)
        );
        sentence(ui, Mark::PassInDoubt, "in common", &words);
    }
    if page.factors.is_empty() {
        text::say(ui, Face::BODY, "Nothing stands out beyond chance.");
    }
    ui.add_space(space::L);
}

/// How long bearings last; with few failures only what is known.
fn lives(ui: &mut Ui, show: Show, lives: &[LifeLine]) {
    widgets::heading(
        ui,
        "Field life",
        "cracked, spalled, broken, seized; all others count as running",
    );
    let columns = Columns::new(vec![
        Col::left("type", 250.0),
        Col::right("bearings", 80.0),
        Col::right("failed", 70.0),
        Col::right("hours in all", 110.0),
        Col::rest("one in ten failed by"),
    ]);
    columns.header(ui);
    for life in lives {
        let hours = |h: f64| hours(h, show);
        let words = match &life.fit {
            None => format!("no failures in {} bearing hours", hours(life.total_h)),
            Some(fit) if life.failures < 3 => {
                format!(
                    "about {} h; too few failures for an interval",
                    hours(fit.b10())
                )
            }
            Some(fit) => format!(
                "about {} h; shape {} ({})",
                hours(fit.b10()),
                show.decimals((fit.shape * 10.0).round() as i64, 10, 1),
                if fit.shape < 1.0 {
                    "early failures"
                } else {
                    "wear"
                }
            ),
        };
        let name = format!(
            "{}: {} bearings, {} failed, {words}",
            life.bearing_type, life.bearings, life.failures
        );
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .text(&life.bearing_type)
                .text(&life.bearings.to_string())
                .text(&life.failures.to_string())
                .text(&hours(life.total_h))
                .text(&words);
        });
    }
    ui.add_space(space::L);
}

/// If one fails tonight, what goes in.
fn spares(ui: &mut Ui, page: &StandsPage) {
    widgets::heading(ui, "Spares", "if one fails tonight, what goes in");
    let columns = Columns::new(vec![
        Col::left("type", 250.0),
        Col::right("at work", 80.0),
        Col::right("new", 70.0),
        Col::right("ready", 70.0),
        Col::right("on hold", 80.0),
        Col::right("away", 70.0),
        Col::right("not known where", 130.0),
        Col::rest(""),
    ]);
    columns.header(ui);
    for spare in page
        .spares
        .iter()
        .filter(|s| s.at_work + s.new + s.ready + s.held + s.away + s.unknown > 0)
    {
        let short = spare.least.is_some_and(|least| spare.new < least);
        let word = if spare.new + spare.ready == 0 {
            "nothing to put in".to_owned()
        } else if short {
            format!("fewer new ones than {}", spare.least.unwrap_or(0))
        } else {
            String::new()
        };
        let name = format!(
            "{}: {} at work, {} new, {} ready, {} on hold, {} away, {} not known where {word}",
            spare.bearing_type,
            spare.at_work,
            spare.new,
            spare.ready,
            spare.held,
            spare.away,
            spare.unknown
        );
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .text(&spare.bearing_type)
                .text(&spare.at_work.to_string())
                .text(&spare.new.to_string())
                .text(&spare.ready.to_string())
                .text(&spare.held.to_string())
                .text(&spare.away.to_string())
                .text(&spare.unknown.to_string());
            if word.is_empty() {
                cells.skip();
            } else {
                cells.badge(Mark::Fail, &word);
            }
        });
    }
    ui.add_space(space::L);
}
