//! Words on the page: in the flow, or on a baseline.
//!
//! A [`Face`] is one of the few settings of type; every word shown goes through here, so that each
//! is also a node for screen readers and tests, and no character turns into an empty box.

use std::sync::Arc;

use draw::tokens::size;
use draw::{Align, Token, Weight, font};
use egui::text::{LayoutJob, TextFormat, TextWrapping};
use egui::{Galley, Pos2, Rect, Response, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::theme;

/// Size, weight and colour of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Face {
    /// One of [`draw::tokens::size`].
    pub size: f32,
    /// Regular or semibold.
    pub weight: Weight,
    /// Colour.
    pub token: Token,
    /// Struck through: what was written before an amendment.
    pub struck: bool,
}

impl Face {
    /// 13 muted: labels, notes, column heads.
    pub const NOTE: Self = Self::new(size::NOTE, Weight::Regular, Token::Muted);
    /// 13 semibold muted.
    pub const NOTE_STRONG: Self = Self::new(size::NOTE, Weight::Semibold, Token::Muted);
    /// 16.
    pub const BODY: Self = Self::new(size::BODY, Weight::Regular, Token::Ink);
    /// 16 semibold.
    pub const STRONG: Self = Self::new(size::BODY, Weight::Semibold, Token::Ink);
    /// 20: a value in a field.
    pub const VALUE: Self = Self::new(size::VALUE, Weight::Regular, Token::Ink);
    /// 20 semibold: a section title, a result.
    pub const SECTION: Self = Self::new(size::VALUE, Weight::Semibold, Token::Ink);
    /// 22 semibold: a page title.
    pub const TITLE: Self = Self::new(size::TITLE, Weight::Semibold, Token::Ink);
    /// 28 semibold: the one number of a page.
    pub const BIG: Self = Self::new(size::NUMBER, Weight::Semibold, Token::Ink);

    const fn new(size: f32, weight: Weight, token: Token) -> Self {
        Self {
            size,
            weight,
            token,
            struck: false,
        }
    }

    /// The same in another colour.
    #[must_use]
    pub const fn token(mut self, token: Token) -> Self {
        self.token = token;
        self
    }

    /// The same, muted.
    #[must_use]
    pub const fn muted(self) -> Self {
        self.token(Token::Muted)
    }

    /// The same, struck through.
    #[must_use]
    pub const fn struck(mut self) -> Self {
        self.struck = true;
        self
    }

    fn format(self, ui: &Ui) -> TextFormat {
        let color = theme::color(ui, self.token);
        let mut format = TextFormat::simple(theme::font(self.size, self.weight), color);
        if self.struck {
            format.strikethrough = Stroke::new(1.0, color);
        }
        format
    }
}

/// A text in the flow; it wraps at the edge.
pub fn say(ui: &mut Ui, face: Face, text: &str) -> Response {
    let job = LayoutJob::single_section(font::readable(text).into_owned(), face.format(ui));
    ui.label(job)
}

/// [`Face::NOTE`] in the flow.
pub fn note(ui: &mut Ui, text: &str) -> Response {
    say(ui, Face::NOTE, text)
}

/// [`Face::BODY`] in the flow.
pub fn body(ui: &mut Ui, text: &str) -> Response {
    say(ui, Face::BODY, text)
}

/// [`Face::STRONG`] in the flow.
pub fn strong(ui: &mut Ui, text: &str) -> Response {
    say(ui, Face::STRONG, text)
}

/// One line of several faces on one baseline, 8 px apart; it wraps at the edge.
pub fn line(ui: &mut Ui, parts: &[(Face, &str)]) -> Response {
    let mut job = LayoutJob::default();
    for (index, (face, text)) in parts.iter().enumerate() {
        let space = if index == 0 { 0.0 } else { 8.0 };
        job.append(&font::readable(text), space, face.format(ui));
    }
    ui.label(job)
}

/// A line of text at a baseline, wherever the page wants it; allocates nothing.
///
/// `at.x` is the end that `align` names. Gives back the space the words take.
pub fn at(ui: &mut Ui, at: Pos2, align: Align, face: Face, text: &str) -> Rect {
    let galley = galley(ui, face, text, f32::INFINITY);
    let rect = paint(ui, at, align, &galley);
    let id = ui.next_auto_id();
    ui.skip_ahead_auto_ids(1);
    let response = ui.interact(rect, id, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, galley.text()));
    rect
}

/// Like [`at`], cut with an ellipsis where it would be wider than `width`.
pub fn at_most(ui: &mut Ui, at: Pos2, width: f32, face: Face, text: &str) -> Rect {
    let galley = galley(ui, face, text, width);
    let rect = paint(ui, at, Align::Left, &galley);
    let id = ui.next_auto_id();
    ui.skip_ahead_auto_ids(1);
    let response = ui.interact(rect, id, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, galley.text()));
    if galley.elided {
        response.on_hover_text(galley.text());
    }
    rect
}

/// Words painted at a baseline that are part of a control which has its own name for readers.
pub fn silent(ui: &Ui, at: Pos2, align: Align, face: Face, text: &str) -> Rect {
    paint(ui, at, align, &galley(ui, face, text, f32::INFINITY))
}

/// Like [`silent`] from the left, cut with an ellipsis where it would be wider than `width`.
pub fn silent_at_most(ui: &Ui, at: Pos2, width: f32, face: Face, text: &str) -> Rect {
    paint(ui, at, Align::Left, &galley(ui, face, text, width))
}

/// The width of a text as the window sets it.
pub fn width(ui: &Ui, face: Face, text: &str) -> f32 {
    galley(ui, face, text, f32::INFINITY).size().x
}

/// The baseline of a line whose digits and capitals stand centred on `centre_y`, on a whole pixel.
pub fn baseline(centre_y: f32, size: f32) -> f32 {
    font::baseline(centre_y, size).round()
}

/// The set line; wider ones than `width` are cut with an ellipsis.
pub(super) fn galley(ui: &Ui, face: Face, text: &str, width: f32) -> Arc<Galley> {
    let mut job = LayoutJob::single_section(font::readable(text).into_owned(), face.format(ui));
    job.break_on_newline = false;
    job.wrap = TextWrapping::truncate_at_width(width);
    ui.fonts_mut(|fonts| fonts.layout_job(job))
}

/// Paints a set text with the first line's baseline at `at.y`.
pub(super) fn paint(ui: &Ui, at: Pos2, align: Align, galley: &Arc<Galley>) -> Rect {
    let width = galley.size().x;
    let left = match align {
        Align::Left => at.x,
        Align::Centre => at.x - width / 2.0,
        Align::Right => at.x - width,
    };
    let min = pos2(left.round(), at.y - ascent(galley));
    ui.painter()
        .galley(min, Arc::clone(galley), theme::color(ui, Token::Ink));
    Rect::from_min_size(min, galley.size())
}

/// From the top of a set text to the baseline of its first line.
pub(super) fn ascent(galley: &Galley) -> f32 {
    let Some(row) = galley.rows.first() else {
        return 0.0;
    };
    row.pos.y
        + row
            .glyphs
            .first()
            .map_or(row.size.y * 0.785, |glyph| glyph.pos.y)
}

/// Allocates a line of a given height and hands out its rectangle, as wide as there is room.
pub fn strip(ui: &mut Ui, height: f32) -> Rect {
    let width = ui.available_width();
    ui.allocate_exact_size(vec2(width, height), Sense::hover())
        .0
}
