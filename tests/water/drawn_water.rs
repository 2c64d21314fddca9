//! The circuit of a drawing against the reference network solved with scipy 1.17.1 and fluids 1.3.1: three hot taps on
//! one tee behind a dedicated cold feed, with a vent on the tee.

use std::f64::consts::FRAC_PI_4;

use loftwright::layout::{End, Id, InLineKind, Layout, Tapping};
use loftwright::measure::Site;
use loftwright::units::{Length, LossCoefficient};
use loftwright::water::circuit::{Circuit, Conditions, Fitting, Losses, Open, Outcome, ShutValve, TapName};
use loftwright::water::readings::flow_at_taps;
use loftwright::water::trial::mains_off;
use loftwright::water::{Running, Water};

use crate::drawn_from::whole;
use crate::played::total;

/// Density of the reference's hot water, kg/m³.
const HOT_KG_M3: f64 = 983.195_8;
/// The flow at which taps are rated here; any would do.
const RATED_L_S: f64 = 0.3;

/// The pressure at which a tap of loss coefficient K, on a bore in mm, passes the rated flow, kPa.
fn rated_kpa(loss_coefficient: f64, bore_mm: f64) -> f64 {
    let velocity_m_s = RATED_L_S / 1000.0 / (FRAC_PI_4 * bore_mm * bore_mm / 1e6);
    loss_coefficient * HOT_KG_M3 * velocity_m_s * velocity_m_s / 2.0 / 1000.0
}

/// The reference network, drawn: water at 6.0 m, cylinder's inlet at 2.0 m, tee at 3.6 m, outlets at 1.0, 1.3, −1.5 m.
fn drawn() -> Layout {
    // What is told of a run stands for its bends and valves. Of the feed's 4.1 an entrance and an exit go off, of the 1.3 and
    // 5.0 and 6.8 behind it an entrance and the branches of a tee.
    let [entrance, exit, branch, straight_on] =
        [Fitting::Entrance, Fitting::Exit, Fitting::TeeBranch, Fitting::TeeThrough]
            .map(|fitting| fitting.loss_coefficient(Losses::Usual));
    let (feed_loss, basin_loss, sink_loss) = (4.1 - entrance - exit, 5.0 - branch, 6.8 - branch);
    // The draw-off and the bath's pipe are one run with a bend on each side of the tee, so half of its coefficient lies on
    // each; the tap has the rest.
    let draw_off_loss = (1.3 - entrance) * 2.0;
    let bath = rated_kpa(21.5 - straight_on - draw_off_loss / 2.0, 20.2);
    let (basin, sink) = (rated_kpa(13.0 - 5.0, 13.6), rated_kpa(14.8 - 6.8, 13.6));
    let text = format!(
        r#"(
        format: 1,
        cisterns: [(id: "cistern", role: Storage, at: (0, 4500), length: 1000, height: 1600, water_line: 1500,
            connections: [(port: "feed", on: Right(500))])],
        cylinders: [(id: "cylinder", at: (3000, 1901), diameter: 450, height: 900, stored_temperature: 60)],
        outlets: [
            (id: "bath", kind: Bath, at: (8066, 1000), passes: (flow: {RATED_L_S}, at: {bath})),
            (id: "basin", kind: Basin, at: (7366, 1300), passes: (flow: {RATED_L_S}, at: {basin})),
            (id: "sink", kind: Sink, at: (7566, -1500), passes: (flow: {RATED_L_S}, at: {sink})),
        ],
        runs: [
            (id: "feed", service: ColdFeed, material: Copper, size: 22, loss_coefficient: {feed_loss},
                from: Port("cistern", "feed"), via: [(3000, 5000)], to: Port("cylinder", "cold-inlet"),
                fittings: [(kind: GateValve, at: 500)]),
            (id: "draw-off", service: HotDistribution, material: Copper, size: 22, loss_coefficient: {draw_off_loss},
                from: Port("cylinder", "draw-off"), via: [(3225, 3600), (8026, 3600)], to: Port("bath", "hot"),
                fittings: []),
            (id: "to-basin", service: HotDistribution, material: Copper, size: 15, loss_coefficient: {basin_loss},
                from: Tee("draw-off", 2200), via: [(7326, 3600)], to: Port("basin", "hot"), fittings: []),
            (id: "to-sink", service: HotDistribution, material: Copper, size: 15, loss_coefficient: {sink_loss},
                from: Tee("draw-off", 2200), via: [(7526, 3600)], to: Port("sink", "hot"), fittings: []),
            (id: "vent", service: OpenVent, material: Copper, size: 22, from: Tee("draw-off", 2200),
                via: [(4626, 6500), (500, 6500)], to: Open((500, 6300)), fittings: []),
        ],
    )"#
    );
    whole(&text)
}

