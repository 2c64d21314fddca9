//! Hot pipes on connections of a cylinder other than its draw-off, and cylinders whose hot pipes are joined.

use loftwright::layout::Id;
use loftwright::measure::Site;
use loftwright::rules::Verdict;
use loftwright::water::Water;
use loftwright::water::circuit::{Circuit, Conditions, Open, Outcome};

use super::drawn_from::layout;
use super::judged::{number, verdict};

/// A shower at 2200 under a cistern with its base at 5000, its hot pipe bare and of 22 mm, its cold pipe from the cistern.
/// The vent rises off the crown at 1900.
fn house(cylinder: &str, hot: &str, vent: &str, cold: &str) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 900, width: 600, height: 600, water_line: 400,
            connections: [(port: "feed", on: Right(80)), (port: "cold", on: Right(50))])],
        cylinders: [(id: "cylinder", at: (2000, 1000), diameter: 450, height: 900, coil: true, {cylinder})],
        outlets: [(id: "shower", kind: Shower, at: (9000, 2200))],
        runs: [
            (id: "feed", service: ColdFeed, material: Copper, size: 22, from: Port("cistern", "feed"),
                via: [(1800, 5080), (1800, 1099)], to: Port("cylinder", "cold-inlet"), fittings: [], insulation: []),
            (id: "hot", service: HotDistribution, material: Copper, size: 22, {hot}, to: Port("shower", "hot"),
                fittings: [], insulation: []),
            (id: "vent", service: OpenVent, material: Copper, size: 22, {vent}, to: Open((500, 5700)),
                fittings: [], insulation: []),
            (id: "cold", service: ColdDistribution, material: Copper, size: 15, from: Port("cistern", "cold"),
                via: [(9040, 5050)], to: Port("shower", "cold"), fittings: [{cold}], insulation: []),
        ]"#
    )
}

const SIDE: &str = r#"connections: [(port: "flange", on: Right(850))]"#;
const FROM_SIDE: &str = r#"from: Port("cylinder", "flange"), via: [(3000, 1850), (3000, 2200)]"#;
const VENT_ON_CROWN: &str = r#"from: Port("cylinder", "draw-off"), via: [(2225, 6200), (500, 6200)]"#;

fn off_the_side(stored_celsius: f64, cold: &str) -> String {
    house(&format!("{SIDE}, stored_temperature: {stored_celsius}"), FROM_SIDE, VENT_ON_CROWN, cold)
}

