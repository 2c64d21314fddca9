//! Mending: what it promises, what it makes of each breach, and what it cannot do.

mod cases;
mod changes;
#[path = "../command_line/mod.rs"]
mod command_line;
mod conflicts;
#[path = "../disturbed/mod.rs"]
mod disturbed;
mod drawn_way;
#[path = "../level_roof/mod.rs"]
mod level_roof;
#[path = "../low_vent/mod.rs"]
mod low_vent;
#[path = "../mended/mod.rs"]
mod mended;
mod promises;
mod room;
mod small;
mod small_hands;
#[path = "../turned_round/mod.rs"]
mod turned_round;
mod ways;
