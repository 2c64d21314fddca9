//! The window for people who use a keyboard or a screen reader: names, focus, and every panel worked by keys.

use std::collections::BTreeSet;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loftwright::desk::{Aspect, Command, Desk, Tool};
use loftwright::layout::Id;
use loftwright::rules::Voice;

use crate::asking::{give, press};
use crate::example::example;
use crate::reading::layout;
use crate::screen::window;

/// Whether a widget of this role does something.
const fn is_interactive(role: Role) -> bool {
    matches!(
        role,
        Role::Button
            | Role::CheckBox
            | Role::ComboBox
            | Role::Link
            | Role::MultilineTextInput
            | Role::RadioButton
            | Role::Slider
            | Role::SpinButton
            | Role::Tab
            | Role::TextInput
            | Role::Canvas
            | Role::GraphicsObject
    )
}

/// Widgets that do something, as role and name.
fn widgets(harness: &Harness<'_, Desk>) -> Vec<(Role, String)> {
    let nodes = harness.root().children_recursive();
    let nodes = nodes.filter(|node| is_interactive(node.accesskit_node().role()));
    nodes.map(|node| (node.accesskit_node().role(), node.accesskit_node().label().unwrap_or_default())).collect()
}

fn unnamed(harness: &Harness<'_, Desk>) -> Vec<Role> {
    widgets(harness).into_iter().filter(|(_, name)| name.trim().is_empty()).map(|(role, _)| role).collect()
}

#[test]
fn whatever_can_be_worked_has_a_name_in_every_view_and_dialog() {
    for house in ["low_loft", "half_described"] {
        let mut harness = window(example(house));
        for aspect in Aspect::ALL {
            give(&mut harness, Command::Look(aspect));
            let least = if has_stores(aspect) { 40 } else { 10 };
            assert!(widgets(&harness).len() > least, "{aspect:?} shows {} widgets", widgets(&harness).len());
            assert_eq!(unnamed(&harness), [], "{house}, {aspect:?}");
        }
        give(&mut harness, Command::Look(Aspect::SetOut));
        for _ in 0..30 {
            give(&mut harness, Command::NextPart);
            let selected = harness.state().outlook().selected.clone();
            assert_eq!(unnamed(&harness), [], "{house}, with {selected:?} selected");
        }
        for dialog in [Command::Ask, Command::Keys, Command::Rules, Command::Glossary, Command::About, Command::SaveAs]
        {
            give(&mut harness, dialog);
            assert_eq!(unnamed(&harness), [], "{house}, {dialog:?}");
            press(&mut harness, Key::Escape);
        }
    }
}

#[test]
fn every_part_of_the_drawing_is_told_by_name() {
    let harness = window(example("sound_indirect"));
    let told: Vec<String> =
        widgets(&harness).into_iter().filter(|(role, _)| *role == Role::GraphicsObject).map(|(_, name)| name).collect();
    let layout = layout(&harness);
    for part in layout.parts() {
        let name = part.id().spoken();
        assert!(told.iter().any(|told| told.starts_with(&name)), "{name} is not told; these are: {told:?}");
    }
}

/// The views in which one draws; the others have panels of their own.
const fn has_stores(aspect: Aspect) -> bool {
    matches!(aspect, Aspect::SetOut | Aspect::Flow | Aspect::Warmth | Aspect::Timber)
}

/// What has the keyboard, as role and name.
fn focused(harness: &Harness<'_, Desk>) -> Option<(Role, String)> {
    let node = harness.root().children_recursive().find(|node| node.accesskit_node().is_focused())?;
    Some((node.accesskit_node().role(), node.accesskit_node().label().unwrap_or_default()))
}

#[test]
fn tab_goes_through_every_widget_and_comes_round_again() {
    for aspect in Aspect::ALL {
        let mut harness = window(example("sound_indirect"));
        give(&mut harness, Command::Look(aspect));
        let mut reached: BTreeSet<(String, String)> = BTreeSet::new();
        let mut first = None;
        let mut round = false;
        for _ in 0..400 {
            harness.key_press(Key::Tab);
            harness.step();
            harness.step();
            let Some((role, name)) = focused(&harness) else { continue };
            let now = harness.ctx.memory(egui::Memory::focused);
            if first.is_some() && now == first {
                round = true;
                break;
            }
            first = first.or(now);
            reached.insert((format!("{role:?}"), name));
        }
        assert!(round, "{aspect:?}: Tab does not come round; it reached {} widgets", reached.len());
        // Parts that are selected by the focus change what Particulars show: those are walked in another test.
        let kinds = ["Button", "CheckBox", "ComboBox", "GraphicsObject", "TextInput"];
        let menus = ["File", "Help"];
        let stores = ["Basin", "Storage cistern", "Pipe run", "Service of the run", "Section drawing"];
        let fixed = if has_stores(aspect) { [&menus[..], &stores].concat() } else { menus.to_vec() };
        let names: BTreeSet<&str> = reached.iter().map(|(_, name)| name.as_str()).collect();
        for name in fixed {
            assert!(names.contains(name), "{aspect:?}: Tab never reaches {name}; it reaches {names:?}");
        }
        let seen: BTreeSet<&str> = reached.iter().map(|(role, _)| role.as_str()).collect();
        let kinds_seen = kinds.iter().filter(|kind| seen.contains(*kind)).count();
        let enough = if has_stores(aspect) { kinds_seen >= 4 } else { reached.len() > 8 };
        assert!(enough, "{aspect:?}: {seen:?}");
    }
}

