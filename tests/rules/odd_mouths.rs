//! Where pipes let air in and water out: vents that are led into a cistern by a hole, warning pipes that part.

use loftwright::finding::Finding;
use loftwright::layout::Layout;
use loftwright::measure::Have;
use loftwright::rules::Verdict;

use super::drawn_from::layout;
use super::judged::{findings, of_rule, verdicts};
use super::odd_vents::{changed, sound};

const VENT: &str = "from: Tee(\"draw-off\", 625.1), via: [(3650, 6110), (2300, 6125)], to: Open((2300, 6000))";
const OF_THE_VENT: [&str; 6] =
    ["vent-valved", "vent-ends-elsewhere", "vent-too-low", "vent-mouth-too-near", "vent-falls", "vent-draws-air"];

/// The sound example with its vent led into the cistern by a hole.
fn by_hole(on: &str, via: &str, more: &[(&str, &str)]) -> Layout {
    let hole = format!("(port: \"cold-feed\", on: Right(80)), (port: \"air\", on: {on}),");
    let vent = format!("from: Tee(\"draw-off\", 625.1), via: [{via}], to: Port(\"cistern\", \"air\")");
    let led = [("(port: \"cold-feed\", on: Right(80)),", hole.as_str()), (VENT, &vent)];
    sound(&[&led, more].concat())
}

#[test]
fn a_vent_may_end_in_a_hole_of_its_cistern_above_the_water() {
    // Through the lid, and by the side 150 mm over the water and 50 mm over the float valve's outlet.
    let led = [
        by_hole("Top(800)", "(3650, 6110), (2300, 6125)", &[]),
        by_hole("Right(560)", "(3650, 6110), (2500, 6125), (2500, 5838)", &[]),
    ];
    for layout in led {
        for rule in OF_THE_VENT {
            assert_eq!(verdicts(&layout, rule, "open-vent"), [Verdict::Meets], "{rule}");
        }
        assert_eq!(verdicts(&layout, "pipe-holds-air", "draw-off"), [Verdict::Meets]);
    }
}

#[test]
fn a_vent_under_the_water_of_its_cistern_lets_no_air_in() {
    // Level with the hole, 110 mm under the water; and over the top and down again to it.
    let level = by_hole("Right(300)", "(3650, 5578)", &[]);
    let over = by_hole("Right(300)", "(3650, 6110), (2500, 6125), (2500, 5578)", &[]);
    assert_eq!(verdicts(&level, "vent-too-low", "open-vent"), [Verdict::Breach]);
    for layout in [level, over] {
        let found = findings(&layout, "vent-ends-elsewhere", "open-vent");
        assert_eq!(found[0].judged.verdict, Verdict::Breach);
        assert_eq!(found[0].have_words(), "an open end under the water of its cistern");
        // Air that rises in it gets away through the water.
        assert_eq!(verdicts(&layout, "pipe-holds-air", "draw-off"), [Verdict::Meets]);
    }
}

#[test]
fn where_the_water_line_is_not_told_a_hole_may_be_under_it() {
    let layout = by_hole("Right(300)", "(3650, 6110), (2500, 6125), (2500, 5578)", &[("water_line: 410,", "")]);
    assert_eq!(verdicts(&layout, "vent-ends-elsewhere", "open-vent"), [Verdict::Unknown]);
}

#[test]
fn a_vent_of_the_heating_is_asked_where_its_hole_is_as_well() {
    let by_hole = |on: &str, via: &str| {
        let vent = format!("via: [(4150, 1905), (4150, 6050), {via}], to: Port(\"expansion-cistern\", \"air\")");
        let hole = format!("(port: \"feed\", on: Left(40)), (port: \"air\", on: {on})");
        changed(
            "feed_and_expansion",
            &[
                ("via: [(4150, 1905), (4150, 6050), (5200, 6060)], to: Open((5200, 5950))", &vent),
                ("(port: \"feed\", on: Left(40))", &hole),
            ],
        )
    };
    let through_lid = by_hole("Top(200)", "(5250, 6060)");
    for rule in ["vent-ends-elsewhere", "primary-vent-valved", "primary-vent-too-low", "vent-falls"] {
        assert_eq!(verdicts(&through_lid, rule, "primary-vent"), [Verdict::Meets], "{rule}");
    }
    let under_water = by_hole("Right(60)", "(5560, 6060), (5560, 5338)");
    assert_eq!(verdicts(&under_water, "vent-ends-elsewhere", "primary-vent"), [Verdict::Breach]);
}

