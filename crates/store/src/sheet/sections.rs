//! The sections of the sheet: what is done, what stands against signing.

use calc::conformity::Verdict;
use calc::disposition::{Disposition, ZoneAdvice};

use super::assess::{Assessment, SectionState, Values};
use super::clearance::ShimView;
use super::closing;
use super::evidence::{as_found, broken, clean, looked_over, tested_or_why};
use super::facts::Facts;
use super::family::Family;
use super::field::{self, PAIRS, Section};
use super::radial;
use crate::entry::Show;

/// How far one section is.
pub(super) fn section_state(
    section: Section,
    a: &Assessment,
    values: &Values<'_>,
    facts: &Facts,
) -> SectionState {
    let mut blockers: Vec<String> = values
        .states
        .iter()
        .filter(|(path, state)| {
            field::section(path) == Some(section)
                && state.problem.as_ref().is_some_and(|p| p.is_refusal)
        })
        .map(|(path, state)| {
            format!(
                "{}: {}",
                field::label(path),
                state.problem.as_ref().map_or("", |p| &p.text)
            )
        })
        .collect();
    let (mark, note) = match section {
        Section::Identify => identify(facts, values, &mut blockers),
        Section::AsFound => {
            let is_half = facts.family() == Family::Cylindrical;
            if is_half
                && ["found.inner", "skip.found"]
                    .iter()
                    .all(|path| values.text(path).is_none())
            {
                blockers.push("inner half on the neck: tight, turned, or off it?".into());
            }
            as_found(facts.family(), values, &mut blockers)
        }
        Section::Clean => clean(values, &mut blockers),
        Section::Findings => looked_over(a, values, &mut blockers),
        Section::Clearance => bench(a, values, &mut blockers),
        Section::Seats => both_seats(a, values, &mut blockers),
        Section::Decision => decision(a, values, &mut blockers),
        Section::Reassemble => reassemble(a, values, facts, &mut blockers),
        Section::Sign => (Verdict::Missing, String::new()),
    };
    let mark = if blockers.is_empty() || mark == Verdict::Fail {
        mark
    } else {
        Verdict::Missing
    };
    SectionState {
        mark,
        note,
        blockers,
    }
}

fn identify(facts: &Facts, values: &Values<'_>, blockers: &mut Vec<String>) -> (Verdict, String) {
    let Some(bearing) = &facts.bearing else {
        blockers.push("scan or type the chock or the bearing".into());
        return (Verdict::Missing, String::new());
    };
    if let Some(ran) = &facts.shop.campaign
        && values.text("identify.note").is_none()
    {
        blockers.push(format!(
            "by the campaigns the chock ran in {ran}: check the time of the teardown, or say in words how that is"
        ));
    }
    if let (Some(chock), Some(at)) = (&facts.chock, &facts.shop.in_mill) {
        let place = match at.as_str() {
            "" => String::new(),
            at => format!(" at {at}"),
        };
        blockers.push(format!(
            "{} was in the mill{place} at that time: enter first that it came off",
            chock.code
        ));
    }
    match (&facts.chock, &bearing.stay) {
        (Some(chock), Some(stay)) if stay.chock == chock.no => {}
        (Some(chock), Some(stay)) => {
            blockers.push(format!(
                "{} is in {}, not in {}",
                bearing.serial, stay.chock_code, chock.code
            ));
        }
        (_, None) => blockers.push(format!(
            "{} was in no chock on {}",
            bearing.serial,
            facts.at.date()
        )),
        (None, Some(_)) => blockers.push("scan or type the chock".into()),
    }
    if facts
        .bearing_type
        .as_ref()
        .is_some_and(|t| Family::of(&t.kind).is_none())
    {
        blockers.push(format!(
            "{} is an inner half: its sheet is that of the outer half it runs in",
            bearing.serial
        ));
    }
    (Verdict::Pass, String::new())
}

