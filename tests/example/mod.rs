//! The examples, read as any user reads them.

use std::path::Path;

use loftwright::file;
use loftwright::layout::Layout;

/// The example of this name.
pub fn example(name: &str) -> Layout {
    let path = format!("{}/examples/{name}.loft.ron", env!("CARGO_MANIFEST_DIR"));
    file::read(Path::new(&path)).unwrap_or_else(|error| panic!("{error}"))
}
