//! What is told of a part decides where it is enough to: untold things make a verdict unknown only where they could
//! change it.

use loftwright::rules::Verdict;

use super::judged_text::verdict;

/// A cistern of 1000 × 400 mm and so high, with taps and a cylinder on it, and no water line.
fn without_water_line(height: u32) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 400, height: {height},
            connections: [(port: "feed", on: Right(75)), (port: "cold", on: Right(50))])],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000, capacity: 117)],
        runs: [
            (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"),
                via: [(1250, 2075), (1250, 110)], to: Port("cylinder", "cold-inlet")),
            (id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Onward((1200, 2050))),
        ]"#
    )
}

#[test]
fn a_cistern_that_is_too_small_to_its_rim_is_too_small() {
    // 1000 × 400 mm, filled to the rim: 500 mm make 200 L, short of 227; 600 mm make 240 L.
    let rule = "storage-too-small-for-taps";
    assert_eq!(verdict(rule, &without_water_line(500)), Some(Verdict::Breach));
    assert_eq!(verdict(rule, &without_water_line(600)), Some(Verdict::Unknown));
    // 250 mm make 100 L; the cylinder holds 117.
    assert_eq!(verdict("storage-less-than-cylinder", &without_water_line(250)), Some(Verdict::Breach));
    assert_eq!(verdict("storage-less-than-cylinder", &without_water_line(500)), Some(Verdict::Unknown));
}

/// Two cisterns of 1000 × 500 × 500 mm on one platform; the second has no width.
fn two_on_a_platform(confirmed_kg: u32) -> String {
    format!(
        r#"cisterns: [
            (id: "first", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, empty_mass: 16),
            (id: "second", role: Storage, at: (1200, 2000), length: 1000, height: 500, empty_mass: 16),
        ],
        platforms: [(id: "platform", at: (-150, 2000), length: 2500, confirmed_load: {confirmed_kg})]"#
    )
}

#[test]
fn a_platform_overloaded_by_what_is_told_is_overloaded() {
    // The first alone weighs 250 + 16 kg.
    assert_eq!(verdict("platform-overloaded", &two_on_a_platform(250)), Some(Verdict::Breach));
    assert_eq!(verdict("platform-overloaded", &two_on_a_platform(400)), Some(Verdict::Unknown));
}

/// A cistern with its top at 2500 below a roof, and no float valve.
fn below_roof(at_left: u32, at_right: u32) -> String {
    format!(
        r#"building: (roof: (underside: [(0, {at_left}), (1000, {at_right})])),
        cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500)]"#
    )
}

#[test]
fn headroom_that_is_too_low_on_either_side_is_too_low() {
    let both =
        |text: &str| ["headroom-too-low-at-float-valve", "headroom-too-low-opposite"].map(|rule| verdict(rule, text));
    assert_eq!(both(&below_roof(2800, 2800)), [Some(Verdict::Breach); 2]);
    assert_eq!(both(&below_roof(2800, 3300)), [Some(Verdict::Unknown); 2]);
}

#[test]
fn headroom_that_joists_take_is_gone_whatever_the_roof() {
    let text = |top: u32| {
        format!(
            r#"building: (joists: (lie: Along, first: 0, count: 5, top: {top}, depth: 100, breadth: 50, spacing: 400)),
            cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                float_valve: (shank: Left(450)))]"#
        )
    };
    assert_eq!(verdict("headroom-too-low-at-float-valve", &text(2800)), Some(Verdict::Breach));
    assert_eq!(verdict("headroom-too-low-at-float-valve", &text(3300)), Some(Verdict::Unknown));
}

/// A hot pipe of 22 mm from a cylinder's side at 1700, bare and so long, then one of which nobody has seen whether it is insulated.
fn hot_pipes(bare_mm: u32) -> String {
    let joint = 1700 + bare_mm;
    let end = joint + 1000;
    format!(
        r#"cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
        outlets: [(id: "tap", kind: Basin, at: ({end}, 1000))],
        runs: [
            (id: "draw-off", service: HotDistribution, size: 22, insulation: [],
                from: Port("cylinder", "draw-off"), to: Open(({joint}, 1000))),
            (id: "branch", service: HotDistribution, size: 15,
                from: Tee("draw-off", {bare_mm}), to: Port("tap", "hot")),
        ]"#
    )
}

#[test]
fn a_dead_leg_that_is_too_long_before_its_end_is_too_long() {
    // A bare 22 mm tube may be 12 m long.
    assert_eq!(verdict("dead-leg-too-long", &hot_pipes(12_100)), Some(Verdict::Breach));
    assert_eq!(verdict("dead-leg-too-long", &hot_pipes(11_500)), Some(Verdict::Unknown));
}

