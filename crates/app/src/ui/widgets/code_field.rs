//! A field that names a thing by its number, 44 high: typed, chosen from a list below, or scanned.
//!
//! Nothing is chosen by default: Enter takes what is meant for certain, that is the row the arrows
//! point at, an exact number, or the only one left. Anything else is handed to the page as text.

use draw::tokens::{height, size, space};
use draw::{Align, Token};
use egui::{
    Area, EventFilter, FocusDirection, Id, Key, Modifiers, Order, Pos2, Rect, Role, Sense,
    StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use super::edit::{Edit, Look, Outcome, inner, locked};
use crate::ui::focus::{self, Step};
use crate::ui::text::{self, Face};
use crate::ui::{keys, theme};

/// Rows of the list shown at once; typing narrows the rest.
const ROWS_MAX: usize = 7;

/// One thing that can be chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Choice<'a> {
    /// Its number, as on its tag.
    pub code: &'a str,
    /// A few words about it.
    pub detail: &'a str,
}

/// What was done with the field in this frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Coded {
    /// Nothing.
    Nothing,
    /// The text was changed.
    Changed,
    /// A choice, as an index into the list that was given; its number stands in the field.
    Chosen(usize),
    /// Enter on a text that is none of the choices, such as a scan of something unknown.
    Entered(String),
    /// Tab; what is in the field is as it was typed.
    Leave(Step),
}

/// A field for the number of a thing.
#[must_use]
pub struct CodeField<'a> {
    path: &'a str,
    name: &'a str,
    hint: &'a str,
    width: f32,
    locked: bool,
}

#[derive(Clone, Copy, Default)]
struct Memory {
    /// The row the arrows point at.
    row: Option<usize>,
    /// The list is shown though nothing is typed, or not shown though something is.
    open: Option<bool>,
}

impl<'a> CodeField<'a> {
    /// A field with its path and its full name, such as `Chock`.
    pub fn new(path: &'a str, name: &'a str) -> Self {
        Self {
            path,
            name,
            hint: "",
            width: 240.0,
            locked: false,
        }
    }

    /// What to do, shown while it is empty.
    pub fn hint(mut self, hint: &'a str) -> Self {
        self.hint = hint;
        self
    }

    /// Its width.
    pub fn width(mut self, width: f32) -> Self {
        self.width = width;
        self
    }

    /// To be read only.
    pub fn locked(mut self, locked: bool) -> Self {
        self.locked = locked;
        self
    }

    /// Shows it in the flow; the list floats below it.
    pub fn show(self, ui: &mut Ui, buffer: &mut String, choices: &[Choice]) -> Coded {
        let id = focus::id(self.path);
        let (_, rect) = ui.allocate_space(vec2(self.width, height::TOUCH));
        let rect = rect.round();
        if self.locked {
            Look::LOCKED.paint(ui, rect, false);
            locked(ui, id, rect, self.name, buffer);
            let at = pos2(
                rect.left() + space::M,
                text::baseline(rect.center().y, size::BODY),
            );
            text::silent(ui, at, Align::Left, Face::BODY.muted(), buffer);
            return Coded::Nothing;
        }
        let key = id.with("list");
        let mut memory: Memory = ui.data(|data| data.get_temp(key)).unwrap_or_default();
        let focused = ui.memory(|m| m.has_focus(id));
        let found = found(buffer, choices);
        if focused {
            move_row(ui, id, found.len().min(ROWS_MAX), &mut memory);
        }
        Look::PLAIN.paint(ui, rect, focused);
        let mut edit = Edit::new(id, self.name, size::BODY);
        edit.hint = self.hint;
        edit.description = "A list of choices follows while typing";
        let outcome = edit.show(ui, inner(rect), buffer);
        let coded = match outcome {
            Outcome::Commit(step) => {
                // What was typed in this very frame counts too.
                let found = self::found(buffer, choices);
                let by_tab = ui.input(|input| input.raw.events.iter().any(is_tab));
                end(buffer, choices, &found, memory.row, step, by_tab)
            }
            Outcome::Changed => {
                memory = Memory::default();
                Coded::Changed
            }
            Outcome::Column(lines) => {
                *buffer = lines.into_iter().next().unwrap_or_default();
                Coded::Changed
            }
            _ => Coded::Nothing,
        };
        let still_focused = ui.memory(|m| m.has_focus(id));
        let coded = match self.list(ui, id, rect, still_focused, buffer, choices, &mut memory) {
            Some(index) => {
                focus::note_changed(ui.ctx(), id, false);
                Coded::Chosen(index)
            }
            None => coded,
        };
        if let Coded::Chosen(index) = coded {
            choices[index].code.clone_into(buffer);
        }
        if matches!(
            coded,
            Coded::Chosen(_) | Coded::Entered(_) | Coded::Leave(_)
        ) {
            memory = Memory {
                row: None,
                open: Some(false),
            };
        }
        ui.data_mut(|data| data.insert_temp(key, memory));
        coded
    }

