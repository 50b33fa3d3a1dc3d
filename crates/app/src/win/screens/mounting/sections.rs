//! The frame of the sheet and its sections: cautions where the act is, the rows of fields, what follows from them.

use std::sync::Arc;

use calc::conformity::{AtUpper, Verdict};
use draw::tokens::space;
use draw::{Align, Token};
use egui::{Rect, Ui, pos2};
use store::draft::Source;
use store::mounting::{Check, Family, MountFacts, OF_THE_RING, Section, field};
use store::sheet::upper_word;

use super::fields::On;
use super::view::{MountView, next};
use super::{panel, sign};
use crate::ui::focus::{self, Step};
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind, WhyAnswer, WhyHead};
use crate::win::command::Command;
use crate::win::screens::sheet::caution::{GREASE_GUN, OIL_PRESSURE};
use crate::win::screens::sheet::layout::{badge_at, strip};
use crate::win::screens::sheet::model::{SheetModel, mark};

/// Draws the sheet and takes what is entered.
pub fn sheet_ui(
    ui: &mut Ui,
    model: &SheetModel,
    facts: &Arc<MountFacts>,
    view: &mut MountView,
    commands: &mut Vec<Command>,
) {
    let mut on = On::begin(ui, model, facts, view, commands);
    section_list(ui, &mut on);
    frames::side_panel(ui, "What the sheet says", |ui| panel::panel_ui(ui, &mut on));
    footer(ui, &mut on);
    let part = on.view.section.title();
    frames::sheet_body(ui, part, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        section_ui(ui, &mut on);
    });
    why_ui(ui, &mut on);
    on.end(ui);
}

fn section_list(ui: &mut Ui, on: &mut On) {
    let a = Arc::clone(&on.a);
    let all: Vec<_> = a
        .sections
        .iter()
        .map(|(s, state)| (s.title(), state))
        .collect();
    let open = here(on);
    if let Some((section, _)) = on
        .sections(ui, &all, open)
        .and_then(|at| a.sections.get(at))
    {
        on.view.go(*section, None);
    }
}

/// Where the open section stands among those of the family.
fn here(on: &On) -> usize {
    let mut all = on.a.sections.iter();
    all.position(|(s, _)| *s == on.view.section).unwrap_or(0)
}

fn footer(ui: &mut Ui, on: &mut On) {
    let all = Section::of(on.a.family);
    let here = here(on);
    let back = here.checked_sub(1).and_then(|at| all.get(at));
    let next = Some(next(&on.a, on.view.section)).filter(|s| *s != on.view.section);
    on.footer(ui, back.map(|s| s.title()), next.map(Section::title));
}

fn section_ui(ui: &mut Ui, on: &mut On) {
    let section = on.view.section;
    let family = on.a.family;
    let number = u32::try_from(here(on) + 1).unwrap_or(1);
    widgets::section_title(ui, Some(number), section.title(), section.about(family));
    caution(ui, section, family);
    stays_on_neck(ui, on, section);
    let groups = field::groups(section, &on.a.asked(on.view.entries.fields()));
    let paths: Vec<String> = groups.iter().flat_map(|g| g.paths.clone()).collect();
    // What is asked stands under its row: at the end of the section it would be below the edge.
    let asked = on.remarked(&paths).map(|(path, _)| path);
    for group in &groups {
        on.row(ui, group.title, &group.paths);
        if let Some(path) = asked.iter().find(|path| group.paths.contains(path)) {
            on.remark_in(ui, std::slice::from_ref(path), ui.spacing().interact_size.y);
        }
    }
    match section {
        Section::Identify => identified(ui, on),
        Section::Neck => earlier_neck(ui, on),
        Section::Clearance => earlier_play(ui, on),
        _ => {}
    }
    results(ui, on);
    if section == Section::Sign {
        sign::sign_ui(ui, on);
    }
    ui.add_space(space::L);
}

/// The usual short caution where something can hurt; the site's procedures come first.
fn caution(ui: &mut Ui, section: Section, family: Family) {
    let (title, words) = match (section, family) {
        (Section::Heating, _) => (
            "Heat",
            "Never a flame. A hot ring burns and slips: dry gloves, its own lifting gear, mark it HOT with the time. \
             Induction: pacemakers keep away, demagnetise after. The site\u{2019}s procedures come first.",
        ),
        (Section::Parts, _) => (
            "Lifting",
            "Rings by their lifting points; nobody under the load, no fingers between ring and bore; a cocked ring frees \
             itself suddenly. The site\u{2019}s procedures come first.",
        ),
        (Section::Clearance, Family::Spherical) => OIL_PRESSURE,
        (Section::Grease, _) => GREASE_GUN,
        _ => return,
    };
    widgets::caution(ui, title, words);
    ui.add_space(space::S);
}

