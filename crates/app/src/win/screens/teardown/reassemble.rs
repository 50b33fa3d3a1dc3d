//! How it goes back: spacers after grinding, shims, load zone, chock, grease.

use calc::conformity::Verdict;
use calc::disposition::Disposition;
use draw::tokens::{height, space};
use draw::{Align, Mark, Pair, Token};
use egui::{Rect, Ui, pos2, vec2};
use store::sheet::field;
use store::sheet::{Section, ShimView};

use super::clearance::foot;
use super::fields::{Sheet, badge_at, field_at, labelled, mark, room, strip};
use super::form::flow;
use super::identify::ZONES;
use super::order::{advised, asks_retention, chooses_otherwise, has, is_ground};
use super::panel::{is_any_barred, zone_bars};
use super::view::Why;
use crate::ui::focus::Step;
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{self, Button, Kind};

/// The section.
pub fn reassemble_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let title = Section::Reassemble.title();
    let Some(decided) = sheet.a.decided else {
        widgets::section_title(ui, Some(Section::Reassemble.number()), title, "");
        let words =
            "What is done here follows from the decision: spacers, load zone, chock, grease.";
        if widgets::empty_page(ui, "Nothing is decided yet.", words, Some("Decide")) {
            sheet.view.open(Section::Decision);
            ui.ctx().request_repaint();
        }
        return;
    };
    if !sheet.a.is_reassembled {
        widgets::section_title(ui, Some(Section::Reassemble.number()), title, "");
        let words =
            "It stays in the shop: no spacers, load zone or grease are entered on this sheet.";
        let _ = widgets::empty_page(
            ui,
            &format!("{}: it does not go back.", decided.words()),
            words,
            None,
        );
        return;
    }
    widgets::section_title(
        ui,
        Some(Section::Reassemble.number()),
        title,
        decided.words(),
    );
    if decided == Disposition::RegrindSpacers {
        spacers(ui, sheet);
        cover(ui, sheet);
        let words = "Faces parallel; measure again before assembling. Wheel and guards by the site\u{2019}s procedure.";
        widgets::caution(ui, "Grinding", words);
        ui.add_space(space::M);
    }
    closing::parts_and_seals(ui, sheet);
    if sheet.a.family.has_zones() {
        load_zone(ui, sheet);
    }
    back_into(ui, sheet);
    grease(ui, sheet);
    closing::grease_and_cover(ui, sheet);
    closing::bolts_and_protection(ui, sheet);
    ui.add_space(space::S);
    let given = rows(sheet);
    let is_greased = has(sheet.view.entries.fields(), "grease.kind")
        && given.iter().take(sheet.facts().rows()).all(Option::is_some);
    foot(
        ui,
        sheet,
        "",
        ("skip.grease", "Not greased\u{2026}", is_greased),
    );
}

mod closing;

/// Right ends of found, grind by, to, target; left of the field; right of the clearance; left of the badge.
fn columns(width: f32) -> [f32; 7] {
    let spare = (width - 792.0).max(0.0);
    [130.0, 222.0, 308.0, 344.0, 534.0, 640.0, 665.0].map(|x| x + (spare * x / 792.0).round())
}

fn spacers(ui: &mut Ui, sheet: &mut Sheet) {
    let head = strip(ui, 22.0);
    let [found, grind, to, field_left, play, target, _] = columns(head.width());
    let mut say = |x: f32, align, words: &str| {
        text::at(
            ui,
            pos2(head.left() + x, head.top() + 13.0),
            align,
            Face::NOTE,
            words,
        );
    };
    say(0.0, Align::Left, "spacer");
    say(found, Align::Right, "found");
    say(grind, Align::Right, "grind by");
    say(to, Align::Right, "to");
    say(field_left + 44.0, Align::Centre, "measured");
    say(play, Align::Right, "end play");
    say(target, Align::Right, "target");
    for pair in Pair::ALL {
        spacer(ui, sheet, pair);
    }
    ui.add_space(space::XS);
    widgets::rule(ui);
    closing::places_after(ui, sheet);
}

