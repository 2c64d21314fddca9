//! The list that answers to typed words: every command and every tool by a few letters of its name, given with Enter.

use std::cmp::Reverse;

use egui::{Button, Key, Modifiers, RichText, ScrollArea, TextEdit, Ui, vec2};
use nucleo_matcher::pattern::{Atom, AtomKind, CaseMatching, Normalization};
use nucleo_matcher::{Config, Matcher, Utf32Str};

use super::commands::{self, Can, Command};
use super::dialogs::Answer;
use super::panels::worded;
use super::{Outlook, Tool, theme::Palette, tools};
use crate::rules::{Voice, said};
use crate::session::Session;

/// What is asked for, and which answer would be taken.
#[derive(Default)]
pub struct Asking {
    text: String,
    at: usize,
    asked: bool,
}

/// What is offered.
#[derive(Debug, Clone, PartialEq)]
enum Thing {
    Command(Command),
    Tool(Tool),
}

/// A command or tool as it stands just now, as what is typed is held against it.
struct Offer {
    thing: Thing,
    name: String,
    can: Can,
    /// Everything that it is called, in small letters.
    names: Vec<String>,
    /// What it does, and its menu.
    description: String,
}

/// The keys of a list under a field: how far they go down and up in it, and whether what they are at is taken.
#[derive(Default)]
pub(super) struct ListKeys {
    down: usize,
    up: usize,
    pub taken: bool,
}

impl ListKeys {
    /// Taken before the field can, which would move its own cursor.
    pub fn taken_from(ui: &Ui) -> Self {
        ui.input_mut(|input| Self {
            down: input.count_and_consume_key(Modifiers::NONE, Key::ArrowDown),
            up: input.count_and_consume_key(Modifiers::NONE, Key::ArrowUp),
            taken: input.consume_key(Modifiers::NONE, Key::Enter),
        })
    }

    /// The place in a list of so many that they come to from another.
    pub fn from(&self, at: usize, count: usize) -> usize {
        (at + self.down).saturating_sub(self.up).min(count.saturating_sub(1))
    }

    pub const fn have_moved(&self) -> bool {
        self.down + self.up > 0
    }
}

/// How near what is typed comes to an offer; the nearest is the least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Nearness {
    /// It is called so, from the first letter.
    Begins,
    /// Its name holds it.
    Holds,
    /// Each word that is typed is a word of its name, or is short for one.
    IsShortFor,
    /// Words that tell what it does begin so.
    IsSaidOfIt,
}

/// Offers, and which of them stands first to be taken.
struct Offers {
    all: Vec<Offer>,
    first: usize,
}

impl Offer {
    fn of_command(menu: &str, command: Command, session: &Session, outlook: &Outlook) -> Self {
        let offered = command.offered(session, outlook);
        let name = said(&offered.name, outlook.voice);
        let names = command.names().into_iter().map(str::to_lowercase).chain([name.to_lowercase()]).collect();
        let description = format!("{} {menu}", command.about().description);
        Self { thing: Thing::Command(command), name, can: offered.can, names, description }
    }

    fn of_tool(named: tools::Named, voice: Voice) -> Self {
        let name = said(&named.name, voice);
        let names = vec![named.name.to_lowercase(), name.to_lowercase()];
        Self { description: named.tool.tip(), thing: Thing::Tool(named.tool), name, can: Can::Yes, names }
    }

