//! Chock bore and roll neck: two to four planes of four directions, framed by temperatures; the outline enlarged; verdicts.

use calc::conformity::Verdict;
use draw::tokens::{height, space};
use draw::{Align, Mark, Token, pos};
use egui::{Rect, Ui, pos2, vec2};
use store::sheet::field::{self, PLANES, SEAT_DEGREES, SeatName};
use store::sheet::{Family, SeatCheckView, SeatView, Section};

use super::clearance::{arrow, asked, hinted};
use super::fields::{Sheet, badge_at, field_at, mark, room, strip};
use super::form::flow;
use super::gauge::{LABEL, LINE, gauge_line};
use super::order::has;
use super::view::Why;
use crate::drawings::{SeatSizes, bore_map};
use crate::ui::text::{self, Face};
use crate::ui::{focus, paint, theme, widgets};

const PITCH: f32 = 102.0;
/// Fields with the numbers of their planes.
const GRID: f32 = 39.0 + 3.0 * PITCH + 88.0;
const PLANE: f32 = 74.0;
const RESULT: f32 = 30.0;
/// Width of a field for what the gauge shows on its standard.
const CHECK: f32 = 120.0;

const HINT: &str = "Fields keep what was typed; under each stands its size at 20 \u{b0}C. Planes count from the barrel.";

/// The seat that is open.
fn seat<'a>(sheet: &'a Sheet) -> &'a SeatView {
    if sheet.view.seat == SeatName::Bore {
        &sheet.a.bore
    } else {
        &sheet.a.neck
    }
}

/// The section.
pub fn seats_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let top = ui.cursor().min;
    let right = ui.max_rect().right();
    widgets::section_title(
        ui,
        Some(Section::Seats.number()),
        Section::Seats.title(),
        "",
    );
    tabs(
        ui,
        sheet,
        Rect::from_min_max(pos2(right - 188.0, top.y + 3.0), pos2(right, top.y + 47.0)),
    );
    let name = sheet.view.seat;
    if !seat(sheet).is_needed {
        let words = match sheet.facts().family() {
            Family::Thrust => {
                "A thrust bearing has no seat that wears: its chock is measured with the bearing beside it."
            }
            _ => {
                "The inner half stays on it. Say under As found where it has turned or is off: then the neck is measured."
            }
        };
        let _ = widgets::empty_page(ui, "Nothing is measured here.", words, None);
        return;
    }
    let prefix = name.prefix();
    let measures = if name == SeatName::Bore {
        "bore"
    } else {
        "neck"
    };
    gauge_line(ui, sheet, &format!("{prefix}.gauge"), "gauge", measures);
    check(ui, sheet);
    thermometer_line(ui, sheet, &format!("{prefix}.thermometer"));
    ui.add_space(space::S);
    let all = ui.available_rect_before_wrap();
    let grid_left = (all.right() - GRID).round();
    let below_grid = grid(ui, sheet, pos2(grid_left, all.top()));
    let below_map = map(
        ui,
        sheet,
        Rect::from_min_max(all.min, pos2(grid_left - space::L, all.bottom())),
    );
    ui.add_space((below_grid.max(below_map) - all.top()).ceil());
    asked(ui, sheet);
    results(ui, sheet);
    ui.add_space(space::S);
    let is_read = seat(sheet).missing == 0;
    let skip = format!("skip.{prefix}_check");
    let is_unchecked = is_read && seat(sheet).check_off_nm.is_none();
    if is_unchecked || has(sheet.view.entries.fields(), &skip) {
        flow(ui, sheet, &[&skip]);
    }
    if name == SeatName::Bore {
        let faces = [
            "chock.shoulder",
            "chock.cover_face",
            "chock.width",
            "chock.gauge",
        ];
        flow(ui, sheet, &faces);
    } else {
        flow(ui, sheet, &["neck.cracks"]);
        let skip = "skip.neck_cracks";
        if sheet.order().iter().any(|path| path == skip) {
            flow(ui, sheet, &[skip]);
        }
        super::ring::ring_ui(ui, sheet);
    }
    hinted(
        ui,
        sheet,
        HINT,
        (&format!("skip.{prefix}"), "Not measured\u{2026}", is_read),
    );
}

/// On what the temperatures of part and gauge are read, where the register has something to read them on.
pub(super) fn thermometer_line(ui: &mut Ui, sheet: &mut Sheet, path: &str) {
    if sheet.a.bore.asks_thermometer || has(sheet.view.entries.fields(), path) {
        gauge_line(ui, sheet, path, "temp. by", "temperature");
    }
}

