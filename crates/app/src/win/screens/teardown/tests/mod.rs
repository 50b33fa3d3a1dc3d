//! The sheet by keyboard, on made-up facts of stories B and C of the demo plant (demo numbers, invented; the
//! arithmetic is checked against published sources in crate `calc`).

mod bench;
mod count;
mod families;
mod keyboard;
mod paths;
mod rows;
mod why;
