//! Files: RON text to layouts and back, errors that point at the place, and saving that loses nothing.

mod fault;
mod head;
mod limits;
mod locate;
mod plain;
mod read;
mod save;
mod short;
mod stamp;
mod stem;
mod stranger;
mod tokens;
mod versions;
mod write;

pub use fault::{Place, ReadError};
pub use read::{parse, parse_ron, read, read_stamped, read_text};
pub use save::{SaveError, hand_over, save, save_headed, save_over};
pub use short::short_text;
pub use stamp::Stamp;
pub use stem::{ENDING, stem_of};
pub use stranger::Stranger;
pub use write::{write_line, write_text};
