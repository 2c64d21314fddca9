//! A monkey at the window: random gestures and keys, by a seed. Nothing panics; every layout reached is read again and checked,
//! and the journal leads to it.
//!
//! `LOFTWRIGHT_MONKEY=100000 cargo test --test monkey` lets it play longer, `LOFTWRIGHT_MONKEY_SEED` play otherwise.

use egui::{Context, Event, Key, Modifiers, PointerButton, Pos2, RawInput, Rect, pos2, vec2};
use loftwright::desk::{Action, Aspect, Command, Desk, set_up};
use loftwright::finding::Findings;
use loftwright::measure::Site;
use loftwright::rules::Voice;
use loftwright::session::Session;
use loftwright::session::recovery::{self, Kept};

const SIZE: [f32; 2] = [1200.0, 780.0];
const USUAL_STEPS: u32 = 3000;
/// From one look at where the journal leads to the next, in layouts.
const FOLLOWED_EVERY: usize = 100;

/// Numbers that look random and are the same for a seed (splitmix64).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut word = self.0;
        word = (word ^ (word >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        word = (word ^ (word >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        word ^ (word >> 31)
    }

    fn below(&mut self, bound: usize) -> usize {
        (self.next() % bound as u64) as usize
    }

    fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }

    /// Anywhere in the window, but oftener on the drawing.
    fn place(&mut self) -> Pos2 {
        if self.below(3) > 0 {
            return pos2(300.0 + self.below(570) as f32, 60.0 + self.below(680) as f32);
        }
        pos2(self.below(SIZE[0] as usize) as f32, self.below(SIZE[1] as usize) as f32)
    }
}

const KEYS: [Key; 34] = [
    Key::Escape,
    Key::Enter,
    Key::Tab,
    Key::Space,
    Key::Backspace,
    Key::Delete,
    Key::ArrowUp,
    Key::ArrowDown,
    Key::ArrowLeft,
    Key::ArrowRight,
    Key::PageUp,
    Key::PageDown,
    Key::Home,
    Key::End,
    Key::F,
    Key::N,
    Key::P,
    Key::Z,
    Key::Y,
    Key::A,
    Key::C,
    Key::D,
    Key::V,
    Key::X,
    Key::M,
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Plus,
    Key::Minus,
    Key::Slash,
    Key::Period,
    Key::F1,
];
const MODIFIERS: [Modifiers; 6] =
    [Modifiers::NONE, Modifiers::NONE, Modifiers::NONE, Modifiers::SHIFT, Modifiers::COMMAND, Modifiers::ALT];
const TEXTS: [&str; 12] =
    ["450", "1.2 m", "-3", "18 in", "0", "abc", "1e9", "25 gal", "cistern", "3 bar", "", "999999999999"];

/// The window without a display and without a screen reader's tree, for speed.
struct Window {
    ctx: Context,
    desk: Desk,
    events: Vec<Event>,
    modifiers: Modifiers,
    now_s: f64,
}

impl Window {
    fn event(&mut self, event: Event) {
        self.events.push(event);
    }

    fn step(&mut self) {
        let mut events = vec![Event::ModifiersChanged(self.modifiers)];
        events.append(&mut self.events);
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, egui::Vec2::from(SIZE))),
            time: Some(self.now_s),
            events,
            focused: true,
            ..RawInput::default()
        };
        self.now_s += 0.05;
        let desk = &mut self.desk;
        let mut output = self.ctx.run_ui(input, |ui| {
            desk.logic(ui.ctx());
            desk.ui(ui);
        });
        // There is no screen to take them to.
        output.textures_delta.clear();
        self.modifiers = Modifiers::NONE;
    }

    fn press(&mut self, modifiers: Modifiers, key: Key) {
        self.modifiers = modifiers;
        for pressed in [true, false] {
            self.event(Event::Key { key, physical_key: None, pressed, repeat: false, modifiers });
        }
        self.step();
    }
}

struct Monkey {
    window: Window,
    dice: Dice,
    revision: u64,
    layouts: usize,
}

impl Monkey {
    fn step(&mut self) {
        match self.dice.below(100) {
            0..30 => self.click(),
            30..55 => self.drag(),
            55..80 => self.key(),
            80..88 => self.type_in(),
            88..90 => self.scroll(),
            90..94 => self.window.press(Modifiers::NONE, Key::Escape),
            _ => self.command(),
        }
    }

    fn button(&mut self, at: Pos2, pressed: bool, button: PointerButton, modifiers: Modifiers) {
        self.window.modifiers = modifiers;
        self.window.event(Event::PointerButton { pos: at, button, pressed, modifiers });
        self.window.step();
    }

    fn click(&mut self) {
        let (at, modifiers) = (self.dice.place(), self.dice.of(&MODIFIERS));
        let button = self.dice.of(&[PointerButton::Primary, PointerButton::Primary, PointerButton::Secondary]);
        self.window.event(Event::PointerMoved(at));
        self.window.step();
        self.button(at, true, button, modifiers);
        self.button(at, false, button, modifiers);
    }

