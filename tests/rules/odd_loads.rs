//! Weights in other places than usual: cylinders on platforms and joists of the loft, vessels without a platform, and
//! platforms that share their trussed rafters.

use loftwright::layout::Layout;
use loftwright::measure::{Have, Site};
use loftwright::rules::Verdict;
use loftwright::timber::{LoadPath, Member};
use loftwright::units::STANDARD_GRAVITY_M_S2;

use super::drawn_from::{layout, whole};
use super::judged::{BREACH, MEETS, UNKNOWN, finding};
use super::judged_text::{findings, measured, verdict};

/// A cistern of 250 L and 16 kg and a cylinder of 117 L on one platform.
fn shared_platform(cylinder: &str, confirmed_kg: u32) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, empty_mass: 16)],
        cylinders: [(id: "cylinder", at: (1200, 2000), diameter: 450, height: 900, capacity: 117, {cylinder})],
        platforms: [(id: "platform", at: (-150, 2000), length: 2500, confirmed_load: {confirmed_kg})]"#
    )
}

#[test]
fn a_cylinder_weighs_on_the_platform_that_it_stands_on() {
    // 250 + 16 + 117 + 32 = 415 kg.
    let load = |kg| shared_platform("empty_mass: 32", kg);
    assert!((measured("platform-overloaded", &load(414))[0].1 - 415.0).abs() < 1e-9);
    assert_eq!(verdict("platform-overloaded", &load(414)), BREACH);
    assert_eq!(verdict("platform-overloaded", &load(415)), MEETS);
    // Its water alone makes 250 + 16 + 117 = 383 kg.
    assert_eq!(verdict("platform-overloaded", &shared_platform("", 382)), BREACH);
    assert_eq!(verdict("platform-overloaded", &shared_platform("", 500)), UNKNOWN);
}

/// A cylinder by itself on a platform with its top at so many mm, over a floor at 0 and joists at 2000.
fn own_platform(top_mm: u32, platform: &str) -> String {
    format!(
        r#"building: (storeys: [(id: "floor", floor: 0)], joists: (lie: EndOn, first: 0, count: 5, top: 2000, depth: 147,
            breadth: 47, spacing: 400)),
        cylinders: [(id: "cylinder", at: (100, {top_mm}), diameter: 450, height: 900, capacity: 117, empty_mass: 32)],
        platforms: [(id: "platform", at: (0, {top_mm}), length: 700, {platform})]"#
    )
}

#[test]
fn a_cylinder_in_the_loft_is_asked_for_its_platform_and_one_on_a_floor_for_that() {
    for rule in ["platform-overloaded", "joist-overstressed"] {
        assert_eq!(verdict(rule, &own_platform(120, "")), None, "{rule}");
        assert_eq!(verdict(rule, &own_platform(2100, "")), UNKNOWN, "{rule}");
    }
    // 149 kg; whoever has confirmed a load is held to it on any floor.
    assert_eq!(verdict("platform-overloaded", &own_platform(120, "confirmed_load: 148")), BREACH);
    assert_eq!(verdict("platform-overloaded", &own_platform(2100, "confirmed_load: 149")), MEETS);
    assert_eq!(verdict("cylinder-too-heavy-for-floor", &own_platform(120, "depth: 700")), MEETS);
    assert_eq!(verdict("cylinder-too-heavy-for-floor", &own_platform(2100, "depth: 700")), None);
    // Who has confirmed the load has answered for the floor.
    assert_eq!(verdict("cylinder-too-heavy-for-floor", &own_platform(120, "depth: 700, confirmed_load: 149")), None);
}

#[test]
fn a_cylinder_too_heavy_by_its_water_is_too_heavy_for_the_floor() {
    // 2 kN are 203.9 kg.
    let text = |litres: u32| {
        format!(
            r#"building: (storeys: [(id: "floor", floor: 0)]),
            cylinders: [(id: "cylinder", at: (100, 0), diameter: 450, height: 1500, capacity: {litres})]"#
        )
    };
    assert_eq!(verdict("cylinder-too-heavy-for-floor", &text(210)), BREACH);
    assert_eq!(verdict("cylinder-too-heavy-for-floor", &text(117)), UNKNOWN);
}

