//! What trials come to, against scipy 1.17.1 on the formulas that they name: heating from cold, a float valve that sticks
//! open, the main off, draining. Densities by Kell (1975), which the program does not use.

use loftwright::heat::heat_up;
use loftwright::layout::{Id, Layout};
use loftwright::measure::Site;
use loftwright::water::circuit::{Circuit, Conditions, Open, Outcome};
use loftwright::water::trial::{Job, Played, jobs, mains_off, stuck_valve, valve_stuck};

use crate::drawn_from::{whole, with_passages};
use crate::played::total;

const SOUND: &str = include_str!("../../examples/sound_indirect.loft.ron");

/// The sound example with some of its text put differently.
fn sound_with(changes: &[(&str, &str)]) -> Layout {
    with_passages(SOUND, changes)
}

#[track_caller]
fn near(have: f64, reference: f64, within: f64) {
    assert!((have - reference).abs() <= within, "{have}, by the reference {reference}");
}

fn heated(layout: &Layout, id: &str) -> Played {
    let site = Site::of(layout);
    let circuit = Circuit::of(&site);
    let cylinder = circuit.cylinders().find(|cylinder| cylinder.id.as_str() == id).expect("drawn");
    heat_up(&circuit, cylinder).unwrap_or_else(|error| panic!("{error}"))
}

/// 117 L from 7 to 60 °C through a coil of 300 W/K, with 0.25 L/s of primary water at 75 °C from a boiler of 15 kW, less
/// 62 W at 45 K: DOP853 on m c dT/dt. The vent's level is that of the risen cistern, and of the hot column under it.
#[test]
fn a_cylinder_heats_up_by_its_coil() {
    let played = heated(&sound_with(&[]), "cylinder");
    near(total(&played, "after"), 47.998, 0.01);
    near(total(&played, "goes back up the feed"), 1.9876, 0.001);
    near(total(&played, "the cistern rises by"), 3.565, 0.002);
    near(total(&played, "hot water in the vent stands above the cistern's by"), 49.139, 0.02);
    let last = played.moments.last().expect("moments");
    near(last.levels_mm[1].1, 5740.704, 0.02);
    assert!(played.assumptions.iter().any(|words| words == "heated by its coil"), "{:?}", played.assumptions);
    let mut layout = sound_with(&[("immersions: []", "immersions: [(place: Bottom, power: 3)]")]);
    assert_eq!(heated(&layout, "cylinder").assumptions, played.assumptions);
    layout.cylinders[0].coil = None;
    let by_immersion = heated(&layout, "cylinder");
    assert!(by_immersion.assumptions.iter().any(|words| words.contains("immersion")), "{:?}", by_immersion.assumptions);
    assert!(total(&by_immersion, "after") > 2.0 * total(&played, "after"));
}

