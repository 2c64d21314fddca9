//! Which stored water the water of a heating is held against: that behind the coil to which its pipes lead, and no other
//! that the drawing shows; and whose water a vent holds.

use loftwright::rules::Verdict;

use super::judged::{BREACH, MEETS, UNKNOWN, findings, of_rule, verdicts};
use super::judged_text::{measured, verdict};
use super::odd_vents::changed;

const HIGH: &str = "feed-and-expansion-too-high";

/// A heating with its feed-and-expansion cistern, water at 4400, and a cylinder; everything at so much aside, its names
/// ending alike.
fn heating(name: &str, aside_mm: i32, coil: &str, to_cylinder: (&str, &str)) -> (String, String, String, String) {
    let at = |mm: i32| aside_mm + mm;
    let (flow, back) = to_cylinder;
    (
        format!(
            r#"(id: "expansion{name}", role: FeedAndExpansion, at: ({}, 4300), length: 400, height: 300, water_line: 100,
                connections: [(port: "feed", on: Left(50))]),"#,
            at(4000)
        ),
        format!(r#"(id: "cylinder{name}", at: ({}, 1000), diameter: 450, height: 900, {coil}),"#, at(1500)),
        format!(r#"(id: "boiler{name}", at: ({}, 0), length: 400, height: 600),"#, at(2500)),
        format!(
            r#"(id: "flow{name}", service: PrimaryFlow, from: Port("boiler{name}", "flow"), to: {flow}, fittings: [(kind: Pump, at: 20)]),
            (id: "return{name}", service: PrimaryReturn, from: {back}, to: Port("boiler{name}", "return"), fittings: []),
            (id: "feed{name}", service: PrimaryFeed, from: Port("expansion{name}", "feed"), to: Tee("return{name}", 50), fittings: []),"#
        ),
    )
}

/// A storage cistern with its base at so much, water 400 over it, and the cold feed of a cylinder from it.
fn store(name: &str, aside_mm: i32, base_mm: i32, feeds: Option<&str>) -> (String, String) {
    let feed = feeds.map(|cylinder| {
        format!(
            r#"(id: "cold-feed{name}", service: ColdFeed, from: Port("cistern{name}", "feed"), to: Port("{cylinder}", "cold-inlet"), fittings: []),"#
        )
    });
    let cistern = format!(
        r#"(id: "cistern{name}", role: Storage, at: ({aside_mm}, {base_mm}), length: 1000, height: 500, water_line: 400,
            connections: [(port: "feed", on: Right(50))]),"#
    );
    (cistern, feed.unwrap_or_default())
}

fn house(heatings: &[(String, String, String, String)], stores: &[(String, String)]) -> String {
    let all =
        |part: fn(&(String, String, String, String)) -> &String| heatings.iter().map(part).cloned().collect::<String>();
    let cisterns: String = stores.iter().map(|(cistern, _)| cistern.clone()).collect();
    let feeds: String = stores.iter().map(|(_, feed)| feed.clone()).collect();
    format!(
        "cisterns: [{cisterns}{}], cylinders: [{}], boilers: [{}], runs: [{}{feeds}]",
        all(|heating| &heating.0),
        all(|heating| &heating.1),
        all(|heating| &heating.2),
        all(|heating| &heating.3)
    )
}