/// What every class answers alike is no question of the stamp, which old timber does not bear.
#[test]
fn timber_of_no_class_is_judged_where_every_class_gives_one_answer() {
    let bearers = |depth_mm: u32, more: &str| {
        let text = include_str!("../cases/bearer-overstressed/unknown.loft.ron");
        let told = format!("depth: {depth_mm}, lie: Along{more})");
        let text = text.replace("depth: 70, lie: Along)", &told).replace("    format: 1,\n", "");
        layout(text.trim().trim_start_matches('(').trim_end_matches(')'))
    };
    let of = |layout: &Layout| {
        let found = finding(layout, "bearer-overstressed", "platform");
        (found.judged.verdict, found.reading)
    };
    for (depth_mm, expected) in [(50, Verdict::Breach), (70, Verdict::Unknown), (97, Verdict::Meets)] {
        let (verdict, reading) = of(&bearers(depth_mm, ""));
        assert_eq!(verdict, expected, "{depth_mm} mm");
        let says = |line: &String| line.contains("in C24, the strongest") && line.contains("in C14, the weakest");
        assert!(reading.working.iter().any(says), "{:?}", reading.working);
        let (graded, _) = of(&bearers(depth_mm, ", grade: C24"));
        assert_eq!(graded == Verdict::Breach, expected == Verdict::Breach, "{depth_mm} mm");
    }
    let (_, reading) = of(&bearers(70, ""));
    assert!(matches!(&reading.have, Have::Untold(find_out) if find_out.contains("competent person grades it")));
}

/// Joists of 3 m at 0, 500, 1000, 1500 and 2000, and platforms that lie on the first two alone.
fn on_two_joists(depth_mm: u32, vessels: &str, more_platforms: &str) -> String {
    format!(
        r#"building: (joists: (top: 1982, first: 0, spacing: 500, count: 5, breadth: 47, depth: {depth_mm}, lie: EndOn,
            kind: Joist, grade: C16, span: 3000, span_from: -1500, ceiling_load: 0.25, storage_load: 0.25,
            service_class: Covered)),
        platforms: [
            (id: "platform", at: (-50, 2000), length: 600, depth: 700, behind: 0,
                board: (material: MarinePly, thickness: 18, class: F20E40)),
            {more_platforms}
        ],
        {vessels}"#
    )
}

fn cylinder(id: &str, behind_mm: i32, told: &str) -> String {
    format!(r#"(id: "{id}", at: (25, 2000), diameter: 450, height: 900, capacity: 117, behind: {behind_mm}, {told})"#)
}

fn joists(text: &str) -> Vec<Member> {
    let layout = layout(text);
    let path = LoadPath::of(&Site::of(&layout));
    path.platforms[0].joists.clone().expect("asked").expect("told")
}

#[test]
fn a_cylinder_bends_the_joists_that_it_stands_on() {
    let moment = |empty_kg: u32| {
        let vessels = format!("cylinders: [{}]", cylinder("cylinder", 0, &format!("empty_mass: {empty_kg}")));
        joists(&on_two_joists(147, &vessels, ""))[0].check.strip.greatest_moment().1
    };
    // Half of it comes on each of two joists, in the middle of 3 m, over 450 √(π/4) = 398.8 mm: M = F (L / 4 − b / 8).
    let each_n = 50.0 * STANDARD_GRAVITY_M_S2;
    let by_hand = each_n * (3.0 / 4.0 - 0.45 * std::f64::consts::FRAC_PI_4.sqrt() / 8.0);
    assert!((moment(132) - moment(32) - by_hand).abs() < 1e-6, "{} N·m", moment(132) - moment(32));
}

#[test]
fn a_cylinder_bears_down_like_a_cistern_of_its_weight_and_base() {
    let side_mm = 450.0 * std::f64::consts::FRAC_PI_4.sqrt();
    let from_mm = 250.0 - side_mm / 2.0;
    let cistern = format!(
        r#"cisterns: [(id: "stand-in", role: Storage, at: ({from_mm}, 2000), length: {side_mm}, width: {side_mm}, height: 900,
            rim_volume: 117, behind: 0, empty_mass: 32)]"#
    );
    let cylinder = format!("cylinders: [{}]", cylinder("cylinder", 0, "empty_mass: 32"));
    for rule in ["board-overstressed", "board-sags", "joist-overstressed", "joist-overstressed-in-shear", "joist-sags"]
    {
        let [one, other] = [&cistern, &cylinder].map(|vessels| measured(rule, &on_two_joists(147, vessels, ""))[0].1);
        assert!((one - other).abs() < 1e-9 && one > 0.0, "{rule}: {one}, {other}");
    }
}

