//! Draws the stands.

use std::collections::BTreeSet;

use calc::wear::{Acceleration, Contrast, Why, chance_words};
use draw::Mark;
use draw::tokens::space;
use egui::Ui;
use store::entry::Show;
use store::query::{DueLine, FailedBy, LifeLine, NoWear, Question, SpareLine, StandsPage};

use super::StandsModel;
use super::growth::{BEING_WORKED_OUT, growth_ui};
use super::headline::{contrast_words, finding, headline, loud};
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
        lives(ui, cx.show, &model.page.lives, commands);
        spares(
            ui,
            &model.page,
            model.worn.as_ref().map_or(&[], |worn| &worn.due),
        );
        shutdown(ui, cx, model, view, commands);
        cost(ui, cx.show, &model.page);
    });
}

/// What stands under a heading that has nothing to show.
fn nothing_yet(ui: &mut Ui, words: &str) {
    widgets::rule(ui);
    ui.add_space(space::XS);
    text::say(ui, Face::BODY.muted(), words);
    ui.add_space(space::L);
}

/// What is out of the ordinary: the finding of the page, then the rest, each in a sentence.
fn outliers(ui: &mut Ui, cx: &Cx, model: &StandsModel, commands: &mut Vec<Command>) {
    let Some(wear) = model.wear() else {
        widgets::heading(ui, "Out of the ordinary", "");
        let Some(none) = model.no_wear() else {
            let words = if model.worn.is_some() {
                NOTHING_GROWN
            } else {
                BEING_WORKED_OUT
            };
            return nothing_yet(ui, words);
        };
        let asked = none.questions();
        if none.why != Why::AllRefused || asked.is_empty() {
            return nothing_yet(ui, &no_wear_words(none));
        }
        widgets::rule(ui);
        ui.add_space(space::XS);
        text::say(ui, Face::BODY, &no_wear_words(none));
        improbable(ui, cx.show, &asked, commands);
        ui.add_space(space::L);
        return;
    };
    let first = finding(model, cx.now, cx.show);
    if let Some(first) = &first {
        headline(ui, first);
    }
    let is_told = |c: &Contrast| first.as_ref().is_some_and(|f| f.place == c.stand);
    let others: Vec<&Contrast> = loud(model).into_iter().filter(|c| !is_told(c)).collect();
    let is_accelerating = |row: &calc::wear::RowForecast| {
        row.acceleration
            .as_ref()
            .is_some_and(Acceleration::is_alarm)
    };
    let has_more = !others.is_empty()
        || wear.review.rows.iter().any(is_accelerating)
        || !wear.questions().is_empty();
    if first.is_some() && !has_more {
        return;
    }
    widgets::heading(ui, "Out of the ordinary", "");
    widgets::rule(ui);
    ui.add_space(space::XS);
    if first.is_none() && !has_more {
        let places = places_measured(model);
        if places < 2 {
            let words = "Only one place was measured in the last 12 months: there is no other to compare it with.";
            text::say(ui, Face::BODY, words);
        }
        text::say(
            ui,
            Face::BODY,
            "No stand, no row pair and no bearing differs from the others by more than chance.",
        );
    }
    for contrast in others {
        let words = format!(
            "At {}, {}; by chance: {}.",
            contrast.stand,
            contrast_words(contrast, cx.show),
            chance_words(contrast.p_holm)
        );
        sentence(ui, Mark::Fail, "look for the cause", &words);
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
    improbable(ui, cx.show, &wear.questions(), commands);
    ui.add_space(space::L);
}

/// Nothing to compare yet.
const NOTHING_GROWN: &str =
    "Nothing has been measured twice yet: wear is compared once the first bearings come back.";

/// Why there is nothing to compare.
pub(super) fn no_wear_words(none: &NoWear) -> String {
    match none.why {
        Why::NothingGrown => NOTHING_GROWN.to_owned(),
        Why::AllRefused => "No growth that was measured fits what is expected of its type, so nothing is compared and \
                            nothing is forecast. Check these entries first."
            .to_owned(),
        Why::NotFitted => format!(
            "The wear of the shop could not be worked out: {}. What was measured stands as it is.",
            none.said
        ),
    }
}

/// How many places any bearing was torn down from in the last twelve months.
fn places_measured(model: &StandsModel) -> usize {
    let growth = model.worn.iter().flat_map(|worn| &worn.growth);
    let stands = growth.flat_map(|of_type| &of_type.stands);
    let places = stands.flat_map(|stand| &stand.places);
    places
        .map(|place| place.code.as_str())
        .collect::<std::collections::BTreeSet<_>>()
        .len()
}

/// Readings that do not fit, bearing by bearing.
fn improbable(ui: &mut Ui, show: Show, asked: &[Question], commands: &mut Vec<Command>) {
    for found in asked {
        let serial = &found.serial;
        let rows = match found.pair {
            0 => String::new(),
            pair => format!(", {}", show.pair_name(pair as usize)),
        };
        let expected = show.length((found.expected_um * 1_000.0) as i64);
        let unit = show.unit.sign();
        let meant = found.meant_um.map_or_else(String::new, |um| {
            let length = show.length_unit((um * 1_000.0).round() as i64);
            format!("; perhaps {length} was meant")
        });
        let words = match (found.count, found.pair) {
            (1, 0) => format!(
                "A reading of {serial} does not fit its others: about {expected} {unit} was expected{meant}. It is left \
                 out of the comparison."
            ),
            (1, _) => format!(
                "A reading of {serial}{rows}, does not fit its others: about {expected} {unit} was expected{meant}. \
                 It is left out of the comparison."
            ),
            (n, 0) => format!(
                "{n} readings of {serial} do not fit its others; at the last about {expected} {unit} was \
                 expected{meant}. They are left out of the comparison."
            ),
            (n, pair) => format!(
                "{n} readings of {serial} do not fit its others, the last of {}, where about {expected} \
                 {unit} was expected{meant}. They are left out of the comparison.",
                show.pair_name(pair as usize)
            ),
        };
        sentence(ui, Mark::PassInDoubt, "check the entry", &words);
        let name = format!("Open the entry of {serial}{rows}");
        if small::link(ui, "Open the entry", &name).clicked() {
            commands.push(Command::Go(Route::Event(found.event)));
        }
        ui.add_space(space::XS);
    }
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
        n => format!(
            "{} by stand, position, chock, bearing, roll, seal batch",
            crate::print::counted(n, "kind")
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
    if page.looks > 0 {
        let looks = page.looks;
        let words = format!(
            "Looked {looks} times: each kind of damage seen three times or more, by each factor. Exact tests, their chances \
             corrected for all {looks}."
        );
        text::note(ui, &words);
    }
    ui.add_space(space::L);
}

/// How long bearings last; with few failures only what is known.
fn lives(ui: &mut Ui, show: Show, lives: &[LifeLine], commands: &mut Vec<Command>) {
    widgets::heading(
        ui,
        "Field life",
        "cracked, spalled, broken, seized; all others count as running",
    );
    if lives.is_empty() {
        return nothing_yet(
            ui,
            "How long bearings last is told here once the first of them has run.",
        );
    }
    let columns = Columns::new(vec![
        Col::left("type", 222.0),
        Col::right("bearings", 72.0),
        Col::right("failed", 62.0),
        Col::right("hours in all", 102.0),
        Col::left("one in ten failed by", 180.0),
        Col::rest("shape"),
    ]);
    columns.header(ui);
    for life in lives {
        let hours = |h: f64| hours(h, show);
        let tenths = |value: f64| show.decimals((value * 10.0).round() as i64, 10, 1);
        let words = match &life.fit {
            None if life.failed.is_empty() => "not known: none failed".to_owned(),
            None => "not known: no curve fits".to_owned(),
            Some(fit) => match fit.intervals {
                None => format!("about {} h", hours(fit.b10())),
                Some(within) => {
                    let [low, high] = within.b10.map(hours);
                    format!("{} h ({low} to {high})", hours(fit.b10()))
                }
            },
        };
        let shape = match life.fit.as_ref().map(|fit| (fit.shape, fit.intervals)) {
            None => String::new(),
            Some((_, None)) => "too few failures".to_owned(),
            Some((shape, Some(within))) => {
                let [low, high] = within.shape.map(tenths);
                format!("{} ({low} to {high})", tenths(shape))
            }
        };
        let in_all = show.grouped(life.total_h.round() as i64);
        let name = format!(
            "{}: {} bearings, {} failed, {} bearing hours; one in ten failed by: {words}; shape: {shape}",
            life.bearing_type,
            life.bearings,
            life.failed.len(),
            in_all
        );
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .text(&life.bearing_type)
                .text(&life.bearings.to_string())
                .text(&life.failed.len().to_string())
                .text(&in_all)
                .text(&words)
                .text(&shape);
        });
    }
    if lives.iter().any(|life| life.fit.is_some()) {
        let words = "Weibull, those still running counted as such. Shape below 1: early failures; above 1: wear. In brackets \
                     95 in 100; below three failures no interval is worth printing.";
        ui.add_space(space::XS);
        text::note(ui, words);
    }
    who_failed(ui, lives, commands);
    ui.add_space(space::L);
}

