//! The list of the pages at the left, and the table of the one that is open.

use draw::tokens::{height, size, space};
use draw::{Align, Token};
use egui::{
    CentralPanel, Frame, Margin, Panel, Role, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2,
};
use store::ThingNo;
use store::query::ThingRow;

use super::field_view::beside;
use super::form::{Form, Subject};
use super::form_view::title;
use super::model::Model;
use super::page::{ORDER, Page};
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{self, Col, Columns, Kind, Row, TextField};

const LIST: f32 = 176.0;

/// The pages; the one that was pressed.
pub fn list_ui(ui: &mut Ui, model: &Model, current: Page) -> Option<Page> {
    let frame = Frame::new().fill(theme::color(ui, Token::Ground));
    let panel = Panel::left("setup pages")
        .exact_size(LIST)
        .resizable(false)
        .show_separator_line(false)
        .frame(frame);
    let show = |ui: &mut Ui| {
        let rect = ui.max_rect();
        ui.painter().vline(
            rect.right() - 0.5,
            rect.y_range(),
            theme::stroke(ui, 1.0, Token::Rule),
        );
        ui.spacing_mut().item_spacing.y = 0.0;
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.add_space(space::L);
            let mut pressed = None;
            for page in Page::ALL {
                if page == Page::Logbook {
                    ui.add_space(space::S);
                }
                // Nothing is counted before it is read.
                let count = model.page.map(|_| model.count(page));
                if item(ui, page, count, page == current) {
                    pressed = Some(page);
                }
            }
            pressed
        })
    };
    panel.show(ui, show).inner.inner
}

fn item(ui: &mut Ui, page: Page, count: Option<usize>, is_current: bool) -> bool {
    let (_, rect) = ui.allocate_space(vec2(LIST, height::TOUCH));
    let response = ui.interact(
        rect,
        ui.make_persistent_id(("setup page", page.name())),
        Sense::click(),
    );
    let name = format!("Setup: {}", page.name());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_current, &name));
    frames::ground(ui, rect, is_current, &response);
    let face = if is_current {
        Face::STRONG
    } else {
        Face::BODY.muted()
    };
    let baseline = text::baseline(rect.center().y, size::BODY);
    text::silent(
        ui,
        pos2(rect.left() + 16.0, baseline),
        Align::Left,
        face,
        page.name(),
    );
    if let Some(count) = count.filter(|_| page.entity().is_some()) {
        let at = pos2(
            rect.right() - 14.0,
            text::baseline(rect.center().y, size::NOTE),
        );
        text::silent(ui, at, Align::Right, Face::NOTE, &count.to_string());
    }
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

/// What was pressed in the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chosen {
    /// Add a thing.
    Add,
    /// Paste a table.
    Paste,
    /// Open this one.
    Open(ThingNo),
    /// Go on with a form that was closed with something typed in it.
    GoOn(Subject),
    /// Throw it away.
    Discard(Subject),
}

/// What the table needs to know besides the model.
pub struct TableView<'a> {
    /// The page.
    pub page: Page,
    /// The thing whose form is open.
    pub open: Option<ThingNo>,
    /// A form is open beside the table.
    pub is_beside_form: bool,
    /// Things can be added.
    pub may_add: bool,
    /// A table was pasted that is not in the register.
    pub is_pasted: bool,
    /// Forms of this page that were closed with something typed in them.
    pub kept: &'a [&'a Form],
}

/// The table of a page.
pub fn table_ui(
    ui: &mut Ui,
    model: &Model,
    view: &TableView,
    search: &mut String,
) -> Option<Chosen> {
    let margin = Margin {
        left: 24,
        right: 24,
        top: 14,
        bottom: 16,
    };
    let frame = Frame::new()
        .fill(theme::color(ui, Token::Sheet))
        .inner_margin(margin);
    CentralPanel::default()
        .frame(frame)
        .show(ui, |ui| contents(ui, model, view, search))
        .inner
}

fn contents(ui: &mut Ui, model: &Model, view: &TableView, search: &mut String) -> Option<Chosen> {
    let page = view.page;
    let mut chosen = None;
    let rows = &model.table.rows;
    widgets::page_title(ui, page.name(), page.about());
    for form in view.kept {
        chosen = chosen.or(kept_ui(ui, form, model));
    }
    if view.is_pasted {
        chosen = chosen.or(pasted_ui(ui));
    }
    let add = format!("Add a {}", page.noun());
    if rows.is_empty() {
        ui.add_space(space::M);
        let sentence = format!("No {} yet.", page.noun());
        let detail = format!("{} {ORDER}", page.about());
        let action = (view.may_add && !view.is_beside_form).then_some(add.as_str());
        if widgets::empty_page(ui, &sentence, &detail, action) {
            chosen = Some(Chosen::Add);
        }
        if view.may_add && !view.is_beside_form {
            ui.add_space(space::S);
            let right = egui::Layout::right_to_left(egui::Align::Center);
            ui.allocate_ui_with_layout(vec2(ui.available_width(), height::TOUCH), right, |ui| {
                ui.add_space(19.0);
                chosen = chosen.or(paste_button(ui));
            });
        }
        return chosen;
    }
    ui.horizontal(|ui| {
        ui.set_row_height(height::TOUCH);
        let width = (ui.available_width() - 340.0).clamp(120.0, 360.0);
        let name = format!("Find in {}", page.name().to_lowercase());
        TextField::new("setup-find", &name)
            .hint("find in this list")
            .width(width)
            .show(ui, search);
        ui.add_space(space::S);
        let kind = if view.is_beside_form {
            Kind::Second
        } else {
            Kind::Primary
        };
        if view.may_add && widgets::Button::new(kind, &add).show(ui).clicked() {
            chosen = Some(Chosen::Add);
        }
        if view.may_add && !view.is_beside_form {
            ui.add_space(space::XS);
            chosen = chosen.or(paste_button(ui));
        }
    });
    ui.add_space(space::S);
    let shown: Vec<&ThingRow> = rows.iter().filter(|row| fits(row, search)).collect();
    if shown.is_empty() {
        text::note(
            ui,
            &format!("None of {} fits {:?}.", rows.len(), search.trim()),
        );
        return chosen;
    }
    chosen.or(rows_ui(ui, model, view, &shown))
}

