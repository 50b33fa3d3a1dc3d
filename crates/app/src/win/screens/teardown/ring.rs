//! The inner ring that came off its neck or turned on it: its bore, and the interference that is left.

use calc::conformity::Verdict;
use draw::Align;
use draw::tokens::{height, space};
use egui::{Ui, pos2};
use store::sheet::field::{PAIRS, SEAT_DEGREES, halves};
use store::sheet::ring_size;

use super::fields::{Sheet, badge_at, field_at, mark, strip};
use super::form::flow;
use super::gauge::gauge_line;
use super::order::has;
use super::view::Why;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::screens::sheet::caution::{RING_OFF, caution_ui};

const FIRST: f32 = 132.0;
const PITCH: f32 = 98.0;

/// Nothing where the ring stays on its neck.
pub fn ring_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let Some(ring) = sheet.a.ring.clone() else {
        return;
    };
    ui.add_space(space::M);
    widgets::heading(
        ui,
        "Inner ring",
        "bore as the gauge shows it, planes from the barrel; under each its size at 20 \u{b0}C",
    );
    caution_ui(ui, RING_OFF);
    ui.add_space(space::S);
    super::seats::thermometer_line(ui, sheet, "ring.thermometer");
    flow(ui, sheet, &["ring.temp", "ring.temp_gauge"]);
    let head = strip(ui, 24.0);
    for (at, degrees) in (0_u8..).zip(SEAT_DEGREES) {
        let x = head.left() + FIRST + PITCH * f32::from(at) + 44.0;
        let words = format!("{degrees}\u{b0}");
        let at = pos2(x, head.top() + 17.0);
        text::at(ui, at, Align::Centre, Face::NOTE, &words);
    }
    for plane in PAIRS {
        let rect = strip(ui, height::FIELD_ROW + 12.0);
        let top = rect.top() + 4.0;
        let middle = top + height::TOUCH / 2.0;
        let at = pos2(rect.left(), text::baseline(middle, Face::STRONG.size));
        text::at(ui, at, Align::Left, Face::STRONG, &format!("plane {plane}"));
        for (place, degrees) in (0_u8..).zip(SEAT_DEGREES) {
            let x = rect.left() + FIRST + PITCH * f32::from(place);
            sheet.number(ui, &halves::ring(plane, degrees), field_at(x, top), "");
            let is_warm = ["ring.temp", "ring.temp_gauge"]
                .iter()
                .all(|path| has(sheet.view.entries.fields(), path));
            if let Some(nm) = ring_size(&ring, plane - 1, usize::from(place)).filter(|_| is_warm) {
                let at = pos2(x + 44.0, top + height::TOUCH + 15.0);
                text::at(ui, at, Align::Centre, Face::NOTE, &sheet.show().length(nm));
            }
        }
    }
    gauge_line(ui, sheet, "ring.gauge", "gauge", "bore");
    if let (Some(found), Some((least, most))) = (ring.interference_nm, ring.designed_nm) {
        let rect = strip(ui, height::TOUCH);
        let middle = rect.center().y;
        let at = |x: f32, size: f32| pos2(rect.left() + x, text::baseline(middle, size));
        let strong = Face::STRONG;
        text::at(
            ui,
            at(0.0, strong.size),
            Align::Left,
            strong,
            "interference found",
        );
        let big = Face::SECTION;
        let value = sheet.show().length(found);
        text::at(ui, at(FIRST + 136.0, big.size), Align::Right, big, &value);
        let designed = format!(
            "designed {} to {}",
            sheet.show().length(least),
            sheet.show().length(most)
        );
        let muted = Face::BODY.muted();
        text::at(
            ui,
            at(FIRST + 156.0, muted.size),
            Align::Left,
            muted,
            &designed,
        );
        let word = ring.verdict.word();
        let name = format!("Interference found: {word}; why?");
        let left = rect.left() + FIRST + 3.0 * PITCH + 88.0;
        if let Some(beside) = badge_at(ui, left, middle, mark(ring.verdict), word, &name) {
            sheet.view.why = Some((Why::Ring, beside));
        }
        if !ring.words.is_empty() {
            let mut words = ring.words.clone();
            if let Some(first) = words.get(..1).map(str::to_uppercase) {
                words.replace_range(..1, &first);
            }
            let face = match ring.verdict {
                Verdict::Fail => Face::STRONG.token(draw::Token::Fail),
                _ => Face::STRONG.token(draw::Token::Doubt),
            };
            text::say(ui, face, &format!("{words}."));
        }
    }
    let open = ring.missing > 0 || has(sheet.view.entries.fields(), "skip.ring");
    flow(ui, sheet, &["ring.cracks"]);
    let skip = "skip.ring_cracks";
    if sheet.order().iter().any(|path| path == skip) {
        flow(ui, sheet, &[skip]);
    }
    if open {
        flow(ui, sheet, &["skip.ring"]);
    }
}
