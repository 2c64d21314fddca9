//! The view Lesson, by accessible name and without a display: an exercise found and marked, a demonstration, sums, the record.

use egui::{Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loftwright::desk::commands::Can;
use loftwright::desk::{Action, Arrange, Aspect, Command, Desk, LessonAction, Stock, Tool};
use loftwright::layout::{Id, Layout, OutletKind};
use loftwright::lesson::{Exercise, Key};
use loftwright::rules::{Voice, rule};
use loftwright::session::Session;

use crate::asking::{ask, give, press_button};
use crate::example::example;
use crate::pointer::{at, begin_drag, click, drag};
use crate::reading::{layout, lines};
use crate::screen;

fn lesson(layout: Layout) -> Harness<'static, Desk> {
    let mut harness = screen::show(Desk::new(Session::new(layout)), [1400.0, 1600.0]);
    give(&mut harness, Command::Look(Aspect::Lesson));
    harness
}

fn type_into(harness: &mut Harness<'_, Desk>, name: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, name).focus();
    harness.run();
    harness.key_press(egui::Key::End);
    // What stands there is longer in no field of this view.
    (0..20).for_each(|_| harness.key_press(egui::Key::Backspace));
    harness.run();
    harness.get_by_role_and_label(Role::TextInput, name).type_text(text);
    harness.run();
}

fn choose(harness: &mut Harness<'_, Desk>, list: &str, entry: &str) {
    harness.get_by_role_and_label(Role::ComboBox, list).click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, entry).click();
    harness.run();
}

fn begin(harness: &mut Harness<'_, Desk>, seed: &str) -> Exercise {
    type_into(harness, "Exercise no.", seed);
    type_into(harness, "Your name", "Ines Okoro");
    press_button(harness, "Begin");
    harness.state().lessons().spot.as_ref().expect("an exercise is under way").exercise.clone()
}

/// Selects a part of the exercise by its name on the drawing.
fn point_at(harness: &mut Harness<'_, Desk>, part: &str) {
    let spoken = part.replace('-', " ");
    let named = |name: &str| name == spoken || name.starts_with(&format!("{spoken},"));
    let node =
        harness.get_by(|node| node.role() == Role::GraphicsObject && node.label().is_some_and(|label| named(&label)));
    node.click_accesskit();
    harness.run();
}

#[test]
fn faults_are_hidden_found_named_and_marked() {
    let mut harness = lesson(example("sound_indirect"));
    let exercise = begin(&mut harness, "5");
    assert_eq!((exercise.learner.as_str(), exercise.seed), ("Ines Okoro", 5));
    assert_eq!(lines(&harness, "3 faults are hidden").len(), 1);
    for fault in &exercise.faults {
        assert!(lines(&harness, &fault.words).is_empty(), "told before it is handed in: {}", fault.words);
    }
    // All but the last are claimed, the second with no number.
    for (number, fault) in exercise.faults.iter().enumerate().take(2) {
        point_at(&mut harness, &fault.parts[0]);
        choose(&mut harness, "What is wrong", rule(&fault.rule).expect("a rule").prose.title(Voice::Trade));
        if let (Some(need), 0) = (&fault.need, number) {
            type_into(
                &mut harness,
                "How much it should be, where it is a number",
                &format!("{} {}", need.value, need.unit),
            );
        }
        press_button(&mut harness, "Mark this fault");
    }
    press_button(&mut harness, "Hint (costs 1)");
    assert_eq!(lines(&harness, "Hint: One fault has to do with").len(), 1);
    press_button(&mut harness, "Hand in");
    let asked = |number: usize| i32::from(exercise.faults[number].need.is_some()) * 2;
    let got = 4 + asked(0) + 4 - 1;
    let out_of = 12 + asked(0) + asked(1) + asked(2);
    let told = lines(&harness, &format!("{got} of {out_of} marks"));
    assert_eq!(told.len(), 1, "{:?}", lines(&harness, " marks ("));
    // What was missed is taught, and what was found is not.
    let teaching = exercise.faults[2].teaching();
    assert_eq!(lines(&harness, teaching).len(), 1);
    assert!(lines(&harness, exercise.faults[0].teaching()).is_empty());
    let attempts = &harness.state().lessons().record.attempts;
    assert_eq!((attempts.len(), attempts[0].got, attempts[0].out_of, attempts[0].hints), (1, got, out_of, 1));
    press_button(&mut harness, "Done");
    assert!(harness.query_by_label("Begin").is_some());
    // The open layout was never touched.
    assert_eq!(layout(&harness), &example("sound_indirect"));
}

