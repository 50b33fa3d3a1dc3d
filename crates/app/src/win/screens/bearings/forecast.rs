//! When each row pair of a bearing reaches its limit: the band in the plot, and the sentences below it.

use calc::wear::{Acceleration, Knowledge, RowForecast, State, Why, chance_words, told_hours};
use draw::growth::{BandPoint, Crossing, Forecast, Growth, Xy};
use draw::tokens::space;
use draw::{Mark, Pair};
use egui::Ui;
use store::entry::Show;
use store::query::{BearingPage, BearingState, NoWear, PairNow, ShopWear};

use crate::drawings::{in_unit, rows_name};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Col, Columns, Row};

/// Points of a band; it is nearly straight.
const POINTS: u32 = 24;
/// A forecast is drawn at most so far past its last teardown, h.
const DRAWN_H: f64 = 12_000.0;

/// What there is of the wear of the whole shop.
#[derive(Debug, Clone, Copy)]
pub enum Worked<'a> {
    /// It is being worked out.
    Underway,
    /// Nothing has grown yet.
    Nothing,
    /// There is growth, and no forecast all the same.
    Failed(&'a NoWear),
    /// It is here.
    Out(&'a ShopWear),
}

/// Adds what is expected to the plot against hours: a line for every pair, the band for the one that comes first.
pub fn add(growth: &mut Growth, wear: &ShopWear, serial: &str, show: Show) {
    let first = first(wear, serial);
    for row in wear.of(serial) {
        let is_first = first.is_some_and(|f| f.row_pair == row.row_pair);
        let forecast = drawn(row, wear.ahead_h(&row.bearing_type), is_first, show);
        let pair = usize::try_from(row.row_pair.saturating_sub(1)).unwrap_or(0);
        if let Some(series) = growth.series.get_mut(pair) {
            series.forecast = Some(forecast);
        }
    }
}

/// What is drawn of one row pair.
fn drawn(row: &RowForecast, ahead_h: f64, is_first: bool, show: Show) -> Forecast {
    let y = |um: f64| in_unit((um * 1_000.0).round() as i64, show.unit);
    let state = &row.state;
    let late = row.crossing_h[2].or(row.crossing_h[1]);
    let end = late
        .unwrap_or(0.0)
        .max(state.counter_h + ahead_h)
        .min(state.counter_h + DRAWN_H);
    let at = |i: u32| state.counter_h + (end - state.counter_h) * f64::from(i) / f64::from(POINTS);
    let points = |state: &State| -> Vec<(f64, [f64; 3])> {
        let all = (0..=POINTS).map(|i| (at(i), state.band_um(at(i)).map(y)));
        all.collect()
    };
    let middle = |state: &State| -> Vec<Xy> {
        let points = points(state).into_iter();
        points.map(|(x, [_, y, _])| Xy { x, y }).collect()
    };
    let band = points(state).into_iter().filter(|_| is_first);
    Forecast {
        line: middle(state),
        faster: row.if_it_goes_on.as_ref().map_or_else(Vec::new, middle),
        band: band
            .map(|(x, [low, _, high])| BandPoint { x, low, high })
            .collect(),
        crossing: crossing(row, end, show).filter(|_| is_first),
    }
}

/// The row pair that is expected to reach its limit first.
fn first<'a>(wear: &'a ShopWear, serial: &'a str) -> Option<&'a RowForecast> {
    let when = |row: &RowForecast| row.crossing_h[1].unwrap_or(f64::INFINITY);
    wear.of(serial).min_by(|a, b| when(a).total_cmp(&when(b)))
}

fn crossing(row: &RowForecast, end: f64, show: Show) -> Option<Crossing> {
    let [early, middle, late] = row.crossing_h;
    let (early, middle, late) = (early?, middle?, late?);
    (late <= end + 1.0).then(|| Crossing {
        level: in_unit((row.state.limit_um * 1_000.0).round() as i64, show.unit),
        early,
        middle,
        late,
        label: format!("{} to {} h", hours(early, show), hours(late, show)),
        hit: None,
    })
}

/// Counter hours as a forecast tells them: to 100 h.
pub fn hours(h: f64, show: Show) -> String {
    show.grouped(told_hours(h) as i64)
}

/// Hours from now until the first row pair reaches its limit, and which that is; none where it was found over a limit
/// already, was not measured yet, or where that is beyond what can be said.
pub fn until_limit(wear: &ShopWear, page: &BearingPage, show: Show) -> Option<(String, String)> {
    let serial = page.line.serial.as_str();
    let is_over = |pair: &PairNow| pair.now_nm.zip(pair.limit_nm).is_some_and(|(n, l)| n >= l);
    let row = first(wear, serial).filter(|row| row.knowledge() != Knowledge::OnlySimilar)?;
    if page.pairs.iter().any(is_over) {
        return None;
    }
    let now_h = *wear.counter_h.get(serial)?;
    let pair = usize::try_from(row.row_pair).unwrap_or(1);
    let limit = show.length((row.state.limit_um * 1_000.0).round() as i64);
    let kind = &page.bearing_type.kind;
    let (who, reach) = match crate::drawings::series(kind) {
        1 => ("its clearance".to_owned(), "reaches"),
        _ => (rows_name(kind, pair, show), "reach"),
    };
    Some(match left(row.crossing_h, now_h, show)? {
        Left::Hours(number) => (
            number,
            format!("until {who} {reach} {limit}, 9 times in 10"),
        ),
        Left::Behind => (
            "Probably over".to_owned(),
            format!("the limit {limit}: {who} by now, in more than 19 of 20 cases"),
        ),
    })
}

/// What is left of the way to a limit.
#[derive(Debug, PartialEq, Eq)]
enum Left {
    Hours(String),
    /// Its last reading was under the limit, but it has run on past the whole interval since.
    Behind,
}

/// What is left on a counter until it reaches a crossing; none where that is beyond what can be said.
fn left(crossing_h: [Option<f64>; 3], now_h: f64, show: Show) -> Option<Left> {
    let [early, _, late] = crossing_h;
    if late.is_some_and(|late| late <= now_h) {
        return Some(Left::Behind);
    }
    let hours = |h: f64| {
        let step = if h - now_h < 1_000.0 { 50.0 } else { 100.0 };
        (((h - now_h) / step).round() * step).max(0.0) as i64
    };
    Some(Left::Hours(match (hours(early?), late.map(hours)) {
        (early, None) => format!("More than {} h", show.grouped(early)),
        (_, Some(late)) if late < 100 => "Under 100 h".to_owned(),
        (early, Some(late)) if early < 50 => format!("Under {} h", show.grouped(late)),
        (early, Some(late)) => format!("{} to {} h", show.grouped(early), show.grouped(late)),
    }))
}

/// Room for the forecast of so many row pairs while it is worked out, so that nothing moves when it comes.
fn placeholder(ui: &mut Ui, rows: usize) {
    ui.add_space(space::M);
    widgets::heading(ui, "When the limit is reached", "");
    widgets::rule(ui);
    let room = text::strip(ui, room(rows) - 28.0 - 1.0 - space::M);
    let at = egui::pos2(room.left(), room.top() + 24.0);
    let words = "The wear of the shop is being worked out ...";
    text::at(ui, at, draw::Align::Left, Face::BODY.muted(), words);
}

/// Height of heading, table and the sentences below it.
fn room(rows: usize) -> f32 {
    let notes = 5.0 * 19.0;
    space::M + 28.0 + 26.0 + 30.0 * rows as f32 + space::XS + notes
}

/// What the readings allow to say, pair by pair, and what it rests on; of a bearing that was never measured nothing.
pub fn forecast_ui(ui: &mut Ui, wear: &Worked<'_>, page: &BearingPage, show: Show) {
    let count = crate::drawings::series(&page.bearing_type.kind);
    let wear = match wear {
        Worked::Out(wear) => wear,
        Worked::Underway if !page.growth.is_empty() => return placeholder(ui, count),
        Worked::Failed(none) if !page.growth.is_empty() => {
            ui.add_space(space::M);
            widgets::heading(ui, "When the limit is reached", "");
            widgets::rule(ui);
            ui.add_space(space::XS);
            text::note(ui, &no_forecast(none, &page.line.serial));
            return;
        }
        _ => return,
    };
    let top = ui.cursor().top();
    told_ui(ui, wear, page, show);
    let used = ui.cursor().top() - top;
    if used > 0.0 {
        ui.add_space((room(count) - used).max(0.0));
    }
}

/// Why there is no forecast of a bearing though clearances have grown.
fn no_forecast(none: &NoWear, serial: &str) -> String {
    if none.why == Why::NotFitted {
        return format!(
            "The wear of the shop could not be worked out, so there is no forecast ({}).",
            none.said
        );
    }
    let own = none.refused().filter(|(of, ..)| *of == serial).count();
    match own {
        0 => "No growth in the shop fits what is expected of its type, so there is no forecast: Today names the readings to \
              check."
            .to_owned(),
        n => format!(
            "{} of this bearing does not fit what is expected, and no other growth was measured: there is no forecast. \
             Look whether it was read and typed right.",
            if n == 1 { "A reading" } else { "What was read" }
        ),
    }
}

fn told_ui(ui: &mut Ui, wear: &ShopWear, page: &BearingPage, show: Show) {
    let serial = page.line.serial.as_str();
    let mut rows: Vec<&RowForecast> = wear.of(serial).collect();
    if rows.is_empty() {
        return;
    }
    rows.sort_by_key(|row| row.row_pair);
    ui.add_space(space::M);
    let ahead = wear.ahead_h(&rows[0].bearing_type);
    widgets::heading(
        ui,
        "When the limit is reached",
        &format!("in mill hours on its own counter, now {}", {
            let now = wear.counter_h.get(serial).copied().unwrap_or(0.0);
            hours(now, show)
        }),
    );
    let columns = Columns::new(vec![
        Col::left("rows", 62.0),
        Col::left("wears", 150.0),
        Col::right("around", 88.0),
        Col::right("9 in 10 between", 170.0),
        Col::rest_right("before next teardown"),
    ]);
    columns.header(ui);
    for row in &rows {
        let pair = usize::try_from(row.row_pair.saturating_sub(1))
            .unwrap_or(0)
            .min(2);
        let told = Told::of(row, wear, show);
        let row = rows.len();
        let name = format!(
            "Rows {}: {}, limit around {} h, 9 times in 10 between {} h, chance before the next teardown {}",
            name_of(row, pair, show),
            told.wears,
            told.around,
            told.between,
            told.chance
        );
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .pair(Pair::ALL[pair], &name_of(row, pair, show))
                .text(&told.wears)
                .value(&told.around)
                .text(&told.between)
                .text(&told.chance);
        });
    }
    ui.add_space(space::XS);
    let left_out = left_out_words(&rows, wear, show);
    let is_in_mill = page.line.state == BearingState::InMill;
    for sentence in rests_on(&rows, is_in_mill, ahead, show)
        .into_iter()
        .chain(left_out)
    {
        text::note(ui, &sentence);
    }
    warnings(ui, &rows, show);
}

