//! What runs, and what happens in time, where several cisterns are joined, worked by hand.

use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::units::STANDARD_GRAVITY_M_S2;
use loftwright::water::FlowReport;
use loftwright::water::circuit::{Circuit, Conditions, Fitting, Losses, Open, Outcome};
use loftwright::water::trial::{Job, jobs, mains_off, valve_stuck};

use crate::drawn_from::layout;
use crate::played::total;

/// A cistern of 900 × 600 × 600 mm at a place, with water 400 deep: 0.54 L for each millimetre.
fn cistern(id: &str, at: (f64, f64), connections: &str) -> String {
    let (x, z) = at;
    format!(
        r#"(id: "{id}", role: Storage, at: ({x}, {z}), length: 900, width: 600, height: 600, water_line: 400,
            float_valve: (shank: Left(500), outlet: 510, seat: 3.2), connections: [{connections}]),"#
    )
}

/// Two cisterns one above the other, joined by a link, the lower one with an overflow whose invert is at 439.9.
fn linked(high_mm: f64) -> Layout {
    let low = cistern("low", (0.0, 5000.0), r#"(port: "link", on: Right(60)), (port: "warning", on: Left(450))"#);
    let high = cistern("high", (920.0, high_mm), r#"(port: "link", on: Left(60))"#);
    layout(&format!(
        r#"cisterns: [{low}{high}],
        runs: [
            (id: "link", service: Link, material: Copper, size: 54, from: Port("low", "link"), to: Port("high", "link"),
                fittings: []),
            (id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("low", "warning"),
                via: [(-900, 5440)], to: Open((-900, 5000)), fittings: []),
        ]"#
    ))
}

#[test]
fn what_a_higher_cistern_lets_into_a_lower_one_runs_out_of_its_overflow() {
    let layout = linked(6500.0);
    let played = mains_off(&Circuit::of(&Site::of(&layout)), Open::Everything).expect("told");
    // The higher one gives 340 mm down to its hole; 39.9 mm of that the lower one has room for.
    assert!((total(&played, "water left in high, above its base") - 60.0).abs() < 1e-6);
    assert!((total(&played, "water left in low, above its base") - 439.9).abs() < 1e-6);
    let away_l = total(&played, "runs away by the warning pipe of low, and out of no tap");
    assert!((away_l - 0.54 * (340.0 - 39.9)).abs() < 0.05, "{away_l} L");
    let words: Vec<&str> = played.events.iter().map(|event| event.words.as_str()).collect();
    assert_eq!(words, ["water runs away by the warning pipe of low"]);
    let levels = played.moments.iter().map(|moment| moment.levels_mm[0].1);
    assert!(levels.fold(0.0, f64::max) < 5439.9 + 1e-6);
}

#[test]
fn what_is_left_is_never_less_than_nothing() {
    let text = cistern("tank", (0.0, 5000.0), r#"(port: "cold", on: Base(500))"#);
    let layout = layout(&format!(
        r#"cisterns: [{text}], outlets: [(id: "basin", kind: Basin, at: (460, 3000))],
        runs: [(id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("tank", "cold"),
            to: Port("basin", "cold"), fittings: [])]"#
    ));
    let played = mains_off(&Circuit::of(&Site::of(&layout)), Open::Everything).expect("told");
    assert!(total(&played, "water left in tank, above its base").abs() < f64::MIN_POSITIVE);
    assert!(total(&played, "water left in tank, above its base").is_sign_positive());
}

#[test]
fn a_link_takes_an_entrance_and_an_exit() {
    // 20 mm of pipe 500 mm below the higher surface: all but a hundredth of the head goes in 0.5 + 1.0 velocity heads.
    let layout = linked(5500.0);
    let site = Site::of(&layout);
    let flows = Circuit::of(&site).flows(&Conditions::default());
    let velocity_m_s = flows.stretches[0].expect("reckoned").velocity_m_s;
    let taken = 2.0 * STANDARD_GRAVITY_M_S2 * 0.5 / (velocity_m_s * velocity_m_s);
    let by_table = [Fitting::Entrance, Fitting::Exit].map(|fitting| fitting.loss_coefficient(Losses::Usual));
    assert!((by_table.iter().sum::<f64>() - 1.5).abs() < 1e-9);
    // The pipe slants up 500 on 20: 500.4 mm of 51 mm bore, at f ≈ 0.015 some 0.15 velocity heads.
    assert!((taken - 1.5 - 0.15).abs() < 0.05, "{taken} velocity heads");
}

/// A basin on two cold pipes that meet above the water of the lower cistern, and fall from the higher one all the way.
fn meeting(high_pipe: &str) -> Layout {
    let high = cistern("high", (0.0, 5600.0), r#"(port: "cold", on: Right(50))"#);
    let low = cistern("low", (5000.0, 4600.0), r#"(port: "cold", on: Left(50))"#);
    layout(&format!(
        r#"cisterns: [{high}{low}], outlets: [(id: "basin", kind: Basin, at: (3000, 2000))],
        runs: [
            (id: "high-pipe", service: ColdDistribution, material: Copper, size: 22, from: Port("high", "cold"),
                via: [{high_pipe}(3000, 5400), (3040, 5380)], to: Port("basin", "cold"), fittings: []),
            (id: "low-pipe", service: ColdDistribution, material: Copper, size: 15, from: Port("low", "cold"),
                via: [(4000, 4600)], to: Tee("high-pipe", 1000), fittings: []),
        ]"#
    ))
}

fn outcome(layout: &Layout) -> Outcome {
    let everything = Conditions { open: Open::Everything, ..Conditions::default() };
    Circuit::of(&Site::of(layout)).flows(&everything).taps[0].outcome.clone()
}

#[test]
fn a_pipe_that_falls_all_the_way_is_full_of_the_higher_water() {
    // What runs over to the lower cistern takes so much of the head that at the tee the pipe stands below the air's
    // pressure; it has no crest for all that.
    match outcome(&meeting("")) {
        Outcome::Reckoned { flow_l_s, .. } => assert!(flow_l_s > 0.0),
        other => panic!("{other:?}"),
    }
    // Over 6000 nothing gets by itself, and the lower water does not come up to the tee.
    assert!(matches!(outcome(&meeting("(1500, 5650), (1500, 6100), (1600, 6100), ")), Outcome::Dry(_)));
}

#[test]
fn what_still_runs_without_a_cistern_is_what_others_feed() {
    let one = cistern("one", (0.0, 5000.0), r#"(port: "cold", on: Right(50))"#);
    let two = cistern("two", (4000.0, 5000.0), r#"(port: "cold", on: Right(50))"#);
    let house = |joined: &str| {
        layout(&format!(
            r#"cisterns: [{one}{two}],
            outlets: [(id: "basin", kind: Basin, at: (1500, 3000)), (id: "bath", kind: Bath, at: (6000, 3000))],
            runs: [
                (id: "a", service: ColdDistribution, material: Copper, size: 15, from: Port("one", "cold"),
                    via: [(1540, 5050)], to: Port("basin", "cold"), fittings: []),
                (id: "b", service: ColdDistribution, material: Copper, size: 22, from: Port("two", "cold"),
                    via: [(6040, 5050)], to: Port("bath", "cold"), fittings: []),
                {joined}
            ]"#
        ))
    };
    let of_one = |layout: &Layout| -> Job {
        let all = jobs(&Circuit::of(&Site::of(layout)));
        all.into_iter().find(|job| job.task == "another cistern in place of one").expect("a job")
    };
    let apart = of_one(&house(""));
    assert_eq!((apart.still_runs, apart.drain_l), (vec!["bath cold".to_owned()], Some(189.0)));
    assert!(
        apart.notes.iter().any(|note| note == "27 L stay below the lowest hole: bale them out"),
        "{:?}",
        apart.notes
    );
    // Neither feeds a cylinder.
    assert!(apart.notes.iter().all(|note| !note.contains("boiler")), "{:?}", apart.notes);
    let across = |fittings: &str| {
        let fittings = format!("fittings: [{fittings}]");
        house(&format!(
            r#"(id: "across", service: ColdDistribution, material: Copper, size: 22, from: Tee("a", 1000),
                via: [(1540, 4000)], to: Tee("b", 1500), {fittings}),"#
        ))
    };
    // Nothing parts them: both run out.
    let joined = of_one(&across(""));
    assert_eq!((joined.still_runs, joined.drain_l), (Vec::new(), Some(378.0)));
    assert!(joined.notes.iter().any(|words| words.contains("no valve parts it from two")), "{:?}", joined.notes);
    let parted = of_one(&across("(kind: GateValve, at: 2000)"));
    assert_eq!(parted.shut, ["gate valve in across, 2000 mm along"]);
    assert_eq!((parted.still_runs, parted.drain_l), (vec!["bath cold".to_owned()], Some(189.0)));
}

#[test]
fn a_stated_water_volume_counts_in_what_happens_in_time() {
    // 150 L in 400 mm are 0.375 L for each millimetre, where the outside makes 0.54.
    let of = |stated: &str| {
        let low = cistern("low", (0.0, 5000.0), r#"(port: "warning", on: Left(450))"#);
        let low = low.replace("water_line: 400", &format!("{stated} water_line: 400"));
        let layout = layout(&format!(
            r#"building: (mains_pressure: 300), cisterns: [{low}],
            runs: [(id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("low", "warning"),
                via: [(-900, 5440)], to: Open((-900, 5000)), fittings: [])]"#
        ));
        let site = Site::of(&layout);
        valve_stuck(&site, &layout.cisterns[0]).expect("told").events[0].time_s
    };
    assert!((of("water_volume: 150,") / of("") - 150.0 / 216.0).abs() < 1e-6);
}

#[test]
fn a_told_loss_stands_for_bends_and_valves_and_for_nothing_else() {
    let of = |told: &str| {
        let text = cistern("tank", (0.0, 5000.0), r#"(port: "cold", on: Right(50))"#);
        let layout = layout(&format!(
            r#"cisterns: [{text}], outlets: [(id: "basin", kind: Basin, at: (1500, 3000))],
            runs: [(id: "cold", service: ColdDistribution, material: Copper, size: 15, from: Port("tank", "cold"),
                via: [(1540, 5050)], to: Port("basin", "cold"), {told} fittings: [(kind: GateValve, at: 100)])]"#
        ));
        match outcome(&layout) {
            Outcome::Reckoned { flow_l_s, .. } => flow_l_s,
            other => panic!("{other:?}"),
        }
    };
    let valve = Fitting::InLine(loftwright::layout::InLineKind::GateValve);
    let catalogue = [Fitting::Bend, valve].map(|fitting| fitting.loss_coefficient(Losses::Usual)).iter().sum::<f64>();
    let told = of(&format!("loss_coefficient: {catalogue},"));
    assert!((told / of("") - 1.0).abs() < 1e-9, "{told} L/s, by the catalogue {} L/s", of(""));
}

#[test]
fn a_least_flow_is_not_told_where_with_it_the_vent_draws_air() {
    let tank = cistern("tank", (0.0, 4000.0), r#"(port: "feed", on: Right(50))"#);
    let report = |rated_l_s: f64| {
        let layout = layout(&format!(
            r#"cisterns: [{tank}],
            cylinders: [(id: "cylinder", at: (2000, 1000), diameter: 450, height: 900, stored_temperature: 60)],
            outlets: [(id: "bath", kind: Bath, at: (6000, 1000), passes: (flow: {rated_l_s}, at: 10))],
            runs: [
                (id: "feed", service: ColdFeed, material: Copper, size: 22, from: Port("tank", "feed"),
                    via: [(1500, 4050), (1500, 1099)], to: Port("cylinder", "cold-inlet"),
                    fittings: [(kind: StopValve, at: 300)]),
                (id: "hot", service: HotDistribution, material: Copper, size: 28, from: Port("cylinder", "draw-off"),
                    via: [(2225, 3900), (2600, 3900), (2600, 1200)], to: Port("bath", "hot"), fittings: []),
                (id: "vent", service: OpenVent, material: Copper, size: 22, from: Tee("hot", 2100),
                    via: [(2325, 5500), (500, 5500)], to: Open((500, 5000)), fittings: []),
            ]"#
        ));
        let site = Site::of(&layout);
        let everything = Conditions { open: Open::Everything, ..Conditions::default() };
        FlowReport::new("house", &Circuit::of(&site), &everything).outlets.remove(0)
    };
    let taps: Vec<_> = (5..60).map(|hundredth| report(f64::from(hundredth) / 100.0)).collect();
    assert!(taps.iter().any(|tap| tap.flow.is_none()) && taps.iter().any(|tap| tap.words.is_empty()));
    let on_the_edge = taps.iter().filter_map(|tap| Some((tap.flow?, &tap.words)));
    let on_the_edge: Vec<_> = on_the_edge.filter(|(flow, _)| flow.least.is_none()).collect();
    assert!(!on_the_edge.is_empty());
    for (flow, words) in on_the_edge {
        assert_eq!(flow.ends()[0], "air");
        assert_eq!(words, "with the greatest losses in print the open vent draws air");
    }
}

/// A bath 3 m below a cistern of 0.5 L for each millimetre, with its hole at 50 mm, and a like cistern, full to 400 mm, on a
/// link of half a metre.
fn bath_before_a_link(near_mm: f64, link_mm: f64, size: u32, name: &str, x: f64) -> [String; 3] {
    let tank = |id: &str, x: f64, line_mm: f64, holes: &str| {
        format!(
            r#"(id: "{id}{name}", role: Storage, at: ({x}, 4000), length: 1000, width: 500, height: 600,
                water_line: {line_mm}, connections: [{holes}]),"#
        )
    };
    let near = tank("near", x, near_mm, &format!(r#"(port: "link", on: Right({link_mm})), (port: "o", on: Left(50))"#));
    let far = tank("far", x + 1500.0, 400.0, &format!(r#"(port: "link", on: Left({link_mm}))"#));
    let bath = format!(r#"(id: "bath{name}", kind: Bath, at: ({}, 1000)),"#, x - 2000.0);
    let runs = format!(
        r#"(id: "cold{name}", service: ColdDistribution, material: Copper, size: 22, from: Port("near{name}", "o"),
            via: [({}, 4050)], to: Port("bath{name}", "cold"), fittings: []),
        (id: "link{name}", service: Link, material: Copper, size: {size}, from: Port("near{name}", "link"), via: [],
            to: Port("far{name}", "link"), fittings: []),"#,
        x - 1960.0
    );
    [near + &far, bath, runs]
}

fn laid_out(parts: &[[String; 3]]) -> Layout {
    let all = |which: usize| parts.iter().map(|part| part[which].as_str()).collect::<String>();
    layout(&format!("cisterns: [{}], outlets: [{}], runs: [{}]", all(0), all(1), all(2)))
}

/// The level in the far cistern when that in the near one comes to the tap's hole, L that the tap has given by then, and
/// minutes until less than 0.000 001 L/s runs: by steps of 0.05 s over the flows of the bath's pipe alone and of the link,
/// each solved by brentq, with all that comes in through the link running on to the bath once the level is at the hole.
#[test]
fn a_tap_runs_on_at_the_rate_of_the_link_once_its_cistern_is_down_at_the_hole() {
    let rows = [
        (400.0, 60.0, 15, 266.02, 345.0, 32.875),
        (400.0, 40.0, 15, 265.88, 350.0, 33.323),
        (400.0, 50.0, 22, 116.74, 350.0, 16.345),
        (400.0, 60.0, 22, 117.48, 345.0, 16.005),
        // The near water begins below the link's mouth.
        (55.0, 60.0, 22, 215.12, 172.5, 11.394),
    ];
    for (near_mm, link_mm, size, far_mm, litres, minutes) in rows {
        let row = format!("near {near_mm}, link of {size} at {link_mm}");
        let layout = laid_out(&[bath_before_a_link(near_mm, link_mm, size, "", 0.0)]);
        let played = mains_off(&Circuit::of(&Site::of(&layout)), Open::Everything).expect("told");
        let is = |words: &str, by_hand: f64, within: f64| {
            let have = total(&played, words);
            assert!((have - by_hand).abs() <= within, "{row}: {words} {have}, by hand {by_hand}");
        };
        is("bath cold gives", litres, 0.01);
        is("bath cold stops after", minutes, 0.01 * minutes);
        is("water left in near, above its base", 50.0, 0.002);
        is("water left in far, above its base", link_mm.max(50.0), 0.002);
        let words: Vec<&str> = played.events.iter().map(|event| event.words.as_str()).collect();
        assert_eq!(words, [format!("bath cold stops after {litres:.1} L")], "{row}");
        let least_mm = played.moments.iter().map(|moment| moment.levels_mm[0].1).fold(f64::INFINITY, f64::min);
        assert!(least_mm > 4049.999, "{row}: {least_mm} is below every hole");
        let rests =
            played.moments.iter().find(|moment| moment.levels_mm[0].1 < 4050.001).expect("it comes to the hole");
        let far = rests.levels_mm[1].1 - 4000.0;
        assert!((far - far_mm).abs() < 0.8, "{row}: {far} mm left in far, by hand {far_mm}");
        assert!(played.moments.is_sorted_by(|a, b| a.time_s <= b.time_s));
    }
}

/// What leaves the far cistern without a tap open fills the near one up to the same level, or to the link's mouth.
#[test]
fn water_falls_into_a_cistern_by_a_mouth_above_its_water() {
    let layout = laid_out(&[bath_before_a_link(20.0, 300.0, 22, "", 0.0)]);
    let played = mains_off(&Circuit::of(&Site::of(&layout)), Open::Nothing).expect("told");
    // Down from 400 to the mouth at 300, and the near one up from 20 by as much.
    assert!((total(&played, "water left in far, above its base") - 300.0).abs() < 0.002);
    assert!((total(&played, "water left in near, above its base") - 120.0).abs() < 0.01);
    // Nothing leaves by a mouth above the water: neither has any over the link.
    let layout = laid_out(&[bath_before_a_link(300.0, 410.0, 22, "", 0.0)]);
    let played = mains_off(&Circuit::of(&Site::of(&layout)), Open::Nothing).expect("told");
    assert_eq!(played.moments.len(), 1);
}

#[test]
fn what_is_not_joined_does_not_change_what_happens() {
    let (one, other) =
        (bath_before_a_link(400.0, 40.0, 15, "", 0.0), bath_before_a_link(123.0, 60.0, 28, "-z", 9000.0));
    let played = |parts: &[[String; 3]]| {
        let layout = laid_out(parts);
        mains_off(&Circuit::of(&Site::of(&layout)), Open::Everything).expect("told")
    };
    let (both, alone) = (played(&[one.clone(), other.clone()]), [played(&[one]), played(&[other])]);
    for total_alone in alone.iter().flat_map(|alone| &alone.totals) {
        let together = total(&both, &total_alone.words);
        let apart = total_alone.amount.value;
        assert!((together - apart).abs() < 1e-6 * apart.abs().max(1.0), "{}: {together}, {apart}", total_alone.words);
    }
    assert_eq!(both.totals.len(), alone[0].totals.len() + alone[1].totals.len());
    assert_eq!(both.moments.last().expect("moments").levels_mm.len(), 4);
    assert!(both.moments.is_sorted_by(|a, b| a.time_s < b.time_s));
}

/// A rising main of two pieces that meet at 5000, with a tap on it between its valve and the joint, or none.
#[test]
fn the_valve_of_a_float_valve_is_found_beyond_joints_and_branches() {
    let tank = cistern("tank", (0.0, 5000.0), r#"(port: "cold", on: Right(50))"#);
    let shut = |branch: &str| {
        let layout = layout(&format!(
            r#"cisterns: [{tank}], outlets: [(id: "basin", kind: Basin, at: (1500, 3000)), (id: "sink", kind: Sink, at: (-900, 3000))],
            runs: [
                (id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((-300, 0)),
                    to: Open((-300, 5000)), fittings: [(kind: StopValve, at: 100), (kind: ServiceValve, at: 4000)]),
                (id: "last", service: RisingMain, material: Copper, size: 15, from: Tee("main", 5000),
                    via: [(-300, 5500)], to: Port("tank", "inlet"), fittings: []),
                (id: "cold", service: ColdDistribution, material: Copper, size: 15, from: Port("tank", "cold"),
                    via: [(1540, 5050)], to: Port("basin", "cold"), fittings: []),
                {branch}
            ]"#
        ));
        let all = jobs(&Circuit::of(&Site::of(&layout)));
        all.into_iter().find(|job| job.task == "work on the float valve of tank").expect("a job").shut
    };
    let branch = r#"(id: "tap", service: RisingMain, material: Copper, size: 15, from: Tee("main", 4500), via: [],
        to: Port("sink", "cold"), fittings: []),"#;
    for branch in ["", branch] {
        assert_eq!(shut(branch), ["servicing valve in main, 4000 mm along"], "{branch}");
    }
}

/// A cylinder that a boiler heats by a coil, or itself, with a drain cock in its cold feed and one in the return.
fn heated(boiler: &str, flow: &str, back: &str) -> Layout {
    let tank = cistern("tank", (0.0, 5000.0), r#"(port: "feed", on: Right(50))"#);
    layout(&format!(
        r#"cisterns: [{tank}],
        cylinders: [(id: "cylinder", at: (1500, 2000), diameter: 450, height: 900, capacity: 117,
            connections: [(port: "cold-inlet", on: Left(100)), (port: "{flow}", on: Right(700)), (port: "{back}", on: Right(60))])],
        boilers: [(id: "boiler", at: (3000, 300), length: 400, height: 500, {boiler})],
        runs: [
            (id: "feed", service: ColdFeed, material: Copper, size: 22, from: Port("tank", "feed"),
                via: [(1250, 5050), (1250, 2100)], to: Port("cylinder", "cold-inlet"),
                fittings: [(kind: GateValve, at: 200), (kind: DrainCock, at: 3350)]),
            (id: "flow", service: PrimaryFlow, material: Copper, size: 28, from: Port("boiler", "flow"),
                via: [(3100, 2700)], to: Port("cylinder", "{flow}"), fittings: []),
            (id: "return", service: PrimaryReturn, material: Copper, size: 28, from: Port("cylinder", "{back}"),
                via: [(3300, 2060)], to: Port("boiler", "return"), fittings: [(kind: DrainCock, at: 2800)]),
        ]"#
    ))
}

fn exchanged(layout: &Layout) -> Job {
    let all = jobs(&Circuit::of(&Site::of(layout)));
    all.into_iter().find(|job| job.task.starts_with("another cylinder")).expect("a job")
}

#[test]
fn before_a_cylinder_goes_its_fire_is_out_and_the_heating_in_its_coil_is_seen_to() {
    let says = |job: &Job, words: &str| job.notes.iter().any(|note| note.contains(words));
    let coil = exchanged(&heated("kind: Regular", "coil-flow", "coil-return"));
    assert!(
        says(&coil, "its coil is full of the heating's water") && says(&coil, "turn off the boiler"),
        "{:?}",
        coil.notes
    );
    assert_eq!(coil.drain_by, "the drain cock in feed");
    let direct = exchanged(&heated("kind: BackBoiler", "primary-flow", "primary-return"));
    assert!(says(&direct, "let the fire of the back boiler go out") && !says(&direct, "turn off the boiler"));
    assert!(!says(&direct, "coil"), "{:?}", direct.notes);
    // By the return it empties to 60 of 900 mm, by the feed to 100: 117 L × 60 / 900 are left.
    assert_eq!(direct.drain_by, "the drain cock in return");
    assert!(says(&direct, "7.8 L that have to go stay in cylinder"), "{:?}", direct.notes);
    assert!(says(&direct, "boiler and its pipes hold the same water"), "{:?}", direct.notes);
    let untold = exchanged(&heated("", "primary-flow", "primary-return"));
    assert!(says(&untold, "a fire with a back boiler has to go out"), "{:?}", untold.notes);
}
