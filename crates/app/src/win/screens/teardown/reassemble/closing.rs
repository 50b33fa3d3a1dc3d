//! Closing the chock: parts and seals, grease at the seals, cover gap and shims, bolts, protection.

use calc::conformity::Verdict;
use draw::tokens::space;
use draw::{Align, Pair, Token};
use egui::{Ui, pos2};
use store::sheet::field::{self, GAP_DEGREES, OTHER_PLACES};

use super::super::fields::{Sheet, badge_at, field_at, mark, room, strip};
use super::super::form::flow;
use super::super::order::{asks_places, has, is_ground};
use super::super::view::Why;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::screens::sheet::caution::{GREASE_GUN, caution_ui};

/// The spacers after grinding at their other places.
pub(super) fn places_after(ui: &mut Ui, sheet: &mut Sheet) {
    let about = if asks_places(&sheet.a) {
        "faces parallel; the mean of the places counts"
    } else {
        "where they are measured; the mean of the places counts"
    };
    widgets::heading(ui, "At their other places", about);
    for pair in Pair::ALL {
        let number = pair.index() + 1;
        if !is_ground(&sheet.a, number) {
            continue;
        }
        let rect = strip(ui, 52.0);
        let middle = rect.center().y;
        let label =
            egui::Rect::from_min_size(pos2(rect.left(), middle - 11.0), egui::vec2(46.0, 22.0));
        room(ui, label, |ui| {
            widgets::pair(ui, pair, &sheet.show().spacer(number))
        });
        let mut x = rect.left() + 72.0;
        for degrees in OTHER_PLACES {
            let at = pos2(x - 6.0, text::baseline(middle, Face::NOTE.size));
            text::at(
                ui,
                at,
                Align::Right,
                Face::NOTE,
                &format!("{degrees}\u{b0}"),
            );
            let path = field::after_at(number, degrees);
            sheet.number(ui, &path, field_at(x, rect.top() + 4.0), "");
            x += 88.0 + 46.0;
        }
        if let Some(nm) = sheet.a.clearance.after.parallel_nm[pair.index()] {
            let words = format!("parallel within {}", sheet.show().length(nm));
            let at = pos2(x, text::baseline(middle, Face::BODY.size));
            let end = text::at(ui, at, Align::Left, Face::BODY, &words).right();
            faces_after(ui, sheet, pair, pos2(end + space::L, middle));
        }
    }
    if sheet.order().iter().any(|path| path == "skip.places_after") {
        flow(ui, sheet, &["skip.places_after"]);
    }
    ui.add_space(space::S);
}

/// The verdict on the faces of a spacer that was ground, where its type limits them.
fn faces_after(ui: &mut Ui, sheet: &mut Sheet, pair: Pair, at: egui::Pos2) {
    let verdict = sheet.a.clearance.after.parallel_verdict[pair.index()];
    if verdict == Verdict::NotApplicable {
        return;
    }
    let spacer = sheet.show().spacer(pair.index() + 1);
    let word = verdict.word();
    let name = format!("Faces of spacer {spacer} after grinding: {word}; why?");
    if let Some(beside) = badge_at(ui, at.x, at.y, mark(verdict), word, &name) {
        sheet.view.why = Some((Why::FacesAfter(pair.index()), beside));
    }
}

/// Order of the parts, and what was done with the seals.
pub(super) fn parts_and_seals(ui: &mut Ui, sheet: &mut Sheet) {
    flow(ui, sheet, &["parts.order"]);
    let found = sheet.view.entries.committed("found.seal").to_owned();
    let off = sheet.view.entries.committed("found.seal_batch").to_owned();
    let mut about = Vec::new();
    if !found.is_empty() {
        about.push(format!("found {found}"));
    }
    if !off.is_empty() {
        about.push(format!("{off} came off"));
    }
    widgets::heading(ui, "Seals", &about.join(", "));
    let mut paths = vec!["seals.done"];
    match sheet.view.entries.committed("seals.done") {
        "changed" => paths.push("seals.batch"),
        "kept" if !matches!(found.as_str(), "" | "sound") => paths.push("seals.reason"),
        _ => {}
    }
    flow(ui, sheet, &paths);
    refusal(ui, sheet, "seals.batch");
}

