//! Result and derivation in the words, unit and language of the reader.

use std::fmt::Write as _;

use calc::conformity::Verdict;
use calc::method::{Method, Output, Part, Step, Worked};
use calc::quantity::{as_micrometres, as_millimetres};
use serde_json::Value;
use store::entry::Show;

use super::fields::{Block, blocks};
use super::form::{Form, YES, unit_of};
use super::headline::{Headline, headline};
use super::name_of;
use super::unit::{Unit, decimals, with_sign};

/// Values of a list that are written out; of longer ones the number of the rest is told.
const VALUES_MAX: usize = 12;

/// A name with its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Of which of several it is, `rows 2–3`; empty where there are not several.
    pub owner: String,
    /// What it is.
    pub label: String,
    /// Its value with its unit.
    pub value: String,
}

/// A line of the derivation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepLine {
    /// The numbers put in.
    pub expression: String,
    /// What comes out, with its unit.
    pub result: String,
    /// Why.
    pub note: String,
}

/// What a calculation says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The one line to show large.
    pub big: String,
    /// What stands beside it.
    pub beside: String,
    /// The verdict; of several the worst.
    pub verdict: Option<Verdict>,
    /// The other results.
    pub outputs: Vec<Line>,
    /// How it comes out.
    pub steps: Vec<StepLine>,
}

impl Answer {
    /// What a method gave, in words.
    pub fn of(method: &Method, input: &Value, worked: &Worked, show: Show) -> Self {
        let Headline { big, beside, told } = headline(method, input, &worked.output, show);
        let is_told = |output: &&Output| told.contains(&output.key) || output.key == VERDICT;
        let lines = method
            .outputs
            .iter()
            .filter(|output| !is_told(output))
            .map(|output| Line {
                owner: String::new(),
                label: label(output),
                value: value_words(&worked.output, output, show),
            });
        Self {
            big,
            beside,
            verdict: verdict(method, &worked.output),
            outputs: lines.filter(|line| !line.value.is_empty()).collect(),
            steps: worked
                .steps
                .iter()
                .map(|step| step_line(step, show))
                .collect(),
        }
    }
}

/// The key of a verdict.
const VERDICT: &str = "verdict";

/// The verdict of the whole; without one the worst of its parts.
fn verdict(method: &Method, output: &Value) -> Option<Verdict> {
    let read = |value: &Value| value.as_str()?.parse::<Verdict>().ok();
    if let Some(whole) = output.get(VERDICT) {
        return read(whole);
    }
    let of_parts = method
        .outputs
        .iter()
        .filter(|output| own_key(output) == VERDICT);
    let parts: Vec<Verdict> = of_parts
        .flat_map(|described| values(output, described.key))
        .filter_map(read)
        .collect();
    (!parts.is_empty()).then(|| Verdict::worst(parts))
}

/// What an output is called: a quantity by its meaning, a plain number or a word by its key.
pub(super) fn label(output: &Output) -> String {
    if output.unit.is_empty() {
        let words = spoken(own_key(output));
        return if output.key == own_key(output) {
            words
        } else {
            format!("{words} of each")
        };
    }
    typeset(name_of(output.meaning))
}

/// A key as one says it.
fn spoken(key: &str) -> String {
    let word = |word: &str| {
        match word {
            "ci" => "interval",
            "sd" => "standard deviation",
            "se" => "standard error",
            "reml" => "REML criterion",
            "b10" => "B10",
            other => other,
        }
        .to_owned()
    };
    let words = |key: &str| key.split('_').map(word).collect::<Vec<_>>().join(" ");
    match key.strip_prefix("sd_") {
        Some(of) => format!("standard deviation of {}", words(of)),
        None => words(key),
    }
}

/// The key of an output inside its object.
fn own_key(output: &Output) -> &str {
    output.key.rsplit('.').next().unwrap_or(output.key)
}

/// All values below a key: `pairs[].grind_mm` is that of each pair; lists are gone through.
pub(super) fn values<'a>(output: &'a Value, key: &str) -> Vec<&'a Value> {
    let mut found = vec![output];
    for name in key.split('.') {
        let name = name.trim_end_matches("[]");
        found = found
            .into_iter()
            .filter_map(|value| value.get(name))
            .flat_map(leaves)
            .collect();
    }
    found
}