const COIL: (&str, &str) = (r#"Port("cylinder", "coil-flow")"#, r#"Port("cylinder", "coil-return")"#);
const RADIATORS: (&str, &str) = ("Onward((5000, 700))", "Onward((5000, 650))");

#[test]
fn stored_water_that_lies_behind_no_coil_is_not_asked_after() {
    let coil = heating("", 0, "coil: true", COIL);
    let behind = store("", 0, 4100, Some("cylinder"));
    // 4400 against 4500, and not against the 3000 of what feeds other taps.
    let house = house(&[coil], &[behind, store("-of-wc", -2000, 2600, None)]);
    assert_eq!(measured(HIGH, &house), [(vec!["expansion".to_owned(), "cistern".to_owned()], -100.0)]);
}

#[test]
fn each_house_is_held_against_its_own_stored_water() {
    let second = (r#"Port("cylinder-b", "coil-flow")"#, r#"Port("cylinder-b", "coil-return")"#);
    let heatings = [heating("", 0, "coil: true", COIL), heating("-b", 8000, "coil: true", second)];
    let house = house(&heatings, &[store("", 0, 4100, Some("cylinder")), store("-b", 8000, 3900, Some("cylinder-b"))]);
    let mut found = measured(HIGH, &house);
    found.sort_by(|a, b| a.1.total_cmp(&b.1));
    let parts = |expansion: &str, cistern: &str| vec![expansion.to_owned(), cistern.to_owned()];
    assert_eq!(found, [(parts("expansion", "cistern"), -100.0), (parts("expansion-b", "cistern-b"), 100.0)]);
}

#[test]
fn where_no_coil_parts_the_waters_nothing_is_asked() {
    let of = |coil: &str, pipes| {
        verdict(HIGH, &house(&[heating("", 0, coil, pipes)], &[store("", 0, 3900, Some("cylinder"))]))
    };
    // Radiators alone, and a cylinder that an immersion heater heats.
    assert_eq!(of("coil: false", RADIATORS), None);
    // Drawn all round without the cylinder, whatever is in that.
    assert_eq!(of("coil: true", (r#"Tee("return", 0)"#, "Open((2700, 900))")), None);
    assert_eq!(of("coil: true", COIL), BREACH);
    // Where the pipes go on, they may come to the coil.
    assert_eq!(of("coil: true", RADIATORS), BREACH);
}

#[test]
fn where_nobody_has_drawn_which_store_lies_behind_the_coil_all_have_to_agree() {
    let of = |bases_mm: [i32; 2]| {
        let stores = [store("", 0, bases_mm[0], None), store("-b", -2000, bases_mm[1], None)];
        verdict(HIGH, &house(&[heating("", 0, "coil: true", COIL)], &stores))
    };
    assert_eq!([of([4000, 4100]), of([3900, 4100]), of([3900, 3800])], [MEETS, UNKNOWN, BREACH]);
}

/// One boiler heats two coils, and of the second no cold feed is drawn.
#[test]
fn what_lies_behind_a_coil_without_a_feed_may_be_any_stored_water() {
    let of = |bases_mm: [i32; 2], second: Option<&str>| {
        let mut first = heating("", 0, "coil: true", COIL);
        first.1 += r#"(id: "cylinder-b", at: (500, 1000), diameter: 450, height: 900, coil: true),"#;
        first.3 += r#"(id: "to-b", service: PrimaryFlow, from: Tee("flow", 60), to: Port("cylinder-b", "coil-flow"), fittings: []),
            (id: "from-b", service: PrimaryReturn, from: Port("cylinder-b", "coil-return"), to: Tee("return", 60), fittings: []),"#;
        let stores = [store("", 0, bases_mm[0], Some("cylinder")), store("-b", -2000, bases_mm[1], second)];
        verdict(HIGH, &house(&[first], &stores))
    };
    // Water at 4400 in the heating, and at 400 over each base.
    assert_eq!([of([4100, 3900], None), of([4100, 4050], None), of([4100, 4200], None)], [UNKNOWN, MEETS, MEETS]);
    assert_eq!([of([3900, 3800], None), of([3900, 4100], None)], [BREACH, BREACH]);
    assert_eq!([of([4100, 3900], Some("cylinder-b")), of([4100, 4200], Some("cylinder-b"))], [BREACH, MEETS]);
}

#[test]
fn the_vent_of_a_heating_that_is_wrongly_fed_from_stored_water_is_no_hot_water_vent() {
    let from_storage = changed(
        "feed_and_expansion",
        &[(
            r#"from: Port("expansion-cistern", "feed"), via: [(4700, 5318)"#,
            r#"from: Tee("cold-feed", 800), via: [(4700, 4700)"#,
        )],
    );
    assert!(findings(&from_storage, "vent-over-feed-and-expansion", "primary-vent").is_empty());
    assert_eq!(verdicts(&from_storage, "primary-vent-over-storage", "primary-vent"), [Verdict::Meets]);
    assert_eq!(verdicts(&from_storage, "vent-ends-elsewhere", "primary-vent"), [Verdict::Unknown]);
    assert!(of_rule(&from_storage, "primary-joins-stored").iter().any(|found| found.judged.verdict == Verdict::Breach));
}
