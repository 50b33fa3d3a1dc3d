//! Which roll runs in which campaign.

use std::collections::{BTreeMap, BTreeSet};

use super::{Plan, Run};
use crate::DemoError;
use crate::data::{Data, expand};

/// Gives every campaign the roll of its line and role that has rested longest.
pub(super) fn rolls(plan: &mut Plan, data: &Data) -> Result<(), DemoError> {
    let mut order: Vec<&mut Run> = plan.runs.iter_mut().chain(&mut plan.open).collect();
    order.sort_by_key(|run| (run.from_ms, run.team, run.post));
    let mut free: BTreeMap<(usize, String), BTreeSet<(i64, String)>> = BTreeMap::new();
    for run in order {
        let team = &plan.teams[run.team];
        let line = &data.plant.line[team.line].code;
        let rolls = free
            .entry((team.line, team.role.clone()))
            .or_insert_with(|| {
                let ranges = data
                    .plant
                    .rolls
                    .iter()
                    .filter(|r| r.line == *line && r.role == team.role);
                ranges
                    .flat_map(|r| expand(&r.codes))
                    .map(|code| (0, code))
                    .collect()
            });
        let Some((free_ms, code)) = rolls.first().cloned() else {
            continue;
        };
        run.roll.clone_from(&code);
        if run.is_estimate {
            continue;
        }
        if free_ms > run.from_ms {
            return Err(DemoError::Plan {
                why: format!("no roll of {line} is free"),
            });
        }
        rolls.pop_first();
        rolls.insert((run.to_ms, code));
    }
    Ok(())
}