#[test]
fn of_a_warning_pipe_that_parts_each_open_end_is_asked_whichever_leg_is_drawn_on() {
    let whole = "from: Port(\"cistern\", \"warning\"), via: [(1220, 5722), (1220, 5270)], to: Open((-150, 5230)),";
    let branch = |branch: &str| {
        format!(
            "runs: [(id: \"branch\", service: WarningPipe, material: Copper, size: 22, from: Tee(\"warning-pipe\", 100),
            {branch}, fittings: [], insulation: [], screen: Mesh(0.65)),"
        )
    };
    let hidden = branch("to: Open((1400, 5600)), discharge: Hidden");
    let seen = branch("via: [(1220, 5722), (1220, 5270)], to: Open((-150, 5230)), discharge: Conspicuous");
    let hidden_leg = "from: Port(\"cistern\", \"warning\"), via: [(1400, 5725.9)], to: Open((1400, 5600)),";
    let drawn = [
        sound(&[("runs: [", &hidden)]),
        sound(&[(whole, hidden_leg), ("discharge: Conspicuous", "discharge: Hidden"), ("runs: [", &seen)]),
    ];
    for layout in drawn {
        let mut found = [
            verdicts(&layout, "warning-pipe-hidden", "warning-pipe"),
            verdicts(&layout, "warning-pipe-hidden", "branch"),
        ];
        found.sort_unstable();
        assert_eq!(found, [vec![Verdict::Breach], vec![Verdict::Meets]]);
        assert_eq!(verdicts(&layout, "warning-pipes-coupled", "warning-pipe"), [Verdict::Meets]);
    }
}

#[test]
fn a_warning_pipe_that_rises_no_more_than_can_be_written_lies_level() {
    let rising = |by_mm: f64| {
        let way = format!("via: [(1220, {}), (1220, 5270)], to: Open((-150, 5230)),", 5728.0 + by_mm);
        sound(&[("via: [(1220, 5722), (1220, 5270)], to: Open((-150, 5230)),", &way)])
    };
    assert_eq!(verdicts(&rising(-0.1), "warning-pipe-rises", "warning-pipe"), [Verdict::Meets]);
    assert_eq!(verdicts(&rising(0.001), "warning-pipe-rises", "warning-pipe"), [Verdict::Marginal]);
    assert_eq!(verdicts(&rising(0.1), "warning-pipe-rises", "warning-pipe"), [Verdict::Breach]);
}

#[test]
fn a_loose_warning_pipe_is_judged_alike_from_whichever_end_and_in_however_many_runs_it_is_drawn() {
    let loose = |runs: &str| {
        let findings = of_rule(&layout(&format!("runs: [{runs}]")), "warning-pipe-rises");
        let rise_mm = |finding: &Finding| match finding.reading.have {
            Have::Amount(rise, _) => rise.value,
            _ => f64::NAN,
        };
        findings.iter().map(rise_mm).collect::<Vec<f64>>()
    };
    // From 5400 over 5460 down to 2454, or the other way: water would come from the higher end.
    let drawn = [
        r#"(id: "a", service: WarningPipe, from: Open((3000, 2454)), via: [(5800, 5460)], to: Open((7300, 5400)))"#,
        r#"(id: "a", service: WarningPipe, from: Open((7300, 5400)), via: [(5800, 5460)], to: Open((3000, 2454)))"#,
        r#"(id: "a", service: WarningPipe, from: Open((3000, 2454)), to: Tee("b", 0)),
        (id: "b", service: WarningPipe, from: Open((5800, 5460)), to: Open((7300, 5400)))"#,
    ];
    for runs in drawn {
        assert_eq!(loose(runs), [60.0], "{runs}");
    }
}
