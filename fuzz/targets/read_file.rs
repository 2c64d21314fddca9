//! Any text as a layout file: refused with a reason, or read, written, read again as the same, and judged.
#![no_main]

use libfuzzer_sys::fuzz_target;
use loftwright::file;
use loftwright::finding::Findings;
use loftwright::measure::Site;

fuzz_target!(|text: &str| {
    let layout = match file::parse(text, "fuzzed") {
        Ok(layout) => layout,
        Err(error) => {
            assert!(!error.to_string().is_empty());
            let _ = error.caret();
            return;
        }
    };
    let again = file::parse(&file::write_text(&layout), "written").expect("what was written reads");
    assert_eq!(layout, again);
    let _ = Findings::of(&Site::of(&layout)).counts();
});