#[test]
fn a_cylinder_whose_weight_is_not_told_leaves_open_what_its_water_does_not_break() {
    let told = |depth_mm| {
        let vessels = format!("cylinders: [{}]", cylinder("cylinder", 0, "empty_mass: 32"));
        verdict("joist-overstressed", &on_two_joists(depth_mm, &vessels, ""))
    };
    let untold = |depth_mm| {
        let vessels = format!("cylinders: [{}]", cylinder("cylinder", 0, ""));
        verdict("joist-overstressed", &on_two_joists(depth_mm, &vessels, ""))
    };
    assert_eq!([told(170), untold(170)], [MEETS, UNKNOWN]);
    assert_eq!([told(72), untold(72)], [BREACH; 2]);
}

#[test]
fn weights_on_another_platform_count_where_it_shares_the_joists() {
    let beside = |x_mm: i32| {
        format!(
            r#"(id: "other", at: ({x_mm}, 2000), length: 600, depth: 700, behind: 800,
                board: (material: MarinePly, thickness: 18, class: F20E40)),"#
        )
    };
    // On the first platform nothing but the weight of an empty little cistern; on the other a cylinder of unknown place.
    let vessels = |x_mm: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (50, 2000), length: 400, width: 400, height: 300, behind: 0,
                empty_mass: 5)],
            cylinders: [(id: "cylinder", at: ({x_mm}, 2000), diameter: 450, height: 900, behind: 800, capacity: 117)]"#
        )
    };
    let of_first = |text: &str| {
        let findings = findings("joist-overstressed", text);
        let first = findings.iter().find(|finding| finding.reading.parts[0].to_string() == "platform");
        first.expect("asked").judged.verdict
    };
    assert_eq!(of_first(&on_two_joists(170, &vessels(25), &beside(-50))), Verdict::Unknown);
    assert_eq!(of_first(&on_two_joists(170, &vessels(1025), &beside(950))), Verdict::Meets);
}

#[test]
fn a_cylinder_without_a_platform_leaves_open_what_the_joists_below_it_bear() {
    let vessels = |x_mm: i32, behind_mm: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (50, 2000), length: 400, width: 400, height: 300, behind: 0,
                empty_mass: 5)],
            cylinders: [(id: "cylinder", at: ({x_mm}, 1982), diameter: 450, height: 900, behind: {behind_mm}, capacity: 117)]"#
        )
    };
    let judged = |rule: &str, x_mm| verdict(rule, &on_two_joists(170, &vessels(x_mm, 900), ""));
    assert_eq!(judged("joist-overstressed", 300), UNKNOWN);
    assert_eq!(judged("joist-overstressed", 1300), MEETS);
    assert_eq!(judged("cylinder-too-heavy-for-floor", 1300), UNKNOWN);
}

/// Cisterns of 1000 × 500 mm on platforms of their own, each with its left end, its place behind and its water line, over
/// trussed rafters at 100, 500, 900 and so on.
fn over_trusses(platforms: &[(i32, i32, u32)]) -> String {
    let (mut boards, mut cisterns) = (String::new(), String::new());
    for (number, (left_mm, behind_mm, line_mm)) in platforms.iter().enumerate() {
        let cistern_mm = left_mm + 150;
        boards.push_str(&format!(
            r#"(id: "platform-{number}", at: ({left_mm}, 2000), length: 1300, depth: 800, behind: {behind_mm},
                board: (material: MarinePly, thickness: 18, class: F20E40)),"#
        ));
        cisterns.push_str(&format!(
            r#"(id: "cistern-{number}", role: Storage, at: ({cistern_mm}, 2000), length: 1000, height: 600, width: 500,
                behind: {behind_mm}, empty_mass: 16, water_line: {line_mm}),"#
        ));
    }
    format!(
        r#"survey: Designed,
        building: (joists: (top: 1982, first: 100, spacing: 400, count: 9, breadth: 35, depth: 97, lie: EndOn,
            kind: TrussedRafter)),
        platforms: [{boards}], cisterns: [{cisterns}]"#
    )
}