#[test]
fn an_exercise_of_the_window_is_that_of_the_command_line() {
    let mut harness = lesson(example("sound_indirect"));
    let exercise = begin(&mut harness, "9");
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("names.csv"), "name\nInes Okoro\n").expect("written");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let (names, class) = (path("names.csv"), path("class"));
    let line =
        ["lesson", "make", "examples/sound_indirect.loft.ron", "--seed", "9", "--names", &names, "--out", &class];
    loftwright::cli::run(line, &mut out, &mut err);
    let text = std::fs::read_to_string(path("class/key.ron")).expect("a key");
    let key = loftwright::lesson::Key::parse(&text, "key").expect("reads");
    assert_eq!(key.exercises, [exercise]);
}

#[test]
fn the_timer_can_be_switched_off_and_then_nothing_is_kept_of_it() {
    let mut harness = lesson(example("sound_indirect"));
    harness.get_by_label("Show and keep the time").click();
    harness.run();
    begin(&mut harness, "2");
    assert_eq!(lines(&harness, "3 faults are hidden"), ["3 faults are hidden"]);
    press_button(&mut harness, "Hand in");
    assert_eq!(harness.state().lessons().record.attempts[0].seconds, None);
}

#[test]
fn the_tape_reads_between_two_places_on_the_drawing() {
    let mut harness = lesson(example("sound_indirect"));
    begin(&mut harness, "2");
    press_button(&mut harness, "Take the tape");
    let drawing = harness.get_by_role(Role::Canvas).rect();
    for at in [drawing.center(), drawing.center() + vec2(60.0, 80.0)] {
        harness.hover_at(at);
        harness.drag_at(at);
        harness.drop_at(at);
        harness.run();
    }
    let told = lines(&harness, "Tape: ");
    assert!(told.len() == 1 && told[0].contains(" straight"), "{told:?}");
    assert!(harness.state().lessons().spot.as_ref().is_some_and(|spot| spot.at.is_none()), "the tape marks no place");
}

#[test]
fn a_layout_with_faults_of_its_own_makes_no_exercise() {
    let mut harness = lesson(example("low_loft"));
    press_button(&mut harness, "Begin");
    assert!(harness.state().lessons().spot.is_none());
    assert_eq!(lines(&harness, "The layout has faults of its own").len(), 1);
}

