//! What is seen on the parts: the outer rings unrolled with what was found now and before, and one finding after the
//! other, by keyboard.

use calc::finding::{Part, SEVERITY};
use calc::load_zone::Zone;
use draw::tokens::{height, space};
use draw::{Mark, Token};
use egui::{Rect, Ui, pos2, vec2};
use store::sheet::Section;
use store::sheet::findings::{Key, Seen, parse, path};

use super::clearance::{asked_of, foot, hinted};
use super::fields::{Sheet, labelled, room, strip};
use super::form::flow;
use super::order::{is_nothing_found, next_finding};
use super::pictures::pictures_ui;
use crate::drawings::finding_map;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind, badge_at};
use crate::ui::{focus, paint};

/// The section.
pub fn findings_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let side = sheet.view.entries.committed("findings.side") == "inboard";
    let hint = if !sheet.facts().family().has_zones() {
        "part, row, what it is and how bad"
    } else if side {
        "angles read from inboard; the drawing is seen from outboard"
    } else {
        "angles clockwise from the zone-I line, seen from outboard"
    };
    widgets::section_title(
        ui,
        Some(Section::Findings.number()),
        Section::Findings.title(),
        hint,
    );
    let open = open_finding(sheet);
    map(ui, sheet, open);
    // Before any angle is typed.
    let side = "findings.side";
    labelled(ui, &sheet.label(side), |ui| {
        sheet.one_of(ui, side, 104.0);
    });
    ui.add_space(space::M);
    let is_none = is_nothing_found(sheet.view.entries.fields());
    let seen = sheet.a.findings.clone();
    if seen.is_empty() || is_none {
        labelled(ui, "On the parts", |ui| {
            sheet.one_of(ui, "findings.none", 144.0);
        });
        ui.add_space(space::M);
    }
    let is_asked = asked_of(ui, sheet, &["findings.none".to_owned()]);
    for one in &seen {
        if Some(one.number) == open {
            editor(ui, sheet, one.number);
        } else {
            line(ui, sheet, one);
        }
    }
    if !is_none && let Some(next) = next_finding(&sheet.a) {
        if Some(next) == open || seen.is_empty() {
            editor(ui, sheet, next);
        } else {
            let name = "Another finding";
            if Button::new(Kind::Second, name).show(ui).clicked() {
                begin(ui, sheet, next);
            }
            ui.add_space(space::M);
        }
    }
    let numbers: Vec<usize> = seen.iter().map(|one| one.number).collect();
    pictures_ui(ui, sheet, if is_none { &[] } else { &numbers });
    let cracks = "findings.cracks";
    labelled(ui, &sheet.label(cracks), |ui| {
        sheet.one_of(ui, cracks, 136.0);
    });
    ui.add_space(space::M);
    let is_looked = is_none || !seen.is_empty();
    let skip = "skip.cracks";
    if sheet.order().iter().any(|path| path == skip) {
        flow(ui, sheet, &[skip]);
    }
    let hint = "Also under the rollers, both sides of each rib, bores and outside diameters.";
    let skip = ("skip.findings", "Not looked over\u{2026}", is_looked);
    if is_asked {
        hinted(ui, sheet, hint, skip);
    } else {
        foot(ui, sheet, hint, skip);
    }
}

/// The finding that is being entered: that of the caret.
fn open_finding(sheet: &Sheet) -> Option<usize> {
    let of = |path: &str| parse(path).map(|(number, _)| number);
    of(&sheet.view.caret)
}

fn begin(ui: &Ui, sheet: &mut Sheet, number: usize) {
    let first = path(number, Key::Part);
    focus::ask(ui.ctx(), &first);
    sheet.view.caret = first;
}

fn map(ui: &mut Ui, sheet: &mut Sheet, open: Option<usize>) {
    let facts = sheet.facts();
    if !facts.family().has_zones() {
        return;
    }
    let Some(bearing) = &facts.bearing else {
        text::say(
            ui,
            Face::BODY.muted(),
            "The rings are drawn here once the bearing is known.",
        );
        ui.add_space(space::M);
        return;
    };
    let zone = sheet
        .view
        .entries
        .committed("identify.zone")
        .parse::<Zone>()
        .ok()
        .map(Zone::index);
    let in_place = bearing
        .stay
        .as_ref()
        .and_then(|stay| usize::try_from(stay.zone - 1).ok());
    let up = zone.or(in_place).filter(|zone| *zone < 4);
    let model = finding_map(
        &sheet.a.findings,
        &bearing.findings,
        facts.bearing_type.as_ref(),
        up,
        open,
        sheet.show(),
    );
    paint::scene(ui, &model.scene(ui.available_width()));
    ui.add_space(space::M);
}

