//! What stays in a body of joined pipes when it is drained.

use foldhash::HashMap;

use super::Site;
use super::cuts::cut_at_mm;
use super::vent_ways::lies_in;
use crate::geom::{SAME_PLACE_MM, is_same_place};
use crate::layout::{End, InLineKind, PartRef, Service, WhichEnd};
use crate::num::lowest_passes;

/// A body of joined runs as places with heights, each beside others.
pub(super) struct Body {
    places: Vec<Spot>,
    /// The places where water leaves when all outlets are opened, or runs back into a vessel.
    outlets: Vec<usize>,
    /// The places of drain cocks.
    cocks: Vec<usize>,
}

/// A place on a run.
pub(super) struct Spot {
    /// The run, by its number.
    pub run: usize,
    /// How far along it.
    pub along_mm: f64,
    /// Its level.
    pub level_mm: f64,
    /// The places beside it, by their numbers.
    pub beside: Vec<usize>,
}

impl Body {
    /// Lays out runs that are joined.
    pub(super) fn of(site: &Site<'_>, runs: &[usize]) -> Self {
        let mut body = Self { places: Vec::new(), outlets: Vec::new(), cocks: Vec::new() };
        let mut of_run: HashMap<usize, Vec<usize>> = HashMap::default();
        for &run in runs {
            of_run.insert(run, body.add(site, run));
        }
        for &run in runs {
            for joint in site.joints(run) {
                let here = of_run.get(&run).and_then(|places| body.at(places, joint.at_mm));
                let there = of_run.get(&joint.other).and_then(|places| body.at(places, joint.other_at_mm));
                if let (Some(here), Some(there)) = (here, there) {
                    body.places[here].beside.push(there);
                }
            }
        }
        body
    }

    /// Adds a run's bends, ends, joints and drain cocks, in order along it.
    fn add(&mut self, site: &Site<'_>, run: usize) -> Vec<usize> {
        let Some(line) = site.line(run) else { return Vec::new() };
        let cocks = site.fitted(run).unwrap_or_default().iter().filter(|fitting| fitting.kind == InLineKind::DrainCock);
        let cocks: Vec<f64> = cocks.map(|cock| cock.at_mm).collect();
        let mut along = cut_at_mm(site, run, line.along().iter().chain(&cocks).copied());
        let carrying = site.carrying_stretches(run);
        let carries = |at_mm: f64| site.run(run).service != Service::OpenVent || lies_in(line, at_mm, carrying);
        along.retain(|at_mm| carries(*at_mm));
        let first = self.places.len();
        for &along_mm in &along {
            self.places.push(Spot { run, along_mm, level_mm: line.point_at(along_mm).y, beside: Vec::new() });
        }
        let places: Vec<usize> = (first..self.places.len()).collect();
        for pair in places.windows(2) {
            let [before_mm, after_mm] = [pair[0], pair[1]].map(|place| self.places[place].along_mm);
            if !carries(f64::midpoint(before_mm, after_mm)) {
                continue;
            }
            self.places[pair[0]].beside.push(pair[1]);
            self.places[pair[1]].beside.push(pair[0]);
        }
        self.cocks.extend(cocks.into_iter().filter_map(|at_mm| self.at(&places, at_mm)).collect::<Vec<_>>());
        for end in WhichEnd::BOTH {
            let lets_out = match site.run(run).end(end) {
                // What stands over a vessel's connection runs back into the vessel.
                hung @ End::Port(..) => {
                    matches!(site.part_at(hung), Some(PartRef::Outlet(_) | PartRef::Cistern(_) | PartRef::Cylinder(_)))
                }
                // On what is joined there another run goes on.
                End::Open(_) | End::Onward(_) => !site.is_joined_at_end(run, end),
                End::Tee(..) => false,
            };
            // Of a vent only what carries water is laid out, mostly without its open end.
            let end_mm = site.end_along(run, end);
            let is_laid_out =
                |place: &&usize| end_mm.is_some_and(|end_mm| is_same_place(end_mm, self.places[**place].along_mm));
            if lets_out {
                self.outlets.extend(match end {
                    WhichEnd::From => places.first().filter(is_laid_out),
                    WhichEnd::To => places.last().filter(is_laid_out),
                });
            }
        }
        places
    }

    fn at(&self, places: &[usize], along_mm: f64) -> Option<usize> {
        let number = places.partition_point(|place| self.places[*place].along_mm < along_mm - SAME_PLACE_MM);
        places.get(number).copied().filter(|place| is_same_place(self.places[*place].along_mm, along_mm))
    }

    /// All its places.
    pub(super) fn places(&self) -> &[Spot] {
        &self.places
    }

    /// How deep water stays over each place when all outlets are opened.
    pub(super) fn left_by_outlets_mm(&self) -> Vec<f64> {
        self.left_mm(self.outlets.iter())
    }

    /// The same when all drain cocks are opened as well.
    pub(super) fn left_by_cocks_mm(&self) -> Vec<f64> {
        self.left_mm(self.outlets.iter().chain(&self.cocks))
    }

    /// Water leaves a place by the way out whose highest point is lowest; what it would have to rise stays.
    fn left_mm<'a>(&self, ways_out: impl Iterator<Item = &'a usize>) -> Vec<f64> {
        let levels_mm: Vec<f64> = self.places.iter().map(|place| place.level_mm).collect();
        let highest_mm = lowest_passes(&levels_mm, |place| &self.places[place].beside, ways_out.copied());
        highest_mm.iter().zip(&self.places).map(|(highest_mm, place)| highest_mm - place.level_mm).collect()
    }
}