/// Two taps 3.4 m below the water, each by a wide pipe from a hole of its own, so that only the taps take pressure:
/// K 60 behind the lower hole, K 75 behind the upper one, on a bore of 13.6 mm.
fn two_holes() -> Layout {
    let cold_kg_m3 = Water::at_celsius(10.0).expect("in range").density_kg_m3;
    let rated = |loss| rated_kpa(loss, 13.6) * cold_kg_m3 / HOT_KG_M3;
    let (lower, upper) = (rated(60.0), rated(75.0));
    let text = format!(
        r#"(
        format: 1,
        cisterns: [(id: "cistern", role: Storage, at: (0, 0), length: 1000, width: 300, height: 600, water_line: 400,
            connections: [(port: "lower", on: Right(30)), (port: "upper", on: Right(55))])],
        outlets: [
            (id: "lower-tap", kind: Basin, at: (960, -3000), passes: (flow: {RATED_L_S}, at: {lower})),
            (id: "upper-tap", kind: Basin, at: (1060, -3000), passes: (flow: {RATED_L_S}, at: {upper})),
        ],
        runs: [
            (id: "to-lower", service: ColdDistribution, material: Copper, size: 54, loss_coefficient: 0,
                from: Port("cistern", "lower"), to: Port("lower-tap", "cold"), fittings: []),
            (id: "to-upper", service: ColdDistribution, material: Copper, size: 54, loss_coefficient: 0,
                from: Port("cistern", "upper"), via: [(1100, 55)], to: Port("upper-tap", "cold"), fittings: []),
        ],
    )"#
    );
    whole(&text)
}

/// Reference: two outlets of one cistern, scipy 1.17.1 (closed form and DOP853): the upper stops at 366.28 s after
/// 48.866 L, the lower at 418.05 s. The wide pipes here take a seven-thousandth of what the taps take.
#[test]
fn a_cistern_runs_dry_as_in_the_reference() {
    let layout = two_holes();
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let played = mains_off(&circuit, Open::Everything).expect("all is told");
    let total = |words: &str| total(&played, words);
    let near = |have: f64, reference: f64| assert!((have / reference - 1.0).abs() < 1e-3, "{have} against {reference}");
    near(total("upper-tap cold stops after") * 60.0, 366.2833);
    near(total("lower-tap cold stops after") * 60.0, 418.0535);
    near(total("upper-tap cold gives"), 48.8661);
    assert_eq!(played.events.len(), 2);
}

fn with_open(names: &[&str]) -> Conditions {
    Conditions::with(Open::These(names.iter().map(|name| name.parse::<TapName>().expect("a name")).collect()))
}

