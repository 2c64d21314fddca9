//! What happens in time, worked by hand: what has to be let out for a job, a float valve that sticks open, a cistern that
//! runs dry behind others, and the tube that would do.

use std::f64::consts::{FRAC_PI_4, SQRT_2};

use loftwright::heat::heat_up;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::water::circuit::{Circuit, Conditions, Open};
use loftwright::water::sizing::sizes;
use loftwright::water::trial::{Job, jobs, mains_off, may_stick, stuck_valve, valve_stuck};

use crate::drawn_from::layout;
use crate::played::total;

const G_M_S2: f64 = 9.806_65;
/// Bores of 22 and 15 mm copper (EN 1057, 0.9 and 0.7 mm walls), m.
const BORE_22_M: f64 = 0.0202;
const BORE_15_M: f64 = 0.0136;

/// A cistern that holds 1000 × 500 × 400 mm³ = 200 L, a cylinder of 120 L from 0 to 1000 mm, a cold and a hot tap.
/// The cold feed runs 250 along the level and 2940 down to the cylinder's inlet at 110 mm, where its drain cock is;
/// `cock_mm` is how far along.
fn house(cock_mm: f64) -> Layout {
    layout(&format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 3000), length: 1000, width: 500, height: 500, water_line: 400,
            float_valve: (shank: Left(460), outlet: 460),
            connections: [(port: "feed", on: Right(50)), (port: "cold", on: Base(500))])],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 450, height: 1000, capacity: 120, stored_temperature: 60,
            immersions: [(place: Top, power: 3), (place: Bottom, power: 3)],
            connections: [(port: "cold-inlet", on: Left(110))])],
        outlets: [(id: "sink", kind: Sink, at: (460, 900), taps: Separate), (id: "basin", kind: Basin, at: (4000, 1000), taps: Separate)],
        runs: [
            (id: "riser", service: RisingMain, material: Copper, size: 15, from: Onward((-300, 0)), via: [(-300, 3460)],
                to: Port("cistern", "inlet"), fittings: [(kind: StopValve, at: 100), (kind: ServiceValve, at: 3400)]),
            (id: "cold-feed", service: ColdFeed, material: Copper, size: 22, from: Port("cistern", "feed"),
                via: [(1250, 3050), (1250, 110)], to: Port("cylinder", "cold-inlet"),
                fittings: [(kind: GateValve, at: 200), (kind: DrainCock, at: {cock_mm})]),
            (id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("cistern", "cold"),
                via: [(500, 2000)], to: Port("sink", "cold"), fittings: [(kind: GateValve, at: 400)]),
            (id: "hot", service: HotDistribution, material: Copper, size: 15, from: Port("cylinder", "draw-off"),
                via: [(1725, 1500)], to: Port("basin", "hot"), fittings: []),
        ]"#
    ))
}

fn job(jobs: &[Job], words: &str) -> Job {
    jobs.iter().find(|job| job.task.starts_with(words)).unwrap_or_else(|| panic!("{words}")).clone()
}

fn near(have: f64, by_hand: f64, what: &str) {
    assert!((have - by_hand).abs() <= 1e-6 * by_hand.abs().max(1.0), "{what}: {have}, by hand {by_hand}");
}

/// Minutes in which the cylinder falls from one height over the drain cock to another: Torricelli's law for a prism,
/// t = 2 A / (C a √(2 g)) × (√h₁ − √h₂), with an opening of 10 mm and C = 0.6.
fn minutes(from_m: f64, to_m: f64) -> f64 {
    let (plan_m2, opening_m2) = (0.120, FRAC_PI_4 * 0.010 * 0.010);
    2.0 * plan_m2 / (0.6 * opening_m2 * SQRT_2 * G_M_S2.sqrt()) * (from_m.sqrt() - to_m.sqrt()) / 60.0
}

/// How much of the hot pipe of [`house`] lies above the cylinder's 1000 mm, which is the tap's level too.
fn hot_above_crown_mm(site: &Site<'_>) -> f64 {
    let line = site.line(3).expect("the hot pipe");
    let end = line.point_at(line.length());
    500.0 + (end.x - 1725.0).hypot(1500.0 - end.y) * ((1500.0 - 1000.0) / (1500.0 - end.y)).min(1.0)
}