/// Two systems on one drawing. The second, at 80 °C, drives its water over its own vent at 5500 mm when it is at 69.303 °C.
#[test]
fn each_cylinder_has_its_own_vent() {
    let system = |end: &str, x: f64, z: f64, celsius: f64| {
        let at = |dx: f64| x + dx;
        let cistern = format!(
            r#"(id: "c{end}", role: Storage, at: ({}, {z}), length: 1000, width: 600, height: 600, water_line: 400,
                connections: [(port: "f", on: Right(100))]),"#,
            at(0.0)
        );
        let cylinder = format!(
            r#"(id: "y{end}", at: ({}, 1000), diameter: 450, height: 900, capacity: 117, stored_temperature: {celsius}),"#,
            at(1500.0)
        );
        let outlet = format!(r#"(id: "b{end}", kind: Bath, at: ({}, 700)),"#, at(4000.0));
        let runs = format!(
            r#"(id: "f{end}", service: ColdFeed, material: Copper, size: 22, from: Port("c{end}", "f"),
                via: [({foot}, {outlet}), ({foot}, 1099)], to: Port("y{end}", "cold-inlet"), fittings: []),
            (id: "h{end}", service: HotDistribution, material: Copper, size: 22, from: Port("y{end}", "draw-off"),
                via: [({rise}, 2000), ({down}, 2000), ({down}, 300), ({tap}, 300)], to: Port("b{end}", "hot"), fittings: []),
            (id: "v{end}", service: OpenVent, material: Copper, size: 22, from: Tee("h{end}", 200),
                via: [({vent}, {top}), ({mouth}, {top})], to: Open(({mouth}, {below})), fittings: []),"#,
            foot = at(1300.0),
            outlet = z + 100.0,
            rise = at(1725.0),
            down = at(2200.0),
            tap = at(3960.0),
            vent = at(1825.0),
            top = if end.is_empty() { 4700.0 } else { 5500.0 },
            mouth = at(800.0),
            below = if end.is_empty() { 4650.0 } else { 5450.0 },
        );
        [cistern, cylinder, outlet, runs]
    };
    let (first, second) = (system("", 0.0, 4000.0, 60.0), system("2", 6000.0, 5000.0, 80.0));
    let both = |number: usize| format!("{}{}", first[number], second[number]);
    let text = format!(
        "(format: 1, cisterns: [{}], cylinders: [{}], outlets: [{}], runs: [{}])",
        both(0),
        both(1),
        both(2),
        both(3)
    );
    let layout = whole(&text);
    let (cooler, hotter) = (heated(&layout, "y"), heated(&layout, "y2"));
    let names =
        |played: &Played| -> Vec<String> { played.moments[0].levels_mm.iter().map(|(id, _)| id.to_string()).collect() };
    assert_eq!((names(&cooler), names(&hotter)), (vec!["c".into(), "v".into()], vec!["c2".into(), "v2".into()]));
    assert!(cooler.events.is_empty(), "{:?}", cooler.events);
    near(hotter.moments.last().expect("moments").levels_mm[1].1, 5530.18, 0.1);
    let [over] = &hotter.events[..] else { panic!("{:?}", hotter.events) };
    // 3 kW and no loss, since nothing is told: 10 173 s.
    near(over.time_s / 60.0, 10_173.2 / 60.0, 0.2);
    assert!(hotter.assumptions.iter().any(|words| words.contains("nothing that heats it is told")));
}

const WARNING_PIPE: &str =
    r#"from: Port("cistern", "warning"), via: [(1220, 5722), (1220, 5270)], to: Open((-150, 5230)),"#;

/// The main comes in at the level of the float valve's outlet, which leaves it all of its 300 kPa.
const LEVEL_MAIN: (&str, &str) = ("from: Onward((1080, 300))", "from: Onward((1080, 5788))");

/// Seat, dip tube, warning pipe; level over the invert in mm and minutes, by brentq and quad over A / (Q_in − Q_out), with
/// critical depth, the mouth as an orifice that takes 1/0.6² and the dip tube's velocity heads, and the pipe running full.
#[test]
fn water_rises_over_the_overflow_as_in_the_reference() {
    let level = r#"from: Port("cistern", "warning"), via: [(1220, 5728)], to: Open((-150, 5728)),"#;
    let rows = [
        ("3.2", "dip_tube: EndsAt(380),", WARNING_PIPE, 42.0166, 22.6142),
        ("4", "dip_tube: EndsAt(380),", WARNING_PIPE, 87.6090, 40.1092),
        ("4", "", WARNING_PIPE, 67.1435, 28.4316),
        ("3.2", "dip_tube: EndsAt(380),", level, 55.1915, 32.1350),
    ];
    for (seat, dip_tube, pipe, over_mm, minutes) in rows {
        let seat = format!("seat: {seat})");
        let (seat, dip_tube) = (("seat: 3.2)", seat.as_str()), ("dip_tube: EndsAt(380),", dip_tube));
        let layout = sound_with(&[LEVEL_MAIN, seat, dip_tube, (WARNING_PIPE, pipe)]);
        let site = Site::of(&layout);
        let played = valve_stuck(&site, &layout.cisterns[0]).unwrap_or_else(|error| panic!("{error}"));
        near(total(&played, "water settles above the overflow's invert"), over_mm, 0.01);
        near(total(&played, "after"), minutes, 0.005 * minutes);
    }
}