/// What the gauge reads on its setting ring or standard before it is used, in a line under the gauge.
fn check(ui: &mut Ui, sheet: &mut Sheet) {
    let prefix = sheet.view.seat.prefix();
    let rect = strip(ui, LINE);
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        theme::stroke(ui, 1.0, Token::Rule),
    );
    let at = |x: f32| {
        let y = text::baseline(rect.center().y - 0.5, Face::NOTE.size);
        pos2(rect.left() + x, y)
    };
    let field = |x: f32| {
        let min = pos2(rect.left() + x, rect.top() + 0.5);
        Rect::from_min_size(min, vec2(CHECK, height::TOUCH))
    };
    text::at(ui, at(0.0), Align::Left, Face::NOTE, "before use");
    let unit = sheet.unit();
    sheet.number(ui, &format!("{prefix}.check.read"), field(LABEL), unit);
    let code = sheet.view.entries.committed(&format!("{prefix}.gauge"));
    let mut standards = sheet.facts().shop.standards.iter();
    let known = standards.find(|(gauge, _)| gauge.eq_ignore_ascii_case(code));
    let standard = known.map_or("its standard", |(_, standard)| standard);
    let words = format!("on {standard}, which is");
    let beside = LABEL + CHECK + space::M;
    let end = text::at(ui, at(beside), Align::Left, Face::NOTE, &words).right() - rect.left();
    let second = (end + space::M).ceil();
    sheet.number(ui, &format!("{prefix}.check.standard"), field(second), unit);
    let view = seat(sheet);
    let Some(off) = view.check_off_nm.map(|nm| sheet.show().deviation(nm)) else {
        return;
    };
    let words = match view.expanded_uncertainty_nm {
        Some(u) => format!("{off} off, U {} {unit}", sheet.show().length(u)),
        None => format!("{off} {unit} off"),
    };
    let left = second + CHECK + space::L;
    let room = rect.width() - left;
    text::at_most(ui, at(left), room, Face::BODY, &words);
}

fn tabs(ui: &mut Ui, sheet: &mut Sheet, rect: Rect) {
    let all = [SeatName::Bore, SeatName::Neck];
    let mut chosen = usize::from(sheet.view.seat == SeatName::Neck);
    let words = all.map(SeatName::title);
    let width: f32 = words
        .iter()
        .map(|w| text::width(ui, Face::STRONG, w).ceil())
        .sum::<f32>()
        + space::XL;
    let at = Rect::from_min_max(pos2(rect.right() - width, rect.top()), rect.max);
    if room(ui, at, |ui| widgets::tabs(ui, "Seat", &words, &mut chosen)) {
        sheet.view.entries.commit_all(sheet.model.show, sheet.time);
        sheet.view.open_seat(all[chosen.min(1)]);
        ui.ctx().request_repaint();
    }
}

/// Temperatures and sizes; answers where they end.
fn grid(ui: &mut Ui, sheet: &mut Sheet, at: egui::Pos2) -> f32 {
    let name = sheet.view.seat;
    let prefix = name.prefix();
    let part = if name == SeatName::Bore {
        "chock"
    } else {
        "neck"
    };
    let x = |column: f32| at.x + 39.0 + PITCH * column;
    let mut caption = |x: f32, words: &str| {
        text::at(ui, pos2(x, at.y + 13.0), Align::Left, Face::NOTE, words);
    };
    caption(x(0.0), &format!("{part}, first"));
    caption(x(1.0), "gauge");
    caption(x(3.0), &format!("{part}, last"));
    let top = at.y + 22.0;
    for (column, end) in [(0.0, "temp_first"), (1.0, "temp_gauge"), (3.0, "temp_last")] {
        sheet.number(
            ui,
            &format!("{prefix}.{end}"),
            field_at(x(column), top),
            "\u{b0}C",
        );
    }
    arrow(ui, pos2(x(1.0) - 7.0, top + 22.0), Token::Edge);
    let head = top + 44.0 + 20.0;
    text::at(ui, pos2(at.x, head), Align::Left, Face::NOTE, "plane");
    for (column, degrees) in [0.0, 1.0, 2.0, 3.0].into_iter().zip(SEAT_DEGREES) {
        text::at(
            ui,
            pos2(x(column) + 44.0, head),
            Align::Centre,
            Face::NOTE,
            &format!("{degrees}\u{b0}"),
        );
    }
    let first = head + 9.0;
    let planes = seat(sheet).planes;
    for plane in PLANES.into_iter().take(planes) {
        let top = first + PLANE * (plane - 1) as f32;
        let centre = top + 22.0;
        let face = Face::STRONG.muted();
        text::at(
            ui,
            pos2(at.x + 24.0, text::baseline(centre, face.size)),
            Align::Centre,
            face,
            &plane.to_string(),
        );
        for (column, (d, degrees)) in [0.0, 1.0, 2.0, 3.0]
            .into_iter()
            .zip(SEAT_DEGREES.into_iter().enumerate())
        {
            sheet.number(
                ui,
                &field::size(name, plane, degrees),
                field_at(x(column), top),
                "",
            );
            at_20_c(ui, sheet, pos2(x(column) + 44.0, top + 60.0), plane - 1, d);
            if d < 3 {
                arrow(ui, pos2(x(column) + 95.0, centre), Token::Edge);
            }
        }
        if plane < planes {
            route(ui, x(3.0) + 88.0, centre, x(0.0) - 8.0, top + PLANE);
        }
    }
    first + planes as f32 * PLANE - 6.0
}