#[test]
fn as_much_is_let_out_of_a_cylinder_as_stands_above_the_work() {
    let layout = house(3190.0);
    let site = Site::of(&layout);
    let all = jobs(&Circuit::of(&site));
    let length_mm = |run: usize| site.line(run).expect("drawn").length();
    // What stands over the crown in the hot pipe runs in; the feed hangs behind its valve until air comes to its end.
    let hot_l = FRAC_PI_4 * BORE_15_M * BORE_15_M * hot_above_crown_mm(&site);
    let feed_l = FRAC_PI_4 * BORE_22_M * BORE_22_M * (length_mm(1) - 200.0);
    for (words, litres, from_m, to_m) in [
        // 100 mm below the top of 1000 mm: a tenth of 120 L.
        ("a new immersion heater in the dome", 12.0 + hot_l, 0.890, 0.790),
        // Down to 150 mm, 40 mm above the cock.
        ("a new immersion heater low", 102.0 + hot_l, 0.890, 0.040),
        // All of it above the cock at 110 mm: below that nothing drives it out.
        ("another cylinder", 106.8 + hot_l + feed_l, 0.890, 0.0),
    ] {
        let job = job(&all, words);
        near(job.drain_l.expect("told"), litres, words);
        near(job.minutes.expect("it drains"), minutes(from_m, to_m), words);
        assert_eq!(job.shut, ["gate valve in cold feed, 200 mm along"], "{words}");
        assert_eq!(job.drain_by, "the drain cock in cold feed", "{words}");
        // The hot tap gives nothing more; the cold one has a pipe of its own.
        assert_eq!(job.still_runs, ["sink cold"], "{words}");
    }
}

#[test]
fn a_drain_cock_that_is_too_high_or_missing_is_told() {
    // 250 + 2800 along it is at 250 mm, above the lower heater.
    let layout = house(3050.0);
    let all = jobs(&Circuit::of(&Site::of(&layout)));
    let low = job(&all, "a new immersion heater low");
    near(low.minutes.expect("it drains as far as the cock"), minutes(0.75, 0.0), "down to the cock");
    // From 1000 down to 250 mm; the 100 mm above the heater's 150 stay in.
    let hot_l = FRAC_PI_4 * BORE_15_M * BORE_15_M * hot_above_crown_mm(&Site::of(&layout));
    near(low.drain_l.expect("told"), 90.0 + hot_l, "above the cock");
    assert!(low.notes.iter().any(|note| note.starts_with("12 L that have to go stay")), "{:?}", low.notes);
    near(job(&all, "a new immersion heater in the dome").minutes.expect("it drains"), minutes(0.75, 0.65), "dome");
    // Before the gate valve a cock empties nothing of this.
    let layout = house(150.0);
    let all = jobs(&Circuit::of(&Site::of(&layout)));
    assert_eq!(job(&all, "another cylinder").drain_by, "no drain cock is drawn on the cold feed: siphon it out");
    assert_eq!(job(&all, "another cylinder").minutes, None);
}

#[test]
fn a_washer_costs_what_stands_above_the_tap_behind_its_valve() {
    let layout = house(3190.0);
    let all = jobs(&Circuit::of(&Site::of(&layout)));
    let sink = job(&all, "a new washer in sink");
    assert_eq!(sink.shut, ["gate valve in cold, 400 mm along"]);
    // The gate valve is 400 below the cistern's base at 3000, the tap at 900: from 2600 down.
    let Some(litres) = sink.drain_l else { panic!("{:?}", sink.drain_by) };
    let upright_l = FRAC_PI_4 * BORE_22_M * BORE_22_M * 600.0;
    // From (500, 2000) the pipe slants to the sink's cold port, of which only what lies above 900 counts.
    let site = Site::of(&layout);
    let line = site.line(2).expect("the cold pipe");
    let end = line.point_at(line.length());
    let slant_mm = (end.x - 500.0).hypot(2000.0 - end.y) * ((2000.0 - 900.0) / (2000.0 - end.y)).min(1.0);
    near(litres, upright_l + FRAC_PI_4 * BORE_22_M * BORE_22_M * slant_mm, "behind the sink's valve");
    let basin = job(&all, "a new washer in basin");
    assert_eq!(basin.shut, ["gate valve in cold feed, 200 mm along"]);
    assert_eq!(basin.still_runs, ["sink cold"]);
    // What stands in the cylinder's pipe above the tap's 1000 mm runs out, since air rises in it from the tap. The feed ends
    // low in the cylinder, where no air gets to it: under its shut valve its water hangs.
    let hot_l = FRAC_PI_4 * BORE_15_M * BORE_15_M * hot_above_crown_mm(&site);
    near(basin.drain_l.expect("told"), hot_l, "over the basin");
}

