//! Lessons: faults planted in a sound layout and marked, sums to practise, demonstrations to step through, a course record.
//!
//! The same seed gives the same exercise everywhere. Nothing here reads a clock, and nothing leaves the machine.

mod answers;
mod class;
pub mod demonstration;
mod hint;
mod key;
mod mark;
mod plant;
pub mod practice;
mod record;
mod schedule;
mod shift;
mod slip;
mod topic;

pub use answers::{AnswersError, Claim, Sheet, read_answers};
pub use class::{Learner, class_of};
pub use hint::{Hint, hints};
pub use key::{Allowed, Exercise, Fault, KEY_FORMAT, Key, Need};
pub use mark::{
    Credit, HINT, MarkedClaim, MarkedFault, MarkedPaper, Marks, NUMBER, PLACE, RULE, WRONG, mark, mark_all,
};
pub use plant::{PlantError, Planted, Repertoire, Wish};
pub use record::{Attempt, CourseRecord, RECORD_FORMAT};
pub use schedule::schedule;
pub use topic::{Of, OfError};

/// What is kept of a lesson as RON text: the same bytes on every system.
fn ron_text(kept: &impl serde::Serialize) -> String {
    let config =
        ron::ser::PrettyConfig::new().new_line("\n".to_owned()).extensions(ron::extensions::Extensions::IMPLICIT_SOME);
    ron::ser::to_string_pretty(kept, config).expect("keys and records hold numbers, words and lists only") + "\n"
}
