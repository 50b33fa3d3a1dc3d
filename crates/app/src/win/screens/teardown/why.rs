//! Behind a verdict: value, uncertainty, limit and where it comes from, rule, method, inputs.

use calc::conformity::{Conformity, Limits, Verdict, conformity};
use calc::quantity::nanometres;
use draw::tokens::space;
use egui::Ui;
use store::Stamp;
use store::entry::LengthUnit;
use store::sheet::field::{self, GAP_DEGREES, SeatName};

use super::clearance::{METHOD, ratio};
use super::fields::{Sheet, mark};
use super::seats::full_title;
use super::view::Why;
use crate::bench::{StepLine, step_line};
use crate::drawings::PAIR_NAMES;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, BellModel, WhyHead};
use crate::ui::{focus, paint};

/// One verdict laid open.
#[derive(Debug, Clone)]
struct Told {
    title: String,
    verdict: Verdict,
    value_nm: i64,
    is_deviation: bool,
    /// The limit that decides, and whether it is an upper one.
    limit: Option<(i64, bool)>,
    conformity: Option<Conformity>,
    uncertainty_nm: Option<i64>,
    /// Key, value, second line.
    lines: Vec<[String; 3]>,
    /// Where it is measured again.
    first: String,
}

/// Shows the panel of the verdict that is open.
pub fn why_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let Some((why, beside)) = sheet.view.why else {
        return;
    };
    let told = match why {
        Why::Pair(index) => pair(sheet, index),
        Why::After(index) => after(sheet, index),
        Why::Check(seat, index) => check(sheet, seat, index),
    };
    let Some(told) = told else {
        sheet.view.why = None;
        return;
    };
    let title = format!("Why: {}", told.title);
    let head = WhyHead {
        title: &title,
        mark: mark(told.verdict),
        word: told.verdict.word(),
        beside,
    };
    let mut done = false;
    let closed = widgets::why_panel(ui, head, |ui| {
        bell(ui, sheet, &told);
        for [key, value, source] in &told.lines {
            widgets::key_value(ui, key, value, source);
        }
        ui.add_space(space::L);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = space::M;
            if widgets::second(ui, "Measure again").clicked() {
                focus::ask(ui.ctx(), &told.first);
                done = true;
            }
            if widgets::quiet(ui, "Copy as text").clicked() {
                ui.ctx().copy_text(as_text(&title, &told));
            }
        });
        // Below what is pressed, so that this stays in sight.
        let steps = steps(sheet, &told);
        if !steps.is_empty() {
            ui.add_space(space::M);
            text::say(ui, Face::SECTION, "How it comes out");
        }
        for step in &steps {
            widgets::key_value(ui, &step.expression, &step.result, &step.note);
        }
    });
    if closed || done {
        sheet.view.why = None;
    }
}

/// The derivation of the verdict, from the description of the method.
fn steps(sheet: &Sheet, told: &Told) -> Vec<StepLine> {
    let (Some(judged), Some((limit, is_upper))) = (&told.conformity, told.limit) else {
        return Vec::new();
    };
    // What the badge says, the overdue gauge counted.
    let judged = Conformity {
        verdict: told.verdict,
        ..*judged
    };
    let limit = Some(nanometres(limit));
    let limits = if is_upper {
        [None, limit]
    } else {
        [limit, None]
    };
    let uncertainty = told.uncertainty_nm.map(nanometres);
    calc::conformity::derivation(nanometres(told.value_nm), limits, uncertainty, &judged)
        .iter()
        .map(|step| step_line(step, sheet.show()))
        .collect()
}

fn as_text(title: &str, told: &Told) -> String {
    let lines = told
        .lines
        .iter()
        .map(|[key, value, source]| match source.as_str() {
            "" => format!("{key}: {value}"),
            source => format!("{key}: {value} ({source})"),
        });
    let head = [title.to_owned(), told.verdict.word().to_owned()];
    head.into_iter().chain(lines).collect::<Vec<_>>().join("\n")
}

fn length(sheet: &Sheet, is_deviation: bool, nm: i64) -> String {
    if is_deviation {
        sheet.show().deviation(nm)
    } else {
        sheet.show().length(nm)
    }
}