#[test]
fn work_on_the_cistern_shuts_the_valve_that_is_nearest_to_it() {
    let layout = house(3190.0);
    let all = jobs(&Circuit::of(&Site::of(&layout)));
    let valve = job(&all, "work on the float valve");
    assert_eq!(valve.shut, ["servicing valve in riser, 3400 mm along"]);
    assert_eq!(valve.drain_l, Some(0.0));
    assert_eq!(valve.still_runs, ["sink cold", "basin hot"]);
    let cistern = job(&all, "another cistern");
    near(cistern.drain_l.expect("told"), 200.0, "the cistern");
    assert_eq!(cistern.shut, valve.shut);
}

#[test]
fn without_a_valve_the_whole_cistern_has_to_go_first() {
    let mut layout = house(3190.0);
    layout.runs[2].fittings = Some(Vec::new());
    let sink = job(&jobs(&Circuit::of(&Site::of(&layout))), "a new washer in sink");
    assert_eq!((sink.shut.len(), sink.drain_l), (0, None));
    assert!(sink.notes[0].contains("no valve parts this from the cistern"), "{:?}", sink.notes);
}

/// A seat of 3.18 mm at 3 bar, an overflow of 22 mm at 450 mm (its invert at 439.9), water at 400.
fn sticking() -> Layout {
    sticking_beside("", "", "")
}

/// The same with a connection more, and with another cistern and pipes beside it.
fn sticking_beside(connection: &str, cistern: &str, runs: &str) -> Layout {
    layout(&format!(
        r#"building: (mains_pressure: 300),
        cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, width: 500, height: 600, water_line: 400,
            float_valve: (shank: Left(500), outlet: 510, pattern: Part2, seat: 3.18),
            connections: [(port: "warning", on: Right(450)), {connection}]), {cistern}],
        runs: [(id: "warning-pipe", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "warning"),
            via: [(1300, 4450)], to: Open((1300, 4300)), fittings: []), {runs}]"#
    ))
}

/// Water is neither made nor lost: until the overflow is reached 0.5 L come in for each millimetre, and no faster after.
#[test]
fn a_cistern_fills_by_what_comes_in_until_its_overflow_runs() {
    let layout = sticking();
    let site = Site::of(&layout);
    let stuck = stuck_valve(&site, &layout.cisterns[0]).expect("told");
    near(stuck.invert_mm, 439.9, "invert");
    let played = valve_stuck(&site, &layout.cisterns[0]).expect("told");
    let settles_mm = stuck.settles_mm.expect("below the rim");
    // In steps of no more than this from the water line to a quarter of a millimetre below where it settles.
    let step_mm = (settles_mm - 0.25 - 400.0) / 60.0;
    let mut free_s = 0.0;
    for moment in &played.moments {
        let height_mm = moment.levels_mm[0].1 - 4000.0;
        let least_s = 0.5 * (height_mm - 400.0) / stuck.inflow_l_s;
        if height_mm <= 439.9 {
            near(moment.time_s, least_s, "time");
            free_s = moment.time_s;
        } else if height_mm > 439.9 + 2.0 * step_mm {
            assert!(moment.time_s > least_s, "{height_mm}: {} s, {least_s} s without an overflow", moment.time_s);
        }
    }
    let runs = played.events.iter().find(|event| event.words.contains("begins to run")).expect("it runs over");
    assert!(runs.time_s >= free_s && runs.time_s < free_s + 0.5 * 2.0 * step_mm / stuck.inflow_l_s, "{}", runs.time_s);
    assert_eq!(played.events.last().expect("events").words, "as much runs out as comes in: the level stays");
    let last_s = played.moments.last().expect("moments").time_s;
    near(total(&played, "after"), last_s / 60.0, "minutes");
    near(total(&played, "water settles above the overflow's invert"), settles_mm - 439.9, "over the invert");
    near(total(&played, "rim above the water"), 600.0 - settles_mm, "rim");
    near(total(&played, "air gap that is left"), 510.0 - settles_mm, "air gap");
    // Half of the time has passed at the first moment that is no earlier.
    let half = played.at(0.5).expect("moments");
    let before = played.moments.iter().rev().find(|moment| moment.time_s < last_s / 2.0).expect("earlier");
    assert!(half.time_s >= last_s / 2.0 && before.levels_mm[0].1 < half.levels_mm[0].1);
    assert_eq!(played.at(0.0), played.moments.first());
    assert_eq!(played.at(1.0), played.moments.last());
    assert_eq!(played.at(7.0), played.moments.last());
}

