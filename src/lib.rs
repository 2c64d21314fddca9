//! Loftwright sets out gravity-fed water and marks on the drawing what is too low, too near, too thin or unknown.
//!
//! The flow: a *file* is read into a *layout*; *measure* says what is true of it; the *rules* are held against that;
//! the *findings* are put into words and, by *scene* and *sheet*, on the drawing. A *session* holds the open layout,
//! and *cli* and *desk* are the two ways in.
//!
//! Who may use whom. `tests/tidy.rs` reads this list and holds the house to it; a room uses only rooms above it.
//!
//! ```text
//! units:
//! spelling:
//! num:
//! geom: may use units
//! catalogue: may use units
//! layout: may use units, geom, catalogue
//! file: may use spelling, layout
//! measure: may use units, num, geom, catalogue, layout
//! water: may use units, num, geom, catalogue, layout, measure
//! heat: may use units, num, geom, catalogue, layout, measure, water
//! timber: may use units, num, geom, catalogue, layout, measure
//! rules: may use units, spelling, catalogue, layout, measure, water, heat, timber
//! finding: may use units, layout, measure, water, heat, timber, rules
//! sum: may use units, spelling, catalogue, layout, measure, water, heat, timber, rules
//! takeoff: may use units, spelling, num, geom, catalogue, layout, measure, timber, rules, finding
//! mend: may use units, num, geom, catalogue, layout, measure, water, heat, timber, rules, finding
//! outset: may use units, catalogue, geom, layout, measure, water, heat, rules, finding
//! compare: may use units, layout, measure, water, rules, finding, takeoff
//! scene: may use units, geom, catalogue, layout, measure, water, heat, timber, rules, finding, mend
//! lesson: may use units, spelling, num, geom, catalogue, layout, file, measure, water, heat, rules, finding, sum, takeoff, mend, scene
//! sheet: may use units, geom, layout, file, measure, water, heat, timber, rules, finding, sum, takeoff, scene, lesson
//! session: may use units, geom, layout, file, measure, water, heat, timber, rules, finding, mend, lesson
//! cli: may use units, spelling, catalogue, layout, file, measure, water, heat, timber, rules, finding, sum, takeoff, mend, outset, compare, scene, lesson, sheet, session
//! desk: may use units, geom, catalogue, layout, file, measure, water, heat, timber, rules, finding, sum, takeoff, mend, outset, compare, scene, lesson, sheet, session
//! ```

pub mod catalogue;
pub mod cli;
pub mod compare;
#[cfg(feature = "desk")]
pub mod desk;
pub mod file;
pub mod finding;
pub mod geom;
pub mod heat;
pub mod layout;
pub mod lesson;
pub mod measure;
pub mod mend;
pub mod num;
pub mod outset;
pub mod rules;
pub mod scene;
pub mod session;
pub mod sheet;
pub mod spelling;
pub mod sum;
pub mod takeoff;
pub mod timber;
pub mod units;
pub mod water;