fn spacer(ui: &mut Ui, sheet: &mut Sheet, pair: Pair) {
    let rect = strip(ui, height::BUTTON_ROW);
    let [found, grind, to, field_left, play, target, badge] =
        columns(rect.width()).map(|x| rect.left() + x);
    let (index, number) = (pair.index(), pair.index() + 1);
    let show = sheet.show();
    let middle = rect.center().y;
    let at = |x: f32, face: Face| pos2(x, text::baseline(middle, face.size));
    let label = Rect::from_min_size(pos2(rect.left(), middle - 11.0), vec2(60.0, 22.0));
    room(ui, label, |ui| {
        widgets::pair(ui, pair, &sheet.show().spacer(number))
    });
    let view = sheet.a.clearance.pairs[index].clone();
    if let Some(nm) = view.spacer_nm {
        text::at(
            ui,
            at(found, Face::BODY),
            Align::Right,
            Face::BODY,
            &show.length(nm),
        );
    }
    match view.to_grind_nm() {
        Some(0) => {
            text::at(
                ui,
                at(grind, Face::BODY),
                Align::Right,
                Face::BODY.muted(),
                "stays",
            );
        }
        Some(nm) => {
            text::at(
                ui,
                at(grind, Face::SECTION),
                Align::Right,
                Face::SECTION,
                &show.length(nm),
            );
        }
        None => {
            text::at(
                ui,
                at(grind, Face::BODY),
                Align::Right,
                Face::BODY.muted(),
                "\u{2013}",
            );
        }
    }
    if let Some(nm) = view.new_spacer_nm.filter(|_| view.grind_nm != Some(0)) {
        text::at(
            ui,
            at(to, Face::BODY),
            Align::Right,
            Face::BODY,
            &show.length(nm),
        );
    }
    if is_ground(&sheet.a, number) {
        sheet.number(
            ui,
            &field::after(number),
            field_at(field_left, rect.top() + 6.5),
            "",
        );
    }
    if let Some((low, high)) = view.target_nm {
        let words = format!("{} to {}", show.length(low), show.length(high));
        let face = Face::NOTE;
        text::at(ui, at(target, face), Align::Right, face, &words);
    }
    let after = sheet.a.clearance.after.clone();
    match after.end_play_nm[index] {
        Some(nm) => {
            text::at(
                ui,
                at(play, Face::SECTION),
                Align::Right,
                Face::SECTION,
                &show.length(nm),
            );
            let verdict = after.verdict[index];
            let name = format!(
                "End play of {} after grinding: {}; why?",
                show.pair_name(index + 1),
                verdict.word()
            );
            if let Some(beside) = badge_at(ui, badge, middle, mark(verdict), verdict.word(), &name)
            {
                sheet.view.why = Some((Why::After(index), beside));
            }
        }
        None if is_ground(&sheet.a, number) => {
            widgets::badge_at(ui, pos2(badge, middle), Mark::Missing, "width");
        }
        None => {}
    }
}

