//! Loftwright sets out gravity-fed water and marks on the drawing what is too low, too near, too thin or unknown.

pub mod geom;
pub mod layout;
pub mod units;
