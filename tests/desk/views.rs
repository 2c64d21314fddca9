//! Every view reached and read by name, without a display; Flow, Warmth and Timber with what they tell.

use egui::accesskit::Toggled;
use egui::{Key, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loftwright::desk::{Action, Aspect, Command, Desk, FlowQuestion, Trial};
use loftwright::layout::{Id, Layout};
use loftwright::units::{Flow, Pressure, Temperature};

use crate::asking::{ask, give};
use crate::example::example;
use crate::reading::{last_step, layout, lines};
use crate::screen::window;
use crate::typing::type_into;

fn look(harness: &mut Harness<'_, Desk>, aspect: Aspect) {
    give(harness, Command::Look(aspect));
}

fn line(harness: &Harness<'_, Desk>, holding: &str) -> String {
    let found = lines(harness, holding);
    assert_eq!(found.len(), 1, "lines with '{holding}': {found:?}");
    found[0].clone()
}

fn figures(harness: &Harness<'_, Desk>) -> Vec<String> {
    let all = harness.query_all_by_role(Role::Figure);
    all.filter_map(|node| node.accesskit_node().label()).collect()
}

/// What a view tells: its heading, what stands in it where a sound system is drawn, and what a blank sheet says instead.
struct Told {
    heading: &'static str,
    on_sound_example: &'static [&'static str],
    on_blank_sheet: &'static [&'static str],
}

/// A view that is new has no arm here, and this is not compiled.
const fn told(aspect: Aspect) -> Told {
    match aspect {
        Aspect::SetOut => Told {
            heading: "Findings",
            on_sound_example: &["Section drawing", "Stores", "Particulars", "0 breach", "Mend all"],
            on_blank_sheet: &["A blank sheet.", "There is nothing to judge yet. Draw something", "0 unknown"],
        },
        Aspect::Flow => Told {
            heading: "Flow",
            on_sound_example: &[
                "Section drawing",
                "Open all",
                "Shut all",
                "Trial",
                "Draining for a job",
                "The open vent stands",
            ],
            on_blank_sheet: &["A blank sheet.", "No tap is joined to a pipe yet. Draw pipes"],
        },
        Aspect::Warmth => Told {
            heading: "Warmth",
            on_sound_example: &["Section drawing", "Climate", "Summer day: ", "Frost: ", "Standing: ", "Coil: "],
            on_blank_sheet: &["A blank sheet.", "Nothing holds water yet. Place a cistern", "Climate"],
        },
        Aspect::Timber => Told {
            heading: "Timber",
            on_sound_example: &["Section drawing", "Load: ", "Joist at 1900 mm", "Bearer 150 mm", "share taken"],
            on_blank_sheet: &["A blank sheet.", "No platform carries a cistern yet. Place both from Stores"],
        },
        Aspect::TakeOff => Told {
            heading: "Take-off",
            on_sound_example: &["Pipes and fittings", "Cutting list of tube", "Quote", "Lines of the quote"],
            on_blank_sheet: &["Nothing is drawn yet that could be listed. Draw it in Set out", "Quote"],
        },
        Aspect::Lesson => Told {
            heading: "Lesson",
            on_sound_example: &["Spot the fault", "Demonstrations", "Sums", "Exercise no.", "Your name", "Begin"],
            on_blank_sheet: &["Spot the fault", "There is nothing to plant a fault in yet. Open a sound layout"],
        },
        Aspect::Sheet => Told {
            heading: "Sheet",
            on_sound_example: &["Page 1 of 1", "Page 1 as it is printed", "Hand over", "Scale", "A3"],
            on_blank_sheet: &["Page 1 of 1", "Nothing is drawn yet: the page is empty. Draw it in Set out"],
        },
    }
}

/// Whether something of these words is told to a screen reader.
fn is_told(harness: &Harness<'_, Desk>, words: &str) -> bool {
    harness.root().children_recursive().any(|node| {
        let node = node.accesskit_node();
        let texts = [node.label(), node.value(), node.description()];
        texts.into_iter().flatten().any(|text| text.contains(words))
    })
}

#[test]
fn every_view_is_reached_by_its_key_and_its_name_and_tells_what_it_is_for() {
    let sheets = [("the sound example", example("sound_indirect")), ("a blank sheet", Layout::default())];
    for (on, layout) in sheets {
        let is_blank = layout == Layout::default();
        let mut harness = window(layout);
        let keys = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7];
        for (aspect, key) in Aspect::ALL.into_iter().zip(keys) {
            harness.key_press(key);
            harness.run();
            assert_eq!(harness.state().outlook().aspect, aspect, "by {key:?} on {on}");
            let told = told(aspect);
            let name = Command::Look(aspect).about().name;
            // The view's name stands in the bar as well.
            let headings = harness.query_all_by_label(told.heading).count();
            assert!(headings > usize::from(told.heading == name), "{aspect:?} has no heading on {on}");
            for words in if is_blank { told.on_blank_sheet } else { told.on_sound_example } {
                assert!(is_told(&harness, words), "{aspect:?} does not tell '{words}' on {on}");
            }
        }
        for aspect in Aspect::ALL {
            let name = Command::Look(aspect).about().name;
            harness.get_all_by_label(name).next().expect("in the bar").click();
            harness.run();
            assert_eq!(harness.state().outlook().aspect, aspect, "by its name on {on}");
        }
    }
}

