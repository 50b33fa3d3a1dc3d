//! Fields for words: remarks, PINs, and the search field of the top strip.

use draw::tokens::{height, size, space};
use draw::{Align, Glyph, Token, pos};
use egui::{Align2, Rect, Ui, pos2, vec2};

use super::edit::{Edit, Look, Outcome, inner, locked};
use crate::ui::text::{self, Face};
use crate::ui::{focus, keys, paint};

/// A field for words, 44 high; with several lines Enter begins a new one, and Tab ends the field.
#[must_use]
pub struct TextField<'a> {
    path: &'a str,
    name: &'a str,
    hint: &'a str,
    width: Option<f32>,
    lines: usize,
    locked: bool,
}

impl<'a> TextField<'a> {
    /// A field with its path and its full name.
    pub fn new(path: &'a str, name: &'a str) -> Self {
        Self {
            path,
            name,
            hint: "",
            width: None,
            lines: 1,
            locked: false,
        }
    }

    /// What to write, shown while it is empty.
    pub fn hint(mut self, hint: &'a str) -> Self {
        self.hint = hint;
        self
    }

    /// Its width; all the room there is, unless set.
    pub fn width(mut self, width: f32) -> Self {
        self.width = Some(width);
        self
    }

    /// More than one line.
    pub fn lines(mut self, lines: usize) -> Self {
        self.lines = lines.max(1);
        self
    }

    /// To be read only.
    pub fn locked(mut self, locked: bool) -> Self {
        self.locked = locked;
        self
    }

    /// Shows it in the flow.
    pub fn show(self, ui: &mut Ui, buffer: &mut String) -> Outcome {
        let id = focus::id(self.path);
        let width = self.width.unwrap_or_else(|| ui.available_width());
        let tall = height::TOUCH + 22.0 * (self.lines as f32 - 1.0);
        let (_, rect) = ui.allocate_space(vec2(width, tall));
        let rect = rect.round();
        if self.locked {
            Look::LOCKED.paint(ui, rect, false);
            locked(ui, id, rect, self.name, buffer);
            let at = pos2(
                rect.left() + space::M,
                text::baseline(rect.top() + 22.0, size::BODY),
            );
            text::silent(ui, at, Align::Left, Face::BODY.muted(), buffer);
            return Outcome::Nothing;
        }
        Look::PLAIN.paint(ui, rect, ui.memory(|memory| memory.has_focus(id)));
        let mut edit = Edit::new(id, self.name, size::BODY);
        edit.hint = self.hint;
        edit.lines = self.lines;
        edit.enter = self.lines == 1;
        if self.lines == 1 {
            return edit.show(ui, inner(rect), buffer);
        }
        edit.align = Align2::LEFT_TOP;
        edit.show(ui, rect.shrink2(vec2(space::M, 11.0)), buffer)
    }
}

/// A field for a PIN; what is typed is not shown.
#[must_use]
pub struct PinField<'a> {
    path: &'a str,
    name: &'a str,
    width: f32,
}

impl<'a> PinField<'a> {
    /// A field with its path and its full name, such as `PIN of the approver`.
    pub fn new(path: &'a str, name: &'a str) -> Self {
        Self {
            path,
            name,
            width: 160.0,
        }
    }

    /// Another width.
    pub fn width(mut self, width: f32) -> Self {
        self.width = width;
        self
    }

    /// Shows it in the flow.
    pub fn show(self, ui: &mut Ui, buffer: &mut String) -> Outcome {
        let id = focus::id(self.path);
        let (_, rect) = ui.allocate_space(vec2(self.width, height::TOUCH));
        let rect = rect.round();
        Look::PLAIN.paint(ui, rect, ui.memory(|memory| memory.has_focus(id)));
        let mut edit = Edit::new(id, self.name, size::VALUE);
        edit.password = true;
        edit.show(ui, inner(rect), buffer)
    }
}

/// The field of the top strip that finds a thing by number or scan.
#[must_use]
pub struct SearchField<'a> {
    name: &'a str,
}

impl<'a> SearchField<'a> {
    /// Its path, for [`focus::ask`].
    pub const PATH: &'static str = "find";
    /// Its width and height.
    pub const SIZE: egui::Vec2 = vec2(232.0, 32.0);

    /// The field with its words, shown while it is empty.
    pub fn new(name: &'a str) -> Self {
        Self { name }
    }

    /// Shows it in the flow.
    pub fn show(self, ui: &mut Ui, buffer: &mut String) -> Outcome {
        let (_, rect) = ui.allocate_space(Self::SIZE);
        self.place(ui, rect, buffer)
    }

    /// Shows it in a place of the page; allocates nothing.
    pub fn place(self, ui: &mut Ui, rect: Rect, buffer: &mut String) -> Outcome {
        let id = focus::id(Self::PATH);
        let rect = rect.round();
        Look::PLAIN.paint(ui, rect, ui.memory(|memory| memory.has_focus(id)));
        let glass = Glyph::Search.shapes(pos(0.0, 0.0), 13.0, Token::Muted);
        paint::shapes(ui, rect.left_center() + vec2(17.0, 0.0), &glass);
        let baseline = text::baseline(rect.center().y, size::NOTE);
        let note = keys::Action::Find.keys();
        let note = text::silent(
            ui,
            pos2(rect.right() - 9.0, baseline),
            Align::Right,
            Face::NOTE,
            note,
        );
        let room = Rect::from_min_max(
            pos2(rect.left() + 30.0, rect.top() + 2.0),
            pos2(note.left() - space::S, rect.bottom() - 2.0),
        );
        let mut edit = Edit::new(id, self.name, size::NOTE);
        edit.hint = self.name;
        edit.tab = false;
        edit.show(ui, room, buffer)
    }
}
