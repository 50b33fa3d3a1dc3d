//! Labels for chocks, bearings, gauges, people and all else that is found by its mark.

use report::{Label, LabelGrid, Labels};
use store::Connection;
use store::query::{FoundThing, entity_words, find_things};

use super::imprint::utc;
use super::{PrintError, PrintJob, Result};

/// Of which things labels are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wanted {
    /// All of one sort: `chock`, `bearing`, `gauge`, `person`.
    All(String),
    /// These, by their marks, in this order.
    Named(Vec<String>),
}

/// The labels. What is on them is the mark as the register has it: a scan of it finds the thing.
pub(super) fn labels(
    conn: &Connection,
    of: &Wanted,
    grid: LabelGrid,
    job: &PrintJob,
) -> Result<Labels> {
    let things = find_things(conn)?;
    let plant = store::logbook::plant(conn)?;
    let label = |thing: &FoundThing| Label {
        mark: thing.code.clone(),
        kind: entity_words(&thing.entity),
        detail: thing.detail.clone(),
        owner: plant.clone(),
    };
    let labels: Vec<Label> = match of {
        Wanted::All(entity) => {
            let all: Vec<Label> = things
                .iter()
                .filter(|thing| thing.entity == *entity)
                .map(label)
                .collect();
            if all.is_empty() {
                return Err(PrintError::NoLabels(format!(
                    "the register has no {}",
                    entity_words(entity)
                )));
            }
            all
        }
        Wanted::Named(marks) => {
            let named = |mark: &String| {
                let found = things.iter().find(|t| t.code.eq_ignore_ascii_case(mark));
                found
                    .map(label)
                    .ok_or_else(|| PrintError::NoLabels(format!("{mark:?} is not in the register")))
            };
            marks.iter().map(named).collect::<Result<_>>()?
        }
    };
    if labels.is_empty() {
        return Err(PrintError::NoLabels("nothing is named".into()));
    }
    Ok(Labels {
        title_line: format!("Labels, {plant}"),
        grid,
        labels,
        printed_utc: utc(job.now),
        program: job.program.clone(),
    })
}
