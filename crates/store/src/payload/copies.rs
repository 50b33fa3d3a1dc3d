//! What brings copies of one logbook together again.

use serde::{Deserialize, Serialize};

use super::Previous;
use crate::id::Ref;

/// Events of other copies were taken in. Their own signatures stand in them; this one only says which.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Merged {
    /// The end of each chain that brought something.
    pub heads: Vec<Previous>,
}

/// Two entries of the register are one thing: two copies registered it, each for itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ThingsJoined {
    /// The thing that it goes on as.
    pub kept: Ref,
    /// The entry that means the same.
    pub joined: Ref,
    /// How that is known.
    pub reason: String,
}

/// The engineer has settled why an event does not fit beside the others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ConflictResolved {
    /// The event that did not fit.
    pub event: Ref,
    /// What was true.
    pub how: String,
}
