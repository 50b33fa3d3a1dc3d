//! The window.
//!
//! [`app::App`] holds a [`desk::Desk`] (an open logbook) or the welcome screen. The desk holds the worker, the
//! route and the screens. A frame: screens ask the worker for what is older than the logbook ([`worker::Topic`]),
//! draw what they have, and push [`command::Command`]s; the desk carries these out after the frame.

pub mod app;
pub mod banners;
pub mod choose;
pub mod closing;
pub mod command;
pub mod desk;
pub mod find;
pub mod health;
pub mod help;
pub mod keeper;
pub mod recover;
pub mod route;
pub mod screens;
pub mod sign_in;
pub mod snapshot;
pub mod start;
pub mod watch;
pub mod wear;
pub mod work;
pub mod worker;

#[cfg(test)]
mod care_tests;
#[cfg(test)]
mod opening_tests;
#[cfg(test)]
mod tests;
