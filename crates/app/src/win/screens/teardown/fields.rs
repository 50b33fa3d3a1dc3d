//! One frame of the teardown sheet.

use store::sheet::Facts;

use super::view::SheetView;
use crate::win::screens::sheet::On;
pub(super) use crate::win::screens::sheet::layout::{badge_at, field_at, labelled, room, strip};
pub(super) use crate::win::screens::sheet::model::mark;

/// One frame of the sheet.
pub type Sheet<'a> = On<'a, SheetView>;

impl Sheet<'_> {
    pub(super) fn facts(&self) -> &Facts {
        self.facts
    }
}
