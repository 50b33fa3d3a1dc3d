//! The page of one chock: its bore as last checked, how it came to that, what sits in it, and what happened.

use draw::tokens::space;
use draw::{Align, Token};
use egui::{Rect, Sense, Ui, UiBuilder, pos2, vec2};
use store::entry::Show;
use store::query::{BoreCheck, ChockPage};
use store::sheet::field::SeatName;

use super::register::place_words;
use crate::drawings::{SeatSizes, bore_map};
use crate::print::What;
use crate::ui::keys::Action;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Bar, Bars, Button, Col, Columns, Kind, Row, badge_at};
use crate::ui::{frames, paint, theme};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::bearings::verdicts::{Judged, badge_of, why_badge, why_ui};
use crate::win::screens::event::pictures::{Pictures, pictures_ui};
use crate::win::screens::log::event_line::what_happened;
use crate::win::screens::log::small;

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct PageView {
    /// The bore check shown, by its event; none for the last one.
    pub check: Option<i64>,
    /// The verdict whose reasons are shown, and where its badge stands.
    pub why: Option<(usize, Rect)>,
    pictures: Pictures,
}

impl PageView {
    /// The check to show.
    fn check<'p>(&self, page: &'p ChockPage) -> Option<&'p BoreCheck> {
        let asked = page.bores.iter().find(|b| Some(b.event) == self.check);
        asked.or(page.bores.last())
    }
}

/// The page of one chock.
pub fn chock_ui(
    ui: &mut Ui,
    cx: &Cx,
    page: &ChockPage,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    frames::page_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        top(ui, cx, page, commands);
        if page.bores.is_empty() {
            ui.add_space(space::L);
            let words = "After a sheet with all twelve sizes its outline, ovality and mean will be drawn here.";
            widgets::empty_page(ui, "The bore has not been checked yet.", words, None);
            ui.add_space(space::L);
        } else {
            bore(ui, cx.show, page, view, commands);
        }
        ui.add_space(space::M);
        widgets::rule(ui);
        ui.add_space(space::XS);
        if page.line.held.is_some() {
            let words = "Print its hold tag";
            if small::link(ui, words, words).clicked() {
                let route = Route::Documents(What::Tag, Some(page.line.no));
                commands.push(Command::Go(route));
            }
        }
        let words = "Tell what happened, or change the record";
        if small::link(ui, words, words).clicked() {
            commands.extend(Route::register_of("chock", page.line.no).map(Command::Go));
        }
        ui.add_space(space::S);
        commands.extend(what_happened(ui, &page.line.code, &page.journal).map(Command::Go));
        if !page.documents.is_empty() {
            ui.add_space(space::M);
            widgets::heading(ui, "Pictures and papers", "newest first");
            pictures_ui(ui, cx, &page.documents, &mut view.pictures, commands);
        }
    });
    let judged = view
        .check(page)
        .zip(view.why)
        .and_then(|(check, (index, beside))| {
            let limits = format!(
                "limits of {} as they were on {}",
                page.bearing_type.code,
                check.at.date()
            );
            let judged = Judged {
                origin: limits,
                ..Judged::of_bore(check, index)?
            };
            Some((judged, beside))
        });
    if judged.is_none_or(|(judged, beside)| why_ui(ui, &judged, beside, cx.show)) {
        view.why = None;
    }
}

/// The verdict nearest to, or furthest beyond, its limit, by the share of the limit that is used.
pub fn leading(check: &BoreCheck) -> Option<usize> {
    let share = |index: &usize| {
        let v = &check.verdicts[*index];
        Some(v.value_nm? as f64 / v.upper_nm.filter(|nm| *nm > 0)? as f64)
    };
    let all = (0..check.verdicts.len()).filter_map(|i| Some((i, share(&i)?)));
    all.max_by(|(i, a), (k, b)| a.total_cmp(b).then(k.cmp(i)))
        .map(|(i, _)| i)
}

