//! A neck or a bore measured apart from a teardown: its grid in the form, and what the readings say as they are typed.

use calc::conformity::Verdict;
use draw::tokens::{height, space};
use draw::{Align, Mark, Token};
use egui::{Rect, Ui, pos2, vec2};
use store::draft::{DraftField, Fields, Source};
use store::entry::Show;
use store::payload::Payload;
use store::sheet::field::{self, PLANES, SEAT_DEGREES, SeatName};
use store::sheet::{SeatAlone, SeatCheckView, seat_alone, seat_body};
use store::{Logbook, NewEvent, Stamp, ThingNo};

use super::field_view::{Around, keep_in_sight, number_field};
use super::form::{Act, Field, Form, Kind, Subject};
use super::model::Model;
use super::page::Page;
use super::unit::Unit;
use crate::drawings::{SeatSizes, bore_map};
use crate::ui::paint;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Outcome};
use crate::win::screens::bearings::verdicts::mark;

/// Width of the form, px: four sizes abreast.
pub const WIDTH: f32 = 520.0;
const LABEL: f32 = 68.0;
const MAP: f32 = 380.0;

const SIDES: &[(&str, &str)] = &[("O", "operator side"), ("D", "drive side")];
const CRACKS: &[(&str, &str)] = &[
    ("dye_clear", "dye: clear"),
    ("dye_crack", "dye: crack"),
    ("magnetic_clear", "magnetic: clear"),
    ("magnetic_crack", "magnetic: crack"),
    ("eye_only", "by eye only"),
];

const fn celsius(path: &'static str, label: &'static str) -> Field {
    Field::new(path, label, Kind::Number(Unit::Celsius))
}

const fn length(path: &'static str, label: &'static str) -> Field {
    Field::new(path, label, Kind::Number(Unit::Length))
}

/// The sizes, plane by direction, in the order of measuring.
pub const SIZES: [[Field; 4]; PLANES.len()] = [
    [
        length("size11", "plane 1 at 0 degrees"),
        length("size12", "plane 1 at 45 degrees"),
        length("size13", "plane 1 at 90 degrees"),
        length("size14", "plane 1 at 135 degrees"),
    ],
    [
        length("size21", "plane 2 at 0 degrees"),
        length("size22", "plane 2 at 45 degrees"),
        length("size23", "plane 2 at 90 degrees"),
        length("size24", "plane 2 at 135 degrees"),
    ],
    [
        length("size31", "plane 3 at 0 degrees"),
        length("size32", "plane 3 at 45 degrees"),
        length("size33", "plane 3 at 90 degrees"),
        length("size34", "plane 3 at 135 degrees"),
    ],
    [
        length("size41", "plane 4 at 0 degrees"),
        length("size42", "plane 4 at 45 degrees"),
        length("size43", "plane 4 at 90 degrees"),
        length("size44", "plane 4 at 135 degrees"),
    ],
];

/// Everything that is asked of a seat of so many planes, in the order of the caret: the temperatures frame the sizes.
pub fn fields(page: Page, planes: usize, (note, when): (Field, Field)) -> Vec<Field> {
    let is_roll = page == Page::Rolls;
    let (first, last) = if is_roll {
        ("neck temperature, first", "neck temperature, last")
    } else {
        ("chock temperature, first", "chock temperature, last")
    };
    let mut all = Vec::new();
    if is_roll {
        all.push(Field::new("neck", "neck of the roll", Kind::OneOf(SIDES)));
    }
    all.extend([
        Field::new("type", "limits of", Kind::Thing("bearing_type")),
        Field::new("gauge", "gauge", Kind::Thing("gauge")).hint("scan or type"),
        length("check_standard", "value of its standard"),
        length("check_read", "what it shows on the standard"),
        Field::new("thermometer", "thermometer", Kind::Thing("gauge")).hint("scan or type"),
        celsius("temp_first", first),
        celsius("temp_gauge", "gauge temperature"),
    ]);
    all.extend(SIZES.into_iter().take(planes).flatten());
    all.push(celsius("temp_last", last));
    all.push(Field::new(
        "why_not",
        "not measured in full, because",
        Kind::Words,
    ));
    if is_roll {
        all.push(Field::new(
            "cracks",
            "crack test of the neck",
            Kind::OneOf(CRACKS),
        ));
    }
    let why = "why it was measured";
    all.extend([
        Field { label: why, ..note }.hint("and a word to what is in doubt"),
        when,
    ]);
    all
}