    /// How near it is to what is typed, and among the equally near how well it fits; none where it is not meant.
    fn nearness(&self, typed: &Typed, matcher: &mut Matcher) -> Option<(Nearness, Reverse<u32>)> {
        let any = |is_it: fn(&str, &str) -> bool| self.names.iter().any(|name| is_it(name, &typed.text));
        if any(|name, typed| name.starts_with(typed)) {
            return Some((Nearness::Begins, Reverse(0)));
        }
        // Nobody who looks for a vent means to take back what was done to one.
        let names = match self.thing {
            Thing::Command(Command::Undo | Command::Redo) => &self.names[..1],
            _ => &self.names[..],
        };
        if names.iter().any(|name| name.contains(&typed.text)) {
            return Some((Nearness::Holds, Reverse(0)));
        }
        let words: Vec<&str> = names.iter().flat_map(|name| words(name)).collect();
        let scores: Vec<Option<u32>> =
            typed.words.iter().map(|(word, atom)| short_for(word, atom, &words, matcher)).collect();
        if let Some(scores) = scores.iter().copied().collect::<Option<Vec<u32>>>() {
            return Some((Nearness::IsShortFor, Reverse(scores.iter().sum())));
        }
        let description = self.description.to_lowercase();
        let is_said = |word: &str| words_begin(&description, word);
        let all = typed.words.iter().zip(&scores).all(|((word, _), score)| score.is_some() || is_said(word));
        all.then_some((Nearness::IsSaidOfIt, Reverse(0)))
    }

    fn tip(&self) -> &str {
        match self.thing {
            Thing::Command(command) => command.about().description,
            Thing::Tool(_) => &self.description,
        }
    }

    fn answer(&self) -> Answer {
        match &self.thing {
            Thing::Command(command) => Answer::Give(*command),
            Thing::Tool(tool) => Answer::Take(tool.clone()),
        }
    }
}

/// What is typed, in small letters, and word by word.
struct Typed {
    text: String,
    words: Vec<(String, Atom)>,
}

impl Typed {
    fn of(text: &str) -> Self {
        let text = text.trim().to_lowercase();
        let atom = |word: &str| Atom::new(word, CaseMatching::Ignore, Normalization::Smart, AtomKind::Fuzzy, false);
        let words = words(&text).map(|word| (word.to_owned(), atom(word))).collect();
        Self { text, words }
    }
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty())
}

fn words_begin(text: &str, beginning: &str) -> bool {
    words(text).any(|word| word.starts_with(beginning))
}

/// How well letters stand for one of some words: they begin as it does, and follow each other in it.
fn short_for(letters: &str, atom: &Atom, words: &[&str], matcher: &mut Matcher) -> Option<u32> {
    let first = letters.chars().next();
    let mut buffer = Vec::new();
    let alike = words.iter().filter(|word| word.chars().next() == first);
    alike.filter_map(|word| atom.score(Utf32Str::new(word, &mut buffer), matcher)).max().map(u32::from)
}

/// What is meant by the letters, the nearest first; of the equally near, what can be done.
fn offers(text: &str, session: &Session, outlook: &Outlook) -> Offers {
    let commands = commands::all()
        .filter(|(_, command)| !matches!(command, Command::Ask | Command::Escape))
        .map(|(menu, command)| Offer::of_command(menu, command, session, outlook))
        .filter(|offer| !offer.name.is_empty());
    let all = commands.chain(tools::all().map(|named| Offer::of_tool(named, outlook.voice)));
    let typed = Typed::of(text);
    if typed.text.is_empty() {
        return Offers { all: all.collect(), first: 0 };
    }
    let mut matcher = Matcher::new(Config::DEFAULT);
    let mut near: Vec<_> = all.filter_map(|offer| Some((offer.nearness(&typed, &mut matcher)?, offer))).collect();
    near.sort_by_key(|((nearness, score), offer)| (*nearness, offer.can != Can::Yes, *score));
    // Something else that is only described so is not done in place of what is called so and cannot be done.
    let by_name = |nearness: Nearness| nearness <= Nearness::Holds;
    let nearest = near.first().map(|((nearness, _), _)| by_name(*nearness));
    let is_first = |((nearness, _), offer): &((Nearness, Reverse<u32>), Offer)| {
        offer.can == Can::Yes && Some(by_name(*nearness)) == nearest
    };
    let first = near.iter().position(is_first).unwrap_or(0);
    Offers { all: near.into_iter().map(|(_, offer)| offer).collect(), first }
}

