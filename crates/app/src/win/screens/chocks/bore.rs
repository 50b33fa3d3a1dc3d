//! The bore of a chock at one check: the outline at the left, its verdicts and the other checks at the right.

use draw::Token;
use draw::tokens::space;
use egui::{Rect, Sense, Ui, UiBuilder, pos2};
use store::entry::Show;
use store::query::{BoreCheck, ChockCheck, ChockPage};

use super::page::{PageView, Why, bores};
use crate::drawings::outline_of;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Bar, Bars, Col, Columns, Row};
use crate::ui::{paint, theme};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::bearings::verdicts::{Judged, why_badge};
use crate::win::screens::log::small;

/// The outline at the left; verdicts and how it came to that at the right.
pub(super) fn bore(
    ui: &mut Ui,
    show: Show,
    page: &ChockPage,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    let Some(check) = view.check(page) else {
        return;
    };
    let area = ui.available_rect_before_wrap();
    let left_width = (area.width() * 0.36).clamp(300.0, 560.0).round();
    let top = area.top() + space::M;
    let side = |ui: &mut Ui, salt: &str, from: f32, to: f32| {
        let rect = Rect::from_min_max(pos2(from, top), pos2(to, top + 2_000.0));
        let mut child = ui.new_child(UiBuilder::new().id_salt(salt).max_rect(rect));
        child.spacing_mut().item_spacing.y = 0.0;
        child
    };
    let mut left = side(ui, "outline", area.left(), area.left() + left_width);
    outline(&mut left, show, page, check);
    let left = left.min_rect();
    let mut right = side(
        ui,
        "verdicts",
        area.left() + left_width + 32.0,
        area.right(),
    );
    verdicts(&mut right, show, check, view, commands);
    right.add_space(space::L);
    checks(&mut right, show, page, view);
    let whole = left.union(right.min_rect());
    ui.painter().vline(
        area.left() + left_width + 16.5,
        top..=whole.bottom(),
        theme::stroke(ui, 1.0, Token::Rule),
    );
    ui.allocate_rect(whole, Sense::hover());
}

fn outline(ui: &mut Ui, show: Show, page: &ChockPage, check: &ChockCheck) {
    widgets::heading(
        ui,
        &format!("Bore on {}", check.at().date()),
        "at 20 \u{b0}C, all planes",
    );
    let Some(map) = outline_of(page, check, show) else {
        text::say(
            ui,
            Face::BODY.muted(),
            "The grid of this check was not whole: there is no outline.",
        );
        return;
    };
    paint::scene(ui, &map.scene(ui.available_width().min(440.0)));
}

fn verdicts(
    ui: &mut Ui,
    show: Show,
    check: &ChockCheck,
    view: &mut PageView,
    commands: &mut Vec<Command>,
) {
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        text::strong(ui, &format!("What the bore says, {}", show.unit.sign()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if small::link(ui, "Open its sheet", "Open the sheet of this check").clicked() {
                commands.push(Command::Go(Route::Signed(check.event())));
            }
        });
    });
    let columns = Columns::new(vec![
        Col::rest("what"),
        Col::right("found", 74.0),
        Col::left("limit", 130.0),
        Col::right("", 104.0),
        Col::left("verdict", 136.0),
    ]);
    columns.header(ui);
    for (index, _) in check
        .verdicts()
        .filter(|(_, v)| v.about.starts_with("bore_"))
    {
        let Some(judged) = Judged::of_sheet(&check.sheet, Some(&check.limits), index, show) else {
            continue;
        };
        let (_, short) = judged.title.split_once(", ").unwrap_or(("", &judged.title));
        let name = format!("{short}: {}, {}", judged.value(show), judged.verdict.word());
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .text(short)
                .value(&judged.value(show))
                .note(&judged.limit(show))
                .note(&judged.margin(show));
            if let Some(beside) = why_badge(cells, &judged) {
                view.why = Some(Why {
                    event: check.event(),
                    index,
                    beside,
                });
            }
        });
    }
}