/// A bearing with one clearance has no pairs of rows.
fn name_of(rows: usize, pair: usize, show: Show) -> String {
    if rows == 1 {
        "all".to_owned()
    } else {
        show.pair_rows(pair + 1)
    }
}

/// A row pair in words.
struct Told {
    wears: String,
    around: String,
    between: String,
    chance: String,
}

impl Told {
    fn of(row: &RowForecast, wear: &ShopWear, show: Show) -> Self {
        let far = || "beyond 30,000 h".to_owned();
        let end = |h: Option<f64>| h.map_or_else(|| "later".to_owned(), |h| hours(h, show));
        let wears = match row.knowledge() {
            Knowledge::OnlySimilar if is_left_out(row) => "reading left out".to_owned(),
            Knowledge::OnlySimilar => "not measured yet".to_owned(),
            Knowledge::WithinReadingError => "within reading error".to_owned(),
            _ => format!(
                "{} \u{d7} its peers",
                show.decimals((row.state.factor * 10.0).round() as i64, 10, 1)
            ),
        };
        Self {
            wears,
            around: row.crossing_h[1].map_or_else(far, |h| hours(h, show)),
            between: match row.crossing_h {
                [None, ..] => far(),
                [early, _, late] => format!("{} and {}", end(early), end(late)),
            },
            chance: chance_words(wear.chance(row)),
        }
    }
}