fn numbers(rule: &str, text: &str) -> Vec<f64> {
    measured(rule, text).into_iter().map(|(_, value)| value).collect()
}

#[test]
fn platforms_over_the_same_trusses_add_up() {
    // Three trusses, 115 L on each platform: 230 L together; 5 mm more of water on one make 232.5 L.
    let both = |line_mm| over_trusses(&[(-150, 0, 230), (-150, 900, line_mm)]);
    assert_eq!(verdict("too-few-trusses", &both(230)), MEETS);
    assert_eq!(verdict("too-few-trusses", &both(235)), BREACH);
    for litres in numbers("too-few-trusses", &both(235)) {
        assert!((litres - 232.5).abs() < 1e-6, "{litres} L");
    }
    let alone = numbers("truss-node-overloaded", &over_trusses(&[(-150, 0, 230)]))[0];
    // At the least the water and 16 kg over six nodes.
    assert!(alone > (115.0 + 16.0) * STANDARD_GRAVITY_M_S2 / 6.0);
    for node_n in numbers("truss-node-overloaded", &both(230)) {
        assert!((node_n - 2.0 * alone).abs() < 1e-6, "{node_n} N");
    }
}

#[test]
fn two_trusses_bear_no_tank_and_of_more_than_four_the_source_tells_no_more_than_of_four() {
    let over = |count: u32| over_trusses(&[(-150, 0, 40)]).replace("count: 9", &format!("count: {count}"));
    assert_eq!(verdict("too-few-trusses", &over(3)), MEETS);
    assert_eq!(verdict("too-few-trusses", &over(2)), BREACH);
    // 2300 mm of board over four trusses 600 mm apart, and over six of them 400 mm apart; half a litre for each mm.
    let of = |spacing: &str, line_mm: u32| {
        over_trusses(&[(-150, 0, line_mm)]).replace("length: 1300", "length: 2200").replace("spacing: 400", spacing)
    };
    assert_eq!(verdict("too-few-trusses", &of("spacing: 600", 590)), MEETS);
    assert_eq!(verdict("too-few-trusses", &of("spacing: 400", 590)), MEETS);
    let litres_over = |spacing| numbers("too-few-trusses", &of(spacing, 590).replace("height: 600", "height: 800"));
    assert!((litres_over("spacing: 600")[0] - 295.0).abs() < 1e-6);
    let full = |spacing| of(spacing, 700).replace("height: 600", "height: 800");
    assert_eq!(verdict("too-few-trusses", &full("spacing: 600")), BREACH);
    assert_eq!(verdict("too-few-trusses", &full("spacing: 400")), UNKNOWN);
}

#[test]
fn platforms_over_trusses_of_their_own_do_not() {
    let apart = over_trusses(&[(-150, 0, 440), (1350, 0, 440)]);
    assert_eq!(numbers("too-few-trusses", &apart), [220.0; 2]);
    assert_eq!(verdict("too-few-trusses", &apart), MEETS);
}

#[test]
fn a_truss_that_two_platforms_share_judges_both() {
    // 100, 500, 900 and 900, 1300, 1700: the one at 900 bears a third of both.
    let both = |line_mm| over_trusses(&[(-150, 0, line_mm), (750, 900, line_mm)]);
    // 100 L each: 66.7 L on it, as 200 L over three would bring.
    let litres = numbers("too-few-trusses", &both(200));
    assert!(litres.iter().all(|litres| (litres - 200.0).abs() < 1e-6), "{litres:?}");
    assert_eq!(verdict("too-few-trusses", &both(200)), MEETS);
    // 120 L each: 80 L on it, as 240 L would bring.
    assert_eq!(verdict("too-few-trusses", &both(240)), BREACH);
    let (alone, shared) = (over_trusses(&[(-150, 0, 240)]), both(240));
    let nodes = numbers("truss-node-overloaded", &shared);
    assert!((nodes[0] - 2.0 * numbers("truss-node-overloaded", &alone)[0]).abs() < 1e-6);
}

