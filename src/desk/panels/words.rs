//! Lines of words in panels.

use egui::{Color32, Label, RichText, Ui};

pub use crate::finding::capital;

/// A line of words that may break.
pub fn line(ui: &mut Ui, words: impl Into<String>) {
    ui.add(Label::new(words.into()).wrap());
}

/// The same in a colour.
pub fn coloured(ui: &mut Ui, words: impl Into<String>, colour: Color32) {
    ui.add(Label::new(RichText::new(words.into()).color(colour)).wrap());
}

/// The same, standing back.
pub fn weak(ui: &mut Ui, words: impl Into<String>) {
    ui.add(Label::new(RichText::new(words.into()).weak()).wrap());
}
