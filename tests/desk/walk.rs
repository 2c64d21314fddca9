//! A stranger's first hour in one test: a whole sound system from a blank sheet, with pointer and keyboard alone.

use egui::{Key, Modifiers, Pos2, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use glam::dvec2;
use loftwright::desk::{Desk, Tool};
use loftwright::layout::{Layout, Piece};
use loftwright::rules::Verdict;
use loftwright::session::Session;

use crate::screen;

/// The window's size; big enough for the drawing to be clicked to a centimetre.
const SIZE: [f32; 2] = [1600.0, 1400.0];

/// A notch of the wheel that xdotool turns under Xvfb comes to the window as so many lines.
const LINES_A_NOTCH: f32 = 2.0;

/// Pointer and keyboard on a window, and a script of what they did for a real one.
struct Hand {
    window: Harness<'static, Desk>,
    script: String,
}

/// A panel that scrolls.
#[derive(Clone, Copy)]
enum Panel {
    Stores,
    Particulars,
}

impl Hand {
    fn on_a_blank_sheet() -> Self {
        let window = screen::show(Desk::new(Session::new(Layout::default())), SIZE);
        Self { window, script: String::new() }
    }

    fn layout(&self) -> &Layout {
        self.window.state().session().layout()
    }

    fn at(&self, x: f64, z: f64) -> Pos2 {
        self.window.state().screen_from_section(dvec2(x, z))
    }

    fn click(&mut self, x: f64, z: f64) {
        let place = self.at(x, z);
        self.click_at(place);
    }

    fn click_at(&mut self, place: Pos2) {
        // A real pointer stands on whole points.
        let place = place.round();
        self.script += &format!("click {} {}\n", place.x, place.y);
        self.window.hover_at(place);
        self.window.step();
        self.window.drag_at(place);
        self.window.step();
        self.window.drop_at(place);
        self.window.run();
        // Far enough apart that two clicks are not a double click.
        self.window.run_steps(3);
    }

    fn key(&mut self, key: Key, modifiers: Modifiers) {
        let held = if modifiers.command { "ctrl+" } else { "" };
        let name = if key == Key::Enter { "Return".to_owned() } else { key.name().to_lowercase() };
        self.script += &format!("key {held}{name}\n");
        self.window.key_press_modifiers(modifiers, key);
        self.window.run();
    }

    /// Where a widget of a role and name is; of several, the one that `pick` picks.
    fn find(&self, role: Role, name: &str, pick: impl Fn(usize) -> usize) -> egui::Rect {
        let nodes: Vec<_> =
            self.window.get_all_by_label(name).filter(|node| node.accesskit_node().role() == role).collect();
        assert!(!nodes.is_empty(), "no {role:?} '{name}'");
        nodes[pick(nodes.len())].rect()
    }

    /// Scrolls a panel until a widget in it can be clicked, and clicks it.
    fn click_in(&mut self, panel: Panel, role: Role, name: &str, pick: impl Fn(usize) -> usize + Copy) {
        for _ in 0..80 {
            let divider = self.window.get_by_role_and_label(Role::Label, "Particulars").rect();
            let (top, bottom) = match panel {
                Panel::Stores => (62.0, divider.top() - 8.0),
                Panel::Particulars => (divider.bottom() + 4.0, SIZE[1] - 38.0),
            };
            let rect = self.find(role, name, pick);
            if rect.top() >= top && rect.bottom() <= bottom {
                return self.click_at(rect.center());
            }
            let lines = if rect.bottom() > bottom { -1.0 } else { 1.0 };
            self.wheel(egui::pos2(24.0, f32::midpoint(top, bottom)), lines);
        }
        let rect = self.find(role, name, pick);
        panic!(
            "'{name}' cannot be scrolled to; it is at {rect} {}",
            self.script.lines().rev().take(4).collect::<Vec<_>>().join("; ")
        );
    }

    fn wheel(&mut self, at: Pos2, lines: f32) {
        let at = at.round();
        self.script += &format!("wheel {} {} {lines}\n", at.x, at.y);
        self.window.hover_at(at);
        self.window.step();
        self.window.event(egui::Event::MouseWheel {
            source: egui::MouseWheelSource::Unknown,
            unit: egui::MouseWheelUnit::Line,
            delta: vec2(0.0, LINES_A_NOTCH * lines),
            phase: egui::TouchPhase::Move,
            modifiers: Modifiers::NONE,
        });
        // A tooltip may come up on the way.
        self.window.run_steps(8);
    }

    /// Presses a button of Particulars.
    fn press(&mut self, name: &str) {
        self.click_in(Panel::Particulars, Role::Button, name, |count| count - 1);
    }

    /// Takes something from Stores and puts it down.
    fn put(&mut self, stock: &str, x: f64, z: f64) {
        self.click_in(Panel::Stores, Role::Button, stock, |_| 0);
        self.click(x, z);
    }

    /// Picks one of several from a field.
    fn choose(&mut self, field: &str, choice: &str) {
        let panel = if field.contains(" of ") { Panel::Stores } else { Panel::Particulars };
        self.click_in(panel, Role::ComboBox, field, |_| 0);
        self.offered(choice);
    }

    /// Clicks what a menu offers: it is shown after all that was there before.
    fn offered(&mut self, choice: &str) {
        let rect = self.find(Role::Button, choice, |count| count - 1);
        self.click_at(rect.center());
    }

    /// Types into the field of a name, in place of what stands there.
    fn enter(&mut self, field: &str, text: &str) {
        self.enter_nth(field, 0, text);
    }

    fn enter_nth(&mut self, field: &str, number: usize, text: &str) {
        self.click_in(Panel::Particulars, Role::TextInput, field, |_| number);
        self.type_over(text);
    }

    fn type_over(&mut self, text: &str) {
        self.key(Key::A, Modifiers::COMMAND);
        self.type_in(text);
    }

    fn type_in(&mut self, text: &str) {
        self.script += &format!("text {text}\n");
        self.window.event(egui::Event::Text(text.to_owned()));
        self.window.run();
        self.key(Key::Enter, Modifiers::NONE);
    }

    /// Draws a run of a service through points; the last is clicked when it is on something, else Enter ends it there.
    fn pipe(&mut self, service: &str, tube: &str, points: &[(f64, f64)]) {
        self.choose("Tube of new runs", tube);
        self.choose("Service of the run", service);
        assert!(matches!(self.window.state().outlook().tool, Tool::Pipe(_)), "no tool for {service}");
        for (x, z) in points {
            self.click(*x, *z);
        }
        if self.window.state().outlook().selected.is_none() {
            self.key(Key::Enter, Modifiers::NONE);
        }
        assert!(self.window.state().outlook().selected.is_some(), "no {service} was drawn");
    }

    fn fitting(&mut self, kind: &str, along: &str) {
        let number = self.selected_run().fittings.as_ref().map_or(0, Vec::len);
        self.press("Add a fitting");
        self.offered(kind);
        if !along.is_empty() {
            self.enter_nth("Along the run", number, along);
        }
    }

    fn insulate(&mut self) {
        self.press("Insulate the whole run");
        self.enter("Thickness", "25");
        self.choose("Made of", "polyethylene foam");
    }

    fn selected_run(&self) -> &loftwright::layout::Run {
        let selected = self.window.state().outlook().selected.as_ref().expect("a run is selected");
        self.layout().runs.iter().find(|run| run.id == *selected).unwrap_or_else(|| panic!("{selected} is no run"))
    }

    /// What is judged so, in words.
    fn judged(&self, verdict: Verdict) -> Vec<String> {
        let findings = self.window.state().session().findings();
        let so = findings.keyed().filter(|(_, finding)| finding.judged.verdict == verdict);
        so.map(|(_, finding)| finding.words(loftwright::rules::Voice::Trade)).collect()
    }
}

#[test]
fn a_sound_system_is_drawn_from_a_blank_sheet() {
    let mut hand = Hand::on_a_blank_sheet();
    hand.enter("Title", "Drawn by hand");
    hand.enter("Mains pressure", "3 bar");
    hand.put("House", 3500.0, 0.0);
    hand.key(Key::F, Modifiers::NONE);
    hand.put("Loft hatch", 5200.0, 5000.0);
    assert_eq!(hand.window.state().outlook().piece, Some(Piece::Hatch));
    hand.enter("Clear length", "750");
    hand.choose("Clips of new runs", "as allowed");
    joists_and_floors(&mut hand);
    platforms(&mut hand);
    vessels(&mut hand);
    outlets(&mut hand);
    supply(&mut hand);
    cold(&mut hand);
    hot(&mut hand);
    primaries(&mut hand);
    facts(&mut hand);
    weather(&mut hand);
    assert_eq!(hand.judged(Verdict::Breach), Vec::<String>::new());
    assert_eq!(hand.judged(Verdict::Marginal), Vec::<String>::new());
    assert_eq!(hand.judged(Verdict::Unknown), Vec::<String>::new());
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("drawn.loft.ron");
    hand.key(Key::S, Modifiers::COMMAND);
    let field = hand.find(Role::TextInput, "Path of the file", |_| 0);
    hand.click_at(field.center());
    hand.key(Key::A, Modifiers::COMMAND);
    keep_for_the_window("walk.txt", &hand.script);
    hand.type_in(&path.display().to_string());
    let text = std::fs::read_to_string(&path).expect("saved");
    keep_for_the_window("walk.loft.ron", &text);
    let saved = loftwright::file::parse(&text, "drawn").expect("reads");
    assert_eq!(&saved, hand.layout());
    assert_eq!((saved.cisterns.len(), saved.cylinders.len(), saved.outlets.len(), saved.runs.len()), (1, 1, 3, 11));
}

/// Leaves what was done, and what came of it, where `.ci/window` finds it, to do it again in a real window.
fn keep_for_the_window(name: &str, text: &str) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target").join("window");
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join(name), text).expect("writes");
}

