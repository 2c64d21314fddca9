//! Any text as a profile: refused with a reason, or read and asked for its differences.
#![no_main]

use libfuzzer_sys::fuzz_target;
use loftwright::rules::Profile;

fuzz_target!(|text: &str| {
    match Profile::parse(text) {
        Ok(profile) => drop(profile.differences()),
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
