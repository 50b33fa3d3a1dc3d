//! Buttons, 44 high. One accent-filled button a view.

use draw::tokens::{height, space};
use draw::{Align, Token};
use egui::{Id, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};

use super::focus_ring;
use crate::ui::text::{self, Face};
use crate::ui::{focus, theme};

/// What a button is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The act the view is for.
    Primary,
    /// Any other.
    Second,
    /// What cannot be undone; its words say so.
    Danger,
    /// An answer beside a field.
    Quiet,
}

/// A button with words.
#[must_use]
pub struct Button<'a> {
    kind: Kind,
    text: &'a str,
    name: &'a str,
    enabled: bool,
    width: Option<f32>,
    salt: Option<Id>,
}

impl<'a> Button<'a> {
    /// A button that is named by its words.
    pub fn new(kind: Kind, text: &'a str) -> Self {
        Self {
            kind,
            text,
            name: text,
            enabled: true,
            width: None,
            salt: None,
        }
    }

    /// Off, but still to be seen.
    pub fn enabled(mut self, enabled: bool) -> Self {
        self.enabled = enabled;
        self
    }

    /// A full name where the words alone do not say what the button acts on.
    pub fn name(mut self, name: &'a str) -> Self {
        self.name = name;
        self
    }

    /// Wider than its words.
    pub fn width(mut self, width: f32) -> Self {
        self.width = Some(width);
        self
    }

    /// Tells it from another one of the same name.
    pub fn salt(mut self, salt: Id) -> Self {
        self.salt = Some(salt);
        self
    }

    /// Shows it in the flow.
    pub fn show(self, ui: &mut Ui) -> Response {
        let padding = if self.kind == Kind::Quiet {
            space::S
        } else {
            space::L
        };
        let words = text::width(ui, Face::STRONG, self.text);
        let width = self.width.unwrap_or((words + 2.0 * padding).ceil());
        let (rect, response) = ui.allocate_exact_size(vec2(width, height::TOUCH), self.sense());
        self.finish(ui, rect, response)
    }

    /// Shows it in a place of the page; allocates nothing. It is `rect` high.
    pub fn place(self, ui: &mut Ui, rect: Rect) -> Response {
        let id = ui.make_persistent_id(("button", self.name, self.salt));
        let response = ui.interact(rect, id, self.sense());
        self.finish(ui, rect, response)
    }

    fn sense(&self) -> Sense {
        if self.enabled {
            Sense::click()
        } else {
            Sense::hover()
        }
    }

    fn finish(self, ui: &Ui, rect: Rect, response: Response) -> Response {
        let enabled = self.enabled && ui.is_enabled();
        response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, self.name));
        if !ui.is_rect_visible(rect) {
            return response;
        }
        let pressed = response.is_pointer_button_down_on();
        let hovered = enabled && response.hovered();
        let (fill, edge, words) = match (self.kind, enabled) {
            (Kind::Quiet, false) => (None, None, Token::Na),
            (_, false) => (Some(Token::Ground), Some(Token::Rule), Token::Na),
            (Kind::Primary, true) => (Some(Token::Accent), None, Token::OnAccent),
            (Kind::Second, true) => (Some(Token::Sheet), Some(Token::Accent), Token::Accent),
            (Kind::Danger, true) => (Some(Token::Sheet), Some(Token::Fail), Token::Fail),
            (Kind::Quiet, true) => (None, None, Token::Accent),
        };
        let fill = match self.kind {
            Kind::Second | Kind::Quiet if pressed || hovered => Some(Token::Sel),
            Kind::Danger if pressed || hovered => Some(Token::FailTint),
            _ => fill,
        };
        let rect = rect.round();
        if let Some(fill) = fill {
            ui.painter()
                .rect_filled(rect, theme::CORNER, theme::color(ui, fill));
        }
        let edge = edge.map_or(Stroke::NONE, |token| theme::stroke(ui, 1.0, token));
        ui.painter()
            .rect_stroke(rect, theme::CORNER, edge, StrokeKind::Inside);
        if self.kind == Kind::Primary && enabled && (pressed || hovered) {
            let inner = theme::stroke(ui, 1.0, Token::OnAccent);
            ui.painter()
                .rect_stroke(rect.shrink(2.0), theme::CORNER, inner, StrokeKind::Inside);
        }
        if self.kind == Kind::Primary && enabled && focus::takes_primary(ui.ctx()) {
            response.request_focus();
        }
        if response.has_focus() {
            focus_ring(ui, rect);
        }
        let face = Face::STRONG.token(words);
        let at = egui::pos2(rect.center().x, text::baseline(rect.center().y, face.size));
        text::silent(ui, at, Align::Centre, face, self.text);
        if enabled {
            response.on_hover_cursor(egui::CursorIcon::PointingHand)
        } else {
            response
        }
    }
}

/// The act the view is for.
pub fn primary(ui: &mut Ui, text: &str) -> Response {
    Button::new(Kind::Primary, text).show(ui)
}

/// Any other act.
pub fn second(ui: &mut Ui, text: &str) -> Response {
    Button::new(Kind::Second, text).show(ui)
}

/// An act that cannot be undone.
pub fn danger(ui: &mut Ui, text: &str) -> Response {
    Button::new(Kind::Danger, text).show(ui)
}

/// An answer beside a field.
pub fn quiet(ui: &mut Ui, text: &str) -> Response {
    Button::new(Kind::Quiet, text).show(ui)
}