#[test]
fn what_the_overflow_cannot_carry_runs_over_the_rim() {
    let mut layout = sticking();
    layout.cisterns[0].float_valve.as_mut().expect("a valve").seat = Some(loftwright::units::Size::mm(20.0));
    let site = Site::of(&layout);
    let played = valve_stuck(&site, &layout.cisterns[0]).expect("told");
    let words: Vec<&str> = played.events.iter().map(|event| event.words.as_str()).collect();
    assert_eq!(
        words,
        [
            "water begins to run from the warning pipe",
            "the water reaches the valve's outlet: the air gap is gone",
            "the cistern runs over its rim"
        ]
    );
    assert!(played.events.is_sorted_by(|a, b| a.time_s <= b.time_s));
    near(played.moments.last().expect("moments").levels_mm[0].1, 4600.0, "the rim");
    assert!(played.totals.iter().all(|total| !total.words.contains("settles")));
}

/// [`sticking`] with a second cistern of 0.4 L for each millimetre linked to it, which has no float valve.
fn sticking_linked(second_mm: f64, warning: &str) -> Layout {
    let second = format!(
        r#"(id: "second", role: Storage, at: (2000, {second_mm}), length: 800, width: 500, height: 600,
            connections: [(port: "link", on: Left(100)), (port: "warning", on: Right(450))]),"#
    );
    let link = r#"(id: "link", service: Link, material: Copper, size: 28, from: Port("cistern", "link"), via: [],
        to: Port("second", "link"), fittings: []),"#;
    sticking_beside(r#"(port: "link", on: Right(100)),"#, &second, &format!("{link} {warning}"))
}

const SECOND_WARNING: &str = r#"(id: "second-warning", service: WarningPipe, material: Copper, size: 22,
    from: Port("second", "warning"), via: [(3100, 4450)], to: Open((3100, 4300)), fittings: []),"#;

/// 0.5 + 0.4 L for each millimetre from 400 up to the invert at 439.9; what comes in settles as over one cistern.
#[test]
fn linked_cisterns_fill_as_one_water() {
    let layout = sticking_linked(4000.0, "");
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    assert_eq!(may_stick(&circuit).map(|(_, cistern)| cistern.id.as_str()).collect::<Vec<_>>(), ["cistern"]);
    let stuck = stuck_valve(&site, &layout.cisterns[0]).expect("told");
    let played = valve_stuck(&site, &layout.cisterns[0]).expect("told");
    let alone = sticking();
    let alone = stuck_valve(&Site::of(&alone), &alone.cisterns[0]).expect("told");
    assert_eq!((stuck.settles_mm, stuck.invert_mm), (alone.settles_mm, alone.invert_mm));
    assert!(stuck.working.iter().any(|words| words.contains("equal levels")) && alone.working.len() == 2);
    assert!(played.assumptions.iter().any(|words| words.starts_with("cistern and second: linked")));
    near(played.events[0].time_s, 0.9 * 39.9 / stuck.inflow_l_s, "the warning pipe runs");
    let last = played.moments.last().expect("moments");
    assert_eq!(last.levels_mm.len(), 2);
    near(last.levels_mm[0].1, last.levels_mm[1].1, "equal levels");
    // One that stands higher takes nothing before the water is at its base.
    let raised = sticking_linked(4420.0, "");
    let played = valve_stuck(&Site::of(&raised), &raised.cisterns[0]).expect("told");
    near(played.events[0].time_s, (0.5 * 20.0 + 0.9 * 19.9) / stuck.inflow_l_s, "up to its base alone");
}

