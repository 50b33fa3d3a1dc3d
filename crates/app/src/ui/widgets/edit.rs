//! What all fields share: the frame, the caret that arrives with everything chosen, the keys that end
//! a field, and the one word of what happened.

use draw::tokens::space;
use draw::{Token, Weight};
use egui::text::CCursorRange;
use egui::text_edit::TextEditState;
use egui::{Align2, FontId, Id, Rect, StrokeKind, TextEdit, Ui, vec2};

use crate::ui::focus::{self, Left, Step, Taken};
use crate::ui::theme;

/// What was done with a field in this frame.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing.
    #[default]
    Nothing,
    /// The text was changed; it is not committed.
    Changed,
    /// Enter, Tab or a line end: take the text, then send the caret on with [`focus::step`].
    Commit(Step),
    /// The caret left by the pointer or by Esc after typing: take the text, the caret stays where
    /// it went.
    Left,
    /// Several lines were pasted: they are for this field and those after it, none is in it yet.
    Column(Vec<String>),
    /// The question was answered: the value is right.
    Keep,
    /// The question was answered: the value is wrong; the caret is in the field again.
    Change,
    /// The offer made with a refusal was taken.
    Offer,
}

/// How a field's frame looks.
#[derive(Clone, Copy)]
pub(super) struct Look {
    pub(super) fill: Token,
    pub(super) edge: Token,
    pub(super) edge_width: f32,
}

impl Look {
    pub(super) const PLAIN: Self = Self {
        fill: Token::Sheet,
        edge: Token::Edge,
        edge_width: 1.0,
    };
    pub(super) const LOCKED: Self = Self {
        fill: Token::Ground,
        edge: Token::Rule,
        edge_width: 1.0,
    };

    pub(super) fn paint(self, ui: &Ui, rect: Rect, focused: bool) {
        let (edge, width) = if focused {
            (Token::Accent, 2.0)
        } else {
            (self.edge, self.edge_width)
        };
        let (fill, stroke) = (theme::color(ui, self.fill), theme::stroke(ui, width, edge));
        ui.painter()
            .rect(rect, theme::CORNER, fill, stroke, StrokeKind::Inside);
    }
}

/// The part of a field one types in.
#[expect(clippy::struct_excessive_bools)] // each is a plain yes or no of its own
pub(super) struct Edit<'a> {
    pub(super) id: Id,
    pub(super) name: &'a str,
    pub(super) hint: &'a str,
    pub(super) size: f32,
    pub(super) align: Align2,
    pub(super) password: bool,
    pub(super) lines: usize,
    /// Enter ends the field; otherwise it is left in the input.
    pub(super) enter: bool,
    /// Tab ends the field; otherwise egui moves on by itself.
    pub(super) tab: bool,
    /// The rest of what is known about the field, for screen readers.
    pub(super) description: &'a str,
    pub(super) invalid: bool,
}

impl<'a> Edit<'a> {
    pub(super) fn new(id: Id, name: &'a str, size: f32) -> Self {
        let align = Align2::LEFT_CENTER;
        Self {
            id,
            name,
            hint: "",
            size,
            align,
            password: false,
            lines: 1,
            enter: true,
            tab: true,
            description: "",
            invalid: false,
        }
    }

