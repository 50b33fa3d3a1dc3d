//! The page of one bearing: its state, its one number, rings, growth, and what happened.

use calc::wear::Why;
use draw::tokens::space;
use draw::{Pair, Theme, Token};
use egui::{Rect, Sense, Ui, UiBuilder, pos2, vec2};
use store::Logbook;
use store::entry::Show;
use store::query::{BearingPage, BearingState, ShopWear, bearing_page};
use store::{Stamp, ThingNo};

use super::findings::findings;
use super::forecast::Worked;
use super::plot::{self, Axis};
use super::save::{Saving, save_ui};
use super::verdicts::badge_of;
use super::{forecast, headline, life};
use crate::bench::from_bearing;
use crate::drawings;
use crate::print::{self, PrintJob};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Col, Columns, Kind, Row, badge_at};
use crate::ui::{frames, paint, theme};
use crate::win::command::{Command, WhatIf};
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::event::pictures::Pictures;
use crate::win::screens::log::small;
use crate::win::screens::parts::{Recorded, record_ui};
use crate::win::snapshot::Settings;
use crate::win::wear::Wear;
use crate::win::work::Work;

/// What the page shows.
#[derive(Debug, Clone)]
pub struct PageModel {
    /// The bearing.
    pub page: BearingPage,
    /// End of the chain, for the print.
    pub anchor: String,
    /// Said on the print.
    pub is_demo: bool,
}

impl PageModel {
    /// Reads it; none where there is no such bearing.
    ///
    /// # Errors
    /// What the store says.
    pub fn read(logbook: &Logbook, bearing: ThingNo) -> store::Result<Option<Self>> {
        let show = Settings::read(logbook)?.show;
        let Some(page) = bearing_page(logbook.connection(), bearing, logbook.now(), show)? else {
            return Ok(None);
        };
        let anchor = logbook.anchor()?.unwrap_or_default();
        Ok(Some(Self {
            page,
            anchor,
            is_demo: logbook.is_demo(),
        }))
    }
}

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct PageView {
    /// What the growth is drawn against.
    pub axis: Axis,
    /// Whether the readings stand below as a table.
    pub shows_readings: bool,
    /// Ctrl+P was pressed.
    pub is_print_asked: bool,
    drawing: Option<Saving>,
    history: Option<Saving>,
    pictures: Pictures,
    /// The wear of the whole shop, once it is worked out.
    pub wear: Option<Wear>,
}

impl PageView {
    fn wear(&self) -> Option<&ShopWear> {
        self.wear.as_ref()?.as_ref().as_ref().ok()
    }

    /// The same, told apart while it is worked out.
    fn worked(&self) -> Worked<'_> {
        match self.wear.as_deref() {
            None => Worked::Underway,
            Some(Ok(wear)) => Worked::Out(wear),
            Some(Err(none)) if none.why == Why::NothingGrown => Worked::Nothing,
            Some(Err(none)) => Worked::Failed(none),
        }
    }
}

/// The page of one bearing.
pub fn bearing_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &PageModel,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    let page = &model.page;
    frames::page_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        top(ui, cx, page, view, commands);
        columns(ui, cx, page, view, commands);
        ui.add_space(space::M);
        if !(page.findings.is_empty() && page.findings_before.is_empty()) {
            widgets::rule(ui);
            ui.add_space(space::XS);
            commands.extend(findings(ui, page, cx.show).map(Command::Go));
            ui.add_space(space::M);
        }
        if view.shows_readings {
            widgets::rule(ui);
            ui.add_space(space::XS);
            commands.extend(readings(ui, page, cx.show).map(Command::Go));
            ui.add_space(space::M);
        }
        commands.extend(super::halves::halves_ui(ui, page, cx.show).map(Command::Go));
        let recorded = Recorded {
            entity: "bearing",
            no: page.line.no,
            code: &page.line.serial,
            is_held: page.line.held.is_some(),
            journal: &page.journal,
            documents: &page.documents,
        };
        record_ui(ui, cx, &recorded, &mut view.pictures, commands);
    });
    dialogs(ui, cx, model, view, commands);
}

/// What a second line of the state takes.
pub const SECOND_LINE: f32 = 20.0;

