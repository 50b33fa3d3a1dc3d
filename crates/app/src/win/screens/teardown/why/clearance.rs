//! The end play of a row pair, as found and after grinding.

use calc::conformity::{Limits, Verdict};
use calc::quantity::nanometres;
use calc::stack;
use serde_json::json;
use store::sheet::field::radial::{RadialCell, Way, lines};
use store::sheet::field::{self, GAP_DEGREES};
use store::sheet::{PairView, RadialView, gauge_paths, method_name};

use super::super::clearance::{method_words, ratio};
use super::super::fields::Sheet;
use super::list::origin;
use super::{Case, Limit, probability, step};

const GAUGES: [&str; 2] = ["clearance.gauge_gap", "clearance.gauge_width"];

/// As found.
pub(super) fn found(sheet: &Sheet, index: usize) -> Option<Case> {
    let a = &sheet.a.clearance;
    let view = a.pairs.get(index)?;
    let value_nm = view.end_play_nm?;
    if let Some(whole) = &a.radial {
        return radial(sheet, whole, view, value_nm);
    }
    // Measured another way, only what speaks against it is judged.
    let is_judged = !view.is_unlike || view.verdict != Verdict::Missing;
    let limit = limit(sheet, index, view).filter(|_| is_judged);
    let uncertainty_nm = a.expanded_uncertainty_nm;
    let limits = limit.as_ref().map(|limit| {
        let at = nanometres(limit.nm);
        if limit.is_upper {
            Limits::below(at)
        } else {
            Limits::at_least(at)
        }
    });
    let width = sheet.view.entries.committed(&field::spacer(index + 1));
    Some(Case {
        title: format!("end play, {}", sheet.show().pair_name(index + 1)),
        verdict: view.verdict,
        probability: limits.and_then(|limits| probability(value_nm, &limits, uncertainty_nm)),
        value_nm,
        is_deviation: false,
        value_from: from_stack(sheet, index, view.spacer_nm?)? + &times(sheet, view),
        limit,
        allowed_nm: between(view).filter(|_| is_judged),
        asked: view.asked,
        uncertainty_nm,
        gauges: GAUGES.map(String::from).into(),
        method: &stack::METHOD,
        version: method_name("clearance"),
        inputs: inputs(
            sheet,
            index,
            &format!("spacer {} {width}", sheet.show().spacer(index + 1)),
        ),
        first: field::gap(index + 1, GAP_DEGREES[0]),
    })
}

/// Drawing minimum and limit, where both are known.
fn between(view: &PairView) -> Option<(Option<i64>, i64)> {
    let (lower, upper) = view.drawing_min_nm.zip(view.limit_nm)?;
    Some((Some(lower), upper))
}

/// The clearance of a whole bearing; where a row decides, the value of that row.
fn radial(sheet: &Sheet, whole: &RadialView, view: &PairView, value_nm: i64) -> Option<Case> {
    let show = sheet.show();
    let named = sheet.rows();
    let rows: Vec<String> = whole
        .rows
        .iter()
        .enumerate()
        .filter_map(|(index, row)| {
            let value = show.length(row.clearance_nm?);
            Some(format!("row {} {value}", named.row(index + 1)))
        })
        .collect();
    let clearance = sheet.facts().family().clearance();
    if let Some(index) = whole.deciding(view.verdict) {
        let number = named.row(index + 1);
        let told = format!(
            "row {number} decides; {}, mean {}; every row has to hold",
            rows.join(", "),
            show.length_unit(value_nm)
        );
        let title = format!("{clearance}, decided by row {number}");
        return of_row(sheet, whole, index, title, told);
    }
    let told = if rows.len() > 1 {
        format!(
            "mean of the rows; {}; every row is judged too",
            rows.join(", ")
        )
    } else {
        "mean of the four places".to_owned()
    };
    let cells = lines(whole.way?, whole.rows.len()).into_iter().flatten();
    let value = (value_nm, view.verdict);
    case(
        sheet,
        whole,
        (clearance.to_owned(), told),
        value,
        view,
        &cells.collect::<Vec<_>>(),
    )
}

/// One row of a bearing whose clearance belongs to the whole.
pub(super) fn row(sheet: &Sheet, index: usize) -> Option<Case> {
    let whole = sheet.a.clearance.radial.as_ref()?;
    let clearance = sheet.facts().family().clearance();
    let title = format!("{clearance}, row {}", sheet.rows().row(index + 1));
    of_row(sheet, whole, index, title, "of this row alone".to_owned())
}