/// What the mixer of a layout gives, °C, and how much of that is hot, L/s.
fn mixed(text: &str) -> (f64, f64) {
    let layout = layout(text);
    let site = Site::of(&layout);
    let flows = Circuit::of(&site).flows(&Conditions { open: Open::Everything, ..Conditions::default() });
    match &flows.taps[0].outcome {
        Outcome::Reckoned { mixed_celsius: Some(celsius), hot_l_s: Some(hot_l_s), .. } => (*celsius, *hot_l_s),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_hot_pipe_on_a_flange_in_the_side_is_judged_like_one_on_the_draw_off() {
    let house = layout(&off_the_side(60.0, ""));
    // From the flange at (2450, 1850) 550 mm along, 350 up and 5960 along.
    assert!((number(&house, "dead-leg-too-long", "shower") - 6860.0).abs() < 0.1);
    // 6.86 m of 20.2 mm bore hold 2.198 L.
    let (_, hot_l_s) = mixed(&off_the_side(60.0, ""));
    let by_hand_s = std::f64::consts::FRAC_PI_4 * 0.202_f64.powi(2) * 68.6 / hot_l_s;
    assert!((number(&house, "hot-water-slow-to-arrive", "shower") / by_hand_s - 1.0).abs() < 1e-6);
    assert!((number(&house, "shower-head-too-small", "shower") - 2800.0).abs() < 0.1);
    assert_eq!(verdict(&house, "mixer-heads-differ", "shower"), Some(Verdict::Meets));
    // The cold side pumped, gravity drives the hot one still.
    let pumped = layout(&off_the_side(60.0, "(kind: Pump, at: 500)"));
    assert!((number(&pumped, "shower-head-too-small", "shower") - 2800.0).abs() < 0.1);
}

#[test]
fn water_off_a_flange_is_as_hot_as_the_cylinder_keeps_it() {
    let colder = mixed(&off_the_side(50.0, "")).0;
    let hotter = mixed(&off_the_side(80.0, "")).0;
    // Mixed with cold water of 10 °C in nearly the same shares, 70 K over it to 40 K.
    assert!(((hotter - 10.0) / (colder - 10.0) - 70.0 / 40.0).abs() < 0.02, "{colder} and {hotter}");
}

#[test]
fn a_crown_tapping_of_another_name_counts_like_the_draw_off() {
    let named = |port: &str| {
        let hot = format!("from: Port(\"cylinder\", \"{port}\"), via: [(2225, 2200)]");
        let vent = r#"from: Tee("hot", 150), via: [(2225, 6200), (500, 6200)]"#;
        layout(&house("connections: [(port: \"crown\", on: Top(225))], stored_temperature: 60", &hot, vent, ""))
    };
    let (crown, draw_off) = (named("crown"), named("draw-off"));
    let all = |house| {
        let findings = loftwright::finding::Findings::of(&Site::of(house));
        // Which tapping it is, that rule asks by its name.
        let findings = findings.iter().filter(|f| f.rule.id != "pipe-on-wrong-tapping");
        findings.map(|f| (f.rule.id, f.subject().clone(), f.judged.verdict)).collect::<Vec<_>>()
    };
    assert_eq!(all(&crown), all(&draw_off));
}

#[test]
fn what_lets_no_hot_water_out_is_no_draw_off() {
    // A cold feed on a flange, and the way back of a circulation with a non-return valve in it.
    let back = r#"(id: "back", service: HotDistribution, material: Copper, size: 15, from: Tee("hot", 6000),
        via: [(8225, 2000), (4000, 1850)], to: Port("cylinder", "flange"), fittings: [(kind: NonReturnValve, at: 3000)],
        insulation: [])"#;
    let hot = r#"from: Port("cylinder", "draw-off"), via: [(2225, 2200)]"#;
    let vent = r#"from: Tee("hot", 150), via: [(2225, 6200), (500, 6200)]"#;
    let plain = house(&format!("{SIDE}, stored_temperature: 60"), hot, vent, "");
    let with_back = layout(&plain.replace("runs: [", &format!("runs: [{back},")));
    // 300 mm up from the crown and 6735 along.
    assert!((number(&with_back, "dead-leg-too-long", "shower") - 7035.0).abs() < 0.1);
    let site = Site::of(&with_back);
    let ports = |site: &Site<'_>| -> Vec<String> {
        site.hot_ports(&site.layout().cylinders[0]).iter().map(ToString::to_string).collect()
    };
    assert_eq!(ports(&site), ["draw-off"]);
    let fed_by_flange = layout(&plain.replace("Port(\"cylinder\", \"cold-inlet\")", "Port(\"cylinder\", \"flange\")"));
    assert_eq!(ports(&Site::of(&fed_by_flange)), ["draw-off"]);
}

#[test]
fn a_vent_low_down_in_the_side_lets_no_air_out_of_the_crown() {
    let hot = r#"from: Port("cylinder", "draw-off"), via: [(2225, 2200)]"#;
    let low = r#"from: Port("cylinder", "flange"), via: [(2600, 1300), (2600, 6200), (500, 6200)]"#;
    let text = house("connections: [(port: \"flange\", on: Right(300))], stored_temperature: 60", hot, low, "");
    assert_eq!(verdict(&layout(&text), "vent-too-low", "cylinder"), Some(Verdict::Unknown));
}

/// A shower behind two cylinders whose draw-offs meet, listed in an order.
fn behind_two(cylinders: [(&str, f64); 2]) -> String {
    let listed = cylinders.map(|(id, celsius)| {
        let x = if id == "left" { 2000 } else { 4000 };
        format!(
            r#"(id: "{id}", at: ({x}, 1000), diameter: 450, height: 900, coil: true, stored_temperature: {celsius}),"#
        )
    });
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 900, width: 600, height: 600, water_line: 400,
            connections: [(port: "f", on: Right(80)), (port: "g", on: Base(700)), (port: "d", on: Right(50))])],
        cylinders: [{}],
        outlets: [(id: "shower", kind: Shower, at: (6000, 2200), passes: (flow: 0.15, at: 10))],
        runs: [
            (id: "f", service: ColdFeed, material: Copper, size: 22, from: Port("cistern", "f"),
                via: [(1800, 5080), (1800, 1099)], to: Port("left", "cold-inlet"), fittings: []),
            (id: "g", service: ColdFeed, material: Copper, size: 22, from: Port("cistern", "g"),
                via: [(700, 500), (3800, 500), (3800, 1099)], to: Port("right", "cold-inlet"), fittings: []),
            (id: "h", service: HotDistribution, material: Copper, size: 22, from: Port("left", "draw-off"),
                via: [(2225, 2200)], to: Port("shower", "hot"), fittings: []),
            (id: "i", service: HotDistribution, material: Copper, size: 22, from: Port("right", "draw-off"),
                via: [(4225, 2300)], to: Tee("h", 3000), fittings: []),
            (id: "d", service: ColdDistribution, material: Copper, size: 15, from: Port("cistern", "d"),
                via: [(6040, 5050)], to: Port("shower", "cold"), fittings: []),
        ]"#,
        listed.concat()
    )
}

