//! What a file was like when it was read, to tell whether somebody else has written it since.

use std::fs;
use std::hash::{DefaultHasher, Hasher};
use std::path::Path;
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

/// A file as it was when it was read or written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    /// When it was last written, where the system tells.
    pub modified: Option<SystemTime>,
    /// Its length in bytes.
    pub length: u64,
    /// Hash of its bytes. Another build of the program may reckon it otherwise, and then takes the file for a changed one.
    pub hash: u64,
}

impl Stamp {
    /// The stamp of a file whose bytes are known.
    pub(super) fn new(metadata: &fs::Metadata, bytes: &[u8]) -> Self {
        Self { modified: metadata.modified().ok(), length: bytes.len() as u64, hash: hash(bytes) }
    }

    /// Whether a glance at the file shows no change. Cheap; for looking every few seconds.
    #[must_use]
    pub fn looks_current(&self, path: &Path) -> bool {
        fs::metadata(path).is_ok_and(|now| now.len() == self.length && now.modified().ok() == self.modified)
    }

    /// Whether bytes are the ones that were read.
    pub(super) fn is_of(&self, bytes: &[u8]) -> bool {
        self.length == bytes.len() as u64 && self.hash == hash(bytes)
    }
}

fn hash(bytes: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    hasher.write(bytes);
    hasher.finish()
}
