//! The logbook file: what happened (events in a chain), what follows from it (derived state), and what is not
//! signed yet (drafts).
//!
//! Data flows one way. What somebody enters becomes one or more events; events are appended in one transaction
//! and applied to the derived tables; queries read the derived tables into plain models for the views. Nothing
//! else in the product speaks SQL.
#![cfg_attr(test, allow(clippy::unwrap_used))]

pub mod amending;
pub mod attachment;
pub mod backup;
pub mod draft;
pub mod drive;
pub mod entry;
pub mod error;
pub mod event;
pub mod form;
pub mod id;
pub mod line;
pub mod lock;
pub mod logbook;
pub mod merge;
pub mod mounting;
pub mod note;
pub mod payload;
pub mod people;
pub mod query;
pub mod rows;
pub mod sheet;
pub mod time;
pub mod verify;

mod append;
mod migrate;
mod peek;
mod reach;
mod rules;
mod schema;
mod state;

pub use error::{Result, StoreError};
pub use id::{EventId, Origin, Ref, ThingNo};
pub use logbook::{Access, Damage, Foretold, Hands, Logbook, NewEvent, Seen, Signed};
pub use people::Signer;
pub use rusqlite::Connection;
pub use time::{Clock, Entropy, Precision, Stamp};
