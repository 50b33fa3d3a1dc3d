//! Tells the history in the order of time: campaigns end, chocks come due, stories happen, and each becomes an event
//! of the logbook, a sheet where one was signed.

mod checks;
mod closing;
mod corrections;
mod deciding;
mod due;
mod misnamed;
mod mounting;
mod moves;
mod notes;
mod setup;
mod teardown;
mod whole;

use std::collections::{BTreeMap, VecDeque};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use store::payload::{Campaign, Mounted, Payload};
use store::query::KeptWear;
use store::time::{DAY_MS, HOUR_MS};
use store::{Logbook, NewEvent, Ref, Signed, Signer, ThingNo};

use self::whole::Whole;
use crate::DemoError;
use crate::bench::{Bore, Set};
use crate::data::Data;
use crate::dice::Dice;
use crate::plan::{Plan, kind_of, ms};
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
    /// Campaigns that name the wrong chock are put right.
    PutRight(usize),
    /// A gauge was calibrated: which one, which time.
    Calibration(usize, usize),
    /// A chock has come due.
    Due(String),
    /// A reconditioned bearing is back.
    ComesBack(String),
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
    /// Bearings with one clearance, and those of them that wait for a chock, by type.
    wholes: BTreeMap<String, Whole>,
    whole_spares: BTreeMap<String, VecDeque<String>>,
    zones: BTreeMap<String, i64>,
    /// Which chock is in which place of a team.
    slots: BTreeMap<(usize, usize, usize), String>,
    /// Times at which stories take a chock apart.
    told: BTreeMap<String, Vec<i64>>,
    spares: VecDeque<String>,
    last_out: BTreeMap<String, String>,
    /// The last sheet of each chock, and its bearing.
    sheet_of: BTreeMap<String, (Signed, String)>,
    /// The last check of each neck.
    checked: BTreeMap<(String, String), Ref>,
    /// Campaigns that name the wrong chock, by their story.
    misnamed: BTreeMap<usize, Vec<ThingNo>>,
    /// Chocks with seals of the batch that leaks, and the how many-th each is.
    leaky: BTreeMap<String, usize>,
    /// How many chocks have had them.
    leaked: usize,
    /// The pack of shims under the cover of each chock that was closed, um.
    packs: BTreeMap<String, i64>,
    /// Sheets whose bolts were torqued with the wrench that was past its day.
    torqued: Vec<Ref>,
    waiting: Vec<NewEvent>,
    waiting_for: String,
    pub(crate) events: i64,
    pub(crate) sheets: i64,
    /// What the window would know of the wear of the shop.
    wear: KeptWear,
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
            wholes: BTreeMap::new(),
            whole_spares: BTreeMap::new(),
            zones: BTreeMap::new(),
            slots: BTreeMap::new(),
            told: BTreeMap::new(),
            spares: data.plant.spare.iter().cloned().collect(),
            last_out: BTreeMap::new(),
            sheet_of: BTreeMap::new(),
            checked: BTreeMap::new(),
            misnamed: BTreeMap::new(),
            leaky: BTreeMap::new(),
            leaked: 0,
            packs: BTreeMap::new(),
            torqued: Vec::new(),
            waiting: Vec::new(),
            waiting_for: String::new(),
            events: 1,
            sheets: 0,
            wear: KeptWear::default(),
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
        engine.on_necks(set_up_ms + 2 * HOUR_MS)?;
        engine.write_agenda(set_up_ms)?;
        Ok(engine)
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
                    self.assemble_all(&chock, now, Self::foreman(now))?;
                    self.plan_stay(&chock, now);
                }
                Act::RunEnds(i) => self.run_ends(i)?,
                Act::GoesIn(i) => self.goes_in(i)?,
                Act::Step(i) => self.step(i, now)?,
                Act::PutRight(i) => self.put_right(i, now)?,
                Act::Calibration(g, c) => {
                    let gauge = &self.data.gauges[g];
                    if let Some(calibration) = calibrations(gauge, set_up_ms)?.get(c) {
                        let event = register::calibrated(gauge, calibration, &self.names)?;
                        self.write("Metrology Technician", now, event.payload)?;
                    }
                }
                Act::Due(chock) => self.due(&chock, now)?,
                Act::ComesBack(serial) => self.comes_back(&serial, now)?,
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
        let misnamed = self.misnamed(&chocks, run)?;
        let told = misnamed.map_or(&chocks[0], |(_, story)| &story.written);
        let campaign = Campaign {
            roll: self.name("roll", &run.roll)?,
            position_o: self.name("position", &positions[0])?,
            position_d: self.name("position", &positions[1])?,
            chock_o: self.name("chock", told)?,
            chock_d: self.name("chock", &chocks[1])?,
            from_ms: run.from_ms,
            run_s: run.mill_s,
            rolled_kg: run.rolled_kg,
            is_estimate: run.is_estimate,
            radial_n: run.load.map(|load| load.radial_n),
            axial_n: run.load.map(|load| load.axial_n),
            speed_mrpm: run.load.map(|load| load.speed_mrpm),
            batch: None,
        };
        let payload = Payload::Campaign(campaign);
        match misnamed {
            None => self.write(Self::foreman(run.to_ms), run.to_ms, payload)?,
            Some((story, _)) => self.write_misnamed(story, run.to_ms, payload)?,
        }
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
            let hours = run.mill_s as f64 / 3600.0;
            chock.run_s += run.mill_s;
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
            for serial in chock.seats.values() {
                if let Some(whole) = self.wholes.get_mut(serial) {
                    whole.run(hours);
                }
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
            // One side of every stand of work rolls has its sheet; the others are told in a line.
            if chock.starts_with("WC-") && letter == "O" && level == "T" {
                self.mount(&chock, &run.roll, &position, run.from_ms)?;
                continue;
            }
            let mounted = Mounted {
                chock: self.name("chock", &chock)?,
                roll: self.name("roll", &run.roll)?,
                position: self.name("position", &position)?,
                note: String::new(),
            };
            let who = self.mounts(&chock, run.from_ms)?;
            self.write(who, run.from_ms, Payload::Mounted(mounted))?;
        }
        Ok(())
    }

    /// Who enters that a chock goes on: past its interval it is the engineer.
    fn mounts(&mut self, chock: &str, now: i64) -> Result<&'static str, DemoError> {
        self.flush()?;
        let conn = self.logbook.connection();
        let past = match store::sheet::thing_by_code(conn, "chock", chock)? {
            Some((no, _)) => store::query::past_interval_in(conn, no, at_ms(now))?,
            None => None,
        };
        Ok(match past {
            Some(_) => "Roll-shop Engineer",
            None => Self::foreman(now),
        })
    }

    fn kind_in(&self, chock: &str) -> Result<&'a crate::data::Kind, DemoError> {
        kind_of(self.data, chock).ok_or_else(|| DemoError::Plan {
            why: format!("{chock} is no chock of the plant"),
        })
    }
}
