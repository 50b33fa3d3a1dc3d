//! What stands around a page: top strip, rail, section list, panel, footer, and what floats over it.
//!
//! Each is an egui panel and is called in this order: strip, rail or sections, side panel, footer,
//! body. The body comes last and takes what room is left.

mod bodies;
mod choices;
mod floats;
mod rail;
mod sections;
mod strip;

pub use bodies::{Footer, footer, name_page, page_body, panel_width, sheet_body, side_panel};
pub use choices::{Choosable, Chosen, choices};
pub use floats::{HelpPart, dialog, help_sheet};
pub use rail::{RailItem, ground, rail};
pub use sections::{Section, SectionMark, sections};
pub use strip::{Left, Strip, StripOut, top_strip};