/// Rows of the reference with the tee above the pressure of the air: outlets open, kg/s at each, level in the vent, m.
#[test]
fn taps_on_one_tee_run_as_in_the_reference() {
    let layout = drawn();
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let rows: [(&[&str], &[f64], f64); 4] = [
        (&[], &[], 6.06716),
        (&["bath"], &[0.490_452], 4.387_68),
        (&["basin"], &[0.284_041], 5.456_83),
        (&["sink"], &[0.319_447], 5.309_00),
    ];
    for (open, flows_kg_s, level_m) in rows {
        let flows = circuit.flows(&with_open(open));
        let running = flows.taps.iter().filter(|tap| tap.open).filter_map(|tap| tap.flow_l_s());
        let running: Vec<f64> = running.map(|l_s| l_s * HOT_KG_M3 / 1000.0).collect();
        assert_eq!(running.len(), flows_kg_s.len());
        for (found, reference) in running.iter().zip(flows_kg_s) {
            assert!((found / reference - 1.0).abs() < 1e-4, "{open:?}: {found} against {reference} kg/s");
        }
        let level_mm = flows.vents[0].level_mm.expect("no air is drawn");
        assert!((level_mm / 1000.0 / level_m - 1.0).abs() < 1e-4, "{open:?}: {level_mm} mm against {level_m} m");
    }
}

/// Below the pressure of the air at the tee the vent draws air, from 0.61308 L/s of hot water on.
#[test]
fn air_is_told_and_no_flow_is_made_up() {
    let layout = drawn();
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    for open in [&["bath", "basin"][..], &["bath", "basin", "sink"][..]] {
        let flows = circuit.flows(&with_open(open));
        assert!(flows.vents[0].draws_air);
        assert!(flows.taps.iter().all(|tap| tap.flow_l_s().is_none()));
    }
    let threshold_l_s = circuit.air_limits_l_s(&Conditions::default())[0].clone().expect("all is told");
    assert!((threshold_l_s / 0.613_08 - 1.0).abs() < 1e-4, "{threshold_l_s}");
}

#[test]
fn a_shut_valve_cuts_off_what_is_behind_it() {
    let layout = drawn();
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let shut = vec![ShutValve { run: layout.runs[0].id.clone(), number: None }];
    let flows = circuit.flows(&Conditions { open: Open::Everything, shut, ..Conditions::default() });
    assert!(flows.taps.iter().all(|tap| tap.flow_l_s().is_none()));
}

/// The reference network with a shower on its tee whose cold side comes from the cistern by a pipe of its own.
fn with_shower() -> Layout {
    let mut layout = drawn();
    let text = r#"(
        format: 1,
        cisterns: [(id: "cistern", role: Storage, at: (0, 4500), length: 1000, height: 1600, water_line: 1500,
            connections: [(port: "feed", on: Right(500)), (port: "cold", on: Right(450))])],
        outlets: [(id: "shower", kind: Shower, at: (6000, 1500)), (id: "wc", kind: Wc, at: (6960, 1000))],
        runs: [
            (id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("cistern", "cold"),
                via: [(7000, 4950)], to: Port("wc", "cold"), fittings: []),
            (id: "shower-cold", service: ColdDistribution, material: Copper, size: 15, from: Tee("cold", 5040),
                via: [(6040, 2000)], to: Port("shower", "cold"), fittings: []),
        ],
    )"#;
    let more = whole(text);
    let hot = r#"(
        format: 1,
        outlets: [(id: "shower", kind: Shower, at: (6000, 1500))],
        runs: [(id: "shower-hot", service: HotDistribution, material: Copper, size: 15, from: Open((5960, 3600)),
            to: Port("shower", "hot"), fittings: [])],
    )"#;
    let mut to_shower = whole(hot).runs.remove(0);
    to_shower.from = End::Tee(Id::of("draw-off"), Length::mm(3534.0));
    layout.cisterns = more.cisterns;
    layout.outlets.extend(more.outlets);
    layout.runs.extend(more.runs);
    layout.runs.push(to_shower);
    assert_eq!(layout.broken_references(), []);
    layout
}

