//! A house in a window of its own, and the ways in which a person gives a command there.

use std::path::PathBuf;

use egui::{Event, Key, KeyboardShortcut, Role};
use egui_kittest::Node;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use glam::dvec2;
use loftwright::desk::commands::{Can, Entry, MENUS};
use loftwright::desk::{Action, Arrange, Command, Desk};
use loftwright::layout::Layout;
use loftwright::session::Session;
use loftwright::session::settings::{MOST_RECENT, Settings};
use tempfile::TempDir;

use crate::example::example;
use crate::screen::{Window, window_of};

/// So many frames at most pass until a command has done what it does.
const FRAMES: usize = 12;

/// A window on a layout, with a folder for its files, as it was before a command is given.
pub struct Room {
    pub window: Window,
    pub before: Before,
    folder: TempDir,
}

/// What a command may change.
pub struct Before {
    pub layout: Layout,
    /// Points of the screen to a metre.
    pub scale: f32,
}

/// How a command is given.
#[derive(Debug)]
pub enum Way {
    /// By its name in the list that `/` opens.
    List,
    /// By a click in its menu.
    Menu,
    /// By keys.
    Keys(KeyboardShortcut),
    /// By the keys of the system for the clipboard, which come as events of their own.
    Clipboard(Event),
}

impl Way {
    /// The keys of a command.
    pub fn keys_of(command: Command) -> Vec<Self> {
        match command {
            Command::Arrange(Arrange::Copy) => vec![Self::Clipboard(Event::Copy)],
            Command::Arrange(Arrange::Cut) => vec![Self::Clipboard(Event::Cut)],
            Command::Arrange(Arrange::Paste) => vec![Self::Clipboard(Event::Paste(String::new()))],
            _ => command.about().shortcuts.iter().copied().map(Self::Keys).collect(),
        }
    }
}

/// A low loft with much to find and to mend.
pub fn house() -> Layout {
    let mut layout = example("low_loft");
    "The house".clone_into(&mut layout.heading.title);
    layout
}

/// The title of the file that was open so many files ago.
pub fn title_of_recent(place: usize) -> String {
    format!("House number {place}")
}

impl Room {
    /// The house, opened from its file, made ready by some actions. Other files were open before it.
    pub fn of_house(ready: &[Action]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("house.loft.ron");
        std::fs::write(&path, loftwright::file::write_text(&house())).expect("writes");
        let recent: Vec<PathBuf> =
            (0..MOST_RECENT).map(|place| folder.path().join(format!("recent-{place}.loft.ron"))).collect();
        for (place, path) in recent.iter().enumerate() {
            let mut layout = Layout::default();
            layout.heading.title = title_of_recent(place);
            std::fs::write(path, loftwright::file::write_text(&layout)).expect("writes");
        }
        let settings = Settings { recent, tour_seen: true, ..Settings::default() };
        settings.write(&folder.path().join("state")).expect("writes");
        let mut desk = Desk::new(Session::open(&path).expect("opens"));
        desk.remember_in(folder.path().join("state"));
        Self::with(desk, folder, ready)
    }

    /// A blank sheet that is in no file, and nothing was open before it.
    pub fn on_blank_sheet() -> Self {
        let desk = Desk::new(Session::new(Layout::default()));
        Self::with(desk, tempfile::tempdir().expect("a folder"), &[])
    }

    fn with(desk: Desk, folder: TempDir, ready: &[Action]) -> Self {
        let window = window_of(desk);
        let before = Before { layout: Layout::default(), scale: 0.0 };
        let mut room = Self { window, before, folder };
        for action in ready {
            room.window.state_mut().push(action.clone());
            room.window.run_steps(2);
        }
        room.before = Before { layout: room.layout().clone(), scale: room.scale() };
        room
    }

    pub fn desk(&self) -> &Desk {
        self.window.state()
    }

    pub fn layout(&self) -> &Layout {
        self.desk().session().layout()
    }

    /// Where the house was opened from.
    pub fn path(&self) -> PathBuf {
        self.folder.path().join("house.loft.ron")
    }

