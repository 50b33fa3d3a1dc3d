//! The panel at the right: what the sheet says so far, and why.

use calc::conformity::Verdict;
use calc::disposition::{Disposition, Fact, ZoneAdvice};
use draw::tokens::space;
use draw::{Align, Pair, Token};
use egui::{Ui, pos2};
use store::sheet::field::SeatName;
use store::sheet::{PairView, SeatCheckView, Section};

use super::clearance::missing;
use super::fields::{Sheet, strip};
use super::identify::ZONES;
use super::model::is_begun;
use super::order::{advised, departs};
use super::seats::{full_title, limit_words, number};
use crate::ui::paint;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Bar, Bars, Button, Kind};

/// How many reasons there is room for; the rest is left to the section of the decision.
fn reasons_max(ui: &Ui) -> usize {
    if ui.content_rect().height() < 900.0 {
        3
    } else {
        6
    }
}

/// The panel.
pub fn panel_ui(ui: &mut Ui, sheet: &mut Sheet) {
    if sheet.facts().bearing.is_none() {
        text::say(
            ui,
            Face::BODY.muted(),
            "Scan or type the chock or the bearing. What the readings lead to stands here then.",
        );
        return;
    }
    ui.spacing_mut().item_spacing.y = space::XS;
    headline(ui, sheet);
    match sheet.view.section {
        Section::Seats => seat(ui, sheet),
        _ => pairs(ui, sheet),
    }
    reasons(ui, sheet);
    if sheet.view.section == Section::Seats {
        part(ui);
        let part = if sheet.view.seat == SeatName::Bore {
            "bore"
        } else {
            "neck"
        };
        text::note(
            ui,
            &format!("A two-point gauge cannot see a {part} with three lobes."),
        );
    } else {
        zones(ui, sheet);
    }
}

fn part(ui: &mut Ui) {
    ui.add_space(space::S);
    widgets::rule(ui);
    ui.add_space(space::XS);
}

fn headline(ui: &mut Ui, sheet: &Sheet) {
    let a = &sheet.a;
    if !is_begun(a) {
        text::say(ui, Face::TITLE, "Nothing read yet");
        return;
    }
    // As long as only readings are missing, that is all there is to say.
    let is_open = |fact: &Fact| {
        matches!(
            fact,
            Fact::NotMeasured { .. } | Fact::TurnTo { .. } | Fact::KeepZone { .. }
        )
    };
    if a.recommendation
        .reasons
        .iter()
        .all(|reason| is_open(&reason.fact))
        && a.recommendation
            .reasons
            .iter()
            .any(|reason| matches!(reason.fact, Fact::NotMeasured { .. }))
    {
        text::say(ui, Face::TITLE, "Still to be read");
        return;
    }
    text::say(ui, Face::TITLE, a.recommendation.disposition.words());
    let complete = a.clearance.pairs.iter().filter(|p| p.is_complete).count();
    let mut about = Vec::new();
    if a.clearance.radial.is_none() && (1..3).contains(&complete) {
        about.push(format!("From {complete} of 3 pairs so far."));
    }
    let first = &a.clearance.pairs[0];
    let show = sheet.show();
    if let (Some((low, high)), Some(min), Some(max)) =
        (first.target_nm, first.drawing_min_nm, first.drawing_max_nm)
        && a.recommendation.disposition == Disposition::RegrindSpacers
    {
        let middle = show.length(i64::midpoint(low, high));
        about.push(format!(
            "Target {middle}, drawing {} to {}.",
            show.length(min),
            show.length(max)
        ));
    }
    if departs(a) {
        about.push(format!(
            "Decided: {}.",
            a.decided.map_or("", Disposition::words).to_lowercase()
        ));
    }
    if !about.is_empty() {
        text::note(ui, &about.join(" "));
    }
}