#[test]
fn what_a_blank_sheet_says_is_no_longer_said_once_something_is_drawn() {
    let mut harness = window(example("sound_indirect"));
    for aspect in Aspect::ALL {
        look(&mut harness, aspect);
        for words in told(aspect).on_blank_sheet.iter().filter(|words| words.contains(". ") || words.ends_with('.')) {
            assert!(!is_told(&harness, words), "{aspect:?} still says '{words}'");
        }
    }
}

#[test]
fn no_settled_view_asks_for_a_repaint() {
    let mut harness = window(example("sound_indirect"));
    for aspect in Aspect::ALL {
        look(&mut harness, aspect);
        harness.step();
        let asked = harness.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
        assert!(asked > std::time::Duration::from_secs(3600), "{aspect:?}: repaint asked for in {asked:?}");
    }
}

#[test]
fn warmth_tells_cistern_cylinder_and_pipes_and_names_its_curves() {
    let mut harness = window(example("sound_indirect"));
    look(&mut harness, Aspect::Warmth);
    assert_eq!(line(&harness, "Summer day: "), "Summer day: 17.4 °C at the warmest, 0 h above 20 °C");
    assert_eq!(line(&harness, "Frost: "), "Frost: stays above 0 °C; it lasts 8 h");
    assert_eq!(line(&harness, "Standing: "), "Standing: loses 62 W, class C; 68 W is allowed its size");
    assert_eq!(line(&harness, "Coil: "), "Coil: hot from cold in 0.8 h");
    assert!(line(&harness, "Draw off: the first").contains("1.0 m at the cylinder loses 7.3 W"));
    assert_eq!(line(&harness, "figures hang on"), "Everything that the figures hang on stands in the layout.");
    for name in [
        "cistern and loft through a summer day",
        "cistern through a frost",
        "cylinder heated from cold",
        "cylinder through a day without heat",
    ] {
        assert!(figures(&harness).contains(&name.to_owned()), "{name} is not among {:?}", figures(&harness));
    }
}

#[test]
fn a_pipe_of_the_tables_is_selected_by_its_name() {
    let mut harness = window(example("sound_indirect"));
    look(&mut harness, Aspect::Warmth);
    harness.get_by_role_and_label(Role::Button, "primary flow").click_accesskit();
    harness.run();
    assert_eq!(harness.state().outlook().selected, Some(Id::of("primary-flow")));
}

#[test]
fn a_typed_climate_is_one_step_and_changes_the_figures() {
    let mut harness = window(example("sound_indirect"));
    look(&mut harness, Aspect::Warmth);
    let before = line(&harness, "Summer day: ");
    type_into(&mut harness, "Loft, hot day", "48");
    let after = line(&harness, "Summer day: ");
    assert_ne!(before, after);
    let climate = |harness: &Harness<'_, Desk>| layout(harness).climate;
    assert_eq!(climate(&harness).loft_summer_peak, Temperature::try_celsius(48.0).ok());
    assert_eq!(last_step(&harness), Some("Change loft, hot day of the climate"));
    type_into(&mut harness, "Loft, hot day", "warm");
    assert!(harness.query_by_label_contains("'warm' is not a number").is_some());
    give(&mut harness, Command::Undo);
    assert_eq!(line(&harness, "Summer day: "), before);
}

#[test]
fn a_climate_that_is_not_told_is_assumed_and_said_to_be() {
    let mut house = example("sound_indirect");
    house.climate.loft_summer_peak = None;
    let mut harness = window(house);
    look(&mut harness, Aspect::Warmth);
    assert!(line(&harness, "Summer day: ").ends_with("(assumed)"));
    assert_eq!(line(&harness, "on a summer afternoon"), "• a loft at 35 °C on a summer afternoon");
    type_into(&mut harness, "Loft, hot day", "35");
    assert!(!line(&harness, "Summer day: ").ends_with("(assumed)"));
    type_into(&mut harness, "Loft, hot day", "");
    assert_eq!(layout(&harness).climate.loft_summer_peak, None);
}

#[test]
fn timber_tells_the_load_and_each_member_both_ways() {
    let mut harness = window(example("sound_indirect"));
    look(&mut harness, Aspect::Timber);
    let made_of = "water 325.6 kg, to the rim; cistern empty 16 kg; board 12.9 kg; bearers 8.6 kg";
    assert_eq!(line(&harness, "Load: "), format!("Load: 363.1 kg, 3.56 kN: {made_of}"));
    assert!(!lines(&harness, "a competent person must confirm a structure").is_empty());
    // One strip of board, four bearers, three joists; the joist in the middle works hardest.
    assert_eq!(lines(&harness, "share taken").len(), 8);
    let members: Vec<String> = ["Joist at", "Bearer", "Board"].iter().flat_map(|kind| lines(&harness, kind)).collect();
    assert_eq!(members.len(), 8, "{members:?}");
    assert_eq!(lines(&harness, "Joist at")[0], "Joist at 1900 mm, 47 × 147 mm");
    for duration in ["permanent", "long-term"] {
        assert_eq!(harness.query_all_by_label(duration).count(), 8, "{duration}");
    }
    assert!(line(&harness, "5.7 mm at once").contains("10.1 mm in the end: 0.900 of what it may"));
    assert!(harness.query_by_label_contains("How long the load lasts is not told").is_some());
}