/// The one number of the page, that of the last check whatever check is shown below, and what it means.
pub fn number(check: Option<&BoreCheck>, show: Show) -> (String, String) {
    let leading = check.and_then(|check| Some((check, Judged::of_bore(check, leading(check)?)?)));
    let Some((check, judged)) = leading else {
        return (
            "No bore check yet".into(),
            "Its bore will be measured at a teardown.".into(),
        );
    };
    let what = judged
        .title
        .split_once(", ")
        .map_or(judged.title.as_str(), |(_, what)| what);
    let (value, margin) = (judged.value(show), judged.margin(show));
    let (limit, day) = (judged.limit(show), check.at.date());
    let words = format!("{what}, {limit} allowed: {margin} \u{b7} bore checked {day}");
    (format!("{value} {}", show.unit.sign()), words)
}

/// What a sheet of this chock begins with.
pub(super) fn known(page: &ChockPage, sheet: Action) -> Vec<(String, String)> {
    let bearing = page.line.bearings.first();
    let bearing = bearing.filter(|_| sheet == Action::NewSheet);
    [("identify.chock".to_owned(), page.line.code.clone())]
        .into_iter()
        .chain(bearing.map(|(_, serial, _)| ("identify.bearing".to_owned(), serial.clone())))
        .collect()
}

fn top(ui: &mut Ui, cx: &Cx, page: &ChockPage, commands: &mut Vec<Command>) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 90.0), Sense::hover());
    let line = &page.line;
    let words = "New teardown";
    let width = (text::width(ui, Face::STRONG, words) + 2.0 * space::L + 10.0).ceil();
    let at = Rect::from_min_size(pos2(rect.right() - width, rect.top()), vec2(width, 44.0));
    let print = "Print history";
    let width = (text::width(ui, Face::STRONG, print) + 2.0 * space::L + 10.0).ceil();
    let place = Rect::from_min_size(
        pos2(at.left() - space::M - width, rect.top()),
        vec2(width, 44.0),
    );
    if Button::new(Kind::Second, print).place(ui, place).clicked() {
        let route = Route::Documents(What::Chock, Some(line.no));
        commands.push(Command::Go(route));
    }
    let is_filled = !line.bearings.is_empty() && cx.may_enter();
    if Button::new(Kind::Second, words)
        .enabled(is_filled)
        .place(ui, at)
        .clicked()
    {
        let known = known(page, Action::NewSheet);
        commands.push(Command::NewSheet { known });
    }
    let words = "New mounting";
    let width = (text::width(ui, Face::STRONG, words) + 2.0 * space::L + 10.0).ceil();
    let place = Rect::from_min_size(
        pos2(place.left() - space::M - width, rect.top()),
        vec2(width, 44.0),
    );
    if Button::new(Kind::Second, words)
        .enabled(is_filled)
        .place(ui, place)
        .clicked()
    {
        let known = known(page, Action::NewMounting);
        commands.push(Command::NewMounting { known });
    }
    let baseline = rect.top() + 26.0;
    let mut x = rect.left();
    if let Some((mark, word)) = badge_of(&line.bore_verdict) {
        x = badge_at(ui, pos2(x, rect.top() + 20.0), mark, word).right() + space::L;
    }
    for (no, serial, seat) in &line.bearings {
        let words = format!("bearing {serial}");
        let name = format!("Open bearing {serial}, seat {seat}");
        let shown = small::link_at(ui, pos2(x, baseline), Face::BODY, &words, &name);
        if shown.clicked() {
            commands.push(Command::Go(Route::Bearing(*no)));
        }
        x = shown.rect.right() + space::L;
    }
    small::words_line(
        ui,
        pos2(x, baseline),
        place.left() - space::M,
        &state(page, cx.show),
    );
    let (number, words) = number(page.bores.last(), cx.show);
    let baseline = rect.top() + 71.0;
    let shown = text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        Face::BIG,
        &number,
    );
    let at = pos2(shown.right() + 14.0, baseline);
    text::at_most(ui, at, rect.right() - at.x, Face::BODY, &words);
    widgets::rule(ui);
}

