//! A layout seen from the other side of the section, set up elsewhere, or with its pipes drawn from their other ends, is
//! measured and judged the same.

use glam::{DVec2, dvec2};
use loftwright::finding::Findings;
use loftwright::geom::Point;
use loftwright::layout::{
    Bearers, Building, Connection, Cylinder, End, Joists, Layout, Lie, LoftHatch, PartRef, Run, Tapping,
};
use loftwright::measure::{Have, Site};
use loftwright::rules::Verdict;
use loftwright::units::{Length, Level, Size};

use super::cases;
use super::none_of;
use super::read;
use super::turned_round::turned_round;

/// The layout seen from behind: x runs the other way.
fn mirrored(layout: &Layout) -> Layout {
    let mut seen = layout.clone();
    mirror_building(&mut seen.building);
    for platform in &mut seen.platforms {
        platform.at = beginning(platform.at, platform.length);
        if let Some(bearers) = &mut platform.bearers {
            mirror_bearers(bearers, platform.length);
        }
    }
    for cistern in &mut seen.cisterns {
        cistern.at = beginning(cistern.at, cistern.length);
        if let Some(valve) = &mut cistern.float_valve {
            valve.shank = other_side(valve.shank, cistern.length);
        }
        for hole in &mut cistern.connections {
            hole.on = other_side(hole.on, cistern.length);
        }
    }
    for cylinder in &mut seen.cylinders {
        mirror_cylinder(cylinder);
    }
    for boiler in &mut seen.boilers {
        boiler.at = beginning(boiler.at, boiler.length);
    }
    for outlet in &mut seen.outlets {
        outlet.at = across(outlet.at);
    }
    for run in &mut seen.runs {
        each_point(run, across);
    }
    seen
}

fn across(point: Point) -> Point {
    Point::mm(-point.x.to_mm(), point.z.to_mm())
}

/// Where a part begins that began at `at` and is `length` long.
fn beginning(at: Point, length: Size) -> Point {
    Point::mm(-(at.x.to_mm() + length.to_mm()), at.z.to_mm())
}

fn other_side(tapping: Tapping, length: Size) -> Tapping {
    let from_the_other_end = |along: Length| Length::mm(length.to_mm() - along.to_mm());
    match tapping {
        Tapping::Left(up) => Tapping::Right(up),
        Tapping::Right(up) => Tapping::Left(up),
        Tapping::Base(along) => Tapping::Base(from_the_other_end(along)),
        Tapping::Top(along) => Tapping::Top(from_the_other_end(along)),
    }
}

fn mirror_building(building: &mut Building) {
    if let Some(joists) = &mut building.joists {
        mirror_joists(joists);
    }
    if let Some(roof) = &mut building.roof {
        roof.underside.reverse();
        roof.underside.iter_mut().for_each(|point| *point = across(*point));
    }
    if let Some(LoftHatch::Opening(hatch)) = &mut building.hatch {
        hatch.x = Length::mm(-(hatch.x.to_mm() + hatch.length.to_mm()));
    }
    for wall in &mut building.walls {
        wall.x = Length::mm(-(wall.x.to_mm() + wall.thickness.to_mm()));
    }
}

fn mirror_joists(joists: &mut Joists) {
    if joists.lie == Lie::EndOn {
        let last = joists.first.to_mm() + f64::from(joists.count.saturating_sub(1)) * joists.spacing.to_mm();
        joists.first = Length::mm(-last);
    } else if let (Some(span), Some(from)) = (joists.span, joists.span_from) {
        joists.span_from = Some(Length::mm(-(from.to_mm() + span.to_mm())));
    }
}

fn mirror_bearers(bearers: &mut Bearers, length: Size) {
    if bearers.lie == Lie::EndOn {
        let last = bearers.first.to_mm() + f64::from(bearers.count.saturating_sub(1)) * bearers.spacing.to_mm();
        bearers.first = Length::mm(length.to_mm() - last);
    }
}

