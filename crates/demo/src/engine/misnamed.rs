//! A late swap at the mill: the record names another chock than the one that ran, until somebody reads the mill's log.

use store::amending::amend;
use store::entry::Show;
use store::payload::Payload;
use store::{NewEvent, ThingNo};

use super::Engine;
use crate::DemoError;
use crate::data::Misnamed;
use crate::plan::{Run, ms};
use crate::register::at_ms;

impl<'a> Engine<'a> {
    /// The story by which the record names another chock than the one that ran on the operator side.
    pub(super) fn misnamed(
        &self,
        chocks: &[String; 2],
        run: &Run,
    ) -> Result<Option<(usize, &'a Misnamed)>, DemoError> {
        for (i, story) in self.data.stories.misnamed.iter().enumerate() {
            let (from, to) = (ms(&story.from)?, ms(&story.to)?);
            if story.chock == chocks[0] && run.from_ms >= from && run.to_ms <= to {
                return Ok(Some((i, story)));
            }
        }
        Ok(None)
    }

    /// Writes such a campaign at once: its name is needed when it is put right.
    pub(super) fn write_misnamed(
        &mut self,
        story: usize,
        at: i64,
        payload: Payload,
    ) -> Result<(), DemoError> {
        self.flush()?;
        let signer = self.signer(Self::foreman(at))?.clone();
        let at = at_ms(at);
        let event = NewEvent { at, payload };
        let signed = self.logbook.append_at(Some(&signer), &[event], Some(at))?;
        self.events += 1;
        let names = self.misnamed.entry(story).or_default();
        names.extend(signed.first().map(|signed| ThingNo(signed.no)));
        Ok(())
    }

    /// The engineer puts every campaign of a story right, in one go.
    pub(super) fn put_right(&mut self, story: usize, now: i64) -> Result<(), DemoError> {
        self.flush()?;
        let Some(told) = self.data.stories.misnamed.get(story) else {
            return Ok(());
        };
        for event in self.misnamed.remove(&story).unwrap_or_default() {
            let right = [("/chock_o".to_owned(), told.chock.clone())];
            let amendment = amend(&self.logbook, event, &right, &told.reason, Show::default())?;
            self.write("Roll-shop Engineer", now, Payload::Amendment(amendment))?;
        }
        self.flush()
    }
}