/// The size at 20 degrees under its field, once the temperatures are known.
fn at_20_c(ui: &mut Ui, sheet: &Sheet, at: egui::Pos2, plane: usize, direction: usize) {
    let prefix = sheet.view.seat.prefix();
    let is_known = |end: &str| {
        sheet
            .a
            .fields
            .get(&format!("{prefix}.{end}"))
            .is_some_and(|s| s.value.is_some())
    };
    let size = seat(sheet).sizes_nm[plane][direction];
    if let Some(nm) = size.filter(|_| is_known("temp_first") && is_known("temp_gauge")) {
        text::at(ui, at, Align::Centre, Face::NOTE, &sheet.show().length(nm));
    }
}

/// The way from the end of a row to the beginning of the next.
fn route(ui: &Ui, right: f32, from_y: f32, left: f32, next_y: f32) {
    let stroke = theme::stroke(ui, 1.0, Token::Edge);
    let (right, turn) = (right + 5.5, next_y - 6.5);
    let (from_y, left) = (from_y.round() + 0.5, left.round() + 0.5);
    let points = [
        pos2(right - 5.0, from_y),
        pos2(right, from_y),
        pos2(right, turn),
        pos2(left, turn),
        pos2(left, next_y + 3.0),
    ];
    for line in points.windows(2) {
        ui.painter().line_segment([line[0], line[1]], stroke);
    }
    let tip = draw::Glyph::Step(draw::marks::Towards::Down).shapes(pos(0.0, 0.0), 6.0, Token::Edge);
    paint::shapes(ui, pos2(left.floor(), next_y + 5.0).round(), &tip);
}

/// The outline; answers where it ends.
fn map(ui: &mut Ui, sheet: &mut Sheet, rect: Rect) -> f32 {
    let Some(bearing_type) = &sheet.model.facts.bearing_type else {
        text::at(
            ui,
            rect.min + vec2(0.0, 16.0),
            Align::Left,
            Face::NOTE,
            "Scan or type the bearing first.",
        );
        return rect.top() + 24.0;
    };
    let name = sheet.view.seat;
    let of = match name {
        SeatName::Bore => sheet
            .facts()
            .chock
            .as_ref()
            .map_or(String::new(), |c| format!(" of {}", c.code)),
        SeatName::Neck => sheet
            .facts()
            .roll
            .as_ref()
            .map_or(String::new(), |(_, roll)| format!(" of {roll}")),
    };
    let sizes = SeatSizes {
        seat: name,
        sizes_nm: seat(sheet).sizes_nm[..seat(sheet).planes].to_vec(),
        bearing_type,
        title: format!("{}{of}", name.title()),
    };
    let scene = bore_map(&sizes, sheet.show()).scene(rect.width().min(504.0).floor());
    let left = rect.left() + ((rect.width() - scene.width) / 2.0).floor();
    let clicked = paint::scene_at(ui, pos2(left, rect.top()), &scene).clicked;
    if let Some(key) = clicked.and_then(|key| usize::try_from(key).ok()) {
        let (plane, direction) = (key / 4 + 1, key % 4);
        focus::ask(ui.ctx(), &field::size(name, plane, SEAT_DEGREES[direction]));
    }
    rect.top() + scene.height
}

/// The columns of the results, px from the left edge: found, limit, margin (right ends), verdict.
fn columns(width: f32) -> [f32; 4] {
    let verdict = (width - 136.0).round();
    let step = |share: f32| (210.0 + (verdict - 240.0) * share).round();
    [step(0.2), step(0.6), step(0.9), verdict]
}

