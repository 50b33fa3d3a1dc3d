//! The line of a gauge: which one, and whether it was in calibration.

use draw::tokens::space;
use draw::{Mark, Token};
use egui::{Rect, Ui, pos2, vec2};
use store::Stamp;
use store::sheet::GaugeFacts;

use super::fields::{Sheet, room, strip};
use crate::ui::text::{self, Face};
use crate::ui::{theme, widgets};

/// Height of a gauge's line.
pub const LINE: f32 = 46.0;
/// Room for what stands before a field of such a line.
pub const LABEL: f32 = 74.0;
const FIELD: f32 = 144.0;

/// A line with the field for a gauge; `label` says what for, `measures` which gauges there are to choose from.
pub fn gauge_line(ui: &mut Ui, sheet: &mut Sheet, path: &str, label: &str, measures: &str) {
    let rect = strip(ui, LINE);
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        theme::stroke(ui, 1.0, Token::Rule),
    );
    let middle = rect.center().y - 0.5;
    let baseline = |size: f32| text::baseline(middle, size);
    text::at(
        ui,
        pos2(rect.left(), baseline(Face::NOTE.size)),
        draw::Align::Left,
        Face::NOTE,
        label,
    );
    let at = Rect::from_min_size(
        pos2(rect.left() + LABEL, rect.top() + 0.5),
        vec2(FIELD, 44.0),
    );
    let choices = sheet.model.gauges(measures);
    room(ui, at, |ui| {
        sheet.code(ui, path, "which one?", FIELD, &choices);
    });
    let left = at.right() + space::M;
    let code = sheet.view.entries.committed(path);
    let gauge = sheet
        .facts()
        .gauges
        .values()
        .find(|g| g.code.eq_ignore_ascii_case(code));
    let refusal = sheet
        .a
        .fields
        .get(path)
        .and_then(|s| s.problem.as_ref())
        .map(|p| p.text.clone());
    match (gauge, refusal) {
        _ if sheet.view.entries.is_typing(path) => {}
        (_, Some(why)) => {
            let face = Face::NOTE_STRONG.token(Token::Fail);
            text::at_most(
                ui,
                pos2(left, baseline(face.size)),
                rect.right() - left,
                face,
                &why,
            );
        }
        (Some(gauge), None) => {
            let offset = sheet.facts().at.offset_min;
            let (mark, word) = status(gauge, offset);
            let width = 24.0 + text::width(ui, Face::STRONG, &word);
            let badge = rect.right() - width;
            let words = about(gauge, sheet);
            text::at_most(
                ui,
                pos2(left, baseline(16.0)),
                badge - left - space::M,
                Face::BODY.muted(),
                &words,
            );
            widgets::badge_at(ui, pos2(badge, middle), mark, &word);
        }
        (None, None) => {}
    }
}

/// What it is and how sure it reads.
fn about(gauge: &GaugeFacts, sheet: &Sheet) -> String {
    let kind = [gauge.kind.as_str(), &gauge.span].join(" ");
    let kind = kind.trim();
    match gauge.expanded_uncertainty_nm {
        // U of a thermometer is in mK.
        Some(mk) if gauge.measures == "temperature" => {
            format!(
                "{kind}, U {} K at k = 2",
                sheet.show().decimals(mk, 1_000, 1)
            )
        }
        Some(nm) => format!(
            "{kind}, U {} {} at k = 2",
            sheet.show().length(nm),
            sheet.unit()
        ),
        None => format!("{kind}, U not known: at best in doubt"),
    }
}

/// Whether it was in calibration on the day of the teardown.
pub fn status(gauge: &GaugeFacts, offset_min: i64) -> (Mark, String) {
    let due = Stamp::second(gauge.due_ms, offset_min).date();
    if let Some(doubt) = gauge.other_doubt() {
        (Mark::FailInDoubt, doubt.to_owned())
    } else if gauge.is_overdue {
        (Mark::FailInDoubt, format!("overdue since {due}"))
    } else {
        (Mark::Pass, "in calibration".into())
    }
}
