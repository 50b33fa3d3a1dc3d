//! The fields of a mounting sheet, drawn by what they hold, in rows.

use draw::Align;
use draw::tokens::{height, space};
use egui::{Ui, pos2, vec2};
use store::payload::Role;
use store::sheet::{FieldKind, field};

use super::view::MountView;
use crate::ui::focus;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::screens::sheet::entries::has;
use crate::win::screens::sheet::layout::labelled;
use crate::win::screens::sheet::{self, unit_of};
use crate::win::screens::teardown::gauge::status;
use crate::win::screens::teardown::identify::ZONES;

/// Width of a measuring field, of a field for a code, of a choice for each of its words.
const NUMBER: f32 = 88.0;
const CODE: f32 = 200.0;
const WORD: f32 = 108.0;
/// Width of the title of a row, and the height of a row.
const TITLE: f32 = 152.0;
const ROW: f32 = 64.0;

/// One frame of the sheet.
pub type On<'a> = sheet::On<'a, MountView>;

impl On<'_> {
    /// Draws a field by what it holds, in the flow.
    pub(super) fn field(&mut self, ui: &mut Ui, path: &str) {
        let label = self.told(&short(path));
        let has_caret = focus::has(ui.ctx(), path);
        if path.starts_with("skip.") && !self.is_wanted(ui, path) {
            // A reason is only asked for where one says that something is not done.
            if widgets::quiet(ui, &label).clicked() {
                path.clone_into(&mut self.view.caret);
                focus::ask(ui.ctx(), path);
            }
            return;
        }
        let rect = labelled(ui, &label, |ui| {
            match field::kind(path) {
                Some(FieldKind::Number(quantity)) => {
                    let (unit, width) = if in_grid(path) {
                        ("", NUMBER)
                    } else {
                        (unit_of(quantity, self.unit()), 120.0)
                    };
                    let (_, rect) = ui.allocate_space(vec2(width, height::TOUCH));
                    self.number(ui, path, rect, unit);
                }
                Some(FieldKind::Code(entity)) => {
                    let choices = self.choices(path, entity);
                    self.code(ui, path, "scan or type", CODE, &choices);
                }
                Some(FieldKind::Zone) => self.choice(ui, path, &ZONES, &ZONES, 72.0),
                Some(FieldKind::Choice(list)) => {
                    let (texts, words): (Vec<&str>, Vec<&str>) = list.words().into_iter().unzip();
                    // As wide as the longest word wants, chosen or not.
                    let longest = words
                        .iter()
                        .map(|word| text::width(ui, Face::SECTION, word));
                    let wanted = longest.fold(WORD, f32::max) + 2.0 * space::M;
                    let room = ui.available_width() / words.len().max(1) as f32;
                    let width = wanted.min(room).max(72.0);
                    self.choice(ui, path, &words, &texts, width);
                }
                Some(FieldKind::Time) => {
                    let hint = format!("now: {}", self.model.now.date_time());
                    self.words(ui, path, &hint, 240.0);
                }
                _ => {
                    let width = ui.available_width();
                    self.words(ui, path, "", width);
                }
            }
            ui.min_rect()
        });
        // The caret may have come to a field below the edge.
        if has_caret && self.view.caret != path {
            ui.scroll_to_rect(rect.expand(space::XL), None);
        }
        if has_caret {
            path.clone_into(&mut self.view.caret);
        }
    }

    /// Whether a field holds something, or the caret is or comes there.
    fn is_wanted(&self, ui: &Ui, path: &str) -> bool {
        has(self.view.entries.fields(), path)
            || self.view.entries.is_typing(path)
            || self.view.caret == path
            || focus::current(ui.ctx(), &[path]).is_some()
    }

    /// What a field for a code may name.
    fn choices(&self, path: &str, entity: &str) -> Vec<(String, String)> {
        match entity {
            "gauge" => {
                let measures = if path == "neck.gauge" {
                    &["neck"][..]
                } else {
                    store::mounting::field::measures(path)
                };
                measures
                    .iter()
                    .flat_map(|what| self.model.gauges(what))
                    .collect()
            }
            "person" => self
                .model
                .people(&[Role::Fitter, Role::Foreman, Role::Engineer]),
            _ => self.model.choices(entity),
        }
    }

    /// A title at the left of a row, with its fields beside it.
    pub(super) fn row(&mut self, ui: &mut Ui, title: &str, paths: &[String]) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::L;
            if !title.is_empty() {
                let (_, rect) = ui.allocate_space(vec2(TITLE, ROW));
                let at = pos2(rect.left(), text::baseline(rect.top() + 46.0, 16.0));
                text::at(ui, at, Align::Left, Face::BODY, title);
            }
            for path in paths {
                self.field(ui, path);
            }
            // In a row of like readings the unit stands once, behind them.
            let last = paths.last().filter(|path| in_grid(path));
            if let Some(FieldKind::Number(quantity)) = last.and_then(|path| field::kind(path)) {
                let unit = unit_of(quantity, self.unit());
                let (_, rect) = ui.allocate_space(vec2(text::width(ui, Face::NOTE, unit), ROW));
                let at = pos2(rect.left(), text::baseline(rect.top() + 46.0, 16.0));
                text::at(ui, at, Align::Left, Face::NOTE, unit);
            }
        });
        for path in paths {
            self.gauge_in_doubt(ui, path);
        }
        ui.add_space(space::S);
    }

    /// Under the field of a gauge: that it is overdue or was found out. What is read on it is kept and flagged.
    fn gauge_in_doubt(&self, ui: &mut Ui, path: &str) {
        if field::kind(path) != Some(FieldKind::Code("gauge")) || self.view.entries.is_typing(path)
        {
            return;
        }
        let code = self.view.entries.committed(path);
        let mut gauges = self.facts.base.gauges.values();
        let Some(gauge) = gauges.find(|g| g.is_overdue && g.code.eq_ignore_ascii_case(code)) else {
            return;
        };
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = space::M;
            let (mark, word) = status(gauge, self.facts.base.at.offset_min);
            widgets::badge(ui, mark, &format!("{}: {word}", gauge.code));
            text::note(
                ui,
                "what is read on it is kept and flagged; release needs the engineer",
            );
        });
    }
}

/// A reading in a row of like ones.
fn in_grid(path: &str) -> bool {
    let last = path.rsplit('.').next().unwrap_or_default();
    last.parse::<i64>().is_ok()
}

/// The name of a field in its row: places and rows in short, all else whole.
fn short(path: &str) -> String {
    // Beside the gauge it belongs to.
    if path.ends_with(".check.read") {
        return "reads on its standard".into();
    }
    if path.ends_with(".check.standard") {
        return "value of the standard".into();
    }
    let last = path.rsplit('.').next().unwrap_or_default();
    let Ok(number) = last.parse::<usize>() else {
        return store::mounting::field::name(path);
    };
    if path.starts_with("neck.")
        || path.starts_with("mount.seat")
        || path.starts_with("mount.cover")
    {
        return format!("{number}\u{b0}");
    }
    if path.starts_with("mount.ring") {
        return format!("{}\u{b0}", (number.max(1) - 1) * 45);
    }
    if path.starts_with("mount.play") {
        return format!("rows {}", calc::disposition::pair_rows(number.max(1) - 1));
    }
    if path.starts_with("mount.parts.zone") {
        return field::label(path);
    }
    format!(
        "{} {number}",
        if path.starts_with("mount.radial") {
            "place"
        } else {
            "row"
        }
    )
}
