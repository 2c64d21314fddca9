//! What a drawing leaves open, and what it does not: pipes that go on, vents off the wrong pipe, mixers at the main, cisterns
//! high over the joists.

use loftwright::layout::{Layout, Survey, TapeClass};
use loftwright::rules::Verdict;

use super::judged::{findings, of_rule, verdicts};
use super::odd_vents::sound;

const AIR: &str = "pipe-holds-air";

#[test]
fn air_may_leave_by_a_pipe_that_goes_on_upward() {
    let on_to = |way: &str| {
        sound(&[("via: [(2640, 5328), (2640, 2540), (1740, 2540)],\n            to: Port(\"bath\", \"cold\")", way)])
    };
    let upward = on_to("via: [(2640, 5328), (2640, 2540), (1740, 2540)], to: Onward((1740, 3200))");
    let found = &findings(&upward, AIR, "cold-distribution")[0];
    assert_eq!(found.judged.verdict, Verdict::Unknown);
    assert!(found.remedies()[0].contains("goes on beyond the drawing"), "{:?}", found.remedies());
    assert_eq!(verdicts(&upward, AIR, "draw-off"), [Verdict::Meets], "other water has nothing to do with it");
    // From this hump air has to go down on either side, wherever the pipe leads to.
    let hump = "via: [(2640, 5328), (2640, 2540), (2200, 2540), (2200, 3600), (2000, 3600), (2000, 2540), (1740, 2540)], to: Onward((1740, 2700))";
    assert_eq!(verdicts(&on_to(hump), AIR, "cold-distribution"), [Verdict::Breach]);
}

#[test]
fn a_vent_off_the_cold_feed_is_no_vent_that_is_still_to_be_led_on() {
    const VENT: &str = "from: Tee(\"draw-off\", 625.1), via: [(3650, 6110), (2300, 6125)], to: Open((2300, 6000))";
    let off_feed = |to: &str| {
        sound(&[(
            VENT,
            &format!("from: Tee(\"cold-feed\", 2384), via: [(2700, 3310), (2700, 6110), (2300, 6125)], to: {to}"),
        )])
    };
    let drawn = off_feed("Open((2300, 6000))");
    assert_eq!(verdicts(&drawn, "open-vent-missing", "cylinder"), [Verdict::Breach]);
    for rule in ["vent-too-low", "vent-falls", "vent-mouth-too-near", "one-pipe-circulation"] {
        assert_eq!(of_rule(&drawn, rule).len(), 0, "{rule}");
    }
    // What goes on may lead to the draw-off.
    let goes_on = off_feed("Onward((2300, 6000))");
    assert_eq!(verdicts(&goes_on, "open-vent-missing", "cylinder"), [Verdict::Unknown]);
}

/// The sound example with a mixer of a kind that has cold water from the main.
fn mixer_on_main(kind: &str) -> Layout {
    let outlet = format!("(id: \"mixer\", kind: {kind}, at: (5400, 3600), taps: Mixer),\n        (id: \"bath\"");
    let pipes = r#"(
            id: "mixer-hot", service: HotDistribution, material: Copper, size: 15, from: Tee("draw-off", 2000),
            via: [(5360, 2900)], to: Port("mixer", "hot"), fittings: [], insulation: [],
        ),
        (
            id: "mixer-cold", service: RisingMain, material: Copper, size: 15, from: Onward((5440, 300)),
            to: Port("mixer", "cold"), fittings: [(kind: StopValve, at: 200)], insulation: [],
        ),
        (
            id: "rising-main","#;
    sound(&[("(id: \"bath\"", &outlet), ("(\n            id: \"rising-main\",", pipes)])
}

#[test]
fn a_mixer_between_main_and_stored_water_is_told_what_can_be_done() {
    let rule = "mixer-heads-differ";
    let sink = &findings(&mixer_on_main("Sink"), rule, "mixer")[0];
    assert_eq!(sink.judged.verdict, Verdict::Unknown);
    assert!(sink.remedies()[0].contains("up to the mouth"), "{:?}", sink.remedies());
    for kind in ["Basin", "Bath", "Shower"] {
        let found = &findings(&mixer_on_main(kind), rule, "mixer")[0];
        assert_eq!(found.judged.verdict, Verdict::Breach, "{kind}");
        let remedies = found.remedies();
        assert!(remedies.iter().any(|remedy| remedy.contains("check valve on each inlet")), "{kind}: {remedies:?}");
        assert!(remedies.iter().all(|remedy| !remedy.contains(" mm")), "{kind}: {remedies:?}");
    }
}

#[test]
fn clips_in_the_step_of_the_table_are_near_enough_however_the_rest_was_taped() {
    let mut layout = sound(&[]);
    layout.survey = Survey::Surveyed(TapeClass::II);
    for rule in ["clips-too-far-apart-level", "clips-too-far-apart-upright"] {
        let found = of_rule(&layout, rule);
        assert!(!found.is_empty() && found.iter().all(|finding| finding.judged.verdict == Verdict::Meets), "{rule}");
    }
}

#[test]
fn insulation_below_a_cistern_is_no_fault_where_no_warmth_comes_to_it() {
    let rule = "loft-insulation-below-cistern";
    let below = |at: &str, joists: Option<bool>| {
        let mut layout = sound(&[(
            "id: \"cistern\", role: Storage, at: (1500, 5278)",
            &format!("id: \"cistern\", role: Storage, at: {at}"),
        )]);
        layout.cisterns[0].loft_insulation_below = Some(true);
        if joists.is_none() {
            layout.building.joists = None;
        }
        verdicts(&layout, rule, "cistern")
    };
    assert_eq!(below("(1500, 5278)", Some(true)), [Verdict::Breach]);
    assert_eq!(below("(3000, 6200)", Some(true)), []);
    assert_eq!(below("(3000, 6200)", None), []);
    assert_eq!(below("(1500, 5400)", None), [Verdict::Unknown], "the joists may be deep");
}

#[test]
fn a_wc_on_a_hot_pipe_is_given_cold_water_and_has_no_hot_side() {
    let layout = sound(&[
        ("from: Tee(\"basin-cold\", 800), via: [(490, 2540)]", "from: Tee(\"basin-hot\", 800), via: [(490, 2470)]"),
        ("id: \"wc-cold\", service: ColdDistribution", "id: \"wc-cold\", service: HotDistribution"),
    ]);
    let found = &findings(&layout, "hot-and-cold-crossed", "wc")[0];
    assert_eq!(found.judged.verdict, Verdict::Breach);
    assert_eq!(found.remedies(), ["Lead a cold pipe to it in place of the hot one"]);
}
