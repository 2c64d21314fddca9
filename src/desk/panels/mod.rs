//! The panels around the drawing. Each reads, and asks for changes; none makes any.

mod curves;
mod findings;
mod flow;
mod hygiene;
mod lesson;
mod menu;
mod particulars;
mod status;
mod stores;
mod timber;
mod warmth;
mod words;
mod working;

pub use findings::FindingsList;
pub use flow::ui as flow;
pub use lesson::ui as lesson;
pub use menu::ui as menu;
pub use particulars::{Fields, Particulars, row as particulars_row};
pub use status::ui as status;
pub use stores::Stores;
pub use timber::ui as timber;
pub use warmth::WarmthPanel;
pub use words::explained;
pub use working::ui as working;
