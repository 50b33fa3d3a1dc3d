//! A long task: how far it is, and the way to stop it.

use draw::tokens::height;
use draw::{Align, Token};
use egui::{Rect, Role, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::button::{Button, Kind};
use crate::ui::text::{self, Face};
use crate::ui::theme;

/// Shows how many of `total` are done, such as `438 of 640` with `words` after it; true if the task
/// is to stop. With a `total` of 0 the length is not known yet.
pub fn progress(ui: &mut Ui, done: u64, total: u64, words: &str) -> bool {
    let rect = text::strip(ui, height::TOUCH);
    let count = if total == 0 {
        format!("{done}")
    } else if words == "%" {
        format!("{}", done * 100 / total)
    } else {
        format!("{done} of {total}")
    };
    let said = if words.is_empty() {
        count
    } else {
        format!("{count} {words}")
    };
    let said_width = text::width(ui, Face::STRONG, &said);
    let stop_width = text::width(ui, Face::STRONG, "Stop") + 24.0;
    let bar_width =
        (rect.width() - said_width - stop_width - 36.0).clamp(40.0, rect.width() * 0.66);
    let bar = Rect::from_min_size(
        pos2(rect.left(), rect.center().y - 4.0),
        vec2(bar_width, 8.0),
    )
    .round();
    let edge = theme::stroke(ui, 1.0, Token::Edge);
    ui.painter().rect(
        bar,
        4.0,
        theme::color(ui, Token::Ground),
        edge,
        StrokeKind::Inside,
    );
    let share = if total == 0 {
        0.0
    } else {
        (done as f32 / total as f32).clamp(0.0, 1.0)
    };
    if share > 0.0 {
        let full = Rect::from_min_size(bar.min, vec2((bar.width() * share).max(8.0), bar.height()));
        ui.painter()
            .rect_filled(full, 4.0, theme::color(ui, Token::Accent));
    }
    let response = ui.interact(
        bar,
        ui.make_persistent_id(("progress", words)),
        Sense::hover(),
    );
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::ProgressIndicator, true, &said);
        info.value = Some(f64::from(share));
        info
    });
    let at = pos2(
        bar.right() + 12.0,
        text::baseline(rect.center().y, Face::STRONG.size),
    );
    text::at(ui, at, Align::Left, Face::STRONG, &said);
    let stop = Rect::from_min_max(pos2(rect.right() - stop_width, rect.top()), rect.max);
    Button::new(Kind::Quiet, "Stop")
        .name("Stop this task")
        .place(ui, stop)
        .clicked()
}
