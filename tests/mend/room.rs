//! Mending lays no pipe along another one or through a vessel, and leaves room for the fittings of connections in one wall.

use crate::disturbed::{Seeds, disturbed};
use glam::DVec2;
use loftwright::file;
use loftwright::finding::{FindingKey, Findings};
use loftwright::geom::overlap;
use loftwright::layout::{Cistern, INLET, Id, Layout, Run, Tapping, Traces};
use loftwright::measure::Site;
use loftwright::mend::{Handle, Wish, propose};
use loftwright::rules::Profile;
use loftwright::units::{Length, Volume};

const EXAMPLES: [&str; 4] = [
    include_str!("../../examples/sound_indirect.loft.ron"),
    include_str!("../../examples/sound_direct.loft.ron"),
    include_str!("../../examples/feed_and_expansion.loft.ron"),
    include_str!("../../examples/low_loft.loft.ron"),
];

/// How far two straight pieces lie along one another nearer than `near_mm`, mm.
fn along_mm(a: (DVec2, DVec2), b: (DVec2, DVec2), near_mm: f64) -> f64 {
    let way = (a.1 - a.0).normalize();
    let other = (b.1 - b.0).normalize();
    if way.perp_dot(other).abs() > 0.02 {
        return 0.0;
    }
    let along = |point: DVec2| (point - a.0).dot(way);
    let off = |point: DVec2| (point - a.0).perp_dot(way).abs();
    let (from, to) = (along(b.0).min(along(b.1)), along(b.0).max(along(b.1)));
    if off(b.0.midpoint(b.1)) >= near_mm {
        return 0.0;
    }
    overlap((0.0, a.0.distance(a.1)), (from, to)).map_or(0.0, |(from, to)| to - from)
}

/// How far each pair of pipes lies along one another, mm.
fn along_one_another_mm(layout: &Layout) -> Vec<(String, f64)> {
    let traces = Traces::of(layout);
    let half_mm = |run: &Run| run.size.map_or(0.0, |size| size.to_mm() / 2.0);
    let mut found = Vec::new();
    for (first, a) in layout.runs.iter().enumerate() {
        for (second, b) in layout.runs.iter().enumerate().skip(first + 1) {
            let (Some(own), Some(other)) = (traces.line(first), traces.line(second)) else { continue };
            let near_mm = half_mm(a) + half_mm(b);
            let pieces = own.segments().flat_map(|piece| other.segments().map(move |of| (piece, of)));
            let mm: f64 = pieces.map(|(piece, of)| along_mm(piece, of, near_mm)).sum();
            found.push((format!("{} along {}", a.id, b.id), mm));
        }
    }
    found
}

/// How far each pipe runs inside each cylinder, mm.
fn through_cylinders_mm(layout: &Layout) -> Vec<(String, f64)> {
    let traces = Traces::of(layout);
    let mut found = Vec::new();
    for (number, run) in layout.runs.iter().enumerate() {
        let Some(line) = traces.line(number) else { continue };
        for cylinder in &layout.cylinders {
            let (left, right) = cylinder.span_mm();
            let within = |point: DVec2| {
                point.x > left + 1.0
                    && point.x < right - 1.0
                    && point.y > cylinder.at.z.to_mm() + 1.0
                    && point.y < cylinder.top().to_mm() - 1.0
            };
            let steps = (line.length() / 5.0).floor();
            let many = (0..).map(f64::from).take_while(|step| *step <= steps);
            let inside = many.filter(|step| within(line.point_at(step * 5.0))).count();
            found.push((
                format!("{} through {}", run.id, cylinder.id),
                5.0 * f64::from(u32::try_from(inside).expect("few steps")),
            ));
        }
    }
    found
}