/// A reading of this row pair since it was set does not fit what is known, and the fit goes without it.
fn is_left_out(row: &RowForecast) -> bool {
    row.readings_excluded > 0
}

/// Which row pairs stand on less than was measured, and why.
fn left_out_words(rows: &[&RowForecast], wear: &ShopWear, show: Show) -> Option<String> {
    let own: Vec<&&RowForecast> = rows.iter().filter(|row| is_left_out(row)).collect();
    let names: Vec<String> = own
        .iter()
        .map(|row| name_of(rows.len(), row.row_pair.saturating_sub(1) as usize, show))
        .collect();
    if names.is_empty() {
        return None;
    }
    let which = if rows.len() == 1 {
        String::new()
    } else {
        format!(" of rows {}", names.join(", "))
    };
    let left_out = wear.review.improbable.iter();
    let mut of_own = left_out.filter(|found| {
        let source = wear.source(found.reading);
        source.is_some_and(|(serial, pair, _)| {
            own.iter()
                .any(|row| row.bearing == serial && row.row_pair == pair)
        })
    });
    let why = match of_own.find_map(|found| wear.loud_place(found.reading)) {
        Some(place) => format!(
            "it ran at {place}, which wears its bearings faster than other places: elsewhere it may wear as its peers do"
        ),
        None => "look whether that was read and typed right".to_owned(),
    };
    let words = if own.iter().map(|row| row.readings_excluded).sum::<usize>() > 1 {
        format!("Readings{which} do not fit what is known, and the forecast leaves them out")
    } else {
        format!("A reading{which} does not fit what is known, and the forecast leaves it out")
    };
    Some(format!("{words}: {why}."))
}

