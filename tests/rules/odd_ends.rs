//! What must not hang on where one run ends and the next begins: the same pipe drawn in two, joined at its bends, its joint
//! written to a tenth or to a whole millimetre, with a valve or a pump at the very joint.

use std::collections::BTreeMap;

use loftwright::finding::Findings;
use loftwright::layout::{End, Id, InLine, InLineKind, Lagging, Layout, Run};
use loftwright::measure::Site;
use loftwright::rules::Verdict;
use loftwright::units::Length;

use super::judged::{BREACH, MEETS};
use super::judged_text::verdict;
use super::none_of;
use super::odd_circuits::heating;
use super::odd_vents::{changed, sound};

/// By rule its heaviest verdict.
fn judged(layout: &Layout) -> BTreeMap<&'static str, Verdict> {
    let mut judged = BTreeMap::new();
    for finding in Findings::of(&Site::of(layout)).iter() {
        let known = judged.entry(finding.rule.id).or_insert(finding.judged.verdict);
        *known = finding.judged.verdict.min(*known);
    }
    judged
}

/// The layout with a run parted at one of its bends, so far along it; the outer part is teed on the end of the inner one,
/// at a place that is written in steps of so many millimetres.
fn parted(layout: &Layout, number: usize, bend: usize, step_mm: f64) -> Layout {
    let at_mm = along_mm(layout, number, bend);
    let mut parted = layout.clone();
    let id = Id::of("outer-part");
    let (inner, mut outer) = (&mut parted.runs[number], layout.runs[number].clone());
    let whole = inner.id.clone();
    inner.to = End::Open(inner.via[bend]);
    inner.via.truncate(bend);
    outer.id = id.clone();
    outer.from = End::Tee(whole.clone(), Length::mm((at_mm / step_mm).round() * step_mm));
    outer.via.drain(..=bend);
    for (run, keeps) in [(inner, true), (&mut outer, false)] {
        if let Some(fittings) = &mut run.fittings {
            fittings.retain(|fitting| (fitting.at.to_mm() <= at_mm) == keeps);
        }
    }
    let further_by = |along: Length| Length::mm((along.to_mm() - at_mm).max(0.0));
    outer.fittings.iter_mut().flatten().for_each(|fitting| fitting.at = further_by(fitting.at));
    for Lagging { from, to, .. } in outer.insulation.iter_mut().flatten() {
        (*from, *to) = (further_by(*from), further_by(*to));
    }
    for run in &mut parted.runs {
        for end in [&mut run.from, &mut run.to] {
            if let End::Tee(on, along) = end
                && *on == whole
                && along.to_mm() > at_mm
            {
                *end = End::Tee(id.clone(), further_by(*along));
            }
        }
    }
    parted.runs.push(outer);
    assert_eq!(parted.broken_references(), []);
    parted
}

/// How far along a run its bend of a number is, mm.
fn along_mm(layout: &Layout, number: usize, bend: usize) -> f64 {
    let site = Site::of(layout);
    site.line(number).expect("a line").nearest(layout.runs[number].via[bend].vector()).0
}

/// Each bend of each pipe, by the number of the run and its own, but for those within 5 mm of an end or of a joint.
fn bends(layout: &Layout) -> Vec<(usize, usize)> {
    let site = Site::of(layout);
    let is_free = |number: usize, bend: usize| {
        let at_mm = along_mm(layout, number, bend);
        let length_mm = site.line(number).expect("a line").length();
        let others = site.joints(number).iter().map(|joint| joint.at_mm).chain([0.0, length_mm]);
        others.into_iter().all(|other_mm| (other_mm - at_mm).abs() > 5.0)
    };
    let of_run = |(number, run): (usize, &Run)| (0..run.via.len()).map(move |bend| (number, bend)).collect::<Vec<_>>();
    let all = layout.runs.iter().enumerate().flat_map(of_run);
    all.filter(|(number, bend)| is_free(*number, *bend)).collect()
}

fn differing(whole: &Layout, parted: &Layout) -> Vec<String> {
    let (in_one, in_two) = (judged(whole), judged(parted));
    let differs = in_one.iter().filter(|(rule, verdict)| in_two.get(*rule) != Some(verdict));
    differs.map(|(rule, verdict)| format!("{rule}: {verdict:?}, parted {:?}", in_two.get(rule))).collect()
}

#[test]
fn a_pipe_in_two_runs_is_judged_as_in_one_however_the_joint_is_written() {
    let mut complaints = Vec::new();
    for example in ["sound_indirect", "feed_and_expansion", "sound_direct"] {
        let whole = changed(example, &[]);
        for (number, bend) in bends(&whole) {
            for step_mm in [1e-6, 0.1, 1.0] {
                let found = differing(&whole, &parted(&whole, number, bend, step_mm));
                let id = &whole.runs[number].id;
                complaints
                    .extend(found.iter().map(|found| format!("{example} {id} bend {bend} by {step_mm}: {found}")));
            }
        }
    }
    none_of(&complaints);
}

