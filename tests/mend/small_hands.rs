//! Mending leaves alone what is sound: a valve beyond the way, clips that are close enough; and what has to fall, falls.

use crate::mended::{findings, layout, mended};
use loftwright::layout::{Clips, End, InLine, InLineKind, Layout, Run, Survey, TapeClass};
use loftwright::mend::{Change, Handle, PlatformChange, Report, Step};
use loftwright::rules::Verdict;
use loftwright::units::{Length, Level, Pressure, Size};

const SOUND: &str = include_str!("../../examples/sound_indirect.loft.ron");

fn run<'l>(layout: &'l mut Layout, id: &str) -> &'l mut Run {
    layout.runs.iter_mut().find(|run| run.id.as_str() == id).expect("a run")
}

fn fitted(kind: InLineKind, at_mm: f64) -> InLine {
    InLine { kind, at: Length::mm(at_mm) }
}

fn unmet(layout: &Layout) -> Vec<(&'static str, Verdict)> {
    let findings = findings(layout);
    let unmet = findings.iter().filter(|finding| finding.judged.verdict != Verdict::Meets);
    unmet.map(|finding| (finding.rule.id, finding.judged.verdict)).collect()
}

#[test]
fn a_valve_beyond_the_vents_tee_stays_where_it_is() {
    let mut layout = layout(SOUND);
    // One between the cylinder and the tee at 625 mm, one before the bath.
    let valves = [fitted(InLineKind::GateValve, 300.0), fitted(InLineKind::ServiceValve, 4000.0)];
    run(&mut layout, "draw-off").fittings.as_mut().expect("told").extend(valves);
    assert_eq!(unmet(&layout), [("vent-valved", Verdict::Breach)]);
    let mut put_right = mended(&layout).layout;
    assert_eq!(unmet(&put_right), []);
    let left = run(&mut put_right, "draw-off").fittings.clone().expect("told");
    let kinds: Vec<InLineKind> = left.iter().map(|fitting| fitting.kind).collect();
    assert_eq!(kinds, [InLineKind::DrainCock, InLineKind::ServiceValve]);
}

#[test]
fn clips_that_are_close_enough_stay_and_others_are_set_in_the_step_of_the_table() {
    let mut layout = layout(SOUND);
    layout.survey = Survey::Surveyed(TapeClass::III);
    for run in &mut layout.runs {
        run.clips = Some(Clips { level: Some(Size::mm(900.0)), upright: Some(Size::mm(1200.0)) });
    }
    run(&mut layout, "cold-feed").clips =
        Some(Clips { level: Some(Size::mm(1900.0)), upright: Some(Size::mm(1200.0)) });
    let about_clips =
        |layout: &Layout| unmet(layout).into_iter().filter(|(rule, _)| rule.starts_with("clips-")).count();
    assert_eq!(about_clips(&layout), 1);
    let mut put_right = mended(&layout).layout;
    assert_eq!(about_clips(&put_right), 0);
    let clips = run(&mut put_right, "cold-feed").clips.expect("told");
    assert_eq!(clips.upright, Some(Size::mm(1200.0)));
    assert_eq!(clips.level, Some(Size::mm(1800.0)));
}

#[test]
fn a_warning_pipe_that_rises_is_laid_falling() {
    let mut layout = layout(SOUND);
    let warning = run(&mut layout, "warning-pipe");
    let End::Open(end) = &mut warning.to else { panic!("an open end") };
    // Its last bend stands at 5270 mm.
    end.z = Level::mm(5275.0);
    assert_eq!(unmet(&layout), [("warning-pipe-rises", Verdict::Breach)]);
    assert_eq!(unmet(&mended(&layout).layout), []);
}

#[test]
fn what_a_wider_tube_does_by_itself_is_not_done_twice() {
    let mut layout = layout(SOUND);
    run(&mut layout, "warning-pipe").size = Some(Size::mm(15.0));
    let rules: Vec<&str> = unmet(&layout).into_iter().map(|(rule, _)| rule).collect();
    assert!(rules.contains(&"overflow-cannot-keep-up") && rules.contains(&"warning-pipe-too-narrow"), "{rules:?}");
    let report = mended(&layout);
    assert_eq!(unmet(&report.layout), []);
    let words: Vec<&String> = report.proposals.iter().flat_map(|proposal| &proposal.words).collect();
    assert_eq!(words, ["Take 22 mm tube for the warning pipe"]);
}

fn steps(report: &Report) -> impl Iterator<Item = &Step> {
    report.proposals.iter().flat_map(|proposal| &proposal.steps)
}

#[test]
fn to_a_joist_others_are_bolted_once() {
    let mut layout = layout(SOUND);
    let joists = layout.building.joists.as_mut().expect("joists");
    (joists.breadth, joists.depth, joists.span) = (Size::mm(50.0), Size::mm(75.0), Some(Size::mm(2800.0)));
    let broken: Vec<&str> = unmet(&layout).into_iter().map(|(rule, _)| rule).collect();
    assert!(broken.contains(&"joist-overstressed") && broken.contains(&"joist-sags"), "{broken:?}");
    let report = mended(&layout);
    let bolted = |step: &&Step| matches!(step, Step::Change(Change::Platform(_, PlatformChange::JoistsBeside { .. })));
    assert!(steps(&report).filter(bolted).count() <= 1);
    let breadth_mm = report.layout.building.joists.as_ref().expect("joists").breadth.to_mm();
    assert!(breadth_mm <= 150.0, "{breadth_mm} mm");
    let words: Vec<&String> = report.proposals.iter().flat_map(|proposal| &proposal.words).collect();
    let together = format!("{breadth_mm} mm broad together");
    assert!(breadth_mm == 50.0 || words.iter().any(|words| words.contains(&together)), "{words:?}");
}

#[test]
fn no_stored_water_is_given_up_for_advice() {
    let mut layout = layout(SOUND);
    layout.building.mains_pressure = Some(Pressure::try_kpa(85.0).expect("a pressure"));
    assert_eq!(unmet(&layout), [("cistern-fills-too-slowly", Verdict::Breach)]);
    let report = mended(&layout);
    let lowered =
        steps(&report).find(|step| matches!(step, Step::Shift(moved) if matches!(moved.handle, Handle::WaterLine(_))));
    assert_eq!(lowered, None);
}
