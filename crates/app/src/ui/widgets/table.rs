//! Rows: reading tables 30 high, results 40, gauges 44, rows with a button 57, rows with fields 64.
//!
//! A row is one node with a full name, so that it can be found and opened by name; what stands in
//! its cells are nodes too.

use draw::tokens::height;
use draw::{Align, Mark, Pair, Token};
use egui::{Id, Rect, Response, Role, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use super::badge::{badge_at, draw_pair};
use crate::ui::text::{self, Face};
use crate::ui::theme;

/// How far the ground of a row reaches beyond its words, left and right.
const OUTSET: f32 = 8.0;
const HEADER: f32 = 28.0;
const GAP: f32 = 16.0;

/// One column.
#[derive(Clone, Copy, Debug)]
pub struct Col<'a> {
    head: &'a str,
    width: Option<f32>,
    align: Align,
}

impl<'a> Col<'a> {
    /// Words, from the left.
    pub const fn left(head: &'a str, width: f32) -> Self {
        Self {
            head,
            width: Some(width),
            align: Align::Left,
        }
    }

    /// Numbers, to the right.
    pub const fn right(head: &'a str, width: f32) -> Self {
        Self {
            head,
            width: Some(width),
            align: Align::Right,
        }
    }

    /// Words, with what room is left; several of them share it.
    pub const fn rest(head: &'a str) -> Self {
        Self {
            head,
            width: None,
            align: Align::Left,
        }
    }

    /// Like [`Col::rest`], to the right.
    pub const fn rest_right(head: &'a str) -> Self {
        Self {
            head,
            width: None,
            align: Align::Right,
        }
    }
}

/// How a row looks and what it answers to.
#[derive(Clone, Debug)]
#[must_use]
pub struct Row {
    name: String,
    height: f32,
    chosen: bool,
    clickable: bool,
    ground: Option<Token>,
}

impl Row {
    fn new(name: impl Into<String>, height: f32) -> Self {
        Self {
            name: name.into(),
            height,
            chosen: false,
            clickable: false,
            ground: None,
        }
    }

    /// A row of a table for reading, 30 high.
    pub fn reading(name: impl Into<String>) -> Self {
        Self::new(name, height::READING_ROW)
    }

    /// A row of results, 40 high.
    pub fn result(name: impl Into<String>) -> Self {
        Self::new(name, height::RESULT_ROW)
    }

    /// The line of a gauge, 44 high.
    pub fn gauge(name: impl Into<String>) -> Self {
        Self::new(name, height::TOUCH)
    }

    /// A row with a button, 57 high.
    pub fn action(name: impl Into<String>) -> Self {
        Self::new(name, height::BUTTON_ROW)
    }

    /// A row with fields, 64 high.
    pub fn field(name: impl Into<String>) -> Self {
        Self::new(name, height::FIELD_ROW)
    }

    /// Drawn as the one that is chosen.
    pub fn chosen(mut self, chosen: bool) -> Self {
        self.chosen = chosen;
        self
    }

    /// Answers to the pointer and to Enter.
    pub fn clickable(mut self, clickable: bool) -> Self {
        self.clickable = clickable;
        self
    }

    /// On a ground of its own, such as the tint of a row pair.
    pub fn ground(mut self, token: Token) -> Self {
        self.ground = Some(token);
        self
    }
}

/// The columns of a table.
#[derive(Clone, Debug)]
pub struct Columns<'a> {
    columns: Vec<Col<'a>>,
}

impl<'a> Columns<'a> {
    /// From left to right, 16 px apart.
    pub fn new(columns: Vec<Col<'a>>) -> Self {
        Self { columns }
    }

