//! What is measured apart from teardowns: roll necks in the roll shop, who stands for them, and a gauge found out.

use store::draft::Fields;
use store::entry::LengthUnit;
use store::payload::{Countersigned, GaugeFoundOut, Payload, SeatCheck};
use store::sheet::field::SeatName;
use store::sheet::{seat_body, thing_by_code};
use store::{NewEvent, Ref};

use super::Engine;
use crate::DemoError;
use crate::bench::{self, Warmth};
use crate::data::What;
use crate::register::at_ms;

/// The type whose limits hold for the necks of the story.
const NECK_TYPE: &str = "N4T-480/620-336";
/// That of the necks of backup rolls.
const BACKUP_TYPE: &str = "N4C-760/1080-790";
/// Over the smallest size, um: a neck that is a little tapered and a little oval.
const OVER: [[i64; 4]; 3] = [[3, 5, 4, 6], [1, 2, 0, 3], [2, 4, 3, 5]];

impl Engine<'_> {
    pub(super) fn check(&mut self, what: &What, now: i64) -> Result<(), DemoError> {
        match what {
            What::NeckCheck { .. } => self.neck_check(what, now),
            What::Countersign { roll, neck, text } => {
                let of = (roll.clone(), neck.clone());
                let sheet = self.checked.get(&of).cloned();
                let sheet = sheet.ok_or_else(|| DemoError::Plan {
                    why: format!("no check of {roll} {neck} to stand for"),
                })?;
                let text = text.clone();
                let payload = Payload::Countersigned(Countersigned { sheet, text });
                self.write("Roll-shop Engineer", now, payload)
            }
            What::FoundOut { gauge, error, text } => {
                let payload = Payload::GaugeFoundOut(GaugeFoundOut {
                    gauge: self.name("gauge", gauge)?,
                    error: error * 1_000,
                    text: text.clone(),
                });
                self.write("Metrology Technician", now, payload)
            }
            _ => Ok(()),
        }
    }

    fn neck_check(&mut self, what: &What, now: i64) -> Result<(), DemoError> {
        let What::NeckCheck {
            roll,
            neck,
            smallest,
            gauge,
            foreman,
            note,
            warmth,
            fields: typed,
        } = what
        else {
            return Ok(());
        };
        self.flush()?;
        let mut fields = Fields::new();
        let sizes_um = OVER.map(|plane| plane.map(|over| (smallest + over) as f64));
        bench::read_seat(
            &mut fields,
            SeatName::Neck,
            gauge,
            &sizes_um,
            warmth.map_or_else(Warmth::alike, Warmth::of),
        );
        for (path, text) in typed {
            bench::put(&mut fields, path, text);
        }
        let at = at_ms(now);
        let neck_type = if *smallest > 700_000 {
            BACKUP_TYPE
        } else {
            NECK_TYPE
        };
        let of = thing_by_code(self.logbook.connection(), "bearing_type", neck_type)?;
        let of = of.map(|(no, _)| no);
        let body = seat_body(&self.logbook, &fields, at, LengthUnit::Millimetre, of)?;
        let payload = Payload::SeatCheck(SeatCheck {
            thing: self.name("roll", roll)?,
            neck: neck.clone(),
            bearing_type: self.name("bearing_type", neck_type)?,
            body,
            note: note.clone(),
        });
        let signer = self.signer(foreman)?.clone();
        let event = NewEvent { at, payload };
        let signed =
            self.logbook
                .append_at(Some(&signer), &[event], Some(at.plus_ms(5 * 60_000)))?;
        self.events += 1;
        if let Some(signed) = signed.first() {
            let of = (roll.clone(), neck.clone());
            self.checked.insert(of, Ref::full(signed.id));
        }
        Ok(())
    }
}
