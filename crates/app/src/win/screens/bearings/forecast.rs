//! When each row pair of a bearing reaches its limit: the band in the plot, and the sentences below it.

use calc::wear::{Acceleration, Knowledge, RowForecast, chance_words, told_hours};
use draw::growth::{BandPoint, Crossing, Forecast, Growth, Xy};
use draw::tokens::space;
use draw::{Mark, Pair};
use egui::Ui;
use store::entry::Show;
use store::query::ShopWear;

use crate::drawings::in_unit;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Col, Columns, Row};

/// Points of a band; it is nearly straight.
const POINTS: u32 = 24;
/// A forecast is drawn at most so far past its last teardown, h.
const DRAWN_H: f64 = 12_000.0;

/// Adds what is expected to the plot against hours: a line for every pair, the band for the one that comes first.
pub fn add(growth: &mut Growth, wear: &ShopWear, serial: &str, show: Show) {
    let y = |um: f64| in_unit((um * 1_000.0).round() as i64, show.unit);
    let first = first(wear, serial);
    for row in wear.of(serial) {
        let state = &row.state;
        let ahead = wear.ahead_h(&row.bearing_type);
        let late = row.crossing_h[2].or(row.crossing_h[1]);
        let end = late
            .unwrap_or(0.0)
            .max(state.counter_h + ahead)
            .min(state.counter_h + DRAWN_H);
        let at =
            |i: u32| state.counter_h + (end - state.counter_h) * f64::from(i) / f64::from(POINTS);
        let is_first = first.is_some_and(|f| f.row_pair == row.row_pair);
        let points: Vec<(f64, [f64; 3])> = (0..=POINTS)
            .map(|i| (at(i), state.band_um(at(i))))
            .collect();
        let forecast = Forecast {
            line: points
                .iter()
                .map(|(x, band)| Xy {
                    x: *x,
                    y: y(band[1]),
                })
                .collect(),
            band: points
                .iter()
                .filter(|_| is_first)
                .map(|(x, band)| BandPoint {
                    x: *x,
                    low: y(band[0]),
                    high: y(band[2]),
                })
                .collect(),
            crossing: crossing(row, end, show).filter(|_| is_first),
        };
        let pair = usize::try_from(row.row_pair.saturating_sub(1)).unwrap_or(0);
        if let Some(series) = growth.series.get_mut(pair) {
            series.forecast = Some(forecast);
        }
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

/// What the readings allow to say, pair by pair, and what it rests on.
pub fn forecast_ui(ui: &mut Ui, wear: Option<&ShopWear>, serial: &str, show: Show) {
    let Some(wear) = wear else {
        return;
    };
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
        let told = Told::of(row, wear.chance(row), show);
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
    for sentence in rests_on(&rows, wear, ahead, show) {
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
    fn of(row: &RowForecast, chance: f64, show: Show) -> Self {
        let far = || "beyond 30,000 h".to_owned();
        let end = |h: Option<f64>| h.map_or_else(|| "later".to_owned(), |h| hours(h, show));
        let wears = match row.knowledge() {
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
            chance: chance_words(chance),
        }
    }
}

/// What a forecast rests on, and what it does not know.
fn rests_on(rows: &[&RowForecast], wear: &ShopWear, ahead: f64, show: Show) -> Vec<String> {
    let own = rows.iter().map(|row| row.readings_used).max().unwrap_or(0);
    let alike = rows[0].bearings_alike;
    let share = rows
        .iter()
        .map(|row| row.state.own_share())
        .fold(0.0, f64::max);
    let mut words = format!(
        "Rests on {own} readings of this bearing since it was set and on {alike} similar bearings; about {:.0} in 100 of \
         what is known comes from its own readings.",
        (share * 20.0).round() * 5.0
    );
    if wear.review.is_assumed {
        words.push_str(" Too few bearings have been measured: how much they differ is assumed.");
    }
    let stand = match &rows[0].stand {
        Some(place) => format!("if it stays at {place}"),
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

/// Faster wear than before, with what it would mean.
fn warnings(ui: &mut Ui, rows: &[&RowForecast], show: Show) {
    let alarm = rows
        .iter()
        .find_map(|row| Some((row, row.acceleration.filter(Acceleration::is_watched)?)));
    let Some((row, found)) = alarm else { return };
    let which = match found.row_pair {
        Some(pair) => show.pair_name(pair as usize),
        None => "all rows".to_owned(),
    };
    let if_so = row.if_it_goes_on.map(|state| {
        let end = |p: f64| {
            state
                .crossing_h(p)
                .map_or_else(|| "later".to_owned(), |h| hours(h, show))
        };
        format!(
            " If the faster wear goes on, the limit comes between {} and {} h.",
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