/// State, number and buttons.
fn top(ui: &mut Ui, cx: &Cx, page: &BearingPage, view: &mut PageView, commands: &mut Vec<Command>) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 90.0), Sense::hover());
    let mut right = rect.right();
    let mut button = |ui: &mut Ui, words: &str, enabled: bool| {
        let width = (text::width(ui, Face::STRONG, words) + 2.0 * space::L + 10.0).ceil();
        let at = Rect::from_min_size(pos2(right - width, rect.top()), vec2(width, 44.0));
        right = at.left() - space::M;
        Button::new(Kind::Second, words)
            .enabled(enabled)
            .place(ui, at)
            .clicked()
    };
    if button(ui, "Print history", true) {
        view.is_print_asked = true;
    }
    let is_here = page.line.chock.is_some() && cx.may_enter();
    if button(ui, "New teardown", is_here) {
        commands.push(new_teardown(page));
    }
    let mut left = rect.left();
    // What its last sheet said is history once it is gone, and what was measured may pass while something else holds it.
    let is_gone = page.line.state == BearingState::Scrapped;
    let is_silent = is_gone || page.line.held.is_some() && page.line.verdict == "pass";
    if let Some((mark, word)) = badge_of(&page.line.verdict).filter(|_| !is_silent) {
        left = badge_at(ui, pos2(left, rect.top() + 20.0), mark, word).right() + space::L;
    }
    let state = headline::state(page, cx.show);
    let first = pos2(left, rect.top() + 26.0);
    let below = (pos2(rect.left(), rect.top() + 50.0), right);
    let two = small::words_lines(ui, first, right, below, &state);
    let drop = if two { SECOND_LINE } else { 0.0 };
    ui.add_space(drop);
    let (number, words) = headline::number(page, &view.worked(), cx.show);
    let baseline = rect.top() + 71.0 + drop;
    let number = text::at(
        ui,
        pos2(rect.left(), baseline),
        draw::Align::Left,
        Face::BIG,
        &number,
    );
    let at = pos2(number.right() + 14.0, baseline);
    let words = whole_pieces(ui, &words, rect.right() - at.x);
    text::at_most(ui, at, rect.right() - at.x, Face::BODY, words);
    widgets::rule(ui);
}

/// As many pieces of a line as there is room for, from its beginning: half of one says nothing.
fn whole_pieces<'w>(ui: &Ui, words: &'w str, room: f32) -> &'w str {
    let mut fits = words;
    while text::width(ui, Face::BODY, fits) > room {
        let Some((before, _)) = fits.rsplit_once(" \u{b7} ") else {
            break;
        };
        fits = before;
    }
    fits
}

fn new_teardown(page: &BearingPage) -> Command {
    let mut known = vec![("identify.bearing".to_owned(), page.line.serial.clone())];
    known.extend(
        page.line
            .chock
            .as_ref()
            .map(|(_, code)| ("identify.chock".to_owned(), code.clone())),
    );
    Command::NewSheet { known }
}

/// Rings at the left, growth at the right, a rule between.
fn columns(
    ui: &mut Ui,
    cx: &Cx,
    page: &BearingPage,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    let area = ui.available_rect_before_wrap();
    let left_width = (area.width() * 0.36).clamp(300.0, 560.0).round();
    let top = area.top() + space::M;
    let side = |ui: &mut Ui, salt: &str, from: f32, to: f32| {
        let rect = Rect::from_min_max(pos2(from, top), pos2(to, top + 2_000.0));
        let mut child = ui.new_child(UiBuilder::new().id_salt(salt).max_rect(rect));
        child.spacing_mut().item_spacing.y = 0.0;
        child
    };
    let mut left = side(ui, "rings", area.left(), area.left() + left_width);
    commands.extend(rings(&mut left, page, cx.show).map(Command::Go));
    life::exposure_ui(&mut left, page, cx.show, commands);
    let left = left.min_rect();
    let mut right = side(ui, "growth", area.left() + left_width + 32.0, area.right());
    growth(&mut right, cx, page, view, commands);
    let right = right.min_rect();
    let whole = left.union(right);
    ui.painter().vline(
        area.left() + left_width + 16.5,
        top..=whole.bottom(),
        theme::stroke(ui, 1.0, Token::Rule),
    );
    ui.allocate_rect(whole, Sense::hover());
}