/// Ports that stand where most makers put them have to be stated once they stand on the other side.
fn mirror_cylinder(cylinder: &mut Cylinder) {
    let (left, base, across_mm) = (cylinder.at.x.to_mm(), cylinder.at.z.to_mm(), cylinder.diameter.to_mm());
    let usual = PartRef::Cylinder(cylinder).ports().into_iter().filter_map(|(port, point)| {
        let (along, up) = (point.x.to_mm() - left, Length::mm(point.z.to_mm() - base));
        let stated = cylinder.connections.iter().any(|connection| connection.port == port);
        let on = if along < 1e-6 {
            Tapping::Left(up)
        } else if along > across_mm - 1e-6 {
            Tapping::Right(up)
        } else {
            Tapping::Top(Length::mm(along))
        };
        (!stated).then_some(Connection { port, on })
    });
    let usual: Vec<Connection> = usual.collect();
    cylinder.connections.extend(usual);
    for connection in &mut cylinder.connections {
        connection.on = other_side(connection.on, cylinder.diameter);
    }
    cylinder.at = beginning(cylinder.at, cylinder.diameter);
}

fn each_point(run: &mut Run, change: impl Fn(Point) -> Point) {
    run.via.iter_mut().for_each(|point| *point = change(*point));
    for end in [&mut run.from, &mut run.to] {
        if let End::Open(point) | End::Onward(point) = end {
            *point = change(*point);
        }
    }
}

/// The layout set up elsewhere.
fn shifted(layout: &Layout, by: DVec2) -> Layout {
    let mut elsewhere = layout.clone();
    let aside = |x: Length| Length::mm(x.to_mm() + by.x);
    let raised = |z: Level| Level::mm(z.to_mm() + by.y);
    let building = &mut elsewhere.building;
    building.storeys.iter_mut().for_each(|storey| storey.floor = raised(storey.floor));
    if let Some(ceiling) = &mut building.ceiling {
        ceiling.underside = raised(ceiling.underside);
    }
    if let Some(joists) = &mut building.joists {
        joists.top = raised(joists.top);
        if joists.lie == Lie::EndOn {
            joists.first = aside(joists.first);
        } else {
            joists.span_from = joists.span_from.map(aside);
        }
    }
    if let Some(roof) = &mut building.roof {
        roof.underside.iter_mut().for_each(|point| *point = point.moved(by));
    }
    if let Some(LoftHatch::Opening(hatch)) = &mut building.hatch {
        hatch.x = aside(hatch.x);
    }
    for wall in &mut building.walls {
        (wall.x, wall.foot, wall.head) = (aside(wall.x), raised(wall.foot), raised(wall.head));
    }
    elsewhere.platforms.iter_mut().for_each(|part| part.at = part.at.moved(by));
    elsewhere.cisterns.iter_mut().for_each(|part| part.at = part.at.moved(by));
    elsewhere.cylinders.iter_mut().for_each(|part| part.at = part.at.moved(by));
    elsewhere.boilers.iter_mut().for_each(|part| part.at = part.at.moved(by));
    elsewhere.outlets.iter_mut().for_each(|part| part.at = part.at.moved(by));
    elsewhere.runs.iter_mut().for_each(|run| each_point(run, |point| point.moved(by)));
    elsewhere
}

/// Rules of which the number is of running water.
const RUNNING: [&str; 6] = [
    "outlet-starved",
    "mixer-side-starved",
    "shower-warms-when-others-open",
    "pipe-too-fast",
    "vent-draws-air",
    "hot-water-slow-to-arrive",
];