#[test]
fn what_sits_where_two_runs_meet_is_passed_by_all_that_comes_by() {
    let mut complaints = Vec::new();
    for example in ["sound_indirect", "feed_and_expansion"] {
        let sound = changed(example, &[]);
        for (number, bend) in bends(&sound) {
            for kind in [InLineKind::GateValve, InLineKind::Pump, InLineKind::NonReturnValve] {
                let mut whole = sound.clone();
                let at = Length::mm(along_mm(&sound, number, bend));
                whole.runs[number].fittings.get_or_insert_default().push(InLine { kind, at });
                for step_mm in [1e-6, 1.0] {
                    let found = differing(&whole, &parted(&whole, number, bend, step_mm));
                    let id = &whole.runs[number].id;
                    let found = found.iter().map(|found| format!("{example} {id} bend {bend} {kind:?}: {found}"));
                    complaints.extend(found);
                }
            }
        }
    }
    none_of(&complaints);
}

/// A heating whose vent leaves the flow 150 above the boiler, with something 50 above it: in one run, and where two of
/// them meet, whichever way they are drawn and joined.
fn met_by(kind: &str) -> Vec<String> {
    let sits = |at: &str| format!("(kind: {kind}, at: {at})");
    let whole = |fittings: &str| heating(r#"Tee("flow", 150)"#, r#"Tee("return", 2620)"#, fittings, "");
    let in_two = |flow_from: &str, flow_fittings: &str, stub: &str, stub_fittings: &str| {
        let text = heating(
            r#"Tee("flow", 100)"#,
            r#"Tee("return", 2620)"#,
            flow_fittings,
            &format!(r#"(id: "stub", service: PrimaryFlow, {stub}, fittings: [{stub_fittings}])"#),
        );
        text.replace(
            r#"from: Port("boiler", "flow"), via: [(920, 2000)]"#,
            &format!("from: {flow_from}, via: [(920, 2000)]"),
        )
    };
    let (up, down) = (
        r#"from: Port("boiler", "flow"), to: Open((920, 650))"#,
        r#"from: Open((920, 650)), to: Port("boiler", "flow")"#,
    );
    vec![
        whole(&sits("50")),
        in_two(r#"Tee("stub", 50)"#, "", up, &sits("50")),
        in_two(r#"Tee("stub", 49.6)"#, "", up, &sits("50.3")),
        in_two(r#"Tee("stub", 50)"#, &sits("0"), up, ""),
        in_two(r#"Tee("stub", 0)"#, "", down, &sits("0")),
        in_two(r#"Tee("stub", 0.4)"#, "", down, &sits("0")),
        in_two("Open((920, 650))", "", r#"from: Port("boiler", "flow"), to: Tee("flow", 0)"#, &sits("50")),
        in_two("Open((920, 650))", &sits("0"), r#"from: Port("boiler", "flow"), to: Tee("flow", 0)"#, ""),
        in_two("Open((920, 650))", "", r#"from: Tee("flow", 0), to: Port("boiler", "flow")"#, &sits("0")),
    ]
}

#[test]
fn a_valve_where_two_runs_meet_shuts_what_comes_by() {
    for text in met_by("GateValve") {
        assert_eq!(verdict("primary-vent-valved", &text), BREACH, "{text}");
    }
}

#[test]
fn a_pump_where_two_runs_meet_moves_what_comes_by() {
    for text in met_by("Pump") {
        assert_eq!(verdict("pump-between-feed-and-vent", &text), BREACH, "{text}");
        assert_eq!(verdict("primary-vent-valved", &text), MEETS, "{text}");
    }
}

#[test]
fn a_tee_in_mid_run_at_a_valve_lies_before_it() {
    let vent_at =
        |at: &str| heating(&format!(r#"Tee("flow", {at})"#), r#"Tee("return", 2620)"#, "(kind: GateValve, at: 50)", "");
    assert_eq!(verdict("primary-vent-valved", &vent_at("50")), MEETS);
    assert_eq!(verdict("primary-vent-valved", &vent_at("50.1")), BREACH);
}

#[test]
fn the_valve_of_a_feed_may_sit_where_its_two_runs_meet() {
    let feed = "via: [(2740, 5358), (2740, 2799)], to: Port(\"cylinder\", \"cold-inlet\"),\n            fittings: [(kind: GateValve, at: 500), (kind: DrainCock, at: 2840)]";
    let lower = "via: [(2740, 5358)], to: Open((2740, 5184)), fittings: [(kind: GateValve, at: 500.2)],
            insulation: [(from: 0, to: 500, thickness: 25, kind: PolyethyleneFoam)]),
        (
            id: \"lower-feed\", service: ColdFeed, material: Copper, size: 22, clips: (level: 1800, upright: 2400),
            from: Tee(\"cold-feed\", 500), via: [(2740, 2799)], to: Port(\"cylinder\", \"cold-inlet\"),
            fittings: [(kind: DrainCock, at: 2340)]";
    let layout = sound(&[(feed, lower)]);
    assert_eq!(differing(&sound(&[]), &layout), [""; 0]);
}