/// Which bearings count as failed, and what says so: whoever disagrees amends the sheet.
fn who_failed(ui: &mut Ui, lives: &[LifeLine], commands: &mut Vec<Command>) {
    let mut all = lives.iter().flat_map(|life| &life.failed).peekable();
    if all.peek().is_none() {
        return;
    }
    ui.add_space(space::XS);
    text::say(ui, Face::STRONG, "Counted as failed");
    for failed in all {
        let serial = &failed.bearing.1;
        let words = match &failed.by {
            FailedBy::Sheet(found) => format!("by the sheet after its last campaign: {found}."),
            FailedBy::Words(why) => {
                format!(
                    "no sheet after its last campaign; scrapped with the words \u{201c}{why}\u{201d}."
                )
            }
        };
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = space::S;
            if small::link(ui, serial, &format!("Bearing {serial}, counted as failed")).clicked() {
                commands.push(Command::Go(Route::Bearing(failed.bearing.0)));
            }
            text::say(ui, Face::BODY, &words);
        });
    }
}

/// If one fails tonight, what goes in.
fn spares(ui: &mut Ui, page: &StandsPage, due: &[DueLine]) {
    widgets::heading(ui, "Spares", "if one fails tonight, what goes in");
    let is_there = |s: &&SpareLine| s.at_work + s.new + s.ready + s.held + s.away + s.unknown > 0;
    if !page.spares.iter().any(|spare| is_there(&spare)) {
        return nothing_yet(ui, "No bearing is left or registered.");
    }
    let columns = Columns::new(vec![
        Col::left("type", 220.0),
        Col::right("in mill", 48.0),
        Col::right("in chocks", 64.0),
        Col::right("in shop", 50.0),
        Col::right("new", 36.0),
        Col::right("on hold", 50.0),
        Col::right("away", 40.0),
        Col::right("where?", 44.0),
        Col::rest("tonight"),
    ]);
    columns.header(ui);
    for spare in page.spares.iter().filter(is_there) {
        let (mark, word) = tonight(spare);
        let name = format!(
            "{}: {} in the mill, {} in ready chocks, {} in the shop, {} new, {} on hold, {} away, {} not known where: {word}",
            spare.bearing_type,
            spare.in_mill,
            spare.in_ready_chocks(),
            spare.ready,
            spare.new,
            spare.held + spare.in_held,
            spare.away,
            spare.unknown
        );
        let counts = [
            spare.in_mill,
            spare.in_ready_chocks(),
            spare.ready,
            spare.new,
            spare.held + spare.in_held,
            spare.away,
            spare.unknown,
        ];
        columns.row(ui, &Row::reading(name), |cells| {
            cells.text(&spare.bearing_type);
            for count in counts {
                cells.text(&count.to_string());
            }
            match mark {
                Some(mark) => cells.badge(mark, &word),
                None => cells.text(&word),
            };
        });
    }
    if let Some(words) = not_tonight(due) {
        ui.add_space(space::XS);
        text::note(ui, &words);
    }
    ui.add_space(space::L);
}

