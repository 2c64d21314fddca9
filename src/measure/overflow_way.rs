//! The way out: how water that overflows runs from a cistern through its warning pipe to where it is let go.

use std::cmp::Ordering;

use glam::DVec2;

use super::leg::length_mm;
use super::water_ways::Reach;
use super::{Leg, Site};
use crate::geom::SAME_PLACE_MM;
use crate::layout::{Cistern, End, Id, Service, WhichEnd};

/// An end that lies this near to where another pipe of its service joins is carried on by that, and lets nothing out, mm:
/// no tube is let go within the length of a fitting (common practice, no source).
pub(super) const CARRIED_ON_WITHIN_MM: f64 = 10.0;

/// The way out through a warning pipe, in however many runs that is drawn.
pub struct OverflowWay<'a> {
    /// The cistern that it leaves, and by which port; none for a pipe that is drawn without its cistern.
    pub from: Option<(&'a Cistern, &'a Id)>,
    /// Its stretches, outward; never empty.
    pub legs: Vec<Leg>,
    /// Whether it goes on beyond what is drawn.
    pub goes_on: bool,
}

/// A bend or an end on a way out.
pub(super) struct Stop {
    /// On which run it is.
    pub run: usize,
    /// How far along that run.
    pub along_mm: f64,
    /// Where it is.
    pub point: DVec2,
}

impl OverflowWay<'_> {
    /// The run that leaves the cistern.
    #[must_use]
    pub fn first_run(&self) -> usize {
        self.legs[0].run
    }

    /// The stretch that lets the water go.
    #[must_use]
    pub fn last(&self) -> Leg {
        self.legs[self.legs.len() - 1]
    }

    /// Its runs, outward.
    pub fn runs(&self) -> impl Iterator<Item = usize> + '_ {
        self.legs.iter().map(|leg| leg.run)
    }

    /// Its bends and ends, outward; none where it has no length.
    pub(super) fn stops(&self, site: &Site<'_>) -> Vec<Stop> {
        let of_leg = |leg: &Leg| {
            let line = site.line(leg.run)?;
            let (low_mm, high_mm) = leg.span_mm();
            let bends = line.along().iter().copied().filter(|at_mm| *at_mm > low_mm && *at_mm < high_mm);
            let mut along: Vec<f64> = std::iter::once(low_mm).chain(bends).chain([high_mm]).collect();
            if leg.from_mm > leg.to_mm {
                along.reverse();
            }
            let stop = |along_mm: f64| Stop { run: leg.run, along_mm, point: line.point_at(along_mm) };
            Some(along.into_iter().map(stop).collect::<Vec<_>>())
        };
        self.legs.iter().filter_map(of_leg).flatten().collect()
    }

    /// Where its open end is; none where it goes on, or runs into something.
    pub(super) fn open_end(&self, site: &Site<'_>) -> Option<DVec2> {
        let last = self.last();
        let is_open = |end: &WhichEnd| matches!(site.run(last.run).end(*end), End::Open(_));
        site.ends_at(last.run, last.to_mm).find(is_open)?;
        Some(site.line(last.run)?.point_at(last.to_mm))
    }

    /// How far it falls from its highest point to its end, mm.
    #[must_use]
    pub fn falls_by_mm(&self, site: &Site<'_>) -> f64 {
        let stops = self.stops(site);
        let crest_mm = stops.iter().map(|stop| stop.point.y).fold(f64::NEG_INFINITY, f64::max);
        stops.last().map_or(0.0, |end| crest_mm - end.point.y)
    }

    /// What to find out where it goes on beyond what is drawn.
    #[must_use]
    pub fn to_be_drawn(&self, site: &Site<'_>) -> Option<String> {
        self.goes_on.then(|| draw_on(&site.run(self.last().run).id))
    }
}

/// What to find out of a warning pipe that goes on beyond what is drawn.
fn draw_on(run: &Id) -> String {
    format!("draw {} on to where it lets the water go", run.with_article())
}

/// How far out on its way from the cistern an end of a warning pipe is.
const fn outwardness(end: &End) -> u8 {
    match end {
        End::Port(..) => 0,
        End::Tee(..) => 1,
        End::Open(_) | End::Onward(_) => 2,
    }
}

