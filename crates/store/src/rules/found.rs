//! What can be found where: a bearing in a seat or loose, an inner half on a neck, a chock in the mill or in the shop.

use super::{Entry, refused};
use crate::error::Result;
use crate::payload::{Assembled, FoundHere};

impl Entry<'_> {
    /// The sort of thing, and how it is known.
    pub(super) fn found_here(&self, p: &FoundHere) -> Result<()> {
        if p.reason.trim().is_empty() {
            return Err(refused("say how that is known: who saw it, and where"));
        }
        let thing = self.find(&p.thing)?;
        let entity = self.entity(thing)?.unwrap_or_default();
        match (entity.as_str(), &p.on, &p.position) {
            ("bearing", Some(on), None) => self.assembled(&Assembled {
                bearing: p.thing.clone(),
                chock: on.clone(),
                seat: p.seat.clone(),
                zone: p.zone,
                note: String::new(),
            }),
            ("chock", Some(_), Some(_)) | ("bearing" | "chock" | "roll" | "gauge", None, None) => {
                Ok(())
            }
            _ => Err(refused(format!(
                "{} cannot be found there: a bearing is loose, in a seat or on a neck, a chock in the shop or in a \
                 position on a roll, a roll or a gauge in the shop",
                self.code(thing)?
            ))),
        }
    }
}
