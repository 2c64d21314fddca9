//! What is true of a layout: pure functions from the site to readings. No limit lives here.

pub mod cistern;
pub mod cylinder;
pub mod distribution;
pub mod expansion_level;
pub mod find_out;
pub mod headroom;
pub mod hot_store;
pub mod movement;
pub mod open_circuit;
pub mod overflow;
pub mod pipe_fixing;
pub mod platform;
pub mod primary;
pub mod primary_ways;
pub mod room;
pub mod standing;
pub mod vent;
pub mod vent_size;

mod capacity;
mod draining;
mod drawn_first;
mod driving;
mod free_ways;
mod heatings;
mod linked;
mod overflow_level;
mod overflow_way;
mod place;
mod reading;
mod shortest;
mod site;
mod unbranched;
mod vent_ways;
mod water_ways;

pub use capacity::{between_l, cylinder_capacity_l, rim_volume_l, turn_over, water_volume_l};
pub use drawn_first::cold_feed_above_distribution;
pub use driving::{Drives, Side};
pub use hot_store::shortest_hot_paths;
pub use linked::{filled_by_link, linked_cisterns, linked_water_lines, linked_with};
pub use overflow_level::{Invert, overflow_inverts};
pub use overflow_way::OverflowWay;
pub use place::{Feature, Place};
pub use reading::{Axis, Have, Reading, Rest, Room, whole_mm};
pub use site::{Attachment, Joint, Site};
pub use water_ways::{Heating, Leg, has_untold_coil, heating_of};