    #[expect(clippy::too_many_arguments)] // one call, split off for its length only
    fn list(
        &self,
        ui: &Ui,
        id: Id,
        field: Rect,
        focused: bool,
        buffer: &str,
        choices: &[Choice],
        memory: &mut Memory,
    ) -> Option<usize> {
        let found = found(buffer, choices);
        let area_id = id.with("choices");
        // The press that chooses takes the caret out of the field first: the list outlives that press.
        let over = ui.memory(|m| m.area_rect(area_id)).is_some_and(|rect| {
            ui.input(|input| {
                input
                    .pointer
                    .interact_pos()
                    .is_some_and(|at| rect.contains(at))
            })
        });
        let was_shown = ui.data(|data| data.get_temp(area_id)).unwrap_or(false);
        let wanted = memory.open.unwrap_or(!buffer.trim().is_empty());
        let shown = !found.is_empty() && ((focused && wanted) || (was_shown && over));
        ui.data_mut(|data| data.insert_temp(area_id, shown));
        if !shown {
            return None;
        }
        keys::note_floating(ui.ctx());
        let style = ui.style().clone();
        let rows = found.len().min(ROWS_MAX);
        let tall = tall(rows, found.len() - rows);
        let area = Area::new(area_id)
            .order(Order::Foreground)
            .fixed_pos(place(field, tall, ui.ctx().content_rect()))
            .accessible_name(format!("Choices for {}", self.name))
            .role(Role::ListBox);
        let shown = area.show(ui.ctx(), |ui| {
            ui.set_style(style);
            ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
            let rows = &found[..rows];
            let wide = rows
                .iter()
                .map(|&index| width(ui, &choices[index]))
                .fold(self.width, f32::max);
            frame(ui, wide, rows.len(), found.len() - rows.len());
            let mut chosen = None;
            for (row, &index) in rows.iter().enumerate() {
                if option(ui, wide, &choices[index], memory.row == Some(row)) {
                    chosen = Some(index);
                }
            }
            if found.len() > rows.len() {
                more(ui, wide, found.len() - rows.len());
            }
            chosen
        });
        shown.inner
    }
}

/// Indices of the choices that fit what is typed: those that begin with it first.
fn found(typed: &str, choices: &[Choice]) -> Vec<usize> {
    let typed = typed.trim().to_lowercase();
    let rank = |choice: &Choice| {
        let code = choice.code.to_lowercase();
        if code.starts_with(&typed) {
            Some(0)
        } else if code.contains(&typed) {
            Some(1)
        } else {
            choice.detail.to_lowercase().contains(&typed).then_some(2)
        }
    };
    let mut found: Vec<(u8, usize)> = choices
        .iter()
        .enumerate()
        .filter_map(|(index, choice)| Some((rank(choice)?, index)))
        .collect();
    found.sort_unstable();
    found.into_iter().map(|(_, index)| index).collect()
}

fn end(
    buffer: &str,
    choices: &[Choice],
    found: &[usize],
    row: Option<usize>,
    step: Step,
    by_tab: bool,
) -> Coded {
    let typed = buffer.trim();
    let exact = choices
        .iter()
        .position(|choice| choice.code.eq_ignore_ascii_case(typed));
    let pointed = row.and_then(|row| found.get(row).copied());
    if by_tab && pointed.is_none() {
        return exact
            .filter(|_| step == Step::Forward)
            .map_or(Coded::Leave(step), Coded::Chosen);
    }
    // Back is back, whatever stands there.
    if step == Step::Back && pointed.is_none() {
        return Coded::Leave(step);
    }
    let only = found
        .first()
        .copied()
        .filter(|_| found.len() == 1 && !typed.is_empty());
    match pointed.or(exact).or(only) {
        Some(index) => Coded::Chosen(index),
        None if typed.is_empty() => Coded::Leave(step),
        None => Coded::Entered(typed.to_owned()),
    }
}

fn is_tab(event: &egui::Event) -> bool {
    matches!(
        event,
        egui::Event::Key {
            key: Key::Tab,
            pressed: true,
            ..
        }
    )
}