/// Of a ring that has run on this neck before nothing is asked.
fn stays_on_neck(ui: &mut Ui, on: &On, section: Section) {
    let is_asked =
        on.a.section(section)
            .is_none_or(|s| s.mark != Verdict::NotApplicable);
    let (Some(since), Some((_, serial))) = (on.facts.stays_since, &on.facts.inner) else {
        return;
    };
    if OF_THE_RING.contains(&section) && !is_asked {
        let words = format!(
            "{serial} stays on this neck since {}: nothing is asked here. What is measured all the same counts.",
            since.date()
        );
        text::say(ui, Face::BODY.muted(), &words);
        ui.add_space(space::M);
    }
}

/// What the logbook knows of the things named, and what the place rules say.
fn identified(ui: &mut Ui, on: &mut On) {
    let facts = Arc::clone(on.facts);
    let base = &facts.base;
    let is_open = on.view.entries.committed("identify.roll").is_empty();
    if let Some(roll) = base.last_roll.as_ref().filter(|_| is_open) {
        let words = format!("Take {roll}: it ran on it last");
        if Button::new(Kind::Second, &words).show(ui).clicked() {
            on.view.entries.choose("identify.roll", roll);
            on.step(ui, "identify.roll", Step::Forward);
        }
        ui.add_space(space::S);
    }
    widgets::rule(ui);
    if let (Some(bearing), Some(t)) = (&base.bearing, &base.bearing_type) {
        widgets::key_value(
            ui,
            "bearing",
            &format!("{}, {}", bearing.serial, t.code),
            &t.lubrication,
        );
        if let Some(stay) = bearing.stay.as_ref().filter(|s| s.zone > 0) {
            let zone = store::query::zone_numeral(stay.zone);
            widgets::key_value(ui, "zone up", &format!("zone {zone}"), "by the record");
        }
    }
    if let Some((_, serial)) = &facts.inner {
        let since = facts
            .stays_since
            .map(|at| format!(", where it ran before, since {}", at.date()));
        let note = format!("on this neck{}", since.unwrap_or_default());
        widgets::key_value(ui, "inner half", serial, &note);
    }
    if let Some((serial, t)) = &facts.thrust {
        widgets::key_value(ui, "thrust bearing", &format!("{serial}, {}", t.code), "");
    }
    ui.add_space(space::S);
    for remark in &facts.remarks {
        text::say(ui, Face::BODY.muted(), remark);
    }
    let blockers =
        on.a.section(Section::Identify)
            .map_or(&[][..], |s| &s.blockers);
    if base.chock.is_some() {
        for why in blockers {
            ui.add_space(space::S);
            // What is merely not answered yet is no mistake.
            if facts.against.contains(why) {
                widgets::error_box(ui, "Not yet", why);
            } else {
                text::say(
                    ui,
                    Face::NOTE.token(Token::Missing),
                    &format!("Still open: {why}"),
                );
            }
        }
    }
}

/// The neck of an earlier sheet: shown, and never filled in as measured.
fn earlier_neck(ui: &mut Ui, on: &mut On) {
    let facts = Arc::clone(on.facts);
    let Some(last) = &facts.last_neck else { return };
    if on.a.neck_missing == 0 {
        return;
    }
    let nominal = on.a.neck.nominal_nm.unwrap_or(0);
    let day = last.at.date();
    let size = on.show().length_unit(nominal + last.mean_nm);
    text::say(
        ui,
        Face::BODY.muted(),
        &format!("For comparison: mean {size} at 20 \u{b0}C on the sheet of {day}."),
    );
    not_measured(ui, on, "skip.neck", &day);
}

fn earlier_play(ui: &mut Ui, on: &mut On) {
    let facts = Arc::clone(on.facts);
    if let (Family::Tapered, Some((at, _))) = (on.a.family, &facts.last_play) {
        not_measured(ui, on, "skip.mount.play", &at.date());
    }
}

/// Takes the day of the sheet that holds as the reason why nothing is measured again.
fn not_measured(ui: &mut Ui, on: &mut On, path: &str, day: &str) {
    if !on.view.entries.committed(path).is_empty() {
        return;
    }
    ui.add_space(space::S);
    if Button::new(
        Kind::Second,
        &format!("Not measured: as on the sheet of {day}"),
    )
    .show(ui)
    .clicked()
    {
        on.view
            .entries
            .choose(path, &format!("as on the sheet of {day}"));
        on.step(ui, path, Step::Forward);
    }
    ui.add_space(space::S);
}

/// What was computed and judged in this section.
fn results(ui: &mut Ui, on: &mut On) {
    let section = on.view.section;
    let a = Arc::clone(&on.a);
    let derived: Vec<_> = a.derived.iter().filter(|d| d.section == section).collect();
    let checks: Vec<(usize, &Check)> = a
        .checks
        .iter()
        .enumerate()
        .filter(|(_, c)| c.section == section)
        .collect();
    if derived.is_empty() && checks.is_empty() {
        return;
    }
    ui.add_space(space::S);
    widgets::rule(ui);
    for line in derived {
        let value = on.show().with_unit(line.quantity(), line.value);
        result(ui, &on.told(line.title), &value, &on.told(&line.note));
    }
    for (index, check) in checks {
        let value = on.show().with_unit(check.quantity, check.value);
        let rect = result(ui, &on.told(&check.title), &value, &limit_words(on, check));
        let middle = rect.center().y;
        let word = check.verdict.word();
        let name = format!("{}: {word}; why?", on.told(&check.title));
        if let Some(beside) = badge_at(
            ui,
            rect.right() - 142.0,
            middle,
            mark(check.verdict),
            word,
            &name,
        ) {
            on.view.why = Some((index, beside));
        }
    }
    for (_, words) in a.says.iter().filter(|(s, _)| *s == section) {
        ui.add_space(space::S);
        text::say(ui, Face::STRONG.token(Token::Fail), words);
    }
}

