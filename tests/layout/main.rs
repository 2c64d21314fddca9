//! Layouts: read and written, begun, surveyed, moved and undone.

#[path = "../generated/mod.rs"]
mod generated;
mod grouping;
mod moving;
mod outset;
mod properties;
mod survey;
