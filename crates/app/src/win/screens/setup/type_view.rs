//! The editor of a bearing type, over the table: values in groups at the left; the stack to scale, what a change
//! means, and saving at the right.

use std::collections::BTreeMap;

use draw::bearing_section::{BearingSection, Build, Sizes};
use draw::stack_map::PairNote;
use draw::tokens::{height, space};
use draw::{Pair, Token};
use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui, UiBuilder, vec2};
use store::entry::Show;
use store::payload::TypeValueMeaning;

use super::field_view::{
    Around, before, capital, field_ui, full_path, keep_in_sight, number_field,
};
use super::fields::BEARING_KINDS;
use super::form::{Field, Form, Kind, Subject, Wrong};
use super::form_view::{Pressed, caret_id, foot_ui, head, title, wrongs_of};
use super::model::Model;
use super::type_values::{self, GROUPS, Group, label_of, pair_name, path_of};
use super::unit::Unit;
use super::versions_view::versions_ui;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Outcome};
use crate::ui::{focus, paint, theme};
use crate::win::command::Command;
use crate::win::screens::Cx;

const LABEL: f32 = 176.0;
/// A field of one row pair; its unit stands in the label.
const PAIR: f32 = 112.0;
/// A field of the whole bearing, with room for its unit.
const WHOLE: f32 = 136.0;
/// A percentage and its label: two of them abreast beside the section in the smallest window.
const PERCENT: f32 = 96.0;
const PERCENT_LABEL: f32 = 152.0;

const CODE: Field = Field::new("code", "designation", Kind::Words);
const KIND: Field = Field::new("kind", "kind", Kind::OneOf(BEARING_KINDS));
const LUBRICATION: Field = Field::new(
    "lubrication",
    "approved greases and scheme, with the approval\u{2019}s reference",
    Kind::Words,
);
const FROM: Field = Field::new("from", "valid from", Kind::Words)
    .hint("today; or a day before, such as 2031-03-14");
const REASON: Field = Field::new("reason", "why the type changes", Kind::Words);

/// The paths of the fields in the order of the caret.
fn order(is_edit: bool) -> Vec<String> {
    let mut order = vec![CODE.path.to_owned(), KIND.path.to_owned()];
    order.extend(type_values::all().into_iter().map(|(path, ..)| path));
    order.push(LUBRICATION.path.into());
    if is_edit {
        order.push(FROM.path.into());
        order.push(REASON.path.into());
    }
    order.iter().map(|path| full_path(path)).collect()
}

/// The editor over the whole page.
pub fn type_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &Model,
    form: &mut Form,
    commands: &mut Vec<Command>,
) -> Option<Pressed> {
    let wrongs = wrongs_of(form, model, cx);
    let order = order(matches!(form.subject, Subject::Edit(..)));
    if std::mem::take(&mut form.wants_caret) {
        focus::ask(ui.ctx(), &order[0]);
    }
    let is_open = cx.read_only.is_none();
    let whose = "Bearing type";
    let mut around = Around {
        model,
        wrongs: &wrongs,
        order: &order,
        whose,
        is_open,
        is_at_end: false,
        go: None,
    };
    let width = (ui.available_width() * 0.42).clamp(380.0, 640.0);
    let ground = Frame::new()
        .fill(theme::color(ui, Token::Ground))
        .inner_margin(Margin::symmetric(20, 0));
    let side = Panel::right("setup type")
        .exact_size(width)
        .resizable(false)
        .show_separator_line(false)
        .frame(ground);
    let mut pressed = side
        .show(ui, |ui| {
            side_ui(ui, cx, model, form, &mut around, &wrongs, commands)
        })
        .inner;
    let margin = Margin {
        left: 24,
        right: 16,
        top: 0,
        bottom: 16,
    };
    let sheet = Frame::new()
        .fill(theme::color(ui, Token::Sheet))
        .inner_margin(margin);
    CentralPanel::default().frame(sheet).show(ui, |ui| {
        pressed = pressed.or(head(ui, &title(form, model)));
        ScrollArea::vertical()
            .id_salt(("setup type fields", form.subject))
            .auto_shrink(false)
            .show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 4.0;
                ui.add_space(space::S);
                ui.scope(|ui| field_ui(ui, form, &CODE, &mut around));
                ui.scope(|ui| field_ui(ui, form, &KIND, &mut around));
                for group in GROUPS {
                    group_ui(ui, form, group, &mut around);
                }
                ui.add_space(space::M);
                ui.scope(|ui| field_ui(ui, form, &LUBRICATION, &mut around));
            });
    });
    if around.is_at_end {
        ui.data_mut(|data| data.insert_temp(caret_id(), true));
        ui.ctx().request_repaint();
    }
    pressed
}

