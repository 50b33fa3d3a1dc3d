//! Behind a badge of the sheet: one list from the value to the verdict, made from the steps of the methods.
//!
//! - `clearance`, `seat`: what was judged, and how its value came out.
//! - `fit`: what sits on the neck.
//! - `list`: the lines of the panel.
//! - `bell`: the curve above them.

mod bell;
mod clearance;
mod fit;
mod list;
mod seat;

use calc::conformity::{Conformity, Limits, Thresholds, Verdict};
use calc::method::Method;
use calc::quantity::nanometres;
use draw::tokens::space;
use egui::Ui;
use serde_json::Value;
use store::sheet::Sureness;

use self::list::{as_text, lines};
use super::fields::{Sheet, mark};
use super::view::Why;
use crate::bench::{StepLine, step_line};
use crate::ui::focus;
use crate::ui::widgets::{self, WhyAnswer, WhyHead};

/// A verdict of the sheet with what it rests on.
struct Case {
    title: String,
    verdict: Verdict,
    probability: Option<f64>,
    value_nm: i64,
    /// True where value and limits are deviations from nominal.
    is_deviation: bool,
    /// How the value came out, from the description of its method.
    value_from: String,
    limit: Option<Limit>,
    /// Lower and upper limit, where nothing but these bounds the value, nm; without a lower one nothing is below zero.
    allowed_nm: Option<(Option<i64>, i64)>,
    /// How sure the verdict has to be.
    asked: Sureness,
    uncertainty_nm: Option<i64>,
    /// Fields of the gauges.
    gauges: Vec<String>,
    method: &'static Method,
    /// Method and version, as they are signed.
    version: String,
    /// What was read, and how.
    inputs: [String; 2],
    /// Field where it is measured again.
    first: String,
}

/// The limit that decides.
#[derive(Clone)]
struct Limit {
    nm: i64,
    is_upper: bool,
    words: String,
    origin: String,
}

impl Limit {
    /// From limits, the one the value is nearer to or further beyond.
    fn nearest((lower, upper): (i64, i64), value: i64, words: String, origin: String) -> Self {
        let is_upper = upper - value <= value - lower;
        Self {
            nm: if is_upper { upper } else { lower },
            is_upper,
            words,
            origin,
        }
    }
}

impl Case {
    fn length(&self, sheet: &Sheet, nm: i64) -> String {
        if self.is_deviation {
            sheet.show().deviation(nm)
        } else {
            sheet.show().length(nm)
        }
    }

    /// From the value to the verdict against the limit that decides: the uncertainty, if known, the room, the verdict.
    fn derivation(&self, sheet: &Sheet, limit: &Limit) -> Vec<StepLine> {
        let at = Some(nanometres(limit.nm));
        let limits = if limit.is_upper {
            [None, at]
        } else {
            [at, None]
        };
        // What the badge says, an overdue gauge counted.
        let judged = Conformity {
            verdict: self.verdict,
            probability: self.probability,
        };
        let uncertainty = self.uncertainty_nm.map(nanometres);
        let value = nanometres(self.value_nm);
        let judged = (&judged, &self.asked_of(limit));
        let steps = calc::conformity::derivation(value, limits, uncertainty, judged);
        steps
            .iter()
            .map(|step| step_line(step, sheet.show()))
            .collect()
    }

    /// Whether no value at all would pass with this gauge.
    fn is_undecidable(&self) -> bool {
        let known = self.allowed_nm.zip(self.uncertainty_nm);
        known.is_some_and(|(allowed, u)| !self.asked.passes_any(allowed, u))
    }

    /// What is asked of a limit.
    fn asked_of(&self, limit: &Limit) -> Thresholds {
        if limit.is_upper {
            self.asked.upper
        } else {
            self.asked.lower
        }
    }
}

/// The line of a method's derivation that begins with these words.
fn step(method: &Method, input: &Value, begins: &str, sheet: &Sheet) -> Option<StepLine> {
    let worked = (method.run)(input).ok()?;
    let mut lines = worked
        .steps
        .iter()
        .map(|step| step_line(step, sheet.show()));
    lines.find(|line| line.expression.starts_with(begins))
}

/// The probability that a value keeps to limits, where it can be said.
fn probability(value_nm: i64, limits: &Limits, uncertainty_nm: Option<i64>) -> Option<f64> {
    let uncertainty = uncertainty_nm.map(nanometres);
    calc::conformity::conformity(nanometres(value_nm), limits, uncertainty)
        .ok()?
        .probability
}

/// Shows the panel of the verdict that is open.
pub fn why_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let Some((why, beside)) = sheet.view.why else {
        return;
    };
    let case = match why {
        Why::Pair(index) => clearance::found(sheet, index),
        Why::After(index) => clearance::after(sheet, index),
        Why::FacesAfter(index) => clearance::faces_after(sheet, index),
        Why::Row(index) => clearance::row(sheet, index),
        Why::Faces(index) => clearance::faces(sheet, index),
        Why::Check(seat, index) => seat::check(sheet, seat, index),
        Why::Ring => fit::ring(sheet),
        Why::Taper(index) => fit::taper(sheet, index),
    };
    let Some(case) = case else {
        sheet.view.why = None;
        return;
    };
    let title = format!("Why: {}", case.title);
    let head = WhyHead {
        title: &title,
        mark: mark(case.verdict),
        word: case.verdict.word(),
        beside,
        buttons: &["Measure again", "Copy as text"],
    };
    let all = lines(sheet, &case);
    let answer = widgets::why_panel(ui, head, |ui| {
        if bell::bell_ui(ui, sheet, &case) {
            ui.add_space(space::S);
            widgets::rule(ui);
        }
        for [key, value, source] in &all {
            widgets::key_value(ui, key, value, source);
        }
    });
    match answer {
        None => return,
        Some(WhyAnswer::Pressed(1)) => {
            ui.ctx()
                .copy_text(as_text(&title, case.verdict.word(), &all));
            return;
        }
        Some(WhyAnswer::Pressed(_)) => focus::ask(ui.ctx(), &case.first),
        Some(WhyAnswer::Closed) => {}
    }
    sheet.view.why = None;
}
