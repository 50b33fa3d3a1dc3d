//! The list behind a badge: each line says what, how much, and where it comes from; nothing stands in it twice.

use calc::conformity::Thresholds;
use store::Stamp;

use super::super::fields::Sheet;
use super::super::gauge;
use super::Case;
use crate::bench::StepLine;
use crate::win::screens::bench::source_words;

/// What it is, its value, where it comes from.
pub(super) type Line = [String; 3];

/// A line of the list.
pub(super) fn line(key: &str, value: impl Into<String>, source: impl Into<String>) -> Line {
    [key.into(), value.into(), source.into()]
}

/// All lines, in the order in which one follows from the other.
pub(super) fn lines(sheet: &Sheet, case: &Case) -> Vec<Line> {
    let value = format!("{} {}", case.length(sheet, case.value_nm), sheet.unit());
    let mut lines = vec![line("value", value, &case.value_from)];
    let mut steps = case
        .limit
        .as_ref()
        .map_or_else(Vec::new, |limit| case.derivation(sheet, limit));
    let (rule, room, halved) = (steps.pop(), steps.pop(), steps.pop());
    lines.push(uncertainty(sheet, case, halved));
    if let Some(limit) = &case.limit {
        lines.push(line("limit", &limit.words, &limit.origin));
    }
    let asked = case.limit.as_ref().map(|limit| case.asked_of(limit));
    lines.extend(room.map(|room| margin(sheet, case, room)));
    if case.is_undecidable() {
        lines.push(line(
            "gauge",
            "this gauge cannot decide it",
            "its doubt is so wide against what is allowed that no value would pass",
        ));
    }
    lines.extend(rule.map(|rule| {
        let value = format!("{}, {}", rule.expression, rule.result);
        // The source of the method names the standard with its year.
        let levels = rule.note.trim_end_matches("; ISO 14253-1");
        let by = whose(sheet, asked);
        let source = format!(
            "{levels}{by}; {}",
            source_words(calc::conformity::METHOD.source)
        );
        line("rule", value, source)
    }));
    let method = format!("{} ({})", case.method.title, case.version);
    lines.push(line("method", method, source_words(case.method.source)));
    let [read, how] = &case.inputs;
    lines.push(line("inputs", read, how));
    lines
}

/// Who asks for it, where that is not the default.
fn whose(sheet: &Sheet, asked: Option<Thresholds>) -> String {
    let own = asked.filter(|asked| *asked != Thresholds::default());
    let t = own.and(sheet.facts().bearing_type.as_ref());
    t.map_or_else(String::new, |t| format!(" as {} asks", t.code))
}

/// How sure the value is, and by which gauges.
fn uncertainty(sheet: &Sheet, case: &Case, halved: Option<StepLine>) -> Line {
    let gauges = gauges(sheet, case);
    let Some(nm) = case.uncertainty_nm else {
        let source = if gauges.is_empty() {
            "no gauge is named yet".to_owned()
        } else {
            format!("{gauges}: none in the register")
        };
        return line("uncertainty", "not known: at best in doubt", source);
    };
    let half = halved.map_or_else(String::new, |step| {
        format!("{} = {}, {}; ", step.expression, step.result, step.note)
    });
    let value = format!("U {}", sheet.show().length_unit(nm));
    line("uncertainty", value, format!("{half}{gauges}"))
}

/// The gauges that are named, each with its calibration.
fn gauges(sheet: &Sheet, case: &Case) -> String {
    let used = case.gauges.iter().filter_map(|path| {
        let code = sheet.view.entries.committed(path);
        let all = &sheet.facts().gauges;
        let gauge = all.values().find(|g| g.code.eq_ignore_ascii_case(code))?;
        let (_, status) = gauge::status(gauge, sheet.facts().at.offset_min);
        Some(format!("{} {status}", gauge.code))
    });
    used.collect::<Vec<_>>().join(", ")
}

/// How far from the limit, in length and in standard uncertainties.
fn margin(sheet: &Sheet, case: &Case, room: StepLine) -> Line {
    let mut value = room.result;
    let mut source = format!("{}, {}", room.expression, room.note);
    let u = case.uncertainty_nm.filter(|u| *u > 0);
    if let Some((u, limit)) = u.zip(case.limit.as_ref()) {
        let away = (limit.nm - case.value_nm).abs();
        let times = sheet.show().decimals(away * 2, u, 1);
        value = format!("{value}, {times} u");
        // Rounded up: what is as far away is clear.
        let hundredths = (case.asked_of(limit).guard_factor() * 100.0).ceil() as i64;
        let clear = sheet.show().decimals(hundredths, 100, 2);
        let clear = if hundredths > 0 {
            format!("from {clear} u")
        } else {
            "on either side of the limit".to_owned()
        };
        source = format!("{source}; clear {clear}");
    }
    line("margin", value, source)
}

/// Designation, kind of value and version of a limit of the register of types.
pub(super) fn origin(sheet: &Sheet, what: &str) -> String {
    let Some(t) = &sheet.facts().bearing_type else {
        return what.to_owned();
    };
    let from = Stamp::second(t.valid_from_ms, sheet.facts().at.offset_min).date();
    format!("{}, {what}, version of {from}", t.code)
}

/// The whole panel as text.
pub(super) fn as_text(title: &str, word: &str, lines: &[Line]) -> String {
    let lines = lines.iter().map(|[key, value, source]| {
        if source.is_empty() {
            format!("{key}: {value}")
        } else {
            format!("{key}: {value} ({source})")
        }
    });
    let head = [title.to_owned(), word.to_owned()];
    head.into_iter().chain(lines).collect::<Vec<_>>().join("\n")
}
