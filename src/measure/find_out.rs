//! What to find out where a layout does not tell: questions that stand in several measures, each in one wording.

use crate::layout::Id;
use crate::units::{Amount, Size};

/// Of a cylinder to which no cold feed leads.
pub const COLD_FEED: &str = "draw the cold feed, from the cistern to the cylinder's cold inlet";

/// Of a heating without a cistern that a pipe joins to the main.
pub const FILLING_LOOP: &str =
    "see by what the main fills the heating: by a loop that is taken off once it is full, or by a pipe that stays";

/// Of a cylinder from which no vent leads.
pub const VENT: &str = "draw the open vent, from the cylinder's top or the draw-off to its open end";

/// Of a vent of the heating that belongs to no feed-and-expansion cistern.
pub const EXPANSION_CISTERN: &str = "draw the feed-and-expansion cistern that it belongs to, and its feed";

/// Of a heating.
pub const WHETHER_PUMPED: &str = "tell whether a pump moves the water of the heating";

/// How a cistern is closed.
pub const LID: &str = "see whether the lid is rigid, close and fixed";

/// Of a float valve.
pub const FLOAT_VALVE_OUTLET: &str = "measure where the float valve lets the water go, above the base";

/// Of a float valve.
pub const SEAT: &str = "read the bore of the float valve's seat, or its pressure class";

/// Of a cistern.
pub const DIP_TUBE: &str = "see whether the warning pipe has a dip tube, and where it ends";

/// Of the house.
pub const MAIN_PRESSURE: &str = "measure the pressure of the main";

/// Of a cistern.
pub const JACKET: &str = "see whether sides and top are insulated";

/// Of an outlet that no drawn pipe joins to a cistern.
pub const WAY_FROM_CISTERN: &str = "draw the way of its water from a cistern";

/// Of a cylinder.
pub const THERMOSTAT: &str = "read the setting of the cylinder's thermostat, and measure it";

/// Of a platform.
pub const BOARD_THICKNESS: &str = "measure the thickness of the board at a cut edge";

/// Of timbers that are told thicker than they are apart, each in the next: nothing is reckoned from them.
#[must_use]
pub fn timbers_in_one_another(timbers: &str, count: u32, (breadth, spacing): (Size, Size)) -> Option<String> {
    (count > 1 && breadth > spacing).then(|| {
        format!(
            "measure the {timbers} again: {} thick, as they are told, and {} from middle to middle",
            Amount::mm(breadth.to_mm()),
            Amount::mm(spacing.to_mm())
        )
    })
}

/// Of a cistern.
#[must_use]
pub fn water_line(cistern: &Id) -> String {
    format!("measure the water line of {} above its base", cistern.with_article())
}

/// Of a feed-and-expansion cistern, whose water rises as it gets warm.
#[must_use]
pub fn cold_water_line(cistern: &Id) -> String {
    format!("{}, cold", water_line(cistern))
}

/// Of a cylinder of which nobody has told whether immersion heaters are in it.
#[must_use]
pub fn immersions(cylinder: &Id) -> String {
    format!("see whether {} has an immersion heater", cylinder.with_article())
}

/// Of a boiler that stands too high for its water to rise to a coil by itself, and that has no pump.
#[must_use]
pub fn how_heated(boiler: &Id, cylinder: &Id) -> String {
    format!(
        "ask how {} is meant to heat {}: no pump moves its water, and it stands no lower than the coil",
        boiler.with_article(),
        cylinder.with_article()
    )
}

/// Of a part that the section cuts.
#[must_use]
pub fn front_to_back(part: &Id) -> String {
    format!("measure {} front to back", part.with_article())
}

/// The same, where it matters as well how far in front of the section or behind it the part is.
#[must_use]
pub fn front_to_back_and_place(part: &Id) -> String {
    format!("{}, and how it stands to the section", front_to_back(part))
}

/// Of a run whose bore is wanted.
#[must_use]
pub fn material_and_size(run: &Id) -> String {
    format!("tell the material and size of {}", run.with_article())
}

/// Of a run whose outside is wanted.
#[must_use]
pub fn size(run: &Id) -> String {
    format!("tell the size of {}", run.with_article())
}

/// Of a run.
#[must_use]
pub fn insulation(run: &Id) -> String {
    format!("see how far {} is insulated", run.with_article())
}

/// Of a run in which some kind of valve or a drain cock is looked for.
#[must_use]
pub fn valves(run: &Id) -> String {
    format!("see which valves and drain cocks are in {}", run.with_article())
}

/// Of a run in which there should be no valve of any kind.
#[must_use]
pub fn any_valve(run: &Id) -> String {
    format!("see whether there is a valve in {}", run.with_article())
}

/// Of a run that is drawn in part.
#[must_use]
pub fn rest_of_run(run: &Id) -> String {
    format!("draw {} to its end: it goes on beyond the drawing", run.with_article())
}