    /// The heads, with the rule below.
    pub fn header(&self, ui: &mut Ui) {
        let spacing = std::mem::replace(&mut ui.spacing_mut().item_spacing.y, 0.0);
        let rect = text::strip(ui, HEADER);
        ui.spacing_mut().item_spacing.y = spacing;
        let baseline = rect.bottom() - 11.0;
        for (column, (left, right)) in self.columns.iter().zip(self.spans(rect)) {
            if !column.head.is_empty() {
                let x = end_of(column.align, left, right);
                text::at(ui, pos2(x, baseline), column.align, Face::NOTE, column.head);
            }
        }
        ui.painter().hline(
            rect.x_range(),
            rect.bottom() - 0.5,
            theme::stroke(ui, 1.0, Token::Rule),
        );
    }

    /// One row, with the rule below.
    pub fn row(&self, ui: &mut Ui, row: &Row, cells: impl FnOnce(&mut Cells)) -> Response {
        let spacing = std::mem::replace(&mut ui.spacing_mut().item_spacing.y, 0.0);
        let sense = if row.clickable {
            Sense::click()
        } else {
            Sense::hover()
        };
        let (_, rect) = ui.allocate_space(vec2(ui.available_width(), row.height));
        ui.spacing_mut().item_spacing.y = spacing;
        let response = ui.interact(rect, ui.make_persistent_id(("row", &row.name)), sense);
        response.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::Row, true, &row.name);
            info.selected = (row.clickable || row.chosen).then_some(row.chosen);
            info
        });
        if !ui.is_rect_visible(rect) {
            return response;
        }
        ground(ui, rect, row, &response);
        ui.painter().hline(
            rect.x_range(),
            rect.bottom() - 0.5,
            theme::stroke(ui, 1.0, Token::Rule),
        );
        let spans = self.spans(rect);
        cells(&mut Cells {
            ui,
            columns: &self.columns,
            spans,
            rect,
            next: 0,
        });
        if row.clickable {
            response.on_hover_cursor(egui::CursorIcon::PointingHand)
        } else {
            response
        }
    }

    /// Many rows of one height under a header that stays; only those in view are built.
    ///
    /// Gives back the index of the row that was clicked.
    pub fn rows(
        &self,
        ui: &mut Ui,
        salt: &str,
        height_max: f32,
        count: usize,
        row: impl Fn(usize) -> Row,
        mut cells: impl FnMut(usize, &mut Cells),
    ) -> Option<usize> {
        self.header(ui);
        let spacing = std::mem::replace(&mut ui.spacing_mut().item_spacing.y, 0.0);
        let height = if count == 0 {
            height::READING_ROW
        } else {
            row(0).height
        };
        let mut clicked = None;
        ScrollArea::vertical()
            .id_salt(salt)
            .max_height(height_max)
            .auto_shrink([false, true])
            .show_rows(ui, height, count, |ui, range| {
                for index in range {
                    let response = ui
                        .push_id(index, |ui| self.row(ui, &row(index), |c| cells(index, c)))
                        .inner;
                    if response.clicked() {
                        clicked = Some(index);
                    }
                }
            });
        ui.spacing_mut().item_spacing.y = spacing;
        clicked
    }

    fn spans(&self, rect: Rect) -> Vec<(f32, f32)> {
        let gaps = GAP * self.columns.len().saturating_sub(1) as f32;
        let fixed: f32 = self.columns.iter().filter_map(|column| column.width).sum();
        let rests = self
            .columns
            .iter()
            .filter(|column| column.width.is_none())
            .count();
        let rest = ((rect.width() - gaps - fixed) / rests.max(1) as f32).max(40.0);
        let mut left = rect.left();
        let spans = self.columns.iter().map(|column| {
            let right = left + column.width.unwrap_or(rest);
            (std::mem::replace(&mut left, right + GAP), right)
        });
        spans.collect()
    }
}