fn bench(a: &Assessment, values: &Values<'_>, blockers: &mut Vec<String>) -> (Verdict, String) {
    if let Some(whole) = &a.clearance.radial {
        let (mark, note) = radial::section(a, whole, values, blockers);
        let Some(taper) = &a.taper else {
            return (mark, note);
        };
        return (
            Verdict::worst([mark, taper.section(values, blockers)]),
            note,
        );
    }
    let read: usize = a
        .clearance
        .pairs
        .iter()
        .map(|p| p.places + usize::from(p.spacer_nm.is_some()))
        .sum();
    let has_limit = a
        .clearance
        .pairs
        .iter()
        .any(|p| p.parallel_verdict != Verdict::NotApplicable);
    let is_skipped = values.text("skip.clearance").is_some();
    if is_skipped && read < 15 {
        // What is measured all the same is judged all the same.
        let whole = a.clearance.pairs.iter().filter(|p| p.is_complete);
        let fails = whole.filter(|p| p.verdict == Verdict::Fail).count();
        let mark = if fails > 0 {
            Verdict::Fail
        } else {
            Verdict::Missing
        };
        return (mark, "not measured".into());
    }
    if is_skipped {
        blockers.push("everything is read: take the reason why not away".into());
    }
    if read < 15 {
        blockers.push(format!(
            "{read} of 15 values are read; the rest, or why not"
        ));
        return (
            Verdict::Missing,
            if read == 0 {
                String::new()
            } else {
                format!("{read} of 15 values")
            },
        );
    }
    for path in ["clearance.gauge_gap", "clearance.gauge_width"] {
        if values.text(path).is_none() {
            blockers.push(format!("{}: which one?", field::label(path)));
        }
    }
    for (index, pair) in a.clearance.pairs.iter().enumerate() {
        if !pair.is_seated
            && values
                .text(&format!("kept.{}", field::gap(index + 1, 0)))
                .is_none()
        {
            let length = |nm| values.show().length_unit(nm);
            let usual = pair.usual_spread_nm.map_or_else(String::new, |nm| {
                format!(" (usual {}, common practice)", length(nm))
            });
            blockers.push(format!(
                "gap of rows {}: spread {}{usual}, not seated. Turn and repeat",
                calc::disposition::pair_rows(index),
                length(pair.spread_nm.unwrap_or(0))
            ));
        }
    }
    let open = a.clearance.pairs.iter().filter(|p| p.spacer_places < 4);
    let open = open.count();
    if has_limit && open > 0 && values.text("skip.places").is_none() {
        blockers.push(format!("{open} of 3 spacers at four places, or why not"));
    }
    for (number, pair) in (1..).zip(&a.clearance.pairs) {
        if !pair.earlier.is_empty() && values.text(&format!("repeat.why.{number}")).is_none() {
            blockers.push(format!(
                "Gap of rows {} repeated, because: what?",
                calc::disposition::pair_rows(number - 1)
            ));
        }
    }
    let pairs = || a.clearance.pairs.iter();
    let faces = || pairs().map(|p| p.parallel_verdict);
    let worst = Verdict::worst(pairs().map(|p| p.verdict).chain(faces()));
    let fails = a
        .clearance
        .pairs
        .iter()
        .filter(|p| p.verdict == Verdict::Fail)
        .count();
    let is_unlike = a.clearance.pairs.iter().any(|p| p.is_unlike);
    let note = match fails {
        0 if faces().any(|verdict| verdict == Verdict::Fail) => "faces not parallel".to_owned(),
        0 if is_unlike => "another way".to_owned(),
        0 => String::new(),
        _ => format!("{fails} of 3 fail"),
    };
    (worst, note)
}

fn both_seats(
    a: &Assessment,
    values: &Values<'_>,
    blockers: &mut Vec<String>,
) -> (Verdict, String) {
    let mut verdicts = Vec::new();
    for view in [&a.bore, &a.neck] {
        if !view.is_needed {
            verdicts.push(Verdict::NotApplicable);
            continue;
        }
        let prefix = view.seat.prefix();
        if values.text(&format!("skip.{prefix}")).is_some() {
            if view.missing == 0 {
                blockers.push(format!(
                    "{}: everything is read, take the reason why not away",
                    view.seat.title()
                ));
            } else {
                verdicts.push(Verdict::Missing);
                continue;
            }
        }
        if view.missing > 0 {
            blockers.push(format!(
                "{}: {} values to read, or why not",
                view.seat.title(),
                view.missing
            ));
            verdicts.push(Verdict::Missing);
            continue;
        }
        if values.text(&format!("{prefix}.gauge")).is_none() {
            blockers.push(format!("{}: which gauge?", view.seat.title()));
        }
        if view.asks_thermometer && values.text(&format!("{prefix}.thermometer")).is_none() {
            blockers.push(format!("{}: which thermometer?", view.seat.title()));
        }
        if view.check_off_nm.is_none() && values.text(&format!("skip.{prefix}_check")).is_none() {
            blockers.push(format!(
                "{}: gauge on its standard before use, or why not checked",
                view.seat.title()
            ));
        }
        if view.seat == field::SeatName::Neck {
            blockers.extend(tested_or_why(
                values,
                "Roll neck: crack test",
                ["neck.cracks", "skip.neck_cracks"],
            ));
        }
        verdicts.push(view.verdict());
    }
    if let Some(ring) = &a.ring {
        verdicts.push(ring.section(a, values, blockers));
    }
    let checks = || a.bore.checks.iter().chain(&a.neck.checks);
    let fails = checks().filter(|c| c.verdict == Verdict::Fail).count();
    let note = if fails > 0 {
        format!("{fails} of {} fail", checks().count())
    } else {
        String::new()
    };
    let worst = if verdicts.is_empty() {
        Verdict::Pass
    } else {
        Verdict::worst(verdicts)
    };
    (worst, note)
}