#[test]
fn papers_for_a_class_are_made_from_the_window() {
    let folder = tempfile::tempdir().expect("a folder");
    let (names, out) = (folder.path().join("class.csv"), folder.path().join("papers"));
    std::fs::write(&names, "name\nInes Okoro\nTom Brand\n").expect("written");
    let mut harness = lesson(example("sound_indirect"));
    let exercise = begin(&mut harness, "5");
    press_button(&mut harness, "Leave unmarked");
    harness.get_by_label("On paper, for a class").click();
    harness.run();
    for (field, path) in [("List of names (CSV)", &names), ("Into the folder", &out)] {
        type_into(&mut harness, field, &path.display().to_string());
    }
    harness.get_by_role_and_label(Role::Button, "Make the papers").click();
    for _ in 0..600 {
        harness.step();
        if !harness.state().lessons().said.is_empty() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    assert!(harness.state().lessons().said.starts_with("2 exercises"), "{}", harness.state().lessons().said);
    let key = std::fs::read_to_string(out.join("key.ron")).expect("a key");
    let key = Key::parse(&key, "key.ron").expect("reads");
    assert_eq!(key.of_learner("Ines Okoro"), Some(&exercise), "the same number and name give the same exercise");
    let papers = std::fs::read_dir(&out).expect("a folder").count();
    assert_eq!(papers, 2 * 3 + 2, "worksheet, answers and layout of each; the key and the form");
}

fn play_to_the_end(harness: &mut Harness<'_, Desk>) {
    harness.get_by_role_and_label(Role::Button, "Play").click();
    for _ in 0..2000 {
        harness.step();
        if harness.state().lessons().playing().share >= 1.0 {
            break;
        }
    }
    assert_eq!(harness.state().lessons().playing().share, 1.0);
    harness.run();
}

#[test]
fn a_demonstration_is_stepped_through_and_its_trial_played() {
    let mut harness = lesson(Layout::default());
    press_button(&mut harness, "Demonstrations");
    press_button(&mut harness, "Why the hot must run out first");
    assert_eq!(lines(&harness, "scene 1 of 4").len(), 1);
    press_button(&mut harness, "Next scene");
    play_to_the_end(&mut harness);
    assert!(harness.query_by_label("Play again").is_some());
    // The keys that reveal marks step through scenes here.
    give(&mut harness, Command::RevealMore);
    assert_eq!(lines(&harness, "scene 3 of 4").len(), 1);
    press_button(&mut harness, "Leave");
    assert!(harness.state().lessons().showing.is_none());
}

#[test]
fn sums_are_answered_with_their_units() {
    let mut harness = lesson(Layout::default());
    press_button(&mut harness, "Sums");
    press_button(&mut harness, "Draw a set");
    let answer = harness.state().lessons().practice.questions[0].answer_words();
    type_into(&mut harness, "Your answer, with its unit", &answer);
    press_button(&mut harness, "Check");
    assert_eq!(lines(&harness, "Right: number 2 of 2, unit 1 of 1").len(), 1);
    assert_eq!(lines(&harness, "rise = 150 mm + 40 mm/m × height").len(), 1);
    press_button(&mut harness, "Next question");
    type_into(&mut harness, "Your answer, with its unit", "1 mm");
    press_button(&mut harness, "Check");
    assert_eq!(lines(&harness, "Not right: number 0 of 2, unit 0 of 1").len(), 1);
    assert_eq!(harness.state().lessons().practice.got, 3);
}

#[test]
fn keys_leave_the_open_drawing_as_it_is() {
    let mut harness = lesson(example("low_loft"));
    let before = harness.state().session().layout().clone();
    press_button(&mut harness, "Sums");
    press_button(&mut harness, "Draw a set");
    type_into(&mut harness, "Your answer, with its unit", "1 mm");
    press_button(&mut harness, "Check");
    // What is typed now belongs to the field still.
    harness.event(egui::Event::Text("30,6 cm".to_owned()));
    harness.key_press(egui::Key::M);
    harness.run();
    assert!(harness.state().lessons().practice.answer.contains("30,6 cm"));
    press_button(&mut harness, "Record");
    for key in [egui::Key::M, egui::Key::U, egui::Key::Delete, egui::Key::ArrowUp] {
        harness.key_press(key);
    }
    harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
    harness.run();
    let (session, outlook) = (harness.state().session(), harness.state().outlook());
    assert_eq!((outlook.aspect, outlook.selection()), (Aspect::Lesson, Vec::new()));
    assert!(outlook.mend.is_none() && session.layout() == &before);
}

#[test]
fn the_record_goes_out_as_csv() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut harness = lesson(example("sound_indirect"));
    harness.state_mut().keep_record_in(folder.path().join("course.ron"));
    begin(&mut harness, "4");
    press_button(&mut harness, "Hand in");
    press_button(&mut harness, "Done");
    press_button(&mut harness, "Record");
    assert_eq!(lines(&harness, "Nothing of it leaves this machine").len(), 1);
    let path = folder.path().join("out.csv").display().to_string();
    type_into(&mut harness, "Export as CSV to", &path);
    ask(&mut harness, Action::Lesson(LessonAction::Export));
    let csv = std::fs::read_to_string(&path).expect("written");
    assert!(csv.lines().nth(1).is_some_and(|row| row.contains(",Ines Okoro,")), "{csv}");
    assert!(folder.path().join("course.ron").exists());
}

#[test]
fn the_pointer_leaves_the_open_drawing_as_it_is() {
    for page in ["Spot the fault", "Demonstrations", "Sums", "Mark papers", "Record"] {
        let mut harness = lesson(example("low_loft"));
        press_button(&mut harness, page);
        let before = layout(&harness).clone();
        let [cistern, beside] = [(1950.0, 5500.0), (3200.0, 5400.0)].map(|(x, z)| at(&harness, x, z));
        drag(&mut harness, cistern, beside);
        assert_eq!(layout(&harness), &before, "{page}");
        let moved = at(&harness, 1950.0, 5500.0);
        assert!((moved - beside).length() < 2.0, "{page}: the view is moved over it instead, to {moved}");
        // A double click on a pipe would bend it, and a tool in hand would leave something behind.
        let vent = at(&harness, 3650.0, 5000.0);
        for _ in 0..2 {
            harness.hover_at(vent);
            harness.drag_at(vent);
            harness.drop_at(vent);
        }
        harness.run();
        assert!(harness.query_by_label("Storage cistern").is_none(), "{page}: Stores are shown");
        assert_eq!(layout(&harness), &before, "{page}");
        assert!(harness.state().session().undo_label().is_none(), "{page}");
    }
}