#[test]
fn what_two_cylinders_feed_does_not_hang_on_which_is_listed_first() {
    let one_way = behind_two([("left", 50.0), ("right", 75.0)]);
    let other_way = behind_two([("right", 75.0), ("left", 50.0)]);
    let equal = mixed(&behind_two([("left", 62.5), ("right", 62.5)])).0;
    let both = [one_way.as_str(), other_way.as_str()].map(|text| mixed(text).0);
    assert!((both[0] - both[1]).abs() < 1e-6, "{both:?}");
    // The hotter water is the lighter, and somewhat more than half of what runs.
    assert!((0.0..0.5).contains(&(both[0] - equal)), "{both:?}, with both at 62.5 °C {equal}");
    let said = |text: &str| -> Vec<String> {
        let house = layout(text);
        let words = loftwright::water::circuit::assumptions(&Circuit::of(&Site::of(&house)));
        words.into_iter().filter(|words| words.contains("joined pipes")).collect()
    };
    assert_eq!(said(&one_way), said(&other_way));
    assert!(said(&one_way)[0].starts_with("hot water of left and right comes together"), "{:?}", said(&one_way));
    assert!(said(&one_way)[0].contains("62.5 °C"));
    assert!(said(&behind_two([("left", 60.0), ("right", 60.0)])).is_empty());
}

#[test]
fn water_of_two_cylinders_is_as_warm_as_what_each_gives_makes_it() {
    // The right one, hotter, gives through 15 mm and the left through 22 mm.
    let text = behind_two([("left", 50.0), ("right", 75.0)]).replace(
        r#"(id: "i", service: HotDistribution, material: Copper, size: 22"#,
        r#"(id: "i", service: HotDistribution, material: Copper, size: 15"#,
    );
    let house = layout(&text);
    let site = Site::of(&house);
    let circuit = Circuit::of(&site);
    let flows = circuit.flows(&Conditions { open: Open::Everything, ..Conditions::default() });
    let Outcome::Reckoned { flow_l_s, mixed_celsius: Some(mixed), hot_l_s: Some(hot_l_s), .. } = flows.taps[0].outcome
    else {
        panic!("{:?}", flows.taps[0].outcome)
    };
    let right = site.run_number(&Id::of("i")).expect("drawn");
    let of_right = circuit.stretches().iter().zip(&flows.stretches).find(|(stretch, _)| stretch.run == right);
    let right_l_s = of_right.and_then(|(_, flow)| *flow).expect("reckoned").flow_l_s;
    assert!(right_l_s > 0.0 && right_l_s < 0.45 * hot_l_s, "{right_l_s} of {hot_l_s} L/s");
    // kg/L at the temperatures that each flow is told at.
    let kg_l = |celsius: f64| Water::at_celsius(celsius).expect("liquid").density_kg_m3 / 1000.0;
    let (all, right_kg_s) = (flow_l_s * kg_l(35.0), right_l_s * kg_l(75.0));
    let hot_kg_s = hot_l_s * kg_l(61.0);
    let by_hand = (right_kg_s * 75.0 + (hot_kg_s - right_kg_s) * 50.0) / hot_kg_s;
    // What the mixer has made of it and of water of 10 °C.
    let hot_celsius = (mixed * all - 10.0 * (all - hot_kg_s)) / hot_kg_s;
    assert!((hot_celsius - by_hand).abs() < 0.1, "{hot_celsius} and by hand {by_hand}");
    assert!(by_hand < 62.5 - 1.5);
    let said = loftwright::water::circuit::assumptions(&circuit);
    assert!(said.iter().any(|words| words.contains("by how much each gives")), "{said:?}");
}
