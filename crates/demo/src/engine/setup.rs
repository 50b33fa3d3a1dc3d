//! Before the first event: who lives where, what the card index had, and what will happen when.

use std::collections::{BTreeMap, VecDeque};

use super::whole::Whole;
use super::{Act, ChockState, Due, Engine};
use crate::DemoError;
use crate::bench::{Bore, Set};
use crate::data::{What, expand};
use crate::dice::Dice;
use crate::plan::{ms, run_until};
use crate::register::calibrations;

/// Shares in steps of it stand apart from each other however many there are.
const GOLDEN_SECTION: f64 = 0.618_033_988_749_895;

impl Engine<'_> {
    /// Puts every bearing into its first chock, on paper.
    pub(super) fn settle(&mut self) -> Result<(), DemoError> {
        let plant = &self.data.plant;
        let is_away =
            |serial: &String| plant.arrives_later.contains(serial) || plant.spare.contains(serial);
        let mut queues: BTreeMap<&str, VecDeque<String>> = BTreeMap::new();
        for group in &plant.bearings {
            let at_home = |serial: &String| plant.home.values().any(|home| home == serial);
            let free = expand(&group.serials)
                .into_iter()
                .filter(|s| !is_away(s) && !at_home(s));
            queues.insert(&group.kind, free.collect());
        }
        for group in &plant.chocks {
            for code in expand(&group.codes) {
                let mut seats = BTreeMap::new();
                for (seat, kind) in &group.seats {
                    let home = plant.home.get(&code).filter(|_| seat == "main").cloned();
                    let serial = home
                        .or_else(|| queues.get_mut(kind.as_str()).and_then(VecDeque::pop_front));
                    let none = || DemoError::Plan {
                        why: format!("no bearing is left for {code}"),
                    };
                    seats.insert(seat.clone(), serial.ok_or_else(none)?);
                }
                let is_told = self.data.stories.step.iter().any(|step| {
                    matches!(&step.what, What::Teardown(t) if t.chock == code && t.bore.is_some())
                });
                let bore = Bore::new(&mut self.dice);
                self.chocks.insert(
                    code,
                    ChockState {
                        seats,
                        run_s: 0,
                        due: Due::Told,
                        is_pending: false,
                        ran: VecDeque::new(),
                        bore,
                        is_told,
                    },
                );
            }
        }
        let mut first_at: BTreeMap<(usize, usize), f64> = BTreeMap::new();
        for group in &plant.bearings {
            let Some(kind) = self.data.types.iter().find(|t| t.code == group.kind) else {
                continue;
            };
            for serial in expand(&group.serials) {
                self.zones.insert(
                    serial.clone(),
                    if kind.family.starts_with("four_row") {
                        self.dice.whole(1, 4)
                    } else {
                        0
                    },
                );
                if let Some(zone) = self.data.stories.first_zone.get(&serial) {
                    self.zones.insert(serial.clone(), *zone);
                }
                if kind.family == "four_row_tapered" {
                    let used = self
                        .chocks
                        .values()
                        .any(|c| c.seats.values().any(|s| *s == serial));
                    let growth = self
                        .data
                        .plant
                        .stand
                        .iter()
                        .find(|s| s.line == line_of(&group.kind))
                        .map_or(55.0, |s| s.growth_um);
                    let place = self.place_of(&serial);
                    // What a story tells of a bearing is told to the micrometre: it has no luck of its own besides.
                    let opposite = if plant.arrives_later.contains(&serial) {
                        Some(0.0)
                    } else {
                        place.and_then(|place| first_at.get(&place).copied())
                    };
                    let mut set = Set::new(kind, used, growth, opposite, &mut self.dice);
                    if let Some(um) = self.data.stories.spacers.get(&serial) {
                        set.spacer_um = um.map(|um| um as f64);
                    }
                    if let Some(place) = place {
                        first_at.insert(place, set.faster_um);
                    }
                    self.sets.insert(serial, set);
                }
            }
        }
        // Numbers of their own, so that the tapered bearings do not depend on them.
        let mut ages = 0.5;
        for group in &plant.bearings {
            let Some(kind) = self.data.types.iter().find(|t| t.code == group.kind) else {
                continue;
            };
            let is_inner = kind.family == "four_row_cylindrical_inner";
            for serial in expand(&group.serials) {
                let mut dice = Dice::of(self.seed, &serial, 7);
                let is_free = !self
                    .chocks
                    .values()
                    .any(|c| c.seats.values().any(|s| *s == serial));
                let is_told = plant.home.values().any(|home| *home == serial);
                // In a shop that has run for years every age stands beside every other.
                let age = (ages * GOLDEN_SECTION).fract();
                let whole = Whole::new(kind, &mut dice).map(|whole| {
                    ages += f64::from(u8::from(!is_free));
                    match (is_told, is_free) {
                        (true, _) => whole.lasting(kind),
                        (_, true) => whole,
                        _ => whole.worn(kind, age),
                    }
                });
                let is_kept = plant.inner_home.values().any(|s| *s == serial)
                    || plant.spare.contains(&serial);
                if (whole.is_some() || is_inner) && is_free && !is_kept {
                    let spares = self.whole_spares.entry(kind.code.clone()).or_default();
                    spares.push_back(serial.clone());
                }
                if let Some(whole) = whole {
                    self.wholes.insert(serial, whole);
                }
            }
        }
        for (t, team) in self.plan.teams.iter().enumerate() {
            for (p, pair) in team.chocks.iter().enumerate() {
                for (side, chock) in pair.iter().enumerate() {
                    self.slots.insert((t, p, side), chock.clone());
                }
            }
        }
        for step in &self.data.stories.step {
            if let Some(chock) = step.what.taken_apart() {
                self.told
                    .entry(chock.to_owned())
                    .or_default()
                    .push(ms(&step.at)?);
            }
        }
        Ok(())
    }

    /// The team and side whose chocks a bearing belongs to when the logbook begins.
    fn place_of(&self, serial: &str) -> Option<(usize, usize)> {
        let (chock, _) = self
            .chocks
            .iter()
            .find(|(_, state)| state.seats.values().any(|s| s == serial))?;
        let teams = self.plan.teams.iter().enumerate();
        teams
            .flat_map(|(team, plan)| plan.chocks.iter().map(move |pair| (team, pair)))
            .find_map(|(team, pair)| {
                let side = pair.iter().position(|code| code == chock)?;
                Some((team, side))
            })
    }

    /// Mill time before the logbook, s, with where it comes from.
    pub(super) fn prior(&mut self) -> Result<BTreeMap<String, (i64, String)>, DemoError> {
        let mut prior = BTreeMap::new();
        for serial in self.zones.keys() {
            let hours = match (self.sets.get(serial), self.wholes.get(serial)) {
                (Some(set), _) => set.prior_h,
                (_, Some(whole)) => whole.prior_h,
                // Inner halves: no clearance of their own says how old they are.
                _ => self.dice.whole(0, 18_000),
            };
            let note = if hours > 0 {
                "old card index, not verified"
            } else {
                ""
            };
            prior.insert(serial.clone(), (hours * 3600, note.to_owned()));
        }
        for life in &self.data.stories.life {
            let slots = self.plan.slots(self.data, self.plan.start_ms)?;
            let Some(&(team, pair, side)) = slots.get(&life.chock) else {
                continue;
            };
            let known = self.plan.teams[team].early[pair][side].1
                + run_until(self.plan, team, pair, ms(&life.at)?);
            prior.insert(
                life.bearing.clone(),
                ((life.hours * 3600 - known).max(0), life.note.clone()),
            );
        }
        Ok(prior)
    }

    pub(super) fn write_agenda(&mut self, set_up_ms: i64) -> Result<(), DemoError> {
        for team in &self.plan.teams {
            for (pair, sides) in team.early.iter().enumerate() {
                for (side, (since_ms, _)) in sides.iter().enumerate() {
                    self.put(*since_ms, Act::Early(team.chocks[pair][side].clone()));
                }
            }
        }
        for (i, run) in self.plan.runs.iter().enumerate() {
            self.put(run.to_ms, Act::RunEnds(i));
        }
        for (i, run) in self.plan.open.iter().enumerate() {
            self.put(run.from_ms, Act::GoesIn(i));
        }
        for (i, step) in self.data.stories.step.iter().enumerate() {
            self.put(ms(&step.at)?, Act::Step(i));
        }
        for (i, story) in self.data.stories.misnamed.iter().enumerate() {
            self.put(ms(&story.at)?, Act::PutRight(i));
        }
        for (g, gauge) in self.data.gauges.iter().enumerate() {
            for (c, calibration) in calibrations(gauge, set_up_ms)?.iter().enumerate().skip(1) {
                self.put(calibration.at.ms, Act::Calibration(g, c));
            }
        }
        Ok(())
    }
}

/// The line where bearings of a type run, for how fast they grow before the logbook.
fn line_of(kind: &str) -> &'static str {
    match kind {
        "N4T-560/780-460" => "PL",
        "N4T-300/424-310" => "CR",
        _ => "FT",
    }
}
