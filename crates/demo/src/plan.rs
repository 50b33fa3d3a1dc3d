//! Which chocks run where and when: all campaigns of the whole time, before anything is written.
//!
//! Each stand changes its rolls at its own pace. Chocks that a story needs in the shop stand still that day, and where
//! a story names mill hours, the campaigns between its two days are scaled until the sum fits to the second.

mod early;
mod rolls;

use std::collections::{BTreeMap, VecDeque};

use store::Stamp;
use store::time::HOUR_MS;

use crate::DemoError;
use crate::data::{Data, Hours, What, expand};
use crate::dice::Dice;

/// The wall clock of the plant less UTC; no summer time.
pub(crate) const OFFSET_MIN: i64 = 60;
/// Where the demo's own clock stands, and when the last campaign before it ended.
const CLOCK: &str = "2026-10-30T10:00";
const LAST_CAMPAIGN: &str = "2026-10-30T09:00";
/// The logbook was set up so long before its first campaign.
pub(crate) const SET_UP_DAYS: i64 = 305;

/// A point in time of the data files.
pub(crate) fn stamp(text: &str) -> Result<Stamp, DemoError> {
    Stamp::parse(text, OFFSET_MIN).ok_or_else(|| DemoError::Plan {
        why: format!("{text:?} is no time"),
    })
}

/// The same, ms.
pub(crate) fn ms(text: &str) -> Result<i64, DemoError> {
    stamp(text).map(|s| s.ms)
}

/// A chock's place in a team: team, pair, and side (0 operator, 1 drive).
pub(crate) type Slot = (usize, usize, usize);

/// A roll with the chocks of a pair in the mill.
pub(crate) struct Run {
    pub(crate) team: usize,
    pub(crate) post: usize,
    pub(crate) pair: usize,
    pub(crate) from_ms: i64,
    pub(crate) to_ms: i64,
    pub(crate) mill_s: i64,
    pub(crate) rolled_kg: i64,
    pub(crate) roll: String,
    /// A sum of the card index.
    pub(crate) is_estimate: bool,
    /// What the mill's computer wrote down of its loads.
    pub(crate) load: Option<Load>,
}

/// Mean load of a campaign.
#[derive(Clone, Copy)]
pub(crate) struct Load {
    pub(crate) radial_n: i64,
    pub(crate) axial_n: i64,
    pub(crate) speed_mrpm: i64,
}

/// A team as planned.
pub(crate) struct TeamPlan {
    pub(crate) line: usize,
    pub(crate) role: String,
    pub(crate) posts: Vec<String>,
    /// The chocks of each pair when the logbook begins.
    pub(crate) chocks: Vec<[String; 2]>,
    pub(crate) campaign_h: f64,
    change_h: f64,
    /// Since when each chock has its bearing, and its mill time until the logbook begins.
    pub(crate) early: Vec<[(i64, i64); 2]>,
    /// When each pair goes into the mill.
    pub(crate) starts: Vec<Vec<i64>>,
}

/// Everything planned.
pub(crate) struct Plan {
    pub(crate) start_ms: i64,
    pub(crate) clock: Stamp,
    pub(crate) teams: Vec<TeamPlan>,
    /// Ended campaigns.
    pub(crate) runs: Vec<Run>,
    /// Campaigns that go on when the demo's clock stops.
    pub(crate) open: Vec<Run>,
}