/// Two overflows alike carry as one does half of the inflow: a seat 1/√2 as wide lets that in.
#[test]
fn overflows_of_linked_cisterns_help_each_other() {
    let layout = sticking_linked(4000.0, SECOND_WARNING);
    let both = stuck_valve(&Site::of(&layout), &layout.cisterns[0]).expect("told");
    let mut half = sticking();
    half.cisterns[0].float_valve.as_mut().expect("a valve").seat = Some(loftwright::units::Size::mm(3.18 / SQRT_2));
    let half = stuck_valve(&Site::of(&half), &half.cisterns[0]).expect("told");
    let (both_mm, half_mm) = (both.settles_mm.expect("settles"), half.settles_mm.expect("settles"));
    assert!((both_mm - half_mm).abs() < 1e-4, "{both_mm} mm, one alone at half the inflow {half_mm} mm");
    // The lower rim is the one that is run over.
    let mut low = sticking_linked(4000.0, "");
    low.cisterns[0].float_valve.as_mut().expect("a valve").seat = Some(loftwright::units::Size::mm(20.0));
    low.cisterns[1].height = loftwright::units::Size::mm(500.0);
    let played = valve_stuck(&Site::of(&low), &low.cisterns[0]).expect("told");
    assert_eq!(played.events.last().expect("events").words, "second runs over its rim");
    near(played.moments.last().expect("moments").levels_mm[0].1, 4500.0, "the lower rim");
}

/// The taps give as many litres as the cistern has lost: cold water drives out hot litre for litre.
#[test]
fn with_the_main_off_no_water_is_made_or_lost() {
    let layout = house(3190.0);
    let site = Site::of(&layout);
    for (open, title) in [
        (Open::Everything, "Main off, drawing sink cold, basin hot"),
        (Open::Numbered(vec![1]), "Main off, drawing basin hot"),
    ] {
        let played = mains_off(&Circuit::of(&site), open).expect("told");
        assert_eq!(played.title, title);
        let gives = |name: &str| {
            let words = format!("{name} gives");
            played.totals.iter().find(|total| total.words == words).map_or(0.0, |total| total.amount.value)
        };
        let given_l = gives("sink cold") + gives("basin hot");
        let lost_l = 0.5 * (400.0 - total(&played, "water left in cistern, above its base"));
        assert!((given_l / lost_l - 1.0).abs() < 1e-3, "{given_l} L given, {lost_l} L lost");
        assert!(played.moments.is_sorted_by(|a, b| a.time_s <= b.time_s && a.levels_mm[0].1 >= b.levels_mm[0].1));
        for event in &played.events {
            assert!(event.words.contains(" stops after "), "{}", event.words);
        }
    }
    let nothing = mains_off(&Circuit::of(&site), Open::Numbered(Vec::new())).expect("told");
    assert_eq!(nothing.title, "Main off, drawing nothing");
    assert!(nothing.events.is_empty() && nothing.moments.len() == 1);
}

/// The tube that is found does, and the next smaller one does not, by the circuit's own flows.
#[test]
fn the_smallest_tube_is_no_wider_than_it_has_to_be() {
    let layout = house(3190.0);
    let found = sizes(&layout);
    let of = |run: &str| found.iter().find(|size| size.run == run).unwrap_or_else(|| panic!("{run} is left out"));
    assert_eq!(found.iter().map(|size| size.run.as_str()).collect::<Vec<_>>(), ["cold-feed", "cold", "hot"]);
    assert_eq!((of("cold-feed").drawn_mm, of("hot").drawn_mm), (22.0, 15.0));
    assert_eq!(
        (&of("cold-feed").taps[..], &of("cold").taps[..]),
        (&["basin hot".to_owned()][..], &["sink cold".to_owned()][..])
    );
    assert!(found.iter().all(|size| size.smallest_mm.is_some() == size.words.is_empty()), "{found:?}");
    // A tap as high as the water gets nothing, whatever the tube.
    let mut high = house(3190.0);
    high.outlets[0].at = loftwright::geom::Point::mm(460.0, 3390.0);
    high.runs[2].via.clear();
    let found = sizes(&high);
    for size in found.iter().filter(|size| size.run == "cold") {
        assert_eq!(size.smallest_mm, None);
        assert!(size.words.starts_with("even with ") && size.words.contains("sink cold gets"), "{}", size.words);
    }
}