fn bell(ui: &mut Ui, sheet: &Sheet, told: &Told) {
    let (Some((limit, upper)), Some(u2)) = (told.limit, told.uncertainty_nm.filter(|u| *u > 0))
    else {
        return;
    };
    let Some(chance) = told.conformity.and_then(|c| c.probability) else {
        return;
    };
    let inch = sheet.show().unit == LengthUnit::Inch;
    let unit = |nm: i64| nm as f64 / if inch { 25.4e6 } else { 1e6 };
    // Ticks about one standard uncertainty apart, on round numbers.
    let per = if inch { 2_540 } else { 1_000 };
    let step = [1, 2, 5, 10, 20, 50, 100, 200, 500]
        .into_iter()
        .map(|k| k * per)
        .find(|s| *s >= u2 / 2)
        .unwrap_or(1_000 * per);
    let first = (told.value_nm - 3 * u2).div_euclid(step) + 1;
    let ticks: Vec<(i64, String)> = (first..first + 14)
        .map(|k| k * step)
        .filter(|nm| k_of(*nm, step) % 2 == 0)
        .map(|nm| (nm, length(sheet, told.is_deviation, nm)))
        .collect();
    let ticks: Vec<(f64, &str)> = ticks
        .iter()
        .map(|(nm, words)| (unit(*nm), words.as_str()))
        .collect();
    let mark = mark(told.verdict);
    let chance_text = ratio(sheet, chance);
    let beyond = if chance < 0.995 {
        format!("{} beyond", ratio(sheet, 1.0 - chance))
    } else {
        String::new()
    };
    // A limit that is far off stands near the edge, where there is no room for its number; the line below has it.
    let is_far = (limit - told.value_nm).abs() * 4 > u2 * 7;
    let limit_text = if is_far {
        "limit".to_owned()
    } else {
        format!("limit {}", length(sheet, told.is_deviation, limit))
    };
    let model = BellModel {
        value: unit(told.value_nm),
        u: unit(u2) / 2.0,
        limit: unit(limit),
        upper,
        found_text: &format!("found {}", length(sheet, told.is_deviation, told.value_nm)),
        limit_text: &limit_text,
        chance_text: &chance_text,
        chance_note: ["chance that", "it conforms"],
        beyond_text: &beyond,
        ticks: &ticks,
        token: mark.token(),
        tint: mark.tint(),
    };
    paint::scene(ui, &model.scene(ui.available_width()));
    ui.add_space(space::S);
    widgets::rule(ui);
}

fn k_of(nm: i64, step: i64) -> i64 {
    nm.div_euclid(step)
}

fn line(key: &str, value: impl Into<String>, source: impl Into<String>) -> [String; 3] {
    [key.into(), value.into(), source.into()]
}

fn uncertainty(sheet: &Sheet, nm: Option<i64>, gauges: &[&str]) -> [String; 3] {
    let used: Vec<String> = gauges
        .iter()
        .filter_map(|path| {
            let code = sheet.view.committed(path);
            let gauge = sheet
                .facts()
                .gauges
                .values()
                .find(|g| g.code.eq_ignore_ascii_case(code))?;
            let (_, status) = super::gauge::status(gauge, sheet.facts().at.offset_min);
            Some(format!("{} {status}", gauge.code))
        })
        .collect();
    let used = used.join(", ");
    if let Some(nm) = nm {
        let u = sheet.show().length(nm / 2);
        line(
            "uncertainty",
            format!("U {}", sheet.show().length_unit(nm)),
            format!("k = 2, so u {u}; {used}"),
        )
    } else {
        let source = if used.is_empty() {
            "no gauge is named yet".to_owned()
        } else {
            format!("{used}: none in the register")
        };
        line("uncertainty", "not known: at best in doubt", source)
    }
}

/// Type, kind of value and version of a limit.
fn origin(sheet: &Sheet, what: &str) -> String {
    let Some(t) = &sheet.facts().bearing_type else {
        return what.to_owned();
    };
    let from = Stamp::second(t.valid_from_ms, sheet.facts().at.offset_min).date();
    format!("{}, {what}, version of {from}", t.code)
}

/// How far from the limit, and whether this gauge can decide it.
fn margin(sheet: &Sheet, nm: i64, uncertainty_nm: Option<i64>) -> [String; 3] {
    let value = sheet.show().length_unit(nm);
    let source = match uncertainty_nm.filter(|u| *u > 0) {
        Some(u2) => format!(
            "{} u; a clear verdict needs 1.65 u",
            sheet.show().decimals(nm.abs() * 2, u2, 1)
        ),
        None => String::new(),
    };
    line("margin", value, source)
}

