//! The list that answers to typed words: every command by a few letters of its name, given with Enter.

use egui::{Button, Key, Modifiers, RichText, ScrollArea, TextEdit, Ui, vec2};
use nucleo_matcher::pattern::{CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher};

use super::commands::{self, Can, Command};
use super::dialogs::Answer;
use super::panels::worded;
use super::{Outlook, theme::Palette};
use crate::rules::said;
use crate::session::Session;

/// What is asked for, and which answer would be taken.
#[derive(Default)]
pub struct Asking {
    text: String,
    at: usize,
    asked: bool,
}

/// A command as it stands just now, as the letters typed are held against it.
struct Offer {
    command: Command,
    name: String,
    can: Can,
    /// What it would do, its names, description and menu.
    words: String,
}

impl AsRef<str> for Offer {
    fn as_ref(&self) -> &str {
        &self.words
    }
}

/// The commands whose words hold the letters, the nearest first.
fn offers(text: &str, session: &Session, outlook: &Outlook) -> Vec<Offer> {
    let offers = commands::all().filter_map(|(menu, command)| {
        let standing = command.standing(session, outlook);
        let names = command.names().join(" ");
        let name = said(&standing.name, outlook.voice);
        let words = format!("{name} {names} {} {menu}", command.about().description);
        let worth_offering = !name.is_empty() && !matches!(command, Command::Ask | Command::Escape);
        worth_offering.then_some(Offer { command, name, can: standing.can, words })
    });
    if text.trim().is_empty() {
        return offers.collect();
    }
    let pattern = Pattern::parse(text, CaseMatching::Ignore, Normalization::Smart);
    let mut matcher = Matcher::new(Config::DEFAULT);
    let mut found: Vec<Offer> = pattern.match_list(offers, &mut matcher).into_iter().map(|(offer, _)| offer).collect();
    // What is called so stands before what is only described so.
    let typed = text.trim().to_lowercase();
    let is_called = |offer: &Offer| offer.command.names().iter().any(|name| name.to_lowercase().contains(&typed));
    found.sort_by_key(|offer| !is_called(offer));
    found
}

impl Asking {
    /// Shows the field and the offers; the command, once one is taken.
    pub fn ui(&mut self, ui: &mut Ui, session: &Session, outlook: &Outlook) -> Option<Answer> {
        ui.heading("What should be done?");
        // Taken before the field can, which would move its own cursor.
        let (down, up, taken) = ui.input_mut(|input| {
            let down = input.count_and_consume_key(Modifiers::NONE, Key::ArrowDown);
            let up = input.count_and_consume_key(Modifiers::NONE, Key::ArrowUp);
            (down, up, input.consume_key(Modifiers::NONE, Key::Enter))
        });
        let edit = TextEdit::singleline(&mut self.text).hint_text("A few letters").desired_width(f32::INFINITY);
        let field = ui.add(edit);
        let name = "A few letters of what should be done";
        field.widget_info(|| egui::WidgetInfo::text_edit(true, "", &self.text, name));
        let field = field.accessible_name(name);
        if !self.asked {
            self.asked = true;
            field.request_focus();
        }
        let offers = offers(&self.text, session, outlook);
        if field.changed() {
            self.at = 0;
        }
        self.at = (self.at + down).saturating_sub(up).min(offers.len().saturating_sub(1));
        let mut answer = None;
        if let Some(offer) = offers.get(self.at).filter(|offer| taken && offer.can == Can::Yes) {
            answer = Some(Answer::Give(offer.command));
        }
        ui.add_space(6.0);
        let most = (ui.ctx().content_rect().height() - 220.0).clamp(120.0, 420.0);
        let palette = Palette::of(ui.visuals());
        ScrollArea::vertical().max_height(most).auto_shrink([false, true]).show(ui, |ui| {
            if offers.is_empty() {
                ui.label("Nothing is called so.");
            }
            for (number, offer) in offers.iter().enumerate() {
                let at = number == self.at;
                let name = RichText::new(&offer.name).color(palette.ink);
                let button = Button::selectable(at, name)
                    .shortcut_text(offer.command.shortcut_words(ui.ctx()))
                    .min_size(vec2(ui.available_width(), 0.0))
                    .truncate();
                let response = ui.add_enabled(offer.can == Can::Yes, button);
                let response = response.on_hover_text(worded(ui, offer.command.about().description));
                if at && (down + up > 0 || field.changed()) {
                    response.scroll_to_me(None);
                }
                if response.clicked() {
                    answer = Some(Answer::Give(offer.command));
                }
            }
        });
        ui.add_space(4.0);
        ui.weak("Arrow keys choose, Enter does it, Esc goes back.");
        answer
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Layout;

    fn first(text: &str) -> Option<Command> {
        let session = Session::new(Layout::default());
        offers(text, &session, &Outlook::default()).first().map(|offer| offer.command)
    }

    #[test]
    fn a_few_letters_find_the_command() {
        use super::super::Aspect;
        assert_eq!(first("sav as"), Some(Command::SaveAs));
        assert_eq!(first("WRMTH"), Some(Command::Look(Aspect::Warmth)));
        assert_eq!(first("take-off"), Some(Command::Look(Aspect::TakeOff)));
        assert_eq!(first("shopping"), Some(Command::Look(Aspect::TakeOff)));
        assert_eq!(first("nxt find"), Some(Command::NextFinding));
        assert_eq!(first("zzqx"), None);
    }
}