#[test]
fn a_mixer_joins_hot_and_cold_only_while_it_is_open() {
    let layout = with_shower();
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let wc = circuit.taps().iter().position(|tap| tap.outlet.id.as_str() == "wc").expect("drawn");
    let alone = circuit.flows(&with_open(&["wc"])).taps[wc].flow_l_s().expect("it runs");
    // The bath and the basin together suck air in by the vent; the WC has nothing to do with it.
    let flows = circuit.flows(&with_open(&["bath", "basin", "wc"]));
    assert!(flows.vents[0].draws_air);
    assert_eq!(flows.taps[wc].flow_l_s(), Some(alone));
    let with_mixer = circuit.flows(&with_open(&["bath", "basin", "wc", "shower"]));
    assert_eq!(with_mixer.taps[wc].flow_l_s(), None);
    let shower = circuit.taps().iter().position(|tap| tap.outlet.id.as_str() == "shower").expect("drawn");
    let flows = circuit.flows(&with_open(&["shower"]));
    let Outcome::Reckoned { flow_l_s, mixed_celsius: Some(celsius), .. } = flows.taps[shower].outcome else {
        panic!("{:?}", flows.taps[shower]);
    };
    assert!(flow_l_s > 0.05 && (15.0..55.0).contains(&celsius), "{flow_l_s} L/s at {celsius} °C");
}

/// While air is drawn in, what all taps give is what leaves the cistern, and the mixer's cold is none of the hot taps'.
#[test]
fn what_is_given_while_air_is_drawn_is_what_is_drawn() {
    let layout = with_shower();
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let number = |name: &str| circuit.taps().iter().position(|tap| tap.outlet.id.as_str() == name).expect("drawn");
    let names = ["bath", "basin", "wc", "shower"];
    let [bath, basin, wc, shower] = names.map(number);
    let conditions = with_open(&names);
    let flows = circuit.flows(&conditions);
    assert!(flows.vents[0].draws_air && flows.given.iter().all(|given| given.hot_l_s <= given.flow_l_s));
    let (given, drawn) = (flows.given.iter().map(|given| given.flow_l_s).sum::<f64>(), flows.drawn_l_s[0]);
    assert!((given / drawn - 1.0).abs() < 1e-5, "{given} L/s given, {drawn} L/s drawn");
    assert_eq!(flows.given[bath].flow_l_s, flows.given[basin].flow_l_s);
    assert!(flows.given[wc].hot_l_s == 0.0 && flows.given[wc].flow_l_s > 0.0);
    // With the feed bare nothing comes of the hot side, and the mixer runs as with its cold side alone.
    let bare = Conditions { levels_mm: vec![(layout.cisterns[0].id.clone(), 4980.0)], ..conditions };
    let flows = circuit.flows(&bare);
    assert!(!flows.vents[0].draws_air && flows.taps[bath].outcome == Outcome::CutOff);
    let cold_l_s = flows.taps[wc].flow_l_s().expect("steady") + flows.taps[shower].flow_l_s().expect("steady");
    assert!((cold_l_s / flows.drawn_l_s[0] - 1.0).abs() < 1e-2, "{cold_l_s} L/s, {:?}", flows.drawn_l_s);
    assert!(flows.given[shower].hot_l_s == 0.0 && !flows.given[shower].hot_is_fed, "{:?}", flows.given[shower]);
}

/// 0.5 L for each millimetre; the hole of the feed at 90 mm, that of the cold at 60, a shower's mixer between them.
fn with_mixer() -> Layout {
    whole(
        r#"(format: 1, cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, width: 500, height: 500, water_line: 400,
            connections: [(port: "feed", on: Right(90)), (port: "cold", on: Right(60))])],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 450, height: 1000, capacity: 120, stored_temperature: 60,
            connections: [(port: "cold-inlet", on: Left(110))])],
        outlets: [(id: "basin", kind: Basin, at: (4000, 1000), taps: Separate),
            (id: "shower", kind: Shower, at: (3500, 2000)), (id: "sink", kind: Sink, at: (5000, 900), taps: Separate)],
        runs: [
            (id: "cold-feed", service: ColdFeed, material: Copper, size: 28, from: Port("cistern", "feed"),
                via: [(1250, 4090), (1250, 110)], to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "hot", service: HotDistribution, material: Copper, size: 22, from: Port("cylinder", "draw-off"),
                via: [(1725, 1500), (3000, 1500)], to: Port("basin", "hot"), fittings: []),
            (id: "shower-hot", service: HotDistribution, material: Copper, size: 22, from: Tee("hot", 1000),
                via: [], to: Port("shower", "hot"), fittings: []),
            (id: "vent", service: OpenVent, material: Copper, size: 22, from: Tee("hot", 200),
                via: [(2400, 4900), (800, 4900)], to: Open((800, 4850)), fittings: []),
            (id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("cistern", "cold"),
                via: [(4900, 3000)], to: Port("sink", "cold"), fittings: []),
            (id: "shower-cold", service: ColdDistribution, material: Copper, size: 22, from: Tee("cold", 2000),
                via: [], to: Port("shower", "cold"), fittings: []),
        ])"#,
    )
}

