//! One drawing, two renderers. A drawing is a pure function of a plain model and a size; it returns
//! a [`Scene`], a list of shapes with colour tokens instead of colours. The window paints the scene,
//! the printed sheet embeds it as SVG, so what was seen is what is printed.
//!
//! No window, file, clock or database is known here, and every word shown is given by the caller.

pub mod bearing_section;
pub mod bore_map;
pub mod clock;
pub mod font;
mod geometry;
pub mod growth;
mod hatch;
pub mod heat_bar;
pub mod intervals;
pub mod marks;
mod plot;
pub mod ring_map;
pub mod scatter;
pub mod scene;
pub mod seat_trend;
pub mod stack_map;
pub mod stand_view;
mod svg;
mod ticks;
pub mod tokens;
pub mod tolerance_zones;

pub use bearing_section::BearingSection;
pub use bore_map::BoreMap;
pub use clock::Clock;
pub use font::Weight;
pub use growth::Growth;
pub use heat_bar::HeatBar;
pub use intervals::Intervals;
pub use marks::{Glyph, Mark, Pair};
pub use ring_map::RingMap;
pub use scatter::Scatter;
pub use scene::{Align, Hit, Item, Pos, Scene, Shape, Stroke, Text, pos};
pub use seat_trend::SeatTrend;
pub use stack_map::StackMap;
pub use stand_view::StandView;
pub use tokens::{Theme, Token};
pub use tolerance_zones::ToleranceZones;