fn joists_and_floors(hand: &mut Hand) {
    hand.click(6200.0, 5090.0);
    assert_eq!(hand.window.state().outlook().piece, Some(Piece::Joists));
    hand.choose("Kind", "solid joists");
    hand.choose("Strength class", "C24");
    hand.enter("Clear span", "2800");
    hand.enter("Span begins at", "-700");
    hand.enter("Ceiling load", "0.25");
    hand.enter("Storage load", "0.25");
    hand.choose("How damp", "service class 2, ventilated loft");
    hand.click(6000.0, 2600.0);
    assert_eq!(hand.window.state().outlook().piece, Some(Piece::Storey(1)));
    hand.choose("Deck", "softwood boarding");
    hand.enter("Deck thickness", "18");
}

fn platforms(hand: &mut Hand) {
    hand.put("Platform", 1960.0, 5160.0);
    hand.choose("Board", "marine ply");
    hand.enter("Board thickness", "18");
    hand.choose("Board class", "F20 E40");
    hand.enter("Depth", "960");
    hand.choose("Bearers", "under the board");
    hand.enter("How many", "4");
    hand.enter("First at", "30");
    hand.choose("Strength class", "C16");
    hand.enter("Confirmed load", "360");
    hand.enter("Name", "cistern platform");
    hand.put("Platform", 3125.0, 2600.0);
    hand.choose("Board", "marine ply");
    hand.enter("Board thickness", "18");
    hand.enter("Length", "550");
    hand.enter("Left end", "2850");
    hand.enter("Depth", "550");
    hand.enter("Name", "cylinder platform");
}

