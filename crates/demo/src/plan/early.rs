//! What each chock had run since its last teardown when the logbook begins: a sum for each, from the card index.

use std::collections::BTreeSet;

use store::time::DAY_MS;

use super::{Plan, Run, interval_h, is_tapered, ms, run, run_until};
use crate::DemoError;
use crate::data::Data;
use crate::dice::Dice;

/// Fills in since when each chock has its bearing, and adds the sums to the campaigns as estimates.
pub(super) fn early(plan: &mut Plan, data: &Data, dice: &mut Dice) -> Result<(), DemoError> {
    let told = data.stories.step.iter();
    let told: BTreeSet<&str> = told.filter_map(|step| step.what.taken_apart()).collect();
    for team in 0..plan.teams.len() {
        let a_day = plan.hours_a_day(data, team);
        let first = &plan.teams[team].chocks[0][0];
        let (interval_h, is_tapered) = (interval_h(data, first), is_tapered(data, first));
        for pair in 0..plan.teams[team].chocks.len() {
            let chocks = plan.teams[team].chocks[pair].clone();
            let together_h = dice.between(0.03, 0.80) * interval_h;
            let mut sides = [(0, 0); 2];
            for (side, chock) in sides.iter_mut().zip(&chocks) {
                let hours = match (is_tapered, told.contains(chock.as_str())) {
                    (false, _) => together_h,
                    (true, false) => dice.between(0.03, 0.90) * interval_h,
                    (true, true) => dice.between(5.0, 50.0) * a_day,
                };
                let guess_s = (hours * 3600.0).round() as i64;
                let mill_s = known_s(plan, data, team, pair, chock)?.unwrap_or(guess_s);
                let days = (mill_s as f64 / 3600.0 / a_day).min(super::SET_UP_DAYS as f64 - 5.0);
                *side = (
                    plan.start_ms - (days * DAY_MS as f64).round() as i64,
                    mill_s,
                );
            }
            add_sums(plan, team, pair, sides);
            plan.teams[team].early.push(sides);
        }
    }
    Ok(())
}

/// What a story leaves for the time before the logbook, where the logbook begins shortly before the story.
fn known_s(
    plan: &Plan,
    data: &Data,
    team: usize,
    pair: usize,
    chock: &str,
) -> Result<Option<i64>, DemoError> {
    let mut known = data
        .stories
        .hours
        .iter()
        .filter(|h| h.from.is_none() && h.chock == chock);
    let Some(known) = known.next() else {
        return Ok(None);
    };
    let left_s = known.mill_h * 3600 - run_until(plan, team, pair, ms(&known.to)?);
    Ok(Some(left_s).filter(|left_s| *left_s > 0))
}

/// One sum from the older assembly to the younger, one from there to the start: each chock's own hours come out.
fn add_sums(plan: &mut Plan, team: usize, pair: usize, mut sides: [(i64, i64); 2]) {
    sides.sort_unstable();
    let [older, younger] = sides;
    let parts = [
        (older.0, younger.0, older.1 - younger.1),
        (younger.0, plan.start_ms, younger.1),
    ];
    for (from_ms, to_ms, mill_s) in parts {
        if to_ms > from_ms && mill_s > 0 {
            let sum = run(team, 0, pair, from_ms, to_ms, mill_s);
            plan.runs.push(Run {
                is_estimate: true,
                load: None,
                ..sum
            });
        }
    }
}
