//! Tells the history in the order of time: campaigns end, chocks come due, stories happen, and each becomes an event
//! of the logbook, a sheet where one was signed.

mod moves;
mod teardown;

use std::collections::{BTreeMap, VecDeque};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use store::payload::{Campaign, Mounted, Payload};
use store::time::{DAY_MS, HOUR_MS};
use store::{Logbook, NewEvent, Ref, Signer};

use crate::DemoError;
use crate::bench::{Bore, Set};
use crate::data::{Data, What, expand};
use crate::dice::Dice;
use crate::plan::{Plan, interval_h, is_tapered, kind_of, ms, run_until};
use crate::register::{self, Names, at_ms, calibrations, name};

/// What happens at a point of time.
enum Act {
    /// A chock is assembled that was in use before the logbook began.
    Early(String),
    /// A planned campaign ended.
    RunEnds(usize),
    /// A chock pair goes into the mill and is still there when the demo's clock stops.
    GoesIn(usize),
    /// A step of a story.
    Step(usize),
    /// A gauge was calibrated: which one, which time.
    Calibration(usize, usize),
    /// A chock has come due.
    Due(String),
}

/// A chock with what is in it.
struct ChockState {
    /// Seat and serial.
    seats: BTreeMap<String, String>,
    run_s: i64,
    due: Due,
    is_pending: bool,
    /// Rolls it ran with, oldest first, with the position.
    ran: VecDeque<(String, String)>,
    bore: Bore,
    /// A story measures this bore; other sheets leave it out.
    is_told: bool,
}

/// When a chock is torn down next.
enum Due {
    /// When the mill hours come near the interval, less these hours.
    Hours(f64),
    /// From this time on.
    From(i64),
    /// When a story says so.
    Told,
}

/// The logbook being written, and the plant as it really is.
pub(crate) struct Engine<'a> {
    data: &'a Data,
    plan: &'a Plan,
    seed: u64,
    logbook: Logbook,
    clock: Arc<AtomicI64>,
    signers: BTreeMap<String, Signer>,
    names: Names,
    dice: Dice,
    agenda: BTreeMap<(i64, u64), Act>,
    acts: u64,
    chocks: BTreeMap<String, ChockState>,
    sets: BTreeMap<String, Set>,
    zones: BTreeMap<String, i64>,
    /// Which chock is in which place of a team.
    slots: BTreeMap<(usize, usize, usize), String>,
    /// Times at which stories take a chock apart.
    told: BTreeMap<String, Vec<i64>>,
    spares: VecDeque<String>,
    last_out: BTreeMap<String, String>,
    waiting: Vec<NewEvent>,
    waiting_for: String,
    pub(crate) events: i64,
    pub(crate) sheets: i64,
}

impl<'a> Engine<'a> {
    /// Sets up the register in an empty logbook, as of `set_up_ms`.
    pub(crate) fn new(
        data: &'a Data,
        plan: &'a Plan,
        seed: u64,
        logbook: Logbook,
        clock: Arc<AtomicI64>,
        set_up_ms: i64,
    ) -> Result<Self, DemoError> {
        let mut engine = Self {
            data,
            plan,
            seed,
            logbook,
            clock,
            signers: BTreeMap::new(),
            names: Names::new(),
            dice: Dice::new(seed, 4),
            agenda: BTreeMap::new(),
            acts: 0,
            chocks: BTreeMap::new(),
            sets: BTreeMap::new(),
            zones: BTreeMap::new(),
            slots: BTreeMap::new(),
            told: BTreeMap::new(),
            spares: data.plant.spare.iter().cloned().collect(),
            last_out: BTreeMap::new(),
            waiting: Vec::new(),
            waiting_for: String::new(),
            events: 1,
            sheets: 0,
        };
        engine.settle()?;
        let prior = engine.prior()?;
        let at = at_ms(set_up_ms);
        engine.signers = register::people(&mut engine.logbook, data, at, &mut engine.names)?;
        let chief = engine.signer("Roll-shop Engineer")?.clone();
        register::things(
            &mut engine.logbook,
            data,
            at,
            &chief,
            &prior,
            &mut engine.names,
        )?;
        engine.events += engine.names.len() as i64;
        engine.receive_all(set_up_ms + HOUR_MS)?;
        engine.write_agenda(set_up_ms)?;
        Ok(engine)
    }

