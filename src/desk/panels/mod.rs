//! The panels around the drawing. Each reads, and asks for changes; none makes any.

mod findings;
mod flow;
mod menu;
mod particulars;
mod status;
mod stores;
mod working;

pub use findings::FindingsList;
pub use flow::ui as flow;
pub use menu::ui as menu;
pub use particulars::{Particulars, row as particulars_row};
pub use status::ui as status;
pub use stores::Stores;
pub use working::ui as working;
