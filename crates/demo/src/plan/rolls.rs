//! Which roll runs in which campaign.

use std::collections::{BTreeMap, BTreeSet};

use super::{Plan, Run};
use crate::DemoError;
use crate::data::{Data, expand};
use crate::plan::ms;

/// Gives every campaign the roll of its line and role that has rested longest, and that no story keeps in the shop.
pub(super) fn rolls(plan: &mut Plan, data: &Data) -> Result<(), DemoError> {
    let mut rests = Vec::new();
    for rest in &data.stories.rest {
        rests.push((rest.roll.as_str(), ms(&rest.from)?, ms(&rest.to)?));
    }
    let rests_then = |code: &str, from_ms: i64, to_ms: i64| {
        let mut of_it = rests.iter().filter(|(roll, ..)| *roll == code);
        of_it.any(|(_, from, to)| from_ms < *to && to_ms > *from)
    };
    // A backup roll keeps its chocks: a pair goes back on the roll that it ran on last. Stories say where it begins.
    let mut own: BTreeMap<(usize, usize), String> = BTreeMap::new();
    for (team, of) in plan.teams.iter().enumerate().filter(|(_, t)| t.role == "K") {
        for (pair, chocks) in of.chocks.iter().enumerate() {
            let first = chocks
                .iter()
                .find_map(|chock| data.stories.first_roll.get(chock));
            own.extend(first.map(|roll| ((team, pair), roll.clone())));
        }
    }
    let mut order: Vec<&mut Run> = plan.runs.iter_mut().chain(&mut plan.open).collect();
    order.sort_by_key(|run| (run.from_ms, run.team, run.post));
    let mut stand_in: BTreeMap<(usize, usize), String> = BTreeMap::new();
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
        let can = |code: &str| !rests_then(code, run.from_ms, run.to_ms);
        let of_pair = own.get(&(run.team, run.pair));
        // While its own is away, the one that stood in for it.
        let in_place = stand_in.get(&(run.team, run.pair));
        let kept = of_pair
            .filter(|code| can(code))
            .or(in_place.filter(|code| can(code)));
        let is_of_others = |code: &String| own.values().any(|of| of == code);
        let next = rolls
            .iter()
            .find(|(_, code)| kept == Some(code))
            .or_else(|| {
                rolls
                    .iter()
                    .find(|(_, code)| can(code) && !is_of_others(code))
            })
            .or_else(|| rolls.iter().find(|(_, code)| can(code)));
        let Some((free_ms, code)) = next.cloned() else {
            continue;
        };
        if team.role == "K" && !run.is_estimate {
            if of_pair.is_none() {
                own.insert((run.team, run.pair), code.clone());
            } else if of_pair != Some(&code) {
                stand_in.insert((run.team, run.pair), code.clone());
            }
        }
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