#[test]
fn a_tool_in_hand_and_a_drag_are_given_up_for_a_lesson() {
    let mut harness = lesson(example("low_loft"));
    give(&mut harness, Command::Look(Aspect::SetOut));
    let before = layout(&harness).clone();
    let [cistern, beside] = [(1950.0, 5500.0), (3200.0, 5400.0)].map(|(x, z)| at(&harness, x, z));
    begin_drag(&mut harness, cistern, beside);
    assert_ne!(layout(&harness), &before, "it is being moved");
    give(&mut harness, Command::Look(Aspect::Lesson));
    harness.drop_at(beside);
    harness.run();
    assert_eq!(layout(&harness), &before);
    give(&mut harness, Command::Look(Aspect::SetOut));
    ask(&mut harness, Action::Take(Tool::Place(Stock::Outlet(OutletKind::Basin))));
    give(&mut harness, Command::Look(Aspect::Lesson));
    let place = at(&harness, 3000.0, 3500.0);
    click(&mut harness, place);
    assert_eq!((layout(&harness), &harness.state().outlook().tool), (&before, &Tool::Pick));
}

#[test]
fn commands_that_would_change_the_drawing_are_not_offered_in_a_lesson() {
    let mut harness = lesson(example("low_loft"));
    give(&mut harness, Command::Look(Aspect::SetOut));
    ask(&mut harness, Action::Select(Some(Id::of("bath"))));
    let can = |harness: &Harness<'_, Desk>, command: Command| {
        command.offered(harness.state().session(), harness.state().outlook()).can
    };
    for command in [Command::Delete, Command::MendAll, Command::Arrange(Arrange::Copy)] {
        give(&mut harness, Command::Look(Aspect::SetOut));
        assert_eq!(can(&harness, command), Can::Yes, "{command:?}");
        give(&mut harness, Command::Look(Aspect::Lesson));
        assert_eq!(can(&harness, command), Can::NotNow, "{command:?}");
    }
}

#[test]
fn a_hint_stays_under_the_pointer_that_takes_it() {
    for width in [880.0, 912.0, 930.0, 948.0, 1024.0, 1360.0] {
        let mut harness = screen::show(Desk::new(Session::new(example("sound_indirect"))), [width, 640.0]);
        give(&mut harness, Command::Look(Aspect::Lesson));
        ask(&mut harness, Action::Lesson(LessonAction::Begin));
        let place = |harness: &Harness<'_, Desk>| harness.get_by_label("Hint (costs 1)").rect();
        let before = place(&harness);
        for taken in 1..=6 {
            ask(&mut harness, Action::Lesson(LessonAction::Hint));
            harness.run_steps(3);
            assert_eq!(lines(&harness, "Hint: ").len(), taken);
            assert_eq!(place(&harness), before, "after hint {taken} in a window {width} wide");
        }
        // Nor does it move where so much stands below it that a bar is needed, or no longer.
        for height in [1200.0, 500.0] {
            harness.set_size(vec2(width, height));
            harness.run_steps(3);
            assert_eq!(place(&harness), before, "in a window of {width} × {height}");
        }
    }
}

/// Where the cistern is on the lesson's drawing.
fn cistern_on_screen(harness: &Harness<'_, Desk>) -> egui::Rect {
    let mut parts = harness.query_all_by_role(egui::Role::GraphicsObject);
    let cistern = parts.find(|part| part.accesskit_node().label().is_some_and(|name| name.contains("storage cistern")));
    cistern.expect("the cistern is in view").rect()
}

#[test]
fn a_scene_brings_near_what_it_speaks_of() {
    let mut harness = lesson(Layout::default());
    press_button(&mut harness, "Demonstrations");
    press_button(&mut harness, "Why the platform carries the rim and not the overflow");
    let whole = cistern_on_screen(&harness);
    press_button(&mut harness, "Next scene");
    let near = cistern_on_screen(&harness);
    assert!(near.width() > 1.5 * whole.width(), "{} points wide, and {} in the whole", near.width(), whole.width());
    // What is cut off at the edge of the view is no longer as high as it is wide.
    assert!((near.height() / near.width() - whole.height() / whole.width()).abs() < 0.03, "{near} and {whole}");
    give(&mut harness, Command::Fit);
    assert!((cistern_on_screen(&harness).width() - whole.width()).abs() < 1.0);
}
