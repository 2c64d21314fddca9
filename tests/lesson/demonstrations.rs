//! Demonstrations: those that ship can be shown, what they say comes true when played, and slips are found with their place.

use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::lesson::demonstration::{Demonstration, Ground, SHIPPED};
use loftwright::measure::Site;
use loftwright::rules::Verdict;
use loftwright::water::trial::Played;

fn script(name: &str) -> (Demonstration, Layout) {
    let (_, text) = SHIPPED.iter().find(|(known, _)| *known == name).expect("it ships");
    let script = Demonstration::parse(text, name).unwrap_or_else(|error| panic!("{error}"));
    let Ground::Example(example) = &script.layout else { panic!("{name} is shown on an example") };
    let layout = Demonstration::example(example).expect("an example");
    (script, layout)
}

/// The trial of a scene, counted from one, and the findings of its layout.
fn played(name: &str, scene: usize) -> Played {
    let (script, layout) = script(name);
    let scene = &script.scenes[scene - 1];
    let layout = scene.layout(&layout).expect("it can be changed so");
    scene.played(&layout).expect("it plays").expect("it has a trial")
}

fn verdict(name: &str, scene: usize, rule: &str) -> Verdict {
    let (script, layout) = script(name);
    let layout = script.scenes[scene - 1].layout(&layout).expect("it can be changed so");
    let findings = Findings::of(&Site::of(&layout));
    let mut of_rule = findings.iter().filter(|finding| finding.rule.id == rule);
    of_rule.next().expect("the rule is asked").judged.verdict
}

fn when(played: &Played, words: &str) -> f64 {
    let found = played.events.iter().find(|event| event.words.contains(words));
    found.unwrap_or_else(|| panic!("no '{words}' in {:?}", played.events)).time_s
}

#[test]
fn every_demonstration_that_ships_can_be_shown_and_plays_a_trial() {
    for (name, _) in SHIPPED {
        let (script, layout) = script(name);
        script.check(&layout, name).unwrap_or_else(|error| panic!("{error}"));
        assert!(script.scenes.iter().any(|scene| scene.play.is_some()), "{name} plays nothing");
        let shows = |scene: &loftwright::lesson::demonstration::Scene| {
            scene.play.is_some() || scene.sum.is_some() || !scene.look.is_empty()
        };
        assert!(script.scenes.iter().all(shows), "{name} has a scene that shows nothing");
    }
}

#[test]
fn the_hot_stops_first_and_the_other_way_about_the_cold() {
    let (right, wrong) = (played("hot_runs_out_first", 2), played("hot_runs_out_first", 4));
    assert!(when(&right, "hot") < when(&right, "cold"));
    assert!(when(&wrong, "cold") < when(&wrong, "hot"));
    assert_eq!(verdict("hot_runs_out_first", 1, "cold-feed-too-low"), Verdict::Meets);
    assert_eq!(verdict("hot_runs_out_first", 3, "cold-feed-too-low"), Verdict::Breach);
}

#[test]
fn the_vent_is_too_near_only_once_it_is_moved() {
    assert_eq!(verdict("offset_vent", 2, "vent-offset-too-short"), Verdict::Meets);
    assert_eq!(verdict("offset_vent", 3, "vent-offset-too-short"), Verdict::Breach);
    for scene in [1, 4] {
        let played = played("offset_vent", scene);
        let last = played.moments.last().expect("moments").levels_mm.clone();
        let level = |wanted: &str| last.iter().find(|(id, _)| id.as_str() == wanted).map(|(_, level)| *level);
        assert!(level("open-vent") > level("cistern"), "{last:?}");
    }
}

#[test]
fn the_warning_pipe_keeps_up_with_one_seat_and_not_with_the_other() {
    for name in ["stuck_float_valve", "filled_to_the_rim"] {
        let (good, bad) = (played(name, 2), played(name, 3));
        assert!(good.events.iter().any(|event| event.words.contains("the level stays")), "{:?}", good.events);
        assert!(good.events.iter().all(|event| !event.words.contains("gap is gone")), "{:?}", good.events);
        assert!(when(&bad, "the air gap is gone") < when(&bad, "runs over its rim"));
        let factor = bad.totals[0].amount.value / good.totals[0].amount.value;
        assert!((factor - 4.0).abs() < 1e-6, "{factor} times as much comes in");
    }
}

#[test]
fn slips_in_a_script_are_found_with_their_place() {
    let text = SHIPPED[0].1;
    let refused = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        Demonstration::parse(&text.replacen(from, to, 1), "mine.ron").expect_err("a slip").to_string()
    };
    let error = refused("heading: \"The main is off, ", "headin: \"The main is off, ");
    assert!(error.contains("line 13, column 13") && error.contains("did you mean 'heading'?"), "{error}");
    assert!(refused("play: MainOff", "play: MainOf").contains("did you mean 'MainOff'?"));
    assert!(refused("format: 1", "format: 2").contains("format 2"));
    let (mut script, layout) = script("hot_runs_out_first");
    script.scenes[3].open = vec!["sauna".to_owned()];
    let error = script.check(&layout, "mine.ron").expect_err("no such tap").to_string();
    assert!(error.starts_with("mine.ron, scene 4: there is no tap 'sauna'"), "{error}");
    script.scenes[2].look = vec!["cold-feed-to-low".to_owned()];
    assert!(script.check(&layout, "mine.ron").expect_err("no such rule").to_string().contains("scene 3"));
}