/// A finding that is entered, in one line.
fn line(ui: &mut Ui, sheet: &mut Sheet, seen: &Seen) {
    let rect = strip(ui, height::TOUCH);
    let middle = rect.center().y;
    let mark = match &seen.finding {
        Some(finding) if finding.asks() >= calc::finding::Asks::Recondition => Mark::Fail,
        Some(_) => Mark::Pass,
        None => Mark::Missing,
    };
    let words = match (&seen.finding, &seen.missing) {
        (Some(finding), _) => sheet.told(&finding.words()),
        (None, missing) => missing.clone().unwrap_or_default(),
    };
    let badge = badge_at(
        ui,
        pos2(rect.left(), middle),
        mark,
        &seen.number.to_string(),
    );
    let remove = Rect::from_min_max(pos2(rect.right() - 96.0, rect.top()), rect.max);
    let change = remove.translate(vec2(-92.0, 0.0));
    // What it is, and under it where; one of them alone stands in the middle.
    let left = badge.right() + space::S;
    let width = change.left() - space::S - left;
    let mut say = |middle: f32, face: Face, words: &str| {
        let at = pos2(left, text::baseline(middle, face.size));
        text::at_most(ui, at, width, face, words);
    };
    match words.split_once(": ") {
        Some((place, what)) => {
            let place = [place, seen.note.as_str()];
            let place = place.map(str::trim).into_iter().filter(|p| !p.is_empty());
            let place: Vec<&str> = place.collect();
            say(middle - 9.0, Face::BODY, what);
            say(middle + 12.0, Face::NOTE, &place.join("; "));
        }
        None => say(middle, Face::BODY, &words),
    }
    let name = format!("Change finding {}", seen.number);
    if Button::new(Kind::Quiet, "Change")
        .name(&name)
        .place(ui, change)
        .clicked()
    {
        begin(ui, sheet, seen.number);
    }
    let name = format!("Take finding {} away", seen.number);
    if Button::new(Kind::Quiet, "Take away")
        .name(&name)
        .place(ui, remove)
        .clicked()
    {
        take_away(ui, sheet, seen.number);
    }
}

/// Empties every field of a finding, as one step that can be undone.
fn take_away(ui: &Ui, sheet: &mut Sheet, number: usize) {
    let all = Key::ALL.map(|key| (path(number, key), None));
    sheet.view.entries.put(all.into());
    ui.ctx().request_repaint();
}

fn editor(ui: &mut Ui, sheet: &mut Sheet, number: usize) {
    let at = |key| path(number, key);
    widgets::heading(
        ui,
        &format!("Finding {number}"),
        severity_words(sheet, number),
    );
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        labelled(ui, "part", |ui| {
            sheet.listed(ui, &at(Key::Part), "type or choose", 190.0);
        });
        labelled(ui, "row", |ui| {
            sheet.one_of(ui, &at(Key::Row), 48.0);
        });
        let width = ui.available_width().min(420.0);
        labelled(ui, "what it is, by ISO 15243", |ui| {
            sheet.listed(ui, &at(Key::Mode), "clause or name", width);
        });
    });
    ui.add_space(space::S);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        labelled(ui, "severity", |ui| {
            let steps = ["0", "1", "2", "3"];
            sheet.choice(ui, &at(Key::Severity), &steps, &steps, 44.0);
        });
        for (key, label, unit) in [
            (Key::From, "from", "\u{b0}"),
            (Key::To, "to", "\u{b0}"),
            (Key::Size, "size", ""),
        ] {
            labelled(ui, label, |ui| {
                let (_, rect) = ui.allocate_space(vec2(104.0, height::TOUCH));
                room(ui, rect, |ui| sheet.number(ui, &at(key), rect, unit));
            });
        }
    });
    if let Some(name) = mode_name(sheet, number) {
        text::note(ui, &name);
    }
    ui.add_space(space::S);
    let width = ui.available_width();
    labelled(ui, "remark", |ui| {
        sheet.words(ui, &at(Key::Note), "what the eye sees", width);
    });
    let missing = sheet
        .a
        .findings
        .iter()
        .find(|seen| seen.number == number)
        .and_then(|seen| seen.missing.clone());
    if let Some(missing) = missing {
        text::say(
            ui,
            Face::NOTE_STRONG.token(Token::Missing),
            &format!("Still open: {missing}"),
        );
    }
    ui.add_space(space::M);
}

/// What the chosen severity means.
fn severity_words(sheet: &Sheet, number: usize) -> &'static str {
    let chosen = sheet
        .view
        .entries
        .committed(&path(number, Key::Severity))
        .parse::<usize>()
        .ok();
    chosen
        .and_then(|severity| SEVERITY.get(severity))
        .copied()
        .unwrap_or("severity 0 to 3: from a mark to heavy")
}

/// Name of the mode, and where angles count.
fn mode_name(sheet: &Sheet, number: usize) -> Option<String> {
    let mode = calc::finding::Mode::of(sheet.view.entries.committed(&path(number, Key::Mode)))?;
    let part = sheet
        .view
        .entries
        .committed(&path(number, Key::Part))
        .parse::<Part>();
    let note = match part {
        Ok(part) if !part.has_angles() => "; the part turns, so angles need not be given",
        _ => "",
    };
    Some(format!("{}{note}", mode.name))
}
