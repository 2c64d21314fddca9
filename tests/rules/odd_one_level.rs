//! Storage cisterns without a link between them whose outlet pipes meet: their water stands at one level.

use loftwright::measure::Site;
use loftwright::rules::Verdict;
use loftwright::water::trial::valve_stuck;

use super::drawn_from::layout;
use super::judged::{number, verdict};

const LINES: &str = "linked-water-lines-differ";

/// Two cisterns of 0.5 L for each millimetre that stand on one level, with water at 400 and at `line_mm`, overflows at 470
/// (inverts at 459.9), and cold pipes that meet 1 m below; `between` sits in the pipe of the second.
fn two(line_mm: f64, between: &str) -> String {
    format!(
        r#"building: (mains_pressure: 300),
        cisterns: [
            (id: "first", role: Storage, at: (0, 5000), length: 1000, width: 500, height: 600, water_line: 400,
                float_valve: (shank: Left(520), outlet: 520, seat: 3.18),
                connections: [(port: "cold", on: Right(50)), (port: "feed", on: Right(80)),
                    (port: "warning", on: Left(470))]),
            (id: "second", role: Storage, at: (3000, 5000), length: 1000, width: 500, height: 600, water_line: {line_mm},
                float_valve: (shank: Right(560), outlet: 560, seat: 3.18),
                connections: [(port: "cold", on: Left(50)), (port: "warning", on: Right(470))])],
        cylinders: [(id: "cylinder", at: (1000, 1000), diameter: 450, height: 900)],
        outlets: [(id: "basin", kind: Basin, at: (1960, 2000))],
        runs: [
            (id: "feed", service: ColdFeed, material: Copper, size: 22, from: Port("first", "feed"),
                via: [(1100, 5080), (1100, 4000), (900, 4000), (900, 1099)], to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("first", "cold"),
                via: [(2000, 5050)], to: Port("basin", "cold"), fittings: []),
            (id: "other", service: ColdDistribution, material: Copper, size: 22, from: Port("second", "cold"),
                via: [(2500, 5050), (2500, 4050)], to: Tee("cold", 2000), {between}),
            (id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("first", "warning"),
                via: [(-300, 5470)], to: Open((-300, 5200)), fittings: []),
            (id: "second-warning", service: WarningPipe, material: Copper, size: 22, from: Port("second", "warning"),
                via: [(4300, 5470)], to: Open((4300, 5200)), fittings: []),
        ]"#
    )
}

const NOTHING: &str = "fittings: []";
const VALVE: &str = "fittings: [(kind: NonReturnValve, at: 300)]";

#[test]
fn what_their_outlet_pipes_join_is_one_water() {
    let joined = layout(&two(450.0, NOTHING));
    assert_eq!(verdict(&joined, LINES, "first"), Some(Verdict::Breach));
    assert!((number(&joined, LINES, "first") - 50.0).abs() < 1e-9);
    // The water of the second stands 9.9 mm below the overflow of the first, whose own line is 59.9 mm below.
    assert!((number(&joined, "water-line-too-near-overflow", "first") - 9.9).abs() < 1e-9);
    // Up to the lower line: 2 × 0.5 × 400 L.
    assert!((number(&joined, "storage-too-small-for-taps", "first") - 400.0).abs() < 1e-9);
    let alike = layout(&two(400.0, NOTHING));
    assert_eq!(verdict(&alike, LINES, "first"), Some(Verdict::Meets));
}

#[test]
fn a_non_return_valve_or_a_pipe_over_the_water_keeps_them_apart() {
    for text in [two(450.0, VALVE), two(450.0, NOTHING).replace("via: [(2500, 5050),", "via: [(2500, 5600),")] {
        let apart = layout(&text);
        for part in ["first", "second"] {
            assert_eq!(verdict(&apart, LINES, part), None);
        }
        assert!((number(&apart, "water-line-too-near-overflow", "first") - 59.9).abs() < 1e-9);
    }
}

#[test]
fn whether_a_valve_keeps_them_apart_may_not_be_told() {
    let untold = layout(&two(450.0, ""));
    assert_eq!(verdict(&untold, LINES, "first"), Some(Verdict::Unknown));
    let alike = layout(&two(400.0, ""));
    assert_eq!(verdict(&alike, LINES, "first"), Some(Verdict::Meets));
}

#[test]
fn a_float_valve_that_sticks_fills_both() {
    let joined = layout(&two(400.0, NOTHING));
    let apart = layout(&two(400.0, VALVE));
    let first_s = |layout: &loftwright::layout::Layout| {
        valve_stuck(&Site::of(layout), &layout.cisterns[0]).expect("told").events[0].time_s
    };
    assert!((first_s(&joined) / first_s(&apart) - 2.0).abs() < 1e-6);
}

const WITHOUT_INLET: &str = "linked-cistern-without-inlet";
const OPEN: &str = "fittings: []";
/// Lets water pass from the first to the second alone.
const ONE_WAY: &str = "fittings: [(kind: NonReturnValve, at: 500)]";