fn leaves(value: &Value) -> Vec<&Value> {
    match value {
        Value::Array(list) => list.iter().flat_map(leaves).collect(),
        other => vec![other],
    }
}

/// The values of an output with their unit: `0.340 / 0.280 / 0.330 mm`.
pub(super) fn value_words(output: &Value, described: &Output, show: Show) -> String {
    let unit = Unit::of(described.unit);
    let all = values(output, described.key);
    let words = |value: &&Value| match value {
        Value::Null => "\u{2013}".to_owned(),
        Value::Bool(is_so) => if *is_so { "yes" } else { "no" }.to_owned(),
        Value::Number(number) => unit.show(number.as_f64().unwrap_or_default(), show),
        Value::String(text) => text.replace('_', " "),
        other => other.to_string(),
    };
    let mut texts: Vec<String> = all.iter().take(VALUES_MAX).map(words).collect();
    if unit == Unit::Length {
        even_out(&mut texts);
    }
    let mut text = texts.join(" / ");
    if all.len() > VALUES_MAX {
        let _infallible = write!(text, " and {} more", all.len() - VALUES_MAX);
    }
    let has_number = all.iter().any(|value| value.is_number());
    if has_number {
        with_sign(&text, unit.sign(show.unit))
    } else {
        text
    }
}

/// Gives lengths that stand side by side as many decimals as the longest of them has.
fn even_out(texts: &mut [String]) {
    let decimals = |text: &str| {
        text.rsplit_once(['.', ','])
            .map_or(0, |(_, after)| after.len())
    };
    let most = texts.iter().map(|text| decimals(text)).max().unwrap_or(0);
    for text in texts {
        let has = decimals(text);
        if has > 0 {
            text.extend(std::iter::repeat_n('0', most - has));
        }
    }
}

/// A line of a derivation in the words and unit of the reader.
pub fn step_line(step: &Step, show: Show) -> StepLine {
    // Numbers of one unit stand bare; where units meet, each carries its own.
    let mut signs: Vec<&str> = step
        .expression
        .iter()
        .filter_map(|part| sign_of(part, show))
        .collect();
    signs.dedup();
    let has_units = signs.len() > 1;
    let expression = step
        .expression
        .iter()
        .map(|part| part_words(part, has_units, show))
        .collect();
    StepLine {
        expression,
        result: part_words(&step.result, true, show),
        note: typeset(&step.note),
    }
}

fn sign_of(part: &Part, show: Show) -> Option<&'static str> {
    match part {
        Part::Text(_) => None,
        Part::Length(_) => Some(Unit::Length.sign(show.unit)),
        Part::Small(_) => Some(Unit::Small.sign(show.unit)),
        Part::Number { unit, .. } => {
            Some(Unit::of(unit).sign(show.unit)).filter(|sign| !sign.is_empty())
        }
    }
}

fn part_words(part: &Part, has_unit: bool, show: Show) -> String {
    let number = match part {
        Part::Text(text) => return typeset(text),
        Part::Length(length) => Unit::Length.show(as_millimetres(*length), show),
        Part::Small(length) => Unit::Small.show(as_micrometres(*length), show),
        Part::Number {
            value,
            unit,
            decimals: most,
        } => match Unit::of(unit) {
            Unit::Expansion => Unit::Expansion.show(*value, show),
            _ => decimals(*value, usize::from(*most), show),
        },
    };
    match sign_of(part, show).filter(|_| has_unit) {
        Some(sign) => with_sign(&number, sign),
        None => number,
    }
}

/// Signs as print sets them, in what a description says with the keys of a keyboard.
pub fn typeset(text: &str) -> String {
    let signs = [
        (" - ", " \u{2212} "),
        (" x ", " \u{d7} "),
        (">=", "\u{2265}"),
        ("<=", "\u{2264}"),
        ("degrees Celsius", "\u{b0}C"),
        ("°C", "\u{b0}C"),
    ];
    signs.iter().fold(text.to_owned(), |text, (typed, set)| {
        text.replace(typed, set)
    })
}

