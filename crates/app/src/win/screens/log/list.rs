//! Long tables that are worked by keyboard: arrows and Page keys choose a row, Enter opens it.
//!
//! The keys are for the table while no field has the caret, and also while the caret is in the table's own search
//! field, so that one can type, go down and open without the pointer.

use egui::{Key, Modifiers, Rect, ScrollArea, Sense, Ui, UiBuilder, pos2, vec2};

use crate::ui::focus;
use crate::ui::widgets::{Cells, Columns, Row};

/// Room for the scroll bar beside the rows, px.
const BAR: f32 = 16.0;

/// The row that the keyboard has chosen.
#[derive(Debug, Clone, Default)]
pub struct Chosen {
    index: Option<usize>,
    is_to_be_shown: bool,
}

impl Chosen {
    /// Its index.
    pub fn index(&self) -> Option<usize> {
        self.index
    }

    /// None is chosen: the rows are others now.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

/// What the keyboard asks of the table in this frame.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Keys {
    rows: isize,
    pages: isize,
    end: Option<bool>,
    opens: bool,
}

impl Keys {
    /// Takes the keys out of the input; to be called before the search field is shown. Enter is left to the field.
    pub fn read(ui: &Ui, search: &str) -> Self {
        let ctx = ui.ctx();
        let is_searching = focus::has(ctx, search);
        let is_free =
            ctx.memory(|memory| memory.top_modal_layer().is_none() && memory.focused().is_none());
        if !(is_free || is_searching) {
            return Self::default();
        }
        ctx.input_mut(|input| {
            let mut count = |key| {
                input
                    .count_and_consume_key(Modifiers::NONE, key)
                    .cast_signed()
            };
            let rows = count(Key::ArrowDown) - count(Key::ArrowUp);
            let pages = count(Key::PageDown) - count(Key::PageUp);
            // In the field Home and End move its caret.
            let end = if is_searching {
                None
            } else if count(Key::Home) > 0 {
                Some(false)
            } else {
                (count(Key::End) > 0).then_some(true)
            };
            let opens = if is_searching {
                input.key_pressed(Key::Enter)
            } else {
                count_enter(input)
            };
            Self {
                rows,
                pages,
                end,
                opens,
            }
        })
    }

    /// Whether Enter was pressed.
    pub fn opens(self) -> bool {
        self.opens
    }

    /// Moves the choice among `count` rows, `page` of which are in view.
    fn moved(self, chosen: Option<usize>, count: usize, page: usize) -> Option<usize> {
        let last = count.checked_sub(1)?;
        match self.end {
            Some(false) => return Some(0),
            Some(true) => return Some(last),
            None => {}
        }
        let by = self.rows + self.pages * page.max(1).cast_signed();
        match chosen {
            // Whichever way it goes, the first step chooses the first row.
            None if by != 0 => Some(0),
            None => None,
            Some(index) => Some(index.saturating_add_signed(by).min(last)),
        }
    }
}

fn count_enter(input: &mut egui::InputState) -> bool {
    input.count_and_consume_key(Modifiers::NONE, Key::Enter) > 0
}

/// A long table; only the rows in view are built.
#[derive(Debug, Clone, Copy)]
pub struct List<'a> {
    /// Tells its scroll area from others.
    pub salt: &'a str,
    /// The columns.
    pub columns: &'a Columns<'a>,
    /// Height of the scroll area, px.
    pub height: f32,
    /// Height of a row, px.
    pub row_height: f32,
    /// Number of rows.
    pub count: usize,
    /// What the keyboard asks for.
    pub keys: Keys,
}

impl List<'_> {
    /// Shows it below a header that the page has drawn; the row that was opened, by a click or by Enter.
    pub fn show(
        &self,
        ui: &mut Ui,
        chosen: &mut Chosen,
        row: impl Fn(usize) -> Row,
        mut cells: impl FnMut(usize, &mut Cells),
    ) -> Option<usize> {
        let mut opened = self.choose(chosen);
        let spacing = std::mem::replace(&mut ui.spacing_mut().item_spacing.y, 0.0);
        // The bar stands in the margin of the page, not on the words.
        let rect = ui.available_rect_before_wrap();
        let room = Rect::from_min_max(rect.min, pos2(rect.right() + BAR, rect.top() + self.height));
        let mut outer = ui.new_child(UiBuilder::new().id_salt(self.salt).max_rect(room));
        let area = ScrollArea::vertical()
            .max_height(self.height)
            .auto_shrink(false);
        area.show_rows(&mut outer, self.row_height, self.count, |ui, range| {
            ui.set_max_width(rect.width());
            if let Some(index) = chosen
                .index
                .filter(|_| std::mem::take(&mut chosen.is_to_be_shown))
            {
                let first = ui.max_rect().left_top();
                let down = (index as f32 - range.start as f32) * self.row_height;
                let size = vec2(ui.available_width(), self.row_height);
                ui.scroll_to_rect(
                    Rect::from_min_size(pos2(first.x, first.y + down), size),
                    None,
                );
            }
            for index in range {
                let row = row(index).chosen(chosen.index == Some(index));
                let shown = ui.push_id(index, |ui| self.columns.row(ui, &row, |c| cells(index, c)));
                if shown.inner.clicked() {
                    chosen.index = Some(index);
                    opened = Some(index);
                }
            }
        });
        ui.allocate_rect(
            outer
                .min_rect()
                .intersect(Rect::everything_left_of(rect.right())),
            Sense::hover(),
        );
        ui.spacing_mut().item_spacing.y = spacing;
        opened
    }

    /// Follows the keyboard; the row that Enter opens.
    fn choose(&self, chosen: &mut Chosen) -> Option<usize> {
        chosen.index = chosen.index.filter(|index| *index < self.count);
        let page = (self.height / self.row_height) as usize;
        let moved = self.keys.moved(chosen.index, self.count, page);
        if moved != chosen.index {
            *chosen = Chosen {
                index: moved,
                is_to_be_shown: true,
            };
        }
        if !self.keys.opens {
            return None;
        }
        // A scan that leaves one row opens it at once.
        chosen.index.or((self.count == 1).then_some(0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_move_the_choice_and_stop_at_the_ends() {
        let down = Keys {
            rows: 1,
            ..Keys::default()
        };
        let page_up = Keys {
            pages: -1,
            ..Keys::default()
        };
        let end = Keys {
            end: Some(true),
            ..Keys::default()
        };
        assert_eq!(down.moved(None, 5, 3), Some(0));
        assert_eq!(down.moved(Some(0), 5, 3), Some(1));
        assert_eq!(down.moved(Some(4), 5, 3), Some(4));
        assert_eq!(page_up.moved(Some(4), 5, 3), Some(1));
        assert_eq!(page_up.moved(Some(1), 5, 3), Some(0));
        assert_eq!(end.moved(None, 5, 3), Some(4));
        assert_eq!(end.moved(Some(2), 0, 3), None);
        assert_eq!(Keys::default().moved(None, 5, 3), None);
    }
}