/// Outer and inner stack, the pack of shims, and the retention on the neck.
fn cover(ui: &mut Ui, sheet: &mut Sheet) {
    let rect = strip(ui, 76.0);
    let show = sheet.show();
    let caption = rect.top() + 20.0;
    let top = rect.top() + 28.0;
    let mut x = rect.left();
    text::at(
        ui,
        pos2(x, caption),
        Align::Left,
        Face::NOTE,
        &sheet.label("shim.found"),
    );
    sheet.number(
        ui,
        "shim.found",
        Rect::from_min_size(pos2(x, top), vec2(120.0, height::TOUCH)),
        sheet.unit(),
    );
    x += 140.0;
    let after = sheet.a.clearance.after.clone();
    let (words, face) = match after.shim {
        ShimView::New(nm) => (show.length_unit(nm), Face::SECTION),
        ShimView::MachineCover(nm) => (
            format!("machine the cover by {}", show.length_unit(nm)),
            Face::STRONG.token(Token::Fail),
        ),
        ShimView::Same if sheet.a.decided != Some(Disposition::RegrindSpacers) => {
            ("the same".into(), Face::BODY.muted())
        }
        // Nothing was measured after grinding yet.
        ShimView::Same | ShimView::NotKnown => ("from the widths".into(), Face::BODY.muted()),
    };
    text::at(ui, pos2(x, caption), Align::Left, Face::NOTE, "new pack");
    text::at(
        ui,
        pos2(x, text::baseline(top + 22.0, face.size)),
        Align::Left,
        face,
        &words,
    );
    x += 190.0;
    let stacks = [
        (
            "outer stack",
            after.outer_nm.or(sheet.a.clearance.planned_outer_nm),
        ),
        (
            "inner stack",
            after.inner_nm.or(sheet.a.clearance.planned_inner_nm),
        ),
    ];
    let is_measured = after.outer_nm.is_some();
    text::at(
        ui,
        pos2(x, caption),
        Align::Left,
        Face::NOTE,
        if is_measured {
            "by the widths measured"
        } else {
            "by the plan"
        },
    );
    for (row, (name, change)) in [0.0, 1.0].into_iter().zip(stacks) {
        let at = pos2(x, text::baseline(top + 11.0 + 22.0 * row, 16.0));
        text::at(
            ui,
            at,
            Align::Left,
            Face::BODY,
            &format!("{name} {}", shorter(sheet, change)),
        );
    }
    if asks_retention(&sheet.a) {
        let width = 2.0 * 92.0;
        let left = rect.right() - width;
        text::at(
            ui,
            pos2(left, caption),
            Align::Left,
            Face::NOTE,
            "axial retention on the neck",
        );
        let at = Rect::from_min_size(pos2(left, top), vec2(width, height::TOUCH));
        room(ui, at, |ui| {
            sheet.choice(
                ui,
                "retention.checked",
                &["not yet", "checked"],
                &["", "yes"],
                width / 2.0,
            );
        });
    }
    ui.add_space(space::M);
}

fn shorter(sheet: &Sheet, change: Option<i64>) -> String {
    match change {
        None => "\u{2013}".into(),
        Some(0) => "unchanged".into(),
        Some(nm) if nm < 0 => format!("{} shorter", sheet.show().length_unit(-nm)),
        Some(nm) => format!("{} longer", sheet.show().length_unit(nm)),
    }
}

fn load_zone(ui: &mut Ui, sheet: &mut Sheet) {
    let words = match advised(&sheet.a) {
        Some(zone) => {
            let least = if is_any_barred(sheet) {
                "least hours of the clear ones"
            } else {
                "least hours"
            };
            format!("Turn to load zone (advised {}, {least})", zone.as_str())
        }
        None => sheet.label("zone.choice"),
    };
    let run_s = sheet.a.zone_run_s;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::XXL;
        labelled(ui, &words, |ui| {
            sheet.choice(ui, "zone.choice", &ZONES, &ZONES, 72.0);
        });
        ui.vertical(|ui| {
            ui.set_width(ui.available_width().min(440.0));
            zone_bars(ui, sheet, run_s);
        });
    });
    ui.add_space(space::S);
    flow(ui, sheet, &["zone.rings"]);
    let is_unlike = sheet.view.entries.committed("zone.rings") == "other";
    if is_unlike {
        flow(ui, sheet, &["zone.ring.1", "zone.ring.2", "zone.ring.3"]);
    }
    if is_unlike || chooses_otherwise(&sheet.a) || has(sheet.view.entries.fields(), "zone.reason") {
        ui.add_space(space::S);
        let width = ui.available_width();
        labelled(ui, &sheet.label("zone.reason"), |ui| {
            sheet.words(
                ui,
                "zone.reason",
                "what speaks against the least hours",
                width,
            );
        });
    }
    ui.add_space(space::M);
}