/// A line of what was computed: what, the value, what bears on it; answers its place.
fn result(ui: &mut Ui, title: &str, value: &str, note: &str) -> Rect {
    let rect = strip(ui, 40.0);
    let at = |x: f32, face: Face| pos2(rect.left() + x, text::baseline(rect.center().y, face.size));
    text::at_most(ui, at(0.0, Face::BODY), 245.0, Face::BODY, title);
    let face = Face::SECTION;
    text::at(ui, at(350.0, face), Align::Right, face, value);
    let room = rect.width() - 366.0 - 150.0;
    text::at_most(ui, at(366.0, Face::NOTE), room, Face::NOTE, note);
    rect
}

/// The limits of a check in words.
pub(super) fn limit_words(on: &On, check: &Check) -> String {
    let length = |value: i64| on.show().bare(check.quantity, value);
    let word = upper_word(check.at_upper);
    match (check.lower, check.upper) {
        (Some(low), Some(high)) if check.at_upper == AtUpper::Reached => {
            format!("{} to {word} {}", length(low), length(high))
        }
        (Some(low), Some(high)) => format!("{} to {}", length(low), length(high)),
        (None, Some(high)) => format!("{word} {}", length(high)),
        (Some(low), None) => format!("at least {}", length(low)),
        (None, None) => "no limit".into(),
    }
}

/// Behind a badge: what was judged by what, and what bears on it.
fn why_ui(ui: &mut Ui, on: &mut On) {
    let Some((index, beside)) = on.view.why else {
        return;
    };
    let a = Arc::clone(&on.a);
    let Some(check) = a.checks.get(index) else {
        on.view.why = None;
        return;
    };
    let title = format!("Why: {}", on.told(&check.title).to_lowercase());
    let head = WhyHead {
        title: &title,
        mark: mark(check.verdict),
        word: check.verdict.word(),
        beside,
        buttons: &["Measure again"],
    };
    let uncertainty = match check.expanded_uncertainty {
        Some(0) => "none: the integers decide".to_owned(),
        Some(u) => format!("{} at k = 2", on.show().with_unit(check.quantity, u)),
        None => "not known: at best in doubt".to_owned(),
    };
    let probability = check.probability.map(|p| format!("{:.1} %", p * 100.0));
    let inputs = inputs(on, check);
    let allowed = check.lower.zip(check.upper).zip(check.expanded_uncertainty);
    let is_undecidable =
        allowed.is_some_and(|((low, high), u)| !check.asked.passes_any((Some(low), high), u));
    let answer = widgets::why_panel(ui, head, |ui| {
        widgets::key_value(
            ui,
            "value",
            &on.show().with_unit(check.quantity, check.value),
            check.method,
        );
        widgets::key_value(ui, "limits", &limit_words(on, check), &check.limit_origin);
        widgets::key_value(ui, "uncertainty", &uncertainty, "certificate of the gauge");
        if let Some(p) = &probability {
            let levels = check
                .asked
                .words(check.lower.is_some(), check.upper.is_some());
            let source = format!("{levels}; ISO 14253-1:2017, JCGM 106:2012");
            widgets::key_value(ui, "conforms with", p, &source);
        }
        if is_undecidable {
            let why = "its doubt is so wide against what is allowed that no value would pass";
            widgets::key_value(ui, "gauge", "this gauge cannot decide it", why);
        }
        widgets::key_value(ui, "read", &inputs, "");
        if !check.note.is_empty() {
            widgets::key_value(ui, "bears on it", &check.note, "");
        }
    });
    match answer {
        None => return,
        Some(WhyAnswer::Pressed(_)) => focus::ask(ui.ctx(), check.first),
        Some(WhyAnswer::Closed) => {}
    }
    on.view.why = None;
}

/// The readings of the section of a check, as typed, and whether a gauge typed them.
fn inputs(on: &On, check: &Check) -> String {
    let fields = on.view.entries.fields();
    let typed = fields.iter().filter(|(path, _)| {
        let stem = check
            .first
            .rsplit_once('.')
            .map_or(check.first, |(stem, _)| stem);
        path.starts_with(stem) && field::section(path) == Some(check.section)
    });
    let words: Vec<String> = typed
        .filter(|(path, _)| {
            path.rsplit('.')
                .next()
                .is_some_and(|end| end.parse::<i64>().is_ok())
        })
        .map(|(_, field)| {
            if field.source == Source::Gauge {
                format!("{} (gauge)", field.text)
            } else {
                field.text.clone()
            }
        })
        .collect();
    if words.is_empty() {
        "\u{2013}".into()
    } else {
        words.join("; ")
    }
}
