//! Four cards for a first look round. They cover nothing that has to be used, and ask for nothing.

use egui::{Align2, Area, Context, Frame, Id, Label, Order, RichText, vec2};

use super::naming;
use super::theme::Palette;
use crate::rules::Voice;

/// The cards.
const CARDS: [(&str, &str); 4] = [
    (
        "The drawing",
        "You look at a house cut open from the side. Drag a part and everything joined to it follows; heights are read \
         on the staff at the left. Scroll to move about, Ctrl and scroll to come nearer, F to see it all.",
    ),
    (
        "Stores and Particulars",
        "On the left, Stores holds what can be placed: click one, then click where it goes. Below it, Particulars \
         holds the numbers of what is selected. Type them in any unit: 450, 1.2 m, 18 in, 25 gal.",
    ),
    (
        "Findings",
        "On the right stands what the rules say, heaviest first: what breaks one, what is too near to tell, and what \
         nobody has told yet. Click a finding to see how it was reckoned and what would put it right. Trade, Teaching \
         and Plain say it in other words.",
    ),
    (
        "Flow, Warmth, Timber",
        "At the top are more looks at the same drawing. Press / and type a few letters to have anything done by name. \
         This tour waits under Help.",
    ),
];

/// Width of a card, in points.
const WIDTH: f32 = 480.0;

/// Which card is shown.
#[derive(Default)]
pub struct Tour {
    at: usize,
}

/// What is done with the cards.
pub enum Turn {
    /// To another card.
    To(Tour),
    /// Away with them.
    Away,
    /// To the answers from which a whole system is drawn.
    Answers,
}

impl Tour {
    /// Shows the card; what is done with it, once something is.
    pub fn ui(&self, ctx: &Context, voice: Voice) -> Option<Turn> {
        let at = self.at;
        let (heading, words) = CARDS[at];
        let (heading, words) = (naming::in_words_of(voice, heading), naming::in_words_of(voice, words));
        let palette = Palette::of(&ctx.global_style().visuals);
        let frame = Frame::popup(&ctx.global_style())
            .inner_margin(16.0)
            .fill(palette.card)
            .stroke(egui::Stroke::new(2.0, palette.select));
        let place = Area::new(Id::unique("tour")).order(Order::Foreground);
        let shown = place.anchor(Align2::CENTER_BOTTOM, vec2(0.0, -48.0)).show(ctx, |ui| {
            frame
                .show(ui, |ui| {
                    ui.set_width(WIDTH.min(ctx.content_rect().width() - 60.0));
                    ui.heading(heading);
                    ui.add(Label::new(words).wrap());
                    ui.add_space(8.0);
                    let mut turn = None;
                    ui.horizontal(|ui| {
                        // Each button has one place on all cards.
                        if ui.add_enabled(at > 0, egui::Button::new("Card before")).clicked() {
                            turn = Some(Turn::To(Self { at: at - 1 }));
                        }
                        let last = at + 1 == CARDS.len();
                        let (name, next) =
                            if last { ("Begin", Turn::Away) } else { ("Next card", Turn::To(Self { at: at + 1 })) };
                        if ui.button(name).clicked() {
                            turn = Some(next);
                        }
                        if ui.add_enabled(!last, egui::Button::new("Leave the tour")).clicked() {
                            turn = Some(Turn::Away);
                        }
                        let whole = "Draws a whole system from a few answers about the house";
                        if (at == 0 || last) && ui.button("Start from answers").on_hover_text(whole).clicked() {
                            turn = Some(Turn::Answers);
                        }
                        ui.label(RichText::new(format!("{} of {}", at + 1, CARDS.len())).weak());
                    });
                    turn
                })
                .inner
        });
        shown.inner
    }
}
