//! Lines of words in panels.

use egui::cache::{ComputerMut, FrameCache};
use egui::{Color32, Context, Id, Label, RichText, Ui};

pub use crate::finding::capital;
use crate::rules::{Piece, Term, Voice, pieces, said};

/// In which reading panels speak from here on.
pub fn speak(ctx: &Context, voice: Voice) {
    ctx.data_mut(|data| data.insert_temp(Id::NULL, voice));
}

/// The reading of the window.
fn voice(ui: &Ui) -> Voice {
    ui.data(|data| data.get_temp(Id::NULL)).unwrap_or_default()
}

/// Words as the reading of the window says them.
#[must_use]
pub fn worded(ui: &Ui, words: &str) -> String {
    match voice(ui) {
        Voice::Plain => ui.memory_mut(|memory| memory.caches.cache::<PlainWords>().get(words).clone()),
        Voice::Trade | Voice::Teaching => words.to_owned(),
    }
}

/// What the last frame said in everyday words: most frames say the same again.
type PlainWords = FrameCache<String, InPlain>;

#[derive(Default)]
struct InPlain;

impl ComputerMut<&str, String> for InPlain {
    fn compute(&mut self, words: &str) -> String {
        said(words, Voice::Plain)
    }
}

/// A line of words that may break.
pub fn line(ui: &mut Ui, words: impl AsRef<str>) {
    ui.add(Label::new(worded(ui, words.as_ref())).wrap());
}

/// The same in a colour.
pub fn coloured(ui: &mut Ui, words: impl AsRef<str>, colour: Color32) {
    ui.add(Label::new(RichText::new(worded(ui, words.as_ref())).color(colour)).wrap());
}

/// The same, standing back.
pub fn weak(ui: &mut Ui, words: impl AsRef<str>) {
    ui.add(Label::new(RichText::new(worded(ui, words.as_ref())).weak()).wrap());
}

/// The same as a small heading.
pub fn strong(ui: &mut Ui, words: impl AsRef<str>) {
    ui.add(Label::new(RichText::new(worded(ui, words.as_ref())).strong()).wrap());
}

/// Words in which each word of the trade can be opened; the one that was, if any. In Plain nobody has to look up what
/// everybody says.
pub fn explained(ui: &mut Ui, words: &str) -> Option<&'static Term> {
    let mut opened = None;
    let is_plain = voice(ui) == Voice::Plain;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for paragraph in words.split("\n\n") {
            ui.horizontal_wrapped(|ui| {
                for piece in pieces(paragraph) {
                    match piece {
                        Piece::Words(words) => {
                            ui.label(words);
                        }
                        Piece::Term(word, term) if is_plain && term.is_everyday() => {
                            ui.label(word);
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