fn decision(a: &Assessment, values: &Values<'_>, blockers: &mut Vec<String>) -> (Verdict, String) {
    let Some(decided) = a.decided else {
        blockers.push("decide what to do with the bearing".into());
        return (Verdict::Missing, String::new());
    };
    if decided != a.recommendation.disposition && values.text("decision.reason").is_none() {
        blockers.push(format!(
            "say why not: {}",
            a.recommendation.disposition.words()
        ));
    }
    (Verdict::Pass, decided.words().to_owned())
}

fn reassemble(
    a: &Assessment,
    values: &Values<'_>,
    facts: &Facts,
    blockers: &mut Vec<String>,
) -> (Verdict, String) {
    let Some(decided) = a.decided else {
        return (Verdict::Missing, String::new());
    };
    if !a.is_reassembled {
        return (Verdict::NotApplicable, "stays in the shop".into());
    }
    if facts.bearing.as_ref().is_some_and(|b| b.held.is_some()) {
        blockers.push("the bearing is on hold: the engineer releases it first".into());
    }
    blockers.extend(broken(a));
    if decided == Disposition::RegrindSpacers {
        ground(a, values, blockers);
    }
    too_tight(a, decided, values.show(), blockers);
    too_thin(a, decided, (facts, values.show()), blockers);
    match a.zone_chosen {
        None if !facts.family().has_zones() => {}
        None => blockers.push("which load zone is up now?".into()),
        Some(zone) => {
            let advised = match a.zone_advice {
                ZoneAdvice::Turn { to, .. } | ZoneAdvice::Keep { zone: to } => Some(to),
                ZoneAdvice::NotAsked | ZoneAdvice::NoneClear => None,
            };
            if advised != Some(zone) && values.text("zone.reason").is_none() {
                blockers.push("say why another zone than the one with the least hours".into());
            }
        }
    }
    if values.text("reassemble.chock").is_none() {
        blockers.push("which chock does it go back into?".into());
    }
    if values.text("skip.grease").is_none() {
        let rows = (1..=facts.rows())
            .filter(|row| values.number(&format!("grease.row.{row}")).is_some())
            .count();
        if rows < facts.rows() || values.text("grease.kind").is_none() {
            blockers.push("grease and grams for each row, or why not".into());
        }
    }
    if facts.family().is_closed_here() {
        closing::blockers(a, values, facts, decided, blockers);
    }
    if decided == Disposition::RegrindSpacers {
        let after = &a.clearance.after;
        return (
            Verdict::worst([after.verdict, after.parallel_verdict].concat()),
            String::new(),
        );
    }
    (Verdict::Pass, String::new())
}

