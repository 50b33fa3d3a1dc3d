//! The wear of the shop for a long run of sheets, one after the other.

use rusqlite::Connection;

use super::{ShopWear, shop_wear};
use crate::error::Result;

/// Sheets after which the fit is made anew: so few readings move that of a shop little, and what a bearing's own readings
/// say is counted at once.
const EVERY: usize = 50;

/// A fit that is made anew from time to time.
#[derive(Debug, Default)]
pub struct KeptWear {
    fit: Option<ShopWear>,
    /// Sheets since then; none before the first.
    since: Option<usize>,
}

impl KeptWear {
    /// Sees to the fit before the next sheet.
    ///
    /// # Errors
    /// What the database says.
    pub fn refresh(&mut self, conn: &Connection) -> Result<()> {
        let since = self.since.filter(|since| *since < EVERY);
        if since.is_none() {
            self.fit = shop_wear(conn, None)?.ok();
        }
        self.since = Some(since.unwrap_or(0) + 1);
        Ok(())
    }

    /// The fit; none where nothing has grown yet.
    pub fn wear(&self) -> Option<&ShopWear> {
        self.fit.as_ref()
    }
}