/// Makes the plan.
pub(crate) fn plan(data: &Data, years: u32, seed: u64) -> Result<Plan, DemoError> {
    let start_ms = ms(&format!("{}-11-01T00:00", 2026 - years))?;
    let mut plan = Plan {
        start_ms,
        clock: stamp(CLOCK)?,
        teams: teams(data),
        runs: Vec::new(),
        open: Vec::new(),
    };
    let bars = bars(data, &plan)?;
    let end_ms = ms(LAST_CAMPAIGN)?;
    for team in 0..plan.teams.len() {
        let mut dice = Dice::new(seed, 100 + team as u64);
        campaigns(&mut plan, data, team, &bars, end_ms, &mut dice);
    }
    for hours in data.stories.hours.iter().filter(|h| h.from.is_some()) {
        scale(&mut plan, data, hours)?;
    }
    early::early(&mut plan, data, &mut Dice::new(seed, 2))?;
    let mut dice = Dice::new(seed, 3);
    for run in &mut plan.runs {
        let line = &data.plant.line[plan.teams[run.team].line];
        let kg_per_h = line.kilotonnes * 1e6 / line.mill_hours;
        run.rolled_kg =
            (run.mill_s as f64 / 3600.0 * kg_per_h * dice.between(0.95, 1.05)).round() as i64;
    }
    rolls::rolls(&mut plan, data)?;
    loads(&mut plan, data, &mut Dice::new(seed, 6))?;
    plan.runs.sort_by_key(|run| (run.to_ms, run.team, run.post));
    for run in plan
        .runs
        .iter()
        .chain(&plan.open)
        .filter(|run| !run.is_estimate)
    {
        plan.teams[run.team].starts[run.pair].push(run.from_ms);
    }
    for team in &mut plan.teams {
        team.starts
            .iter_mut()
            .for_each(|starts| starts.sort_unstable());
    }
    Ok(plan)
}

/// The loads of the campaigns since the mill's computer keeps them; now and then it has none.
fn loads(plan: &mut Plan, data: &Data, dice: &mut Dice) -> Result<(), DemoError> {
    let from_ms = ms(&data.plant.loads_from)?;
    for run in &mut plan.runs {
        let team = &plan.teams[run.team];
        let stand = team.posts[run.post].split('-').next().unwrap_or_default();
        let mean = data.plant.load.iter();
        let mut mean = mean.filter(|load| load.stand == stand && load.role == team.role);
        let Some(mean) = mean
            .next()
            .filter(|_| !run.is_estimate && run.from_ms >= from_ms)
        else {
            continue;
        };
        let (force, speed) = (dice.between(0.82, 1.18), dice.between(0.9, 1.1));
        let is_kept = dice.whole(1, 25) > 1;
        let thousandths = |value: f64| (value * 1000.0).round() as i64;
        run.load = is_kept.then(|| Load {
            radial_n: thousandths(mean.radial_kn * force),
            axial_n: thousandths(mean.axial_kn * force),
            speed_mrpm: thousandths(mean.rpm * speed),
        });
    }
    Ok(())
}

fn teams(data: &Data) -> Vec<TeamPlan> {
    let all =
        |ranges: &[String]| -> Vec<String> { ranges.iter().flat_map(|r| expand(r)).collect() };
    let team = |t: &crate::data::Team| {
        let chocks: Vec<[String; 2]> = all(&t.side_o)
            .into_iter()
            .zip(all(&t.side_d))
            .map(<[String; 2]>::from)
            .collect();
        TeamPlan {
            line: data
                .plant
                .line
                .iter()
                .position(|l| l.code == t.line)
                .unwrap_or(0),
            role: t.role.clone(),
            posts: t.posts.clone(),
            campaign_h: t.campaign_h,
            change_h: t.change_h,
            early: Vec::new(),
            starts: vec![Vec::new(); chocks.len()],
            chocks,
        }
    };
    data.plant.team.iter().map(team).collect()
}

impl Plan {
    /// Where every chock belongs at a time, exchanges included.
    pub(crate) fn slots(
        &self,
        data: &Data,
        at_ms: i64,
    ) -> Result<BTreeMap<String, Slot>, DemoError> {
        let mut slots = BTreeMap::new();
        for (t, team) in self.teams.iter().enumerate() {
            for (p, pair) in team.chocks.iter().enumerate() {
                for (side, chock) in pair.iter().enumerate() {
                    slots.insert(chock.clone(), (t, p, side));
                }
            }
        }
        for step in &data.stories.step {
            if let What::Swap { chock, other } = &step.what
                && ms(&step.at)? <= at_ms
                && let (Some(a), Some(b)) = (slots.get(chock).copied(), slots.get(other).copied())
            {
                slots.insert(chock.clone(), b);
                slots.insert(other.clone(), a);
            }
        }
        Ok(slots)
    }

