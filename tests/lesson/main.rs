//! Lessons: planted faults are exactly what the checker finds, keys mark themselves full, the same seed gives the same bytes.

#[path = "../command_line/mod.rs"]
mod command_line;
mod demonstrations;
#[path = "../example/mod.rs"]
mod example;
mod marking;
mod planting;