/// Spacer by spacer: by how much to grind, or what is still to be read.
fn pairs(ui: &mut Ui, sheet: &Sheet) {
    let a = &sheet.a;
    let regrinds = a
        .clearance
        .pairs
        .iter()
        .any(|p| p.grind_nm.is_some_and(|g| g > 0) && p.rework_verdict == Verdict::Fail)
        || [Some(a.recommendation.disposition), a.decided]
            .contains(&Some(Disposition::RegrindSpacers));
    if a.clearance.radial.is_some()
        || !is_begun(a)
        || (!regrinds && a.clearance.pairs.iter().all(|p| p.is_complete))
    {
        return;
    }
    let largest = a
        .clearance
        .pairs
        .iter()
        .filter_map(|p| p.grind_nm)
        .max()
        .filter(|g| regrinds && *g > 0);
    let big = a
        .clearance
        .pairs
        .iter()
        .position(|p| largest.is_some() && p.grind_nm == largest);
    ui.add_space(space::S);
    for pair in Pair::ALL {
        let view = &a.clearance.pairs[pair.index()];
        if pair != Pair::P1 {
            widgets::rule(ui);
        }
        spacer(ui, sheet, pair, view, regrinds, big == Some(pair.index()));
    }
    if let Some(words) = &a.clearance.swapped {
        ui.add_space(space::S);
        widgets::caution(ui, "Exchanged?", &sheet.told(words));
    }
}

fn spacer(ui: &mut Ui, sheet: &Sheet, pair: Pair, view: &PairView, regrinds: bool, is_big: bool) {
    let show = sheet.show();
    let (value, from_to, face) = match (view.grind_nm, view.is_complete) {
        (Some(0), _) => ("stays".to_owned(), None, Face::BODY.muted()),
        (Some(grind), _) if regrinds => {
            let to = view.spacer_nm.zip(view.new_spacer_nm);
            let to = to.map(|(from, to)| format!("{} to {}", show.length(from), show.length(to)));
            (
                show.length_unit(grind),
                to,
                if is_big { Face::BIG } else { Face::SECTION },
            )
        }
        (Some(_), true) => (
            view.end_play_nm
                .map_or_else(String::new, |nm| format!("end play {}", show.length(nm))),
            None,
            Face::BODY,
        ),
        (None, true) => (
            "cannot be ground".to_owned(),
            None,
            Face::BODY.token(Token::Fail),
        ),
        (_, false) => (
            format!("{} to read", missing(view)),
            None,
            Face::BODY.muted(),
        ),
    };
    let rect = strip(ui, if from_to.is_some() { 62.0 } else { 40.0 });
    let baseline = rect.top() + if from_to.is_some() { 31.0 } else { 26.0 };
    let name = Face::STRONG.token(pair.token());
    text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        name,
        &show.spacer(pair.index() + 1),
    );
    text::at(ui, pos2(rect.right(), baseline), Align::Right, face, &value);
    if let Some(words) = from_to {
        text::at(
            ui,
            pos2(rect.right(), baseline + 22.0),
            Align::Right,
            Face::BODY.muted(),
            &words,
        );
    }
}

fn reasons(ui: &mut Ui, sheet: &mut Sheet) {
    let all = told(sheet);
    // The section of the decision shows them all.
    let is_shown = sheet.view.section == Section::Decision;
    if is_shown || all.is_empty() || !is_begun(&sheet.a) {
        return;
    }
    part(ui);
    gauges_unnamed(ui, sheet);
    text::note(ui, "Why, weightiest first");
    let more = all.len().saturating_sub(reasons_max(ui));
    for (number, sentence) in (1..).zip(all.iter().take(reasons_max(ui))) {
        widgets::numbered(ui, number, sentence);
    }
    if more > 0 {
        text::note(ui, &format!("and {more} more at the decision"));
    }
}

