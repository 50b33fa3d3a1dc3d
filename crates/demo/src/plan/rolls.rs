//! Which roll runs in which campaign.

use std::collections::{BTreeMap, BTreeSet};

use super::{Plan, Run};
use crate::DemoError;
use crate::data::{Data, expand};
use crate::plan::ms;

/// Gives every campaign the roll of its line and role that has rested longest, and that no story keeps in the shop.
pub(super) fn rolls(plan: &mut Plan, data: &Data) -> Result<(), DemoError> {
    let mut order: Vec<&mut Run> = plan.runs.iter_mut().chain(&mut plan.open).collect();
    order.sort_by_key(|run| (run.from_ms, run.team, run.post));
    let mut rests = Vec::new();
    for rest in &data.stories.rest {
        rests.push((rest.roll.as_str(), ms(&rest.from)?, ms(&rest.to)?));
    }
    let rests_then = |code: &str, from_ms: i64, to_ms: i64| {
        let mut of_it = rests.iter().filter(|(roll, ..)| *roll == code);
        of_it.any(|(_, from, to)| from_ms < *to && to_ms > *from)
    };
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
        let mut by_rest = rolls.iter();
        let next = by_rest.find(|(_, code)| !rests_then(code, run.from_ms, run.to_ms));
        let Some((free_ms, code)) = next.cloned() else {
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
        rolls.remove(&(free_ms, code.clone()));
        rolls.insert((run.to_ms, code));
    }
    Ok(())
}
