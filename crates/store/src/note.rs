//! The note for the next shift: words for the hand-over, kept in this copy and no part of the record.

use rusqlite::Connection;
use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::logbook::{Logbook, get};
use crate::time::Stamp;

/// The setting that holds it.
const SETTING: &str = "handover.note";

/// What the shift before wants the next to know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShiftNote {
    /// The words.
    pub text: String,
    /// Who was at work; empty where nobody was.
    pub who: String,
    /// When.
    pub at: Stamp,
}

#[derive(Serialize, Deserialize)]
struct Kept {
    text: String,
    who: String,
    at_ms: i64,
    offset_min: i64,
}

/// The note that was left last; none where there is none, or it was taken away again.
pub fn shift_note(conn: &Connection) -> Result<Option<ShiftNote>> {
    // What cannot be read any more is no note.
    let kept = get(conn, SETTING)?.and_then(|text| serde_json::from_str::<Kept>(&text).ok());
    Ok(kept
        .filter(|kept| !kept.text.is_empty())
        .map(|kept| ShiftNote {
            text: kept.text,
            who: kept.who,
            at: Stamp::second(kept.at_ms, kept.offset_min),
        }))
}

impl Logbook {
    /// Leaves a note instead of the one before; an empty one takes it away.
    ///
    /// # Errors
    /// What the database says.
    pub fn leave_note(&mut self, text: &str, who: &str) -> Result<()> {
        let now = self.now();
        let kept = Kept {
            text: text.trim().to_owned(),
            who: who.to_owned(),
            at_ms: now.ms,
            offset_min: now.offset_min,
        };
        let text = serde_json::to_string(&kept).unwrap_or_default();
        self.set_setting(SETTING, &text)
    }
}
