//! What the window says, by its accessible names, and what it holds.

use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loftwright::desk::Desk;
use loftwright::layout::Layout;

/// Every line of words that holds some others.
pub fn lines(harness: &Harness<'_, Desk>, holding: &str) -> Vec<String> {
    let found = harness.query_all_by_label_contains(holding);
    found.filter_map(|node| node.accesskit_node().label().or(node.accesskit_node().value())).collect()
}

/// Whether any line holds these words.
pub fn says(harness: &Harness<'_, Desk>, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

/// The layout that is open.
pub fn layout<'h>(harness: &'h Harness<'_, Desk>) -> &'h Layout {
    harness.state().session().layout()
}

/// The names of the parts that are selected.
pub fn selection(harness: &Harness<'_, Desk>) -> Vec<String> {
    harness.state().outlook().selection().iter().map(|id| id.as_str().to_owned()).collect()
}

/// The step that would be undone.
pub fn last_step<'h>(harness: &'h Harness<'_, Desk>) -> Option<&'h str> {
    harness.state().session().undo_label()
}
