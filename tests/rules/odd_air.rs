//! Vents that draw air with a single tap open, and what the taps and pipes behind them are then said to do.

use loftwright::layout::Layout;
use loftwright::measure::Have;
use loftwright::rules::Verdict;

use super::drawn_from::with_passages;
use super::judged::{finding, verdict};

const DRAWS_AIR: &str = "vent-draws-air";
const STARVED: &str = "outlet-starved";
const FAST: &str = "pipe-too-fast";

/// A bath 3.8 m below its cistern on 22 mm pipes, with a vent 1.5 m below the water, changed in some passages.
fn bath(changes: &[(&str, &str)]) -> Layout {
    with_passages(include_str!("../cases/vent-draws-air/meets.loft.ron"), changes)
}

const STOP_VALVE: (&str, &str) = (
    r#"to: Port("cylinder", "cold-inlet"), fittings: []"#,
    r#"to: Port("cylinder", "cold-inlet"), fittings: [(kind: StopValve, at: 400)]"#,
);
const MODEST: (&str, &str) = ("at: (4040, 600)", "at: (4040, 600), passes: (flow: 0.15, at: 10)");
const GREEDY: (&str, &str) = ("at: (4040, 600)", "at: (4040, 600), passes: (flow: 0.6, at: 10)");

fn have_and_need_l_s(layout: &Layout, rule: &str, part: &str) -> (f64, f64) {
    let reading = finding(layout, rule, part).reading;
    match (reading.have, reading.against) {
        (Have::Amount(have, _), Some(need)) => (have.value, need.value),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_vent_that_draws_air_with_one_tap_open_is_held_to_that_tap() {
    let layout = bath(&[STOP_VALVE, GREEDY]);
    let (limit_l_s, need_l_s) = have_and_need_l_s(&layout, DRAWS_AIR, "vent");
    // More than the 0.3 L/s that a bath counts for, and less than this one takes.
    assert!(limit_l_s > 0.3 && need_l_s > limit_l_s, "{limit_l_s} L/s, it needs {need_l_s}");
    assert_eq!(verdict(&layout, DRAWS_AIR, "vent"), Some(Verdict::Breach));
    // The bath gets what the feed brings, and that is enough; as it leaves the cistern, colder and a sixtieth less.
    let (given_l_s, least_l_s) = have_and_need_l_s(&layout, STARVED, "bath");
    assert!((given_l_s / limit_l_s - 1.0).abs() < 0.02 && least_l_s == 0.2, "{given_l_s} L/s of {limit_l_s}");
    assert_eq!(verdict(&layout, STARVED, "bath"), Some(Verdict::Meets));
    for pipe in ["cold-feed", "draw-off"] {
        assert_eq!(verdict(&layout, FAST, pipe), Some(Verdict::Unknown), "{pipe}");
    }
    // A tap that runs full of a full vent changes nothing.
    let modest = bath(&[STOP_VALVE, MODEST]);
    let (of_modest_l_s, need_l_s) = have_and_need_l_s(&modest, DRAWS_AIR, "vent");
    assert!((of_modest_l_s - limit_l_s).abs() < 1e-9 && need_l_s == 0.3);
    for (rule, part) in [(DRAWS_AIR, "vent"), (STARVED, "bath"), (FAST, "cold-feed"), (FAST, "draw-off")] {
        assert_eq!(verdict(&modest, rule, part), Some(Verdict::Meets), "{rule} of {part}");
    }
}

#[test]
fn a_tap_is_starved_where_the_feed_brings_too_little_with_the_air() {
    let thin = r#"size: 10, from: Port("cistern", "feed")"#;
    let layout = bath(&[(r#"size: 22, from: Port("cistern", "feed")"#, thin)]);
    let (given_l_s, least_l_s) = have_and_need_l_s(&layout, STARVED, "bath");
    assert!(given_l_s > 0.0 && given_l_s < least_l_s, "{given_l_s} L/s");
    assert_eq!(verdict(&layout, STARVED, "bath"), Some(Verdict::Breach));
}

/// Nobody knows what a pump takes past the vent, unless the taps that stand in the tables break it already.
#[test]
fn a_pump_behind_a_vent_leaves_open_whether_it_draws_air() {
    let pump =
        (r#"to: Port("bath", "hot"), fittings: []"#, r#"to: Port("bath", "hot"), fittings: [(kind: Pump, at: 5000)]"#);
    assert_eq!(verdict(&bath(&[]), DRAWS_AIR, "vent"), Some(Verdict::Meets));
    let layout = bath(&[pump]);
    for (rule, part) in [(DRAWS_AIR, "vent"), (STARVED, "bath"), (FAST, "cold-feed")] {
        assert_eq!(verdict(&layout, rule, part), Some(Verdict::Unknown), "{rule} of {part}");
    }
    let thin = r#"size: 15, from: Port("cistern", "feed")"#;
    let layout = bath(&[pump, (r#"size: 22, from: Port("cistern", "feed")"#, thin)]);
    assert_eq!(verdict(&layout, DRAWS_AIR, "vent"), Some(Verdict::Breach));
}

/// A cold tap on the feed that takes its water away.
#[test]
fn a_cold_tap_on_the_feed_may_have_the_vent_draw_air() {
    let tap = r#"(id: "greedy", service: ColdFeed, material: Copper, size: 22, from: Tee("cold-feed", 3100), via: [],
        to: Port("trough", "cold"), fittings: []), (id: "draw-off""#;
    let outlet = (
        r#"outlets: ["#,
        r#"outlets: [(id: "trough", kind: Bath, at: (1000, 400), taps: Separate, passes: (flow: 3, at: 10)), "#,
    );
    let layout = bath(&[outlet, (r#"(id: "draw-off""#, tap)]);
    let found = finding(&layout, DRAWS_AIR, "vent");
    assert_eq!(
        (found.judged.verdict, found.reading.have),
        (Verdict::Breach, Have::No("one tap alone has it draw air"))
    );
}
