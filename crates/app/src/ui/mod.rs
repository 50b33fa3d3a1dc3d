//! The kit every page is built from: theme, text, drawings, fields, rows, frames and keys.
//!
//! Nothing here knows the trade. A control takes plain data and says what was done with it; what
//! that means is the page's business.

pub mod focus;
pub mod frames;
pub mod keys;
pub mod paint;
pub mod text;
pub mod theme;
pub mod widgets;
