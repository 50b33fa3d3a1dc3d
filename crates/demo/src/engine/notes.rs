//! What is noted beside the moves: a reading at work, work at a position, grease, a paper, and what turned up elsewhere.

use store::payload::{Attached, ConditionReading, FoundHere, Greased, Payload, PositionWork};
use store::{NewEvent, attachment};

use super::Engine;
use crate::DemoError;
use crate::data::{What, paper};
use crate::register::at_ms;

impl Engine<'_> {
    pub(super) fn note(&mut self, what: &What, now: i64) -> Result<(), DemoError> {
        let (who, payload) = match what {
            What::Condition {
                chock,
                celsius,
                text,
            } => (
                Self::foreman(now),
                Payload::ConditionReading(ConditionReading {
                    chock: self.name("chock", chock)?,
                    what: "temperature".into(),
                    value: Some(celsius * 1_000),
                    text: text.clone(),
                    is_early_teardown: true,
                }),
            ),
            What::Work {
                position,
                widths,
                text,
            } => (
                "Roll-shop Engineer",
                Payload::PositionWork(PositionWork {
                    position: self.name("position", position)?,
                    what: "liners".into(),
                    width_nm: widths.iter().map(|um| um * 1_000).collect(),
                    text: text.clone(),
                }),
            ),
            What::Grease {
                bearing,
                grease,
                grams,
                note,
            } => (
                Self::foreman(now),
                Payload::Greased(Greased {
                    bearing: self.name("bearing", bearing)?,
                    grease: self.name("grease", grease)?,
                    amount_mg: grams * 1_000,
                    note: note.clone(),
                }),
            ),
            What::Found { gauge, reason } => (
                Self::foreman(now),
                Payload::FoundHere(FoundHere {
                    thing: self.name("gauge", gauge)?,
                    on: None,
                    seat: String::new(),
                    position: None,
                    zone: 0,
                    reason: reason.clone(),
                }),
            ),
            What::Attach { thing, file, text } => return self.attach(thing, file, text, now),
            _ => return Ok(()),
        };
        self.write(who, now, payload)
    }

    /// A certificate is kept with its thing, file and event in one go.
    fn attach(&mut self, thing: &str, file: &str, text: &str, now: i64) -> Result<(), DemoError> {
        self.flush()?;
        let kept = attachment::prepare(paper(file)?, file)?;
        let event = NewEvent {
            at: at_ms(now),
            payload: Payload::Attached(Attached {
                thing: self.thing(thing)?,
                what: "certificate".into(),
                text: text.to_owned(),
                file: kept.file.clone(),
            }),
        };
        self.logbook.keep_files(&[kept])?;
        let signer = self.signer("Storekeeper")?.clone();
        self.logbook
            .append_at(Some(&signer), &[event], Some(at_ms(now)))?;
        self.events += 1;
        Ok(())
    }
}