fn vessels(hand: &mut Hand) {
    hand.put("Storage cistern", 2000.0, 5278.0);
    hand.put("Cylinder", 3125.0, 2618.0);
    hand.choose("Grade", "grade 3");
    hand.choose("Coil inside", "yes");
    hand.choose("Immersion heaters", "as listed");
    hand.enter("Coil passes on", "300");
    hand.enter("Primary comes at", "75");
    hand.enter("Primary flow", "0.25");
    hand.enter("Insulation", "50");
    hand.choose("Insulated with", "sprayed foam");
    hand.enter("Standing loss", "62");
    hand.enter("Mass, empty", "32");
    hand.enter("Stored at", "60");
    hand.put("Boiler", 4400.0, 900.0);
    hand.choose("Kind", "regular boiler");
    hand.enter("Output", "15");
}

fn outlets(hand: &mut Hand) {
    hand.put("Bath", 1700.0, 3200.0);
    hand.enter("Hot water at it", "46");
    hand.put("Basin", 900.0, 3450.0);
    hand.enter("Hot water at it", "52");
    hand.put("WC", 450.0, 3350.0);
}

fn supply(hand: &mut Hand) {
    let (left, base) = foot(hand);
    hand.pipe("rising main", "15 copper", &[(1100.0, 300.0), (1100.0, base + 500.0), (left, base + 500.0)]);
    hand.fitting("stop valve", "200");
    hand.fitting("servicing valve", "5000");
    hand.insulate();
    hand.pipe(
        "warning pipe",
        "22 copper",
        &[(left, base + 450.0), (1250.0, base + 450.0), (1250.0, base - 50.0), (-150.0, base - 50.0)],
    );
    hand.choose("Screen", "fitted");
    hand.choose("Lets its water go", "a discharge where it is seen");
}

/// Where a port is, mm.
fn port(hand: &Hand, part: &str, port: &str) -> (f64, f64) {
    let part = hand.layout().part(&loftwright::layout::Id::of(part)).expect("there");
    let at = part.port(port).expect("a port").vector();
    (at.x, at.y)
}