impl Asking {
    /// Shows the field and the offers; the command, once one is taken.
    pub fn ui(&mut self, ui: &mut Ui, session: &Session, outlook: &Outlook) -> Option<Answer> {
        ui.heading("What should be done?");
        let keys = ListKeys::taken_from(ui);
        let edit = TextEdit::singleline(&mut self.text).hint_text("A few letters").desired_width(f32::INFINITY);
        let field = ui.add(edit);
        let name = "A few letters of what should be done";
        field.widget_info(|| egui::WidgetInfo::text_edit(true, "", &self.text, name));
        let field = field.accessible_name(name);
        if !self.asked {
            self.asked = true;
            field.request_focus();
        }
        let Offers { all: offers, first } = offers(&self.text, session, outlook);
        if field.changed() {
            self.at = first;
        }
        self.at = keys.from(self.at, offers.len());
        let mut answer = None;
        if let Some(offer) = offers.get(self.at).filter(|offer| keys.taken && offer.can == Can::Yes) {
            answer = Some(offer.answer());
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
                let shortcut = match offer.thing {
                    Thing::Command(command) => command.shortcut_words(ui.ctx()),
                    Thing::Tool(_) => String::new(),
                };
                let button = Button::selectable(at, name)
                    .shortcut_text(shortcut)
                    .min_size(vec2(ui.available_width(), 0.0))
                    .truncate();
                let response = ui.add_enabled(offer.can == Can::Yes, button);
                let response = response.on_hover_text(worded(ui, offer.tip()));
                if at && (keys.have_moved() || field.changed()) {
                    response.scroll_to_me(None);
                }
                if response.clicked() {
                    answer = Some(offer.answer());
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

    fn first(text: &str) -> Option<Thing> {
        let session = Session::new(Layout::default());
        let Offers { all, first } = offers(text, &session, &Outlook::default());
        all.get(first).map(|offer| offer.thing.clone())
    }

    #[test]
    fn a_few_letters_find_the_command() {
        use super::super::Aspect;
        let command = |command| Some(Thing::Command(command));
        assert_eq!(first("sav as"), command(Command::SaveAs));
        assert_eq!(first("WRMTH"), command(Command::Look(Aspect::Warmth)));
        assert_eq!(first("take-off"), command(Command::Look(Aspect::TakeOff)));
        assert_eq!(first("shopping"), command(Command::Look(Aspect::TakeOff)));
        assert_eq!(first("nxt find"), command(Command::NextFinding));
        assert_eq!(first("zzqx"), None);
    }

    #[test]
    fn tools_of_stores_are_found_and_scattered_letters_are_not() {
        use crate::layout::{OutletKind, Service};
        let session = Session::new(Layout::default());
        assert!(matches!(first("pipe"), Some(Thing::Tool(Tool::Pipe(_)))));
        assert_eq!(first("warning pipe"), Some(Thing::Tool(Tool::Pipe(Service::WarningPipe))));
        assert_eq!(first("basin"), Some(Thing::Tool(Tool::Place(super::super::Stock::Outlet(OutletKind::Basin)))));
        let pipes = offers("pipe", &session, &Outlook::default()).all;
        let holds = |offer: &&Offer| format!("{} {}", offer.name, offer.description).to_lowercase().contains("pipe");
        assert_eq!(pipes.iter().filter(holds).count(), pipes.len(), "letters are not gathered from all over");
        let called_so = pipes.iter().take_while(|offer| offer.name.to_lowercase().contains("pipe"));
        assert_eq!(called_so.count(), Service::ALL.len() + 2, "before what is only described so");
    }

    #[test]
    fn nothing_else_is_done_in_place_of_what_cannot_be_done() {
        assert_eq!(first("copy"), Some(Thing::Command(Command::Arrange(super::super::Arrange::Copy))));
    }
}
