//! A seat that was measured apart from a teardown.

use serde::{Deserialize, Serialize};

use super::SheetBody;
use crate::id::Ref;

/// The neck of a roll in the roll shop, or the bore of an empty chock, was measured.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeatCheck {
    /// The roll or the chock.
    pub thing: Ref,
    /// Which neck of a roll, `O` operator or `D` drive side; empty for a chock.
    pub neck: String,
    /// The bearing type whose limits it was judged by.
    pub bearing_type: Ref,
    /// Readings, results, verdicts.
    pub body: SheetBody,
    /// Why it was measured, and what was said to a warning about the gauge.
    pub note: String,
}