/// What a forecast rests on, and what it does not know.
fn rests_on(rows: &[&RowForecast], is_in_mill: bool, ahead: f64, show: Show) -> Vec<String> {
    let own = rows.iter().map(|row| row.readings_used).max().unwrap_or(0);
    let alike = rows[0].bearings_alike;
    let share = rows
        .iter()
        .map(|row| row.state.own_share())
        .fold(0.0, f64::max);
    let mut words = format!(
        "Rests on {} of this bearing since it was set and on {}; about {:.0} in 100 of what is known comes from its own \
         readings.",
        crate::print::counted(own, "reading"),
        crate::print::counted(alike, "similar bearing"),
        ((share * 20.0).round() * 5.0).clamp(5.0, 95.0)
    );
    if rows[0].is_assumed {
        words.push_str(" Too few bearings have been measured: how much they differ is assumed.");
    }
    let stand = match &rows[0].stand {
        Some(place) if is_in_mill => format!("if it stays at {place}"),
        Some(place) => format!("if it goes back to {place}"),
        None => "wherever it runs next".to_owned(),
    };
    vec![
        words,
        format!(
            "It holds {stand} and without sudden damage. The next teardown is counted as {} h after the last.",
            show.grouped(ahead as i64)
        ),
    ]
}

/// What is known if the faster wear goes on: of the row pair that is meant, of all of the one that comes first.
fn if_it_goes_on(rows: &[&RowForecast], found: &Acceleration) -> Option<State> {
    let meant = rows
        .iter()
        .filter(|row| found.row_pair.is_none_or(|pair| pair == row.row_pair));
    let when = |state: &State| state.crossing_h(0.5).unwrap_or(f64::INFINITY);
    let states = meant.filter_map(|row| row.if_it_goes_on);
    states.min_by(|a, b| when(a).total_cmp(&when(b)))
}

/// Faster wear than before, with what it would mean.
fn warnings(ui: &mut Ui, rows: &[&RowForecast], show: Show) {
    // The sign is that of the bearing: each of its row pairs carries it.
    let found = rows.iter().find_map(|row| row.acceleration);
    let Some(found) = found.filter(Acceleration::is_watched) else {
        return;
    };
    let which = match found.row_pair {
        Some(_) if rows.len() == 1 => "it".to_owned(),
        Some(pair) => show.pair_name(pair as usize),
        None => "all rows".to_owned(),
    };
    let if_so = if_it_goes_on(rows, &found).map(|state| {
        let end = |p: f64| {
            state
                .crossing_h(p)
                .map_or_else(|| "later".to_owned(), |h| hours(h, show))
        };
        format!(
            " If the faster wear goes on (short dashes), the limit comes between {} and {} h.",
            end(0.05),
            end(0.95)
        )
    });
    ui.add_space(space::XS);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        widgets::badge(ui, Mark::PassInDoubt, "faster wear?");
        let words = format!(
            "Since about {} h {which} may wear faster than before: measure again.{}",
            hours(found.onset_h, show),
            if_so.unwrap_or_default()
        );
        text::say(ui, Face::BODY, &words);
    });
}

#[cfg(test)]
mod tests;
