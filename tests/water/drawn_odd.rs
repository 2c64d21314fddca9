//! Pipes drawn oddly, against networks solved with scipy 1.17.1: taps above the pressure line, valves half shut, bores that
//! change in line.

use loftwright::layout::Layout;
use loftwright::measure::{Rest, Site};
use loftwright::water::circuit::{AirBy, Circuit, Conditions, Flows, Losses, Open, Outcome, TapName};
use loftwright::water::trial::mains_off;
use loftwright::water::{FlowReport, Running, readings};

use crate::drawn_from::whole;
use crate::near::near;
use crate::played::total;

/// A cistern with its hole at 5050 mm, taps and pipes.
fn house(line_mm: f64, outlets: &str, runs: &str) -> Layout {
    let text = format!(
        r#"(format: 1, cisterns: [(id: "c", role: Storage, at: (1000, 5000), length: 900, width: 600, height: 600,
            water_line: {line_mm}, connections: [(port: "d", on: Right(50))])], outlets: [{outlets}], runs: [{runs}])"#
    );
    whole(&text)
}

/// A pipe at high level that leads on to a bath 4.4 m below, and a branch of it to a basin 10 mm above it.
fn high_basin(branch: &str) -> Layout {
    house(
        250.0,
        r#"(id: "bath", kind: Bath, at: (6000, 600)), (id: "basin", kind: Basin, at: (3000, 5000))"#,
        &format!(
            r#"(id: "d", service: ColdDistribution, material: Copper, size: 22, from: Port("c", "d"),
                via: [(2200, 5050), (2200, 4990), (6040, 4990)], to: Port("bath", "cold"), fittings: []),
            (id: "b", service: ColdDistribution, material: Copper, size: 15, to: Port("basin", "cold"), {branch})"#
        ),
    )
}

/// What leads straight up to the basin.
fn straight_up(fittings: &str) -> String {
    format!(r#"from: Tee("d", 1200), fittings: [{fittings}]"#)
}

/// A bath behind a vented cylinder, and a basin on the same pipe that is above the pressure once the bath runs.
fn high_hot_basin() -> Layout {
    let text = r#"(format: 1,
        cisterns: [(id: "c", role: Storage, at: (1000, 5000), length: 900, width: 600, height: 600, water_line: 450,
            connections: [(port: "feed", on: Right(80))])],
        cylinders: [(id: "cylinder", at: (3000, 2000), diameter: 450, height: 900, stored_temperature: 60)],
        outlets: [(id: "bath", kind: Bath, at: (5000, 600)), (id: "basin", kind: Basin, at: (4200, 4950))],
        runs: [
            (id: "feed", service: ColdFeed, material: Copper, size: 28, from: Port("c", "feed"),
                via: [(2500, 5080), (2500, 2099)], to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "draw", service: HotDistribution, material: Copper, size: 22, from: Port("cylinder", "draw-off"),
                via: [(3225, 3100), (3725, 3105), (3725, 4900), (4960, 4900)], to: Port("bath", "hot"), fittings: []),
            (id: "vent", service: OpenVent, material: Copper, size: 22, from: Tee("draw", 450),
                via: [(3474.987500937422, 6500), (1500, 6510)], to: Open((1500, 6300)), fittings: []),
            (id: "b", service: HotDistribution, material: Copper, size: 15, from: Tee("draw", 2930),
                via: [(4160, 4930)], to: Port("basin", "hot"), fittings: []),
        ])"#;
    whole(text)
}

fn flows(layout: &Layout, conditions: &Conditions) -> Flows {
    Circuit::of(&Site::of(layout)).flows(conditions)
}

fn together(layout: &Layout) -> Flows {
    flows(layout, &Conditions::with(Open::Everything))
}

fn alone_l_s(layout: &Layout, tap: usize) -> f64 {
    flows(layout, &Conditions::with(Open::Numbered(vec![tap]))).taps[tap].flow_l_s().expect("it runs")
}

/// So far the program may be from the reference.
const AS_IN_THE_REFERENCE: f64 = 2e-3;

/// Of the draw-off past the tee at which its pressure is the air's: 0.3667 L/s of cold water, 0.3604 L/s of hot.
#[test]
fn an_open_tap_above_the_pressure_line_draws_air() {
    for (layout, name, limit_l_s) in
        [(high_basin(&straight_up("")), "basin cold", 0.366_747), (high_hot_basin(), "basin hot", 0.360_352)]
    {
        let flows = together(&layout);
        for tap in &flows.taps {
            let Outcome::AirDrawn(AirBy::Tap { name: by, beyond_l_s }) = &tap.outcome else {
                panic!("{:?}", tap.outcome);
            };
            assert_eq!(by, &name.parse::<TapName>().expect("a tap"));
            near(beyond_l_s.expect("one tap alone"), limit_l_s, AS_IN_THE_REFERENCE, name);
        }
        assert!(flows.stretches.iter().all(Option::is_none), "no flow is steady");
        assert!(flows.vents.iter().all(|vent| !vent.draws_air));
        // Alone neither draws any.
        assert!(alone_l_s(&layout, 0) > 0.5 && alone_l_s(&layout, 1) > 0.05);
    }
}

