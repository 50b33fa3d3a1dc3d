//! Growth by stand and place: a small interval plot for each row pair, against the mean of all.

use std::collections::BTreeSet;

use calc::wear::{Contrast, MeanRate, Why};
use draw::tokens::space;
use draw::{Align, Token};
use egui::{Color32, Rect, Shape, Ui, pos2, vec2};
use store::entry::{LengthUnit, Show};
use store::query::{Grown, PlaceGrowth, StandGrowth, TypeGrowth};

use super::StandsModel;
use super::place::PlaceView;
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::command::Command;
use crate::win::route::Route;

/// Width of a plot at most and at least, and how far its axis keeps from its sides: half a number of the axis.
const PLOT: (f32, f32) = (140.0, 300.0);
/// What stands before the plots, with the gaps between all columns.
const BEFORE: f32 = 330.0;
const INSET: f32 = 24.0;
/// Said where the fit of the shop is still under way.
pub const BEING_WORKED_OUT: &str = "The wear of the shop is being worked out ...";
const PAIRS: [Token; 3] = [Token::P1, Token::P2, Token::P3];

/// All types, each with its stands; `toggled` are the stands that were opened or closed by hand. What is known of the
/// place that is chosen stands in the panel.
pub fn growth_ui(
    ui: &mut Ui,
    show: Show,
    model: &StandsModel,
    toggled: &mut BTreeSet<String>,
    chosen: &mut PlaceView,
    commands: &mut Vec<Command>,
) {
    widgets::heading(
        ui,
        "Growth by stand and place",
        &format!("12 months, {} per 1,000 h", show.unit.sign()),
    );
    let Some(worn) = &model.worn else {
        widgets::rule(ui);
        ui.add_space(space::XS);
        text::say(ui, Face::BODY.muted(), BEING_WORKED_OUT);
        ui.add_space(space::L);
        return;
    };
    if worn.growth.is_empty() {
        widgets::rule(ui);
        ui.add_space(space::XS);
        let words = match model.no_wear() {
            Some(none) if none.why != Why::NothingGrown => {
                "No growth counts so far: a stand stands here as soon as that of one bearing does."
            }
            _ => {
                "No clearance was read twice in the last 12 months: a stand stands here as soon as one bearing of it was."
            }
        };
        text::say(ui, Face::BODY.muted(), words);
        ui.add_space(space::L);
        return;
    }
    for (i, of_type) in worn.growth.iter().enumerate() {
        table(ui, show, model, of_type, toggled, chosen);
        if i == 0 {
            let words = "Mark and bar: mean and 95 % interval of the stays measured; one stay alone has no bar. Upright \
                         line: mean of all stays of the type. Press a stand for its places, a place for what is known.";
            ui.add_space(space::XS);
            text::note(ui, words);
        }
        ui.add_space(space::S);
        let mut places = of_type.stands.iter().flat_map(|s| &s.places);
        let shown = chosen.shown(model).map(str::to_owned);
        if let Some(place) = places.find(|p| Some(p.code.as_str()) == shown.as_deref()) {
            stays(ui, show, model, &place.code, commands);
        }
    }
    slower(ui, show, model);
    ui.add_space(space::L);
}

/// Places that stand out as faster, whole or with one row pair.
fn alarms(model: &StandsModel) -> BTreeSet<&str> {
    contrasts(model)
        .filter(|c| c.is_alarm())
        .map(|c| c.stand.as_str())
        .collect()
}

fn contrasts(model: &StandsModel) -> impl Iterator<Item = &Contrast> {
    model
        .wear()
        .into_iter()
        .flat_map(|wear| &wear.review.contrasts)
}