#[test]
fn a_dead_leg_that_would_do_wholly_bare_does() {
    // 10 m and 1 m of it untold; 12 m may be bare.
    assert_eq!(verdict("dead-leg-too-long", &hot_pipes(9_000)), Some(Verdict::Meets));
    // Of tube whose size is untold as well 3 m may be too much.
    let of_any_size = hot_pipes(9_000).replace("size: 15,", "");
    assert_eq!(verdict("dead-leg-too-long", &of_any_size), Some(Verdict::Unknown));
    // 28 mm may be bare for 8 m only.
    let wide = hot_pipes(9_000).replace("size: 15,", "size: 28,");
    assert_eq!(verdict("dead-leg-too-long", &wide), Some(Verdict::Unknown));
}

/// A shelf at 1780 with a cistern on it below the joists of a loft, and no bearers.
fn shelf_below_joists(joists_top: u32) -> String {
    format!(
        r#"building: (joists: (lie: EndOn, first: 100, count: 5, spacing: 400, top: {joists_top}, depth: 147, breadth: 47)),
        cisterns: [(id: "cistern", role: Storage, at: (0, 1780), length: 700, width: 500, height: 500, behind: 0)],
        platforms: [(id: "shelf", at: (-150, 1780), length: 1000, depth: 800, behind: 0)]"#
    )
}

#[test]
fn joists_overhead_carry_nothing_below_them() {
    for rule in ["too-few-joists", "joists-too-far-apart", "joist-overstressed"] {
        assert_eq!(verdict(rule, &shelf_below_joists(2610)), Some(Verdict::Unknown), "{rule}");
    }
    // At 100 and 500, 400 apart: fewer than three, and more than 350.
    assert_eq!(verdict("too-few-joists", &shelf_below_joists(1760)), Some(Verdict::Breach));
    assert_eq!(verdict("joists-too-far-apart", &shelf_below_joists(1760)), Some(Verdict::Breach));
}

#[test]
fn a_heating_cistern_without_a_feed_on_the_drawing_is_asked_for_it() {
    let text = r#"cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 4000), length: 400, height: 300)],
        boilers: [(id: "boiler", at: (800, 0), length: 400, height: 600)]"#;
    assert_eq!(verdict("primary-feed-valved", text), Some(Verdict::Unknown));
}

/// A cylinder fed by two pieces of pipe, the upper and the lower with what is told of each.
fn fed_in_two(upper: &str, lower: &str) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1000, width: 500, height: 500,
            connections: [(port: "feed", on: Right(80))])],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
        runs: [
            (id: "upper", service: ColdFeed, {upper} from: Port("cistern", "feed"), via: [(1250, 5080)], to: Open((1250, 2000))),
            (id: "lower", service: ColdFeed, {lower} from: Tee("upper", 3330), via: [(1250, 110)],
                to: Port("cylinder", "cold-inlet")),
            (id: "vent", service: OpenVent, size: 22, from: Port("cylinder", "draw-off"), to: Open((1700, 6000))),
        ]"#
    )
}

#[test]
fn a_feed_that_is_too_narrow_in_one_piece_is_too_narrow() {
    let rule = "cold-feed-narrower-than-vent";
    assert_eq!(verdict(rule, &fed_in_two("", "size: 15,")), Some(Verdict::Breach));
    assert_eq!(verdict(rule, &fed_in_two("", "size: 22,")), Some(Verdict::Unknown));
    assert_eq!(verdict(rule, &fed_in_two("size: 22,", "size: 22,")), Some(Verdict::Meets));
}

#[test]
fn a_valve_above_the_cylinder_is_there_whatever_sits_further_down() {
    let rule = "cold-feed-valve-too-low";
    let none = "fittings: [],";
    assert_eq!(verdict(rule, &fed_in_two("fittings: [(kind: GateValve, at: 500)],", "")), Some(Verdict::Meets));
    // At 800, below the top of the cylinder at 1000; in the upper piece a higher one may sit.
    let low = "fittings: [(kind: GateValve, at: 1200)],";
    assert_eq!(verdict(rule, &fed_in_two("", low)), Some(Verdict::Unknown));
    assert_eq!(verdict(rule, &fed_in_two(none, low)), Some(Verdict::Breach));
}

#[test]
fn a_slow_heater_decides_only_when_no_faster_one_may_be_there() {
    let heated = |heaters: &str| {
        format!(
            r#"climate: (main_winter: 7, room: 20),
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 450, height: 900, capacity: 117, insulation: 50,
                cover: SprayedFoam, standing_loss: 62, stored_temperature: 60, {heaters})]"#
        )
    };
    let immersion = |kw: u32| format!("immersions: [(place: Bottom, power: {kw}, cut_out: ResetByHand)]");
    let by_coil = |coil: &str, kw: u32| {
        let runs = r#", runs: [(id: "flow", service: PrimaryFlow, from: Onward((1000, 600)), to: Port("cylinder", "coil-flow"))]"#;
        heated(&format!("{coil} {}", immersion(kw))) + runs
    };
    let rule = "reheat-too-slow";
    // 117 L × 4.19 kJ/(L·K) × 53 K = 26 MJ: 7.2 h at 1 kW and more with its losses, 2.4 h at 3 kW.
    assert_eq!(verdict(rule, &heated(&format!("coil: false, {}", immersion(1)))), Some(Verdict::Breach));
    assert_eq!(verdict(rule, &by_coil("coil: true,", 1)), Some(Verdict::Unknown));
    assert_eq!(verdict(rule, &by_coil("", 1)), Some(Verdict::Unknown));
    assert_eq!(verdict(rule, &by_coil("", 3)), Some(Verdict::Meets));
}