/// 120 L from 7 to 60 °C: the share by which water grows is 999.9022 / 983.1958 − 1 (IAPWS-95). Water stands at 3400,
/// the cold inlet at 110; the cistern takes half a litre for each millimetre; 3 kW bring 4.19 kJ/(kg K) × 53 K.
#[test]
fn a_cylinder_that_heats_up_pushes_its_water_back() {
    let grown = 999.902_2 / 983.195_8 - 1.0;
    let with_overflow = |up_mm: f64| {
        let mut drawn = house(3190.0);
        drawn.cisterns[0].connections.push(loftwright::layout::Connection {
            port: loftwright::layout::Id::of("warning"),
            on: loftwright::layout::Tapping::Right(loftwright::units::Length::mm(up_mm)),
        });
        let warning = r#"runs: [(id: "warning-pipe", service: WarningPipe, material: Copper, size: 22,
            from: Onward((0, 0)), to: Open((2000, 3000)))]"#;
        let mut run = layout(warning).runs.remove(0);
        run.from = ron::from_str(r#"Port("cistern", "warning")"#).expect("an end");
        drawn.runs.push(run);
        drawn
    };
    let play = |layout: &Layout| {
        let site = Site::of(layout);
        heat_up(&Circuit::of(&site), &layout.cylinders[0]).expect("told")
    };
    let close = |have: f64, by_hand: f64, what: &str| {
        assert!((have / by_hand - 1.0).abs() < 2e-3, "{what}: {have}, by hand {by_hand}");
    };
    // The invert is 10.1 below the connection: 4.03 mm over the water are enough, 3.9 are not.
    let played = play(&with_overflow(410.1 + 4.1));
    close(total(&played, "goes back up the feed"), 120.0 * grown, "litres");
    close(total(&played, "the cistern rises by"), 240.0 * grown, "rise");
    close(
        total(&played, "hot water in the vent stands above the cistern's by"),
        (3290.0 + 240.0 * grown) * grown,
        "vent",
    );
    assert!((total(&played, "after") / (120.0 * 0.983_2 * 4.19 * 53.0 / 3.0 / 60.0) - 1.0).abs() < 0.02);
    let left_mm = total(&played, "overflow's invert above the risen water");
    assert!((left_mm - (4.1 - 240.0 * grown)).abs() < 0.01, "{left_mm}");
    assert!(played.events.is_empty());
    let first = &played.moments[0];
    assert_eq!((first.time_s, first.levels_mm[0].1), (0.0, 3400.0));
    let over = play(&with_overflow(410.1 + 2.0));
    assert_eq!(over.events.len(), 1);
    let event = &over.events[0];
    assert_eq!(event.words, "expanded water runs from the warning pipe");
    let at = |time_s: f64| over.moments.iter().find(|moment| moment.time_s >= time_s).expect("a moment").levels_mm[0].1;
    assert!(at(event.time_s) > 3402.0 && at(event.time_s - 1.0) <= at(event.time_s), "{}", at(event.time_s));
    // Half the power takes twice as long; where none is told, 3 kW are assumed.
    let mut slow = with_overflow(420.0);
    let fast_min = total(&play(&slow), "after");
    slow.cylinders[0].immersions = None;
    near(total(&play(&slow), "after"), fast_min, "assumed");
    slow.cylinders[0].immersions = house(3190.0).cylinders[0].immersions.clone();
    for (heater, kw) in slow.cylinders[0].immersions.iter_mut().flatten().zip([1.5, 1.0]) {
        heater.power = loftwright::units::Power::try_kw(kw).ok();
    }
    near(total(&play(&slow), "after"), 2.0 * fast_min, "1.5 kW");
}