    /// Puts every bearing into its first chock, on paper.
    fn settle(&mut self) -> Result<(), DemoError> {
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
        for group in &plant.bearings {
            let Some(kind) = self.data.types.iter().find(|t| t.code == group.kind) else {
                continue;
            };
            for serial in expand(&group.serials) {
                self.zones.insert(
                    serial.clone(),
                    if kind.kind.starts_with("four_row") {
                        self.dice.whole(1, 4)
                    } else {
                        0
                    },
                );
                if kind.kind == "four_row_tapered" {
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
                    self.sets
                        .insert(serial, Set::new(kind, used, growth, &mut self.dice));
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

    /// Mill time before the logbook, s, with where it comes from.
    fn prior(&mut self) -> Result<BTreeMap<String, (i64, String)>, DemoError> {
        let mut prior = BTreeMap::new();
        for (serial, zone) in &self.zones {
            let hours = match self.sets.get(serial) {
                Some(set) => set.prior_h,
                None => self.dice.whole(0, if *zone > 0 { 18_000 } else { 6_000 }),
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

    fn write_agenda(&mut self, set_up_ms: i64) -> Result<(), DemoError> {
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
        for (g, gauge) in self.data.gauges.iter().enumerate() {
            for (c, calibration) in calibrations(gauge, set_up_ms)?.iter().enumerate().skip(1) {
                self.put(calibration.at.ms, Act::Calibration(g, c));
            }
        }
        Ok(())
    }

    fn put(&mut self, at_ms: i64, act: Act) {
        self.acts += 1;
        self.agenda.insert((at_ms, self.acts), act);
    }

    /// Tells everything. `progress` is told days done and days in all, and stops the work by answering false.
    pub(crate) fn tell(
        mut self,
        set_up_ms: i64,
        progress: &mut dyn FnMut(u32, u32) -> bool,
    ) -> Result<Self, DemoError> {
        let days = |ms: i64| u32::try_from((ms - self.plan.start_ms).max(0) / DAY_MS).unwrap_or(0);
        let all = days(self.plan.clock.ms);
        let mut today = None;
        while let Some(((now, _), act)) = self.agenda.pop_first() {
            let day = days(now);
            if today != Some(day) {
                today = Some(day);
                if !progress(day, all) {
                    return Err(DemoError::Cancelled);
                }
            }
            self.clock.store(now, Ordering::Relaxed);
            match act {
                Act::Early(chock) => {
                    self.assemble_all(&chock, now)?;
                    self.plan_stay(&chock, now);
                }
                Act::RunEnds(i) => self.run_ends(i)?,
                Act::GoesIn(i) => self.goes_in(i)?,
                Act::Step(i) => self.step(i, now)?,
                Act::Calibration(g, c) => {
                    let gauge = &self.data.gauges[g];
                    if let Some(calibration) = calibrations(gauge, set_up_ms)?.get(c) {
                        let event = register::calibrated(gauge, calibration, &self.names)?;
                        self.write("Metrology Technician", now, event.payload)?;
                    }
                }
                Act::Due(chock) => self.due(&chock, now)?,
            }
        }
        self.flush()?;
        Ok(self)
    }

    /// Ends the work and hands the logbook back.
    pub(crate) fn into_logbook(self) -> Logbook {
        self.logbook
    }

    fn signer(&self, who: &str) -> Result<&Signer, DemoError> {
        self.signers.get(who).ok_or_else(|| DemoError::Plan {
            why: format!("{who} is not in people.toml"),
        })
    }

    /// The foreman of the shift.
    fn foreman(now: i64) -> &'static str {
        match at_ms(now).parts().3 {
            6..=13 => "Foreman A",
            14..=21 => "Foreman B",
            _ => "Foreman C",
        }
    }

    fn name(&self, entity: &str, code: &str) -> Result<Ref, DemoError> {
        name(&self.names, entity, code)
    }

    /// Adds an event to the transaction under way, or begins the next one.
    fn write(&mut self, who: &str, at: i64, payload: Payload) -> Result<(), DemoError> {
        if self.waiting_for != who {
            self.flush()?;
            who.clone_into(&mut self.waiting_for);
        }
        self.waiting.push(NewEvent {
            at: at_ms(at),
            payload,
        });
        Ok(())
    }

    /// Writes the transaction under way: what one person entered in one go, at the time of its last event.
    fn flush(&mut self) -> Result<(), DemoError> {
        let Some(last) = self.waiting.last() else {
            return Ok(());
        };
        // What was before the first campaign was entered from the card index the day before.
        let entered = at_ms(last.at.ms.max(self.plan.start_ms - 7 * HOUR_MS));
        let signer = self.signer(&self.waiting_for)?.clone();
        self.events += self.waiting.len() as i64;
        self.logbook.append_at(
            Some(&signer),
            &std::mem::take(&mut self.waiting),
            Some(entered),
        )?;
        Ok(())
    }

    fn run_ends(&mut self, i: usize) -> Result<(), DemoError> {
        let run = &self.plan.runs[i];
        let post = &self.plan.teams[run.team].posts[run.post];
        let role = &self.plan.teams[run.team].role;
        let (stand, level) = post.split_once('-').unwrap_or((post, ""));
        let positions = ["O", "D"].map(|side| format!("{stand}-{role}-{level}-{side}"));
        let chocks = [0, 1].map(|side| {
            self.slots
                .get(&(run.team, run.pair, side))
                .cloned()
                .unwrap_or_default()
        });
        let campaign = Campaign {
            roll: self.name("roll", &run.roll)?,
            position_o: self.name("position", &positions[0])?,
            position_d: self.name("position", &positions[1])?,
            chock_o: self.name("chock", &chocks[0])?,
            chock_d: self.name("chock", &chocks[1])?,
            from_ms: run.from_ms,
            run_s: run.run_s,
            rolled_kg: run.rolled_kg,
            is_estimate: run.is_estimate,
        };
        self.write(
            Self::foreman(run.to_ms),
            run.to_ms,
            Payload::Campaign(campaign),
        )?;
        let growth_um = self
            .data
            .plant
            .stand
            .iter()
            .find(|s| s.code == stand)
            .map_or(0.0, |s| s.growth_um);
        for (side, code) in chocks.iter().enumerate() {
            let story = self.growth_at(&positions[side], run.from_ms)?;
            let Some(chock) = self.chocks.get_mut(code) else {
                continue;
            };
            let Some(serial) = chock.seats.get("main").cloned() else {
                continue;
            };
            // A sum of the card index belongs to the chock that had its bearing by then.
            if run.is_estimate && self.plan.teams[run.team].early[run.pair][side].0 > run.from_ms {
                continue;
            }
            let hours = run.run_s as f64 / 3600.0;
            chock.run_s += run.run_s;
            chock.bore.run(hours);
            chock
                .ran
                .push_back((run.roll.clone(), positions[side].clone()));
            if chock.ran.len() > 8 {
                chock.ran.pop_front();
            }
            if let Some(set) = self.sets.get_mut(&serial) {
                set.run(hours, growth_um, story);
            }
            if !run.is_estimate {
                self.consider(code, run.team, run.pair, side, run.to_ms);
            }
        }
        Ok(())
    }

    fn growth_at(
        &self,
        position: &str,
        from_ms: i64,
    ) -> Result<Option<&'a crate::data::Growth>, DemoError> {
        for growth in self
            .data
            .stories
            .growth
            .iter()
            .filter(|g| g.position == position)
        {
            if (ms(&growth.from)?..ms(&growth.to)?).contains(&from_ms) {
                return Ok(Some(growth));
            }
        }
        Ok(None)
    }

    fn goes_in(&mut self, i: usize) -> Result<(), DemoError> {
        let run = &self.plan.open[i];
        let post = &self.plan.teams[run.team].posts[run.post];
        let (stand, level) = post.split_once('-').unwrap_or((post, ""));
        for (side, letter) in ["O", "D"].into_iter().enumerate() {
            let chock = self
                .slots
                .get(&(run.team, run.pair, side))
                .cloned()
                .unwrap_or_default();
            let position = format!(
                "{stand}-{}-{level}-{letter}",
                self.plan.teams[run.team].role
            );
            let mounted = Mounted {
                chock: self.name("chock", &chock)?,
                roll: self.name("roll", &run.roll)?,
                position: self.name("position", &position)?,
            };
            self.write(
                Self::foreman(run.from_ms),
                run.from_ms,
                Payload::Mounted(mounted),
            )?;
        }
        Ok(())
    }

    /// Decides when a chock is due that has just been assembled.
    fn plan_stay(&mut self, code: &str, now: i64) {
        self.dice = Dice::of(self.seed, code, now);
        let next = self
            .told
            .get(code)
            .and_then(|times| times.iter().copied().filter(|t| *t > now).min());
        let is_quiet = self.data.stories.quiet.iter().any(|c| c == code);
        // A story that names the mill hours of this stay also says when it ends.
        let today = at_ms(now).date();
        let is_timed = self
            .data
            .stories
            .hours
            .iter()
            .any(|h| h.chock == code && h.from.as_ref() == Some(&today));
        let hours = self.dice.between(0.0, 35.0);
        let Some(chock) = self.chocks.get_mut(code) else {
            return;
        };
        chock.run_s = 0;
        chock.is_pending = false;
        chock.due = match next {
            _ if is_timed => Due::Told,
            None if is_quiet => Due::Told,
            None => Due::Hours(hours),
            Some(next) => {
                // In even parts up to the day of the story, none longer than the interval allows.
                let stays = (next - now).div_euclid(105 * DAY_MS) + 1;
                if stays == 1 {
                    Due::Told
                } else {
                    Due::From(now + (next - now) / stays)
                }
            }
        };
    }

    /// A chock came off its roll: is it due, and is there time before it goes in again?
    fn consider(&mut self, code: &str, team: usize, pair: usize, side: usize, now: i64) {
        let starts = &self.plan.teams[team].starts[pair];
        let next = starts
            .get(starts.partition_point(|s| *s < now))
            .copied()
            .unwrap_or(self.plan.clock.ms);
        let rest = next - now;
        let Some(chock) = self.chocks.get(code).filter(|c| !c.is_pending) else {
            return;
        };
        let is_due = match chock.due {
            Due::Told => false,
            Due::From(from) => now >= from,
            Due::Hours(margin) => {
                let reached = chock.run_s as f64 / 3600.0 + 1.2 * self.plan.teams[team].campaign_h;
                reached >= interval_h(self.data, code) - margin
            }
        };
        if !is_due || rest < 33 * HOUR_MS / 10 {
            return;
        }
        let jitter = (Dice::of(self.seed, code, now).between(0.0, 0.4) * HOUR_MS as f64) as i64;
        let mut at = now + 2 * HOUR_MS + jitter + side as i64 * 25 * 60_000;
        if !(6..21).contains(&at_ms(at).parts().3) {
            // At night only what cannot wait: the next morning, or after the next campaign.
            let day_start = (at + 60 * 60_000).div_euclid(DAY_MS) * DAY_MS - 60 * 60_000;
            at = day_start + 8 * HOUR_MS + jitter + side as i64 * 25 * 60_000;
            if at < now + HOUR_MS {
                at += DAY_MS;
            }
            if at > next - HOUR_MS {
                return;
            }
        }
        if at >= self.plan.clock.ms - 2 * HOUR_MS {
            return;
        }
        if let Some(chock) = self.chocks.get_mut(code) {
            chock.is_pending = true;
        }
        self.put(at, Act::Due(code.to_owned()));
    }

    fn due(&mut self, code: &str, now: i64) -> Result<(), DemoError> {
        if self.chocks.get(code).is_none_or(|c| c.seats.is_empty()) {
            return Ok(());
        }
        if is_tapered(self.data, code) {
            let sheet = crate::data::Teardown {
                chock: code.to_owned(),
                ..Default::default()
            };
            self.teardown(&sheet, now)
        } else {
            self.turn(code, now)
        }
    }

    fn kind_in(&self, chock: &str) -> Result<&'a crate::data::Kind, DemoError> {
        kind_of(self.data, chock).ok_or_else(|| DemoError::Plan {
            why: format!("{chock} is no chock of the plant"),
        })
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