fn table(
    ui: &mut Ui,
    show: Show,
    model: &StandsModel,
    of_type: &TypeGrowth,
    toggled: &mut BTreeSet<String>,
    chosen: &mut PlaceView,
) {
    let loud = alarms(model);
    let top = axis_top(of_type, show);
    let plots = plots(of_type);
    let mean = rate(show, of_type.mean);
    ui.add_space(space::S);
    text::line(
        ui,
        &[
            (Face::STRONG, &of_type.bearing_type),
            (Face::NOTE, &format!("  mean of all stays {mean}")),
        ],
    );
    let mut all = vec![
        Col::left("stand", 130.0),
        Col::right("stays", 50.0),
        Col::right("all rows", 70.0),
    ];
    let heads = [1, 2, 3].map(|pair| show.pair_name(pair));
    let room = (ui.available_width() - BEFORE) / 3.0;
    let width = room.clamp(PLOT.0, PLOT.1).floor();
    if plots == 1 {
        all.push(Col::left("clearance of the bearing", PLOT.1));
    } else {
        all.extend(heads.iter().map(|head| Col::left(head, width)));
    }
    let columns = Columns::new(all);
    columns.header(ui);
    let mut stands: Vec<&StandGrowth> = of_type.stands.iter().collect();
    stands.sort_by(|a, b| b.mean.total_cmp(&a.mean));
    for stand in stands {
        let is_loud = stand.places.iter().any(|p| loud.contains(p.code.as_str()));
        let is_open = is_loud != toggled.contains(&stand.code);
        let name = format!(
            "{}: {}; {}",
            stand.code,
            words(show, stand.stays, &stand.pairs),
            if is_open {
                "places shown"
            } else {
                "places hidden"
            }
        );
        let shown = columns.row(ui, &Row::reading(name).clickable(true), |cells| {
            cells
                .value(&stand.code)
                .text(&stand.stays.to_string())
                .text(&rate(show, stand.mean));
            for (i, pair) in stand.pairs.iter().enumerate().take(plots) {
                cells.ui(|ui| plot(ui, show, (i, pair.as_ref()), (of_type.mean, top), false));
            }
        });
        if shown.clicked() && !toggled.remove(&stand.code) {
            toggled.insert(stand.code.clone());
        }
        if is_open {
            for place in &stand.places {
                let scale = (of_type.mean, top, plots);
                let is_chosen = chosen.shown(model) == Some(place.code.as_str());
                if place_row(ui, show, model, &columns, (place, is_chosen), scale) {
                    chosen.choose(&place.code);
                }
            }
        }
    }
    axis(ui, &columns, show, (top, plots));
}

/// How many plots stand beside each other: one for each row pair, or one where a bearing has one clearance.
fn plots(of_type: &TypeGrowth) -> usize {
    let mut stands = of_type.stands.iter();
    if stands.all(|stand| stand.pairs[1..].iter().all(Option::is_none)) {
        1
    } else {
        3
    }
}

fn place_row(
    ui: &mut Ui,
    show: Show,
    model: &StandsModel,
    columns: &Columns<'_>,
    (place, is_chosen): (&PlaceGrowth, bool),
    (mean, top, plots): (f64, f64, usize),
) -> bool {
    let out = |pair: usize| {
        contrasts(model).any(|c| {
            let is_pair = c.row_pair.is_none_or(|p| p as usize == pair + 1);
            c.is_alarm() && c.stand == place.code && is_pair && c.row_pair.is_some()
        })
    };
    let is_loud = contrasts(model).any(|c| c.is_alarm() && c.stand == place.code);
    let name = format!("{}: {}", place.code, words(show, place.stays, &place.pairs));
    let mut row = Row::reading(name).clickable(true).chosen(is_chosen);
    if is_loud {
        row = row.ground(Token::DoubtTint);
    }
    let shown = columns.row(ui, &row, |cells| {
        let code = format!("   {}", place.code);
        if is_loud {
            cells.value(&code);
        } else {
            cells.text(&code);
        }
        cells.text(&place.stays.to_string()).skip();
        for (i, pair) in place.pairs.iter().enumerate().take(plots) {
            cells.ui(|ui| plot(ui, show, (i, pair.as_ref()), (mean, top), out(i)));
        }
    });
    shown.clicked()
}

/// What a row says to somebody who does not see it.
fn words(show: Show, stays: usize, pairs: &[Option<MeanRate>; 3]) -> String {
    let each: Vec<String> = pairs
        .iter()
        .enumerate()
        .filter_map(|(i, pair)| {
            let pair = pair.as_ref()?;
            let within = pair.interval.map_or_else(
                || "one stay".to_owned(),
                |(low, high)| format!("{} to {}", rate(show, low), rate(show, high)),
            );
            let is_one = pairs.iter().flatten().count() == 1;
            let rows = if is_one {
                "all rows".to_owned()
            } else {
                show.pair_name(i + 1)
            };
            Some(format!("{rows} {} ({within})", rate(show, pair.mean)))
        })
        .collect();
    format!(
        "{}, {}",
        crate::print::counted(stays, "stay"),
        each.join(", ")
    )
}