fn state(page: &ChockPage, show: Show) -> Vec<(Face, String)> {
    let line = &page.line;
    let mut all = Vec::new();
    if let Some(why) = &line.held {
        all.push((Face::STRONG.token(Token::Doubt), format!("on hold: {why}")));
    }
    if line.bearings.is_empty() {
        all.push((Face::BODY, "no bearing in it".into()));
    }
    all.push((Face::BODY, place_words(line)));
    if !line.roll.is_empty() {
        all.push((Face::BODY, format!("on roll {}", line.roll)));
    }
    if !line.bearings.is_empty() {
        all.push((
            Face::BODY,
            format!("{} h since put in", show.hours(line.stay_run_s)),
        ));
    }
    all.push((
        Face::BODY,
        format!("{} h in all", show.hours(page.total_run_s)),
    ));
    if line.place == "shop" && !line.place_note.is_empty() {
        all.push((Face::BODY.muted(), line.place_note.clone()));
    }
    all
}

/// The outline at the left; verdicts and how it came to that at the right.
fn bore(
    ui: &mut Ui,
    show: Show,
    page: &ChockPage,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    let Some(check) = view.check(page).cloned() else {
        return;
    };
    let area = ui.available_rect_before_wrap();
    let left_width = (area.width() * 0.36).clamp(300.0, 560.0).round();
    let top = area.top() + space::M;
    let side = |ui: &mut Ui, salt: &str, from: f32, to: f32| {
        let rect = Rect::from_min_max(pos2(from, top), pos2(to, top + 2_000.0));
        let mut child = ui.new_child(UiBuilder::new().id_salt(salt).max_rect(rect));
        child.spacing_mut().item_spacing.y = 0.0;
        child
    };
    let mut left = side(ui, "outline", area.left(), area.left() + left_width);
    outline(&mut left, show, page, &check);
    let left = left.min_rect();
    let mut right = side(
        ui,
        "verdicts",
        area.left() + left_width + 32.0,
        area.right(),
    );
    verdicts(&mut right, show, &check, view, commands);
    right.add_space(space::L);
    checks(&mut right, show, page, view);
    let whole = left.union(right.min_rect());
    ui.painter().vline(
        area.left() + left_width + 16.5,
        top..=whole.bottom(),
        theme::stroke(ui, 1.0, Token::Rule),
    );
    ui.allocate_rect(whole, Sense::hover());
}

fn outline(ui: &mut Ui, show: Show, page: &ChockPage, check: &BoreCheck) {
    widgets::heading(
        ui,
        &format!("Bore on {}", check.at.date()),
        "at 20 \u{b0}C, all planes",
    );
    if check.sizes_nm.len() != 12 {
        text::say(
            ui,
            Face::BODY.muted(),
            "The grid of this check was not whole: there is no outline.",
        );
        return;
    }
    let title = format!("Bore of chock {} on {}", page.line.code, check.at.date());
    let sizes_nm = SeatSizes::grid(&check.sizes_nm);
    let map = SeatSizes {
        seat: SeatName::Bore,
        sizes_nm,
        bearing_type: &page.bearing_type,
        title,
    };
    let scene = bore_map(&map, show).scene(ui.available_width().min(440.0));
    paint::scene(ui, &scene);
}

fn verdicts(
    ui: &mut Ui,
    show: Show,
    check: &BoreCheck,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        text::strong(ui, &format!("What the bore says, {}", show.unit.sign()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if small::link(ui, "Open its sheet", "Open the sheet of this check").clicked() {
                commands.push(Command::Go(Route::Signed(check.event)));
            }
        });
    });
    let columns = Columns::new(vec![
        Col::rest("what"),
        Col::right("found", 74.0),
        Col::left("limit", 130.0),
        Col::right("", 104.0),
        Col::left("verdict", 136.0),
    ]);
    columns.header(ui);
    for (index, judged) in
        (0..check.verdicts.len()).filter_map(|i| Some((i, Judged::of_bore(check, i)?)))
    {
        let (_, short) = judged.title.split_once(", ").unwrap_or(("", &judged.title));
        let name = format!("{short}: {}, {}", judged.value(show), judged.verdict.word());
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .text(short)
                .value(&judged.value(show))
                .note(&judged.limit(show))
                .note(&judged.margin(show));
            if let Some(beside) = why_badge(cells, &judged) {
                view.why = Some((index, beside));
            }
        });
    }
}