fn group_ui(ui: &mut Ui, form: &mut Form, group: Group, around: &mut Around) {
    ui.add_space(space::M);
    widgets::heading(ui, group.title, group.note);
    widgets::rule(ui);
    let mut is_headed = false;
    for meaning in group.values() {
        if meaning.per_pair && !is_headed {
            pair_heads(ui, form.show);
            is_headed = true;
        }
        if !is_percent(meaning) {
            value_row(ui, form, meaning, around);
        }
    }
    percents_ui(ui, form, group, around);
}

fn is_percent(meaning: &TypeValueMeaning) -> bool {
    type_values::unit(meaning) == Unit::Percent
}

/// Percentages are short and many: two abreast where there is room.
fn percents_ui(ui: &mut Ui, form: &mut Form, group: Group, around: &mut Around) {
    let all: Vec<_> = group.values().filter(|m| is_percent(m)).collect();
    let column = PERCENT_LABEL + space::S + PERCENT;
    let gap = space::L;
    let abreast = if ui.available_width() >= 2.0 * column + gap {
        2
    } else {
        1
    };
    for row in all.chunks(abreast) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for meaning in row {
                ui.vertical(|ui| {
                    ui.set_width(column);
                    value_row(ui, form, meaning, around);
                });
            }
        });
    }
}

/// Spacers and rows over the columns of the row pairs.
fn pair_heads(ui: &mut Ui, show: Show) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        ui.add_space(LABEL);
        for (index, pair) in [Pair::P1, Pair::P2, Pair::P3].into_iter().enumerate() {
            ui.allocate_ui(vec2(PAIR, 24.0), |ui| {
                ui.set_min_width(PAIR);
                let words = format!("{}  {}", show.spacer(index + 1), show.pair_rows(index + 1));
                widgets::pair(ui, pair, &words);
            });
        }
    });
}

fn value_row(
    ui: &mut Ui,
    form: &mut Form,
    meaning: &'static TypeValueMeaning,
    around: &mut Around,
) {
    let items = if meaning.per_pair { 1..=3 } else { 0..=0 };
    let row = ui.horizontal(|ui| {
        ui.set_row_height(height::TOUCH);
        ui.spacing_mut().item_spacing.x = space::S;
        label_ui(ui, form, meaning);
        for item in items.clone() {
            value_ui(ui, form, meaning, item, around);
        }
    });
    for item in items.clone() {
        keep_in_sight(ui, &path_of(meaning.name, item), row.response.rect);
    }
    for item in items {
        remark_ui(ui, form, meaning, item, around);
    }
}

/// What a row is, beside the middle of its fields, in one line or two.
fn label_ui(ui: &mut Ui, form: &Form, meaning: &TypeValueMeaning) {
    let unit = if meaning.per_pair {
        type_values::unit(meaning).sign(form.show)
    } else {
        ""
    };
    let title = capital(type_values::short_title(meaning));
    let words = if unit.is_empty() {
        title
    } else {
        format!("{title}, {unit}")
    };
    let width = if is_percent(meaning) {
        PERCENT_LABEL
    } else {
        LABEL
    };
    let (_, rect) = ui.allocate_space(vec2(width, height::TOUCH));
    let lines = if text::width(ui, Face::BODY, &words) > width {
        2.0
    } else {
        1.0
    };
    let top = rect.center().y - lines * 11.0;
    let place = egui::Rect::from_min_max(egui::pos2(rect.left(), top), rect.max);
    let builder = UiBuilder::new()
        .max_rect(place)
        .layout(egui::Layout::top_down(egui::Align::Min));
    text::say(&mut ui.new_child(builder), Face::BODY, &words);
}

fn value_ui(
    ui: &mut Ui,
    form: &mut Form,
    meaning: &TypeValueMeaning,
    item: i64,
    around: &mut Around,
) {
    let path = path_of(meaning.name, item);
    let name = format!(
        "{}: {}",
        around.whose,
        label_of(meaning, item, form.show.rows)
    );
    let mut typed = form.text(&path).to_owned();
    let unit = type_values::unit(meaning);
    let width = if meaning.per_pair {
        PAIR
    } else if is_percent(meaning) {
        PERCENT
    } else {
        WHOLE
    };
    let outcome = number_field(
        ui,
        form,
        &path,
        &name,
        unit,
        (width, !meaning.per_pair),
        &mut typed,
        around,
    );
    if typed != form.text(&path) {
        form.set(&path, typed);
    }
    match outcome {
        Outcome::Commit(step) => around.step(ui, &path, step),
        Outcome::Column(lines) => fill_on(form, meaning, item, &lines),
        _ => {}
    }
}