/// Whether it is one of the sizes, which stand in a grid.
pub fn is_size(path: &str) -> bool {
    SIZES.iter().flatten().any(|field| field.path == path)
}

fn seat_of(page: Page) -> SeatName {
    if page == Page::Rolls {
        SeatName::Neck
    } else {
        SeatName::Bore
    }
}

/// The fields of a sheet that the form fills, with what was typed.
fn sheet_fields(form: &Form, model: &Model) -> Fields {
    let seat = seat_of(form.subject.page());
    let prefix = seat.prefix();
    let mut all = Fields::new();
    let mut put = |path: String, text: &str| {
        if !text.trim().is_empty() {
            let text = text.trim().to_owned();
            let source = Source::Typed;
            all.insert(path, DraftField { text, source });
        }
    };
    for (name, path) in [
        ("gauge", "gauge"),
        ("thermometer", "thermometer"),
        ("check_read", "check.read"),
        ("check_standard", "check.standard"),
        ("temp_first", "temp_first"),
        ("temp_gauge", "temp_gauge"),
        ("temp_last", "temp_last"),
    ] {
        put(format!("{prefix}.{path}"), form.text(name));
    }
    put(format!("skip.{prefix}"), form.text("why_not"));
    for (plane, row) in PLANES.into_iter().zip(&SIZES) {
        for (degrees, size) in SEAT_DEGREES.into_iter().zip(row) {
            put(field::size(seat, plane, degrees), form.text(size.path));
        }
    }
    let own = form.subject.thing();
    let code = model.things.iter().find(|t| Some(t.no) == own);
    if let Some(code) = code {
        let path = if seat == SeatName::Neck {
            put("neck.cracks".into(), form.text("cracks"));
            "identify.roll"
        } else {
            "identify.chock"
        };
        put(path.into(), &code.code);
    }
    all
}

fn limits(form: &Form, model: &Model) -> Option<ThingNo> {
    model.find("bearing_type", form.text("type")).map(|t| t.no)
}

fn is_one(form: &Form) -> bool {
    matches!(form.subject, Subject::Act(_, Act::SeatChecked, _))
}

/// What the readings say so far; none where the form is another one, or its limits are not chosen yet.
pub fn told(logbook: &Logbook, form: &Form, model: &Model, at: Stamp) -> Option<SeatAlone> {
    let of = limits(form, model).filter(|_| is_one(form))?;
    let fields = sheet_fields(form, model);
    let which = (seat_of(form.subject.page()), of);
    seat_alone(logbook, &fields, at, form.show.unit, which).ok()
}

/// An event as the form gives it, with the readings judged by the logbook; any other one as it is.
///
/// # Errors
/// The first reading that is not possible, by its name.
pub fn judged(
    logbook: &Logbook,
    form: &Form,
    model: &Model,
    mut event: NewEvent,
) -> store::Result<NewEvent> {
    let at = event.at;
    if let Payload::SeatCheck(p) = &mut event.payload {
        let fields = sheet_fields(form, model);
        p.body = seat_body(logbook, &fields, at, form.show.unit, limits(form, model))?;
    }
    Ok(event)
}

