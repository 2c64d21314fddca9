//! Layouts: read and written, begun, surveyed, moved and undone.

mod as_usual;
#[path = "../generated/mod.rs"]
mod generated;
mod grouping;
mod moving;
mod outset;
mod properties;
mod survey;
