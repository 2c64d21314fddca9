//! Cisterns in series: stored water fills one through its float valve, whatever the main brings to the other.

use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::rules::Verdict;
use loftwright::units::Pressure;
use loftwright::water::circuit::Circuit;
use loftwright::water::trial::{Job, jobs, mains_off, valve_stuck};

use super::drawn_from::layout;
use super::judged::{finding, number, verdict};
use super::played::total;

const SLOW: &str = "cistern-fills-too-slowly";
const KEEPS_UP: &str = "overflow-cannot-keep-up";
const AIR: &str = "pipe-holds-air";

/// By the main: 15 mm copper from the ground to the float valve at 6500.
const MAIN: &str = r#"(id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((-400, 0)),
    via: [(-400, 6500)], to: Port("high", "inlet"), fittings: [(kind: ServiceValve, at: 6400)]),"#;
/// Level from the trunk, 4500 high, to the float valve of the lower cistern.
const FILL: &str = r#"(id: "fill", service: ColdDistribution, material: Copper, size: 22, from: Tee("trunk", 3250),
    via: [], to: Port("low", "inlet"), fittings: [(kind: ServiceValve, at: 100)]),"#;

/// Two cisterns of 900 × 600 × 600 mm with water 400 deep, 0.54 L for each millimetre. The higher one stands at 6000; a
/// trunk leads from it to a sink. The lower one stands at 4000, its float valve lets the water go at 4510, and its overflow
/// is 22 mm copper with its invert 439.9 mm up; it feeds a WC.
fn in_series(seat_mm: f64, runs: &str) -> Layout {
    let cistern = |id: &str, role: &str, (x, z): (f64, f64), seat_mm: f64| {
        format!(
            r#"(id: "{id}", role: {role}, at: ({x}, {z}), length: 900, width: 600, height: 600, water_line: 400,
                float_valve: (shank: Left(500), outlet: 510, pattern: Part2, seat: {seat_mm}),
                connections: [(port: "cold", on: Right(50)), (port: "warning", on: Left(450))]),"#
        )
    };
    let overflow = |id: &str, x: f64, z: f64| {
        format!(
            r#"(id: "{id}-warning", service: WarningPipe, material: Copper, size: 22, from: Port("{id}", "warning"),
                via: [({x}, {})], to: Open(({x}, {z})), fittings: []),"#,
            z + 440.0
        )
    };
    let (high, low) =
        (cistern("high", "Storage", (0.0, 6000.0), 3.2), cistern("low", "Storage", (3000.0, 4000.0), seat_mm));
    let warnings = overflow("high", -200.0, 6000.0) + &overflow("low", 2800.0, 4000.0);
    layout(&format!(
        r#"building: (mains_pressure: 300), cisterns: [{high}{low}],
        outlets: [(id: "sink", kind: Sink, at: (2560, 2000), taps: Separate), (id: "wc", kind: Wc, at: (5960, 2000))],
        runs: [{warnings}
            (id: "trunk", service: ColdDistribution, material: Copper, size: 22, from: Port("high", "cold"),
                via: [(2600, 6050)], to: Port("sink", "cold"), fittings: [(kind: GateValve, at: 100)]),
            (id: "low-cold", service: ColdDistribution, material: Copper, size: 15, from: Port("low", "cold"),
                via: [(6000, 4050)], to: Port("wc", "cold"), fittings: [(kind: GateValve, at: 100)]),
            {runs}]"#
    ))
}

#[test]
fn what_stored_water_fills_too_slowly_is_not_sent_to_the_main() {
    let remedies = finding(&in_series(3.2, &format!("{MAIN}{FILL}")), SLOW, "low").remedies();
    assert!(remedies.iter().any(|words| words.starts_with("Raise the cistern that fills it")), "{remedies:?}");
    assert!(remedies.iter().all(|words| !words.contains("stop valve")), "{remedies:?}");
    // 300 kPa less 65 for the height push 0.11 L/s through 3.2 mm; with 70 in all hardly any is left.
    let mut weak = in_series(3.2, &format!("{MAIN}{FILL}"));
    weak.building.mains_pressure = Pressure::try_kpa(70.0).ok();
    let remedies = finding(&weak, SLOW, "high").remedies();
    assert!(remedies.iter().any(|words| words.contains("stop valve")), "{remedies:?}");
    assert!(remedies.iter().all(|words| !words.contains("fills it")), "{remedies:?}");
}