/// The feed is bare 310 mm down, after 155 L: no hot water is given any more, with a mixer that runs on cold or without.
/// From there to the hole of the cold, 30 mm further, there are 15 L.
#[test]
fn cold_water_in_a_mixer_is_not_given_for_hot() {
    let layout = with_mixer();
    let site = Site::of(&layout);
    let played = mains_off(&Circuit::of(&site), Open::Everything).expect("told");
    let words: Vec<&str> = played.events.iter().map(|event| event.words.as_str()).collect();
    let event = |words: &str| {
        let found = played.events.iter().find(|event| event.words.starts_with(words));
        found.unwrap_or_else(|| panic!("{words}: {:?}", played.events))
    };
    let bare_s = event("basin hot stops").time_s;
    assert_eq!(event("no more hot water").time_s, bare_s, "the feed is bare");
    assert_eq!(event("shower mixed runs cold alone").time_s, bare_s, "the mixer's hot side");
    assert!(words.iter().all(|words| !words.contains("still brings")), "{words:?}");
    let end_s = event("sink cold stops").time_s;
    assert_eq!(event("shower mixed stops").time_s, end_s, "the cold hole is bare");
    let (before, after): (Vec<_>, Vec<_>) = played.moments.iter().partition(|moment| moment.time_s < bare_s);
    assert!(before.iter().all(|moment| moment.levels_mm[0].1 > 4090.0));
    assert!((after[0].levels_mm[0].1 - 4090.0).abs() < 1e-3);
    let runs_l_s = |at: usize| after[at].taps_l_s.iter().flatten().sum::<f64>();
    let mean_l_s = f64::midpoint(runs_l_s(0), runs_l_s(after.len() - 2));
    assert!(((end_s - bare_s) / (15.0 / mean_l_s) - 1.0).abs() < 1e-2, "{bare_s} to {end_s} at {mean_l_s} L/s");
    let in_shower_l = total(&played, "hot water in what shower mixed gives");
    let hot_l = total(&played, "basin hot gives") + in_shower_l;
    let cold_l = total(&played, "sink cold gives") + total(&played, "shower mixed gives") - in_shower_l;
    let given_l = hot_l + cold_l;
    assert!(in_shower_l > 1.0 && (given_l / 170.0 - 1.0).abs() < 1e-3, "{given_l} L");
    assert!(played.assumptions.iter().any(|words| words.contains("none crosses in a mixer")));
    // Without the shower no mixer is spoken of.
    let without = mains_off(&Circuit::of(&site), Open::Numbered(vec![0, 2])).expect("told");
    assert!(without.events.iter().all(|event| event.words.contains(" stops after ")), "{:?}", without.events);
    assert!(without.assumptions.iter().all(|words| !words.contains("mixer")));
}

/// With the holes the other way about what runs on is hot, and so it does in the mixer.
#[test]
fn a_mixer_runs_hot_alone_where_the_cold_hole_is_the_higher() {
    let mut layout = with_mixer();
    layout.cisterns[0].connections[1].on = Tapping::Right(Length::mm(120.0));
    let site = Site::of(&layout);
    let played = mains_off(&Circuit::of(&site), Open::Everything).expect("told");
    let at = |words: &str| played.events.iter().find(|event| event.words.starts_with(words)).map(|event| event.time_s);
    assert_eq!(at("sink cold stops"), at("shower mixed runs hot alone"));
    assert!(at("sink cold stops") < at("basin hot stops") && at("no more hot water").is_none(), "{:?}", played.events);
}