/// A pipe that ends 112 mm above where it begins lets nothing go before the water is as high, which the rim is not far
/// above: it runs over.
#[test]
fn a_warning_pipe_that_rises_carries_nothing_below_its_crest() {
    let rising = r#"from: Port("cistern", "warning"), via: [(1220, 5728)], to: Open((-150, 5840)),"#;
    let layout = sound_with(&[LEVEL_MAIN, (WARNING_PIPE, rising)]);
    let site = Site::of(&layout);
    let stuck = stuck_valve(&site, &layout.cisterns[0]).expect("all is told");
    assert_eq!(stuck.settles_mm, None);
    near(stuck.invert_mm, 439.9 + 112.0, 1e-9);
    let played = valve_stuck(&site, &layout.cisterns[0]).expect("all is told");
    let words: Vec<&str> = played.events.iter().map(|event| event.words.as_str()).collect();
    assert!(played.events.is_sorted_by_key(|event| event.time_s), "{:?}", played.events);
    assert!(words.last().is_some_and(|words| words.contains("runs over its rim")), "{words:?}");
    // 0.130039 L/s from 410 mm up to 551.9 mm, the plan 914 × 610 mm.
    let begins = played.events.iter().find(|event| event.words.contains("warning pipe")).expect("it runs at last");
    near(begins.time_s, 914.0 * 610.0 * 141.9 / 0.130_039 / 1e6, 0.2);
}

/// A tap 200 mm above the cistern's base and above its hole: 0.6 m² by 200 mm are 120 L, and the flow falls below
/// 0.000 001 L/s after 3199 s with the water 0.0001 mm over the spout.
#[test]
fn a_tap_above_the_holes_stops_with_the_water_at_its_spout() {
    let layout = whole(
        r#"(format: 1,
        cisterns: [(id: "c", role: Storage, at: (0, 4000), length: 1000, width: 600, height: 900, water_line: 400,
            connections: [(port: "o", on: Right(60))])],
        outlets: [(id: "b", kind: Basin, at: (3000, 4200))],
        runs: [(id: "r", service: ColdDistribution, material: Copper, size: 22, from: Port("c", "o"), via: [(3040, 3500)],
            to: Port("b", "cold"), fittings: [])])"#,
    );
    let site = Site::of(&layout);
    let played = mains_off(&Circuit::of(&site), Open::Everything).unwrap_or_else(|error| panic!("{error}"));
    near(total(&played, "b cold gives"), 120.0, 0.001);
    near(total(&played, "b cold stops after") * 60.0, 3199.0, 6.0);
    near(total(&played, "water left in c, above its base"), 200.0, 0.001);
}

/// A tap that the water does not come up to gives nothing, whether a non-return valve stands before it or not.
#[test]
fn a_non_return_valve_does_not_hide_that_a_tap_is_too_high() {
    let with = |fittings: &str, tap_mm: f64| {
        let layout = whole(&format!(
            r#"(format: 1,
            cisterns: [(id: "c", role: Storage, at: (0, 4000), length: 1000, width: 600, height: 900, water_line: 400,
                connections: [(port: "o", on: Right(100))])],
            outlets: [(id: "b", kind: Basin, at: (3000, {tap_mm}))],
            runs: [(id: "r", service: ColdDistribution, material: Copper, size: 15, from: Port("c", "o"),
                via: [(3040, 4100)], to: Port("b", "cold"), fittings: [{fittings}])])"#
        ));
        let site = Site::of(&layout);
        Circuit::of(&site).flows(&Conditions::with(Open::Everything)).taps[0].outcome.clone()
    };
    let valve = "(kind: NonReturnValve, at: 300)";
    let Outcome::Reckoned { flow_l_s: 0.0, residual_head_m, .. } = with(valve, 4600.0) else {
        panic!("{:?}", with(valve, 4600.0));
    };
    near(residual_head_m, -0.2, 1e-6);
    assert_eq!(with("", 4600.0), with(valve, 4600.0));
    assert!(matches!(with(valve, 4300.0), Outcome::Reckoned { flow_l_s, .. } if flow_l_s > 0.01));
}