fn move_row(ui: &Ui, id: Id, rows: usize, memory: &mut Memory) {
    let filter = EventFilter {
        tab: true,
        horizontal_arrows: true,
        vertical_arrows: true,
        escape: false,
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
    let (down, up) = ui.input_mut(|input| {
        let mut count = |key| input.count_and_consume_key(Modifiers::NONE, key);
        (count(Key::ArrowDown), count(Key::ArrowUp))
    });
    if down + up == 0 || rows == 0 {
        return;
    }
    ui.memory_mut(|m| m.move_focus(FocusDirection::None));
    memory.open = Some(true);
    memory.row = match memory.row {
        None if down > 0 => Some((down - 1).min(rows - 1)),
        None => Some(rows.saturating_sub(up)),
        Some(row) => (row + down).checked_sub(up).map(|row| row.min(rows - 1)),
    };
}

fn width(ui: &Ui, choice: &Choice) -> f32 {
    let detail = text::width(ui, Face::NOTE, choice.detail);
    (text::width(ui, Face::STRONG, choice.code) + detail + 3.0 * space::M).ceil()
}

/// Height of the list.
fn tall(rows: usize, hidden: usize) -> f32 {
    let more = if hidden > 0 { height::READING_ROW } else { 0.0 };
    rows as f32 * height::TOUCH + more
}

/// Left top of the list: below the field, or above it where it would be moved over what is typed.
fn place(field: Rect, tall: f32, screen: Rect) -> Pos2 {
    const APART: f32 = 2.0;
    let above = field.top() - APART - tall;
    if field.bottom() + APART + tall > screen.bottom() && above >= screen.top() {
        return pos2(field.left(), above);
    }
    field.left_bottom() + vec2(0.0, APART)
}

fn frame(ui: &Ui, wide: f32, rows: usize, hidden: usize) {
    let rect = Rect::from_min_size(ui.cursor().min, vec2(wide, tall(rows, hidden)));
    ui.painter().rect_filled(
        rect.translate(vec2(3.0, 6.0)),
        theme::CORNER,
        theme::shade(ui),
    );
    let stroke = theme::stroke(ui, 1.0, Token::Edge);
    let fill = theme::color(ui, Token::Sheet);
    ui.painter()
        .rect(rect, theme::CORNER, fill, stroke, StrokeKind::Outside);
}

fn option(ui: &mut Ui, wide: f32, choice: &Choice, pointed: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(vec2(wide, height::TOUCH), Sense::CLICK);
    let name = [choice.code, choice.detail].join(" ");
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, pointed, name.trim()));
    if pointed || response.hovered() {
        let token = if pointed { Token::Sel } else { Token::Ground };
        ui.painter().rect_filled(rect, 0.0, theme::color(ui, token));
    }
    if pointed {
        let bar = Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
        ui.painter()
            .rect_filled(bar, 0.0, theme::color(ui, Token::Accent));
    }
    let at = |x: f32, size: f32| pos2(x, text::baseline(rect.center().y, size));
    let left = rect.left() + space::M;
    let code = text::silent(
        ui,
        at(left, size::BODY),
        Align::Left,
        Face::STRONG,
        choice.code,
    );
    text::silent(
        ui,
        at(code.right() + space::M, size::BODY),
        Align::Left,
        Face::NOTE,
        choice.detail,
    );
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

fn more(ui: &mut Ui, wide: f32, hidden: usize) {
    let (rect, _) = ui.allocate_exact_size(vec2(wide, height::READING_ROW), Sense::hover());
    let at = pos2(
        rect.left() + space::M,
        text::baseline(rect.center().y, size::NOTE),
    );
    text::at(
        ui,
        at,
        Align::Left,
        Face::NOTE,
        &format!("and {hidden} more: type on"),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    const CHOICES: [Choice<'static>; 3] = [
        Choice {
            code: "WR-B-07",
            detail: "bottom",
        },
        Choice {
            code: "WR-B-08",
            detail: "bottom",
        },
        Choice {
            code: "WR-T-07",
            detail: "top",
        },
    ];

    #[test]
    fn typing_narrows_and_what_begins_with_it_comes_first() {
        assert_eq!(found("wr-t", &CHOICES), [2]);
        assert_eq!(found("07", &CHOICES), [0, 2]);
        assert_eq!(found("top", &CHOICES), [2]);
        assert_eq!(found("", &CHOICES).len(), 3);
    }

    #[test]
    fn the_list_never_lies_over_what_is_typed() {
        let screen = Rect::from_min_size(pos2(0.0, 0.0), vec2(1280.0, 800.0));
        for (top, rows, above) in [(100.0, 7, false), (555.0, 6, true), (555.0, 2, false)] {
            let field = Rect::from_min_size(pos2(266.0, top), vec2(144.0, height::TOUCH));
            let tall = tall(rows, 0);
            let list = Rect::from_min_size(place(field, tall, screen), vec2(240.0, tall));
            assert!(screen.contains_rect(list), "{top}: {list:?}");
            assert!(!list.intersects(field), "{top}: {list:?}");
            assert_eq!(list.top() < top, above, "{top}");
        }
    }

    #[test]
    fn enter_takes_only_what_is_meant_for_certain() {
        let enter = |typed: &str, row| {
            end(
                typed,
                &CHOICES,
                &found(typed, &CHOICES),
                row,
                Step::Forward,
                false,
            )
        };
        assert_eq!(enter("wr-b-08", None), Coded::Chosen(1));
        assert_eq!(enter("top", None), Coded::Chosen(2));
        assert_eq!(enter("07", None), Coded::Entered("07".to_owned()));
        assert_eq!(enter("07", Some(1)), Coded::Chosen(2));
        assert_eq!(enter("XX-1", None), Coded::Entered("XX-1".to_owned()));
        assert_eq!(enter("", None), Coded::Leave(Step::Forward));
        let back = end("wr-b-08", &CHOICES, &[1], None, Step::Back, false);
        assert_eq!(back, Coded::Leave(Step::Back), "a number that stands there");
    }
}