/// What was measured with a gauge that is not named: its verdicts cannot leave the doubt. A press leads to the field.
pub fn gauges_unnamed(ui: &mut Ui, sheet: &mut Sheet) {
    let open = store::sheet::gauges_unnamed(&sheet.a);
    let Some((first, _)) = open.first().copied() else {
        return;
    };
    let names: Vec<&str> = open.iter().map(|(_, what)| *what).collect();
    let (last, rest) = names.split_last().unwrap_or((&"", &[]));
    let names = match rest {
        [] => (*last).to_owned(),
        _ => format!("{} and {last}", rest.join(", ")),
    };
    let words = format!("No gauge is named for {names}, so U is not known.");
    text::say(ui, Face::NOTE_STRONG.token(Token::Doubt), &words);
    let pick = Button::new(Kind::Quiet, "Pick the gauge").name("Pick the gauge that is not named");
    if pick.show(ui).clicked() {
        let (section, seat) = match first {
            "bore.gauge" => (Section::Seats, SeatName::Bore),
            "neck.gauge" => (Section::Seats, SeatName::Neck),
            _ => (Section::Clearance, SeatName::Bore),
        };
        sheet.view.go(section, seat, Some(first.to_owned()));
        ui.ctx().request_repaint();
    }
}

/// The reasons without what the panel says elsewhere (how much to grind, where to turn), what is missing in one line.
fn told(sheet: &Sheet) -> Vec<String> {
    let mut missing = Vec::new();
    let mut all = Vec::new();
    for (reason, text) in sheet
        .a
        .recommendation
        .reasons
        .iter()
        .zip(sheet.a.reasons(sheet.show()))
    {
        match &reason.fact {
            Fact::Grind { .. } | Fact::TurnTo { .. } | Fact::KeepZone { .. } => {}
            Fact::NotMeasured { what } => missing.push(what.as_str()),
            _ => all.push(text),
        }
    }
    if !missing.is_empty() {
        all.push(format!("Not measured: {}.", missing.join(", ")));
    }
    all
}

/// Hours of each load zone, with the one that is advised.
pub fn zones(ui: &mut Ui, sheet: &Sheet) {
    if sheet.facts().bearing.is_none() || !sheet.a.family.has_zones() {
        return;
    }
    part(ui);
    let rect = strip(ui, 26.0);
    let baseline = rect.top() + 18.0;
    let least = if is_any_barred(sheet) {
        "least hours, clear"
    } else {
        "least hours"
    };
    let words = match sheet.a.zone_advice {
        ZoneAdvice::Turn { .. } => ("Turn to zone", least),
        ZoneAdvice::Keep { .. } => ("Keep zone", least),
        ZoneAdvice::NoneClear => ("No zone is clear", "engineer chooses"),
        ZoneAdvice::NotAsked => ("Hours by load zone", ""),
    };
    let advised = advised(&sheet.a);
    let at = text::at(
        ui,
        pos2(rect.left(), baseline),
        Align::Left,
        Face::BODY,
        words.0,
    );
    if let Some(zone) = advised {
        text::at(
            ui,
            pos2(at.right() + 5.0, baseline),
            Align::Left,
            Face::STRONG,
            zone.as_str(),
        );
    }
    text::at(
        ui,
        pos2(rect.right(), baseline),
        Align::Right,
        Face::NOTE,
        words.1,
    );
    zone_bars(ui, sheet, sheet.a.zone_run_s);
}

/// The bars alone.
pub fn zone_bars(ui: &mut Ui, sheet: &Sheet, run_s: [i64; 4]) {
    let advised = advised(&sheet.a);
    let texts = run_s.map(|s| format!("{} h", sheet.show().hours(s)));
    let hours = run_s.map(|s| s as f64 / 3600.0);
    let rows: Vec<Bar> = (0..4)
        .map(|i| Bar {
            label: ZONES[i],
            value: hours[i],
            text: &texts[i],
            lit: advised.is_some_and(|zone| zone.index() == i),
            token: None,
        })
        .collect();
    let max = hours.into_iter().fold(0.0, f64::max) * 1.1;
    let bars = Bars {
        title: "Hours in the load, by zone",
        rows: &rows,
        limit: None,
        max,
        label_width: 30.0,
    };
    let barred = store::sheet::barred(&sheet.a, sheet.facts());
    let scene = bars.hatched(ui.available_width(), &barred.map(|f| f.is_some()));
    paint::scene(ui, &scene);
    // Each finding once, with the zones that it keeps out of the load.
    let mut told: Vec<(String, Vec<&str>)> = Vec::new();
    for (zone, finding) in ZONES.into_iter().zip(barred) {
        let Some(words) = finding.map(|f| sheet.told(&f.words())) else {
            continue;
        };
        match told.iter_mut().find(|(of, _)| *of == words) {
            Some((_, zones)) => zones.push(zone),
            None => told.push((words, vec![zone])),
        }
    }
    for (words, zones) in told {
        text::note(ui, &format!("Not {}: {words}.", zones.join(", ")));
    }
}