fn ground(ui: &Ui, rect: Rect, row: &Row, response: &Response) {
    let wide = Rect::from_min_max(
        pos2(rect.left() - OUTSET, rect.top()),
        pos2(rect.right() + OUTSET, rect.bottom() - 1.0),
    );
    let hovered = row.clickable && response.hovered();
    let token = match (row.chosen, hovered, row.ground) {
        (true, _, _) => Some(Token::Sel),
        (_, true, _) => Some(Token::Ground),
        (_, _, ground) => ground,
    };
    if let Some(token) = token {
        ui.painter().rect_filled(wide, 0.0, theme::color(ui, token));
    }
    if row.chosen {
        let bar = Rect::from_min_size(wide.min, vec2(3.0, wide.height()));
        ui.painter()
            .rect_filled(bar, 0.0, theme::color(ui, Token::Accent));
    }
    if response.has_focus() {
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter()
            .rect_stroke(wide, theme::CORNER, stroke, egui::StrokeKind::Inside);
    }
}

const fn end_of(align: Align, left: f32, right: f32) -> f32 {
    match align {
        Align::Left => left,
        Align::Centre => f32::midpoint(left, right),
        Align::Right => right,
    }
}

/// Fills the cells of one row from left to right.
pub struct Cells<'u, 'c> {
    /// The page's, for what has no short word here.
    pub ui: &'u mut Ui,
    columns: &'c [Col<'c>],
    spans: Vec<(f32, f32)>,
    rect: Rect,
    next: usize,
}

impl Cells<'_, '_> {
    /// The row's rectangle.
    pub fn rect(&self) -> Rect {
        self.rect
    }

    /// A text in a face, to the side its column is set to.
    pub fn put(&mut self, face: Face, words: &str) -> &mut Self {
        let baseline = text::baseline(self.rect.center().y, face.size);
        if let Some((align, left, right)) = self.take() {
            match align {
                Align::Left => {
                    text::at_most(self.ui, pos2(left, baseline), right - left, face, words)
                }
                _ => text::at(
                    self.ui,
                    pos2(end_of(align, left, right), baseline),
                    align,
                    face,
                    words,
                ),
            };
        }
        self
    }

    /// A text of 16 px.
    pub fn text(&mut self, words: &str) -> &mut Self {
        self.put(Face::BODY, words)
    }

    /// A note of 13 px.
    pub fn note(&mut self, words: &str) -> &mut Self {
        self.put(Face::NOTE, words)
    }

    /// The value of the row, semibold.
    pub fn value(&mut self, words: &str) -> &mut Self {
        self.put(Face::STRONG, words)
    }

    /// A value that was amended.
    pub fn struck(&mut self, words: &str) -> &mut Self {
        self.put(Face::BODY.muted().struck(), words)
    }

    /// A verdict.
    pub fn badge(&mut self, mark: Mark, word: &str) -> &mut Self {
        let y = self.rect.center().y;
        if let Some((_, left, _)) = self.take() {
            badge_at(self.ui, pos2(left, y), mark, word);
        }
        self
    }

    /// A row pair.
    pub fn pair(&mut self, pair: Pair, words: &str) -> &mut Self {
        let y = self.rect.center().y;
        if let Some((_, left, _)) = self.take() {
            draw_pair(self.ui, pos2(left, y), pair, words);
        }
        self
    }

    /// Nothing.
    pub fn skip(&mut self) -> &mut Self {
        self.take();
        self
    }

    /// Anything, such as a button; it is vertically centred, on the side its column is set to.
    pub fn ui<R>(&mut self, contents: impl FnOnce(&mut Ui) -> R) -> Option<R> {
        let (align, left, right) = self.take()?;
        let cell = Rect::from_x_y_ranges(left..=right, self.rect.y_range());
        let layout = match align {
            Align::Right => egui::Layout::right_to_left(egui::Align::Center),
            _ => egui::Layout::left_to_right(egui::Align::Center),
        };
        let id = Id::unique((
            "cell",
            self.ui.scope_id(),
            self.next,
            self.rect.top().to_bits(),
        ));
        let builder = UiBuilder::new().id_salt(id).max_rect(cell).layout(layout);
        let mut child = self.ui.new_child(builder);
        Some(contents(&mut child))
    }

    fn take(&mut self) -> Option<(Align, f32, f32)> {
        let index = self.next;
        self.next += 1;
        let (left, right) = *self.spans.get(index)?;
        Some((self.columns[index].align, left, right))
    }
}