    fn slot(&self, data: &Data, chock: &str, at_ms: i64) -> Result<Slot, DemoError> {
        let none = || DemoError::Plan {
            why: format!("no team has the chock {chock}"),
        };
        self.slots(data, at_ms)?
            .get(chock)
            .copied()
            .ok_or_else(none)
    }

    /// Hours a day that a pair of a team runs on average.
    pub(crate) fn hours_a_day(&self, data: &Data, team: usize) -> f64 {
        let t = &self.teams[team];
        data.plant.line[t.line].mill_hours / 365.0 * t.posts.len() as f64 / t.chocks.len() as f64
    }
}

/// A pair that stays in the shop from one time to another.
type Bar = (usize, usize, i64, i64);

/// Days on which a story needs a chock: its pair stays in the shop from 5 to 17 o'clock.
fn bars(data: &Data, plan: &Plan) -> Result<Vec<Bar>, DemoError> {
    let mut bars = Vec::new();
    for step in &data.stories.step {
        let chocks: Vec<&String> = match &step.what {
            What::Teardown(t) => vec![&t.chock],
            What::TakeOut { chock, .. } | What::Assemble { chock, .. } => vec![chock],
            What::Swap { chock, other } => vec![chock, other],
            _ => Vec::new(),
        };
        let day = &step.at[..10];
        let (from, to) = (ms(&format!("{day}T05:00"))?, ms(&format!("{day}T17:00"))?);
        for chock in chocks {
            let (team, pair, _) = plan.slot(data, chock, from)?;
            bars.push((team, pair, from, to));
        }
    }
    for idle in &data.stories.idle {
        let (from, to) = (ms(&idle.from)?, ms(&idle.to)?);
        let (team, pair, _) = plan.slot(data, &idle.chock, from)?;
        bars.push((team, pair, from, to));
    }
    Ok(bars)
}

/// The campaigns of one team from the start to `end_ms`.
fn campaigns(
    plan: &mut Plan,
    data: &Data,
    team: usize,
    bars: &[Bar],
    end_ms: i64,
    dice: &mut Dice,
) {
    let t = &plan.teams[team];
    let wall_h = t.campaign_h * 8760.0 / data.plant.line[t.line].mill_hours;
    let load = t.campaign_h / (wall_h - t.change_h);
    let hours = |h: f64| (h * HOUR_MS as f64).round() as i64;
    let bars: Vec<&Bar> = bars.iter().filter(|bar| bar.0 == team).collect();
    let is_free = |pair: usize, from: i64, to: i64| {
        !bars.iter().any(|b| b.1 == pair && b.2 < to && b.3 > from)
    };
    // Who is in the mill (post, pair, from, to), and who rests, longest first.
    let posts = t.posts.len();
    let mut inside: Vec<(usize, i64, i64)> = (0..posts)
        .map(|post| {
            let first = wall_h * (post as f64 + dice.between(0.1, 0.9)) / posts as f64;
            (post, plan.start_ms, plan.start_ms + hours(first))
        })
        .collect();
    let mut resting: VecDeque<usize> = (posts..t.chocks.len()).collect();
    let next_out = |inside: &[(usize, i64, i64)]| {
        (0..posts)
            .filter(|p| inside[*p].2 <= end_ms)
            .min_by_key(|p| inside[*p].2)
    };
    while let Some(post) = next_out(&inside) {
        let (pair, from_ms, to_ms) = inside[post];
        let share = (load * dice.between(0.92, 1.08)).min(0.97);
        let run_s = ((to_ms - from_ms) as f64 / 1000.0 * share).round() as i64;
        plan.runs.push(run(team, post, pair, from_ms, to_ms, run_s));
        resting.push_back(pair);
        let mut from = to_ms + hours(plan.teams[team].change_h);
        inside[post] = loop {
            let to = from + hours(wall_h * dice.between(0.85, 1.15) - plan.teams[team].change_h);
            if let Some(place) = resting.iter().position(|pair| is_free(*pair, from, to)) {
                break (resting.remove(place).unwrap_or(pair), from, to);
            }
            from += HOUR_MS;
        };
    }
    for (post, (pair, from_ms, to_ms)) in inside.into_iter().enumerate() {
        plan.open.push(run(team, post, pair, from_ms, to_ms, 0));
    }
}

