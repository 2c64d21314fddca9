//! Any text typed into any field: refused with an example, or an ordinary number.
#![no_main]

use libfuzzer_sys::fuzz_target;
use loftwright::units::Entry;

const ENTRIES: [Entry; 12] = [
    Entry::Length,
    Entry::Volume,
    Entry::Mass,
    Entry::Temperature,
    Entry::Power,
    Entry::Pressure,
    Entry::Flow,
    Entry::Time,
    Entry::HeatLoss,
    Entry::Conductance,
    Entry::SurfaceLoad,
    Entry::Number,
];

fuzz_target!(|text: &str| {
    for entry in ENTRIES {
        match entry.parse(text) {
            Ok(number) => assert!(number.is_finite()),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
});