fn paste_button(ui: &mut Ui) -> Option<Chosen> {
    let button = widgets::Button::new(Kind::Second, "Paste a table");
    let about = "Many rows from a table program: Ctrl+V on this page does the same.";
    let is_pressed = button.show(ui).on_hover_text(about).clicked();
    is_pressed.then_some(Chosen::Paste)
}

/// A table that was pasted is kept until it is in the register.
fn pasted_ui(ui: &mut Ui) -> Option<Chosen> {
    let mut chosen = None;
    ui.horizontal(|ui| {
        ui.set_row_height(height::TOUCH);
        beside(
            ui,
            Face::BODY.token(Token::Doubt),
            "Pasted and not saved: a table",
        );
        let button = widgets::Button::new(Kind::Quiet, "Go on").name("Go on with the table");
        chosen = button.show(ui).clicked().then_some(Chosen::Paste);
    });
    chosen
}

/// A form that was closed: nothing typed is lost.
fn kept_ui(ui: &mut Ui, form: &Form, model: &Model) -> Option<Chosen> {
    let thing = form
        .subject
        .thing()
        .and_then(|no| model.things.iter().find(|t| t.no == no));
    let name = match (form.subject, thing) {
        (Subject::Edit(..), Some(thing)) => thing.code.clone(),
        (Subject::Act(_, act, _), Some(thing)) => {
            format!("{}: {}", thing.code, act.name().to_lowercase())
        }
        _ => title(form, model),
    };
    let mut chosen = None;
    ui.horizontal(|ui| {
        ui.set_row_height(height::TOUCH);
        beside(
            ui,
            Face::BODY.token(Token::Doubt),
            &format!("Typed and not saved: {name}"),
        );
        let button = |words| widgets::Button::new(Kind::Quiet, words);
        if button("Go on")
            .name(&format!("Go on with {name}"))
            .show(ui)
            .clicked()
        {
            chosen = Some(Chosen::GoOn(form.subject));
        }
        if button("Discard")
            .name(&format!("Discard {name}"))
            .show(ui)
            .clicked()
        {
            chosen = Some(Chosen::Discard(form.subject));
        }
    });
    chosen
}

fn fits(row: &ThingRow, search: &str) -> bool {
    let search = search.trim().to_lowercase();
    search.is_empty()
        || row
            .cells
            .iter()
            .any(|cell| cell.to_lowercase().contains(&search))
}

fn rows_ui(ui: &mut Ui, model: &Model, view: &TableView, shown: &[&ThingRow]) -> Option<Chosen> {
    let widths = widths(ui, &model.table.columns, shown);
    let last = widths.len().saturating_sub(1);
    let columns = widths.iter().enumerate().map(|(index, width)| {
        let head = model.table.columns[index];
        if index == last {
            Col::rest(head)
        } else {
            Col::left(head, *width)
        }
    });
    let columns = Columns::new(columns.collect());
    let row = |index: usize| {
        let row = shown[index];
        let name = row.cells.first().map_or("", String::as_str);
        Row::reading(format!("Open {name}"))
            .clickable(true)
            .chosen(view.open == Some(row.no))
    };
    let room = ui.available_height() - 30.0;
    let clicked = columns.rows(
        ui,
        view.page.name(),
        room,
        shown.len(),
        row,
        |index, cells| {
            for (column, cell) in shown[index].cells.iter().enumerate().take(last + 1) {
                if column == 0 {
                    cells.value(cell);
                } else {
                    cells.text(cell);
                }
            }
        },
    );
    clicked.map(|index| Chosen::Open(shown[index].no))
}

/// As wide as the words, so many columns as there is room for.
fn widths(ui: &Ui, heads: &[&str], rows: &[&ThingRow]) -> Vec<f32> {
    let natural = |(column, head): (usize, &&str)| {
        let mut cells: Vec<&String> = rows
            .iter()
            .filter_map(|row| row.cells.get(column))
            .collect();
        // Only the longest by letters are measured: the widest is among them.
        cells.sort_unstable_by_key(|cell| std::cmp::Reverse(cell.chars().count()));
        cells.dedup();
        let widest = cells
            .iter()
            .take(12)
            .map(|cell| text::width(ui, Face::STRONG, cell))
            .fold(0.0, f32::max);
        (text::width(ui, Face::NOTE, head).max(widest) + 1.0)
            .clamp(48.0, 320.0)
            .ceil()
    };
    let all: Vec<f32> = heads.iter().enumerate().map(natural).collect();
    let mut room = ui.available_width();
    let mut fit = Vec::new();
    for width in all {
        // The last column may be cut; none is begun with less than this.
        if !fit.is_empty() && room < width.min(120.0) {
            break;
        }
        room -= width + 16.0;
        fit.push(width);
    }
    fit
}
