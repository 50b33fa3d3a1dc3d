//! What comes due by the day of a shutdown, and what was spent.

use calc::wear::chance_words;
use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::Stamp;
use store::entry::Show;
use store::query::{Standing, StandsPage};
use store::time::DAY_MS;

use super::StandsModel;
use super::growth::BEING_WORKED_OUT;
use super::view::StandsView;
use crate::ui::focus;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Col, Columns, Outcome, Row, TextField};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::Cx;

/// Path of the field for the day of a shutdown.
const SHUTDOWN: &str = "stands/shutdown";

/// What comes due, or near its limit, by a day.
pub(super) fn shutdown(
    ui: &mut Ui,
    cx: &Cx,
    model: &StandsModel,
    view: &mut StandsView,
    commands: &mut Vec<Command>,
) {
    widgets::heading(
        ui,
        "At the next shutdown",
        "what is better changed while the mill stands",
    );
    widgets::rule(ui);
    ui.add_space(space::S);
    widgets::caption(ui, "day of the shutdown");
    let hint = Stamp::second(cx.now.ms + 28 * DAY_MS, cx.now.offset_min).date();
    let outcome = TextField::new(SHUTDOWN, "Day of the shutdown")
        .hint(&hint)
        .width(180.0)
        .show(ui, &mut view.shutdown);
    if let Outcome::Commit(step) = outcome {
        focus::pass_on(ui.ctx(), SHUTDOWN, step);
    }
    ui.add_space(space::S);
    let typed = view.shutdown.trim();
    let day = if typed.is_empty() {
        hint.as_str()
    } else {
        typed
    };
    let Some(at) = Stamp::parse(day, cx.now.offset_min) else {
        text::say(
            ui,
            Face::BODY.token(Token::Fail),
            "That is no day: type it as 2031-03-14.",
        );
        ui.add_space(space::L);
        return;
    };
    let days = (cx.now.end_of_day(at.ms) - cx.now.ms).div_euclid(DAY_MS);
    let Some(worn) = &model.worn else {
        text::say(ui, Face::BODY.muted(), BEING_WORKED_OUT);
        ui.add_space(space::L);
        return;
    };
    let mut due: Vec<_> = worn
        .due
        .iter()
        .filter(|line| line.due.days <= days.max(0))
        .collect();
    due.sort_by_key(|line| line.due.days);
    let columns = Columns::new(vec![
        Col::left("chock", 70.0),
        Col::left("bearing", 110.0),
        Col::left("position", 90.0),
        Col::left("why", 290.0),
        Col::rest("limit before the next teardown"),
    ]);
    if days < 0 {
        text::say(
            ui,
            Face::BODY,
            &format!("{day} is over: what is late by now stands here."),
        );
    }
    if due.is_empty() {
        text::say(ui, Face::BODY, &format!("Nothing comes due by {day}."));
    } else {
        let in_mill = due.iter().filter(|line| !line.position.is_empty()).count();
        let words = format!(
            "{} by {day}: {in_mill} in the mill, {} ready beside it.",
            crate::print::counted(due.len(), "chock"),
            due.len() - in_mill
        );
        text::say(ui, Face::STRONG, &words);
        columns.header(ui);
    }
    for line in due {
        let chance = model.wear().and_then(|wear| {
            let rows = wear.of(&line.bearing.1).map(|row| wear.chance(row));
            rows.max_by(f64::total_cmp)
        });
        let when = match (line.due.standing, line.due.days) {
            (Standing::Early, _) => "early teardown asked for".to_owned(),
            (Standing::Forecast, ..=0) => "a limit may be passed now".to_owned(),
            (Standing::Forecast, n) => format!("a limit may be passed in {}", in_days(n)),
            (Standing::Extended, n) => format!("past its interval, extended for {}", in_days(n)),
            (Standing::Overdue | Standing::Explained, _) => "past its interval".to_owned(),
            (Standing::Coming, ..=0) => "due now".to_owned(),
            (Standing::Coming, n) => format!("due in {}", in_days(n)),
        };
        let limit = chance
            .filter(|c| *c > 1.0 / 6.0)
            .map_or_else(String::new, chance_words);
        let place = match line.position.as_str() {
            "" => "ready",
            code => code,
        };
        let after = if limit.is_empty() {
            ""
        } else {
            "; a limit before the next teardown: "
        };
        let name = format!(
            "{} with {} at {place}: {when}{after}{limit}",
            line.chock.1, line.bearing.1
        );
        let row = Row::reading(name).clickable(true);
        let shown = columns.row(ui, &row, |cells| {
            cells
                .value(&line.chock.1)
                .text(&line.bearing.1)
                .text(place)
                .text(&when)
                .text(&limit);
        });
        if shown.clicked() {
            commands.push(Command::Go(Route::Bearing(line.bearing.0)));
        }
    }
    ui.add_space(space::L);
}

fn in_days(n: i64) -> String {
    crate::print::counted(usize::try_from(n).unwrap_or(0), "day")
}

/// What was spent, against hours and tonnes.
pub(super) fn cost(ui: &mut Ui, show: Show, page: &StandsPage) {
    widgets::heading(ui, "Cost", "as entered with each thing");
    widgets::rule(ui);
    let Some(cost) = &page.cost else {
        let words =
            "No cost was entered yet. It is entered on the page of the thing it was spent for.";
        ui.add_space(space::XS);
        text::say(ui, Face::BODY.muted(), words);
        return;
    };
    let money = |minor: i64| show.money(minor);
    let per = |amount: i64, of: i64| {
        if of > 0 {
            money((cost.spent_minor as f64 * amount as f64 / of as f64).round() as i64)
        } else {
            "\u{2013}".to_owned()
        }
    };
    let hours = format!("{} h of all campaigns", show.hours(cost.run_s));
    // On a four-high stand a tonne runs between four rolls: counted at each of them it would be four.
    let rolled = format!(
        "{} kt, each counted once{}",
        show.kilotonnes(cost.rolled_kg),
        counted_at(&cost.counted_at)
    );
    widgets::key_value(ui, "in all", &money(cost.spent_minor), "");
    widgets::key_value(ui, "per 1,000 h", &per(3_600_000, cost.run_s), &hours);
    widgets::key_value(ui, "per 1,000 t", &per(1_000_000, cost.rolled_kg), &rolled);
}

/// Where the tonnes were counted.
fn counted_at(places: &[String]) -> String {
    match places {
        [] => String::new(),
        [one] => format!(", at {one}, which rolled the most"),
        all => format!(
            ", at the place of each line that rolled the most: {}",
            all.join(", ")
        ),
    }
}
