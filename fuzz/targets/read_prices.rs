//! Any text as a list of prices: refused with a reason, or put to the take-off of an example.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use loftwright::file;
use loftwright::measure::Site;
use loftwright::takeoff::prices::PriceList;
use loftwright::takeoff::{Takeoff, Terms};

static TAKEOFF: LazyLock<Takeoff> = LazyLock::new(|| {
    let example = include_str!("../../examples/sound_indirect.loft.ron");
    let layout = file::parse(example, "example").expect("the example reads");
    Takeoff::of(&Site::of(&layout), Terms::default())
});

fuzz_target!(|text: &str| {
    match PriceList::parse(text) {
        Ok(prices) => drop(prices.put_to(&TAKEOFF)),
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
