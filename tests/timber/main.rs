//! Timber against reference libraries, against print, and against what must hold for every load path.

#[path = "../near/mod.rs"]
mod near;
mod oracle;
mod properties;
mod published;