/// Left side and base of the cistern, mm.
fn foot(hand: &Hand) -> (f64, f64) {
    let cistern = &hand.layout().cisterns[0];
    (cistern.at.x.to_mm(), cistern.at.z.to_mm())
}

fn cold(hand: &mut Hand) {
    let (left, base) = foot(hand);
    let right = left + hand.layout().cisterns[0].length.to_mm();
    let cylinder = hand.layout().cylinders[0].clone();
    let inlet = (cylinder.at.x.to_mm(), cylinder.at.z.to_mm() + 99.0);
    hand.pipe("cold feed", "22 copper", &[(right, base + 100.0), (2750.0, base + 100.0), inlet]);
    hand.fitting("gate valve", "500");
    hand.fitting("drain cock", "");
    hand.insulate();
    let (bath, basin, wc) = (port(hand, "bath", "cold"), port(hand, "basin", "cold"), port(hand, "wc", "cold"));
    let under = 2500.0;
    let drop = 2600.0;
    let points = [(right, base + 50.0), (drop, base + 50.0), (drop, under), (bath.0, under), bath];
    hand.pipe("cold distribution", "22 copper", &points);
    hand.fitting("gate valve", "300");
    hand.fitting("drain cock", "");
    hand.insulate();
    hand.pipe("cold distribution", "15 copper", &[(bath.0 + 100.0, under), (basin.0, under), basin]);
    hand.fitting("servicing valve", "");
    hand.pipe("cold distribution", "15 copper", &[(basin.0 + 100.0, under), (wc.0, under), wc]);
    hand.fitting("servicing valve", "900");
}

fn hot(hand: &mut Hand) {
    let (bath, basin) = (port(hand, "bath", "hot"), port(hand, "basin", "hot"));
    let (top, under) = (port(hand, "cylinder", "draw-off"), 2400.0);
    let rise = 3700.0;
    let points = [top, (top.0, rise), (3800.0, rise), (3800.0, under), (bath.0, under), bath];
    hand.pipe("hot draw-off and distribution", "22 copper", &points);
    hand.fitting("drain cock", "");
    hand.insulate();
    hand.pipe("hot draw-off and distribution", "15 copper", &[(bath.0 + 100.0, under), (basin.0, under), basin]);
    let (left, base) = foot(hand);
    let over = base + 850.0;
    hand.pipe(
        "open vent",
        "22 copper",
        &[(3650.0, rise), (3650.0, over), (left + 600.0, over), (left + 600.0, over - 150.0)],
    );
    hand.insulate();
}

fn primaries(hand: &mut Hand) {
    let (from, to) = (port(hand, "boiler", "flow"), port(hand, "cylinder", "coil-flow"));
    hand.pipe("primary flow", "22 copper", &[from, (from.0, to.1), to]);
    hand.fitting("pump", "700");
    hand.insulate();
    let (from, to) = (port(hand, "cylinder", "coil-return"), port(hand, "boiler", "return"));
    hand.pipe("primary return", "22 copper", &[from, (to.0, from.1), to]);
    hand.fitting("drain cock", "");
    hand.insulate();
}

/// What the rules ask of the cistern.
fn facts(hand: &mut Hand) {
    let (left, base) = foot(hand);
    hand.click(left + 250.0, base + 200.0);
    hand.enter("Spout above base", "510");
    hand.choose("Pattern", "BS 1212 part 2 (diaphragm)");
    hand.enter("Seat bore", "3.2");
    hand.choose("Dip tube", "fitted");
    hand.enter("Ends above base", "300");
    hand.choose("Lid", "tight, fixed");
    hand.choose("Lid vent screen", "fitted");
    hand.choose("Keeps light out", "yes");
    hand.choose("Jacket", "sides and top");
    hand.enter("Jacket thickness", "80");
    hand.choose("Jacket made of", "mineral wool");
    hand.choose("Insulation below", "no");
    hand.enter("Mass, empty", "16");
    hand.enter("Warmest water", "18");
    hand.enter("Drawn in a day", "300");
}

/// What the weather does, typed while nothing is selected.
fn weather(hand: &mut Hand) {
    hand.key(Key::Escape, Modifiers::NONE);
    assert_eq!(hand.window.state().outlook().grip(), None);
    let told = [
        ("Loft, hot day", "35"),
        ("Loft, its night", "18"),
        ("Room, hot day", "24"),
        ("Main, summer", "16"),
        ("Loft, in frost", "-6"),
        ("Main, winter", "7"),
        ("Heated rooms", "20"),
        ("Frost lasts", "8"),
    ];
    for (field, value) in told {
        hand.enter(field, value);
    }
}