/// Several numbers pasted fill the row pairs from here on.
fn fill_on(form: &mut Form, meaning: &TypeValueMeaning, first: i64, lines: &[String]) {
    let last = if meaning.per_pair { 3 } else { first };
    for (item, line) in (first..=last).zip(lines) {
        form.set(&path_of(meaning.name, item), line.clone());
    }
}

fn remark_ui(ui: &mut Ui, form: &Form, meaning: &TypeValueMeaning, item: i64, around: &Around) {
    let path = path_of(meaning.name, item);
    let pair = usize::try_from(item).ok().filter(|pair| *pair > 0);
    let name = pair.map(|pair| pair_name(meaning, pair, form.show.rows));
    let whose = name
        .as_ref()
        .map_or_else(String::new, |name| format!("{name}: "));
    let why = around
        .why(ui, form, &path)
        .map(|why| format!("{whose}{why}"));
    let before_text = form.text_before(&path);
    let is_changed = !before_text.is_empty()
        && form.text(&path) != before_text
        && form.subject.thing().is_some();
    if why.is_none() && !is_changed {
        return;
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        // Two abreast leave no room beside the label.
        if !is_percent(meaning) {
            ui.add_space(LABEL + space::S);
        }
        ui.vertical(|ui| {
            if let Some(why) = why {
                text::say(ui, Face::NOTE_STRONG.token(Token::Fail), &why);
            }
            match name.filter(|_| is_changed) {
                Some(name) => {
                    text::note(ui, &format!("{name} was {before_text}"));
                }
                None => before(ui, form, &path),
            }
        });
    });
}

fn side_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &Model,
    form: &mut Form,
    around: &mut Around,
    wrongs: &[Wrong],
    commands: &mut Vec<Command>,
) -> Option<Pressed> {
    let edge = ui.max_rect().left() - 19.5;
    ui.painter().vline(
        edge,
        ui.clip_rect().y_range(),
        theme::stroke(ui, 1.0, Token::Rule),
    );
    let caret = ui
        .data_mut(|data| data.remove_temp::<bool>(caret_id()))
        .unwrap_or(false);
    let ground = Frame::new()
        .fill(theme::color(ui, Token::Ground))
        .inner_margin(Margin::symmetric(0, 8));
    let foot = Panel::bottom("setup type foot")
        .resizable(false)
        .show_separator_line(false)
        .frame(ground);
    let pressed = foot
        .show(ui, |ui| foot_ui(ui, cx, form, wrongs, caret, commands))
        .inner;
    ScrollArea::vertical().id_salt("setup type side").auto_shrink(false).show(ui, |ui| {
        ui.add_space(space::L);
        drawing_ui(ui, form, around.order);
        ui.add_space(space::M);
        if let Some(opened) = model.opened.as_ref().filter(|_| form.subject.thing().is_some()) {
            widgets::heading(ui, "A new version", "asked for when a value changes");
            text::body(ui, "Sheets signed before keep the old limits.");
            ui.add_space(space::M);
            ui.scope(|ui| {
                ui.spacing_mut().item_spacing.y = 4.0;
                field_ui(ui, form, &FROM, around);
                field_ui(ui, form, &REASON, around);
            });
            ui.add_space(space::M);
            versions_ui(ui, &opened.versions, form.show);
        } else {
            widgets::heading(ui, "Valid from today", &cx.now.date());
            text::body(ui, "Every verdict names the limit that it rests on. A later change is a new version with its own day and reason; sheets signed before keep the old limits.");
        }
    });
    pressed
}

/// The section to scale, drawn anew with each key, and what it still lacks.
fn drawing_ui(ui: &mut Ui, form: &Form, order: &[String]) {
    widgets::heading(ui, "Half section", "to scale");
    let Some(build) = build_of(form.text("kind")) else {
        text::note(
            ui,
            "Choose the kind: the section is drawn while the sizes are typed.",
        );
        return;
    };
    let lit = focus::current(ui.ctx(), order).and_then(|at| pair_of(&order[at]));
    let section = section(form, build, lit);
    let width = ui.available_width().floor();
    paint::scene(ui, &section.scene(width));
    for words in lacks(form, &section) {
        text::note(ui, &words);
    }
}