/// The rings with all that was found on them, and the pairs; the sheet of a mark that was pressed.
fn rings(ui: &mut Ui, page: &BearingPage, show: Show) -> Option<Route> {
    if page.bearing_type.kind == "two_row_thrust" {
        // Its rings have no load zones and are not turned.
        widgets::heading(ui, "Clearance", "axial, of the whole bearing");
        pairs(ui, page, show);
        return None;
    }
    widgets::heading(ui, "Outer rings, unrolled", "clockwise seen from outboard");
    let mut map = drawings::ring_map(page, show);
    map.loaded = None; // the strip of zones says which is up; here the hours matter
    let scene = map.scene(ui.available_width());
    let clicked = paint::scene(ui, &scene).clicked;
    ui.add_space(space::XS);
    pairs(ui, page, show);
    clicked
        .and_then(|key| i64::try_from(key).ok())
        .map(Route::Signed)
}

/// The row pairs in numbers.
fn pairs(ui: &mut Ui, page: &BearingPage, show: Show) {
    let columns = Columns::new(vec![
        Col::left("rows", 62.0),
        Col::rest_right("now"),
        Col::rest_right("\u{d7} as set"),
        Col::rest_right("per 1,000 h"),
        Col::rest_right("limit"),
    ]);
    columns.header(ui);
    let length = |nm: Option<i64>| nm.map_or_else(|| "\u{2013}".into(), |nm| show.length(nm));
    let kind = page.bearing_type.kind.as_str();
    let rows = drawings::series(kind);
    for (index, pair) in page.pairs.iter().enumerate().take(rows) {
        let times = headline::times(pair, show).unwrap_or_else(|| "\u{2013}".into());
        let name = format!(
            "{}: now {}, {times} times as set, {} per 1,000 h since the reading before, limit {}",
            drawings::rows_name(kind, index + 1, show),
            length(pair.now_nm),
            length(pair.per_1000_h_nm),
            length(pair.limit_nm)
        );
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .pair(
                    Pair::ALL[index],
                    &drawings::rows_short(kind, index + 1, show),
                )
                .value(&length(pair.now_nm))
                .text(&times);
            cells
                .text(&length(pair.per_1000_h_nm))
                .text(&length(pair.limit_nm));
        });
    }
    text::note(
        ui,
        "Per 1,000 h: of the last stay alone; the forecast uses all readings.",
    );
}

fn growth(
    ui: &mut Ui,
    cx: &Cx,
    page: &BearingPage,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    let (mut is_copy, mut is_save) = (false, false);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::M;
        ui.set_min_height(28.0);
        let word = drawings::clearance_word(&page.bearing_type.kind);
        text::strong(ui, &format!("Growth of {word}"));
        let mut axis = Axis::ALL.iter().position(|a| *a == view.axis).unwrap_or(0);
        if small::choose(ui, "Growth against", &Axis::NAMES, &mut axis) {
            view.axis = Axis::ALL[axis];
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            is_save = small::link(ui, "Save drawing", "Save the drawing as SVG").clicked();
            is_copy = small::link(ui, "Copy data", "Copy the readings as text").clicked();
            let words = if view.shows_readings {
                "Hide readings"
            } else {
                "Readings"
            };
            if small::link(ui, words, &format!("{words} as a table")).clicked() {
                view.shows_readings = !view.shows_readings;
            }
            let what_if = from_bearing(page);
            if !what_if.is_empty() && small::link(ui, "On the bench", "Try on the bench").clicked()
            {
                commands.push(Command::TryOut(WhatIf {
                    origin: format!("last sheet of {}", page.line.serial),
                    inputs: what_if,
                }));
            }
        });
    });
    let height = if ui.available_width() > 900.0 {
        440.0
    } else {
        332.0
    };
    let drawn = plot::growth(page, view.wear(), cx.show, view.axis, cx.now);
    let scene = drawn.scene(ui.available_width(), height);
    let shown = paint::scene(ui, &scene);
    let opened = shown.clicked.and_then(|key| i64::try_from(key).ok());
    if let Some(event) = opened.filter(|event| plot::is_sheet(page, *event)) {
        commands.push(Command::Go(Route::Signed(event)));
    }
    shown.response.context_menu(|ui| {
        is_copy |= widgets::quiet(ui, "Copy data as text").clicked();
        is_save |= widgets::quiet(ui, "Save as SVG").clicked();
        if is_copy || is_save {
            ui.close();
        }
    });
    text::note(
        ui,
        "Dot and bar: reading \u{b1} U at k = 2. Lines join the readings. A click on a dot opens its sheet.",
    );
    let has_forecast = view
        .wear()
        .is_some_and(|wear| wear.of(&page.line.serial).next().is_some());
    if has_forecast && let Some(words) = view.axis.pace(page, cx.now, cx.show) {
        text::note(ui, &words);
    }
    forecast::forecast_ui(ui, &view.worked(), page, cx.show);
    life::life_ui(ui, page, cx.show);
    if is_copy {
        ui.ctx().copy_text(plot::as_text(page, cx.show));
        commands.push(Command::Say(crate::win::command::Notice::done(
            "The readings are on the clipboard.",
        )));
    }
    if is_save {
        let stem = format!("{}-growth", page.line.serial);
        let saving = Saving::beside(ui.ctx(), cx.path, &stem, "svg", "Save the drawing", "Save");
        view.drawing = Some(saving);
    }
}