/// The ready chocks that are due themselves: counted above, and no spares all the same.
fn not_tonight(due: &[DueLine]) -> Option<String> {
    let by_now = |line: &&DueLine| line.position.is_empty() && line.due.days <= 0;
    let mut told: Vec<String> = due
        .iter()
        .filter(by_now)
        .map(|line| format!("{} with {}", line.chock.1, line.bearing.1))
        .collect();
    told.sort();
    let list = (!told.is_empty()).then(|| told.join(", "))?;
    Some(format!(
        "Not tonight, due or perhaps past a limit by now though ready: {list}."
    ))
}

/// What goes in tonight, and whether that is short.
fn tonight(spare: &SpareLine) -> (Option<Mark>, String) {
    let least = spare.least.filter(|least| spare.new < *least);
    let stands_in = if spare.is_inner { "roll" } else { "chock" };
    match (spare.in_ready_chocks(), spare.ready + spare.new, least) {
        // Registered and never entered: it may well be there.
        (0, 0, _) if spare.unknown > 0 => (Some(Mark::Missing), "not known where".to_owned()),
        (0, 0, _) => (Some(Mark::Fail), "nothing to put in".to_owned()),
        (0, _, Some(_)) => (Some(Mark::Fail), format!("no ready {stands_in}")),
        (_, _, Some(_)) => (Some(Mark::Fail), "ready, few new".to_owned()),
        (0, _, None) => (Some(Mark::PassInDoubt), format!("no ready {stands_in}")),
        (_, _, None) => (None, format!("ready {stands_in}")),
    }
}

#[cfg(test)]
mod tests {
    use store::query::Clock;

    use super::*;
    use crate::win::screens::today::tests::due;

    #[test]
    fn a_ready_chock_that_is_due_itself_is_named_and_no_other() {
        let late = |chock: &str| due(chock, Clock::Run, 1_142 * 3_600, 1_000 * 3_600, 0);
        let beside = |mut line: DueLine| {
            line.position.clear();
            line
        };
        let coming = beside(due("WC-40", Clock::Run, 900 * 3_600, 1_000 * 3_600, 5));
        assert_eq!(not_tonight(&[late("WC-14"), coming.clone()]), None);
        let told = not_tonight(&[
            beside(late("WC-31")),
            late("WC-14"),
            coming,
            beside(late("PW-06")),
        ]);
        assert_eq!(
            told.as_deref(),
            Some(
                "Not tonight, due or perhaps past a limit by now though ready: PW-06 with TH-4T-030, WC-31 with TH-4T-030."
            )
        );
    }
}