/// 1.89 m from the water at 6400 down to 4510: 18.5 kPa. Through 3.2 mm: 0.66 × 8.042 mm² × √(2 × 18 530 / 999.7) =
/// 0.032 32 L/s, and 216 L take 111.4 min; the 22 mm pipe takes less than a hundredth of that head.
#[test]
fn a_cistern_fills_under_the_head_of_the_one_above_it() {
    let layout = in_series(3.2, &format!("{MAIN}{FILL}"));
    let minutes = number(&layout, SLOW, "low");
    assert!((111.3..112.5).contains(&minutes), "{minutes} min");
    assert_eq!(verdict(&layout, SLOW, "low"), Some(Verdict::Breach));
    assert_eq!(verdict(&layout, SLOW, "high"), Some(Verdict::Meets));
    // What the pipe lets through counts, and not the seat alone: through 12 mm 0.4545 L/s would take 7.9 min.
    let wide = number(&in_series(12.0, &format!("{MAIN}{FILL}")), SLOW, "low");
    let narrow = FILL.replace("size: 22", "size: 10");
    let narrow = number(&in_series(12.0, &format!("{MAIN}{narrow}")), SLOW, "low");
    assert!(wide > 1.1 * 7.9 && narrow > 1.3 * wide, "{narrow} min, {wide} min by the wide pipe");
}

