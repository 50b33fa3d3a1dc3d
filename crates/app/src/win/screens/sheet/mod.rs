//! What the teardown sheet and the mounting sheet share: typing and taking back, where the caret goes, the fields, the
//! few keys, the list of sections, the signature, the draft that is kept.
//!
//! A sheet is a view that has [`Pages`]: it says which sections it has, in which order its fields stand, and how it is
//! assessed. [`On`] is one frame of it.

pub mod caution;
mod draft;
pub mod entries;
pub mod fields;
pub mod frame;
pub mod layout;
pub mod model;
pub mod pages;
mod quick;
mod screen;
pub mod sign;
pub mod typed;

pub use draft::DraftScreen;
pub use fields::On;
pub use frame::Frame;
pub use pages::{Pages, Wanted};
pub use quick::unit_of;
pub use screen::{Kept, opening_ui};