fn back_into(ui: &mut Ui, sheet: &mut Sheet) {
    let path = "reassemble.chock";
    let choices = sheet.model.choices("chock");
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        labelled(ui, &sheet.label(path), |ui| sheet.code(ui, path, "scan or type", 200.0, &choices));
        // The same chock is offered, never silently taken.
        let same = sheet.facts().chock.as_ref().map(|c| c.code.clone());
        if let Some(code) = same.filter(|_| sheet.view.entries.committed(path).is_empty()) {
            labelled(ui, "the same one", |ui| {
                if Button::new(Kind::Second, &format!("Back into {code}")).show(ui).clicked() {
                    sheet.view.entries.choose(path, &code);
                    sheet.step(ui, path, Step::Forward);
                }
            });
        }
        ui.vertical(|ui| {
            ui.set_width((ui.available_width() - space::S).max(200.0));
            widgets::caution(ui, "Lifting", "Rings by their lifting points and the site\u{2019}s own procedure; nobody under the load.");
        });
    });
    ui.add_space(space::M);
}

/// Grease of each row, mg.
fn rows(sheet: &Sheet) -> [Option<i64>; 4] {
    [1, 2, 3, 4].map(|row| {
        sheet
            .a
            .fields
            .get(&format!("grease.row.{row}"))
            .and_then(|s| s.value)
    })
}

fn grease(ui: &mut Ui, sheet: &mut Sheet) {
    let facts = sheet.facts();
    let grams = |mg: i64| (mg + 500) / 1_000;
    let about = sheet.a.closing.grease_row.as_ref();
    let about = about
        .map(|row| format!("about {} g a row, {}", grams(row.value), row.origin))
        .unwrap_or_default();
    let scheme = facts
        .bearing_type
        .as_ref()
        .map_or(String::new(), |t| t.lubrication.clone());
    widgets::heading(
        ui,
        "Grease",
        &[scheme, about]
            .into_iter()
            .filter(|w| !w.is_empty())
            .collect::<Vec<_>>()
            .join("; "),
    );
    ui.add_space(space::XS);
    let rect = strip(ui, 64.0);
    let top = rect.top() + 20.0;
    let choices = sheet.model.choices("grease");
    let caption = |ui: &mut Ui, x: f32, words: &str| {
        text::at(
            ui,
            pos2(x, rect.top() + 12.0),
            Align::Left,
            Face::NOTE,
            words,
        );
    };
    caption(ui, rect.left(), &sheet.label("grease.kind"));
    let at = Rect::from_min_size(pos2(rect.left(), top), vec2(200.0, height::TOUCH));
    room(ui, at, |ui| {
        sheet.code(ui, "grease.kind", "which one?", 200.0, &choices);
    });
    let mut x = rect.left() + 216.0;
    let count = sheet.facts().rows();
    for row in 1..=count {
        caption(ui, x, &format!("row {}", sheet.rows().row(row)));
        sheet.number(ui, &format!("grease.row.{row}"), field_at(x, top), "g");
        x += 100.0;
    }
    let given: Vec<i64> = rows(sheet).into_iter().flatten().collect();
    if !given.is_empty() {
        let total: i64 = given.iter().sum();
        caption(
            ui,
            x + 8.0,
            if given.len() == count {
                "in all"
            } else {
                "so far"
            },
        );
        let face = Face::SECTION;
        let words = format!("{} g", sheet.show().grouped((total + 500) / 1_000));
        text::at(
            ui,
            pos2(x + 8.0, text::baseline(top + 22.0, face.size)),
            Align::Left,
            face,
            &words,
        );
    }
    if sheet.a.clearance.after.verdict.contains(&Verdict::Fail) {
        ui.add_space(space::S);
        widgets::error_box(
            ui,
            "Not yet",
            "A clearance after grinding is outside the target: grind or measure again before closing.",
        );
    }
    let stroke = theme::stroke(ui, 1.0, Token::Rule);
    ui.painter()
        .hline(rect.x_range(), rect.bottom() + 4.5, stroke);
}
