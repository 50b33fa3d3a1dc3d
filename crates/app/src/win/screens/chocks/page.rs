//! The page of one chock: its bore as last checked, how it came to that, what sits in it, and what happened.

use draw::tokens::space;
use draw::{Align, Token};
use egui::{Rect, Sense, Ui, pos2, vec2};
use store::entry::Show;
use store::payload::Judgement;
use store::query::{BoreCheck, ChockCheck, ChockPage};

use super::bore::bore;
use super::faces::faces;
use super::over_time::over_time;
use super::register::place_words;
use crate::print::What;
use crate::ui::frames;
use crate::ui::keys::Action;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind, badge_at};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::bearings::page::SECOND_LINE;
use crate::win::screens::bearings::since::Since;
use crate::win::screens::bearings::verdicts::{Judged, badge_of, why_ui};
use crate::win::screens::event::pictures::Pictures;
use crate::win::screens::log::small;
use crate::win::screens::parts::{Recorded, record_ui};

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct PageView {
    /// The bore check shown, by its event; none for the last one.
    pub check: Option<i64>,
    /// The verdict whose reasons are shown.
    pub why: Option<Why>,
    pictures: Pictures,
}

/// A verdict that is asked about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Why {
    /// Its sheet.
    pub event: i64,
    /// Its place among the verdicts there.
    pub index: usize,
    /// Where its badge stands.
    pub beside: Rect,
}

/// The checks of the bore, oldest first.
pub(super) fn bores(
    page: &ChockPage,
) -> impl DoubleEndedIterator<Item = (&ChockCheck, &BoreCheck)> {
    let all = page.checks.iter();
    all.filter_map(|check| Some((check, check.bore.as_ref()?)))
}

impl PageView {
    /// The check of the bore to show.
    pub(super) fn check<'p>(&self, page: &'p ChockPage) -> Option<&'p ChockCheck> {
        let asked = bores(page).find(|(check, _)| Some(check.event()) == self.check);
        asked.or(bores(page).next_back()).map(|(check, _)| check)
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
        if bores(page).next().is_none() {
            ui.add_space(space::L);
            let words = "After a sheet with all its sizes its outline, ovality and mean will be drawn here.";
            widgets::empty_page(ui, "The bore has not been checked yet.", words, None);
            ui.add_space(space::L);
        } else {
            bore(ui, cx.show, page, view, commands);
            ui.add_space(space::M);
            widgets::rule(ui);
            ui.add_space(space::S);
            over_time(ui, cx.show, page, view, commands);
        }
        ui.add_space(space::S);
        faces(ui, cx.show, page, view);
        ui.add_space(space::M);
        let recorded = Recorded {
            entity: "chock",
            no: page.line.no,
            code: &page.line.code,
            is_held: page.line.held.is_some(),
            journal: &page.journal,
            documents: &page.documents,
        };
        record_ui(ui, cx, &recorded, &mut view.pictures, commands);
    });
    let Some(why) = view.why else { return };
    let check = page.checks.iter().find(|c| c.event() == why.event);
    let judged =
        check.and_then(|c| Judged::of_sheet(&c.sheet, Some(&c.limits), why.index, cx.show));
    if judged.is_none_or(|judged| why_ui(ui, &judged, why.beside, cx.show)) {
        view.why = None;
    }
}

/// The verdict of the bore nearest to, or furthest beyond, its limit, by the share of the limit that is used.
pub fn leading(check: &ChockCheck) -> Option<usize> {
    let share = |v: &Judgement| Some(v.value_nm? as f64 / v.upper_nm.filter(|nm| *nm > 0)? as f64);
    let all = check
        .verdicts()
        .filter(|(_, v)| v.about.starts_with("bore_"));
    let all = all.filter_map(|(index, v)| Some((index, share(v)?)));
    all.max_by(|(i, a), (k, b)| a.total_cmp(b).then(k.cmp(i)))
        .map(|(index, _)| index)
}

/// The one number of the page, that of the last check whatever check is shown below, and what it means.
pub fn number(check: Option<&ChockCheck>, show: Show) -> (String, String) {
    let leading = check.and_then(|check| {
        let index = leading(check)?;
        let judged = Judged::of_sheet(&check.sheet, Some(&check.limits), index, show)?;
        Some((check, judged))
    });
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
    let (limit, day) = (judged.limit(show), check.at().date());
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
    let is_filled = !line.bearings.is_empty() && cx.may_enter();
    let mut right = rect.right();
    let mut button = |ui: &mut Ui, words: &str, enabled: bool| {
        let width = (text::width(ui, Face::STRONG, words) + 2.0 * space::L + 10.0).ceil();
        let place = Rect::from_min_size(pos2(right - width, rect.top()), vec2(width, 44.0));
        right = place.left() - space::M;
        let button = Button::new(Kind::Second, words).enabled(enabled);
        button.place(ui, place).clicked()
    };
    // In the order of the page of a bearing.
    if button(ui, "Print history", true) {
        let route = Route::Documents(What::Chock, Some(line.no));
        commands.push(Command::Go(route));
    }
    if button(ui, "New teardown", is_filled) {
        let known = known(page, Action::NewSheet);
        commands.push(Command::NewSheet { known });
    }
    if button(ui, "New mounting", is_filled) {
        let known = known(page, Action::NewMounting);
        commands.push(Command::NewMounting { known });
    }
    let baseline = rect.top() + 26.0;
    let mut x = rect.left();
    // The bore may pass while something else holds the chock.
    let is_silent = line.held.is_some() && line.bore_verdict == "pass";
    if let Some((mark, word)) = badge_of(&line.bore_verdict).filter(|_| !is_silent) {
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
    let below = (pos2(rect.left(), baseline + 24.0), rect.right());
    let state = state(page, cx.show);
    let two = small::words_lines(ui, pos2(x, baseline), right, below, &state);
    let drop = if two { SECOND_LINE } else { 0.0 };
    ui.add_space(drop);
    let (number, mut words) = number(bores(page).next_back().map(|(check, _)| check), cx.show);
    if page.line.place == "shop" && !page.line.place_note.is_empty() {
        words.push_str(" \u{b7} ");
        words.push_str(&page.line.place_note);
    }
    let baseline = rect.top() + 71.0 + drop;
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
    if let Some(since) = Since::of_chock(line) {
        all.extend(since.told(show));
        all.push((Face::BODY, format!("{} h since put in", since.hours(show))));
    }
    all.push((
        Face::BODY,
        format!("{} h in all", show.hours(page.total_run_s)),
    ));
    all
}