#[test]
fn hot_water_out_of_a_boiler_is_driven_by_the_main() {
    let text = r#"(
        format: 1,
        boilers: [(id: "boiler", at: (0, 1000), length: 400, height: 700, kind: Combination)],
        outlets: [(id: "basin", kind: Basin, at: (2000, 900))],
        runs: [(id: "hot", service: HotDistribution, material: Copper, size: 15, from: Port("boiler", "hot"),
            via: [(280, 400), (1960, 400)], to: Port("basin", "hot"), fittings: [])],
    )"#;
    let layout = whole(text);
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    assert_eq!(circuit.flows(&Conditions::with(Open::Everything)).taps[0].outcome, Outcome::OnMain);
    assert_eq!(flow_at_taps(&Running::of(&site)), []);
}

/// Out of the cistern and into the cylinder by its cold inlet, and out of that again: what is told of a run stands for its
/// bends and valves, and entrances and exits are taken from the table whether it is told or not.
#[test]
fn what_is_told_of_a_run_leaves_its_entrance_and_exit() {
    let of = |change: &dyn Fn(&mut Layout)| {
        let mut layout = drawn();
        layout.runs.retain(|run| ["feed", "draw-off"].contains(&run.id.as_str()));
        layout.outlets.retain(|outlet| outlet.id.as_str() == "bath");
        change(&mut layout);
        let site = Site::of(&layout);
        let flows = Circuit::of(&site).flows(&Conditions::with(Open::Everything));
        flows.taps[0].flow_l_s().expect("it runs")
    };
    let usual = |fitting: Fitting| fitting.loss_coefficient(Losses::Usual);
    let gate_valve = usual(Fitting::InLine(InLineKind::GateValve));
    // The feed turns a corner once, the draw-off twice.
    let feed = usual(Fitting::Bend) + gate_valve;
    let draw_off = 2.0 * usual(Fitting::Bend);
    for (number, told) in [(0, feed), (1, draw_off)] {
        let as_told =
            of(&|layout| layout.runs[number].loss_coefficient = Some(LossCoefficient::try_k(told).expect("K")));
        let as_drawn = of(&|layout| layout.runs[number].loss_coefficient = None);
        assert!((as_told / as_drawn - 1.0).abs() < 1e-6, "{as_told}, drawn {as_drawn}");
    }
}

/// A tee in a corner: the branch carries straight on and the run that it is drawn on turns. Reference: scipy 1.17.1 with
/// K 0.4 straight on and 1.3 off.
#[test]
fn what_goes_straight_on_at_a_tee_is_seen_by_its_angle() {
    let text = r#"(
        format: 1,
        cisterns: [(id: "c", role: Storage, at: (0, 4000), length: 1000, height: 900, water_line: 400,
            connections: [(port: "o", on: Right(100))])],
        outlets: [(id: "bath", kind: Bath, at: (2960, 1600)), (id: "basin", kind: Basin, at: (4960, 1500))],
        runs: [
            (id: "m", service: ColdDistribution, material: Copper, size: 22, from: Port("c", "o"),
                via: [(1500, 4100), (1500, 1000), (3000, 1000)], to: Port("bath", "cold"), fittings: []),
            (id: "b", service: ColdDistribution, material: Copper, size: 22, from: Tee("m", 5100),
                via: [(5000, 1000)], to: Port("basin", "cold"), fittings: []),
        ],
    )"#;
    let layout = whole(text);
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    for (number, name, reference) in [(0, "bath", 0.440_125), (1, "basin", 0.312_632)] {
        let flow = circuit.flows(&with_open(&[name])).taps[number].flow_l_s().expect("it runs");
        assert!((flow / reference - 1.0).abs() < 1e-4, "{name}: {flow}");
    }
}