#[test]
fn air_that_a_tap_draws_is_told_with_its_draw_off() {
    let layout = high_basin(&straight_up(""));
    let site = Site::of(&layout);
    let report = FlowReport::new("house", &Circuit::of(&site), &Conditions::with(Open::Everything));
    for tap in &report.outlets {
        assert_eq!(
            tap.words,
            "basin cold, open above the pressure in its pipe, draws air once more than 0.37 L/s is drawn past it: no flow is steady"
        );
        assert!(tap.flow.is_none() && tap.alone.is_some());
    }
}

#[test]
fn a_tap_behind_a_non_return_valve_draws_no_air() {
    let flows = together(&high_basin(&straight_up("(kind: NonReturnValve, at: 5)")));
    let [bath, basin] = [0, 1].map(|tap| flows.taps[tap].flow_l_s().expect("steady"));
    assert!(bath > 0.5 && basin == 0.0, "{bath} and {basin} L/s");
}

/// Water stands in a branch that dips further than the pressure at its tee is below the air's.
#[test]
fn water_in_a_dip_keeps_the_air_out() {
    let dipping = |dip_mm: f64| {
        let down_mm = 4990.0 - dip_mm;
        high_basin(&format!(r#"from: Tee("d", 1000), via: [(2840, {down_mm}), (3040, {down_mm})], fittings: []"#))
    };
    assert!(matches!(together(&dipping(20.0)).taps[1].outcome, Outcome::AirDrawn(_)));
    let flows = together(&dipping(600.0));
    assert!(flows.taps[0].flow_l_s().is_some_and(|bath_l_s| bath_l_s > 0.5) && flows.taps[1].flow_l_s() == Some(0.0));
}

#[test]
fn what_rests_on_air_that_a_tap_draws_is_not_told() {
    let layout = high_basin(&straight_up(""));
    let site = Site::of(&layout);
    let running = Running::of(&site);
    // Each tap alone is judged as ever.
    let at_taps = readings::flow_at_taps(&running);
    assert!(at_taps.iter().all(|reading| reading.rest.is_none()), "{at_taps:?}");
    // What is likely at one time is less than the bath wide open takes, so that nothing faster is left open.
    assert!(readings::velocity(&running).iter().all(|reading| reading.rest.is_none()));
    // Of two baths that are rated low more is likely than either takes: how much of it comes with the basin's air is open,
    // and at worst it is all.
    let layout = house(
        250.0,
        r#"(id: "bath", kind: Bath, at: (6000, 600), passes: (flow: 0.22, at: 40)),
            (id: "second", kind: Bath, at: (7000, 600), passes: (flow: 0.22, at: 40)),
            (id: "basin", kind: Basin, at: (3000, 5000))"#,
        r#"(id: "d", service: ColdDistribution, material: Copper, size: 22, from: Port("c", "d"),
                via: [(2200, 5050), (2200, 4990), (6040, 4990)], to: Port("bath", "cold"), fittings: []),
            (id: "e", service: ColdDistribution, material: Copper, size: 22, from: Tee("d", 4100),
                via: [(7040, 4990)], to: Port("second", "cold"), fittings: []),
            (id: "b", service: ColdDistribution, material: Copper, size: 15, from: Tee("d", 1200),
                to: Port("basin", "cold"), fittings: [])"#,
    );
    assert!(together(&layout).taps[2].outcome.air_of_tap().is_some());
    let site = Site::of(&layout);
    let reading = readings::velocity(&Running::of(&site)).into_iter().find(|reading| reading.parts[0].as_str() == "d");
    assert!(matches!(reading.expect("asked").rest, Some(Rest::AtWorst(..))));
}

/// The basin is past the air's tee from nowhere: the bath has what still comes, and the basin nothing.
#[test]
fn a_tap_that_draws_air_is_told_in_a_trial_and_listed() {
    let layout = high_basin(&straight_up(""));
    let site = Site::of(&layout);
    let played = mains_off(&Circuit::of(&site), Open::Everything).expect("played");
    let events: Vec<&str> = played.events.iter().map(|event| event.words.as_str()).collect();
    let of_basin: Vec<&&str> = events.iter().filter(|words| words.starts_with("basin")).collect();
    let draws = "basin cold stands above the pressure in its pipe: it gives nothing and draws air";
    assert!(of_basin.len() == 1 && of_basin[0].starts_with(draws), "{events:?}");
    // 900 × 600 mm from 250 mm down to the hole at 50 mm.
    near(total(&played, "bath cold gives"), 108.0, AS_IN_THE_REFERENCE, "bath cold");
    assert_eq!(total(&played, "basin cold gives"), 0.0);
}

/// A basin above the water line and a sink on the main give nothing, and are named with why.
#[test]
fn taps_that_give_nothing_are_listed_with_why() {
    let layout = house(
        250.0,
        r#"(id: "bath", kind: Bath, at: (6000, 600)), (id: "high", kind: Basin, at: (2200, 5400)),
            (id: "kitchen", kind: Sink, at: (7000, 900))"#,
        r#"(id: "d", service: ColdDistribution, material: Copper, size: 28, from: Port("c", "d"),
                via: [(6040, 5050)], to: Port("bath", "cold"), fittings: [(kind: GateValve, at: 500)]),
            (id: "h", service: ColdDistribution, material: Copper, size: 15, from: Tee("d", 340),
                to: Port("high", "cold"), fittings: [(kind: NonReturnValve, at: 100)]),
            (id: "m", service: RisingMain, material: Copper, size: 15, from: Onward((7040, 0)),
                to: Port("kitchen", "cold"), fittings: [])"#,
    );
    let site = Site::of(&layout);
    let played = mains_off(&Circuit::of(&site), Open::Everything).expect("played");
    let events: Vec<&str> = played.events.iter().map(|event| event.words.as_str()).collect();
    for words in ["high cold gives nothing: ", "kitchen cold gives nothing: the main feeds it"] {
        assert!(events.iter().any(|event| event.starts_with(words)), "{words}: {events:?}");
    }
    assert_eq!(["high cold gives", "kitchen cold gives"].map(|words| total(&played, words)), [0.0, 0.0]);
}