impl<'a> Site<'a> {
    /// All ways out: those of the cisterns, and each warning pipe that lies on none of them by itself.
    #[must_use]
    pub fn ways_out(&self) -> Vec<OverflowWay<'a>> {
        let mut ways: Vec<OverflowWay<'a>> =
            self.layout().cisterns.iter().flat_map(|cistern| self.all_ways_out_of(cistern)).collect();
        let mut lies_on_one = vec![false; self.layout().runs.len()];
        ways.iter().flat_map(OverflowWay::runs).for_each(|run| lies_on_one[run] = true);
        for run in self.warning_pipes() {
            if !lies_on_one[run] {
                let way = self.loose(run, &lies_on_one).unwrap_or_else(|| self.alone(run));
                way.runs().for_each(|run| lies_on_one[run] = true);
                ways.push(way);
            }
        }
        ways
    }

    /// The ways out of a cistern, one for each port that a warning pipe leaves by: where that parts, the first of
    /// [`Self::all_ways_out_of`].
    #[must_use]
    pub fn ways_out_of(&self, cistern: &'a Cistern) -> Vec<OverflowWay<'a>> {
        let mut ways = self.all_ways_out_of(cistern);
        ways.dedup_by_key(|way| way.from.map(|(_, port)| port));
        ways
    }

    /// The ways out of a cistern, port by port: where a warning pipe parts, to each end by which as much is let go as by
    /// any other, the shortest first.
    #[must_use]
    pub fn all_ways_out_of(&self, cistern: &'a Cistern) -> Vec<OverflowWay<'a>> {
        let mut ways: Vec<OverflowWay<'a>> = Vec::new();
        for pipe in self.attached_of(&cistern.id, Service::WarningPipe) {
            let known = |way: &OverflowWay<'_>| way.from.is_some_and(|(_, port)| port == pipe.port);
            if ways.iter().any(known) {
                continue;
            }
            let mut by_port = self.ways_out_by(cistern, pipe.port);
            if by_port.is_empty() {
                // A pipe without length leads nowhere.
                by_port.push((vec![Leg { run: pipe.run, from_mm: 0.0, to_mm: 0.0 }], false));
            }
            let from = Some((cistern, pipe.port));
            ways.extend(by_port.into_iter().map(|(legs, goes_on)| OverflowWay { from, legs, goes_on }));
        }
        ways
    }

    /// The warning pipes, by their numbers.
    pub(super) fn warning_pipes(&self) -> impl Iterator<Item = usize> {
        self.runs_of(Service::WarningPipe).map(|(number, _)| number)
    }

    /// What to find out of a warning pipe that itself goes on beyond what is drawn.
    pub(super) fn rest_of_warning_pipe(&self, run: usize) -> Option<String> {
        let goes_on = |end: WhichEnd| matches!(self.run(run).end(end), End::Onward(_)) && !self.is_carried_on(run, end);
        WhichEnd::BOTH.into_iter().any(goes_on).then(|| draw_on(&self.run(run).id))
    }

    /// The end by which a warning pipe lets water go; none where it runs into another pipe or part.
    #[must_use]
    pub fn mouth(&self, run: usize) -> Option<WhichEnd> {
        let is_out = |end: &WhichEnd| outwardness(self.run(run).end(*end)) == 2 && !self.is_carried_on(run, *end);
        [WhichEnd::To, WhichEnd::From].into_iter().find(is_out)
    }

    /// Whether another warning pipe carries on where this one is drawn to end.
    fn is_carried_on(&self, run: usize, end: WhichEnd) -> bool {
        let Some(end_mm) = self.end_along(run, end) else { return false };
        self.joints(run).iter().any(|joint| {
            let is_near = (joint.at_mm - end_mm).abs() <= CARRIED_ON_WITHIN_MM;
            is_near && self.run(joint.other).service == Service::WarningPipe
        })
    }

    /// The stretches from a port outward, and whether they go on. Of several ends that let water go those are taken that
    /// are reached over the lowest crest, the nearest first.
    fn ways_out_by(&self, cistern: &Cistern, port: &Id) -> Vec<(Vec<Leg>, bool)> {
        let reach = self.reach(&cistern.id, port.as_str(), &[Service::WarningPipe]);
        let begins = |run: usize, end: WhichEnd| matches!(self.run(run).end(end), End::Port(part, on) if *part == cistern.id && on == port);
        self.ways_out_along(&reach, begins)
    }

    /// The same through runs in reach, but for the end at which they begin.
    fn ways_out_along(&self, reach: &Reach, begins: impl Fn(usize, WhichEnd) -> bool) -> Vec<(Vec<Leg>, bool)> {
        // Each with how it lets water go, the level of its crest and its length, mm.
        let mut ways: Vec<((u8, f64, f64), Vec<Leg>)> = Vec::new();
        for &run in &reach.order {
            for end in [WhichEnd::To, WhichEnd::From] {
                let last = self.run(run).end(end);
                if begins(run, end) || self.is_carried_on(run, end) {
                    continue;
                }
                let Some(end_mm) = self.end_along(run, end) else { continue };
                let legs = reach.path_to(run, end_mm);
                // Where water is let go for certain comes first, and what it only runs into last.
                let kind = match last {
                    End::Open(_) => 0,
                    End::Onward(_) => 1,
                    End::Port(..) | End::Tee(..) => 2,
                };
                let crest_mm = self.points_of(&legs).iter().fold(f64::NEG_INFINITY, |top, point| top.max(point.y));
                ways.push(((kind, crest_mm, length_mm(&legs)), legs));
            }
        }
        let in_order =
            |a: &(u8, f64, f64), b: &(u8, f64, f64)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2));
        ways.sort_by(|(a, _), (b, _)| in_order(a, b));
        let Some(&((kind, crest_mm, _), _)) = ways.first() else { return Vec::new() };
        let as_soon = |way: &(u8, f64, f64)| way.0 == kind && way.1 <= crest_mm + SAME_PLACE_MM;
        ways.into_iter().filter(|(way, _)| as_soon(way)).map(|(_, legs)| (legs, kind == 1)).collect()
    }

    /// The way out through warning pipes that are joined to each other and to no cistern, from the inner end outward; `None`
    /// where they have no two ends, or are a part of what is joined to one. Nobody has drawn which of two open ends is the
    /// inner one: water would come from the higher.
    fn loose(&self, run: usize, lies_on_one: &[bool]) -> Option<OverflowWay<'a>> {
        let through = [Service::WarningPipe];
        let body = self.reach_from(std::iter::once((run, 0.0)), &through).order;
        if body.iter().any(|run| lies_on_one[*run]) {
            return None;
        }
        let ends = body.iter().flat_map(|run| WhichEnd::BOTH.map(|end| (*run, end)));
        let free: Vec<(usize, WhichEnd)> = ends.filter(|(run, end)| !self.is_carried_on(*run, *end)).collect();
        let level_mm = |(run, end): (usize, WhichEnd)| Some(self.line(run)?.point_at(self.end_along(run, end)?).y);
        let outwardness = |(run, end): (usize, WhichEnd)| outwardness(self.run(run).end(end));
        let innermost = |a: &&(usize, WhichEnd), b: &&(usize, WhichEnd)| {
            let by_level = || level_mm(**b).partial_cmp(&level_mm(**a)).unwrap_or(Ordering::Equal);
            outwardness(**a).cmp(&outwardness(**b)).then_with(by_level)
        };
        let inner = *free.iter().min_by(innermost)?;
        let begin = (inner.0, self.end_along(inner.0, inner.1)?);
        let reach = self.reach_from(std::iter::once(begin), &through);
        let (legs, _) = self.ways_out_along(&reach, |run, end| (run, end) == inner).into_iter().next()?;
        let goes_on = free.iter().any(|(run, end)| matches!(self.run(*run).end(*end), End::Onward(_)));
        Some(OverflowWay { from: None, legs, goes_on })
    }

    /// A warning pipe by itself, from its inner end outward.
    fn alone(&self, run: usize) -> OverflowWay<'a> {
        let length_mm = self.end_along(run, WhichEnd::To).unwrap_or(0.0);
        // A pipe drawn from its outer end inward is followed the other way.
        let drawn_inward = outwardness(&self.run(run).from) > outwardness(&self.run(run).to);
        let (from_mm, to_mm) = if drawn_inward { (length_mm, 0.0) } else { (0.0, length_mm) };
        let goes_on = self.rest_of_warning_pipe(run).is_some();
        OverflowWay { from: None, legs: vec![Leg { run, from_mm, to_mm }], goes_on }
    }
}