fn of_row(
    sheet: &Sheet,
    whole: &RadialView,
    index: usize,
    title: String,
    told: String,
) -> Option<Case> {
    let row = whole.rows.get(index)?;
    let limits = PairView {
        rework_verdict: row.rework_verdict,
        minimum_verdict: row.minimum_verdict,
        ..sheet.a.clearance.pairs[0].clone()
    };
    let cells = lines(whole.way?, whole.rows.len()).into_iter().flatten();
    let own = cells.filter(|cell| cell.row().is_none_or(|row| row == index + 1));
    let value = (row.clearance_nm?, row.verdict);
    case(
        sheet,
        whole,
        (title, told),
        value,
        &limits,
        &own.collect::<Vec<_>>(),
    )
}

/// A clearance that was read without a stack: its value and verdict, from these cells.
fn case(
    sheet: &Sheet,
    whole: &RadialView,
    (title, value_from): (String, String),
    (value_nm, verdict): (i64, Verdict),
    view: &PairView,
    cells: &[RadialCell],
) -> Option<Case> {
    let way = whole.way?;
    let uncertainty_nm = sheet.a.clearance.expanded_uncertainty_nm;
    let limit = limit(sheet, 0, view);
    let limits = limit.as_ref().map(|limit| {
        let at = nanometres(limit.nm);
        if limit.is_upper {
            Limits::below(at)
        } else {
            Limits::at_least(at)
        }
    });
    let first = cells.first()?.path();
    let read: Vec<String> = cells
        .iter()
        .map(|cell| sheet.view.entries.committed(&cell.path()).to_owned())
        .filter(|text| !text.is_empty())
        .collect();
    let method = match way {
        Way::Leaves | Way::ThinRing => &calc::feeler::METHOD,
        Way::Diameters | Way::Axial => &calc::conformity::METHOD,
    };
    Some(Case {
        title,
        verdict,
        probability: limits.and_then(|limits| probability(value_nm, &limits, uncertainty_nm)),
        value_nm,
        is_deviation: false,
        value_from,
        limit,
        allowed_nm: between(view),
        asked: view.asked,
        uncertainty_nm,
        gauges: gauge_paths(way)
            .iter()
            .map(|path| (*path).to_owned())
            .collect(),
        method,
        version: method_name("clearance"),
        inputs: [read.join("  "), way.method().to_owned()],
        first,
    })
}

/// The faces of a spacer as found: its widths at four places against the limit of the type.
pub(super) fn faces(sheet: &Sheet, index: usize) -> Option<Case> {
    let a = &sheet.a.clearance;
    let view = a.pairs.get(index)?;
    let value_nm = view.parallel_nm?;
    let nm = sheet
        .facts()
        .bearing_type
        .as_ref()?
        .whole("spacer_parallel_nm")?;
    let uncertainty_nm = a.width_uncertainty_nm;
    let show = sheet.show();
    let widths = GAP_DEGREES.map(|at| {
        let path = field::spacer_at(index + 1, at);
        sheet.view.entries.committed(&path).to_owned()
    });
    let read: Vec<String> = widths.into_iter().filter(|text| !text.is_empty()).collect();
    Some(Case {
        title: format!("faces of spacer {}", show.spacer(index + 1)),
        verdict: view.parallel_verdict,
        probability: view.parallel_probability,
        value_nm,
        is_deviation: false,
        value_from: "largest less smallest of its widths".into(),
        limit: Some(Limit {
            nm,
            is_upper: true,
            words: format!("at most {}", show.length_unit(nm)),
            origin: origin(sheet, "faces of a spacer"),
        }),
        allowed_nm: Some((None, nm)),
        asked: a.faces_asked,
        uncertainty_nm,
        gauges: vec![GAUGES[1].to_owned()],
        method: &calc::conformity::METHOD,
        version: method_name("spacer_parallel"),
        inputs: [
            format!("widths {}", read.join("  ")),
            format!("{} places round the spacer", read.len()),
        ],
        first: field::spacer(index + 1),
    })
}

/// After grinding: the gap does not change when the spacer is ground.
pub(super) fn after(sheet: &Sheet, index: usize) -> Option<Case> {
    let a = &sheet.a.clearance;
    let view = a.pairs.get(index)?;
    let value_nm = a.after.end_play_nm[index]?;
    let (lower, upper) = view.target_nm?;
    let show = sheet.show();
    let words = format!("{} to {}", show.length(lower), show.length_unit(upper));
    let origin = origin(sheet, "regrind target");
    let width = sheet.view.entries.committed(&field::after(index + 1));
    let ground = format!(
        "spacer {} ground to {width}, gaps as found",
        show.spacer(index + 1)
    );
    Some(Case {
        title: format!(
            "end play after grinding, {}",
            sheet.show().pair_name(index + 1)
        ),
        verdict: a.after.verdict[index],
        probability: a.after.probability[index],
        value_nm,
        is_deviation: false,
        value_from: from_stack(sheet, index, a.after.spacer_nm[index]?)?,
        limit: Some(Limit::nearest((lower, upper), value_nm, words, origin)),
        allowed_nm: Some((Some(lower), upper)),
        asked: a.after.asked,
        uncertainty_nm: a.expanded_uncertainty_nm,
        gauges: GAUGES.map(String::from).into(),
        method: &stack::METHOD,
        version: method_name("clearance_after"),
        inputs: inputs(sheet, index, &ground),
        first: field::after(index + 1),
    })
}