/// What was put in, as it was typed; a list in one line.
pub fn told(method: &Method, form: &Form, show: Show) -> Vec<Line> {
    let mut lines = Vec::new();
    tell(&blocks(method, form), form, show, "", &mut lines);
    lines
}

/// A long whole number with its thousands set off; anything else as it was typed.
fn grouped(text: &str, show: Show) -> String {
    let is_long = text.len() > 4 && text.bytes().all(|b| b.is_ascii_digit());
    match text
        .parse()
        .ok()
        .filter(|_| is_long && !text.starts_with('0'))
    {
        Some(number) => show.grouped(number),
        None => text.to_owned(),
    }
}

fn tell(blocks: &[Block], form: &Form, show: Show, owner: &str, lines: &mut Vec<Line>) {
    for block in blocks {
        let (label, cells, unit) = match block {
            Block::Cell(cell) => {
                let mut cells = vec![cell.clone()];
                cells.extend(super::fields::lower_of(cell, form));
                let is_class = cells.len() == 1 && !form.text(&cell.path).is_empty();
                let unit = unit_of(cell);
                let has_sign = cell.param.kind != calc::method::Kind::Deviations || !is_class;
                (&cell.label, cells, has_sign.then_some(unit))
            }
            Block::List { label, cells, .. } => (label, cells.clone(), cells.first().map(unit_of)),
            Block::Grid { label, rows, .. } => {
                for (row, cells) in rows.iter().enumerate() {
                    let label = format!("{label} {}", row + 1);
                    let block = Block::List {
                        path: String::new(),
                        label,
                        cells: cells.clone(),
                    };
                    tell(&[block], form, show, owner, lines);
                }
                continue;
            }
            Block::Objects { label, objects, .. } => {
                for (index, object) in objects.iter().enumerate() {
                    let owner = super::fields::one_of(label, index);
                    tell(object, form, show, &owner, lines);
                }
                continue;
            }
        };
        let texts: Vec<String> = cells
            .iter()
            .map(|cell| grouped(form.shown(cell, show).trim(), show))
            .filter(|text| !text.is_empty() && (text != YES || cells.len() == 1))
            .collect();
        if texts.is_empty() {
            continue;
        }
        // A unit that was typed with the number is not said twice.
        let is_bare = texts
            .iter()
            .all(|text| text.ends_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',')));
        let text = texts.join(" / ");
        let sign = unit
            .filter(|_| is_bare)
            .map_or("", |unit| unit.sign(show.unit));
        lines.push(Line {
            owner: owner.to_owned(),
            label: label.clone(),
            value: with_sign(&text, sign),
        });
    }
}

impl Answer {
    /// All of it as text, to be put into a letter.
    pub fn copy(&self, method: &Method, inputs: &[Line]) -> String {
        let mut text = format!("{}\n\n", method.title);
        let mut line = |words: &str| {
            text.push_str(words);
            text.push('\n');
        };
        for Line {
            owner,
            label,
            value,
        } in inputs
        {
            let comma = if owner.is_empty() { "" } else { ", " };
            line(&format!("{owner}{comma}{label}: {value}"));
        }
        line("");
        let verdict = self
            .verdict
            .map_or_else(String::new, |verdict| format!(", {}", verdict.word()));
        let beside = if self.beside.is_empty() {
            String::new()
        } else {
            format!(", {}", self.beside)
        };
        line(&format!("Result: {}{beside}{verdict}", self.big));
        for Line { label, value, .. } in &self.outputs {
            line(&format!("{label}: {value}"));
        }
        line("\nHow it comes out");
        line(&typeset(method.formula));
        for step in &self.steps {
            line(&format!(
                "{} = {} ({})",
                step.expression, step.result, step.note
            ));
        }
        line(&format!("\nSource: {}", method.source));
        for caution in method.cautions {
            line(&format!("Mind: {}", typeset(caution)));
        }
        text
    }
}
