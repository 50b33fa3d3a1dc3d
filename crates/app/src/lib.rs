//! The `chockbook` program: a window over a logbook, and the same work from the command line.
//!
//! Data flows one way: store, snapshot, view, command, store. No query runs in a frame: [`win::worker`] owns the
//! logbook on a thread of its own, screens show what it answered last, and what a person does becomes a
//! [`win::command::Command`] that is carried out after the frame.
#![cfg_attr(test, allow(clippy::unwrap_used))]

pub mod bench;
pub mod cli;
pub mod drawings;
pub mod hands;
pub mod print;
pub mod ui;
pub mod win;
