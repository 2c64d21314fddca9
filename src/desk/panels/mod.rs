//! The panels around the drawing. Each reads, and asks for changes; none makes any.

mod choices;
mod curves;
mod findings;
mod flow;
mod hygiene;
mod lesson;
mod mend;
mod menu;
mod particulars;
mod preview;
mod quote;
mod status;
mod stores;
mod takeoff;
mod timber;
mod warmth;
mod words;
mod working;

pub use findings::FindingsList;
pub use flow::ui as flow;
pub use lesson::ui as lesson;
pub use mend::ui as mend;
pub use menu::{NOT_SAVED, ui as menu};
pub use particulars::{Fields, Particulars, Tell, Unseen, row as particulars_row};
pub use preview::Preview;
pub use quote::ui as quote;
pub use status::{OnDrawing, ui as status};
pub use stores::Stores;
pub use takeoff::{list as takeoff_list, terms as takeoff_terms, write as takeoff_write};
pub use timber::ui as timber;
pub use warmth::WarmthPanel;
pub use words::{explained, line, speak, strong, weak, worded};
pub use working::ui as working;