fn results(ui: &mut Ui, sheet: &mut Sheet) {
    let view = seat(sheet).clone();
    let head = strip(ui, 28.0);
    let [found, limit, margin, verdict] = columns(head.width());
    let y = head.top() + 17.0;
    let mut say = |x: f32, align, words: &str| {
        text::at(ui, pos2(head.left() + x, y), align, Face::NOTE, words);
    };
    say(0.0, Align::Left, "result");
    say(found, Align::Right, "found");
    say(limit, Align::Right, "limit");
    say(margin, Align::Right, "margin");
    say(verdict, Align::Left, "verdict");
    widgets::rule(ui);
    if view.checks.is_empty() {
        so_far(ui, sheet, &view);
        return;
    }
    for (index, check) in view.checks.iter().enumerate() {
        result(ui, sheet, index, check);
    }
}

/// What can be said before the grid is whole: never a verdict.
fn so_far(ui: &mut Ui, sheet: &Sheet, view: &SeatView) {
    let found = columns(ui.available_width())[0];
    for (plane, ovality) in (1..).zip(view.ovality_nm) {
        let Some(nm) = ovality else { continue };
        let rect = line(ui);
        titled(ui, rect, "Ovality", &format!("plane {plane}, so far"));
        let at = pos2(rect.left() + found, text::baseline(rect.center().y, 16.0));
        text::at(
            ui,
            at,
            Align::Right,
            Face::BODY.muted(),
            &sheet.show().length(nm),
        );
    }
    let rect = line(ui);
    let words = match view.missing {
        0 => "no limit in the register of types".to_owned(),
        1 => "1 value to read".to_owned(),
        count => format!("{count} values to read"),
    };
    widgets::badge_at(ui, rect.left_center(), Mark::Missing, &words);
}

fn line(ui: &mut Ui) -> Rect {
    let rect = strip(ui, RESULT);
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        theme::stroke(ui, 1.0, Token::Rule),
    );
    rect
}

fn titled(ui: &mut Ui, rect: Rect, title: &str, note: &str) {
    let baseline = text::baseline(rect.center().y, 16.0);
    let at = text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        Face::BODY,
        title,
    );
    text::at(
        ui,
        pos2(at.right() + space::S, baseline),
        Align::Left,
        Face::NOTE,
        note,
    );
}

fn result(ui: &mut Ui, sheet: &mut Sheet, index: usize, check: &SeatCheckView) {
    let rect = line(ui);
    let [found, limit, margin, verdict] = columns(rect.width()).map(|x| rect.left() + x);
    let note = match (check.about, check.plane) {
        ("bore_mean", _) => format!("{} values", 4 * seat(sheet).planes),
        ("bore_taper" | "neck_taper", _) => format!("plane 1 less {}", seat(sheet).planes),
        ("chock_shoulder" | "chock_cover_face" | "chock_width", _) => String::new(),
        (_, 0) => "two-point".to_owned(),
        (_, plane) => format!("plane {plane}"),
    };
    titled(ui, rect, check.title, &note);
    let middle = rect.center().y;
    let value = number(sheet, check, check.value_nm);
    let at = |x: f32, size: f32| pos2(x, text::baseline(middle, size));
    text::at(ui, at(found, 16.0), Align::Right, Face::STRONG, &value);
    text::at(
        ui,
        at(limit, 16.0),
        Align::Right,
        Face::BODY.muted(),
        &limit_words(sheet, check),
    );
    if let Some(nm) = check.margin_nm() {
        let token = match check.verdict {
            Verdict::Fail => Token::Fail,
            Verdict::PassInDoubt | Verdict::FailInDoubt => Token::Doubt,
            _ => Token::Muted,
        };
        text::at(
            ui,
            at(margin, 16.0),
            Align::Right,
            Face::BODY.token(token),
            &sheet.show().length(nm),
        );
    }
    let word = check.verdict.word();
    let name = format!("{}: {word}; why?", full_title(check));
    if let Some(beside) = badge_at(ui, verdict, middle, mark(check.verdict), word, &name) {
        sheet.view.why = Some((Why::Check(sheet.view.seat, index), beside));
    }
}

/// A value of this line: signed where it is a deviation.
pub fn number(sheet: &Sheet, check: &SeatCheckView, nm: i64) -> String {
    if check.is_deviation {
        sheet.show().deviation(nm)
    } else {
        sheet.show().length(nm)
    }
}

/// The limit of this line, `at least` where it is a lower one.
pub fn limit_words(sheet: &Sheet, check: &SeatCheckView) -> String {
    match (check.lower_nm, check.upper_nm) {
        (_, Some(upper)) => number(sheet, check, upper),
        (Some(lower), None) => format!("at least {}", number(sheet, check, lower)),
        (None, None) => "none".into(),
    }
}

/// `Ovality, plane 1`.
pub fn full_title(check: &SeatCheckView) -> String {
    if check.plane == 0 {
        check.title.to_owned()
    } else {
        format!("{}, plane {}", check.title, check.plane)
    }
}
