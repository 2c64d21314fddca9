//! Examples put out at random: parts shifted, connections moved, valves lost.

use loftwright::file;
use loftwright::layout::{Edit, Id, Layout, apply};
use loftwright::mend::Handle;
use loftwright::units::Length;

/// A row of numbers that is always the same.
pub struct Seeds(u64);

impl Seeds {
    /// The row that begins with a number.
    pub const fn from(first: u64) -> Self {
        Self(first)
    }

    /// The next number, from 0 to 1.
    pub fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 33).expect("31 bits")) / f64::from(1_u32 << 31)
    }

    /// The next number, from one to another.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

/// An example with some of its parts shifted at random, some connections moved, some valves lost.
pub fn disturbed(text: &str, seeds: &mut Seeds) -> Layout {
    let mut layout = file::parse(text, "example").expect("the example reads");
    let ids: Vec<Id> = layout.parts().map(|part| part.id().clone()).collect();
    for id in ids {
        if seeds.next() < 0.25 {
            let (right, up) = (Length::mm(seeds.between(-300.0, 300.0)), Length::mm(seeds.between(-250.0, 250.0)));
            let parts = layout.with_what_stands_on(&id);
            layout = apply(&layout, &Edit::Shift { parts, right, up }).unwrap_or(layout);
        }
    }
    for handle in Handle::all(&layout, &[]) {
        if seeds.next() < 0.15 {
            let (back, forth) = handle.bounds_mm(&layout);
            let by = seeds.between(back.max(-200.0), forth.min(200.0));
            let edit = handle.edit(&layout, by);
            layout = edit.and_then(|edit| apply(&layout, &edit).ok()).unwrap_or(layout);
        }
    }
    for run in &mut layout.runs {
        if seeds.next() < 0.1 {
            run.fittings = Some(Vec::new());
        }
    }
    layout
}