#[test]
fn the_line_of_heads_falls_from_the_water_to_the_tap() {
    let mut turned = house(3190.0);
    let run = &mut turned.runs[2];
    std::mem::swap(&mut run.from, &mut run.to);
    run.fittings = Some(Vec::new());
    for layout in [house(3190.0), turned] {
        let site = Site::of(&layout);
        let circuit = Circuit::of(&site);
        let length_m = |run: usize| site.line(run).expect("a line").length() / 1000.0;
        for (tap, runs, down) in [(0, vec![2], 900.0), (1, vec![1, 3], 1000.0)] {
            let running = circuit.flows(&Conditions::with(Open::Numbered(vec![tap])));
            let line = circuit.head_line(&circuit.taps()[tap], &running);
            let (first, last) = (line[0], line[line.len() - 1]);
            near(first.along_m, 0.0, "begins at the cistern");
            near(last.along_m, runs.iter().map(|run| length_m(*run)).sum(), "all of the way");
            assert!(first.head_m <= 3.4 + 1e-9 && first.head_m > 3.3, "{first:?}");
            assert!(line.is_sorted_by(|a, b| a.along_m <= b.along_m), "{line:?}");
            assert!(last.pipe_m * 1000.0 <= down + 100.0 && last.head_m >= last.pipe_m, "{last:?}");
            // Along a pipe the head falls, and no place lies further up or down than the pipe is long. In the cylinder
            // it is told anew, in metres of hot water.
            for pair in line.windows(2).filter(|pair| pair[1].along_m > pair[0].along_m) {
                assert!(pair[1].head_m < pair[0].head_m, "{pair:?}");
                let (up_m, on_m) = (pair[1].pipe_m - pair[0].pipe_m, pair[1].along_m - pair[0].along_m);
                assert!(up_m.abs() <= on_m + 1e-9, "{pair:?}");
            }
            // Nothing runs, nothing is lost: the head is the water line, but for the hot column's lightness.
            let still = circuit.flows(&Conditions::with(Open::Numbered(Vec::new())));
            for place in circuit.head_line(&circuit.taps()[tap], &still) {
                assert!((place.head_m - 3.4).abs() < if tap == 0 { 1e-6 } else { 0.06 }, "{place:?}");
            }
        }
        let line = circuit.head_line(&circuit.taps()[0], &circuit.flows(&Conditions::with(Open::Everything)));
        let places: Vec<(f64, f64)> = line.iter().map(|place| (place.along_m, place.pipe_m)).collect();
        assert_eq!(places[..2], [(0.0, 3.0), (1.0, 2.0)]);
    }
}

#[test]
fn a_water_line_over_the_rim_gives_no_more_than_the_cistern_holds() {
    let text = |line: u32| {
        format!(
            r#"survey: Designed,
            cisterns: [(id: "cistern", role: Storage, at: (0, 3000), length: 1000, width: 500, height: 500,
                water_line: {line}, connections: [(port: "cold", on: Right(0))])],
            outlets: [(id: "bath", kind: Bath, at: (1600, 600))],
            runs: [(id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("cistern", "cold"),
                via: [(1200, 3000), (1200, 610)], to: Port("bath", "cold"), fittings: [], insulation: [])]"#
        )
    };
    let given = |line: u32| {
        let layout = layout(&text(line));
        let site = Site::of(&layout);
        total(&mains_off(&Circuit::of(&site), Open::Everything).expect("it is told"), "bath cold gives")
    };
    assert_eq!(given(99_999), given(500));
}

/// A bath on one pipe, and on the same in three pieces joined end to end, one of them round a square corner.
#[test]
fn pipes_joined_end_to_end_take_no_more_than_one_pipe() {
    let text = |runs: &str| {
        format!(
            r#"survey: Designed,
            cisterns: [(id: "cistern", role: Storage, at: (0, 3000), length: 1000, width: 500, height: 500,
                water_line: 400, connections: [(port: "cold", on: Right(0))])],
            outlets: [(id: "bath", kind: Bath, at: (1600, 600))],
            runs: [{runs}]"#
        )
    };
    let told = "service: ColdDistribution, material: Copper, size: 22, fittings: [], insulation: [],";
    let whole = format!(
        r#"(id: "cold", {told} from: Port("cistern", "cold"), via: [(1200, 3000), (1200, 610)], to: Port("bath", "cold"))"#
    );
    let pieces = format!(
        r#"(id: "cold", {told} from: Port("cistern", "cold"), to: Open((1200, 3000))),
        (id: "down", {told} from: Tee("cold", 200), to: Open((1200, 1500))),
        (id: "on", {told} from: Tee("down", 1500), via: [(1200, 610)], to: Port("bath", "cold"))"#
    );
    let flow = |runs: &str| {
        let layout = layout(&text(runs));
        let site = Site::of(&layout);
        Circuit::of(&site).flows(&Conditions::with(Open::Everything)).taps[0].flow_l_s().expect("it runs")
    };
    let (one, three) = (flow(&whole), flow(&pieces));
    assert!((one / three - 1.0).abs() < 1e-6, "{one} L/s through one pipe, {three} through three");
}
