//! What must not hang on the order in which a file lists its parts, or on how exactly a tee is written.

use loftwright::finding::{Finding, Findings};
use loftwright::layout::{Id, Layout};
use loftwright::measure::{Feature, Have, Place, Site};
use loftwright::rules::Verdict;

use super::drawn_from::layout;
use super::judged_text::verdict;

/// Of each finding of a rule its parts and its number, in the order of their names.
fn found(layout: &Layout, rule: &str) -> Vec<(Vec<String>, Option<f64>)> {
    let number = |finding: &Finding| match finding.reading.have {
        Have::Amount(value, _) => Some((value.value * 10.0).round() / 10.0),
        _ => None,
    };
    let of_rule = |finding: &&Finding| finding.rule.id == rule;
    let parts = |finding: &Finding| finding.reading.parts.iter().map(ToString::to_string).collect::<Vec<String>>();
    let all = Findings::of(&Site::of(layout));
    let mut found: Vec<_> = all.iter().filter(of_rule).map(|finding| (parts(finding), number(finding))).collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found
}

/// A main of 22 mm that dips to 4792 at (2000, 4792) and rises 8 mm over 1000 to its end, where a branch of 15 mm falls to a
/// basin: air at that joint has to go 8 mm down. The tee is so far along the main; either of the two comes first.
fn humped(tee_mm: f64) -> [String; 2] {
    let main = r#"(id: "main", service: ColdDistribution, material: Copper, size: 22, from: Port("cistern", "cold"),
        via: [(1500, 5050), (2000, 4792), (3000, 4800)], to: Port("sink", "cold"), fittings: []),"#;
    let branch = format!(
        r#"(id: "branch", service: ColdDistribution, material: Copper, size: 15, from: Tee("main", {tee_mm}),
        via: [(3040, 4700)], to: Port("basin", "cold"), fittings: []),"#
    );
    [format!("{main}{branch}"), format!("{branch}{main}")].map(|runs| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1000, height: 500, water_line: 400,
            connections: [(port: "cold", on: Right(50))])],
        outlets: [(id: "basin", kind: Basin, at: (3100, 900)), (id: "sink", kind: Sink, at: (4000, 900))],
        runs: [{runs}]"#
        )
    })
}

#[test]
fn air_at_a_joint_belongs_to_all_pipes_that_meet_there() {
    const RULE: &str = "pipe-holds-air";
    // 500 + √(500² + 258²) + √(1000² + 8²).
    let tee_mm = 500.0 + 500.0_f64.hypot(258.0) + 1000.0_f64.hypot(8.0);
    let pockets = |text: &str| found(&layout(text), RULE);
    let [main_first, branch_first] = humped(tee_mm);
    let whole = pockets(&main_first);
    // 8 mm are more than half of 13.6, and less than half of 20.2: the narrower pipe is closed.
    assert_eq!(
        whole,
        [
            (vec!["branch".to_owned(), "main".to_owned()], Some(8.0)),
            (vec!["main".to_owned(), "branch".to_owned()], Some(8.0)),
        ]
    );
    assert_eq!(verdict(RULE, &main_first), Some(loftwright::rules::Verdict::Breach));
    assert_eq!(pockets(&branch_first), whole);
    for beside_mm in [-0.4, -0.04, 0.04, 0.4] {
        assert_eq!(
            humped(tee_mm + beside_mm).map(|text| pockets(&text)),
            [whole.clone(), whole.clone()],
            "{beside_mm}"
        );
    }
}

#[test]
fn of_linked_cisterns_alike_the_first_by_name_is_told_of() {
    let cistern = |id: &str, at_mm: u32| {
        format!(
            r#"(id: "{id}", role: Storage, at: ({at_mm}, 3000), length: 1000, height: 500, water_line: 400,
                float_valve: (shank: Left(450)), connections: [(port: "link", on: Right(50))]),"#
        )
    };
    let house = |cisterns: String| {
        layout(&format!(
            r#"cisterns: [{cisterns}
                (id: "expansion", role: FeedAndExpansion, at: (5000, 2900), length: 400, height: 300, water_line: 100)],
            runs: [(id: "link", service: Link, from: Port("a", "link"), to: Port("b", "link"))]"#
        ))
    };
    let (a, b) = (cistern("a", 0), cistern("b", 2000));
    for cisterns in [format!("{a}{b}"), format!("{b}{a}")] {
        let found = found(&house(cisterns), "feed-and-expansion-too-high");
        assert_eq!(found, [(vec!["expansion".to_owned(), "a".to_owned()], Some(-400.0))]);
    }
}

