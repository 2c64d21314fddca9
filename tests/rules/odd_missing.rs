//! Vents, warning pipes and lids that are not there: one fault, one finding; and unknown where they may only not be drawn.

use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::rules::Verdict;

use super::judged::{BREACH, MEETS, UNKNOWN, of_rule, verdicts};
use super::judged_text::verdict;
use super::odd_vents::{changed, sound};

const BACK_BOILER: &str = "back-boiler-without-vent";
const HIDDEN: &str = "warning-pipe-hidden";
const SINK: &str = "sink-on-stored-water";

/// A back boiler below a coil, with flow and return, and more pipes.
fn back_boiler(more: &str) -> String {
    format!(
        r#"cylinders: [(id: "cylinder", at: (1500, 2600), diameter: 400, height: 1000, coil: true)],
        boilers: [(id: "boiler", at: (200, 100), length: 400, height: 700, kind: BackBoiler)],
        runs: [
            (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), via: [(320, 3200)], to: Port("cylinder", "coil-flow")),
            (id: "return", service: PrimaryReturn, from: Port("cylinder", "coil-return"), via: [(480, 2800)],
                to: Port("boiler", "return")),
            {more}
        ]"#
    )
}

#[test]
fn a_back_boiler_has_an_open_vent_whatever_sits_on_the_way() {
    let asked = |more: &str| verdict(BACK_BOILER, &back_boiler(more));
    assert_eq!(asked(""), BREACH);
    let vent = |service: &str, from: &str| {
        format!(r#"(id: "vent", service: {service}, from: {from}, to: Open((320, 6000)), fittings: []),"#)
    };
    let on_flow = vent("PrimaryVent", r#"Tee("flow", 2400)"#);
    assert_eq!(asked(&on_flow), MEETS);
    // From a port of its own, from the return, and called otherwise.
    assert_eq!(asked(&vent("PrimaryVent", r#"Port("boiler", "flow")"#)), MEETS);
    assert_eq!(asked(&vent("PrimaryVent", r#"Tee("return", 1100)"#)), MEETS);
    assert_eq!(asked(&vent("OpenVent", r#"Tee("flow", 2400)"#)), MEETS);
    // A valve between the two is another fault.
    let valved = back_boiler(&on_flow)
        .replace(
            r#""flow"), via: [(320, 3200)],"#,
            r#""flow"), via: [(320, 3200)], fittings: [(kind: GateValve, at: 900)],"#,
        )
        .replace("via: [(480, 2800)],", "via: [(480, 2800)], fittings: [(kind: GateValve, at: 300)],");
    assert_eq!((verdict(BACK_BOILER, &valved), verdict("primary-vent-valved", &valved)), (MEETS, BREACH));
    // A vent and a feed that go on, a vent that leads from no boiler, a flow that ends nowhere.
    assert_eq!(asked(&on_flow.replace("Open((320, 6000))", "Onward((320, 6000))")), UNKNOWN);
    assert_eq!(
        asked(r#"(id: "feed", service: PrimaryFeed, from: Tee("return", 1100), to: Onward((600, 5000))),"#),
        UNKNOWN
    );
    assert_eq!(asked(&vent("PrimaryVent", "Open((900, 4000))")), UNKNOWN);
    assert_eq!(
        asked(r#"(id: "radiators", service: PrimaryFlow, from: Tee("flow", 2400), to: Open((900, 2500))),"#),
        UNKNOWN
    );
}

#[test]
fn a_back_boiler_without_a_vent_is_one_finding() {
    let cistern = r#"cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 5000), length: 450, height: 300,
            connections: [(port: "feed", on: Base(225))])],
        "#;
    let feed = r#"(id: "feed", service: PrimaryFeed, from: Port("expansion", "feed"), to: Tee("return", 1100), fittings: []),"#;
    let by_gravity = "service: PrimaryFlow, fittings: [],";
    let fed = (cistern.to_owned() + &back_boiler(feed)).replace("service: PrimaryFlow,", by_gravity);
    let height = ["primary-vent-too-low", "gravity-primary-vent-too-low"];
    assert_eq!(verdict(BACK_BOILER, &fed), BREACH);
    assert_eq!(height.map(|rule| verdict(rule, &fed)), [None, None]);
    // The vent of another boiler still has to be drawn.
    let regular = fed.replace("kind: BackBoiler", "kind: Regular");
    assert!(height.map(|rule| verdict(rule, &regular)).contains(&UNKNOWN));
}

#[test]
fn only_a_boiler_that_may_be_a_back_boiler_is_asked_for_a_vent() {
    let of_kind = |kind: &str, more: &str| verdict(BACK_BOILER, &back_boiler(more).replace(", kind: BackBoiler", kind));
    assert_eq!([", kind: Regular", ", kind: Combination"].map(|kind| of_kind(kind, "")), [None, None]);
    // Of one whose kind is not told, that decides where there is no vent.
    assert_eq!(of_kind("", ""), UNKNOWN);
    assert_eq!(
        of_kind("", r#"(id: "radiators", service: PrimaryFlow, from: Tee("flow", 2400), to: Onward((900, 2500))),"#),
        None
    );
    // Without its flow and return nobody has told what is on it.
    let bare = r#"boilers: [(id: "boiler", at: (200, 100), length: 400, height: 700, kind: BackBoiler)]"#;
    assert_eq!(verdict(BACK_BOILER, bare), UNKNOWN);
}

#[test]
fn a_back_boiler_that_heats_the_stored_water_itself_lets_out_by_its_cylinder() {
    let direct = back_boiler("").replace("coil: true", "coil: false").replace("coil-flow", "primary-flow");
    let direct = direct.replace("coil-return", "primary-return");
    assert_eq!(verdict(BACK_BOILER, &direct), MEETS);
    // Where nobody has told whether there is a coil, it may.
    assert_eq!(verdict(BACK_BOILER, &back_boiler("").replace(", coil: true", "")), UNKNOWN);
}

#[test]
fn a_back_boiler_may_let_out_through_another_boiler() {
    let in_series = r#"cylinders: [(id: "cylinder", at: (1500, 2600), diameter: 400, height: 1000, coil: true)],
        boilers: [
            (id: "boiler", at: (200, 100), length: 400, height: 700, kind: BackBoiler),
            (id: "other", at: (900, 100), length: 400, height: 700, kind: Regular),
        ],
        runs: [
            (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), via: [(320, 1200), (800, 1200), (800, 50), (1180, 50)],
                to: Port("other", "return")),
            (id: "on", service: PrimaryFlow, from: Port("other", "flow"), via: [(1020, 3200)], to: Port("cylinder", "coil-flow")),
            (id: "return", service: PrimaryReturn, from: Port("cylinder", "coil-return"), via: [(480, 2800)],
                to: Port("boiler", "return")),
            (id: "vent", service: PrimaryVent, from: Tee("on", 1400), to: Open((1020, 6000))),
        ]"#;
    assert_eq!(verdict(BACK_BOILER, in_series), MEETS);
}

/// The sound example with the end of its warning pipe at a place.
fn ending_at(x_mm: i32, z_mm: i32, others: &[(&str, &str)]) -> Option<Verdict> {
    let end = format!("to: Open(({x_mm}, {z_mm})),");
    let mut passages = vec![("to: Open((-150, 5230)),", end.as_str())];
    passages.extend(others);
    verdicts(&sound(&passages), HIDDEN, "warning-pipe").into_iter().next()
}

#[test]
fn a_warning_pipe_that_ends_in_the_loft_is_not_seen_whatever_is_told_of_it() {
    assert_eq!(ending_at(-150, 5230, &[]), MEETS);
    assert_eq!(ending_at(600, 5200, &[]), BREACH);
    // In the wall, under the ceiling where somebody sees it, and over the roof.
    assert_eq!(ending_at(100, 5230, &[]), MEETS);
    assert_eq!(ending_at(600, 4800, &[]), MEETS);
    assert_eq!(ending_at(600, 6200, &[]), MEETS);
    // Where the house is not drawn, what is told holds.
    assert_eq!(ending_at(600, 5200, &[("ceiling: (underside: 5000, thickness: 12.5),", "")]), MEETS);
    let roof = "roof: (underside: [(-400, 5160), (3500, 8432), (7400, 5160)]),";
    assert_eq!(ending_at(600, 5200, &[(roof, "")]), MEETS);
    let wall = "(x: 0, thickness: 250, foot: 0, head: 5160),";
    assert_eq!(ending_at(600, 5200, &[(wall, "")]), MEETS);
    // A garden wall is no side of the loft.
    assert_eq!(ending_at(600, 5200, &[(wall, "(x: 0, thickness: 250, foot: 0, head: 2000),")]), MEETS);
    // What goes on beyond the section may leave by a gable.
    let onward = sound(&[("to: Open((-150, 5230)),", "to: Onward((600, 5200)),")]);
    assert_eq!(verdicts(&onward, HIDDEN, "warning-pipe"), [Verdict::Meets]);
    // Nothing told of the end changes what is drawn.
    assert_eq!(ending_at(600, 5200, &[("            discharge: Conspicuous,\n", "")]), BREACH);
}

#[test]
fn a_missing_lid_has_no_vent_to_be_screened() {
    let lid = |lid: &str| sound(&[("lid: Tight, lid_screen: Mesh(0.65),", lid)]);
    assert_eq!(verdicts(&lid("lid: Missing,"), "lid-vent-unscreened", "cistern"), []);
    assert_eq!(verdicts(&lid("lid: Missing,"), "cistern-lid-not-tight", "cistern"), [Verdict::Breach]);
    assert_eq!(verdicts(&lid("lid: Loose,"), "lid-vent-unscreened", "cistern"), [Verdict::Unknown]);
    assert_eq!(verdicts(&lid(""), "lid-vent-unscreened", "cistern"), [Verdict::Unknown]);
}

#[test]
fn the_lid_of_the_heating_cistern_need_not_be_tight() {
    let lid = |lid: &str| {
        let changed = changed("feed_and_expansion", &[("lid: Tight, jacket:", &format!("{lid} jacket:"))]);
        let all = of_rule(&changed, "feed-and-expansion-without-lid");
        all.iter().map(|finding| finding.judged.verdict).collect::<Vec<_>>()
    };
    assert_eq!(lid("lid: Tight,"), [Verdict::Meets]);
    assert_eq!(lid("lid: Loose,"), [Verdict::Meets]);
    assert_eq!(lid("lid: Missing,"), [Verdict::Breach]);
    assert_eq!(lid(""), [Verdict::Unknown]);
}

#[test]
fn a_sink_is_asked_for_what_its_cold_side_is_given() {
    let sink = |port: &str, runs: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 3000), length: 1000, height: 500,
                connections: [(port: "cold", on: Right(50))])],
            outlets: [(id: "sink", kind: Sink, at: (2000, 1000))],
            runs: [(id: "pipe", service: ColdDistribution, from: Port("cistern", "cold"), to: Port("sink", "{port}")), {runs}]"#
        )
    };
    assert_eq!(verdict(SINK, &sink("cold", "")), BREACH);
    // No cold pipe, and one of each.
    assert_eq!(verdict(SINK, &sink("hot", "")), None);
    let main = r#"(id: "main", service: RisingMain, from: Onward((2040, 0)), to: Tee("pipe", 300))"#;
    assert_eq!(verdict(SINK, &sink("cold", main)), UNKNOWN);
    // A pump does not make it fresh, and nothing else is asked.
    let pumped = sink("cold", "").replace(r#""cold")), "#, r#""cold"), fittings: [(kind: Pump, at: 900)]), "#);
    assert_eq!(verdict(SINK, &pumped), BREACH);
    assert_eq!(verdict(SINK, &sink("cold", "").replace("kind: Sink", "kind: Basin")), None);
}

/// What is broken, and what is unknown, by rule.
fn open_questions(layout: &Layout) -> (Vec<&'static str>, Vec<&'static str>) {
    let findings = Findings::of(&Site::of(layout));
    let of = |verdict: Verdict| {
        findings.iter().filter(|finding| finding.judged.verdict == verdict).map(|finding| finding.rule.id).collect()
    };
    (of(Verdict::Breach), of(Verdict::Unknown))
}

/// A sound example without one of its runs, by the first words of it.
fn without_run(begins: &str, others: &[(&str, &str)]) -> Layout {
    let mut layout = sound(others);
    let count = layout.runs.len();
    layout.runs.retain(|run| run.id.as_str() != begins);
    assert_eq!(layout.runs.len(), count - 1);
    layout
}

#[test]
fn a_missing_vent_is_one_finding() {
    let (broken, unknown) = open_questions(&without_run("open-vent", &[]));
    assert_eq!((broken, unknown), (vec!["open-vent-missing"], vec![]));
    // Where it may leave beyond the drawing, all that is asked of it is open.
    let onward = without_run(
        "open-vent",
        &[(
            "(3800, 3713), (3800, 2470), (1660, 2470)],\n            to: Port(\"bath\", \"hot\"),",
            "(3800, 3713), (3800, 2470)],\n            to: Onward((1660, 2470)),",
        )],
    );
    let (_, unknown) = open_questions(&onward);
    for rule in [
        "open-vent-missing",
        "vent-valved",
        "vent-ends-elsewhere",
        "vent-too-low",
        "vent-falls",
        "one-pipe-circulation",
    ] {
        assert!(unknown.contains(&rule), "{rule}: {unknown:?}");
    }
}

#[test]
fn a_missing_warning_pipe_is_one_finding() {
    let (broken, unknown) = open_questions(&without_run("warning-pipe", &[]));
    assert_eq!((broken, unknown), (vec!["warning-pipe-missing"], vec![]));
}