/// What is said of a place: the rule, the parts, the verdict, and the number where there is one.
#[derive(Debug, PartialEq, PartialOrd)]
struct Said(&'static str, Vec<String>, Verdict, Option<f64>);

impl Said {
    /// The same, but for what sums of fractions leave.
    fn is(&self, other: &Self) -> bool {
        let near = match (self.3, other.3) {
            (Some(one), Some(two)) => one == two || (one - two).abs() <= 1e-6 * one.abs().max(1.0),
            (one, two) => one == two,
        };
        near && (self.0, &self.1, self.2) == (other.0, &other.1, other.2)
    }
}

/// All that is found, in an order that does not hang on left and right; of some rules no number is asked.
fn said(layout: &Layout, without_number: &[&str]) -> Vec<Said> {
    let findings = Findings::of(&Site::of(layout));
    let mut list: Vec<_> = findings
        .iter()
        .map(|finding| {
            let mut parts: Vec<String> = finding.reading.parts.iter().map(ToString::to_string).collect();
            parts.sort();
            let number = match finding.reading.have {
                Have::Amount(value, _) if !without_number.contains(&finding.rule.id) => Some(value.value),
                _ => None,
            };
            Said(finding.rule.id, parts, finding.judged.verdict, number)
        })
        .collect();
    list.sort_by(|a, b| a.partial_cmp(b).expect("no number is NaN"));
    list
}

/// Every case, and the examples, by name.
fn all_layouts() -> Vec<(String, Layout)> {
    let mut layouts: Vec<(String, Layout)> = cases().into_iter().map(|case| (case.name, case.layout)).collect();
    let examples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    for name in super::names_in(&examples).into_iter().filter(|name| name.ends_with(".loft.ron")) {
        layouts.push((name.clone(), read(&examples.join(&name))));
    }
    layouts
}

fn differing(other: impl Fn(&Layout) -> Layout, without_number: &[&str]) -> Vec<String> {
    let mut complaints = Vec::new();
    for (name, layout) in all_layouts() {
        let changed = other(&layout);
        let (before, after) = (said(&layout, without_number), said(&changed, without_number));
        let new: Vec<_> = after.iter().filter(|entry| !before.iter().any(|other| other.is(entry))).collect();
        let gone: Vec<_> = before.iter().filter(|entry| !after.iter().any(|other| other.is(entry))).collect();
        if before.len() != after.len() || !new.is_empty() || !gone.is_empty() {
            let (had, has) = (before.len(), after.len());
            complaints.push(format!("{name}: {had} findings, now {has}; new {new:?}, gone {gone:?}"));
        }
    }
    complaints
}

#[test]
fn a_layout_seen_from_behind_is_judged_the_same() {
    // The ports of outlets and boilers stand on fixed sides, so that pipes to them are a little longer or shorter.
    none_of(&differing(mirrored, &[&RUNNING[..], &["dead-leg-too-long"]].concat()));
}

#[test]
fn a_layout_with_its_pipes_drawn_from_their_other_ends_is_judged_the_same() {
    // Pipes are drawn in the order of flow; what a tee takes of what goes straight on is counted behind it.
    none_of(&differing(turned_round, &RUNNING));
}

#[test]
fn seen_from_behind_twice_is_seen_from_the_front() {
    for (name, layout) in all_layouts() {
        let twice = mirrored(&mirrored(&layout));
        let (before, after) = (Site::of(&layout), Site::of(&twice));
        for run in 0..layout.runs.len() {
            let ends = |site: &Site<'_>| site.line(run).map(|line| (line.vertices().to_vec(), line.length()));
            let (Some((a, length)), Some((b, again))) = (ends(&before), ends(&after)) else { continue };
            let same = a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| a.distance(*b) < 1e-6);
            assert!(same && (length - again).abs() < 1e-6, "{name}: {}", layout.runs[run].id);
        }
    }
}

#[test]
fn a_layout_set_up_elsewhere_is_judged_the_same() {
    let places = [dvec2(1.0, 0.0), dvec2(0.0, 1.0), dvec2(-7777.7, 0.1), dvec2(333.3, -123.45), dvec2(1e5, 1e4)];
    for by in places {
        let complaints: Vec<String> = differing(|layout| shifted(layout, by), &[]);
        none_of(&complaints.into_iter().map(|line| format!("moved by {by}: {line}")).collect::<Vec<_>>());
    }
}
