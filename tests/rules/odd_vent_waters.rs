//! Vents that are called otherwise than the water they are joined to, and vents off the wrong pipe.

use super::judged::{BREACH, MEETS, UNKNOWN};
use super::judged_text::verdict;

const PRIMARY: &str = "primary-vent-over-storage";
const STORED: &str = "vent-over-feed-and-expansion";
const MISSING: &str = "open-vent-missing";

/// Over the storage cistern, and over the one for feed and expansion.
const OVER_STORAGE: &str = "via: [(4050, 6600), (500, 6610)], to: Open((500, 6450))";
const OVER_EXPANSION: &str = "via: [(4050, 6600), (6000, 6610)], to: Open((6000, 6450))";

/// A cylinder with a coil below its storage cistern, a boiler with a feed-and-expansion cistern; one vent more.
fn house(service: &str, from: &str, way: &str) -> String {
    format!(
        r#"cisterns: [
            (id: "cistern", role: Storage, at: (0, 5600), length: 1000, height: 600, water_line: 400,
                connections: [(port: "feed", on: Right(80))]),
            (id: "expansion", role: FeedAndExpansion, at: (5800, 5600), length: 500, height: 300, water_line: 100,
                connections: [(port: "feed", on: Left(40))])],
        cylinders: [(id: "cylinder", at: (3000, 1900), diameter: 450, height: 900, coil: true)],
        boilers: [(id: "boiler", at: (4000, 0), length: 400, height: 700)],
        outlets: [(id: "bath", kind: Bath, at: (2500, 1500))],
        runs: [
            (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), via: [(2500, 5680), (2500, 1999)],
                to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "draw-off", service: HotDistribution, from: Port("cylinder", "draw-off"), via: [(3225, 3000)],
                to: Port("bath", "hot"), fittings: []),
            (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), via: [(4120, 2350)],
                to: Port("cylinder", "coil-flow"), fittings: [(kind: Pump, at: 1200)]),
            (id: "return", service: PrimaryReturn, from: Port("cylinder", "coil-return"), via: [(4280, 2080)],
                to: Port("boiler", "return"), fittings: []),
            (id: "primary-feed", service: PrimaryFeed, from: Port("expansion", "feed"),
                via: [(5000, 5640), (5000, 1120)], to: Tee("flow", 420), fittings: []),
            (id: "vent", service: {service}, from: {from}, {way}, fittings: []),
        ]"#
    )
}

#[test]
fn a_vent_is_judged_by_its_water_whatever_it_is_called() {
    for service in ["OpenVent", "PrimaryVent"] {
        let of_heating = |way| house(service, r#"Tee("flow", 300)"#, way);
        assert_eq!(verdict(PRIMARY, &of_heating(OVER_STORAGE)), BREACH, "{service}");
        assert_eq!(verdict(PRIMARY, &of_heating(OVER_EXPANSION)), MEETS, "{service}");
        assert_eq!(verdict(STORED, &of_heating(OVER_EXPANSION)), None, "{service}");
        let of_cylinder = |way| house(service, r#"Tee("draw-off", 100)"#, way);
        assert_eq!(verdict(STORED, &of_cylinder(OVER_EXPANSION)), BREACH, "{service}");
        assert_eq!(verdict(STORED, &of_cylinder(OVER_STORAGE)), MEETS, "{service}");
        assert_eq!(verdict(PRIMARY, &of_cylinder(OVER_STORAGE)), None, "{service}");
    }
}

#[test]
fn a_vent_of_which_nobody_knows_the_water_is_judged_by_its_name() {
    let loose = |service, way| house(service, "Onward((4050, 3000))", way);
    assert_eq!(verdict(PRIMARY, &loose("PrimaryVent", OVER_STORAGE)), BREACH);
    assert_eq!(verdict(STORED, &loose("OpenVent", OVER_EXPANSION)), BREACH);
}

#[test]
fn a_vent_off_another_pipe_is_none_of_the_cylinder() {
    let from = |from| house("OpenVent", from, OVER_STORAGE);
    assert_eq!(verdict(MISSING, &from(r#"Tee("draw-off", 100)"#)), MEETS);
    for wrong in [r#"Tee("cold-feed", 2500)"#, r#"Tee("flow", 300)"#, r#"Port("cylinder", "coil-flow")"#] {
        assert_eq!(verdict(MISSING, &from(wrong)), BREACH, "{wrong}");
    }
    for loose in ["Open((4050, 3000))", "Onward((4050, 3000))"] {
        assert_eq!(verdict(MISSING, &from(loose)), UNKNOWN, "{loose}");
    }
}