/// The readings as a table, newest first: the keyboard's way to each sheet.
fn readings(ui: &mut Ui, page: &BearingPage, show: Show) -> Option<Route> {
    widgets::heading(ui, "Readings", "newest first");
    let columns = Columns::new(vec![
        Col::left("date", 90.0),
        Col::right("mill hours", 90.0),
        Col::left("rows", 70.0),
        Col::right(drawings::clearance_word(&page.bearing_type.kind), 124.0),
        Col::right("\u{b1} U", 80.0),
        Col::rest("what"),
    ]);
    columns.header(ui);
    let mut opened = None;
    for (index, point) in plot::readings(page).into_iter().enumerate() {
        let pair = point.pair.clamp(1, 3) - 1;
        let what = plot::what(page, point);
        let name = format!(
            "{} {}, {} {what}",
            point.at.date(),
            drawings::rows_name(&page.bearing_type.kind, pair + 1, show),
            show.length(point.value_nm)
        );
        let is_sheet = plot::is_sheet(page, point.event);
        let shown = ui.push_id(("reading", index), |ui| {
            columns.row(ui, &Row::reading(name).clickable(is_sheet), |cells| {
                cells
                    .put(Face::BODY.muted(), &point.at.date())
                    .text(&show.hours(point.run_s));
                cells
                    .pair(
                        Pair::ALL[pair],
                        &drawings::rows_short(&page.bearing_type.kind, pair + 1, show),
                    )
                    .value(&show.length(point.value_nm));
                let doubt = point
                    .expanded_uncertainty_nm
                    .map_or_else(String::new, |u| show.length(u));
                cells.text(&doubt).note(what);
            })
        });
        if shown.inner.clicked() {
            opened = Some(Route::Signed(point.event));
        }
    }
    opened
}

fn dialogs(
    ui: &mut Ui,
    cx: &Cx,
    model: &PageModel,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    let page = &model.page;
    let serial = &page.line.serial;
    if std::mem::take(&mut view.is_print_asked) {
        let stem = format!("{serial}-history");
        view.history = Some(Saving::beside(
            ui.ctx(),
            cx.path,
            &stem,
            "pdf",
            "Print the history",
            "Print",
        ));
    }
    if let Some(path) = save_ui(ui.ctx(), &mut view.drawing) {
        let svg = plot::growth(page, view.wear(), cx.show, view.axis, cx.now)
            .scene(900.0, 480.0)
            .to_svg(Theme::Day);
        commands.push(Command::Run(Work::new(
            format!("Saving the drawing of {serial}"),
            "",
            move |_| {
                print::write_whole(&path, svg.as_bytes()).map_err(|e| e.to_string())?;
                Ok(Some(format!(
                    "The drawing is written to {}.",
                    path.display()
                )))
            },
        )));
    }
    if let Some(path) = save_ui(ui.ctx(), &mut view.history) {
        let job = job(cx, model, cx.now);
        let bearing = page.line.no;
        commands.push(Command::Run(Work::new(
            format!("Printing the history of {serial}"),
            "",
            move |given| {
                let job = PrintJob {
                    now: given.now,
                    ..job
                };
                let pdf =
                    print::history_pdf(&given.conn, bearing, &print::HistoryParts::default(), &job)
                        .map_err(|e| e.to_string())?;
                if !given.pace.tell(1, 1) {
                    return Ok(None);
                }
                print::write_whole(&path, &pdf).map_err(|e| e.to_string())?;
                Ok(Some(format!(
                    "The history is written to {}.",
                    path.display()
                )))
            },
        )));
    }
}

fn job(cx: &Cx, model: &PageModel, now: Stamp) -> PrintJob {
    PrintJob {
        now,
        for_whom: cx.person.map(|p| p.name.clone()).unwrap_or_default(),
        show: cx.show,
        program: crate::hands::program(),
        is_demo: model.is_demo,
        anchor: model.anchor.clone(),
    }
}
