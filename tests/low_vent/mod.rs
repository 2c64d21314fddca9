//! A sound layout with its vent too low.

use loftwright::geom::Point;
use loftwright::layout::{End, Layout};

/// The sound example with the top of its vent 192 mm above the water line, the open end still clear of the float valve.
pub fn with_low_vent(sound: &Layout) -> Layout {
    let mut low = sound.clone();
    let vent = low.runs.iter_mut().find(|run| run.id.as_str() == "open-vent").expect("a vent");
    vent.via = vec![Point::mm(3650.0, 5865.0), Point::mm(2300.0, 5880.0)];
    vent.to = End::Open(Point::mm(2300.0, 5840.0));
    low
}