    /// Points of the screen to a metre of the section.
    pub fn scale(&self) -> f32 {
        let at = |x: f64| self.desk().screen_from_section(dvec2(x, 0.0)).x;
        at(1000.0) - at(0.0)
    }

    /// Whether something of these words is to be read.
    pub fn reads(&self, words: &str) -> bool {
        self.window.query_all_by_label(words).next().is_some()
    }

    /// Whether there is a field of this name to type in.
    pub fn has_field(&self, name: &str) -> bool {
        self.window.query_by_role_and_label(Role::TextInput, name).is_some()
    }

    /// What a command is called just now; empty where it is not shown.
    pub fn name_of(&self, command: Command) -> String {
        command.offered(self.desk().session(), self.desk().outlook()).name
    }

    /// Why a command cannot be given just now; empty where it can.
    pub fn why_not(&self, command: Command) -> &'static str {
        command.offered(self.desk().session(), self.desk().outlook()).why_not
    }

    /// Gives a command; whether it has its effect within some frames.
    pub fn give(&mut self, command: Command, way: &Way, effect: &dyn Fn(&Self) -> bool) -> bool {
        match way {
            Way::List => self.choose_from_list(command),
            Way::Menu => {
                let offered = command.offered(self.desk().session(), self.desk().outlook());
                assert_eq!(offered.can, Can::Yes, "{command:?} is greyed");
                self.open_menu_of(command);
                self.click(&self.label_of(command));
            }
            // In one frame, not in one for each event: the window's wish to close is seen in no other.
            Way::Keys(keys) => self.window.input_mut().events.push(pressed(*keys)),
            Way::Clipboard(event) => self.window.event(event.clone()),
        }
        (0..FRAMES).any(|_| {
            self.window.step();
            effect(self)
        })
    }

    /// Opens the list that answers to typed words.
    pub fn press_slash(&mut self) {
        self.window.key_press(Key::Slash);
        self.window.run_steps(3);
    }

    fn choose_from_list(&mut self, command: Command) {
        let (name, label) = (self.name_of(command), self.label_of(command));
        self.press_slash();
        let field = "A few letters of what should be done";
        self.window.get_by_role_and_label(Role::TextInput, field).type_text(&name);
        self.window.run_steps(3);
        self.click(&label);
    }

    /// Opens the menu in which a command stands, and the menu below it where it stands in one.
    pub fn open_menu_of(&mut self, command: Command) {
        let of = |entry: &&Entry| entry.commands().contains(&command);
        let (menu, entry) = MENUS
            .iter()
            .find_map(|menu| Some((menu.name, menu.entries.iter().find(of)?)))
            .unwrap_or_else(|| panic!("{command:?} stands in no menu"));
        self.window.get_all_by_role_and_label(Role::Button, menu).next().expect("the menu bar").click();
        self.window.run_steps(3);
        if let Entry::Below(name, _) = entry {
            self.click(name);
            self.window.run_steps(3);
        }
    }

    /// Whether the button of a command is greyed in the menu or list that is open; none where there is no such button.
    pub fn is_greyed(&self, command: Command) -> Option<bool> {
        self.buttons(&self.label_of(command)).last().map(|node| node.accesskit_node().is_disabled())
    }

    /// What is written on the button of a command in menu and list: its name, and its keys beside it.
    fn label_of(&self, command: Command) -> String {
        format!("{} {}", self.name_of(command), command.shortcut_words(&self.window.ctx)).trim_end().to_owned()
    }

    fn buttons(&self, label: &str) -> Vec<Node<'_>> {
        let is_it = |node: &Node<'_>| node.accesskit_node().label().is_some_and(|name| name.trim_end() == label);
        self.window.query_all_by_role(Role::Button).filter(is_it).collect()
    }

    /// Clicks the last button of these words: menus and questions come after all panels.
    fn click(&self, label: &str) {
        self.buttons(label).last().unwrap_or_else(|| panic!("no button is called '{label}'")).click();
    }
}

const fn pressed(keys: KeyboardShortcut) -> Event {
    Event::Key { key: keys.logical_key, physical_key: None, pressed: true, repeat: false, modifiers: keys.modifiers }
}
