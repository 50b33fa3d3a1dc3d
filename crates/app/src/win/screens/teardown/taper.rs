//! A tapered bore before it is driven off: clearance on the taper, push-up found, and what both say.

use draw::Align;
use draw::tokens::{height, space};
use egui::{Ui, pos2};
use store::sheet::TaperLine;

use super::fields::{Sheet, badge_at, mark, strip};
use super::form::flow;
use super::order::has;
use super::view::Why;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::screens::sheet::caution::{OIL_PRESSURE, caution_ui};

/// Nothing where the bore is cylindrical.
pub fn taper_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let Some(taper) = sheet.a.taper.clone() else {
        return;
    };
    ui.add_space(space::M);
    widgets::heading(ui, "On the taper", "before it is driven off");
    flow(ui, sheet, &["taper.push", "taper.push_gauge"]);
    flow(
        ui,
        sheet,
        &["taper.mounted.1", "taper.mounted.2", "taper.gauge"],
    );
    for (index, line) in taper.lines.iter().enumerate() {
        judged(ui, sheet, index, line);
    }
    if let Some(nm) = taper.expected_nm {
        let words = format!(
            "The push-up found says a loss of {} {} (computed).",
            sheet.show().length(nm),
            sheet.unit()
        );
        text::note(ui, &words);
    }
    if !taper.words.is_empty() {
        text::say(ui, Face::STRONG, &taper.words);
    }
    caution_ui(ui, OIL_PRESSURE);
    ui.add_space(space::S);
    flow(ui, sheet, &["taper.note"]);
    if taper.missing > 0 || has(sheet.view.entries.fields(), "skip.taper") {
        flow(ui, sheet, &["skip.taper"]);
    }
}

fn judged(ui: &mut Ui, sheet: &mut Sheet, index: usize, line: &TaperLine) {
    let rect = strip(ui, height::TOUCH);
    let middle = rect.center().y;
    let at = |x: f32, face: Face| pos2(rect.left() + x, text::baseline(middle, face.size));
    text::at(
        ui,
        at(0.0, Face::BODY),
        Align::Left,
        Face::BODY,
        &line.title,
    );
    let value = sheet.show().length(line.value_nm);
    text::at(
        ui,
        at(290.0, Face::SECTION),
        Align::Right,
        Face::SECTION,
        &value,
    );
    let length = |nm: i64| sheet.show().length(nm);
    let limits = match (line.lower_nm, line.upper_nm) {
        (Some(low), Some(high)) => format!("{} to {}", length(low), length(high)),
        (Some(low), None) => format!("at least {}", length(low)),
        (None, Some(high)) => format!("at most {}", length(high)),
        (None, None) => String::new(),
    };
    let muted = Face::BODY.muted();
    text::at(ui, at(310.0, muted), Align::Left, muted, &limits);
    let word = line.verdict.word();
    let name = format!("{}: {word}; why?", line.title);
    let left = rect.left() + 470.0;
    if let Some(beside) = badge_at(ui, left, middle, mark(line.verdict), word, &name) {
        sheet.view.why = Some((Why::Taper(index), beside));
    }
}