fn rule() -> [String; 3] {
    line(
        "rule",
        "ISO 14253-1:2017",
        "pass from 95 %, pass in doubt to 50 %, fail in doubt to 5 %",
    )
}

fn pair(sheet: &Sheet, index: usize) -> Option<Told> {
    let a = &sheet.a.clearance;
    let view = a.pairs.get(index)?;
    let value_nm = view.end_play_nm?;
    // The side that decides.
    let is_upper = view.minimum_verdict == Verdict::NotApplicable
        || Verdict::worst([view.rework_verdict, view.minimum_verdict]) == view.rework_verdict;
    let limit = if is_upper {
        view.limit_nm
    } else {
        view.drawing_min_nm
    };
    let limits = limit.map(|nm| {
        if is_upper {
            Limits::below(nanometres(nm))
        } else {
            Limits::at_least(nanometres(nm))
        }
    });
    let show = sheet.show();
    let number = index + 1;
    let mut lines = vec![line(
        "value",
        show.length_unit(value_nm),
        format!(
            "spacer {} less mean gap {}",
            opt(sheet, view.spacer_nm),
            opt(sheet, view.mean_gap_nm)
        ),
    )];
    lines.push(uncertainty(
        sheet,
        a.expanded_uncertainty_nm,
        &["clearance.gauge_gap", "clearance.gauge_width"],
    ));
    if let Some(nm) = limit {
        let rework = sheet
            .facts()
            .bearing_type
            .as_ref()
            .and_then(|t| t.pair("rework_nm", number));
        let (words, what) = match (is_upper, rework == Some(nm)) {
            (true, true) => ("below", origin(sheet, "rework level")),
            (true, false) => (
                "below",
                "times as set, the smaller of both: common practice".to_owned(),
            ),
            (false, _) => ("at least", origin(sheet, "drawing minimum")),
        };
        lines.push(line(
            "limit",
            format!("{words} {}", show.length_unit(nm)),
            what,
        ));
        lines.push(margin(
            sheet,
            if is_upper {
                nm - value_nm
            } else {
                value_nm - nm
            },
            a.expanded_uncertainty_nm,
        ));
    }
    if let (Some(times), Some(as_set)) = (view.times, view.as_set_nm) {
        let revision = sheet.facts().bearing.as_ref().map_or(1, |b| b.revision);
        let source = format!(
            "of this bearing, revision {revision}: {}",
            show.length_unit(as_set)
        );
        lines.push(line(
            "times as set",
            format!("\u{d7}{}", ratio(sheet, times)),
            source,
        ));
    }
    lines.push(rule());
    lines.push(line(
        "method",
        METHOD,
        "end play = spacer width less mean gap",
    ));
    let gaps: Vec<&str> = GAP_DEGREES
        .iter()
        .map(|d| sheet.view.committed(&field::gap(number, *d)))
        .collect();
    lines.push(line(
        "inputs",
        gaps.join("  "),
        format!(
            "spacer S{number} {}",
            sheet.view.committed(&field::spacer(number))
        ),
    ));
    let judged = limits.and_then(|l| {
        conformity(
            nanometres(value_nm),
            &l,
            a.expanded_uncertainty_nm.map(nanometres),
        )
        .ok()
    });
    Some(Told {
        title: format!("end play, {}", PAIR_NAMES[index]),
        verdict: view.verdict,
        value_nm,
        is_deviation: false,
        limit: limit.map(|nm| (nm, is_upper)),
        conformity: judged,
        uncertainty_nm: a.expanded_uncertainty_nm,
        lines,
        first: field::gap(number, GAP_DEGREES[0]),
    })
}

fn opt(sheet: &Sheet, nm: Option<i64>) -> String {
    nm.map_or_else(|| "\u{2013}".to_owned(), |nm| sheet.show().length(nm))
}