#[test]
fn a_cut_out_is_asked_for_where_nobody_has_told_of_immersion_heaters() {
    let cylinder =
        |told: &str| format!(r#"cylinders: [(id: "cylinder", at: (1500, 0), diameter: 450, height: 900, {told})]"#);
    assert_eq!(verdict("immersion-without-cut-out", &cylinder("")), Some(Verdict::Unknown));
    assert_eq!(verdict("immersion-without-cut-out", &cylinder("immersions: []")), None);
}

#[test]
fn a_coil_whose_boiler_is_not_told_is_no_faster_than_its_boiler_may_be() {
    let heated = |boiler: &str, conductance: u32| {
        format!(
            r#"climate: (main_winter: 7, room: 20),
            boilers: [(id: "boiler", at: (3000, 0), length: 400, height: 700, kind: Regular, {boiler})],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 450, height: 900, capacity: 117, insulation: 50,
                cover: SprayedFoam, standing_loss: 62, stored_temperature: 60, coil: true, immersions: [],
                coil_duty: (conductance: {conductance}, primary: 75, flow: 0.25))],
            runs: [(id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), to: Port("cylinder", "coil-flow")),
                (id: "return", service: PrimaryReturn, from: Port("cylinder", "coil-return"), to: Port("boiler", "return"))]"#
        )
    };
    let rule = "reheat-too-slow";
    assert_eq!(verdict(rule, &heated("output: 15", 300)), Some(Verdict::Meets));
    assert_eq!(verdict(rule, &heated("output: 1", 300)), Some(Verdict::Breach));
    assert_eq!(verdict(rule, &heated("", 300)), Some(Verdict::Unknown));
    // Through 30 W/K the strongest boiler takes too long.
    assert_eq!(verdict(rule, &heated("", 30)), Some(Verdict::Breach));
    // Without a return drawn it heats no faster than that.
    let no_return =
        |text: String| text.replace(r#"from: Port("cylinder", "coil-return")"#, "from: Onward((2000, 300))");
    assert_eq!(verdict(rule, &no_return(heated("output: 15", 300))), Some(Verdict::Unknown));
    assert_eq!(verdict(rule, &no_return(heated("output: 1", 300))), Some(Verdict::Breach));
}

#[test]
fn a_coil_to_which_nothing_moves_the_water_may_not_be_heated_at_all() {
    // The middle of the coil at 315 over the floor, that of the boiler at 350 over its base.
    let heated = |base_mm: i32, kw: u32, fittings: &str, flow: &str| {
        format!(
            r#"climate: (main_winter: 7, room: 20),
            boilers: [(id: "boiler", at: (3000, {base_mm}), length: 400, height: 700, kind: Regular, output: {kw})],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 450, height: 900, capacity: 117, insulation: 50,
                cover: SprayedFoam, standing_loss: 62, stored_temperature: 60, coil: true, immersions: [],
                coil_duty: (conductance: 300, primary: 75, {flow}))],
            runs: [
                (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), to: Port("cylinder", "coil-flow"), {fittings}),
                (id: "return", service: PrimaryReturn, from: Port("cylinder", "coil-return"), to: Port("boiler", "return"),
                    {fittings})]"#
        )
    };
    let both = |text: &str| ["boiler-above-coil", "reheat-too-slow"].map(|rule| verdict(rule, text));
    let (meets, breach, unknown) = (Some(Verdict::Meets), Some(Verdict::Breach), Some(Verdict::Unknown));
    let (none, flow) = ("fittings: []", "flow: 0.25");
    assert_eq!(both(&heated(-100, 15, none, flow)), [meets, meets]);
    assert_eq!(both(&heated(0, 15, none, flow)), [breach, unknown]);
    // However it goes round, a boiler that is too weak is too weak.
    assert_eq!(both(&heated(0, 1, none, flow)), [breach, breach]);
    assert_eq!(both(&heated(0, 15, "fittings: [(kind: Pump, at: 300)]", flow)), [None, meets]);
    // Where nobody has told of a pump, whoever tells what passes has told that it goes round.
    assert_eq!(both(&heated(0, 15, "", "")), [unknown, unknown]);
    assert_eq!(both(&heated(0, 15, "", flow)), [unknown, meets]);
}
