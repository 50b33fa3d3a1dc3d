//! A bore from check to check: its outlines beside each other with one enlargement, and the sizes of every plane.

use draw::Token;
use draw::tokens::space;
use egui::{Sense, Ui, pos2, vec2};
use store::entry::Show;
use store::query::{ChockCheck, ChockPage};

use super::page::PageView;
use crate::drawings::{bore_trends, outlines};
use crate::ui::{paint, text, theme, widgets};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::log::small;

/// Width of one outline with its words, px.
const STAMP: f32 = 150.0;
const TREND_HEIGHT: f32 = 210.0;

/// Both, where there are two checks or more.
pub(super) fn over_time(
    ui: &mut Ui,
    show: Show,
    page: &ChockPage,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    let room = (ui.available_width() / (STAMP + space::L)) as usize;
    let (maps, enlarged) = outlines(page, room.max(1), show);
    if maps.len() < 2 {
        return;
    }
    widgets::heading(
        ui,
        "Bore from check to check",
        &format!(
            "every outline with its deviation \u{d7} {}, seen from outboard; shaded: tolerance of the drawing",
            show.grouped(i64::from(enlarged))
        ),
    );
    ui.add_space(space::S);
    let shown = view.check(page).map(ChockCheck::event);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        for (check, map) in &maps {
            ui.vertical(|ui| {
                ui.set_width(STAMP);
                if stamp(
                    ui,
                    show,
                    check,
                    &map.stamp(STAMP),
                    shown == Some(check.event()),
                ) {
                    view.check = Some(check.event());
                    view.why = None;
                }
            });
        }
    });
    ui.add_space(space::M);
    trends(ui, show, page, commands);
}

/// One outline with its day and its worst; true where it was pressed.
fn stamp(ui: &mut Ui, show: Show, check: &ChockCheck, scene: &draw::Scene, is_shown: bool) -> bool {
    let date = check.at().date();
    let drawn = paint::scene(ui, scene);
    let is_pressed = drawn.response.interact(Sense::click()).clicked();
    let link = small::link(ui, &date, &format!("Show the bore of {date}"));
    if is_shown {
        let line = link.rect.x_range();
        let stroke = theme::stroke(ui, 2.0, Token::Accent);
        ui.painter().hline(line, link.rect.bottom() - 3.0, stroke);
    }
    if let Some(bore) = &check.bore {
        let worst = bore.ovality_nm.iter().max();
        text::note(ui, &format!("mean {}", show.deviation(bore.mean_nm)));
        let worst = worst.map_or_else(|| "\u{2013}".into(), |nm| show.length(*nm));
        text::note(ui, &format!("ovality {worst}"));
    }
    if check.is_after_repair() {
        text::note(ui, "back from repair");
    }
    link.clicked() || is_pressed
}

/// A plot a plane, as many beside each other as there is room for.
fn trends(ui: &mut Ui, show: Show, page: &ChockPage, commands: &mut Vec<Command>) {
    let plots = bore_trends(page, show);
    let across = if ui.available_width() >= 340.0 * plots.len() as f32 {
        plots.len()
    } else {
        2
    };
    let gap = 24.0;
    let width =
        ((ui.available_width() - gap * (across.max(1) - 1) as f32) / across.max(1) as f32).floor();
    widgets::heading(
        ui,
        "Sizes of each plane over time",
        "a line a direction, from the vertical; a click on a dot opens its sheet",
    );
    for row in plots.chunks(across.max(1)) {
        let (rect, _) = ui.allocate_exact_size(
            vec2(ui.available_width(), TREND_HEIGHT + space::S),
            Sense::hover(),
        );
        for (plot, column) in row.iter().zip(0_u8..) {
            let left = rect.left() + f32::from(column) * (width + gap);
            let scene = plot.scene(width, TREND_HEIGHT);
            let clicked = paint::scene_at(ui, pos2(left, rect.top()), &scene).clicked;
            let event = clicked.and_then(|key| i64::try_from(key).ok());
            commands.extend(event.map(|event| Command::Go(Route::Signed(event))));
        }
    }
}