/// What is odd about the readings and asked once.
pub fn questions(seat: &SeatAlone, why_not: &str) -> Vec<String> {
    let is_told = !why_not.trim().is_empty();
    let odd = seat.problems.iter().filter(|(_, p)| !p.is_refusal);
    let mut all: Vec<String> = odd
        .map(|(path, p)| format!("{}: {}", field::label(path), p.text))
        .collect();
    match seat.view.missing {
        0 if is_told => {
            all.push("Everything is read: take the reason why not away.".into());
        }
        0 => {}
        _ if is_told => {}
        1 => all.push("One value is not read: there is no verdict without it.".into()),
        n => all.push(format!(
            "{n} values are not read: there is no verdict without them."
        )),
    }
    all
}

/// The sizes in a grid, each with its size at 20 C below, and what they come to.
pub fn grid_ui(ui: &mut Ui, form: &mut Form, around: &mut Around) {
    let told = form.seat.clone();
    let cell = ((ui.available_width() - LABEL - 3.0 * space::S) / 4.0).clamp(76.0, 96.0);
    let left = |column: usize| LABEL + column as f32 * (cell + space::S);
    let title = format!("Sizes, {}", form.show.unit.sign());
    widgets::heading(
        ui,
        &title,
        "planes from the barrel, directions from the vertical",
    );
    let (_, head) = ui.allocate_space(vec2(ui.available_width(), 20.0));
    for (column, degrees) in SEAT_DEGREES.into_iter().enumerate() {
        let at = pos2(
            head.left() + left(column),
            text::baseline(head.center().y, 13.0),
        );
        text::at(ui, at, Align::Left, Face::NOTE, &format!("{degrees}\u{b0}"));
    }
    for (plane, row) in SIZES.iter().take(form.planes).enumerate() {
        let size = vec2(ui.available_width(), height::TOUCH + 20.0);
        let (_, rect) = ui.allocate_space(size);
        let middle = rect.top() + height::TOUCH / 2.0;
        let at = pos2(rect.left(), text::baseline(middle, 16.0));
        text::at(
            ui,
            at,
            Align::Left,
            Face::BODY,
            &format!("plane {}", plane + 1),
        );
        for (column, field) in row.iter().enumerate() {
            let corner = pos2(rect.left() + left(column), rect.top());
            let place = Rect::from_min_size(corner, vec2(cell, height::TOUCH));
            let mut child =
                ui.new_child(egui::UiBuilder::new().id_salt(field.path).max_rect(place));
            size_ui(&mut child, form, field, cell, around);
            let at_20 = told.as_ref().and_then(|t| t.view.sizes_nm[plane][column]);
            if let Some(nm) = at_20.filter(|_| !form.text(field.path).is_empty()) {
                let at = pos2(place.right() - 4.0, place.bottom() + 14.0);
                text::at(ui, at, Align::Right, Face::NOTE, &form.show.length(nm));
            }
        }
    }
    text::note(
        ui,
        "Below each size stands the one at 20 \u{b0}C, once the temperatures are known.",
    );
    if let Some(told) = told.filter(|_| !form.tells_beside) {
        result_ui(ui, &told, form.show);
    }
    ui.add_space(space::M);
}

fn size_ui(ui: &mut Ui, form: &mut Form, field: &Field, cell: f32, around: &mut Around) {
    let name = format!("{}: {}", around.whose, field.label);
    let mut typed = form.text(field.path).to_owned();
    let at = (cell, false);
    let unit = Unit::Length;
    let outcome = number_field(ui, form, field.path, &name, unit, at, &mut typed, around);
    keep_in_sight(ui, field.path, ui.min_rect());
    match outcome {
        // A gauge's list fills the grid in the order of measuring.
        Outcome::Column(lines) => {
            let all: Vec<&Field> = SIZES.iter().take(form.planes).flatten().collect();
            let first = all.iter().position(|f| f.path == field.path).unwrap_or(0);
            for (field, line) in all[first..].iter().zip(lines) {
                form.set(field.path, line);
            }
            return;
        }
        Outcome::Commit(step) => around.step(ui, field.path, step),
        _ => {}
    }
    if typed != form.text(field.path) {
        form.set(field.path, typed);
    }
}