/// Every check as a bar of its largest ovality and one of its mean; a date opens that check.
fn checks(ui: &mut Ui, show: Show, page: &ChockPage, view: &mut PageView) {
    let limit = |about: &str| {
        let of = |check: &BoreCheck| check.verdicts.iter().find(|v| v.about == about)?.upper_nm;
        page.bores.last().and_then(of)
    };
    let shown = view.check(page).map(|check| check.event);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        ui.set_min_height(28.0);
        text::strong(ui, "Bore checks");
        let dates: Vec<String> = page.bores.iter().map(|b| b.at.date()).collect();
        let words: Vec<&str> = dates.iter().map(String::as_str).collect();
        // What does not fit beside the heading is reached by its sheet in the event line.
        let fits = ((ui.available_width() / 90.0) as usize).clamp(1, words.len());
        let first = words.len() - fits;
        let mut chosen = page
            .bores
            .iter()
            .position(|b| Some(b.event) == shown)
            .unwrap_or(0)
            .saturating_sub(first);
        if small::choose(ui, "Check", &words[first..], &mut chosen) {
            view.check = page.bores.get(first + chosen).map(|b| b.event);
            view.why = None;
        }
    });
    let worst = |check: &BoreCheck| check.ovality_nm.iter().copied().max();
    let series = [
        (
            "Largest ovality of a plane",
            limit("bore_ovality"),
            page.bores.iter().map(worst).collect::<Vec<_>>(),
            false,
        ),
        (
            "Mean deviation",
            limit("bore_mean"),
            page.bores.iter().map(|c| Some(c.mean_nm)).collect(),
            true,
        ),
    ];
    let half = ((ui.available_width() - 32.0) / 2.0).floor();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 32.0;
        for (title, limit, values, is_deviation) in series {
            ui.vertical(|ui| {
                ui.set_width(half);
                bars(ui, show, page, shown, (title, limit, &values, is_deviation));
            });
        }
    });
}

type Series<'a> = (&'a str, Option<i64>, &'a [Option<i64>], bool);

fn bars(
    ui: &mut Ui,
    show: Show,
    page: &ChockPage,
    shown: Option<i64>,
    (title, limit, values, signed): Series,
) {
    let words = |nm: i64| {
        if signed {
            show.deviation(nm)
        } else {
            show.length(nm)
        }
    };
    let said = limit.map_or_else(String::new, |nm| format!(", limit {} dashed", words(nm)));
    text::note(ui, &format!("{title}{said}"));
    ui.add_space(space::XS);
    let labels: Vec<(String, String)> = page
        .bores
        .iter()
        .zip(values)
        .map(|(check, value)| {
            (
                check.at.date(),
                value.map_or_else(|| "\u{2013}".into(), words),
            )
        })
        .collect();
    let is_over = |nm: i64| limit.is_some_and(|limit| nm > limit);
    let rows: Vec<Bar> = page
        .bores
        .iter()
        .zip(values)
        .zip(&labels)
        .map(|((check, value), (label, text))| Bar {
            label,
            value: value.unwrap_or(0).max(0) as f64,
            text,
            lit: Some(check.event) == shown,
            token: value.filter(|nm| is_over(*nm)).map(|_| Token::Fail),
        })
        .collect();
    // Old checks go first where there are many; the last ones are what counts.
    let rows = &rows[rows.len().saturating_sub(8)..];
    let largest = values
        .iter()
        .flatten()
        .copied()
        .chain(limit)
        .max()
        .unwrap_or(1)
        .max(1);
    let limit = limit.map(|nm| nm as f64);
    Bars {
        title,
        rows,
        limit,
        max: largest as f64 * 1.05,
        label_width: 92.0,
    }
    .show(ui);
}
