//! Where a layout begins: from a few answers, from a tried beginning, or from what a tape has found on site.
//!
//! [`set_out`] builds a whole layout out of [`Answers`] and holds it against the rules before it hands it over. Where the
//! answers leave no room it says what is in the way, by how much, and which answer to change; each such way out has been
//! tried. A pure function: the same answers give the same layout.

mod answers;
mod as_usual;
mod attempt;
mod beginnings;
mod building;
mod choices;
mod limits;
mod pipes;
mod positions;
mod survey;
mod text;
pub mod usual_house;
mod vessels;
mod way_out;
mod ways;
mod wide_enough;

pub use answers::{Answers, CisternFor, Draw, Heating, HotStore, JoistAnswers, LoftAnswers, Winter};
pub use as_usual::{edits_as_usual, told_as_usual};
pub use attempt::{Obstacle, SetOut, set_out};
pub use beginnings::{BEGINNINGS, Beginning};
pub use survey::{Asked, FOUND, Found, FoundField, surveyed};
pub use way_out::{Reason, Refusal, WayOut};
pub use wide_enough::wide_enough;