/// K 17 in a gate valve 100 mm from the cistern, three bends, a tee 1 m along: told as 19.7 for the whole run.
#[test]
fn what_is_told_beyond_bends_lies_where_the_valve_is() {
    let layout = house(
        450.0,
        r#"(id: "bath", kind: Bath, at: (9000, 600)), (id: "basin", kind: Basin, at: (2500, 3500))"#,
        r#"(id: "d", service: ColdDistribution, material: Copper, size: 22, from: Port("c", "d"),
            via: [(2200, 5050), (2200, 300), (9040, 300)], to: Port("bath", "cold"),
            fittings: [(kind: GateValve, at: 100)], loss_coefficient: 19.7),
        (id: "b", service: ColdDistribution, material: Copper, size: 15, from: Tee("d", 1000), via: [(2540, 4350)],
            to: Port("basin", "cold"), fittings: [])"#,
    );
    near(alone_l_s(&layout, 1), 0.2110, AS_IN_THE_REFERENCE, "the basin alone");
    let flows = together(&layout);
    let [bath, basin] = [0, 1].map(|tap| flows.taps[tap].flow_l_s().expect("steady"));
    near(bath, 0.4114, AS_IN_THE_REFERENCE, "the bath beside it");
    assert!((basin - 0.0316).abs() < 3e-4, "{basin}");
}

/// 2.5 m of 15 mm between two lengths of 28 mm: 0.5 (1 − A2/A1) into it and (1 − A1/A2)² out of it, on its velocity.
#[test]
fn a_change_of_bore_takes_its_velocity_heads_whichever_way_it_is_drawn() {
    let pipes = |narrow: &str, wide: &str| {
        house(
            450.0,
            r#"(id: "bath", kind: Bath, at: (6000, 600))"#,
            &format!(
                r#"(id: "a", service: ColdDistribution, material: Copper, size: 28, from: Port("c", "d"),
                    to: Open((2500, 5050)), fittings: []),
                (id: "b", service: ColdDistribution, material: Copper, size: 15, {narrow}, fittings: []),
                (id: "e", service: ColdDistribution, material: Copper, size: 28, {wide}, fittings: [])"#
            ),
        )
    };
    let along = pipes(
        r#"from: Tee("a", 600), to: Open((5000, 5050))"#,
        r#"from: Tee("b", 2500), via: [(6040, 5050)], to: Port("bath", "cold")"#,
    );
    let against = pipes(
        r#"from: Open((5000, 5050)), to: Tee("a", 600)"#,
        r#"from: Port("bath", "cold"), via: [(6040, 5050)], to: Tee("b", 0)"#,
    );
    for layout in [along, against] {
        near(alone_l_s(&layout, 0), 0.4599, AS_IN_THE_REFERENCE, "the bath");
    }
}

/// At Re 3000 or so the greatest losses are Colebrook's, which the blend lies below.
#[test]
fn a_transitional_flow_is_called_so_and_spreads_to_colebrook() {
    let layout = house(
        450.0,
        r#"(id: "wc", kind: Wc, at: (9000, 5000), passes: (flow: 0.03, at: 1))"#,
        r#"(id: "d", service: ColdDistribution, material: Copper, size: 22, from: Port("c", "d"), via: [(9040, 5050)],
            to: Port("wc", "cold"), fittings: [])"#,
    );
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let everything = Conditions::with(Open::Everything);
    let report = FlowReport::new("house", &circuit, &everything);
    assert_eq!((report.transitional.as_slice(), report.pipes[0].regime), (["d".to_owned()].as_slice(), "transitional"));
    let flow = report.outlets[0].flow.expect("it runs");
    let with =
        |losses| circuit.flows(&Conditions { losses, ..everything.clone() }).taps[0].flow_l_s().expect("it runs");
    assert!(flow.least == Some(with(Losses::Greatest)) && flow.value == with(Losses::Usual));
    assert!(with(Losses::Greatest) < with(Losses::Usual));
}
