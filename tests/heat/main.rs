//! Heat against reference libraries, against print, and against what must hold for any numbers.

mod drawing;
#[path = "../example/mod.rs"]
mod example;
#[path = "../generated/mod.rs"]
mod generated;
#[path = "../near/mod.rs"]
mod near;
mod oracle;
mod properties;
mod published;