/// Whether a finding keeps any zone out of the load.
pub fn is_any_barred(sheet: &Sheet) -> bool {
    let barred = store::sheet::barred(&sheet.a, sheet.facts());
    barred.iter().any(Option::is_some)
}

/// The worst line of the seat that is open, with its history.
fn seat(ui: &mut Ui, sheet: &Sheet) {
    let view = if sheet.view.seat == SeatName::Bore {
        &sheet.a.bore
    } else {
        &sheet.a.neck
    };
    if let Some(check) = worst(&view.checks) {
        ui.add_space(space::S);
        let rect = strip(ui, 62.0);
        let baseline = rect.top() + 33.0;
        let value = format!("{} {}", number(sheet, check, check.value_nm), sheet.unit());
        text::at(
            ui,
            pos2(rect.left(), baseline),
            Align::Left,
            Face::NOTE,
            &full_title(check).to_lowercase(),
        );
        text::at(
            ui,
            pos2(rect.right(), baseline),
            Align::Right,
            Face::BIG,
            &value,
        );
        let limit = format!("limit {}", limit_words(sheet, check));
        text::at(
            ui,
            pos2(rect.right(), baseline + 23.0),
            Align::Right,
            Face::BODY.muted(),
            &limit,
        );
    }
    if sheet.view.seat == SeatName::Bore {
        ovality(ui, sheet);
    }
}

/// The line that decides: the worst verdict, and of several the one furthest beyond its limit.
fn worst(checks: &[SeatCheckView]) -> Option<&SeatCheckView> {
    let verdict = Verdict::worst(checks.iter().map(|c| c.verdict));
    checks
        .iter()
        .filter(|c| c.verdict == verdict)
        .min_by_key(|c| c.margin_nm().unwrap_or(i64::MAX))
}

/// Ovality of the plane at the barrel, sheet by sheet.
fn ovality(ui: &mut Ui, sheet: &Sheet) {
    let limit = sheet
        .facts()
        .bearing_type
        .as_ref()
        .and_then(|t| t.whole("chock_ovality_max_nm"));
    let now = sheet.a.bore.ovality_nm[0].map(|nm| (sheet.facts().at.date(), nm));
    let earlier = sheet
        .facts()
        .last_bores
        .iter()
        .filter_map(|b| Some((b.at.date(), *b.ovality_nm.first()?)));
    let mut all: Vec<(String, i64)> = earlier.collect();
    all.drain(..all.len().saturating_sub(4));
    let is_now = now.is_some();
    all.extend(now);
    if all.is_empty() {
        return;
    }
    part(ui);
    text::note(ui, "Ovality of plane 1");
    let texts: Vec<String> = all.iter().map(|(_, nm)| sheet.show().length(*nm)).collect();
    let last = all.len() - 1;
    let rows: Vec<Bar> = all
        .iter()
        .zip(&texts)
        .enumerate()
        .map(|(i, ((day, nm), text))| Bar {
            label: day,
            value: *nm as f64,
            text,
            lit: is_now && i == last,
            token: limit
                .filter(|limit| *nm > *limit && is_now && i == last)
                .map(|_| Token::Fail),
        })
        .collect();
    let largest = all
        .iter()
        .map(|(_, nm)| *nm)
        .chain(limit)
        .max()
        .unwrap_or(1) as f64;
    let bars = Bars {
        title: "Ovality of plane 1",
        rows: &rows,
        limit: limit.map(|nm| nm as f64),
        max: largest * 1.1,
        label_width: 84.0,
    };
    bars.show(ui);
}