fn after(sheet: &Sheet, index: usize) -> Option<Told> {
    let a = &sheet.a.clearance;
    let view = a.pairs.get(index)?;
    let value_nm = a.after.end_play_nm[index]?;
    let (lower, upper) = view.target_nm?;
    let show = sheet.show();
    let is_upper = upper - value_nm <= value_nm - lower;
    let limits = Limits::between(nanometres(lower), nanometres(upper));
    let lines = vec![
        line(
            "value",
            show.length_unit(value_nm),
            format!(
                "spacer ground to {} less mean gap {}",
                opt(sheet, a.after.spacer_nm[index]),
                opt(sheet, view.mean_gap_nm)
            ),
        ),
        uncertainty(
            sheet,
            a.expanded_uncertainty_nm,
            &["clearance.gauge_gap", "clearance.gauge_width"],
        ),
        line(
            "limit",
            format!("{} to {}", show.length(lower), show.length_unit(upper)),
            origin(sheet, "regrind target"),
        ),
        margin(
            sheet,
            (upper - value_nm).min(value_nm - lower),
            a.expanded_uncertainty_nm,
        ),
        rule(),
        line(
            "method",
            "from the gaps as found",
            "the gap does not change when the spacer is ground",
        ),
    ];
    Some(Told {
        title: format!("end play after grinding, {}", PAIR_NAMES[index]),
        verdict: a.after.verdict[index],
        value_nm,
        is_deviation: false,
        limit: Some((if is_upper { upper } else { lower }, is_upper)),
        conformity: conformity(
            nanometres(value_nm),
            &limits,
            a.expanded_uncertainty_nm.map(nanometres),
        )
        .ok(),
        uncertainty_nm: a.expanded_uncertainty_nm,
        lines,
        first: field::after(index + 1),
    })
}

fn check(sheet: &Sheet, seat: SeatName, index: usize) -> Option<Told> {
    let view = if seat == SeatName::Bore {
        &sheet.a.bore
    } else {
        &sheet.a.neck
    };
    let check = view.checks.get(index)?;
    let show = sheet.show();
    let shown = |nm| length(sheet, check.is_deviation, nm);
    let prefix = seat.prefix();
    let nominal = view.nominal_nm.map_or_else(String::new, |nm| {
        format!(", from nominal {}", show.length(nm))
    });
    let (what, how) = match check.about {
        "bore_mean" => (
            format!("mean of 12 two-point sizes at 20 \u{b0}C{nominal}"),
            "mean of the grid",
        ),
        "bore_ovality" => (
            "largest less smallest size in the plane".to_owned(),
            "ovality of a plane",
        ),
        "bore_taper" => (
            "mean of plane 1 less mean of plane 3".to_owned(),
            "taper of the bore",
        ),
        _ if check.is_deviation => (
            format!("smallest two-point size at 20 \u{b0}C{nominal}"),
            "smallest of the grid",
        ),
        _ => (
            "smallest two-point size at 20 \u{b0}C".to_owned(),
            "smallest of the grid",
        ),
    };
    let unit = sheet.unit();
    let mut lines = vec![line(
        "value",
        format!("{} {unit}", shown(check.value_nm)),
        what,
    )];
    lines.push(uncertainty(
        sheet,
        view.expanded_uncertainty_nm,
        &[&format!("{prefix}.gauge")],
    ));
    let limit = check
        .upper_nm
        .map(|nm| (nm, true))
        .or(check.lower_nm.map(|nm| (nm, false)));
    if let Some((nm, is_upper)) = limit {
        let words = if is_upper { "at most" } else { "at least" };
        lines.push(line(
            "limit",
            format!("{words} {} {unit}", shown(nm)),
            origin(sheet, "register of types"),
        ));
    }
    if let Some(nm) = check.margin_nm() {
        lines.push(margin(sheet, nm, view.expanded_uncertainty_nm));
    }
    lines.push(rule());
    lines.push(line(
        "method",
        how,
        "3 planes \u{d7} 4 directions, corrected to 20 \u{b0}C (ISO 1)",
    ));
    let temperature = |end: &str| sheet.view.committed(&format!("{prefix}.{end}")).to_owned();
    let part = if seat == SeatName::Bore {
        "chock"
    } else {
        "neck"
    };
    let inputs = format!(
        "{part} {} to {} \u{b0}C, gauge {} \u{b0}C",
        temperature("temp_first"),
        temperature("temp_last"),
        temperature("temp_gauge")
    );
    lines.push(line("inputs", "12 sizes", inputs));
    Some(Told {
        title: format!(
            "{}, {}",
            full_title(check).to_lowercase(),
            seat.title().to_lowercase()
        ),
        verdict: check.verdict,
        value_nm: check.value_nm,
        is_deviation: check.is_deviation,
        limit,
        conformity: Some(Conformity {
            verdict: check.verdict,
            probability: check.probability,
        }),
        uncertainty_nm: view.expanded_uncertainty_nm,
        lines,
        first: field::size(seat, check.plane.max(1), 0),
    })
}
