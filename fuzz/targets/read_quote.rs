//! Any text as a quote, in lines and as CSV, set against an example.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use loftwright::file;
use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::takeoff::{Takeoff, Terms, quote};

static EXAMPLE: LazyLock<(Layout, Takeoff, Findings)> = LazyLock::new(|| {
    let example = include_str!("../../examples/low_loft.loft.ron");
    let layout = file::parse(example, "example").expect("the example reads");
    let site = Site::of(&layout);
    let (takeoff, findings) = (Takeoff::of(&site, Terms::default()), Findings::of(&site));
    drop(site);
    (layout, takeoff, findings)
});

fuzz_target!(|text: &str| {
    let (layout, takeoff, findings) = &*EXAMPLE;
    let as_text = quote::lines_of_text(text);
    let _ = quote::compare(layout, takeoff, findings, &as_text);
    // The same lines have the same answer.
    if let Ok(lines) = quote::lines_of_csv(text)
        && lines != as_text
    {
        let _ = quote::compare(layout, takeoff, findings, &lines);
    }
});
