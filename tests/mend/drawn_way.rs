//! Mending does not hang on which end a pipe is drawn from: what it clears, it clears from either.

use crate::mended::{broken, findings, layout, mended, of_rule};
use crate::turned_round::turned_round;
use loftwright::finding::FindingKey;
use loftwright::geom::Point;
use loftwright::layout::{Edit, End, Id, InLine, InLineKind, Layout, Run, Service, Tapping, Traces, apply};
use loftwright::mend::{Change, FittingChange, Handle, Step, Wish, propose};
use loftwright::rules::Profile;
use loftwright::units::{Length, Size};

const SOUND: [&str; 3] = [
    include_str!("../../examples/sound_indirect.loft.ron"),
    include_str!("../../examples/sound_direct.loft.ron"),
    include_str!("../../examples/feed_and_expansion.loft.ron"),
];

/// A run of a layout, changed.
fn with(sound: &Layout, id: &Id, change: impl Fn(&mut Run)) -> Layout {
    let mut changed = sound.clone();
    changed.runs.iter_mut().filter(|run| run.id == *id).for_each(change);
    changed
}

/// Points of a run that its drawing tells, and its open end, from where it begins on.
fn points(run: &mut Run) -> impl Iterator<Item = &mut Point> {
    let open = match &mut run.to {
        End::Open(point) => Some(point),
        _ => None,
    };
    run.via.iter_mut().chain(open)
}

fn moved(point: &mut Point, right_mm: f64, up_mm: f64) {
    *point = Point::mm(point.x.to_mm() + right_mm, point.z.to_mm() + up_mm);
}

/// A sound layout put out in each way that hangs on where a pipe begins and ends, by name.
fn put_out(sound: &Layout) -> Vec<(String, Layout)> {
    let traces = Traces::of(sound);
    let mut all = Vec::new();
    for (number, run) in sound.runs.iter().enumerate() {
        let id = &run.id;
        let mut add = |what: &str, layout: Layout| all.push((format!("{id}: {what}"), layout));
        for (fitting, lost) in run.fittings.iter().flatten().enumerate() {
            let without = with(sound, id, |run| {
                run.fittings.as_mut().expect("told").remove(fitting);
            });
            add(&format!("without its {}", lost.kind.words()), without);
        }
        add("bare", with(sound, id, |run| run.insulation = Some(Vec::new())));
        let length_mm = traces.line(number).map_or(0.0, |line| line.length());
        let middle = InLine { kind: InLineKind::NonReturnValve, at: Length::mm((length_mm / 2.0).round()) };
        if run.service.is_vent() {
            let lowered = Edit::Shift { parts: vec![id.clone()], right: Length::ZERO, up: Length::mm(-200.0) };
            add("too low", apply(sound, &lowered).expect("lowers"));
            add(
                "ends too low",
                with(sound, id, |run| points(run).last().into_iter().for_each(|at| moved(at, 0.0, -60.0))),
            );
            add("ends elsewhere", with(sound, id, |run| points(run).skip(1).for_each(|at| moved(at, 2500.0, 0.0))));
            add("falls", with(sound, id, |run| points(run).take(1).for_each(|at| moved(at, 0.0, 80.0))));
            add("valved", with(sound, id, |run| run.fittings = Some(vec![middle])));
            add("narrow", with(sound, id, |run| run.size = Some(Size::mm(15.0))));
            let back = Handle::TeeAlong(id.clone()).edit(sound, -250.0);
            let near = back.and_then(|edit| apply(sound, &edit).ok());
            near.into_iter().for_each(|layout| add("off too near", layout));
        }
        if run.service == Service::WarningPipe {
            add("rises", with(sound, id, |run| points(run).last().into_iter().for_each(|at| moved(at, 0.0, 150.0))));
            add("dips", with(sound, id, |run| points(run).take(1).for_each(|at| moved(at, 0.0, 60.0))));
            add("narrow", with(sound, id, |run| run.size = Some(Size::mm(15.0))));
            add("valved", with(sound, id, |run| run.fittings = Some(vec![middle])));
        }
        if matches!(run.service, Service::ColdFeed | Service::ColdDistribution) {
            add("holds air", with(sound, id, |run| points(run).take(1).for_each(|at| moved(at, 0.0, 40.0))));
            add("cannot flow back", with(sound, id, |run| run.fittings.get_or_insert_default().push(middle)));
        }
    }
    all
}

#[test]
fn a_layout_is_mended_as_far_when_its_pipes_are_drawn_from_their_other_ends() {
    let (mut worse, mut tried) = (Vec::new(), 0);
    for text in SOUND {
        for (name, forward) in put_out(&layout(text)) {
            if broken(&findings(&forward)).is_empty() {
                continue;
            }
            tried += 1;
            let left = |layout: &Layout| -> Vec<&str> { mended(layout).left.iter().map(|key| key.rule).collect() };
            let (onward, back) = (left(&forward), left(&turned_round(&forward)));
            if onward.len() != back.len() {
                worse.push(format!("{name}: {onward:?} left, and drawn from the other ends {back:?}"));
            }
        }
    }
    assert!(tried > 60, "only {tried} are broken");
    assert!(worse.is_empty(), "{} of {tried}:\n{}", worse.len(), worse.join("\n"));
}

/// The words and the steps of what is proposed.
fn proposed(layout: &Layout) -> (Vec<String>, Vec<Step>) {
    let report = mended(layout);
    let words = report.proposals.iter().flat_map(|proposal| proposal.words.clone()).collect();
    (words, report.proposals.into_iter().flat_map(|proposal| proposal.steps).collect())
}

fn fit(run: &Id, kind: InLineKind, at_mm: f64) -> Change {
    Change::Fitting(run.clone(), FittingChange::Fit(InLine { kind, at: Length::mm(at_mm) }))
}

