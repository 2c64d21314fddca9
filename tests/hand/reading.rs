//! What the window says, by its accessible names.

use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loftwright::desk::Desk;

/// Every line of words that holds some others.
pub fn lines(harness: &Harness<'_, Desk>, holding: &str) -> Vec<String> {
    let found = harness.query_all_by_label_contains(holding);
    found.filter_map(|node| node.accesskit_node().label().or(node.accesskit_node().value())).collect()
}