#[test]
fn of_low_places_alike_the_first_by_name_is_told_of() {
    let dip = |id: &str, tap: &str, x_mm: u32, from: &str| {
        format!(
            r#"(id: "{id}", service: ColdDistribution, from: {from}, via: [({x_mm}, 1000)], to: Port("{tap}", "cold"),
                fittings: []),"#
        )
    };
    let house = |runs: String| {
        layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1000, height: 500, water_line: 400,
                connections: [(port: "cold", on: Base(500))])],
            outlets: [(id: "one", kind: Basin, at: (2000, 2000)), (id: "two", kind: Basin, at: (4000, 2000))],
            runs: [(id: "top", service: ColdDistribution, from: Port("cistern", "cold"), to: Open((500, 3000)), fittings: []),
                {runs}]"#
        ))
    };
    let (one, two) = (dip("a", "one", 1960, r#"Tee("top", 1800)"#), dip("b", "two", 3960, r#"Tee("top", 1800)"#));
    let of = |runs: String| found(&house(runs), "distribution-without-drain");
    let forth = of(format!("{one}{two}"));
    assert_eq!(forth.len(), 1);
    assert_eq!(forth, of(format!("{two}{one}")));
}

/// A main of 3000 mm on the float valve, then 800 mm of a warning pipe, with these fittings.
fn fitted(riser: &str, warning: &str) -> Layout {
    layout(&format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1000, height: 500, water_line: 400,
            float_valve: (shank: Left(450)), connections: [(port: "warning", on: Right(430))])],
        runs: [
            (id: "riser", service: RisingMain, from: Onward((0, 2450)), to: Port("cistern", "inlet"), fittings: [{riser}]),
            (id: "warning", service: WarningPipe, from: Port("cistern", "warning"), to: Open((1800, 5430)),
                fittings: [{warning}])]"#
    ))
}

#[test]
fn what_is_told_beyond_the_end_of_its_pipe_counts_as_at_that_end() {
    let away_mm = |at: &str| {
        let riser = format!("(kind: ServiceValve, at: {at})");
        found(&fitted(&riser, ""), "float-valve-service-valve-too-far")[0].1
    };
    assert_eq!(away_mm("2600"), Some(400.0));
    assert_eq!(away_mm("3000"), Some(0.0));
    assert_eq!(away_mm("4000"), Some(0.0));
}

#[test]
fn the_first_valve_on_the_way_is_marked_whichever_the_file_lists_first() {
    let (near, far) = ("(kind: GateValve, at: 100)", "(kind: GateValve, at: 700)");
    for warning in [format!("{near}, {far}"), format!("{far}, {near}")] {
        let all = fitted("", &warning);
        let findings = Findings::of(&Site::of(&all));
        let valved = findings.iter().find(|finding| finding.rule.id == "warning-pipe-valved").expect("it is asked");
        let first = Place::of(&Id::of("warning"), Feature::Along(100.0));
        assert_eq!(valved.reading.places.last(), Some(&first), "{warning}");
    }
}

#[test]
fn an_exact_edge_is_decided_alike_wherever_the_drawing_stands() {
    let verdict_of = |text: String, rule: &str| {
        let all = layout(&text);
        let findings = Findings::of(&Site::of(&all));
        findings.iter().filter(|finding| finding.rule.id == rule).map(|finding| finding.judged.verdict).min()
    };
    for aside_mm in [0.0, 0.1, 0.3, 33.3, -2999.9, 1234.7] {
        let at = |x_mm: f64, z_mm: f64| format!("({}, {})", tenths(x_mm + aside_mm), tenths(z_mm + aside_mm));
        // A metre of pipe is drawn, and no valve in it.
        let pipe = |end_mm: f64, fittings: &str| {
            format!(
                r#"cisterns: [(id: "cistern", role: Storage, at: {}, length: 1000, height: 500, connections: [(port: "cold", on: Right(50))])],
                runs: [(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Onward({}), fittings: [{fittings}])]"#,
                at(0.0, 2000.0),
                at(end_mm, 2050.0)
            )
        };
        let none = pipe(2000.0, "");
        assert_eq!(verdict_of(none, "outlet-without-service-valve"), Some(Verdict::Breach), "{aside_mm}");
        // One is told that it is there, and too far off.
        let far = layout(&pipe(2500.0, "(kind: GateValve, at: 1040)"));
        let findings = Findings::of(&Site::of(&far));
        let far = findings.iter().find(|finding| finding.rule.id == "outlet-without-service-valve").expect("asked");
        assert_eq!(far.have_words(), "a service valve 1040 mm off, and none within 1000 mm", "{aside_mm}");
        // A drain cock so far above the low place as it may be.
        let trap = |cock_mm: f64| {
            format!(
                r#"cisterns: [(id: "cistern", role: Storage, at: {}, length: 1000, height: 500, water_line: 400,
                    connections: [(port: "cold", on: Right(50))])],
                outlets: [(id: "tap", kind: Basin, at: {})],
                runs: [(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), via: [{}, {}], to: Port("tap", "cold"),
                    fittings: [(kind: DrainCock, at: {cock_mm})])]"#,
                at(0.0, 5000.0),
                at(3000.0, 3000.0),
                at(2000.0, 5050.0),
                at(2000.0, 1000.0)
            )
        };
        let drained = |cock_mm: f64| verdict_of(trap(cock_mm), "distribution-without-drain");
        assert_eq!(drained(4900.0), Some(Verdict::Meets), "{aside_mm}");
        assert_eq!(drained(4899.9), Some(Verdict::Breach), "{aside_mm}");
        // A floor on which the pipe begins hides nothing of it.
        let floor = format!(
            r#"building: (storeys: [(id: "floor", floor: {}), (id: "upper", floor: {})]),
            cylinders: [(id: "cylinder", at: {}, diameter: 450, height: 900)],
            runs: [(id: "hot", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Onward({}), insulation: [])]"#,
            tenths(900.0 + aside_mm),
            tenths(1500.0 + aside_mm),
            at(2000.0, 0.0),
            at(2225.0, 3000.0)
        );
        let bare = verdict_of(floor, "cylinder-pipe-uninsulated");
        assert_eq!(bare, Some(Verdict::Breach), "{aside_mm}");
    }
}

fn tenths(mm: f64) -> String {
    format!("{mm:.1}")
}