/// What the readings come to, at the right of the form where there is room for it.
pub fn beside_ui(ui: &mut Ui, form: &mut Form, room: Rect) {
    form.tells_beside = is_one(form) && room.width() >= MAP;
    let Some(told) = form.seat.clone().filter(|_| form.tells_beside) else {
        return;
    };
    ui.scope_builder(egui::UiBuilder::new().max_rect(room), |ui| {
        ui.add_space(space::L);
        widgets::heading(ui, "What the readings say", &told.limits.code);
        result_ui(ui, &told, form.show);
    });
}

/// What the gauge is worth, what is odd, the outline and the verdicts.
fn result_ui(ui: &mut Ui, told: &SeatAlone, show: Show) {
    ui.add_space(space::S);
    if let Some(gauge) = told.gauge.as_ref().filter(|g| !g.doubt.is_empty()) {
        let words = format!(
            "{}: {}. The verdict is at best in doubt; say below why it was used all the same.",
            gauge.code, gauge.doubt
        );
        text::say(ui, Face::NOTE_STRONG.token(Token::Doubt), &words);
    }
    for (path, problem) in &told.problems {
        let token = if problem.is_refusal {
            Token::Fail
        } else {
            Token::Doubt
        };
        let hint = problem.hint.as_deref().unwrap_or_default();
        let words = format!("{}: {} {hint}", field::label(path), problem.text);
        text::say(ui, Face::NOTE_STRONG.token(token), words.trim_end());
    }
    let view = &told.view;
    if view.is_empty() {
        return;
    }
    let sizes = SeatSizes {
        seat: view.seat,
        sizes_nm: view.sizes_nm[..view.planes].to_vec(),
        bearing_type: &told.limits,
        title: format!("{} at 20 \u{b0}C", view.seat.title()),
    };
    let width = MAP.min(ui.available_width());
    paint::scene(ui, &bore_map(&sizes, show).scene(width));
    if view.checks.is_empty() {
        let words = match view.missing {
            0 => "the type names no limit of this seat".to_owned(),
            1 => "1 value to read".to_owned(),
            n => format!("{n} values to read"),
        };
        widgets::badge(ui, Mark::Missing, &words);
    }
    for check in &view.checks {
        check_ui(ui, check, show);
    }
}

fn check_ui(ui: &mut Ui, check: &SeatCheckView, show: Show) {
    let number = |nm: i64| {
        if check.is_deviation {
            show.deviation(nm)
        } else {
            show.length(nm)
        }
    };
    let plane = match check.plane {
        0 => String::new(),
        plane => format!(", plane {plane}"),
    };
    let limit = match (check.lower_nm, check.upper_nm) {
        (_, Some(upper)) => format!("limit {}", number(upper)),
        (Some(lower), None) => format!("at least {}", number(lower)),
        (None, None) => "no limit".into(),
    };
    let (_, rect) = ui.allocate_space(vec2(ui.available_width(), 30.0));
    let base = |size: f32| text::baseline(rect.center().y, size);
    let title = format!("{}{plane}", check.title);
    text::at(
        ui,
        pos2(rect.left(), base(16.0)),
        Align::Left,
        Face::BODY,
        &title,
    );
    let value = pos2(rect.left() + 240.0, base(16.0));
    text::at(
        ui,
        value,
        Align::Right,
        Face::STRONG,
        &number(check.value_nm),
    );
    let at = pos2(rect.left() + 256.0, base(13.0));
    text::at(ui, at, Align::Left, Face::NOTE, &limit);
    let verdict: Verdict = check.verdict;
    let at = pos2(rect.left() + 360.0, rect.center().y);
    widgets::badge_at(ui, at, mark(verdict), verdict.word());
}