/// The faces of a spacer that was ground: its widths all round.
pub(super) fn faces_after(sheet: &Sheet, index: usize) -> Option<Case> {
    let a = &sheet.a.clearance;
    let value_nm = a.after.parallel_nm[index]?;
    let most = sheet.facts().bearing_type.as_ref()?;
    let most = most.whole("spacer_parallel_nm")?;
    let show = sheet.show();
    let widths = GAP_DEGREES.map(|degrees| {
        sheet
            .view
            .entries
            .committed(&field::after_at(index + 1, degrees))
    });
    let places = a.after.places[index];
    Some(Case {
        title: format!("faces after grinding, spacer {}", show.spacer(index + 1)),
        verdict: a.after.parallel_verdict[index],
        probability: a.after.parallel_probability[index],
        value_nm,
        is_deviation: false,
        value_from: format!("largest less smallest width, {places} of 4 places"),
        limit: Some(Limit {
            nm: most,
            is_upper: true,
            words: format!("at most {}", show.length_unit(most)),
            origin: origin(sheet, "spacer faces parallel within"),
        }),
        allowed_nm: Some((None, most)),
        asked: a.faces_asked,
        uncertainty_nm: a.width_uncertainty_nm,
        gauges: vec![GAUGES[1].into()],
        method: &calc::conformity::METHOD,
        version: method_name("spacer_parallel_after"),
        inputs: [
            format!("widths {}", widths.join("  ")),
            "measured after grinding".into(),
        ],
        first: field::after_at(index + 1, GAP_DEGREES[1]),
    })
}

/// How `stack` comes from the gaps to the end play.
fn from_stack(sheet: &Sheet, index: usize, spacer_nm: i64) -> Option<String> {
    let mm = |nm: i64| nm as f64 / 1e6;
    let gap = |degrees: &i64| {
        let state = sheet.a.fields.get(&field::gap(index + 1, *degrees))?;
        state.value.map(mm)
    };
    let gaps: Vec<f64> = GAP_DEGREES.iter().filter_map(gap).collect();
    // Only the end play is asked for: target and step play no part in it.
    let spacer = mm(spacer_nm);
    let pair = json!({
        "spacer_mm": spacer, "gaps_mm": gaps, "min_spacer_mm": spacer,
        "target_min_mm": 0, "target_max_mm": 0,
    });
    let input = json!({ "pairs": [pair], "step_mm": spacer });
    let name = "rows 1\u{2013}2: ";
    let step = step(&stack::METHOD, &input, name, sheet)?;
    let numbers = step.expression.trim_start_matches(name);
    Some(format!("{numbers}, {}", step.note))
}

/// The limit that decides: of rework level and drawing minimum the one with the worse verdict.
fn limit(sheet: &Sheet, index: usize, view: &PairView) -> Option<Limit> {
    let worst = Verdict::worst([view.rework_verdict, view.minimum_verdict]);
    let is_upper = view.minimum_verdict == Verdict::NotApplicable || worst == view.rework_verdict;
    let nm = if is_upper {
        view.limit_nm?
    } else {
        view.drawing_min_nm?
    };
    let in_register = sheet
        .facts()
        .bearing_type
        .as_ref()
        .and_then(|t| t.pair("rework_nm", index + 1));
    let (words, origin) = match (is_upper, in_register == Some(nm)) {
        (true, true) => ("below", origin(sheet, "rework level")),
        (true, false) => (
            "below",
            "times as set, the smaller of both: common practice".to_owned(),
        ),
        (false, _) => ("at least", origin(sheet, "drawing minimum")),
    };
    Some(Limit {
        nm,
        is_upper,
        words: format!("{words} {}", sheet.show().length_unit(nm)),
        origin,
    })
}

/// How many times as set, where that is known.
fn times(sheet: &Sheet, view: &PairView) -> String {
    if view.is_unlike {
        return "; measured another way than as set".to_owned();
    }
    let Some((times, as_set)) = view.times.zip(view.as_set_nm) else {
        return String::new();
    };
    let revision = sheet.facts().bearing.as_ref().map_or(1, |b| b.revision);
    let times = ratio(sheet, times);
    let as_set = sheet.show().length_unit(as_set);
    format!("; \u{d7}{times} as set in revision {revision}: {as_set}")
}

fn inputs(sheet: &Sheet, index: usize, spacer: &str) -> [String; 2] {
    let gaps = GAP_DEGREES.map(|d| sheet.view.entries.committed(&field::gap(index + 1, d)));
    [
        format!("gaps {}", gaps.join("  ")),
        format!("{spacer}; {}", method_words(sheet)),
    ]
}