fn another_cylinder(layout: &Layout) -> Job {
    let site = Site::of(layout);
    let jobs = jobs(&Circuit::of(&site));
    jobs.into_iter().find(|job| job.task.starts_with("another cylinder")).expect("a job")
}

/// The cock lies 144 mm above the base of 900 mm: 117 × 756/900 L leave, in 2 A √h / (C a √(2 g)) = 18.054 min. Over the
/// crown at 3600 stand 888 mm of the draw-off and 1978 mm of the vent, 20.2 mm wide: 0.918 L; the feed ends below the cock
/// and hangs. From a cock at 4184 the vent alone runs down, by 1504 mm.
#[test]
fn no_water_leaves_below_the_drain_cock() {
    let job = another_cylinder(&sound_with(&[]));
    near(job.drain_l.expect("litres"), 99.198, 0.002);
    near(job.minutes.expect("minutes"), 18.0537, 0.001);
    assert!(job.notes.iter().any(|note| note.starts_with("18.7 L that have to go stay")), "{:?}", job.notes);
    let job = another_cylinder(&sound_with(&[("(kind: DrainCock, at: 2840)", "(kind: DrainCock, at: 1500)")]));
    near(job.drain_l.expect("litres"), 0.482, 0.002);
    assert_eq!(job.minutes, None);
    assert!(job.notes.iter().any(|note| note.starts_with("117 L that have to go stay")), "{:?}", job.notes);
}

/// The sound example with a like cistern beside it on a link, its water and its own warning pipe as they are given.
fn sound_linked(lines_mm: (f64, f64), second_warning: &str) -> Layout {
    let (first_mm, second_mm) = lines_mm;
    let second = format!(
        r#"(id: "second", role: Storage, at: (4000, 5278), length: 914, width: 610, height: 584, water_line: {second_mm},
            connections: [(port: "lk", on: Left(60)), (port: "warning", on: Right(421))]),
        ],
        cylinders: ["#
    );
    let link = format!(
        r#"runs: [
        (id: "link", service: Link, material: Copper, size: 28, from: Port("cistern", "lk"), via: [],
            to: Port("second", "lk"), fittings: []),
        {second_warning}"#
    );
    sound_with(&[
        ("water_line: 410,", &format!("water_line: {first_mm},")),
        (
            r#"(port: "distribution", on: Right(50)),"#,
            r#"(port: "distribution", on: Right(50)), (port: "lk", on: Right(60)),"#,
        ),
        ("],\n    cylinders: [", &second),
        ("runs: [", &link),
    ])
}

