//! Formats of layout files: the one place that tells them apart.
//!
//! A further format gets its own module with the structs as they stood then, and a step that turns them into the
//! next newer ones; the newest is [`Layout`] itself.

use ron::Options;
use ron::error::SpannedError;
use ron::extensions::Extensions;
use serde::Deserialize;

use crate::layout::{FORMAT, Layout};

/// Why text is no layout of a format that is known here.
pub(super) enum Misread {
    /// The text is not what the format asks.
    Ron(SpannedError),
    /// The format is not known here; `None` when none is stated.
    Format(Option<u32>),
}

impl From<SpannedError> for Misread {
    fn from(error: SpannedError) -> Self {
        Self::Ron(error)
    }
}

/// How RON is read and written throughout.
pub(super) fn options() -> Options {
    Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// What every format begins with; whatever else there is does not matter yet.
#[derive(Deserialize)]
#[serde(rename = "Layout")]
struct Head {
    #[serde(default)]
    format: Option<u32>,
}

/// Reads text of any format that is known here, and brings it to the newest.
///
/// Text of the newest format is gone through once; what is wrong with any other hangs on the format that it states.
pub(super) fn parse(text: &str) -> Result<Layout, Misread> {
    let error = match options().from_str::<Layout>(text) {
        Ok(layout) if layout.format == FORMAT => return Ok(layout),
        Ok(layout) => return Err(Misread::Format(Some(layout.format))),
        Err(error) => error,
    };
    let head: Head = options().from_str(text)?;
    match head.format {
        Some(FORMAT) => Err(Misread::Ron(error)),
        other => Err(Misread::Format(other)),
    }
}