/// µm as a length.
pub(super) fn rate(show: Show, um: f64) -> String {
    show.length((um * 1_000.0).round() as i64)
}

/// The end of the axis: a round number of the shown unit, over every mark and most of the bars.
fn axis_top(of_type: &TypeGrowth, show: Show) -> f64 {
    let places = of_type.stands.iter().flat_map(|s| &s.places);
    let pairs = places.flat_map(|p| p.pairs.iter().flatten());
    let top = pairs
        .map(|p| {
            // A bar may lead beyond the axis, but not one whose lower half already shows that it is real.
            let high = p.interval.map_or(p.mean, |(_, high)| high);
            high.min(p.mean * 1.7).max(p.mean * 1.15)
        })
        .fold(of_type.mean * 2.0, f64::max);
    let step = match show.unit {
        LengthUnit::Millimetre => 50.0,
        LengthUnit::Inch => 50.8,
    };
    (top / step).ceil().max(1.0) * step
}

fn across(rect: Rect, um: f64, top: f64) -> f32 {
    rect.left() + (um / top).clamp(0.0, 1.0) as f32 * rect.width()
}

fn plot(
    ui: &mut Ui,
    show: Show,
    (pair, rate_of): (usize, Option<&MeanRate>),
    (mean, top): (f64, f64),
    is_out: bool,
) {
    let rect = ui.max_rect().shrink2(vec2(INSET, 0.0));
    let painter = ui.painter();
    painter.vline(
        across(rect, mean, top).round() + 0.5,
        rect.y_range(),
        theme::stroke(ui, 1.0, Token::Ink),
    );
    let Some(found) = rate_of else { return };
    let (y, token) = (rect.center().y.round(), PAIRS[pair]);
    let width = if is_out { 3.0 } else { 1.5 };
    let mut left = across(rect, found.mean, top);
    if let Some((low, high)) = found.interval {
        let (low_x, high_x) = (across(rect, low, top), across(rect, high, top));
        left = low_x;
        painter.hline(low_x..=high_x, y + 0.5, theme::stroke(ui, width, token));
        for (x, um) in [(low_x, low), (high_x, high)] {
            if (0.0..=top).contains(&um) {
                painter.vline(x, y - 4.0..=y + 5.0, theme::stroke(ui, width, token));
            } else {
                // A bar that goes on beyond the axis ends in an arrow.
                let ahead = if um > top { 6.0 } else { -6.0 };
                let corners = [vec2(ahead, 0.5), vec2(0.0, -4.5), vec2(0.0, 5.5)];
                let corners = corners.map(|by| pos2(x, y) + by).to_vec();
                painter.add(Shape::convex_polygon(
                    corners,
                    theme::color(ui, token),
                    egui::Stroke::NONE,
                ));
            }
        }
    }
    let x = across(rect, found.mean, top);
    let size = if is_out { 5.0 } else { 4.0 };
    mark(ui, pair, pos2(x, y + 0.5), size);
    if is_out {
        let words = rate(show, found.mean);
        let own = text::width(ui, Face::STRONG, &words);
        let face = Face::STRONG.token(token);
        let baseline = y + 6.0;
        if left - 6.0 - own > rect.left() {
            text::silent(ui, pos2(left - 6.0, baseline), Align::Right, face, &words);
        } else {
            let right = found
                .interval
                .map_or(x, |(_, high)| across(rect, high, top));
            text::silent(ui, pos2(right + 6.0, baseline), Align::Left, face, &words);
        }
    }
}

/// Dot, square, triangle: the row pairs are told apart without colour too.
fn mark(ui: &Ui, pair: usize, at: egui::Pos2, r: f32) {
    let color: Color32 = theme::color(ui, PAIRS[pair]);
    let painter = ui.painter();
    match pair {
        0 => {
            painter.circle_filled(at, r, color);
        }
        1 => {
            painter.rect_filled(
                Rect::from_center_size(at, vec2(1.8 * r, 1.8 * r)),
                0.0,
                color,
            );
        }
        _ => {
            let corners = vec![
                at + vec2(0.0, -1.2 * r),
                at + vec2(1.1 * r, 0.9 * r),
                at + vec2(-1.1 * r, 0.9 * r),
            ];
            painter.add(Shape::convex_polygon(corners, color, egui::Stroke::NONE));
        }
    }
}