    /// Shows the words and the caret inside `inner`; the frame is painted before.
    pub(super) fn show(self, ui: &mut Ui, inner: Rect, buffer: &mut String) -> Outcome {
        let id = self.id;
        let taken = focus::take(ui, id);
        if let Some(taken) = taken {
            let end = egui::text::CCursor::new(buffer.chars().count());
            let range = match taken {
                Taken::Chosen => CCursorRange::select_all_str(buffer),
                Taken::Kept => CCursorRange::one(end),
            };
            put_cursor(ui, id, range);
        }
        let left = if self.tab {
            focus::keys(ui, id, self.enter)
        } else {
            enter_only(ui, id, self.enter)
        };
        let response = ui
            .place(inner, self.text_edit(ui, inner, buffer))
            .accessible_name(self.name);
        ui.ctx().accesskit_node_builder(id, |node| {
            if !self.description.is_empty() {
                node.set_description(self.description);
            }
            if self.invalid {
                node.set_invalid(egui::accesskit::Invalid::True);
            }
        });
        if left.is_some() {
            focus::is_read(ui);
        }
        choose_all_on_arrival(ui, &response, taken.is_some(), buffer);
        if taken.is_some() {
            response.scroll_to_me(None);
        }
        if response.changed() {
            focus::note_changed(ui.ctx(), id, true);
        }
        match left {
            Some(Left::Column(lines)) => Outcome::Column(lines),
            Some(Left::Step(step)) => {
                focus::note_changed(ui.ctx(), id, false);
                Outcome::Commit(step)
            }
            None if response.changed() => Outcome::Changed,
            None if response.lost_focus() && focus::note_changed(ui.ctx(), id, false) => {
                Outcome::Left
            }
            None => Outcome::Nothing,
        }
    }

    fn text_edit<'t>(&self, ui: &Ui, inner: Rect, buffer: &'t mut String) -> TextEdit<'t> {
        let font: FontId = theme::font(self.size, Weight::Regular);
        let hint = egui::RichText::new(self.hint)
            .font(font.clone())
            .color(theme::color(ui, Token::Muted));
        let edit = if self.lines > 1 {
            TextEdit::multiline(buffer).desired_rows(self.lines)
        } else {
            TextEdit::singleline(buffer)
        };
        edit.id(self.id)
            .font(font)
            .text_color(theme::color(ui, Token::Ink))
            .hint_text(hint)
            .password(self.password)
            .frame(egui::Frame::NONE)
            .align(self.align)
            .desired_width(inner.width())
            .min_size(inner.size())
            .lock_focus(self.tab)
            .return_key((self.lines > 1).then_some(egui::KeyboardShortcut::new(
                egui::Modifiers::NONE,
                egui::Key::Enter,
            )))
    }
}

/// Words in a field that cannot be typed in, with a node that says so.
pub(super) fn locked(ui: &mut Ui, id: Id, rect: Rect, name: &str, value: &str) {
    let response = ui.interact(rect, id, egui::Sense::hover());
    response.widget_info(|| {
        let mut info = egui::WidgetInfo::text_edit(false, value, value, "");
        info.label = Some(name.to_owned());
        info
    });
}

/// The room for words inside a field's frame.
pub(super) fn inner(rect: Rect) -> Rect {
    rect.shrink2(vec2(space::M, 2.0))
}

fn enter_only(ui: &Ui, id: Id, enter: bool) -> Option<Left> {
    let pressed = enter
        && ui.memory(|memory| memory.has_focus(id))
        && ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, egui::Key::Enter));
    pressed.then_some(Left::Step(Step::Forward))
}

/// A caret that arrives by Tab or pointer finds everything chosen, so that the next key overwrites;
/// while the button that brought it is still down, egui would narrow the choice to the caret.
fn choose_all_on_arrival(ui: &Ui, response: &egui::Response, taken: bool, buffer: &str) {
    let key = response.id.with("arriving");
    let arriving = ui.data(|data| data.get_temp(key)).unwrap_or(false);
    let (down, dragging) = ui.input(|i| (i.pointer.any_down(), i.pointer.is_decidedly_dragging()));
    let arrives = response.gained_focus() && !taken;
    if arrives || arriving {
        put_cursor(ui, response.id, CCursorRange::select_all_str(buffer));
    }
    let still = (arrives || arriving) && down && !dragging;
    if still != arriving {
        ui.data_mut(|data| data.insert_temp(key, still));
    }
}

fn put_cursor(ui: &Ui, id: Id, range: CCursorRange) {
    let mut state = TextEditState::load(ui.ctx(), id).unwrap_or_default();
    state.cursor.set_char_range(Some(range));
    state.store(ui.ctx(), id);
}