/// Each pair of connections in one wall, and how far apart they are, mm.
fn apart_mm(layout: &Layout) -> Vec<(String, f64)> {
    let holes = |cistern: &Cistern| {
        let inlet = cistern.float_valve.map(|valve| (INLET.to_owned(), valve.shank));
        let others = cistern.connections.iter().map(|hole| (hole.port.to_string(), hole.on));
        inlet.into_iter().chain(others).collect::<Vec<_>>()
    };
    let mut found = Vec::new();
    for cistern in &layout.cisterns {
        let holes = holes(cistern);
        for (number, (name, on)) in holes.iter().enumerate() {
            for (other, beside) in &holes[number + 1..] {
                if let (Tapping::Left(a), Tapping::Left(b)) | (Tapping::Right(a), Tapping::Right(b)) = (*on, *beside) {
                    found.push((format!("{name} and {other} of {}", cistern.id), (a.to_mm() - b.to_mm()).abs()));
                }
            }
        }
    }
    found
}

#[test]
fn connections_in_one_wall_keep_room_for_their_fittings() {
    // 300 L ask for 86 mm over a water line at 115: the warning pipe has to rise by 21 mm, to 29 below the float valve,
    // where tubes of 15 and 22 mm need 38.5 mm.
    let mut full = file::parse(EXAMPLES[2], "example").expect("the example reads");
    let expansion = Id::of("expansion-cistern");
    let cistern = full.cisterns.iter_mut().find(|part| part.id == expansion).expect("it has one");
    cistern.water_line = Some(Length::mm(115.0));
    cistern.system_volume = Some(Volume::try_litres(300.0).expect("a volume"));
    let findings = Findings::of(&Site::of(&full));
    let only: Vec<FindingKey> =
        findings.keyed().map(|(key, _)| key).filter(|key| key.rule == "expansion-room-too-small").cloned().collect();
    assert_eq!(only.len(), 1);
    let wish = Wish { only, refused: vec![Handle::WaterLine(expansion).into()], ..Wish::default() };
    let report = propose(&full, Profile::usual(), &wish);
    assert!(
        report.left.is_empty(),
        "{:?}",
        report.conflicts.iter().map(|conflict| conflict.words()).collect::<Vec<_>>()
    );
    let warning_mm = |layout: &Layout| {
        let holes =
            layout.cisterns.iter().filter(|part| part.system_volume.is_some()).flat_map(|part| &part.connections);
        holes.filter(|hole| hole.port.as_str() == "warning").map(|hole| hole.on.distance().to_mm()).next()
    };
    assert!(warning_mm(&report.layout) >= warning_mm(&full).map(|mm| mm + 21.0), "{:?}", warning_mm(&report.layout));
    let apart = apart_mm(&report.layout).into_iter().find(|(name, _)| name == "inlet and warning of expansion-cistern");
    assert!(apart.as_ref().is_some_and(|(_, mm)| *mm >= 38.5), "{apart:?}");
}

/// What of a list is more than 20 mm longer than it was, of what was not as long as that.
fn newly(was: &[(String, f64)], is: Vec<(String, f64)>) -> Vec<String> {
    let was_mm = |name: &str| was.iter().find(|(own, _)| own == name).map_or(0.0, |(_, mm)| *mm);
    is.into_iter().filter(|(name, mm)| *mm > 20.0 && was_mm(name) < 20.0).map(|(name, _)| name).collect()
}

/// The drops from a cistern that is moved are pushed along before it, over whatever stands there: those are not asked.
#[test]
fn what_mending_moves_finds_room_beside_what_is_there() {
    let mut seeds = Seeds::from(11);
    for number in 0..40 {
        let before = disturbed(EXAMPLES[number % 4], &mut seeds);
        let after = propose(&before, Profile::usual(), &Wish::default()).layout;
        let over = newly(&along_one_another_mm(&before), along_one_another_mm(&after));
        let through = newly(&through_cylinders_mm(&before), through_cylinders_mm(&after));
        let pushed = |name: &String| name.starts_with("cold-");
        let laid: Vec<String> = over.into_iter().chain(through).filter(|name| !pushed(name)).collect();
        assert!(laid.is_empty(), "{number}: {laid:?}");
        let was = apart_mm(&before);
        for (name, mm) in apart_mm(&after) {
            let was_mm = was.iter().find(|(own, _)| *own == name).map_or(f64::INFINITY, |(_, mm)| *mm);
            // Of what stood no further apart than fittings need, one is in front of the other.
            assert!(mm >= 38.5 - 1e-6 || was_mm < 48.0, "{number}: {name} {mm} mm apart, {was_mm} before");
        }
    }
}
