//! Loftwright sets out gravity-fed water and marks on the drawing what is too low, too near, too thin or unknown.

pub mod catalogue;
pub mod finding;
pub mod geom;
pub mod layout;
pub mod measure;
pub mod rules;
pub mod scene;
pub mod session;
pub mod sheet;
pub mod units;
