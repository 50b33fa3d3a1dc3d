//! What is judged on a mounting sheet, and what is computed beside it.

use calc::conformity::{AtUpper, Limits, Verdict, conformity};
use calc::quantity::nanometres;

use super::field::Section;
use crate::entry::Quantity;
use crate::sheet::{GaugeFacts, Sureness};

/// What is judged on the sheet, with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Its name in the record.
    pub about: &'static str,
    /// Row pair or place, from 1; 0 for the whole.
    pub item: usize,
    /// Where it is shown.
    pub section: Section,
    /// What people call it.
    pub title: String,
    /// The value, nm, mK or mN m.
    pub value: i64,
    /// Lower limit.
    pub lower: Option<i64>,
    /// Upper limit.
    pub upper: Option<i64>,
    /// What a value on the upper limit means.
    pub at_upper: AtUpper,
    /// U at k = 2, in the unit of the value; none where it is not known.
    pub expanded_uncertainty: Option<i64>,
    /// What the value is.
    pub quantity: Quantity,
    /// The verdict.
    pub verdict: Verdict,
    /// Probability of conformity.
    pub probability: Option<f64>,
    /// Where the limit comes from.
    pub limit_origin: String,
    /// How sure the verdict has to be.
    pub asked: Sureness,
    /// Method and inputs in a line.
    pub method: &'static str,
    /// What bears on it: an overdue gauge, a size of an earlier day.
    pub note: String,
    /// The field where it is measured.
    pub first: &'static str,
}

/// Something computed that is shown and recorded, and not judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Derived {
    /// Its name in the record; the end is its unit.
    pub name: &'static str,
    /// Where it is shown.
    pub section: Section,
    /// What people call it.
    pub title: &'static str,
    /// The value, nm, mK, mN m or mg.
    pub value: i64,
    /// What to know of it.
    pub note: String,
}

impl Derived {
    /// What its value is.
    pub fn quantity(&self) -> Quantity {
        match self.name.rsplit_once('_') {
            Some((_, "mk")) => Quantity::Temperature,
            Some((_, "mnm")) => Quantity::Torque,
            Some((_, "mg")) => Quantity::Mass,
            _ => Quantity::Length,
        }
    }
}

/// U of a difference of two readings of one gauge, nm.
pub(super) fn difference_u(u: i64) -> i64 {
    (u as f64 * std::f64::consts::SQRT_2).round() as i64
}

/// What a check is made of before it is judged.
pub(super) struct ToJudge<'a> {
    pub(super) about: &'static str,
    pub(super) item: usize,
    pub(super) section: Section,
    pub(super) title: String,
    pub(super) value: i64,
    pub(super) limits: (Option<i64>, Option<i64>),
    pub(super) asked: Sureness,
    pub(super) uncertainty: Option<i64>,
    pub(super) gauges: Vec<Option<&'a GaugeFacts>>,
    pub(super) origin: String,
    pub(super) method: &'static str,
    pub(super) first: &'static str,
}

impl ToJudge<'_> {
    /// The verdict; none without any limit. A value on a limit conforms.
    pub(super) fn judge(self) -> Option<Check> {
        self.judge_at(AtUpper::Conforms)
    }

    /// The same, with what a value on the upper limit means.
    pub(super) fn judge_at(self, at_upper: AtUpper) -> Option<Check> {
        let limits = Limits {
            at_upper,
            ..self.asked.limits(self.limits.0, self.limits.1)
        };
        let uncertainty = self.uncertainty.map(nanometres);
        let judged = conformity(nanometres(self.value), &limits, uncertainty).ok()?;
        let overdue: Vec<String> = self
            .gauges
            .iter()
            .flatten()
            .filter(|g| g.is_overdue)
            .map(|g| format!("{}: {}", g.code, g.doubt))
            .collect();
        let verdict = if overdue.is_empty() {
            judged.verdict
        } else {
            judged.verdict.if_gauge_overdue()
        };
        Some(Check {
            about: self.about,
            item: self.item,
            section: self.section,
            title: self.title,
            value: self.value,
            lower: self.limits.0,
            upper: self.limits.1,
            at_upper,
            expanded_uncertainty: self.uncertainty,
            quantity: Quantity::Length,
            verdict,
            probability: judged.probability,
            limit_origin: self.origin,
            asked: self.asked,
            method: self.method,
            note: overdue.join("; "),
            first: self.first,
        })
    }
}