#[test]
fn of_trusses_that_bear_unlike_loads_the_hardest_loaded_judges() {
    // 220 L over 100, 500 and 900; 20 L over 500, 900 and 1300; 220 L over 1300, 1700 and 2100.
    let three = over_trusses(&[(-150, 0, 440), (300, 900, 40), (1150, 0, 440)]);
    let litres = numbers("too-few-trusses", &three);
    // 220 / 3 + 20 / 3 = 80 L, times three; the second stands beside both, of 460 L in all.
    assert!(litres.iter().all(|litres| (litres - 240.0).abs() < 1e-6), "{litres:?}");
    assert_eq!(verdict("too-few-trusses", &three), BREACH);
}

#[test]
fn water_that_is_not_told_on_shared_trusses_leaves_open_what_the_rest_does_not_break() {
    let untold = |line_mm: u32| over_trusses(&[(-150, 0, line_mm), (-150, 900, 100)]).replace("water_line: 100", "");
    assert_eq!(verdict("too-few-trusses", &untold(400)), UNKNOWN);
    assert_eq!(verdict("too-few-trusses", &untold(470)), BREACH);
}

#[test]
fn a_cylinder_over_trusses_counts_by_what_it_holds() {
    let with_cylinder = |litres: u32| {
        let text = over_trusses(&[(-150, 0, 230), (-150, 900, 100)]);
        let (before, _) = text.rsplit_once(r#"(id: "cistern-1""#).expect("two cisterns");
        format!(
            r#"{before}], cylinders: [(id: "cylinder", at: (300, 2000), diameter: 450, height: 900, behind: 900,
                capacity: {litres}, empty_mass: 32)]"#
        )
    };
    assert_eq!(verdict("too-few-trusses", &with_cylinder(115)), MEETS);
    assert_eq!(verdict("too-few-trusses", &with_cylinder(120)), BREACH);
}

#[test]
fn a_hair_below_nothing_is_written_without_a_sign() {
    let text = r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500,
            behind: 249.99999999, empty_mass: 16)],
        platforms: [(id: "platform", at: (-150, 2000), length: 1300, depth: 800, behind: 399.99999999,
            bearers: (count: 3, first: 0, spacing: 400, breadth: 47, depth: 100, lie: Along))]"#;
    for rule in ["platform-overhang-too-small", "joists-too-far-apart"] {
        for finding in findings(rule, text) {
            let working = finding.reading.working.join("; ");
            assert!(!working.contains("-0"), "{working}");
        }
    }
}

#[test]
fn a_slab_of_concrete_is_no_board_on_joists() {
    const OF_BOARDS: [&str; 4] =
        ["platform-not-marine-ply", "platform-board-too-thin", "too-few-joists", "joists-too-far-apart"];
    let text = |board: &str| {
        format!(
            r#"building: (joists: (top: 1988, first: 100, spacing: 700, count: 2, breadth: 47, depth: 147, lie: EndOn)),
            platforms: [(id: "platform", at: (0, 2000), length: 1000, depth: 800, board: ({board}))],
            cisterns: [(id: "cistern", role: Storage, at: (200, 2000), length: 600, width: 500, height: 500)]"#
        )
    };
    assert_eq!(OF_BOARDS.map(|rule| verdict(rule, &text("material: Concrete"))), [None; 4]);
    assert_eq!(OF_BOARDS.map(|rule| verdict(rule, &text("material: Chipboard, thickness: 12"))), [BREACH; 4]);
}

/// C24 is stiffer than the table's C16: what the table allows it may span, and beyond that it has to be confirmed.
#[test]
fn stronger_joists_beyond_the_table_are_unknown() {
    let of = |grade: &str, span: &str| {
        let text = include_str!("../cases/joist-span-too-long/breach.loft.ron");
        let text = text.replace("grade: C16, span: 1935", &format!("grade: {grade}, span: {span}"));
        let layout = whole(&text);
        finding(&layout, "joist-span-too-long", "platform")
    };
    for (grade, span, expected) in [
        ("C16", "1935", Verdict::Breach),
        ("C16", "1900", Verdict::Meets),
        ("C24", "1900", Verdict::Meets),
        ("C24", "1935", Verdict::Unknown),
        ("C18", "2500", Verdict::Unknown),
        ("C14", "1900", Verdict::Unknown),
    ] {
        assert_eq!(of(grade, span).judged.verdict, expected, "{grade} over {span}");
    }
    let Have::Untold(find_out) = of("C24", "1935").reading.have else { panic!("it is unknown") };
    assert!(find_out.starts_with("have the span confirmed for C24"), "{find_out}");
}