    fn drag(&mut self) {
        let (from, modifiers) = (self.dice.place(), self.dice.of(&MODIFIERS));
        let button = self.dice.of(&[PointerButton::Primary, PointerButton::Primary, PointerButton::Middle]);
        self.window.event(Event::PointerMoved(from));
        self.button(from, true, button, modifiers);
        for _ in 0..self.dice.below(4) + 1 {
            let at = if self.dice.below(3) == 0 {
                self.dice.place()
            } else {
                from + vec2(self.dice.below(120) as f32 - 60.0, self.dice.below(120) as f32 - 60.0)
            };
            self.window.event(Event::PointerMoved(at));
            self.window.step();
        }
        // Now and then a key falls into the middle of a drag.
        if self.dice.below(6) == 0 {
            self.key();
        }
        let to = self.dice.place();
        self.button(to, false, button, modifiers);
    }

    fn key(&mut self) {
        let (key, modifiers) = (self.dice.of(&KEYS), self.dice.of(&MODIFIERS));
        self.window.press(modifiers, key);
    }

    fn type_in(&mut self) {
        let text = self.dice.of(&TEXTS);
        self.window.event(Event::Text(text.to_owned()));
        self.window.step();
        if self.dice.below(2) == 0 {
            self.window.press(Modifiers::NONE, Key::Enter);
        }
    }

    fn scroll(&mut self) {
        self.window.event(Event::PointerMoved(self.dice.place()));
        let delta = vec2(self.dice.below(200) as f32 - 100.0, self.dice.below(200) as f32 - 100.0);
        let modifiers = self.dice.of(&MODIFIERS);
        self.window.event(Event::MouseWheel {
            source: egui::MouseWheelSource::Unknown,
            unit: egui::MouseWheelUnit::Point,
            delta,
            phase: egui::TouchPhase::Move,
            modifiers,
        });
        self.window.step();
    }

    fn command(&mut self) {
        let command = match self.dice.below(12) {
            0 => Command::Example(self.dice.below(6)),
            1 => Command::Look(self.dice.of(&Aspect::ALL)),
            2 => Command::Reading(self.dice.of(&Voice::ALL)),
            3 => Command::Undo,
            4 => Command::Redo,
            5 => Command::Judge(self.dice.below(4)),
            6 => Command::Appearance,
            7 => Command::Glossary,
            8 => Command::RevealMore,
            9 => Command::NextFinding,
            10 => Command::Fit,
            _ => Command::UsualText,
        };
        self.window.desk.push(Action::Command(command));
        self.window.step();
    }

    /// A layout that was not there before is written, read and checked.
    fn look(&mut self, step: u32) {
        let session = self.window.desk.session();
        if session.revision() == self.revision {
            return;
        }
        self.revision = session.revision();
        self.layouts += 1;
        let text = loftwright::file::write_text(session.layout());
        let read = loftwright::file::parse(&text, "reached")
            .unwrap_or_else(|error| panic!("step {step}: a layout cannot be read again: {error}\n{}", error.caret()));
        assert_eq!(&read, session.layout(), "step {step}: a layout is read otherwise than it was written");
        let findings = Findings::under(&Site::of(&read), session.profile());
        assert_eq!(
            findings.counts(),
            session.findings().counts(),
            "step {step}: it is judged otherwise when read again"
        );
        if self.layouts.is_multiple_of(FOLLOWED_EVERY) && !session.in_gesture() {
            follow(session, step);
        }
    }
}

/// Ends as a program that is killed does, and takes up what is left.
fn follow(session: &Session, step: u32) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut kept = Kept::claim(folder.path(), None).expect("claims");
    kept.begin_journal(session.journal().beginning(), session.journal().steps()).expect("writes");
    drop(kept);
    let left = recovery::list(folder.path()).remove(0);
    let taken = left.take_up().unwrap_or_else(|error| panic!("step {step}: {error}\n{}", error.caret()));
    assert_eq!(
        (taken.session.layout(), taken.missing),
        (session.layout(), None),
        "step {step}: the journal leads astray"
    );
}

fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

#[test]
fn nothing_that_a_monkey_does_breaks_the_window_or_a_layout() {
    // Whatever it saves is saved here.
    let place = tempfile::tempdir().expect("a folder");
    std::env::set_current_dir(place.path()).expect("goes there");
    let steps = number("LOFTWRIGHT_MONKEY", u64::from(USUAL_STEPS)) as u32;
    let seed = number("LOFTWRIGHT_MONKEY_SEED", 20_261_125);
    let layout =
        loftwright::file::parse(include_str!("../examples/low_loft.loft.ron"), "low_loft").expect("an example reads");
    let ctx = Context::default();
    set_up(&ctx);
    let desk = Desk::new(Session::new(layout));
    let window = Window { ctx, desk, events: Vec::new(), modifiers: Modifiers::NONE, now_s: 0.0 };
    let mut monkey = Monkey { window, dice: Dice(seed), revision: u64::MAX, layouts: 0 };
    for step in 0..steps {
        monkey.step();
        monkey.look(step);
    }
    assert!(monkey.layouts > steps as usize / 100, "the monkey reached {} layouts only", monkey.layouts);
    eprintln!("{steps} steps, {} layouts", monkey.layouts);
}