/// The same two, each drawn from where `second_cold` draws from the second as well, with a link from the first to the
/// second; both have float valves unless one is taken away.
fn linked(lines_mm: [f64; 2], link: &str, second_cold: &str) -> String {
    let text = two(lines_mm[1], NOTHING).replacen("water_line: 400", &format!("water_line: {}", lines_mm[0]), 1);
    let from = text.find("(id: \"other\"").expect("the cold pipe of the second");
    let to = text.find("(id: \"warning\"").expect("the warning pipe");
    let mut runs = format!(
        r#"(id: "link", service: Link, material: Copper, size: 28, from: Port("first", "link"), to: Port("second", "link"),
            via: [], {link}),"#
    );
    runs.push_str(second_cold);
    format!("{}{runs}{}", &text[..from], &text[to..])
        .replace(r#"(port: "feed","#, r#"(port: "link", on: Right(60)), (port: "feed","#)
        .replace(
            r#"(port: "cold", on: Left(50)), (port: "warning", on: Right(470))"#,
            r#"(port: "link", on: Left(60)), (port: "cold", on: Base(900)), (port: "warning", on: Right(470))"#,
        )
}

const SECOND_DRAWN: &str = r#"(id: "second-cold", service: ColdDistribution, material: Copper, size: 22,
    from: Port("second", "cold"), to: Onward((3900, 0)), fittings: []),"#;
const VALVE_OF_SECOND: &str = "float_valve: (shank: Right(560), outlet: 560, seat: 3.18),";

#[test]
fn what_a_valve_in_the_link_shuts_off_is_no_store_of_the_taps() {
    let stored_l =
        |link: &str| number(&layout(&linked([400.0, 400.0], link, "")), "storage-too-small-for-taps", "first");
    assert!((stored_l(OPEN) - 400.0).abs() < 1e-9);
    // The second fills and gives nothing back: 0.5 × 400 L.
    assert!((stored_l(ONE_WAY) - 200.0).abs() < 1e-9);
    // Drawn from there as well, both give.
    let both = layout(&linked([400.0, 400.0], ONE_WAY, SECOND_DRAWN));
    assert!((number(&both, "storage-too-small-for-taps", "first") - 400.0).abs() < 1e-9);
}

#[test]
fn water_lines_behind_a_valve_in_the_link_may_be_higher_and_not_lower() {
    let higher_behind = layout(&linked([400.0, 450.0], ONE_WAY, SECOND_DRAWN));
    assert_eq!(verdict(&higher_behind, LINES, "first"), None);
    assert_eq!(verdict(&higher_behind, LINES, "second"), None);
    // Inverts of the overflows at 459.9, each over its own line.
    assert!((number(&higher_behind, "water-line-too-near-overflow", "first") - 59.9).abs() < 1e-9);
    assert!((number(&higher_behind, "water-line-too-near-overflow", "second") - 9.9).abs() < 1e-9);
    assert!((number(&higher_behind, "storage-too-small-for-taps", "first") - 425.0).abs() < 1e-9);
    // The first fills the second past its line.
    let lower_behind = layout(&linked([450.0, 400.0], ONE_WAY, SECOND_DRAWN));
    assert_eq!(verdict(&lower_behind, LINES, "first"), Some(Verdict::Breach));
    assert!((number(&lower_behind, LINES, "first") - 50.0).abs() < 1e-9);
    assert!((number(&lower_behind, "water-line-too-near-overflow", "second") - 9.9).abs() < 1e-9);
    assert!((number(&lower_behind, "storage-too-small-for-taps", "first") - 400.0).abs() < 1e-9);
}

#[test]
fn water_goes_on_through_a_valve_in_the_link_or_is_kept_back_by_it() {
    // In by the first alone and out by the second alone.
    let behind = |link: &str| {
        let text = linked([400.0, 400.0], link, SECOND_DRAWN).replace(VALVE_OF_SECOND, "");
        let from = text.find("(id: \"cold\"").expect("the cold pipe");
        let to = text.find("(id: \"link\"").expect("the link");
        let text = format!("{}{}", &text[..from], &text[to..]);
        let from = text.find("(id: \"feed\"").expect("the feed");
        let to = text.find("(id: \"link\"").expect("the link");
        let text = format!("{}{}", &text[..from], &text[to..]);
        let holes = [r#"(port: "cold", on: Right(50)), "#, r#"(port: "feed", on: Right(80)),"#];
        layout(&holes.iter().fold(text, |text, hole| text.replace(hole, "")))
    };
    let with_the_way = behind(ONE_WAY);
    let mut against = with_the_way.clone();
    let link = against.runs.iter_mut().find(|run| run.id.as_str() == "link").expect("a link");
    std::mem::swap(&mut link.from, &mut link.to);
    for part in ["first", "second"] {
        assert_eq!(verdict(&with_the_way, WITHOUT_INLET, part), Some(Verdict::Meets), "{part}");
        assert_eq!(verdict(&against, WITHOUT_INLET, part), Some(Verdict::Breach), "{part}");
    }
    // Nothing fills the second then, and its own float valve is asked for.
    assert_eq!(verdict(&with_the_way, "float-valve-wrong-pattern", "second"), None);
    assert_eq!(verdict(&against, "float-valve-wrong-pattern", "second"), Some(Verdict::Unknown));
}

#[test]
fn a_float_valve_that_sticks_fills_through_a_valve_in_the_link_one_way() {
    let one_way = layout(&linked([400.0, 400.0], ONE_WAY, SECOND_DRAWN));
    let open = layout(&linked([400.0, 400.0], OPEN, SECOND_DRAWN));
    let overflows_at_s = |layout: &loftwright::layout::Layout, number: usize| {
        valve_stuck(&Site::of(layout), &layout.cisterns[number]).expect("told").events[0].time_s
    };
    assert!((overflows_at_s(&one_way, 0) / overflows_at_s(&open, 0) - 1.0).abs() < 1e-9);
    assert!((overflows_at_s(&one_way, 1) / overflows_at_s(&open, 1) - 0.5).abs() < 1e-6);
}
