//! Timber against reference libraries, against print, and against what must hold for every load path.

mod oracle;
mod properties;
mod published;