/// A clearance that is zero, negative or below its minimum never goes back, whatever the gauge was worth.
fn too_tight(a: &Assessment, decided: Disposition, show: Show, blockers: &mut Vec<String>) {
    let length = |nm| show.length_unit(nm);
    let minimum_nm = a.clearance.pairs[0].drawing_min_nm;
    let rows = a
        .clearance
        .radial
        .as_ref()
        .map_or(&[][..], |radial| &radial.rows);
    for (number, row) in (1..).zip(rows) {
        let minimum_nm = minimum_nm.unwrap_or(1);
        let name = match rows.len() {
            1 => "the bearing".to_owned(),
            _ => format!("row {number}"),
        };
        if let Some(left) = row.clearance_nm.filter(|left| *left < minimum_nm.max(1)) {
            blockers.push(if left <= 0 {
                format!(
                    "{name} has no clearance ({}): stop, check parts and fits",
                    length(left)
                )
            } else {
                format!(
                    "{name} stands at {}, below the drawing's minimum {}: it cannot go back",
                    length(left),
                    length(minimum_nm)
                )
            });
        }
    }
    if a.clearance.radial.is_some() {
        return;
    }
    for (index, pair) in a.clearance.pairs.iter().enumerate() {
        // Half a reading that shows no clearance is enough to stop.
        let found = pair.end_play_nm.filter(|nm| pair.is_complete || *nm <= 0);
        let left = match a.clearance.after.end_play_nm[index] {
            Some(after) if decided == Disposition::RegrindSpacers => Some(after),
            _ => found,
        };
        let Some(left) = left else { continue };
        let rows = calc::disposition::pair_rows(index);
        if left <= 0 {
            blockers.push(format!(
                "rows {rows} have no clearance ({}): stop, check spacers and seating",
                length(left)
            ));
        } else if let Some(minimum) = pair.drawing_min_nm.filter(|minimum| left < *minimum) {
            blockers.push(format!(
                "rows {rows} stand at {}, below the drawing's minimum {}: it cannot go back",
                length(left),
                length(minimum)
            ));
        }
    }
}

/// A spacer under its smallest width does not go back.
fn too_thin(
    a: &Assessment,
    decided: Disposition,
    (facts, show): (&Facts, Show),
    blockers: &mut Vec<String>,
) {
    let Some(t) = &facts.bearing_type else { return };
    for number in PAIRS {
        let after = a.clearance.after.spacer_nm[number - 1];
        let left = match after {
            Some(after) if decided == Disposition::RegrindSpacers => Some(after),
            _ => a.clearance.pairs[number - 1].spacer_nm,
        };
        let (Some(left), Some(least)) = (left, t.pair("spacer_min_nm", number)) else {
            continue;
        };
        if left < least {
            let length = |nm| show.length_unit(nm);
            blockers.push(format!(
                "spacer S{number} is {}, under its smallest width {}: it needs a new spacer",
                length(left),
                length(least)
            ));
        }
    }
}

/// What a regrind needs before it can be signed.
fn ground(a: &Assessment, values: &Values<'_>, blockers: &mut Vec<String>) {
    let after = &a.clearance.after;
    for pair in PAIRS {
        let view = &a.clearance.pairs[pair - 1];
        match after.verdict[pair - 1] {
            _ if view.is_unlike => blockers.push(format!(
                "rows {}: measured another way than as set, so what to grind does not follow: measure again as it was set",
                calc::disposition::pair_rows(pair - 1)
            )),
            Verdict::Missing if view.to_grind_nm().is_none_or(|grind| grind > 0) => {
                blockers.push(format!("spacer S{pair}: width after grinding"));
            }
            Verdict::Fail | Verdict::FailInDoubt => {
                blockers.push(format!(
                    "spacer S{pair}: clearance after grinding is outside the target"
                ));
            }
            _ => {}
        }
        if matches!(
            after.parallel_verdict[pair - 1],
            Verdict::Fail | Verdict::FailInDoubt
        ) {
            blockers.push(format!(
                "spacer S{pair}: faces not parallel within the type's limit"
            ));
        }
    }
    let open = (0..PAIRS.len()).filter(|index| after.is_face_open(*index));
    let open = open.count();
    if open > 0 && values.text("skip.places_after").is_none() {
        let spacers = if open == 1 { "spacer" } else { "spacers" };
        blockers.push(format!(
            "{open} {spacers} at four places after grinding, or why not"
        ));
    }
    match after.shim {
        ShimView::NotKnown => {
            blockers.push("cover shims found: the new pack follows from it".into());
        }
        ShimView::MachineCover(_) => {
            // The gap measured decides, where there is one.
            if a.closing.pack_nm.is_none() {
                blockers.push("the shim pack would be below zero: machine the cover".into());
            }
        }
        ShimView::Same | ShimView::New(_) => {}
    }
    if after.inner_nm.is_some_and(|change| change != 0)
        && values.text("retention.checked") != Some("yes")
    {
        blockers.push("the inner stack is shorter: check the axial retention on the neck".into());
    }
}
