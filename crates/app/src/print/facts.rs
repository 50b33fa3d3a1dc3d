//! The first page: what the bearing is, what limits hold, and the story for somebody who was not there.

use report::{Labelled, Mark, Marked, SignatureLine};
use store::Stamp;
use store::entry::Show;
use store::payload::{Bearing, TYPE_VALUES};
use store::query::{BearingPage, BearingState, SheetDetail, decided_words, zone_numeral};
use store::sheet::TypeFacts;

use super::{PrintJob, counted, labelled, mark, three};
use crate::drawings::clearance_word;

/// The state in one line.
pub(super) fn headline(page: &BearingPage) -> String {
    let line = &page.line;
    let place = match (line.state, &line.chock) {
        (BearingState::InMill, Some((_, chock))) => {
            format!("in the mill in {chock} at {}", line.place)
        }
        (BearingState::InChock, Some((_, chock))) => format!("in a ready chock, {chock}"),
        (BearingState::Away, _) if !line.place.is_empty() => format!("away at {}", line.place),
        (state, _) => state.words().to_owned(),
    };
    let hold = line
        .held
        .as_ref()
        .map_or_else(|| "no hold".into(), |why| format!("on hold: {why}"));
    let revision = if page.revision > 0 {
        format!("Revision {}, {place}", page.revision)
    } else {
        capital(&place)
    };
    format!("{revision}, {hold}")
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Mark and word beside the headline.
pub(super) fn state(page: &BearingPage) -> Marked {
    let line = &page.line;
    if line.state == BearingState::Scrapped {
        return Marked {
            text: "scrapped".into(),
            mark: Mark::Fail,
        };
    }
    if line.held.is_some() {
        return Marked {
            text: "on hold".into(),
            mark: Mark::Missing,
        };
    }
    match line.verdict.as_str() {
        "" => Marked {
            text: "no sheet yet".into(),
            mark: Mark::NotApplicable,
        },
        verdict => {
            let mark = mark(verdict);
            Marked {
                text: format!("clearance: {}", mark.word()),
                mark,
            }
        }
    }
}

/// Two or three sentences: how long it ran, what its clearance did, what was decided.
pub(super) fn summary(page: &BearingPage, show: Show) -> String {
    let mut sentences = vec![ran(page, show)];
    if let Some(text) = grew(page, show) {
        sentences.push(text);
    }
    if let Some(text) = page
        .sheets
        .iter()
        .rev()
        .filter(|sheet| is_own(page, sheet))
        .find_map(|sheet| last_decision(sheet, show))
    {
        sentences.push(text);
    }
    let verdicts: Vec<&str> = page
        .sheets
        .iter()
        .flat_map(|s| &s.body.verdicts)
        .map(|v| v.verdict.as_str())
        .collect();
    if !verdicts.is_empty() {
        let count = |word: &str| verdicts.iter().filter(|v| **v == word).count();
        let (fails, doubts) = (
            count("fail"),
            count("fail_in_doubt") + count("pass_in_doubt"),
        );
        sentences.push(format!(
            "Of {} on {}, {fails} fail and {doubts} are in doubt.",
            counted(verdicts.len(), "verdict"),
            counted(page.sheets.len(), "sheet")
        ));
    }
    sentences.join(" ")
}

fn ran(page: &BearingPage, show: Show) -> String {
    let starts = page
        .journal
        .iter()
        .filter(|line| line.kind == "assembled")
        .count()
        + page
            .sheets
            .iter()
            .filter(|s| is_own(page, s))
            .filter(|s| s.teardown.as_ref().is_some_and(|t| t.reassembly.is_some()))
            .count();
    let hours = show.hours(page.line.total_run_s);
    let mountings = page.sheets.iter().filter(|s| s.mounting.is_some()).count();
    let mounted = match mountings {
        0 => String::new(),
        count => format!(", {}", counted(count, "mounting sheet")),
    };
    let others = page.sheets.iter().filter(|s| !is_own(page, s)).count();
    let mounted = match others {
        0 => mounted,
        count => format!(
            "{mounted}, {} of the outer half over it",
            counted(count, "teardown sheet")
        ),
    };
    match (starts, page.sheets.len() - mountings - others) {
        // An inner half sits on a neck, and is looked at with the outer half that ran over it.
        (stays, 0) if page.line.kind == INNER_HALF => {
            format!(
                "{} on necks, {hours} h in the mill{mounted}.",
                counted(stays, "stay")
            )
        }
        (0, 0) if mountings + others == 0 => {
            format!("Never mounted in this logbook, {hours} h on its counter.")
        }
        (stays, sheets) => {
            format!(
                "{} in chocks, {hours} h in the mill, {}{mounted}.",
                counted(stays, "stay"),
                counted(sheets, "teardown sheet")
            )
        }
    }
}

/// How the clearance went from its setting to the last reading.
fn grew(page: &BearingPage, show: Show) -> Option<String> {
    let set = as_set(page, show);
    let last = page
        .sheets
        .iter()
        .rev()
        .find(|s| clearance_found(s, show).is_some());
    let unit = show.unit.sign();
    let Some(last) = last else {
        return set.map(|set| format!("Set at {set} {unit}; not measured since."));
    };
    let found = clearance_found(last, show)?;
    let from = if last.position.is_empty() {
        String::new()
    } else {
        format!(" off {}", last.position)
    };
    let found = format!("found at {found} on {}{from}", last.event.at.date());
    let word = capital(clearance_word(&page.bearing_type.kind));
    Some(match set {
        Some(set) => format!("{word} set at {set} {unit}, last {found}."),
        None => format!("{word} as set is not known; last {found}."),
    })
}

fn last_decision(sheet: &SheetDetail, show: Show) -> Option<String> {
    let decision = &sheet.teardown.as_ref()?.decision;
    let left = three(pair_results(sheet, "end_play_after_nm"), show)
        .map(|left| format!(", left at {left} {}", show.unit.sign()))
        .unwrap_or_default();
    let zone = sheet
        .teardown
        .as_ref()
        .and_then(|t| t.reassembly.as_ref())
        .filter(|r| r.zone > 0)
        .map(|r| format!(", zone {} up", zone_numeral(r.zone)))
        .unwrap_or_default();
    Some(format!(
        "Last decision: {}{left}{zone}.",
        decided_words(&decision.decided)
    ))
}

/// The kind of an inner half as in the file.
const INNER_HALF: &str = "four_row_cylindrical_inner";

/// True for a sheet of the bearing itself; false for one of the outer half over an inner half.
pub(super) fn is_own(page: &BearingPage, sheet: &SheetDetail) -> bool {
    sheet.mounting.is_some() || sheet.bearing.is_empty() || sheet.bearing == page.line.serial
}

/// The clearance that a sheet found, with its unit: of the three row pairs, or of the whole bearing.
pub(super) fn clearance_found(sheet: &SheetDetail, show: Show) -> Option<String> {
    three(pair_results(sheet, "end_play_nm"), show)
        .or_else(|| sheet.result("clearance_nm", 1).map(|nm| show.length(nm)))
        .map(|text| format!("{text} {}", show.unit.sign()))
}

/// The clearance as set: of the three row pairs, or of the whole bearing.
fn as_set(page: &BearingPage, show: Show) -> Option<String> {
    match page.pairs.each_ref().map(|p| p.as_set_nm) {
        [Some(whole), None, None] => Some(show.length(whole)),
        pairs => three(pairs, show),
    }
}

/// A result of each row pair.
pub(super) fn pair_results(sheet: &SheetDetail, name: &str) -> [Option<i64>; 3] {
    [1, 2, 3].map(|item| sheet.result(name, item))
}

/// The left table: what it is and where it comes from.
pub(super) fn identity(page: &BearingPage, record: Option<&Bearing>, show: Show) -> Vec<Labelled> {
    let t = &page.bearing_type;
    let mut rows = vec![labelled(
        "type",
        format!("{}, {}", t.code, t.kind.replace('_', " ")),
    )];
    let sizes = ["bore_nm", "outside_nm", "width_nm"].map(|name| t.whole(name));
    if let [Some(d), Some(big_d), Some(b)] = sizes {
        let mass = t
            .whole("mass_g")
            .map(|g| format!(", {} kg", show.amount(g, 1000, 0)))
            .unwrap_or_default();
        let size = |nm| trimmed(&show.length(nm));
        let sizes = [d, big_d, b].map(size).join(" \u{d7} ");
        rows.push(labelled(
            "sizes",
            format!("{sizes} {}{mass}", show.unit.sign()),
        ));
    }
    if let Some(widths) = three([1, 2, 3].map(|i| t.pair("spacer_nm", i)), show) {
        let unit = show.unit.sign();
        rows.push(labelled(
            "spacers, new",
            format!("S1 / S2 / S3 {widths} {unit}"),
        ));
    }
    let baseline = page
        .growth
        .iter()
        .rfind(|p| p.is_setting && !page.sheets.iter().any(|s| s.event.no == p.event));
    let since = baseline
        .map(|p| format!(", from {}", p.at.date()))
        .unwrap_or_default();
    if page.revision > 0 {
        rows.push(labelled("revision", format!("{}{since}", page.revision)));
    }
    rows.push(labelled(
        "mill time",
        format!("{} h", show.hours(page.line.total_run_s)),
    ));
    if let Some(record) = record.filter(|r| r.prior_run_s > 0) {
        let note = if record.prior_note.is_empty() {
            String::new()
        } else {
            format!(" ({})", record.prior_note)
        };
        rows.push(labelled(
            "of it before",
            format!("{} h{note}", show.hours(record.prior_run_s)),
        ));
    }
    if page.line.zone > 0 {
        rows.push(labelled("zone up now", zone_numeral(page.line.zone)));
    }
    if !t.lubrication.is_empty() {
        rows.push(labelled("lubrication", t.lubrication.clone()));
    }
    rows
}

/// The right table: limits valid at the time of the print, with their version.
pub(super) fn limits(page: &BearingPage, now: Stamp, show: Show) -> Vec<Labelled> {
    let t = &page.bearing_type;
    let unit = show.unit.sign();
    let mut rows = Vec::new();
    if let Some(text) = span(t, "clearance_min_nm", "clearance_max_nm", show) {
        rows.push(labelled(
            format!("{}, new", clearance_word(&t.kind)),
            format!("{text} {unit}"),
        ));
    }
    if let Some(text) = as_set(page, show) {
        rows.push(labelled("as set", format!("{text} {unit}")));
    }
    if let Some(text) = per_pair(page.pairs.each_ref().map(|p| p.watch_nm), show) {
        rows.push(labelled("watch level", format!("{text} {unit}")));
    }
    if let Some(text) = per_pair(page.pairs.each_ref().map(|p| p.limit_nm), show) {
        rows.push(labelled("rework at", format!("{text} {unit}")));
    }
    if let Some(text) = span(t, "target_min_nm", "target_max_nm", show) {
        rows.push(labelled("regrind target", format!("{text} {unit}")));
    }
    if let Some(text) = per_pair([1, 2, 3].map(|i| t.pair("spacer_min_nm", i)), show) {
        rows.push(labelled("spacers at least", format!("{text} {unit}")));
    }
    if let Some(run_s) = t.whole("interval_run_s") {
        rows.push(labelled("interval", format!("{} h", show.hours(run_s))));
    }
    rows.extend(asked(t, show).map(|text| labelled("conformity asked", text)));
    rows.push(labelled("limits", version(t, now.offset_min)));
    rows
}

/// How sure a verdict has to be, where the type asks for another probability than the default.
fn asked(t: &TypeFacts, show: Show) -> Option<String> {
    let own = TYPE_VALUES.iter().filter_map(|meaning| {
        let limit = meaning.title.strip_prefix("conformity asked, ")?;
        let percent = show.decimals(t.whole(meaning.name)?, 10_000, 4);
        let percent = percent.trim_end_matches('0').trim_end_matches(['.', ',']);
        Some(format!("{limit} {percent} %"))
    });
    let own: Vec<String> = own.collect();
    (!own.is_empty()).then(|| format!("{}; else 95 %", own.join(", ")))
}

/// Which version of a type's values, and since when it holds.
pub(super) fn version(t: &TypeFacts, offset_min: i64) -> String {
    let from = Stamp::second(t.valid_from_ms, offset_min).date();
    format!("type record {}, valid from {from}", t.version.0)
}

/// Lower to upper of the three pairs; once where they do not differ.
fn span(t: &TypeFacts, lower: &str, upper: &str, show: Show) -> Option<String> {
    let each = |i: usize| t.pair(lower, i).zip(t.pair(upper, i));
    let text = |(low, high): (i64, i64)| format!("{} to {}", show.length(low), show.length(high));
    let all: Vec<(i64, i64)> = (1..=3).filter_map(each).collect();
    let first = all.first()?;
    if all.iter().all(|pair| pair == first) {
        return Some(text(*first));
    }
    Some(all.into_iter().map(text).collect::<Vec<_>>().join(" / "))
}

/// One value where the three pairs agree, else three.
fn per_pair(values: [Option<i64>; 3], show: Show) -> Option<String> {
    match values {
        [Some(a), Some(b), Some(c)] if a == b && b == c => Some(show.length(a)),
        _ => three(values, show),
    }
}

/// A size without trailing zeros.
fn trimmed(text: &str) -> String {
    text.trim_end_matches('0')
        .trim_end_matches(['.', ','])
        .to_owned()
}

/// Lines to sign by hand.
pub(super) fn signature_lines(page: &BearingPage, job: &PrintJob) -> Vec<SignatureLine> {
    let line = |who: &str, what: &str| SignatureLine {
        who: who.into(),
        what: what.into(),
    };
    let newest =
        |name: fn(&SheetDetail) -> &str| page.sheets.iter().rev().map(name).find(|n| !n.is_empty());
    let foreman = newest(|s| &s.signer).unwrap_or("Foreman");
    let engineer = newest(|s| &s.ordered_by).unwrap_or("Engineer");
    let reader = job.for_whom.trim_start_matches("the ");
    vec![
        line(foreman, "printed and compared"),
        line(engineer, "limits and decisions"),
        line(
            if reader.is_empty() { "Auditor" } else { reader },
            "seen, date",
        ),
    ]
}
