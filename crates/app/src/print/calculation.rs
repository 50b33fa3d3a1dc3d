//! A calculation of the bench on one page.

use calc::method::{Method, Worked};
use draw::Theme;
use report::{Calculation, CalculationStep, Drawing, Marked};
use serde_json::Value;
use store::Stamp;
use store::entry::Show;

use super::{Result, labelled, mark, utc};
use crate::bench::{Answer, Line, picture, typeset};

/// What is printed of a calculation.
#[derive(Debug, Clone)]
pub struct CalculationJob {
    /// The method.
    pub method: &'static Method,
    /// What was put in, in the words of the page.
    pub inputs: Vec<Line>,
    /// Where the values come from, `last sheet of TH-4T-031`; empty where they were typed.
    pub origin: String,
    /// What was put in, as the method takes it.
    pub given: Value,
    /// What came out.
    pub worked: Worked,
    /// Unit of lengths and decimal mark.
    pub show: Show,
    /// The plant.
    pub plant: String,
    /// For whom it is printed; may be empty.
    pub for_whom: String,
    /// Name and version of the program.
    pub program: String,
}

/// A drawing as wide as the page would be too high: this wide, px.
const DRAWING: f32 = 560.0;

/// The calculation as the bytes of a PDF; `now` is the time that the print carries.
///
/// # Errors
/// The page could not be set.
pub fn calculation_pdf(job: &CalculationJob, now: Stamp) -> Result<Vec<u8>> {
    let (method, show) = (job.method, job.show);
    let answer = Answer::of(method, &job.given, &job.worked, show);
    let lines = |lines: &[Line]| {
        lines
            .iter()
            .map(|line| labelled(&line.label, &line.value))
            .collect()
    };
    let drawing = picture(method, &job.given, &job.worked.output, show).map(|picture| Drawing {
        svg: picture.scene(DRAWING).to_svg(Theme::Day),
        alt: picture.title().to_owned(),
        ..Drawing::default()
    });
    let steps = answer.steps.iter().map(|step| CalculationStep {
        expression: step.expression.clone(),
        result: step.result.clone(),
        note: step.note.clone(),
    });
    let calculation = Calculation {
        plant: job.plant.clone(),
        title: method.title.to_owned(),
        summary: typeset(method.summary),
        origin: job.origin.clone(),
        inputs: lines(&job.inputs),
        answer: answer.big.clone(),
        beside: answer.beside.clone(),
        verdict: answer.verdict.map(|verdict| Marked {
            text: verdict.word().to_owned(),
            mark: mark(verdict.as_str()),
        }),
        outputs: lines(&answer.outputs),
        drawing,
        steps: steps.collect(),
        formula: typeset(method.formula),
        source: method.source.to_owned(),
        cautions: method
            .cautions
            .iter()
            .map(|caution| typeset(caution))
            .collect(),
        printed_at: now.date_time(),
        printed_utc: utc(now),
        printed_for: job.for_whom.clone(),
        program: job.program.clone(),
    };
    Ok(report::calculation_pdf(&calculation)?)
}