#[test]
fn what_is_not_told_of_the_pipe_from_above_leaves_it_unknown() {
    let untold = FILL.replace("size: 22,", "");
    let layout = in_series(3.2, &format!("{MAIN}{untold}"));
    for rule in [SLOW, KEEPS_UP] {
        assert_eq!(verdict(&layout, rule, "low"), Some(Verdict::Unknown), "{rule}");
    }
    assert!(valve_stuck(&Site::of(&layout), &layout.cisterns[1]).is_err());
    // A pipe that is joined to the main as well is under a pressure that nobody reckons.
    let joined = MAIN.replace(r#"Port("high", "inlet")"#, r#"Tee("fill", 200)"#);
    assert_eq!(verdict(&in_series(3.2, &format!("{FILL}{joined}")), SLOW, "low"), Some(Verdict::Unknown));
    // One of which nobody has drawn from where it comes.
    let from_afar = FILL.replace(r#"Tee("trunk", 3250)"#, "Onward((2000, 4500))");
    assert_eq!(verdict(&in_series(3.2, &format!("{MAIN}{from_afar}")), SLOW, "low"), Some(Verdict::Unknown));
}

/// Through 5 mm come 0.0789 L/s, where the main with 300 kPa would bring 0.317 and more than the overflow carries.
#[test]
fn a_valve_that_sticks_lets_in_what_the_cistern_above_brings() {
    let layout = in_series(5.0, &format!("{MAIN}{FILL}"));
    assert_eq!(verdict(&layout, KEEPS_UP, "low"), Some(Verdict::Meets));
    let played = valve_stuck(&Site::of(&layout), &layout.cisterns[1]).expect("told");
    let comes_in_l_s = total(&played, "comes in");
    assert!((0.0770..0.0790).contains(&comes_in_l_s), "{comes_in_l_s} L/s");
    assert!(played.assumptions.iter().any(|words| words.contains("high stays full")), "{:?}", played.assumptions);
}

/// A cistern of the heating that is filled from the store is no other.
#[test]
fn a_feed_and_expansion_cistern_may_be_filled_from_the_store() {
    let mut layout = in_series(5.0, &format!("{MAIN}{FILL}"));
    layout.cisterns[1].role = loftwright::layout::CisternRole::FeedAndExpansion;
    let over_mm = number(&layout, KEEPS_UP, "low");
    layout.cisterns[1].role = loftwright::layout::CisternRole::Storage;
    assert_eq!(over_mm, number(&layout, KEEPS_UP, "low"));
}

/// Both go down to their holes at 50 mm, and the WC has all of it.
#[test]
fn with_the_main_off_stored_water_goes_on_filling_what_is_below() {
    let layout = in_series(3.2, &format!("{MAIN}{FILL}"));
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let wc = circuit.taps().iter().position(|tap| tap.outlet.id.as_str() == "wc").expect("drawn");
    let played = mains_off(&circuit, loftwright::water::circuit::Open::Numbered(vec![wc])).expect("told");
    for cistern in ["high", "low"] {
        let left_mm = total(&played, &format!("water left in {cistern}, above its base"));
        assert!((left_mm - 50.0).abs() < 0.5, "{cistern}: {left_mm} mm");
    }
    let given_l = total(&played, "wc cold gives");
    assert!((given_l - 0.54 * 2.0 * 350.0).abs() < 0.6, "{given_l} L");
    assert!(played.assumptions.iter().any(|words| words.starts_with("stored water goes on filling low")));
    // A sink on the trunk draws on the higher one alone: the float valve below stays shut.
    let sink = circuit.taps().iter().position(|tap| tap.outlet.id.as_str() == "sink").expect("drawn");
    let played = mains_off(&circuit, loftwright::water::circuit::Open::Numbered(vec![sink])).expect("told");
    assert!((total(&played, "water left in low, above its base") - 400.0).abs() < 1e-6);
}

#[test]
fn work_on_a_float_valve_shuts_the_pipe_that_fills_it() {
    let job = |layout: &Layout, task: &str| -> Job {
        let all = jobs(&Circuit::of(&Site::of(layout)));
        all.into_iter().find(|job| job.task == task).unwrap_or_else(|| panic!("{task}"))
    };
    let valved = in_series(3.2, &format!("{MAIN}{FILL}"));
    let valve = job(&valved, "work on the float valve of low");
    assert_eq!(valve.shut, ["servicing valve in fill, 100 mm along"]);
    assert_eq!(valve.still_runs, ["sink cold", "wc cold"]);
    // 300 mm of 20.2 mm bore lie level behind it.
    let litres = |length_dm: f64| std::f64::consts::FRAC_PI_4 * 0.202_f64.powi(2) * length_dm;
    assert!((valve.drain_l.expect("told") - litres(3.0)).abs() < 1e-3, "{valve:?}");
    assert_eq!(job(&valved, "another cistern in place of low").shut, valve.shut);
    // With none in it, the gate valve of the trunk shuts the sink as well, and what stands above the float valve runs out.
    let open = in_series(3.2, &format!("{MAIN}{}", FILL.replace("(kind: ServiceValve, at: 100)", "")));
    let valve = job(&open, "work on the float valve of low");
    assert_eq!(
        (valve.shut.as_slice(), valve.still_runs.as_slice()),
        (&["gate valve in trunk, 100 mm along".to_owned()][..], &["wc cold".to_owned()][..])
    );
    assert!((valve.drain_l.expect("told") - litres(16.0 + 15.5 + 4.0)).abs() < 1e-3, "{valve:?}");
}

#[test]
fn a_pipe_that_fills_a_cistern_is_no_distribution_pipe_of_it() {
    let layout = in_series(3.2, &format!("{MAIN}{FILL}"));
    let all = Findings::of(&Site::of(&layout));
    for rule in ["cold-distribution-without-valve", "cold-distribution-valve-too-far"] {
        let asked = all.iter().filter(|finding| finding.rule.id == rule);
        let asked: Vec<&str> = asked.map(|finding| finding.subject().as_str()).collect();
        assert_eq!(asked, ["trunk", "low-cold"], "{rule}");
    }
}

/// From the trunk at 4000 up to the float valve at 4500: air leaves there, as it does at a WC.
#[test]
fn a_float_valve_lets_the_air_out_of_a_pipe_that_rises_to_it() {
    let rising = FILL.replace("3250", "3750").replace("via: []", "via: [(2900, 4000), (2900, 4500)]");
    let layout = in_series(3.2, &format!("{MAIN}{rising}"));
    assert_eq!(verdict(&layout, AIR, "fill"), Some(Verdict::Meets));
    let humped = FILL.replace("via: []", "via: [(2700, 4500), (2700, 4900), (2900, 4900), (2900, 4500)]");
    assert_eq!(verdict(&in_series(3.2, &format!("{MAIN}{humped}")), AIR, "fill"), Some(Verdict::Breach));
}