/// Gives the keyboard to a widget of a name by Tab alone.
fn tab_to(harness: &mut Harness<'_, Desk>, name: &str) {
    for _ in 0..400 {
        if focused(harness).is_some_and(|(_, now)| now == name) {
            return;
        }
        harness.key_press(Key::Tab);
        harness.step();
        harness.step();
    }
    panic!("Tab never reaches '{name}'");
}

#[test]
fn every_panel_is_worked_by_keys_alone() {
    let mut harness = window(example("low_loft"));
    tab_to(&mut harness, "File");
    press(&mut harness, Key::Enter);
    assert!(harness.query_by_label_contains("Save as").is_some(), "the menu does not open");
    press(&mut harness, Key::Escape);

    tab_to(&mut harness, "Basin");
    press(&mut harness, Key::Space);
    assert!(matches!(harness.state().outlook().tool, Tool::Place(_)), "Stores are not worked by Space");
    press(&mut harness, Key::Escape);
    assert_eq!(harness.state().outlook().tool, Tool::Pick);

    tab_to(&mut harness, "cistern, storage cistern");
    assert_eq!(harness.state().outlook().selected, Some(Id::of("cistern")));
    // On from a part Tab goes to the next part; its numbers have a key of their own.
    press(&mut harness, Key::F2);
    tab_to(&mut harness, "Base level");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    harness.event(egui::Event::Text("5.5 m".to_owned()));
    harness.run();
    press(&mut harness, Key::Enter);
    let cistern = layout(&harness).cisterns.iter().find(|part| part.id == Id::of("cistern"));
    assert_eq!(cistern.map(|cistern| cistern.at.z.to_mm()), Some(5500.0));

    let finding = harness.get_all_by_label_contains("breach: ").next().and_then(|row| row.accesskit_node().label());
    tab_to(&mut harness, &finding.expect("a breach is listed"));
    press(&mut harness, Key::Enter);
    assert!(harness.state().outlook().chosen.is_some(), "a finding is not chosen by Enter");
    tab_to(&mut harness, "Rule");
    press(&mut harness, Key::Enter);
    assert!(harness.query_by_label_contains("On whose authority").is_some());
    press(&mut harness, Key::Escape);

    press(&mut harness, Key::Num2);
    tab_to(&mut harness, "Shut all");
    press(&mut harness, Key::Enter);
    assert_eq!(harness.state().outlook().flow.open, Some(Vec::new()));
}

#[test]
fn the_readings_change_the_words_of_verdicts_too() {
    let mut harness = window(example("low_loft"));
    assert!(harness.query_all_by_label_contains("breach").count() > 0);
    give(&mut harness, Command::Reading(Voice::Plain));
    assert_eq!(harness.query_all_by_label_contains("breach").count(), 0, "jargon in plain words");
    assert!(harness.query_all_by_label_contains("not right").count() > 1);
}

#[test]
fn a_window_at_rest_asks_for_no_frame_in_ten_seconds() {
    let mut harness = window(example("low_loft"));
    let mut asked = 0;
    let (mut now_s, mut frames) = (0.0_f64, 0);
    while now_s < 10.0 && frames < 1000 {
        harness.step();
        frames += 1;
        let delay = harness.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay.as_secs_f64();
        if now_s + delay < 10.0 {
            asked += 1;
        }
        now_s += delay.max(1.0 / 60.0);
    }
    assert_eq!(asked, 0, "{asked} frames in ten seconds");
}

#[test]
fn imperial_shows_and_takes_inches() {
    use loftwright::session::settings::Measures;
    let mut harness = window(example("sound_indirect"));
    give(&mut harness, Command::Units(Measures::Imperial));
    harness.get_by_label("cistern, storage cistern").focus();
    harness.run();
    harness.get_by_role_and_label(Role::TextInput, "Base level").focus();
    harness.run();
    harness.get_by_role_and_label(Role::TextInput, "Base level").type_text("210");
    press(&mut harness, Key::Enter);
    let base = layout(&harness).cisterns[0].at.z.to_mm();
    assert!((base - 210.0 * 25.4).abs() < 1e-6, "it stands at {base} mm");
}
