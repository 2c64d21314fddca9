//! Lines of words in panels.

use egui::{Color32, Label, RichText, Ui};

pub use crate::finding::capital;
use crate::rules::{Piece, Term, pieces};

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

/// Words in which each word of the trade can be opened; the one that was, if any.
pub fn explained(ui: &mut Ui, words: &str) -> Option<&'static Term> {
    let mut opened = None;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for paragraph in words.split("\n\n") {
            ui.horizontal_wrapped(|ui| {
                for piece in pieces(paragraph) {
                    match piece {
                        Piece::Words(words) => {
                            ui.label(words);
                        }
                        Piece::Term(word, term) => {
                            if ui.link(word).on_hover_text(&term.words).clicked() {
                                opened = Some(term);
                            }
                        }
                    }
                }
            });
        }
    });
    opened
}