#[test]
fn a_valve_of_the_cold_feed_sits_by_the_cistern_from_whichever_end_the_feed_is_drawn() {
    let feed = Id::of("cold-feed");
    let sound = layout(SOUND[0]);
    let unvalved = with(&sound, &feed, |run| {
        run.fittings.as_mut().expect("told").retain(|fitting| fitting.kind != InLineKind::GateValve);
    });
    let turned = turned_round(&unvalved);
    let number = sound.runs.iter().position(|run| run.id == feed).expect("a cold feed");
    let length_mm = Traces::of(&sound).line(number).expect("a line").length();
    for (layout, at_mm) in [(unvalved, 250.0), (turned, (length_mm - 250.0).floor())] {
        let (words, steps) = proposed(&layout);
        assert_eq!(words, ["Fit a gate valve in the cold feed, 250 mm from the cistern"]);
        assert_eq!(steps, [Step::Change(fit(&feed, InLineKind::GateValve, at_mm))]);
    }
}

#[test]
fn a_low_vent_is_raised_from_whichever_end_it_is_drawn() {
    let vent = Id::of("open-vent");
    let lowered = Edit::Shift { parts: vec![vent.clone()], right: Length::ZERO, up: Length::mm(-200.0) };
    let low = apply(&layout(SOUND[0]), &lowered).expect("lowers");
    let (words, _) = proposed(&low);
    assert!(words.iter().any(|words| words.starts_with("Raise the open end of the open vent by")), "{words:?}");
    let turned = turned_round(&low);
    assert_eq!(proposed(&turned).0, words);
    // What sits on the vent keeps its place on it.
    let lagging = |layout: &Layout| -> Vec<[f64; 2]> {
        let run = layout.runs.iter().find(|run| run.id == vent).expect("a vent");
        run.insulation.iter().flatten().map(|lagging| [lagging.from.to_mm(), lagging.to.to_mm()]).collect()
    };
    let (onward, back) = (lagging(&mended(&low).layout), lagging(&turned_round(&mended(&turned).layout)));
    let near = |(a, b): (&[f64; 2], &[f64; 2])| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-6);
    assert!(onward.len() == back.len() && onward.iter().zip(&back).all(near), "{onward:?} and {back:?}");
}

#[test]
fn a_link_between_cisterns_is_given_a_valve() {
    let mut linked = layout(include_str!("../cases/linked-cistern-without-inlet/meets.loft.ron"));
    let link = Id::of("link");
    linked.runs.iter_mut().filter(|run| run.id == link).for_each(|run| run.fittings = Some(Vec::new()));
    for layout in [turned_round(&linked), linked] {
        let only: Vec<FindingKey> = of_rule(&layout, "outlet-without-service-valve")
            .into_iter()
            .filter(|key| key.parts.contains(&link))
            .collect();
        assert_eq!(only.len(), 2, "once for each cistern");
        let report = propose(&layout, Profile::usual(), &Wish { only, ..Wish::default() });
        assert!(report.left.is_empty(), "{:?}", report.left);
        // The link is 500 mm long, and a valve would sit 250 mm from a cistern: in its middle.
        let steps: Vec<Step> = report.proposals.into_iter().flat_map(|proposal| proposal.steps).collect();
        assert_eq!(steps, [Step::Change(fit(&link, InLineKind::GateValve, 250.0))]);
    }
}

#[test]
fn a_valve_in_a_link_that_keeps_the_water_back_is_taken_out() {
    let mut behind = layout(include_str!("../cases/linked-cistern-without-inlet/meets.loft.ron"));
    // In by the first and out by the second, and the valve lets water back to the first alone.
    behind.cisterns[1].float_valve = None;
    behind.cisterns.iter_mut().for_each(|cistern| cistern.water_line = Some(Length::mm(400.0)));
    behind.cisterns[0].connections.retain(|hole| hole.port.as_str() == "link");
    // Away from the link, which is the inlet of the second.
    let cold = behind.cisterns[1].connections.iter_mut().find(|hole| hole.port.as_str() == "cold");
    cold.expect("a hole").on = Tapping::Base(Length::mm(900.0));
    behind.runs.retain(|run| !["second-main", "cold"].contains(&run.id.as_str()));
    for run in &mut behind.runs {
        match run.id.as_str() {
            "second-cold" => run.to = End::Onward(Point::mm(1600.0, 1500.0)),
            "link" => {
                std::mem::swap(&mut run.from, &mut run.to);
                run.fittings = Some(vec![InLine { kind: InLineKind::NonReturnValve, at: Length::mm(250.0) }]);
            }
            _ => {}
        }
    }
    let only = of_rule(&behind, "linked-cistern-without-inlet");
    assert_eq!(only.len(), 2, "each of the two");
    let report = propose(&behind, Profile::usual(), &Wish { only, ..Wish::default() });
    assert!(report.left.is_empty(), "{:?}", report.left);
    let steps: Vec<Step> = report.proposals.into_iter().flat_map(|proposal| proposal.steps).collect();
    let taken = vec![InLine { kind: InLineKind::NonReturnValve, at: Length::mm(250.0) }];
    assert_eq!(steps, [Step::Change(Change::Fitting(Id::of("link"), FittingChange::TakeOut(taken)))]);
}

#[test]
fn a_drain_cock_at_the_end_of_a_pipe_is_said_to_be_where_that_joins() {
    let sound = layout(SOUND[0]);
    let words = |at_mm: f64| fit(&Id::of("cold-feed"), InLineKind::DrainCock, at_mm).words(&sound);
    assert_eq!(words(0.0), "Fit a drain cock in the cold feed, where it joins the cistern");
    assert_eq!(words(200.0), "Fit a drain cock in the cold feed, 200 mm from the cistern");
}