fn build_of(kind: &str) -> Option<Build> {
    Some(match kind {
        "four_row_tapered" => Build::FourRowTapered,
        "four_row_cylindrical" => Build::FourRowCylindrical,
        "four_row_cylindrical_inner" => Build::InnerHalf,
        "two_row_spherical" => Build::TwoRowSpherical,
        "two_row_thrust" => Build::TwoRowThrust,
        _ => return None,
    })
}

/// What is not typed yet, or cannot be drawn as it is typed.
fn lacks(form: &Form, section: &BearingSection) -> Vec<String> {
    let names = ["bore d", "outside diameter D", "width B"];
    let drawn = section.sizes.is_drawn(section.build);
    let all = || names.iter().zip(drawn).zip(&section.words);
    let mut missing: Vec<&str> = all()
        .filter(|((_, _), words)| words.is_empty())
        .map(|((name, _), _)| *name)
        .collect();
    let is_tapered = section.build == Build::FourRowTapered;
    if is_tapered && section.sizes.spacers_mm.iter().any(Option::is_none) {
        missing.push("spacers");
    }
    let odd: Vec<&str> = all()
        .filter(|((_, is_drawn), words)| !is_drawn && !words.is_empty())
        .map(|((name, _), _)| *name)
        .collect();
    let mut lines = Vec::new();
    if !missing.is_empty() {
        lines.push(format!(
            "Not typed yet: {}. Drawn as such bearings usually are.",
            missing.join(", ")
        ));
    }
    if !odd.is_empty() {
        lines.push(format!(
            "Not drawn as typed, since it does not go with the rest: {}.",
            odd.join(", ")
        ));
    }
    let rows = form.text(&path_of("rows_count", 0));
    let usual = if matches!(section.build, Build::TwoRowSpherical | Build::TwoRowThrust) {
        "2"
    } else {
        "4"
    };
    if !rows.is_empty() && rows != usual && section.build != Build::FourRowCylindrical {
        lines.push(format!("The kind has {usual} rows, {rows} is typed."));
    }
    lines
}

fn pair_of(path: &str) -> Option<Pair> {
    match path.rsplit_once('/')?.1 {
        "1" => Some(Pair::P1),
        "2" => Some(Pair::P2),
        "3" => Some(Pair::P3),
        _ => None,
    }
}

/// The numbers that can be read so far, nm.
fn sizes(form: &Form) -> BTreeMap<String, i64> {
    let read = |(path, meaning, _): (String, &'static TypeValueMeaning, i64)| {
        let unit = type_values::unit(meaning);
        let value = form
            .number_before(&path)
            .or_else(|| unit.read(form.text(&path), form.show).ok())?;
        Some((path, value))
    };
    type_values::all().into_iter().filter_map(read).collect()
}

fn section(form: &Form, build: Build, lit: Option<Pair>) -> BearingSection {
    let sizes = sizes(form);
    let mm = |name: &str, pair: i64| sizes.get(&path_of(name, pair)).map(|nm| *nm as f64 / 1e6);
    let note = |index: usize| {
        let text = form.text(&path_of("spacer_nm", index as i64 + 1));
        PairNote {
            name: form.show.spacer(index + 1),
            value: if text.is_empty() {
                "no width".into()
            } else {
                text.into()
            },
            is_read: !text.is_empty(),
            note: String::new(),
            hit: None,
        }
    };
    let words = |name: &str| form.text(&path_of(name, 0)).trim().to_owned();
    BearingSection {
        build,
        sizes: Sizes {
            bore_mm: mm("bore_nm", 0),
            outside_mm: mm("outside_nm", 0),
            width_mm: mm("width_nm", 0),
            spacers_mm: std::array::from_fn(|i| mm("spacer_nm", i as i64 + 1)),
        },
        words: ["bore_nm", "outside_nm", "width_nm"].map(words),
        rows: sizes
            .get(&path_of("rows_count", 0))
            .and_then(|rows| usize::try_from(*rows).ok())
            .unwrap_or(4),
        pairs: std::array::from_fn(note),
        lit,
        barrel: "barrel".into(),
        outboard: "outboard".into(),
        assumed: "assumed".into(),
        title: "Half section of the bearing type, to scale".into(),
    }
}
