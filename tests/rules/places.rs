//! Where what is found is drawn: every feature of a part, by hand.

use loftwright::layout::{Id, Layout};
use loftwright::measure::{Feature, Place, Site};

use super::drawn_from::layout;
use super::judged::findings;

/// Cistern 1000 × 500 at (200, 2000), cylinder 450 × 1200 at (3000, 100), platform of 1400 with an 18 mm board at
/// (0, 2000), joists of 100 deep under 1900, roof from (0, 2500) to (2000, 4500).
fn house() -> Layout {
    layout(
        r#"building: (
            roof: (underside: [(0, 2500), (2000, 4500)]),
            joists: (top: 1900, depth: 100, breadth: 50, spacing: 400, first: 0, count: 5, lie: EndOn),
        ),
        platforms: [(id: "platform", at: (0, 2000), length: 1400, board: (material: MarinePly, thickness: 18))],
        cisterns: [(id: "cistern", role: Storage, at: (200, 2000), length: 1000, height: 500, water_line: 380,
            float_valve: (shank: Left(460), outlet: 440), dip_tube: EndsAt(330),
            connections: [(port: "warning", on: Right(430)), (port: "cold", on: Base(700))])],
        cylinders: [(id: "cylinder", at: (3000, 100), diameter: 450, height: 1200)],
        boilers: [(id: "boiler", at: (5000, 0), length: 400, height: 700)],
        runs: [
            (id: "warning", service: WarningPipe, size: 22, from: Port("cistern", "warning"), to: Open((2200, 2430))),
            (id: "cold", service: ColdDistribution, size: 22, from: Port("cistern", "cold"), via: [(900, 1000)],
                to: Onward((1900, 1000))),
        ]"#,
    )
}

fn found(layout: &Layout, place: &Place) -> Option<(f64, f64)> {
    Site::of(layout).locate(place).map(|point| (point.x, point.y))
}

#[test]
fn every_feature_stands_where_a_tape_would_find_it() {
    let house = house();
    let of = |part: &str, feature: Feature| found(&house, &Place::of(&Id::of(part), feature));
    for (part, feature, x, z) in [
        ("cistern", Feature::Middle, 700.0, 2250.0),
        ("cistern", Feature::Base, 700.0, 2000.0),
        ("cistern", Feature::Top, 700.0, 2500.0),
        ("cistern", Feature::Left, 200.0, 2500.0),
        ("cistern", Feature::Right, 1200.0, 2500.0),
        ("cistern", Feature::WaterLine, 700.0, 2380.0),
        ("cistern", Feature::FloatValveOutlet, 260.0, 2440.0),
        ("cistern", Feature::DipTubeEnd, 1160.0, 2330.0),
        ("cistern", Feature::Port(Id::of("warning")), 1200.0, 2430.0),
        ("cistern", Feature::Invert(Id::of("warning"), 10.1), 1200.0, 2419.9),
        ("cylinder", Feature::Middle, 3225.0, 700.0),
        ("cylinder", Feature::Base, 3225.0, 100.0),
        ("cylinder", Feature::Top, 3225.0, 1300.0),
        ("cylinder", Feature::Left, 3000.0, 700.0),
        ("cylinder", Feature::Right, 3450.0, 700.0),
        ("boiler", Feature::Middle, 5200.0, 350.0),
        ("platform", Feature::Left, 0.0, 2000.0),
        ("platform", Feature::Middle, 700.0, 2000.0),
        ("platform", Feature::Right, 1400.0, 2000.0),
        ("platform", Feature::Timber(400.0), 400.0, 1982.0),
        // 1000 down, then 1000 along: the middle is at the bend.
        ("cold", Feature::Middle, 900.0, 1000.0),
        ("cold", Feature::Along(1500.0), 1400.0, 1000.0),
    ] {
        let (at_x, at_z) = of(part, feature.clone()).unwrap_or_else(|| panic!("{part}: {feature:?} is nowhere"));
        assert!((at_x - x).abs() < 1e-9 && (at_z - z).abs() < 1e-9, "{part}: {feature:?} is at ({at_x}, {at_z})");
    }
    assert_eq!(found(&house, &Place::roof(500.0)), Some((500.0, 3000.0)));
    assert_eq!(found(&house, &Place::roof(2001.0)), None);
    assert_eq!(found(&house, &Place::joist(400.0)), Some((400.0, 1850.0)));
    assert_eq!(of("cylinder", Feature::Port(Id::of("none-such"))), None);
}

#[test]
fn what_reaches_into_a_cistern_reaches_inward_from_either_side() {
    let seen = |change: &dyn Fn(&mut Layout), feature: Feature| {
        let mut house = house();
        change(&mut house);
        found(&house, &Place::of(&Id::of("cistern"), feature)).map(|(x, _)| x)
    };
    let tapping = |text: &str| ron::from_str(text).expect("a tapping");
    let valve_on = |text: &str| {
        let on = tapping(text);
        move |house: &mut Layout| house.cisterns[0].float_valve.as_mut().expect("a float valve").shank = on
    };
    let overflow_on = |text: &str| {
        let on = tapping(text);
        move |house: &mut Layout| house.cisterns[0].connections[0].on = on
    };
    assert_eq!(seen(&valve_on("Right(460)"), Feature::FloatValveOutlet), Some(1140.0));
    assert_eq!(seen(&overflow_on("Left(430)"), Feature::DipTubeEnd), Some(240.0));
    // A standpipe is its own dip tube.
    assert_eq!(seen(&overflow_on("Base(300)"), Feature::DipTubeEnd), Some(500.0));
    assert_eq!(seen(&|house| house.cisterns[0].dip_tube = None, Feature::DipTubeEnd), None);
    assert_eq!(seen(&|house| house.cisterns[0].water_line = None, Feature::WaterLine), None);
}

#[test]
fn a_head_off_the_base_is_drawn_from_the_base() {
    let mut house = house();
    house.cisterns[0].water_line = None;
    house.cisterns[0].connections.push(ron::from_str("(port: \"feed\", on: Right(75))").expect("a connection"));
    let feed =
        "(id: \"feed\", service: ColdFeed, from: Port(\"cistern\", \"feed\"), to: Port(\"cylinder\", \"cold-inlet\"))";
    house.runs.push(ron::from_str(feed).expect("a run"));
    house.cylinders[0].grade = Some(ron::from_str("G3").expect("a grade"));
    let head = findings(&house, "cylinder-head-too-great", "cylinder").swap_remove(0).reading;
    let at: Vec<Option<(f64, f64)>> = head.places.iter().map(|place| found(&house, place)).collect();
    assert_eq!(at, [Some((3225.0, 100.0)), Some((700.0, 2000.0))]);
}
