//! What is said about an event that was signed: it is amended, confirmed by a second person, opened again.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::id::Ref;

/// An event is amended. It stays as it was written; what counts from now on is it with these changes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Amendment {
    /// The event.
    pub event: Ref,
    /// Why the whole event never happened; empty where it did. Of an import: of every campaign that came with it.
    pub withdrawn_because: String,
    /// What was written down wrongly.
    pub changes: Vec<Change>,
    /// What follows from it: results and verdicts, by the limits of the event's day and the method of today.
    pub follows: Vec<Change>,
}

/// One place in a payload.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Change {
    /// Where: a JSON pointer (RFC 6901) into the payload.
    pub path: String,
    /// What stands there.
    pub old: Value,
    /// What is true.
    pub new: Value,
    /// How that is known; empty for what only follows.
    pub reason: String,
}

/// A second person has looked at a sheet and stands for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Countersigned {
    /// The sheet.
    pub sheet: Ref,
    /// What was looked at again.
    pub text: String,
}

/// A sheet is open again: its bearing waits until it was amended and countersigned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SheetReopened {
    /// The sheet.
    pub sheet: Ref,
    /// Why.
    pub reason: String,
}
