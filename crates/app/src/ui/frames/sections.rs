//! The sections of a sheet at its left, 176 wide, in the place of the rail.

use draw::marks::Towards;
use draw::tokens::{height, size};
use draw::{Align, Glyph, Mark, Token, pos};
use egui::{Frame, Panel, Rect, Role, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};

use super::rail::ground;
use crate::ui::text::{self, Face};
use crate::ui::{paint, theme};

pub(super) const WIDTH: f32 = 176.0;

/// How far a section is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionMark {
    /// Complete: a tick.
    Done,
    /// Open, and nothing to say about it yet: a small triangle.
    Open,
    /// A verdict, or that something is missing.
    Verdict(Mark),
    /// Nothing.
    Blank,
}

impl SectionMark {
    const fn word(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::Open => "open",
            Self::Verdict(Mark::Pass) => "pass",
            Self::Verdict(Mark::PassInDoubt) => "pass in doubt",
            Self::Verdict(Mark::FailInDoubt) => "fail in doubt",
            Self::Verdict(Mark::Fail) => "fail",
            Self::Verdict(Mark::Missing) => "missing",
            Self::Verdict(Mark::NotApplicable) => "not applicable",
            Self::Blank => "",
        }
    }
}

/// One section.
#[derive(Clone, Copy, Debug)]
pub struct Section<'a> {
    /// Its number.
    pub number: u32,
    /// Its name.
    pub name: &'a str,
    /// A line below, such as `8 of 15 values`; shown if not empty.
    pub sub: &'a str,
    /// How far it is.
    pub mark: SectionMark,
}

/// Shows the list; the index of a section that was pressed.
pub fn sections(ui: &mut Ui, items: &[Section], current: usize) -> Option<usize> {
    let frame = Frame::new().fill(theme::color(ui, Token::Ground));
    let panel = Panel::left("sections")
        .exact_size(WIDTH)
        .resizable(false)
        .show_separator_line(false)
        .frame(frame);
    let show = |ui: &mut Ui| {
        let rect = ui.max_rect();
        let edge = theme::stroke(ui, 1.0, Token::Rule);
        ui.painter().vline(rect.right() - 0.5, rect.y_range(), edge);
        ui.spacing_mut().item_spacing.y = 0.0;
        let list = |ui: &mut Ui| {
            let mut pressed = None;
            for (index, section) in items.iter().enumerate() {
                if item(ui, section, index == current) {
                    pressed = Some(index);
                }
            }
            pressed
        };
        ScrollArea::vertical()
            .auto_shrink(false)
            .show(ui, list)
            .inner
    };
    panel.show(ui, show).inner
}

fn item(ui: &mut Ui, section: &Section, is_current: bool) -> bool {
    let (_, rect) = ui.allocate_space(vec2(WIDTH, height::SECTION));
    let response = ui.interact(
        rect,
        ui.make_persistent_id(("section", section.number)),
        Sense::click(),
    );
    response.widget_info(|| {
        let words = [section.name, section.sub, section.mark.word()];
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        let name = format!("{} {}", section.number, words.join(", "));
        WidgetInfo::selected(Role::Tab, true, is_current, name)
    });
    ground(ui, rect, is_current, &response);
    let middle = rect.center().y;
    let (name_y, sub_y) = if section.sub.is_empty() {
        (middle, middle)
    } else {
        (middle - 8.0, middle + 12.0)
    };
    let baseline = text::baseline(name_y, size::BODY);
    let number = Face::STRONG.token(if is_current { Token::Ink } else { Token::Muted });
    text::silent(
        ui,
        pos2(rect.left() + 25.0, baseline),
        Align::Right,
        number,
        &section.number.to_string(),
    );
    let name = if is_current {
        Face::STRONG
    } else {
        Face::BODY.muted()
    };
    text::silent(
        ui,
        pos2(rect.left() + 35.0, baseline),
        Align::Left,
        name,
        section.name,
    );
    if !section.sub.is_empty() {
        let token = match section.mark {
            SectionMark::Verdict(mark) if mark != Mark::Missing => mark.token(),
            _ => Token::Muted,
        };
        let at = pos2(rect.left() + 35.0, text::baseline(sub_y, size::NOTE));
        text::silent(ui, at, Align::Left, Face::NOTE.token(token), section.sub);
    }
    draw_mark(ui, rect, section.mark);
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

fn draw_mark(ui: &Ui, rect: Rect, mark: SectionMark) {
    let centre = pos2(rect.left() + 158.0, rect.center().y).round();
    let shapes = match mark {
        SectionMark::Done => Glyph::Tick.shapes(pos(0.0, 0.0), 16.0, Token::Muted),
        SectionMark::Open => Glyph::Step(Towards::Right).shapes(pos(0.0, 0.0), 9.0, Token::Accent),
        SectionMark::Verdict(mark) => mark.shapes(pos(0.0, 0.0), 0.85),
        SectionMark::Blank => return,
    };
    paint::shapes(ui, centre, &shapes);
}