/// The numbers below the plots, each below its tick.
fn axis(ui: &mut Ui, columns: &Columns<'_>, show: Show, (top, plots): (f64, usize)) {
    columns.row(
        ui,
        &Row::reading(format!("axis from 0 to {}", rate(show, top))),
        |cells| {
            cells.skip().skip().skip();
            for _ in 0..plots {
                cells.ui(|ui| {
                    let rect = ui.max_rect().shrink2(vec2(INSET, 0.0));
                    let y = rect.center().y + 5.0;
                    for um in [0.0, top / 2.0, top] {
                        let x = across(rect, um, top).round();
                        let tick = rect.top()..=rect.top() + 5.0;
                        let stroke = theme::stroke(ui, 1.0, Token::Muted);
                        ui.painter().vline(x + 0.5, tick, stroke);
                        let words = if um > 0.0 { rate(show, um) } else { "0".into() };
                        text::silent(ui, pos2(x, y), Align::Centre, Face::NOTE, &words);
                    }
                });
            }
        },
    );
}

/// The stays at a place that stands out, newest first.
fn stays(ui: &mut Ui, show: Show, model: &StandsModel, place: &str, commands: &mut Vec<Command>) {
    let Some(wear) = model.wear() else { return };
    let mut own: Vec<&Grown> = wear.grown.iter().filter(|g| g.position == place).collect();
    own.sort_by_key(|g| (std::cmp::Reverse(g.at.ms), g.pair));
    let mut events: Vec<i64> = own.iter().map(|g| g.event).collect();
    events.dedup();
    widgets::heading(
        ui,
        &format!("The stays at {place}"),
        &format!(
            "clearance found and growth per 1,000 h, {}",
            show.unit.sign()
        ),
    );
    let rows = [1, 2, 3].map(|pair| show.pair_name(pair));
    let columns = Columns::new(vec![
        Col::left("torn down", 96.0),
        Col::left("bearing", 110.0),
        Col::left("chock", 70.0),
        Col::right("hours", 60.0),
        Col::right(&rows[0], 116.0),
        Col::right(&rows[1], 116.0),
        Col::right(&rows[2], 116.0),
    ]);
    columns.header(ui);
    for event in events.into_iter().take(8) {
        let pairs: [Option<&Grown>; 3] = std::array::from_fn(|i| {
            own.iter()
                .find(|g| g.event == event && g.pair == i + 1)
                .copied()
        });
        let Some(first) = pairs.iter().flatten().next() else {
            continue;
        };
        let cell = |g: Option<&Grown>| {
            g.map_or_else(String::new, |g| {
                let per = rate(show, g.grown_um / g.hours * 1_000.0);
                format!("{} \u{b7} {per}", show.length(g.found_nm))
            })
        };
        let [a, b, c] = pairs.map(cell);
        let hours = show.grouped(first.hours.round() as i64);
        let name = format!(
            "Open the sheet of {} of {}: {} in {}, {hours} h, {a}, {b}, {c}",
            first.serial,
            first.at.date(),
            first.serial,
            first.chock
        );
        let row = Row::reading(name).clickable(true);
        let shown = columns.row(ui, &row, |cells| {
            cells
                .text(&first.at.date())
                .value(&first.serial)
                .text(&first.chock)
                .text(&hours)
                .text(&a)
                .text(&b)
                .text(&c);
        });
        if shown.clicked() {
            commands.push(Command::Go(Route::Event(event)));
        }
    }
    ui.add_space(space::M);
}

/// Slower is no alarm; it is said all the same.
fn slower(ui: &mut Ui, show: Show, model: &StandsModel) {
    let told: Vec<String> = contrasts(model)
        .filter(|c| c.is_reported() && !c.is_alarm())
        .filter_map(|c| {
            let times = show.decimals((c.ratio? * 10.0).round() as i64, 10, 1);
            let what = c.row_pair.map_or_else(String::new, |pair| {
                format!("{} at ", show.pair_name(pair as usize))
            });
            Some(format!("{what}{} ({times} times)", c.stand))
        })
        .collect();
    if !told.is_empty() {
        let words = format!("Slower than the others, no alarm: {}.", told.join(", "));
        text::note(ui, &words);
    }
}
