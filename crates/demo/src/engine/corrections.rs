//! What is put right on signed sheets: opened again, amended, confirmed by a second person.

use store::payload::{Countersigned, Payload, SheetReopened};
use store::{Ref, Signed, ThingNo};

use super::Engine;
use crate::DemoError;
use crate::data::{Amend, What};

const ENGINEER: &str = "Roll-shop Engineer";

impl Engine<'_> {
    pub(super) fn correct(&mut self, what: &What, now: i64) -> Result<(), DemoError> {
        match what {
            What::Reopen { chock, reason } => {
                let payload = Payload::SheetReopened(SheetReopened {
                    sheet: Ref::full(self.last_sheet(chock)?.0.id),
                    reason: reason.clone(),
                });
                self.write(ENGINEER, now, payload)?;
                self.flush()
            }
            What::Confirm { chock, text } => {
                let payload = Payload::Countersigned(Countersigned {
                    sheet: Ref::full(self.last_sheet(chock)?.0.id),
                    text: text.clone(),
                });
                self.write(ENGINEER, now, payload)
            }
            What::Retorque { text } => {
                for sheet in std::mem::take(&mut self.torqued) {
                    let text = text.clone();
                    let payload = Payload::Countersigned(Countersigned { sheet, text });
                    self.write(ENGINEER, now, payload)?;
                }
                Ok(())
            }
            What::Amend(amend) => self.amend(amend, now),
            _ => Ok(()),
        }
    }

    fn amend(&mut self, a: &Amend, now: i64) -> Result<(), DemoError> {
        self.flush()?;
        let (sheet, serial) = self.last_sheet(&a.chock)?;
        let (sheet, serial) = (ThingNo(sheet.no), serial.clone());
        let amendment = store::sheet::amend(&self.logbook, sheet, &a.fields, &a.reason)?;
        self.write(&a.who, now, Payload::Amendment(amendment))?;
        self.flush()?;
        if let Some(set) = self.sets.get_mut(&serial) {
            if let Some(um) = a.end_play {
                set.end_play_um = um.map(|um| um as f64);
            }
            if let Some(um) = a.spacers {
                set.spacer_um = um.map(|um| um as f64);
            }
        }
        if let Some(zone) = a.zone {
            self.zones.insert(serial, zone);
        }
        Ok(())
    }

    /// The last sheet of a chock.
    fn last_sheet(&self, chock: &str) -> Result<&(Signed, String), DemoError> {
        let known = self.sheet_of.get(chock);
        known.ok_or_else(|| DemoError::Plan {
            why: format!("no sheet of {chock} to put right"),
        })
    }
}