#[test]
fn timber_says_where_the_water_alone_is_known() {
    let mut layout = example("sound_indirect");
    layout.cisterns[0].empty_mass = None;
    layout.cylinders[0].empty_mass = None;
    let mut harness = window(layout);
    look(&mut harness, Aspect::Timber);
    let load = line(&harness, "Load: ");
    assert!(
        load.starts_with("Load: at least ") && load.contains("still to come: find what the cistern weighs"),
        "{load}"
    );
    assert!(line(&harness, "Cylinder on its floor: ").contains("at least "));
    assert!(line(&harness, "kg of water").contains("without what it weighs empty"));
    assert!(line(&harness, "Still to come: find what the cylinder weighs").ends_with('.'));
}

#[test]
fn timber_says_what_is_not_told_and_follows_another_layout() {
    let mut harness = window(example("sound_indirect"));
    look(&mut harness, Aspect::Timber);
    assert!(!lines(&harness, "Load: ").is_empty());
    let mut layout = example("sound_indirect");
    layout.building.joists.as_mut().expect("there").span = None;
    let mut harness = window(layout);
    look(&mut harness, Aspect::Timber);
    assert!(line(&harness, "Joist: not known").contains("measure the joists from support to support"));
    // The example that is taken up next has the same revision as the last, and other figures.
    give(&mut harness, Command::Example(0));
    assert!(lines(&harness, "Joist: not known").is_empty(), "the last layout is still told of");
}

#[test]
fn what_the_views_read_is_typed_into_particulars() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("bath"))));
    type_into(&mut harness, "Passes", "18 L/min at 0.1 bar");
    let passes = layout(&harness).outlets.iter().find_map(|outlet| outlet.passes).expect("told");
    assert_eq!((Ok(passes.flow), Ok(passes.at)), (Flow::try_l_s(0.3), Pressure::try_kpa(10.0)));
    ask(&mut harness, Action::Select(Some(Id::of("cylinder"))));
    type_into(&mut harness, "Standing loss", "2.4 kWh/day");
    look(&mut harness, Aspect::Warmth);
    assert!(line(&harness, "Standing: ").starts_with("Standing: loses 100 W"));
}

#[test]
fn a_trial_is_chosen_played_to_its_end_and_tells_what_happens() {
    let mut harness = window(example("sound_indirect"));
    // High enough for the whole panel.
    harness.set_size(vec2(1360.0, 1800.0));
    look(&mut harness, Aspect::Flow);
    harness.get_by_role_and_label(Role::ComboBox, "Trial").click();
    harness.run();
    harness.get_by_label("Main off, open taps drawn").click();
    harness.run();
    assert!(figures(&harness).contains(&"levels of the water in time".to_owned()));
    assert!(!lines(&harness, " min: ").is_empty(), "no event is told");
    harness.get_by_label("Play").click();
    harness.run_steps(4);
    let share = harness.state().outlook().playing.share;
    assert!(share > 0.0 && share < 1.0, "it has come to {share}");
    harness.run_steps(2000);
    assert_eq!(harness.state().outlook().playing.share, 1.0);
    harness.run();
    assert!(harness.query_by_label("Play again").is_some());
    let asked = harness.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
    assert!(asked > std::time::Duration::from_secs(3600), "it has ended, and asks for {asked:?}");
}

#[test]
fn the_ticks_of_the_taps_are_those_of_the_trial_that_is_shown() {
    let mut harness = window(example("sound_indirect"));
    let boxes = |harness: &Harness<'_, Desk>| {
        let taps = harness.query_all_by_role(Role::CheckBox).map(|node| {
            let node = node.accesskit_node();
            (node.label().unwrap_or_default(), node.toggled() == Some(Toggled::True), node.is_disabled())
        });
        taps.filter(|(name, ..)| name.contains("Bath") || name.contains("Basin")).collect::<Vec<_>>()
    };
    let try_out = |harness: &mut Harness<'_, Desk>, trial| {
        ask(harness, Action::AskFlow(FlowQuestion { trial, ..FlowQuestion::default() }));
    };
    look(&mut harness, Aspect::Flow);
    for (trial, is_open, is_greyed) in [
        (None, true, false),
        (Some(Trial::MainsOff), true, false),
        (Some(Trial::ValveStuck(0)), false, true),
        (Some(Trial::HeatUp(0)), false, true),
    ] {
        try_out(&mut harness, trial);
        let taps = boxes(&harness);
        assert!(taps.len() >= 3, "{taps:?}");
        assert!(taps.iter().all(|(_, open, greyed)| (*open, *greyed) == (is_open, is_greyed)), "{trial:?}: {taps:?}");
        assert_eq!(harness.query_by_label_contains("all taps are shut").is_some(), is_greyed);
    }
}