/// 1.9876 L over twice 914 × 610 mm are 1.782 mm.
#[test]
fn linked_cisterns_rise_as_one_water_when_a_cylinder_heats_up() {
    let warning = r#"(id: "second-warning", service: WarningPipe, material: Copper, size: 22,
        from: Port("second", "warning"), via: [(5300, 5699)], to: Open((5300, 5200)), fittings: []),"#;
    let played = heated(&sound_linked((437.0, 437.0), ""), "cylinder");
    near(total(&played, "the cistern rises by"), 1.7825, 0.002);
    near(total(&played, "overflow's invert above the risen water"), 439.9 - 437.0 - 1.7825, 0.002);
    assert!(played.events.is_empty(), "{:?}", played.events);
    assert!(played.assumptions.iter().any(|words| words.starts_with("cistern and second: linked")));
    // The other's warning pipe has its invert at 421 − 10.1.
    let over = heated(&sound_linked((410.0, 410.0), warning), "cylinder");
    near(total(&over, "overflow's invert above the risen water"), 410.9 - 410.0 - 1.7825, 0.002);
    let [event] = &over.events[..] else { panic!("{:?}", over.events) };
    assert_eq!(
        (event.words.as_str(), event.place.part.as_ref().map(Id::as_str)),
        ("expanded water runs from the warning pipe", Some("second"))
    );
    // Both stand at the higher of the two lines, as they do where a valve sticks.
    let layout = sound_linked((410.0, 430.0), "");
    let played = heated(&layout, "cylinder");
    let levels: Vec<(&str, f64)> =
        played.moments[0].levels_mm.iter().map(|(id, level_mm)| (id.as_str(), *level_mm)).take(2).collect();
    assert_eq!(levels, [("cistern", 5708.0), ("second", 5708.0)]);
    let stuck = valve_stuck(&Site::of(&layout), &layout.cisterns[0]).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(stuck.moments[0].levels_mm, played.moments[0].levels_mm[..2]);
}

/// Above the bath's tap at 3200 mm the draw-off holds 1288 mm of 20.2 mm bore, 0.413 L, and the basin's pipe on it 0.010 L up
/// to its valve. The vent stands full from its tee at 3710 mm up to the cistern's water at 5688: 0.634 L, or 1.066 L of
/// 26.2 mm bore. The feed hangs under its shut valve, be that high or low.
#[test]
fn a_washer_costs_what_stands_in_the_vent_as_well() {
    let low = ("(kind: GateValve, at: 500)", "(kind: GateValve, at: 2700)");
    let wide = (
        r#"size: 22, clips: (level: 1800, upright: 2400),
            from: Tee("draw-off", 625.1)"#,
        r#"size: 28, clips: (level: 1800, upright: 2400),
            from: Tee("draw-off", 625.1)"#,
    );
    for (changes, litres) in [(&[][..], 1.057), (&[low][..], 1.057), (&[low, wide][..], 1.489)] {
        let layout = sound_with(changes);
        let site = Site::of(&layout);
        let jobs = jobs(&Circuit::of(&site));
        let job = jobs.iter().find(|job| job.task == "a new washer in bath hot").expect("a job");
        near(job.drain_l.expect("told"), litres, 0.002);
    }
}

/// A tap of 0.004 L/s at 30 kPa, 3 m below the base: √H falls evenly, from √3.5 m by 2.2866e-6 √m m²/s / (2 × 0.5 m²) a
/// second, in 43 200 s to 1.7720 √m. Down to the hole at 100 mm it would give 200 L; the pipe takes a thousandth.
#[test]
fn what_still_drips_after_half_a_day_is_told() {
    let layout = whole(
        r#"(format: 1,
        cisterns: [(id: "c", role: Storage, at: (0, 4000), length: 1000, width: 500, height: 700, water_line: 500,
            connections: [(port: "o", on: Right(100))])],
        outlets: [(id: "a", kind: Basin, at: (3000, 1000), passes: (flow: 0.004, at: 30))],
        runs: [(id: "r", service: ColdDistribution, material: Copper, size: 15, from: Port("c", "o"), via: [(3040, 4100)],
            to: Port("a", "cold"), fittings: [])])"#,
    );
    let site = Site::of(&layout);
    let played = mains_off(&Circuit::of(&site), Open::Everything).unwrap_or_else(|error| panic!("{error}"));
    near(total(&played, "a cold gives"), 179.9, 0.3);
    near(total(&played, "water left in c, above its base"), 140.2, 0.6);
    let [event] = &played.events[..] else { panic!("{:?}", played.events) };
    assert_eq!((event.time_s, event.words.as_str()), (43_200.0, "reckoned for 12 h; it runs on"));
    assert!(played.assumptions.iter().any(|words| words.starts_with("what runs on after 12 h is left out")));
}
