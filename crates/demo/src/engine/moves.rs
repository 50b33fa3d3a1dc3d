//! What moves things: received, assembled, taken out, sent out and back, held, scrapped.

use std::collections::BTreeMap;

use store::draft::Fields;
use store::entry::LengthUnit;
use store::payload::{
    Assembled, BatchBlocked, Cost, DeviationAccepted, Extension, Hold, InspectedAtReceipt,
    MillIncident, MillJob, Paired, Payload, Received, Released, Returned, Scrapped, SentOut,
    TakenOut, TeardownPlanned, Unpaired,
};
use store::sheet::field::SeatName;
use store::sheet::returned_body;

use super::Engine;
use crate::DemoError;
use crate::bench::{self, Warmth, put};
use crate::data::{Return, What, expand};
use crate::plan::ms;
use crate::register::at_ms;

const ENGINEER: &str = "Roll-shop Engineer";
const STOREKEEPER: &str = "Storekeeper";

fn nm(um: [i64; 3]) -> Vec<i64> {
    um.iter().map(|um| um * 1000).collect()
}

impl Engine<'_> {
    /// All bearings that are there when the logbook is set up.
    pub(super) fn receive_all(&mut self, now: i64) -> Result<(), DemoError> {
        for group in &self.data.plant.bearings {
            for serial in expand(&group.serials) {
                if self.data.plant.arrives_later.contains(&serial) {
                    continue;
                }
                let (as_set_nm, spacer_nm) = match self.sets.get(&serial) {
                    Some(set) => (nm(set.as_set_um), nm(set.spacer_um.map(|um| um as i64))),
                    None => (Vec::new(), Vec::new()),
                };
                let bearing = self.name("bearing", &serial)?;
                let note = "taken over from the old card index".into();
                let payload = Payload::Received(Received {
                    bearing,
                    as_set_nm,
                    spacer_nm,
                    certificate: String::new(),
                    note,
                });
                self.write(STOREKEEPER, now, payload)?;
            }
        }
        self.flush()
    }

    /// Every backup roll has its inner halves on its necks; what is left waits in the shop.
    pub(super) fn on_necks(&mut self, now: i64) -> Result<(), DemoError> {
        for (line, kind) in [
            ("FT", "N4C-760/1080-790 inner half"),
            ("PL", "N4C-760/1080-790 inner half"),
            ("CR", "N4C-500/710-480 inner half"),
        ] {
            let rolls = &self.data.plant.rolls;
            let rolls = rolls.iter().filter(|r| r.line == line && r.role == "K");
            let necks: Vec<(String, &str)> = rolls
                .flat_map(|r| expand(&r.codes))
                .flat_map(|roll| ["neck_o", "neck_d"].map(|seat| (roll.clone(), seat)))
                .collect();
            for (roll, seat) in necks {
                let Some(serial) = self.next_inner(kind, &roll, seat) else {
                    continue;
                };
                let payload = Payload::Assembled(Assembled {
                    bearing: self.name("bearing", &serial)?,
                    chock: self.name("roll", &roll)?,
                    seat: seat.into(),
                    zone: 0,
                    note: "taken over from the old card index".into(),
                });
                self.write(Self::foreman(now), now, payload)?;
            }
        }
        self.flush()
    }

    /// The inner half of a neck: where a story says so its own, else the next one.
    fn next_inner(&mut self, kind: &str, roll: &str, seat: &str) -> Option<String> {
        let home = self.data.plant.inner_home.get(&format!("{roll} {seat}"));
        if let Some(serial) = home {
            return Some(serial.clone());
        }
        self.whole_spares.get_mut(kind)?.pop_front()
    }

    pub(super) fn step(&mut self, i: usize, now: i64) -> Result<(), DemoError> {
        let step = self.data.stories.step[i].clone();
        let foreman = Self::foreman(now);
        let (who, payload) = match step.what.clone() {
            What::Receive {
                bearing,
                as_set,
                spacers,
                certificate,
                note,
            } => {
                if let Some(set) = self.sets.get_mut(&bearing) {
                    set.renew(as_set, spacers);
                }
                let (bearing, as_set_nm, spacer_nm) =
                    (self.name("bearing", &bearing)?, nm(as_set), nm(spacers));
                (
                    STOREKEEPER,
                    Payload::Received(Received {
                        bearing,
                        as_set_nm,
                        spacer_nm,
                        certificate,
                        note,
                    }),
                )
            }
            What::Teardown(t) => return self.teardown(&t, now),
            What::Mounting(m) => return self.mounting(&m, now),
            What::OnNeck {
                bearing,
                roll,
                seat,
            } => (
                foreman,
                Payload::Assembled(Assembled {
                    bearing: self.name("bearing", &bearing)?,
                    chock: self.name("roll", &roll)?,
                    seat,
                    zone: 0,
                    note: String::new(),
                }),
            ),
            What::Draft {
                chock,
                foreman,
                filled,
            } => return self.leave_draft(&chock, &foreman, filled, now),
            What::Note { who, text } => return Ok(self.logbook.leave_note(&text, &who)?),
            What::TakeOut {
                chock,
                reason,
                spare,
            } => return self.take_out(&chock, now, &reason, spare),
            What::Assemble {
                chock,
                bearing,
                zone,
            } => {
                let none = || DemoError::Plan {
                    why: format!("no spare is left for {chock}"),
                };
                let serial = bearing
                    .or_else(|| self.spares.pop_front())
                    .ok_or_else(none)?;
                self.zones.insert(
                    serial.clone(),
                    zone.unwrap_or_else(|| self.next_zone(&serial)),
                );
                if let Some(state) = self.chocks.get_mut(&chock) {
                    state.seats = BTreeMap::from([("main".to_owned(), serial)]);
                }
                self.assemble_all(&chock, now, ENGINEER)?;
                self.plan_stay(&chock, now);
                return Ok(());
            }
            What::Swap { chock, other } => {
                let place = |code: &str| {
                    self.slots
                        .iter()
                        .find(|(_, c)| *c == code)
                        .map(|(slot, _)| *slot)
                };
                if let (Some(a), Some(b)) = (place(&chock), place(&other)) {
                    self.slots.insert(a, other);
                    self.slots.insert(b, chock);
                }
                return Ok(());
            }
            What::OffNeck { bearing, reason } => (
                foreman,
                Payload::TakenOut(TakenOut {
                    bearing: self.name("bearing", &bearing)?,
                    reason,
                }),
            ),
            What::Pair { outer, inner } => (
                foreman,
                Payload::Paired(Paired {
                    outer: self.name("bearing", &outer)?,
                    inner: self.name("bearing", &inner)?,
                }),
            ),
            What::Unpair { outer, reason } => (
                foreman,
                Payload::Unpaired(Unpaired {
                    outer: self.name("bearing", &outer)?,
                    reason,
                }),
            ),
            What::Hold { thing, reason } => (
                foreman,
                Payload::Hold(Hold {
                    thing: self.thing(&thing)?,
                    reason,
                }),
            ),
            What::Release { thing, reason } => (
                ENGINEER,
                Payload::Released(Released {
                    thing: self.thing(&thing)?,
                    reason,
                }),
            ),
            What::Deviation { thing, code, text } => (
                ENGINEER,
                Payload::DeviationAccepted(DeviationAccepted {
                    thing: self.thing(&thing)?,
                    code,
                    text,
                }),
            ),
            What::MillJob {
                position,
                text,
                is_done,
            } => (
                ENGINEER,
                Payload::MillJob(MillJob {
                    position: self.name("position", &position)?,
                    text,
                    is_done,
                }),
            ),
            What::Inspect {
                bearing,
                condition,
                accepted,
                claim,
            } => (
                // What was rejected once is accepted by the engineer.
                if accepted { ENGINEER } else { STOREKEEPER },
                Payload::InspectedAtReceipt(InspectedAtReceipt {
                    bearing: self.name("bearing", &bearing)?,
                    condition,
                    is_accepted: accepted,
                    claim,
                }),
            ),
            What::Incident {
                position,
                incident,
                force_mn,
                chocks,
                text,
            } => {
                let chocks = chocks.iter().map(|chock| self.name("chock", chock));
                (
                    foreman,
                    Payload::MillIncident(MillIncident {
                        position: self.name("position", &position)?,
                        what: incident,
                        force_n: Some(force_mn * 1_000_000),
                        chocks: chocks.collect::<Result<_, _>>()?,
                        text,
                        is_early_teardown: true,
                    }),
                )
            }
            What::Extend {
                chock,
                until,
                reason,
            } => (
                ENGINEER,
                Payload::Extension(Extension {
                    chock: self.name("chock", &chock)?,
                    until_ms: ms(&until)?,
                    reason,
                }),
            ),
            What::Plan {
                chock,
                planned,
                reason,
            } => (
                foreman,
                Payload::TeardownPlanned(TeardownPlanned {
                    chock: self.name("chock", &chock)?,
                    planned_ms: Some(ms(&planned)?),
                    reason,
                }),
            ),
            What::Block { batch, reason } => (
                ENGINEER,
                Payload::BatchBlocked(BatchBlocked {
                    batch: self.thing(&batch)?,
                    reason,
                }),
            ),
            What::Cost {
                thing,
                amount,
                text,
            } => (
                STOREKEEPER,
                Payload::Cost(Cost {
                    thing: self.thing(&thing)?,
                    amount_minor: amount * 100,
                    text,
                }),
            ),
            What::SendOut { thing, to, packet } => (
                foreman,
                Payload::SentOut(SentOut {
                    thing: self.thing(&thing)?,
                    to,
                    packet,
                }),
            ),
            What::Return(r) => return self.come_back(&r, now),
            What::Reopen { .. } | What::Amend(_) | What::Confirm { .. } | What::Retorque { .. } => {
                return self.correct(&step.what, now);
            }
            What::NeckCheck { .. } | What::Countersign { .. } | What::FoundOut { .. } => {
                return self.check(&step.what, now);
            }
            What::Condition { .. }
            | What::Work { .. }
            | What::Grease { .. }
            | What::Found { .. }
            | What::Attach { .. } => return self.note(&step.what, now),
            What::Scrap {
                thing,
                reason,
                witness,
            } => {
                let witness = self.name("person", &witness)?;
                (
                    ENGINEER,
                    Payload::Scrapped(Scrapped {
                        thing: self.thing(&thing)?,
                        reason,
                        witness,
                    }),
                )
            }
        };
        self.write(who, now, payload)
    }

    /// `bearing TH-4T-015`, `chock WC-17`, or `bearing last out of WC-03`.
    pub(super) fn thing(&self, text: &str) -> Result<store::Ref, DemoError> {
        let (entity, code) = text.split_once(' ').unwrap_or(("bearing", text));
        let code = match code.strip_prefix("last out of ") {
            Some(chock) => self.last_out.get(chock).map_or(code, String::as_str),
            None => code,
        };
        self.name(entity, code)
    }

    pub(super) fn next_zone(&self, serial: &str) -> i64 {
        match self.zones.get(serial) {
            Some(0) | None => 0,
            Some(zone) => zone % 4 + 1,
        }
    }

    /// Enters everything that is in a chock on paper.
    pub(super) fn assemble_all(
        &mut self,
        code: &str,
        now: i64,
        who: &str,
    ) -> Result<(), DemoError> {
        let seats: Vec<(String, String)> = self
            .chocks
            .get(code)
            .map(|c| c.seats.clone().into_iter().collect())
            .unwrap_or_default();
        for (seat, serial) in seats {
            let zone = self.zones.get(&serial).copied().unwrap_or(0);
            let payload = Payload::Assembled(Assembled {
                bearing: self.name("bearing", &serial)?,
                chock: self.name("chock", code)?,
                seat,
                zone,
                note: String::new(),
            });
            self.write(who, now, payload)?;
        }
        Ok(())
    }

    fn take_out(
        &mut self,
        code: &str,
        now: i64,
        reason: &str,
        spare: bool,
    ) -> Result<(), DemoError> {
        let seats = self
            .chocks
            .get_mut(code)
            .map(|c| std::mem::take(&mut c.seats))
            .unwrap_or_default();
        for serial in seats.into_values() {
            let payload = Payload::TakenOut(TakenOut {
                bearing: self.name("bearing", &serial)?,
                reason: reason.into(),
            });
            self.write(Self::foreman(now), now, payload)?;
            if spare {
                self.spares.push_back(serial.clone());
            }
            self.last_out.insert(code.to_owned(), serial);
        }
        Ok(())
    }

    fn come_back(&mut self, r: &Return, now: i64) -> Result<(), DemoError> {
        self.flush()?;
        let mut body = None;
        if let (Some(grid), Some(chock)) = (r.bore, r.thing.strip_prefix("chock ")) {
            let nominal_um = self
                .kind_in(chock)?
                .value("chock_bore_nominal_nm", 0)
                .unwrap_or(0) as f64
                / 1000.0;
            let mut fields = Fields::new();
            put(&mut fields, "identify.chock", chock);
            put(&mut fields, "skip.clearance", "a chock alone");
            put(&mut fields, "skip.neck", "a chock alone");
            bench::read_seat(
                &mut fields,
                SeatName::Bore,
                "BG-03",
                &bench::told_bore(nominal_um, grid),
                Warmth::story(),
            );
            body = Some(returned_body(
                &self.logbook,
                &fields,
                at_ms(now),
                LengthUnit::Millimetre,
            )?);
        }
        if let (Some(as_set), Some(spacers), Some(serial)) =
            (r.as_set, r.spacers, r.thing.strip_prefix("bearing "))
            && let Some(set) = self.sets.get_mut(serial)
        {
            set.renew(as_set, spacers);
        }
        let returned = Returned {
            thing: self.thing(&r.thing)?,
            certificate: r.certificate.clone(),
            note: r.note.clone(),
            as_set_nm: r.as_set.map(nm).unwrap_or_default(),
            body,
        };
        self.write(ENGINEER, now, Payload::Returned(returned))
    }
}