fn run(team: usize, post: usize, pair: usize, from_ms: i64, to_ms: i64, mill_s: i64) -> Run {
    Run {
        team,
        post,
        pair,
        from_ms,
        to_ms,
        mill_s,
        rolled_kg: 0,
        roll: String::new(),
        is_estimate: false,
        load: None,
    }
}

/// Scales the campaigns of a chock between two days to the mill time that a story names.
fn scale(plan: &mut Plan, data: &Data, hours: &Hours) -> Result<(), DemoError> {
    let (from, to) = (
        ms(hours.from.as_deref().unwrap_or_default())?,
        ms(&hours.to)?,
    );
    let (team, pair, _) = plan.slot(data, &hours.chock, from)?;
    let mut runs: Vec<&mut Run> = plan
        .runs
        .iter_mut()
        .filter(|r| (r.team, r.pair) == (team, pair) && r.from_ms >= from && r.to_ms <= to)
        .collect();
    let wanted_s = hours.mill_h * 3600;
    let planned_s: i64 = runs.iter().map(|r| r.mill_s).sum();
    let mut left_s = wanted_s;
    for run in &mut runs {
        let scaled = (run.mill_s as f64 * wanted_s as f64 / planned_s.max(1) as f64).round() as i64;
        run.mill_s = scaled.min(longest_s(run));
        left_s -= run.mill_s;
    }
    // What rounding and the length of the campaigns left over goes where there is room.
    for run in &mut runs {
        let more = left_s.min(longest_s(run) - run.mill_s).max(-run.mill_s);
        run.mill_s += more;
        left_s -= more;
    }
    if left_s == 0 {
        return Ok(());
    }
    let why = format!(
        "{} cannot run {} h until {}: {} h are planned",
        hours.chock,
        hours.mill_h,
        hours.to,
        planned_s / 3600
    );
    Err(DemoError::Plan { why })
}

/// No more mill time than lies between in and out.
fn longest_s(run: &Run) -> i64 {
    (run.to_ms - run.from_ms) / 1000 * 99 / 100
}

/// Mill time of a pair from the start to a time, s.
pub(crate) fn run_until(plan: &Plan, team: usize, pair: usize, to_ms: i64) -> i64 {
    let runs = plan
        .runs
        .iter()
        .filter(|r| (r.team, r.pair) == (team, pair) && !r.is_estimate && r.to_ms <= to_ms);
    runs.map(|r| r.mill_s).sum()
}

/// In how many planes the bore of a chock is measured.
pub(crate) fn planes_of(data: &Data, chock: &str) -> usize {
    let mut groups = data.plant.chocks.iter();
    groups
        .find(|c| expand(&c.codes).iter().any(|code| code == chock))
        .map_or(store::sheet::field::PLANES_USUAL, |group| group.planes)
}

/// The bearing type in the main seat of a chock.
pub(crate) fn kind_of<'a>(data: &'a Data, chock: &str) -> Option<&'a crate::data::Kind> {
    let group = data
        .plant
        .chocks
        .iter()
        .find(|c| expand(&c.codes).iter().any(|code| code == chock))?;
    let main = group.seats.get("main")?;
    data.types.iter().find(|t| t.code == *main)
}

pub(crate) fn is_tapered(data: &Data, chock: &str) -> bool {
    kind_of(data, chock).is_some_and(|t| t.family == "four_row_tapered")
}

/// The interval of the bearing in a chock, h.
pub(crate) fn interval_h(data: &Data, chock: &str) -> f64 {
    kind_of(data, chock)
        .and_then(|t| t.value("interval_run_s", 0))
        .map_or(1000.0, |s| s as f64 / 3600.0)
}