/// Why a field is refused, where no remark of the section says it.
fn refusal(ui: &mut Ui, sheet: &Sheet, path: &str) {
    let problem = sheet.a.fields.get(path).and_then(|s| s.problem.as_ref());
    if let Some(problem) = problem.filter(|p| p.is_refusal && !sheet.view.entries.is_typing(path)) {
        let words = format!("{}: {}", sheet.label(path), problem.text);
        text::say(ui, Face::NOTE_STRONG.token(Token::Fail), &words);
        ui.add_space(space::S);
    }
}

/// Grease besides the rows, an approval where the scheme does not name it, and the cover.
pub(super) fn grease_and_cover(ui: &mut Ui, sheet: &mut Sheet) {
    ui.add_space(space::M);
    caution_ui(ui, GREASE_GUN);
    ui.add_space(space::S);
    flow(ui, sheet, &["grease.seal", "grease.cover"]);
    if sheet.a.closing.is_other_grease || has(sheet.view.entries.fields(), "lube.approval") {
        flow(ui, sheet, &["lube.approval"]);
    }
    let show = sheet.show();
    let closing = &sheet.a.closing;
    let about = match (closing.pack_nm, closing.gap_mean_nm) {
        (Some(pack), _) if pack < 0 => {
            format!("machine the cover by {}", show.length_unit(-pack))
        }
        (Some(pack), _) => format!(
            "pack {}; spread {}",
            show.length_unit(pack),
            show.length(closing.gap_spread_nm.unwrap_or(0))
        ),
        (None, Some(mean)) => format!(
            "mean {} of {} places",
            show.length(mean),
            closing.gap_places
        ),
        (None, None) => "cover drawn up by hand; the gap measured decides the pack".to_owned(),
    };
    widgets::heading(ui, "Cover gap and shims", &about);
    let gaps = GAP_DEGREES.map(field::cover_gap);
    let mut paths: Vec<&str> = gaps.iter().map(String::as_str).collect();
    paths.push("shim.fitted");
    flow(ui, sheet, &paths);
    for skip in ["skip.cover", "skip.shim"] {
        if sheet.order().iter().any(|path| path == skip) {
            flow(ui, sheet, &[skip]);
        }
    }
}

/// The bolts with what is wanted of them, and what covers the bearing until then.
pub(super) fn bolts_and_protection(ui: &mut Ui, sheet: &mut Sheet) {
    let closing = &sheet.a.closing;
    let wanted = closing.torque.as_ref().map(|torque| {
        let nm = sheet.show().grouped((torque.value + 500) / 1_000);
        format!("{nm} N m, {}", torque.origin)
    });
    let about: Vec<String> = [Some(closing.bolts.clone()), wanted]
        .into_iter()
        .flatten()
        .filter(|words| !words.is_empty())
        .collect();
    widgets::heading(ui, "Cover bolts", &about.join("; "));
    flow(
        ui,
        sheet,
        &["bolts.torque", "bolts.pattern", "bolts.wrench"],
    );
    wrench(ui, sheet);
    refusal(ui, sheet, "bolts.wrench");
    if sheet.order().iter().any(|path| path == "skip.bolts") {
        flow(ui, sheet, &["skip.bolts"]);
    }
    flow(ui, sheet, &["protect.with"]);
    text::note(ui, "Never plastic foil: it sweats.");
    ui.add_space(space::S);
}

/// A wrench that decides nothing says so where it is named.
fn wrench(ui: &mut Ui, sheet: &Sheet) {
    let code = sheet.view.entries.committed("bolts.wrench");
    let mut gauges = sheet.facts().gauges.values();
    let Some(gauge) = gauges.find(|g| g.code.eq_ignore_ascii_case(code)) else {
        return;
    };
    let (mark, word) = super::super::gauge::status(gauge, sheet.facts().at.offset_min);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::M;
        widgets::badge(ui, mark, &word);
        text::note(ui, &format!("{}, {}", gauge.code, gauge.kind));
    });
    ui.add_space(space::S);
}