/// Every check as a bar of its largest ovality and one of its mean; a date opens that check.
fn checks(ui: &mut Ui, show: Show, page: &ChockPage, view: &mut PageView) {
    let all: Vec<(&ChockCheck, &BoreCheck)> = bores(page).collect();
    let limit = |about: &str| {
        let (last, _) = all.last()?;
        let mut verdicts = last.verdicts();
        verdicts.find(|(_, v)| v.about == about)?.1.upper_nm
    };
    let shown = view.check(page).map(ChockCheck::event);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        ui.set_min_height(28.0);
        text::strong(ui, "Bore checks");
        let dates: Vec<String> = all.iter().map(|(check, _)| check.at().date()).collect();
        let words: Vec<&str> = dates.iter().map(String::as_str).collect();
        // What does not fit beside the heading is reached by its sheet in the event line.
        let fits = ((ui.available_width() / 90.0) as usize).clamp(1, words.len());
        let first = words.len() - fits;
        let mut chosen = all
            .iter()
            .position(|(check, _)| Some(check.event()) == shown)
            .unwrap_or(0)
            .saturating_sub(first);
        if small::choose(ui, "Check", &words[first..], &mut chosen) {
            view.check = all.get(first + chosen).map(|(check, _)| check.event());
            view.why = None;
        }
    });
    let worst = |bore: &BoreCheck| bore.ovality_nm.iter().copied().max();
    let series = [
        (
            "Largest ovality of a plane",
            limit("bore_ovality"),
            all.iter().map(|(_, bore)| worst(bore)).collect::<Vec<_>>(),
            false,
        ),
        (
            "Mean deviation",
            limit("bore_mean"),
            all.iter().map(|(_, bore)| Some(bore.mean_nm)).collect(),
            true,
        ),
    ];
    let half = ((ui.available_width() - 32.0) / 2.0).floor();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 32.0;
        for (title, limit, values, is_deviation) in series {
            ui.vertical(|ui| {
                ui.set_width(half);
                bars(ui, show, &all, shown, (title, limit, &values, is_deviation));
            });
        }
    });
}

type Series<'a> = (&'a str, Option<i64>, &'a [Option<i64>], bool);

fn bars(
    ui: &mut Ui,
    show: Show,
    all: &[(&ChockCheck, &BoreCheck)],
    shown: Option<i64>,
    (title, limit, values, signed): Series,
) {
    let words = |nm: i64| {
        if signed {
            show.deviation(nm)
        } else {
            show.length(nm)
        }
    };
    let said = limit.map_or_else(String::new, |nm| format!(", limit {} dashed", words(nm)));
    text::note(ui, &format!("{title}{said}"));
    ui.add_space(space::XS);
    let labels: Vec<(String, String)> = all
        .iter()
        .zip(values)
        .map(|((check, _), value)| {
            let value = value.map_or_else(|| "\u{2013}".into(), words);
            (check.at().date(), value)
        })
        .collect();
    let is_over = |nm: i64| limit.is_some_and(|limit| nm > limit);
    let rows: Vec<Bar> = all
        .iter()
        .zip(values)
        .zip(&labels)
        .map(|(((check, _), value), (label, text))| Bar {
            label,
            value: value.unwrap_or(0).max(0) as f64,
            text,
            lit: Some(check.event()) == shown,
            token: value.filter(|nm| is_over(*nm)).map(|_| Token::Fail),
        })
        .collect();
    // Old checks go first where there are many; the last ones are what counts.
    let rows = &rows[rows.len().saturating_sub(8)..];
    let largest = values
        .iter()
        .flatten()
        .copied()
        .chain(limit)
        .max()
        .unwrap_or(1)
        .max(1);
    let limit = limit.map(|nm| nm as f64);
    Bars {
        title,
        rows,
        limit,
        max: largest as f64 * 1.05,
        label_width: 92.0,
    }
    .show(ui);
}
