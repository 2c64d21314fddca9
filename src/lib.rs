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
//! geom: may use units
//! catalogue: may use units
//! layout: may use units, geom, catalogue
//! file: may use spelling, layout
//! measure: may use units, geom, catalogue, layout
//! rules: may use units, spelling, catalogue, layout, measure
//! finding: may use units, layout, measure, rules
//! scene: may use units, geom, catalogue, layout, measure, rules, finding
//! sheet: may use units, geom, layout, rules, finding, scene
//! water:
//! session: may use units, geom, layout, file, measure, rules, finding
//! cli: may use units, spelling, layout, file, measure, rules, finding, scene, sheet, session
//! desk: may use units, geom, catalogue, layout, file, measure, rules, finding, scene, sheet, session
//! ```

pub mod catalogue;
pub mod cli;
#[cfg(feature = "desk")]
pub mod desk;
pub mod file;
pub mod finding;
pub mod geom;
pub mod layout;
pub mod measure;
pub mod rules;
pub mod scene;
pub mod session;
pub mod sheet;
pub mod spelling;
pub mod units;
pub mod water;
