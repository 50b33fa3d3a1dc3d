//! The signature under a sheet.

use crate::append::write_events;
use crate::draft::{self, DraftId, Fields};
use crate::entry::LengthUnit;
use crate::error::{Result, StoreError};
use crate::id::Origin;
use crate::logbook::{Logbook, NewEvent, Signed};
use crate::payload::{Payload, Role};
use crate::people::Signer;
use crate::query::ShopWear;
use crate::time::Stamp;

/// A sheet to sign.
#[derive(Debug)]
pub struct ToSign<'a> {
    /// What was typed.
    pub fields: &'a Fields,
    /// The draft that it comes from; it goes with the signature.
    pub draft: Option<DraftId>,
    /// Time of the work where the sheet names none; none = now.
    pub at: Option<Stamp>,
    /// Time of entry; none = now. Only the demo gives one.
    pub entered: Option<Stamp>,
    /// The foreman or engineer who signs.
    pub signer: &'a Signer,
    /// The engineer who orders or releases, where one is needed and does not sign alone.
    pub engineer: Option<&'a Signer>,
    /// The logbook's unit of length.
    pub unit: LengthUnit,
    /// The wear of the shop as it is known, for what is expected of the bearing; none where nobody asked the model.
    pub wear: Option<&'a ShopWear>,
}

impl<'a> ToSign<'a> {
    /// The engineer among those who sign. Refused where there is none and something is said that needs one.
    pub(crate) fn orders(&self, because: &[String]) -> Result<Option<&'a Signer>> {
        let orders = [Some(self.signer), self.engineer]
            .into_iter()
            .flatten()
            .find(|s| s.role == Role::Engineer);
        match because.first().filter(|_| orders.is_none()) {
            Some(why) => Err(StoreError::Refused(format!(
                "the engineer signs too: {why}"
            ))),
            None => Ok(orders),
        }
    }

    /// Writes the sheet: the event is on disk when this returns, and its draft is gone.
    pub(crate) fn write(
        &self,
        logbook: &mut Logbook,
        at: Stamp,
        payload: impl FnOnce(&rusqlite::Connection, Origin) -> Result<Payload>,
    ) -> Result<Signed> {
        logbook.transact(|tx, own, now| {
            let event = NewEvent {
                at,
                payload: payload(tx, own)?,
            };
            let entered = self.entered.unwrap_or(now);
            let signed = write_events(tx, own, &[event], Some(self.signer), entered)?;
            if let Some(id) = self.draft {
                draft::discard_in(tx, id)?;
            }
            let first = signed.into_iter().next();
            first.ok_or_else(|| StoreError::Refused("nothing was written".into()))
        })
    }
}
