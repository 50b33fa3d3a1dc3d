//! A calculation of the bench on one page.

use calc::method::{Method, Worked};
use draw::Theme;
use report::{Calculation, CalculationStep, CalculationTable, Drawing, Labelled, Marked};
use serde_json::Value;
use store::Stamp;
use store::entry::Show;

use super::imprint::utc;
use super::{Result, labelled, mark};
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

/// So many of several alike stand beside each other; more of them stand one below the other.
const COLUMNS_MAX: usize = 4;

/// The calculation as the bytes of a PDF; `now` is the time that the print carries.
///
/// # Errors
/// The page could not be set.
pub fn calculation_pdf(job: &CalculationJob, now: Stamp) -> Result<Vec<u8>> {
    Ok(report::calculation_pdf(&calculation(job, now))?)
}

/// All that is printed of it.
pub(super) fn calculation(job: &CalculationJob, now: Stamp) -> Calculation {
    let (method, show) = (job.method, job.show);
    let answer = Answer::of(method, &job.given, &job.worked, show);
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
    Calculation {
        plant: job.plant.clone(),
        title: method.title.to_owned(),
        summary: typeset(method.summary),
        origin: job.origin.clone(),
        inputs: single(&job.inputs),
        tables: tables(&job.inputs),
        answer: answer.big.clone(),
        beside: answer.beside.clone(),
        verdict: answer.verdict.map(|verdict| Marked {
            text: verdict.word().to_owned(),
            mark: mark(verdict.as_str()),
        }),
        outputs: single(&answer.outputs),
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
    }
}

/// What there is one of.
fn single(lines: &[Line]) -> Vec<Labelled> {
    let single = lines.iter().filter(|line| line.owner.is_empty());
    single
        .map(|line| labelled(&line.label, &line.value))
        .collect()
}

/// What there are several of, such as row pairs: a table for each kind.
pub(super) fn tables(lines: &[Line]) -> Vec<CalculationTable> {
    let kind = |line: &Line| line.owner.rsplit_once(' ').map(|(kind, _)| kind.to_owned());
    let several: Vec<&Line> = lines.iter().filter(|line| !line.owner.is_empty()).collect();
    several
        .chunk_by(|a, b| kind(a) == kind(b))
        .map(table)
        .collect()
}

fn table(lines: &[&Line]) -> CalculationTable {
    let owners = distinct(lines, |line| &line.owner);
    let labels = distinct(lines, |line| &line.label);
    let value = |owner: &str, label: &str| {
        let mut lines = lines.iter();
        let found = lines.find(|line| line.owner == owner && line.label == label);
        found.map_or_else(String::new, |line| line.value.clone())
    };
    let are_columns = owners.len() <= COLUMNS_MAX;
    let (heads, firsts) = if are_columns {
        (&owners, &labels)
    } else {
        (&labels, &owners)
    };
    let row = |first: &&str| {
        let values = heads.iter().map(|head| {
            if are_columns {
                value(head, first)
            } else {
                value(first, head)
            }
        });
        [(*first).to_owned()].into_iter().chain(values).collect()
    };
    let above = heads.iter().map(|head| (*head).to_owned());
    CalculationTable {
        heads: [String::new()].into_iter().chain(above).collect(),
        rows: firsts.iter().map(row).collect(),
    }
}

/// Texts in the order in which they come first.
fn distinct<'a>(lines: &[&'a Line], text: impl Fn(&'a Line) -> &'a String) -> Vec<&'a str> {
    let mut all: Vec<&str> = Vec::new();
    for line in lines {
        let text = text(line).as_str();
        if !all.contains(&text) {
            all.push(text);
        }
    }
    all
}
