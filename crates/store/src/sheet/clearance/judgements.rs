//! The verdicts of the bench as they are signed.

use super::{ClearanceView, PairView};
use crate::payload::Judgement;
use crate::sheet::facts::{Facts, TypeFacts};
use crate::sheet::radial::{self};
use crate::sheet::sureness::{LimitOf, Sureness};
use calc::conformity::Verdict;

/// The verdicts of the bench as they are signed.
pub(in crate::sheet) fn judgements(
    view: &ClearanceView,
    facts: &Facts,
    note: &str,
) -> Vec<Judgement> {
    let Some(t) = &facts.bearing_type else {
        return Vec::new();
    };
    if let Some(whole) = &view.radial {
        return radial::judgements(view, whole, t, note);
    }
    let mut all = Vec::new();
    for (index, pair) in view.pairs.iter().enumerate() {
        let origin = limit_origin(pair, t, index + 1);
        let mut notes = vec![note];
        if pair.is_unlike {
            notes.push("measured another way");
        }
        notes.retain(|note| !note.is_empty());
        let note = notes.join("; ");
        let note = note.as_str();
        all.push(
            judgement(
                "clearance",
                index + 1,
                (pair.verdict, pair.probability),
                pair.end_play_nm,
                view.expanded_uncertainty_nm,
                note,
            )
            .limits(pair.drawing_min_nm, pair.limit_nm, origin, pair.asked),
        );
        let after = &view.after;
        let found = (pair.parallel_verdict, pair.parallel_probability);
        let ground = (
            after.parallel_verdict[index],
            after.parallel_probability[index],
        );
        for (about, judged, spread_nm) in [
            ("spacer_parallel", found, pair.parallel_nm),
            ("spacer_parallel_after", ground, after.parallel_nm[index]),
        ] {
            if spread_nm.is_none() || judged.0 == Verdict::NotApplicable {
                continue;
            }
            let origin = format!("limits of {}", t.code);
            let most = t.whole("spacer_parallel_nm");
            let u = view.width_uncertainty_nm;
            all.push(
                judgement(about, index + 1, judged, spread_nm, u, note).limits(
                    None,
                    most,
                    origin,
                    t.asked(LimitOf::SpacerFaces).into(),
                ),
            );
        }
        if view.after.end_play_nm[index].is_some() {
            let (lower, upper) = pair.target_nm.unzip();
            all.push(
                judgement(
                    "clearance_after",
                    index + 1,
                    (view.after.verdict[index], view.after.probability[index]),
                    view.after.end_play_nm[index],
                    view.expanded_uncertainty_nm,
                    note,
                )
                .limits(
                    lower,
                    upper,
                    format!("regrind target of {}", t.code),
                    view.after.asked,
                ),
            );
        }
    }
    all
}

fn limit_origin(pair: &PairView, t: &TypeFacts, number: usize) -> String {
    let drawing = t.pair("rework_nm", number);
    if drawing.is_some() && drawing == pair.limit_nm {
        return format!("rework level of {}", t.code);
    }
    match pair.limit_nm {
        Some(_) => "times as set, the smaller of both (common practice)".into(),
        None => "no limit in the register".into(),
    }
}

/// The method behind a verdict and its version, as they are signed.
pub fn method_name(about: &str) -> String {
    format!("{about} 1")
}

/// A verdict under construction.
pub(in crate::sheet) struct Draft(Judgement);

pub(in crate::sheet) fn judgement(
    about: &str,
    item: usize,
    (verdict, probability): (Verdict, Option<f64>),
    value_nm: Option<i64>,
    expanded_uncertainty_nm: Option<i64>,
    note: &str,
) -> Draft {
    let probability_ppm = probability.map(|p| (p * 1e6).round() as i64);
    Draft(Judgement {
        about: about.into(),
        item: item as i64,
        verdict: verdict.as_str().into(),
        value_nm,
        expanded_uncertainty_nm,
        lower_nm: None,
        upper_nm: None,
        limit_origin: String::new(),
        limit_version: None,
        probability_ppm,
        rule: Sureness::default().rule(false, false),
        method: method_name(about),
        note: note.into(),
    })
}

impl Draft {
    /// Adds what it was judged by, and how sure it had to be.
    pub(in crate::sheet) fn limits(
        mut self,
        lower_nm: Option<i64>,
        upper_nm: Option<i64>,
        origin: String,
        asked: Sureness,
    ) -> Judgement {
        self.0.rule = asked.rule(lower_nm.is_some(), upper_nm.is_some());
        self.0.lower_nm = lower_nm;
        self.0.upper_nm = upper_nm;
        self.0.limit_origin = origin;
        self.0
    }
}
